"""The embedded edge keeps what the ports promise."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, closing
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from assistant.edges.clock import PretendClock
from assistant.edges.embedded import Database, Keep, Mailbox, Shelf
from tests.contracts.edge import HOUSE, START, Edge, Open
from tests.contracts.mailbox_suite import MailboxSuite
from tests.contracts.shelf_suite import ShelfSuite


@asynccontextmanager
async def opened() -> AsyncIterator[Edge]:
    clock = PretendClock(START)
    with TemporaryDirectory() as folder, closing(Database(Path(folder) / "data")) as database:
        yield Edge(Mailbox(database, clock), Shelf(database, HOUSE), Keep(database, clock), clock)


@pytest.fixture
def edge() -> Open:
    return opened


class TestEmbeddedMailbox(MailboxSuite):
    pass


class TestEmbeddedShelf(ShelfSuite):
    pass
