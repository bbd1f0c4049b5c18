"""Items crowded into one cell, taken apart. All of them are invented."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.planning.model import Lead
from assistant.sheets.amounts import Price
from assistant.sheets.cell_lines import CellItem, items_of
from assistant.sheets.cells import Fault


def item(
    name: str,
    supplier: str = "",
    price: str = "",
    quantity: int | None = None,
    lead: Lead | None = None,
) -> CellItem:
    amount, _, currency = price.partition(" ")
    money = Price(Decimal(amount), currency) if price else None
    return CellItem(name, supplier, money, quantity, lead)


WHOLE = [
    ("field notebook", item("field notebook")),
    ("field notebook (Aldermoor) 3.10", item("field notebook", "Aldermoor", "3.10")),
    ("field notebook (Aldermoor)3.10", item("field notebook", "Aldermoor", "3.10")),
    ("field notebook (Aldermoor) £3.10 each", item("field notebook", "Aldermoor", "3.10 GBP")),
    ("field notebook, Aldermoor, 3.10", item("field notebook", "Aldermoor", "3.10")),
    ("field notebook - Aldermoor - 3,10 €", item("field notebook", "Aldermoor", "3.10 EUR")),
    ("field notebook from Aldermoor, 3.10", item("field notebook", "Aldermoor", "3.10")),
    ("field notebook (from aldermoor)", item("field notebook", "aldermoor")),
    ("field notebook @ Aldermoor", item("field notebook", "Aldermoor")),
    ("field notebook @ 3.10", item("field notebook", price="3.10")),
    ("field notebook\nAldermoor\n3.10", item("field notebook", "Aldermoor", "3.10")),
    (
        "450 x field notebook (Aldermoor, 3.10)",
        item("field notebook", "Aldermoor", "3.10", quantity=450),
    ),
    ("mint tea by Brackenfold 450 pcs", item("mint tea", "Brackenfold", quantity=450)),
    ("lantern (Hangfeng, 4 weeks) USD 4", item("lantern", "Hangfeng", "4 USD",
                                               lead=Lead(28, "calendar"))),
    ("lantern (Hangfeng) (20 working days)", item("lantern", "Hangfeng", lead=Lead(20))),
    ("lantern, 1.80, lead 20d", item("lantern", price="1.80", lead=Lead(20))),
]  # fmt: skip
NAMES = [  # nothing in these is anything but a name
    "mint tea (decaf)",
    "notebook (A5)",
    "tin 50 g",
    "Pencil No 7",
    "Rosemary, Sage",
    "Pens, pencils and paper",
    "Advent calendar 24 days",
    "walk by the river",
    "honey from the hills",
    "half-size notebook",
    "2 pencils",
    'pencil 5" long',
]


@pytest.mark.parametrize(("text", "whole"), WHOLE)
def test_an_item_and_what_stands_beside_it(text: str, whole: CellItem) -> None:
    assert items_of(text) == (whole,)


@pytest.mark.parametrize("text", NAMES)
def test_what_is_not_recognised_stays_in_the_name(text: str) -> None:
    assert items_of(text) == (item(text),)


@pytest.mark.parametrize(
    "text",
    [
        "field notebook (Aldermoor) 3.10\nmint tea (Brackenfold) 1.20",
        "- field notebook (Aldermoor) 3.10\r\n\r\n- mint tea (Brackenfold) 1.20",
        "1. field notebook (Aldermoor) 3.10\n2) mint tea (Brackenfold) 1.20",
        "field notebook (Aldermoor) 3.10; mint tea (Brackenfold) 1.20;",
        "• field notebook (Aldermoor) 3.10 • mint tea (Brackenfold) 1.20",
    ],
)
def test_several_items_in_one_cell(text: str) -> None:
    assert items_of(text) == (
        item("field notebook", "Aldermoor", "3.10"),
        item("mint tea", "Brackenfold", "1.20"),
    )


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("notebook -3.10", "below zero"),
        ("£3.10", "names no item"),
        ("notebook, 900 days", "two years"),
        ("tea\n" * 31, "more than 30 items"),
        ("tea " * 100, "longer than 300"),
    ],
)
def test_what_is_refused(text: str, said: str) -> None:
    fault = items_of(text)
    assert isinstance(fault, Fault)
    assert said in fault.why


@given(st.text(max_size=200) | st.text("0123456789.,£€x()-@;\n abAB", max_size=200))
def test_reading_never_raises_and_every_item_has_a_name(text: str) -> None:
    items = items_of(text)
    assert isinstance(items, Fault) or all(item.name.strip() for item in items)


WORDS = st.text("abcdefgh", min_size=3, max_size=8)


@given(
    WORDS, WORDS, st.decimals("0.01", 99, places=2), st.sampled_from(["{} ({}) {}", "{}, {}, {}"])
)
def test_name_supplier_and_price_come_back(
    name: str, supplier: str, price: Decimal, shape: str
) -> None:
    assert items_of(shape.format(name, supplier.title(), price)) == (
        CellItem(name, supplier.title(), Price(price)),
    )
