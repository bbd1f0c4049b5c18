"""Ways to return: the even patterns, and every way there is."""

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.planning.year.spread.placements import Way, gaps_of, least, way, ways
from assistant.planning.year.spread.problem import Wanted, Year
from tests.planning.year.spread.years import own_ways, weight, years

# E. Bjorklund, "The Theory of Rep-Rate Pattern Generation in the SNS Timing System", 2003;
# G. Toussaint, "The Euclidean Algorithm Generates Traditional Musical Rhythms", BRIDGES 2005,
# 47-56; patterns as printed in two public implementations. Equal up to rotation.
PATTERNS = (
    "x.x..",
    "x.xx",
    "x..x..x.",
    "x.x.x.x",
    "x.x.x.x..",
    "x..x..x..x..",
    "x.xx.xx",
    "x.xx.xx.",
    "x.x.x.x.x",
    "x..x.x..x.x.",
    "x..x..x..x..x...",
    "x.xx.x.xx.x.",
    "x..x.x.x..x.x.x.",
)


def best_ways(n: int, k: int) -> list[Way]:
    year = Year((None,) * n, (Wanted("tea", k),))
    return ways(year, year.wanted[0], least(n, k))


def drawn(boxes: tuple[int, ...], n: int) -> str:
    return "".join("x" if box in boxes else "." for box in range(n))


@pytest.mark.parametrize("pattern", PATTERNS)
def test_the_most_even_ways_are_the_known_patterns_turned(pattern: str) -> None:
    n, k = len(pattern), pattern.count("x")
    turned = {pattern[at:] + pattern[:at] for at in range(n)}
    assert {drawn(one.boxes, n) for one in best_ways(n, k)} == turned


@pytest.mark.parametrize(
    ("pattern", "gaps"),
    [(p, tuple(len(run) + 1 for run in p[1:].split("x"))) for p in PATTERNS],
)
def test_gaps_lead_through_the_year_to_the_next(pattern: str, gaps: tuple[int, ...]) -> None:
    boxes = tuple(at for at, mark in enumerate(pattern) if mark == "x")
    assert gaps_of(boxes, len(pattern), None) == gaps
    assert gaps_of(boxes, len(pattern), -2) == (2, *gaps)


@pytest.mark.parametrize("n", range(1, 13))
def test_most_even_is_maximally_even(n: int) -> None:
    """Every span over so many gaps has one of two neighbouring lengths: the definition of J. Clough
    and J. Douthett, "Maximally Even Sets", Journal of Music Theory 35, 1991."""

    def maximally_even(boxes: tuple[int, ...]) -> bool:
        k = len(boxes)
        return all(
            len({(boxes[(at + d) % k] - boxes[at]) % n or n for at in range(k)} - {d * n // k})
            <= (d * n % k > 0)
            for d in range(1, k)
        )

    for k in range(1, n + 1):
        every = combinations(range(n), k)
        assert {one.boxes for one in best_ways(n, k)} == set(filter(maximally_even, every))


def test_four_times_in_twelve_boxes_is_one_in_each_quarter_never_running() -> None:
    """Common practice, no source."""
    found = best_ways(12, 4)
    assert [one.boxes for one in found] == [(n, n + 3, n + 6, n + 9) for n in range(3)]
    assert all({box // 3 for box in one.boxes} == {0, 1, 2, 3} for one in found)
    assert not any(one.running for one in found)


@given(years(8, 1), st.integers(0, 3000))
def test_every_way_within_a_limit_is_found_with_its_weight(year: Year, limit: int) -> None:
    wanted, n = year.wanted[0], year.boxes
    roomy = Year((None,) * n, year.wanted, year.sent)
    expected = sorted(
        Way(uneven, running, boxes)
        for boxes in own_ways(roomy, wanted)
        for running, uneven in [weight(wanted, boxes, n)]
        if uneven <= limit
    )
    assert ways(roomy, wanted, limit) == expected
    assert [way(wanted, one.boxes, n) for one in expected] == expected


@pytest.mark.parametrize(
    ("before", "first"),
    [(-1, 2), (-2, 1), (-3, 0), (-4, 0), (-9, 0)],
)
def test_last_year_s_final_box_decides_where_the_year_begins(before: int, first: int) -> None:
    """A type that has been away for long is due at once."""
    year = Year((None,) * 12, (Wanted("tea", 4, before=before),))
    found = min(ways(year, year.wanted[0], 10_000))
    assert found.boxes == (first, first + 3, first + 6, first + 9)
