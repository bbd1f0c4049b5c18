"""Purchase orders as pages and as text; the pages are read back by pypdf, which is not ours.

Shops, suppliers and goods are invented.
"""

from datetime import date
from decimal import Decimal
from io import BytesIO
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from pypdf import PdfReader

from assistant.planning.model import Books, Order, OrderLine, Profile, Shop, Supplier
from assistant.sheets.drawing import Drawing, Text
from assistant.sheets.lettering import printable, width
from assistant.sheets.order_page import (
    A4,
    LETTER,
    MARGIN,
    order_drawings,
    order_page,
    paper_of,
    wrapped,
)
from assistant.sheets.order_words import Facts, facts, figure, file_name, terms, text
from tests.trade import house

POINTS = 72 / 25.4
NAMES = (
    "field notebook",
    "watercolour brush pens in a linen roll, with a name that goes on and on past one line",
    "S & M <b>socks</b> & <font color='red'>co</font>",
    "x" * 300,
    "\u9727\u306e\u624b\u5e33",
    "mint tea",
)
ADDRESS = "Mossgate Field Club, 4 Mill Lane, Settle, BD24 9XX"
PAPERS = pytest.mark.parametrize("paper", [A4, LETTER], ids=["A4", "Letter"])
COUNTS = pytest.mark.parametrize("count", [0, 1, 8, 60])


def shop(**fields: Any) -> Shop:
    profile = Profile(name="Mossgate Field Club", **fields)
    suppliers = (Supplier("aldermoor", "Aldermoor", country="DE"),)
    return Shop("mossgate", house(), profile=(profile,), suppliers=suppliers)


def order(count: int = 1, **fields: Any) -> Order:
    lines = tuple(
        OrderLine(
            f"i{n}",
            NAMES[n % len(NAMES)],
            480 + n,
            Decimal("3.10") + Decimal(n) / 8,
            shares=(("S", 100), ("M", 380 + n)) if n % 3 == 1 else (),
            box=f"2027-{n % 12 + 1:02}",
            setup=Decimal(120) if n == 1 else None,
        )
        for n in range(count)
    )
    known = {
        "currency": "GBP",
        "carriage": Decimal(12),
        "in_hand": date(2027, 3, 10),
        "deliver_to": ADDRESS,
        "terms": "30% deposit with the order.",
    }
    return Order("2027-004", "aldermoor", date(2027, 1, 11), lines, **(known | fields))


def pages(written: Facts, paper: tuple[float, float] = A4) -> PdfReader:
    return PdfReader(BytesIO(order_page(written, paper)))


def squeezed(words: str) -> str:
    return "".join(words.split())


def whole(written: Facts, paper: tuple[float, float] = A4) -> str:
    return squeezed(" ".join(one.extract_text() for one in pages(written, paper).pages))


def texts(drawings: tuple[Drawing, ...]) -> list[Text]:
    return [mark for one in drawings for mark in one.marks if isinstance(mark, Text)]


# --- pages ----------------------------------------------------------------------------------


@PAPERS
@COUNTS
def test_every_page_has_the_size_of_the_paper_and_says_which_it_is(
    count: int, paper: tuple[float, float]
) -> None:
    found = pages(facts(shop(), order(count)), paper).pages
    for number, page in enumerate(found, 1):
        size = float(page.mediabox.width), float(page.mediabox.height)
        assert size == pytest.approx((paper[0] * POINTS, paper[1] * POINTS), abs=0.1)
        assert f"Page {number} of {len(found)}" in page.extract_text()
    assert (len(found) > 1) == (count == 60)


@PAPERS
@COUNTS
def test_every_fact_can_be_read_from_it(count: int, paper: tuple[float, float]) -> None:
    written = facts(shop(), order(count, revision=2))
    found = whole(written, paper)
    for words in (written.shop, *written.supplier, *written.deliver_to, written.terms):
        assert squeezed(printable(words)) in found
    for label, value in (*written.facts, *written.sums):
        assert squeezed(label) in found
        assert squeezed(value) in found
    for row in written.rows:
        for words in (row.name, row.pieces, row.price, row.amount, *row.details):
            assert squeezed(printable(words)) in found
    assert "Notes" in found
    assert written.remark.replace(" ", "") in found


