"""From one cell to the fields of a row, whichever way the table lies.

Knows: what each field of `Row` may hold. Must not know: where cells stand. Invariants: a cell
gives fields or a `Fault`; a cell that says nothing gives no fields.
"""

import re
from collections.abc import Callable, Iterable, Sequence
from datetime import date
from typing import Any

from assistant.planning.bringing_in import Refused
from assistant.planning.dating import NO_YEAR
from assistant.planning.model import Record, Row
from assistant.sheets.amounts import (
    currency_in,
    has_decimal_comma,
    read_lead,
    read_price,
    read_quantity,
    says_nothing,
)
from assistant.sheets.cell_lines import CellItem
from assistant.sheets.cells import Cell, Fault, text_of
from assistant.sheets.headings import Heading
from assistant.sheets.when import When, read_when, reads_day_first

LONGEST_TEXT = 120  # characters of a name
LONGER = {"theme": 200, "supplier": 200}  # of these, as in chat

Fields = dict[str, Any]  # fields of Row


class ReadYear(Record):
    """A year as read: `layout` says which way the table lay. Every filled cell that was not taken
    is accounted for in `refused` or, for whole columns and rows, in `notes`."""

    rows: tuple[Row, ...]
    refused: tuple[Refused, ...]
    notes: tuple[str, ...]
    layout: str  # "months across", "months down" or "row per item"


class Style(Record):
    """How numbers and dates are written in a column or a table, decided from all of it."""

    decimal_comma: bool = False
    day_first: bool = True


def style_of(
    cells: Sequence[Cell], months: Sequence[int | None] | None = None
) -> tuple[Style, bool]:
    """Decide how cells are written, and whether the order of day and month is a guess."""
    day_first, doubtful = reads_day_first(cells, months)
    return Style(has_decimal_comma(cells), day_first), doubtful


def read_field(field: str, cell: Cell, heading: Heading, style: Style) -> Fields | Fault:
    """Read one cell as this field of Row (not month or year)."""
    if isinstance(cell, Fault):
        return cell
    return {} if says_nothing(cell) else READERS[field](cell, heading, style)


def with_month(cell: Cell, month: int) -> Cell:
    """A ship date of which only the day was written, in the month of its box."""
    day = re.fullmatch(r"(\d{1,2})(?:st|nd|rd|th)?", text_of(cell), re.IGNORECASE)
    try:
        return date(NO_YEAR, month, int(day[1])) if day else cell
    except ValueError:
        return cell


def item_fields(item: CellItem) -> Fields:
    """The fields of an item that was taken out of a cell."""
    fields: Fields = {"item": item.name, "supplier": item.supplier}
    if item.price is not None:
        fields |= {"unit_cost": item.price.amount, "currency": item.price.currency}
    return fields | {"quantity": item.quantity, "lead": item.lead}


def _text(field: str) -> Callable[[Cell, Heading, Style], Fields | Fault]:
    def read(cell: Cell, heading: Heading, style: Style) -> Fields | Fault:
        del heading, style
        text = text_of(cell)
        most = LONGER.get(field, LONGEST_TEXT)
        if len(text) > most:
            return Fault(f"is longer than {most} characters; write a shorter {field}")
        return {field: text} if text else {}

    return read


def _unit_cost(cell: Cell, heading: Heading, style: Style) -> Fields | Fault:
    price = read_price(cell, style.decimal_comma)
    if isinstance(price, Fault):
        return price
    return {"unit_cost": price.amount, "currency": price.currency or heading.currency}


def _currency(cell: Cell, heading: Heading, style: Style) -> Fields | Fault:
    del heading, style
    said = text_of(cell)
    code = currency_in(said)
    return (
        {"currency": code}
        if code
        else Fault(f"says “{said[:20]}”, which is no currency; write GBP")
    )


def _quantity(cell: Cell, heading: Heading, style: Style) -> Fields | Fault:
    del heading, style
    number = read_quantity(cell)
    return number if isinstance(number, Fault) else {"quantity": number}


def _lead(cell: Cell, heading: Heading, style: Style) -> Fields | Fault:
    del style
    lead = read_lead(cell, heading.unit)
    return lead if isinstance(lead, Fault) else {"lead": lead}


def _ship_on(cell: Cell, heading: Heading, style: Style) -> Fields | Fault:
    del heading
    when = read_when(cell, style.day_first)
    if isinstance(cell, str) and re.fullmatch(r"\d{1,2}[-/.]\d{1,2}", cell.strip()):
        when = _day_and_month(cell.strip(), style.day_first)
    if when is None or when.day is None:
        return Fault(f"says “{text_of(cell)[:40]}”, which is no date; write 15 March 2027")
    return {"ship_on": when.on or date(NO_YEAR, when.month, when.day)}


def _day_and_month(text: str, day_first: bool) -> When | None:
    """Read 15/3, in the other order where this one makes no date. 2028 has a 29 February."""
    mark = next(mark for mark in text if not mark.isdigit())
    orders = (read_when(f"{text}{mark}2028", order) for order in (day_first, not day_first))
    return next((When(one.month, None, one.day) for one in orders if one), None)


READERS: dict[str, Callable[[Cell, Heading, Style], Fields | Fault]] = {
    "theme": _text("theme"),
    "item": _text("item"),
    "type": _text("type"),
    "supplier": _text("supplier"),
    "unit_cost": _unit_cost,
    "currency": _currency,
    "quantity": _quantity,
    "lead": _lead,
    "ship_on": _ship_on,
}


def no_month(cell: Cell) -> Fault:
    """Why a cell is no month."""
    if isinstance(cell, Fault):
        return cell
    return Fault(f"says “{text_of(cell)[:40]}”, which is no month; write March or March 2027")


def listed(words: Iterable[str]) -> str:
    """Join words as people do, at most six: "a, b and c"."""
    every = list(words)
    if len(every) > 6:
        every = [*every[:5], f"{len(every) - 5} more"]
    return f"{', '.join(every[:-1])} and {every[-1]}" if len(every) > 1 else "".join(every)
