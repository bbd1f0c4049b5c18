"""A conversation without channels or stores: what flow does with an outcome, in a few lines.

chat = Chat(shop("2027-03 Rain: notebook@Aldermoor 450 x 3.10, lead 20d"))
chat.say("how is March")       # the text of the answer
chat.touch("What is due")      # what the button of that label says
"""

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta

from msgspec.structs import replace

from assistant.conversation.converse import converse
from assistant.conversation.handle.doors import let_owner_in
from assistant.conversation.messages import Heard, Moment, Outcome, Reply
from assistant.planning.calendars import missing
from assistant.planning.changes import apply, invert
from assistant.planning.model import Change, Entry, Put, Shop
from tests.trade import house

MORNING = datetime(2027, 1, 11, 9, 0, tzinfo=UTC)  # a Monday
OWNER = "terminal:you"


def empty() -> Shop:
    """A shop without a plan, with its owner let in."""
    shop = Shop(id="mossgate", house=house())
    return apply(shop, let_owner_in(shop, OWNER, MORNING).notes)


def commit(shop: Shop, outcome: Outcome, by: str, at: datetime) -> Shop:
    """Save an outcome as the worker does: one version, one entry when the plan changed."""
    changes = (*outcome.notes, *outcome.changes)
    if not changes:
        return shop
    version = shop.version + 1
    entry = Entry(
        number=version,
        at=at,
        by=by,
        why=outcome.why,
        changes=outcome.changes,
        inverse=invert(shop, outcome.changes),
        undoes=outcome.undoes,
    )
    recent = (*shop.recent, entry)[-100:] if outcome.changes else shop.recent
    return replace(apply(shop, changes), version=version, recent=recent)


def plan_of(shop: Shop) -> Shop:
    """The shop without the assistant's own memory, to compare what was planned."""
    return replace(
        shop,
        version=0,
        recent=(),
        talks=(),
        almanac=(),
        drafts=(),
        people=(),
        strangers=(),
        invites=(),
        places=(),
    )


class Chat:
    """One chat with one shop; `shop`, `now` and the last `outcome` can be looked at."""

    def __init__(self, shop: Shop | None = None, now: datetime = MORNING) -> None:
        self.shop = shop or empty()
        if not any(one.role == "owner" for one in self.shop.people):
            self.shop = apply(self.shop, let_owner_in(self.shop, OWNER, now).notes)
        self.now = now
        self.outcome = Outcome()
        self.heard: list[Heard] = []

    def hear(
        self,
        text: str = "",
        *,
        sender: str = OWNER,
        chat: str = "",
        content: bytes | None = None,
        **fields: object,
    ) -> Outcome:
        """Let a message be heard and save what follows; `fields` are those of Heard."""
        number = len(self.heard) + 1
        heard = Heard(
            id=f"update/{number}",
            chat=chat or sender,
            sender=sender,
            at=self.now,
            text=text,
            message=str(fields.pop("message", f"message/{number}")),
            **fields,  # type: ignore[arg-type]
        )
        self.heard.append(heard)
        moment = Moment(now=self.now, ref=heard.id, token=f"token {number}", content=content)
        by = next((one.id for one in self.shop.people if one.chat == sender), sender)
        self.outcome = self._handled(heard, moment)
        self.shop = commit(self.shop, self.outcome, by, self.now)
        self.now += timedelta(seconds=1)
        return self.outcome

    def _handled(self, heard: Heard, moment: Moment) -> Outcome:
        """Handle a message once the holidays that it needs are known, as the worker does."""
        outcome = converse(self.shop, heard, moment)
        after = apply(self.shop, (*outcome.notes, *outcome.changes))
        learnt = missing(after, moment.now.date())
        if not learnt:
            return outcome
        self.shop = apply(self.shop, (Put(record) for record in learnt))
        return converse(self.shop, heard, moment)

    def say(self, text: str, **fields: object) -> str:
        """Say something; return what is answered in this chat, title and text."""
        return self.told(self.hear(text, **fields).replies)  # type: ignore[arg-type]

    def told(self, replies: Iterable[Reply], to: str = "") -> str:
        """The text of the replies that go to one chat ("": the one that was heard)."""
        here = self.heard[-1].chat if self.heard else OWNER
        texts = (f"{one.title}\n{one.text}" for one in replies if (one.to or here) == (to or here))
        return "\n".join(text.strip() for text in texts)

    @property
    def buttons(self) -> dict[str, str]:
        """The buttons of the last answer: label -> what it says."""
        rows = (row for reply in self.outcome.replies for row in reply.buttons)
        return {button.label: button.says for row in rows for button in row}

    def touch(self, label: str, **fields: object) -> str:
        """Touch a button of the last answer."""
        return self.say(self.buttons[label], pressed=True, **fields)

    @property
    def changes(self) -> tuple[Change, ...]:
        """What the last message changed in the plan."""
        return self.outcome.changes
