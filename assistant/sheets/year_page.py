"""The year sheet as one page to print and pin up, good in black and white.

Knows: sizes of paper. Must not know: how a year is laid out (year_sheet.py). Invariants: one page,
nothing cut off, as large as fits; the same year gives the same bytes.
"""

from functools import partial

from assistant.planning.year.year_view import YearView
from assistant.sheets import year_words as say
from assistant.sheets.blocks import A4, Paper
from assistant.sheets.drawing import Drawing, largest, pdf
from assistant.sheets.lettering import printable
from assistant.sheets.quarter_sheet import large
from assistant.sheets.shapes import PRINT
from assistant.sheets.year_sheet import WIDTH, rows

BORDER = 4.0  # millimetres; printers leave about five of them white, from memory
SCALES = tuple(n / 100 for n in range(100, 20, -2))
MOST_EXTRA = 30.0  # by which a row may grow to fill the page


def year_page(view: YearView, page: Paper = A4) -> bytes:
    """Return a year, or a quarter of one, as a PDF of one page of this size (width, height in
    millimetres)."""
    title = printable(f"{view.shop}, {say.title(view)}")
    return pdf(page_drawing(view, page), page, title, BORDER)


def page_drawing(view: YearView, page: Paper = A4) -> Drawing:
    """Return a year or a quarter laid out for a page: at the largest scale that fits; the rows of
    a year are stretched to fill it."""
    height = WIDTH * (page[1] - 2 * BORDER) / (page[0] - 2 * BORDER)
    if view.quarter:
        return largest(partial(large, view, PRINT), SCALES, height)
    scale = next((s for s in SCALES if rows(view, PRINT, s).height <= height), SCALES[-1])
    spare = max(0.0, height - rows(view, PRINT, scale).height) / max(1, len(view.boxes))
    return rows(view, PRINT, scale, min(spare, MOST_EXTRA))
