"""Asking a handler something, without the words: a shop, a request, what comes back."""

from datetime import UTC, date, datetime, time, timedelta
from itertools import count
from typing import Any

from assistant.conversation.handle.asked import Asked
from assistant.conversation.messages import Button, Heard, Moment, Outcome
from assistant.planning.changes import apply, find
from assistant.planning.model import Person, Put, Shop, Talk

OWNER = Person(id="telegram:1", chat="telegram:1", name="Wren", role="owner")
TODAY = date(2027, 1, 11)  # a Monday
_refs = count(1)


def asking(today: date = TODAY, *, talk: Talk | None = None, ref: str = "") -> Asked:
    """What a handler is given besides the shop and the request, at nine o'clock of a day."""
    now = datetime.combine(today, time(9), UTC)
    heard = Heard(id=f"m{next(_refs)}", chat=OWNER.chat, sender=OWNER.chat, at=now)
    moment = Moment(now=now, ref=ref or heard.id)
    return Asked(heard, moment, OWNER, talk or Talk(id=OWNER.chat), today)


def after(shop: Shop, outcome: Outcome) -> Shop:
    """The shop with all of an outcome kept."""
    return apply(shop, (*outcome.notes, *outcome.changes))


def text(outcome: Outcome) -> str:
    """All that was replied, titles too."""
    return "\n".join(f"{reply.title}\n{reply.text}".strip() for reply in outcome.replies)


def buttons(outcome: Outcome) -> dict[str, str]:
    """The buttons of all replies: what they say, by label."""
    flat: list[Button] = [b for reply in outcome.replies for row in reply.buttons for b in row]
    return {button.label: button.says for button in flat}


def talk(shop: Shop) -> Talk:
    """What the owner's chat was last about."""
    return find(shop.talks, OWNER.chat) or Talk(id=OWNER.chat)


def put(outcome: Outcome, kind: type) -> list[Any]:
    """The records of one kind that an outcome puts."""
    every = (*outcome.changes, *outcome.notes)
    return [c.record for c in every if isinstance(c, Put) and isinstance(c.record, kind)]


def days(number: int) -> timedelta:
    return timedelta(days=number)
