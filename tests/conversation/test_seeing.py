"""Who may see money, and that nobody else does by any route: words, files, buttons, the history,
undo, guesses, groups, other people's buttons."""

import json
import re
from datetime import UTC, datetime, time
from decimal import Decimal
from typing import Any

import msgspec
import pytest
from msgspec.structs import replace

from assistant.conversation.handle.nudging import morning
from assistant.conversation.handle.seeing import ABOUT_MONEY, may_see_money
from assistant.conversation.messages import Outcome
from assistant.planning import model
from assistant.planning.changes import apply, find
from assistant.planning.model import Person, Place, Put, Record, Shop
from assistant.planning.veiling import ALL_MONEY, INSIDE, MONEY, without_money
from tests.conversation import utterances
from tests.conversation.chat import Chat, plan_of
from tests.conversation.meant import NOTEBOOK, TEA
from tests.conversation.rich import (
    HELPER,
    NOW,
    OWNER,
    RICH,
    SECRETS,
    amounts,
    leaks,
    money_of,
    numbers,
    spoken,
    texts,
    words,
)

TEXTS = [text for text, _ in utterances.TABLE]
PARTS = [TEXTS[start::12] for start in range(12)]
REFUSED = "Money is for the owners to see"
GROUP = "telegram:-100"


def chat() -> Chat:
    return Chat(RICH, now=NOW)


def heard(text: str, who: str = HELPER, **more: Any) -> Outcome:
    return chat().hear(text, sender=who, **more)


def told(outcome: Outcome) -> str:
    return "\n".join(texts(outcome))


# --- everything that can be said ------------------------------------------------------------


@pytest.mark.parametrize("part", PARTS, ids=range(len(PARTS)))
def test_whatever_a_helper_says_no_money_is_told_and_none_is_lost(part: list[str]) -> None:
    """No text that leaves tells of money; amounts that were not spoken of change only where the
    same words of an owner would change them; what is done at all is what an owner would do."""
    before = money_of(RICH)
    for text in part:
        theirs = chat()
        outcome = theirs.hear(text, sender=HELPER)
        assert leaks(outcome, text) == [], text
        if not outcome.changes or outcome.undoes:
            continue
        hers = chat()
        wanted = hers.hear(text, sender=OWNER)
        after, as_told = money_of(theirs.shop), money_of(hers.shop)
        changed = {key for key, was in before.items() if key in after and after[key] != was}
        for key in changed:
            now = frozenset(amounts(after[key], money=True))
            assert now & spoken(text) or after[key] == as_told.get(key), (text, key)
        if wanted.changes:
            assert _by_anyone(outcome) == _by_anyone(wanted), text


def test_the_owner_does_hear_of_it() -> None:
    for text in ("how is March", "costs of March", "show supplier Aldermoor", "history"):
        assert leaks(heard(text, OWNER), text), text
    assert sum(bool(leaks(heard(text, OWNER), text)) for text in TEXTS[::20]) >= 10


def _by_anyone(outcome: Outcome) -> object:
    """What was done, without who did it."""
    changes = json.loads(msgspec.json.encode(outcome.changes).replace(b'"p2"', b'"p1"'))
    return [one for one in changes if one.get("record", {}).get("kind") != "person"]


# --- every field of money is known ----------------------------------------------------------

HOUSE = (model.House,)  # its defaults are everybody's to read
# Decimals that are no money: percentages of people or pieces, pieces, marks out of five, hours.
NO_MONEY = {
    *("confidence", "damage", "joins", "churn", "renew", "deposit_percent", "shares", "per_box"),
    *("score", "hours", "rate", "price", "divisor"),
}


