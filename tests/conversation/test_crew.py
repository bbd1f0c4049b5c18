"""Who does what, who is away, who did it: whole conversations. Everybody is invented."""

from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from msgspec.structs import replace

from assistant.conversation.handle.nudging import morning
from assistant.conversation.month_requests import GiveTo, LetSeeMoney, PersonOff, WhoDid
from assistant.conversation.sentences import crew as says
from assistant.conversation.understand import understand
from assistant.planning.changes import find
from assistant.planning.model import Closure, Person, Shop, Talk
from tests.conversation import meant
from tests.conversation.chat import Chat, plan_of
from tests.conversation.utterances_crew import AWAY, CREW, DEEDS, GIVING, MONEY
from tests.trade import shop

MARA, TOM, JO = "terminal:you", "telegram:2", "telegram:3"
PACK, ORDER = "2027-03/pack", "2027-03.notebook/order"


def mossgate(**fields: Any) -> Shop:
    made = shop(
        "Aldermoor",
        "2027-03 Rain: notebook@Aldermoor 450 x 3.10, lead 20d; mint tea@Aldermoor 450 x 1.20",
        subscribers=420,
    )
    people = (
        Person(id=MARA, chat=MARA, name="Mara", role="owner"),
        Person(id=TOM, chat=TOM, name="Tom"),
        Person(id=JO, chat=JO, name="Jo"),
    )
    return replace(made, people=people, **fields)


@pytest.fixture
def chat() -> Chat:
    return Chat(mossgate())


def whose(chat: Chat, key: str) -> str:
    found = find(chat.shop.ledger, key)
    return found.to if found else ""


def off(chat: Chat, person: str) -> tuple[Closure, ...]:
    found = find(chat.shop.people, person)
    assert found is not None
    return found.off


# --- given ----------------------------------------------------------------------------------


def test_a_thing_is_given_told_listed_and_given_back(chat: Chat) -> None:
    answer = chat.say("give packing March to Tom")
    assert answer == (
        "Tom alone is nudged for: start packing (March). "
        "An owner hears of it once it is 2 working days late."
    )
    assert chat.told(chat.outcome.replies, TOM) == "Mara gave you: start packing (March)."
    assert whose(chat, PACK) == TOM
    assert "(March) (Tom)" in chat.say("what is due from 8 March to 20 March")
    assert "(Tom)" not in chat.say("what is due from 8 March to 20 March", sender=TOM)
    assert chat.say("nudge everybody about packing March").startswith("Everybody is nudged for")
    assert whose(chat, PACK) == ""
    assert "(Tom)" not in chat.say("what is due from 8 March to 20 March")


def test_giving_can_be_undone_and_says_so(chat: Chat) -> None:
    chat.say("Tom orders the notebook")
    assert "Everybody is nudged again for: order notebook" in chat.touch("Undo")
    assert whose(chat, ORDER) == ""
    assert "Tom alone is nudged again for: order notebook" in chat.touch("Put it back")
    chat.say("Tom orders the notebook")
    assert not chat.changes
    assert whose(chat, ORDER) == TOM


def test_the_button_under_it_gives_it_back(chat: Chat) -> None:
    chat.say("Tom packs March")
    assert "Everybody is nudged" in chat.touch("Nudge everybody")
    assert whose(chat, PACK) == ""


def test_what_is_done_is_given_to_nobody(chat: Chat) -> None:
    chat.say("done: order notebook")
    assert "Dealt with already: order notebook" in chat.say("give order notebook to Tom")
    assert not chat.changes
    assert len(chat.outcome.replies) == 1


def test_giving_when_its_person_is_off_or_out_of_reach_warns() -> None:
    away = Closure("closed", date(2027, 3, 1), date(2027, 3, 20))
    people = [
        replace(one, off=(away,)) if one.id == TOM else replace(one, reachable=one.id != JO)
        for one in mossgate().people
    ]
    chat = Chat(replace(mossgate(), people=tuple(people)))
    assert "Mind: Tom is off Mon 1 to Sat 20 Mar: start packing" in chat.say("Tom packs March")
    assert "I cannot write to Jo" in chat.say("give packing March to Jo")
    assert len(chat.outcome.replies) == 1


