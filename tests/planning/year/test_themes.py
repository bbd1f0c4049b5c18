"""Prompts for a box's theme, and themes that were had before. Shops and ideas are invented."""

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.changes import apply
from assistant.planning.model import Closure, Idea, OccasionRule, Put, Shop
from assistant.planning.year.sittings import days_of
from assistant.planning.year.themes import Prompt, echoes, occasions, prompts
from tests.planning.plans import fresh
from tests.trade import house, shop, with_holidays

TODAY = date(2026, 11, 25)
NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
MARCH, APRIL = "2027-03", "2027-04"
IN_ORDER = ("season", "moon", "feast", "holiday", "school", "day")
CAUGHT = {f"2026-{month:02}": datetime(2026, month, 3, 9, tzinfo=UTC) for month in range(1, 12)}


def idea(text: str, *months: int, at: datetime = NOW, **fields: object) -> Idea:
    return Idea(id=text.replace(" ", "-"), text=text, at=at, months=months, **fields)  # type: ignore[arg-type]


def keeping(*ideas: Idea, **profile: object) -> Shop:
    return with_holidays(apply(shop(**profile), [Put(one) for one in ideas]), TODAY)  # type: ignore[arg-type]


def of(found: Shop, box: str, *sources: str) -> list[tuple[str, str]]:
    """The prompts of these sources as (text, why)."""
    return [(one.text, one.why) for one in prompts(found, box, TODAY) if one.source in sources]


def texts(found: Shop, box: str = MARCH) -> list[str]:
    return [one.text for one in prompts(found, box, TODAY) if one.source == "idea"]


# --- occasions ------------------------------------------------------------------------------


def test_the_box_that_ships_in_mid_march() -> None:
    """Held from 17 March to 16 April 2027; Easter Sunday is 28 March, full moon the 22nd."""
    found = keeping()
    assert of(found, MARCH, "season", "moon") == [
        ("spring equinox", "Sat 20 Mar"),
        ("full moon", "Mon 22 Mar"),
    ]
    assert of(found, MARCH, "feast") == [("Good Friday", "26 Mar"), ("Easter", "Sun 28 Mar")]
    assert of(found, MARCH, "holiday") == []  # Easter Monday is Easter told again
    assert ("World Water Day", "Mon 22 Mar") in of(found, MARCH, "day")


def test_what_comes_before_the_box_does_belongs_to_the_box_before() -> None:
    found = keeping()
    assert ("St David's Day", "Mon 1 Mar") in of(found, "2027-02", "day")
    assert "St David's Day" not in [text for text, _ in of(found, MARCH, "day")]
    assert ("New Year's Day", "Fri 1 Jan") in of(found, "2026-12", "holiday")
    assert ("Plough Monday", "11 Jan") in of(found, "2026-12", "day")


def test_feasts_by_the_moon_and_holidays_of_the_country() -> None:
    assert ("lunar new year", "Sat 6 Feb") in of(keeping(), "2027-01", "feast")
    british = [text for text, _ in of(keeping(), "2027-11", "day", "holiday")]
    american = of(keeping(country="US", subdivision=""), "2027-11", "day", "holiday")
    assert "St Andrew's Day" in british
    assert "Thanksgiving" not in british
    assert ("Thanksgiving Day", "Thu 25 Nov") in american
    assert [text for text, _ in american].count("Thanksgiving") == 0  # the same day, told once
    scottish = of(keeping(subdivision="SCT"), "2027-11", "day", "holiday")
    assert ("Saint Andrew's Day", "Tue 30 Nov") in scottish
    assert "St Andrew's Day" not in [text for text, _ in scottish]


def test_no_day_is_told_again_when_it_is_observed() -> None:
    told = [text for text, _ in of(keeping(), "2027-12", *IN_ORDER)]
    assert not [text for text in told if "observed" in text]
    assert [text for text in told if "Christmas" in text] == ["Christmas Day"]


def test_school_holidays() -> None:
    school = (
        Closure("half term", date(2027, 2, 15), date(2027, 2, 19), yearly=True),
        Closure("summer holidays", date(2027, 7, 22), date(2027, 8, 31)),
        Closure("a day off", date(2027, 4, 30)),
    )
    found = keeping(school=school)
    assert of(found, "2027-01", "school") == [("half term", "Mon 15 to Fri 19 Feb")]
    assert of(found, "2028-01", "school") == [("half term", "Tue 15 to Sat 19 Feb")]
    assert of(found, APRIL, "school") == [("a day off", "Fri 30 Apr")]
    summer = [("summer holidays", "Thu 22 Jul to Tue 31 Aug")]
    assert of(found, "2027-07", "school") == summer
    assert of(found, "2027-08", "school") == summer  # from 15 August they go on for two weeks
    assert of(found, "2027-09", "school") == []


