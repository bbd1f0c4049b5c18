"""The memory edge keeps what the ports promise."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

import pytest

from assistant.edges.clock import PretendClock
from assistant.edges.memory import Keep, Mailbox, Memory, Shelf
from tests.contracts.edge import HOUSE, START, Edge, Open
from tests.contracts.mailbox_suite import MailboxSuite
from tests.contracts.shelf_suite import ShelfSuite


@asynccontextmanager
async def opened() -> AsyncIterator[Edge]:
    memory, clock = Memory(), PretendClock(START)
    yield Edge(Mailbox(memory, clock), Shelf(memory, HOUSE), Keep(clock), clock)


@pytest.fixture
def edge() -> Open:
    return opened


class TestMemoryMailbox(MailboxSuite):
    pass


class TestMemoryShelf(ShelfSuite):
    pass
