"""The days worth marking of config/occasions.toml, read back by dateutil."""

from collections import Counter
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from assistant.planning.model import OccasionRule
from assistant.scheduling.countries import country_name
from assistant.scheduling.occasions import day_of
from tests.scheduling.test_occasions import YEARS, occurrences_in
from tests.trade import house

DAYS = house().occasions


def named(name: str, country: str = "") -> OccasionRule:
    return next(
        one for one in DAYS if one.name == name and (not country or country in one.countries)
    )


@pytest.mark.parametrize("rule", DAYS, ids=lambda one: one.name)
def test_each_gives_one_day_every_year(rule: OccasionRule) -> None:
    for year in YEARS:
        found = day_of(year, rule.on, rule.rule, rule.easter)
        assert found.year == year
        if rule.rule:
            assert occurrences_in(year, rule.rule) == [found]


def test_the_table_covers_the_year() -> None:
    months = Counter(day_of(2027, one.on, one.rule, one.easter).month for one in DAYS)
    assert min(months[month] for month in range(1, 13)) >= 3


def test_every_day_has_words_and_known_countries() -> None:
    for one in DAYS:
        assert one.words, one.name
        assert len(one.name) <= 40, one.name  # on one line of a phone
        assert all(country_name(code) for code in one.countries), one.name


@pytest.mark.parametrize(
    ("name", "country", "year", "expected"),
    [
        # Sources: 5 U.S.C. 6103 (Thanksgiving); directive 2000/84/EC (clocks); the others are
        # values from memory.
        ("Thanksgiving", "US", 2026, date(2026, 11, 26)),
        ("The clocks go forward", "GB", 2026, date(2026, 3, 29)),
        ("The clocks go back", "GB", 2026, date(2026, 10, 25)),
        ("Mothering Sunday", "GB", 2026, date(2026, 3, 15)),
        ("Pancake Day", "GB", 2026, date(2026, 2, 17)),
        ("Mother's Day", "US", 2026, date(2026, 5, 10)),
        ("Father's Day", "GB", 2026, date(2026, 6, 21)),
        ("Father's Day", "AU", 2026, date(2026, 9, 6)),
        ("Grandparents Day", "US", 2026, date(2026, 9, 13)),
        ("Stir-up Sunday", "GB", 2026, date(2026, 11, 22)),
        ("Plough Monday", "GB", 2026, date(2026, 1, 12)),
    ],
)
def test_known_days(name: str, country: str, year: int, expected: date) -> None:
    rule = named(name, country)
    assert day_of(year, rule.on, rule.rule, rule.easter) == expected


def test_the_clocks_change_as_the_zone_says() -> None:
    """Independent source: the zone database."""
    london = ZoneInfo("Europe/London")
    for year in range(2024, 2037):
        for name, change in (("forward", timedelta(hours=1)), ("back", -timedelta(hours=1))):
            rule = named(f"The clocks go {name}", "GB")
            on = day_of(year, rule=rule.rule)
            before = datetime(on.year, on.month, on.day, 0, tzinfo=london).utcoffset()
            after = datetime(on.year, on.month, on.day, 12, tzinfo=london).utcoffset()
            assert before is not None
            assert after is not None
            assert after - before == change
