"""Count-in sheets as pages; read back by pypdf, which is not ours. Shops and goods are invented."""

from datetime import UTC, date, datetime
from io import BytesIO
from itertools import pairwise

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from pypdf import PdfReader

from assistant.planning.model import Mark, Purchase, Shop
from assistant.planning.month.counting_in import Coming, coming
from assistant.planning.month.looking import LOOKS
from assistant.sheets.blocks import A4, LETTER, MARGIN, Paper
from assistant.sheets.count_in_page import (
    SOURCE,
    STEPS,
    TITLE,
    Sheet,
    count_in_drawings,
    count_in_page,
    lost,
    sheet,
)
from assistant.sheets.drawing import Drawing, Line, Text
from assistant.sheets.lettering import printable, width
from tests.trade import shop

POINTS = 72 / 25.4
TODAY = date(2027, 3, 5)
PAPERS = pytest.mark.parametrize("paper", [A4, LETTER], ids=["A4", "Letter"])
COUNTS = pytest.mark.parametrize("count", [1, 4, 30])
NAMES = ("field notebook", "enamel pin", "oat biscuits", "clip-on lamp", "linen bag")


def planned(count: int, **facts: object) -> Shop:
    items = "; ".join(
        f"{NAMES[n % 5]} {chr(97 + n % 26)}{n // 26 * 'x'}@Aldermoor {n * 37 % 900 + 2} x 1.20"
        for n in range(count)
    )
    made = shop("Aldermoor DE", f"2027-03 Rain: {items}", subscribers=420, name="Mossgate Club")
    at = datetime(2027, 1, 20, tzinfo=UTC)
    return replace(
        made,
        items=tuple(replace(one, case_pack=46, **facts) for one in made.items),
        ledger=tuple(Mark(f"{one.id}/order", "done", at=at) for one in made.items),
        purchases=tuple(
            Purchase(one.id, quantity=one.quantity, ordered=at.date(), reference="2027-001")
            for one in made.items
        ),
    )


def written(count: int) -> Sheet:
    made = planned(count)
    return sheet(made, coming(made, TODAY), "from Aldermoor", TODAY)


def squeezed(words: str) -> str:
    return "".join(words.split())


def whole(made: Sheet, paper: Paper = A4) -> str:
    pages = PdfReader(BytesIO(count_in_page(made, paper))).pages
    return squeezed(" ".join(one.extract_text() for one in pages))


def texts(drawing: Drawing) -> list[Text]:
    return [mark for mark in drawing.marks if isinstance(mark, Text)]


def span(mark: Text) -> tuple[float, float]:
    wide = width(mark.text, mark.size, mark.weight)
    left = mark.x - wide if mark.anchor == "end" else mark.x
    return left, left + wide


@PAPERS
@COUNTS
def test_every_page_has_the_size_of_the_paper_and_says_which_it_is(
    count: int, paper: Paper
) -> None:
    found = PdfReader(BytesIO(count_in_page(written(count), paper))).pages
    for number, page in enumerate(found, 1):
        size = float(page.mediabox.width), float(page.mediabox.height)
        assert size == pytest.approx((paper[0] * POINTS, paper[1] * POINTS), abs=0.1)
        assert f"Page {number} of {len(found)}" in page.extract_text()
    assert (len(found) > 1) == (count == 30)


@PAPERS
@COUNTS
def test_every_fact_can_be_read_from_it(count: int, paper: Paper) -> None:
    made = written(count)
    found = whole(made, paper)
    for words in (TITLE, made.shop, made.about, made.made, *STEPS, SOURCE):
        assert squeezed(printable(words)) in found
    assert len(made.rows) == count
    for row in made.rows:
        assert all(squeezed(words) in found for words in (row.name, *row.details, *row.cells))


