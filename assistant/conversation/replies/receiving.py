"""What is said of what was ordered and came.

Knows: purchases, deliveries, how far an item is, as they are read on a phone. Must not know: which
of it follows from a request. Invariants: what was told is said back with its box; the day on which
an item is expected stands beside the day by which it must be here; what does not agree is said in
both numbers, and nothing is taken for granted.
"""

from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from assistant.conversation.replies.orders import price as price_of
from assistant.conversation.replies.plain import box_name, day, full_day, plural
from assistant.conversation.replies.plan import name
from assistant.planning.model import Delivery, Item, Person, Purchase
from assistant.planning.month.progress import Progress

REFERENCE = 40  # characters
EXAMPLE = "For example: 412 of 460 {item} came, 6 bent"


def of(item: Item, today: date) -> str:
    """Name an item with its box: "field notebook (March)"."""
    return f"{name(item.name)} ({box_name(item.box, today)})"


def counted(number: int | None, item: Item, today: date) -> str:
    """Name so many of an item with its box: "460 field notebook (March)"."""
    return of(item, today) if number is None else f"{number:,} {of(item, today)}"


# --- ordered --------------------------------------------------------------------------------


def ordered(item: Item, bought: Purchase, currency: str, today: date) -> str:
    """Say what was ordered: "Ordered: 460 field notebook (March) at £3.10, ref HF-221."."""
    pieces = [counted(bought.quantity, item, today)]
    if bought.price is not None:
        pieces[0] += f" at {price_of(bought.price, bought.currency or currency)}"
    if bought.reference:
        pieces.append(f"ref {bought.reference[:REFERENCE]}")
    if bought.ordered is not None and bought.ordered != today:
        pieces.append(f"on {day(bought.ordered, today)}")
    return f"Ordered: {', '.join(pieces)}."


def planned(old: Item, new: Item, currency: str, *, agreed: bool) -> str:
    """Say what the plan had instead of what was ordered, or what was `agreed` before."""
    was = []
    if old.quantity is not None and old.quantity != new.quantity:
        was.append(f"{old.quantity:,} pieces")
    if old.unit_cost is not None and old.unit_cost != new.unit_cost:
        was.append(price_of(old.unit_cost, old.currency or currency))
    what = "Before it was" if agreed else "The plan had"
    return f"{what} {' at '.join(was)}." if was else ""


def fewer(order: int, need: int) -> str:
    """Say that fewer were ordered than the box needs with spares, "" where they are enough."""
    return (
        f"That is {need - order:,} fewer than the {need:,} needed with spares."
        if order < need
        else ""
    )


def ordered_already(item: Item, before: int, more: int, today: date) -> str:
    """Ask whether a second number is all there is, or more."""
    return (
        f"{counted(before, item, today)} are ordered already. Are {more:,} all there are now, or "
        f"{more:,} more?"
    )


def none_ordered(item: Item) -> str:
    """Refuse an order of nothing."""
    return f"I read an order of no {name(item.name)}. For example: ordered 460 {name(item.name)}"


# --- the day on which it is expected --------------------------------------------------------


def forecast(found: Progress, today: date, before: date | None = None) -> str:
    """Say when an item is expected, beside the day by which it must be here; `before` is the day
    that was expected before."""
    if found.is_in or found.latest is None:
        return ""
    latest = day(found.latest, today)
    if found.expected is None or found.float is None:
        return f"It is not expected any more; it must be here by {latest}."
    what = "The rest is" if found.came else "It is"
    now = f"{what} now expected" if before not in (None, found.expected) else f"{what} expected"
    text = f"{now} {day(found.expected, today)}, {room(found.float, latest)}."
    moved = before is not None and before != found.expected
    return f"{text} It was {day(before, today)}." if moved and before else text


def room(slack: int, latest: str) -> str:
    """Write float beside the latest day: "2 working days before it must be here (Thu 11 Mar)"."""
    if slack == 0:
        return "the last day on which it must be here"
    side = "before it must be here" if slack > 0 else "late: it must be here by"
    days = plural(abs(slack), "working day")
    return f"{days} {side} ({latest})" if slack > 0 else f"{days} {side} {latest}"


def past(on: date, today: date) -> str:
    """Refuse a promised day that is over."""
    return (
        f"I read {full_day(on)} as the day on which it is to come, but that is past. "
        f"For example: they say {_example(today)}"
    )


def _example(today: date) -> str:
    later = date.fromordinal(today.toordinal() + 14)
    return f"{later.day} {later:%B}"


