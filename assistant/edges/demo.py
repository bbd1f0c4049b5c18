"""The invented shop of config/demo.toml, as changes to an empty one.

Knows: how the file is laid out. Must not know: where a shop is kept. Invariants: every month of
the file is the next of its name; what was due before today is done, but for what the file leaves
undone; the same day gives the same shop.
"""

from collections.abc import Iterable, Iterator
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

import msgspec
from msgspec.structs import replace

from assistant.conversation.messages import Outcome
from assistant.edges.settings import Problem, config_file, read_toml
from assistant.planning.accounts.money import to_pay
from assistant.planning.calendars import missing
from assistant.planning.changes import apply
from assistant.planning.deadlines import Deadline, deadlines
from assistant.planning.model import (
    Books,
    Box,
    Break,
    Change,
    Count,
    Group,
    Idea,
    Item,
    Kept,
    Mark,
    Material,
    Morning,
    Offer,
    Profile,
    Put,
    Rate,
    RecurringType,
    Shop,
    Stock,
    Supplier,
    Tariff,
)
from assistant.planning.nudges import digest_for
from assistant.planning.numbers.subscribers import group_id
from assistant.planning.year.recurring import plain
from assistant.scheduling.weeks import MONTHS
from assistant.scheduling.zones import zone

TERMS = ("case_pack", "minimum", "setup", "grams", "keeps_days")  # of what is sold, as an item's


def demo_shop(shop: Shop, now: datetime) -> Outcome:
    """Return the changes that make an empty shop the invented one. The file is part of the
    program: a mistake in it raises ValueError, naming it."""
    raw = read_toml(config_file("demo.toml"))
    if isinstance(raw, Problem):
        raise ValueError(raw.text)
    profile = msgspec.convert({"id": shop.id, **raw["shop"]}, Profile)
    today = now.astimezone(zone(profile.zone)).date()
    suppliers = _suppliers(raw)
    year = _year(raw, today)
    wishes: tuple[Kept, ...] = (*_types(raw), *_offers(raw, suppliers, year, today))
    records = (profile, *suppliers, *wishes, *year, *_books(raw, today, now), *_ideas(raw, now))
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


def _offers(
    raw: dict[str, Any], suppliers: tuple[Supplier, ...], year: Iterable[Kept], today: date
) -> tuple[Offer, ...]:
    ids = {supplier.name: supplier.id for supplier in suppliers}
    items = {item.name: item.id for item in year if isinstance(item, Item)}
    made = []
    for n, offer in enumerate(raw["offer"]):
        facts = {**offer, "id": f"demo/offer/{n}", "supplier": ids[offer["supplier"]]}
        if quoted := facts.pop("quote_for", None):
            until = today + timedelta(days=facts.pop("valid_days"))
            facts |= {"item": items[quoted], "quoted": today, "valid_until": until}
        made.append(msgspec.convert(facts, Offer))
    return tuple(made)


def _year(raw: dict[str, Any], today: date) -> tuple[Box | Item, ...]:
    """Return the boxes in order from this month on, each followed by its items."""
    ids = {supplier["name"]: f"demo/supplier/{n}" for n, supplier in enumerate(raw["supplier"])}
    sold = {(terms["supplier"], terms["type"]): terms for terms in raw["sold"]}
    found: dict[str, tuple[Box | Item, ...]] = {}
    for box in raw["box"]:
        id = _coming(box["month"], today)
        items = []
        for n, line in enumerate(box["items"]):
            name, type, form, supplier, cost = (part.strip() for part in line.split("|"))
            terms = {k: v for k, v in sold.get((supplier, type), {}).items() if k in TERMS}
            less = sold.get((supplier, type), {}).get("less", ())
            facts = {
                "id": f"demo/{id[5:]}/{n}",
                "box": id,
                "name": name,
                "type": type,
                "form": form,
                "supplier": ids[supplier],
                "unit_cost": cost,
                "breaks": [_break(Decimal(cost), *step) for step in less],
            }
            items.append(msgspec.convert({**facts, **terms}, Item))
        found[id] = (Box(id=id, theme=box["theme"]), *items)
    return tuple(record for id in sorted(found) for record in found[id])


def _break(price: Decimal, quantity: int, percent: int) -> Break:
    return Break(quantity, to_pay(price * (100 - percent) / 100, "GBP"))


def _coming(month: str, today: date) -> str:
    """The next box of a month of that name."""
    number = MONTHS.index(month) + 1
    return f"{today.year + (number < today.month)}-{number:02}"


def _books(raw: dict[str, Any], today: date, now: datetime) -> Iterator[Kept]:
    """What the shop reckons with."""
    lately = today - timedelta(days=2)
    yield msgspec.convert({**raw["books"], "bank_on": lately}, Books)
    for count in raw["count"]:
        on = today - timedelta(days=count["days_ago"])
        yield Count(f"{on}", on, count["subscribers"])
    for group in raw["group"]:
        months = {end: _coming(group[end], today) for end in ("first", "last") if end in group}
        made = msgspec.convert({**group, **months, "id": ""}, Group)
        yield replace(made, id=group_id(made))
    for rate in raw["rate"]:
        yield msgspec.convert({**rate, "on": lately, "id": f"{rate['currency']}/{lately}"}, Rate)
    for material in raw["material"]:
        yield msgspec.convert({**material, "id": material["name"], "counted": now}, Material)
    for left in raw["stock"]:
        yield msgspec.convert({**left, "id": f"demo/stock/{left['name']}", "on": lately}, Stock)
    for tariff in raw["tariff"]:
        id = f"{tariff['service']}/{lately}"
        yield msgspec.convert({**tariff, "since": lately, "id": id}, Tariff)


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
    noon = now.replace(hour=12, minute=0, second=0, microsecond=0)
    return tuple(
        Put(Mark(id=found.key, state="done", at=noon - (today - found.on)))
        for found in past
        if found.key not in undone.values()
    )
