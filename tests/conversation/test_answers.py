"""Answers about the plan. The shop and its suppliers are invented.

Where a date is written out it was worked by hand from config/defaults.toml, or is that of a
published example named beside it; elsewhere answers are compared with the deadlines they tell of.
"""

from datetime import date
from decimal import Decimal

import pytest
from msgspec.structs import replace

from assistant.conversation.handle import answers
from assistant.conversation.messages import Outcome
from assistant.conversation.replies.plain import day
from assistant.conversation.requests import HowIs, ShowYear, WhatIsDue, WhatIsLate, When, Why
from assistant.planning.calendars import calendars
from assistant.planning.changes import apply
from assistant.planning.deadlines import deadline, deadlines
from assistant.planning.model import Mark, MarkState, Put, Shop, Talk
from tests.conversation.asking import OWNER, TODAY, after, asking, buttons, talk, text
from tests.trade import house, shop, with_holidays, with_stages

YEAR = shop(
    "Aldermoor: transit 3d",
    "Hangfeng CN: confirm 2d, transit 5d, lead 10d",
    "2027-03 Rain & Roots: notebook@Aldermoor 450 x 3.10, lead 20d; tea 450 x 1.20; map 420 x 0.80 "
    "EUR",
    "2027-05 First Swifts: pin@Hangfeng 450 x 0.90; whistle",
    "2027-09: balm",
    subscribers=420,
    price=Decimal(32),
)


def ask(known: Shop, request: object, today: date = TODAY, said: Talk | None = None) -> Outcome:
    return answers.HANDLERS[type(request)](known, request, asking(today, talk=said))


def marked(*keys: str, until: date | None = None) -> Shop:
    state: MarkState = "open" if until else "done"
    return apply(YEAR, (Put(Mark(key, state, until)) for key in keys))


# --- what is due, what is late --------------------------------------------------------------


def test_what_is_due_lists_late_things_first_numbered_as_remembered() -> None:
    today = date(2027, 2, 3)
    outcome = ask(YEAR, WhatIsDue(), today)
    lines = text(outcome).splitlines()
    assert lines[:2] == ["Due by Wed 24 Feb", "Late"]
    numbered = [line for line in lines if line[0].isdigit()]
    shown = talk(after(YEAR, outcome)).deadlines
    by_key = {d.key: d for d in deadlines(YEAR, today)}
    assert len(numbered) == len(shown)
    for line, key in zip(numbered, shown, strict=True):
        assert f"{day(by_key[key].on, today)}  {by_key[key].todo} (" in line
    assert [by_key[key].late for key in shown] == sorted(
        (by_key[key].late for key in shown), reverse=True
    )


def test_a_day_of_ones_own_is_the_horizon() -> None:
    outcome = ask(YEAR, WhatIsDue(until=date(2027, 1, 12)))
    assert text(outcome).startswith("Nothing is due by Tue 12 Jan.\nNext: ")
    assert len(talk(after(YEAR, outcome)).deadlines) == 1  # "done" means the next one


def test_what_is_put_off_is_counted_not_listed() -> None:
    first = next(d for d in deadlines(YEAR, TODAY) if d.nudge and d.state == "open")
    waiting = marked(first.key, until=date(2027, 2, 1))
    outcome = ask(waiting, WhatIsDue())
    assert first.todo not in text(outcome)
    assert "1 more put off." in text(outcome)


def test_a_long_list_is_cut_and_says_how_much_is_left() -> None:
    many = shop("2027-03: " + "; ".join(f"thing {letter}" for letter in "abcdefghijklmnop"))
    outcome = ask(many, WhatIsDue(), date(2027, 3, 1))
    kept = talk(after(many, outcome)).deadlines
    assert len(kept) == answers.SHOWN
    assert text(outcome).splitlines()[-1].startswith("and ")
    assert len([label for label in buttons(outcome) if label.startswith("Done")]) == 3


