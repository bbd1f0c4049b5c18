"""Wishes that cannot all hold: the smallest set of them, and the least that would have to give.

Knows: the rows that wishes ask for. Must not know: how even a year is, dates. Invariants: with any
one wish of the set left out the others can hold; facts (what is ordered or sent) never give.

Plain arithmetic comes first: what it finds is a clash already, and a small one. Otherwise the set
is found by leaving out halves (U. Junker, "QUICKXPLAIN: Preferred Explanations and Relaxations for
Over-Constrained Problems", AAAI 2004). Where an answer takes the solver too long a wish is kept.
"""

from collections.abc import Callable, Iterator, Sequence

from assistant.planning.year.spread.boxes import Rule, least_given, possible, rules
from assistant.planning.year.spread.problem import Clash, Relaxation, Wanted, Wish, Year

FACTS = ("fixed", "sent")


def clash(year: Year) -> Clash | None:
    """Return the clash of a year's wishes, None where they can all hold."""
    every = tuple(rules(year))
    wishes = tuple(dict.fromkeys(rule.wish for rule in every))
    for candidates in (*_by_arithmetic(year, every), wishes):
        if smallest := _smallest(year, every, candidates):
            return _with_relaxations(year, every, smallest)
    return None


def _smallest(year: Year, every: Sequence[Rule], candidates: Sequence[Wish]) -> tuple[Wish, ...]:
    """The smallest clash among these wishes; () where they can all hold."""

    def holds(wishes: Sequence[Wish]) -> bool:
        kept = {*wishes}
        return possible(year, (rule for rule in every if rule.wish in kept))

    if holds(candidates):
        return ()
    return _explain((), False, tuple(candidates), holds)


def _explain(
    base: tuple[Wish, ...],
    grown: bool,
    candidates: tuple[Wish, ...],
    holds: Callable[[Sequence[Wish]], bool],
) -> tuple[Wish, ...]:
    """Which of the candidates clash, given that those of the base are kept."""
    if grown and not holds(base):
        return ()
    if len(candidates) == 1:
        return candidates
    half = len(candidates) // 2
    first, second = candidates[:half], candidates[half:]
    of_second = _explain((*base, *first), True, second, holds)
    of_first = _explain((*base, *of_second), bool(of_second), first, holds)
    return (*of_first, *of_second)


# --- plain arithmetic -----------------------------------------------------------------------


def _by_arithmetic(year: Year, every: Sequence[Rule]) -> Iterator[tuple[Wish, ...]]:
    """Sets of wishes that clash by counting alone, not yet the smallest."""
    for wanted in year.wanted:
        own = tuple(
            dict.fromkeys(
                rule.wish
                for rule in every
                if (rule.wish.type == wanted.id and rule.wish.what != "apart")
                or rule.wish.what == "sent"
            )
        )
        if _too_many(year, wanted):
            yield own
    if places := _too_little_room(year, every):
        yield places


def _too_many(year: Year, wanted: Wanted) -> bool:
    """Whether one type's own wishes cannot hold, by counting boxes."""
    stay = {*wanted.fixed, *wanted.pins}
    shut = ({*wanted.shut} | {*year.sent}) - {*wanted.fixed}
    musts = [group for group in wanted.must if stay.isdisjoint(group)]
    return (
        year.boxes - len(shut) < wanted.times
        or not shut.isdisjoint(stay)
        or any(shut.issuperset(group) for group in musts)
        or len(stay) + len(musts) > wanted.times
    )


def _too_little_room(year: Year, every: Sequence[Rule]) -> tuple[Wish, ...]:
    """All times and rooms, where there are more returns than places."""
    if None in year.room:
        return ()
    places = sum(room for room in year.room if room is not None)
    if sum(wanted.room * wanted.times for wanted in year.wanted) <= places:
        return ()
    return tuple(dict.fromkeys(r.wish for r in every if r.wish.what in ("times", "room", "fixed")))


# --- what would have to give ----------------------------------------------------------------


def _with_relaxations(year: Year, every: Sequence[Rule], wishes: tuple[Wish, ...]) -> Clash:
    """The clash with what would have to give: one wish of the set where that is enough (each one
    that is), else as few of all wishes as can be."""
    able = [wish for wish in wishes if wish.what not in FACTS]
    single = [given[0] for wish in able if (given := least_given(year, every, (wish,)))]
    if single:
        return Clash(wishes, tuple(_relaxed(*one) for one in single), alone=True)
    others = [rule.wish for rule in every if rule.wish.what not in FACTS]
    together = least_given(year, every, others) or ()
    return Clash(wishes, tuple(_relaxed(*one) for one in together), alone=False)


def _relaxed(wish: Wish, by: int) -> Relaxation:
    if wish.what in ("times", "room"):
        return Relaxation(wish, wish.number + by)
    return Relaxation(wish)
