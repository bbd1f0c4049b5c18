"""The year to be spread, as plain frozen records without a shop; and what comes of it.

Knows: boxes as numbers 0..n-1, what is wanted of each type. Must not know: dates, items, the
solver. Invariants: those of records.py; costs are whole hundredths of the shop's currency.
"""

from decimal import Decimal
from typing import Literal

from assistant.planning.records import Record
from assistant.planning.wishes import Placement


class Wanted(Record):
    """What is wanted of one recurring type over the boxes 0..n-1.

    `must` are sets of boxes, of each of which it has to be in one at least (the boxes of a month);
    `shut` are boxes that it may not be in; `fixed` those that it is in for good (ordered or sent);
    `pins` those that it stays in. `apart` are the ids of types that may not share a box with it.
    `suits` are boxes whose theme it goes with, `now` those that it is in at present. `before` is
    the box of its last return before these, counted back from 0 (-1 is the box just before);
    None where there was none.
    """

    id: str
    times: int
    must: tuple[tuple[int, ...], ...] = ()
    shut: tuple[int, ...] = ()
    fixed: tuple[int, ...] = ()
    pins: tuple[int, ...] = ()
    room: int = 1
    apart: tuple[str, ...] = ()
    cost: int = 0
    suits: tuple[int, ...] = ()
    now: tuple[int, ...] = ()
    before: int | None = None


class Year(Record):
    """The boxes: the room of each (None: no limit), and those that were `sent`, to which nothing
    can be added. `wanted` is what is to be spread over them. `names` and `months` (1..12) of the
    boxes are for what is said of them; `own_room` are the boxes whose room is their own, where the
    others share that of the shop."""

    room: tuple[int | None, ...]
    wanted: tuple[Wanted, ...]
    sent: tuple[int, ...] = ()
    names: tuple[str, ...] = ()
    months: tuple[int, ...] = ()
    own_room: tuple[int, ...] = ()

    @property
    def boxes(self) -> int:
        """How many boxes there are."""
        return len(self.room)


What = Literal["times", "must", "must not", "pin", "apart", "room", "fixed", "sent"]


class Wish(Record):
    """One thing that is wished, or that is so, as part of a clash.

    times     `type` is to come `number` times
    must      `type` has to come in month `month` (of the year of `box`)
    must not  `type` may not come in month `month`
    pin       `type` stays in `box`
    apart     `type` and `other` may not share a box
    room      `box` has room for `number` ("": every box that has no room of its own)
    fixed     `type` is ordered for `box`, or went out in it; cannot give
    sent      `number` boxes have been sent; cannot give
    """

    what: What
    type: str = ""  # RecurringType.id
    other: str = ""  # RecurringType.id
    box: str = ""  # Box.id
    month: int = 0
    number: int = 0


class Relaxation(Record):
    """A wish that gives: its number becomes `to`, or it is let go where `to` is None."""

    wish: Wish
    to: int | None = None


class Clash(Record):
    """Wishes that cannot all hold: leave out any one of them and the others can.

    `relaxations` are the least that would have to give. `alone`: each of them is enough by
    itself; otherwise all of them are needed together.
    """

    wishes: tuple[Wish, ...]
    relaxations: tuple[Relaxation, ...] = ()
    alone: bool = True


class Option(Record):
    """One way to spread.

    `placements` are all returns of all types, fixed ones too, by box, then in the types' order; an
    item that is not wanted any more has a placement whose box is "": it is taken out. `moved`
    counts the returns that are not in a box where their type is now, and those taken out. `gaps`
    are, by type id, the distances in boxes from the last return before (where there was one)
    through all returns to the first of the next such run, which is taken to repeat this one.
    `running` counts the gaps of one box. `proved`: no year with these wishes is more even; else
    the most even one is less uneven by at most `off` percent (an alternative is less even than the
    best way, and says by how much). Costs are of the recurring types in the cheapest and the
    dearest box; `band`: proved that no year as even is more level by more than that, 0 where it is
    not proved.
    `again` are returns whose form comes before all others were used, or in the same season as the
    last time, because the list of forms is too short.
    """

    placements: tuple[Placement, ...]
    moved: int = 0
    gaps: tuple[tuple[str, tuple[int, ...]], ...] = ()
    running: int = 0
    proved: bool = True
    off: int = 0
    cost_low: Decimal = Decimal(0)
    cost_high: Decimal = Decimal(0)
    band: Decimal = Decimal(0)
    again: tuple[Placement, ...] = ()


class Spread(Record):
    """Ways to spread the types, the best first; `boxes` (ids) are those that were spread over.
    The others are nearly as even and differ from it, and from each other, as much as can be."""

    options: tuple[Option, ...]
    boxes: tuple[str, ...] = ()