def test_a_month_ahead_is_shown_by_itself_with_what_is_open_before() -> None:
    first, last = date(2027, 3, 1), date(2027, 3, 31)
    outcome = ask(YEAR, WhatIsDue(until=last, since=first))
    lines = text(outcome).splitlines()
    open_ones = [d for d in deadlines(YEAR, TODAY) if d.nudge and d.state == "open"]
    before = [d for d in open_ones if d.on < first]
    assert lines[0] == "Due Mon 1 to Wed 31 Mar"
    assert lines[-1].startswith(f"{len(before)} more before that")
    for key in talk(after(YEAR, outcome)).deadlines:
        found = deadline(YEAR, key, TODAY)
        assert found
        assert first <= found.on <= last
    none = text(ask(YEAR, WhatIsDue(until=date(2027, 12, 31), since=date(2027, 12, 1))))
    assert none.startswith("Nothing is due Wed 1 to Fri 31 Dec")


def test_what_is_late_is_said_to_be_late_where_the_next_thing_is_named() -> None:
    said = text(ask(YEAR, HowIs("2027-03"), date(2027, 3, 1)))
    assert "First: settle sourcing of notebook (March), late since Fri 15 Jan." in said
    assert "Next:" not in said


def test_a_shop_without_a_plan_is_told_how_to_begin() -> None:
    for request in (WhatIsDue(), WhatIsLate(), ShowYear()):
        assert "March theme rain and roots" in text(ask(shop(), request))


def test_late_things_are_late_even_when_put_off() -> None:
    today = date(2027, 2, 3)
    late = [d for d in deadlines(YEAR, today) if d.late and d.nudge]
    waiting = apply(YEAR, (Put(Mark(d.key, until=date(2027, 3, 1))) for d in late))
    said = text(ask(waiting, WhatIsLate(), today))
    assert late
    for one in late:
        assert one.todo in said
        assert f"{-one.float} working day" in said


def test_what_is_late_says_what_can_still_be_done() -> None:
    said = text(ask(YEAR, WhatIsLate(), date(2027, 3, 1)))
    assert "Ordered today, notebook is in hand " in said
    assert "too late for Tue 9 Mar." in said
    assert "move it to May, or ship this box later." in said


def test_what_will_be_too_late_can_be_moved_by_a_touch() -> None:
    late = ask(YEAR, WhatIsLate(), date(2027, 3, 1))
    assert buttons(late)["Move notebook to May"] == "move notebook for 2027-03 to 2027-05"
    asked = ask(YEAR, When("order", item="2027-03.notebook"), date(2027, 3, 1))
    assert buttons(asked)["Move it to May"] == "move notebook for 2027-03 to 2027-05"
    assert not any(label.startswith("Move") for label in buttons(ask(YEAR, WhatIsDue())))


def test_nothing_late_says_what_comes_next() -> None:
    outcome = ask(YEAR, WhatIsLate(), date(2026, 8, 3))
    assert text(outcome).startswith("Nothing is late.\nNext: ")


# --- one box --------------------------------------------------------------------------------


def test_how_is_a_box_the_next_thing_first() -> None:
    known = marked("2027-03.notebook/order", "2027-03.tea/stock")
    outcome = ask(known, HowIs("2027-03"))
    lines = text(outcome).splitlines()
    working_days = calendars(known, TODAY).shop.count(TODAY, date(2027, 3, 15))
    assert lines[:2] == [
        "March: Rain & Roots",
        f"Ships Mon 15 Mar, in {working_days} working days.",
    ]
    assert lines[2].startswith("Next: ")
    assert lines[3].startswith("Tightest: ")
    assert lines[4] == "3 items: 1 in hand, 1 ordered, 1 open"
    assert "- notebook, Aldermoor, £3.10, ordered" in lines
    assert "- tea, £1.20, in hand" in lines
    # 3.10 + 1.20; the map costs euros and is not counted.
    assert "£4.30 a box so far, sold at £32.00 (1 in another currency)" in lines
    assert talk(after(known, outcome)).box == "2027-03"
    assert "Done: source map" in buttons(outcome)


def test_what_is_ordered_is_expected_as_things_stand() -> None:
    known = marked("2027-03.notebook/order")
    said = text(ask(known, Why(item="2027-03.notebook")))
    assert "As things stand it is in hand " in said
    assert "Ordered today" not in said


def test_items_that_are_all_alike_are_said_to_be_so_once() -> None:
    lines = text(ask(YEAR, HowIs("2027-03"))).splitlines()
    assert "3 items, all open" in lines
    assert "- tea, £1.20" in lines


def test_the_year_writes_each_date_beside_its_month_without_a_year() -> None:
    said = text(ask(YEAR, ShowYear(), date(2025, 11, 2)))
    assert "March 2027: Rain & Roots, 3 items, ships Mon 15 Mar" in said.splitlines()


