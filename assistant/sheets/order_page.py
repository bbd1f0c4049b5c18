"""A purchase order as pages to print and send: A4, or Letter where that is the paper; black and
white.

Knows: sizes of paper, where each fact stands. Must not know: what an order says (order_words.py),
how a mark is printed (drawing.py). Invariants: nothing stands outside the margins or is cut: a long
name wraps, many lines go on over pages, each with its number and the heading of the table; text is
drawn as it is, never read as markup; the same order gives the same bytes.
"""

from collections.abc import Iterable, Sequence

from msgspec.structs import replace

from assistant.planning.model import Record
from assistant.sheets.drawing import MM, Anchor, Drawing, Line, Mark, Text, pdf_pages
from assistant.sheets.lettering import Weight, lacks, printable, width
from assistant.sheets.order_words import COLUMNS, TITLE, Facts, Row

Paper = tuple[float, float]
A4: Paper = (210.0, 297.0)  # millimetres; source: ISO 216
LETTER: Paper = (215.9, 279.4)  # millimetres; source: ANSI/ASME Y14.1, size A
LETTER_COUNTRIES = ("US", "CA")  # common practice, no source

MARGIN = 18 * MM
BLACK, GREY, WHITE = "#000000", "#555555", "#ffffff"
BODY, SMALL, LARGE = 10.0, 8.5, 16.0  # points
LEADING = 1.35  # of a line, by its size
GAP = 12.0
THIN, THICK = 0.5, 1.2
LEAST = (18.0, 0.0, 46.0, 54.0, 70.0)  # widths of the columns but the item's, which has the rest
APART = 12.0  # between columns
ITEM = 1  # the column that wraps
LABEL = 84.0  # of the facts
SUM = 100.0  # of the amounts under the table
NOTE_LINES = 4
TOGETHER = 12  # lines of one row that stay on one page
FOOT = 2 * SMALL  # kept free for the number of the page
MISSING_NOTE = "? stands for characters that this typeface lacks."


class Block(Record):
    """Marks that stay together, from their own top left down; `row` is a line of the table,
    `spare` is left out where the page has no room for it."""

    height: float
    marks: tuple[Mark, ...]
    row: bool = False
    spare: bool = False


def paper_of(country: str) -> Paper:
    """Return the paper on which a country prints."""
    return LETTER if country in LETTER_COUNTRIES else A4


def order_page(facts: Facts, paper: Paper) -> bytes:
    """Return an order as a PDF of as many pages of this paper (millimetres) as it takes."""
    title = printable(f"{TITLE} {facts.number}, {facts.shop}")
    return pdf_pages(order_drawings(facts, paper), paper, title)


def order_drawings(facts: Facts, paper: Paper) -> tuple[Drawing, ...]:
    """Return the pages of an order as drawings, in points."""
    across, down = paper[0] * MM, paper[1] * MM
    room = across - 2 * MARGIN
    columns = _columns(facts, room)
    heading = _heading(columns, room)
    running = _running(facts, room)
    blocks = (_head(facts, room), *_table(facts, heading, columns, room), *_end(facts, room))
    pages = _paged(blocks, running, heading, down - MARGIN - FOOT)
    return tuple(
        Drawing(
            across,
            down,
            WHITE,
            (*(_moved(mark, MARGIN, 0) for mark in marks), *_foot(facts, n, len(pages), paper)),
        )
        for n, marks in enumerate(pages, 1)
    )


# --- pages ----------------------------------------------------------------------------------


def _paged(
    blocks: Iterable[Block], running: Block, heading: Block, bottom: float
) -> list[list[Mark]]:
    """Lay blocks below each other, and on the next page where there is no more room."""
    pages: list[list[Mark]] = [[]]
    y = MARGIN
    for block in blocks:
        if block.spare and y + block.height > bottom:
            break
        if y + block.height > bottom and pages[-1]:
            pages.append([])
            y = MARGIN
            for repeated in (running, heading) if block.row else (running,):
                pages[-1] += (_moved(mark, 0, y) for mark in repeated.marks)
                y += repeated.height
        pages[-1] += (_moved(mark, 0, y) for mark in block.marks)
        y += block.height
    return pages


