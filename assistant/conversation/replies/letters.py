"""Letters that the owner sends to suppliers herself: a brief to bargain with, an enquiry.

Knows: what is asked of a supplier and how a letter of it reads. Must not know: channels, who sends
it. Invariants: a letter is plain text, signed with the shop's name; dates carry their year; it
names no other supplier, no price of another supplier and nothing of her own books; a number that
may still change is told as about so many.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal

from assistant.conversation.replies.plain import MONTHS, full_day, listed, money, plural, short
from assistant.planning.accounts.money import to_pay
from assistant.planning.books import Break
from assistant.planning.model import Record
from assistant.planning.trade.bargains import About, Ask, Bargain
from assistant.planning.trade.supplies import Goods

GOODS = 6  # goods that a brief names
ASKS = 5  # things that a brief asks for
NAME = 60

# A number in a letter is rounded up to the next of these: below so many, in steps of so many.
STEPS = ((200, 10), (1000, 25), (5000, 50))
WIDEST = 100


class Wanted(Record):
    """Goods of an enquiry: pieces of each delivery with the day on which they must be in hand, and
    the breaks that are known."""

    name: str
    deliveries: tuple[tuple[int, date | None], ...]
    breaks: tuple[Break, ...] = ()
    facts: tuple[str, ...] = ()

    @property
    def pieces(self) -> int:
        """Pieces of all deliveries, each rounded as it is asked for."""
        return sum(about_so_many(pieces) for pieces, _ in self.deliveries)


def about_so_many(pieces: int) -> int:
    """Round a number of pieces up as it is asked for: 434 is 450, 1,302 is 1,350."""
    step = next((step for below, step in STEPS if pieces < below), WIDEST)
    return -(-pieces // step) * step


def months(boxes: Iterable[str]) -> str:
    """Name months with their year: "March, May and September 2027"."""
    by_year: dict[str, list[str]] = {}
    for box in dict.fromkeys(id[:7] for id in boxes):
        by_year.setdefault(box[:4], []).append(MONTHS[int(box[5:7]) - 1])
    return listed([f"{listed(names)} {year}" for year, names in by_year.items()])


def _paid(amount: Decimal, currency: str) -> str:
    return money(to_pay(amount, currency), currency)


# --- a brief --------------------------------------------------------------------------------


def brief(found: Bargain, supplier: str, shop: str) -> str:
    """Write what is asked of a supplier, in at most 20 lines."""
    supply, currency = found.supply, found.supply.currency
    goods = [
        f"- {short(one.name, NAME)}: about {_all_of(one):,} pieces, for "
        f"{months(box for box, _ in one.boxes)}"
        for one in supply.goods[:GOODS]
    ]
    left = len(supply.goods) - len(goods)
    goods += [f"- and {plural(left, 'item')} more"] if left else []
    pieces = sum(_all_of(one) for one in supply.goods)
    asked = [text for one in found.asks if (text := _WORDS[one.about](one, currency))]
    numbered = [f"{n}. {text}" for n, text in enumerate(asked[:ASKS], 1)]
    value = f", some {_paid(supply.spend, currency)} at today's prices" if supply.spend else ""
    lines = (
        f"Subject: {short(shop, NAME)}, our orders for the coming year",
        "",
        f"Dear {short(supplier, NAME)},",
        "",
        "for the coming twelve months we plan to buy from you:",
        *goods,
        f"In all about {pieces:,} pieces{value}.",
        "",
        "If we commit to that now, could you offer us:" if numbered else "",
        *numbered,
        "",
        "We would be glad to hear from you.",
        "",
        "Kind regards",
        short(shop, NAME),
    )
    return _tidied(lines)


def _all_of(goods: Goods) -> int:
    """Pieces of all deliveries, each rounded as it is asked for."""
    return sum(about_so_many(pieces) for _, pieces in goods.boxes)


def _break(one: Ask, currency: str) -> str:
    price = "" if one.price is None else f", {_paid(one.price, currency)} each"
    name = short(one.goods[0], NAME)
    return f"{name} at your price from {one.quantity:,}{price}, for all deliveries of the year"


def _spend(one: Ask, currency: str) -> str:
    off = f"{one.percent.normalize():f}% off from the first order on"
    if not one.lacks:
        return f"{off}, as the year reaches {_paid(one.amount, currency)}"
    if one.goods:
        return f"{off}, if we also buy {listed([short(g, NAME) for g in one.goods])} from you"
    return f"{off}, although the year falls {_paid(one.lacks, currency)} short"


def _rate(_one: Ask, _currency: str) -> str:
    return "your best rate for the whole of it"


def _carriage(one: Ask, _currency: str) -> str:
    return f"carriage free on {'the order' if one.orders == 1 else f'all {one.orders} orders'}"


def _deposit(one: Ask, _currency: str) -> str:
    return f"no deposit, instead of {one.percent.normalize():f}%"


def _net(one: Ask, _currency: str) -> str:
    return f"payment {one.days} days after dispatch"


def _exclusive(one: Ask, _currency: str) -> str:
    return f"{listed([short(name, NAME) for name in one.goods[:2]])} for us alone this season"


_WORDS: Mapping[About, Callable[[Ask, str], str]] = {
    "break": _break,
    "spend": _spend,
    "rate": _rate,
    "carriage": _carriage,
    "deposit": _deposit,
    "net": _net,
    "exclusive": _exclusive,
}


# --- an enquiry -----------------------------------------------------------------------------

FOR_EACH = (
    "- the price for one order of that number, and for twice as many",
    "- your minimum, and how many come in a case",
    "- set-up or tooling, if there is any",
    "- your lead time to dispatch, and the days on its way to us",
    "- whether we can have a sample, and what it costs",
)
FOR_ALL = (
    "For all of it: carriage to us, your terms of payment (deposit, days), where it is made, and "
    "until when the quote holds."
)


def enquiry(
    wanted: Sequence[Wanted], supplier: str, shop: str, deliver_to: str, today: date
) -> str:
    """Write an enquiry for goods."""
    lines = (
        f"Subject: enquiry from {short(shop, NAME)}, {full_day(today)}",
        "",
        f"Dear {short(supplier, NAME)},",
        "",
        "please quote for:",
        *(line for number, one in enumerate(wanted, 1) for line in _goods(number, one)),
        "",
        "For each, please tell us:",
        *FOR_EACH,
        FOR_ALL,
        "",
        f"Delivery to: {deliver_to}" if deliver_to else "",
        "Kind regards",
        short(shop, NAME),
    )
    return _tidied(lines)


def _goods(number: int, one: Wanted) -> Iterable[str]:
    facts = f" ({', '.join(one.facts)})" if one.facts else ""
    yield f"{number}. {short(one.name, NAME)}{facts}"
    for pieces, on in one.deliveries:
        by = f" in our hands by {full_day(on)}" if on else ""
        yield f"   {about_so_many(pieces):,} pieces{by}"
    numbers = [one.quantity for one in one.breaks]
    if len(one.deliveries) > 1:
        numbers.append(one.pieces)
    more = [f"{number:,}" for number in sorted(set(numbers))]
    if more:
        yield f"   and the price at {listed(more)}"


def _tidied(lines: Iterable[str]) -> str:
    """Lines without two blank ones running."""
    kept: list[str] = []
    for line in lines:
        if line or (kept and kept[-1]):
            kept.append(line)
    return "\n".join(kept).strip()
