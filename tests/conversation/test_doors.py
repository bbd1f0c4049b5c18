"""Who is heard and who is not: codes, strangers, groups, blocked chats."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.conversation.converse import converse
from assistant.conversation.handle.doors import (
    CODE_LIFE,
    LETTERS,
    SILENCE,
    STRANGERS,
    TRIES,
    let_owner_in,
    lets_in,
    new_code,
    unreached,
)
from assistant.conversation.messages import Heard, Moment
from assistant.planning.changes import apply, find
from assistant.planning.model import Put, Shop, Stranger
from tests.conversation.chat import MORNING, OWNER, Chat, commit, empty
from tests.trade import house, shop

ANNA = "telegram:11"
BERT = "telegram:12"
GROUP = "telegram:-100"
SECRETS = ("notebook", "rain", "aldermoor", "3.10", "ann", "mossgate", "march")


@pytest.fixture
def chat() -> Chat:
    """A shop with a plan, its owner at the terminal."""
    talk = Chat(shop("Aldermoor DE", "2027-03 Rain: notebook@Aldermoor 450 x 3.10, lead 20d"))
    talk.hear(name="Ann", text="hello")
    return talk


def code_for(chat: Chat, says: str = "let a helper in") -> str:
    """Ask for a code and take it out of the answer."""
    return chat.say(says).split(": ")[1].split("\n")[0]


# --- strangers ------------------------------------------------------------------------------


def test_a_stranger_is_refused_once_and_then_met_with_silence(chat: Chat) -> None:
    first = chat.say("hello", sender=ANNA)
    assert "let in" in first
    assert "code" in first
    for text in ("hello?", "what is due", "/start", "undo", "", "Idea: tea for March"):
        assert chat.hear(text, sender=ANNA).replies == ()
    assert find(chat.shop.strangers, ANNA) is not None
    assert chat.shop.ideas == ()


@given(
    text=st.text(max_size=60) | st.sampled_from(["what is due", "how is March", "undo", "yes"]),
    photo=st.sampled_from(["", "file/1"]),
    document=st.sampled_from(["", "year.csv"]),
    edited=st.booleans(),
    group=st.booleans(),
)
def test_nothing_of_the_shop_is_said_to_a_stranger_and_nothing_is_changed(
    text: str, photo: str, document: str, edited: bool, group: bool
) -> None:
    before = shop("2027-03 Rain: notebook@Aldermoor 450 x 3.10, lead 20d", name="Mossgate")
    before = apply(before, let_owner_in(before, OWNER, MORNING).notes)
    heard = Heard(
        id="1",
        chat=GROUP if group else ANNA,
        sender=ANNA,
        at=MORNING,
        text=text,
        photo=photo,
        document_name=document,
        edited=edited,
        group="The packers" if group else "",
    )
    outcome = converse(before, heard, Moment(now=MORNING, ref="1", content=b"March"))
    assert outcome.changes == ()
    puts = [note.record for note in outcome.notes if isinstance(note, Put)]
    assert len(puts) == len(outcome.notes)
    assert all(isinstance(record, Stranger) for record in puts)
    for reply in outcome.replies:
        assert reply.to == ""
        assert not any(secret in reply.text.casefold() for secret in SECRETS)


def test_the_table_of_strangers_never_grows_over_its_limit() -> None:
    crowd = tuple(
        Stranger(id=f"crowd:{n}", at=MORNING + timedelta(seconds=n), tries=int(n == 0))
        for n in range(STRANGERS)
    )
    chat = Chat(replace(empty(), strangers=crowd))
    assert chat.say("hello", sender=ANNA)
    assert len(chat.shop.strangers) == STRANGERS
    assert find(chat.shop.strangers, ANNA) is not None
    assert find(chat.shop.strangers, "crowd:0") is not None, "one that tried codes stays"
    assert find(chat.shop.strangers, "crowd:1") is None, "the longest known one goes"


# --- codes ----------------------------------------------------------------------------------


def test_a_code_lets_one_person_in_once(chat: Chat) -> None:
    code = code_for(chat)
    welcome = chat.say(code, sender=ANNA, name="Anna")
    assert "Anna" in welcome
    assert "a helper" in welcome
    assert chat.told(chat.outcome.replies, OWNER).startswith("Anna came in with a code")
    assert "notebook" in chat.say("how is March", sender=ANNA)
    assert "not a code" in chat.say(code, sender=BERT)
    assert find(chat.shop.people, BERT) is None


@pytest.mark.parametrize(
    "typed",
    [str.lower, lambda code: code.replace("-", ""), lambda code: f"  {code.replace('-', ' ')}\n"],
)
def test_a_code_is_read_however_it_is_typed(chat: Chat, typed: object) -> None:
    chat.hear(typed(code_for(chat)), sender=ANNA)  # type: ignore[operator]
    assert find(chat.shop.people, ANNA) is not None


def test_only_the_hash_of_a_code_is_kept(chat: Chat) -> None:
    code = code_for(chat)
    (invite,) = chat.shop.invites
    assert len(invite.id) == 64
    assert code not in repr(chat.shop)
    assert code.replace("-", "") not in repr(chat.shop)


@given(st.text(min_size=1), st.text(min_size=1))
def test_codes_are_long_legible_and_follow_the_token(one: str, other: str) -> None:
    bare = Shop(id="mossgate", house=house())
    codes = [new_code(bare, Moment(now=MORNING, ref="r", token=t))[0] for t in (one, other)]
    for code in codes:
        letters = code.replace("-", "")
        assert len(letters) >= 10
        assert set(letters) <= set(LETTERS)
    assert (codes[0] == codes[1]) == (one == other)


def test_a_code_ends_after_a_day(chat: Chat) -> None:
    code = code_for(chat)
    chat.now += CODE_LIFE
    assert "not a code" in chat.say(code, sender=ANNA)
    assert find(chat.shop.people, ANNA) is None
    code_for(chat)
    assert len(chat.shop.invites) == 1, "a code that ended is cleared away with the next one"


def test_the_first_owners_code_lives_until_it_is_used_and_a_new_one_takes_its_place() -> None:
    bare = Shop(id="mossgate", house=house())
    lost, outcome = new_code(bare, Moment(now=MORNING, ref="a", token="one"), "owner")
    bare = commit(bare, outcome, "", MORNING)
    code, outcome = new_code(bare, Moment(now=MORNING, ref="b", token="two"), "owner")
    bare = commit(bare, outcome, "", MORNING)
    much_later = MORNING + timedelta(days=400)
    for text, people in ((lost, 0), (code, 1)):
        heard = Heard(id="1", chat=ANNA, sender=ANNA, at=much_later, text=text)
        bare = commit(bare, converse(bare, heard, Moment(now=much_later, ref="1")), "", much_later)
        assert len(bare.people) == people
    assert bare.people[0].role == "owner"
    assert bare.invites == ()


def test_five_wrong_codes_bring_a_day_of_silence_even_for_a_right_one(chat: Chat) -> None:
    wrong = [f"AAAA-BBBB-CCC{letter}" for letter in LETTERS[:TRIES]]
    answers = [chat.say(code, sender=ANNA) for code in wrong]
    assert all("not a code" in answer for answer in answers)
    assert "day" in answers[-1]
    right = code_for(chat)
    chat.now += SILENCE - timedelta(minutes=1)
    assert chat.hear(right, sender=ANNA).replies == ()
    assert find(chat.shop.people, ANNA) is None
    right = code_for(chat)
    chat.now += timedelta(minutes=1)
    chat.hear(right, sender=ANNA)
    assert find(chat.shop.people, ANNA) is not None
    assert find(chat.shop.strangers, ANNA) is None


def test_wrong_codes_in_a_group_count_too(chat: Chat) -> None:
    for letter in LETTERS[:TRIES]:
        chat.hear(f"AAAA-BBBB-CCC{letter}", sender=ANNA, chat=GROUP, group="Packers")
    code = code_for(chat)
    assert chat.hear(code, sender=ANNA).replies == ()


def test_an_owners_code_makes_an_owner_of_a_helper(chat: Chat) -> None:
    chat.hear(code_for(chat), sender=ANNA, name="Anna")
    chat.hear(code_for(chat, "let an owner in"), sender=ANNA)
    anna = find(chat.shop.people, ANNA)
    assert anna is not None
    assert anna.role == "owner"


def test_helpers_let_nobody_in_and_send_nobody_away(chat: Chat) -> None:
    chat.hear(code_for(chat), sender=ANNA, name="Anna")
    before = chat.shop.people
    assert "Only an owner" in chat.say("let a helper in", sender=ANNA)
    assert "Only an owner" in chat.say("send Ann away", sender=ANNA)
    assert chat.shop.people == before
    assert chat.shop.invites == ()


def test_who_is_sent_away_is_a_stranger_again(chat: Chat) -> None:
    chat.hear(code_for(chat), sender=ANNA, name="Anna")
    chat.hear("what is due", sender=ANNA)
    assert "Anna" in chat.say("send Anna away")
    assert find(chat.shop.people, ANNA) is None
    assert find(chat.shop.talks, ANNA) is None
    assert "let in" in chat.say("what is due", sender=ANNA)


def test_who_is_sent_away_is_not_heard_in_groups_either_until_a_code_lets_them_in(
    chat: Chat,
) -> None:
    chat.hear(code_for(chat), sender=ANNA, name="Anna")
    chat.hear("let this group in", chat=GROUP, group="Packers")
    chat.hear("send Anna away")
    for text in ("Idea: tea for March", "what is due", "undo", "move the notebook to May"):
        told = chat.hear(text, chat=GROUP, sender=ANNA, group="Packers")
        assert (told.replies, told.changes) == ((), ())
    assert not lets_in(chat.shop, chat.heard[-1])
    assert "Kept" in chat.say("Idea: tea for March", chat=GROUP, sender=BERT, group="Packers")
    chat.hear(code_for(chat, "let a group in"), chat="telegram:-200", sender=ANNA, group="Others")
    assert chat.hear("what is due", chat="telegram:-200", sender=ANNA, group="Others").replies == ()
    chat.hear(code_for(chat), sender=ANNA, name="Anna")
    assert chat.hear("what is due", chat=GROUP, sender=ANNA, group="Packers").replies


def test_a_crowd_of_strangers_does_not_wash_out_who_was_sent_away(chat: Chat) -> None:
    chat.hear(code_for(chat), sender=ANNA, name="Anna")
    chat.hear("let this group in", chat=GROUP, group="Packers")
    chat.hear("send Anna away")
    crowd = (Stranger(id=f"telegram:{n}", at=chat.now) for n in range(1000, 1000 + STRANGERS))
    chat.shop = apply(chat.shop, map(Put, crowd))
    chat.hear("hello", sender="telegram:77")
    assert chat.hear("what is due", chat=GROUP, sender=ANNA, group="Packers").replies == ()


def test_the_last_owner_cannot_be_sent_away(chat: Chat) -> None:
    assert "only owner" in chat.say("send Ann away")
    assert len(chat.shop.people) == 1


def test_people_are_shown_with_what_they_are(chat: Chat) -> None:
    chat.hear(code_for(chat), sender=ANNA, name="Anna")
    code_for(chat)
    text = chat.say("who is in")
    assert "Ann: an owner" in text
    assert "Anna: a helper" in text
    assert "1 code not used yet" in text


# --- groups ---------------------------------------------------------------------------------


def in_group(chat: Chat, text: str, sender: str = OWNER) -> str:
    return chat.say(text, sender=sender, chat=GROUP, group="Packers")


def test_a_group_is_refused_once_and_its_owner_is_offered_to_let_it_in(chat: Chat) -> None:
    assert "let in" in in_group(chat, "what is due", ANNA)
    assert chat.buttons == {}
    assert in_group(chat, "what is due", BERT) == ""
    offer = in_group(chat, "how is March")
    assert "notebook" not in offer
    assert in_group(chat, "how is March") == "", "offered once"
    assert "is let in" in in_group(chat, "let this group in")
    assert "notebook" in in_group(chat, "how is March", ANNA)


def test_only_an_owner_lets_a_group_in(chat: Chat) -> None:
    chat.hear(code_for(chat), sender=ANNA, name="Anna")
    for sender in (ANNA, BERT):
        in_group(chat, "let this group in", sender)
    assert chat.shop.places == ()


def test_a_groups_code_opens_a_group_and_nothing_else(chat: Chat) -> None:
    personal = code_for(chat)
    code = code_for(chat, "let the group in")
    chat.hear(code, sender=ANNA)
    assert find(chat.shop.people, ANNA) is None
    in_group(chat, personal, BERT)
    assert chat.shop.places == ()
    in_group(chat, code, BERT)
    assert find(chat.shop.places, GROUP) is not None
    assert find(chat.shop.people, BERT) is None, "in the group only"
    assert "let in" in chat.say("what is due", sender=BERT)


def test_members_of_a_group_are_helpers_there_and_owners_stay_owners(chat: Chat) -> None:
    in_group(chat, "let this group in")
    assert "Kept" in in_group(chat, "Idea: tea for March", ANNA)
    assert chat.shop.ideas[0].by == ANNA
    assert "Only an owner" in in_group(chat, "let a helper in", ANNA)
    assert chat.shop.people == tuple(one for one in chat.shop.people if one.id != ANNA)


def test_a_code_that_is_asked_for_in_a_group_goes_to_the_owners_own_chat(chat: Chat) -> None:
    in_group(chat, "let this group in")
    here = in_group(chat, "let a helper in")
    own = chat.told(chat.outcome.replies, OWNER)
    assert "A code for a helper" in own
    assert "-" not in here
    code = own.split(": ")[1].split("\n")[0]
    chat.hear(code, sender=ANNA)
    assert find(chat.shop.people, ANNA) is not None


# --- who cannot be reached ------------------------------------------------------------------


def test_who_blocked_is_unreachable_until_a_message_comes(chat: Chat) -> None:
    chat.hear(code_for(chat), sender=ANNA, name="Anna")
    outcome = unreached(chat.shop, ANNA, Moment(now=chat.now, ref="job/1"))
    assert [reply.to for reply in outcome.replies] == [OWNER]
    assert "Anna" in outcome.replies[0].text
    chat.shop = commit(chat.shop, outcome, "", chat.now)
    assert "cannot be reached" in chat.say("who is in")
    assert unreached(chat.shop, ANNA, Moment(now=chat.now, ref="job/2")).replies == ()
    chat.hear("what is due", sender=ANNA)
    anna = find(chat.shop.people, ANNA)
    assert anna is not None
    assert anna.reachable


def test_helpers_are_told_when_the_only_owner_cannot_be_reached(chat: Chat) -> None:
    chat.hear(code_for(chat), sender=ANNA, name="Anna")
    outcome = unreached(chat.shop, OWNER, Moment(now=chat.now, ref="job/1"))
    assert [reply.to for reply in outcome.replies] == [ANNA]


def test_a_group_that_was_left_must_be_let_in_again(chat: Chat) -> None:
    in_group(chat, "let this group in")
    outcome = unreached(chat.shop, GROUP, Moment(now=chat.now, ref="job/1"))
    assert [reply.to for reply in outcome.replies] == [OWNER]
    chat.shop = commit(chat.shop, outcome, "", chat.now)
    heard = Heard(id="9", chat=GROUP, sender=ANNA, at=chat.now, group="Packers")
    assert not lets_in(chat.shop, heard)


def test_the_owner_at_the_machine_is_let_in_once() -> None:
    now = datetime(2027, 1, 1, tzinfo=UTC)
    bare = Shop(id="mossgate", house=house())
    let_in = apply(bare, let_owner_in(bare, OWNER, now).notes)
    assert [one.role for one in let_in.people] == ["owner"]
    assert let_owner_in(let_in, OWNER, now).notes == ()


def test_what_happens_at_the_doors_cannot_be_undone(chat: Chat) -> None:
    code = code_for(chat)
    assert chat.changes == ()
    chat.hear(code, sender=ANNA, name="Anna")
    assert chat.changes == ()
    chat.hear("undo")
    assert find(chat.shop.people, ANNA) is not None