def _moved(mark: Mark, x: float, y: float) -> Mark:
    if isinstance(mark, Text):
        return replace(mark, x=mark.x + x, y=mark.y + y)
    if isinstance(mark, Line):
        start, end = ((end[0] + x, end[1] + y) for end in (mark.start, mark.end))
        return replace(mark, start=start, end=end)
    return replace(mark, points=tuple((px + x, py + y) for px, py in mark.points))


def _stacked(blocks: Sequence[Block], *, row: bool = False) -> Block:
    """Blocks below each other, as one."""
    marks, y = list[Mark](), 0.0
    for block in blocks:
        marks += (_moved(mark, 0, y) for mark in block.marks)
        y += block.height
    return Block(y, tuple(marks), row)


def _foot(facts: Facts, number: int, pages: int, paper: Paper) -> tuple[Mark, ...]:
    across, y = paper[0] * MM, paper[1] * MM - MARGIN
    page = f"Page {number} of {pages}"
    words = (facts.shop, *facts.supplier, *facts.deliver_to, facts.terms)
    named = (part for row in facts.rows for part in (row.name, *row.details))
    lost = any(map(lacks, (*words, *named)))
    note = (_text(MISSING_NOTE, MARGIN, y, SMALL, fill=GREY),) if lost else ()
    return (*note, _text(page, across - MARGIN, y, SMALL, fill=GREY, anchor="end"))


# --- the head -------------------------------------------------------------------------------


def _head(facts: Facts, room: float) -> Block:
    """The shop, the title, and what is said of the order as a whole."""
    right = 215.0
    left = room - right - GAP
    shop = _lines(facts.shop, 0, left, LARGE, "bold")
    title = _lines(TITLE, room - right, right, LARGE, "semibold")
    top = _beside(shop, title)
    remark = _lines(facts.remark, 0, room, BODY, "semibold") if facts.remark else Block(0, ())
    to = _stacked([_label("To", left), *(_lines(one, 0, left) for one in facts.supplier)])
    where = [_lines(one, 0, left) for one in facts.deliver_to]
    deliver = _stacked([_label("Deliver to", left), *where])
    told = _stacked([_fact(label, value, room - right, right) for label, value in facts.facts])
    parts = _beside(_stacked([to, _space(GAP), deliver]), told)
    return _stacked([top, _rule(room, THICK), remark, _space(GAP / 2), parts, _space(2 * GAP)])


def _fact(label: str, value: str, x: float, room: float) -> Block:
    named = Block(BODY * LEADING, (_text(label, x, BODY, BODY, fill=GREY),))
    return _beside(named, _lines(value, x + LABEL, room - LABEL, BODY, "semibold"))


def _label(label: str, room: float) -> Block:
    return _lines(label, 0, room, SMALL, fill=GREY)


def _running(facts: Facts, room: float) -> Block:
    """What stands on top of every page but the first."""
    words = f"{TITLE} {facts.called}, continued"
    return _stacked([_lines(words, 0, room, BODY, "semibold"), _space(GAP)])


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
        return _text(words, left, size, size, weight)
    return _text(words, right, size, size, weight, anchor="end")


def _heading(columns: Sequence[Column], room: float) -> Block:
    marks = (_cell(name, n, columns, SMALL, "semibold") for n, name in enumerate(COLUMNS))
    return _stacked([Block(SMALL * LEADING, tuple(marks)), _rule(room, THICK), _space(4)])


def _table(facts: Facts, heading: Block, columns: Sequence[Column], room: float) -> Iterable[Block]:
    """The rows; the heading stays with the first."""
    rows = [block for row in facts.rows for block in _row(row, columns)]
    first, *others = rows or [_space(GAP)]
    yield _stacked([heading, first])
    yield from others
    yield _stacked([_rule(room, THICK), _space(4)])


