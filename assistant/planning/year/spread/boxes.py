"""Whether wishes can hold together: a model with a column for each type in each box.

Knows: the wishes of a year. Must not know: how even it is, ways to return. Invariants: what is
impossible here has been proved so; every wish is a row of the model whose slack is one column, the
same for all rows of that wish: it is zero while the wish must hold.
"""

from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations
from math import inf
from typing import NamedTuple

from assistant.planning.year.spread.highs import Answer, Model, solve
from assistant.planning.year.spread.problem import Wanted, Wish, Year

FEASIBLE_NODES = 500
PER_WISH = 100  # a wish more that gives weighs as much as one that gives by so much more

At = dict[tuple[str, int], int]  # the column of a type (id) in a box


class Rule(NamedTuple):
    """One row that a wish asks for: lower <= the sum of factor x (type, box) <= upper."""

    wish: Wish
    terms: tuple[tuple[str, int, int], ...]
    lower: float = -inf
    upper: float = inf


def rules(year: Year) -> Iterator[Rule]:
    """Every row that the wishes of a year ask for."""
    for wanted in year.wanted:
        yield from _of_type(year, wanted)
    yield from _sent(year)
    yield from _room(year)
    yield from _apart(year)


def _of_type(year: Year, wanted: Wanted) -> Iterator[Rule]:
    id, every = wanted.id, tuple((wanted.id, box, 1) for box in range(year.boxes))
    yield Rule(Wish("times", id, number=wanted.times), every, wanted.times, wanted.times)
    for box in wanted.fixed:
        yield Rule(Wish("fixed", id, box=_name(year, box)), ((id, box, 1),), lower=1)
    for box in sorted({*wanted.pins} - {*wanted.fixed}):
        yield Rule(Wish("pin", id, box=_name(year, box)), ((id, box, 1),), lower=1)
    for group in wanted.must:
        wish = Wish("must", id, box=_name(year, group[0]), month=_month(year, group[0]))
        yield Rule(wish, tuple((id, box, 1) for box in group), lower=1)
    for box in sorted({*wanted.shut} - {*wanted.fixed}):
        yield Rule(Wish("must not", id, month=_month(year, box)), ((id, box, 1),), upper=0)


def _sent(year: Year) -> Iterator[Rule]:
    wish = Wish("sent", number=len(year.sent))
    for box in year.sent:
        for wanted in year.wanted:
            if box not in wanted.fixed:
                yield Rule(wish, ((wanted.id, box, 1),), upper=0)


def _room(year: Year) -> Iterator[Rule]:
    """Room in each box. What is fixed stays, room or no room."""
    for box, room in enumerate(year.room):
        if room is not None:
            own = _name(year, box) if box in year.own_room else ""
            there = sum(one.room for one in year.wanted if box in one.fixed)
            terms = tuple((one.id, box, one.room) for one in year.wanted)
            yield Rule(Wish("room", box=own, number=room), terms, upper=max(room, there))


def _apart(year: Year) -> Iterator[Rule]:
    for one, other in combinations(year.wanted, 2):
        if other.id in one.apart or one.id in other.apart:
            wish = Wish("apart", one.id, other.id)
            for box in range(year.boxes):
                if box not in one.fixed or box not in other.fixed:
                    yield Rule(wish, ((one.id, box, 1), (other.id, box, 1)), upper=1)


def _name(year: Year, box: int) -> str:
    return year.names[box] if year.names else str(box)


def _month(year: Year, box: int) -> int:
    return year.months[box] if year.months else box + 1


# --- asking the solver ----------------------------------------------------------------------


def _model(year: Year, kept: Iterable[Rule]) -> tuple[Model, At]:
    """A model in which these rows hold."""
    model = Model()
    at = {(one.id, box): model.column() for one in year.wanted for box in range(year.boxes)}
    for rule in kept:
        terms = [(at[id, box], float(factor)) for id, box, factor in rule.terms]
        model.row(terms, rule.lower, rule.upper)
    return model, at


def possible(year: Year, kept: Iterable[Rule]) -> bool:
    """Whether these rows can all hold; true also where that was not found out."""
    return not solve(_model(year, kept)[0], nodes=FEASIBLE_NODES).impossible


def least_running(year: Year) -> Answer:
    """The fewest returns in two boxes running, as the answer's value; none where the wishes cannot
    all hold."""
    model, at = _model(year, rules(year))
    n = year.boxes
    for wanted in year.wanted:
        if wanted.before == -1:
            model.cost[at[wanted.id, 0]] = 1
        for box in range(n if n > 2 else n - 1):
            both = model.column(1, whole=False)
            pair = at[wanted.id, box], at[wanted.id, (box + 1) % n]
            model.row([(pair[0], 1.0), (pair[1], 1.0), (both, -1.0)], upper=1)
    return solve(model)


def boxes_of(year: Year, values: Sequence[float]) -> tuple[tuple[int, ...], ...]:
    """The boxes of each type by an answer of `least_running`."""
    n = year.boxes
    return tuple(
        tuple(box for box in range(n) if values[at * n + box] > 0.5)
        for at in range(len(year.wanted))
    )


def least_given(
    year: Year, kept: Iterable[Rule], may_give: Iterable[Wish]
) -> tuple[tuple[Wish, int], ...] | None:
    """The fewest wishes that give, and each by how little, so that the rest can hold; None where
    that is not enough."""
    slack: dict[Wish, tuple[int, int, int]] = {}
    model, at = _model(year, ())
    most = max(year.boxes, *(one.room for one in year.wanted)) * max(1, len(year.wanted))
    for wish in dict.fromkeys(may_give):
        less, more, gives = model.column(1, most), model.column(1, most), model.column(PER_WISH)
        model.row([(less, 1.0), (more, 1.0), (gives, -float(most))], upper=0)
        slack[wish] = less, more, gives
    for rule in kept:
        terms = [(at[id, box], float(factor)) for id, box, factor in rule.terms]
        if rule.wish in slack:
            less, more, _ = slack[rule.wish]
            terms += [(less, 1.0)] * (rule.lower > -inf) + [(more, -1.0)] * (rule.upper < inf)
        model.row(terms, rule.lower, rule.upper)
    answer = solve(model)
    if answer.values is None:
        return None
    return tuple(
        (wish, round(answer.values[more]) - round(answer.values[less]))
        for wish, (less, more, gives) in slack.items()
        if answer.values[gives] > 0.5
    )
