"""Made-up years to spread, and the same questions answered by trying everything.

Nothing here uses the ways, models or weights of the assistant: it is what they are held against.
"""

import random
from collections.abc import Iterator, Sequence
from itertools import combinations

from hypothesis import strategies as st

from assistant.planning.year.spread.problem import Wanted, Wish, Year

Boxes = tuple[int, ...]
GAP = 4  # what a gap weighs against a wider span


# --- made up ----------------------------------------------------------------------------------


@st.composite
def years(draw: st.DrawFn, most_boxes: int, most_types: int, *, easy: bool = False) -> Year:
    """Small years with wishes of every kind; `easy`: without those that often clash."""
    easy = easy or draw(st.booleans())
    n = draw(st.integers(2, most_boxes))
    types = draw(st.integers(1, most_types))
    some = st.lists(st.integers(0, n - 1), max_size=0 if easy else 2, unique=True).map(tuple)
    sent = draw(st.integers(0, 0 if easy else 1))
    wanted = []
    for number in range(types):
        fixed = draw(st.sampled_from(((), (0,)))) if sent else ()
        pins = draw(some) if draw(st.booleans()) else ()
        must = tuple((box,) for box in draw(some)[:1])
        others = [f"t{other}" for other in range(types) if other != number]
        wanted.append(
            Wanted(
                id=f"t{number}",
                times=max(draw(st.integers(1, max(1, n // 2 + 1))), len(fixed)),
                must=must,
                shut=draw(some),
                fixed=fixed,
                pins=tuple(box for box in pins if box not in fixed),
                room=draw(st.sampled_from((1, 1, 2))),
                apart=tuple(draw(st.lists(st.sampled_from(others), max_size=1)) if others else ()),
                cost=draw(st.integers(0, 9)) * 100,
                suits=draw(some),
                now=draw(some),
                before=draw(st.none() | st.integers(-n, -1)),
            )
        )
    room = draw(
        st.lists(st.none() | st.integers(1 + 2 * easy, 4 + easy), min_size=n, max_size=n).map(tuple)
    )
    own = tuple(range(n))
    return Year(room, tuple(wanted), tuple(range(sent)), own_room=own)


def realistic(seed: int, boxes: int, types: int) -> Year:
    """A year as a shop would wish it: invented, the same for the same seed.

    How often types come is scaled to the boxes; there is room for a few returns more than are
    wished; a quarter of the types has to come in some box, a third may not come in one or two, a
    quarter stays apart from another, and most came before.
    """
    chance = random.Random(seed)
    times = [max(1, chance.choice((1, 2, 2, 3, 3, 4, 4, 4, 6)) * boxes // 12) for _ in range(types)]
    spare = chance.randint(2, 6)
    room = -(-(sum(times) + spare) // boxes)
    wanted = []
    for number, k in enumerate(times):
        shut = sorted(chance.sample(range(boxes), chance.choice((0, 0, 1, 2))))
        free = [box for box in range(boxes) if box not in shut]
        other = chance.randrange(types)
        wanted.append(
            Wanted(
                id=f"t{number:02}",
                times=k,
                must=((chance.choice(free),),) if chance.random() < 0.25 else (),
                shut=tuple(shut),
                apart=(f"t{other:02}",) if other != number and chance.random() < 0.25 else (),
                cost=chance.randint(80, 900),
                suits=tuple(sorted(chance.sample(range(boxes), 2))),
                before=-chance.randint(1, max(1, boxes // k)) if chance.random() < 0.8 else None,
            )
        )
    return Year((room,) * boxes, tuple(wanted))


# --- by trying everything ---------------------------------------------------------------------


def own_ways(year: Year, wanted: Wanted) -> Iterator[Boxes]:
    """Every choice of boxes that one type's own wishes allow."""
    for boxes in combinations(range(len(year.room)), wanted.times):
        inside = set(boxes)
        closed = (set(wanted.shut) | set(year.sent)) - set(wanted.fixed)
        if (
            inside >= set(wanted.fixed) | set(wanted.pins)
            and not inside & closed
            and all(inside & set(group) for group in wanted.must)
        ):
            yield boxes


def fits(year: Year, picked: Sequence[Boxes]) -> bool:
    """Whether these types (the first ones of the year) can share the boxes."""
    pairs = list(zip(year.wanted, picked, strict=False))
    for box, room in enumerate(year.room):
        inside = [one for one, boxes in pairs if box in boxes]
        fixed = sum(one.room for one in inside if box in one.fixed)
        if room is not None and sum(one.room for one in inside) > max(room, fixed):
            return False
        for one, other in combinations(inside, 2):
            stay = box in one.fixed and box in other.fixed
            if (other.id in one.apart or one.id in other.apart) and not stay:
                return False
    return True


def every_year(year: Year, picked: tuple[Boxes, ...] = ()) -> Iterator[tuple[Boxes, ...]]:
    """Every year in which all wishes hold."""
    if len(picked) == len(year.wanted):
        yield picked
        return
    for boxes in own_ways(year, year.wanted[len(picked)]):
        if fits(year, (*picked, boxes)):
            yield from every_year(year, (*picked, boxes))


def weight(wanted: Wanted, boxes: Boxes, n: int) -> tuple[int, int]:
    """(gaps of one box, unevenness) of one type, span by span."""
    k = len(boxes)
    uneven = running = 0
    for start in range(k):
        for steps in range(1, max(1, k // 2) + 1):
            end = boxes[(start + steps) % k] + n * ((start + steps) // k)
            span = end - boxes[start]
            uneven += (k * span - steps * n) ** 2 * (GAP if steps == 1 else 1)
            running += steps == 1 and span == 1 < n
    if wanted.before is not None and k:
        due = next(gap for gap in range(1, n + 1) if gap * k >= n)
        gap = boxes[0] - max(wanted.before, -due)
        uneven += GAP * (k * gap - n) ** 2
        running += boxes[0] - wanted.before == 1
    return running, uneven


def weights(year: Year, picked: Sequence[Boxes]) -> tuple[int, int]:
    """(gaps of one box, unevenness) of a year."""
    n = len(year.room)
    each = [weight(one, boxes, n) for one, boxes in zip(year.wanted, picked, strict=True)]
    return sum(running for running, _ in each), sum(uneven for _, uneven in each)


def difference(year: Year, picked: Sequence[Boxes]) -> int:
    """What the dearest box costs more than the cheapest."""
    costs = [
        sum(one.cost for one, boxes in zip(year.wanted, picked, strict=True) if box in boxes)
        for box in range(len(year.room))
    ]
    return max(costs) - min(costs)


def suiting(year: Year, picked: Sequence[Boxes]) -> tuple[int, int]:
    """(returns that suit their box, returns that stay where they are)."""
    pairs = list(zip(year.wanted, picked, strict=True))
    return (
        sum(box in one.suits for one, boxes in pairs for box in boxes),
        sum(box in one.now for one, boxes in pairs for box in boxes),
    )


def most_even(year: Year) -> int | None:
    """The least unevenness without returns running, by following up each type's ways in turn and
    giving up what cannot get better: an independent solver for years too large to try whole."""
    n = len(year.room)
    options = [
        sorted(
            (weight(one, boxes, n)[1], boxes)
            for boxes in own_ways(year, one)
            if not weight(one, boxes, n)[0]
        )
        for one in year.wanted
    ]
    if not all(options):
        return None
    rest = [sum(found[0][0] for found in options[at:]) for at in range(len(options) + 1)]
    best: list[int | None] = [None]

    def follow(picked: tuple[Boxes, ...], so_far: int) -> None:
        at = len(picked)
        if at == len(options):
            best[0] = so_far
            return
        for uneven, boxes in options[at]:
            if best[0] is not None and so_far + uneven + rest[at + 1] >= best[0]:
                return
            if fits(year, (*picked, boxes)):
                follow((*picked, boxes), so_far + uneven)

    follow((), 0)
    return best[0]


def keeps(year: Year, wish: Wish, picked: Sequence[Boxes]) -> bool:
    """Whether one wish holds in a year, by its meaning."""
    by_id = {one.id: (one, set(boxes)) for one, boxes in zip(year.wanted, picked, strict=True)}
    names = list(year.names) or [str(box) for box in range(len(year.room))]
    if wish.what == "room":
        boxes = [names.index(wish.box)] if wish.box else range(len(year.room))
        own = [] if wish.box else year.own_room
        return all(
            sum(one.room for one, inside in by_id.values() if box in inside)
            <= max(wish.number, sum(one.room for one, _ in by_id.values() if box in one.fixed))
            for box in boxes
            if box not in own
        )
    if wish.what == "sent":
        return all(inside & set(year.sent) <= set(one.fixed) for one, inside in by_id.values())
    wanted, inside = by_id[wish.type]
    month = wish.month - 1  # without months of their own, boxes are January, February, ...
    match wish.what:
        case "times":
            return len(inside) == wish.number
        case "must":
            return month in inside
        case "must not":
            return month not in inside or month in wanted.fixed
        case "apart":
            other, there = by_id[wish.other]
            return all(b in wanted.fixed and b in other.fixed for b in inside & there)
        case _:
            return names.index(wish.box) in inside
