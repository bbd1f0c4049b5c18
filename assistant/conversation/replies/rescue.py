"""What is said of ways out for what is late.

Knows: ways out, what is at risk, how both are read on a phone. Must not know: which ways there are
or which of them is best. Invariants: a way is one line, what is done first, then its day, then what
it costs; a cost that is not known is said to be so; a list is at most eight lines with its heading.
"""

from collections.abc import Callable, Sequence
from datetime import date

from assistant.conversation.replies.plain import box_name, day, listed, money, plural, short
from assistant.planning.chains import Outlook
from assistant.planning.model import Item
from assistant.planning.month.risks import AtRisk, Risk
from assistant.planning.month.ways import Way

NAME = 26  # characters of a name in a line
LABEL = 30  # characters of a button's label
FULL = 6  # ways that a list has room for
NO_BOX = "No box is planned yet, so none is late. For example: March theme rain and roots"


def name(text: str) -> str:
    """Write a name as one of several on a line."""
    return short(text, NAME)


# --- what is at risk ------------------------------------------------------------------------


def title(item: Item, today: date) -> str:
    """The heading of a list of ways."""
    return f"Ways out: {name(item.name)} ({box_name(item.box, today)})"


def why(risk: Risk, today: date) -> str:
    """Say why an item's box cannot ship complete: a line of its own."""
    if risk.how == "never":
        return "As things stand it never comes: its supplier does not work again."
    if risk.how == "short":
        return f"{plural(risk.lacks, 'piece')} too few for the boxes expected."
    if risk.expected is None or risk.latest is None or risk.float is None:
        return ""
    late = plural(-risk.float, "working day")
    lacks = f" ({risk.lacks:,} still lacking)" if risk.lacks else ""
    expected, latest = day(risk.expected, today), day(risk.latest, today)
    return f"In hand {expected}{lacks}: {late} too late for {latest}."


def in_short(risk: Risk, today: date) -> str:
    """Say the same as one of several: "enamel pin, in hand Fri 26 Feb, 13 working days late"."""
    if risk.how == "never":
        return f"{name(risk.name)}, never comes"
    if risk.how == "short":
        return f"{name(risk.name)}, {plural(risk.lacks, 'piece')} too few"
    when = f"in hand {day(risk.expected, today)}, " if risk.expected else ""
    late = f"{plural(-(risk.float or 0), 'working day')} late"
    return f"{name(risk.name)}, {when}{late}"


def cannot_ship(found: AtRisk, today: date) -> str:
    """Say in one line that a box cannot ship complete, and for which items."""
    if found.unpacked:
        return f"Cannot be packed in time for {day(found.ship, today)}."
    first, *others = found.risks
    more = f", and {plural(len(others), 'item')} more" if others else ""
    return f"Cannot ship complete {day(found.ship, today)}: {in_short(first, today)}{more}."


def box_at_risk(found: AtRisk, today: date) -> str:
    """The heading of a box that cannot ship complete."""
    return f"{box_name(found.box, today)} cannot ship complete {day(found.ship, today)}"


def box_well(box: str, ship: date, today: date) -> str:
    """Say that a box can ship complete."""
    where, on = box_name(box, today), day(ship, today)
    return f"{where} can ship complete {on} as things stand."


def no_day(box: str, today: date) -> str:
    """Say that there is nothing to rescue in a month without a box to come."""
    where = box_name(box, today)
    return f"Nothing is planned for {where} that could be late. For example: how is {where}"


def not_late(item: Item, seen: Outlook, today: date) -> str:
    """Say that an item is not late, with its float."""
    where = f"{name(item.name)} ({box_name(item.box, today)})"
    if seen.in_hand:
        return f"{where} is in hand: nothing is late."
    if seen.expected is None or seen.float is None:
        return f"{where} is not late."
    spare = plural(seen.float, "working day")
    return f"{where} is not late: in hand {day(seen.expected, today)}, {spare} of float."


NOTHING_ELSE = (
    "I find nothing that would help: ask the supplier, or keep an offer or an idea for it."
)


def no_dates(item: Item, today: date) -> str:
    """Say that nothing can be reckoned of an item without dates."""
    where = box_name(item.box, today)
    return f"{name(item.name)} has no dates in {where}, so I cannot say what would help."


def past(item: Item, on: date, today: date) -> str:
    """Say that the ship day of a box is past, and what can be done."""
    where = box_name(item.box, today)
    return (
        f"{where} was to ship {day(on, today)}: that day is past. Give it another one first, for "
        f"example: {where} ships tomorrow"
    )


def as_agreed(item: Item, seen: Outlook, today: date) -> str:
    """Say that an item comes in time by carriage that is agreed, if it is ordered."""
    on = f"in hand {day(seen.expected, today)} " if seen.expected else ""
    return f"{name(item.name)}: {on}as agreed, once it is ordered."


# --- one way --------------------------------------------------------------------------------


def line(way: Way, item: Item, seller: str, currency: str, today: date) -> str:
    """Say a way in one line; `seller` is of whom an offer is."""
    return f"{_WHAT[way.how](way, item, seller, today)}{_cost(way, currency)}."


def _faster(way: Way, _item: Item, _seller: str, today: date) -> str:
    days = plural(way.days, "day")
    return f"Faster carriage, {days} quicker: in hand {_day(way.in_hand, today)}"


def _split(way: Way, _item: Item, _seller: str, today: date) -> str:
    first = f"{way.pieces:,} first"
    return f"Split the delivery: {first}, to leave by {_day(way.due, today)}, the rest later"


