"""Plans of every shape, to be written out and read back. Everything in them is invented."""

import io
from datetime import date
from decimal import Decimal
from typing import Any

from hypothesis import strategies as st
from msgspec.structs import replace
from openpyxl import Workbook, load_workbook
from openpyxl.worksheet.worksheet import Worksheet

from assistant.planning.model import (
    Box,
    Break,
    Item,
    Lead,
    Order,
    OrderLine,
    Profile,
    Shop,
    Supplier,
)
from assistant.sheets.amounts import NOTHING
from assistant.sheets.blocks import A4
from assistant.sheets.cells import plain
from assistant.sheets.headings import TOTAL, heading
from assistant.sheets.survey import read_table
from assistant.sheets.workbook import workbook
from assistant.sheets.workbook_tables import tables
from assistant.sheets.year_table import ReadYear
from tests.trade import house, shop

TODAY = date(2026, 11, 25)
LIVE = ("=1+1", "+44 tea", "-5 degrees", "@home", "'=quoted", "''-twice", "' plain", '="00123"')


def _holds(text: str) -> bool:
    """Whether a table may hold a text: it says something, and it is no total."""
    return plain(text).casefold() not in NOTHING and heading(plain(text)).field != TOTAL


letters = st.characters(codec="utf-8", exclude_categories=("Cs", "Cc", "Zl", "Zp"))
texts = st.one_of(st.sampled_from(LIVE), st.text(letters, min_size=1, max_size=40)).map(plain)
names = texts.filter(_holds)
maybe = st.one_of(st.just(""), names)
pieces = st.one_of(st.none(), st.integers(0, 1_000_000))
grams = st.one_of(st.none(), st.integers(1, 100_000))
sides = st.integers(1, 5000)
costs = st.one_of(st.none(), st.decimals(0, 1_000_000, places=2), st.decimals(0, 99, places=4))
prices = st.decimals(0, 99, places=4)
steps = st.sets(st.integers(1, 99_999), max_size=3)
leads = st.one_of(
    st.none(), st.builds(Lead, st.integers(0, 730), st.sampled_from(("working", "calendar")))
)
ids = st.builds(
    lambda year, month, letter: f"{year}-{month:02}{letter}",
    st.integers(2025, 2028),
    st.integers(1, 12),
    st.sampled_from(("", "", "b", "c")),
)


@st.composite
def boxes(draw: st.DrawFn, id: str) -> Box:
    fixed = draw(st.booleans())
    on = date(int(id[:4]), int(id[5:7]), draw(st.integers(1, 28)))
    return Box(id=id, theme=draw(maybe), ship_on=on if fixed else None)


@st.composite
def items(draw: st.DrawFn, box: str, n: int, suppliers: tuple[Supplier, ...]) -> Item:
    return Item(
        id=f"{box}.{n}",
        box=box,
        name=draw(names),
        type=draw(maybe),
        form=draw(maybe),
        supplier=draw(st.sampled_from(("", *(one.id for one in suppliers)))),
        unit_cost=draw(costs),
        currency=draw(st.sampled_from(("", "", "EUR", "USD", "JPY", "CHF", "CNY"))),
        quantity=draw(pieces),
        lead=draw(leads),
        made_in=draw(st.sampled_from(("", "GB", "DE", "CN", "JP"))),
        minimum=draw(pieces),
        case_pack=draw(pieces),
        grams=draw(grams),
        mm=draw(st.one_of(st.none(), st.tuples(sides, sides, sides))),
        main=draw(st.booleans()),
        units=draw(st.integers(1, 9)),
        breaks=tuple(Break(one, draw(prices)) for one in sorted(draw(steps))),
        setup=draw(costs),
        quoted=draw(st.one_of(st.none(), st.dates(date(2024, 1, 1), date(2028, 12, 31)))),
    )


@st.composite
def plans(draw: st.DrawFn, least: int = 1) -> Shop:
    """A shop with a plan: boxes with and without themes, items, dates; two of a month."""
    named = draw(st.lists(names, max_size=3, unique_by=str.casefold))
    suppliers = tuple(Supplier(id=f"s{n}", name=name) for n, name in enumerate(named))
    made = [draw(boxes(id)) for id in draw(st.lists(ids, min_size=least, max_size=5, unique=True))]
    inside: list[Item] = []
    for box in made:
        found = [draw(items(box.id, n, suppliers)) for n in range(draw(st.integers(0, 3)))]
        inside += {one.name.casefold(): one for one in found}.values()
    profile = Profile(name="Mossgate Field Club", currency=draw(st.sampled_from(("GBP", "EUR"))))
    empty = Shop(id="mossgate", house=house(), profile=(profile,))
    kept = tuple(
        replace(one, currency="") if one.currency == profile.currency else one for one in inside
    )
    return replace(empty, suppliers=suppliers, boxes=tuple(made), items=kept)


# --- one plan, and what is made of it ---------------------------------------------------------


def a_shop() -> Shop:
    made = shop(
        "Aldermoor DE: lead 20d, closed 2-20 Aug yearly, deposit 30%, net 30",
        "Brackenfold",
        "2027-03 Rain and roots: field notebook@Aldermoor 450 x 3.10 EUR, lead 20d, 180 g,"
        " 210 x 148 x 12 mm, made in DE, main; oat biscuits@Brackenfold 450 x 1.20, form round",
        "2027-05 First swifts, ships 2027-05-12: mint tea@Brackenfold",
        "2027-06",
        currency="GBP",
        name="Mossgate Field Club",
    )
    lines = (OrderLine("2027-03.field notebook", "field notebook", 450, Decimal("3.10")),)
    order = Order("2026-001", "aldermoor", TODAY, lines, currency="EUR", sent=TODAY)
    return replace(made, orders=(order,))


def book_of(made: Shop, **more: Any) -> bytes:
    return workbook(tables(made, TODAY, **more), TODAY, A4)


def opened(content: bytes) -> Workbook:
    return load_workbook(io.BytesIO(content))


def read(content: bytes, name: str = "workbook.xlsx") -> ReadYear:
    found = read_table(content, name)
    assert isinstance(found, ReadYear), found
    return found


def column(sheet: Worksheet, name: str) -> int:
    return next(cell.column for cell in sheet[1] if cell.value == name)
