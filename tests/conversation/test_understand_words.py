"""Words for days, amounts, lead times, boxes and thoughts, one by one."""

from datetime import date, time, timedelta
from decimal import Decimal
from importlib import import_module
from pkgutil import iter_modules

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.conversation.replies.plain import box_name, day, full_day, money
from assistant.conversation.understand import kinds, phrasings
from assistant.conversation.understand.amounts import (
    Price,
    read_clock,
    read_count,
    read_days,
    read_lead,
    read_money,
)
from assistant.conversation.understand.boxes import read_box
from assistant.conversation.understand.closures import read_closure
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.days import Stretch, read_day, read_stretch
from assistant.conversation.understand.thoughts import months_in
from assistant.conversation.understand.unclear import Unclear
from assistant.conversation.understand.words import Line, slip
from assistant.planning.model import Closure, Lead
from tests.conversation.meant import SHOP, TALK, TODAY

C = Context(SHOP, TALK, TODAY)
DAYS = st.dates(TODAY, TODAY + timedelta(days=360))


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("12 March", date(2027, 3, 12)),
        ("12th of march", date(2027, 3, 12)),
        ("March 12", date(2027, 3, 12)),
        ("mar 12th, 2028", date(2028, 3, 12)),
        ("12/3", date(2027, 3, 12)),
        ("12/3/2028", date(2028, 3, 12)),
        ("12.3.28", date(2028, 3, 12)),
        ("12.3.", date(2027, 3, 12)),
        ("2027-03-12", date(2027, 3, 12)),
        ("Friday 12 March", date(2027, 3, 12)),
        ("Fri 12 Mar", date(2027, 3, 12)),
        ("12 febuary", date(2027, 2, 12)),
        ("today", TODAY),
        ("tomorrow", date(2026, 11, 27)),
        ("tomorow", date(2026, 11, 27)),
        ("Friday", date(2026, 11, 27)),
        ("thursday", date(2026, 12, 3)),  # today is one, so the next
        ("next Tuesday", date(2026, 12, 1)),
        ("next week", date(2026, 11, 30)),
        ("in 3 days", date(2026, 11, 29)),
        ("in two weeks", date(2026, 12, 10)),
        ("in a month", date(2026, 12, 26)),
        ("the 12th", date(2026, 12, 12)),
        ("the 31st", date(2026, 12, 31)),
        ("end of March", date(2027, 3, 31)),
        ("the end of next month", date(2026, 12, 31)),
        ("29 February", date(2028, 2, 29)),  # the next that there is
        ("26 November", TODAY),
        ("25 November", date(2027, 11, 25)),
    ],
)
def test_days(text: str, meant: date) -> None:
    assert read_day(text, TODAY) == meant


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("31 February", "February has 29 days"),
        ("29 February 2027", "February 2027 has 28 days"),
        ("31/4", "April has 30 days"),
        ("12/13", "no month 13"),
        ("0 March", "March has 31 days"),
        ("Tuesday 12 March", "12 March 2027 is a Friday"),
        ("12 March 1066", "too far"),
        ("the 32nd", "no day of a month"),
    ],
)
def test_days_that_there_are_not(text: str, why: str) -> None:
    found = read_day(text, TODAY)
    assert isinstance(found, Unclear)
    assert why in found.why


@given(DAYS)
def test_a_day_that_we_write_is_read_back(on: date) -> None:
    assert read_day(day(on, TODAY), TODAY) == on
    assert read_day(full_day(on), TODAY) == on


@given(st.text(max_size=40), DAYS)
def test_any_text_is_a_day_or_not(text: str, today: date) -> None:
    assert isinstance(read_day(text, today), date | Unclear | None)
    assert isinstance(read_stretch(text, today), Stretch | Unclear | None)


