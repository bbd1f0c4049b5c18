"""Run sheets as pages and as text; the pages are read back by pypdf, which is not ours.

Shops and goods are invented.
"""

from datetime import UTC, date, datetime
from decimal import Decimal
from io import BytesIO

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from pypdf import PdfReader

from assistant.planning.model import Books, Box, Item, Material, Run, Shop
from assistant.planning.month.packing import packing
from assistant.sheets.blocks import A4, LETTER, MARGIN
from assistant.sheets.drawing import Drawing, Line, Text
from assistant.sheets.lettering import printable, width
from assistant.sheets.run_page import run_drawings, run_page
from assistant.sheets.run_words import FIRST_BOX, Facts, facts, text
from tests.trade import shop, with_holidays

POINTS = 72 / 25.4
TODAY, BOX = date(2027, 3, 1), "2027-03"
THEN = datetime(2027, 2, 1, tzinfo=UTC)
PAPERS = pytest.mark.parametrize("paper", [A4, LETTER], ids=["A4", "Letter"])
COUNTS = pytest.mark.parametrize("count", [0, 1, 6, 60])
NAMES = (
    "field notebook",
    "a very long name of goods that goes on and on past the end of one line of the table, and on",
    "S & M <b>socks</b>",
    "\u9727\u306e\u624b\u5e33",
    "beeswax candle",
    "honey jar",
)


def made(count: int = 6) -> Shop:
    base = shop("2027-03 Rain and roots", subscribers=431, name="Mossgate Field Club")
    items = tuple(
        Item(
            f"i{n}",
            BOX,
            f"{NAMES[n % len(NAMES)]}{'' if n < len(NAMES) else f' {n}'}",
            grams=None if n % 5 == 3 else 20 + 40 * (n % 7),
            shares=(("S", Decimal(40)), ("M", Decimal(60))) if n == 2 else (),
            main=n == 0,
        )
        for n in range(count)
    )
    materials = (
        Material("mailers", "mailers", Decimal(1), 380, THEN),
        Material("tissue", "tissue", Decimal(2)),
    )
    base = replace(base, items=items, materials=materials, books=(Books(packaging_grams=85),))
    run = Run(BOX, crew=2, collection=date(2027, 3, 15))
    return with_holidays(replace(base, runs=(run,)), TODAY)


def written(count: int = 6) -> Facts:
    known = made(count)
    return facts(known, packing(known, BOX, TODAY), TODAY)


def pages(found: Facts, paper: tuple[float, float] = A4) -> PdfReader:
    return PdfReader(BytesIO(run_page(found, paper)))


def squeezed(words: str) -> str:
    return "".join(words.split())


def whole(found: Facts, paper: tuple[float, float] = A4) -> str:
    return squeezed(" ".join(one.extract_text() for one in pages(found, paper).pages))


def words_of(found: Facts) -> tuple[str, ...]:
    rows = [(row.name, row.weight, row.pieces, *row.details) for row in found.rows]
    told = [(label, value) for label, value in found.facts]
    parts = (*rows, *told, found.weight, found.checks, found.materials)
    return (found.box, *(one for part in parts for one in part))


@PAPERS
@COUNTS
def test_every_fact_can_be_read_from_the_page_and_from_the_text(
    count: int, paper: tuple[float, float]
) -> None:
    found = written(count)
    page, plain = whole(found, paper), squeezed(text(found))
    for words in words_of(found):
        assert squeezed(printable(words)) in page
        assert squeezed(words) in plain
    for one in (part for day in found.days for part in day):
        assert squeezed(one) in page
    assert squeezed(FIRST_BOX) in page


@PAPERS
@COUNTS
def test_pages_have_the_size_of_the_paper_and_embedded_fonts(
    count: int, paper: tuple[float, float]
) -> None:
    found = pages(written(count), paper).pages
    assert (len(found) > 1) == (count == 60)
    for number, page in enumerate(found, 1):
        size = float(page.mediabox.width), float(page.mediabox.height)
        assert size == pytest.approx((paper[0] * POINTS, paper[1] * POINTS), abs=0.1)
        assert f"Page {number} of {len(found)}" in page.extract_text()
        fonts = [font.get_object() for font in page["/Resources"]["/Font"].values()]
        drawn = [font for font in fonts if "/FontDescriptor" in font]
        assert drawn
        assert all("/FontFile2" in font["/FontDescriptor"] for font in drawn)


def assert_inside(drawings: tuple[Drawing, ...]) -> None:
    for drawing in drawings:
        for mark in drawing.marks:
            if isinstance(mark, Text):
                wide = width(mark.text, mark.size, mark.weight)
                left = mark.x - wide if mark.anchor == "end" else mark.x
                ends, heights = (left, left + wide), (mark.y,)
            else:
                assert isinstance(mark, Line)
                ends = (mark.start[0], mark.end[0])
                heights = (mark.start[1], mark.end[1])
            assert min(ends) >= MARGIN - 0.01, mark
            assert max(ends) <= drawing.width - MARGIN + 0.01, mark
            assert min(heights) >= MARGIN - 0.01, mark
            assert max(heights) <= drawing.height - MARGIN + 0.01, mark


@PAPERS
@COUNTS
def test_nothing_stands_outside_the_margins(count: int, paper: tuple[float, float]) -> None:
    assert_inside(run_drawings(written(count), paper))


@settings(max_examples=25, deadline=None)
@given(st.text(max_size=500), st.text(max_size=200), st.integers(1, 5000))
def test_whatever_names_are(name: str, theme: str, subscribers: int) -> None:
    known = made(2)
    items = tuple(replace(one, name=name) for one in known.items)
    known = replace(known, items=items, boxes=(Box(BOX, theme=theme),))
    profile = tuple(replace(one, subscribers=subscribers) for one in known.profile)
    known = replace(known, profile=profile)
    found = facts(known, packing(known, BOX, TODAY), TODAY)
    assert_inside(run_drawings(found, A4))


def test_it_is_black_on_white() -> None:
    marks = [mark for one in run_drawings(written(), A4) for mark in one.marks]
    shades = {mark.fill for mark in marks if isinstance(mark, Text)}
    assert all(shade[1:3] == shade[3:5] == shade[5:7] for shade in shades)


def test_the_same_run_gives_the_same_bytes() -> None:
    assert run_page(written(), A4) == run_page(written(), A4)


def test_the_order_the_weight_and_the_checks() -> None:
    found = written()
    assert [row.name for row in found.rows][-1] == "field notebook"
    assert found.rows[-1].details == ("on top",)
    assert any("breaks" in detail for row in found.rows for detail in row.details)
    assert found.weight[0].startswith("665 g without \u9727")
    assert any("honey jar" in check for check in found.checks)
    assert found.materials == (
        "mailers: 431 needed, 380 there, 51 short",
        "tissue: 862 needed, not counted",
    )


def test_what_the_typeface_lacks_is_explained() -> None:
    assert "typefacelacks" in whole(written(6))
    assert "typefacelacks" not in whole(written(3))


def test_a_run_that_is_too_late_says_so() -> None:
    known = made(2)
    late = replace(known, runs=(Run(BOX, collection=date(2027, 3, 2)),))
    found = facts(late, packing(late, BOX, TODAY), TODAY)
    assert dict(found.facts)["Days"].endswith("too late")
