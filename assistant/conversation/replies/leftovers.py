"""What is said of what is left over.

Knows: stock, boxes in which it is used. Must not know: how much a box needs (replies/quantities).
Invariants: pieces are told with the box that they are left of; a refusal says how many there are.
"""

from datetime import date

from assistant.conversation.replies.plain import box_name, day, short
from assistant.planning.model import Item, Stock

NAME = 40
SHOWN = 8
TITLE = "Left over"
NOTHING = "Nothing is noted as left over. For example: 38 notebooks left over from March"


def of_box(one: Stock, today: date) -> str:
    """Write of which box something is left: "from March"."""
    return f"from {box_name(one.box, today)}" if one.box else ""


def kept(new: Stock, old: Stock | None, today: date) -> tuple[str, ...]:
    """Acknowledge what is left over; `old` is what was noted before."""
    was = f", was {old.pieces:,}" if old and old.pieces != new.pieces else ""
    until = f", best before {day(new.best_before, today)}" if new.best_before else ""
    return (f"{short(new.name, NAME)}: {new.pieces:,} left over {of_box(new, today)}{was}{until}.",)


def none_left(item: Item, today: date) -> str:
    """Say that nothing of an item is left over."""
    return f"{short(item.name, NAME)}: none left over from {box_name(item.box, today)}."


def fits(one: Item, today: date) -> str:
    """Say that a box to come could use what is left over."""
    return f"{box_name(one.box, today)} has {short(one.name, NAME)} too."


def line(number: int, one: Stock, today: date) -> str:
    """Write one leftover of a list: "1. field notebook 38, from March, best before Tue 1 Jun"."""
    until = f", best before {day(one.best_before, today)}" if one.best_before else ""
    where = of_box(one, today)
    return f"{number}. {short(one.name, NAME)} {one.pieces:,}{f', {where}' if where else ''}{until}"


def more(number: int) -> str:
    """Say how many leftovers are not told."""
    return f"and {number} more" if number > 0 else ""


HOW = "To use some: use 12 of the leftover notebooks in May"


def used(one: Stock, pieces: int, left: int, item: Item, today: date) -> str:
    """Say that leftovers go into a box, and how many stay."""
    rest = f"{left:,} stay left over" if left else "none is left over"
    where = box_name(item.box, today)
    return f"{where}: {pieces:,} of {short(one.name, NAME)} come from leftovers; {rest}."


def waiting(one: Stock, item: Item, today: date) -> str:
    """Point out what is left over of a thing that is planned."""
    alike = "" if one.name.casefold() == item.name.casefold() else f" of {short(one.name, NAME)}"
    return f"{one.pieces:,} left over{alike} {of_box(one, today)}."


# --- refusals -------------------------------------------------------------------------------


def more_than_came(item: Item, pieces: int, came: int, today: date) -> str:
    """Refuse more leftovers than there were pieces."""
    where, name = box_name(item.box, today), short(item.name, NAME)
    return (
        f"I read {pieces:,} left over, but of {name} for {where} there were {came:,}. Nothing was "
        f"noted. For example: {max(came // 10, 1)} {name} left over from {where}"
    )


def not_sent(item: Item, pieces: int, on: date | None, today: date) -> str:
    """Say that a box has not gone out, and what may be meant."""
    ships = f" ships {day(on, today)}" if on else " has not gone out"
    return (
        f"{box_name(item.box, today)}{ships}, so nothing is left over of it yet. Are {pieces:,} "
        f"of {short(item.name, NAME)} on hand for it?"
    )


def too_few(one: Stock, pieces: int, today: date) -> str:
    """Refuse to use more than is left over."""
    where, name = of_box(one, today), short(one.name, NAME)
    return (
        f"I read {pieces:,}, but {one.pieces:,} of {name} are left over {where}. Nothing was "
        f"changed. For example: use {one.pieces} of the leftover {name}"
    )


def no_pieces() -> str:
    """Refuse to use nothing."""
    return "I read no pieces to use. For example: use 12 of the leftover notebooks in May"


def past_best(one: Stock, best: date, box: str, ships: date, today: date) -> str:
    """Refuse to plan what is past its best-before date when its box ships."""
    return (
        f"{short(one.name, NAME)} is best before {day(best, today)}, and {box_name(box, today)} "
        f"ships {day(ships, today)}. Nothing was changed."
    )


GONE = "That is no longer left over. Say: what is left over"
