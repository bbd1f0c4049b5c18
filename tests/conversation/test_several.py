"""Words for several months and several items: seasons of the shop's country, plurals, "all".

Seasons are common practice, no source. Shops and items are invented.
"""

from datetime import date

import pytest
from msgspec.structs import replace

from assistant.conversation.understand.context import Context
from assistant.conversation.understand.several import read_items, read_months, seasons
from assistant.conversation.understand.unclear import Unclear
from assistant.planning.model import Profile, RecurringType, Talk
from tests.trade import shop

TODAY = date(2027, 3, 10)
YEAR = shop(
    "2027-02 Frost: enamel pin",
    "2027-03 Rain: oat biscuits; swift badge, type enamel pin",
    "2027-05 Swifts: enamel pin; moth badge, type Enamel Pins; tea",
)
YEAR = replace(YEAR, types=(RecurringType("pin", "enamel pin"),))
HERE = Context(YEAR, Talk(id="", item="2027-05.tea"), TODAY)


@pytest.mark.parametrize(
    ("said", "country", "months"),
    [
        ("autumn", "GB", (9, 10, 11)),
        ("next autumn", "US", (9, 10, 11)),
        ("the fall", "US", (9, 10, 11)),
        ("spring", "AU", (9, 10, 11)),
        ("autumn", "NZ", (3, 4, 5)),
        ("winter", "DE", (12, 1, 2)),
        ("winter", "ZA", (6, 7, 8)),
        ("summer", "AR", (12, 1, 2)),
        ("the second half of the year", "GB", (7, 8, 9, 10, 11, 12)),
        ("Q3", "GB", (7, 8, 9)),
        ("June or July", "GB", (6, 7)),
        ("Nov to Feb", "GB", (11, 12, 1, 2)),
        ("sept, oct and nov", "GB", (9, 10, 11)),
        ("febuary", "GB", (2,)),
    ],
)
def test_months_as_people_say_them(said: str, country: str, months: tuple[int, ...]) -> None:
    known = replace(YEAR, profile=(Profile(country=country),))
    assert read_months(said, Context(known, Talk(id=""), TODAY)) == months


@pytest.mark.parametrize("said", ["the moon", "banana", "May 2028", "june or banana", "next month"])
def test_words_that_are_no_months(said: str) -> None:
    assert read_months(said, Context(YEAR, Talk(id=""), TODAY)) is None


@pytest.mark.parametrize(
    ("country", "names"),
    [("GB", "summer autumn winter spring"), ("NZ", "winter spring summer autumn")],
)
def test_the_next_season_to_begin_is_offered_first(country: str, names: str) -> None:
    known = replace(YEAR, profile=(Profile(country=country),))
    found = seasons(Context(known, Talk(id=""), TODAY))
    assert " ".join(name for name, _ in found) == names


@pytest.mark.parametrize(
    ("said", "items"),
    [
        ("the pins", ("2027-03.swift badge", "2027-05.enamel pin", "2027-05.moth badge")),
        ("all enamel pins", ("2027-03.swift badge", "2027-05.enamel pin", "2027-05.moth badge")),
        ("both badges", ("2027-03.swift badge", "2027-05.moth badge")),
        ("every badge", ("2027-03.swift badge", "2027-05.moth badge")),
        ("the biscuits", ("2027-03.oat biscuits",)),
        ("the tea", ("2027-05.tea",)),
        ("it", ("2027-05.tea",)),
        ("lanterns", None),
        ("the wish list", None),
    ],
)
def test_items_as_people_name_several(said: str, items: tuple[str, ...] | None) -> None:
    """None of a month that is over."""
    assert read_items(said, HERE) == items


def test_one_of_several_is_asked_about() -> None:
    found = read_items("the badge", HERE)
    assert isinstance(found, Unclear)
    assert len(found.offers) == 2
