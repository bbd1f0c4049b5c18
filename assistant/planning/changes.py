"""Changes to a shop as values: applied, and turned round.

Knows: records and their tables. Must not know: where they are kept. Invariant:
`apply(apply(shop, changes), invert(shop, changes))` has the records of `shop` again.
"""

from collections.abc import Iterable
from typing import TypeVar

from msgspec.structs import replace

from assistant.planning.model import TABLES, Change, Kept, Profile, Put, Remove, Shop

TABLE_OF: dict[type[Kept], str] = {kind: table for table, kind in TABLES}

R = TypeVar("R", bound=Kept)


def profile_of(shop: Shop) -> Profile:
    """Return the shop's profile, or the default one of a shop that has none yet."""
    return shop.profile[0] if shop.profile else Profile()


def find(records: Iterable[R], id: str) -> R | None:
    """Return the record with this id, or None."""
    return next((record for record in records if record.id == id), None)


def place(change: Change) -> tuple[str, str]:
    """Return the (table, id) that a change touches."""
    if isinstance(change, Put):
        return TABLE_OF[type(change.record)], change.record.id
    return change.table, change.id


def apply(shop: Shop, changes: Iterable[Change]) -> Shop:
    """Return the shop with the changes made, in order. New records go last in their table."""
    tables: dict[str, dict[str, Kept]] = {}
    for change in changes:
        table, id = place(change)
        if table not in tables:
            tables[table] = {record.id: record for record in getattr(shop, table)}
        if isinstance(change, Put):
            tables[table][id] = change.record
        else:
            tables[table].pop(id, None)
    if not tables:
        return shop
    return replace(shop, **{name: tuple(records.values()) for name, records in tables.items()})


def invert(shop: Shop, changes: Iterable[Change]) -> tuple[Change, ...]:
    """Return the changes that bring back what `changes` would overwrite or remove in `shop`."""
    before: dict[tuple[str, str], Change] = {}
    for change in changes:
        table, id = place(change)
        if (table, id) not in before:
            old = find(getattr(shop, table), id)
            before[table, id] = Put(old) if old is not None else Remove(table, id)
    return tuple(reversed(before.values()))


def conflicts(shop: Shop, changes: Iterable[Change]) -> tuple[tuple[str, str], ...]:
    """Return the (table, id) pairs that no longer stand as `changes` left them."""
    last: dict[tuple[str, str], Change] = {place(change): change for change in changes}
    return tuple(
        (table, id)
        for (table, id), change in last.items()
        if find(getattr(shop, table), id) != (change.record if isinstance(change, Put) else None)
    )
