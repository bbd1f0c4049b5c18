"""What a supplier's terms make of a number that is needed.

Knows: case packs, minimums, price breaks, the least value of an order. Must not know: boxes,
subscribers. Invariants: never fewer than needed, never less than the minimum, always whole cases,
unless nothing is needed; least spend wins, of equal spends the fewer pieces; money is unrounded.
"""

from collections.abc import Sequence
from decimal import Decimal
from typing import Literal

from assistant.planning.model import Break, Item, Offer, Record
from assistant.planning.numbers.sharing import apportion

Because = Literal["case", "minimum", "break", "together"]


class Buy(Record):
    """What to buy: pieces, the price of one at that quantity (None: not known), what it comes to,
    whole cases (0: it does not come in cases), and what made it more than was needed: "case",
    "minimum", "break" (all of it is cheaper from there on)."""

    order: int
    price: Decimal | None = None
    spend: Decimal | None = None
    cases: int = 0
    because: tuple[Because, ...] = ()


def price_at(thing: Item | Offer, quantity: int) -> Decimal | None:
    """Return the price of one piece where so many are ordered at once, in the currency of the item
    or offer; None where none is known."""
    price = thing.unit_cost if isinstance(thing, Item) else thing.price
    return _price(price, thing.breaks, quantity)


def _price(price: Decimal | None, breaks: Sequence[Break], quantity: int) -> Decimal | None:
    """All-units price breaks, by rising quantity: the last one reached holds for every piece."""
    for one in breaks:
        if one.quantity > quantity:
            break
        price = one.price
    return price


def dear_break(item: Item) -> tuple[Break, Decimal] | None:
    """Return the first break at which a piece costs more than fewer do, with what they cost; None
    where there is no such break."""
    price = item.unit_cost
    for one in item.breaks:
        if price is not None and one.price > price:
            return one, price
        price = one.price
    return None


def in_cases(number: int, case: int | None) -> int:
    """Round a number of pieces up to whole cases."""
    return -(-number // case) * case if case else number


def buy(
    need: int,
    *,
    case: int | None = None,
    minimum: int | None = None,
    price: Decimal | None = None,
    breaks: tuple[Break, ...] = (),
) -> Buy:
    """Return the cheapest number of pieces that covers a need.

    Rounding up to full cases, and buying up to a quantity at which the whole order costs less:
    common practice, no source. Within one price the fewest pieces are the cheapest, so only the
    fewest pieces and the start of each later price need be looked at.
    """
    if need <= 0:
        return Buy(0, _price(price, breaks, 0), Decimal(0))
    cased = in_cases(need, case)
    least = in_cases(max(need, minimum or 0), case)
    starts = (in_cases(one.quantity, case) for one in breaks)
    able = (least, *(number for number in starts if number > least))
    spends = ((_spend(number, price, breaks), number) for number in able)
    known = [(spend, number) for spend, number in spends if spend is not None]
    order = least if _spend(least, price, breaks) is None else min(known)[1]
    because: tuple[tuple[Because, bool], ...] = (
        ("case", cased > need),
        ("minimum", least > cased),
        ("break", order > least),
    )
    return Buy(
        order=order,
        price=_price(price, breaks, order),
        spend=_spend(order, price, breaks),
        cases=order // case if case else 0,
        because=tuple(code for code, so in because if so),
    )


def _spend(number: int, price: Decimal | None, breaks: Sequence[Break]) -> Decimal | None:
    each = _price(price, breaks, number)
    return None if each is None else each * number


class Line(Record):
    """One line of an order to be brought up to a value: pieces so far, pieces in a step, and its
    prices, all in one currency."""

    order: int
    step: int
    price: Decimal | None
    breaks: tuple[Break, ...] = ()


def up_to(value: Decimal, lines: Sequence[Line]) -> tuple[int, ...]:
    """Return the pieces of each line so that together they come to at least `value`.

    What is short is shared out in proportion to what each line comes to, in whole steps; the last
    steps go to the largest claims (Webster), and none is taken that the value can do without.
    A line without a price, or of nothing, stays as it is; where no line can be raised, all stay.
    """
    worth = [_worth(line, line.order) for line in lines]
    steps = [line.step * (_price(line.price, line.breaks, line.order) or 0) for line in lines]
    able = [place for place, step in enumerate(steps) if step > 0 and worth[place] > 0]
    gap = value - sum(worth)
    if gap <= 0 or not able:
        return tuple(line.order for line in lines)
    whole = sum(worth[place] for place in able)
    more = [0] * len(lines)
    for place in able:
        more[place] = int(gap * worth[place] / whole / steps[place])
    while _total(lines, more) < value:
        claims = [worth[at] / (steps[at] * (2 * more[at] + 1)) for at in able]
        more[able[claims.index(max(claims))]] += 1
    for place in sorted(able, key=lambda at: -steps[at]):
        while more[place] and _total(lines, _less(more, place)) >= value:
            more = _less(more, place)
    return tuple(line.order + line.step * extra for line, extra in zip(lines, more, strict=True))


def _less(more: list[int], place: int) -> list[int]:
    return [extra - (at == place) for at, extra in enumerate(more)]


def _worth(line: Line, number: int) -> Decimal:
    return _spend(number, line.price, line.breaks) or Decimal(0)


def _total(lines: Sequence[Line], more: Sequence[int]) -> Decimal:
    each = (_worth(line, line.order + line.step * n) for line, n in zip(lines, more, strict=True))
    return sum(each, Decimal(0))


def over_options(
    shares: Sequence[tuple[str, Decimal]], wanted: Sequence[int], order: int, case: int | None
) -> tuple[tuple[str, int], ...]:
    """Share an order out over options (name, percent): each gets its whole cases, what is over is
    shared out by percent in whole cases (Hamilton)."""
    cases = [in_cases(number, case) for number in wanted]
    step = case or 1
    over = apportion([percent for _, percent in shares], (order - sum(cases)) // step)
    return tuple(
        (name, own + more * step) for (name, _), own, more in zip(shares, cases, over, strict=True)
    )
