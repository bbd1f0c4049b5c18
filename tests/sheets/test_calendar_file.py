"""What stands in a calendar file: events, reminders, text, as two parsers read them."""

import re
from collections.abc import Iterable
from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

import pytest
import vobject
from hypothesis import given, settings
from hypothesis import strategies as st
from icalendar import Calendar
from msgspec.structs import replace

from assistant.planning.agenda import agenda
from assistant.planning.changes import apply
from assistant.planning.model import Mark, Profile, Put, Run, Shop
from assistant.sheets.calendar_file import calendar_file
from tests.sheets.calendars import (
    JO,
    LONDON,
    NEW_YORK,
    NOTEBOOK,
    NOW,
    PLAN,
    TODAY,
    WREN,
    Read,
    by_vobject,
    made,
    plan,
    read,
    titled,
)
from tests.trade import shop, with_holidays

# --- what is in it --------------------------------------------------------------------------


def test_every_deadline_that_is_nudged_for_is_there_once_on_its_day() -> None:
    entries = agenda(PLAN, WREN, TODAY)
    events = read(made(PLAN).content).values()
    assert sorted((one.first, one.last) for one in events) == sorted(
        (one.first, one.last) for one in entries
    )
    assert not any("making of" in one.summary.lower() for one in events)  # carries a date only


def test_titles_stand_for_themselves() -> None:
    titles = titled(made(PLAN).content)
    assert {
        "Order notebook (March)",
        "Pack March: Rain & Roots",
        "Ship March: Rain & Roots",
        "Take the final subscriber count (May)",
        "Done: settle the theme (March)",
    } <= set(titles)


def test_pack_days_are_one_event_up_to_the_day_before_the_boxes_go() -> None:
    """420 boxes at 30 an hour, six hours a day, are three days; the 15th is a Monday."""
    pack = titled(made(PLAN).content)["Pack March: Rain & Roots"]
    assert (pack.first, pack.last) == (date(2027, 3, 10), date(2027, 3, 12))
    booked = replace(PLAN, runs=(Run("2027-03", collection=date(2027, 3, 12)),))
    pack = titled(made(booked).content)["Pack March: Rain & Roots"]
    assert pack.last == date(2027, 3, 11)
    ship = titled(made(PLAN).content)["Ship March: Rain & Roots"]
    assert (ship.first, ship.last) == (date(2027, 3, 15), date(2027, 3, 15))


def test_the_end_is_exclusive_and_days_carry_no_time() -> None:
    """Source: RFC 5545, section 3.6.1: DTEND of days is the day after the last."""
    lines = made(PLAN).content.decode().split("\r\n")
    at = lines.index("SUMMARY:Pack March: Rain & Roots")
    assert "DTSTART;VALUE=DATE:20270310" in lines[at - 3 : at]
    assert "DTEND;VALUE=DATE:20270313" in lines[at - 3 : at]
    assert not any(line.startswith(("DTSTART:", "DTEND:", "DTSTART;TZID")) for line in lines)


