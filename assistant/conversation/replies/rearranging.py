"""Sentences about rearranging: what a change would do, and what it did.

Knows: what a set of changes does (year/rearranging) and how it is read on a phone. Must not
know: which changes those are. Invariants: the same lines are said before and after a change; at
most four of them, each about one thing: dates, money, spread, what is ordered.
"""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from assistant.conversation.replies.plain import box_name, day, listed, money, plural, short
from assistant.planning.model import Item
from assistant.planning.year.rearranging import RUNNING, BoxCost, Closer, Effect

NAME = 40
WORD = 24  # characters of a name that stands among others
FEW = 2  # names or boxes that one line has room for
PLACES = 3  # moves that one line has room for


def name(text: str) -> str:
    """Write a name on one line of a phone."""
    return short(text, NAME)


def word(text: str) -> str:
    """Write a name as one of several on a line."""
    return short(text, WORD)


def effect(
    found: Effect, currency: str, today: date, after: Sequence[Item] = ()
) -> tuple[str, ...]:
    """Say what a set of changes does; `after` are the items as they will stand."""
    return (
        dates(found, today),
        costs(found.costs, found.target, currency, today),
        closer(found.closer, today),
        ordered(found.ordered, after, today),
    )


def dates(found: Effect, today: date) -> str:
    """Say how many order-by dates move, and what becomes late."""
    moved = plural(found.moved, "order-by date moves", "order-by dates move")
    moved = moved if found.moved else "No order-by date moves"
    if not found.late:
        return f"{moved}; nothing becomes late." if found.moved else f"{moved}."
    first, *others = found.late
    late = f"{short(first.todo, NAME)} ({box_name(first.box, today)}), since {day(first.on, today)}"
    more = f", and {len(others)} more" if others else ""
    return f"{moved}. Late at once: {late}{more}."


def costs(found: Sequence[BoxCost], target: Decimal | None, currency: str, today: date) -> str:
    """Say what boxes cost, before and after, against the target; many of them together."""
    if not found:
        return ""
    told = [_cost(one, target, currency, today) for one in found]
    told = [_costs(found, currency)] if len(found) > FEW else told
    limit = "" if target is None else f"; target {money(target, currency)} a box"
    unknown = sum(one.uncosted for one in found)
    missing = f" ({plural(unknown, 'cost')} not known)" if unknown else ""
    return f"Cost: {listed(told)}{limit}{missing}."


def _costs(found: Sequence[BoxCost], currency: str) -> str:
    before, after = (sum((getattr(o, f) for o in found), Decimal(0)) for f in ("before", "after"))
    was = "as before" if before == after else f"was {money(before, currency)}"
    dearest = max(one.after for one in found)
    total = f"{len(found)} boxes {money(after, currency)} ({was})"
    return f"{total}, the dearest {money(dearest, currency)}"


def _cost(one: BoxCost, target: Decimal | None, currency: str, today: date) -> str:
    text = f"{box_name(one.box, today)} {money(one.after, currency)}"
    over = target is not None and one.after > target
    return f"{text} (was {money(one.before, currency)}{', now over' if over else ''})"


def closer(found: Sequence[Closer], today: date) -> str:
    """Say which recurring type comes back too soon."""
    if not found:
        return ""
    first, *others = found
    more = f" Closer too: {listed([name(one.type) for one in others[:FEW]])}." if others else ""
    return f"Spread: {_gap(first, today)}.{more}"


def _gap(one: Closer, today: date) -> str:
    boxes = [box_name(box, today) for box in one.boxes]
    was = f", was {one.was} apart" if one.was is not None and one.was > 0 else ""
    if one.gap == 0:
        return f"{name(one.type)} twice in {boxes[0]}{was}"
    if one.gap == RUNNING:
        return f"{name(one.type)} in two boxes running, {listed(boxes)}{was}"
    return f"{name(one.type)} only {one.gap} boxes apart, {listed(boxes)}{was}"


def ordered(items: Sequence[Item], after: Sequence[Item], today: date) -> str:
    """Name what is ordered already, and where it goes."""
    there = {item.id: item.box for item in after}
    goes = [(item, there.get(item.id, "")) for item in items]
    return f"Ordered already: {_goes(goes, today)}." if items else ""


def _goes(moves: Sequence[tuple[Item, str]], today: date, most: int = FEW) -> str:
    """Say which item goes where, items of one name together."""
    alike = len(moves) > 1 and len({item.name for item, _ in moves}) == 1
    told = []
    for item, box in moves[:most]:
        end = f" to {box_name(box, today)}" if box else ", call it off"
        where = f"{box_name(item.box, today)}{end}"
        told.append(where if alike else f"{word(item.name)} ({where})")
    more = [f"{len(moves) - most} more"] if len(moves) > most else []
    return f"{f'{name(moves[0][0].name)}: ' if alike else ''}{listed([*told, *more])}"


def _where_they_are(items: Sequence[Item], today: date, most: int = FEW) -> str:
    """Name items and their boxes."""
    told = [f"{word(item.name)} ({box_name(item.box, today)})" for item in items[:most]]
    more = [f"{len(items) - most} more"] if len(items) > most else []
    return listed([*told, *more])