def _part(way: Way, _item: Item, seller: str, _today: date) -> str:
    return f"Buy {way.pieces:,} from {name(seller) or 'another supplier'}"


def _later(way: Way, item: Item, _seller: str, today: date) -> str:
    other = box_name(way.box, today)
    return f"Take {name(way.name)} from {other}, which gets {_the(item)}"


def _offer(way: Way, _item: Item, seller: str, today: date) -> str:
    by = f" from {name(seller)}" if seller else ""
    return f"Take {name(way.name)}{by} instead: in hand {_day(way.in_hand, today)}"


def _idea(way: Way, _item: Item, _seller: str, _today: date) -> str:
    return f"Take the idea {name(way.name)} instead, {listed(way.missing)} not known"


def _swap(way: Way, _item: Item, _seller: str, today: date) -> str:
    return f"Swap with {box_name(way.other, today)}: both complete"


def _move(way: Way, item: Item, _seller: str, today: date) -> str:
    here, there = box_name(item.box, today), box_name(way.other, today)
    return f"Send it with {there}; {here} goes {day(way.ship, today)} without it"


def _twice(way: Way, _item: Item, _seller: str, today: date) -> str:
    number = f"{plural(way.pieces, 'parcel')}, " if way.pieces else ""
    return f"Pack twice: it follows on its own, {number}{_day(way.sent, today)}"


def _wait(way: Way, item: Item, _seller: str, today: date) -> str:
    late = plural(way.days, "working day")
    meets = f", when {box_name(way.meets, today)} is being packed" if way.meets else ""
    return f"Ship {box_name(item.box, today)} {day(way.ship, today)}, {late} later{meets}"


_WHAT: dict[str, Callable[[Way, Item, str, date], str]] = {
    "faster": _faster,
    "split": _split,
    "part": _part,
    "later": _later,
    "offer": _offer,
    "idea": _idea,
    "swap": _swap,
    "move": _move,
    "twice": _twice,
    "wait": _wait,
}


def _the(item: Item) -> str:
    return f"the {name(item.name)}"


def _day(on: date | None, today: date) -> str:
    return "as soon as can be" if on is None else day(on, today)


def _cost(way: Way, currency: str) -> str:
    """What a way costs; nothing of one that needs no money of its own."""
    if way.cost:
        more = "more" if way.cost > 0 else "less"
        return f"; {money(abs(way.cost), currency)} {more}"
    if way.cost is not None or way.how in ("idea", "split"):
        return ""
    if way.at_most is not None:
        return f"; worth it up to {money(way.at_most, currency)}"
    return "; ask what it costs" if way.how == "faster" else "; no cost known"


def numbered(lines: Sequence[str], rest: Sequence[str]) -> tuple[str, ...]:
    """Number the ways; what a phone has no room for is named in one line."""
    told = tuple(f"{number}. {one}" for number, one in enumerate(lines, 1))
    return (*told, f"Also: {listed(rest)}.") if rest else told


def label(number: int, way: Way, today: date) -> str:
    """The label of the button that goes a way."""
    return short(f"{number} {_title(way, today)}", LABEL)


def _title(way: Way, today: date) -> str:
    text = called(way, None, today)
    return text[:1].upper() + text[1:]


_CALLED: dict[str, Callable[[Way, date], str]] = {
    "faster": lambda _way, _today: "faster carriage",
    "split": lambda _way, _today: "split the delivery",
    "part": lambda way, _today: f"buy {way.pieces:,} elsewhere",
    "later": lambda way, today: f"take {name(way.name)} from {box_name(way.box, today)}",
    "offer": lambda way, _today: f"take {name(way.name)} instead",
    "idea": lambda way, _today: f"take {name(way.name)} instead",
    "swap": lambda way, today: f"swap with {box_name(way.other, today)}",
    "move": lambda way, today: f"send it with {box_name(way.other, today)}",
    "twice": lambda _way, _today: "pack twice",
    "wait": lambda way, today: f"ship {day(way.ship, today)}",
}


def called(way: Way, item: Item | None, today: date) -> str:
    """Name a way: "pack twice for enamel pin (March)"; without its item as one of several."""
    text = _CALLED[way.how](way, today)
    return f"{text} for {name(item.name)} ({box_name(item.box, today)})" if item else text


# --- taken ----------------------------------------------------------------------------------


def taken(way: Way, item: Item, today: date) -> str:
    """Say that a way is taken."""
    return f"Done: {called(way, item, today)}."


def to_do(way: Way, seller: str, today: date, *, bought: bool, booked: bool) -> str:
    """Say what has to be done by hand now that a way is taken, "" for nothing; `bought`: the
    item is ordered; `booked`: a collection is, for the day that is no more."""
    if booked and way.how == "wait":
        return f"Book the collection again, for {day(way.ship, today)}."
    who = name(seller) or "the supplier"
    if way.how == "faster":
        agree = f"Agree it with {who} today"
        return (
            f"{agree}{'' if bought else ', as you order'}: in hand by {_day(way.in_hand, today)}."
        )
    if way.how == "split":
        return f"Ask {who} for {way.pieces:,} by {_day(way.in_hand, today)}, the rest after."
    return ""


def hindered(risk: Risk, today: date) -> str:
    """Say what would be late by a way that is none."""
    return f"In {box_name(risk.box, today)}: {in_short(risk, today)}."


def not_possible(way: str, item: Item, today: date) -> str:
    """Say that a way is none for this item as things stand."""
    where = f"{name(item.name)} ({box_name(item.box, today)})"
    return f'I read "{way}" for {where}, but that is no way out for it as things stand.'
