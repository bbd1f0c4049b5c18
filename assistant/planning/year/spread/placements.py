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

from collections.abc import Callable, Iterable, Iterator
from functools import lru_cache
from itertools import accumulate, combinations
from typing import NamedTuple

from assistant.planning.year.spread.problem import Wanted, Year

GAP = 4  # a gap weighs as much as four wider spans
NEAR = 4  # boxes


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


def ways(year: Year, wanted: Wanted, limit: int) -> list[Way]:
    """Every way for a type to return that its own wishes allow and that is at most so uneven, the
    least uneven first."""
    n, k = year.boxes, wanted.times
    if not k:
        return [Way(0, 0, ())]
    allowed = _allowed(year, wanted)
    found = []
    for one in rounds(n, k, limit):
        for first in range(one.last):
            mask = one.mask << first
            if not allowed(mask):
                continue
            uneven, running = one.uneven, one.running
            if wanted.before is not None:
                uneven += _since(wanted.before, first, k, n)
                running += first - wanted.before == 1
            if uneven <= limit:
                boxes = tuple(box for box in range(n) if mask >> box & 1)
                found.append(Way(uneven, running, boxes))
    found.sort()
    return found


def near(year: Year, wanted: Wanted, known: Way) -> list[Way]:
    """The ways that a type's own wishes allow and that are more even than a known one, but for one
    or two returns that lie a few boxes off; the least uneven first."""
    n, allowed = year.boxes, _allowed(year, wanted)
    start = _mask(known.boxes)
    moves = {
        1 << old | 1 << new
        for old in known.boxes
        for new in range(max(0, old - NEAR), min(n, old + NEAR + 1))
        if not start >> new & 1
    }
    masks = {start ^ one for one in moves}
    masks |= {start ^ one ^ other for one, other in combinations(moves, 2) if not one & other}
    found = (
        way(wanted, tuple(box for box in range(n) if mask >> box & 1), n)
        for mask in masks
        if allowed(mask)
    )
    return sorted(one for one in found if one.uneven < known.uneven)


def _allowed(year: Year, wanted: Wanted) -> Callable[[int], bool]:
    """Whether boxes (as bits) are those that a type's own wishes allow."""
    fixed = _mask(wanted.fixed)
    stay = fixed | _mask(wanted.pins)
    full = (box for box, room in enumerate(year.room) if room is not None and room < wanted.room)
    closed = (_mask(wanted.shut) | _mask(year.sent) | _mask(full)) & ~fixed
    must = [_mask(group) for group in wanted.must]

    def allowed(mask: int) -> bool:
        return not mask & closed and mask & stay == stay and all(mask & group for group in must)

    return allowed


def _mask(boxes: Iterable[int]) -> int:
    """Boxes as the bits of a number."""
    return sum(1 << box for box in {*boxes})


class Round(NamedTuple):
    """One round of gaps: as if it began in box 0, with its boxes as bits; `last` is the gap that
    leads over the end of the year."""

    uneven: int
    running: int
    last: int
    mask: int


@lru_cache(maxsize=256)
def rounds(n: int, k: int, limit: int) -> tuple[Round, ...]:
    """Every round of k gaps that fills n boxes and is at most so uneven."""
    spare = (limit - least(n, k)) // GAP + _even(n, k, n, k)  # what the gaps alone may weigh
    return tuple(
        Round(
            uneven, sum(gap == 1 < n for gap in gaps), gaps[-1], _mask(accumulate((0, *gaps[:-1])))
        )
        for gaps in _rounds(n, k, n, k, spare)
        if (uneven := _round(gaps, n)) <= limit
    )


def _rounds(n: int, k: int, left: int, more: int, spare: int) -> Iterator[tuple[int, ...]]:
    """Gaps that fill what is left; their squares may weigh no more than `spare`."""
    if more == 1:
        yield (left,)
        return
    for gap in range(1, left - more + 2):
        rest = spare - (k * gap - n) ** 2
        if _even(n, k, left - gap, more - 1) <= rest:
            for others in _rounds(n, k, left - gap, more - 1, rest):
                yield (gap, *others)


@lru_cache(maxsize=8192)
def _even(n: int, k: int, left: int, more: int) -> int:
    """The least that so many gaps weigh which fill what is left."""
    gap, longer = divmod(left, more)
    return (more - longer) * (k * gap - n) ** 2 + longer * (k * (gap + 1) - n) ** 2


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
