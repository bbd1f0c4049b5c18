"""Settings from files and the environment, checked before anything starts.

Knows: config/, the token's places, the data folder. Must not know: what the settings are for.
Invariant: a mistake is a `Problem` that names the file, the line and the key at fault.
"""

import os
import re
import stat
import tomllib
from collections.abc import Mapping
from datetime import time
from decimal import Decimal
from pathlib import Path
from typing import Any

import msgspec
from msgspec.structs import replace

from assistant.planning.model import (
    CautionRule,
    ChanceRule,
    House,
    OccasionRule,
    Record,
    StageRule,
)
from assistant.planning.month.cautions import fault_of_goods_words, faults_of_table
from assistant.planning.records import FeedRule, GoodsWords
from assistant.planning.stages import faults
from assistant.scheduling.countries import country_name
from assistant.scheduling.occasions import fault

PACKAGE = Path(__file__).resolve().parent.parent
TOKEN_VARIABLE = "TWELVEFOLD_TELEGRAM_TOKEN"
LENGTH_SOURCES = ("", "packing", "transit", "making", "confirming", "balance")


class Problem(Record):
    """What is wrong with a setting and what would be right, in one sentence."""

    text: str


class _Mornings(Record, forbid_unknown_fields=True):
    digest_at: time
    quiet_from: time
    quiet_to: time
    weekends: bool


class _Transit(Record, forbid_unknown_fields=True):
    home_days: int
    abroad_days: int


class _Packing(Record, forbid_unknown_fields=True):
    boxes_per_hour: int
    crew: int
    hours_per_day: int


class _Ordering(Record, forbid_unknown_fields=True):
    confidence: int
    damage: int
    interest: int


class _Cash(Record, forbid_unknown_fields=True):
    charge_day: int
    payout_days: int


class _Backup(Record, forbid_unknown_fields=True):
    at: time
    keep: int


class _Answers(Record, forbid_unknown_fields=True):
    horizon_days: int


class _Defaults(Record, forbid_unknown_fields=True):
    mornings: _Mornings
    transit: _Transit
    packing: _Packing
    ordering: _Ordering
    chance: ChanceRule
    cash: _Cash
    answers: _Answers
    backup: _Backup
    feed: FeedRule
    stage: tuple[StageRule, ...]


class _Days(Record, forbid_unknown_fields=True):
    day: tuple[OccasionRule, ...] = ()


class _Goods(GoodsWords, forbid_unknown_fields=True):
    caution: tuple[CautionRule, ...] = ()


_TABLES = (
    "mornings",
    "transit",
    "packing",
    "ordering",
    "chance",
    "cash",
    "answers",
    "backup",
    "feed",
)
# key -> (least, most) of the whole numbers
RANGES = {
    "home_days": (0, 365),
    "abroad_days": (0, 365),
    "boxes_per_hour": (1, 10_000),
    "crew": (1, 1_000),
    "hours_per_day": (1, 24),
    "confidence": (50, 99),
    "damage": (0, 50),
    "interest": (0, 100),
    "weight": (1, 1_000),
    "correlation": (0, 95),
    "charge_day": (1, 31),
    "payout_days": (0, 60),
    "horizon_days": (1, 366),
    "keep": (0, 1_000),
    "port": (0, 65_535),
    "days": (0, 730),
    "notice": (0, 365),
    "without_items": (0, 730),
}


def config_file(name: str) -> Path:
    """Return a file of config/: inside the installed package, else beside it in a checkout."""
    inside = PACKAGE / "config" / name
    return inside if inside.exists() else PACKAGE.parent / "config" / name


def load_house(
    path: Path | None = None, occasions: Path | None = None, cautions: Path | None = None
) -> House | Problem:
    """Read the house's defaults, its days worth marking and its cautions, or say which line of
    which file is wrong."""
    house = _load_defaults(path or config_file("defaults.toml"))
    days = _load_occasions(occasions or config_file("occasions.toml"))
    goods = _load_cautions(cautions or config_file("cautions.toml"))
    if isinstance(house, Problem):
        return house
    if isinstance(days, Problem):
        return days
    if isinstance(goods, Problem):
        return goods
    words = GoodsWords(goods.pictured, goods.holders, goods.other)
    return replace(house, occasions=days, cautions=goods.caution, goods_words=words)


