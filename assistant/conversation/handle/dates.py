"""Which dates follow from a change, for the reply that acknowledges it.

Knows: deadlines before and after a change. Must not know: how the change came about. Invariants:
nothing here changes anything; only deadlines that are open and that are nudged about are told.
"""

import math
from collections.abc import Iterable
from datetime import date
from itertools import islice

from msgspec.structs import replace

from assistant.conversation import sentences
from assistant.conversation.messages import Button
from assistant.conversation.replies import dates as say
from assistant.conversation.replies import why as say_why
from assistant.conversation.replies.plain import box_name, short
from assistant.planning.calendars import cached_by_identity, calendars
from assistant.planning.chains import Outlook, binding, outlook
from assistant.planning.changes import find, profile_of
from assistant.planning.deadlines import (
    Deadline,
    by_key,
    deadline,
    deadlines,
    ship_date,
)
from assistant.planning.model import Almanac, Box, Item, Shop
from assistant.planning.shipping import shipped as shipped

ORDER = "order"  # the stage that replies single out: the day on which money is committed
LABEL = 30  # characters of a button's label, but for "Move "
TRIED = 3  # later boxes in which a late item is tried


def todo(shop: Shop, today: date) -> tuple[Deadline, ...]:
    """Return the deadlines that are open and nudged about, by date; those put off too."""
    return _todo(deadlines(shop, today))


@cached_by_identity(4)
def _todo(found: tuple[Deadline, ...]) -> tuple[Deadline, ...]:
    return tuple(d for d in found if d.state == "open" and d.nudge)


def box_lines(shop: Shop, box: str, today: date) -> tuple[str, ...]:
    """Say when a box ships and what comes next for it."""
    on = ship_date(shop, box, today)
    coming = next((d for d in todo(shop, today) if d.box == box), None)
    return (
        say.ships(on, today) if on else say.no_ship_date(box, today),
        say.due(coming, today, provisional(shop, coming, today)) if coming else "",
    )


def item_lines(
    shop: Shop, item_id: str, today: date, before: Shop | None = None
) -> tuple[str, ...]:
    """Say by when an item must be ordered, or what else comes next for it; where it is late,
    what can still be done. `before` is the shop before a change to it."""
    item = find(shop.items, item_id)
    coming = [d for d in todo(shop, today) if d.item == item_id]
    if item is None:
        return ()
    if ship_date(shop, item.box, today) is None:
        return (say.no_ship_date(item.box, today),)
    if not coming:
        return (say.nothing_left(item.name),)
    main = next((d for d in coming if d.stage == ORDER), coming[0])
    old = _date_before(before, main, today)
    return (
        say.due(main, today, provisional(shop, main, today)),
        say.was(old, today) if old and old != main.on else "",
        say.before_that(coming[0], today) if coming[0].key != main.key else "",
        *say.unknown(main.missing, item.name),
        *rescue_lines(shop, item_id, today),
    )


def moves(before: Shop, after: Shop, today: date, *, silent: bool = False) -> tuple[str, ...]:
    """Say which dates moved by a change that is about no one item: how many, the first, and
    how many are late because of it. `silent`: say nothing where none moved."""
    old = by_key(deadlines(before, today))
    now = todo(after, today)
    moved = [d for d in now if (was := old.get(d.key)) is not None and was.on != d.on]
    late = sum(d.late and d.key in old and not old[d.key].late for d in moved)
    lost = sorted(b.id for b in after.boxes if _loses_its_day(before, after, b.id, today))
    if not moved:
        nothing = say.none_moved(now[0] if now else None, today) if old and not silent else ""
        return (say.cannot_be(lost, today) or nothing,)
    first = moved[0]
    return (
        say.moved(len(moved), first, old[first.key].on, today),
        say.late_now(late),
        say.cannot_be(lost, today),
    )


def _loses_its_day(before: Shop, after: Shop, box: str, today: date) -> bool:
    if ship_date(after, box, today) is not None:
        return False
    on = ship_date(before, box, today)
    return on is not None and on >= today


def tightest_of(shop: Shop, boxes: Iterable[str], today: date) -> str:
    """Name the item of these boxes with the least float, "" when all are in hand."""
    bound = [(found, box) for box in boxes if (found := binding(shop, box, today))]
    if not bound:
        return ""
    never = -math.inf  # will never be in hand: tighter than anything
    least, box = min(bound, key=lambda pair: never if pair[0].float is None else pair[0].float)
    return say.tightest(least.name, box, least.float, today)


def next_of_supplier(shop: Shop, supplier: str, today: date) -> str:
    """Say what comes next with a supplier."""
    theirs = {item.id for item in shop.items if item.supplier == supplier}
    coming = next((d for d in todo(shop, today) if d.item in theirs), None)
    return say.next_due(coming, today) if coming else ""


