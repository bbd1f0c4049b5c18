"""Whatever arrives, there is an answer, and nothing is changed that was not said.

Random characters, marks of direction, control characters, markup, long lines, halves of sentences,
slips of the finger.
"""

from datetime import date

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from assistant.conversation import requests as r
from assistant.conversation.handle.table import HANDLERS, WRITES
from assistant.conversation.month_requests import (
    ChangeRun,
    ItemArrived,
    ItemOrdered,
    SetMaterial,
)
from assistant.conversation.order_requests import (
    ChangeBooks,
    CountSubscribers,
    DropOrder,
    NoteGroup,
    OrderSent,
    ReviseOrder,
    SetTerms,
    WriteOrder,
)
from assistant.conversation.requests import Question, Request
from assistant.conversation.understand import understand
from assistant.conversation.understand.phrasings import TABLE
from assistant.conversation.year_requests import DropSupplier, MoveToMonths
from assistant.planning.model import Shop, Talk
from tests.conversation import utterances
from tests.conversation.meant import SHOP, TALK, TODAY

READS = tuple(set(HANDLERS) - WRITES)
# "bring it in" changes nothing without a file that was read, and none was here.
HARMLESS = (*READS, r.KeepIdea, r.BringIn)
ODD = st.sampled_from(
    (
        *("\u202e", "\u200b", "\u200f", "\u2066", "\ufeff", "\x00", "\x07", "\x1b[31m", "\x85"),
        *("<b>", "</b>", "&amp;", "*", "_", "`", "[x](y)", "%s", "{0}", "\\", "\u0301", "\u2028"),
        *(
            "\U0001f3ee",
            "\U0001f468\u200d\U0001f33e",
            "\u05e9\u05dc\u05d5\u05dd",
            "\u0645\u0631\u062d",
        ),
    )
)
SAID = st.sampled_from([text for text, _ in utterances.TABLE])
MEANT = dict(utterances.TABLE)


# What is said first of what was meant: a move to one month of some, terms without "end of month",
# a number without "in the bank", subscribers without what they do or want,
# "drop the Aldermoor" without "order", "the order for Aldermoor" without "has gone", a number, or
# what came, without the material that is counted, people who pack without the box.
BEGINS = (
    (r.MoveItem, MoveToMonths),
    (r.ChangeSupplier, SetTerms),
    (CountSubscribers, ChangeBooks),
    (CountSubscribers, NoteGroup),
    (CountSubscribers, r.KeepIdea),
    (DropSupplier, DropOrder),
    (r.DropItem, ReviseOrder),
    (r.MarkDone, ReviseOrder),
    (WriteOrder, OrderSent),
    (ChangeBooks, SetMaterial),
    (CountSubscribers, SetMaterial),
    (ItemArrived, SetMaterial),
    (ItemOrdered, SetMaterial),
    (r.ChangeShop, ChangeRun),
)


def alike(one: Request, meant: Request) -> bool:
    """Whether a request is of the kind that was meant, or of one that its words begin with."""
    begins = any(isinstance(one, less) and isinstance(meant, more) for less, more in BEGINS)
    return isinstance(one, type(meant)) or begins


def said(text: str, talk: Talk = TALK) -> tuple[Request, ...] | Question:
    found = understand(text, SHOP, talk, TODAY)
    assert found
    if isinstance(found, Question):
        assert found.text.strip()
        assert all(option.label and option.says for option in found.options)
    return found


def changes(found: tuple[Request, ...] | Question) -> list[Request]:
    """What would change the plan, thoughts aside."""
    return (
        [one for one in found if not isinstance(one, HARMLESS)] if isinstance(found, tuple) else []
    )


@given(st.text(max_size=400))
@example("\ud800")
@example("0" * 5000)
@example("-" * 300)
@example("\u0661\u0662 \u0645\u0627\u0631\u0633")  # digits that are not 0 to 9
@example("put off \u0663 days")
@example("done \u00b2")
def test_random_text_changes_nothing(text: str) -> None:
    assume(not TABLE.vocabulary & set(text.casefold().split()))  # words that were found in here
    assert changes(said(text)) == []


@given(st.lists(st.one_of(ODD, st.text(max_size=5)), max_size=30).map("".join))
def test_odd_characters_change_nothing(text: str) -> None:
    assert changes(said(text)) == []


@given(
    st.lists(
        st.sampled_from(sorted(TABLE.vocabulary))
        | st.sampled_from(
            (
                "1",
                "-3",
                "31",
                "March",
                "notebook",
                "tea",
                ":",
                ",",
                "3.10",
                "Aldermoor",
                "2027-03",
                "99999999",
                "12/34/5678",
                "31 February",
                "\u00a3",
                "\n",
                ";",
                "and",
                "20 days",
                "0",
                "%",
                '"',
                "(",
                ")",
            )
        ),
        max_size=12,
    ).map(" ".join)
)
def test_word_salad_has_an_answer(text: str) -> None:
    said(text)


@given(SAID, st.integers(0, 80))
def test_a_sentence_cut_short_means_no_other_thing(text: str, length: int) -> None:
    cut = text[:length]
    for one in changes(said(cut)):
        assert alike(one, MEANT[text])


@given(SAID, st.data())
def test_marks_in_a_sentence_mean_no_other_thing(text: str, data: st.DataObject) -> None:
    place = data.draw(st.integers(0, len(text)))
    for one in changes(said(text[:place] + data.draw(ODD) + text[place:])):
        assert alike(one, MEANT[text])


LETTERS = "abcdefghijklmnopqrstuvwxyz"


