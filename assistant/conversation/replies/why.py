"""Why a date is what it is: the chain of stages, a line each, with the days passed over.

Knows: chains and how they are read on a phone. Must not know: how a chain is worked back.
Invariant: every line names whose days were counted, and the days passed over with their reasons.
"""

from collections.abc import Iterable, Sequence
from datetime import date

from assistant.conversation.replies.dates import days
from assistant.conversation.replies.plain import box_name, day, listed, plural, short
from assistant.conversation.replies.plan import name
from assistant.planning.chains import Link, Outlook
from assistant.scheduling.workdays import Skip

SKIPS = 5  # stretches of days named on one line
MOST_WEEKENDS = 1  # named by their days; more are counted
WEEKEND = "weekend"  # as scheduling.weeks calls it

# How the date of a stage reads, and how the stage reads as that before which another must be; a
# stage of another name reads "<Name> by" and by its name.
WORDS = {
    "ship": ("Ships", "shipping"),
    "pack": ("Packing from", "packing"),
    "stock": ("In hand by", "it is in hand"),
    "dispatch": ("Dispatched by", "dispatch"),
    "start": ("Making from", "making"),
    "order": ("Order by", "the order"),
    "deposit": ("Deposit paid by", "the deposit"),
    "balance": ("Balance paid by", "the balance"),
    "sample": ("Sample approved by", "the sample"),
    "source": ("Sourcing settled by", "sourcing"),
    "theme": ("Theme settled by", "the theme"),
    "photo": ("Samples to photograph by", "the photo"),
    "card": ("Card to print by", "the card"),
    "count": ("Subscribers counted by", "the count"),
}


def dated(stage: str) -> str:
    """Write what happens on the date of a stage: "In hand by"."""
    return WORDS[stage][0] if stage in WORDS else f"{stage[:1].upper()}{stage[1:]} by"


def heading(what: str, box: str, today: date) -> str:
    """The heading of a chain: "field notebook, March: worked back"."""
    where = box_name(box, today)
    return f"{name(what)}, {where}: worked back" if what else f"{where}: worked back"


def from_ship_date(ship: date, rule: str, today: date) -> str:
    """Write the ship date and where it comes from; `rule` "" is a date of the box's own."""
    source = rule or "the day you set for this box"
    return f"Ships {day(ship, today)} ({source})"


def link(found: Link, today: date, item: str = "") -> str:
    """Write one stage: its date, the days back to it, whose days, what was passed over. `item` is
    the name of the one on which a stage of the box hangs."""
    parts = [f"{dated(found.stage)} {day(found.on, today)}: {_days(found, item)}"]
    if found.skipped:
        parts.append(f"passing {listed(_skips(found.skipped, today))}")
    if found.provisional:
        parts.append("provisional")
    return "; ".join(parts)


def _days(found: Link, item: str) -> str:
    target = WORDS.get(found.hangs_on, ("", found.hangs_on))[1]
    if item:
        target += f" of {name(item)} (the earliest)"
    if found.month_end:
        target = f"the end of the month of {target}"
        if found.days == 0:
            return target
    if found.days == 0:
        return f"the same day as {target}"
    length = plural(abs(found.days), f"{found.unit} day")
    side = "before" if found.days > 0 else "after"
    calendar = f"{name(found.supplier)}'s calendar" if found.supplier else "your calendar"
    landing = "" if found.unit == "working" else "landing on "
    return f"{length} {side} {target}, {landing}{calendar}"


def _skips(skips: Sequence[Skip], today: date) -> list[str]:
    """Write the days passed over in order; several weekends of one stage are counted."""
    weekends = [skip for skip in skips if skip.reason == WEEKEND]
    counted = len(weekends) > MOST_WEEKENDS
    named = [
        f"{days(skip.first, skip.last, today)} ({short(skip.reason, 40)})"
        for skip in skips
        if not (counted and skip.reason == WEEKEND)
    ]
    if counted:
        first, last = weekends[0].first, weekends[-1].last
        named.append(f"{len(weekends)} weekends ({days(first, last, today)})")
    left = len(named) - SKIPS
    return [*named[:SKIPS], plural(left, "more stretch", "more stretches")] if left > 1 else named


def outlook(
    found: Outlook, today: date, subject: str = "it", *, ordered: bool, promised: bool = False
) -> str:
    """Say when an item will be in hand, as promised, as ordered or if it is ordered today;
    `subject` is its name or "it"."""
    if found.in_hand:
        return ""
    who = subject if subject == "it" else name(subject)
    if found.expected is None or found.float is None:
        return f"As things stand {who} is never in hand: its supplier does not work again."
    expected, latest = day(found.expected, today), day(found.latest, today)
    how = "As things stand" if ordered else "Ordered today,"
    how = "As promised" if promised else how
    if found.float < 0:
        short_of = plural(-found.float, "working day")
        return f"{how} {who} is in hand {expected}: {short_of} too late for {latest}."
    spare = plural(found.float, "working day")
    return f"{how} {who} is in hand {expected}: {spare} of float."


def first_up(text: str) -> str:
    """Write a remark as a sentence of its own."""
    return f"{text[:1].upper()}{text[1:]}."


def of_what() -> str:
    """Ask what a question about a date is about."""
    return "Of which item or box? For example: why March"


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


def box_ships(box: str, on: date, working_days: int, today: date) -> str:
    """Say when a box ships and how far off that is."""
    when = f"{box_name(box, today)} ships {day(on, today)}"
    return f"{when}, in {plural(working_days, 'working day')}." if on > today else f"{when}."


def packing_from(on: date, today: date) -> str:
    """Say when packing begins."""
    return f"Packing from {day(on, today)}."


def no_such_stage(stage: str, of: str, example: str) -> str:
    """Say that a stage does not apply to an item or box."""
    return (
        f"I work back no day called {short(stage, 40)} for {name(of)}. To see its days: {example}"
    )