def _row(row: Row, columns: Sequence[Column]) -> tuple[Block, ...]:
    """One row; a very long one may go on over a page."""
    left, right = columns[ITEM]
    marks = tuple(
        _cell(words, n, columns, BODY, "regular") for n, words in enumerate(_cells(row)) if words
    )
    name, *rest = _each(row.name, left, right - left, BODY)
    details = [one for part in row.details for one in _each(part, left, right - left, SMALL, GREY)]
    lines = [Block(name.height, (*marks, *name.marks)), *rest, *details, _space(4)]
    if len(lines) <= TOGETHER:
        return (_stacked(lines, row=True),)
    return tuple(replace(line, row=True) for line in lines)


# --- the end --------------------------------------------------------------------------------


def _end(facts: Facts, room: float) -> Iterable[Block]:
    *parts, total = facts.sums
    yield _stacked([*(_sum(part, room) for part in parts), _sum(total, room, "bold"), _space(GAP)])
    yield _stacked([_label("Terms", room), _lines(facts.terms, 0, room), _space(GAP)])
    ruled = _stacked([_space(BODY * 1.8), _rule(room, THIN)])
    yield _stacked([_label("Notes", room), ruled])
    yield from [replace(ruled, spare=True)] * (NOTE_LINES - 1)


def _sum(part: tuple[str, str], room: float, weight: Weight = "regular") -> Block:
    label, value = part
    marks = (
        _text(label, room - SUM, BODY, BODY, weight, anchor="end"),
        _text(value, room, BODY, BODY, weight, anchor="end"),
    )
    return Block(BODY * LEADING, marks)


# --- pieces ---------------------------------------------------------------------------------


def _text(
    words: str,
    x: float,
    y: float,
    size: float,
    weight: Weight = "regular",
    *,
    fill: str = BLACK,
    anchor: Anchor = "start",
) -> Text:
    return Text(x, y, printable(words), size, fill, WHITE, weight, anchor)


def _each(words: str, x: float, room: float, size: float, fill: str = BLACK) -> list[Block]:
    """Text as a block a line."""
    return [
        Block(size * LEADING, (_text(line, x, size, size, fill=fill),))
        for line in wrapped(words, size, "regular", room)
    ]


def _lines(
    words: str,
    x: float,
    room: float,
    size: float = BODY,
    weight: Weight = "regular",
    *,
    fill: str = BLACK,
) -> Block:
    """Text in as many lines as it takes."""
    lines = wrapped(words, size, weight, room)
    marks = tuple(
        _text(line, x, size + n * size * LEADING, size, weight, fill=fill)
        for n, line in enumerate(lines)
    )
    return Block(len(lines) * size * LEADING, marks)


def _space(height: float) -> Block:
    return Block(height, ())


def _rule(room: float, thick: float) -> Block:
    return Block(thick, (Line((0, thick / 2), (room, thick / 2), BLACK, thick),))


def _beside(left: Block, right: Block) -> Block:
    return Block(max(left.height, right.height), (*left.marks, *right.marks))


def wrapped(words: str, size: float, weight: Weight, room: float) -> tuple[str, ...]:
    """Return a text in lines no wider than the room there is, broken between words; a word that is
    wider than a line is broken where the line ends. At least one line."""
    lines = [""]
    for word in printable(words).split():
        joined = f"{lines[-1]} {word}".strip()
        if width(joined, size, weight) <= room:
            lines[-1] = joined
            continue
        lines += [word] if lines[-1] else []
        lines[-1] = word
        while width(lines[-1], size, weight) > room:
            cut = _fits(lines[-1], size, weight, room)
            lines[-1:] = [lines[-1][:cut], lines[-1][cut:]]
    return tuple(lines)


def _fits(word: str, size: float, weight: Weight, room: float) -> int:
    """How many characters of a word fit, at least one."""
    left = room
    for place, one in enumerate(word):
        left -= width(one, size, weight)
        if left < 0:
            return max(1, place)
    return len(word)
