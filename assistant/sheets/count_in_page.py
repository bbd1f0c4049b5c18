"""A count-in sheet as pages to print: what comes, how much of it to look at and for what, with room
to write; A4, or Letter where that is the paper; black and white.

Knows: where each fact stands. Must not know: what is to be counted (planning), where a page ends
(blocks.py), how a mark is printed (drawing.py). Invariants: those of blocks.py; what is not known
is left to be written in; the same goods give the same bytes.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from itertools import pairwise

from msgspec.structs import replace

from assistant.planning.changes import find, profile_of
from assistant.planning.model import Record, Shop
from assistant.planning.month.counting_in import Coming
from assistant.scheduling.weeks import MONTHS
from assistant.sheets.blocks import (
    BLACK,
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
    laid_out,
    line_blocks,
    paragraph,
    room_of,
    rule,
    space,
    stacked,
    text_at,
)
from assistant.sheets.drawing import Drawing, Line, Mark, pdf_pages
from assistant.sheets.lettering import Weight, lacks, printable
from assistant.sheets.writing import full_day, plural

TITLE = "Count-in sheet"
COLUMNS = ("No", "Item", "To come", "Look at", "Too many", "Came", "Bad")
# Widths of the columns but the item's, which has the rest; the last two are written in.
WIDE = (16.0, 0.0, 44.0, 42.0, 50.0, 56.0, 56.0)
APART = 10.0
ITEM, WRITTEN = 1, 5  # the column that wraps; the first that is written in
HIGH = 24.0  # of a box to write in
BESIDE = 2  # lines that stand beside the boxes
TOGETHER = 14  # lines of one row that stay on one page
NOTE_LINES = 5

# What to do with a delivery. Common practice, no source.
STEPS = (
    "Before you sign: count the cartons; write on the carrier's paper what is wet, torn or"
    " crushed, and photograph it.",
    "Count all pieces and write them under Came.",
    'Take as many as stand under "Look at" from as many cartons as named, from top, middle and'
    " bottom, and look at each. Write the bad ones under Bad.",
    'As many bad ones as under "Too many": look at all of them before any is packed, photograph'
    " the bad ones, keep the cartons, and claim.",
)
SOURCE = (
    "How many to look at: single sampling, normal inspection, general level II, AQL 2.5;"
    " ISO 2859-1."
)
SIGNED = ("Counted by", "Day", "Cartons")


class Row(Record):
    """One line of the sheet as it is written."""

    number: str
    name: str
    details: tuple[str, ...]
    cells: tuple[str, str, str]


class Sheet(Record):
    """A whole sheet as it is written."""

    shop: str
    about: str
    made: str
    rows: tuple[Row, ...]


def sheet(shop: Shop, found: Sequence[Coming], about: str, today: date) -> Sheet:
    """Write down what stands on a sheet; `about` says what it is of ("from Aldermoor")."""
    return Sheet(
        shop=profile_of(shop).name,
        about=about,
        made=full_day(today),
        rows=tuple(_row(shop, number, one) for number, one in enumerate(found, 1)),
    )


def _row(shop: Shop, number: int, one: Coming) -> Row:
    plan = one.plan
    return Row(
        number=str(number),
        name=one.name,
        details=tuple(filter(None, (_whose(shop, one), *_pieces(one), *_faults(one)))),
        cells=(
            "" if one.pieces is None else f"{one.pieces:,}",
            "" if plan is None else "all" if plan.all else f"{plan.look:,}",
            "" if plan is None else str(plan.too_many),
        ),
    )


def _whose(shop: Shop, one: Coming) -> str:
    supplier = find(shop.suppliers, one.supplier)
    parts = (
        supplier.name if supplier else "",
        f"order {one.order}" if one.order else "",
        f"expected {full_day(one.expected)}" if one.expected else "",
    )
    needs = f"{plural(one.needed, 'good one')} for " if one.needed is not None else "for "
    month = f"{MONTHS[int(one.box[5:7]) - 1]} {one.box[:4]}"
    return "; ".join(filter(None, (", ".join(filter(None, parts)), f"{needs}{month}")))


def _pieces(one: Coming) -> Iterable[str]:
    if one.cartons is not None and one.open is not None:
        full = f"cartons of {one.case:,}" if one.cartons > 1 else f"carton of {one.case:,}"
        yield f"{one.cartons:,} {full}: take the pieces from {one.open:,} of them"
    if one.shares:
        yield ", ".join(f"{name} {pieces:,}" for name, pieces in one.shares)
    if one.came:
        yield f"{plural(one.came, 'good one')} came before"


def _faults(one: Coming) -> Iterable[str]:
    yield f"Look for: {'; '.join(one.look.faults)}"
    if one.look.never:
        yield f"One is too many: {one.look.never}"


# --- pages ----------------------------------------------------------------------------------


def count_in_page(written: Sheet, paper: Paper) -> bytes:
    """Return a sheet as a PDF of as many pages of this paper (millimetres) as it takes."""
    return pdf_pages(
        count_in_drawings(written, paper), paper, printable(f"{TITLE}, {written.shop}")
    )


def count_in_drawings(written: Sheet, paper: Paper) -> tuple[Drawing, ...]:
    """Return the pages of a sheet as drawings, in points."""
    room = room_of(paper)
    columns = _columns(room)
    heading = _heading(columns, room)
    running = stacked(
        [paragraph(f"{TITLE} {written.about}, continued", 0, room, BODY, "semibold"), space(GAP)]
    )
    parts = (_head(written, room), *_table(written, heading, columns, room), *_end(room))
    return laid_out(parts, running, heading, _words(written), paper)


def lost(written: Sheet) -> bool:
    """Say whether the page shows a question mark for what the typeface lacks."""
    return any(map(lacks, _words(written)))


def _words(written: Sheet) -> Iterable[str]:
    named = (part for row in written.rows for part in (row.name, *row.details))
    return written.shop, written.about, *named


def _head(written: Sheet, room: float) -> Block:
    right = 200.0
    left = room - right - GAP
    top = beside(
        paragraph(written.shop, 0, left, LARGE, "bold"),
        paragraph(TITLE, room - right, right, LARGE, "semibold"),
    )
    what = beside(
        paragraph(written.about, 0, left, BODY, "semibold"),
        paragraph(f"made {written.made}", room - right, right, BODY, fill=GREY),
    )
    return stacked([top, rule(room, THICK), space(GAP / 3), what, space(GAP)])


Column = tuple[float, float]  # its left and its right edge


def _columns(room: float) -> tuple[Column, ...]:
    item = room - sum(WIDE) - APART * (len(WIDE) - 1)
    columns, x = list[Column](), 0.0
    for place, wide in enumerate(WIDE):
        columns.append((x, x + (item if place == ITEM else wide)))
        x = columns[-1][1] + APART
    return tuple(columns)


def _cell(words: str, place: int, columns: Sequence[Column], size: float, weight: Weight) -> Mark:
    """Text in its column: number, item and what is written in begin at the left, figures end at
    the right."""
    left, right = columns[place]
    if place <= ITEM or place >= WRITTEN:
        return text_at(words, left, size, size, weight)
    return text_at(words, right, size, size, weight, anchor="end")


def _heading(columns: Sequence[Column], room: float) -> Block:
    marks = (_cell(name, n, columns, SMALL, "semibold") for n, name in enumerate(COLUMNS))
    return stacked([Block(SMALL * LEADING, tuple(marks)), rule(room, THICK), space(4)])


def _table(
    written: Sheet, heading: Block, columns: Sequence[Column], room: float
) -> Iterable[Block]:
    """The rows, each with a line below it; the heading stays with the first."""
    rows = [block for row in written.rows for block in _row_blocks(row, columns, room)]
    first, *others = rows or [space(GAP)]
    yield stacked([heading, first])
    yield from others


def _row_blocks(row: Row, columns: Sequence[Column], room: float) -> tuple[Block, ...]:
    """One row; a very long one may go on over a page."""
    left, right = columns[ITEM]
    wide = columns[WRITTEN][0] - APART - left
    lines = line_blocks(row.name, left, right - left, BODY, BLACK, "semibold")
    for part in row.details:
        lines += line_blocks(part, left, wide, SMALL, GREY)
    cells = (row.number, "", *row.cells)
    written = tuple(_cell(words, n, columns, BODY, "regular") for n, words in enumerate(cells))
    boxes = tuple(mark for column in columns[WRITTEN:] for mark in _box(*column))
    top = stacked(lines[:BESIDE])
    first = Block(max(top.height, HIGH), (*written, *boxes, *top.marks))
    under = stacked([space(5), rule(room, THIN), space(5)])
    parts = (first, *lines[BESIDE:], under)
    if len(lines) <= TOGETHER:
        return (stacked(parts, row=True),)
    return tuple(replace(part, row=True) for part in parts)


def _box(left: float, right: float) -> tuple[Mark, ...]:
    """An empty box to write in."""
    corners = ((left, 0.0), (right, 0.0), (right, HIGH), (left, HIGH), (left, 0.0))
    sides = pairwise(corners)
    return tuple(Line(start, end, BLACK, THIN) for start, end in sides)


def _end(room: float) -> Iterable[Block]:
    numbered = [
        beside(paragraph(f"{number}.", 0, 16), paragraph(step, 16, room - 16))
        for number, step in enumerate(STEPS, 1)
    ]
    yield stacked(
        [space(GAP / 2), *numbered, space(4), paragraph(SOURCE, 0, room, SMALL, fill=GREY)]
    )
    yield stacked([space(GAP), _signed(room)])
    ruled = stacked([space(BODY * 1.8), rule(room, THIN)])
    notes = stacked([space(GAP), label_over("Notes", room), ruled])
    yield from (replace(one, spare=True) for one in (notes, *[ruled] * (NOTE_LINES - 1)))


def _signed(room: float) -> Block:
    """Who counted, when, how many cartons: each with a line to write on."""
    wide = (room - 2 * GAP) / len(SIGNED)
    marks = list[Mark]()
    for place, words in enumerate(SIGNED):
        left = place * (wide + GAP)
        marks.append(text_at(words, left, BODY * 2, SMALL, fill=GREY))
        marks.append(Line((left + 48, BODY * 2 + 2), (left + wide, BODY * 2 + 2), BLACK, THIN))
    return Block(BODY * 2.5, tuple(marks))
