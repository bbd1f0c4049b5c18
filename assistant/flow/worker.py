"""Lane "in", one job after another: understand, handle, and save it all in one commit.

Knows: the order of events of one message or tick. Must not know: which store, queue or channel
it works with. Invariants: what a job changes, the replies it causes and its being done stand or
fall together; nothing is said before it is saved; a job handled twice changes things once; logs
hold counts and kinds, never texts, names or tokens.
"""

import asyncio
import logging
from collections.abc import Callable, Mapping

import msgspec
from msgspec.structs import replace

from assistant.conversation.converse import converse
from assistant.conversation.handle.backup import backed_up
from assistant.conversation.handle.doors import lets_in, unreached
from assistant.conversation.handle.given_up import job_given_up
from assistant.conversation.handle.nudging import morning
from assistant.conversation.messages import BackedUp, File, Heard, Moment, Outcome, Reply
from assistant.flow.messages import (
    BACKUP,
    IN,
    OUT,
    Backing,
    Incoming,
    Inward,
    Outgoing,
    Tick,
    decode_inward,
    encode,
    prefix,
)
from assistant.flow.ports import (
    RECENT,
    Channel,
    Clock,
    Dead,
    Job,
    Later,
    Mailbox,
    NoRoom,
    Shelf,
    Stale,
    Tx,
)
from assistant.flow.ticker import Ticker
from assistant.planning import calendars
from assistant.planning.changes import apply, invert
from assistant.planning.model import Change, Entry, Put, Shop

log = logging.getLogger(__name__)

NO_ROOM_WAIT = 5.0  # seconds

NO_ROOM = Reply(
    text="I cannot save anything: the disk is full or cannot be written to. Nothing was changed. "
    "What you say is not lost, and I go on trying; please make some room."
)