def test_items_without_a_cost_are_said() -> None:
    assert "£0.90 a box so far, sold at £32.00 (1 without a cost)" in text(
        ask(YEAR, HowIs("2027-05"))
    )


def test_a_box_that_is_not_planned_says_when_it_would_ship() -> None:
    said = text(ask(YEAR, HowIs("2027-07")))
    assert said == (
        "Nothing is planned for July yet. It would ship Thu 15 Jul.\n"
        "The next box is March, Rain & Roots: ships Mon 15 Mar."
    )
    assert text(ask(shop(), HowIs("2027-07"))).endswith("For example: July theme rain and roots")


@pytest.mark.parametrize(
    ("today", "done", "words"),
    [
        (date(2027, 3, 15), (), "Ships today."),
        (date(2027, 3, 17), (), "Ship date Mon 15 Mar, past."),
        (date(2027, 3, 17), ("2027-03/ship",), "Shipped Mon 15 Mar."),
        (date(2027, 4, 17), (), "Shipped Mon 15 Mar."),
    ],
)
def test_a_ship_date_that_has_come(today: date, done: tuple[str, ...], words: str) -> None:
    assert words in text(ask(marked(*done), HowIs("2027-03"), today))


def test_many_items_are_cut() -> None:
    many = shop("2027-03: " + "; ".join(f"thing {letter}" for letter in "abcdefghijklmnop"))
    assert "and 4 items more" in text(ask(many, HowIs("2027-03")))


# --- the year -------------------------------------------------------------------------------


def test_the_year_is_a_line_a_box() -> None:
    said = text(ask(YEAR, ShowYear(), date(2027, 2, 3)))
    lines = said.splitlines()
    assert lines[0] == "The plan: Mar 2027 to Sep 2027"
    assert lines[1].startswith("March: Rain & Roots, 3 items, ships Mon 15 Mar, ")
    assert lines[1].endswith(" late")
    assert lines[2:] == [
        "May: First Swifts, 2 items, ships Fri 14 May",
        "September: no theme, 1 item, ships Wed 15 Sep",
    ]


def test_boxes_behind_us_are_left_out_unless_asked_for() -> None:
    assert "Rain & Roots" not in text(ask(YEAR, ShowYear(), date(2027, 5, 3)))
    assert "Rain & Roots" in text(ask(YEAR, ShowYear(2027), date(2027, 5, 3)))
    assert "The plan has boxes of 2027." in text(ask(YEAR, ShowYear(2031)))


# --- when -----------------------------------------------------------------------------------


def test_when_an_item_must_be_ordered_and_what_follows() -> None:
    outcome = ask(YEAR, When("order", "2027-03.notebook"))
    first, second, *_ = text(outcome).splitlines()
    # Ships Mon 15 Mar; 3 working days of packing: Wed 10; in hand Tue 9; 3 calendar days, Sat 6,
    # to a day that Aldermoor works: Fri 5; 20 working days: Fri 5 Feb.
    assert first.startswith("Order notebook (March, Aldermoor) by Fri 5 Feb, in ")
    assert second == (
        "Then making from Fri 5 Feb, dispatched by Fri 5 Mar, in hand by Tue 9 Mar, packing from "
        "Wed 10 Mar and ships Mon 15 Mar."
    )
    assert list(buttons(outcome)) == ["Why that day", "Done"]
    assert talk(after(YEAR, outcome)).deadlines == ("2027-03.notebook/order",)


def test_when_says_that_it_is_done() -> None:
    said = text(ask(marked("2027-03.notebook/order"), When("order", "2027-03.notebook")))
    assert said.startswith("Done: order notebook (March, Aldermoor). Its latest day is Fri 5 Feb.")


def test_when_it_is_too_late_says_what_can_be_done() -> None:
    said = text(ask(YEAR, When("order", "2027-03.notebook"), date(2027, 3, 1)))
    assert "was due Fri 5 Feb, 16 working days late." in said
    assert "too late for Tue 9 Mar." in said
    assert "move it to May" in said


def test_when_a_box_ships() -> None:
    assert text(ask(YEAR, When("ship", box="2027-05"))).startswith("May ships Fri 14 May, in ")
    assert text(ask(YEAR, When("ship", box="2027-06"))).startswith("June ships Tue 15 Jun, in ")
    assert "Packing from Tue 11 May." in text(ask(YEAR, When("ship", box="2027-05")))


