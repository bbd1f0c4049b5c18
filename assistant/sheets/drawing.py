"""A drawing as marks on a plane, and as the SVG text, the picture and the printed page of it.

Knows: marks, how they are written as SVG, drawn as PNG and printed as PDF. Must not know: what
they show. Invariants: the origin is the top left, y grows downwards, lengths have the drawing's own
unit; every text says on what colour it stands, so that contrast can be checked; the same drawing
gives the same bytes; text is data and escaped.
"""

from collections.abc import Callable, Iterable, Sequence
from functools import cache
from html import escape
from io import BytesIO
from typing import TYPE_CHECKING, Any, Literal

from assistant.planning.model import Record
from assistant.sheets.lettering import FACES, FAMILY, Weight, font_file

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]
Colour = str  # "#rrggbb"

WEIGHTS: dict[Weight, int] = {"regular": 400, "semibold": 600, "bold": 700}


class Text(Record):
    """One line of text; `y` is its baseline, `on` the colour behind it."""

    x: float
    y: float
    text: str
    size: float
    fill: Colour
    on: Colour
    weight: Weight = "regular"
    anchor: Anchor = "start"


class Line(Record):
    """A straight line."""

    start: Point
    end: Point
    fill: Colour
    thick: float = 2


class Area(Record):
    """A filled polygon."""

    points: tuple[Point, ...]
    fill: Colour


Mark = Text | Line | Area


class Drawing(Record):
    """Marks, painted in their order, on paper of one colour."""

    width: float
    height: float
    paper: Colour
    marks: tuple[Mark, ...]


def box(x: float, y: float, width: float, height: float, fill: Colour) -> Area:
    """Return a rectangle by its top left corner."""
    return Area(((x, y), (x + width, y), (x + width, y + height), (x, y + height)), fill)


# --- as a picture ---------------------------------------------------------------------------


def svg(drawing: Drawing) -> str:
    """Return the drawing as SVG text. Source: Scalable Vector Graphics (SVG) 1.1, W3C."""
    size = f'width="{drawing.width:.0f}" height="{drawing.height:.0f}"'
    paper = f'<rect {size} fill="{drawing.paper}"/>'
    marks = "".join(_SVG[type(mark)](mark) for mark in drawing.marks)
    name = escape(FAMILY)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} font-family="{name}">{paper}{marks}</svg>'
    )


def png(drawing: Drawing) -> bytes:
    """Return the drawing as a PNG picture, a pixel for each unit. No font of the machine is used,
    so that it looks the same everywhere."""
    from resvg_py import svg_to_bytes

    return svg_to_bytes(
        svg_string=svg(drawing),
        skip_system_fonts=True,
        font_files=[font_file(weight) for weight in FACES],
    )


def _text(mark: Text) -> str:
    place = f'x="{mark.x:.1f}" y="{mark.y:.1f}" font-size="{mark.size:.1f}"'
    anchor = "" if mark.anchor == "start" else f' text-anchor="{mark.anchor}"'
    weight = WEIGHTS[mark.weight]
    return (
        f'<text {place} font-weight="{weight}" fill="{mark.fill}"{anchor}>'
        f"{escape(mark.text)}</text>"
    )


def _line(mark: Line) -> str:
    (x1, y1), (x2, y2) = mark.start, mark.end
    ends = f'x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}"'
    return f'<line {ends} stroke="{mark.fill}" stroke-width="{mark.thick:.1f}"/>'


def _area(mark: Area) -> str:
    points = " ".join(f"{x:.1f},{y:.1f}" for x, y in mark.points)
    return f'<polygon points="{points}" fill="{mark.fill}"/>'


_SVG: dict[type[Mark], Callable[[Any], str]] = {Text: _text, Line: _line, Area: _area}


# --- as a page ------------------------------------------------------------------------------

MM = 72 / 25.4  # points in a millimetre


def pdf(drawing: Drawing, page: Point, title: str, border: float = 0) -> bytes:
    """Return the drawing as one printed page of a size in millimetres, as large as fits within a
    border and centred. The typeface is embedded."""
    return pdf_pages((drawing,), page, title, border)


def pdf_pages(drawings: Iterable[Drawing], page: Point, title: str, border: float = 0) -> bytes:
    """Return drawings as printed pages, each as `pdf` prints one."""
    from reportlab.pdfgen.canvas import Canvas

    _ready_to_print()
    width, height = page[0] * MM, page[1] * MM
    inside = width - 2 * border * MM, height - 2 * border * MM
    out = BytesIO()
    canvas = Canvas(out, pagesize=(width, height), invariant=1, pageCompression=1)
    canvas.setTitle(title)
    for drawing in drawings:
        scale = min(inside[0] / drawing.width, inside[1] / drawing.height)
        canvas.translate((width - drawing.width * scale) / 2, (height + drawing.height * scale) / 2)
        canvas.scale(scale, scale)
        for mark in drawing.marks:
            _PRINT[type(mark)](canvas, mark)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


@cache
def _ready_to_print() -> None:
    from reportlab.pdfbase.pdfmetrics import registerFont
    from reportlab.pdfbase.ttfonts import TTFont

    for weight, name in FACES.items():
        registerFont(TTFont(name, font_file(weight)))


def _print_text(canvas: "Canvas", mark: Text) -> None:
    canvas.setFillColor(mark.fill)
    canvas.setFont(FACES[mark.weight], mark.size)
    draw = {
        "start": canvas.drawString,
        "middle": canvas.drawCentredString,
        "end": canvas.drawRightString,
    }
    draw[mark.anchor](mark.x, -mark.y, mark.text)


def _print_line(canvas: "Canvas", mark: Line) -> None:
    canvas.setStrokeColor(mark.fill)
    canvas.setLineWidth(mark.thick)
    canvas.line(mark.start[0], -mark.start[1], mark.end[0], -mark.end[1])


def _print_area(canvas: "Canvas", mark: Area) -> None:
    canvas.setFillColor(mark.fill)
    path = canvas.beginPath()
    for place, (x, y) in enumerate(mark.points):
        (path.lineTo if place else path.moveTo)(x, -y)
    path.close()
    canvas.drawPath(path, stroke=0, fill=1)


_PRINT: dict[type[Mark], Callable[["Canvas", Any], None]] = {
    Text: _print_text,
    Line: _print_line,
    Area: _print_area,
}


# --- the largest that fits ------------------------------------------------------------------


def largest(draw: Callable[[float], Drawing], scales: Sequence[float], height: float) -> Drawing:
    """Return the drawing at the first of these scales at which it is no higher than `height`; at
    the last of them where none is."""
    made = draw(scales[0])
    for scale in scales[1:]:
        if made.height <= height:
            break
        made = draw(scale)
    return made