def _load_defaults(path: Path) -> House | Problem:
    raw = read_toml(path)
    if isinstance(raw, Problem):
        return raw
    source = path.read_text(encoding="utf-8")
    try:
        read = msgspec.convert(raw, _Defaults)
    except msgspec.ValidationError as error:
        return Problem(_sentence(path, source, str(error)))
    wrong = _wrong(path, source, raw) or _stage_at_fault(path, source, read.stage)
    return wrong or House(
        stages=read.stage,
        digest_at=read.mornings.digest_at,
        quiet_from=read.mornings.quiet_from,
        quiet_to=read.mornings.quiet_to,
        weekends=read.mornings.weekends,
        transit_home_days=read.transit.home_days,
        transit_abroad_days=read.transit.abroad_days,
        boxes_per_hour=read.packing.boxes_per_hour,
        crew=read.packing.crew,
        hours_per_day=read.packing.hours_per_day,
        horizon_days=read.answers.horizon_days,
        confidence=Decimal(read.ordering.confidence),
        damage=Decimal(read.ordering.damage),
        interest=Decimal(read.ordering.interest),
        chance=read.chance,
        charge_day=read.cash.charge_day,
        payout_days=read.cash.payout_days,
        backup_at=read.backup.at,
        backup_keep=read.backup.keep,
        feed=read.feed,
    )


def _load_occasions(path: Path) -> tuple[OccasionRule, ...] | Problem:
    """Read the days worth marking."""
    raw = read_toml(path)
    if isinstance(raw, Problem):
        return raw
    source = path.read_text(encoding="utf-8")
    try:
        days = msgspec.convert(raw, _Days).day
    except msgspec.ValidationError as error:
        return Problem(_sentence(path, source, str(error)))
    for nth, day in enumerate(days, start=1):
        if wrong := _fault_of_day(day, days[: nth - 1]):
            return Problem(_at(path, source, "day", nth, *wrong))
    return days


def _fault_of_day(day: OccasionRule, before: tuple[OccasionRule, ...]) -> tuple[str, str] | None:
    """The key and the reason of what is wrong with a day worth marking."""
    if not day.name.strip():
        return "name", "a day needs a name"
    if unknown := [code for code in day.countries if len(code) != 2 or not country_name(code)]:
        return "countries", f'"{unknown[0]}" is no country; write two capital letters, as in "GB"'
    again = [one.countries for one in before if one.name == day.name]
    if any(not (there and day.countries) or {*there} & {*day.countries} for there in again):
        return "name", f'"{day.name}" is there already'
    return fault(day.on, day.rule, day.easter)


def _load_cautions(path: Path) -> _Goods | Problem:
    """Read the goods that carry duties."""
    raw = read_toml(path)
    if isinstance(raw, Problem):
        return raw
    source = path.read_text(encoding="utf-8")
    try:
        goods = msgspec.convert(raw, _Goods)
    except msgspec.ValidationError as error:
        return Problem(_sentence(path, source, str(error)))
    if wrong := fault_of_goods_words(goods):
        return Problem(_at(path, source, wrong[0], 1, *wrong))
    for nth, key, why in faults_of_table(goods.caution):
        return Problem(_at(path, source, "caution", nth, key, why))
    return goods


def read_toml(path: Path) -> dict[str, Any] | Problem:
    """Read a TOML file, or say where it cannot be read."""
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return Problem(f"{path.name} is missing: it should be in the folder config.")
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        return Problem(f"{path.name} cannot be read as TOML: {error}.")


