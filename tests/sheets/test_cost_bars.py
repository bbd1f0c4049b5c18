"""The bars of box costs: legible, nothing over anything else, every pattern told apart.

Contrast: Web Content Accessibility Guidelines 2.2, success criterion 1.4.3.
"""

from collections.abc import Iterator
from decimal import Decimal
from itertools import combinations

import pytest

from assistant.planning.accounts.costs import BoxCost
from assistant.sheets.cost_bars import (
    LEFT,
    PIECES,
    RIGHT,
    CostSheet,
    cost_drawing,
    cost_picture,
    parts,
)
from assistant.sheets.drawing import Area, Drawing, Line, Text
from assistant.sheets.lettering import width
from assistant.sheets.shapes import PRINT
from assistant.sheets.writing import money
from assistant.sheets.year_sheet import EXPLAINED, HEIGHT
from tests.sheets.test_year_sheet import bounds, contrast, overlap

LONG = "the slow return of every small thing that sings at dusk " * 3
D = Decimal


def cost(place: int, *, target: str = "14", price: str = "32", times: str = "1") -> BoxCost:
    """A box of any month, of which every fifth lacks its postage."""
    year, month = divmod(place, 12)
    known = place % 5 != 0
    return BoxCost(
        box=f"{2027 + year}-{month + 1:02}",
        boxes=420,
        goods=(D("9.35") + D(place * 7 % 13) / 2) * D(times),
        packaging=D("0.85"),
        card=D("0.12"),
        postage=D("3.45") if known else D(0),
        fees=D("0.68"),
        price=D(price) if price else None,
        net=D(price) / D("1.2") if price else None,
        target=D(target) if target else None,
        unknown=() if known else (("postage", ""),),
    )


def sheet(*boxes: BoxCost, name: str = "Mossgate Field Club", theme: str = "Rain") -> CostSheet:
    return CostSheet(name, "Costs of the boxes to come", "GBP", boxes, (theme,) * len(boxes))


SHEETS = {
    "12 boxes": sheet(*map(cost, range(12))),
    "36 boxes": sheet(*map(cost, range(36))),
    "long names": sheet(*map(cost, range(12)), name=LONG, theme=LONG),
    "no target": sheet(*(cost(n, target="") for n in range(3))),
    "no price": sheet(*(cost(n, price="") for n in range(3))),
    "dear": sheet(*(cost(n, times="940") for n in range(6)), theme=LONG),
    "at a loss": sheet(*(cost(n, price="9") for n in range(6))),
    "nothing known": sheet(BoxCost("2027-03", unknown=(("price", "x"),)), theme=""),
    "two in a month": sheet(BoxCost("2027-03", goods=D(4)), BoxCost("2027-03b", goods=D(5))),
    "none": sheet(),
}
DRAWN = {name: cost_drawing(one) for name, one in SHEETS.items()}
EVERY = pytest.mark.parametrize("drawing", DRAWN.values(), ids=DRAWN.keys())


def texts(drawing: Drawing) -> Iterator[Text]:
    return (mark for mark in drawing.marks if isinstance(mark, Text))


@EVERY
def test_text_stands_out_from_what_it_is_on(drawing: Drawing) -> None:
    assert all(contrast(text.fill, text.on) >= 4.5 for text in texts(drawing))
    assert min(text.size for text in texts(drawing)) >= 12


@EVERY
def test_nothing_is_over_a_text_or_over_the_edge(drawing: Drawing) -> None:
    free = [bounds(text) for text in texts(drawing) if text.on == drawing.paper]
    assert not [1 for one, other in combinations(free, 2) if overlap(one, other)]
    areas = [bounds(mark) for mark in drawing.marks if isinstance(mark, Area)]
    lines = [
        (min(a, c), min(b, d), max(a, c) + 0.1, max(b, d) + 0.1)
        for mark in drawing.marks
        if isinstance(mark, Line)
        for (a, b), (c, d) in ((mark.start, mark.end),)
    ]
    assert not [1 for one in free for other in (*areas, *lines) if overlap(one, other)]
    for left, top, right, bottom in (*free, *areas, *lines):
        assert left >= 0
        assert right <= drawing.width + 0.1
        assert top >= 0
        assert bottom <= drawing.height


