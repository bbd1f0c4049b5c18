"""What is said of offers and price lists: what was read, what changes, what was found.

Knows: what a price list would change (year/offers), and how offers are written. Must not know:
file formats. Invariants: everything from a file is shown cut to a line; a price is shown with its
currency; an old quote is pointed out wherever an offer is taken.
"""

from collections.abc import Sequence
from datetime import date

from assistant.conversation.replies.files import CHANGES, PROBLEMS, REMARKS, Part, some
from assistant.conversation.replies.plain import day, listed, money, plural, short
from assistant.conversation.replies.plan import name
from assistant.planning.bringing_in import Refused
from assistant.planning.model import Offer
from assistant.planning.year.offers import IncomingOffers, Repriced

NAME = 60  # characters of a file's name
OFFER = 40  # characters of an offer's name on a line

NO_LIST = (
    "No price list is here yet. Send a supplier's list as CSV or XLSX, an item and a price on each "
    "row."
)
NO_DRAFT = (
    "I read whose price list it is, but none waits to be brought in. Send the file, for example "
    "with the words: price list from Aldermoor"
)
GONE = "That offer is not here any more. To see those that are: offers"


def heading(file: str, supplier: str, offers: int) -> str:
    """The title of what was read: "Read spring.csv: price list of Aldermoor, 12 offers"."""
    whose = f"price list of {name(supplier)}" if supplier else "a price list"
    return f"Read {short(file, NAME)}: {whose}, {plural(offers, 'offer')}"


def whose(file: str) -> str:
    """Ask whose price list a file is."""
    called = short(file, NAME) or "it"
    return f"Whose price list is {called}? Say for example: price list from Aldermoor"


def taken_for(supplier: str, where: str) -> str:
    """Say why a list is taken for a supplier's, and how to put it right."""
    return (
        f"Taken for {name(supplier)}'s, by {where}. If it is not, say for example: "
        "price list from Brackenfold"
    )


NOTHING_READ = "Nothing of it could be read. A row needs an item and a price."


def summary(incoming: IncomingOffers, currency: str) -> tuple[str, ...]:
    """Say what bringing a list in would do."""
    if not incoming.changes:
        return ("Nothing in it is new: the offers stay as they are.", _newer(incoming.newer))
    counts = (
        f"New: {plural(len(incoming.new), 'offer')}." if incoming.new else "",
        f"Otherwise changed: {plural(len(incoming.otherwise), 'offer')}."
        if incoming.otherwise
        else "",
        f"Quoted anew, at the same price: {plural(len(incoming.anew), 'offer')}."
        if incoming.anew
        else "",
        f"As it was: {plural(incoming.same, 'offer')}." if incoming.same else "",
        f"Not in it: {plural(incoming.unlisted, 'offer')}; they stay." if incoming.unlisted else "",
    )
    return (*counts, _newer(incoming.newer), *some(repriced(incoming, currency)))


def _newer(count: int) -> str:
    return f"{plural(count, 'offer')} kept: I have a newer quote." if count else ""


def unread(refused: Sequence[Refused], notes: Sequence[str]) -> tuple[Part, ...]:
    """What of a list was not read, and what to look at."""
    lines = tuple(f"{one.where}: {one.why}" for one in refused)
    return (Part("Not read", lines, PROBLEMS), Part("Look at", tuple(notes), REMARKS))


def repriced(incoming: IncomingOffers, currency: str) -> Part:
    """Every price that a list changes, and by how much."""
    lines = tuple(_repriced(one, currency) for one in incoming.repriced)
    return Part("Prices changed", lines, CHANGES)


def _repriced(one: Repriced, currency: str) -> str:
    now = "no price" if one.new is None else money(one.new, one.now_in or currency)
    was = "no price" if one.old is None else money(one.old, one.was_in or currency)
    by = ""
    if one.old is not None and one.new is not None and one.was_in == one.now_in:
        way = "up" if one.new > one.old else "down"
        by = f", {way} {money(abs(one.new - one.old), one.now_in or currency)}"
    return f"{short(one.name, OFFER)} {now}, was {was}{by}"


def dated(on: date | None, today: date) -> str:
    """Say of what day the prices are."""
    if on is None:
        return f"No date is written in it: the quote is dated today, {day(today, today)}."
    return f"Quoted {day(on, today)}."