@PAPERS
@COUNTS
def test_nothing_stands_outside_the_margins(count: int, paper: tuple[float, float]) -> None:
    made = order_drawings(facts(shop(), order(count, revision=1)), paper)
    assert_inside(made)


def assert_inside(made: tuple[Drawing, ...]) -> None:
    for drawing in made:
        for mark in texts((drawing,)):
            wide = width(mark.text, mark.size, mark.weight)
            left = mark.x - wide if mark.anchor == "end" else mark.x
            assert left >= MARGIN - 0.01, mark.text
            assert left + wide <= drawing.width - MARGIN + 0.01, mark.text
            assert MARGIN <= mark.y <= drawing.height - MARGIN + 0.01, mark.text


@settings(max_examples=25, deadline=None)
@given(
    name=st.text(max_size=500),
    pieces=st.integers(1, 1_000_000),
    price=st.decimals(0, 999_999, places=4) | st.none(),
    currency=st.sampled_from(("GBP", "JPY", "KWD")),
)
@example(name="", pieces=1, price=None, currency="GBP")
@example(name="W" * 5000, pieces=1_000_000, price=Decimal("999999.9999"), currency="KWD")
def test_nothing_overlaps_or_leaves_the_page_whatever_is_ordered(
    name: str, pieces: int, price: Decimal | None, currency: str
) -> None:
    line = OrderLine("i", name, pieces, price)
    made = replace(order(currency=currency), lines=(line, line))
    drawings = order_drawings(facts(shop(), made), A4)
    assert_inside(drawings)
    for drawing in drawings:
        rows: dict[float, list[tuple[float, float]]] = {}
        for mark in texts((drawing,)):
            wide = width(mark.text, mark.size, mark.weight)
            left = mark.x - wide if mark.anchor == "end" else mark.x
            rows.setdefault(round(mark.y, 2), []).append((left, left + wide))
        for spans in rows.values():
            ends = sorted(spans)
            assert all(a[1] <= b[0] + 0.01 for a, b in pairwise(ends))


def test_the_heading_is_repeated_over_the_rows_of_each_page() -> None:
    found = pages(facts(shop(), order(60, revision=1))).pages
    for page in found[:-1]:
        assert "Pieces" in page.extract_text()
    for page in found[1:]:
        assert "Purchase order 2027-004, revision 1, continued" in page.extract_text()


@COUNTS
def test_its_fonts_are_embedded(count: int) -> None:
    for page in pages(facts(shop(), order(count))).pages:
        fonts = [font.get_object() for font in page["/Resources"]["/Font"].values()]
        drawn = [font for font in fonts if "/FontDescriptor" in font]
        assert drawn
        assert all("/FontFile2" in font["/FontDescriptor"] for font in drawn)
        assert all("SourceSansPro" in font["/BaseFont"] for font in drawn)


def test_markup_in_a_name_is_text() -> None:
    found = whole(facts(shop(), order(3)))
    assert squeezed(NAMES[2]) in found


def test_what_the_typeface_lacks_is_a_question_mark_that_is_explained() -> None:
    plain, other = facts(shop(), order(2)), facts(shop(), order(6))
    assert "typefacelacks" not in whole(plain)
    assert "typefacelacks" in whole(other)
    assert NAMES[4] in text(other)


def test_it_is_black_on_white() -> None:
    shades = {mark.fill for mark in texts(order_drawings(facts(shop(), order(8)), A4))}
    assert all(len({shade[1:3], shade[3:5], shade[5:7]}) == 1 for shade in shades)


def test_the_same_order_gives_the_same_bytes() -> None:
    written = facts(shop(), order(8))
    assert order_page(written, A4) == order_page(written, A4)


def test_the_paper_is_the_countrys() -> None:
    assert [paper_of(country) for country in ("US", "CA", "GB", "DE")] == [LETTER, LETTER, A4, A4]


