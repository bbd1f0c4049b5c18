"""Done, put off, not needed, the morning's digest, the rehearsal. The shop is invented."""

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.conversation.handle import nudging
from assistant.conversation.messages import Outcome
from assistant.conversation.requests import MarkDone, NotNeeded, PutOff, Rehearse, Reopened
from assistant.planning.changes import apply, find, invert, place
from assistant.planning.deadlines import deadline, deadlines
from assistant.planning.model import Mark, Morning, Person, Put, Shop
from assistant.planning.nudges import rehearse
from tests.conversation.asking import OWNER, TODAY, after, asking, buttons, put, talk, text
from tests.conversation.chat import Chat
from tests.trade import shop

HELPER = Person(id="telegram:2", chat="telegram:2", name="Lark", zone="America/New_York")
YEAR = apply(
    shop(
        "Aldermoor: transit 3d, deposit 30%, net 30",
        "2027-03 Rain & Roots: notebook@Aldermoor 450 x 3.10, lead 20d; tea 450 x 1.20",
        "2027-05: pin, lead 10d",
        subscribers=420,
    ),
    (Put(OWNER), Put(HELPER)),
)
ORDER = "2027-03.notebook/order"


def ask(known: Shop, request: object, today: date = TODAY) -> Outcome:
    return nudging.HANDLERS[type(request)](known, request, asking(today))


def state(known: Shop, key: str, today: date = TODAY) -> str:
    found = deadline(known, key, today)
    assert found
    return found.state


# --- done, not needed, open again -----------------------------------------------------------


def test_done_is_marked_by_whom_and_names_what_comes_next() -> None:
    outcome = ask(YEAR, MarkDone((ORDER,)))
    (mark,) = put(outcome, Mark)
    assert (mark.state, mark.by) == ("done", OWNER.id)
    assert text(outcome).splitlines()[0] == "Done: order notebook (March)."
    assert text(outcome).splitlines()[1].startswith("Next for it: ")
    assert list(buttons(outcome)) == ["Undo", "What is due"]
    # A later step done settles the earlier ones.
    assert state(after(YEAR, outcome), "2027-03.notebook/source") == "done"


def test_several_are_done_at_once_and_named() -> None:
    outcome = ask(YEAR, MarkDone((ORDER, "2027-03.tea/order", ORDER)))
    assert "Done: order notebook (March) and order tea (March)." in text(outcome)
    assert len(put(outcome, Mark)) == 2


def test_the_last_thing_of_an_item_leads_on_to_the_plan() -> None:
    outcome = ask(YEAR, MarkDone(("2027-03.tea/stock",)))
    assert "Next: " in text(outcome)


@pytest.mark.parametrize(
    ("request_", "words"),
    [
        (MarkDone(("gone/order",)), "can no longer be found in the plan"),
        (MarkDone(()), "I could not tell which one you mean"),
        (PutOff(()), "I could not tell which one you mean"),
        (Reopened((ORDER,)), "Already open: order notebook (March)."),
        (PutOff((ORDER,), until=TODAY), "not ahead of today. For example: put off 3 days"),
        (PutOff((ORDER,), until=date(2026, 1, 1)), "not ahead of today"),
        (PutOff((ORDER,), days=0), "For example: put off 3 days"),
        (PutOff((ORDER,), days=-4), "For example: put off 3 days"),
        (PutOff((ORDER,), days=10**9), "apply, say: not needed."),
        (PutOff((ORDER,), until=date(2099, 1, 1)), "apply, say: not needed."),
    ],
)
def test_what_cannot_be_marked_says_why(request_: object, words: str) -> None:
    outcome = ask(YEAR, request_)
    assert outcome.changes == ()
    assert words in text(outcome)


def test_done_twice_changes_nothing() -> None:
    known = after(YEAR, ask(YEAR, MarkDone((ORDER,))))
    outcome = ask(known, MarkDone((ORDER,)))
    assert outcome.changes == ()
    assert "Already done: order notebook (March)." in text(outcome)


def test_what_is_not_found_does_not_keep_the_rest_from_being_done() -> None:
    outcome = ask(YEAR, MarkDone((ORDER, "gone/order")))
    assert len(put(outcome, Mark)) == 1
    assert "One of those can no longer be found" in text(outcome)


def test_open_again_takes_the_mark_away() -> None:
    known = after(YEAR, ask(YEAR, NotNeeded((ORDER,))))
    assert state(known, ORDER) == "not needed"
    outcome = ask(known, Reopened((ORDER,)))
    assert state(after(known, outcome), ORDER) == "open"
    assert "Open again: order notebook (March)." in text(outcome)


def test_what_a_later_step_settles_stays_done_and_is_said() -> None:
    known = after(YEAR, ask(YEAR, MarkDone((ORDER,))))
    outcome = ask(known, Reopened(("2027-03.notebook/source",)))
    assert outcome.changes == ()
    assert "still counts as done, because what follows it is done." in text(outcome)


# --- put off --------------------------------------------------------------------------------


