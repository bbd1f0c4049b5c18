"""Bringing a file's rows into the year plan: what would change, before anything does.

Knows: a shop, and rows that were read from a file. Must not know: what kind of file it was,
what the owner said to it. Invariants: a file never removes anything and never empties a field;
the later row counts where two say different things; bringing the same rows in again changes
nothing; the same arguments give the same changes, ids included.
"""

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from msgspec.structs import replace

from assistant.planning.changes import profile_of
from assistant.planning.dating import Refused as Refused  # part of `Incoming`
from assistant.planning.dating import box_words, date_rows
from assistant.planning.model import (
    Box,
    Break,
    Change,
    Item,
    Lead,
    Put,
    Record,
    Row,
    Shop,
    Supplier,
)
from assistant.planning.year.measures import Size

NEARLY = 90  # of 100: two supplier names this alike may be one supplier

# A sign that several currencies share is the shop's own when it is one of them, else the first.
SHARED_SIGNS: dict[str, tuple[str, ...]] = {
    "$": ("USD", "AUD", "CAD", "NZD", "SGD", "HKD", "TWD", "MXN"),
    "¥": ("JPY", "CNY"),
    "kr": ("SEK", "DKK", "NOK", "ISK"),
}

ITEM_WORDS: tuple[tuple[str, str], ...] = (  # (field of Item, the owner's word for it)
    ("type", "type"),
    ("supplier", "supplier"),
    ("unit_cost", "unit cost"),
    ("currency", "currency"),
    ("quantity", "quantity"),
    ("lead", "lead time"),
    ("form", "form"),
    ("made_in", "made in"),
    ("minimum", "minimum"),
    ("case_pack", "case pack"),
    ("grams", "weight"),
    ("mm", "size"),
    ("units", "pieces a box"),
    ("breaks", "price breaks"),
    ("setup", "set-up"),
    ("quoted", "quoted on"),
)


Value = str | int | Decimal | date | Lead | Size | tuple[Break, ...] | None


class Altered(Record):
    """One field that the file sets: of a box (`item` "") or of an item that the plan had.

    `old` and `new` are the field's values; for a supplier, names. `old` is None or "" where
    nothing was known.
    """

    box: str  # Box.id
    item: str  # Item.id
    name: str  # Item.name
    field: str  # the owner's word: "theme", "ship date" or one of ITEM_WORDS
    old: Value
    new: Value


class Alike(Record):
    """A supplier of the file whose name is nearly that of another one; they stay two."""

    where: str
    name: str
    known: str


class Incoming(Record):
    """What bringing the rows in would do. Nothing is done until `changes` are applied.

    `boxes` are the ids of boxes that the plan does not have yet. `themes` and `ships` are what
    the file sets on boxes, new ones included. `new_items` are whole; `altered` are fields of
    items that the plan had; `same` counts items that stay exactly as they were.
    """

    changes: tuple[Change, ...] = ()
    boxes: tuple[str, ...] = ()
    themes: tuple[Altered, ...] = ()
    ships: tuple[Altered, ...] = ()
    new_items: tuple[Item, ...] = ()
    altered: tuple[Altered, ...] = ()
    same: int = 0
    suppliers: tuple[str, ...] = ()
    alike: tuple[Alike, ...] = ()
    refused: tuple[Refused, ...] = ()
    warnings: tuple[str, ...] = ()


def plan(shop: Shop, rows: Iterable[Row], today: date, ref: str) -> Incoming:
    """Return what these rows would change in `shop` on `today`, the shop's local day.

    Boxes are matched by month, items by name within their box, suppliers by name; capitals and
    spaces do not matter. A row without an item carries only a theme or a ship date. A row
    without a year is given one by `planning.dating`. New items and suppliers get the ids
    `<ref>.1`, `<ref>.2` and on.
    """
    dated, refused, warnings = date_rows(tuple(rows), today)
    work = _Work(shop, ref)
    for box, row in dated:
        work.take(box, row)
    return _incoming(shop, work, refused, (*warnings, *work.warnings))


# --- the plan as it would be ----------------------------------------------------------------


def fold(name: str) -> str:
    """Return a name as it is compared: without capitals, with single spaces."""
    return " ".join(name.split()).casefold()


class _Told(NamedTuple):
    """The row that last set a field, and to what."""

    where: str
    value: str


