"""The curve of cash as it is drawn: legible, nothing over anything else, true to its numbers.

Contrast: Web Content Accessibility Guidelines 2.2, success criterion 1.4.3.
"""

from datetime import date, timedelta
from decimal import Decimal
from itertools import combinations, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.accounts.cash import Cash, Step, cash, last_day
from assistant.planning.model import Books
from assistant.sheets import cash_words as say
from assistant.sheets.cash_curve import MOST_TICKS, cash_drawing, cash_picture, scale
from assistant.sheets.drawing import Area, Drawing, Line
from assistant.sheets.shapes import SCREEN
from tests.sheets.test_year_sheet import bounds, contrast, overlap, texts
from tests.sheets.years import LONG
from tests.trade import shop, with_holidays

TODAY = date(2027, 1, 11)


def year(
    boxes: int, bank: str | None, cost: str = "3.10", overhead: int = 900, today: date = TODAY
) -> Cash:
    """The cash of so many months, each with items of two suppliers."""
    ids = [f"{2027 + n // 12}-{n % 12 + 1:02}" for n in range(1, boxes + 1)]
    made = shop(
        "Aldermoor: deposit 30%, net 30, lead 20d",
        "Hangfeng CN: deposit 50%, lead 15d",
        *(f"{id} Theme: log@Aldermoor 450 x {cost}; pin@Hangfeng 450 x 1.40" for id in ids),
        subscribers=420,
        price=Decimal(9),
    )
    told = Books(
        bank=None if bank is None else Decimal(bank),
        bank_on=today - timedelta(7),
        overhead=Decimal(overhead),
    )
    made = with_holidays(replace(made, books=(told,)), today)
    return cash(made, today, last_day(made, today))


YEARS = {
    "3 months": year(3, "9000"),
    "12 months": year(11, "4200"),
    "36 months": year(36, "14200"),
    "below zero": year(11, "1500", "6.00"),
    "always below zero": year(3, "-90000"),
    "not told": year(11, None),
    "millions": year(11, "4200000.50", "900.00"),
    "nothing at all": year(0, None, overhead=0),
    "last day of a month": year(2, "900", today=date(2027, 1, 31)),
}
EVERY = pytest.mark.parametrize("found", YEARS.values(), ids=YEARS.keys())


def drawn(found: Cash, name: str = "Mossgate Field Club") -> Drawing:
    return cash_drawing(found, name, "GBP")


@EVERY
def test_text_is_legible_and_over_nothing(found: Cash) -> None:
    drawing = drawn(found)
    free = [(text, bounds(text)) for text in texts(drawing)]
    for text, (left, top, right, bottom) in free:
        assert contrast(text.fill, text.on) >= 4.5
        assert text.on == drawing.paper
        assert text.size >= 24
        assert left >= 0
        assert top >= 0
        assert right <= drawing.width
        assert bottom <= drawing.height
    for (one, here), (other, there) in combinations(free, 2):
        assert not overlap(here, there), (one.text, other.text)
    areas = [bounds(mark) for mark in drawing.marks if isinstance(mark, Area)]
    assert not [text for text, here in free for area in areas if overlap(here, area)]
    lines = [mark for mark in drawing.marks if isinstance(mark, Line)]
    for line in lines:
        (a, b), (c, d) = line.start, line.end
        reach = min(a, c), min(b, d), max(a, c) + 0.1, max(b, d) + 0.1
        assert not [text.text for text, here in free if overlap(here, reach)]


@EVERY
def test_the_lowest_point_is_marked_where_it_is(found: Cash) -> None:
    drawing = drawn(found)
    assert say.lowest(found, "GBP") in [text.text for text in texts(drawing)]
    diamond = [mark for mark in drawing.marks if isinstance(mark, Area)][-1]
    left, top, right, bottom = bounds(diamond)
    middle = (left + right) / 2, (top + bottom) / 2
    edge = [m for m in drawing.marks if isinstance(m, Line) and m.thick == 3]
    # No step lies lower than the mark, and one lies as low as it, at its place.
    assert max(line.end[1] for line in edge) == pytest.approx(middle[1])
    assert any(
        line.start[0] - 0.1 <= middle[0] <= line.end[0] + 0.1
        and line.start[1] == pytest.approx(middle[1])
        for line in edge
    )


