"""Public holidays, festivals and closures against official calendars."""

from datetime import date, timedelta

import holidays
import holidays.version
import pytest
from dateutil.easter import easter

from assistant.scheduling import daysoff
from assistant.scheduling.daysoff import (
    HolidayYear,
    edition,
    expected_closure,
    festival_closure,
    lunar_new_year,
    public_holidays,
    subdivision_code,
    working_calendar,
    yearly_closure,
)
from assistant.scheduling.workdays import Problem, Span, Week

MON_FRI = Week.from_string("Mon-Fri")


def day(text: str) -> date:
    return date.fromisoformat(text)


def words(text: str) -> list[str]:
    return text.split()


def year_of(country: str, year: int, subdivision: str | None = None) -> HolidayYear:
    found = public_holidays(country, subdivision, year)
    assert isinstance(found, HolidayYear)
    return found


def weekdays_off(year: HolidayYear) -> list[str]:
    return [f"{off:%m-%d}" for off, _ in year.off if off.weekday() < 5]


def working_days(year: HolidayYear) -> int:
    first, after = date(year.year, 1, 1), date(year.year + 1, 1, 1)
    return working_calendar(MON_FRI, [year], first=first, last=after).count(first, after)


# --- official calendars ---------------------------------------------------------------------


def test_us_federal_days_2026() -> None:
    # Source: 5 U.S.C. 6103 with the observance rule of the Office of Personnel Management; dates
    # also in Federal Reserve Board, K.8 Holiday Schedule (last update 2025-12-31).
    year = year_of("US", 2026)
    expected = "01-01 01-19 02-16 05-25 06-19 07-03 09-07 10-12 11-11 11-26 12-25"
    assert weekdays_off(year) == expected.split()
    assert working_days(year) == 250


@pytest.mark.parametrize(
    ("year", "expected", "worked"),
    [
        (2026, "01-01 04-03 04-06 05-04 05-25 08-31 12-25 12-28", 253),
        (2027, "01-01 03-26 03-29 05-03 05-31 08-30 12-27 12-28", 253),
        (2028, "01-03 04-14 04-17 05-01 05-29 08-28 12-25 12-26", 252),
    ],
)
def test_bank_holidays_of_england_and_wales(year: int, expected: str, worked: int) -> None:
    # Source: UK Government, data file behind gov.uk/bank-holidays, version of 2026-08-21.
    england = year_of("GB", year, "ENG")
    assert weekdays_off(england) == expected.split()
    assert weekdays_off(year_of("GB", year, "WLS")) == expected.split()
    assert working_days(england) == worked
    assert not england.provisional


def test_worked_weekends_of_china_2026() -> None:
    # Source: State Council of China, notice of holiday arrangements for 2026, dated 2025-11-04.
    china = year_of("CN", 2026)
    assert [f"{on:%m-%d}" for on in china.on] == words("01-04 02-14 02-28 05-09 09-20 10-10")
    spring = [f"{off:%m-%d}" for off, _ in china.off if off.month == 2]
    assert spring == words("02-16 02-17 02-18 02-19 02-20 02-23")
    assert dict(china.off)[day("2026-02-23")] == "day off for working on 28 February 2026"
    assert not china.provisional


LUNAR_YEARS = range(2024, 2031)


@pytest.mark.parametrize(
    ("year", "expected"),
    list(zip(LUNAR_YEARS, words("02-10 01-29 02-17 02-06 01-26 02-13 02-03"), strict=True)),
)
def test_lunar_new_year(year: int, expected: str) -> None:
    # Source: Hong Kong Observatory, Gregorian-Lunar Calendar Conversion Tables (2026 to 2030);
    # 2024 and 2025 from a public New Year list.
    assert lunar_new_year(year) == day(f"{year}-{expected}")


@pytest.mark.parametrize(
    ("feast", "expected"),
    [
        ("Mid-Autumn Festival", "09-17 10-06 09-25 09-15 10-03 09-22 09-12"),
        ("Dragon Boat Festival", "06-10 05-31 06-19 06-09 05-28 06-16 06-05"),
    ],
)
def test_other_lunar_feasts(feast: str, expected: str) -> None:
    # Source: Hong Kong Observatory, Gregorian-Lunar Calendar Conversion Tables (2026 to 2030);
    # 2024 and 2025 recomputed only.
    found = [
        next(off for off, name in year_of("CN", year).off if feast in name.split(" and "))
        for year in LUNAR_YEARS
    ]
    assert [f"{off:%m-%d}" for off in found] == expected.split()