@pytest.mark.parametrize(
    ("text", "first", "last"),
    [
        ("2-20 August", date(2027, 8, 2), date(2027, 8, 20)),
        ("2 to 20 august", date(2027, 8, 2), date(2027, 8, 20)),
        ("between 2 and 20 August", date(2027, 8, 2), date(2027, 8, 20)),
        ("August 2 \u2013 20".replace("\u2013", "-"), date(2027, 8, 2), date(2027, 8, 20)),
        ("2 Aug - 20 Aug 2028", date(2028, 8, 2), date(2028, 8, 20)),
        ("2/8 until 20/8", date(2027, 8, 2), date(2027, 8, 20)),
        ("2.-20.8.", date(2027, 8, 2), date(2027, 8, 20)),
        ("24 Dec - 2 Jan", date(2026, 12, 24), date(2027, 1, 2)),
        ("24 December 2027 to 2 January", date(2027, 12, 24), date(2028, 1, 2)),
        ("Mon 2 Aug to Fri 20 Aug", date(2027, 8, 2), date(2027, 8, 20)),
        ("from tomorrow until Monday", date(2026, 11, 27), date(2026, 11, 30)),
        ("20 Nov to 2 Dec", date(2026, 11, 20), date(2026, 12, 2)),  # has begun
        ("in August", date(2027, 8, 1), date(2027, 8, 31)),
        ("next week", date(2026, 11, 30), date(2026, 12, 6)),
        ("until Friday", TODAY, date(2026, 11, 27)),
        ("on 5 May", date(2027, 5, 5), date(2027, 5, 5)),
        ("from 1 May", date(2027, 5, 1), None),
        ("from 1 May on", date(2027, 5, 1), None),
        ("since 1 May", date(2027, 5, 1), None),
    ],
)
def test_stretches(text: str, first: date, last: date | None) -> None:
    assert read_stretch(text, TODAY) == Stretch(first, last)


@given(DAYS, st.integers(0, 300))
def test_a_stretch_that_we_write_is_read_back(first: date, length: int) -> None:
    last = first + timedelta(days=length)
    assert read_stretch(f"{full_day(first)} to {full_day(last)}", TODAY) == Stretch(first, last)
    months = f"{first.day} {first:%B} - {last.day} {last:%B}"
    if last >= TODAY and length < 300 and last <= TODAY + timedelta(days=364):
        assert read_stretch(months, TODAY) == Stretch(first, last)


@pytest.mark.parametrize(
    ("text", "closure"),
    [
        ("2-20 August every year", Closure("closed", date(2027, 8, 2), date(2027, 8, 20), True)),
        (
            "for the summer break 2-20 August",
            Closure("summer break", date(2027, 8, 2), date(2027, 8, 20)),
        ),
        (
            "2-20 August for stocktaking",
            Closure("stocktaking", date(2027, 8, 2), date(2027, 8, 20)),
        ),
        ("a week either side of chinese new year", None),
        ("a week before the lunar new year", None),
    ],
)
def test_closures(text: str, closure: Closure | None) -> None:
    found = read_closure(text, C)
    if closure is None:
        assert isinstance(found, Closure)
        assert found.festival
        assert (found.before, found.after) in ((7, 7), (7, 0))
    else:
        assert found == closure


@pytest.mark.parametrize(
    ("text", "amount", "currency"),
    [
        ("3.10", "3.10", ""),
        ("3,10", "3.10", ""),
        ("3", "3", ""),
        ("\u00a33.10", "3.10", "GBP"),
        ("3,10 \u20ac", "3.10", "EUR"),
        ("EUR 3.10", "3.10", "EUR"),
        ("3.10 chf", "3.10", "CHF"),
        ("1,250.00", "1250.00", ""),
        ("1.250,00", "1250.00", ""),
        ("1,250", "1250", ""),
        ("1 250", "1250", ""),
        ("80p", "0.80", "GBP"),
        ("12 dollars", "12", "USD"),
        ("0.005", "0.005", ""),
    ],
)
def test_money(text: str, amount: str, currency: str) -> None:
    assert read_money(text) == Price(Decimal(amount), currency)


@pytest.mark.parametrize("text", ["-3", "minus 3.10", "\u00a3-3", "99999999999"])
def test_money_that_cannot_be(text: str) -> None:
    assert isinstance(read_money(text), Unclear)


@given(st.decimals(0, 999999, places=2), st.sampled_from(["GBP", "EUR", "USD", "CHF"]))
def test_money_that_we_write_is_read_back(amount: Decimal, currency: str) -> None:
    assert read_money(money(amount, currency)) == Price(amount, currency)


