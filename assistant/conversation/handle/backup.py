"""Backups: asked for, made, and what became of them.

Knows: who may have one, where it goes, who is told that one failed. Must not know: how a backup is
written, where it is kept. Invariants: a backup holds everything, so it goes to owners only, and in
a group to the owner who asked, alone; that the nightly one fails is told once, until one works
again; nothing here changes the plan.
"""

from msgspec.structs import replace

from assistant.conversation.file_requests import BackUp, HowToRestore, LastBackup
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.outcomes import answer, in_rows
from assistant.conversation.messages import BackedUp, Button, Moment, Outcome, Reply
from assistant.conversation.replies import backup as say
from assistant.conversation.replies.doors import owners_only
from assistant.conversation.sentences import backup as says
from assistant.planning.changes import find
from assistant.planning.model import Backup, Person, Put, Shop
from assistant.planning.nudges import local_day

RECORD = "backup"  # id of what is kept of the newest one

_HOW = Button("How to restore", says.how_to_restore())
_NOW = Button("Back up now", says.back_up())


def back_up(shop: Shop, request: BackUp, asked: Asked) -> Outcome:
    """Have a backup made and sent to whoever asks, if that is an owner."""
    del request
    person = asked.person
    if person.role != "owner":
        return answer(asked, (owners_only(say.OWNERS_THING),))
    alone = asked.heard.chat == person.chat
    text = say.making(shop) if alone else say.to_you_alone(shop)
    return replace(answer(asked, (text,)), backup=person.chat)


def last_backup(shop: Shop, request: LastBackup, asked: Asked) -> Outcome:
    """Say when the newest backup was made."""
    del request
    lines = say.last(shop, find(shop.backups, RECORD), asked.moment.now)
    return answer(asked, lines, (_NOW, _HOW) if asked.person.role == "owner" else (_HOW,))


def how_to_restore(shop: Shop, request: HowToRestore, asked: Asked) -> Outcome:
    """Say how to go back to a backup."""
    del shop, request
    when = Button("The last backup", says.last_backup())
    return answer(asked, say.RESTORE, (when,), title="Back to a backup")


def backed_up(shop: Shop, made: BackedUp, moment: Moment) -> Outcome:
    """Send a backup that was made to the owner who asked for it, or say why there is none."""
    old = find(shop.backups, RECORD) or Backup()
    noted = _noted(shop, old, made)
    notes = () if noted == old else (Put(noted),)
    if made.chat:
        to = _owner(shop, made.chat)
        return Outcome(replies=(_sent(shop, made),) if to else (), notes=notes)
    if not made.trouble or old.trouble:
        return Outcome(notes=notes)
    text = say.failed_by_itself(shop, made.trouble, old, moment.now)
    owners = (one for one in shop.people if one.role == "owner" and one.reachable)
    return Outcome(replies=tuple(Reply(text=text, to=one.chat) for one in owners), notes=notes)


def _noted(shop: Shop, old: Backup, made: BackedUp) -> Backup:
    tried = old.tried if made.chat else local_day(shop, made.at)
    if made.trouble:
        return old if made.chat else replace(old, tried=tried, trouble=made.trouble)
    return Backup(at=made.at, name=made.name, bytes=made.bytes, tried=tried)


def _owner(shop: Shop, chat: str) -> Person | None:
    """The owner of a chat: whoever asked may have been sent away meanwhile."""
    return next((one for one in shop.people if (one.chat, one.role) == (chat, "owner")), None)


def _sent(shop: Shop, made: BackedUp) -> Reply:
    if made.trouble:
        return Reply(text=say.failed(made.trouble), to=made.chat)
    if not made.file:
        text = "\n".join(say.too_big(shop, made.at, made.bytes, made.most))
        return Reply(text=text, to=made.chat)
    return Reply(
        title="Backup",
        text="\n".join(say.made(shop, made.at, made.bytes)),
        buttons=in_rows((_HOW,)),
        to=made.chat,
        document=made.file,
        document_name=made.name,
    )


HANDLERS: dict[type, Handler] = {
    BackUp: back_up,
    LastBackup: last_backup,
    HowToRestore: how_to_restore,
}
WRITES: frozenset[type] = frozenset()
