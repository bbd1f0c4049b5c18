"""Pieces of pages to print: blocks of marks below each other, on as many pages as they take.

Knows: sizes of paper, lines of text and rules, where a page ends. Must not know: what stands on a
page. Invariants: nothing stands outside the margins or is cut: a long text wraps, blocks go on over
pages, each with its heading and its number; text is drawn as it is, never read as markup.
"""

from collections.abc import Iterable, Sequence

from msgspec.structs import replace

from assistant.planning.model import Record
from assistant.sheets.drawing import MM, Anchor, Drawing, Line, Mark, Text
from assistant.sheets.lettering import Weight, lacks, printable, width

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


def room_of(paper: Paper) -> float:
    """Return the width between the margins, in points."""
    return paper[0] * MM - 2 * MARGIN


# --- pages ----------------------------------------------------------------------------------


def laid_out(
    blocks: Iterable[Block], running: Block, heading: Block, words: Iterable[str], paper: Paper
) -> tuple[Drawing, ...]:
    """Return blocks as pages, in points: `running` stands on top of every page but the first,
    `heading` over the rows that go on there. `words` are all that is told: where the typeface
    lacks a character of them, each page says so."""
    across, down = paper[0] * MM, paper[1] * MM
    pages = _paged(blocks, running, heading, down - MARGIN - FOOT)
    lost = any(map(lacks, words))
    return tuple(
        Drawing(
            across,
            down,
            WHITE,
            (*(moved(mark, MARGIN, 0) for mark in marks), *_foot(lost, n, len(pages), paper)),
        )
        for n, marks in enumerate(pages, 1)
    )


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
                pages[-1] += (moved(mark, 0, y) for mark in repeated.marks)
                y += repeated.height
        pages[-1] += (moved(mark, 0, y) for mark in block.marks)
        y += block.height
    return pages


def _foot(lost: bool, number: int, pages: int, paper: Paper) -> tuple[Mark, ...]:
    across, y = paper[0] * MM, paper[1] * MM - MARGIN
    page = f"Page {number} of {pages}"
    note = (text_at(MISSING_NOTE, MARGIN, y, SMALL, fill=GREY),) if lost else ()
    return (*note, text_at(page, across - MARGIN, y, SMALL, fill=GREY, anchor="end"))


# --- pieces ---------------------------------------------------------------------------------


def moved(mark: Mark, x: float, y: float) -> Mark:
    """A mark moved to the right and down."""
    if isinstance(mark, Text):
        return replace(mark, x=mark.x + x, y=mark.y + y)
    if isinstance(mark, Line):
        start, end = ((end[0] + x, end[1] + y) for end in (mark.start, mark.end))
        return replace(mark, start=start, end=end)
    return replace(mark, points=tuple((px + x, py + y) for px, py in mark.points))


def stacked(blocks: Sequence[Block], *, row: bool = False) -> Block:
    """Blocks below each other, as one."""
    marks, y = list[Mark](), 0.0
    for block in blocks:
        marks += (moved(mark, 0, y) for mark in block.marks)
        y += block.height
    return Block(y, tuple(marks), row)


def label_over(words: str, room: float) -> Block:
    """A small grey label."""
    return paragraph(words, 0, room, SMALL, fill=GREY)


def labelled(name: str, value: str, x: float, room: float, wide: float) -> Block:
    """A label, `wide`, with its value beside it."""
    named = Block(BODY * LEADING, (text_at(name, x, BODY, BODY, fill=GREY),))
    return beside(named, paragraph(value, x + wide, room - wide, BODY, "semibold"))


def text_at(
    words: str,
    x: float,
    y: float,
    size: float,
    weight: Weight = "regular",
    *,
    fill: str = BLACK,
    anchor: Anchor = "start",
) -> Text:
    """One line of text, as far as the typeface has its characters."""
    return Text(x, y, printable(words), size, fill, WHITE, weight, anchor)


def line_blocks(
    words: str,
    x: float,
    room: float,
    size: float,
    fill: str = BLACK,
    weight: Weight = "regular",
) -> list[Block]:
    """Text as a block a line."""
    return [
        Block(size * LEADING, (text_at(line, x, size, size, weight, fill=fill),))
        for line in wrapped(words, size, weight, room)
    ]


def paragraph(
    words: str,
    x: float,
    room: float,
    size: float = BODY,
    weight: Weight = "regular",
    *,
    fill: str = BLACK,
) -> Block:
    """Text in as many lines as it takes."""
    broken = wrapped(words, size, weight, room)
    marks = tuple(
        text_at(line, x, size + n * size * LEADING, size, weight, fill=fill)
        for n, line in enumerate(broken)
    )
    return Block(len(broken) * size * LEADING, marks)


def space(height: float) -> Block:
    """Nothing, so high."""
    return Block(height, ())


def rule(room: float, thick: float) -> Block:
    """A line across the room."""
    return Block(thick, (Line((0, thick / 2), (room, thick / 2), BLACK, thick),))


def beside(left: Block, right: Block) -> Block:
    """Two blocks beside each other, as one."""
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
