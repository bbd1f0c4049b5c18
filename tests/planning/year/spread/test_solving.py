"""The best year, held against every year there is and against a solver that shares nothing."""

from hypothesis import assume, given, settings

from assistant.planning.year.spread.problem import Wanted, Year
from assistant.planning.year.spread.solving import band, best
from tests.planning.year.spread import years as plainly
from tests.planning.year.spread.years import realistic, years


def boxes_of(year: Year) -> tuple[tuple[int, ...], ...] | None:
    found = best(year)
    return found and tuple(way.boxes for way in found[1].ways)


@given(years(6, 3))
@settings(max_examples=150)
def test_the_best_year_of_all(year: Year) -> None:
    """Fewest running, then most even, then level within the band, then themes, then changes."""
    every = list(plainly.every_year(year))
    found = best(year)
    assert (found is None) == (not every)
    if found is None:
        return
    picked = found[1]
    boxes = tuple(way.boxes for way in picked.ways)
    assert boxes in every
    assert plainly.weights(year, boxes) == (picked.running, picked.uneven)
    assert (picked.running, picked.uneven) == min(plainly.weights(year, one) for one in every)
    assert picked.bound == picked.uneven
    even = [one for one in every if plainly.weights(year, one) == plainly.weights(year, boxes)]
    least = min(plainly.difference(year, one) for one in even)
    assert picked.level
    assert plainly.difference(year, boxes) <= max(least + band(year), band(year)) + 1e-6
    level = [
        one for one in even if plainly.difference(year, one) <= plainly.difference(year, boxes)
    ]
    assert plainly.suiting(year, boxes) >= max(plainly.suiting(year, one) for one in level)


@given(years(8, 2))
@settings(max_examples=60)
def test_larger_years_of_fewer_types(year: Year) -> None:
    every = list(plainly.every_year(year))
    boxes = boxes_of(year)
    assert (boxes is None) == (not every)
    if boxes:
        assert plainly.weights(year, boxes) == min(plainly.weights(year, one) for one in every)


@given(years(12, 5, easy=True))
@settings(max_examples=25)
def test_a_solver_that_shares_nothing_finds_the_same_evenness(year: Year) -> None:
    even = plainly.most_even(year)
    assume(even is not None)
    found = best(year)
    assert found is not None
    assert (found[1].running, found[1].uneven, found[1].bound) == (0, even, even)


def test_realistic_years_are_the_most_even_ones() -> None:
    for seed in range(4):
        year = realistic(seed, 12, 4)
        even = plainly.most_even(year)
        found = best(year)
        assert even is None or (found is not None and found[1].uneven == even)


def test_the_same_wishes_give_the_same_year() -> None:
    year = realistic(7, 12, 8)
    assert best(year)[1] == best(year)[1]  # type: ignore[index]


def test_two_boxes_running_only_where_there_is_no_other_way() -> None:
    seven = best(Year((None,) * 12, (Wanted("tea", 7),)))
    six = best(Year((None,) * 12, (Wanted("tea", 6),)))
    assert seven is not None
    assert six is not None
    assert (seven[1].running, six[1].running) == (2, 0)


def test_dear_types_are_not_all_in_one_box() -> None:
    dear = tuple(Wanted(f"dear {n}", 2, cost=900) for n in range(3))
    cheap = tuple(Wanted(f"cheap {n}", 2, cost=100) for n in range(3))
    boxes = boxes_of(Year((None,) * 6, (*dear, *cheap)))
    assert boxes is not None
    assert len({one[0] for one in boxes[:3]}) == 3


def test_what_is_fixed_stays_even_where_there_is_no_room() -> None:
    crowd = tuple(Wanted(f"t{n}", 2, fixed=(1,), apart=("t0",) if n else ()) for n in range(3))
    boxes = boxes_of(Year((1,) * 6, crowd))
    assert boxes is not None
    assert all(1 in one for one in boxes)
    assert len({*boxes[0], *boxes[1], *boxes[2]}) == 4


def test_a_large_year_tells_honestly_how_far_off_it_may_be() -> None:
    """26 boxes, 8 types: whatever was looked at, the bound is not above what is known to exist."""
    for seed in range(3):
        found = best(realistic(seed, 26, 8))
        assert found is not None
        assert found[0].catalogue.least <= found[1].bound <= found[1].uneven
