"""One quarter of the year sheet, large: each box with what is in it.

Knows: where everything of a quarter stands. Must not know: how a fact is written (year_words.py),
how marks become pixels (drawing.py). Invariants: those of the year sheet; a type has the letter and
the shape that it has there.
"""

from collections.abc import Iterator
from functools import partial

from assistant.planning.model import Record
from assistant.planning.year.year_view import NO_BOX, BoxView, Return, YearView
from assistant.scheduling.weeks import MONTHS
from assistant.sheets import year_words as say
from assistant.sheets.drawing import Drawing, Line, Mark, Text, box, largest, png
from assistant.sheets.lettering import Weight, broken, shorten, width
from assistant.sheets.shapes import SCREEN, Palette, marker
from assistant.sheets.year_sheet import (
    EXPLAINED,
    HEIGHT,
    MARGIN,
    SCALES,
    WIDTH,
    facts,
    in_lines,
    replaced,
    set_line,
)

LINES = 10  # of items in one box
ROOM = WIDTH - 2 * MARGIN


def quarter_picture(view: YearView) -> bytes:
    """Return the picture of a quarter as PNG, 1080 pixels wide."""
    return png(quarter_drawing(view))


def quarter_drawing(view: YearView) -> Drawing:
    """Return the picture of a quarter."""
    return largest(partial(large, view, SCREEN), SCALES, HEIGHT)


def large(view: YearView, palette: Palette, scale: float) -> Drawing:
    """Lay out a quarter at a scale."""
    pen = _Pen(palette, scale, [], MARGIN)
    pen.write(view.shop, 32, "semibold", palette.soft)
    pen.write(say.title(view), 84, "bold", palette.ink)
    pen.down(6)
    pen.write(", ".join(filter(None, say.summary(view))), 32, "regular", palette.soft)
    pen.down(30)
    for one in view.boxes:
        _box(pen, view, one)
    pen.rule(palette.ink, 2.4)
    pen.down(18)
    pen.write(say.as_of(view), 26, "regular", palette.soft)
    if replaced(view):
        pen.write(EXPLAINED, 26, "regular", palette.soft)
    return Drawing(WIDTH, pen.y + MARGIN - 10, palette.paper, tuple(pen.marks))


class _Pen:
    """Draws from the top down; sizes are those of scale 1."""

    def __init__(self, palette: Palette, scale: float, marks: list[Mark], y: float) -> None:
        self.look, self.scale, self.marks, self.y = palette, scale, marks, y

    def down(self, by: float) -> None:
        """Leave some room."""
        self.y += by * self.scale

    def write(self, text: str, size: float, weight: Weight, fill: str) -> None:
        """Write a line from the left margin."""
        size *= self.scale
        line = shorten(text, size, weight, ROOM)
        self.marks.append(
            Text(MARGIN, self.y + size * 0.95, line, size, fill, self.look.paper, weight)
        )
        self.y += size * 1.26

    def rule(self, fill: str, thick: float) -> None:
        """Draw a line across."""
        self.marks.append(Line((MARGIN, self.y), (WIDTH - MARGIN, self.y), fill, thick))

    def beside(self, text: str, size: float, weight: Weight, fill: str) -> None:
        """Write at the right margin, on the line that was written last."""
        base = next(one.y for one in reversed(self.marks) if isinstance(one, Text))
        self.marks.append(
            Text(
                WIDTH - MARGIN, base, text, size * self.scale, fill, self.look.paper, weight, "end"
            )
        )


def _box(pen: _Pen, view: YearView, one: BoxView) -> None:
    look, empty = pen.look, one.state == NO_BOX
    pen.rule(look.ink, 2.4)
    pen.down(22)
    name = ", ".join(filter(None, (MONTHS[one.month - 1], say.nth(one))))
    pen.write(name, 44, "bold", look.soft if empty else look.ink)
    if one.ships:
        pen.beside(f"ships {say.ships(one)}", 36, "regular", look.soft)
    weight: Weight = "semibold" if one.theme else "regular"
    for line in broken(say.theme(one), 56 * pen.scale, weight, ROOM):
        pen.write(line, 56, weight, look.ink if one.theme else look.soft)
    if not empty:
        pen.down(6)
        _facts(pen, view, one)
        pen.down(16)
        _items(pen, view, one)
    pen.down(30)


def _facts(pen: _Pen, view: YearView, one: BoxView) -> None:
    look, s = pen.look, pen.scale
    size, gap = 34 * s, 28 * s
    for line in in_lines(facts(one, view.currency, look), size, gap, ROOM):
        pen.marks += set_line(line, (MARGIN, pen.y + size * 0.95), size, gap, ROOM, look.paper)
        pen.y += size * 1.3
    if one.target:
        part = float(one.cost / one.target)
        pen.down(8)
        pen.marks.append(box(MARGIN, pen.y, ROOM, 10 * s, look.rule))
        fill = look.late if part > 1 else look.bar
        pen.marks.append(box(MARGIN, pen.y, ROOM * min(1, part), 10 * s, fill))
        pen.down(12)


class _Row(Record):
    """One item: what it is called, what is said of it, and the type whose marker it has."""

    name: str
    of: str = ""
    track: int | None = None


def _items(pen: _Pen, view: YearView, one: BoxView) -> None:
    """Draw the items of a box, those of the types first."""
    every = [*(row for back in one.returns for row in _rows(view, back)), *map(_Row, one.others)]
    shown = every if len(every) <= LINES else every[: LINES - 1]
    for row in shown:
        _item(pen, view, row)
    if left := len(every) - len(shown):
        _item(pen, view, _Row(f"and {left} more"))


def _rows(view: YearView, back: Return) -> Iterator[_Row]:
    """The items of one type; the type and its form are said of the first."""
    of = ", ".join((view.tracks[back.track].name, *back.forms))
    for place, name in enumerate(back.items):
        yield _Row(name, "" if place else of, back.track)


def _item(pen: _Pen, view: YearView, row: _Row) -> None:
    look, s = pen.look, pen.scale
    size, high, start = 34 * s, 58 * s, MARGIN + 62 * s
    middle = pen.y + high / 2
    if row.track is None:
        pen.marks.append(box(MARGIN + 13 * s, middle - 1.5 * s, 18 * s, 3 * s, look.soft))
    else:
        track = view.tracks[row.track]
        pen.marks += marker(MARGIN + 22 * s, middle, 21 * s, track.shape, track.letter, look)
    room, base = WIDTH - MARGIN - start, middle + size * 0.33
    name = shorten(row.name, size, "regular", room * 0.6 if row.of else room)
    pen.marks.append(Text(start, base, name, size, look.ink, look.paper))
    taken = width(name, size) + 22 * s
    of = shorten(row.of, size * 0.85, "regular", room - taken)
    pen.marks.append(Text(start + taken, base, of, size * 0.85, look.soft, look.paper))
    pen.y += high
