"""The calendar over HTTP: one address, told to an owner, behind which her calendar can be read.

Knows: HTTP, which address belongs to whom. Must not know: how a calendar is written, how an address
is made. Invariants:

- Whatever is asked for but a calendar at an address that is out is met with the same 404, whether
  it is another path, another method, an address that was withdrawn or one of somebody who is no
  owner any more. What was offered is hashed and compared with all addresses whole, so that the time
  taken tells nothing of how near it came.
- What is told is what was committed last; nothing is changed here, and nothing of it is logged but
  kinds of errors: the address alone opens the door.
- It speaks plain HTTP and listens on this machine alone unless told otherwise. For others a reverse
  proxy with TLS belongs before it: without TLS the address can be read on the way.
"""

import asyncio
import logging
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager
from datetime import UTC, datetime, time
from email.utils import format_datetime, parsedate_to_datetime
from hmac import compare_digest
from socket import AF_INET, AF_INET6, create_server, socket
from typing import Any

from tornado.httpserver import HTTPServer
from tornado.web import Application, HTTPError, RequestHandler

from assistant.flow.ports import Clock
from assistant.planning.calendars import missing
from assistant.planning.changes import apply, find, profile_of
from assistant.planning.issued import hashed
from assistant.planning.model import Feed, Person, Put, Record, Shop
from assistant.planning.nudges import local_day
from assistant.scheduling.zones import local_instant
from assistant.sheets.calendar_file import calendar_feed

Read = Callable[[], Awaitable[Shop]]

log = logging.getLogger(__name__)

BEFORE, AFTER = "/calendar/", ".ics"
MOST_BODY = 4096  # bytes; nothing that is sent here is read
BACKLOG = 128  # connections that wait to be taken
IDLE = 60  # seconds, after which a connection that says nothing is closed


class Page(Record):
    """A calendar as it is told: its bytes, and when they were last changed."""

    content: bytes
    changed: datetime


def bound(listen: str, port: int) -> socket:
    """Return a socket that listens on an address of this machine. Raises OSError."""
    family = AF_INET6 if ":" in listen else AF_INET
    found = create_server((listen, port), family=family, backlog=BACKLOG)
    found.setblocking(False)
    return found


@asynccontextmanager
async def serving(listener: socket, read: Read, clock: Clock) -> AsyncIterator[None]:
    """Serve the calendars of a shop until the block ends; `read` gives it as last committed."""
    pages = Pages(read, clock)
    rules = [(r"(?s).*", _Calendar, {"pages": pages})]
    server = HTTPServer(
        Application(rules, log_function=lambda _: None),  # the path is the secret
        max_body_size=MOST_BODY,
        idle_connection_timeout=IDLE,
    )
    server.add_socket(listener)
    try:
        yield
    finally:
        server.stop()
        await server.close_all_connections()


class Pages:
    """The calendars of a shop by their addresses, each kept until the shop or the day changes."""

    def __init__(self, read: Read, clock: Clock) -> None:
        self._read = read
        self._clock = clock
        self._kept: dict[str, tuple[object, Page]] = {}

    async def at(self, path: str) -> Page | None:
        """Return what is behind a path, None for nothing."""
        shop, now = await self._read(), self._clock.now()
        feed = _feed(shop, path)
        person = find(shop.people, feed.person) if feed else None
        if feed is None or person is None or person.role != "owner":
            return None
        state = shop.version, local_day(shop, now), local_day(shop, now, person)
        known = self._kept.get(feed.id)
        if known is None or known[0] != state:
            known = state, await asyncio.to_thread(_page, shop, person, now)
            out = {one.id for one in shop.feeds}
            self._kept = {id: page for id, page in self._kept.items() if id in out}
            self._kept[feed.id] = known
        return known[1]


def _feed(shop: Shop, path: str) -> Feed | None:
    """The address that is out at a path; compares it with all of them, whole."""
    offered = hashed(path.removeprefix(BEFORE).removesuffix(AFTER))
    inside = path.startswith(BEFORE) and path.endswith(AFTER)
    found = None
    for one in shop.feeds:
        if compare_digest(one.id, offered):
            found = one
    return found if inside else None


def _page(shop: Shop, person: Person, now: datetime) -> Page:
    today = local_day(shop, now)
    shop = apply(shop, (Put(one) for one in missing(shop, today)))
    changed = _changed(shop, person, now)
    return Page(calendar_feed(shop, person, today, changed), changed)


def _changed(shop: Shop, person: Person, now: datetime) -> datetime:
    """When a calendar changed last: with the plan, or because another day began."""
    day = local_day(shop, now, person)
    names = (person.zone, profile_of(shop).zone, "UTC")
    began = next(found for name in names if (found := local_instant(day, time(), name)))
    last = max([began, *(entry.at for entry in shop.recent[-1:])])
    return min(last, now).astimezone(UTC).replace(microsecond=0)


class _Calendar(RequestHandler):
    """Answers everything that is asked for."""

    def initialize(self, pages: Pages) -> None:
        self._pages = pages

    def set_default_headers(self) -> None:
        self.clear_header("Server")

    async def get(self) -> None:
        page = await self._pages.at(self.request.path)
        if page is None:
            raise HTTPError(404)
        self.set_header("Content-Type", "text/calendar; charset=utf-8")
        self.set_header("Last-Modified", format_datetime(page.changed, usegmt=True))
        self.set_header("Cache-Control", "private, no-cache")
        self.set_header("X-Content-Type-Options", "nosniff")
        if self._is_known(page):
            self.set_status(304)
            return
        self.write(page.content)  # with an ETag, by tornado

    head = get

    def _is_known(self, page: Page) -> bool:
        """Whether the reader has this page already, by its date; an ETag goes before it (RFC 9110,
        section 13.1.3)."""
        if "If-None-Match" in self.request.headers:
            return False
        try:
            since = parsedate_to_datetime(self.request.headers.get("If-Modified-Since", ""))
        except ValueError:
            return False
        return since.tzinfo is not None and page.changed <= since

    def write_error(self, status_code: int, **_: Any) -> None:
        """Say of nothing why it is not there; what failed here is another matter."""
        self.set_status(404 if status_code < 500 else 500)
        self.set_header("Content-Type", "text/plain; charset=utf-8")
        self.finish("Not here.\n" if status_code < 500 else "Not now.\n")

    def log_exception(self, kind: Any, value: Any, trace: Any) -> None:
        """Log what went wrong without the address that was asked for."""
        del trace
        if not isinstance(value, HTTPError):
            log.error("a calendar could not be told (%s)", kind.__name__)
