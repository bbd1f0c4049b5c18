"""What each box costs, as bars through the year, against the target and the price.

Knows: where everything of the picture stands. Must not know: how a cost is reckoned
(accounts/costs), how marks become pixels (drawing.py). Invariants: the pieces of a bar are told by
pattern and key, never by colour alone; bars begin at nothing and share one scale; what is not known
shows as a question mark; nothing overlaps; what does not fit is shortened.

Lengths are in units of a picture 1080 wide, which a phone shows at about a third.
"""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from functools import partial
from itertools import pairwise

from assistant.planning.accounts.costs import BoxCost
from assistant.planning.model import Record
from assistant.scheduling.weeks import MONTHS
from assistant.sheets.drawing import Colour, Drawing, Line, Mark, Text, box, largest, png
from assistant.sheets.lettering import Weight, lacks, shorten, width
from assistant.sheets.shapes import SCREEN, Palette
from assistant.sheets.writing import money
from assistant.sheets.year_sheet import EXPLAINED, HEIGHT, MARGIN, SCALES, WIDTH

LEFT, RIGHT = 190.0, 850.0  # between which the bars stand
STEPS = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000)  # of money on the scale
TICKS = 6  # on the scale, at most
SMALLEST_HEAD = 0.7  # scale below which the head shrinks no more
PIECES = ("goods", "packaging, card", "postage", "fees")
STEP = 100.0  # from a bar to the next, at full scale
HATCH = 9.0  # between the lines of a pattern


class CostSheet(Record):
    """What is drawn: boxes in their order, each with its theme."""

    shop: str
    title: str
    currency: str
    boxes: tuple[BoxCost, ...]
    themes: tuple[str, ...]


def cost_picture(sheet: CostSheet) -> bytes:
    """Return the picture as PNG, 1080 pixels wide."""
    return png(cost_drawing(sheet))


def cost_drawing(sheet: CostSheet, palette: Palette = SCREEN) -> Drawing:
    """Return the picture, at the largest scale at which it is no higher than a chat shows."""
    return largest(partial(_drawn, sheet, palette), SCALES, HEIGHT)


def _drawn(sheet: CostSheet, palette: Palette, scale: float) -> Drawing:
    return _Bars(sheet, palette, scale).drawing()


def parts(one: BoxCost) -> tuple[Decimal, ...]:
    """Return the pieces of a bar, as PIECES names them."""
    return one.goods, one.packaging + one.card, one.postage, one.fees


