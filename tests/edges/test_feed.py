"""The calendar over real HTTP, on a port of this machine that is free."""

import asyncio
import logging
import re
from collections.abc import Awaitable, Callable
from contextlib import AsyncExitStack
from datetime import UTC, datetime, timedelta
from email.utils import parsedate_to_datetime
from pathlib import Path

import httpx
import pytest
import vobject
from icalendar import Calendar
from msgspec.structs import replace

from assistant.edges.clock import PretendClock
from assistant.edges.feed.server import bound, serving
from assistant.edges.settings import Problem, config_file, load_house
from assistant.planning.changes import apply
from assistant.planning.issued import hashed
from assistant.planning.model import Entry, Feed, Issue, Person, Put, Remove, Shop
from assistant.sheets.calendar_file import calendar_feed
from tests.program import NOW as NOW_THERE
from tests.program import read_until, run, say, started
from tests.trade import shop, with_holidays

NOW = datetime(2027, 1, 11, 9, tzinfo=UTC)
WREN = Person("wren", "terminal:wren", role="owner")
TOKEN = "made-up_token"
PATH = f"/calendar/{TOKEN}.ics"
PLAN = replace(
    with_holidays(shop("2027-03 Rain: notebook; pin", "2027-05 Swifts"), NOW.date()),
    version=7,
    people=(WREN,),
    feeds=(Feed(hashed(TOKEN), "wren", NOW), Feed(hashed("another"), "gone away", NOW)),
    issued=(Issue("", seed="seed"),),
    recent=(Entry(7, NOW - timedelta(hours=2), "wren", "", (), ()),),
)


class Served:
    """A calendar that is served; the shop and the time can be changed meanwhile."""

    def __init__(self, shop: Shop, client: httpx.AsyncClient) -> None:
        self.shop = shop
        self.clock = PretendClock(NOW)
        self.client = client
        self.reads = 0

    async def read(self) -> Shop:
        self.reads += 1
        return self.shop

    async def get(self, path: str = PATH, method: str = "GET", **headers: str) -> httpx.Response:
        named = {name.replace("_", "-"): value for name, value in headers.items()}
        return await self.client.request(method, path, headers=named)


def served(test: Callable[[Served], Awaitable[None]], shop: Shop = PLAN) -> None:
    """Run a test against a server of its own."""

    async def run() -> None:
        listener = bound("127.0.0.1", 0)
        port = listener.getsockname()[1]
        async with AsyncExitStack() as stack:
            base = f"http://127.0.0.1:{port}"
            client = await stack.enter_async_context(httpx.AsyncClient(base_url=base))
            there = Served(shop, client)
            await stack.enter_async_context(serving(listener, there.read, there.clock))
            await test(there)

    asyncio.run(run())


def test_it_tells_the_calendar() -> None:
    async def test(there: Served) -> None:
        told = await there.get()
        assert told.status_code == 200
        assert told.headers["content-type"] == "text/calendar; charset=utf-8"
        assert told.headers["cache-control"] == "private, no-cache"
        assert "server" not in told.headers
        began = datetime(2027, 1, 11, tzinfo=UTC)
        assert parsedate_to_datetime(told.headers["last-modified"]) == NOW - timedelta(hours=2)
        assert told.content == calendar_feed(PLAN, WREN, began.date(), NOW - timedelta(hours=2))
        assert len(Calendar.from_ical(told.content).events) > 10
        assert len(vobject.readOne(told.text).vevent_list) > 10

    served(test)


def test_head_is_told_all_but_the_calendar() -> None:
    async def test(there: Served) -> None:
        whole, head = await there.get(), await there.get(method="HEAD")
        assert head.status_code == 200
        assert head.content == b""
        for name in ("content-type", "content-length", "etag", "last-modified"):
            assert head.headers[name] == whole.headers[name]

    served(test)


def test_what_is_known_already_is_not_told_again() -> None:
    async def test(there: Served) -> None:
        whole = await there.get()
        tag, day = whole.headers["etag"], whole.headers["last-modified"]
        for method in ("GET", "HEAD"):
            same = await there.get(method=method, If_None_Match=tag)
            assert (same.status_code, same.content) == (304, b"")
        assert (await there.get(If_Modified_Since=day)).status_code == 304
        assert (await there.get(If_None_Match='"other"')).status_code == 200
        # Source: RFC 9110, section 13.1.3: the ETag goes before the date.
        both = await there.get(If_None_Match='"other"', If_Modified_Since=day)
        assert both.status_code == 200
        for odd in ("yesterday", "", "Mon, 32 Jan 2027 99:00:00 GMT", "Mon, 4 Jan 2027 09:00:00"):
            assert (await there.get(If_Modified_Since=odd)).status_code == 200

    served(test)


