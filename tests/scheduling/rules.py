"""Ship-day rules for tests: from words that must be one, and at random."""

from datetime import date

from hypothesis import strategies as st

from assistant.scheduling.shiprules import (
    EveryWeeks,
    MonthDay,
    NthWeekday,
    NthWorkingDay,
    ShipRule,
    parse_rule,
)
from assistant.scheduling.workdays import Roll

dates = st.dates(date(1990, 1, 1), date(2060, 12, 31))
month_days = st.builds(MonthDay, st.integers(1, 31))
nth_weekdays = st.builds(NthWeekday, st.sampled_from([1, 2, 3, 4, 5, -1, -2]), st.integers(0, 6))
nth_working_days = st.builds(NthWorkingDay, st.sampled_from([*range(1, 32), -1, -2]))
every_weeks = st.builds(EveryWeeks, st.integers(1, 52), dates)
month_sets = st.sets(st.integers(1, 12)).map(lambda months: tuple(sorted(months)))
rolls = st.one_of(st.none(), st.sampled_from(Roll))
patterns = st.one_of(month_days, nth_weekdays, nth_working_days, every_weeks)
rules = st.builds(ShipRule, patterns, rolls, month_sets)


def rule(text: str) -> ShipRule:
    found = parse_rule(text)
    assert isinstance(found, ShipRule), found
    return found