class _Work:
    """The plan while rows are being laid over it; thrown away after `_incoming`."""

    def __init__(self, shop: Shop, ref: str) -> None:
        self.ref = ref
        self.currency = profile_of(shop).currency
        self.ids = {item.id for item in shop.items} | {one.id for one in shop.suppliers}
        self.given = 0
        self.boxes = {box.id: box for box in shop.boxes}
        self.items = {(item.box, fold(item.name)): item for item in reversed(shop.items)}
        self.suppliers = {fold(one.name): one for one in reversed(shop.suppliers)}
        self.types = {fold(item.type): item.type for item in reversed(shop.items) if item.type}
        self.touched: dict[tuple[str, str], None] = {}
        self.new_suppliers: dict[str, str] = {}  # folded name -> where it first stands
        self.said: dict[tuple[str, str, str], _Told] = {}
        self.warnings: list[str] = []

    def take(self, box: str, row: Row) -> None:
        """Lay one row over the plan."""
        kept = self.boxes.get(box, Box(id=box))
        if row.theme:
            self.say(row, box, "", "theme", row.theme)
            kept = replace(kept, theme=row.theme)
        if row.ship_on is not None:
            self.say(row, box, "", "ship date", _words(row.ship_on))
            kept = replace(kept, ship_on=row.ship_on)
        self.boxes[box] = kept
        if row.item:
            self.take_item(box, row)

    def take_item(self, box: str, row: Row) -> None:
        key = (box, fold(row.item))
        item = self.items.get(key)
        if item is None:
            item = Item(id=self.new_id(), box=box, name=" ".join(row.item.split()))
        facts = {name: value for name, value in self.facts(row).items() if value is not None}
        if fold(row.type) == fold(item.type):
            facts.pop("type", None)  # as she wrote it there
        for name, word in ITEM_WORDS:
            if name in facts:
                self.say(row, box, item.name, word, _words(getattr(row, name)))
        self.items[key] = replace(item, **facts)
        self.touched[key] = None

    def facts(self, row: Row) -> dict[str, object]:
        """The fields of Item that a row carries; None where it says nothing."""
        return {
            "type": self.types.setdefault(fold(row.type), row.type) if row.type else None,
            "supplier": self.supplier(row) if row.supplier else None,
            "unit_cost": row.unit_cost,
            "currency": self.own_currency(row.currency) if row.currency else None,
            "quantity": row.quantity,
            "lead": row.lead,
            "form": row.form or None,
            "made_in": row.made_in or None,
            "minimum": row.minimum,
            "case_pack": row.case_pack,
            "grams": row.grams,
            "mm": row.mm,
            "units": row.units,
            "breaks": row.breaks or None,
            "setup": row.setup,
            "quoted": row.quoted,
        }

    def supplier(self, row: Row) -> str:
        key = fold(row.supplier)
        if key not in self.suppliers:
            name = " ".join(row.supplier.split())
            self.suppliers[key] = Supplier(id=self.new_id(), name=name)
            self.new_suppliers[key] = row.where
        return self.suppliers[key].id

    def own_currency(self, said: str) -> str:
        """The currency as an item keeps it: "" when it is the shop's."""
        codes = SHARED_SIGNS.get(said, (said,))
        return "" if self.currency in codes else codes[0]

    def new_id(self) -> str:
        self.given += 1
        while f"{self.ref}.{self.given}" in self.ids:
            self.given += 1
        return f"{self.ref}.{self.given}"

    def say(self, row: Row, box: str, item: str, field: str, value: str) -> None:
        """Remember what a row says, and warn when an earlier one said otherwise."""
        key = (box, fold(item), field)
        before = self.said.get(key)
        if before is not None and fold(before.value) != fold(value):
            whose = f"{item}, {box_words(box)}" if item else box_words(box)
            self.warnings.append(
                f"{whose}: {field} is {before.value} in {before.where} "
                f"but {value} in {row.where}. The later one counts."
            )
        self.said[key] = _Told(row.where, value)


# --- what is new in it ----------------------------------------------------------------------


def _incoming(
    shop: Shop, work: _Work, refused: tuple[Refused, ...], warnings: tuple[str, ...]
) -> Incoming:
    old_boxes = {box.id: box for box in shop.boxes}
    old_items = {item.id: item for item in shop.items}
    names = {one.id: one.name for one in work.suppliers.values()}
    new_boxes = sorted(id for id in work.boxes if id not in old_boxes)
    boxes = [work.boxes[id] for id in (*old_boxes, *new_boxes)]
    touched = [work.items[key] for key in work.touched]
    suppliers = [work.suppliers[key] for key in work.new_suppliers]
    boxes_put = [box for box in boxes if old_boxes.get(box.id) != box]
    items_put = [item for item in touched if old_items.get(item.id) != item]
    changed = [(old_items[item.id], item) for item in items_put if item.id in old_items]
    box_pairs = [(old_boxes.get(box.id, Box(id=box.id)), box) for box in boxes_put]
    records: tuple[Supplier | Box | Item, ...] = (*suppliers, *boxes_put, *items_put)
    return Incoming(
        changes=tuple(Put(record) for record in records),
        boxes=tuple(new_boxes),
        themes=tuple(
            Altered(new.id, "", "", "theme", old.theme, new.theme)
            for old, new in box_pairs
            if old.theme != new.theme
        ),
        ships=tuple(
            Altered(new.id, "", "", "ship date", old.ship_on, new.ship_on)
            for old, new in box_pairs
            if old.ship_on != new.ship_on
        ),
        new_items=tuple(item for item in items_put if item.id not in old_items),
        altered=tuple(one for old, new in changed for one in _altered(old, new, names)),
        same=len(touched) - len(items_put),
        suppliers=tuple(one.name for one in suppliers),
        alike=_alike(shop, work),
        refused=refused,
        warnings=warnings,
    )


def _altered(old: Item, new: Item, supplier_names: dict[str, str]) -> tuple[Altered, ...]:
    altered = []
    for field, word in ITEM_WORDS:
        was, now = getattr(old, field), getattr(new, field)
        if was == now:
            continue
        if field == "supplier":
            was, now = supplier_names.get(was, was), supplier_names.get(now, now)
        altered.append(Altered(new.box, new.id, new.name, word, was, now))
    return tuple(altered)


def _alike(shop: Shop, work: _Work) -> tuple[Alike, ...]:
    """New suppliers whose names are nearly those of known or earlier new ones."""
    if not work.new_suppliers:
        return ()
    from rapidfuzz import fuzz, process

    known = {fold(one.name): one.name for one in shop.suppliers}
    alike = []
    for key, where in work.new_suppliers.items():
        name = work.suppliers[key].name
        for scorer in (fuzz.ratio, fuzz.token_set_ratio):
            near = process.extractOne(key, known.keys(), scorer=scorer, score_cutoff=NEARLY)
            if near is not None:
                alike.append(Alike(where, name, known[near[0]]))
                break
        known[key] = name
    return tuple(alike)


def _words(value: Value) -> str:
    """A field's value as a warning writes it."""
    if isinstance(value, Lead):
        return f"{value.days} {value.unit} day{'' if value.days == 1 else 's'}"
    return str(value)
