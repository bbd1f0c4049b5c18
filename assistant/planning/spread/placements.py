"""Every way in which one type can return, with how uneven it is.

Knows: numbers of boxes. Must not know: other types, the solver. Invariants: unevenness is a whole
number, the same however a round of gaps is turned, and least exactly for the maximally even
patterns (J. Clough, J. Douthett, "Maximally Even Sets", Journal of Music Theory 35, 1991).

Unevenness of k returns in n boxes. The year is taken to repeat itself: from the last return the
gap leads to the first one of the next year. Each gap g counts (k g - n)^2, which is its distance
from the even gap n/k, squared, in one scale for all types; each span over several gaps counts
likewise, a `GAP`th as much, so that long and short gaps alternate. Where last year's final return
is known, the gap from it to the first counts too; a type that has been away for longer than n/k
is due at once, and no more than that.
"""

from collections.abc import Iterator
from functools import lru_cache
from itertools import accumulate
from typing import NamedTuple

from assistant.planning.spread.problem import Wanted, Year

GAP = 4  # a gap weighs as much as four wider spans


class Way(NamedTuple):
    """One way to return: how uneven, how many gaps are of one box, the boxes in order."""

    uneven: int
    running: int
    boxes: tuple[int, ...]


def gaps_of(boxes: tuple[int, ...], n: int, before: int | None) -> tuple[int, ...]:
    """The gaps in boxes: from the last return before, through the year, to the next first one."""
    if not boxes:
        return ()
    line = boxes if before is None else (before, *boxes)
    return tuple(b - a for a, b in zip(line, (*line[1:], boxes[0] + n), strict=True))


def way(wanted: Wanted, boxes: tuple[int, ...], n: int) -> Way:
    """Weigh one way for a type to return."""
    k = len(boxes)
    if not k:
        return Way(0, 0, ())
    gaps = gaps_of(boxes, n, None)
    uneven, running = _round(gaps, n), sum(gap == 1 < n for gap in gaps)
    if wanted.before is not None:
        uneven += _since(wanted.before, boxes[0], k, n)
        running += boxes[0] - wanted.before == 1
    return Way(uneven, running, boxes)


def least(n: int, k: int) -> int:
    """The least unevenness of k returns in n boxes, whatever is wished."""
    return _round(tuple((i + 1) * n // k - i * n // k for i in range(k)), n) if k else 0


def ways(year: Year, wanted: Wanted, limit: int | None = None) -> tuple[Way, ...]:
    """Every way for a type to return that its own wishes allow, the least uneven first; with
    `limit`, only those of at most that unevenness."""
    n, k = year.boxes, wanted.times
    if not k:
        return (Way(0, 0, ()),)
    stay = frozenset((*wanted.fixed, *wanted.pins))
    closed = (frozenset(wanted.shut) | frozenset(year.sent)) - frozenset(wanted.fixed)
    full = {b for b, room in enumerate(year.room) if room is not None and room < wanted.room}
    closed |= full - frozenset(wanted.fixed)
    return tuple(
        sorted(
            found
            for gaps in rounds(n, k, limit)
            for boxes in _turned(gaps)
            if stay.issubset(boxes)
            and closed.isdisjoint(boxes)
            and all(not group.isdisjoint(boxes) for group in map(frozenset, wanted.must))
            and ((found := way(wanted, boxes, n)).uneven <= limit if limit is not None else True)
        )
    )


@lru_cache(maxsize=256)
def rounds(n: int, k: int, limit: int | None) -> tuple[tuple[int, ...], ...]:
    """Every round of k gaps that fills n boxes, within a limit of unevenness."""
    return tuple(
        gaps for gaps in _rounds(n, k, n, k, limit) if limit is None or _round(gaps, n) <= limit
    )


def _rounds(n: int, k: int, left: int, more: int, limit: int | None) -> Iterator[tuple[int, ...]]:
    """Gaps that fill what is left; `limit` bounds what the gaps alone may weigh."""
    if more == 1:
        if limit is None or GAP * (k * left - n) ** 2 <= limit:
            yield (left,)
        return
    for gap in range(1, left - more + 2):
        rest = None if limit is None else limit - GAP * (k * gap - n) ** 2
        if rest is None or rest >= 0:
            for others in _rounds(n, k, left - gap, more - 1, rest):
                yield (gap, *others)


def _turned(gaps: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
    """The boxes that a round of gaps can mean: its last gap leads over the end of the year."""
    places = tuple(accumulate(gaps[:-1], initial=0))
    for first in range(gaps[-1]):
        yield tuple(first + place for place in places)


@lru_cache(maxsize=65536)
def _round(gaps: tuple[int, ...], n: int) -> int:
    k = len(gaps)
    twice = gaps + gaps
    total, spans = 0, [0] * k
    for d in range(1, max(2, k // 2 + 1)):
        spans = [span + twice[i + d - 1] for i, span in enumerate(spans)]
        weight = GAP if d == 1 else 1
        total += weight * sum((k * span - d * n) ** 2 for span in spans)
    return total


def _since(before: int, first: int, k: int, n: int) -> int:
    """What the gap from last year's final return weighs."""
    due = -(-n // k)
    return GAP * (k * (first - max(before, -due)) - n) ** 2


def bands(year: Year, wanted: Wanted, running: int, margin: int = 0) -> tuple[Way, ...]:
    """The ways of a type that weigh at most `margin` more than its best, the best first; none
    that has more than `running` returns in two boxes running."""
    n, k = year.boxes, wanted.times
    limit = least(n, k)
    while True:
        found = [one for one in ways(year, wanted, limit) if one.running <= running]
        if found and found[0].uneven + margin <= limit:
            most = found[0].uneven + margin
            return tuple(one for one in found if one.uneven <= most)
        limit = found[0].uneven + margin if found else limit + GAP * k * k