def read_token(environ: Mapping[str, str], file: Path | None) -> str | Problem:
    """Return the bot's token from a file that only its owner can read, or from the environment."""
    if file is None:
        token = environ.get(TOKEN_VARIABLE, "").strip()
        return token or Problem(
            f"No token: put it into the variable {TOKEN_VARIABLE}, "
            "or into a file and name it with --token-file."
        )
    return read_secret(file)


def read_secret(file: Path) -> str | Problem:
    """Return the text of a file that only its owner can read."""
    try:
        mode = file.stat().st_mode
        text = file.read_text(encoding="utf-8").strip()
    except (OSError, UnicodeDecodeError):
        return Problem(f"{file} cannot be read: it should be a text file with one line.")
    if os.name == "posix" and stat.S_IMODE(mode) & 0o077:
        return Problem(f"{file} can be read by others. Make it yours alone: chmod 600 {file}")
    return text or Problem(f"{file} is empty: it should hold one line.")


def _wrong(path: Path, source: str, raw: dict[str, Any]) -> Problem | None:
    """Return the first number out of range or stage that hangs on nothing."""
    names = {"ship", *(stage.get("name") for stage in raw["stage"])}
    tables = [(name, 1, raw[name]) for name in _TABLES]
    tables += [("stage", n, stage) for n, stage in enumerate(raw["stage"], start=1)]
    for table, nth, values in tables:
        for key, value in values.items():
            why = ""
            if key in RANGES and not RANGES[key][0] <= value <= RANGES[key][1]:
                why = f"{value} is not between {RANGES[key][0]} and {RANGES[key][1]}"
            elif isinstance(value, list) and not 0 <= value[0] <= value[1] <= value[2] <= 1_000:
                why = f"{value} is not at least, most likely, at most, each up to 1000 percent"
            elif key == "address" and value and not value.startswith(("http://", "https://")):
                why = f'"{value}" is no address such as "https://example.org"'
            elif key == "days_from" and value not in LENGTH_SOURCES:
                why = f'"{value}" is none of {", ".join(LENGTH_SOURCES[1:])}'
            elif key == "back_from" and value not in names:
                why = f'there is no stage "{value}"'
            if why:
                return Problem(_at(path, source, table, nth, key, why))
    return None


def _stage_at_fault(path: Path, source: str, stages: tuple[StageRule, ...]) -> Problem | None:
    """Return the first stage that cannot be laid with the others."""
    for name, why in faults(stages):
        places = [n for n, stage in enumerate(stages, start=1) if stage.name == name]
        return Problem(_at(path, source, "stage", places[-1], "name", f'"{name}": {why}'))
    return None


def _sentence(path: Path, source: str, error: str) -> str:
    """Turn a validation error into a sentence with the line and key at fault."""
    what, _, where = error.partition(" - at `$")
    parts = re.findall(r"\.(\w+)|\[(\d+)\]", where.rstrip("`"))
    names = [name for name, _ in parts if name]
    nth = next((int(number) + 1 for _, number in parts if number), 1)
    unknown = re.search(r"field `(\w+)`", what)
    key = unknown.group(1) if unknown else (names[-1] if names else "")
    table = names[0] if names else key
    if what.startswith("Object missing"):
        return f"{path.name}: the key {key} is missing from [{table}]."
    why = (
        "no such key" if what.startswith("Object contains unknown") else what[0].lower() + what[1:]
    )
    return _at(path, source, table, nth, key, why)


def _at(path: Path, source: str, table: str, nth: int, key: str, why: str) -> str:
    """Name the line of `key` in the `nth` table of that name."""
    seen, inside = 0, False
    for number, line in enumerate(source.splitlines(), start=1):
        heading = re.match(r"\s*\[+\s*(\w+)\s*\]+", line)
        if heading:
            inside = heading.group(1) == table
            seen += inside
        here = (inside and seen == nth) or table == key
        if here and re.match(rf"\s*\[*\s*{re.escape(key)}\b", line):
            return f"{path.name}, line {number}, {key}: {why}."
    return f"{path.name}, {key}: {why}."
