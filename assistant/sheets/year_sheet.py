"""The year sheet: the boxes of a year, a row each, with a track for every type that comes back.

Knows: where everything of a year stands on a sheet. Must not know: how a fact is written
(year_words.py), how marks become pixels or ink (drawing.py). Invariants: a type keeps to one upright
track, so that the gaps between its returns can be seen, and is told by shape and letter, never by
colour alone; every row is as high as the fullest; nothing overlaps, what does not fit is shortened.

Lengths are in units of a picture 1080 wide, which a phone shows at about a third.
"""

from collections.abc import Iterator, Sequence
from functools import partial

from assistant.planning.model import Record
from assistant.planning.year_view import NO_BOX, BoxView, Track, YearView
from assistant.sheets import year_words as say
from assistant.sheets.drawing import Area, Colour, Drawing, Line, Mark, Text, box, largest, png
from assistant.sheets.lettering import Weight, broken, shorten, width
from assistant.sheets.shapes import PRINT as PRINT
from assistant.sheets.shapes import SCREEN, Palette, marker

WIDTH = 1080.0
MARGIN = 52.0
# From memory: chats scale pictures down to 2560 on their longer side, so that what is drawn higher
# is read smaller all the same.
HEIGHT = 2520.0
SCALES = tuple(n / 100 for n in range(100, 56, -4))
GAP = 24.0  # between the pieces of a line
EXPLAINED = "A question mark stands for characters that this typeface does not have."
"""What a sheet says where `printable` had to replace something."""


def year_picture(view: YearView) -> bytes:
    """Return the picture of a year as PNG, 1080 pixels wide and at most 2520 high unless there are
    more than about 40 boxes."""
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
    step = max(high, sheet.marker * 2) + 40 * scale + extra
    under: list[Mark] = []
    y = first = top
    for place, (one, lines) in enumerate(zip(view.boxes, texts, strict=True)):
        opens = not place or one.quarter != view.boxes[place - 1].quarter
        y += 14 * scale if opens and place else 0
        under.append(sheet.rule(y, strong=opens))
        sheet.row(marks, one, lines, y, step)
        y += step
    tracks = [
        Line((x, first + 2), (x, y), palette.rule, max(1.5, 2 * scale))
        for x in map(sheet.track, range(len(view.tracks)))
    ]
    under.append(sheet.rule(y, strong=True))
    foot = sheet.foot(marks, y)
    return Drawing(WIDTH, foot, palette.paper, (*tracks, *under, *marks))


class _Piece(Record):
    """Words of one kind in a line."""

    text: str
    weight: Weight
    fill: Colour