def test_the_frame_is_that_of_the_standard() -> None:
    """Source: RFC 5545, sections 3.4, 3.6 and 3.7."""
    content = made(PLAN).content
    assert content.startswith(b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:")
    assert content.endswith(b"END:VEVENT\r\nEND:VCALENDAR\r\n")
    assert not re.search(rb"(?<!\r)\n|\r(?!\n)", content)
    for event in Calendar.from_ical(content).events:
        assert event["DTSTAMP"].dt == NOW
        for alarm in event.walk("VALARM"):
            assert {"ACTION", "DESCRIPTION", "TRIGGER"} <= set(alarm)
            assert alarm["TRIGGER"].params["VALUE"] == "DATE-TIME"


def test_done_is_marked_without_a_reminder_and_not_needed_is_left_out() -> None:
    marked = replace(
        PLAN, ledger=(Mark(f"{NOTEBOOK}/order", "done"), Mark("2027-03/card", "not needed"))
    )
    titles = titled(made(marked).content)
    assert titles["Done: order notebook (March)"].rings == ()
    assert not any("card" in title and "(March)" in title for title in titles)


def test_a_date_that_leans_on_what_is_not_settled_is_tentative() -> None:
    festive = with_holidays(
        shop(
            "Hangfeng CN: lead 20d, closed 10 before 5 after the lunar new year",
            "2028-03 Rain: notebook@Hangfeng",
        ),
        TODAY,
    )
    doubts = {one.key for one in agenda(festive, WREN, TODAY) if one.provisional and not one.done}
    events = read(made(festive).content).values()
    assert sum(one.status == "TENTATIVE" for one in events) == len(doubts) > 0
    assert {one.status for one in events} == {"TENTATIVE", "CONFIRMED"}


def test_no_money_is_in_it() -> None:
    priced = made(PLAN).content
    assert b"3.10" not in priced
    assert "\u00a3".encode() not in priced


# --- reminders ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("zone", "before", "after"),
    [
        # Source: IANA time zone database, rules EU and US: 28 March and 14 March 2027.
        (LONDON, date(2027, 3, 28), date(2027, 3, 28)),
        (NEW_YORK, date(2027, 3, 14), date(2027, 3, 14)),
    ],
)
def test_a_reminder_rings_at_her_hour_on_both_sides_of_a_change_of_clocks(
    zone: str, before: date, after: date
) -> None:
    early = time(7, 45)
    person = replace(WREN, digest_at=early, weekends=True)
    events = by_vobject(made(plan(zone=zone), person).content).values()
    rings = [(one.first, ring) for one in events for ring in one.rings]
    assert any(on < before for on, _ in rings)
    assert any(on >= after for on, _ in rings)
    for on, ring in rings:
        shown = ring.astimezone(ZoneInfo(zone))
        assert (shown.date(), shown.time()) == (on, early)
    assert len({ring.time() for _, ring in rings}) == 2  # an hour apart in UTC


def test_a_reminder_goes_by_her_own_zone() -> None:
    away = replace(WREN, zone=NEW_YORK)
    for one in read(made(PLAN, away).content).values():
        for ring in one.rings:
            assert ring.astimezone(ZoneInfo(NEW_YORK)).time() == PLAN.house.digest_at


def test_what_falls_on_a_weekend_is_told_on_the_friday_before() -> None:
    saturday = replace(
        PLAN, boxes=tuple(replace(one, ship_on=date(2027, 3, 13)) for one in PLAN.boxes[:1])
    )
    ship = titled(made(saturday).content)["Ship March: Rain & Roots"]
    assert ship.first == date(2027, 3, 13)
    (ring,) = ship.rings
    assert ring.date() == date(2027, 3, 12)
    keen = replace(WREN, weekends=True)
    (ring,) = titled(made(saturday, keen).content)["Ship March: Rain & Roots"].rings
    assert ring.date() == date(2027, 3, 13)


def test_what_is_given_to_somebody_else_reminds_nobody_else() -> None:
    given = replace(PLAN, ledger=(Mark("2027-03/count", to="jo"),))
    title = "Take the final subscriber count (March)"
    assert titled(made(given).content)[title].rings == ()
    assert len(titled(made(given, JO).content)[title].rings) == 1


def test_what_is_put_off_reminds_on_the_day_it_is_put_off_to() -> None:
    until = date(2027, 3, 11)
    off = replace(PLAN, ledger=(Mark("2027-03/count", until=until),))
    (ring,) = titled(made(off).content)["Take the final subscriber count (March)"].rings
    assert ring.date() == until


def test_no_reminder_is_in_the_past() -> None:
    for today in (date(2027, 2, 15), date(2027, 3, 14)):
        stamp = datetime.combine(today, time(12), UTC)
        content = calendar_file(PLAN, WREN, today, stamp, "seed").content
        rings = [ring for one in read(content).values() for ring in one.rings]
        assert rings
        assert min(rings) > stamp


# --- text -----------------------------------------------------------------------------------


def unfolded(content: bytes) -> list[str]:
    return content.decode().replace("\r\n ", "").split("\r\n")


def named(text: str) -> Shop:
    """A shop of this name; what an event says is made of it too."""
    return plan(name=text)