@settings(max_examples=1000)
@given(SAID, st.data())
def test_a_slip_means_the_same_or_is_asked_about(text: str, data: st.DataObject) -> None:
    """One letter wrong, lost, doubled or turned round: never another kind of change, and nothing
    is dropped or moved but what was meant."""
    place = data.draw(st.integers(0, max(0, len(text) - 2)))
    before, here, after = text[:place], text[place : place + 1], text[place + 1 :]
    slipped = data.draw(
        st.sampled_from(
            (
                f"{before}{after}",
                f"{before}{here}{here}{after}",
                f"{before}{after[:1]}{here}{after[1:]}",
                f"{before}{data.draw(st.sampled_from(LETTERS))}{after}",
            )
        )
    )
    meant = MEANT[text]
    for one in changes(said(slipped)):
        assert alike(one, meant), slipped
        if isinstance(one, r.DropItem | r.MoveItem) and isinstance(one, type(meant)):
            assert one.item == meant.item, slipped  # type: ignore[union-attr]


@pytest.mark.parametrize(
    "text",
    [
        "swap",
        "swap March",
        "move the notebook",
        "move the notebook to",
        "add to March",
        "add to March:",
        "March theme",
        "drop",
        "ship March",
        "Aldermoor closed",
        "put off",
        "rename the notebook",
        "rename the notebook to",
        "undo undo",
        "use 1",
        "let",
        "send away",
        "the box is",
        "we are",
        "Idea:",
        "Idea",
        "ship March on 31 February",
        "ship March on 12 March 1999",
        "notebook costs -5",
        "add to March: soap, minus 3.10",
        "notebook quantity -450",
        "we are -5",
        "Aldermoor deposit 130%",
        "Aldermoor closed 30 February to 2 March",
        "packing takes 99999 days",
        "undo 99999999999999999999",
        "show the year 999999",
    ],
)
def test_halves_and_impossible_things_change_nothing(text: str) -> None:
    found = said(text)
    assert isinstance(found, Question)
    assert len(found.text) <= 300


@pytest.mark.parametrize(
    "text", ["x" * 100_000, "march theme " + "\u05d0" * 100_000, "a\n" * 50_000, "done " * 20_000]
)
def test_a_hundred_kilobytes_are_declined_with_a_sentence(text: str) -> None:
    found = said(text)
    assert isinstance(found, Question)
    assert "4,000" in found.text


def test_a_long_idea_is_kept_and_a_longer_one_is_not() -> None:
    assert said("Idea: " + "moss " * 780) == (r.KeepIdea(("moss " * 780).strip()),)
    assert isinstance(said("Idea: " + "moss " * 820), Question)


def test_a_thought_of_many_lines_is_one_idea() -> None:
    text = "a map of the bog\nwith the boardwalk drawn in\nand a bookmark"
    assert said(text) == (r.KeepIdea(text, taken_for_one=True),)
    assert said("Idea: a map\nmove on") == (r.KeepIdea("a map\nmove on"),)


def test_several_lines_are_done_whole_or_not_at_all() -> None:
    assert said("March theme rain\nApril theme buds") == (
        r.SetTheme("2027-03", "rain"),
        r.SetTheme("2027-04", "buds"),
    )
    asked = said("March theme rain\ndrop the pin\nApril theme buds")
    assert isinstance(asked, Question)
    assert asked.text.startswith('Nothing was done yet. Line 2, "drop the pin"')
    chosen = said(asked.options[0].says)
    assert isinstance(chosen, tuple)
    assert chosen[1] == r.DropItem("2027-05.enamel pin")
    assert len(chosen) == 3


def test_several_things_in_one_line() -> None:
    assert said("March theme rain; April theme buds") == (
        r.SetTheme("2027-03", "rain"),
        r.SetTheme("2027-04", "buds"),
    )
    assert said("March theme rain; or shine") == (r.SetTheme("2027-03", "rain; or shine"),)
    assert said("done 1 and put off 2 by 3 days") == (
        r.MarkDone((TALK.deadlines[0],)),
        r.PutOff((TALK.deadlines[1],), days=3),
    )
    assert said("March theme salt and swap") == (r.SetTheme("2027-03", "salt and swap"),)


@pytest.mark.parametrize("text", [text for text, _ in utterances.TABLE])
def test_a_conversation_about_what_is_gone_raises_nothing(text: str) -> None:
    """What the chat was about has left the plan, and the plan is empty."""
    gone = Talk("x", item="no", box="2020-01", ideas=("a",), deadlines=("no/order", "2020-01/pack"))
    for shop in (SHOP, Shop(id="mossgate", house=SHOP.house)):
        assert understand(text, shop, gone, TODAY)


def test_the_nearest_box_of_a_month_counts_this_month() -> None:
    def box(text: str, today: date) -> Request:
        found = understand(f"how is {text}", SHOP, TALK, today)
        assert isinstance(found, tuple)
        return found[0]

    assert box("March", date(2027, 3, 31)) == r.HowIs("2027-03")
    assert box("March", date(2027, 4, 1)) == r.HowIs("2028-03")
    assert box("last March", date(2027, 4, 1)) == r.HowIs("2027-03")
    assert box("next March", date(2027, 3, 1)) == r.HowIs("2028-03")
    assert box("June", date(2026, 11, 26)) == r.HowIs("2027-06")  # no box yet


@pytest.mark.parametrize("swap", ["i\u0130", "i\u0131", "s\u017f", "k\u212a", "s\u00df", "f\ufb01"])
def test_letters_that_change_their_length_or_shape_with_their_case(swap: str) -> None:
    """Turkish i, long s, the Kelvin sign, sharp s, a ligature: a pattern that ignores case may
    take them for plain letters."""
    plain, odd = swap
    for text in MEANT:
        said(text.replace(plain, odd))
        said(text.replace(plain, odd, 1))
        said(f"{odd}{text}")
