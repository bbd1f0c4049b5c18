"""What is said of money in and out.

Knows: cash as facts and how amounts are written. Must not know: how cash is reckoned, what was
asked. Invariants: where the bank is not told, every amount is said to be against today's; what the
cash is without is said with it; nothing here advises on tax.
"""

from collections.abc import Iterable, Iterator
from datetime import date

from assistant.conversation.replies.plain import MONTHS, box_name, day, listed, short
from assistant.planning.accounts.cash import Cash, Step
from assistant.planning.accounts.payments import Flow
from assistant.planning.accounts.relief import Relief
from assistant.sheets import cash_words
from assistant.sheets.cash_words import rounded, signed
from assistant.sheets.cash_words import title as title

NAME = 24  # characters of an item's or supplier's name on a line
NO_PLAN = (
    "Nothing is planned yet, so there is no money to reckon. To begin: March theme rain and roots"
)
ASK_BANK = "What is in the bank I do not know; tell me: we have 4,200 in the bank"
NO_BANK = f"Amounts are against today's. {ASK_BANK}."
TAX = "Tax to pay over is not in it; your accountant knows when."
IMPORT = "What is due at import, your customs adviser decides."
TIGHTEST = "When money is tightest"
HELPS = "What would lift the lowest point"
ALONE = "Each reckoned alone, on a copy of the plan. Only asking shows what a supplier grants."
NOTHING_HELPS = "Longer credit, no deposit or smaller orders would not lift it."


def bank(found: Cash, currency: str) -> str:
    """Say what is in the bank, and what is left of it by now."""
    if not found.known:
        return NO_BANK
    told = f"{signed(found.opening, currency)} in the bank on {day(found.opened, found.today)}"
    return told + (
        f", {signed(found.carried, currency)} by now." if found.carried != found.opening else "."
    )


def lowest(found: Cash, currency: str) -> str:
    """Name the lowest point: "Lowest: £310.00 on Fri 26 Feb."."""
    on = day(found.lowest_on, found.today)
    if found.known:
        return f"Lowest: {signed(found.lowest, currency)} on {on}."
    if found.lowest >= 0:
        return "It never falls below today's."
    return f"Lowest: {signed(-found.lowest, currency)} below today's, on {on}."


def month(step: Step, found: Cash, currency: str) -> str:
    """Write a month in a line: "Mar: £11,680 in, £3,120 out, £8,560 left"."""
    return f"{cash_words.month(step.last)[:3]}: {_in_out(step, found, currency)}"


def week(step: Step, found: Cash, currency: str) -> str:
    """Write a week in a line, by its last day."""
    return f"to {day(step.last, found.today)}: {_in_out(step, found, currency)}"


def _in_out(step: Step, found: Cash, currency: str) -> str:
    paid = (
        f"{rounded(step.into, currency)} in" if step.into else "",
        f"{rounded(-step.out, currency)} out" if step.out else "",
    )
    moved = [text for text in paid if text] or ["nothing paid"]
    if found.known:
        return f"{', '.join(moved)}, {rounded(step.left, currency)} left"
    way = "up" if step.left >= 0 else "down"
    return f"{', '.join(moved)}, {rounded(abs(step.left), currency)} {way}"


def quiet(weeks: int) -> str:
    """Say that weeks in which nothing is paid are not listed."""
    return "Weeks in which nothing is paid are left out." if weeks else ""


def plan_ends(found: Cash) -> str:
    """Say that the plan reaches no further."""
    return f"The plan goes to {MONTHS[found.last.month - 1]} {found.last.year}, no further."


def without(found: Cash) -> str:
    """Say what the cash is without."""
    lacking = list(cash_words.gaps(found))
    return f"Without {listed(lacking)}." if lacking else ""


def caution(found: Cash, *, taxed: bool) -> str:
    """Say who decides on taxes, where they matter."""
    imported = any(one.what in ("duty", "import tax") for one in found.flows)
    return "\n".join(filter(None, (TAX if taxed else "", IMPORT if imported else "")))


# --- the lowest point -----------------------------------------------------------------------


def tightest(found: Cash, currency: str) -> Iterator[str]:
    """Say when the least is left, since when it is below zero, and what comes in next."""
    on, today = found.lowest_on, found.today
    if not found.known and found.lowest >= 0:
        yield "Today: from here on it never falls below today's."
    elif found.known:
        yield f"{day(on, today)}: {signed(found.lowest, currency)} left."
    else:
        yield f"{day(on, today)}: {signed(-found.lowest, currency)} less than today."
    if found.known and found.lowest < 0 and (first := _first_below(found)) != on:
        yield f"Below zero first on {day(first, today)}."
    coming = next((one for one in found.flows if one.on > on and one.amount > 0), None)
    if coming is not None:
        yield f"Next in: {flow(coming, '', today, currency)}"


def _first_below(found: Cash) -> date:
    """The first day, from today on, at whose end less than nothing is left."""
    days = sorted({found.today, *(one.on for one in found.flows if one.on >= found.today)})
    return next(on for on in days if found.left_on(on) < 0)


def biggest(paid: Iterable[str]) -> Iterator[str]:
    """List the largest payments before the lowest point."""
    lines = tuple(paid)
    if lines:
        yield "Largest before it:"
    yield from lines


def flow(one: Flow, what: str, today: date, currency: str) -> str:
    """Write a payment in a line: "Thu 28 Jan £418.50, deposit for notebook (March)"; `what` names
    its item or supplier."""
    kind = KINDS.get(one.what, one.what)
    whose = f" for {short(what, NAME)}" if what else ""
    box = f" ({box_name(one.box, today)})" if one.box else ""
    late = ", overdue" if one.overdue else ""
    return f"{day(one.on, today)} {signed(abs(one.amount), currency)}, {kind}{whose}{box}{late}"


KINDS = {"goods": "payment", "sales": "boxes sold singly", "packaging": "packaging and cards"}


# --- what would help ------------------------------------------------------------------------


def relief(number: int, found: Relief, who: str, today: date, currency: str) -> str:
    """Write what a change would do: "1. Hangfeng, no deposit: +£820, to £430 on Fri 5 Mar"."""
    name, box = short(who, NAME), box_name(found.flow.box, today) if found.flow.box else ""
    what = {
        "terms": f"{name}, {found.number} days net",
        "deposit": f"{name}, no deposit",
        "later": f"{KINDS.get(found.flow.what, found.flow.what)} ({box}) {found.number} days later",
        "fewer": f"{found.number} {name} ({box}), no more",
    }[found.what]
    to = f"{rounded(found.lowest, currency)} on {day(found.lowest_on, today)}"
    return f"{number}. {what}: +{rounded(found.lift, currency)}, to {to}"


def shifted(before: Cash, after: Cash, currency: str) -> str:
    """Say how a change moved the lowest point, "" where it did not."""
    if not before.flows or (before.lowest, before.lowest_on) == (after.lowest, after.lowest_on):
        return ""
    was = f"{signed(before.lowest, currency)} on {day(before.lowest_on, before.today)}"
    now = f"{signed(after.lowest, currency)} on {day(after.lowest_on, after.today)}"
    return f"Lowest point of cash: {now}, was {was}."


def next_steps(steps: Iterable[Step], first: date | None) -> tuple[Step, ...]:
    """The steps from a day on."""
    return tuple(one for one in steps if first is None or one.last >= first)
