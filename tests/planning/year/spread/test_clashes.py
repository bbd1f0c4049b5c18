"""Wishes that clash: the set is a clash, none of it can be spared, and what gives is enough."""

from itertools import combinations, product

import pytest
from hypothesis import given, settings

from assistant.planning.year.spread.boxes import rules
from assistant.planning.year.spread.clashes import FACTS, clash
from assistant.planning.year.spread.problem import Clash, Relaxation, Wanted, Wish, Year
from tests.planning.year.spread.years import every_year, keeps, years


def can_hold(year: Year, wishes: list[Wish]) -> bool:
    """Whether some choice of boxes for each type keeps all of these wishes."""
    n = len(year.room)
    subsets = [boxes for k in range(n + 1) for boxes in combinations(range(n), k)]
    return any(
        all(keeps(year, wish, picked) for wish in wishes)
        for picked in product(subsets, repeat=len(year.wanted))
    )


def given_way(wishes: list[Wish], relaxations: tuple[Relaxation, ...]) -> list[Wish]:
    """The wishes once these have given."""
    gone = {one.wish: one.to for one in relaxations}
    kept = [wish for wish in wishes if wish not in gone]
    changed = [
        Wish(wish.what, wish.type, wish.other, wish.box, wish.month, to)
        for wish, to in gone.items()
        if to is not None
    ]
    return kept + changed


@given(years(4, 2))
@settings(max_examples=150)
def test_a_clash_is_smallest_and_what_gives_is_enough(year: Year) -> None:
    found = clash(year)
    assert (found is None) == bool(next(every_year(year), ()))
    if found is None:
        return
    wishes = list(found.wishes)
    assert not can_hold(year, wishes)
    for wish in wishes:
        assert can_hold(year, [one for one in wishes if one != wish]), wish
    every = list(dict.fromkeys(rule.wish for rule in rules(year)))
    ways = [(one,) for one in found.relaxations] if found.alone else [found.relaxations]
    for way in ways:
        assert all(one.wish.what not in FACTS for one in way)
        assert can_hold(year, given_way(every, way)), way


def told(found: Clash | None) -> set[str]:
    assert found is not None
    return {f"{one.what} {one.type}".strip() for one in found.wishes}


@pytest.mark.parametrize(
    ("year", "expected", "relaxed"),
    [
        (Year((None,) * 12, (Wanted("tea", 13),)), {"times tea"}, {12}),
        (
            Year((1,) * 4, (Wanted("tea", 3), Wanted("pin", 2))),
            {"times tea", "times pin", "room"},
            {1, 2},
        ),
        (
            Year((1,) * 4, (Wanted("tea", 1, pins=(2,)), Wanted("pin", 1, pins=(2,)))),
            {"pin tea", "pin pin", "room"},
            {None, 2},
        ),
        (
            Year((None,) * 4, (Wanted("tea", 1, must=((0,), (2,))),)),
            {"times tea", "must tea"},
            {2, None},
        ),
        (
            Year((None,) * 4, (Wanted("tea", 1, pins=(0,)),), sent=(0,)),
            {"pin tea", "sent"},
            {None},
        ),
        (
            Year((None,) * 4, (Wanted("tea", 4), Wanted("pin", 1, apart=("tea",)))),
            {"times tea", "times pin", "apart tea"},
            {3, 0, None},
        ),
        (
            Year((None,) * 4, (Wanted("tea", 2, shut=(0, 1, 2)),)),
            {"times tea", "must not tea"},
            {1, None},
        ),
    ],
)
def test_clashes_in_figures(year: Year, expected: set[str], relaxed: set[int | None]) -> None:
    found = clash(year)
    assert told(found) == expected
    assert found is not None
    assert found.alone
    assert {one.to for one in found.relaxations} == relaxed


def test_a_clash_that_needs_several_to_give() -> None:
    """Two types that may not come at all and have to."""
    never = tuple(Wanted(name, 1, shut=(0, 1)) for name in ("tea", "pin"))
    found = clash(Year((None,) * 2, never))
    assert found is not None
    assert not found.alone
    assert {one.wish.type for one in found.relaxations} == {"tea", "pin"}
