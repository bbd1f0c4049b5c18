"""The calendars of a shop and its suppliers. All suppliers are invented."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from msgspec.structs import replace

from assistant.planning.calendars import calendars, missing
from assistant.planning.changes import apply
from assistant.planning.model import Almanac, Put, Shop
from tests.planning.plans import TODAY, fresh, shops
from tests.trade import shop, supplier, with_holidays


def test_each_party_keeps_the_holidays_of_its_country() -> None:
    # Source: State Council of China, notice of holiday arrangements for 2026, dated 2025-11-04
    # (28 February 2026 is worked); GOV.UK bank holidays (Easter Monday 2026 is 6 April).
    found = calendars(with_holidays(shop("Hangfeng CN", "Aldermoor"), TODAY), TODAY)
    assert found.of("hangfeng").is_working(date(2026, 2, 28))
    assert found.of("hangfeng").is_working(date(2026, 4, 7))
    assert not found.of("hangfeng").is_working(date(2026, 2, 17))
    for party in (found.shop, found.of("aldermoor"), found.of("nobody we know"), found.of("")):
        assert not party.is_working(date(2026, 2, 28))
        assert not party.is_working(date(2026, 4, 6))


def test_a_supplier_in_another_part_of_the_country_keeps_its_own_days() -> None:
    # Source: GOV.UK bank holidays: St Andrew's Day, 30 November 2026, in Scotland only.
    found = calendars(with_holidays(shop("Tannwald GB/SCT"), TODAY), TODAY)
    assert found.shop.is_working(date(2026, 11, 30))
    assert not found.of("tannwald").is_working(date(2026, 11, 30))


CLOSURES = (
    ("2027-05-04 to 2027-05-07", date(2027, 5, 5), False),
    ("2027-05-04 to 2027-05-07", date(2027, 5, 10), True),
    ("2-20 Aug yearly", date(2026, 8, 5), False),
    ("2-20 Aug yearly", date(2029, 8, 6), False),
    ("2-20 Aug yearly", date(2028, 8, 21), True),
    ("24 Dec-2 Jan yearly", date(2025, 12, 30), False),  # begun in the year before the window
    ("24 Dec-2 Jan yearly", date(2028, 12, 29), False),
    ("from 2028-03-01", date(2028, 2, 29), True),
    ("from 2028-03-01", date(2039, 3, 1), False),
    # The lunar new year of 2027 is 6 February (Hong Kong Observatory conversion tables).
    ("8 before 3 after the lunar new year", date(2027, 1, 28), True),
    ("8 before 3 after the lunar new year", date(2027, 1, 29), False),
    ("8 before 3 after the lunar new year", date(2027, 2, 9), False),
    ("8 before 3 after the lunar new year", date(2027, 2, 10), True),
)


@pytest.mark.parametrize(("text", "day", "works"), CLOSURES)
def test_closures(text: str, day: date, works: bool) -> None:
    closed = shop(f"Brackenfold: closed {text}")
    assert calendars(closed, TODAY).of("brackenfold").is_working(day) is works
    assert calendars(closed, TODAY).shop.is_working(day)


def test_a_suppliers_closure_without_a_date_for_next_year_is_expected_again() -> None:
    # Common practice, no source.
    made = shop("Brackenfold: closed 2026-08-03 to 2026-08-14, closed 2027-08-02 to 2027-08-13")
    calendar = calendars(with_holidays(made, TODAY), TODAY).of("brackenfold")
    assert calendar.is_working(date(2027, 8, 16))  # the older closure is not expected again
    assert not calendar.provisional(date(2027, 8, 3))
    assert not calendar.is_working(date(2028, 8, 3))
    assert calendar.provisional(date(2028, 8, 3))
    assert calendar.is_working(date(2025, 8, 4))  # nor any in the years before
    [run] = calendar.skipped(date(2028, 8, 2), date(2028, 8, 13))
    assert "as in 2027" in run.reason


def test_the_shops_own_days_off_are_not_expected_again() -> None:
    made = shop(closures=supplier("Own: closed 2027-08-02 to 2027-08-13").closures)
    assert not calendars(made, TODAY).shop.is_working(date(2027, 8, 3))
    assert calendars(made, TODAY).shop.is_working(date(2028, 8, 3))


def test_a_week_that_cannot_be_read_is_the_usual_one() -> None:
    made = calendars(shop(week="whenever I like"), TODAY).shop
    assert [made.is_working(date(2027, 3, 1) + timedelta(n)) for n in range(7)] == [True] * 5 + [
        False,
        False,
    ]


def test_years_without_an_official_notice_are_provisional() -> None:
    # China's worked weekends are set by a notice each year: none can be known for 2029 yet.
    found = calendars(with_holidays(shop("Hangfeng CN"), TODAY), TODAY)
    assert not found.of("hangfeng").provisional(date(2026, 3, 2))
    assert found.of("hangfeng").provisional(date(2029, 3, 2))
    assert not found.shop.provisional(date(2029, 3, 2))
    assert found.shop.provisional(date(2031, 3, 3))  # beyond the table


# --- public holidays that are not kept yet ---------------------------------------------------


def test_what_is_missing_is_asked_for_once() -> None:
    made = shop("Hangfeng CN", "Kirigawa JP", "Second CN", "Aldermoor")
    wanted = missing(made, TODAY)
    years = range(TODAY.year - 1, TODAY.year + 4)
    assert [record.id for record in wanted] == [
        *(f"GB/ENG/{year}" for year in years),
        *(f"CN/{year}" for year in years),
        *(f"JP/{year}" for year in years),
    ]
    kept = apply(made, map(Put, wanted))
    assert missing(kept, TODAY) == ()
    assert [record.id for record in missing(kept, TODAY.replace(year=2027))] == [
        "GB/ENG/2030",
        "CN/2030",
        "JP/2030",
    ]


def test_holidays_of_another_edition_are_derived_anew() -> None:
    kept = with_holidays(shop(), TODAY)
    old = replace(kept.almanac[0], off=(), edition="an older one")
    [anew] = missing(apply(kept, [Put(old)]), TODAY)
    assert anew == kept.almanac[0]


def test_a_country_without_data_has_no_holidays_and_nothing_is_missing() -> None:
    made = with_holidays(shop("Aldermoor ZZ", "Hangfeng XY/Q"), TODAY)
    assert missing(made, TODAY) == ()
    assert calendars(made, TODAY).of("aldermoor").is_working(date(2026, 12, 25))


def test_almanacs_hold_names_and_edition() -> None:
    record = next(one for one in missing(shop(), TODAY) if one.id == "GB/ENG/2027")
    assert isinstance(record, Almanac)
    assert (date(2027, 3, 29), "Easter Monday") in record.off
    assert record.edition


# --- built once ------------------------------------------------------------------------------


def test_an_unchanged_shop_costs_nothing_and_a_change_its_own_calendar_only() -> None:
    made = with_holidays(shop("Hangfeng CN", "Aldermoor"), TODAY)
    before = calendars(made, TODAY)
    assert calendars(replace(made, version=9, boxes=()), TODAY.replace(month=1)) is before
    after = calendars(apply(made, [Put(supplier("Aldermoor: closed 2-20 Aug yearly"))]), TODAY)
    assert after.of("hangfeng") is before.of("hangfeng")
    assert after.shop is before.shop
    assert after.of("aldermoor") != before.of("aldermoor")


@given(shops())
def test_what_is_kept_equals_what_is_built_anew(made: Shop) -> None:
    anew, kept = calendars(fresh(made), TODAY), calendars(made, TODAY)
    assert anew == kept


@pytest.mark.parametrize("today", [date(1, 1, 1), date(9999, 12, 31)])
def test_the_ends_of_time_are_survived(today: date) -> None:
    assert missing(shop("Hangfeng CN"), today) is not None
    assert calendars(shop("Hangfeng CN: closed 2-20 Aug yearly"), today).shop.provisional(today)