@EVERY
def test_words_in_a_bar_are_within_its_goods(drawing: Drawing) -> None:
    for text in texts(drawing):
        if text.on != drawing.paper:
            end = text.x + width(text.text, text.size, text.weight)
            assert any(
                isinstance(mark, Area)
                and mark.fill == text.on
                and bounds(mark)[0] <= text.x
                and end <= bounds(mark)[2]
                and bounds(mark)[1] <= text.y - text.size * 0.66
                and text.y <= bounds(mark)[3]
                for mark in drawing.marks
            )


@pytest.mark.parametrize("name", SHEETS)
def test_a_picture_is_one_that_chats_take(name: str) -> None:
    """Limits of a picture: Bot API, "sendPhoto"."""
    picture = cost_picture(SHEETS[name])
    high, wide = (int.from_bytes(picture[at : at + 4], "big") for at in (20, 16))
    assert picture[:8] == b"\x89PNG\r\n\x1a\n"
    assert wide == 1080
    assert high <= HEIGHT
    assert len(picture) < 10_000_000


def test_bars_are_as_long_as_what_they_cost() -> None:
    """One scale for all: the end of each bar stands where its cost does."""
    made = SHEETS["12 boxes"]
    ends: dict[float, float] = {}
    for mark in cost_drawing(made).marks:
        if isinstance(mark, Area) and bounds(mark)[0] >= LEFT and bounds(mark)[1] > 330:
            top, right = bounds(mark)[1], bounds(mark)[2]
            ends[top] = max(ends.get(top, 0), right)
    assert len(ends) == 12
    pairs = zip(ends.values(), made.boxes, strict=True)
    each = {round((x - LEFT) / float(one.cost), 6) for x, one in pairs}
    assert len(each) == 1
    assert max(ends.values()) <= RIGHT


@pytest.mark.parametrize("name", ["12 boxes", "36 boxes", "at a loss"])
def test_every_box_says_what_it_costs_and_leaves(name: str) -> None:
    shown = [text.text for text in texts(DRAWN[name])]
    for one in SHEETS[name].boxes:
        margin, over = one.margin or D(0), one.over or D(0)
        words = [money(one.cost, "GBP") + (" + ?" if one.unknown else "")]
        words += [f"goods {money(over, 'GBP')} over"] if over > 0 else []
        words += [f"{'leaves' if margin >= 0 else 'loses'} {money(abs(margin), 'GBP')}"]
        for word in words:
            assert word in shown
            shown.remove(word)


def test_each_piece_has_a_pattern_of_its_own_in_the_key_and_in_the_bars() -> None:
    """Told apart without colour: by the directions of the lines within."""
    black = cost_drawing(SHEETS["12 boxes"], PRINT)
    assert {mark.fill for mark in black.marks if isinstance(mark, Area)} == {PRINT.bar, PRINT.paper}
    patterns = []
    marks = list(black.marks)
    names = [n for n, mark in enumerate(marks) if isinstance(mark, Text) and mark.text in PIECES]
    start = 0
    for name in names:
        lines = [mark for mark in marks[start:name] if isinstance(mark, Line)][:-4]  # the outline
        filled = any(isinstance(m, Area) and m.fill == PRINT.bar for m in marks[start:name])
        patterns.append((filled, frozenset(_direction(line) for line in lines)))
        start = name + 1
    assert len(set(patterns)) == len(PIECES) == len(parts(cost(1)))


def _direction(line: Line) -> str:
    (x1, y1), (x2, y2) = line.start, line.end
    if x1 == x2:
        return "upright"
    return "level" if y1 == y2 else "slanted"


def test_what_is_not_known_is_explained() -> None:
    assert any("not all of it is known" in text.text for text in texts(DRAWN["12 boxes"]))
    all_known = cost_drawing(sheet(cost(1), cost(2)))
    assert not any("not all" in text.text for text in texts(all_known))
    strange = cost_drawing(sheet(cost(1), theme="\u96e8"))
    assert any(text.text == EXPLAINED for text in texts(strange))
