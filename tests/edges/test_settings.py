"""Mistakes in a settings file are named with their line and key."""

import os
from pathlib import Path

import pytest

from assistant.edges.settings import (
    Problem,
    config_file,
    load_house,
    read_secret,
    read_token,
)
from assistant.planning.model import House

GOOD = config_file("defaults.toml").read_text(encoding="utf-8")


DAYS = config_file("occasions.toml").read_text(encoding="utf-8")


def line_of(text: str) -> int:
    return next(n for n, line in enumerate(GOOD.splitlines(), 1) if line.startswith(text))


def test_the_shipped_defaults_are_right() -> None:
    house = load_house()
    assert isinstance(house, House)
    assert {"ship", "pack", "stock", "order", "source"} <= {stage.name for stage in house.stages}
    assert "World Bee Day" in {day.name for day in house.occasions}


MISTAKES = [
    ("crew = 1 ", "crew = 0 ", "crew: 0 is not between 1 and 1000"),
    ("weekends = false", 'weekends = "no"', "weekends: expected `bool`, got `str`"),
    ("digest_at = 08:00:00", "digest_at = 8", "digest_at: expected `time`, got `int`"),
    ("correlation = 50", "correlation = 100", "correlation: 100 is not between 0 and 95"),
    (
        "making_home = [70, 90, 130]",
        "making_home = [70, 60, 130]",
        "making_home: [70, 60, 130] is not at least, most likely, at most, each up to 1000 percent",
    ),
    ("home_days = 3", "home_dys = 3", "home_dys: no such key"),
    ("horizon_days = 21", "horizon_days = 2.5", "horizon_days: expected `int`, got `float`"),
]


@pytest.mark.parametrize(("right", "wrong", "why"), MISTAKES)
def test_a_mistake_names_file_line_and_key(
    tmp_path: Path, right: str, wrong: str, why: str
) -> None:
    file = tmp_path / "mine.toml"
    file.write_text(GOOD.replace(right, wrong), encoding="utf-8")
    line = line_of(right.split("=")[0])
    assert load_house(file) == Problem(f"mine.toml, line {line}, {why}.")


STAGE_MISTAKES = [
    ('name = "stock"\nper = "item"\nback_from = "pack"', "pack", "dispatch", "name"),
    ('name = "card"\nper = "box"', "card", "photo", "name"),
    ('name = "card"\nper = "box"', "per", "pr", "pr"),
    ('back_from = "dispatch"\ndays_from = "making"', "making", "brewing", "days_from"),
    ('back_from = "dispatch"\ndays_from = "making"', "dispatch", "despatch", "back_from"),
]


@pytest.mark.parametrize(("passage", "right", "wrong", "key"), STAGE_MISTAKES)
def test_a_stage_that_hangs_on_nothing_is_named(
    tmp_path: Path, passage: str, right: str, wrong: str, key: str
) -> None:
    file = tmp_path / "mine.toml"
    file.write_text(GOOD.replace(passage, passage.replace(right, wrong)), encoding="utf-8")
    number = GOOD[: GOOD.index(passage)].count("\n") + 1 + (key in ("days_from", "pr"))
    problem = load_house(file)
    assert isinstance(problem, Problem)
    assert problem.text.startswith(f"mine.toml, line {number}, {key}: ")
    assert wrong in problem.text or "in a circle" in problem.text


DAY_MISTAKES = [
    ('on = "01-25"', 'on = "02-30"', 'on: "02-30" is no day that every year has'),
    ('on = "01-25"', "on = 25", "on: expected `str`, got `int`"),
    ('on = "01-25"', 'onn = "01-25"', "onn: no such key"),
    ('on = "01-25"', 'on = "01-25"\neaster = 3', "easter: exactly one of on, rule and easter"),
    ("easter = -47", "easter = -470", "easter: -470 is more than 80 days from Easter"),
    ("BYMONTH=5;BYDAY=1SU", "BYMONTH=5;BYDAY=5SU", "rule: not every year has a fifth"),
    ("BYMONTH=5;BYDAY=1SU", "BYMONTH=5", "rule: this does not name one weekday of one month"),
    ('name = "Burns Night"', 'name = " "', "name: a day needs a name"),
    ('name = "Burns Night"', 'name = "Plough Monday"', 'name: "Plough Monday" is there already'),
    ('countries = ["US"]', 'countries = ["USA"]', 'countries: "USA" is no country'),
    ('countries = ["US"]', 'countries = ["us"]', 'countries: "us" is no country'),
]