class _Bars:
    """One picture being laid out."""

    def __init__(self, sheet: CostSheet, palette: Palette, scale: float) -> None:
        self.sheet, self.look, self.scale = sheet, palette, scale
        self.marks: list[Mark] = []
        highest = max((max(one.cost, *_lines_of(one)) for one in sheet.boxes), default=Decimal(1))
        self.most = float(highest or 1) * 1.02

    def x(self, amount: Decimal) -> float:
        """Where an amount stands on the scale."""
        return LEFT + float(amount) / self.most * (RIGHT - LEFT)

    def drawing(self) -> Drawing:
        """Draw the head, the bars and the foot."""
        s = self.scale
        y = self._axis(self._key(self._head()))
        for place, one in enumerate(self.sheet.boxes):
            label = _label(self.sheet.boxes, place)
            self._row(one, label, self.sheet.themes[place], y)
            y += STEP * s
        y = self._foot(y)
        return Drawing(WIDTH, y, self.look.paper, tuple(self.marks))

    def _text(
        self, x: float, y: float, text: str, size: float, fill: Colour, weight: Weight = "regular"
    ) -> float:
        """Write a text on the paper; return where it ends."""
        self.marks.append(Text(x, y, text, size, fill, self.look.paper, weight))
        return x + width(text, size, weight)

    # --- the head ---------------------------------------------------------------------------

    def _head(self) -> float:
        s, look = max(self.scale, SMALLEST_HEAD), self.look
        room = WIDTH - 2 * MARGIN
        y = MARGIN + 26 * s
        shop = shorten(self.sheet.shop, 30 * s, "semibold", room)
        self._text(MARGIN, y, shop, 30 * s, look.soft, "semibold")
        y += 76 * s
        title = shorten(self.sheet.title, 66 * s, "bold", room)
        self._text(MARGIN - 2, y, title, 66 * s, look.ink, "bold")
        return y + 34 * s

    def _key(self, y: float) -> float:
        """Draw what each pattern and line stands for; return where the key ends."""
        s, look = max(self.scale, SMALLEST_HEAD), self.look
        size, high = 28 * s, 28 * s
        x = MARGIN
        for place, name in enumerate(PIECES):
            self._piece(place, x, y, 52 * s, high)
            x = self._text(x + 64 * s, y + high * 0.82, name, size, look.ink) + 30 * s
        y += 50 * s
        x = MARGIN
        for name, thick in self._levels():
            tick = x + 26 * s
            self.marks.append(Line((tick, y - 4 * s), (tick, y + high + 4 * s), look.ink, thick))
            x = self._text(x + 64 * s, y + high * 0.82, name, size, look.ink) + 30 * s
        return y + 54 * s if self._levels() else y

    def _levels(self) -> list[tuple[str, float]]:
        """The lines that cross the bars: their names and strengths."""
        boxes, currency = self.sheet.boxes, self.sheet.currency
        target = next((one.target for one in boxes if one.target is not None), None)
        price = next((one.net for one in boxes if one.net is not None), None)
        levels = []
        if target is not None:
            levels.append((f"target for goods, {money(target, currency)}", 6.0))
        if price is not None:
            taxed = any(one.price != one.net for one in boxes)
            levels.append((f"price{' less tax' if taxed else ''}, {money(price, currency)}", 2.5))
        return levels

    def _axis(self, y: float) -> float:
        """Draw the scale; return where the bars begin."""
        s, look = max(self.scale, SMALLEST_HEAD), self.look
        step = next((one for one in STEPS if self.most / one <= TICKS), STEPS[-1])
        size, base = 22 * s, y + 22 * s
        for amount in range(0, int(self.most) + 1, step):
            x, text = self.x(Decimal(amount)), f"{amount:,}"
            self.marks.append(Text(x, base, text, size, look.soft, look.paper, "regular", "middle"))
            self.marks.append(Line((x, base + 6 * s), (x, base + 14 * s), look.soft, 1.5))
        end = RIGHT + 30
        self._text(end, base, self.sheet.currency, size, look.soft)
        self.marks.append(Line((LEFT, base + 14 * s), (RIGHT, base + 14 * s), look.soft, 1.5))
        return base + 26 * s

    # --- a bar ------------------------------------------------------------------------------

    def _row(self, one: BoxCost, label: str, theme: str, y: float) -> None:
        s, look, high = self.scale, self.look, 46 * self.scale
        top = y + 12 * s
        month = shorten(label, 32 * s, "bold", LEFT - MARGIN - 12)
        self._text(MARGIN, top + high * 0.76, month, 32 * s, look.ink, "bold")
        sums = [sum(parts(one)[:n], Decimal(0)) for n in range(len(PIECES) + 1)]
        for place, (start, end) in enumerate(pairwise(map(self.x, sums))):
            if end > start:
                self._piece(place, start, top, end - start, high)
        self._inside(one, top, high)
        for amount, thick in zip(_lines_of(one), (6.0, 2.5), strict=True):
            if amount:
                x, over = self.x(amount), 7 * s
                ends, thick = ((x, top - over), (x, top + high + over)), thick * max(s, 0.6)
                self.marks.append(Line(*ends, look.paper, thick * 2.2))  # so that it stands out
                self.marks.append(Line(*ends, look.ink, thick))
        total = money(one.cost, self.sheet.currency) + (" + ?" if one.unknown else "")
        total = shorten(total, 32 * s, "bold", WIDTH - MARGIN - RIGHT - 24)
        self._text(RIGHT + 24, top + high * 0.76, total, 32 * s, look.ink, "bold")
        self._below(one, theme, top + high + 32 * s)

    def _inside(self, one: BoxCost, top: float, high: float) -> None:
        """The cost of the goods, in their piece where it has room, the target's line left free."""
        s, look = self.scale, self.look
        text, size = money(one.goods, self.sheet.currency), 28 * s
        room = self.x(one.goods) - LEFT
        line = self.x(one.target) if one.target else RIGHT
        taken = width(text, size, "semibold") + 28 * s
        if taken <= min(room, line - LEFT):
            mark = (LEFT + 14 * s, top + high * 0.72, text, size, look.paper, look.bar)
            self.marks.append(Text(*mark, "semibold"))

    def _below(self, one: BoxCost, theme: str, y: float) -> None:
        """What a box leaves, by how much it is over its target, and its theme."""
        s, look, size = self.scale, self.look, 25 * self.scale
        x = LEFT
        for text, weight, fill in self._facts(one):
            x = self._text(x, y, text, size, fill, weight) + 26 * s
        rest = shorten(theme, size, "regular", WIDTH - MARGIN - x)
        if rest and (rest == theme or len(rest) > 6):
            self._text(x, y, rest, size, look.soft)

    def _facts(self, one: BoxCost) -> Iterator[tuple[str, Weight, Colour]]:
        look, currency = self.look, self.sheet.currency
        if one.over is not None and one.over > 0:
            yield f"goods {money(one.over, currency)} over", "bold", look.late
        if one.margin is not None and one.margin < 0:
            yield f"loses {money(-one.margin, currency)}", "bold", look.late
        elif one.margin is not None:
            yield f"leaves {money(one.margin, currency)}", "regular", look.ink

    def _piece(self, place: int, x: float, y: float, wide: float, high: float) -> None:
        """One piece of a bar, in its pattern."""
        look = self.look
        self.marks.append(box(x, y, wide, high, look.bar if place == 0 else look.paper))
        if place:
            self.marks += [
                Line(start, end, look.ink, 1.6) for start, end in _hatched(place, x, y, wide, high)
            ]
        corners = ((x, y), (x + wide, y), (x + wide, y + high), (x, y + high), (x, y))
        self.marks += [Line(start, end, look.ink, 1.6) for start, end in pairwise(corners)]

    # --- the foot ---------------------------------------------------------------------------

    def _foot(self, y: float) -> float:
        """Say what a question mark stands for; return where the picture ends."""
        look, size = self.look, 24 * max(self.scale, SMALLEST_HEAD)
        sheet = self.sheet
        replaced = any(map(lacks, (sheet.shop, *sheet.themes)))
        unknown = any(one.unknown for one in sheet.boxes)
        for text, shown in (("+ ? : not all of it is known.", unknown), (EXPLAINED, replaced)):
            if shown:
                y += size * 1.35
                self._text(MARGIN, y, text, size, look.soft)
        return y + MARGIN


