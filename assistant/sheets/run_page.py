"""A run sheet as a page to print for the packing table: A4, or Letter where that is the paper;
black and white.

Knows: where each fact stands. Must not know: what a run sheet says (run_words.py), where a page
ends (blocks.py), how a mark is printed (drawing.py). Invariants: those of blocks.py; the same run
gives the same bytes.
"""

from collections.abc import Iterable, Sequence

from msgspec.structs import replace

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
from assistant.sheets.drawing import Drawing, Line, pdf_pages
from assistant.sheets.lettering import printable
from assistant.sheets.run_words import COLUMNS, FIRST_BOX, RULE, TITLE, Facts, Row

LABEL = 76.0  # of the facts
NUMBER, PIECES, WEIGHT = 22.0, 56.0, 64.0  # widths of the columns but the item's
SIDE = 8.0  # of a box to tick
TICKED = 16.0  # its place before a line
TALLY = ("Day", "Hands", "Boxes", "Packed")
TALLY_AT = (0.0, 90.0, 150.0, 210.0)
TOGETHER = 12  # lines of one row that stay on one page
WEIGHED = "The first box weighs"


def run_page(facts: Facts, paper: Paper) -> bytes:
    """Return a run sheet as a PDF of as many pages of this paper (millimetres) as it takes."""
    title = printable(f"{TITLE} {facts.box}, {facts.shop}")
    return pdf_pages(run_drawings(facts, paper), paper, title)


def run_drawings(facts: Facts, paper: Paper) -> tuple[Drawing, ...]:
    """Return the pages of a run sheet as drawings, in points."""
    room = room_of(paper)
    heading = _heading(room)
    again = f"{TITLE} {facts.box}, continued"
    running = stacked([paragraph(again, 0, room, BODY, "semibold"), space(GAP)])
    parts = (_head(facts, room), *_table(facts, heading, room), *_below(facts, room))
    return laid_out(parts, running, heading, _words(facts), paper)


def _words(facts: Facts) -> Iterable[str]:
    named = (part for row in facts.rows for part in (row.name, *row.details))
    return facts.shop, facts.box, *facts.weight, *facts.checks, *facts.materials, *named


# --- the head, and the goods ----------------------------------------------------------------


def _head(facts: Facts, room: float) -> Block:
    right = 76.0
    shop = paragraph(facts.shop, 0, room - right - GAP, BODY, "semibold")
    title = paragraph(TITLE, room - right, right, LARGE, "semibold")
    box = paragraph(facts.box, 0, room, LARGE, "bold")
    told = stacked([labelled(name, value, 0, room, LABEL) for name, value in facts.facts])
    parts = [beside(shop, title), rule(room, THICK), space(GAP / 2), box, space(4), told]
    return stacked([*parts, space(GAP), _title("Order of placing", room), _small(RULE, room)])


def _heading(room: float) -> Block:
    marks = (
        text_at(name, x, SMALL, SMALL, "semibold", anchor="start" if n < 2 else "end")
        for n, (name, x) in enumerate(zip(COLUMNS, _edges(room), strict=True))
    )
    return stacked([Block(SMALL * LEADING, tuple(marks)), rule(room, THICK), space(3)])


def _edges(room: float) -> tuple[float, ...]:
    """Where each column stands: the left edge of number and item, the right edge of figures."""
    return 0.0, NUMBER, room - WEIGHT, room


def _table(facts: Facts, heading: Block, room: float) -> Iterable[Block]:
    """The goods; the heading stays with the first."""
    rows = [block for row in facts.rows for block in _row(row, room)]
    first, *others = rows or [paragraph("Nothing is planned for this box yet.", 0, room)]
    yield stacked([heading, first])
    yield from others
    yield stacked([rule(room, THIN), space(GAP)])


def _row(row: Row, room: float) -> tuple[Block, ...]:
    _, left, pieces, weight = _edges(room)
    wide = room - NUMBER - PIECES - WEIGHT
    marks = (
        text_at(row.number, 0, BODY, BODY),
        text_at(row.pieces, pieces, BODY, BODY, anchor="end"),
        text_at(row.weight, weight, BODY, BODY, anchor="end"),
    )
    name, *rest = line_blocks(row.name, left, wide, BODY)
    details = [one for part in row.details for one in line_blocks(part, left, wide, SMALL, GREY)]
    lines = [Block(name.height, (*marks, *name.marks)), *rest, *details, space(3)]
    if len(lines) <= TOGETHER:
        return (stacked(lines, row=True),)
    return tuple(replace(one, row=True) for one in lines)


# --- below the goods ------------------------------------------------------------------------


def _below(facts: Facts, room: float) -> Iterable[Block]:
    weight = [paragraph(one, 0, room) for one in facts.weight]
    yield stacked([_title("Weight of a box", room), *weight, space(GAP)])
    first = [_title("First box", room), _ticked(FIRST_BOX, room), _blank(WEIGHED, "g")]
    yield stacked([*first, space(GAP)])
    yield from _list("Check before packing", facts.checks, room)
    yield from _list("Materials", facts.materials, room)
    if facts.days:
        yield _tally(facts.days, room)


def _list(title: str, lines: Sequence[str], room: float) -> Iterable[Block]:
    """Lines to tick; the title stays with the first."""
    if not lines:
        return
    first, *others = (_ticked(one, room) for one in lines)
    yield stacked([_title(title, room), first])
    yield from others
    yield space(GAP)


def _tally(days: Sequence[tuple[str, str, str]], room: float) -> Block:
    """The days of the run, with room to write what was packed."""
    heads = tuple(
        text_at(one, x, SMALL, SMALL, "semibold") for one, x in zip(TALLY, TALLY_AT, strict=True)
    )
    parts = [_title("Days", room), Block(SMALL * LEADING, heads), rule(room, THIN)]
    for day in days:
        cells = zip(day, TALLY_AT, strict=False)
        marks = tuple(text_at(one, x, BODY * 1.6, BODY) for one, x in cells)
        parts += [Block(BODY * 2.1, marks), rule(room, THIN)]
    return stacked(parts)


def _title(words: str, room: float) -> Block:
    return paragraph(words, 0, room, BODY + 1, "semibold")


def _small(words: str, room: float) -> Block:
    return stacked([label_over(words, room), space(3)])


def _ticked(words: str, room: float) -> Block:
    """A line with a box to tick."""
    top, bottom, right = BODY - SIDE, BODY, SIDE
    corners = ((0.0, top), (right, top), (right, bottom), (0.0, bottom))
    sides = zip(corners, (*corners[1:], corners[0]), strict=True)
    box = tuple(Line(start, end, BLACK, THIN) for start, end in sides)
    return beside(Block(BODY, box), paragraph(words, TICKED, room - TICKED))


def _blank(words: str, unit: str) -> Block:
    """Words before a line to write on."""
    y, start, end = BODY * 1.5, TICKED + 110.0, TICKED + 190.0
    marks = (
        text_at(words, TICKED, y, BODY),
        Line((start, y + 2), (end, y + 2), BLACK, THIN),
        text_at(unit, end + 4, y, BODY),
    )
    return Block(BODY * 2, marks)
