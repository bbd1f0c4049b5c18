"""Shapes that tell types apart without colour, and the colours of the sheets.

Knows: outlines and colours. Must not know: which type has which. Invariants: a shape has room for
a letter; every text has a contrast of at least 4.5 to 1 with what it stands on (Web Content
Accessibility Guidelines 2.2, success criterion 1.4.3; tested over whole sheets).
"""

from math import cos, pi, sin

from assistant.planning.model import Record
from assistant.sheets.drawing import Area, Colour, Mark, Point, Text

Outline = tuple[Point, ...]  # around (0, 0), about one unit from its middle to its rim


class Palette(Record):
    """The colours of a sheet: `band` lies behind what is set apart, `rule` are thin lines, `fills`
    those of the shapes, on which letters stand in the colour of the paper."""

    paper: Colour
    band: Colour
    ink: Colour
    soft: Colour
    late: Colour
    rule: Colour
    bar: Colour
    fills: tuple[Colour, ...]


SCREEN = Palette(
    paper="#fdfbf6",
    band="#f3eee2",
    ink="#21302b",
    soft="#5c655f",
    late="#a02c1c",
    rule="#d9d2c2",
    bar="#2f6b57",
    fills=(
        "#2f6b57",
        "#9a4423",
        "#3d4f93",
        "#7a5607",
        "#7d3a68",
        "#1d6575",
        "#5a5f1c",
        "#4a5560",
    ),
)
PRINT = Palette(
    paper="#ffffff",
    band="#ffffff",
    ink="#000000",
    soft="#404040",
    late="#000000",
    rule="#b0b0b0",
    bar="#404040",
    fills=("#000000",),
)


def _round(fro: float, to: float, x: float = 0, y: float = 0, radius: float = 1) -> Outline:
    """Part of a circle, between two angles in degrees, clockwise from the right."""
    steps = max(2, round(abs(to - fro) / 7.5))
    angles = (pi * (fro + (to - fro) * step / steps) / 180 for step in range(steps + 1))
    return tuple((x + radius * cos(angle), y + radius * sin(angle)) for angle in angles)


_S, _ARM = 0.9, 0.56
SHAPES: tuple[Outline, ...] = (
    _round(0, 360),  # disc
    ((-_S, -_S), (_S, -_S), (_S, _S), (-_S, _S)),  # square
    ((0, -1.22), (1.22, 0), (0, 1.22), (-1.22, 0)),  # diamond
    ((0, -1.24), (1.3, 0.96), (-1.3, 0.96)),  # triangle
    (*_round(180, 360, 0, -0.02, 0.92), (0.92, 0.94), (-0.92, 0.94)),  # arch
    tuple((1.1 * cos(pi * n / 3), 1.1 * sin(pi * n / 3)) for n in range(6)),  # hexagon
    (*_round(270, 360, 0.1, -0.1, 0.86), (0.96, 0.96), *_round(90, 180, -0.1, 0.1, 0.86),
     (-0.96, -0.96)),  # leaf
    ((-_ARM, -1.1), (_ARM, -1.1), (_ARM, -_ARM), (1.1, -_ARM), (1.1, _ARM), (_ARM, _ARM),  # cross
     (_ARM, 1.1), (-_ARM, 1.1), (-_ARM, _ARM), (-1.1, _ARM), (-1.1, -_ARM), (-_ARM, -_ARM)),
)  # fmt: skip
_LOW = {3: 0.26}  # shapes whose letter stands lower than their middle, by so much
_CAPITAL = 0.66  # height of a capital against its size, in the typeface


def marker(
    x: float, y: float, radius: float, shape: int, letter: str, palette: Palette
) -> tuple[Mark, ...]:
    """Return a shape by its number (from 0, without end) with its letter, its middle at (x, y)."""
    number = shape % len(SHAPES)
    fill = palette.fills[shape % len(palette.fills)]
    points = tuple((x + radius * dx, y + radius * dy) for dx, dy in SHAPES[number])
    size = radius * (1.24 if len(letter) == 1 else 0.9)
    low = y + radius * _LOW.get(number, 0) + size * _CAPITAL / 2
    return (
        Area(points, fill),
        Text(x, low, letter, size, palette.paper, fill, "bold", "middle"),
    )
