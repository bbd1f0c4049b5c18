"""The packing run and its materials: whole conversations. Shops and goods are invented."""

import re
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.conversation.replies import packing as say
from assistant.planning.deadlines import deadline
from assistant.planning.model import Closure, Mark, Person, Sent, Shop
from tests.conversation.chat import Chat, plan_of
from tests.planning.plans import done
from tests.trade import shop

D = Decimal
BOX = "2027-03"
GOODS = ("field notebook", "honey jar", "enamel pin")
STOCK = tuple(f"{BOX}.{name}/stock" for name in GOODS)
TENTH = datetime(2027, 3, 10, 9, tzinfo=UTC)


def planned(**facts: object) -> Shop:
    made = shop(
        "2027-03 Rain, ships 2027-03-15: field notebook, 180 g; honey jar, 250 g; enamel pin, 6 g",
        "2027-05 Swifts: candle",
        **{"subscribers": 431, **facts},
    )
    return done(made, *STOCK)


def packing_day(**facts: object) -> Chat:
    """A chat on the morning on which packing begins."""
    return Chat(planned(**facts), now=TENTH)


# --- does it fit --------------------------------------------------------------------------------


def test_a_run_that_fits() -> None:
    chat = Chat(planned())
    assert chat.say("how long to pack March").split("\n") == [
        "March: packing",
        "431 boxes expected",
        "1 person, 6 hours a day: 180 boxes a day",
        "A usual pace, 30 boxes an hour each. Yours? we pack 40 an hour",
        "3 working days, Wed 10 Mar to Fri 12 Mar; 3 there are",
        "It fits: ships Mon 15 Mar, no collection booked",
    ]
    assert list(chat.buttons) == ["Run sheet", "Materials"]
    assert chat.changes == ()


def test_ways_out_are_taken_by_a_button_or_by_their_number() -> None:
    chat = Chat(planned())
    text = chat.say("pack March from the 11th")
    assert "Packing March: from Thu 11 Mar." in text
    assert "3 working days, Thu 11 Mar to Mon 15 Mar; 2 there are" in text
    assert "It does not fit" in text
    assert "1. start Wed 10 Mar, done Fri 12 Mar" in text
    assert "2. 7.5 hours a day, done Fri 12 Mar" in text
    assert "3. 2 people, done Fri 12 Mar" in text
    assert {"Start Wed 10 Mar", "7.5 hours a day", "2 people", "Undo"} <= set(chat.buttons)
    text = chat.say("2")
    assert "Packing March: 7.5 hours a day." in text
    assert "It fits" in text
    chat.say("undo")
    chat.say("does packing March fit")
    assert "It fits" in chat.touch("2 people")


def test_a_first_day_moves_the_plan_and_says_so() -> None:
    chat = Chat(planned())
    chat.say("add to March: oat biscuits")
    text = chat.say("pack March from the 3rd")
    assert "8 dates move; the first: settle sourcing of oat biscuits (March) by Fri 5 Feb" in text
    found = deadline(chat.shop, f"{BOX}/pack", chat.now.date())
    assert found is not None
    assert found.on == date(2027, 3, 3)
    chat.say("pack March as planned")
    assert chat.shop.runs == ()


def test_a_day_that_is_not_worked_says_when_packing_begins() -> None:
    text = Chat(planned()).say("pack March from 7 March")
    assert "Sun 7 Mar is no working day of yours: packing begins Mon 8 Mar." in text


def test_the_pace_of_past_runs_can_be_planned_with() -> None:
    sent = Sent("2027-02", date(2027, 2, 15), 400, hours=Decimal(20))
    chat = Chat(replace(planned(), sent=(sent,)))
    text = chat.say("packing March")
    assert "Pace of your last run: 20 boxes an hour each" in text
    assert "1. start Tue 9 Mar, done Fri 12 Mar" in text
    chat.touch("Plan with 20 an hour")
    text = chat.say("packing March")
    assert "20 boxes an hour each, as told" in text
    assert "4 working days, Tue 9 Mar to Fri 12 Mar; 4 there are" in text
    assert "Plan with 20 an hour" not in chat.buttons


def test_helpers_days_off_are_named() -> None:
    away = (Closure("away", date(2027, 3, 11), date(2027, 3, 11)),)
    helper = Person("rowan", "pretend:rowan", name="Rowan", off=away)
    owner = Person("owner", "terminal:you", role="owner")
    made = replace(planned(crew=2, boxes_per_hour=14), people=(owner, helper))
    text = Chat(made).say("packing March")
    assert "Fewer hands: Thu 11 Mar 1 of 2" in text
    assert "It does not fit" in text


