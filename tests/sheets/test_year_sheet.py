"""The year sheet as it is drawn: legible, nothing over anything else, every fact on it.

Contrast: Web Content Accessibility Guidelines 2.2, success criterion 1.4.3, and its definitions of
"contrast ratio" and "relative luminance". Limits of a picture: Bot API, "sendPhoto".
"""

from collections import Counter
from collections.abc import Iterator
from io import BytesIO
from itertools import combinations, pairwise
from xml.etree import ElementTree

import pytest
from msgspec.structs import replace
from PIL import Image

from assistant.planning.year.year_view import NO_BOX, YearView
from assistant.sheets import year_words
from assistant.sheets.drawing import Area, Drawing, Line, Text, svg
from assistant.sheets.lettering import printable, width
from assistant.sheets.quarter_sheet import quarter_drawing, quarter_picture
from assistant.sheets.shapes import PRINT, SCREEN, SHAPES
from assistant.sheets.year_page import A4, page_drawing
from assistant.sheets.year_sheet import EXPLAINED, year_drawing, year_picture
from tests.sheets.years import QUARTERS, YEARS

LETTER = (215.9, 279.4)  # millimetres
DRAWN: dict[str, Drawing] = {
    **{name: year_drawing(view) for name, view in YEARS.items()},
    **{name: quarter_drawing(view) for name, view in QUARTERS.items()},
    **{f"{name}, A4": page_drawing(view, A4) for name, view in YEARS.items()},
    **{f"{name}, Letter": page_drawing(view, LETTER) for name, view in YEARS.items()},
    **{f"{name}, A4": page_drawing(view) for name, view in QUARTERS.items()},
}
EVERY = pytest.mark.parametrize("drawing", DRAWN.values(), ids=DRAWN.keys())
OF_YEARS = pytest.mark.parametrize("view", YEARS.values(), ids=YEARS.keys())
SMALLEST_ON_SCREEN = 15.0  # pixels of a picture 1080 wide


# --- legible --------------------------------------------------------------------------------


def luminance(colour: str) -> float:
    channels = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (
        c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_contrast_is_measured_as_the_guidelines_do() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)  # from memory
    assert contrast("#ff0000", "#ffffff") == pytest.approx(4.0, abs=0.01)  # from memory


@EVERY
def test_text_stands_out_from_what_it_is_on(drawing: Drawing) -> None:
    for text in texts(drawing):
        assert contrast(text.fill, text.on) >= 4.5, text
        assert text.on == drawing.paper or any(
            area.fill == text.on and inside(area, text.x, text.y - text.size * 0.3)
            for area in areas(drawing)
        ), text


def test_the_page_is_good_in_black_and_white() -> None:
    colours = (PRINT.paper, PRINT.ink, PRINT.soft, PRINT.late, PRINT.rule, PRINT.bar, *PRINT.fills)
    assert all(colour[1:3] == colour[3:5] == colour[5:7] for colour in colours)


@OF_YEARS
def test_what_is_read_is_large_enough(view: YearView) -> None:
    assert min(text.size for text in texts(year_drawing(view)) if text.on == SCREEN.paper) >= 12
    sizes = [text.size for text in texts(year_drawing(view)) if text.weight == "semibold"]
    assert min(sizes) >= SMALLEST_ON_SCREEN


@OF_YEARS
def test_a_picture_is_one_that_chats_take(view: YearView) -> None:
    picture = year_picture(view)
    assert picture[:8] == b"\x89PNG\r\n\x1a\n"
    high, wide = (int.from_bytes(picture[at : at + 4], "big") for at in (20, 16))
    assert wide == 1080
    assert high + wide <= 10_000
    assert max(high, wide) <= 20 * min(high, wide)
    assert len(picture) < 10_000_000


# --- nothing over anything else -------------------------------------------------------------

Bounds = tuple[float, float, float, float]  # left, top, right, bottom


