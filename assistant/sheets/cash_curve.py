"""The curve of cash: a step for each week, the lowest point marked, months below.

Knows: where everything stands on the picture. Must not know: how cash is reckoned (planning/), how
marks become pixels (drawing.py). Invariants: a step stands at the least that is left on a day of
its week, so that no day lies lower than what is drawn; below zero is darker than above, so that it
is told without colour; nothing is written over the curve.

Lengths are in units of a picture 1080 wide, which a phone shows at about a third.
"""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from decimal import Decimal
from itertools import groupby, pairwise

from assistant.planning.accounts.cash import Cash, Step
from assistant.planning.model import Record
from assistant.scheduling.paydays import months_between
from assistant.scheduling.weeks import MONTHS
from assistant.sheets import cash_words as say
from assistant.sheets.drawing import Area, Drawing, Line, Mark, Point, Text, png
from assistant.sheets.lettering import Weight, broken, shorten, width
from assistant.sheets.shapes import SCREEN, Palette
from assistant.sheets.writing import full_day

WIDTH = 1080.0
MARGIN = 52.0
HIGH = 560.0  # of the curve
ROUND = (1, 2, 5, 10)  # steps of a scale, times a power of ten
MOST_TICKS = 6
NAME, LABEL, MONTH, SMALL = 30.0, 28.0, 26.0, 24.0  # sizes of type
DIAMOND = 13.0
GAP = 20.0  # between the scale's numbers and the curve
DAY = timedelta(1)


def cash_picture(found: Cash, shop: str, currency: str) -> bytes:
    """Return the curve of a shop's cash as PNG, 1080 pixels wide."""
    return png(cash_drawing(found, shop, currency))


def cash_drawing(found: Cash, shop: str, currency: str, palette: Palette = SCREEN) -> Drawing:
    """Return the curve of cash, from today's week to its last."""
    marks: list[Mark] = []
    top = _head(marks, found, shop, currency, palette)
    ticks = scale(found.weeks)
    labels = [say.level(tick, found, currency) for tick in ticks]
    left = MARGIN + max(width(label, LABEL, "semibold") for label in labels) + GAP
    plot = _Plot(found=found, palette=palette, left=left, top=top, low=ticks[0], high=ticks[-1])
    marks += plot.steps()
    marks += plot.levels(ticks, labels)
    marks += plot.lowest(say.lowest(found, currency))
    marks += plot.months()
    foot = _foot(marks, found, plot.bottom + 124, palette)
    return Drawing(WIDTH, foot, palette.paper, tuple(marks))


def scale(steps: Sequence[Step]) -> tuple[Decimal, ...]:
    """Return round levels, evenly apart, that hold every step and zero; at most so many."""
    levels = [one.least for one in steps]
    low, high = min(Decimal(0), *levels), max(Decimal(0), *levels)
    each = _round_up((high - low) / (MOST_TICKS - 2)) if high > low else Decimal(100)
    first, last = (low / each).__floor__(), -((-high / each).__floor__())
    return tuple(each * n for n in range(first, max(last, first + 1) + 1))


def _round_up(amount: Decimal) -> Decimal:
    """The next round number that is no less: 1, 2 or 5 times a power of ten, at least 1."""
    power = Decimal(1).scaleb(max(amount.adjusted(), 0))
    return next(power * n for n in ROUND if power * n >= amount)


def _head(marks: list[Mark], found: Cash, shop: str, currency: str, look: Palette) -> float:
    """Write what is shown; return where the curve begins."""
    room, y = WIDTH - 2 * MARGIN, MARGIN + 26
    name = shorten(shop, NAME, "semibold", room)
    marks.append(Text(MARGIN, y, name, NAME, look.soft, look.paper, "semibold"))
    y += 76
    marks.append(Text(MARGIN - 2, y, say.title(found), 68, look.ink, look.paper, "bold"))
    y += 46
    bank = say.opening(found, currency)
    marks.append(Text(MARGIN, y, bank, LABEL, look.ink, look.paper))
    y += 36
    what = "The least that is left in each week"
    marks.append(Text(MARGIN, y, what, LABEL, look.soft, look.paper))
    return y + 96


def _foot(marks: list[Mark], found: Cash, y: float, look: Palette) -> float:
    """Write what the curve is without, and its day; return where the picture ends."""
    without = ", ".join(say.gaps(found))
    lines = broken(f"Without {without}.", SMALL, "regular", WIDTH - 2 * MARGIN) if without else ()
    for line in (*lines, f"As planned on {full_day(found.today)}"):
        marks.append(Text(MARGIN, y, line, SMALL, look.soft, look.paper))
        y += 32
    return y - 32 + MARGIN


