"""Data folders to back up, and a look at all that is in one. Everything in them is invented."""

import asyncio
import sqlite3
from collections.abc import Awaitable, Callable
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from assistant.conversation.messages import File, Heard, Reply
from assistant.edges.clock import PretendClock
from assistant.edges.demo import demo_shop
from assistant.edges.embedded import Database, Keep, Mailbox, Shelf
from assistant.edges.embedded.database import FILE
from assistant.flow.messages import BACKUP, IN, OUT, Backing, Incoming, Outgoing, encode
from assistant.planning.model import Entry, Idea, Put, Variant
from tests.trade import house

NOW = datetime(2027, 1, 11, 9, tzinfo=UTC)  # a Monday
PHOTO = b"\xff\xd8\xff" + bytes(range(256)) * 8
TABLES = ("shop", "document", "blob", "job", "kept")


class Folder:
    """An opened data folder."""

    def __init__(self, database: Database) -> None:
        clock = PretendClock(NOW)
        self.database = database
        self.mailbox, self.shelf = Mailbox(database, clock), Shelf(database, house())
        self.keep = Keep(database, clock)

    async def fill(self, id: str = "shop") -> None:
        """Put a whole shop in: records, history, a version, files, and something in every lane."""
        shop = await self.shelf.load(id)
        outcome = demo_shop(shop, NOW)
        made = (*outcome.notes, *outcome.changes)
        records = [change.record for change in made if isinstance(change, Put)]
        boxes = tuple(one for one in records if type(one).__name__ == "Box")
        thought = Put(Idea(id="é/1", text="lantern walk \u2028 \ud7ff", at=NOW, photo="p/1"))
        version = Put(Variant("plan b", "Plan B", NOW, boxes, ()))  # type: ignore[arg-type]
        entry = Entry(2, NOW, "her", "lantern walk", (thought, version), ())
        async with self.mailbox.begin() as tx:
            await self.shelf.save(tx, id, 0, made, None)
            await self.shelf.save(tx, id, 1, (thought, version), entry)
            await self.shelf.keep(tx, id, File("p/1", "../lantern.JPG", PHOTO))
            await self.shelf.keep(tx, id, File("p/2", "year sheet.png", b""))
            heard = Heard(id="u/1", chat="t:1", sender="t:1", at=NOW, text="Idea: a biscuit tin")
            await self.mailbox.put(tx, IN, id, encode(Incoming(heard=heard)), once=f"{id}/u/1")
            out = Outgoing(shop=id, chat="t:1", reply=Reply(text="Kept."))
            await self.mailbox.put(tx, OUT, f"{id}/t:1", encode(out), once=f"{id}/1/0")
            await self.mailbox.put(tx, BACKUP, id, encode(Backing()))
        await self.keep.remember("telegram/button/1", "move the notebook to May")


def in_folder(folder: Path, *steps: Callable[[Folder], Awaitable[Any]]) -> list[Any]:
    """Open a folder and do something in it."""

    async def whole(opened: Folder) -> list[Any]:
        return [await step(opened) for step in steps]

    with closing(Database(folder)) as database:
        return asyncio.run(whole(Folder(database)))


def filled(folder: Path, *ids: str) -> Path:
    """A data folder with these shops in it."""
    in_folder(folder, *(lambda one, id=id: one.fill(id) for id in ids or ("shop",)))
    return folder


def contents(folder: Path) -> dict[str, list[tuple[Any, ...]]]:
    """Every row of every table."""
    with closing(sqlite3.connect(folder / FILE)) as connection:
        return {
            table: connection.execute(f"SELECT * FROM {table} ORDER BY 1, 2").fetchall()
            for table in TABLES
        }
