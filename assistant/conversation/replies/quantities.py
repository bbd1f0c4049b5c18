"""What is said of how many to order.

Knows: an amount and its parts, how they are written. Must not know: which question was asked, how a
number is worked out. Invariants: the parts that one line tells add up to its number; what is not
known is named; nothing here says that a number is certain.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal

from assistant.conversation.replies.item_facts import percent
from assistant.conversation.replies.plain import box_name, listed, money, plural, short
from assistant.planning.model import Item
from assistant.planning.numbers.buying import in_cases
from assistant.planning.numbers.quantity import Amount, Surplus

NAME = 40


def title(item: Item, found: Amount, today: date) -> str:
    """The heading of one item's number."""
    return f"{short(item.name, NAME)}, {box_name(item.box, today)}: {_to_order(found.order)}"


def _to_order(order: int) -> str:
    return f"{order:,} to order" if order else "none to order"


def why_title(item: Item, found: Amount, today: date) -> str:
    """The heading of every step of a number."""
    return f"{short(item.name, NAME)}, {box_name(item.box, today)}: why {found.advised:,}"


def one_line(found: Amount, item: Item, supplier: str, least: str) -> str:
    """Write a number with its parts: "460 = 431 expected + 18 to be 95% sure + 9 spares + 2 to fill
    20 cases of 23". `least` is the least value of an order of `supplier`, as written."""
    parts = [f"{found.expected:,} expected"]
    if found.safety:
        parts.append(f"{_signed(found.safety)} to be {percent(found.confidence)} sure")
    if found.stock:
        parts.append(f"- {found.stock:,} in stock")
    if found.spares:
        parts.append(f"+ {plural(found.spares, 'spare')}")
    if found.advised > found.need:
        why = _more(found, item, supplier, least)
        parts.append(f"+ {found.advised - found.need:,} {why}")
    return f"{found.advised:,} = {' '.join(parts)}"


def _signed(number: int) -> str:
    return f"{'+' if number > 0 else '-'} {abs(number):,}"


def _more(found: Amount, item: Item, supplier: str, least: str) -> str:
    """What an order was rounded up for: what decided it last."""
    case = item.case_pack or 0
    cases = f" ({plural(found.cases, 'case')} of {case:,})" if found.cases else ""
    words = {
        "case": f"to fill {plural(found.cases, 'case')} of {case:,}",
        "minimum": f"to the minimum of {item.minimum or 0:,}{cases}",
        "break": f"as {found.advised:,} cost less than {_least(found, item):,}{cases}",
        "together": f"to reach {short(supplier, 20)}'s least order of {least}{cases}",
    }
    return words[found.because[-1]]


def _least(found: Amount, item: Item) -> int:
    """The fewest pieces that could be bought."""
    return in_cases(max(found.need, item.minimum or 0), item.case_pack)


def cost(found: Amount, item: Item, currency: str) -> str:
    """Write what an order comes to: "£2.90 each, £1,334.00 in all, and £60.00 set-up"."""
    if found.price is None or found.spend is None:
        return f"No price yet: say {short(item.name, NAME)} costs 3.10"
    if not found.order:
        return ""
    setup = f", and {money(item.setup, currency)} set-up" if item.setup else ""
    return f"{money(found.price, currency)} each, {money(found.spend, currency)} in all{setup}"


def options(found: Amount) -> str:
    """Write how many of each option: "S 92, M 230, L 138"."""
    told = found.shares if found.order else ()
    return ", ".join(f"{short(name, 20)} {count:,}" for name, count in told)


def own(found: Amount) -> str:
    """Say how a number that the owner set differs from the one worked out."""
    if not found.own or found.order == found.advised:
        return ""
    off = found.order - found.advised
    return f"You set {found.order:,}: {abs(off):,} {'more' if off > 0 else 'fewer'}."


def too_much(item: Item, found: Surplus, today: date) -> str:
    """Say that a minimum is more than its box, or a whole year, needs, and what sharing takes."""
    least, where = item.minimum or 0, box_name(item.box, today)
    share = f"{plural(found.boxes, 'box', 'boxes')} of this need would use it up."
    if found.over + found.need > found.year:
        need = f"a year's need of {found.year:,}" if found.year > found.need else "any box needs"
        return f"The minimum of {least:,} is more than {need}. {share}"
    return f"The minimum of {least:,} is {found.over:,} more than {where} needs. {share}"