def test_a_collection() -> None:
    chat = Chat(planned())
    assert (
        "It fits: collection is booked for Tue 16 Mar, after its ship date Mon 15 Mar"
        in chat.say("collection booked for 16 March")
    )
    text = chat.say("collection for March on the 12th")
    assert "It does not fit: collection is booked for Fri 12 Mar" in text
    assert "Packing March: no collection booked." in chat.say("no collection for March")
    assert chat.shop.runs == ()


REFUSED = [
    ("pack March from 20 March", "Sat 20 Mar is too late to begin: the boxes leave on Mon 15 Mar"),
    ("pack March with 0 people", "cannot be meant"),
    ("pack March with 500 people", "I read 500 people, but that cannot be meant"),
    ("pack March for 30 hours a day", "I read 30 hours a day, but that is no day's work"),
    ("pack March from 10 January 2027", "far from the day on which that box ships"),
    ("pack March from 31 February", "February has"),
    ("pack July with 2 people", "July is not in the plan yet"),
    ("packing July", "July is not in the plan yet"),
    ("run sheet for July", "July is not in the plan yet"),
    ("collection for March on 15 March 2028", "far from the day on which that box ships"),
    ("collection booked for 1 January 2027", "that day is past"),
    ("collection booked for 15 August", "no box ships near that day"),
]


@pytest.mark.parametrize(("text", "words"), REFUSED, ids=lambda x: x[:40])
def test_what_cannot_be_is_said_and_changes_nothing(text: str, words: str) -> None:
    chat = Chat(planned())
    before = plan_of(chat.shop)
    assert words in chat.say(text)
    assert plan_of(chat.shop) == before


def test_a_box_that_has_shipped_cannot_be_packed_otherwise() -> None:
    chat = Chat(planned(), now=datetime(2027, 4, 5, 9, tzinfo=UTC))
    for text in ("pack 2027-03 with 2 people", "2027-03: 5 packed", "run sheet for 2027-03"):
        assert "shipped" in chat.say(text)
        assert chat.changes == ()


def test_what_is_so_already_stands() -> None:
    chat = Chat(planned())
    chat.say("pack March with 2 people")
    assert chat.say("pack March with 2 people") == "March is to be packed so already."
    assert chat.outcome.stands


# --- counted ------------------------------------------------------------------------------------


def test_a_run_from_the_first_box_to_the_last() -> None:
    chat = packing_day()
    text = chat.say("packed 60")
    assert "March: 60 of 431 packed.\nPacking of March has started" in text
    assert "\u25ae\u25af\u25af\u25af\u25af\u25af\u25af\u25af\u25af\u25af 60 of 431, 13%" in text
    assert "371 left, done Fri 12 Mar" in text
    started = deadline(chat.shop, f"{BOX}/pack", chat.now.date())
    assert started is not None
    assert started.state == "done"
    chat.now += timedelta(hours=2)
    text = chat.say("packed 80 more")
    assert "March: 80 more, 140 of 431 packed." in text
    assert "has started" not in text
    chat.now += timedelta(days=2)
    text = chat.say("March: 431 packed so far")
    assert "\u25ae" * 10 + " 431 of 431, 100%" in text
    assert "If goods are left over" in text
    assert chat.buttons["It has shipped"] == "done: ship for 2027-03"
    assert len(chat.shop.runs[0].packed) == 3


def test_the_bar_of_a_day_is_one_message() -> None:
    chat = packing_day()
    names = []
    for text in ("packed 60", "packed 60 more", "200 packed so far"):
        chat.say(text)
        told, bar = chat.outcome.replies
        assert told.live == ""
        names.append(bar.live)
    assert set(names) == {"packing/2027-03/2027-03-10"}
    chat.now += timedelta(days=1)
    chat.say("packed 30")
    assert chat.outcome.replies[-1].live == "packing/2027-03/2027-03-11"


def test_the_finish_is_told_by_the_pace_of_the_run() -> None:
    chat = packing_day(subscribers=200)
    chat.say("started packing March")
    chat.now += timedelta(hours=2)
    text = chat.say("packed 100")
    assert "100 left, done about 13:05" in text
    assert "Pace of this run: 50 boxes an hour each" in chat.say("packing")