def test_every_decimal_of_a_record_is_known_as_money_or_as_none() -> None:
    kinds = [
        one
        for one in vars(model).values()
        if isinstance(one, type) and issubclass(one, Record) and one not in HOUSE
    ]
    unknown = [
        (kind.__name__, field.name)
        for kind in kinds
        for field in msgspec.structs.fields(kind)
        if "Decimal" in str(field.type)
        and field.name not in MONEY.get(kind, ())
        and kind not in (*ALL_MONEY, model.Break, model.Spend, model.Band)
        and field.name not in NO_MONEY - ({"price"} if kind in MONEY else set())
    ]
    assert unknown == []
    holders = (*MONEY, *ALL_MONEY, model.Break, model.Spend, model.Band)
    nested = [
        (kind.__name__, field.name)
        for kind in kinds
        for field in msgspec.structs.fields(kind)
        if any(re.search(rf"\b{one.__name__}\b", str(field.type)) for one in holders)
        and kind not in (Shop, model.Put, model.Entry, *ALL_MONEY)
        and field.name not in (*MONEY.get(kind, ()), *INSIDE.get(kind, ()))
    ]
    assert nested == []


def test_a_veiled_shop_holds_no_amount() -> None:
    veiled = without_money(RICH, "p2")
    assert SECRETS
    assert not SECRETS & set(amounts(veiled))
    assert not any(numbers(one.why) & SECRETS for one in veiled.recent)
    assert without_money(veiled, "p2") is veiled


def test_a_shop_without_money_is_not_veiled() -> None:
    bare = without_money(replace(RICH, recent=()), "p2")
    assert without_money(bare, "p2") is bare


# --- who may --------------------------------------------------------------------------------


def test_owners_may_and_helpers_may_when_an_owner_says_so() -> None:
    talk = chat()
    mara, anna = (find(talk.shop.people, one) for one in ("p1", "p2"))
    assert mara is not None
    assert anna is not None
    assert may_see_money(talk.shop, mara)
    assert not may_see_money(talk.shop, anna)
    assert "Only an owner can" in talk.say("Anna may see money", sender=HELPER)
    assert REFUSED in talk.say("costs of March", sender=HELPER)
    assert talk.say("Anna may see money").startswith("Anna may see money now")
    assert "\u00a3" in talk.say("costs of March", sender=HELPER)
    assert "Anna: a helper, may see money" in talk.say("who is in")
    talk.say("Anna may see money")
    assert not talk.changes
    assert "Anna sees no money" in talk.say("Anna may not see money")
    assert "Anna may see money" in talk.touch("Show it again")
    assert "\u00a3" in talk.say("costs of March", sender=HELPER)
    talk.say("undo")
    assert REFUSED in talk.say("costs of March", sender=HELPER)


def test_an_owner_always_sees_money() -> None:
    assert "owners see everything" in chat().say("Mara may not see money")


def test_somebody_unknown_sees_none() -> None:
    assert not may_see_money(RICH, Person(id="p9", chat="telegram:9", money=True))


@pytest.mark.parametrize(
    "text",
    [
        "costs of March",
        "make March cheaper",
        "cash by month",
        "when is money tightest",
        "who can I bargain with",
        "compare quotes for the enamel pin in May",
        "show order 2026-004",
        "orders",
        "postage prices",
        "rates",
        "the euro is 0.85",
        "price 35",
        "what do you reckon with",
    ],
)
def test_a_question_about_money_is_refused_with_what_can_be_asked(text: str) -> None:
    talk = chat()
    answer = talk.say(text, sender=HELPER)
    assert REFUSED in answer
    assert "for example: how is March" in answer
    assert not talk.changes
    assert talk.touch("This month", sender=HELPER)
    assert REFUSED not in talk.say("how is March", sender=HELPER)


def test_every_kind_of_request_that_is_refused_is_said_in_the_tables() -> None:
    said = {type(meant) for _, meant in utterances.TABLE}
    assert len(set(ABOUT_MONEY) - said) <= 1
    for text, meant in utterances.TABLE[::4]:
        if type(meant) in ABOUT_MONEY:
            assert not heard(text).changes


# --- routes -----------------------------------------------------------------------------------