@given(st.text(max_size=200), st.floats(30, 300))
def test_wrapping_loses_nothing_and_fits(words: str, room: float) -> None:
    lines = wrapped(words, 10, "regular", room)
    assert squeezed("".join(lines)) == squeezed(printable(words))
    assert all(width(line, 10) <= room for line in lines)


# --- words ----------------------------------------------------------------------------------


def test_the_text_tells_all_that_the_page_does() -> None:
    written = facts(shop(), order(8, revision=1))
    told = text(written)
    for label, value in (*written.facts[1:], *written.sums):
        assert f"{label}: {value}" in told
    for words in (*written.supplier, *written.deliver_to, written.terms, written.shop):
        assert words in told
    for row in written.rows:
        assert f"{row.number}. {row.name}\n" in told
        assert f"{row.pieces} pieces at {row.price} = {row.amount}" in told
        assert all(one in told for one in row.details)
    assert "Purchase order 2027-004, revision 1" in told


def test_what_is_not_known_is_said() -> None:
    bare = Order("2027-004", "gone", date(2027, 1, 11), (OrderLine("i", "tea", 9),), currency="GBP")
    told = text(facts(shop(), bare))
    assert "To: to be named" in told
    assert "  to be named" in told
    assert "All in hand by: to be agreed" in told
    assert "9 pieces, price to be agreed" in told
    assert "Total GBP of the priced lines, before carriage: 0.00" in told
    assert "Terms: As agreed." in told


def test_the_books_say_where_to_deliver_until_it_is_sent() -> None:
    made = replace(shop(), books=(Books(deliver_to="Old Dairy, Settle"),))
    assert facts(made, order(deliver_to="")).deliver_to == ("Old Dairy", "Settle")
    assert facts(made, order()).deliver_to[0] == "Mossgate Field Club"


def test_the_same_goods_twice_say_for_which_month() -> None:
    made = order(8)
    rows = facts(shop(), made).rows
    assert rows[0].name == rows[6].name
    assert rows[0].details == ("for January 2027",)
    assert rows[5].details == ()
    assert rows[1].details == ("S 100, M 381", "for February 2027", "set-up, once: 120.00")


def test_a_withdrawn_order_says_so() -> None:
    assert "please do not supply" in text(facts(shop(), order(dropped=True)))


@pytest.mark.parametrize(
    ("supplier", "said"),
    [
        ({}, ""),
        ({"deposit_percent": Decimal("30.0")}, "30% deposit with the order."),
        ({"net_days": 30}, "Due 30 days after dispatch."),
        ({"net_days": 0}, "Due on dispatch."),
        (
            {"net_days": 30, "end_of_month": True},
            "Due 30 days after the end of the month of dispatch.",
        ),
        (
            {
                "deposit_percent": Decimal(30),
                "net_days": 30,
                "early_percent": Decimal("2.5"),
                "early_days": 10,
            },
            "30% deposit with the order; balance due 30 days after dispatch;"
            " 2.5% off if paid within 10 days.",
        ),
    ],
)
def test_terms_in_words(supplier: dict[str, Any], said: str) -> None:
    assert terms(Supplier("a", "Aldermoor", **supplier)) == said


@pytest.mark.parametrize(
    ("amount", "currency", "said"),
    [
        ("3.1", "GBP", "3.10"),
        ("0.125", "GBP", "0.125"),
        ("1200", "JPY", "1,200"),
        ("1200.5", "JPY", "1,200.5"),
        ("1.5", "KWD", "1.500"),
        ("0", "GBP", "0.00"),
        ("100", "GBP", "100.00"),
    ],
)
def test_a_figure_has_all_its_digits(amount: str, currency: str, said: str) -> None:
    assert figure(Decimal(amount), currency) == said


def test_the_file_is_named_by_shop_what_number_and_day() -> None:
    written = facts(shop(), order(revision=1))
    assert (
        file_name(written, order(revision=1), "pdf")
        == "Mossgate Field Club purchase order 2027-004 revision 1 (2027-01-11).pdf"
    )
    nasty = replace(written, shop="../../etc/<b>\n: Shop")
    assert file_name(nasty, order(), "txt").startswith("etc b Shop purchase order 2027-004")
