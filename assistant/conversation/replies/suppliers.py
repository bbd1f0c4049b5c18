"""What is said of suppliers, and of the days on which a party is closed.

Knows: records of suppliers and closures and how they are written. Must not know: what a request
asked for or which dates move. Invariant: days that are not a supplier's own but the house's usual
are said to be so.
"""

from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal

from assistant.conversation.replies.dates import days
from assistant.conversation.replies.plain import (
    MONTHS,
    box_name,
    day,
    listed,
    money,
    plural,
    short,
)
from assistant.conversation.replies.plan import lead, name
from assistant.conversation.replies.shop import place
from assistant.planning.accounts.money import plain_number
from assistant.planning.model import Closure, Item, Supplier
from assistant.planning.month.track import SupplierRecord

YOU = "You"


def span(closure: Closure, today: date) -> str:
    """Write when a closure is: "Mon 2 to Fri 20 Aug", "2 to 20 Aug every year"."""
    if closure.festival:
        return _festival(closure)
    first, last = closure.first, closure.last
    if first is None:
        return "on no day"
    if last is None:
        return f"from {day(first, today)} on, until you say otherwise"
    if closure.yearly:
        return f"{_yearly(first, last)} every year"
    return days(first, last, today)


def _festival(closure: Closure) -> str:
    before, after = closure.before, closure.after
    if before == after:
        return f"{plural(before, 'day')} either side of the lunar new year"
    return f"{plural(before, 'day')} before to {plural(after, 'day')} after the lunar new year"


def _yearly(first: date, last: date) -> str:
    if first == last:
        return _month_day(first)
    start = str(first.day) if first.month == last.month else _month_day(first)
    return f"{start} to {_month_day(last)}"


def _month_day(on: date) -> str:
    return f"{on.day} {MONTHS[on.month - 1][:3]}"


def closed(who: str, closure: Closure, today: date) -> str:
    """Say that a party is closed; `who` "" is the shop."""
    reason = f" ({short(closure.reason, 40)})" if _worth_naming(closure.reason) else ""
    return f"{_subject(who)} closed {span(closure, today)}{reason}."


def _worth_naming(reason: str) -> bool:
    return bool(reason) and "clos" not in reason.casefold()


def _subject(who: str) -> str:
    return f"{name(who)} is" if who else f"{YOU} are"


def closed_already(who: str, closure: Closure, today: date) -> str:
    """Say that a closure is kept already."""
    return f"I have it that {_lower(who)} closed {span(closure, today)} already."


def _lower(who: str) -> str:
    return f"{name(who)} is" if who else "you are"


def backwards(who: str, closure: Closure, today: date) -> str:
    """Refuse a closure that ends before it begins."""
    example = f"{name(who)} closed" if who else "we are closed"
    return (
        f"I read that {_lower(who)} closed {span(closure, today)}, which "
        f"ends before it begins. For example: {example} 2-20 August"
    )


def open_again(who: str, closures: Iterable[Closure], today: date) -> str:
    """Say which closures were forgotten."""
    spans = [span(closure, today) for closure in closures]
    return f"{_subject(who)} open again: no longer closed {listed(spans)}."


def not_closed(who: str, on: date | None, others: Iterable[Closure], today: date) -> str:
    """Say that there is no such closure to forget, and which there are."""
    when = f" on {day(on, today)}" if on else ""
    known = [span(closure, today) for closure in others]
    rest = f" I know of: closed {listed(known)}." if known else ""
    return f"I know of no closure of {name(who) if who else 'yours'}{when}.{rest}"


def unknown(who: str) -> str:
    """Say that no supplier has this name."""
    return (
        f"I know no supplier called {name(who)}. To make one known, for example: "
        f"{name(who)} is in Germany"
    )


def taken(new: str) -> str:
    """Refuse a new name that another supplier has."""
    return (
        f"Another supplier is called {name(new)} already, so nothing was renamed. "
        f"For example, use: {name(new)} Works"
    )


def renamed(old: str, new: str) -> str:
    """Say a supplier's new name."""
    return f"{name(old)} is called {name(new)} now."


def facts(supplier: Supplier, own: str) -> dict[str, str]:
    """Write what is known of a supplier, a piece for each fact, in the order they are read; `own`
    is the shop's currency."""
    where = place(supplier.country, supplier.subdivision) if supplier.country else ""
    pieces = {
        "place": f"in {where}" if where else "",
        "week": f"works {supplier.week}",
        "lead": f"lead time {lead(supplier.lead)}" if supplier.lead else "",
        "confirm": _confirm(supplier.confirm_days),
        "transit": ""
        if supplier.transit_days is None
        else f"transit {plural(supplier.transit_days, 'calendar day')}",
        "deposit": ""
        if supplier.deposit_percent is None
        else f"deposit {percent(supplier.deposit_percent)}",
        **terms(supplier, supplier.currency or own),
    }
    return {fact: text for fact, text in pieces.items() if text}