def test_put_off_counts_working_days_and_leaves_the_date() -> None:
    friday = date(2027, 1, 15)
    outcome = ask(YEAR, PutOff((ORDER,), days=3), friday)
    assert text(outcome).splitlines()[0] == (
        "Put off 3 working days, until Wed 20 Jan: order notebook (March)."
    )
    kept = deadline(after(YEAR, outcome), ORDER, friday)
    before = deadline(YEAR, ORDER, friday)
    assert kept
    assert before
    assert (kept.until, kept.on) == (date(2027, 1, 20), before.on)


def test_put_off_beyond_its_day_is_minded() -> None:
    outcome = ask(YEAR, PutOff((ORDER,), until=date(2027, 2, 20)))
    assert "Mind: order notebook (March) is due Fri 5 Feb." in text(outcome)
    assert "Mind" not in text(ask(YEAR, PutOff((ORDER,), until=date(2027, 2, 1))))


def test_put_off_is_the_plans_to_undo_and_the_mornings_our_own() -> None:
    found = deadline(YEAR, ORDER, TODAY)
    assert found
    told = apply(YEAR, (Put(Morning(OWNER.id, TODAY, ((ORDER, found.on),))),))
    outcome = ask(told, PutOff((ORDER,), days=3))
    assert {place(change)[0] for change in outcome.changes} == {"ledger"}
    assert [m.told for m in put(outcome, Morning)] == [()]


@pytest.mark.parametrize(
    "request_", [MarkDone((ORDER,)), NotNeeded((ORDER,)), PutOff((ORDER,), days=3)]
)
def test_every_mark_can_be_taken_back(request_: object) -> None:
    outcome = ask(YEAR, request_)
    changed = apply(YEAR, outcome.changes)
    assert changed != YEAR
    assert apply(changed, invert(YEAR, outcome.changes)).ledger == YEAR.ledger


# --- the morning ----------------------------------------------------------------------------

EIGHT = datetime(2027, 2, 5, 8, 0, tzinfo=UTC)  # Friday, the notebook's day; London is on UTC


def morning(known: Shop, now: datetime) -> tuple[Outcome, Shop]:
    outcome = nudging.morning(known, now)
    return outcome, after(known, outcome)


def test_each_person_gets_a_digest_at_their_own_hour_once() -> None:
    outcome, known = morning(YEAR, EIGHT)
    assert [reply.to for reply in outcome.replies] == [OWNER.chat]
    assert outcome.replies[0].title == "Friday 5 February"
    assert "order notebook (March)" in outcome.replies[0].text
    assert outcome.changes == ()
    assert morning(known, EIGHT + timedelta(hours=1))[0] == Outcome()
    # Eight in New York is thirteen in London.
    later, _ = morning(known, EIGHT + timedelta(hours=5))
    assert [reply.to for reply in later.replies] == [HELPER.chat]


def test_done_1_means_what_the_digest_numbered() -> None:
    outcome, known = morning(YEAR, EIGHT)
    shown = talk(known).deadlines
    rows = [line for line in outcome.replies[0].text.splitlines() if line[0].isdigit()]
    for key, row in zip(shown, rows, strict=False):
        found = deadline(YEAR, key, EIGHT.date())
        assert found
        assert found.todo in row
    labels = list(buttons(outcome))
    assert labels[:2] == ["Done 1", "Put off 1"]
    assert labels[-1] == "What is due"
    done, off = (buttons(outcome)[label] for label in labels[:2])
    assert done.removeprefix("done: ") == off.removeprefix("put off 3 days: ")


def test_a_long_digest_is_cut() -> None:
    many = shop("2027-03: " + "; ".join(f"thing {letter}" for letter in "abcdefghijklmnop"))
    known = apply(many, (Put(OWNER),))
    outcome, _ = morning(known, datetime(2027, 3, 12, 8, tzinfo=UTC))
    lines = outcome.replies[0].text.splitlines()
    assert sum(line[0].isdigit() for line in lines) == nudging.DIGEST_LINES
    assert any(line.startswith("and ") and line.endswith(" more") for line in lines)


def test_a_morning_with_nothing_due_is_recorded_not_sent() -> None:
    outcome, known = morning(YEAR, datetime(2026, 7, 1, 8, tzinfo=UTC))
    assert outcome.replies == ()
    assert find(known.mornings, OWNER.id) == Morning(OWNER.id, date(2026, 7, 1))


def test_who_cannot_be_reached_is_not_written_to() -> None:
    away = apply(YEAR, (Put(replace(OWNER, reachable=False)),))
    assert morning(away, EIGHT)[0] == Outcome()


def test_the_same_tick_handled_twice_is_the_same() -> None:
    assert nudging.morning(YEAR, EIGHT) == nudging.morning(YEAR, EIGHT)


@settings(deadline=None, max_examples=30)
@given(st.lists(st.integers(1, 60), min_size=3, max_size=30))
def test_however_the_clock_ticks_a_day_has_one_digest_of_a_person(hours: list[int]) -> None:
    now, known, seen = EIGHT, YEAR, set()
    for step in hours:
        now += timedelta(hours=step)
        outcome, known = morning(known, now)
        for reply in outcome.replies:
            assert (reply.to, reply.title) not in seen
            seen.add((reply.to, reply.title))