def _lines_of(one: BoxCost) -> tuple[Decimal, Decimal]:
    """The target and the price of a box, nothing where there is none."""
    return one.target or Decimal(0), one.net or Decimal(0)


def _hatched(
    place: int, x: float, y: float, wide: float, high: float
) -> Iterator[tuple[tuple[float, float], tuple[float, float]]]:
    """The lines of a pattern: slanted, upright, level, each within its rectangle."""
    if place == 1:
        at = HATCH - high
        while at < wide:
            left, right = max(at, 0.0), min(at + high, wide)
            yield (x + left, y + high - (left - at)), (x + right, y + high - (right - at))
            at += HATCH
    elif place == 2:
        at = HATCH / 2
        while at < wide:
            yield (x + at, y), (x + at, y + high)
            at += HATCH / 2
    else:
        at = HATCH
        while at < high:
            yield (x, y + at), (x + wide, y + at)
            at += HATCH


def _label(boxes: Sequence[BoxCost], place: int) -> str:
    """The month of a box; with its year where that begins."""
    id = boxes[place].box
    month = MONTHS[int(id[5:7]) - 1][:3]
    nth = " 2nd" if id.endswith("b") else ""
    new = place == 0 or boxes[place - 1].box[:4] != id[:4]
    return f"{month}{nth} {id[:4]}" if new else f"{month}{nth}"