def test_helpers_take_and_give_back_what_is_theirs_and_nothing_else(chat: Chat) -> None:
    assert "Only an owner can" in chat.say("Jo packs March", sender=TOM)
    assert not chat.changes
    assert "You alone are nudged" in chat.say("give packing March to me", sender=TOM)
    assert whose(chat, PACK) == TOM
    assert "Only an owner can" in chat.say("nudge everybody about packing March", sender=JO)
    assert whose(chat, PACK) == TOM
    assert "Everybody is nudged" in chat.say("nudge everybody about packing March", sender=TOM)


def test_a_thing_whose_box_is_not_in_the_plan_is_given_to_nobody(chat: Chat) -> None:
    chat.say("give packing August to Tom")
    assert not chat.changes


def test_who_is_sent_away_leaves_their_things_to_everybody(chat: Chat) -> None:
    chat.say("Tom packs March")
    chat.say("Tom orders the notebook")
    answer = chat.say("send Tom away")
    assert "Tom is out" in answer
    assert "Everybody is nudged again for what was theirs: order notebook (March)" in answer
    assert "start packing (March)" in answer
    assert (whose(chat, PACK), whose(chat, ORDER)) == ("", "")


def test_mornings_go_to_who_was_given_it_and_to_owners_when_late(chat: Chat) -> None:
    chat.say("Tom orders the notebook")
    heard: dict[int, set[str]] = {}
    for day in range(40):
        now = datetime(2027, 1, 12, 9, tzinfo=UTC) + timedelta(day)
        for reply in morning(chat.shop, now).replies:
            if "order notebook" in reply.text:
                heard.setdefault(day, set()).add(reply.to)
                named = "order notebook (March)" in reply.text
                assert named == (reply.to in (TOM, MARA))
                assert ("(Tom)" in reply.text) == (reply.to == MARA)
    first, *_ = heard.values()
    assert first == {TOM}
    assert {TOM, MARA} in heard.values()
    assert JO not in set[str]().union(*heard.values())


# --- away -----------------------------------------------------------------------------------


def test_days_off_are_kept_shown_and_ended(chat: Chat) -> None:
    answer = chat.say("Tom is off 2-6 March")
    assert answer.startswith("Tom is off Tue 2 to Sat 6 Mar.")
    assert "Tom: a helper, off Tue 2 to Sat 6 Mar" in chat.say("who is in")
    chat.say("Tom is off 2-6 March")
    assert not chat.changes
    assert chat.say("Tom is back on 4 March") == "Tom is back on Thu 4 Mar."
    assert [str(one.last) for one in off(chat, TOM)] == ["2027-03-03"]
    assert "no day off of Tom on Thu 4 Mar" in chat.say("Tom is back on 4 March")
    chat.say("undo")
    assert [str(one.last) for one in off(chat, TOM)] == ["2027-03-06"]


def test_the_button_under_days_off_takes_them_back(chat: Chat) -> None:
    chat.say("Tom is off 2-6 March")
    assert "Tom is back" in chat.touch("Not off after all")
    assert off(chat, TOM) == ()


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("Tom is off 6-2 March", "before it"),
        ("Tom is off", "on which days"),
        ("Tom is off 31 February", "I"),
        ("Tom is off 2-6 January 2026", "over"),
    ],
)
def test_days_off_that_cannot_be_are_asked_about(chat: Chat, text: str, says: str) -> None:
    assert says in chat.say(text)
    assert not chat.changes
    assert off(chat, TOM) == ()


def test_helpers_speak_of_their_own_days_only(chat: Chat) -> None:
    assert "Only an owner can" in chat.say("Jo is off 2-6 March", sender=TOM)
    assert off(chat, JO) == ()
    assert "Tom is off" in chat.say("I am off 2-6 March", sender=TOM)
    assert len(off(chat, TOM)) == 1
    assert not chat.shop.profile[0].closures
    assert "Tom is off" in chat.say("I'm away 9-10 March", sender=TOM)
    assert len(off(chat, TOM)) == 2


def test_an_owner_who_is_off_closes_her_shop_as_ever(chat: Chat) -> None:
    chat.say("I am off 2-6 March")
    assert len(chat.shop.profile[0].closures) == 1


def test_what_is_due_while_its_person_is_off_is_said(chat: Chat) -> None:
    chat.say("Tom packs March")
    assert "Mind: Tom is off" in chat.say("Tom is off 1-20 March")