def test_a_helpers_change_keeps_prices_and_says_none() -> None:
    talk = chat()
    answer = talk.say("notebook quantity 470", sender=HELPER)
    assert "470 pieces, was 450 pieces" in answer
    item = find(talk.shop.items, NOTEBOOK)
    assert item is not None
    assert (item.unit_cost, item.quantity) == (Decimal("3.17"), 470)
    assert len(item.breaks) == 2


def test_the_old_price_is_not_told_by_changing_it_or_by_undo() -> None:
    talk = chat()
    assert "3.17" not in talk.say("notebook costs 3.40", sender=HELPER)
    assert "3.17" not in talk.touch("Undo", sender=HELPER)
    item = find(talk.shop.items, NOTEBOOK)
    assert item is not None
    assert item.unit_cost == Decimal("3.17")
    assert "3.17" not in talk.touch("Put it back", sender=HELPER)
    assert "3.17" not in talk.say("history", sender=HELPER)


def test_a_right_guess_looks_like_a_wrong_one() -> None:
    right, wrong = (heard(f"notebook costs {price}") for price in ("3.17", "3.18"))
    texts_of = [told(one).replace("3.18", "3.17") for one in (right, wrong)]
    assert texts_of[0] == texts_of[1]
    assert [bool(one.changes) for one in (right, wrong)] == [True, True]


def test_an_owners_undo_button_pressed_by_a_helper_tells_and_does_nothing() -> None:
    talk = chat()
    talk.say("notebook costs 3.93")
    button = talk.buttons["Undo"]
    for more in ({"pressed": True}, {"forwarded_from": "Mara"}):
        outcome = talk.hear(button, sender=HELPER, **more)
        assert not numbers(told(outcome)) & {Decimal("3.93"), Decimal("3.17")}
        item = find(talk.shop.items, NOTEBOOK)
        assert item is not None
        assert item.unit_cost == Decimal("3.93")


@pytest.mark.parametrize("label", ["Costs of March", "In full", "As a picture"])
def test_buttons_of_an_owners_message_tell_a_helper_nothing(label: str) -> None:
    talk = chat()
    talk.say("costs of March")
    says = talk.buttons.get(label) or next(iter(talk.buttons.values()))
    outcome = talk.hear(says, sender=HELPER, pressed=True)
    assert leaks(outcome, says) == []
    assert not any(reply.photo for reply in outcome.replies)


def test_numbers_of_a_list_stay_in_their_own_chat() -> None:
    talk = chat()
    talk.say("make March cheaper")
    outcome = talk.hear("1", sender=HELPER)
    assert leaks(outcome, "1") == []


def test_an_edit_of_an_idea_and_of_an_owners_message_tell_nothing() -> None:
    talk = chat()
    talk.hear("Idea: a lantern walk", message="m1")
    for text in ("costs of March", "notebook costs 3.18"):
        outcome = talk.hear(text, sender=HELPER, edited=True, message="m1")
        assert leaks(outcome, text) == []
    talk.hear("costs of March", message="m2")
    outcome = talk.hear("costs of March in full", sender=HELPER, edited=True, message="m2")
    assert leaks(outcome, "") == []


def test_many_things_at_once_are_all_without_money_or_not_done() -> None:
    talk = chat()
    answer = talk.say("notebook quantity 470; write the order for Aldermoor", sender=HELPER)
    assert "notebook" not in answer or REFUSED in answer
    assert not talk.changes
    text = "March theme moss\ncosts of March\nhow is March"
    assert leaks(talk.hear(text, sender=HELPER), text) == []


def test_files_that_go_to_a_helper_hold_no_money() -> None:
    for text in (
        "year sheet as a page",
        "year sheet in words",
        "rehearse",
        "count-in sheet for March",
    ):
        outcome = heard(text)
        assert leaks(outcome, text) == [], text
    hers = heard("year sheet in words", OWNER)
    assert any(numbers(words(file.content)) & SECRETS for file in hers.files)


