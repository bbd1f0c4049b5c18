"""The plan as tables: the year, items, suppliers, orders, cash; what stands in which column.

Knows: the plan, and the words that the import of a year reads (headings.py, item_fields.py). Must
not know: kinds of files, what was asked in a chat. Invariants: each heading of the year and of the
items is one that the import reads as what it is, or one that it leaves alone; values keep their
kind (dates, numbers, money with its currency), text is one line; without money there is no column,
and no table, that is about money.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import date
from decimal import Decimal
from typing import Literal, NamedTuple

from assistant.planning.accounts.cash import cash, last_day
from assistant.planning.accounts.money import plain_number
from assistant.planning.changes import profile_of
from assistant.planning.model import Break, Closure, Item, Lead, Order, Record, Shop, Supplier
from assistant.planning.month.progress import progress
from assistant.planning.year.year_view import BoxView, year_view
from assistant.scheduling.countries import country_name
from assistant.sheets.cells import plain

Sheet = Literal["year", "items", "suppliers", "orders", "cash"]
SHEETS: tuple[Sheet, ...] = ("year", "items", "suppliers", "orders", "cash")
OF_MONEY: frozenset[Sheet] = frozenset(("orders", "cash"))  # sheets that are about money alone


class Month(NamedTuple):
    """A month as a value: of the year 2027, month 3."""

    year: int
    month: int


class Money(NamedTuple):
    """An amount with the code of its currency."""

    amount: Decimal
    currency: str


Value = str | int | Decimal | date | Month | Money | None


class Column(Record):
    """A column: what stands over it, and how many characters it is wide."""

    heading: str
    width: int


class Table(Record):
    """One sheet. Every row has a value for each column; None is left empty."""

    sheet: Sheet
    columns: tuple[Column, ...]
    rows: tuple[tuple[Value, ...], ...]

    @property
    def name(self) -> str:
        """What the sheet is called."""
        return self.sheet.capitalize()


def tables(
    shop: Shop, today: date, money: bool = True, year: int | None = None
) -> tuple[Table, ...]:
    """Return the plan's tables as they stand on the shop's local day, all boxes or those of one
    year. Without `money`, a shop that was veiled gives all that is not about money."""
    return tuple(
        table(shop, sheet, today, money=money, year=year)
        for sheet in SHEETS
        if money or sheet not in OF_MONEY
    )


def table(
    shop: Shop, sheet: Sheet, today: date, money: bool = True, year: int | None = None
) -> Table:
    """Return one of the tables; see `tables`."""
    facts = _Facts(shop, today, year)
    shown = [one for one in _COLUMNS[sheet] if money or not one.money]
    columns = [one for one in shown if one.when is None or one.when(facts)]
    rows = tuple(tuple(one.value(facts, about) for one in columns) for about in _ROWS[sheet](facts))
    return Table(sheet, tuple(Column(one.heading, one.width) for one in columns), rows)


# --- what the rows are about ----------------------------------------------------------------


class _Facts:
    """What every column may ask, worked out once."""

    def __init__(self, shop: Shop, today: date, year: int | None) -> None:
        self.shop, self.today = shop, today
        self.currency = profile_of(shop).currency
        inside = (box for box in shop.boxes if year is None or box.id[:4] == f"{year:04}")
        self.boxes = {box.id: box for box in sorted(inside, key=lambda box: box.id)}
        self.suppliers = {one.id: one for one in shop.suppliers}
        self.several = any(len(id) > 7 for id in self.boxes)

    def views(self) -> Iterator[BoxView]:
        """The boxes, in their order."""
        for year in sorted({int(id[:4]) for id in self.boxes}):
            found = year_view(self.shop, year, self.today)
            yield from (one for one in found.boxes if one.id in self.boxes)

    def items(self) -> Iterator[Item]:
        """The items, box by box, in the order in which each box has them."""
        found = (item for item in self.shop.items if item.box in self.boxes)
        yield from sorted(found, key=lambda item: item.box)

    def bought(self, item: Item) -> str:
        """The currency in which an item is bought."""
        return item.currency or self.currency

    def supplier(self, id: str) -> str:
        """The name of a supplier."""
        return _said(self.suppliers[id].name) if id in self.suppliers else ""


class _Line(NamedTuple):
    """One line of an order."""

    order: Order
    place: int


class _Left(NamedTuple):
    """A month of cash; what is left is only known where the bank is."""

    month: Month
    into: Decimal
    out: Decimal
    left: Decimal | None
    least: Decimal | None


def _lines(facts: _Facts) -> Iterator[_Line]:
    for order in sorted(facts.shop.orders, key=lambda one: one.id):
        for place, _ in enumerate(order.lines):
            yield _Line(order, place)


def _cash(facts: _Facts) -> Iterator[_Left]:
    if not facts.shop.boxes:
        return
    found = cash(facts.shop, facts.today, last_day(facts.shop, facts.today))
    for one in found.months:
        left = (one.left, one.least) if found.known else (None, None)
        yield _Left(Month(one.first.year, one.first.month), one.into, one.out, *left)


_ROWS: Mapping[Sheet, Callable[[_Facts], Iterable[object]]] = {
    "year": _Facts.views,
    "items": _Facts.items,
    "suppliers": lambda facts: facts.shop.suppliers,
    "orders": _lines,
    "cash": _cash,
}

# --- what a value says ----------------------------------------------------------------------


def _said(text: str) -> str:
    return plain(text)


def _month(id: str) -> Month:
    return Month(int(id[:4]), int(id[5:7]))


def _nth(id: str) -> int:
    return ord(id[7]) - ord("a") + 1 if len(id) > 7 else 1


def _money(amount: Decimal | None, currency: str) -> Money | None:
    return None if amount is None else Money(amount, currency)


def _lead(lead: Lead | None) -> str:
    return f"{lead.days} {lead.unit} day{'' if lead.days == 1 else 's'}" if lead else ""


def _breaks(breaks: Iterable[Break]) -> str:
    return "; ".join(f"from {one.quantity} at {plain_number(one.price)}" for one in breaks)


def _size(mm: tuple[int, int, int] | None) -> str:
    return " x ".join(map(str, mm)) if mm else ""


def _country(one: Supplier) -> str:
    code = "/".join(filter(None, (one.country, one.subdivision)))
    return (country_name(code) or country_name(one.country) or code) if one.country else ""


def _closures(closures: Iterable[Closure]) -> str:
    return _said("; ".join(map(_closure, closures)))


def _closure(one: Closure) -> str:
    if one.festival:
        days = f"{one.before} days before and {one.after} after the lunar new year"
    elif one.yearly and one.first and one.last:
        days = f"{one.first:%d %b} to {one.last:%d %b} every year"
    else:
        days = f"{one.first or ''} to {one.last or 'further notice'}"
    return f"{one.reason}, {days}"


def _terms(one: Supplier) -> str:
    net = f"{one.net_days} days" if one.net_days is not None else ""
    end = " from the end of the month" if net and one.end_of_month else ""
    return f"{net}{end}"


def _state(order: Order) -> str:
    if order.dropped:
        return "withdrawn"
    return "sent" if order.sent else "to be sent"


def _fixed(facts: _Facts, view: BoxView) -> date | None:
    return facts.boxes[view.id].ship_on


# --- columns --------------------------------------------------------------------------------


class _Column(NamedTuple):
    """A column: its heading and width, its value, whether it is money, and when it is there."""

    heading: str
    width: int
    value: Callable[..., Value]
    money: bool = False
    when: Callable[[_Facts], bool] | None = None


def _several(facts: _Facts) -> bool:
    return facts.several


_YEAR = (
    _Column("Month", 16, lambda _f, one: _month(one.id)),
    _Column("Theme", 34, lambda f, one: _said(f.boxes[one.id].theme)),
    _Column("Ships", 17, lambda _f, one: one.ships),
    _Column("Ship date (fixed)", 17, _fixed),
    _Column("State", 14, lambda _f, one: one.state),
    _Column("Late", 7, lambda _f, one: one.late),
    _Column("Items in it", 11, lambda _f, one: one.items),
    _Column("Cost so far", 13, lambda f, one: Money(one.cost, f.currency), money=True),
    _Column("Without a cost", 13, lambda _f, one: one.uncosted, money=True),
    _Column("Target", 13, lambda f, one: _money(one.target, f.currency), money=True),
    _Column("Box of the month", 17, lambda _f, one: _nth(one.id)),
)
_ITEMS = (
    _Column("Month", 16, lambda _f, one: _month(one.box)),
    _Column("Box of the month", 17, lambda _f, one: _nth(one.box), when=_several),
    _Column("Theme", 26, lambda f, one: _said(f.boxes[one.box].theme)),
    _Column("Item", 34, lambda _f, one: _said(one.name)),
    _Column("Type", 18, lambda _f, one: _said(one.type)),
    _Column("Form", 16, lambda _f, one: _said(one.form)),
    _Column("Supplier", 22, lambda f, one: f.supplier(one.supplier)),
    _Column("Unit cost", 12, lambda f, one: _money(one.unit_cost, f.bought(one)), money=True),
    _Column("Currency", 10, lambda f, one: f.bought(one), money=True),
    _Column("Quantity", 10, lambda _f, one: one.quantity),
    _Column("Lead time", 18, lambda _f, one: _lead(one.lead)),
    _Column("Pieces a box", 10, lambda _f, one: one.units),
    _Column("Minimum", 10, lambda _f, one: one.minimum),
    _Column("Case pack", 10, lambda _f, one: one.case_pack),
    _Column("Price breaks", 30, lambda _f, one: _breaks(one.breaks), money=True),
    _Column("Set-up", 11, lambda f, one: _money(one.setup, f.bought(one)), money=True),
    _Column("Grams each", 11, lambda _f, one: one.grams),
    _Column("Size in mm", 17, lambda _f, one: _size(one.mm)),
    _Column("Made in", 9, lambda _f, one: one.made_in),
    _Column("Quoted on", 14, lambda _f, one: one.quoted),
    _Column("State", 15, lambda f, one: progress(f.shop, one.id, f.today).state),
    _Column("In hand by", 14, lambda f, one: progress(f.shop, one.id, f.today).latest),
    _Column("Expected", 14, lambda f, one: progress(f.shop, one.id, f.today).expected),
)
_SUPPLIERS = (
    _Column("Supplier", 26, lambda _f, one: _said(one.name)),
    _Column("Country", 18, lambda _f, one: _country(one)),
    _Column("Working week", 14, lambda _f, one: _said(one.week)),
    _Column("Closed", 44, lambda _f, one: _closures(one.closures)),
    _Column("Days to confirm", 15, lambda _f, one: one.confirm_days),
    _Column("Lead time", 18, lambda _f, one: _lead(one.lead)),
    _Column("Days in transit", 15, lambda _f, one: one.transit_days),
    _Column("Deposit, percent", 16, lambda _f, one: one.deposit_percent),
    _Column("Balance after dispatch", 34, lambda _f, one: _terms(one)),
    _Column("Currency", 10, lambda f, one: one.currency or f.currency, money=True),
    _Column(
        "Least order",
        13,
        lambda f, one: _money(one.minimum_value, one.currency or f.currency),
        money=True,
    ),
    _Column(
        "Carriage", 12, lambda f, one: _money(one.carriage, one.currency or f.currency), money=True
    ),
    _Column(
        "Free from",
        12,
        lambda f, one: _money(one.free_from, one.currency or f.currency),
        money=True,
    ),
    _Column("Duty, percent", 13, lambda _f, one: one.duty, money=True),
)


def _of_line(facts: _Facts, one: _Line) -> str:
    return one.order.currency or facts.currency


def _amount(facts: _Facts, one: _Line) -> Money | None:
    line = one.order.lines[one.place]
    if line.unit_price is None:
        return None
    return Money(line.unit_price * line.quantity + (line.setup or 0), _of_line(facts, one))


_ORDERS = (
    _Column("Order", 12, lambda _f, one: one.order.id),
    _Column("Revision", 10, lambda _f, one: one.order.revision),
    _Column("Supplier", 24, lambda f, one: f.supplier(one.order.supplier)),
    _Column("Item", 34, lambda _f, one: _said(one.order.lines[one.place].name)),
    _Column(
        "For box",
        16,
        lambda _f, one: _month(box) if (box := one.order.lines[one.place].box) else None,
    ),
    _Column("Pieces", 10, lambda _f, one: one.order.lines[one.place].quantity),
    _Column(
        "Unit price",
        12,
        lambda f, one: _money(one.order.lines[one.place].unit_price, _of_line(f, one)),
    ),
    _Column(
        "Set-up", 11, lambda f, one: _money(one.order.lines[one.place].setup, _of_line(f, one))
    ),
    _Column("Amount", 14, _amount),
    _Column("Currency", 10, _of_line),
    _Column("Written", 14, lambda _f, one: one.order.on),
    _Column("In hand by", 14, lambda _f, one: one.order.in_hand),
    _Column("Sent", 14, lambda _f, one: one.order.sent),
    _Column("State", 12, lambda _f, one: _state(one.order)),
)
_CASH = (
    _Column("Month", 16, lambda _f, one: one.month),
    _Column("Comes in", 15, lambda f, one: Money(one.into, f.currency)),
    _Column("Goes out", 15, lambda f, one: Money(one.out, f.currency)),
    _Column("Left at the end", 16, lambda f, one: _money(one.left, f.currency)),
    _Column("Least left", 15, lambda f, one: _money(one.least, f.currency)),
)
_COLUMNS: Mapping[Sheet, tuple[_Column, ...]] = {
    "year": _YEAR,
    "items": _ITEMS,
    "suppliers": _SUPPLIERS,
    "orders": _ORDERS,
    "cash": _CASH,
}
