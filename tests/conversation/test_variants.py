"""Versions of the year, whole conversations: kept, listed, compared, adopted, forgotten.

Shops, suppliers and items are invented.
"""

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.conversation.sentences import one_line
from assistant.conversation.sentences import rearranging as says
from assistant.conversation.understand import understand
from assistant.conversation.understand.words import tidy
from assistant.conversation.year_requests import (
    AdoptVariant,
    CompareVariant,
    DropVariant,
    KeepVariant,
)
from assistant.planning.changes import apply, find
from assistant.planning.model import Put, Talk
from assistant.planning.year.variants import MOST, keep
from tests.conversation.chat import Chat, plan_of
from tests.trade import shop

TODAY = date(2027, 1, 11)
NOW = datetime(2027, 1, 11, 9, tzinfo=UTC)
YEAR = shop(
    "Aldermoor: transit 3d",
    "2027-03 Rain: notebook@Aldermoor 450 x 3.10, lead 20d; tea 450 x 1.20",
    "2027-05 Swifts: pencil@Aldermoor 450 x 2.00",
    "2027-06 Hay",
    "2027-07 Moths: moth pin 450 x 0.90",
    target=Decimal("6.00"),
)
PHONE = 45


@pytest.fixture
def chat() -> Chat:
    """A chat about a year that was kept as plan B and changed since."""
    chat = Chat(YEAR)
    chat.say("keep this year as plan B")
    chat.say("March theme mud")
    chat.say("drop the tea")
    chat.say("move the pencil to June")
    return chat


def fits(chat: Chat, text: str) -> bool:
    """Whether a reply fits a phone: a title and eight lines, none of them a paragraph."""
    told = text.splitlines()
    wide = all(len(line) <= 3 * PHONE for line in told)
    return len(told) <= 9 and wide and all(len(label) <= 30 for label in chat.buttons)


def tables(chat: Chat) -> tuple[set[object], ...]:
    plan = plan_of(chat.shop)
    return set(plan.boxes), set(plan.items), set(plan.ledger), set(plan.variants)


# --- keeping and listing --------------------------------------------------------------------


def test_a_year_is_kept_and_listed_with_what_differs(chat: Chat) -> None:
    assert chat.say("versions").splitlines() == [
        "Versions of the year",
        "1. plan B, Mon 11 Jan: 3 boxes differ",
    ]
    chat.say("save a version called early")
    assert chat.say("versions").splitlines()[1:] == [
        "1. early, Mon 11 Jan: as the year is now",
        "2. plan B, Mon 11 Jan: 3 boxes differ",
    ]
    assert list(chat.buttons) == ["Compare early", "Compare plan B"]


def test_keeping_can_be_taken_back() -> None:
    chat = Chat(YEAR)
    assert chat.say("keep this year as plan B").startswith('Kept as "plan B": 4 boxes, 4 items.')
    assert chat.say("undo").splitlines()[1] == "The version plan B is out again."
    assert chat.say("versions") == "No version is kept yet. For example: keep this year as plan B"


def test_a_name_used_again_takes_the_place_of_the_first(chat: Chat) -> None:
    text = chat.say("keep this year as Plan B")
    assert "It takes the place of the one of Mon 11 Jan." in text
    assert [one.name for one in chat.shop.variants] == ["Plan B"]
    assert chat.say("keep this year as plan B") == '"Plan B" is the year as it stands already.'


def test_no_more_than_twelve_versions_are_kept() -> None:
    full = apply(YEAR, (Put(keep(YEAR, f"plan {n}", NOW)) for n in range(MOST)))
    chat = Chat(full)
    text = chat.say("keep this year as one more")
    assert 'there are 12 already. Let one go first, for example: forget version "plan 0"' in text
    assert chat.changes == ()
    assert chat.touch("Forget plan 0").startswith('Forgot "plan 0".')
    assert chat.say("keep this year as one more").startswith('Kept as "one more"')


@pytest.mark.parametrize(
    ("said", "words"),
    [
        (f"keep this year as {'a' * 41}", "a name has at most 40 characters"),
        ("keep a version", "under which name"),
        ("adopt plan C", 'I kept no version "plan C"'),
        ("compare with plna X", 'I kept no version "plna X"'),
        ("forget version early", 'I kept no version "early"'),
    ],
)
def test_what_cannot_be_says_what_would_work(chat: Chat, said: str, words: str) -> None:
    text = chat.say(said)
    assert words in text
    assert chat.changes == ()
    assert chat.buttons or "For example" in text
    for says_it in [says_it for says_it in chat.buttons.values() if "Idea:" not in says_it]:
        assert "I read" not in chat.say(says_it)


def test_the_nearest_names_are_offered_first(chat: Chat) -> None:
    chat.say("save a version called early")
    chat.say("adopt erly birds")
    assert list(chat.buttons)[:2] == ["early", "plan B"]
    assert chat.touch("plan B").startswith("Adopt plan B?")


def test_an_empty_year_is_not_kept() -> None:
    assert "nothing to keep" in Chat().say("keep this year as plan B")


# --- comparing ------------------------------------------------------------------------------


def test_a_comparison_says_what_adopting_would_change(chat: Chat) -> None:
    text = chat.say("compare with plan B")
    assert text.splitlines() == [
        '"plan B" against the year',
        'March: "Rain", not "mud"; in tea',
        "May: in pencil",
        "June: out pencil",
        "1 order-by date moves; nothing becomes late.",
        "Cost: 3 boxes £6.30 (was £5.10), the dearest £4.30; target £6.00 a box.",
    ]
    assert list(chat.buttons) == ["Adopt plan B", "Versions"]
    assert chat.touch("Adopt plan B").startswith("Adopt plan B?")