def test_a_run_that_no_longer_fits_is_said() -> None:
    chat = Chat(mossgate())
    for text in ("we are 3,000", "2 people pack", "we pack 60 boxes an hour", "Tom packs March"):
        chat.say(text)
    before = plan_of(chat.shop)
    chat.say("Tom is off 1-20 March")
    chat.say("undo")
    assert plan_of(chat.shop) == before


# --- who did it -----------------------------------------------------------------------------


def test_who_did_what_is_told_newest_first(chat: Chat) -> None:
    chat.say("notebook quantity 460")
    chat.say("done: order notebook", sender=TOM)
    answer = chat.say("who ordered the notebook")
    assert answer.splitlines() == [
        "Who did what: notebook (March)",
        "Mon 11 Jan, Tom: done: order notebook",
        "Mon 11 Jan, you: notebook quantity 460",
    ]
    assert "you: done: order notebook" in chat.say("what did Tom do", sender=TOM)
    assert "Nothing was done yet of Jo" in chat.say("what did Jo do")
    chat.say("undo", sender=TOM)
    assert "Tom" not in chat.say("who ordered the notebook")


def test_who_is_out_is_still_somebody(chat: Chat) -> None:
    chat.say("done: order notebook", sender=TOM)
    chat.say("send Tom away")
    assert "somebody who is out: done: order notebook" in chat.say("who ordered the notebook")


def test_a_helper_is_told_who_did_what_without_money(chat: Chat) -> None:
    chat.say("notebook costs 3.95")
    answer = chat.say("who changed the notebook", sender=TOM)
    assert "Mara: notebook (...)" in answer
    assert "3.95" not in answer


# --- words ----------------------------------------------------------------------------------


def test_every_kind_has_a_dozen_ways_to_say_it() -> None:
    assert all(len(one) >= 12 for one in (GIVING, MONEY, AWAY, DEEDS))
    kinds = [type(meant) for _, meant in CREW]
    assert {GiveTo, LetSeeMoney, PersonOff, WhoDid} == set(kinds)


def understood(text: str) -> object:
    found = understand(text, meant.SHOP, Talk(id="terminal:you"), meant.TODAY)
    return found[0] if isinstance(found, tuple) and len(found) == 1 else found


@pytest.mark.parametrize("person", meant.SHOP.people, ids=lambda one: one.name)
def test_what_buttons_say_is_understood_back(person: Person) -> None:
    made = meant.SHOP
    for key in (meant.ORDER, meant.PACK, meant.STOCK):
        assert understood(says.give(made, key, person)) == GiveTo((key,), person.id)
        assert understood(says.give_back(made, key)) == GiveTo((key,), "")
    for may in (True, False):
        assert understood(says.see_money(made, person, may=may)) == LetSeeMoney(person.id, may)
    day = date(2027, 3, 4)
    assert understood(says.back_on(made, person, day)) == PersonOff(person.id, back=day)
    assert understood(says.who_did(made, person=person)) == WhoDid(person=person.id)
    assert understood(says.who_did(made, item=meant.NOTEBOOK)) == WhoDid(item=meant.NOTEBOOK)
    assert understood(says.who_did(made, box="2027-03")) == WhoDid(box="2027-03")
    assert understood(says.who_did(made)) == WhoDid()


def test_people_of_one_name_are_asked_about_and_named_by_what_they_are_known_by() -> None:
    made = mossgate()
    twin = Person(id="telegram:9", chat="telegram:9", name="Tom")
    chat = Chat(replace(made, people=(*made.people, twin)))
    assert "could be 2 people" in chat.say("Tom packs March")
    assert not chat.changes
    says_one = next(iter(chat.buttons.values()))
    chat.say(says_one)
    assert whose(chat, PACK) in (TOM, "telegram:9")


@pytest.mark.parametrize(
    "name",
    ["March", "everybody", "the tea", "Tom; undo", "2", "me", "\u202eTom", "x" * 300, "'", "of"],
)
def test_hostile_names_break_nothing(name: str) -> None:
    made = mossgate()
    people = (*made.people[:1], replace(made.people[1], name=name))
    chat = Chat(replace(made, people=people))
    for text in (
        "who is in",
        f"{name} packs March",
        f"give packing March to {name}",
        "what is due",
    ):
        chat.say(text)
    button = says.give(chat.shop, PACK, people[1])
    heard = chat.say(button)
    assert whose(chat, PACK) in (TOM, "", MARA)
    assert heard