def test_the_full_moons_of_a_long_wait_are_one_prompt() -> None:
    """A quarter's box is held from 17 March to 16 June."""
    found = keeping(ship_rule="the 15th in March, June, September and December")
    moons = of(found, MARCH, "moon")
    assert moons == [("full moon", "Mon 22 Mar, Tue 20 Apr, Thu 20 May")]


def test_the_zone_decides_the_day() -> None:
    """The solstice of December 2027 is at 02:42 UTC on the 22nd."""
    london, york = keeping(), keeping(zone="America/New_York")
    assert of(london, "2027-12", "season") == [("winter solstice", "Wed 22 Dec")]
    assert of(york, "2027-12", "season") == [("winter solstice", "Tue 21 Dec")]


def test_days_of_the_house_alone() -> None:
    made = replace(house(), occasions=(OccasionRule("Ferret Day", on="04-02"),))
    found = replace(keeping(), house=made)
    assert of(found, MARCH, "feast", "day") == [("Ferret Day", "Fri 2 Apr")]


# --- ideas ----------------------------------------------------------------------------------


def test_ideas_come_first_by_how_they_fit() -> None:
    found = keeping(
        idea("maps"),
        idea("wild swimming", at=CAUGHT["2026-01"]),  # waits 10 months
        idea("nests and swallows"),  # spring
        idea("an egg hunt"),  # Easter
        idea("mud", 3),
        idea("lantern walk", 11),
    )
    assert texts(found) == ["mud", "an egg hunt", "nests and swallows", "wild swimming", "maps"]


def test_an_idea_of_other_months_is_left_out() -> None:
    found = keeping(idea("lantern walk", 11), idea("frost", 1, 3))
    assert texts(found, MARCH) == ["frost"]
    assert texts(found, "2027-11") == ["lantern walk"]


def test_used_ideas_and_pictures_without_words_are_left_out() -> None:
    found = keeping(idea("moss", state="used"), idea("fern", state="let go"), idea(" ", photo="p1"))
    assert texts(found) == []


SCORES = [  # the first is the better one for March
    (idea("mud", 3), idea("egg cups", votes=11)),  # 24 against 23
    (idea("egg cups", votes=12, at=CAUGHT["2026-11"]), idea("mud", 3)),  # 24 each: the oldest
    (idea("egg cups"), idea("nests", votes=5)),  # 12 against 11
    (idea("nests", votes=7), idea("egg cups")),  # 13 against 12
    (idea("knots", votes=40), idea("twine", at=CAUGHT["2026-01"])),  # 12 against 10
    (idea("twine", at=CAUGHT["2026-03"]), idea("knots", at=CAUGHT["2026-04"])),  # 8 against 7
    (idea("twine", at=CAUGHT["2026-03"]), idea("knots", votes=7)),  # 8 against 7
]


@pytest.mark.parametrize(("better", "worse"), SCORES)
def test_the_score(better: Idea, worse: Idea) -> None:
    assert texts(keeping(worse, better))[0] == better.text


def test_ideas_that_fit_go_before_those_that_fit_any_month() -> None:
    """Whatever the score: 12 against 22."""
    found = keeping(idea("knots", votes=12, at=CAUGHT["2026-01"]), idea("egg cups"))
    assert texts(found) == ["egg cups", "knots"]


def test_only_three_that_fit_any_month_go_before_the_occasions() -> None:
    found = keeping(*(idea(f"plan {n}", at=NOW - timedelta(40 * n)) for n in range(5)))
    told = prompts(found, MARCH, TODAY)
    assert [one.text for one in told[:3]] == ["plan 4", "plan 3", "plan 2"]
    assert [one.text for one in told[-2:]] == ["plan 1", "plan 0"]
    assert told[3].source == "season"


@pytest.mark.parametrize(
    ("found", "why"),
    [
        (idea("moss"), "your idea"),
        (idea("moss", at=CAUGHT["2026-10"]), "your idea, waiting 1 month"),
        (idea("moss", at=CAUGHT["2026-06"], votes=3), "your idea, waiting 5 months, 3 votes"),
        (idea("moss", source="Anna", votes=1), "from Anna, 1 vote"),
        (idea("moss", at=NOW + timedelta(90)), "your idea"),
    ],
)
def test_why_an_idea_is_offered(found: Idea, why: str) -> None:
    told = prompts(keeping(found), MARCH, TODAY)[0]
    assert (told.why, told.idea, told.on) == (why, found.id, None)