class _Plot(Record):
    """The curve being laid out: its top left corner, its lowest and highest level."""

    found: Cash
    palette: Palette
    left: float
    top: float
    low: Decimal
    high: Decimal

    @property
    def bottom(self) -> float:
        """Where the lowest level lies."""
        return self.top + HIGH

    @property
    def right(self) -> float:
        """Where the last day ends."""
        return WIDTH - MARGIN

    def x(self, day: date) -> float:
        """Where a day begins."""
        days = (self.found.last - self.found.today).days + 1
        part = (day - self.found.today).days / days
        return self.left + part * (self.right - self.left)

    def y(self, amount: Decimal) -> float:
        """Where an amount lies."""
        return self.bottom - float((amount - self.low) / (self.high - self.low)) * HIGH

    def steps(self) -> Iterator[Mark]:
        """The weeks: filled to the line of zero, with their upper edge."""
        look, weeks = self.palette, self.found.weeks
        for below, run in groupby(weeks, lambda one: one.least < 0):
            yield Area(tuple(self._outline(tuple(run))), look.late if below else look.rule)
        edge = tuple(self._edge(weeks))
        yield from (Line(start, end, look.ink, 3) for start, end in pairwise(edge))

    def _edge(self, weeks: Sequence[Step]) -> Iterator[Point]:
        for one in weeks:
            y = self.y(one.least)
            yield from ((self.x(one.first), y), (self.x(one.last + DAY), y))

    def _outline(self, run: Sequence[Step]) -> Iterator[Point]:
        zero = self.y(Decimal(0))
        yield self.x(run[0].first), zero
        yield from self._edge(run)
        yield self.x(run[-1].last + DAY), zero

    def levels(self, ticks: Sequence[Decimal], labels: Sequence[str]) -> Iterator[Mark]:
        """The scale: a line for each level, that of zero stronger."""
        look = self.palette
        for tick, label in zip(ticks, labels, strict=True):
            y, zero = self.y(tick), tick == 0
            fill = look.ink if zero else look.soft
            yield Line((self.left, y), (self.right, y), fill, 2.4 if zero else 0.6)
            weight: Weight = "semibold" if zero else "regular"
            x, low, ink = self.left - GAP, y + LABEL * 0.33, look.ink if zero else look.soft
            yield Text(x, low, label, LABEL, ink, look.paper, weight, "end")

    def lowest(self, text: str) -> Iterator[Mark]:
        """The lowest point: a mark on the curve, a line up from it, and what it is above."""
        look = self.palette
        x, y = self.x(self.found.lowest_on), self.y(self.found.lowest)
        wide = width(text, LABEL, "bold")
        middle = min(max(x, self.left + wide / 2), self.right - wide / 2)
        high = self.top - 40
        yield Text(middle, high, text, LABEL, look.ink, look.paper, "bold", "middle")
        yield Line((x, high + 12), (x, y), look.ink, 1.6)
        points = ((x, y - DIAMOND), (x + DIAMOND, y), (x, y + DIAMOND), (x - DIAMOND, y))
        yield Area(points, look.ink)

    def months(self) -> Iterator[Mark]:
        """The months, as long or short as there is room for, and the years below them."""
        look, y, found = self.palette, self.bottom, self.found
        firsts = [date(*one, 1) for one in months_between(found.today, found.last)]
        ends = [*firsts[1:], found.last + DAY]
        usual = (self.right - self.left) / max(1, (found.last - found.today).days + 1) * 28
        letters = 3 if usual > width("Mar", MONTH) + 10 else 1
        year_from = -1.0
        for first, end in zip(firsts, ends, strict=True):
            x, to = self.x(max(first, found.today)), self.x(end)
            if first > found.today:
                yield Line((x, y), (x, y + 12), look.soft, 1.6)
            name = MONTHS[first.month - 1][:letters]
            if width(name, MONTH) + 4 <= to - x:
                yield Text(
                    (x + to) / 2, y + 36, name, MONTH, look.ink, look.paper, "regular", "middle"
                )
            opens = first.month == 1 or first == firsts[0]
            year = str(first.year)
            if opens and x >= year_from and x + width(year, SMALL) <= self.right:
                yield Text(x, y + 66, year, SMALL, look.soft, look.paper)
                year_from = x + width(year, SMALL) + 16
