"""The page to print, read back by pypdf, which is not ours."""

from io import BytesIO

import pytest
from pypdf import PdfReader

from assistant.planning.year.year_view import YearView
from assistant.sheets import year_words
from assistant.sheets.blocks import A4, LETTER
from assistant.sheets.drawing import Text
from assistant.sheets.year_page import page_drawing, year_page
from tests.sheets.years import QUARTERS, YEARS

ALL = {**YEARS, **QUARTERS}
EVERY = pytest.mark.parametrize("view", ALL.values(), ids=ALL.keys())
POINTS = 72 / 25.4


def read(view: YearView, page: tuple[float, float] = A4) -> PdfReader:
    return PdfReader(BytesIO(year_page(view, page)))


@EVERY
@pytest.mark.parametrize("page", [A4, LETTER], ids=["A4", "Letter"])
def test_it_is_one_page_of_the_size_asked_for(view: YearView, page: tuple[float, float]) -> None:
    [sheet] = read(view, page).pages
    size = float(sheet.mediabox.width), float(sheet.mediabox.height)
    assert size == pytest.approx((page[0] * POINTS, page[1] * POINTS), abs=0.1)


@EVERY
def test_its_fonts_are_embedded(view: YearView) -> None:
    [sheet] = read(view).pages
    fonts = [font.get_object() for font in sheet["/Resources"]["/Font"].values()]
    drawn = {font["/BaseFont"] for font in fonts if "/FontDescriptor" in font}
    embedded = {
        font["/BaseFont"]
        for font in fonts
        if "/FontDescriptor" in font and "/FontFile2" in font["/FontDescriptor"]
    }
    assert drawn == embedded
    assert any("SourceSansPro" in name for name in embedded)


@EVERY
def test_all_that_was_laid_out_can_be_read_from_it(view: YearView) -> None:
    [sheet] = read(view).pages
    found = "".join(sheet.extract_text().split())
    for mark in page_drawing(view).marks:
        if isinstance(mark, Text):
            assert "".join(mark.text.split()) in found


def test_every_theme_is_on_it_whole_where_it_fits() -> None:
    view = YEARS["ordinary"]
    [sheet] = read(view).pages
    text = sheet.extract_text()
    for box in view.boxes:
        assert year_words.theme(box) in text
    assert "Mossgate Field Club" in text


@EVERY
def test_the_same_year_gives_the_same_bytes(view: YearView) -> None:
    assert year_page(view) == year_page(view)


@pytest.mark.parametrize("name", ["ordinary", "26 boxes, 20 types"])
def test_the_rows_fill_the_page(name: str) -> None:
    drawing = page_drawing(YEARS[name])
    assert drawing.height / drawing.width == pytest.approx(297 / 210, rel=0.04)
