"""A shop as somebody sees it who may not see money.

Knows: which fields of which records are money. Must not know: who may see it. Invariants: a veiled
shop holds no amount of money that the shop keeps, in no table, list, draft, version or entry of its
history; boxes, items, dates, pieces and deadlines are those of the shop; changes that were worked
out on a veiled shop never take an amount out of the real one (`unveiled`). What people wrote in
words of their own (ideas, themes, notes) stays as they wrote it, but for the history.
"""

import re
from collections.abc import Iterable
from typing import Any

from msgspec.structs import fields, replace

from assistant.planning.books import Books, Order, OrderLine, Rate, Tariff
from assistant.planning.calendars import cached_by_identity
from assistant.planning.changes import find, place
from assistant.planning.happened import Purchase, Sent
from assistant.planning.model import (
    TABLES,
    Change,
    Draft,
    Entry,
    Item,
    Kept,
    Profile,
    Put,
    Remove,
    Row,
    Shop,
    Supplier,
    Variant,
)
from assistant.planning.records import Record
from assistant.planning.wishes import Offer, OfferRow, Proposal, RecurringType, Score

# What is money in a record. Days of payment and the deposit's share stay: deadlines hang on them.
MONEY: dict[type[Record], tuple[str, ...]] = {
    Profile: ("price", "target"),
    Supplier: (
        "early_percent",
        "early_days",
        "minimum_value",
        "carriage",
        "free_from",
        "duty",
        "spends",
    ),
    Item: ("unit_cost", "breaks", "setup"),
    Offer: ("price", "breaks", "setup", "carriage"),
    OfferRow: ("price", "breaks"),
    Row: ("unit_cost", "breaks", "setup"),
    RecurringType: ("unit_cost",),
    Purchase: ("price",),
    OrderLine: ("unit_price", "setup"),
    Order: ("carriage", "terms"),
    Sent: ("cost", "planned_cost"),
    Score: ("cost_low", "cost_high", "band"),
    Books: (
        "short_cost",
        "resale",
        "storage",
        "interest",
        "order_cost",
        "packaging",
        "card",
        "fee_percent",
        "fee_each",
        "tax",
        "import_tax",
        "bank",
        "bank_on",
        "charge_day",
        "payout_days",
        "overhead",
    ),
}
# Records that are money through and through: none of them is seen.
ALL_MONEY: tuple[type[Kept], ...] = (Rate, Tariff)
# Records with money inside records of their own.
INSIDE: dict[type[Record], tuple[str, ...]] = {
    Order: ("lines",),
    Draft: ("rows", "offers"),
    Variant: ("items",),
    Proposal: ("scores",),
}
_BARE = {
    kind: {one.name: one.default for one in fields(kind) if one.name in names}
    for kind, names in MONEY.items()
}
# An amount in words: with the sign or the name of a currency, or with pence.
_SIGNED = re.compile(
    r"[\u00a3\u20ac$\u00a5]\s?\d[\d.,]*|\b[A-Z]{3} \d[\d.,]*|\b\d[\d,]*\.\d+"
    r"|\b\d[\d.,]*\s?(?:[\u00a3\u20ac$\u00a5]|(?:[A-Z]{3}|[Pp]ounds?|quid|[Ee]uros?|[Dd]ollars?|[Yy]en"
    r"|pence|p|cents?)\b)"
)
UNSAID = "..."


def without_money(shop: Shop, reader: str = "", chat: str = "") -> Shop:
    """Return the shop without its money; the very same where it has none.

    What the reader (Person.id) said stands in the history as it was said, what others said does
    not where it was about money. A file that was sent in this chat keeps what it says: whoever
    reads there has it.
    """
    tables = {name: getattr(shop, name) for name, _ in TABLES}
    veiled: dict[str, Any] = {name: _table(records) for name, records in tables.items()}
    drafts = tuple(one if one.id == chat else bare(one) for one in shop.drafts)
    veiled["drafts"] = _same_if_equal(shop.drafts, drafts)
    recent = tuple(_entry(one, reader) for one in shop.recent)
    veiled["recent"] = _same_if_equal(shop.recent, recent)
    changed = {name: now for name, now in veiled.items() if now is not getattr(shop, name)}
    return replace(shop, **changed) if changed else shop