def which_year(on: date, latest: date, today: date) -> str:
    """Ask about a promised day that lies long after the day of need."""
    return (
        f"I read {full_day(on)}, but it must be here by {day(latest, today)}. Which year do you "
        "mean?"
    )


def promised(item: Item, on: date, today: date) -> str:
    """Say what was promised: "Promised for Tue 9 Mar: enamel pin (May)."."""
    return f"Promised for {day(on, today)}: {of(item, today)}."


def promised_already(item: Item, on: date, today: date) -> str:
    """Say that this day was known."""
    return f"{of(item, today)} was promised for {day(on, today)} already."


def nothing_promised(item: Item) -> str:
    """Say that a delay cannot be counted where no day was promised."""
    what = name(item.name)
    return (
        f"No day was promised for {what} yet, so I cannot count from it. "
        f"For example: {what} now the 9th"
    )


def not_ordered(item: Item, what: str, today: date) -> str:
    """Ask about an item that is not ordered as far as the plan says; `what` was said of it."""
    return f"I read that {of(item, today)} {what}, but it is not ordered, as far as I know. Was it?"


def in_hand_already(item: Item, today: date) -> str:
    """Say that nothing more of an item is to come."""
    return f"{of(item, today)} is all in hand already. Nothing was changed."


# --- dispatched -----------------------------------------------------------------------------


def dispatched(item: Item, bought: Purchase, today: date) -> str:
    """Say that an item left: "Dispatched Sun 10 Jan: field notebook (March), tracking 12345."."""
    on = f" {day(bought.dispatched, today)}" if bought.dispatched else ""
    tracking = f", tracking {bought.tracking[:REFERENCE]}" if bought.tracking else ""
    return f"Dispatched{on}: {of(item, today)}{tracking}."


def dispatched_already(item: Item, today: date) -> str:
    """Say that this was known."""
    return f"{of(item, today)} is marked as dispatched already."


def not_yet(on: date, today: date) -> str:
    """Refuse a day on which something is said to have happened that is still to come."""
    return f"I read {full_day(on)}, but that is still to come: today is {day(today, today)}."


def before_order(item: Item, what: str, on: date, ordered: date, today: date) -> str:
    """Ask about what is said to have happened before an item was ordered."""
    return (
        f"I read that {name(item.name)} {what} {day(on, today)}, but it was ordered only on "
        f"{day(ordered, today)}, as far as I know. Is that right?"
    )


# --- arrived --------------------------------------------------------------------------------


def arrived(item: Item, new: Delivery, found: Progress, today: date) -> str:
    """Say what came: "Arrived Mon 1 Mar: 412 of 460 field notebook (March), 6 bent."."""
    many = f"{new.pieces:,}"
    if found.ordered is not None and found.came == new.pieces:
        many = f"{new.pieces:,} of {found.ordered:,}" if found.short else f"all {new.pieces:,}"
    text = f"Arrived {day(new.on, today)}: {many} {of(item, today)}{_hurt(new)}."
    if found.came == new.pieces or found.ordered is None:
        return text
    in_all = f"{found.came:,} of {found.ordered:,}" if found.short else f"all {found.came:,}"
    return f"{text} That makes {in_all}."


def missing(found: Progress) -> str:
    """Say how many have not come, "" for none."""
    return f"{found.short:,} still missing." if found.short else ""


def uncounted(item: Item, today: date) -> str:
    """Say that an item came, without a number to count by."""
    what = EXAMPLE.format(item=name(item.name))
    return f"Arrived: {of(item, today)}. How many were ordered I do not know. {what}"


def all_of_it(item: Item) -> str:
    """Ask whether what came is all, where the number that was ordered is not known."""
    return f"How many {name(item.name)} were ordered I do not know. Is that all of it?"


def enough(found: Progress, item: Item, today: date) -> str:
    """Say whether what came is enough for the box: "412 good of 431 needed: 19 short."."""
    if found.needed is None:
        return ""
    box, good = box_name(item.box, today), f"{found.good:,} good of {found.needed:,} needed"
    if found.lacks:
        return f"{good}: {found.lacks:,} short for {box}."
    spare = found.good - found.needed
    return f"{good}: enough for {box}{f', {spare:,} to spare' if spare else ''}."


def arrived_already(item: Item, found: Progress, today: date) -> str:
    """Say that all of an item had come."""
    many = f"all {found.came:,}" if found.came else "all of it"
    return f"{of(item, today)} is in hand already, {many}."


