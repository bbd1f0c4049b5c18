"""The invented shop of config/demo.toml, as changes to an empty one.

Knows: how the file is laid out. Must not know: where a shop is kept. Invariants: every month of
the file is the next of its name; what was due before today is done, but for what the file leaves
undone; the same day gives the same shop.
"""

from datetime import date, datetime
from decimal import Decimal
from typing import Any

import msgspec

from assistant.conversation.messages import Outcome
from assistant.edges.settings import Problem, config_file, read_toml
from assistant.planning.calendars import missing
from assistant.planning.changes import apply
from assistant.planning.deadlines import Deadline, deadlines
from assistant.planning.model import (
    Box,
    Change,
    Idea,
    Item,
    Kept,
    Mark,
    Morning,
    Offer,
    Profile,
    Put,
    RecurringType,
    Shop,
    Supplier,
)
from assistant.planning.nudges import digest_for
from assistant.planning.recurring import plain
from assistant.scheduling.weeks import MONTHS
from assistant.scheduling.zones import zone


def demo_shop(shop: Shop, now: datetime) -> Outcome:
    """Return the changes that make an empty shop the invented one. The file is part of the
    program: a mistake in it raises ValueError, naming it."""
    raw = read_toml(config_file("demo.toml"))
    if isinstance(raw, Problem):
        raise ValueError(raw.text)
    profile = msgspec.convert({"id": shop.id, **raw["shop"]}, Profile)
    today = now.astimezone(zone(profile.zone)).date()
    suppliers = _suppliers(raw)
    wishes: tuple[Kept, ...] = (*_types(raw), *_offers(raw, suppliers))
    year = _year(raw, today.year, today.month)
    records = (profile, *suppliers, *wishes, *year, *_ideas(raw, now))
    plan = tuple(Put(record) for record in records)
    learnt = tuple(Put(almanac) for almanac in missing(apply(shop, plan), today))
    filled = apply(shop, (*plan, *learnt))
    done = _done(filled, raw["undone"]["stages"], today, now)
    return Outcome(notes=(*plan, *learnt, *done, *_greeted(filled, today, now)))


def _greeted(shop: Shop, today: date, now: datetime) -> tuple[Change, ...]:
    """Who opens the demo after the morning's hour is greeted with what is due; a digest of the
    same morning on top of it would only be in the way."""
    greeted = (person for person in shop.people if digest_for(shop, person, now))
    return tuple(Put(Morning(id=person.id, day=today)) for person in greeted)


def _suppliers(raw: dict[str, Any]) -> tuple[Supplier, ...]:
    return tuple(
        msgspec.convert({"id": f"demo/supplier/{n}", **supplier}, Supplier)
        for n, supplier in enumerate(raw["supplier"])
    )


def _types(raw: dict[str, Any]) -> tuple[RecurringType, ...]:
    return tuple(
        msgspec.convert({**type, "id": plain(type["name"])}, RecurringType) for type in raw["type"]
    )


def _offers(raw: dict[str, Any], suppliers: tuple[Supplier, ...]) -> tuple[Offer, ...]:
    ids = {supplier.name: supplier.id for supplier in suppliers}
    return tuple(
        msgspec.convert(
            {**offer, "id": f"demo/offer/{n}", "supplier": ids[offer["supplier"]]}, Offer
        )
        for n, offer in enumerate(raw["offer"])
    )


def _year(raw: dict[str, Any], year: int, month: int) -> tuple[Box | Item, ...]:
    """Return the boxes in order from this month on, each followed by its items."""
    ids = {supplier["name"]: f"demo/supplier/{n}" for n, supplier in enumerate(raw["supplier"])}
    found: dict[str, tuple[Box | Item, ...]] = {}
    for box in raw["box"]:
        number = MONTHS.index(box["month"]) + 1
        id = f"{year + (number < month)}-{number:02}"
        lines = ([part.strip() for part in line.split("|")] for line in box["items"])
        items = (
            Item(
                id=f"demo/{number:02}/{n}",
                box=id,
                name=name,
                type=type,
                form=form,
                supplier=ids[supplier],
                unit_cost=Decimal(cost),
            )
            for n, (name, type, form, supplier, cost) in enumerate(lines)
        )
        found[id] = (Box(id=id, theme=box["theme"]), *items)
    return tuple(record for id in sorted(found) for record in found[id])


def _ideas(raw: dict[str, Any], now: datetime) -> tuple[Idea, ...]:
    return tuple(
        Idea(
            id=f"demo/idea/{n}",
            text=idea["text"],
            at=now,
            months=tuple(k for k, name in enumerate(MONTHS, 1) if name in idea["text"]),
        )
        for n, idea in enumerate(raw["idea"])
    )


def _day(found: Deadline) -> date:
    return found.on


def _done(shop: Shop, left: list[str], today: date, now: datetime) -> tuple[Change, ...]:
    """Return the marks of all that was due before today, without the newest of each stage that
    is left undone. Only the last thing of an item can be left: a later one would imply it."""
    past = [found for found in deadlines(shop, today) if found.on < today]
    last = {found.item: found for found in past if found.item and found.nudge}
    undone = {found.stage: found.key for found in sorted(last.values(), key=_day)}
    undone = {stage: key for stage, key in undone.items() if stage in left}
    done = [found.key for found in past if found.key not in undone.values()]
    return tuple(Put(Mark(id=key, state="done", at=now)) for key in done)
