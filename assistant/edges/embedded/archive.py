"""The backups of a data folder, kept in its folder `backups`.

Knows: where they are, how many are kept. Must not know: when one is due. Invariants: one of a
shop's local day takes the place of an earlier one of that day; only backups of the same shop that
are whole to the eye are counted and let go of, the oldest first; what cannot be read is left alone;
nothing here holds up the event loop.
"""

import asyncio
from contextlib import suppress
from datetime import datetime
from pathlib import Path

from msgspec.structs import replace

from assistant.conversation.messages import BackedUp, File
from assistant.edges.embedded.backup import ENDING, PART, write_backup
from assistant.edges.embedded.database import Refused
from assistant.edges.embedded.reading_back import manifest_of
from assistant.flow.ports import NoRoom

FOLDER = "backups"
PREFIX = "backup/"  # begins the id of a backup that is sent as a file


class Archive:
    """Implements `flow.ports.Archive`. `keep` is of how many days a backup is kept."""

    def __init__(self, folder: Path, keep: int) -> None:
        self._data = folder
        self._folder = folder / FOLDER
        self._keep = max(keep, 1)
        for left in self._folder.glob(f"*{PART}"):  # by a process that was killed
            with suppress(OSError):
                left.unlink()

    async def write(self, shop: str, now: datetime) -> BackedUp:
        """Write a backup of a shop as of its last commit; what failed is told as `trouble`."""
        return await asyncio.to_thread(self._write, shop, now)

    async def file(self, id: str) -> File | None:
        """Return a backup that was written, to be sent; None when it is there no more."""
        if not id.startswith(PREFIX):
            return None
        path = self._folder / Path(id.removeprefix(PREFIX)).name
        try:
            content = await asyncio.to_thread(path.read_bytes)
        except OSError:
            return None
        return File(id=id, name=path.name, content=content)

    def _write(self, shop: str, now: datetime) -> BackedUp:
        made = BackedUp(chat="", at=now)
        try:
            self._folder.mkdir(mode=0o700, exist_ok=True)
            _, path = write_backup(self._data, self._folder, now, shop)
            size = path.stat().st_size
        except (NoRoom, Refused) as error:
            return replace(made, trouble=str(error).rstrip("."))
        except OSError as error:
            return replace(made, trouble=error.strerror or "the disk gave an error")
        self._let_go(shop)
        return replace(made, name=path.name, file=f"{PREFIX}{path.name}", bytes=size)

    def _let_go(self, shop: str) -> None:
        """Remove the oldest backups of a shop above the number that is kept."""
        kept = list[tuple[datetime, Path]]()
        for path in self._folder.glob(f"*.{ENDING}"):
            with suppress(Refused):
                manifest = manifest_of(path)
                if shop in {one.id for one in manifest.shops}:
                    kept.append((manifest.made, path))
        for _, path in sorted(kept)[: -self._keep]:
            with suppress(OSError):
                path.unlink()