def test_two_counts_in_one_message_give_one_bar_each() -> None:
    chat = packing_day()
    chat.say("packed 60; packed 30 more")
    assert sum(n for _, n in chat.shop.runs[0].packed) == 90
    assert [one.live != "" for one in chat.outcome.replies] == [False, True, True]


def test_nine_hundred_of_four_hundred_and_thirty_one() -> None:
    chat = packing_day()
    before = plan_of(chat.shop)
    text = chat.say("packed 900")
    assert "I read 900 boxes packed, but March has 431 (expected). Nothing was changed." in text
    assert plan_of(chat.shop) == before
    text = chat.say("packed 440")
    assert "say first: we are 440" in text
    chat.say("we are 440")
    assert "440 of 440" in chat.say("packed 440")


def test_more_or_in_all_is_asked() -> None:
    chat = packing_day()
    chat.say("packed 200")
    before = chat.shop.runs
    text = chat.say("packed 300")
    assert text == "300 more would be 500 of 431 for March. Is it 300 in all?"
    assert chat.shop.runs == before
    assert "100 more, 300 of 431 packed" in chat.say("yes")
    chat.say("packed 20")
    assert "20 in all" not in chat.buttons
    chat.say("0 packed so far")
    chat.say("packed 50")
    chat.say("packed 100")
    assert "put right, 100 of 431 packed" in chat.touch("100 in all")


def test_of_which_box_is_asked_when_none_is_being_packed() -> None:
    chat = Chat(planned())
    text = chat.say("packed 140")
    assert "no box is being packed now. Which?" in text
    assert chat.changes == ()
    assert chat.buttons == {
        "March": "2027-03: 140 more packed",
        "May": "2027-05: 140 more packed",
    }
    assert "140 of 431 packed" in chat.say("1")
    assert "60 more, 200 of 431" in chat.say("packed 60")


def test_nothing_to_pack() -> None:
    assert "No box of the plan is to be packed" in Chat().say("packed 140")
    chat = Chat(shop("2027-03 Rain"), now=TENTH)
    text = chat.say("March: 5 packed")
    assert "I do not know how many boxes March has. For example: we are 431" in text
    assert "No box more is no count" in packing_day().say("packed 0")
    assert '"-5" is below zero' in packing_day().say("packed -5")


def test_a_count_that_stands_and_one_that_is_taken_back() -> None:
    chat = packing_day()
    chat.say("packed 60")
    assert "as I had it" in chat.say("60 packed so far")
    assert chat.outcome.stands
    chat.say("undo")
    assert "Taken back" in chat.told(chat.outcome.replies)
    assert chat.shop.runs == ()
    found = deadline(chat.shop, f"{BOX}/pack", chat.now.date())
    assert found is not None
    assert found.state == "open"


@given(st.integers(0, 10_000), st.integers(0, 10_000))
def test_a_bar_is_full_only_when_all_is_done(packed: int, of: int) -> None:
    packed = min(packed, of)
    text = say.bar(packed, of)
    cells = re.match("\u25ae*\u25af*", text)
    assert cells is not None
    assert len(cells[0]) == say.CELLS
    assert (say.EMPTY not in text) == (packed == of > 0)
    assert (say.FULL not in text) == (packed == 0)
    assert f"{packed:,} of {of:,}" in text


# --- the run sheet ------------------------------------------------------------------------------


def test_the_run_sheet_on_a_phone() -> None:
    chat = Chat(planned())
    text = chat.say("run sheet for March")
    assert "Place: 1 field notebook, 2 enamel pin, 3 honey jar (breaks)" in text
    assert "A box: 436 g without the packaging: go by the first box." in text
    assert "Too light to show on the scale, so count: enamel pin." in text
    assert "First box: photograph it open, weigh it." in text
    assert "Check honey jar: " in text
    assert list(chat.buttons) == ["To print", "Packing", "Materials"]
    chat.touch("To print")
    (file,) = chat.outcome.files
    assert file.content.startswith(b"%PDF")
    assert file.name == "My shop run sheet March 2027 (2027-01-11).pdf"
    assert chat.outcome.replies[0].document == file.id


def test_the_run_sheet_of_an_empty_box() -> None:
    text = Chat(shop("2027-07 Heat", subscribers=10)).say("run sheet for July")
    assert "No goods are planned for it yet." in text
    assert "Place" not in text


def test_a_bare_word_that_a_box_is_packed_marks_its_stage() -> None:
    chat = packing_day()
    chat.say("packed March")
    assert chat.shop.runs == ()
    assert any(isinstance(one, Mark) for one in chat.shop.ledger)