def texts(drawing: Drawing) -> Iterator[Text]:
    return (mark for mark in drawing.marks if isinstance(mark, Text))


def areas(drawing: Drawing) -> Iterator[Area]:
    return (mark for mark in drawing.marks if isinstance(mark, Area))


def bounds(mark: Text | Area) -> Bounds:
    """What a mark covers; a text from the top of its capitals to its baseline."""
    if isinstance(mark, Area):
        across, down = zip(*mark.points, strict=True)
        return min(across), min(down), max(across), max(down)
    wide = width(mark.text, mark.size, mark.weight)
    left = mark.x - {"start": 0, "middle": wide / 2, "end": wide}[mark.anchor]
    return left, mark.y - mark.size * 0.66, left + wide, mark.y


def overlap(one: Bounds, other: Bounds) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def inside(area: Area, x: float, y: float) -> bool:
    left, top, right, bottom = bounds(area)
    return left <= x <= right and top <= y <= bottom


@EVERY
def test_no_text_is_over_another_or_over_the_edge(drawing: Drawing) -> None:
    free = [bounds(text) for text in texts(drawing) if text.on == drawing.paper and text.text]
    for one, other in combinations(free, 2):
        assert not overlap(one, other)
    for left, top, right, bottom in (bounds(m) for m in drawing.marks if not isinstance(m, Line)):
        assert left >= 0
        assert right <= drawing.width
        assert top >= 0
        assert bottom <= drawing.height


@EVERY
def test_no_text_is_over_a_shape_or_a_bar(drawing: Drawing) -> None:
    free = [bounds(text) for text in texts(drawing) if text.on == drawing.paper and text.text]
    shapes = [bounds(area) for area in areas(drawing)]
    assert not [1 for text in free for shape in shapes if overlap(text, shape)]


@EVERY
def test_no_text_is_crossed_by_a_line(drawing: Drawing) -> None:
    free = [bounds(text) for text in texts(drawing) if text.on == drawing.paper and text.text]
    lines = [
        (min(a, c), min(b, d), max(a, c) + 0.1, max(b, d) + 0.1)
        for (a, b), (c, d) in (
            (mark.start, mark.end) for mark in drawing.marks if isinstance(mark, Line)
        )
    ]
    assert not [1 for text in free for line in lines if overlap(text, line)]


# --- every fact on it -----------------------------------------------------------------------


def written(drawing: Drawing) -> str:
    return " | ".join(text.text for text in texts(drawing))


@pytest.mark.parametrize("name", ["ordinary", "empty", "4 boxes", "26 boxes, 20 types"])
def test_every_box_says_what_it_is(name: str) -> None:
    view = YEARS[name]
    shown = [text.text for text in texts(year_drawing(view))]
    for box in view.boxes:
        facts = [year_words.month(box), year_words.ships(box), year_words.theme(box)]
        if box.state != NO_BOX:
            facts += [year_words.state(box), year_words.late(box), year_words.items(box)]
            facts += [year_words.cost(box, "GBP"), year_words.over(box, "GBP")]
        for fact in filter(None, facts):
            assert fact in shown
            shown.remove(fact)


def test_a_quarter_says_what_is_in_each_box() -> None:
    view = QUARTERS["ordinary, quarter 1"]
    text = written(quarter_drawing(view))
    for word in ("First quarter 2027", "January", "ships Fri 15", "Bare branches", "balm"):
        assert word in text
    assert "all-weather log | notebook, waterproof" in text
    assert "April" not in text


def test_a_cost_over_the_target_is_told_in_words() -> None:
    assert "£14.05 of £10.00 | £4.05 over" in written(year_drawing(YEARS["ordinary"]))


