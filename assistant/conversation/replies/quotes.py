"""What is said of quotes: one that was noted, several compared, one that is bought by.

Knows: a comparison (trade/comparing) and how it is read on a phone. Must not know: which request
asked. Invariants: money is rounded only where it is written; what is left out of a cost is named
beside it; an expired quote is said to be one; a verdict names the rule that it went by.
"""

from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal

from assistant.conversation.replies.plain import box_name, day, listed, money, plural, short
from assistant.conversation.replies.plan import lead, name
from assistant.planning.accounts.money import to_pay
from assistant.planning.model import Break, Item, Offer
from assistant.planning.trade.comparing import FLOAT, Comparison, Quoted, Reason, Risk
from assistant.scheduling.countries import country_name

WORD = 24  # characters of a name among others

GONE = "That quote is not here any more. To see those that are: quotes for the notebook"
NO_PRICE = "That quote names no price yet, so nothing can be bought by it. Nothing was changed."


def amount(value: Decimal, currency: str) -> str:
    """Write an amount as it is paid."""
    return money(to_pay(value, currency), currency)


# --- one quote ------------------------------------------------------------------------------


def goods(item: Item | None, called: str, today: date) -> str:
    """Name what is quoted for."""
    return f"{name(item.name)} ({box_name(item.box, today)})" if item else name(called)


def noted(supplier: str, what: str, offer: Offer, currency: str) -> str:
    """Acknowledge a quote: its prices."""
    return f"Quote of {name(supplier)} for {what}: {prices(offer, currency)}."


def prices(offer: Offer, currency: str) -> str:
    """Write a quote's prices: "£1.40, from 500 at £1.25"."""
    code = offer.currency or currency
    first = "no price" if offer.price is None else _exact(offer.price, code)
    return ", ".join((first, *(_break(one, code) for one in offer.breaks)))


def _break(one: Break, currency: str) -> str:
    return f"from {one.quantity:,} at {_exact(one.price, currency)}"


def _exact(price: Decimal, currency: str) -> str:
    """A price of one piece, with the digits it was told in where those are more than are paid."""
    if price == to_pay(price, currency):
        return money(price, currency)
    whole = money(to_pay(price, currency), currency)
    paid = f"{to_pay(price, currency):,.2f}"
    return whole.replace(paid, f"{price.normalize():f}")


def terms(offer: Offer, currency: str) -> str:
    """Write what else a quote says: "Minimum 200, 25 working days, carriage £12.00"."""
    code = offer.currency or currency
    parts = (
        f"minimum {offer.minimum:,}" if offer.minimum else "",
        f"cases of {offer.case_pack:,}" if offer.case_pack else "",
        f"set-up {amount(offer.setup, code)}" if offer.setup else "",
        "" if offer.carriage is None else _carriage(offer.carriage, code),
        lead(offer.lead) if offer.lead else "",
        "" if offer.transit_days is None else f"{plural(offer.transit_days, 'day')} on its way",
    )
    text = ", ".join(filter(None, parts))
    return f"{text[:1].upper()}{text[1:]}." if text else ""


def _carriage(value: Decimal, currency: str) -> str:
    return f"carriage {amount(value, currency)}" if value else "carriage free"


def holds(offer: Offer, days: int, today: date) -> str:
    """Say until when a quote holds; `days` are working days from today to then."""
    if offer.valid_until is None:
        return "No last day was said: ask until when it holds."
    on = day(offer.valid_until, today)
    if offer.valid_until < today:
        return f"It expired {on}: ask for a new one."
    if offer.valid_until == today:
        return "Valid until today."
    return f"Valid until {on}, in {plural(days, 'working day')}."


def comes_to(quoted: Quoted, currency: str, today: date) -> str:
    """Say what a quote comes to: "For 434: £524.15 landed, £1.25 each; in hand Thu 11 Feb, ..."."""
    return f"For {quoted.need:,}: {_cost(quoted, currency)}; {_time(quoted, today)}."