class Worker:
    """Handles lane "in". The ticker is told of every shop that was saved, so that its next due
    time can be set; `token` gives a fresh unguessable text for codes."""

    def __init__(
        self,
        mailbox: Mailbox,
        shelf: Shelf,
        channels: Mapping[str, Channel],
        clock: Clock,
        token: Callable[[], str],
        ticker: Ticker,
    ) -> None:
        self._mailbox = mailbox
        self._shelf = shelf
        self._channels = channels
        self._clock = clock
        self._token = token
        self._ticker = ticker
        self._shops: dict[str, Shop] = {}
        self._told_no_room: set[str] = set()  # chats, until one of their messages is saved

    async def run(self) -> None:
        """Serve until cancelled."""
        await self._mailbox.serve(IN, self.handle, self.given_up)

    async def handle(self, job: Job) -> None:
        """Handle one job of lane "in" and settle it."""
        body, content, files = await self._with_files(job)
        try:
            await self._settle(job, body, content, files)
        except Stale:
            # Another worker saved this shop meanwhile: what we knew of it is old.
            self._shops.pop(job.key, None)
            await self._settle(job, body, content, files)
        except NoRoom:
            if isinstance(body, Incoming):
                await self.no_room(job.key, body.heard)
            raise Later(NO_ROOM_WAIT) from None
        self._told_no_room.discard(_chat(body))

    async def given_up(self, tx: Tx, dead: Dead) -> None:
        """Tell that a message or a tick was given up."""
        try:
            body = decode_inward(dead.body)
        except msgspec.MsgspecError:
            body = None
        if isinstance(body, Tick):
            self._ticker.rest(dead.key)
        shop = await self.shop(dead.key)
        heard = body.heard if isinstance(body, Incoming) else None
        for reply in job_given_up(shop, heard, dead.tries, digest=isinstance(body, Tick)):
            out = Outgoing(shop=shop.id, chat=reply.to, reply=reply, last=True)
            await self._mailbox.put(tx, OUT, reply.to, encode(out))

    async def shop(self, id: str) -> Shop:
        """Return the shop as last committed; costs one look at its version when nothing changed."""
        known = self._shops.get(id)
        if known is None or known.version != await self._shelf.version(id):
            known = self._shops[id] = await self._shelf.load(id)
        return known

    async def _settle(
        self, job: Job, body: Inward, content: bytes | None, files: tuple[File, ...]
    ) -> None:
        shop = await self.shop(job.key)
        outcome, learnt, after = await self._outcome(shop, job, body, content)
        changes = (*learnt, *outcome.notes, *outcome.changes)
        entry = _entry(shop, body, outcome, self._clock) if outcome.changes else None
        async with job.settle() as tx:
            version = shop.version
            if changes:
                version = await self._shelf.save(tx, shop.id, shop.version, changes, entry)
            for file in (*files, *outcome.files):
                await self._shelf.keep(tx, shop.id, file)
            for n, reply in enumerate(outcome.replies):
                chat = reply.to or _chat(body)
                out = Outgoing(shop=shop.id, chat=chat, reply=reply)
                await self._mailbox.put(tx, OUT, chat, encode(out), once=f"{job.id}/{n}")
            if outcome.backup:
                backing = encode(Backing(chat=outcome.backup))
                await self._mailbox.put(tx, BACKUP, shop.id, backing)
        recent = (*shop.recent, entry)[-RECENT:] if entry else shop.recent
        saved = replace(after, version=version, recent=recent)
        self._shops[job.key] = saved
        self._ticker.planned(saved)
        log.info(
            "handled %s: %d changes, %d replies",
            type(body).__name__,
            len(changes),
            len(outcome.replies),
        )

    async def _outcome(
        self, shop: Shop, job: Job, body: Inward, content: bytes | None
    ) -> tuple[Outcome, tuple[Change, ...], Shop]:
        """Return what follows, the public holidays that had to be learnt for it, and the shop
        after both.

        A message may bring in a country whose holidays are not kept yet: they are learnt and the
        message is handled again, which is safe because handling is pure.
        """
        ref = body.heard.id if isinstance(body, Incoming) else f"job/{job.id}"
        now = self._clock.now()
        if isinstance(body, Tick):
            now = max(now, body.at)  # a clock set back a little must not miss the morning
        moment = Moment(now=now, ref=ref, token=self._token(), content=content)
        learnt: tuple[Change, ...] = ()
        for _ in range(2):
            known = apply(shop, learnt)
            # A file, a picture or a year to be spread is slow work, and which message means one is
            # known only when it is understood: none may hold up the other chats.
            outcome = await asyncio.to_thread(_react, known, body, moment)
            after = apply(known, (*outcome.notes, *outcome.changes))
            more = calendars.missing(after, moment.now.date())
            if not more:
                break
            news = tuple(Put(almanac) for almanac in more)
            learnt, after = (*learnt, *news), apply(after, news)
        return outcome, learnt, after

    async def _with_files(self, job: Job) -> tuple[Inward, bytes | None, tuple[File, ...]]:
        """Fetch what came with a message, unless it is a stranger's, before any transaction is
        open."""
        body = decode_inward(job.body)
        if not isinstance(body, Incoming) or not (body.photo_ref or body.document_ref):
            return body, None, ()
        heard = body.heard
        if not lets_in(await self.shop(job.key), heard):
            return body, None, ()
        channel = self._channels.get(prefix(heard.chat))
        ref = body.photo_ref or body.document_ref
        content = None if channel is None else await channel.fetch(ref)
        if content is None:
            return replace(body, heard=replace(heard, lost=True)), None, ()
        if body.document_ref:
            return replace(body, heard=replace(heard, document=heard.id)), content, ()
        photo = File(id=heard.id, name="photo.jpg", content=content)
        return replace(body, heard=replace(heard, photo=photo.id)), None, (photo,)

    async def no_room(self, shop: str, heard: Heard) -> None:
        """Say past the lanes, which cannot be written to either, that nothing can be saved: once
        to each chat, and to nobody who was not let in."""
        channel = self._channels.get(prefix(heard.chat))
        if heard.chat in self._told_no_room or channel is None:
            return
        if not lets_in(await self.shop(shop), heard):
            return
        self._told_no_room.add(heard.chat)
        try:
            await channel.send(Outgoing(shop=shop, chat=heard.chat, reply=NO_ROOM), None)
        except Exception:
            log.warning("could not tell of the full disk")


def _react(shop: Shop, body: Inward, moment: Moment) -> Outcome:
    if isinstance(body, Incoming):
        return converse(shop, body.heard, moment)
    if isinstance(body, Tick):
        return morning(shop, moment.now)
    if isinstance(body, BackedUp):
        return backed_up(shop, body, moment)
    return unreached(shop, body.chat, moment)


def _entry(shop: Shop, body: Inward, outcome: Outcome, clock: Clock) -> Entry:
    sender = body.heard.sender if isinstance(body, Incoming) else ""
    # Somebody of a group that was let in is nobody's person, but may undo what they did.
    by = next((person.id for person in shop.people if person.chat == sender), sender)
    return Entry(
        number=shop.version + 1,
        at=clock.now(),
        by=by,
        why=outcome.why,
        changes=outcome.changes,
        inverse=invert(shop, outcome.changes),
        undoes=outcome.undoes,
    )


def _chat(body: Inward) -> str:
    """Return the chat to answer to; a tick has none, its replies name their own."""
    if isinstance(body, Incoming):
        return body.heard.chat
    return "" if isinstance(body, Tick) else body.chat
