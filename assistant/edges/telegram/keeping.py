"""The little that this channel must remember beyond a restart.

Knows: names and values. Must not know: where they are kept, what a reply says.
Invariants: what a button was given is found again when it is pressed; a group keeps the address
under which the shop knows it, though Telegram gives it another when it becomes a supergroup; a
message that is changed in place is found again, or is not changed.
"""

from contextlib import suppress

from assistant.conversation.messages import Reply
from assistant.edges.telegram.hearing import Moved, number
from assistant.edges.telegram.saying import KEPT, to_keep
from assistant.flow.ports import Keep, NoRoom

GONE = ""  # a press that says nothing is how conversation knows an old button


class Buttons:
    """Sentences too long for the button that says them."""

    def __init__(self, keep: Keep) -> None:
        self._keep = keep

    async def remember(self, reply: Reply) -> None:
        """Keep what the reply's buttons cannot carry; return once it is durable."""
        for data, says in to_keep(reply):
            await self._keep.remember(f"telegram/button/{data}", says)

    async def sentence(self, data: str) -> str:
        """Return what a pressed button says; GONE when it was kept too long ago."""
        if not data.startswith(KEPT):
            return data
        return await self._keep.recall(f"telegram/button/{data}") or GONE


class Lives:
    """Messages that are changed in place, by the chat as the shop knows it and the name of what
    they tell."""

    def __init__(self, keep: Keep) -> None:
        self._keep = keep

    async def message(self, chat: str, live: str) -> int | None:
        """Return the number of the message that told this last, None where there is none."""
        kept = await self._keep.recall(self._name(chat, live))
        return int(kept) if kept else None

    async def note(self, chat: str, live: str, message: int) -> None:
        """Remember the message that tells this now. Where nothing can be kept it is not: it was
        sent, and the next will be a message of its own."""
        with suppress(NoRoom):
            await self._keep.remember(self._name(chat, live), str(message))

    @staticmethod
    def _name(chat: str, live: str) -> str:
        return f"telegram/live/{chat}/{live}"


class Moves:
    """Groups whose address has changed. Only groups can: the numbers of people are positive."""

    def __init__(self, keep: Keep) -> None:
        self._keep = keep
        self._seen: dict[str, str] = {}

    async def note(self, moved: Moved) -> None:
        """Remember that a group has moved; return once it is durable."""
        for name, value in (self._was(moved.new), moved.old), (self._now(moved.old), moved.new):
            await self._keep.remember(name, value)
            self._seen[name] = value

    async def known(self, address: str) -> str:
        """Return the address under which the shop knows this one."""
        return await self._look(self._was(address), address)

    async def current(self, address: str) -> str:
        """Return the address at which Telegram has this one now."""
        return await self._look(self._now(address), address)

    async def _look(self, name: str, address: str) -> str:
        if number(address) > 0:
            return address
        if name not in self._seen:
            value = await self._keep.recall(name)
            if value is not None:
                # Kept anew at each start, so that it does not age away while it is in use.
                await self._keep.remember(name, value)
            self._seen[name] = value or address
        return self._seen[name]

    @staticmethod
    def _was(new: str) -> str:
        return f"telegram/was/{new}"

    @staticmethod
    def _now(old: str) -> str:
        return f"telegram/now/{old}"
