"""How fast boxes are packed: as counted, with practice, at a table."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.model import Mark, Profile, Run, Sent, Shop
from assistant.planning.month.pace import (
    FLAT,
    Spell,
    average_time,
    learning_rate,
    line,
    pace,
    pace_now,
    pace_of,
    spells,
    time_left,
    total_time,
    work_of,
)
from tests.trade import shop

D = Decimal
BASE = datetime(2027, 3, 10, 9, tzinfo=UTC)


def at(hours: float) -> datetime:
    return BASE + timedelta(hours=hours)


# --- published figures ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("units", "average", "total"),
    [(1, 100, 100), (2, 80, 160), (4, 64, 256), (8, 51.2, 409.6), (16, 40.96, 655.36)],
)
def test_the_cumulative_average_model(units: int, average: float, total: float) -> None:
    # Source: T. P. Wright, "Factors Affecting the Cost of Airplanes", Journal of the Aeronautical
    # Sciences (journal from memory), 1936; learning rate 80%, first unit 100 h. Table from an
    # online management-accounting text, ch. 15, p. 324, publisher not identified.
    assert average_time(100, 0.8, units) == pytest.approx(average)
    assert total_time(100, 0.8, units) == pytest.approx(total)


@pytest.mark.parametrize(("units", "more"), [(1, 60), (2, 96), (4, 153.6), (8, 245.76)])
def test_the_increments_of_doublings(units: int, more: float) -> None:
    # Source as above; its text misprints the last increment as 254.76.
    taken = total_time(100, 0.8, units)
    assert time_left(units, taken, 0.8, 2 * units) == pytest.approx(more)


def test_hands_at_a_table() -> None:
    # Source: public copy of a textbook exercise, original not identified: 192 units in 8 h.
    found = line(192, 8, 720)
    assert found.seconds == pytest.approx(150)
    assert found.hands == 5
    assert found.used == pytest.approx(0.96)


@given(st.integers(1, 5000), st.integers(1, 60), st.integers(1, 90))
def test_the_hands_of_a_line_are_enough_and_none_too_many(
    boxes: int, hours: int, an_hour: int
) -> None:
    found = line(boxes, hours, work_of(D(an_hour)))
    assert found.hands * an_hour * hours >= boxes
    assert (found.hands - 1) * an_hour * hours < boxes
    assert 0 < found.used <= 1 + 1e-9


@given(st.floats(0.7, 1.0), st.floats(0.01, 1.0))
def test_a_rate_is_found_again(rate: float, first: float) -> None:
    def run(*counts: int) -> list[Spell]:
        totals = [total_time(first, rate, sum(counts[: n + 1])) for n in range(len(counts))]
        hours = [b - a for a, b in zip([0.0, *totals], totals, strict=False)]
        return [Spell(n, h) for n, h in zip(counts, hours, strict=True)]

    found = learning_rate([run(20, 30, 80, 200), run(50, 100, 150)])
    assert found == pytest.approx(rate, abs=1e-6)


def test_few_counts_show_no_practice() -> None:
    assert learning_rate([[Spell(20, 1.0), Spell(30, 1.0)]]) == FLAT
    assert learning_rate([]) == FLAT


# --- what counts show -------------------------------------------------------------------------


def counted(*counts: tuple[float, int], began: float | None = None, **fields: object) -> Shop:
    """A shop whose run of March was counted at these hours after nine on 10 March."""
    run = Run("2027-03", packed=tuple((at(hours), n) for hours, n in counts), **fields)  # type: ignore[arg-type]
    made = shop("2027-03 Rain", subscribers=431, zone="UTC")
    marks = (Mark("2027-03/pack", "done", at=at(began)),) if began is not None else ()
    return replace(made, runs=(run,), ledger=marks)


def seen(known: Shop, today: date | None = None) -> list[tuple[int, float]]:
    return [(one.boxes, round(one.hours, 6)) for one in spells(known, known.runs[0], today)]


def test_spells_between_the_counts_of_a_day() -> None:
    assert seen(counted((0, 30), (1, 30), (3, 50))) == [(30, 1.0), (50, 2.0)]


def test_the_first_count_tells_only_where_the_beginning_is_known() -> None:
    assert seen(counted((1, 30), (3, 50), began=0)) == [(30, 1.0), (50, 2.0)]
    assert seen(counted((1, 30), (3, 50), began=1)) == [(50, 2.0)]
    assert seen(counted((1, 30), (3, 50), began=-24)) == [(50, 2.0)]


def test_nights_are_no_work_and_hours_are_peoples() -> None:
    known = counted((1, 30), (3, 50), (24, 40), (26, 60), crew=2)
    assert seen(known) == [(50, 4.0), (60, 4.0)]


def test_a_day_with_one_count_is_a_whole_day_once_it_is_over() -> None:
    known = counted((5, 150), hours=D("7.5"))
    assert seen(known) == [(150, 7.5)]
    assert seen(known, date(2027, 3, 10)) == []


def test_a_count_that_was_put_right() -> None:
    assert seen(counted((0, 30), (1, 90), (1.5, -30))) == [(90, 1.0), (-30, 0.5)]


# --- which pace -------------------------------------------------------------------------------


def over(known: Shop) -> Shop:
    mark = Mark("2027-03/ship", "done", at=at(120))
    return replace(known, ledger=(*known.ledger, mark))


def test_the_houses_pace_until_a_run_is_over() -> None:
    known = counted((0, 30), (2, 40))
    assert (pace(known), pace_of(known).known) == (30, "house")
    assert (pace(over(known)), pace_of(over(known)).known) == (20, "runs")


def test_her_own_pace_is_never_changed_by_runs() -> None:
    known = over(counted((0, 30), (2, 40)))
    known = replace(known, profile=(Profile(boxes_per_hour=45),))
    found = pace_of(known)
    assert (found.boxes, found.known, found.shown) == (45, "own", 20)


def test_hours_that_were_noted_go_before_those_of_counts() -> None:
    known = over(counted((0, 30), (2, 40)))
    sent = Sent("2027-03", date(2027, 3, 15), 431, hours=D("17.24"))
    assert pace(replace(known, sent=(sent,))) == 25


def test_a_run_with_no_hours_shows_nothing() -> None:
    known = over(counted((0, 30), (0, 40)))
    assert pace_of(known).known == "house"
    back = over(counted((0, 30), (2, -30)))
    assert pace_of(back).known == "house"


def test_the_pace_of_a_run_that_goes_on() -> None:
    known = counted((0, 30), (2, 90))
    run, today = known.runs[0], date(2027, 3, 10)
    assert pace_now(known, run, 311, today).boxes == 45
    assert pace_now(known, None, 431, today).known == "house"
    short = counted((0, 30), (0.1, 90))
    assert pace_now(short, short.runs[0], 311, today).known == "house"
