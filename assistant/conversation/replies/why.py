"""Why a date is what it is: the chain of stages, a line each, with the days passed over.

Knows: chains and how they are read on a phone. Must not know: how a chain is worked back.
Invariant: every line names whose days were counted, and each stretch of days passed over with its reason.
"""

from collections.abc import Iterable
from datetime import date

from assistant.conversation.replies.plain import box_name, day, listed, plural, short
from assistant.conversation.replies.plan import name
from assistant.planning.chains import Link, Outlook
from assistant.scheduling.workdays import Skip

SKIPS = 4  # stretches of days named on one line

# How the date of a stage reads; a stage of another name reads "<Name> by".
DATED = {
    "pack": "Packing from",
    "ship": "Handed to the carrier",
    "stock": "In hand by",
    "dispatch": "Dispatched by",
    "start": "Making from",
    "order": "Order by",
    "deposit": "Deposit paid by",
    "balance": "Balance paid by",
    "sample": "Sample approved by",
    "source": "Sourcing settled by",
    "theme": "Theme settled by",
    "photo": "Photo samples by",
    "card": "Card to print by",
    "count": "Subscribers counted by",
}


def dated(stage: str) -> str:
    """Write what happens on the date of a stage: "In hand by"."""
    return DATED.get(stage, f"{stage[:1].upper()}{stage[1:]} by")


def heading(what: str, box: str, today: date) -> str:
    """The heading of a chain: "field notebook, March: worked back"."""
    where = box_name(box, today)
    return f"{name(what)}, {where}: worked back" if what else f"{where}: worked back"


def from_ship_date(ship: date, rule: str, today: date) -> str:
    """Write the ship date and where it comes from; `rule` "" is a date of the box's own."""
    source = rule or "the day you set for this box"
    return f"Ships {day(ship, today)} ({source})"


def link(found: Link, today: date, item: str = "") -> str:
    """Write one stage: its date, the days back to it, whose days, what was passed over."""
    head = f"{dated(found.stage)} {day(found.on, today)}: {_days(found)}"
    parts = [head, *_passed(found, today)]
    if item:
        parts.append(f"for {name(item)}, the earliest")
    if found.provisional:
        parts.append("provisional")
    return "; ".join(parts)


def _days(found: Link) -> str:
    if found.days == 0:
        return f"the same day as {_what(found.hangs_on)}"
    whose = name(found.supplier) if found.supplier else "you"
    side = "before" if found.days > 0 else "after"
    length = plural(abs(found.days), f"{found.unit} day")
    counted = f" ({whose})" if found.unit == "working" else ""
    return f"{length} {side} {_what(found.hangs_on)}{counted}"


def _what(stage: str) -> str:
    words = {"ship": "shipping", "pack": "packing", "stock": "in hand", "start": "making"}
    return words.get(stage, stage)


def _passed(found: Link, today: date) -> Iterable[str]:
    """What a stage passed over: on the way, or to land on a day that its party works."""
    if not found.skipped:
        return
    whose = name(found.supplier) if found.supplier else "you"
    word = "passing" if found.unit == "working" else f"moved to a day {whose} can, passing"
    named = [_skip(skip, today) for skip in found.skipped[:SKIPS]]
    left = len(found.skipped) - len(named)
    if left:
        named.append(plural(left, "more stretch", "more stretches"))
    yield f"{word} {listed(named)}"


def _skip(skip: Skip, today: date) -> str:
    if skip.first == skip.last:
        return f"{day(skip.first, today)} ({short(skip.reason, 40)})"
    return f"{day(skip.first, today)} to {day(skip.last, today)} ({short(skip.reason, 40)})"


def outlook(found: Outlook, today: date) -> str:
    """Say what is expected of an item as things stand."""
    if found.in_hand:
        return ""
    if found.expected is None or found.float is None:
        return "As I have it, its supplier never works again, so it will never be in hand."
    expected, latest = day(found.expected, today), day(found.latest, today)
    if found.float < 0:
        short_of = plural(-found.float, "working day")
        return f"As things stand it is in hand {expected}: {short_of} too late for {latest}."
    spare = plural(found.float, "working day")
    return f"As things stand it is in hand {expected}: {spare} of float."


def of_what() -> str:
    """Ask what a question about a date is about."""
    return "Of which item or box? For example: why March, or why the notebook"


def nothing_to_explain(box: str, today: date) -> str:
    """Say that no date can be worked back for a box."""
    where = box_name(box, today)
    return (
        f"{where} has no ship date, so nothing can be worked back. "
        f"For example: ship {box} on the 12th"
    )


# --- when -----------------------------------------------------------------------------------


def when_done(todo: str, state: str, on: date, where: str, today: date) -> str:
    """Say that the thing asked about is done or not needed; its date all the same."""
    word = "Not needed" if state == "not needed" else "Done"
    return f"{word}: {short(todo, 60)} ({where}). Its latest day is {day(on, today)}."


def whose(box: str, supplier: str, today: date) -> str:
    """Name whose deadline it is: "March, Aldermoor"."""
    return ", ".join(filter(None, (box_name(box, today), name(supplier))))


def then(following: Iterable[tuple[str, date]], today: date) -> str:
    """Say what follows: (stage, its date) in the order of time."""
    steps = [f"{_low(dated(stage))} {day(on, today)}" for stage, on in following]
    return f"Then {listed(steps)}." if steps else ""


def _low(text: str) -> str:
    return text[:1].lower() + text[1:]


def no_such_stage(stage: str, of: str, example: str) -> str:
    """Say that a stage does not apply to an item or box."""
    return (
        f"I work back no day called {short(stage, 40)} for {name(of)}. To see its days: {example}"
    )