def holds(until: date, today: date) -> str:
    """Say until when the prices of a list hold, the first of several days."""
    if until < today:
        return f"Some of it was valid until {day(until, today)}: ask whether it still holds."
    return f"Valid until {day(until, today)}."


def read_as(currency: str) -> str:
    """Say in which currency prices without one were read."""
    return f"No currency is written in it: prices are read as {currency}."


def foreign(currency: str) -> str:
    """Say that prices in another currency are kept as they are."""
    return f"Prices are in {currency}: nothing is converted."


def old_quote(supplier: str, on: date, today: date) -> str:
    """Point out a quote that is older than half a year."""
    of_whom = name(supplier) if supplier else "the supplier"
    return (
        f"The quote of {day(on, today)} is more than half a year old: ask {of_whom} for a new one "
        "before you order."
    )


def brought_in(incoming: IncomingOffers, currency: str) -> tuple[str, ...]:
    """Say what a price list changed."""
    counts = (
        plural(len(incoming.new), "new offer") if incoming.new else "",
        f"{plural(len(incoming.repriced), 'price')} changed" if incoming.repriced else "",
        f"{plural(len(incoming.otherwise), 'offer')} changed otherwise"
        if incoming.otherwise
        else "",
        f"{plural(len(incoming.anew), 'offer')} quoted anew" if incoming.anew else "",
        plural(len(incoming.suppliers), "new supplier") if incoming.suppliers else "",
    )
    head = f"Brought in: {listed([one for one in counts if one])}."
    return (head, *some(repriced(incoming, currency)))


def nothing_new(file: str) -> str:
    """Say that all of a list is known."""
    return f"All of {short(file, NAME)} is known already. Nothing was changed."


# --- lists ----------------------------------------------------------------------------------


def found(words: str, supplier: str) -> str:
    """The heading of a list of offers."""
    of_whom = f" of {name(supplier)}" if supplier else ""
    about = f' about "{short(words, OFFER)}"' if words else ""
    return f"Offers{of_whom}{about}"


def line(number: int, offer: Offer, supplier: str, currency: str, stale: str) -> str:
    """Write an offer of a list: "1. moss print, £2.10, Aldermoor, from 200"; `stale` says why its
    price may not hold."""
    price = "no price" if offer.price is None else money(offer.price, offer.currency or currency)
    parts = (
        short(offer.name, OFFER),
        price,
        name(supplier),
        f"from {offer.minimum:,}" if offer.minimum else "",
        stale,
    )
    return f"{number}. {', '.join(part for part in parts if part)}"


def none(title: str, every: int) -> str:
    """Say that no offer was found."""
    have = "there is 1 offer" if every == 1 else f"there are {every} offers"
    return f"{title}: none. In all {have}: say offers"


def more(left: int) -> str:
    """Say that a list goes on."""
    return f"and {left} more" if left > 0 else ""


# --- taken into a box -----------------------------------------------------------------------


def terms(offer: Offer, today: date, currency: str) -> str:
    """Say what binds an order: "Minimum 200, in cases of 50, quoted Mon 4 Jan"; `currency` is the
    shop's."""
    code, holds = offer.currency or currency, offer.valid_until
    parts = (
        f"minimum {offer.minimum:,}" if offer.minimum else "",
        f"in cases of {offer.case_pack:,}" if offer.case_pack else "",
        *(f"from {one.quantity:,} at {money(one.price, code)}" for one in offer.breaks),
        f"quoted {day(offer.quoted, today)}" if offer.quoted else "",
        f"valid until {day(holds, today)}" if holds and holds >= today else "",
    )
    text = ", ".join(part for part in parts if part)
    return f"{text[:1].upper()}{text[1:]}." if text else ""


def expired(supplier: str, on: date, today: date) -> str:
    """Point out an offer of which the last day is past."""
    return f"It was valid until {day(on, today)}: ask {name(supplier)} whether it still holds."


def too_many(minimum: int, subscribers: int) -> str:
    """Point out a minimum that is more than a box needs."""
    return f"The minimum of {minimum:,} is more than your {plural(subscribers, 'subscriber')}."