def test_a_picture_for_a_helper_is_that_of_a_shop_without_money() -> None:
    veiled = Chat(without_money(RICH, "p2"), now=NOW)
    drawn = veiled.hear("year sheet", sender=HELPER).files
    assert drawn
    assert [one.content for one in heard("year sheet").files] == [one.content for one in drawn]
    assert [one.content for one in heard("year sheet", OWNER).files] != [
        one.content for one in drawn
    ]


def test_a_file_that_a_helper_sends_shows_nothing_of_what_is_kept() -> None:
    content = b"month,theme,item,supplier,cost\nMarch,Rain,field notebook,Aldermoor,3.95\n"
    talk = chat()
    outcome = talk.hear(sender=HELPER, document="f", document_name="year.csv", content=content)
    assert "3.17" not in told(outcome)
    assert "3.17" not in told(talk.hear("bring it in", sender=HELPER))
    item = find(talk.shop.items, NOTEBOOK)
    assert item is not None
    assert item.unit_cost == Decimal("3.95")
    assert len(item.breaks) == 2


def test_versions_adopted_by_a_helper_keep_their_prices() -> None:
    talk = Chat(replace(RICH, drafts=()), now=NOW)
    for text in ("compare with plan B", "adopt plan B", "do it"):
        outcome = talk.hear(text, sender=HELPER)
        assert leaks(outcome, text) == [], text
    assert money_of(talk.shop) == money_of(RICH)


def test_a_number_to_order_that_goes_by_prices_is_not_told_wrong() -> None:
    items = tuple(replace(one, quantity=None) if one.id == TEA else one for one in RICH.items)
    books = tuple(replace(one, short_cost=None) for one in RICH.books)
    talk = Chat(replace(RICH, items=items, books=books), now=NOW)
    assert "480 to order" in talk.say("how many mint tea")
    assert "goes by prices" in talk.say("how many mint tea", sender=HELPER)
    assert "to order" in talk.say("how many notebooks", sender=HELPER)
    assert "goes by prices" in chat().say("how many notebooks", sender=HELPER)


# --- groups, mornings, other people ----------------------------------------------------------


def test_no_money_is_told_in_a_group_not_to_an_owner_either() -> None:
    talk = Chat(apply(RICH, (Put(Place(GROUP, "packers")),)), now=NOW)
    for who in (OWNER, HELPER, "telegram:77"):
        for text in ("how is March", "costs of March", "history", "show supplier Aldermoor"):
            outcome = talk.hear(text, sender=who, chat=GROUP, group="packers")
            assert leaks(outcome, text) == [], (who, text)
    answer = talk.say("costs of March", chat=GROUP, group="packers")
    assert "I tell no money in a group" in answer
    assert "our own chat" in answer


def test_what_an_owner_does_is_told_to_a_helper_without_money() -> None:
    talk = chat()
    outcome = talk.hear("give order notebook to Anna")
    here, there = outcome.replies
    assert there.to == HELPER
    assert "Mara gave you: order field notebook (March)." in there.text
    assert "Anna alone is nudged" in here.text


def test_mornings_of_a_helper_tell_no_money() -> None:
    people = tuple(replace(one, digest_at=time(8)) for one in RICH.people)
    shop = replace(RICH, people=people)
    for day in range(1, 29):
        outcome = morning(shop, datetime(2027, 2, day, 9, tzinfo=UTC))
        theirs = tuple(one for one in outcome.replies if one.to != OWNER)
        assert leaks(replace(outcome, replies=theirs, files=()), "") == []


def test_an_owner_is_answered_as_ever() -> None:
    """What an owner hears and does is not touched by anybody else's sight."""
    alone = replace(RICH, people=RICH.people[:1])
    for text in TEXTS[::15]:
        with_helpers, without = Chat(RICH, now=NOW), Chat(alone, now=NOW)
        with_helpers.hear(text), without.hear(text)
        if "Anna" in text or "Jo" in text or not re.search("[A-Z]", text):
            continue
        assert plan_of(with_helpers.shop) == plan_of(without.shop), text
