"""Other years: nearly as even, every wish kept, and as different as they can be."""

from hypothesis import given, settings

from assistant.planning.year.spread.alternatives import LESS_LEVEL, allowed, alternatives, distance
from assistant.planning.year.spread.problem import Wanted, Year
from assistant.planning.year.spread.solving import best
from tests.planning.year.spread import years as plainly
from tests.planning.year.spread.years import realistic, years


@given(years(6, 3))
@settings(max_examples=60)
def test_alternatives_keep_every_wish_and_differ(year: Year) -> None:
    found = best(year)
    if found is None:
        return
    search, first = found
    others = alternatives(search, first, 3)
    shown = [tuple(way.boxes for way in one.ways) for one in (first, *others)]
    assert len({*shown}) == len(shown)
    every = list(plainly.every_year(year))
    mean = sum(one.cost * one.times for one in year.wanted) / year.boxes
    near = [
        one
        for one in every
        if plainly.weights(year, one)[0] <= first.running
        and plainly.weights(year, one)[1] <= allowed(year, first)
        and plainly.difference(year, one) <= plainly.difference(year, shown[0]) + mean / LESS_LEVEL
    ]
    assert all(one in near for one in shown[1:])
    assert len(shown) == min(4, len(near))


def test_alternatives_of_a_real_year_move_much() -> None:
    found = best(realistic(3, 12, 8))
    assert found is not None
    search, first = found
    others = alternatives(search, first, 3)
    assert len(others) == 3
    assert all(distance(one.ways, first.ways) >= 3 for one in others)


def test_the_first_alternative_is_the_furthest() -> None:
    year = Year((None,) * 6, (Wanted("tea", 3), Wanted("pin", 2)))
    found = best(year)
    assert found is not None
    search, first = found
    other = alternatives(search, first, 1)[0]
    assert distance(other.ways, first.ways) == 5