def taken_as(currency: str, supplier: str) -> str:
    """Say that a price without a currency was taken to be in the one a supplier is paid in."""
    return f"Read as {currency}, the currency of {name(supplier)}."


def newer(supplier: str, what: str, on: date, today: date) -> str:
    """Refuse a quote that is older than the one that is kept."""
    return (
        f"I read an older quote of {name(supplier)} for {what}, but I have one of "
        f"{day(on, today)}. Nothing was changed. If it is new, say it without a date."
    )


def known(supplier: str, what: str) -> str:
    """Say that a quote is kept already."""
    return f"That quote of {name(supplier)} for {what} is what I have already."


def which_currency(supplier: str, price: Decimal, codes: Sequence[str]) -> str:
    """Ask in which currency a price is."""
    return (
        f"I read a quote of {name(supplier)} at {price:f}, but not in which currency: you use "
        f"{listed(codes)}. Nothing was changed yet. Which one is it?"
    )


def dear_break(supplier: str, one: Break, currency: str) -> str:
    """Refuse a break at which each piece costs more than it does in a smaller order."""
    return (
        f"I read a quote of {name(supplier)} from {one.quantity:,} at "
        f"{_exact(one.price, currency)}, but fewer pieces cost less each. Nothing was changed. "
        f"For example: {name(supplier)} quotes 1.40 for the pins, from {one.quantity} 1.25"
    )


# --- quotes compared ------------------------------------------------------------------------


def title(item: Item, found: Comparison, today: date) -> str:
    """The heading of a comparison."""
    need = max((one.need for one in found.quotes), default=0)
    count = plural(len(found.quotes), "quote")
    return f"{name(item.name)}, {box_name(item.box, today)}: {count} for {need:,} pieces"


def line(number: int, quoted: Quoted, supplier: str, currency: str, today: date) -> str:
    """Write one quote of a comparison: its price, cost and time, then what speaks against it."""
    code = quoted.currency or currency
    price = "no price" if quoted.price is None else _exact(quoted.price, code)
    bought = f" x {quoted.order:,}" if quoted.order != quoted.need else ""
    plan = " (the plan)" if quoted.planned else ""
    head = f"{number}. {name(supplier)}{plan} {price}{bought}: {_cost(quoted, currency)}"
    against = ", ".join(filter(None, (risk(one, today) for one in quoted.risks)))
    rest = "; ".join(filter(None, (_time(quoted, today), against)))
    return f"{head}\n   {rest[:1].upper()}{rest[1:]}"


def _cost(quoted: Quoted, currency: str) -> str:
    missing = f" without {listed(quoted.unknown)}" if quoted.unknown else ""
    if quoted.cost is None or quoted.each is None:
        why = "no rate" if "rate" in quoted.unknown else "no price"
        return f"cost not known ({why} of it)" if quoted.price is not None else "cost not known"
    each = amount(quoted.each, currency)
    return f"{amount(quoted.cost, currency)} landed{missing}, {each} each"


def _time(quoted: Quoted, today: date) -> str:
    if quoted.expected is None:
        return "no day in hand known"
    on = f"in hand {day(quoted.expected, today)}"
    if quoted.float is None:
        return on
    spare = plural(abs(quoted.float), "working day")
    return f"{on}, {spare} {'to spare' if quoted.float >= 0 else 'too late'}"


_RISKS: Mapping[str, str] = {
    "expired": "expired {on}",
    "ends": "holds until {on}, before its order-by date",
    "old": "quote of {on} is old",
    "no lead": "no lead time known",
    "first": "nothing ordered there yet",
    "abroad": "from {reason}",
    "deposit": "{percent}% deposit",
    "leftover": "{pieces} more than needed",
    "closure": "closed from {on}",
}


def risk(one: Risk, today: date) -> str:
    """Write what speaks against a quote."""
    return _RISKS[one.code].format(
        on=day(one.on, today) if one.on else "",
        reason=country_name(one.reason) or one.reason,
        percent=f"{one.percent.normalize():f}",
        pieces=f"{one.pieces:,}",
    )