@OF_YEARS
def test_a_type_keeps_to_its_track_and_is_told_without_colour(view: YearView) -> None:
    drawing = year_drawing(view)
    marks, top = drawing.marks, rows_begin(drawing)
    told: dict[str, set[tuple[float, tuple[tuple[float, float], ...]]]] = {}
    for shape, letter in pairwise(marks):
        if isinstance(shape, Area) and isinstance(letter, Text) and letter.on == shape.fill:
            if letter.y < top:
                continue  # the key
            left, upper, *_ = bounds(shape)
            outline = tuple((round(x - left, 1), round(y - upper, 1)) for x, y in shape.points)
            told.setdefault(letter.text, set()).add((round(letter.x, 1), outline))
    assert told.keys() == {
        view.tracks[back.track].letter for box in view.boxes for back in box.returns
    }
    assert all(len(places) == 1 for places in told.values())
    tracks = [x for places in told.values() for x, _ in places]
    assert len(set(tracks)) == len(tracks)


def rows_begin(drawing: Drawing) -> float:
    return min(
        mark.start[1]
        for mark in drawing.marks
        if isinstance(mark, Line) and mark.start[1] == mark.end[1]
    )


def test_every_return_of_a_type_is_drawn_in_its_row() -> None:
    view = YEARS["ordinary"]
    drawing = year_drawing(view)
    top = rows_begin(drawing)
    letters = [text.text for text in texts(drawing) if text.on != drawing.paper and text.y > top]
    returns = [view.tracks[back.track].letter for box in view.boxes for back in box.returns]
    assert Counter(letters) == Counter(returns)


def test_shapes_are_different() -> None:
    assert len(set(SHAPES)) == len(SHAPES) == len(SCREEN.fills)


# --- safe, and the same each time -----------------------------------------------------------


def test_names_are_text_whatever_is_in_them() -> None:
    hostile = '</text><image href="file:///etc/passwd"/>&amp;"\x00'
    view = YEARS["ordinary"]
    boxes = tuple(replace(box, theme=hostile) for box in view.boxes)
    for made in (year_drawing(replace(view, boxes=boxes, shop=hostile)),):
        root = ElementTree.fromstring(svg(made))
        tags = {element.tag.rpartition("}")[2] for element in root.iter()}
        assert tags == {"svg", "rect", "text", "line", "polygon"}
        assert printable(hostile)[:12] in "".join(root.itertext())


def test_what_the_typeface_lacks_is_explained() -> None:
    for view, drawn in ((YEARS["other scripts"], True), (YEARS["ordinary"], False)):
        assert (EXPLAINED in written(year_drawing(view))) == drawn
    assert "? & Дождь <b>?</b>" in written(year_drawing(YEARS["other scripts"]))


def test_the_same_year_gives_the_same_bytes() -> None:
    assert year_picture(YEARS["ordinary"]) == year_picture(YEARS["ordinary"])
    quarter = QUARTERS["ordinary, quarter 1"]
    assert quarter_picture(quarter) == quarter_picture(quarter)


def test_shapes_are_where_they_should_be_in_the_picture() -> None:
    view = YEARS["ordinary"]
    drawing = year_drawing(view)
    picture = Image.open(BytesIO(year_picture(view))).convert("RGB")
    for area in areas(drawing):
        left, top, right, bottom = bounds(area)
        if right - left < 2 or area.fill == SCREEN.rule:
            continue  # a bar of nothing, or what lies behind a bar
        at = int(left + (right - left) * 0.35), int(top + (bottom - top) * 0.8)
        assert picture.getpixel(at) == tuple(bytes.fromhex(area.fill[1:])), area


def test_letters_are_drawn_in_the_typeface() -> None:
    view = YEARS["ordinary"]
    title = next(text for text in texts(year_drawing(view)) if text.text == "2027")
    left, top, right, bottom = map(int, bounds(title))
    picture = Image.open(BytesIO(year_picture(view))).convert("L")
    dark = picture.crop((left - 10, top - 10, right + 10, bottom + 10)).point(lambda v: v < 128)
    box = dark.getbbox()
    assert box is not None
    assert box[2] - box[0] == pytest.approx(right - left, rel=0.06)