@pytest.mark.parametrize(("right", "wrong", "why"), DAY_MISTAKES)
def test_a_mistake_in_a_day_worth_marking_is_named(
    tmp_path: Path, right: str, wrong: str, why: str
) -> None:
    file = tmp_path / "days.toml"
    file.write_text(DAYS.replace(right, wrong, 1), encoding="utf-8")
    number = DAYS[: DAYS.index(right)].count("\n") + 1 + wrong.count("\n")
    problem = load_house(occasions=file)
    assert isinstance(problem, Problem)
    assert problem.text.startswith(f"days.toml, line {number}, {why}")


def test_one_name_may_be_two_days_in_two_countries(tmp_path: Path) -> None:
    file = tmp_path / "days.toml"
    gala = '[[day]]\nname = "Gala"\non = "{}"\ncountries = ["{}"]\n'
    file.write_text(gala.format("05-01", "GB") + gala.format("06-01", "IE"))
    house = load_house(occasions=file)
    assert isinstance(house, House)
    assert [day.on for day in house.occasions] == ["05-01", "06-01"]
    file.write_text("")
    house = load_house(occasions=file)
    assert isinstance(house, House)
    assert house.occasions == ()


GOODS = config_file("cautions.toml").read_text(encoding="utf-8")
GOODS_MISTAKES = [
    ('"print", "poster"', '"Print", "poster"', "pictured", '"Print" is not in plain small letters'),
    ('goods = "magnets"', 'goods = "aerosols"', "goods", '"aerosols" is there already'),
    ('goods = "aerosols"', 'good = "aerosols"', "good", "no such key"),
    ('of = ["perfume and alcohol"]', 'of = ["perfume"]', "of", 'there are no goods "perfume"'),
    ('words = ["magnet",', 'words = ["magnet 2",', "words", '"magnet 2" is not in plain'),
    ('maybe = ["magnetic"]', 'maybe = ["magnet"]', "maybe", '"magnet" is plainly such goods'),
    ("magnets in the {item}?", "magnets in it?", "ask", "a question is needed, with {item} in it"),
    ("melts = true", 'melts = "yes"', "melts", "expected `bool`, got `str`"),
    ('pack = "pack nothing', 'pack = "you may', "pack", '"you may" permits; say what to check'),
]


@pytest.mark.parametrize(("right", "wrong", "key", "why"), GOODS_MISTAKES)
def test_a_mistake_in_a_caution_is_named(
    tmp_path: Path, right: str, wrong: str, key: str, why: str
) -> None:
    file = tmp_path / "goods.toml"
    file.write_text(GOODS.replace(right, wrong, 1), encoding="utf-8")
    line = next(
        number
        for number, text in enumerate(file.read_text(encoding="utf-8").splitlines(), start=1)
        if text.startswith(f"{key} = ") and GOODS[: GOODS.index(right)].count("\n") <= number
    )
    problem = load_house(cautions=file)
    assert isinstance(problem, Problem)
    assert problem.text.startswith(f"goods.toml, line {line}, {key}: {why}")


def test_a_shop_may_do_without_cautions(tmp_path: Path) -> None:
    file = tmp_path / "goods.toml"
    file.write_text("")
    house = load_house(cautions=file)
    assert isinstance(house, House)
    assert house.cautions == ()
    problem = load_house(cautions=tmp_path / "none.toml")
    assert problem == Problem("none.toml is missing: it should be in the folder config.")


def test_what_is_no_toml_or_not_there_is_said(tmp_path: Path) -> None:
    file = tmp_path / "mine.toml"
    assert load_house(file) == Problem("mine.toml is missing: it should be in the folder config.")
    file.write_text("crew = = 1")
    problem = load_house(file)
    assert isinstance(problem, Problem)
    assert "line 1" in problem.text
    file.write_text(GOOD.replace("[packing]", "[paking]"))
    problem = load_house(file)
    assert isinstance(problem, Problem)
    assert "packing" in problem.text or "paking" in problem.text


def test_the_token_comes_from_the_environment_or_a_private_file(tmp_path: Path) -> None:
    assert read_token({"TWELVEFOLD_TELEGRAM_TOKEN": " 1:ab \n"}, None) == "1:ab"
    nothing = read_token({}, None)
    assert isinstance(nothing, Problem)
    assert "TWELVEFOLD_TELEGRAM_TOKEN" in nothing.text
    file = tmp_path / "token"
    file.write_text("2:cd\n")
    file.chmod(0o600)
    assert read_token({}, file) == "2:cd"
    file.write_text("")
    assert isinstance(read_secret(file), Problem)


def test_a_token_that_others_can_read_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "token"
    file.write_text("2:cd\n")
    file.chmod(0o644)
    found = read_token({}, file)
    if os.name == "posix":
        assert isinstance(found, Problem)
        assert "chmod 600" in found.text
        assert "2:cd" not in found.text
    assert isinstance(read_token({}, tmp_path / "none"), Problem)