def test_lunar_new_year_as_in_the_holiday_data() -> None:
    for year in range(2020, 2061):
        china = holidays.country_holidays("CN", years=year, observed=False, language="en_US")
        feast = min(off for off, name in china.items() if "(Spring Festival)" in name)
        assert lunar_new_year(year) == feast
    assert (lunar_new_year(2019), lunar_new_year(2061)) == (None, None)


def test_western_easter() -> None:
    # Source: python-dateutil, test table of test_easter.py.
    expected = words("03-31 04-20 04-05 03-28 04-16 04-01 04-21 04-13 03-28 04-17 04-09 03-25")
    assert [f"{easter(year):%m-%d}" for year in range(2024, 2036)] == expected


def test_easter_monday_of_the_holiday_data_follows_easter() -> None:
    for year in range(2024, 2036):
        names = {name: off for off, name in year_of("GB", year, "ENG").off}
        assert names["Easter Monday"] - easter(year) == timedelta(1)


@pytest.mark.parametrize(
    ("on", "expected"),
    [
        ("2003-12-29", "2004-W01-1"),
        ("2004-01-04", "2004-W01-7"),
        ("2005-01-01", "2004-W53-6"),
        ("2005-12-31", "2005-W52-6"),
        ("2007-12-31", "2008-W01-1"),
        ("2008-12-28", "2008-W52-7"),
        ("2008-12-29", "2009-W01-1"),
        ("2009-12-31", "2009-W53-4"),
        ("2010-01-03", "2009-W53-7"),
        ("2010-01-04", "2010-W01-1"),
    ],
)
def test_iso_weeks(on: str, expected: str) -> None:
    # Source: ISO 8601 week rule; the rows of 2003-12-29 and 2004-01-04 are the example in the
    # Python documentation of date.isocalendar.
    year, week, weekday = day(on).isocalendar()
    assert f"{year}-W{week:02}-{weekday}" == expected
    assert day(expected) == day(on)


# --- what is known and what is not ----------------------------------------------------------


@pytest.mark.parametrize(
    ("country", "year", "why"),
    [
        ("CN", 2200, "beyond the data"),
        ("CN", 2040, "no notice of worked weekends yet"),
        ("HU", 2040, "no notice of worked weekends yet"),
        ("AE", 2040, "feasts by sight of the moon"),
        ("GB", 1800, "before the data"),
        ("GB", 10000, "no such year"),
    ],
)
def test_provisional_years(country: str, year: int, why: str) -> None:
    assert year_of(country, year).provisional, why


@pytest.mark.parametrize("country", ["GB", "US", "DE", "JP"])
def test_countries_that_go_by_rule_are_settled_ahead(country: str) -> None:
    assert not year_of(country, 2040).provisional


def test_unknown_places_get_a_sentence() -> None:
    for country, subdivision in (("ZZ", None), ("DE", "Q"), ("GB/ENG", None), ("germany", None)):
        found = public_holidays(country, subdivision, 2026)
        assert isinstance(found, Problem)
        assert isinstance(public_holidays(found.example, None, 2026), HolidayYear)


def test_subdivisions_by_name() -> None:
    assert subdivision_code("DE", "bayern") == "BY"
    assert subdivision_code("GB", "Scotland") == "SCT"
    assert subdivision_code("AU", "VIC") == "VIC"
    for country, name in (("DE", "Cornwall"), ("IE", "Cork"), ("ZZ", "")):
        assert isinstance(subdivision_code(country, name), Problem)


def test_a_subdivision_may_be_named_in_full() -> None:
    assert year_of("DE", 2026, "Bayern").off == year_of("DE", 2026, "BY").off


def test_every_day_off_has_a_plain_name() -> None:
    for country in ("CN", "JP", "DE", "AE", "GR", "RU", "TH"):
        names = [name for _, name in year_of(country, 2026).off]
        assert names
        assert all(name.isascii() and "substituted" not in name for name in names), country


def test_the_edition_names_the_data() -> None:
    assert edition().startswith(holidays.version.__version__)


# --- closures -------------------------------------------------------------------------------