@pytest.mark.parametrize(
    ("text", "days", "unit"),
    [
        ("20 working days", 20, "working"),
        ("20 business days", 20, "working"),
        ("20 days", 20, "working"),
        ("20d", 20, "working"),
        ("20wd", 20, "working"),
        ("30 calendar days", 30, "calendar"),
        ("4 weeks", 28, "calendar"),
        ("four weeks", 28, "calendar"),
        ("4w", 28, "calendar"),
        ("2 working weeks", 10, "working"),
        ("a fortnight", 14, "calendar"),
    ],
)
def test_lead_times(text: str, days: int, unit: str) -> None:
    found = read_lead(text)
    assert isinstance(found, Lead)
    assert (found.days, found.unit) == (days, unit)


def test_counts_and_lengths() -> None:
    assert read_count("1,204") == 1204
    assert read_count("three") == 3
    assert read_count("moss") is None
    assert isinstance(read_count("99999999"), Unclear)
    assert read_days("3 days") == 3
    assert read_days("a week") == 7
    assert isinstance(read_days("9999 days"), Unclear)


@pytest.mark.parametrize(
    ("text", "at"),
    [
        ("7:30", time(7, 30)),
        ("7.30", time(7, 30)),
        ("07:30", time(7, 30)),
        ("7am", time(7)),
        ("7 pm", time(19)),
        ("12am", time(0)),
        ("12 pm", time(12)),
        ("8 o'clock", time(8)),
        ("half past seven", time(7, 30)),
        ("noon", time(12)),
    ],
)
def test_clock_times(text: str, at: time) -> None:
    assert read_clock(text) == at


# --- boxes ----------------------------------------------------------------------------------


@given(st.dates(TODAY, date(2028, 10, 31)), st.sampled_from(["", "b"]))
def test_a_box_is_read_back_as_we_write_it(on: date, second: str) -> None:
    """Where the plan has no earlier box of that month that is still to come."""
    box = f"{on:%Y-%m}{second}"
    empty = Context(type(SHOP)(id="mossgate", house=SHOP.house), TALK, TODAY)
    assert read_box(box_name(box, TODAY), empty) == box
    assert read_box(box, C) == box


@pytest.mark.parametrize(
    ("text", "box"),
    [
        ("the March box", "2027-03"),
        ("box of March", "2027-03"),
        ("this november", "2026-11"),
        ("last November", "2025-11"),
        ("next November", "2027-11"),
        ("November", "2027-11"),  # the plan has none of this month
        ("the next box", "2027-02"),
        ("that box", "2027-03"),
        ("3/2027", "2027-03"),
        ("Sept.", "2027-09"),
        ("Septmber", "2027-09"),
        ("mrach", "2027-03"),
        ("March '28", "2028-03"),
    ],
)
def test_boxes(text: str, box: str) -> None:
    assert read_box(text, C) == box


# --- thoughts and slips ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "months"),
    [
        ("lantern walk for November, maybe a wrap", (11,)),
        ("for may", (5,)),
        ("something in June or July", (6, 7)),
        ("we may march in april", (4,)),
        ("May I have a tea", ()),
        ("March of the penguins", ()),
        ("March: penguins", (3,)),
        ("a gift before Christmas, December even", (12,)),
        ("maybe juniper", ()),
        ("see https://example.org/for/May", ()),
        ("nov", ()),
    ],
)
def test_months_of_a_thought(text: str, months: tuple[int, ...]) -> None:
    assert months_in(text) == months


@pytest.mark.parametrize(
    ("word", "meant", "how"),
    [
        ("mvoe", "move", "sure"),
        ("tehme", "theme", "sure"),
        ("themee", "theme", "sure"),
        ("subscirbers", "subscribers", "sure"),
        ("soap", "swap", "maybe"),
        ("drip", "drop", "maybe"),
        ("drops", "drop", ""),
        ("moved", "move", ""),
        ("lost", "cost", ""),
        ("move", "move", ""),
        ("", "move", ""),
    ],
)
def test_slips(word: str, meant: str, how: str) -> None:
    assert slip(word, meant) == how


@given(st.text(max_size=200))
def test_the_matched_view_of_a_line_is_as_long_as_the_line(text: str) -> None:
    line = Line.of(text)
    assert len(line.plain) == len(line.written)


def test_no_room_takes_the_name_of_another_ones_kind_of_slot() -> None:
    rooms = (
        import_module(f"{phrasings.__name__}.{one.name}")
        for one in iter_modules(phrasings.__path__)
    )
    for room in (kinds, *rooms):
        for name, kind in getattr(room, "KINDS", {}).items():
            assert phrasings.KINDS[name] is kind, (room.__name__, name)