def test_a_stage_that_does_not_apply_says_so() -> None:
    said = text(ask(YEAR, When("deposit", "2027-03.notebook")))
    assert said.startswith("I work back no day called deposit for notebook.")
    assert "no longer in the plan" in text(ask(YEAR, When("order", "gone")))


# --- why ------------------------------------------------------------------------------------


def test_why_shows_every_stage_its_calendar_and_what_was_passed() -> None:
    """The backward chain over two calendars. The chain is constructed; its calendars are those of
    England (gov.uk, bank holidays) and of the State Council of China's notice of holiday
    arrangements for 2026, dated 2025-11-04, with its worked Saturday 28 February."""
    today = date(2025, 12, 1)
    known = with_holidays(
        shop(
            "Hangfeng CN: confirm 2d, transit 5d, lead 10d",
            "2026-03 Spring, ships 2026-03-10: lamp@Hangfeng 420 x 2.00",
            house=with_stages(house(), pack={"days_from": "", "days": 2}),
            subscribers=420,
        ),
        today,
    )
    outcome = ask(known, Why(item="2026-03.lamp", stage="order"), today)
    assert text(outcome).splitlines() == [
        "lamp, March: worked back",
        "Ships Tue 10 Mar (the day you set for this box)",
        "Packing from Fri 6 Mar: 2 working days before shipping, your calendar; passing Sat 7 to "
        "Sun 8 Mar (weekend)",
        "In hand by Thu 5 Mar: 1 working day before packing, your calendar",
        "Dispatched by Sat 28 Feb: 5 calendar days before it is in hand, landing on Hangfeng's "
        "calendar",
        "Making from Mon 9 Feb: 10 working days before dispatch, Hangfeng's calendar; passing "
        "Mon 16 Feb (Chinese New Year's Eve), Tue 17 to Thu 19 Feb (Chinese New Year (Spring "
        "Festival)), Fri 20 Feb (day off for working on 14 February 2026), Mon 23 Feb (day off for "
        "working on 28 February 2026) and 2 weekends (Sun 15 to Sun 22 Feb)",
        "Order by Thu 5 Feb: 2 working days before making, Hangfeng's calendar; passing Sat 7 to "
        "Sun 8 Feb (weekend)",
        # Forward from Mon 1 December 2025 over the same calendars: making from Wed 3, dispatched
        # Wed 17, Mon 22 in hand; to Thu 5 March are 50 working days of England.
        "Ordered today, it is in hand Mon 22 Dec: 50 working days of float.",
    ]


def test_why_a_box_names_the_item_that_its_theme_hangs_on() -> None:
    said = text(ask(YEAR, Why(box="2027-03")))
    assert said.startswith("March: worked back\nShips Mon 15 Mar (the 15th or the working day")
    assert "before sourcing of notebook (the earliest), your calendar" in said


def test_why_alone_means_what_was_talked_of_last() -> None:
    about = Talk(OWNER.chat, item="2027-03.tea", box="2027-03")
    assert text(ask(YEAR, Why(), said=about)).startswith("tea, March: worked back")
    assert text(ask(YEAR, Why())).startswith("Of which item or box?")


def test_why_where_nothing_can_be_worked_back() -> None:
    odd = apply(YEAR, (Put(replace(YEAR.profile[0], ship_rule="no such rule")),))
    said = text(ask(odd, Why(box="2027-03")))
    assert "has no ship date, so nothing can be worked back. For example: ship 2027-03" in said


@pytest.mark.parametrize(
    "request_",
    [
        WhatIsDue(),
        WhatIsLate(),
        HowIs("2027-03"),
        HowIs("2027-07"),
        ShowYear(),
        When("order", "2027-03.notebook"),
        When("ship", box="2027-03"),
        Why(box="2027-03"),
        Why(item="2027-03.notebook"),
    ],
)
@pytest.mark.parametrize("today", [date(2026, 6, 1), TODAY, date(2027, 3, 20), date(2029, 1, 1)])
def test_an_answer_never_changes_the_plan(request_: object, today: date) -> None:
    outcome = ask(YEAR, request_, today)
    assert outcome.changes == ()
    assert text(outcome)
    assert all(isinstance(note, Put) and isinstance(note.record, Talk) for note in outcome.notes)