class _TextLine(Record):
    """A line of a row: its pieces or its bar, and its height."""

    size: float
    high: float
    pieces: tuple[_Piece, ...] = ()
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
        return min(self.pitch / 2.55, 23 * max(self.scale, 0.7))

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
        view, look, s = self.view, self.palette, max(self.scale, 0.72)
        ink, soft = look.ink, look.soft
        counts, usual = say.summary(view)
        y = MARGIN + 26 * s
        shop = shorten(view.shop, 30 * s, "semibold", 560)
        marks.append(Text(MARGIN, y, shop, 30 * s, soft, look.paper, "semibold"))
        y += 92 * s
        marks.append(Text(MARGIN - 4, y, say.title(view), 104 * s, ink, look.paper, "bold"))
        right = WIDTH - MARGIN
        marks.append(Text(right, y - 38 * s, counts, 28 * s, ink, look.paper, "semibold", "end"))
        marks.append(Text(right, y, usual, 28 * s, soft, look.paper, "regular", "end"))
        y += 40 * s
        return self._key(marks, y, s) + 18 * s

    def _key(self, marks: list[Mark], y: float, s: float) -> float:
        """Draw what each shape and letter stands for; return where it ends."""
        tracks = self.view.tracks
        if not tracks:
            return y
        columns = 2 if len(tracks) <= 4 else 3
        wide, high = (WIDTH - 2 * MARGIN) / columns, 50 * s
        down = -(-len(tracks) // columns)
        for place, track in enumerate(tracks):
            across, along = divmod(place, down)
            self._key_entry(marks, track, (MARGIN + across * wide, y + (along + 0.5) * high), wide, s)
        return y + down * high + 10 * s

    def _key_entry(
        self, marks: list[Mark], track: Track, at: tuple[float, float], wide: float, s: float
    ) -> None:
        look, (x, y) = self.palette, at
        radius, size = 17 * s, 28 * s
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
        for line in broken(say.theme(one), size, weight, self.room):
            yield _TextLine(size, size * 1.16, (_Piece(line, weight, fill),))
        if one.state != NO_BOX:
            yield from self._facts(one)

    def _facts(self, one: BoxView) -> Iterator[_TextLine]:
        """How far a box is, what is in it and what it costs: as many pieces to a line as fit."""
        look, size, currency = self.palette, 28 * self.scale, self.view.currency
        pieces = [
            _Piece(say.state(one), "semibold", look.ink),
            _Piece(say.late(one), "bold", look.late),
            _Piece(say.items(one), "regular", look.soft),
            _Piece(say.cost(one, currency), "regular", look.soft),
            _Piece(say.over(one, currency), "bold", look.late),
        ]
        line: list[_Piece] = []
        for piece in (piece for piece in pieces if piece.text):
            if line and self._taken([*line, piece], size) > self.room:
                yield _TextLine(size, size * 1.28, tuple(line))
                line = []
            line.append(piece)
        yield _TextLine(size, size * 1.28, tuple(line))
        if one.target:
            part = float(one.cost / one.target)
            yield _TextLine(8 * self.scale, 20 * self.scale, (), part)

    def _taken(self, pieces: Sequence[_Piece], size: float) -> float:
        words = sum(width(piece.text, size, piece.weight) for piece in pieces)
        return words + (len(pieces) - 1) * GAP * self.scale

    def rule(self, y: float, *, strong: bool) -> Line:
        """A line between rows, stronger where a quarter begins."""
        fill = self.palette.ink if strong else self.palette.rule
        return Line((MARGIN, y), (WIDTH - MARGIN, y), fill, 2.2 if strong else 1.2)

    def row(
        self, marks: list[Mark], one: BoxView, lines: Sequence[_TextLine], top: float, high: float
    ) -> None:
        """Draw one box."""
        look, s = self.palette, self.scale
        y = top + (high - sum(line.high for line in lines)) / 2
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
        self._markers(marks, one, top + high / 2)

    def _text_line(self, marks: list[Mark], line: _TextLine, y: float) -> None:
        look, x = self.palette, self.left
        if line.part is not None:
            marks += self._bar(line, x, y + line.high - line.size)
        for piece in line.pieces:
            text = shorten(piece.text, line.size, piece.weight, self.room)
            base = y + line.size * 0.92
            marks.append(Text(x, base, text, line.size, piece.fill, look.paper, piece.weight))
            x += width(text, line.size, piece.weight) + GAP * self.scale

    def _bar(self, line: _TextLine, x: float, y: float) -> tuple[Area, Area]:
        """The cost of a box against its target: full at the target."""
        look, part, wide = self.palette, line.part or 0, min(self.room, 300 * self.scale)
        fill = look.late if part > 1 else look.bar
        return (
            box(x, y, wide, line.size, look.rule),
            box(x, y, wide * min(1, part), line.size, fill),
        )

    def _markers(self, marks: list[Mark], one: BoxView, y: float) -> None:
        """Draw the types of a box on their tracks."""
        for back in one.returns:
            track = self.view.tracks[back.track]
            x = self.track(back.track)
            marks += marker(x, y, self.marker, track.shape, track.letter, self.palette)

    # --- the foot ---------------------------------------------------------------------------

    def foot(self, marks: list[Mark], y: float) -> float:
        """Draw the day of the sheet and what must be explained; return where the sheet ends."""
        look, s = self.palette, max(self.scale, 0.72)
        size = 24 * s
        y += 44 * s
        marks.append(Text(MARGIN, y, say.as_of(self.view), size, look.soft, look.paper))
        if replaced(self.view):
            y += 32 * s
            marks.append(Text(MARGIN, y, EXPLAINED, size, look.soft, look.paper))
        return y + MARGIN


def replaced(view: YearView) -> bool:
    """Say whether a sheet has to replace characters that the typeface lacks."""
    from assistant.sheets.lettering import lacks

    names = (view.shop, *(track.name for track in view.tracks), *(one.theme for one in view.boxes))
    return any(map(lacks, names))