# --- properties -----------------------------------------------------------------------------

IDEAS = st.lists(
    st.builds(
        Idea,
        id=st.uuids().map(str),
        text=st.sampled_from(("egg hunt", "maps", "nests", "tea", "we may march", "")),
        at=st.datetimes(datetime(2024, 1, 1), datetime(2027, 1, 1), timezones=st.just(UTC)),  # noqa: DTZ001
        months=st.lists(st.integers(1, 12), max_size=2).map(tuple),
        state=st.sampled_from(("waiting", "used", "let go")),
        votes=st.integers(0, 40),
    ),
    max_size=8,
)
BOXES = st.builds(
    lambda year, month: f"{year}-{month:02}", st.integers(2026, 2028), st.integers(1, 12)
)


@given(IDEAS, BOXES, st.sampled_from(("GB", "US", "AU", "CN", "")))
def test_prompts_at_random(ideas: list[Idea], box: str, country: str) -> None:
    bare = shop(country=country, subdivision="")
    found = apply(bare, [Put(one) for one in ideas])
    told = prompts(found, box, TODAY)
    first, last = days_of(found, box, TODAY)
    month = int(box[5:])
    waiting = {
        one.id
        for one in ideas
        if one.state == "waiting" and one.text and (not one.months or month in one.months)
    }
    assert sorted(one.idea for one in told if one.idea) == sorted(waiting)
    dated = [one for one in told if one.on]
    assert all(first <= one.on <= last for one in dated if one.on)
    assert [IN_ORDER.index(one.source) for one in dated] == sorted(
        IN_ORDER.index(one.source) for one in dated
    )
    assert len({one.text.casefold() for one in dated}) == len(dated)
    assert told == prompts(fresh(found), box, TODAY)


@given(st.integers(2024, 2035), st.sampled_from(("the last working day", "second Tuesday")))
def test_every_day_worth_marking_has_its_box(year: int, rule: str) -> None:
    """Over a year and the months either side, nothing of the year falls between two boxes."""
    found = shop(ship_rule=rule, country="GB", subdivision="ENG")
    today = date(year, 1, 1)
    boxes = [f"{year - 1}-12", *(f"{year}-{month:02}" for month in range(1, 13))]
    told = [one.on for box in boxes for one in occasions(found, box, today) if one.source == "moon"]
    assert told == sorted(set(told))
    assert 12 <= len([on for on in told if on.year == year]) <= 13


# --- echoes ---------------------------------------------------------------------------------

HAD = shop(
    "2025-03 rain and roots",
    "2026-10 Lantern walk",
    "2027-02 winter birds",
    "2027-03",
    "2027-04 birdsong",
    "2027-09 roots & rain",
)


@pytest.mark.parametrize(
    ("box", "theme", "expected"),
    [
        (MARCH, "Rain & Roots", ["2027-09", "2025-03"]),  # two years back to the month
        (APRIL, "Rain & Roots", ["2027-09"]),
        ("2027-09", "rain and roots", []),  # its own theme is no echo
        (MARCH, "lantern walks", ["2026-10"]),
        (MARCH, "winter walks", ["2027-02 beside"]),
        ("2027-05", "winter walks", []),
        ("2027-05", "bird song", ["2027-04 beside"]),
        (MARCH, "mending", []),
        (MARCH, " ", []),
    ],
)
def test_echoes(box: str, theme: str, expected: list[str]) -> None:
    found = [
        f"{one.box} beside" if one.side_by_side else one.box
        for one in echoes(HAD, box, theme, TODAY)
    ]
    assert found == expected


def test_the_boxes_of_a_quarter_stand_side_by_side() -> None:
    found = shop("2027-03 first frost", "2027-06", "2027-09 moss", "2027-12 fern")
    (one,) = echoes(found, "2027-06", "last frost", TODAY)
    assert (one.box, one.theme, one.side_by_side) == ("2027-03", "first frost", True)


def test_a_prompt_is_a_value() -> None:
    assert prompts(keeping(), MARCH, TODAY)[0] == Prompt(
        "spring equinox", "Sat 20 Mar", "season", on=date(2027, 3, 20)
    )