def more_than(item: Item, found: Progress, ordered: int, pieces: int, today: date) -> str:
    """Ask about more pieces than were ordered."""
    total = found.came + pieces
    before = f" {found.came:,} came before, so that makes {total:,}," if found.came else ""
    return (
        f"I read {pieces:,} {of(item, today)}, but {ordered:,} were ordered:{before} "
        f"{total - ordered:,} too many. What is right?"
    )


def other_number(item: Item, ordered: int, said: int, today: date) -> str:
    """Ask which number was ordered."""
    return f"I have {ordered:,} {of(item, today)} as ordered, not {said:,}. What is right?"


def more_than_of(pieces: int, of: int) -> str:
    """Refuse more pieces than are said to have been to come."""
    return f"I read {pieces:,} of {of:,}, and that is more than all. For example: 412 of 460 came"


def none_came(item: Item) -> str:
    """Say that nothing of an item came, so that nothing is to be counted."""
    return (
        f"I read that no {name(item.name)} came, so nothing was changed. If it comes later: "
        f"{name(item.name)} now the 9th"
    )


def too_many_damaged(damaged: int, pieces: int) -> str:
    """Refuse more damaged pieces than came."""
    return f"I read {damaged:,} damaged of {pieces:,} that came, and that cannot be."


def too_many_missing(missing: int, rest: int) -> str:
    """Refuse more missing pieces than were to come."""
    return f"I read {missing:,} missing, but only {rest:,} were to come."


# --- checked --------------------------------------------------------------------------------


def checked(item: Item, found: Progress, today: date) -> str:
    """Say that what came was looked through."""
    if not found.came:
        return f"Checked: {of(item, today)}."
    hurt = f", {found.damaged:,} of them unusable" if found.damaged else ", all good"
    return f"Checked: {found.came:,} {of(item, today)}{hurt}."


def checked_already(item: Item, on: date, today: date) -> str:
    """Say that this was known."""
    return f"{of(item, today)} was checked {day(on, today)} already."


def nothing_to_check(item: Item, today: date) -> str:
    """Ask about an item of which nothing has come as far as the plan says."""
    return f"I read that {of(item, today)} is checked, but it has not come, as far as I know."


# --- the story ------------------------------------------------------------------------------


def story_title(item: Item, found: Progress, today: date) -> str:
    """The heading of a story: "field notebook, March: arrived in part"."""
    return f"{name(item.name)}, {box_name(item.box, today)}: {found.state}"


def step(what: str, on: date | None, today: date, told: Iterable[str], by: str) -> str:
    """Write one step: "Ordered Mon 11 Jan: 460 at £3.10, ref HF-221 (Mara)"."""
    when = f" {day(on, today)}" if on is not None else ""
    facts = ", ".join(filter(None, told))
    return f"{what}{when}{f': {facts}' if facts else ''}{f' ({by})' if by else ''}"


def order_facts(bought: Purchase, supplier: str, currency: str) -> tuple[str, ...]:
    """What was agreed, in pieces."""
    many = f"{bought.quantity:,}" if bought.quantity is not None else ""
    price = price_of(bought.price, bought.currency or currency) if bought.price is not None else ""
    first = f"{many} at {price}" if many and price else many or price
    ref = f"ref {bought.reference[:REFERENCE]}" if bought.reference else ""
    return first, f"from {name(supplier)}" if supplier else "", ref


def first_promised(on: date, today: date) -> str:
    """Write the day that was promised first."""
    return f"at first {day(on, today)}"


def pieces_came(one: Delivery) -> str:
    """Write one delivery: "412, 6 bent"."""
    return f"{one.pieces:,}{_hurt(one)}"


def _hurt(one: Delivery) -> str:
    """How many are unusable: ", 6 bent"; "" for none."""
    return f", {one.damaged:,} {one.note or 'damaged'}" if one.damaged else ""


def by_whom(person: Person | None) -> str:
    """Name who did a step, "" where that is not known."""
    return "" if person is None else name(person.name or person.role)


def settled_facts(supplier: str, unit_cost: Decimal | None, currency: str) -> tuple[str, ...]:
    """What is settled with a supplier, in pieces."""
    return (
        f"with {name(supplier)}" if supplier else "",
        price_of(unit_cost, currency) if unit_cost is not None else "",
    )


def not_settled(supplier: str) -> str:
    """Say that an item is thought of, and with whom it could be settled."""
    return f"Thought of{f', from {name(supplier)}' if supplier else ''}: not settled yet."


# --- told to others -------------------------------------------------------------------------


def from_whom(person: Person, text: str) -> str:
    """Pass on what somebody told."""
    return f"{by_whom(person) or 'Somebody'} told me. {text}"