def test_festival_closure_either_side() -> None:
    assert festival_closure([2026, 2027, 3000], 10, 10) == (
        Span(day("2026-02-07"), day("2026-02-27"), "lunar new year closure"),
        Span(day("2027-01-27"), day("2027-02-16"), "lunar new year closure"),
    )


def test_yearly_closure() -> None:
    summer = Span(day("2026-08-02"), day("2026-08-20"), "summer closure")
    assert [(str(s.first), str(s.last)) for s in yearly_closure(summer, [2026, 2028])] == [
        ("2026-08-02", "2026-08-20"),
        ("2028-08-02", "2028-08-20"),
    ]


def test_yearly_closure_over_the_new_year_is_there_in_january() -> None:
    winter = Span(day("2026-12-24"), day("2027-01-02"), "winter closure")
    assert [str(s.first) for s in yearly_closure(winter, [2027])] == ["2026-12-24", "2027-12-24"]


def test_yearly_closure_of_a_leap_day() -> None:
    leap = Span(day("2028-02-20"), day("2028-02-29"), "closed")
    assert [str(s.last) for s in yearly_closure(leap, [2027, 2028])] == ["2027-02-28", "2028-02-29"]


def test_a_closure_without_end_is_not_repeated() -> None:
    gone = Span(day("2026-12-24"), None)
    assert yearly_closure(gone, [2026, 2027]) == (gone,)
    assert expected_closure(gone, [2026, 2027]) == ()


def test_an_expected_closure_is_provisional_and_says_where_it_is_from() -> None:
    summer = Span(day("2026-08-02"), day("2026-08-20"), "summer closure")
    assert expected_closure(summer, [2026, 2027]) == (
        Span(day("2027-08-02"), day("2027-08-20"), "summer closure, as in 2026", provisional=True),
    )


# --- the calendar of a country and a closure ------------------------------------------------


def test_a_weekend_worked_by_notice_stays_closed_within_a_closure() -> None:
    china = [year_of("CN", 2026)]
    closures = festival_closure([2026], 10, 10)
    first, last = day("2026-01-01"), day("2026-12-31")
    public = working_calendar(MON_FRI, china, first=first, last=last)
    own = working_calendar(MON_FRI, china, closures, first=first, last=last)
    insisted = working_calendar(
        MON_FRI, china, closures, [day("2026-02-14")], first=first, last=last
    )
    worked = ["2026-02-14", "2026-02-28"]
    assert [public.is_working(day(d)) for d in worked] == [True, True]
    assert [own.is_working(day(d)) for d in worked] == [False, True]  # the 28th lies after it
    assert insisted.is_working(day("2026-02-14"))


def test_a_calendar_is_provisional_from_its_first_open_year() -> None:
    years = [HolidayYear("CN", None, y, (), (), y > 2026) for y in (2026, 2027, 2028)]
    cal = working_calendar(MON_FRI, years, first=day("2026-01-01"), last=day("2028-12-31"))
    assert not cal.provisional(day("2026-12-31"))
    assert cal.provisional(day("2027-01-01"))


def test_years_that_were_not_given_are_provisional() -> None:
    years = [HolidayYear("GB", "ENG", 2026, (), (), False)]
    cal = working_calendar(MON_FRI, years, first=day("2026-01-01"), last=day("2027-12-31"))
    assert not cal.provisional(day("2026-12-31"))
    assert cal.provisional(day("2027-01-01"))


def test_closures_alone_make_a_settled_calendar() -> None:
    cal = working_calendar(MON_FRI, [], first=day("2026-01-01"), last=day("2027-12-31"))
    assert not cal.provisional(day("2027-12-31"))


def test_reasons_come_with_the_calendar() -> None:
    cal = working_calendar(
        MON_FRI,
        [year_of("GB", 2026, "ENG")],
        [Span(day("2026-08-02"), day("2026-08-20"), "summer closure")],
        first=day("2026-01-01"),
        last=day("2026-12-31"),
    )
    reasons = [skip.reason for skip in cal.skipped(day("2026-08-03"), day("2026-08-31"))]
    assert reasons == ["summer closure", "weekend", "weekend", "Late Summer Bank Holiday"]


def test_holidays_is_imported_on_first_use_only() -> None:
    assert "holidays" not in vars(daysoff)
