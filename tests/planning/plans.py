"""Invented shops at random, and a fresh copy of one, for the properties of the planning room."""

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from typing import Any

import msgspec
from hypothesis import strategies as st

from assistant.planning.changes import apply
from assistant.planning.deadlines import Deadline, deadline
from assistant.planning.model import (
    Box,
    Closure,
    Item,
    Lead,
    Mark,
    MarkState,
    Profile,
    Put,
    Shop,
    Supplier,
)
from tests.trade import house, with_holidays

TODAY = date(2026, 11, 25)
NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)
ENCODED = msgspec.json.Encoder()
DECODED = msgspec.json.Decoder(Shop)
DAYS = st.dates(date(2026, 9, 1), date(2027, 12, 31))


def fresh(shop: Shop) -> Shop:
    """The same shop of which no record is the same object: whatever was kept by identity is not
    found again."""
    return DECODED.decode(ENCODED.encode(shop))


TWO_CALENDARS = (
    "Hangfeng CN: confirm 2d, transit 5d, lead 10d, deposit 30%, net 30",
    "2026-03 Rain & Roots, ships 2026-03-10: notebook@Hangfeng 450",
)


def on(found: Shop, key: str, today: date = TODAY) -> date | None:
    """The date of one deadline."""
    one = deadline(found, key, today)
    return one.on if one else None


def listed(found: Shop, key: str, today: date = TODAY) -> Deadline:
    """One deadline that must be there."""
    one = deadline(found, key, today)
    assert one is not None, key
    return one


def done(made: Shop, *keys: str, state: MarkState = "done") -> Shop:
    """The shop with these marked."""
    return apply(made, (Put(Mark(key, state, at=NOON)) for key in keys))


def leads() -> st.SearchStrategy[Lead]:
    """Lead times up to 12 weeks."""
    return st.builds(Lead, st.integers(0, 84), st.sampled_from(("working", "calendar")))


@st.composite
def closures(draw: Callable[..., Any]) -> Closure:
    """A closure of one of the four kinds."""
    first = draw(DAYS)
    length = timedelta(draw(st.integers(0, 25)))
    match draw(st.sampled_from(("one-off", "yearly", "festival", "for good"))):
        case "one-off":
            return Closure("closure", first, first + length)
        case "yearly":
            return Closure("yearly closure", first, first + length, yearly=True)
        case "festival":
            return Closure(
                "festival closure", festival=True, before=draw(st.integers(0, 12)), after=9
            )
        case _:
            return Closure("closed for good", first)


def suppliers() -> st.SearchStrategy[tuple[Supplier, ...]]:
    """Up to four suppliers in four countries; which of them exist differs from shop to shop."""
    one = st.builds(
        Supplier,
        id=st.sampled_from(("aldermoor", "brackenfold", "hangfeng", "kirigawa")),
        name=st.just("Aldermoor"),
        country=st.sampled_from(("", "GB", "CN", "JP")),
        week=st.sampled_from(("Mon-Fri", "Tue-Sat", "Mon, Wed, Fri", "every day")),
        closures=st.lists(closures(), max_size=2).map(tuple),
        confirm_days=st.integers(0, 4),
        lead=st.none() | leads(),
        transit_days=st.none() | st.integers(0, 40),
        deposit_percent=st.none() | st.just(30),
        net_days=st.none() | st.integers(0, 60),
    )
    return st.lists(one, max_size=4, unique_by=lambda found: found.id).map(tuple)


def boxes() -> st.SearchStrategy[tuple[Box, ...]]:
    """Up to five boxes around TODAY, some with a ship date of their own."""
    months = ("2026-10", "2026-11", "2026-12", "2027-01", "2027-03", "2027-06", "2027-06b")
    one = st.builds(
        Box,
        id=st.sampled_from(months),
        theme=st.sampled_from(("", "Rain & Roots")),
        ship_on=st.none() | DAYS,
    )
    return st.lists(one, max_size=5, unique_by=lambda box: box.id).map(tuple)


@st.composite
def profiles(draw: Callable[..., Any]) -> Profile:
    """A shop of one of three sizes, with its week, ship days and a few days off."""
    return Profile(
        subscribers=draw(st.sampled_from((0, 420, 4000))),
        ship_rule=draw(
            st.sampled_from(
                (
                    "the 15th or the working day before",
                    "every 2 weeks from 2026-10-06",
                    "second Tuesday",
                )
            )
        ),
        week=draw(st.sampled_from(("Mon-Fri", "Tue-Sat"))),
        closures=tuple(draw(st.lists(closures(), max_size=1))),
        lengths=draw(st.sampled_from(((), (("pack", 2), ("sample", 8))))),
    )


@st.composite
def shops(draw: Callable[..., Any]) -> Shop:
    """A whole plan, with its holidays and a ledger."""
    made = draw(boxes())
    items = [
        Item(
            id=f"{box.id}.{name}",
            box=box.id,
            name=name,
            supplier=draw(st.sampled_from(("", "aldermoor", "hangfeng", "kirigawa"))),
            lead=draw(st.none() | leads()),
            made_in=draw(st.sampled_from(("", "GB", "CN"))),
        )
        for box in made
        for name in ("notebook", "tea", "pin")[: draw(st.integers(0, 3))]
    ]
    shop = Shop(
        id="mossgate",
        house=house(),
        profile=(draw(profiles()),),
        suppliers=draw(suppliers()),
        boxes=made,
        items=tuple(items),
    )
    keys = [f"{owner.id}/{rule.name}" for owner in (*made, *items) for rule in house().stages]
    ledger = draw(st.lists(marks(keys), max_size=4, unique_by=lambda mark: mark.id)) if keys else []
    return with_holidays(msgspec.structs.replace(shop, ledger=tuple(ledger)), TODAY)


def marks(keys: list[str]) -> st.SearchStrategy[Mark]:
    """A line of the ledger for one of the keys."""
    return st.builds(
        Mark,
        id=st.sampled_from(keys),
        state=st.sampled_from(("open", "done", "not needed")),
        until=st.none() | DAYS,
    )