def rescue_lines(shop: Shop, item_id: str, today: date, *, named: bool = False) -> tuple[str, ...]:
    """Say of an item that will not be in hand in time when it will be, and what can still be
    done; nothing of one that will. `named`: the item was not just spoken of."""
    late = _too_late(shop, item_id, today)
    if late is None:
        return ()
    item, found = late
    subject, placed = item.name if named else "it", ordered(shop, item.id, today)
    expected = say_why.outlook(found, today, subject, ordered=placed)
    if found.float is None:
        return expected, say.other_supplier(item.name)
    later = later_box(shop, item, -found.float, today)
    return (
        expected,
        say.still_possible(-found.float, later.id if later else "", today),
    )


def ordered(shop: Shop, item_id: str, today: date) -> bool:
    """Whether an item's order is placed."""
    found = deadline(shop, f"{item_id}/{ORDER}", today)
    return found is not None and found.state == "done"


def _too_late(shop: Shop, item_id: str, today: date) -> tuple[Item, Outlook] | None:
    """An item that is not in hand and will be so too late or never, with what is expected."""
    item = find(shop.items, item_id) if item_id else None
    found = outlook(shop, item, today) if item else None
    if item is None or found is None or found.in_hand:
        return None
    return (item, found) if found.float is None or found.float < 0 else None


def later_box(shop: Shop, item: Item, days_short: int, today: date) -> Box | None:
    """Return the first later box of the plan in which an item would be in hand in time: one that
    ships so many working days later, tried with the item in it."""
    ships = ship_date(shop, item.box, today)
    if ships is None:
        return None
    count = calendars(shop, today).shop.count
    later = sorted(
        ((on, box) for box in shop.boxes if (on := ship_date(shop, box.id, today)) and on > ships),
        key=lambda pair: (pair[0], pair[1].id),
    )
    far = (box for on, box in later if count(ships, on) >= days_short)
    return next((box for box in islice(far, TRIED) if _fits(shop, item, box, today)), None)


def _fits(shop: Shop, item: Item, box: Box, today: date) -> bool:
    alone = replace(item, box=box.id)
    found = outlook(replace(shop, boxes=(box,), items=(alone,)), alone, today)
    return found is not None and found.float is not None and found.float >= 0


def rescue_button(shop: Shop, item_id: str, today: date, *, named: bool = False) -> Button | None:
    """The button that moves an item which is too late to where it is not. `named`: by its name,
    where it was not just spoken of."""
    late = _too_late(shop, item_id, today)
    if late is None or late[1].float is None:
        return None
    box = later_box(shop, late[0], -late[1].float, today)
    if box is None:
        return None
    to = f" to {box_name(box.id, today)}"
    what = short(late[0].name, LABEL - len(to)) if named else "it"
    return Button(f"Move {what}{to}", sentences.move(shop, item_id, box.id))


def after_moves(shop: Shop, today: date) -> tuple[Button, ...]:
    """The buttons under a change to calendars: what is late, if anything is, and what is due."""
    late = any(d.late for d in todo(shop, today))
    due = Button("What is due", sentences.what_is_due())
    return (due, Button("What is late", sentences.what_is_late())) if late else (due,)


def provisional(shop: Shop, found: Deadline, today: date) -> str:
    """Say why a deadline's date is provisional, "" when it is not."""
    if not found.provisional:
        return ""
    item = find(shop.items, found.item) if found.item else None
    return why_provisional(shop, found.box, item, found.on, today)


def why_provisional(shop: Shop, box: str, item: Item | None, on: date, today: date) -> str:
    """Say why a date worked back from a box's ship date is provisional: holidays of a year that
    are not settled, of the shop's country or the supplier's, else a closure that is expected."""
    ships = ship_date(shop, box, today) or on
    supplier = find(shop.suppliers, item.supplier) if item else None
    countries = {profile_of(shop).country, supplier.country if supplier else ""}
    kept = {_place_and_year(record): record for record in shop.almanac}
    for year in range(max(ships.year, on.year), on.year - 1, -1):
        if not any(known == year for _, known in kept):
            return say.unpublished(year)
        for country in sorted(countries):
            record = kept.get((country, year))
            if record and record.provisional:
                return say.unpublished(year, country)
    return say.expected_closure()


def _place_and_year(record: Almanac) -> tuple[str, int]:
    """The country and year of a kept almanac."""
    return record.id.partition("/")[0], int(record.id.rpartition("/")[2])


def _date_before(before: Shop | None, moved: Deadline, today: date) -> date | None:
    if before is None:
        return None
    return next((d.on for d in deadlines(before, today) if d.key == moved.key), None)
