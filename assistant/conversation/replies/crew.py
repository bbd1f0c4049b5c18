"""What is said of who does what, who sees what, who is away.

Knows: people, deadlines and deeds, and how they are read on a phone. Must not know: who may do what
(handle/crew). Invariants: a refusal about money names what can be asked instead; a helper is never
told that there is something to be seen, only whose it is to see.
"""

from collections.abc import Sequence
from datetime import date

from assistant.conversation.replies.doors import called, owners_only
from assistant.conversation.replies.plain import box_name, day, listed, plural, short
from assistant.conversation.replies.suppliers import span
from assistant.planning.deadlines import Deadline
from assistant.planning.model import Closure, Person

LINE = 60  # characters of a thing to do, or of the words that did it
NAMED = 3  # things to do that are named one by one

# --- money ----------------------------------------------------------------------------------


def no_money(what: str) -> tuple[str, ...]:
    """Refuse to tell a helper of money."""
    return (
        f"I read a question about {what}. Money is for the owners to see, unless they let you.",
        "You can ask for the rest, for example: how is March",
    )


def no_money_here(what: str) -> tuple[str, ...]:
    """Refuse to tell an owner of money where others read along."""
    return (
        f"I read a question about {what}. I tell no money in a group, where others read along.",
        "Ask me in our own chat; here, for example: how is March",
    )


def sees(person: Person, *, may: bool) -> str:
    """Say that a helper may see money now, or no longer."""
    name = _named(person)
    if may:
        return f"{name} may see money now: prices, costs, orders, cash."
    return f"{name} sees no money: no prices, costs, orders or cash, in words, files or pictures."


def sees_already(person: Person, *, may: bool) -> str:
    """Say that it is so already."""
    if person.role == "owner":
        return f"{_named(person)} is an owner, and owners see everything."
    return f"{_named(person)} {'may see money' if may else 'sees no money'} already."


# --- given to one person --------------------------------------------------------------------


def given(found: Sequence[Deadline], person: Person, me: bool, days: int, today: date) -> str:
    """Say who alone is nudged for what, and when the owners hear of it."""
    who = "You alone are" if me else f"{_named(person)} alone is"
    late = f"{plural(days, 'working day')} late"
    owners = "" if person.role == "owner" else f" An owner hears of it once it is {late}."
    return f"{who} nudged for: {tasks(found, today)}.{owners}"


def for_everybody(found: Sequence[Deadline], today: date) -> str:
    """Say that everybody is nudged again."""
    return f"Everybody is nudged for: {tasks(found, today)}."


def given_already(found: Sequence[Deadline], person: Person | None, today: date) -> str:
    """Say that it is so already."""
    whose = f"{_named(person)}'s already" if person else "everybody's already"
    return f"It is {whose}: {tasks(found, today)}." if found else ""


def done_already(found: Sequence[Deadline], today: date) -> str:
    """Say of things that are done that nobody is nudged for them."""
    return f"Dealt with already: {tasks(found, today)}." if found else ""


def away_then(person: Person, closure: Closure, found: Sequence[Deadline], today: date) -> str:
    """Warn that somebody is off when what they were given is due."""
    when = span(closure, today)
    return f"Mind: {_named(person)} is off {when}: {tasks(found, today)}." if found else ""


def silent(person: Person) -> str:
    """Warn that somebody who was given something cannot be written to."""
    if person.reachable:
        return ""
    return f"Mind: I cannot write to {_named(person)} now, so the owners are told as well."


def yours_now(found: Sequence[Deadline], by: str, today: date) -> str:
    """Tell a person what was given to them, and by whom."""
    return f"{by} gave you: {tasks(found, today)}."


def by(person: Person) -> str:
    """Name who gave something."""
    return _named(person)


def not_found(count: int) -> str:
    """Say that something is no longer in the plan."""
    if count <= 0:
        return ""
    what = "One of those is" if count == 1 else f"{count} of those are"
    return f"{what} in the plan no longer. To see what stands: what is due"


def owners_give() -> str:
    """Refuse a helper who gives somebody else something to do."""
    return owners_only("give somebody else something to do")


def gone() -> str:
    """Say that nobody of that name is in."""
    return "I know nobody of that name. To see who is in: who is in"


# --- days off -------------------------------------------------------------------------------


def off(person: Person, closure: Closure, today: date) -> str:
    """Say that somebody is off."""
    reason = closure.reason
    why = f" ({short(reason, 40)})" if reason and "clos" not in reason else ""
    return f"{_named(person)} is off {span(closure, today)}{why}. No nudges on those days."


def off_already(person: Person, closure: Closure, today: date) -> str:
    """Say that those days off are known."""
    return f"I have it that {_named(person)} is off {span(closure, today)} already."


def off_backwards(person: Person, closure: Closure, today: date) -> str:
    """Refuse days off that end before they begin."""
    who = _named(person)
    return (
        f"I read that {who} is off {span(closure, today)}, which ends before it begins. "
        f"For example: {who} is off 2-6 March"
    )


def back(person: Person, on: date, left: Sequence[Closure], today: date) -> str:
    """Say that somebody is back, and which days off are left."""
    spans = listed([span(one, today) for one in left])
    rest = f" Still off: {spans}." if left else ""
    return f"{_named(person)} is back on {day(on, today)}.{rest}"


def not_off(person: Person, on: date, left: Sequence[Closure], today: date) -> str:
    """Say that somebody is not off then, and when they are."""
    spans = listed([span(one, today) for one in left])
    rest = f" I know of: off {spans}." if left else ""
    return f"I know of no day off of {_named(person)} on {day(on, today)}.{rest}"


def owners_or_self() -> str:
    """Refuse a helper who speaks of somebody else's days off."""
    return owners_only("say when somebody else is off")


def no_longer_fits(box: str, today: date) -> str:
    """Say that a packing run does not fit its days any more."""
    where = box_name(box, today)
    return f"Packing {where} no longer fits its days then. To see what would: packing {where}"


# --- who did it -----------------------------------------------------------------------------

MOST_DEEDS = 8
SOMEBODY = "somebody who is out"


def who_did(what: str) -> str:
    """The heading of what was done."""
    return f"Who did what: {what}" if what else "Who did what"


def deed(who: str, on: date, what: str, today: date) -> str:
    """Write one thing that was done: "Tue 12 Jan, Tom: ordered the pins"."""
    return f"{day(on, today)}{f', {who}' if who else ''}: {short(what, LINE)}"


def more_deeds(left: int) -> str:
    """Say how much more was done than is shown."""
    return f"and {left} more" if left > 0 else ""


def nothing_done(what: str) -> str:
    """Say that nothing is known to have been done."""
    return f"Nothing was done yet{f' of {what}' if what else ''}, as far as I was told."


def tasks(found: Sequence[Deadline], today: date) -> str:
    """Name deadlines with their boxes, the first few where there are many."""
    named = [f"{short(one.todo, LINE)} ({box_name(one.box, today)})" for one in found]
    left = len(named) - NAMED
    return listed([*named[:NAMED], f"{left} more"] if left > 1 else named)


def _named(person: Person) -> str:
    name = called(person)
    return name[:1].upper() + name[1:]
