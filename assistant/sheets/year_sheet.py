"""The year sheet: the boxes of a year, a row each, with a track for every type that comes back.

Knows: where everything of a year stands on a sheet. Must not know: how a fact is written
(year_words.py), how marks become pixels or ink (drawing.py). Invariants: a type keeps to one
upright track, so that the gaps between its returns can be seen, and is told by shape and letter,
never by colour alone; every row is as high as the fullest; nothing overlaps; what does not fit is
shortened.

Lengths are in units of a picture 1080 wide, which a phone shows at about a third.
"""

from collections.abc import Iterator, Sequence
from functools import partial

from assistant.planning.model import Record
from assistant.planning.year.year_view import NO_BOX, BoxView, Track, YearView
from assistant.sheets import year_words as say
from assistant.sheets.drawing import (
    Area,
    Colour,
    Drawing,
    Line,
    Mark,
    Point,
    Text,
    box,
    largest,
    png,
)
from assistant.sheets.lettering import Weight, broken, lacks, shorten, width
from assistant.sheets.shapes import SCREEN, Palette, marker

WIDTH = 1080.0
MARGIN = 52.0
# From memory: chats scale pictures down to 2560 on their longer side, so that what is drawn higher
# is read smaller all the same.
HEIGHT = 2520.0
SCALES = tuple(n / 100 for n in range(100, 56, -4))
GAP = 24.0  # between the pieces of a line
SMALLEST_HEAD = 0.62  # scale below which the title, the key and the foot shrink no more
ROOMY = 0.66  # scale from which a theme may take two lines and costs have bars
EXPLAINED = "A question mark stands for characters that this typeface does not have."
"""What a sheet says where `printable` had to replace something."""


def year_picture(view: YearView) -> bytes:
    """Return the picture of a year as PNG, 1080 pixels wide; it is higher than HEIGHT only where
    the smallest scale leaves it so."""
    return png(year_drawing(view))


def year_drawing(view: YearView) -> Drawing:
    """Return the picture of a year."""
    return largest(partial(rows, view, SCREEN), SCALES, HEIGHT)


def rows(view: YearView, palette: Palette, scale: float, extra: float = 0) -> Drawing:
    """Lay out a year at a scale; `extra` is added to the height of each row."""
    sheet = _Sheet(view=view, palette=palette, scale=scale)
    marks: list[Mark] = []
    top = sheet.head(marks)
    texts = [tuple(sheet.texts(one)) for one in view.boxes]
    high = max((sum(line.high for line in lines) for lines in texts), default=0)
    step = max(high, sheet.marker * 2) + 44 * scale**1.5 + extra
    inset = (step - high) / 2
    under: list[Mark] = []
    y = first = top
    for place, (one, lines) in enumerate(zip(view.boxes, texts, strict=True)):
        opens = not place or one.quarter != view.boxes[place - 1].quarter
        y += 14 * scale if opens and place else 0
        under.append(sheet.rule(y, strong=opens))
        sheet.row(marks, one, lines, y + inset)
        sheet.markers(marks, one, y + step / 2)
        y += step
    tracks = [
        Line((x, first + 2), (x, y), palette.rule, max(1.5, 2 * scale))
        for x in map(sheet.track, range(len(view.tracks)))
    ]
    under.append(sheet.rule(y, strong=True))
    foot = sheet.foot(marks, y)
    return Drawing(WIDTH, foot, palette.paper, (*tracks, *under, *marks))


class Piece(Record):
    """Words of one kind in a line."""

    text: str
    weight: Weight
    fill: Colour


def facts(one: BoxView, currency: str, look: Palette) -> tuple[Piece, ...]:
    """How far a box is, what is in it and what it costs."""
    pieces = (
        Piece(say.state(one), "semibold", look.ink),
        Piece(say.late(one), "bold", look.late),
        Piece(say.items(one), "regular", look.soft),
        Piece(say.cost(one, currency), "regular", look.soft),
        Piece(say.uncosted(one), "regular", look.soft),
        Piece(say.over(one, currency), "bold", look.late),
    )
    return tuple(piece for piece in pieces if piece.text)


