"""What follows when something was tried too often and set aside: those whom it concerns are told.

Knows: who is in, who said what. Must not know: lanes, or why it failed. Invariants: each is told
in one sentence; the words of a message go to nobody but the chat that they came from; somebody
who was not let in is told nothing.
"""

from msgspec.structs import replace

from assistant.conversation import sentences
from assistant.conversation.handle.doors import lets_in
from assistant.conversation.messages import Button, Heard, Reply
from assistant.conversation.replies import given_up as say
from assistant.planning.changes import find
from assistant.planning.model import Shop


def job_given_up(shop: Shop, heard: Heard | None, tries: int, *, digest: bool) -> tuple[Reply, ...]:
    """Say that a message (`heard`), a morning's digest or else something inward was set aside."""
    if digest:
        due = ((Button("What is due", sentences.what_is_due()),),)
        return _to_owners(shop, Reply(text=say.digest(tries), buttons=due))
    if heard is None or not lets_in(shop, heard):
        return _to_owners(shop, Reply(text=say.something(tries)))
    words = heard.text or heard.document_name
    person = next((one for one in shop.people if one.chat == heard.sender), None)
    others = Reply(text=say.message_of(person, tries))
    here = Reply(text=say.message(words, tries), to=heard.chat)
    return (here, *_to_owners(shop, others, but=(heard.chat, heard.sender)))


def reply_given_up(shop: Shop, chat: str, tries: int) -> tuple[Reply, ...]:
    """Say that a reply to `chat` was set aside: there, if it was let in, and to the owners."""
    person = next((one for one in shop.people if one.chat == chat), None)
    inside = person is not None or find(shop.places, chat) is not None
    here = (Reply(text=say.reply(tries), to=chat),) if inside else ()
    return (*here, *_to_owners(shop, Reply(text=say.reply_to(person, tries)), but=(chat,)))


def _to_owners(shop: Shop, reply: Reply, but: tuple[str, ...] = ()) -> tuple[Reply, ...]:
    owners = (one for one in shop.people if one.role == "owner" and one.reachable)
    return tuple(replace(reply, to=one.chat) for one in owners if one.chat not in but)