TERMS = ("deposit", "balance", "early", "minimum", "carriage", "duty", "spends")


def terms(supplier: Supplier, currency: str) -> dict[str, str]:
    """Write a supplier's terms, "" for those that are not known."""
    least, fee, free = supplier.minimum_value, supplier.carriage, supplier.free_from
    free_from = f", free from {money(free, currency)}" if free is not None else ""
    spends = (
        f"{percent(one.percent)} off from {money(one.amount, currency)} a year"
        for one in supplier.spends
    )
    return {
        "balance": balance(supplier),
        "early": early(supplier),
        "currency": f"prices in {supplier.currency}" if supplier.currency else "",
        "minimum": "" if least is None else f"orders from {money(least, currency)}",
        "carriage": "" if fee is None else f"{_carriage(fee, currency)}{free_from if fee else ''}",
        "duty": "" if supplier.duty is None else f"duty {percent(supplier.duty)} at import",
        "spends": listed(tuple(spends)),
    }


def balance(supplier: Supplier) -> str:
    """Write when a supplier's balance is due, "" where that is not known."""
    if supplier.net_days is None:
        return ""
    after = "the end of the month of dispatch" if supplier.end_of_month else "dispatch"
    return f"balance {plural(supplier.net_days, 'day')} after {after}"


def early(supplier: Supplier) -> str:
    """Write a supplier's discount for paying early, "" for none."""
    if not supplier.early_percent or supplier.early_days is None:
        return ""
    return f"{percent(supplier.early_percent)} off if paid in {plural(supplier.early_days, 'day')}"


def _carriage(fee: Decimal, currency: str) -> str:
    return f"carriage {money(fee, currency)} an order" if fee else "carriage free"


def percent(number: Decimal) -> str:
    """Write a percentage: "2.5%"."""
    return f"{plain_number(number)}%"


def no_longer(fact: str) -> str:
    """Say that a fact does not hold any more."""
    return f"no longer {fact}"


def _confirm(working: int) -> str:
    return f"starts {plural(working, 'working day')} after the order" if working else ""


def changed(who: str, what: Iterable[str], new: bool) -> str:
    """Say what is known of a supplier now; `what` are the facts that changed."""
    pieces = "; ".join(what)
    return f"{'New supplier: ' if new else ''}{name(who)}{': ' if pieces else ''}{pieces}."


def nothing_new(who: str, pieces: Mapping[str, str]) -> str:
    """Say that a supplier's facts were known already."""
    return f"{name(who)}, {', '.join(pieces.values())}: as I have it already."


def shown(
    supplier: Supplier,
    facts: Mapping[str, str],
    items: Iterable[Item],
    usual_transit: int,
    today: date,
) -> tuple[str, ...]:
    """Write what is known of a supplier (`facts`), a line a fact, for its page."""
    pieces = dict(facts)
    if "transit" not in pieces:
        usual = plural(usual_transit, "calendar day")
        pieces["transit"] = f"transit {usual}, the usual; none of its own is known"
    if "lead" not in pieces:
        pieces["lead"] = "no lead time known, except where an item has its own"
    lines = [text[0].upper() + text[1:] for text in pieces.values()]
    lines += [f"Closed {span(closure, today)}" for closure in supplier.closures]
    return (*lines, _supplies(tuple(items), today))


def record(known: SupplierRecord) -> tuple[str, ...]:
    """Write a supplier's record in a line or two: days against what it promised, and pieces."""
    text = plural(known.deliveries, "delivery", "deliveries")
    if known.dated:
        text = f"{text}: {known.on_time} of {known.dated} on time, {_mean(known.late)}"
        text += f", {known.worst} at worst" if known.worst > 0 and known.dated > 1 else ""
    wrong = [
        f"{_share(part, of)} {what}"
        for part, of, what in (
            (known.short, known.ordered, "short"),
            (known.damaged, known.pieces, "damaged"),
        )
        if part and of
    ]
    return (text, *((f"Of its pieces {listed(wrong)}",) if wrong else ()))


def _mean(late: Decimal) -> str:
    mean = late.quantize(Decimal("0.1"))
    if not mean:
        return "as promised on average"
    number = f"{plain_number(abs(mean))} {'day' if abs(mean) == 1 else 'days'}"
    return f"{number} {'late' if mean > 0 else 'early'} on average"


def _share(part: int, of: int) -> str:
    """A part in percent, to one place; some of it is never none."""
    return percent(max(Decimal("0.1"), (Decimal(100) * part / of).quantize(Decimal("0.1"))))


def _supplies(items: tuple[Item, ...], today: date) -> str:
    if not items:
        return "No item of the plan comes from it"
    named = [f"{name(item.name)} ({box_name(item.box, today)})" for item in items[:4]]
    if len(items) > len(named):
        named.append(f"{len(items) - len(named)} more")
    return f"Supplies {listed(named)}"