def criteria(found: Comparison, names: Sequence[str]) -> str:
    """Say who is best at what."""
    told = (("Cost", found.cheapest), ("time", found.soonest), ("risk", found.safest))
    parts = (f"{word}: {_who(place, names)}" for word, place in told)
    return f"{'; '.join(parts)}."


def _who(place: int | None, names: Sequence[str]) -> str:
    return "nobody alone" if place is None else short(names[place], WORD)


_BECAUSE: Mapping[Reason, str] = {
    "cheapest in time": f"costs least of those with {FLOAT} working days or more to spare",
    "most to spare": f"none has {FLOAT} working days to spare, it has the most",
    "soonest": "none is in time, it is in hand first",
    "cheapest": "no day is known, it costs least",
    "": "",
}


def verdict(found: Comparison, names: Sequence[str]) -> str:
    """Say which quote is best on the whole, and by which rule."""
    if found.best is None:
        return "None of them can be bought by: ask for a price that holds."
    return f"On the whole {short(names[found.best], WORD)}: {_BECAUSE[found.because]}."


def only_one(item: Item, supplier: str, today: date) -> str:
    """Say that there is nothing to compare with."""
    what = f"{name(item.name)}, {box_name(item.box, today)}"
    have = f"I have only the price of {name(supplier)}" if supplier else "I have no quote"
    return (
        f"{what}: {have}. Note another, for example: "
        f"Brackenfold quotes 1.40 for the {name(item.name)}"
    )


def no_quote_of(item: Item, suppliers: Sequence[str]) -> str:
    """Say whose quote is missing."""
    return f"No quote of {listed([name(one) for one in suppliers])} for {name(item.name)}."


def more(left: int) -> str:
    """Say how many quotes are not shown."""
    return f"and {plural(left, 'quote')} more" if left > 0 else ""


# --- bought by a quote ----------------------------------------------------------------------


def buying(item: str, supplier: str, today: date, box: str) -> str:
    """Name the change, as in "Buy enamel pin (May) from Brackenfold"."""
    return f"buy {name(item)} ({box_name(box, today)}) from {name(supplier)}"


def bought(item: Item, what: Sequence[str], today: date) -> str:
    """Acknowledge that an item is bought by a quote; `what` are the facts that changed."""
    return f"{name(item.name)}, {box_name(item.box, today)}: {'; '.join(what)}."


def suppliers_now(supplier: str, offer: Offer, currency: str) -> str:
    """Say what of a quote holds for the supplier from now on."""
    code = offer.currency or currency
    parts = (
        f"{_carriage(offer.carriage, code)} an order" if offer.carriage else "",
        "carriage free" if offer.carriage == 0 else "",
        "" if offer.transit_days is None else f"{plural(offer.transit_days, 'day')} on its way",
    )
    told = [part for part in parts if part]
    return f"For all that {name(supplier)} sends: {listed(told)}." if told else ""


def stands(item: Item, supplier: str, today: date) -> str:
    """Say that the plan buys so already."""
    where = box_name(item.box, today)
    return f"{name(item.name)}, {where}: the plan has that quote of {name(supplier)} already."


def ordered(item: Item, supplier: str) -> str:
    """Refuse to change what is ordered."""
    of_whom = f" from {name(supplier)}" if supplier else ""
    return (
        f"I read a quote to buy {name(item.name)} by, but it is ordered already{of_whom}. Nothing "
        "was changed."
    )


def minimum_over(minimum: int, quantity: int) -> str:
    """Point out a minimum that is above what is to be ordered."""
    return f"Its minimum of {minimum:,} is more than the {quantity:,} that you set."


def expired(supplier: str, on: date, today: date) -> str:
    """Point out a quote that has expired."""
    return f"The quote expired {day(on, today)}: ask {name(supplier)} whether it still holds."


def old(supplier: str, on: date, today: date) -> str:
    """Point out a quote that is old."""
    return f"The quote of {day(on, today)} is more than half a year old: ask {name(supplier)} anew."