def in_lines(
    pieces: Sequence[Piece], size: float, gap: float, room: float
) -> Iterator[tuple[Piece, ...]]:
    """Break pieces into lines, as many to a line as fit."""
    line: list[Piece] = []
    left = room
    for piece in pieces:
        taken = width(piece.text, size, piece.weight)
        if line and taken > left:
            yield tuple(line)
            line, left = [], room
        line.append(piece)
        left -= taken + gap
    yield tuple(line)


def set_line(
    pieces: Sequence[Piece], at: Point, size: float, gap: float, room: float, paper: Colour
) -> Iterator[Text]:
    """Set the pieces of a line beside each other, from a point on its baseline."""
    x, y = at
    for piece in pieces:
        text = shorten(piece.text, size, piece.weight, room)
        yield Text(x, y, text, size, piece.fill, paper, piece.weight)
        x += width(text, size, piece.weight) + gap


class _TextLine(Record):
    """A line of a row: its pieces or its bar, and its height."""

    size: float
    high: float
    pieces: tuple[Piece, ...] = ()
    part: float | None = None  # of a bar: how much of the target is taken


class _Sheet(Record):
    """One sheet being laid out."""

    view: YearView
    palette: Palette
    scale: float

    @property
    def pitch(self) -> float:
        """From one track to the next."""
        return min(58.0, max(30.0, 410 / max(1, len(self.view.tracks))))

    @property
    def marker(self) -> float:
        """The radius of a marker."""
        return min(self.pitch / 2.7, 21.5 * max(self.scale, 0.7))

    @property
    def left(self) -> float:
        """Where the texts of a row begin."""
        return MARGIN + 96 + 44 * self.scale

    @property
    def room(self) -> float:
        """How wide the texts of a row may be."""
        return self.track(0) - self.pitch / 2 - 20 - self.left

    def track(self, place: int) -> float:
        """Where a track stands."""
        back = len(self.view.tracks) - place - 0.5
        return WIDTH - MARGIN - back * self.pitch

    # --- the head ---------------------------------------------------------------------------

    def head(self, marks: list[Mark]) -> float:
        """Draw the title and the key; return where the rows begin."""
        view, look, s = self.view, self.palette, max(self.scale, SMALLEST_HEAD)
        ink, soft = look.ink, look.soft
        counts, usual = say.summary(view)
        y = MARGIN + 26 * s
        shop = shorten(view.shop, 30 * s, "semibold", 560)
        marks.append(Text(MARGIN, y, shop, 30 * s, soft, look.paper, "semibold"))
        y += 92 * s
        right, title = WIDTH - MARGIN, say.title(view)
        room = (
            right - MARGIN - max(width(counts, 28 * s, "semibold"), width(usual, 28 * s)) - 28 * s
        )
        size = min(104 * s, 104 * s * room / width(title, 104 * s, "bold"))
        marks.append(Text(MARGIN - 4, y, title, size, ink, look.paper, "bold"))
        marks.append(Text(right, y - 38 * s, counts, 28 * s, ink, look.paper, "semibold", "end"))
        marks.append(Text(right, y, usual, 28 * s, soft, look.paper, "regular", "end"))
        y += 40 * s
        return self._key(marks, y, s) + 18 * s

    def _key(self, marks: list[Mark], y: float, s: float) -> float:
        """Draw what each shape and letter stands for; return where it ends."""
        tracks = self.view.tracks
        if not tracks:
            return y
        columns = 3 if len(tracks) <= 12 else 4
        wide, high = (WIDTH - 2 * MARGIN) / columns, 50 * s
        down = -(-len(tracks) // columns)
        for place, track in enumerate(tracks):
            along, across = divmod(place, columns)
            at = MARGIN + across * wide, y + (along + 0.5) * high
            self._key_entry(marks, track, at, wide, s)
        return y + down * high + 10 * s

    def _key_entry(
        self, marks: list[Mark], track: Track, at: tuple[float, float], wide: float, s: float
    ) -> None:
        look, (x, y) = self.palette, at
        radius, size = 16 * s, 28 * s
        x += 4 * s
        marks += marker(x + radius, y, radius, track.shape, track.letter, look)
        times, start = say.times(track), x + radius * 2 + 16 * s
        taken = width(times, size) + 12 * s
        name = shorten(track.name, size, "regular", wide - (start - x) - taken - 24 * s)
        low = y + size * 0.33
        marks.append(Text(start, low, name, size, look.ink, look.paper))
        beside = start + width(name, size) + 12 * s
        marks.append(Text(beside, low, times, size, look.soft, look.paper))

    # --- the rows ---------------------------------------------------------------------------

    def texts(self, one: BoxView) -> Iterator[_TextLine]:
        """The lines of a row, from its theme down."""
        look, s = self.palette, self.scale
        named, size = bool(one.theme), 38 * s
        weight: Weight = "semibold" if named else "regular"
        fill = look.ink if named else look.soft
        for line in broken(say.theme(one), size, weight, self.room, 1 + (s >= ROOMY)):
            yield _TextLine(size, size * 1.16, (Piece(line, weight, fill),))
        if one.state != NO_BOX:
            yield from self._facts(one)

    def _facts(self, one: BoxView) -> Iterator[_TextLine]:
        size, s = 28 * self.scale, self.scale
        pieces = facts(one, self.view.currency, self.palette)
        for line in in_lines(pieces, size, GAP * s, self.room):
            yield _TextLine(size, size * 1.28, line)
        if one.target and s >= ROOMY:
            yield _TextLine(8 * s, 20 * s, (), float(one.cost / one.target))

    def rule(self, y: float, *, strong: bool) -> Line:
        """A line between rows, stronger where a quarter begins."""
        fill = self.palette.ink if strong else self.palette.rule
        return Line((MARGIN, y), (WIDTH - MARGIN, y), fill, 2.2 if strong else 1.2)

    def row(self, marks: list[Mark], one: BoxView, lines: Sequence[_TextLine], y: float) -> None:
        """Write one box, from the top of its first line."""
        look, s = self.palette, self.scale
        base = y + 38 * s * 0.92
        ink = look.soft if one.state == NO_BOX else look.ink
        marks.append(Text(MARGIN, base, say.month(one), 38 * s, ink, look.paper, "bold"))
        if also := say.nth(one):
            beside = MARGIN + width(say.month(one), 38 * s, "bold") + 8 * s
            marks.append(Text(beside, base, also, 22 * s, look.soft, look.paper))
        below = base + 28 * s * 1.28
        marks.append(Text(MARGIN, below, say.ships(one), 28 * s, look.soft, look.paper))
        for line in lines:
            self._text_line(marks, line, y)
            y += line.high

    def _text_line(self, marks: list[Mark], line: _TextLine, y: float) -> None:
        if line.part is not None:
            marks += self._bar(line, self.left, y + line.high - line.size)
        at, gap = (self.left, y + line.size * 0.92), GAP * self.scale
        marks += set_line(line.pieces, at, line.size, gap, self.room, self.palette.paper)

    def _bar(self, line: _TextLine, x: float, y: float) -> tuple[Area, Area]:
        """The cost of a box against its target: full at the target."""
        look, part, wide = self.palette, line.part or 0, min(self.room, 300 * self.scale)
        fill = look.late if part > 1 else look.bar
        return (
            box(x, y, wide, line.size, look.rule),
            box(x, y, wide * min(1, part), line.size, fill),
        )

    def markers(self, marks: list[Mark], one: BoxView, y: float) -> None:
        """Draw the types of a box on their tracks."""
        for back in one.returns:
            track = self.view.tracks[back.track]
            x = self.track(back.track)
            marks += marker(x, y, self.marker, track.shape, track.letter, self.palette)

    # --- the foot ---------------------------------------------------------------------------

    def foot(self, marks: list[Mark], y: float) -> float:
        """Draw the day of the sheet and what must be explained; return where the sheet ends."""
        look, s = self.palette, max(self.scale, SMALLEST_HEAD)
        size = 24 * s
        y += 44 * s
        marks.append(Text(MARGIN, y, say.as_of(self.view), size, look.soft, look.paper))
        if replaced(self.view):
            y += 32 * s
            marks.append(Text(MARGIN, y, EXPLAINED, size, look.soft, look.paper))
        return y + MARGIN


def replaced(view: YearView) -> bool:
    """Say whether a sheet has to replace characters that the typeface lacks."""
    names = [view.shop, *(one.theme for one in view.boxes)]
    if not view.quarter:
        return any(map(lacks, (*names, *(track.name for track in view.tracks))))
    for one in view.boxes:
        names += one.others
        for back in one.returns:
            names += (view.tracks[back.track].name, *back.forms, *back.items)
    return any(map(lacks, names))