# --- the rehearsal --------------------------------------------------------------------------


def test_a_rehearsal_is_short_in_the_chat_and_whole_in_a_file() -> None:
    outcome = ask(YEAR, Rehearse())
    short, whole = outcome.replies
    (file,) = outcome.files
    assert short.title == "A year of nudges, from Mon 11 Jan 2027"
    assert len(short.text.splitlines()) <= 12
    assert (whole.document, whole.document_name) == (file.id, file.name)
    digests = rehearse(YEAR, TODAY, TODAY + timedelta(365))
    written = file.content.decode()
    assert f"{len(digests)} mornings with something to do" in short.text
    for digest in digests:
        assert f"{digest.day.day} " in written
        for found in (*digest.late, *digest.today, *digest.ahead):
            assert found.todo in written
    assert outcome.changes == ()


def test_every_open_nudge_of_the_year_is_in_it() -> None:
    written = ask(YEAR, Rehearse()).files[0].content.decode()
    for found in deadlines(YEAR, TODAY):
        assert not found.nudge or found.state != "open" or found.todo in written


@pytest.mark.parametrize(
    ("request_", "words"),
    [
        (Rehearse(date(2027, 5, 1), date(2027, 4, 1)), "it must run forward"),
        (Rehearse(date(2027, 5, 1), date(2097, 4, 1)), "two years at most"),
        (Rehearse(date(2030, 5, 1), date(2030, 6, 1)), "there is nothing to be told"),
        (Rehearse(date(2020, 1, 1), date(2027, 2, 1)), "A run of nudges, from Mon 11 Jan 2027"),
    ],
)
def test_a_stretch_of_ones_own(request_: Rehearse, words: str) -> None:
    assert words in text(ask(YEAR, request_))


# --- a morning's list, worked through ---------------------------------------------------------


def busy() -> Chat:
    """A shop late with four things, its list shown."""
    chat = Chat(
        shop("2027-02 Frost: mug, lead 5d; tea, lead 5d; jar, lead 5d; map, lead 5d"),
        now=datetime(2027, 2, 1, 9, tzinfo=UTC),
    )
    chat.hear("what is late")
    return chat


def test_the_button_after_done_is_the_next_of_the_list() -> None:
    chat = busy()
    shown = next(one for one in chat.shop.talks).deadlines
    chat.touch("Done 1")
    assert list(chat.buttons) == ["Undo", "Done 2", "What is due"]
    chat.touch("Done 2")
    assert [mark.id for mark in chat.shop.ledger] == list(shown[:2])


def test_many_things_done_at_once_are_named_in_short_and_undone_in_one_line() -> None:
    chat = busy()
    said = chat.say("done all")
    assert said.splitlines()[0].endswith(" more.")
    assert said.splitlines()[0].count("(February)") == 3
    count = len(chat.shop.ledger)
    assert f"{count} things to be done are open again." in chat.say("undo")
    assert chat.shop.ledger == ()


def test_a_box_that_has_shipped_is_said_to_have_nothing_left_to_mark() -> None:
    chat = Chat(shop("2027-03 Rain: tea"), now=datetime(2027, 3, 15, 9, tzinfo=UTC))
    chat.hear("March has shipped")
    chat.now = datetime(2027, 3, 16, 9, tzinfo=UTC)
    for line in ("March has shipped", "tea has arrived", "put off 3 days: pack for 2027-03"):
        said = chat.say(line)
        assert said == "March shipped Mon 15 Mar: nothing of it is open any more."
        assert chat.changes == ()


def test_a_box_that_cannot_ship_complete_is_told_once_with_ways_out() -> None:
    """It is said in January, though its packing is due in March."""
    chat = Chat(shop("Aldermoor", "2027-03 Rain: notebook@Aldermoor 450 x 3.10, lead 60d"))
    (reply,) = nudging.morning(chat.shop, chat.now).replies
    assert "March: cannot ship complete Mon 15 Mar: notebook" in reply.text
    says = {one.label: one.says for row in reply.buttons for one in row}
    assert says["Ways out: March"] == "ways out for 2027-03"
    outcome = nudging.morning(chat.shop, chat.now)
    later = apply(chat.shop, outcome.notes)
    for day in range(1, 4):
        for again in nudging.morning(later, chat.now + timedelta(day)).replies:
            assert "cannot ship complete" not in again.text


def test_what_to_check_is_told_when_goods_are_to_be_packed() -> None:
    chat = Chat(shop("2027-03 Rain: beeswax candle 450 x 3.10"))
    heard = []
    for day in range(40, 62):
        now = chat.now + timedelta(day)
        heard += [one.text for one in nudging.morning(chat.shop, now).replies]
    packing = [text for text in heard if "pack" in text and "Caution: " in text]
    assert packing
    assert all("beeswax candle" in text for text in packing)
    assert not any("may be sent" in text or "allowed" in text for text in heard)
