"""What is said of backups.

Knows: when one was made, how big it is, why one failed. Must not know: how one is written.
Invariants: a size and a moment are written one way; whoever is told that a backup failed is told
that the shop is whole, and what to do; where a file is named, so is what can be done with it.
"""

from datetime import datetime

from assistant.conversation.replies.plain import day, short
from assistant.planning.changes import profile_of
from assistant.planning.model import Backup, Shop
from assistant.planning.nudges import local_day
from assistant.scheduling.zones import zone

NAME = 60  # characters of a shop's name in a message
OWNERS_THING = "make a backup"
WRITE_ONE = "python -m assistant backup --data FOLDER --to FILE"
RESTORE = (
    "A backup is one file with all of the shop in it, pictures too. On the machine that I run on:",
    "\u2022 Is it whole: python -m assistant check FILE",
    "\u2022 Back to it: python -m assistant restore FILE --data NEWFOLDER",
    "Then start me with --data NEWFOLDER. What is there now stays as it is, in its old folder.",
)


def making(shop: Shop) -> str:
    """Say that a backup is on its way to the chat."""
    return f"Making a backup of {_name(shop)}."


def to_you_alone(shop: Shop) -> str:
    """Say in a group where the backup goes."""
    return f"Making a backup of {_name(shop)}. It goes to you alone, not to this group."


def made(shop: Shop, at: datetime, size: int) -> tuple[str, ...]:
    """Say beside a backup what it is."""
    return (
        f"All of {_name(shop)} as of {_moment(shop, at, at)}: plan, history, pictures. "
        f"{size_of(size)}.",
        "Keep it somewhere else than the machine that I run on; whoever has it can read it.",
    )


def too_big(shop: Shop, at: datetime, size: int, most: int) -> tuple[str, ...]:
    """Say that a backup was made, but cannot be sent here, and where it is."""
    return (
        f"The backup of {_moment(shop, at, at)} is made, but at {size_of(size)} it is too big to "
        f"be sent here: {size_of(most)} at most.",
        "It is in the folder backups, beside the shop's data. To write one where you want it:",
        WRITE_ONE,
    )


def failed(trouble: str) -> str:
    """Say to whoever asked for a backup that it could not be made."""
    return (
        f"I could not make a backup: {trouble}. The shop itself is whole. "
        "Please make some room, then say: back up"
    )


def failed_by_itself(shop: Shop, trouble: str, last: Backup | None, now: datetime) -> str:
    """Say that the nightly backup could not be made; this is said once."""
    before = _moment(shop, last.at, now) if last and last.at else ""
    newest = f"The newest is of {before}." if before else "There is none yet."
    return (
        f"The nightly backup could not be made: {trouble}. The shop itself is whole. {newest}\n"
        "Please make some room. I try again every night, and say no more of it."
    )


def last(shop: Shop, found: Backup | None, now: datetime) -> tuple[str, ...]:
    """Say when the newest backup was made, and whether the last try failed."""
    keep, at = shop.house.backup_keep, shop.house.backup_at
    nightly = (
        f"One is made every night at {at:%H:%M} while I run; those of {keep} days are kept "
        "in the folder backups, beside the shop's data."
        if keep
        else "None is made by itself: the house's defaults say so."
    )
    if found is None or found.at is None:
        return ("No backup was made yet.", _trouble(found), nightly)
    newest = f"The newest backup is of {_moment(shop, found.at, now)}, {size_of(found.bytes)}."
    return (newest, _trouble(found), nightly)


def size_of(number: int) -> str:
    """Write a number of bytes: "640 KB", "12.3 MB"."""
    if number < 1_000_000:
        return f"{max(number, 1000) // 1000} KB"
    return f"{number / 1_000_000:,.1f} MB".replace(".0 MB", " MB")


def _trouble(found: Backup | None) -> str:
    return f"The last try failed: {found.trouble}." if found and found.trouble else ""


def _name(shop: Shop) -> str:
    return short(profile_of(shop).name, NAME)


def _moment(shop: Shop, at: datetime, now: datetime) -> str:
    """Write a moment by the shop's clock: "Mon 11 Jan, 09:00"."""
    there = zone(profile_of(shop).zone)
    return f"{day(local_day(shop, at), local_day(shop, now))}, {at.astimezone(there):%H:%M}"