# --- what is asked, and what was done -------------------------------------------------------


def swap(first: str, second: str, today: date) -> str:
    """Name a swap: "swap March and May"."""
    return f"swap {box_name(first, today)} and {box_name(second, today)}"


def move(item: str, box: str, today: date) -> str:
    """Name a move: "move field notebook to May"."""
    return f"move {name(item)} to {box_name(box, today)}"


def drop(item: str, box: str, today: date) -> str:
    """Name a drop: "drop field notebook from March"."""
    return f"drop {name(item)} from {box_name(box, today)}"


def move_several(count: int, months: str) -> str:
    """Name a move of several items: "move 3 items to September or October"."""
    return f"move {plural(count, 'item')} to {months}"


def drop_supplier(supplier: str) -> str:
    """Name a drop of all that a supplier sells."""
    return f"drop everything from {name(supplier)}"


def title(what: str) -> str:
    """Name a thing at the beginning of a line: "Swap March and May"."""
    return what[:1].upper() + what[1:]


def asked(what: str) -> str:
    """Ask whether a thing is to be done: "Swap March and May?"."""
    return f"{title(what)}?"


def swapped(first: str, second: str, today: date) -> str:
    """Say that two boxes were swapped."""
    names = box_name(first, today), box_name(second, today)
    return f"Swapped {names[0]} and {names[1]}: themes and items. Ship dates stay."


def places(moves: Sequence[tuple[Item, str]], today: date) -> str:
    """Say which item goes where: "enamel pin: May to September and July to November."."""
    return f"{_goes(moves, today, PLACES)}."


def moved(text: str) -> str:
    """Say that items were moved; `text` says which where."""
    return f"Moved {text}"


def stay(items: Sequence[Item], today: date) -> str:
    """Name items for which no box is free, "" where there are none."""
    verb = "stays" if len(items) == 1 else "stay"
    told = f"{_where_they_are(items, today)} {verb}: those boxes have such a name."
    return told if items else ""


def there_already(months: str) -> str:
    """Say that what was to be moved is there."""
    return f"In {months} already: nothing was moved."


def no_room(items: Sequence[Item], months: str, today: date) -> str:
    """Refuse a move that no box has a free name for."""
    first = items[0]
    return (
        f"I read a move to {months}, but {stay(items, today)} Give it another name first, for "
        f"example: rename {name(first.name)} to small {name(first.name)}"
    )


def no_boxes(months: str) -> str:
    """Refuse a move to months that have no box to come."""
    return (
        f"I read a move to {months}, but no box ships then. "
        "For example: ship day the 15th or the working day before"
    )


def all_gone() -> str:
    """Say that the items are no longer in the plan."""
    return "Those items are no longer in the plan. Nothing was changed."


def all_sent(item: Item, shipped: date, today: date) -> str:
    """Refuse to move what went out."""
    where = box_name(item.box, today)
    return (
        f"{name(item.name)} went out with {where}, which shipped {day(shipped, today)}: what was "
        f"sent stays. For example, once more: add to {_other_month(item.box)}: {name(item.name)}"
    )


def _other_month(box: str) -> str:
    return f"{box[:4]}-12" if box[5:7] != "12" else f"{int(box[:4]) + 1}-06"


def sent_swap(box: str, shipped: date, able: Sequence[str], today: date) -> str:
    """Refuse a swap with a box that has shipped; `able` are boxes that can still be swapped."""
    where = box_name(box, today)
    text = (
        f"I read a swap with {where}, but {where} shipped {day(shipped, today)}: it stays as sent."
    )
    if len(able) < FEW:
        return f"{text} A swap needs two boxes to come; ideas and items can still be added."
    return f"{text} For example: {swap(able[0], able[1], today)}"


def sent_target(item: str, box: str, shipped: date, able: Sequence[str], today: date) -> str:
    """Refuse a move into a box that has shipped."""
    where = box_name(box, today)
    example = box_name(able[0], today) if able else f"{where} {int(box[:4]) + 1}"
    return (
        f"I read a move to {where}, but {where} shipped {day(shipped, today)}; nothing was "
        f"changed. For example: move {name(item)} to {example}"
    )


def supplier_drops(items: Sequence[Item], today: date) -> str:
    """Say which items of a supplier go."""
    going = plural(len(items), "item goes", "items go")
    return f"{going}: {_where_they_are(items, today, PLACES)}."


def supplier_dropped(items: Sequence[Item], supplier: str, today: date) -> str:
    """Say which items of a supplier went."""
    gone = f"Dropped {plural(len(items), 'item')} from {name(supplier)}"
    return f"{gone}: {_where_they_are(items, today)}."


def supplier_stays(supplier: str, sent: int) -> str:
    """Say what stays of a supplier: the record, and what went out."""
    kept = f", and {plural(sent, 'item')} in boxes that shipped" if sent else ""
    return f"{name(supplier)} itself stays known{kept}."


def supplies_nothing(supplier: str, sent: int) -> str:
    """Say that a supplier has nothing in the coming boxes."""
    kept = f" {plural(sent, 'item')} went out in boxes that shipped." if sent else ""
    return f"{name(supplier)} has no item in the coming boxes: nothing to drop.{kept}"