@EVERY
def test_steps_stand_as_high_as_their_weeks(found: Cash) -> None:
    """Between two round levels heights are in proportion."""
    ticks = scale(found.weeks)
    labels = [say.level(tick, found, "GBP") for tick in ticks]
    shown = {text.text: text.y for text in texts(drawn(found)) if text.anchor == "end"}
    ys = [shown[label] for label in labels]
    gaps = [one - other for one, other in pairwise(ys)]
    assert all(gap == pytest.approx(gaps[0]) for gap in gaps)
    edge = [m for m in drawn(found).marks if isinstance(m, Line) and m.thick == 3]
    flat = [line.start[1] for line in edge if line.start[1] == line.end[1]][: len(found.weeks)]
    zero = ys[ticks.index(Decimal(0))] - 28 * 0.33
    unit = gaps[0] / float(ticks[1] - ticks[0])
    levels = {round(zero - float(one.least) * unit, 3) for one in found.weeks}
    assert {round(y, 3) for y in flat} <= levels


def test_below_zero_is_told_without_colour() -> None:
    assert contrast(SCREEN.late, SCREEN.rule) > 3
    fills = [mark.fill for mark in drawn(YEARS["below zero"]).marks if isinstance(mark, Area)]
    assert {SCREEN.late, SCREEN.rule} <= set(fills)


def test_months_are_named_as_long_as_there_is_room() -> None:
    assert "Mar" in [text.text for text in texts(drawn(YEARS["12 months"]))]
    shown = [text.text for text in texts(drawn(YEARS["36 months"]))]
    assert shown.count("M") == 6  # three years of March and May
    assert [one for one in shown if one in ("2027", "2028", "2029", "2030")][:3] == [
        "2027",
        "2028",
        "2029",
    ]


def test_without_a_bank_nothing_is_today() -> None:
    shown = [text.text for text in texts(drawn(YEARS["not told"]))]
    assert say.AGAINST_TODAY in shown
    assert "today" in shown
    assert "£0" not in shown


def test_a_long_name_is_cut_and_a_picture_is_one_that_chats_take() -> None:
    picture = cash_picture(YEARS["36 months"], LONG, "GBP")
    assert picture[:8] == b"\x89PNG\r\n\x1a\n"
    assert int.from_bytes(picture[16:20], "big") == 1080
    assert len(picture) < 1_000_000


@given(st.lists(st.decimals("-99999", "99999", places=2), min_size=1, max_size=9))
def test_a_scale_is_round_and_holds_all(levels: list[Decimal]) -> None:
    nothing = Decimal(0)
    steps = [Step(TODAY, TODAY, nothing, nothing, level, level) for level in levels]
    ticks = scale(steps)
    assert ticks[0] <= min(levels)
    assert ticks[-1] >= max(levels)
    assert nothing in ticks
    assert 2 <= len(ticks) <= MOST_TICKS
    each = ticks[1] - ticks[0]
    assert all(other - one == each for one, other in pairwise(ticks))
    assert each.normalize().as_tuple().digits in ((1,), (2,), (5,))
    assert each >= 1


@pytest.mark.parametrize(
    ("amount", "signed", "rounded"),
    [
        ("1234.50", "£1,234.50", "£1,234"),
        ("-0.60", "−£0.60", "−£1"),
        ("0", "£0.00", "£0"),
        ("-2000", "−£2,000.00", "−£2,000"),
    ],
)
def test_amounts_have_their_sign_before_their_currency(
    amount: str, signed: str, rounded: str
) -> None:
    assert say.signed(Decimal(amount), "GBP") == signed
    assert say.rounded(Decimal(amount), "GBP") == rounded


def test_what_is_shown_is_named() -> None:
    assert say.title(YEARS["12 months"]).startswith("Cash, Jan 2027 to ")
    assert say.title(replace(YEARS["3 months"], last=date(2027, 5, 31))) == "Cash, Jan to May 2027"
    assert say.title(replace(YEARS["3 months"], last=date(2027, 1, 31))) == "Cash, Jan 2027"