def test_a_change_is_told_at_once_and_another_day_too() -> None:
    async def test(there: Served) -> None:
        first = await there.get()
        entry = Entry(8, NOW + timedelta(hours=1), "wren", "", (), ())
        gone = apply(PLAN, (Remove("items", "2027-03.pin"),))
        there.clock.set(NOW + timedelta(hours=2))
        there.shop = replace(gone, version=8, recent=(*PLAN.recent, entry))
        second = await there.get(If_None_Match=first.headers["etag"])
        assert second.status_code == 200
        assert b"notebook" in second.content
        assert b"pin" not in second.content
        assert parsedate_to_datetime(second.headers["last-modified"]) == entry.at
        there.clock.set(datetime(2027, 4, 12, 9, tzinfo=UTC))
        third = await there.get(If_None_Match=second.headers["etag"])
        assert third.status_code == 200
        assert b"March" not in third.content  # shipped
        assert b"May" in third.content

    served(test)


ELSEWHERE = [
    "/",
    "/calendar",
    "/calendar/",
    "/calendar/.ics",
    "/calendar/another.ics",  # of somebody who was sent away
    f"/calendar/{TOKEN}",
    f"/calendar/{TOKEN}.ICS",
    f"/calendar/{TOKEN}.ics/",
    f"/calendar/{TOKEN[:-1]}.ics",
    f"/calendar/{TOKEN}x.ics",
    f"/calendar//{TOKEN}.ics",
    f"//calendar/{TOKEN}.ics",
    f"/{TOKEN}.ics",
    f"/calendar/{hashed(TOKEN)}.ics",
    "/calendar/%00%ff%0d%0a.ics",
    "/calendar/" + "x" * 5000 + ".ics",
    "/favicon.ico",
    "/..%2f..%2fetc/passwd",
    "/calendar/'; drop table shops; --.ics",
]


def test_anything_else_is_met_with_one_and_the_same_answer() -> None:
    async def test(there: Served) -> None:
        answers = set()
        for path in ELSEWHERE:
            found = await there.get(path)
            fields = {name: text for name, text in found.headers.items() if name != "date"}
            answers.add((found.status_code, found.content, tuple(sorted(fields.items()))))
        for method in ("POST", "PUT", "DELETE", "PATCH", "OPTIONS", "PROPFIND"):
            for path in (PATH, "/"):
                found = await there.get(path, method)
                fields = {name: text for name, text in found.headers.items() if name != "date"}
                answers.add((found.status_code, found.content, tuple(sorted(fields.items()))))
        assert len(answers) == 1, answers
        ((status, content, _),) = answers
        assert (status, content) == (404, b"Not here.\n")
        head = await there.get("/", "HEAD")
        assert (head.status_code, head.content) == (404, b"")

    served(test)


def test_an_address_is_compared_with_all_of_them_whole(monkeypatch: pytest.MonkeyPatch) -> None:
    compared: list[tuple[str, str]] = []

    def noted(one: str, other: str) -> bool:
        compared.append((one, other))
        return one == other

    monkeypatch.setattr("assistant.edges.feed.server.compare_digest", noted)

    async def test(there: Served) -> None:
        for path, token in ((PATH, TOKEN), ("/calendar/another.ics", "another"), ("/", "/")):
            compared.clear()
            await there.get(path)
            assert compared == [(one.id, hashed(token)) for one in PLAN.feeds]

    served(test)


def test_an_address_that_was_withdrawn_is_not_there_any_more() -> None:
    async def test(there: Served) -> None:
        assert (await there.get()).status_code == 200
        there.shop = replace(PLAN, feeds=())
        assert (await there.get()).status_code == 404

    served(test)


@pytest.mark.parametrize(
    "people", [(), (replace(WREN, role="helper"),), (replace(WREN, id="other"),)]
)
def test_an_address_of_somebody_who_is_no_owner_is_not_there(people: tuple[Person, ...]) -> None:
    async def test(there: Served) -> None:
        assert (await there.get()).status_code == 404

    served(test, replace(PLAN, people=people))


def test_a_calendar_that_fails_tells_nothing_and_logs_no_address(
    caplog: pytest.LogCaptureFixture,
) -> None:
    async def test(there: Served) -> None:
        async def broken() -> Shop:
            raise RuntimeError(TOKEN)

        there.read = broken  # type: ignore[method-assign]
        listener = bound("127.0.0.1", 0)
        async with serving(listener, there.read, there.clock):
            at = f"http://127.0.0.1:{listener.getsockname()[1]}{PATH}"
            found = await there.client.get(at)
        assert (found.status_code, found.content) == (500, b"Not now.\n")

    with caplog.at_level(logging.DEBUG, "assistant"), caplog.at_level(logging.DEBUG, "tornado"):
        served(test)
        served(lambda there: _each(there))
    ours = [one for one in caplog.records if one.name.startswith(("assistant", "tornado"))]
    assert [one.getMessage() for one in ours] == ["a calendar could not be told (RuntimeError)"]
    assert TOKEN not in "".join(one.getMessage() for one in ours)


