"""A purchase order as pages to print and send: A4, or Letter where that is the paper; black and
white.

Knows: where each fact stands. Must not know: what an order says (order_words.py), where a page ends
(blocks.py), how a mark is printed (drawing.py). Invariants: those of blocks.py; the same order
gives the same bytes.
"""

from collections.abc import Iterable, Sequence

from msgspec.structs import replace

from assistant.sheets.blocks import A4 as A4
from assistant.sheets.blocks import (
    BODY,
    GAP,
    GREY,
    LARGE,
    LEADING,
    SMALL,
    THICK,
    THIN,
    Block,
    Paper,
    beside,
    label_over,
    labelled,
    laid_out,
    line_blocks,
    paragraph,
    room_of,
    rule,
    space,
    stacked,
    text_at,
)
from assistant.sheets.blocks import LETTER as LETTER
from assistant.sheets.blocks import MARGIN as MARGIN
from assistant.sheets.blocks import paper_of as paper_of
from assistant.sheets.blocks import wrapped as wrapped
from assistant.sheets.drawing import Drawing, Text, pdf_pages
from assistant.sheets.lettering import Weight, printable, width
from assistant.sheets.order_words import COLUMNS, TITLE, Facts, Row

LEAST = (18.0, 0.0, 46.0, 54.0, 70.0)  # widths of the columns but the item's, which has the rest
APART = 12.0  # between columns
ITEM = 1  # the column that wraps
LABEL = 84.0  # of the facts
SUM = 100.0  # of the amounts under the table
NOTE_LINES = 4
TOGETHER = 12  # lines of one row that stay on one page


def order_page(facts: Facts, paper: Paper) -> bytes:
    """Return an order as a PDF of as many pages of this paper (millimetres) as it takes."""
    title = printable(f"{TITLE} {facts.number}, {facts.shop}")
    return pdf_pages(order_drawings(facts, paper), paper, title)


def order_drawings(facts: Facts, paper: Paper) -> tuple[Drawing, ...]:
    """Return the pages of an order as drawings, in points."""
    room = room_of(paper)
    columns = _columns(facts, room)
    heading = _heading(columns, room)
    running = _running(facts, room)
    parts = (_head(facts, room), *_table(facts, heading, columns, room), *_end(facts, room))
    return laid_out(parts, running, heading, _words(facts), paper)


def _words(facts: Facts) -> Iterable[str]:
    named = (part for row in facts.rows for part in (row.name, *row.details))
    return facts.shop, *facts.supplier, *facts.deliver_to, facts.terms, *named


# --- the head -------------------------------------------------------------------------------


def _head(facts: Facts, room: float) -> Block:
    """The shop, the title, and what is said of the order as a whole."""
    right = 215.0
    left = room - right - GAP
    shop = paragraph(facts.shop, 0, left, LARGE, "bold")
    title = paragraph(TITLE, room - right, right, LARGE, "semibold")
    top = beside(shop, title)
    remark = paragraph(facts.remark, 0, room, BODY, "semibold") if facts.remark else Block(0, ())
    to = stacked([label_over("To", left), *(paragraph(one, 0, left) for one in facts.supplier)])
    where = [paragraph(one, 0, left) for one in facts.deliver_to]
    deliver = stacked([label_over("Deliver to", left), *where])
    told = stacked(
        [labelled(label, value, room - right, right, LABEL) for label, value in facts.facts]
    )
    parts = beside(stacked([to, space(GAP), deliver]), told)
    return stacked([top, rule(room, THICK), remark, space(GAP / 2), parts, space(2 * GAP)])


def _running(facts: Facts, room: float) -> Block:
    """What stands on top of every page but the first."""
    words = f"{TITLE} {facts.called}, continued"
    return stacked([paragraph(words, 0, room, BODY, "semibold"), space(GAP)])


# --- the table ------------------------------------------------------------------------------


Column = tuple[float, float]  # its left and its right edge


def _columns(facts: Facts, room: float) -> tuple[Column, ...]:
    """Where each column stands: as wide as what is in it, the item's as wide as is left."""
    cells = [(COLUMNS, SMALL), *((_cells(row), BODY) for row in facts.rows)]
    wide = [
        max(least, *(width(printable(row[place]), size, "semibold") for row, size in cells))
        for place, least in enumerate(LEAST)
    ]
    wide[ITEM] = room - sum(wide) + wide[ITEM] - APART * (len(wide) - 1)
    columns, x = list[Column](), 0.0
    for one in wide:
        columns.append((x, x + one))
        x += one + APART
    return tuple(columns)


def _cells(row: Row) -> tuple[str, ...]:
    return row.number, "", row.pieces, row.price, row.amount


def _cell(words: str, place: int, columns: Sequence[Column], size: float, weight: Weight) -> Text:
    """Text in its column: number and item begin at the left, figures end at the right."""
    left, right = columns[place]
    if place <= ITEM:
        return text_at(words, left, size, size, weight)
    return text_at(words, right, size, size, weight, anchor="end")


def _heading(columns: Sequence[Column], room: float) -> Block:
    marks = (_cell(name, n, columns, SMALL, "semibold") for n, name in enumerate(COLUMNS))
    return stacked([Block(SMALL * LEADING, tuple(marks)), rule(room, THICK), space(4)])


def _table(facts: Facts, heading: Block, columns: Sequence[Column], room: float) -> Iterable[Block]:
    """The rows; the heading stays with the first."""
    rows = [block for row in facts.rows for block in _row(row, columns)]
    first, *others = rows or [space(GAP)]
    yield stacked([heading, first])
    yield from others
    yield stacked([rule(room, THICK), space(4)])


def _row(row: Row, columns: Sequence[Column]) -> tuple[Block, ...]:
    """One row; a very long one may go on over a page."""
    left, right = columns[ITEM]
    marks = tuple(
        _cell(words, n, columns, BODY, "regular") for n, words in enumerate(_cells(row)) if words
    )
    name, *rest = line_blocks(row.name, left, right - left, BODY)
    details = [
        one for part in row.details for one in line_blocks(part, left, right - left, SMALL, GREY)
    ]
    lines = [Block(name.height, (*marks, *name.marks)), *rest, *details, space(4)]
    if len(lines) <= TOGETHER:
        return (stacked(lines, row=True),)
    return tuple(replace(line, row=True) for line in lines)


# --- the end --------------------------------------------------------------------------------


def _end(facts: Facts, room: float) -> Iterable[Block]:
    *parts, total = facts.sums
    yield stacked([*(_sum(part, room) for part in parts), _sum(total, room, "bold"), space(GAP)])
    yield stacked([label_over("Terms", room), paragraph(facts.terms, 0, room), space(GAP)])
    ruled = stacked([space(BODY * 1.8), rule(room, THIN)])
    yield stacked([label_over("Notes", room), ruled])
    yield from [replace(ruled, spare=True)] * (NOTE_LINES - 1)


def _sum(part: tuple[str, str], room: float, weight: Weight = "regular") -> Block:
    label, value = part
    marks = (
        text_at(label, room - SUM, BODY, BODY, weight, anchor="end"),
        text_at(value, room, BODY, BODY, weight, anchor="end"),
    )
    return Block(BODY * LEADING, marks)