def bare(record: Any) -> Any:
    """Return a record without the money in it; the very same where it has none."""
    money = _BARE.get(type(record), {})
    found: dict[str, Any] = {
        name: default for name, default in money.items() if getattr(record, name) != default
    }
    for name in INSIDE.get(type(record), ()):
        old = getattr(record, name)
        new = _same_if_equal(old, tuple(map(bare, old)))
        if new is not old:
            found[name] = new
    return replace(record, **found) if found else record


def unveiled(shop: Shop, veiled: Shop, changes: Iterable[Change]) -> tuple[Change, ...]:
    """Return changes that were worked out on the veiled shop as they are made in the real one:
    money that they did not touch stays as it is there."""
    return tuple(_unveiled(shop, veiled, change) for change in changes)


def _unveiled(shop: Shop, veiled: Shop, change: Change) -> Change:
    table, id = place(change)
    real, seen = find(getattr(shop, table), id), find(getattr(veiled, table), id)
    if not isinstance(change, Put) or real is None:
        return change
    if seen is None:  # a record that is all money, and stays as it is
        return Put(real)
    kept = {
        name: getattr(real, name)
        for name in (*MONEY.get(type(real), ()), *INSIDE.get(type(real), ()))
        if getattr(change.record, name) == getattr(seen, name)
    }
    return Put(replace(change.record, **kept)) if kept else change


@cached_by_identity(64)
def _table(records: tuple[Any, ...]) -> tuple[Any, ...]:
    if records and isinstance(records[0], ALL_MONEY):
        return ()
    return _same_if_equal(records, tuple(map(bare, records)))


def _same_if_equal(old: tuple[Any, ...], new: tuple[Any, ...]) -> tuple[Any, ...]:
    """The old tuple where every record is the same object."""
    return old if all(map(_is, old, new)) else new


def _is(one: object, other: object) -> bool:
    return one is other


# --- the history ----------------------------------------------------------------------------


def _entry(entry: Entry, reader: str) -> Entry:
    """An entry without money in what it changed; the words that did it are left out where they
    were another's and about money."""
    changes, inverse = (_changes(one) for one in (entry.changes, entry.inverse))
    mine = entry.by == reader
    why = entry.why if mine else _words(entry)
    if changes is entry.changes and inverse is entry.inverse and why == entry.why:
        return entry
    return replace(entry, changes=changes, inverse=inverse, why=why)


def _changes(changes: tuple[Change, ...]) -> tuple[Change, ...]:
    return _same_if_equal(changes, tuple(map(_change, changes)))


def _change(change: Change) -> Change:
    if not isinstance(change, Put):
        return change
    if isinstance(change.record, ALL_MONEY):  # a veiled shop has no such record
        return Remove(*place(change))
    seen = bare(change.record)
    return change if seen is change.record else Put(seen)


def _words(entry: Entry) -> str:
    """What an entry was called, or whom it touched where its words told of money."""
    if not _about_money(entry):
        return _SIGNED.sub(UNSAID, entry.why)
    names = [getattr(one.record, "name", "") for one in entry.changes if isinstance(one, Put)]
    named = ", ".join(dict.fromkeys(name for name in names if name))[:60]
    return f"{named or 'a change'} ({UNSAID})"


def _about_money(entry: Entry) -> bool:
    """Whether an entry brought, changed or took away money."""
    before = {place(one): one for one in entry.inverse}
    return any(
        (isinstance(one, Put) and isinstance(one.record, ALL_MONEY))
        or _money(one) != _money(before.get(place(one)))
        for one in (*entry.changes, *entry.inverse)
    )


def _money(change: Change | None) -> object:
    record = change.record if isinstance(change, Put) else None
    if record is None or (bare(record) is record and not isinstance(record, ALL_MONEY)):
        return None
    if isinstance(record, ALL_MONEY):
        return record
    names = (*MONEY.get(type(record), ()), *INSIDE.get(type(record), ()))
    return tuple(getattr(record, name) for name in names)