async def _each(there: Served) -> None:
    await there.get()
    await there.get(f"/nowhere/{TOKEN}")


def test_a_calendar_is_written_once_for_many_readers() -> None:
    async def test(there: Served) -> None:
        found = await asyncio.gather(*(there.get() for _ in range(20)))
        assert {one.status_code for one in found} == {200}
        assert len({one.content for one in found}) == 1
        assert there.reads == 20  # each sees the last commit

    served(test)


def test_it_listens_on_this_machine_alone_and_says_when_a_port_is_taken() -> None:
    with bound("127.0.0.1", 0) as listener:
        address, port = listener.getsockname()
        assert address == "127.0.0.1"
        with pytest.raises(OSError, match="in use"):
            bound("127.0.0.1", port)


def test_holidays_that_are_not_kept_yet_are_known_all_the_same() -> None:
    """Easter Monday is 29 March 2027: no packing on it."""

    async def test(there: Served) -> None:
        told = await there.get()
        starts = [str(one["DTSTART"].dt) for one in Calendar.from_ical(told.content).events]
        assert "2027-03-29" not in starts

    bare = replace(PLAN, almanac=())
    (march, may) = bare.boxes
    moved = replace(march, ship_on=datetime(2027, 3, 30, tzinfo=UTC).date())
    served(test, apply(replace(bare, boxes=()), (Put(moved), Put(may))))


# --- the whole program ----------------------------------------------------------------------


def fetched(url: str) -> tuple[int, bytes]:
    found = httpx.get(url, trust_env=False)
    return found.status_code, found.content


def test_a_shop_in_a_terminal_shares_its_calendar_and_withdraws_it(tmp_path: Path) -> None:
    with bound("127.0.0.1", 0) as free:
        port = free.getsockname()[1]
    arguments = ("chat", "--data", tmp_path / "data", "--now", NOW_THERE, "--feed-port", str(port))
    with started(*arguments) as program:
        say(program, "March theme rain and roots")
        say(program, "share the calendar")
        told = read_until(program, "Withdraw it")
        found = re.search(rf"http://127\.0\.0\.1:{port}/calendar/\S+\.ics", told)
        assert found, told
        status, content = fetched(found[0])
        assert status == 200
        assert b"SUMMARY:Ship March: rain and roots" in content
        say(program, "May theme swifts")
        read_until(program, "swifts")
        assert b"Ship May: swifts" in fetched(found[0])[1]
        say(program, "withdraw the calendar address")
        read_until(program, "works no more")
        assert fetched(found[0]) == (404, b"Not here.\n")
        say(program, "undo")
        read_until(program, "Taken back")
        assert fetched(found[0]) == (404, b"Not here.\n")


def test_a_port_that_is_taken_is_said_in_one_sentence(tmp_path: Path) -> None:
    with bound("127.0.0.1", 0) as taken:
        port = taken.getsockname()[1]
        done = run("chat", "--data", tmp_path / "data", "--feed-port", str(port))
    assert done.returncode == 2
    assert done.stderr.startswith(f"The calendar cannot be served on 127.0.0.1, port {port}: ")
    assert done.stderr.count("\n") == 1


def test_no_port_serves_nothing(tmp_path: Path) -> None:
    done = run("chat", "--data", tmp_path / "data", lines="share the calendar\n")
    assert "none is served here" in " ".join(done.stdout.split())
    assert (done.returncode, done.stderr) == (0, "")


@pytest.mark.parametrize(
    ("right", "wrong", "why"),
    [
        ("port = 0 ", "port = 65536 ", "port: 65536 is not between 0 and 65535"),
        ('address = ""', 'address = "moss.example"', 'address: "moss.example" is no address'),
        ('address = ""', 'adress = ""', "adress: no such key"),
    ],
)
def test_a_mistake_in_its_settings_is_named_with_its_line(
    tmp_path: Path, right: str, wrong: str, why: str
) -> None:
    good = config_file("defaults.toml").read_text(encoding="utf-8")
    assert good.count(right) == 1
    file = tmp_path / "mine.toml"
    file.write_text(good.replace(right, wrong), encoding="utf-8")
    number = good[: good.index(right)].count("\n") + 1
    problem = load_house(file)
    assert isinstance(problem, Problem)
    assert problem.text.startswith(f"mine.toml, line {number}, {why}")