def not_counted(box: str, today: date) -> str:
    """Say that nobody is known to get a box, and how to change it."""
    where = box_name(box, today)
    return f"I do not know how many boxes go out in {where}. Say for example: 420 subscribers"


def nothing_in(box: str, today: date) -> str:
    """Say that a box holds nothing to order."""
    where = box_name(box, today)
    example = f"add to {where}: field notebook from Aldermoor, 3.10"
    return f"{where} holds no items yet. For example: {example}"


def nothing_planned() -> str:
    """Say that no box is planned."""
    return "No box with items is planned. For example: add to March: field notebook, 3.10"


# --- every step -----------------------------------------------------------------------------


def boxes(mean: float, low: int, high: int, units: int, pieces: int) -> str:
    """Write how many boxes are expected, and the pieces that go into them."""
    spread = f", nine times in ten between {low:,} and {high:,}" if low != high else ""
    many = f"; {units:,} in each: {pieces:,} pieces" if units != 1 else ""
    return f"Boxes: {round(mean):,} expected{spread}{many}"


def sure(found: Amount, short_cost: Decimal | None, currency: str) -> str:
    """Write how sure the number is meant to be, and where that comes from."""
    chance = percent(found.confidence)
    if found.sure == "own":
        return f"Sure: {chance}, as you said"
    if found.sure == "costs" and short_cost is not None and found.leftover is not None:
        left = money(found.leftover, currency)
        return (
            f"Sure: {chance}, as a box short costs {money(short_cost, currency)}, one left {left}"
        )
    return f"Sure: {chance}, the usual. To change it: be 98% sure, or running short costs 12 a box"


def on_average(short_boxes: float, left: float) -> str:
    """Write what may be expected at the number before spares and rounding."""
    return f"On average {short_boxes:.1f} boxes short and {left:.1f} left over, before spares"


def stock(found: Amount) -> str:
    """Write what stock covers."""
    return f"Stock: {found.stock:,} cover as many, and need no spares" if found.stock else ""


def spares(found: Amount) -> str:
    """Write what spares are for."""
    if not found.spares:
        return ""
    good = found.need - found.spares
    damage, chance = percent(found.damage), percent(found.confidence)
    return f"Spares: {damage} arrive broken; {found.need:,} leave {good:,} good, {chance} sure"


def spread_over(item: Item) -> str:
    """Write the shares of options: "S 20%, M 50%, L 30%, each sure by itself"."""
    told = ", ".join(f"{short(name, 20)} {percent(share)}" for name, share in item.shares)
    return f"Options: {told}; each is sure by itself" if told else ""


def ways(found: Iterable[tuple[int, Decimal]], currency: str) -> str:
    """Write what orders of several sizes come to: "480 for £1,488.00, 500 for £1,450.00"."""
    told = [f"{order:,} for {money(spend, currency)}" for order, spend in found]
    return f"Compared: {', '.join(told)}" if len(told) > 1 else ""


# --- a whole box ----------------------------------------------------------------------------


def box_title(box: str, today: date) -> str:
    """The heading of a box's numbers."""
    return f"{box_name(box, today)}: how many to order"


def line(place: int, item: Item, found: Amount, currency: str) -> str:
    """Write one item of a box: "1. field notebook 460, 20 cases of 23, £1,334.00"."""
    cases = f", {plural(found.cases, 'case')} of {item.case_pack:,}" if found.cases else ""
    if found.own:
        cases = f", as you set (worked out: {found.advised:,})"
    spend = "no price" if found.spend is None else money(found.spend, currency)
    return f"{place}. {short(item.name, NAME)} {found.order:,}{cases}, {spend}"


def total(amount: Decimal, currency: str, without: Sequence[str], more: int) -> str:
    """Write what all of it comes to, and what is not in that."""
    names = listed([short(name, 20) for name in without])
    left_out = f", without {names} (no price, or no rate)" if without else ""
    rest = f"; {plural(more, 'item')} more" if more else ""
    return f"In all {money(amount, currency)}{left_out}{rest}"
