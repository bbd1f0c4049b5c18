"""Lane "out", one chat after another: a reply is settled once its channel has taken it.

Knows: which channel an address belongs to. Must not know: how a channel works. Invariants: a
slow or failing chat delays no other (its lane key is the chat); a reply is sent at least once,
twice only if the machine dies between sending and settling; one that is changed in place (`live`)
shows the same however often it is sent.
"""

import logging
from collections.abc import Mapping

from assistant.conversation.handle.given_up import reply_given_up
from assistant.conversation.messages import File
from assistant.flow.messages import IN, OUT, Outgoing, Unreached, decode_outward, encode, prefix
from assistant.flow.ports import (
    Archive,
    Channel,
    Dead,
    Job,
    Later,
    Mailbox,
    NoRoom,
    Shelf,
    Tx,
    Unreachable,
)

log = logging.getLogger(__name__)

ELSEWHERE_WAIT = 300.0  # seconds: the chat belongs to a channel that is not running now
NO_ROOM_WAIT = 5.0  # seconds


class Sender:
    """Handles lane "out"."""

    def __init__(
        self,
        mailbox: Mailbox,
        shelf: Shelf,
        channels: Mapping[str, Channel],
        archive: Archive | None = None,
    ) -> None:
        self._mailbox = mailbox
        self._shelf = shelf
        self._channels = channels
        self._archive = archive
        self._taken: set[int] = set()

    async def run(self) -> None:
        """Serve until cancelled."""
        await self._mailbox.serve(OUT, self.handle, self.given_up)

    async def handle(self, job: Job) -> None:
        """Send one reply and settle it."""
        out = decode_outward(job.body)
        channel = self._channels.get(prefix(out.chat))
        if channel is None:
            # What was meant for the terminal waits until somebody sits there again.
            raise Later(ELSEWHERE_WAIT)
        reached = True
        if job.id not in self._taken:
            file = await self._file(out)
            try:
                await channel.send(out, file)
            except Unreachable:
                reached = False
        # A full disk now must not send the reply again when room returns.
        self._taken.add(job.id)
        try:
            async with job.settle() as tx:
                if not reached:
                    body = encode(Unreached(chat=out.chat))
                    once = f"unreached/{job.id}"
                    await self._mailbox.put(tx, IN, out.shop, body, once=once)
        except NoRoom:
            raise Later(NO_ROOM_WAIT) from None
        self._taken.discard(job.id)
        log.info("sent" if reached else "a chat cannot be reached")

    async def _file(self, out: Outgoing) -> File | None:
        """What goes with a reply: a kept file, or a backup."""
        id = out.reply.photo or out.reply.document
        file = await self._shelf.file(out.shop, id) if id else None
        if file is None and id and self._archive is not None:
            file = await self._archive.file(id)
        return file

    async def given_up(self, tx: Tx, dead: Dead) -> None:
        """Tell that a reply was given up; a notice that was given up is told of no more."""
        out = decode_outward(dead.body)
        if out.last:
            return
        shop = await self._shelf.load(out.shop)
        for reply in reply_given_up(shop, out.chat, dead.tries):
            notice = Outgoing(shop=shop.id, chat=reply.to, reply=reply, last=True)
            await self._mailbox.put(tx, OUT, reply.to, encode(notice))