def test_the_figures_of_a_row_are_those_of_the_plan() -> None:
    made = planned(1)
    row = sheet(replace(made, purchases=(replace(made.purchases[0], quantity=460),)), (), "", TODAY)
    assert row.rows == ()
    bought = replace(made, purchases=(replace(made.purchases[0], quantity=460),))
    (only,) = sheet(bought, coming(bought, TODAY), "", TODAY).rows
    assert only.cells == ("460", "50", "4")
    assert "10 cartons of 46: take the pieces from 4 of them" in only.details
    assert only.details[0].startswith("Aldermoor, order 2027-001, expected ")
    assert only.details[0].endswith("; 420 good ones for March 2027")


def test_what_is_not_known_is_left_to_be_written_in() -> None:
    made = planned(1, quantity=None)
    bare = replace(made, purchases=())
    (only,) = sheet(bare, coming(bare, TODAY), "", TODAY).rows
    assert only.cells == ("", "", "")


def test_few_pieces_are_all_looked_at() -> None:
    made = planned(1)
    few = replace(made, purchases=(replace(made.purchases[0], quantity=5),))
    (only,) = sheet(few, coming(few, TODAY), "", TODAY).rows
    assert only.cells == ("5", "all", "1")


@settings(max_examples=25, deadline=None)
@given(
    name=st.text(max_size=400),
    pieces=st.integers(1, 2_000_000) | st.none(),
    case=st.integers(1, 5_000) | st.none(),
    look=st.sampled_from(LOOKS),
)
@example(name="W" * 3000, pieces=2_000_000, case=1, look=LOOKS[0])
def test_nothing_overlaps_or_leaves_the_page_whatever_comes(
    name: str, pieces: int | None, case: int | None, look: object
) -> None:
    made = planned(1)
    (one,) = coming(made, TODAY)
    row: Coming = replace(one, name=name, pieces=pieces, case=case, look=look)
    for drawing in count_in_drawings(sheet(made, (row, row), name[:60], TODAY), A4):
        lines: dict[float, list[tuple[float, float]]] = {}
        for mark in texts(drawing):
            left, right = span(mark)
            assert left >= MARGIN - 0.01
            assert right <= drawing.width - MARGIN + 0.01
            assert MARGIN <= mark.y <= drawing.height - MARGIN + 0.01
            lines.setdefault(round(mark.y, 2), []).append((left, right))
        for spans in lines.values():
            assert all(a[1] <= b[0] + 0.01 for a, b in pairwise(sorted(spans)))


def test_each_row_has_two_boxes_to_write_in_that_no_word_stands_in() -> None:
    for drawing in count_in_drawings(written(4), A4):
        upright = {
            (mark.start[0], min(mark.start[1], mark.end[1]), max(mark.start[1], mark.end[1]))
            for mark in drawing.marks
            if isinstance(mark, Line) and mark.start[0] == mark.end[0]
        }
        tops = sorted({top for _, top, _ in upright})
        assert len(tops) == 4
        for top in tops:
            edges = sorted(x for x, y, _ in upright if y == top)
            assert len(edges) == 4
            bottom = next(low for _, y, low in upright if y == top)
            inside = [
                mark
                for mark in texts(drawing)
                if top < mark.y < bottom and span(mark)[1] > edges[0] + 0.01
            ]
            assert inside == []


def test_the_heading_is_repeated_over_the_rows_of_each_page() -> None:
    pages = PdfReader(BytesIO(count_in_page(written(30), A4))).pages
    for page in pages[1:]:
        assert "Count-in sheet from Aldermoor, continued" in page.extract_text()
    assert all("Too many" in page.extract_text() for page in pages[:-1])


def test_it_is_black_on_white_and_the_same_goods_give_the_same_bytes() -> None:
    made = written(4)
    shades = {mark.fill for one in count_in_drawings(made, A4) for mark in one.marks}
    assert all(len({shade[1:3], shade[3:5], shade[5:7]}) == 1 for shade in shades)
    assert count_in_page(made, A4) == count_in_page(made, A4)


def test_what_the_typeface_lacks_is_a_question_mark_that_is_explained() -> None:
    plain = written(1)
    other = replace(plain, about="\u9727\u306e\u624b\u5e33")
    assert (lost(plain), lost(other)) == (False, True)
    assert "typefacelacks" not in whole(plain)
    assert "typefacelacks" in whole(other)