def test_a_version_that_does_not_differ_is_said_not_to() -> None:
    chat = Chat(YEAR)
    chat.say("keep this year as plan B")
    assert chat.say("compare with plan B") == '"plan B" is the same as the year as it stands.'
    assert chat.say("adopt plan B") == '"plan B" is the same as the year as it stands.'
    assert chat.changes == ()


# --- adopting -------------------------------------------------------------------------------


def test_a_version_is_adopted_once_that_was_shown_and_the_year_before_is_kept(chat: Chat) -> None:
    before = tables(chat)
    shown = chat.say("use plan B")
    assert shown.splitlines()[:2] == ["Adopt plan B?", "3 boxes change: March, May and June."]
    assert tables(chat) == before
    done = chat.touch("Do it")
    assert done.startswith('"plan B" is the year now; the year before is kept as "before plan B".')
    assert shown.splitlines()[2:] == done.splitlines()[1:-1]
    assert set(chat.shop.items) == set(YEAR.items)
    assert [one.name for one in chat.shop.variants] == ["before plan B"]
    assert chat.say("undo").startswith("Taken back: adopt plan B")
    assert tables(chat) == before


def test_adopting_the_year_before_brings_it_back(chat: Chat) -> None:
    boxes, items, marks, _ = tables(chat)
    chat.say("adopt plan B now")
    assert "Adopt before plan B?" in chat.say("adopt before plan B")
    chat.say("do it")
    assert tables(chat)[:3] == (boxes, items, marks)
    assert [one.name for one in chat.shop.variants] == ["plan B"]


def test_leaving_it_leaves_it(chat: Chat) -> None:
    before = tables(chat)
    chat.say("adopt plan B")
    assert chat.say("leave it") == "Left as it was: nothing was changed."
    assert tables(chat) == before


def test_what_was_ordered_meanwhile_is_carried_over_and_named(chat: Chat) -> None:
    chat.say("add to June: straw hat from Aldermoor, 2.50")
    chat.say("ordered the straw hat")
    assert "Ordered, so kept in: straw hat (June)." in chat.say("compare with plan B")
    assert "Ordered, so kept in: straw hat (June)." in chat.say("adopt plan B")
    assert "Ordered, so kept in: straw hat (June)." in chat.say("do it")
    hat = next(item for item in chat.shop.items if item.name == "straw hat")
    assert find(chat.shop.ledger, f"{hat.id}/order")


def test_what_comes_back_as_ordered_is_to_be_looked_after() -> None:
    chat = Chat(YEAR)
    chat.say("ordered the pencil")
    chat.say("keep this year as plan B")
    chat.say("drop the pencil now")
    text = chat.say("adopt plan B now")
    assert "pencil (May) comes back as ordered: check that the order stands." in text


def test_boxes_that_were_sent_stay_as_they_are(chat: Chat) -> None:
    chat.now = datetime(2027, 4, 10, 9, tzinfo=UTC)  # March has shipped
    text = chat.say("compare with plan B")
    assert "March" not in text
    chat.say("adopt plan B now")
    assert {item.name for item in chat.shop.items if item.box == "2027-03"} == {"notebook"}
    assert next(box.theme for box in chat.shop.boxes if box.id == "2027-03") == "mud"


def test_a_version_that_is_forgotten_meanwhile_is_not_adopted(chat: Chat) -> None:
    chat.say("adopt plan B")
    do_it = chat.buttons["Do it"]
    assert chat.say("forget plan B").startswith('Forgot "plan B".')
    assert "no version is kept yet" in chat.say(do_it)
    assert chat.changes == ()


# --- every reply, every name ----------------------------------------------------------------


def test_a_year_in_which_all_differs_fits_a_phone() -> None:
    long = "a thing with a very long name indeed that goes on"
    texts = [
        f"2027-{month:02} {long}: {long} 450 x 9.00; {long} too 450 x 3.00"
        for month in range(1, 13)
    ]
    chat = Chat(shop("Aldermoor", *texts, target=Decimal("6.00")))
    chat.say(f"keep this year as {'w' * 40}")
    for month in range(1, 13):
        chat.say(f"2027-{month:02} theme: another {long}")
        chat.say(f"drop {long} for 2027-{month:02}")
    for said in (f"compare with {'w' * 40}", "versions", f"adopt {'w' * 40}", "do it"):
        text = chat.say(said)
        assert fits(chat, text), text


NAMES = st.one_of(
    st.text(st.characters(codec="utf-8", exclude_categories=("Cs", "Cc")), min_size=1, max_size=40),
    st.sampled_from(("now", "plan B now", 'the "best" one', "early; or late", "with version", "?")),
).filter(lambda name: any(char.isalnum() and char.isascii() for char in name))


@given(NAMES)
def test_whatever_a_version_is_called(name: str) -> None:
    chat = Chat(YEAR)
    variant = keep(YEAR, name, NOW)
    known = apply(YEAR, (Put(variant),))
    for sentence, meant in (
        (says.compare(name), CompareVariant(variant.id)),
        (says.adopt(name), AdoptVariant(variant.id)),
        (says.now(says.adopt(name)), AdoptVariant(variant.id, sure=True)),
        (says.forget(name), DropVariant(variant.id)),
    ):
        assert understand(sentence, known, Talk(id=""), TODAY) == (meant,), sentence
    (kept,) = understand(says.keep_version(name), chat.shop, Talk(id=""), TODAY)
    assert isinstance(kept, KeepVariant)
    assert kept.name == tidy(one_line(name).replace('"', "'")).strip("' ")