def test_unfolding_is_that_of_the_standard() -> None:
    """Source: RFC 5545, section 3.1."""
    folded = b"DESCRIPTION:This is a lo\r\n ng description\r\n  that exists on a long line."
    assert unfolded(folded) == [
        "DESCRIPTION:This is a long description that exists on a long line."
    ]


@pytest.mark.parametrize(
    ("text", "written"),
    [
        # Source: RFC 5545, section 3.3.11.
        (
            "Project XYZ Final Review\nConference Room - 3B\nCome Prepared.",
            r"Project XYZ Final Review\nConference Room - 3B\nCome Prepared.",
        ),
        ('a;b,c\\d:e"f', r'a\;b\,c\\d:e"f'),
        ("a\r\nb\rc\x0bd\u2028e\x85f", r"a\nb\nc\nd\ne\nf"),
        ("bell\x07 nul\x00 half\ud800", "bell nul half"),
    ],
)
def test_text_is_escaped(text: str, written: str) -> None:
    content = made(named(text)).content
    assert f"NAME:{written}" in unfolded(content)


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=300))
def test_lines_are_short_and_no_character_is_cut(text: str) -> None:
    """Source: RFC 5545, section 3.1: at most 75 octets without the line break."""
    march = replace(PLAN.boxes[0], theme=text)
    content = made(apply(named(text), (Put(march),))).content
    for line in content.split(b"\r\n"):
        assert len(line) <= 75
        line.decode()
    wanted = re.sub("\r\n|[\r\x0b\x0c\x85\u2028\u2029]", "\n", text)
    wanted = re.sub("[\x00-\x08\x0e-\x1f\x7f]", "", wanted)
    said = f'For the box of March 2027: "{wanted}".' if text else "For the box of March 2027."
    events = Calendar.from_ical(content).events
    assert said in [str(one["DESCRIPTION"]) for one in events]
    assert said in [one.description.value for one in vobject.readOne(content.decode()).vevent_list]


HOSTILE = [
    "BEGIN:VEVENT\r\nUID:evil\r\nEND:VEVENT\r\nEND:VCALENDAR",
    "a;b,c:d\"e'f\\n\\N\\\\",
    "\U0001f600\U0001f468\u200d\U0001f469\u200d\U0001f467 \u202e\u05d0\u05d1 \u0627\u0644",
    "x" * 10_000,
    "\u65e5\u672c" * 5_000,
    "\x00\x07\x0b\x0c\x1c\x1d\x1e\x85\u2028\u2029 \ud800",
    "\r\n \r\n\t",
    "=cmd|' /C calc'!A0",
    "",
    "\ttab ^n ^^ %0A",
]


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_text_in_every_field_is_read_by_both_parsers(text: str) -> None:
    whole = PLAN
    hostile = replace(
        whole,
        profile=(Profile(name=text, subscribers=420),),
        boxes=tuple(replace(one, theme=text or "x") for one in whole.boxes),
        items=tuple(replace(one, name=text + str(n)) for n, one in enumerate(whole.items)),
        suppliers=tuple(replace(one, name=text) for one in whole.suppliers),
        people=tuple(replace(one, name=text) for one in whole.people),
        ledger=(Mark(f"{NOTEBOOK}/order", to="jo"),),
    )
    file = made(hostile)
    events = read(file.content)
    plain = read(made(replace(whole, ledger=hostile.ledger)).content)
    assert events.keys() == plain.keys()
    assert all(len(one.summary) < 200 for one in events.values())
    assert [(one.first, one.rings) for one in events.values()] == [
        (one.first, one.rings) for one in plain.values()
    ]


def texts(events: Iterable[Read]) -> set[str]:
    return {one.summary for one in events}


def test_a_long_name_is_cut_in_the_title_and_whole_in_the_text() -> None:
    long = "field notebook " * 30
    item = replace(PLAN.items[0], name=long.strip())
    content = made(apply(PLAN, (Put(item),))).content
    assert any(one.endswith("\u2026 (March)") for one in texts(read(content).values()))
    assert long.strip() in "\n".join(unfolded(content))


def test_days_at_the_end_of_time_do_no_harm() -> None:
    never = replace(PLAN, ledger=(Mark("2027-03/count", until=date.max),))
    title = "Take the final subscriber count (March)"
    assert titled(made(never).content)[title].rings == ()
