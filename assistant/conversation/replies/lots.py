"""What is said of buying in one lot or several.

Knows: plans of lots (numbers/lots) and how they are written. Must not know: which question was
asked. Invariants: at most nine lines, further orders are counted; what a way saves is told with its
reason; what is not known of a sum is named, with a sentence that tells it.
"""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from assistant.conversation.replies.item_facts import percent
from assistant.conversation.replies.plain import box_name, day, listed, money, plural
from assistant.conversation.replies.plan import name
from assistant.planning.accounts.money import to_pay
from assistant.planning.numbers.lots import PRICE, RATE, STORAGE, LotOrder, LotPlan, Way

SHOWN = 4  # orders that one answer names

_UNKNOWN = {
    PRICE: "Without the price: say {item} costs 3.10",
    RATE: "Without what is in another currency: say a rate, 1 EUR is 0.86",
    STORAGE: "Without storage: say storage costs 0.05 a piece a month",
}


def title(item: str) -> str:
    """The heading of the answer."""
    return f"{name(item)}: one lot or several"


def every_title(item: str) -> str:
    """The heading of the answer that tells each way."""
    return f"{name(item)}: every way to buy"


def cheapest(plan: LotPlan) -> str:
    """Say which way is the cheapest, and what it costs."""
    way = plan.best
    what = f"Cheapest: {_way_name(plan, way)}"
    return f"{what}, {_about(plan, way.cost)}"


def _way_name(plan: LotPlan, way: Way) -> str:
    if plan.single is not None and _same(way, plan.single):
        return "all at once"
    if len(way.orders) == sum(need > 0 for need in plan.needs):
        return "an order for each box"
    return plural(len(way.orders), "order")


def _same(one: Way, other: Way) -> bool:
    return [(order.items[0], order.pieces) for order in one.orders] == [
        (order.items[0], order.pieces) for order in other.orders
    ]


def _about(plan: LotPlan, amount: Decimal) -> str:
    return money(amount, plan.currency)


def orders(plan: LotPlan, way: Way, today: date) -> tuple[str, ...]:
    """Write the orders of a way, each with its boxes."""
    lines = [
        _order(number, plan, one, today) for number, one in enumerate(way.orders[:SHOWN], start=1)
    ]
    more = len(way.orders) - len(lines)
    return (*lines, f"and {plural(more, 'more order')}" if more else "")


def _order(number: int, plan: LotPlan, order: LotOrder, today: date) -> str:
    box_of = dict(zip(plan.items, plan.boxes, strict=True))
    boxes = [box_name(box_of[id], today) for id in order.items]
    price = "" if order.price is None else f" at {money(order.price, plan.currency)}"
    wasted = f" ({order.wasted:,} would be too old)" if order.wasted else ""
    by = f"by {day(order.by, today)}"
    return f"{number}. {by}: {order.pieces:,}{price} for {_boxes(boxes)}{wasted}"


def _boxes(boxes: Sequence[str]) -> str:
    """Name boxes: the first and the last of many."""
    return listed(boxes) if len(boxes) <= 3 else f"{boxes[0]} to {boxes[-1]}, {len(boxes)} boxes"


def why(plan: LotPlan) -> tuple[str, ...]:
    """Say what the cheapest way saves over buying box by box, or all at once would cost more."""
    if not _same(plan.best, plan.each):
        line = f"Saves {_about(plan, plan.saving)} over buying box by box:"
        return line, _reason(plan, plan.each, plan.best)
    if plan.single is None:
        return ("All at once would not keep long enough.",)
    more = plan.single.cost - plan.best.cost
    line = f"All at once would cost {_about(plan, more)} more:"
    return line, _reason(plan, plan.single, plan.best)


def _reason(plan: LotPlan, dear: Way, cheap: Way) -> str:
    """Say how a cheaper way comes by its saving: "£684.00 by price, £113.00 on orders, less £248.12
    for keeping"."""
    parts = (
        (dear.goods - cheap.goods, _goods(dear, cheap)),
        (dear.fixed - cheap.fixed, "on orders"),
        (dear.stock - cheap.stock, "for keeping"),
    )
    told = [(to_pay(amount, plan.currency), what) for amount, what in parts]
    gains = [f"{_about(plan, amount)} {what}" for amount, what in told if amount > 0]
    costs = [f"{_about(plan, -amount)} {what}" for amount, what in told if amount < 0]
    return ", less ".join(filter(None, (", ".join(gains), " and ".join(costs))))


def _goods(dear: Way, cheap: Way) -> str:
    """What makes the goods cost less: their price, or their number."""
    prices = [{order.price for order in way.orders} for way in (dear, cheap)]
    return "by fewer pieces" if prices[0] == prices[1] else "by price"


def rest(plan: LotPlan) -> str:
    """Say what is left over after the last box."""
    left = plan.best.left
    return f"{plural(left, 'piece')} {'is' if left == 1 else 'are'} left over." if left else ""


def unknown(plan: LotPlan) -> tuple[str, ...]:
    """Name what is not counted, with what tells it."""
    return tuple(_UNKNOWN[code].format(item=name(plan.name)) for code in plan.unknown)


def certainty(plan: LotPlan) -> str:
    """Say how far from the cheapest it is at most, where that is not proved."""
    if not plan.off:
        return ""
    return f"Another way could be cheaper, by {_about(plan, plan.off)} at most."


# --- every way ------------------------------------------------------------------------------


def ways(plan: LotPlan) -> tuple[str, ...]:
    """Say what each way costs, the parts of it in a line of their own."""
    told = [("Cheapest", plan.best)]
    if not _same(plan.best, plan.each):
        told.append(("Box by box", plan.each))
    if plan.single is not None and not _same(plan.best, plan.single):
        told.append(("All at once", plan.single))
    lines = []
    for label, way in told:
        count = plural(len(way.orders), "order")
        lines.append(f"{label}: {count}, {_about(plan, way.cost)}")
        lines.append(f"  {_parts(plan, way)}")
    if plan.single is None:
        lines.append("All at once would not keep long enough.")
    return tuple(lines)


def _parts(plan: LotPlan, way: Way) -> str:
    told = ((way.goods, "goods"), (way.fixed, "orders"), (way.stock, "keeping"))
    return ", ".join(f"{what} {_about(plan, amount)}" for amount, what in told)


def counted(plan: LotPlan) -> str:
    """Say what keeping things was taken to cost."""
    storage = f"{_about(plan, plan.storage)} a piece a month, " if plan.storage else ""
    return f"Keeping: {storage}money {percent(plan.interest)} a year"


def shared(plan: LotPlan, supplier: str, today: date) -> str:
    """Say for which boxes the supplier gets an order of other goods anyway."""
    if not plan.shared:
        return ""
    boxes = _boxes([box_name(box, today) for box in plan.shared])
    return f"{name(supplier)} has other goods for {boxes}: an order goes out anyway."


def terms(plan: LotPlan, today: date) -> str:
    """Say whose price and terms were taken, where those of the boxes differ."""
    if not plan.terms_of:
        return ""
    return f"All at the price and terms of {box_name(plan.terms_of, today)}."


def steady(plan: LotPlan) -> str:
    """Say how many at a time would be cheapest if the need went on."""
    if plan.steady is None:
        return ""
    return f"For a steady need: about {plan.steady:,} at a time"


# --- nothing to choose ----------------------------------------------------------------------


def ordered(item: str, box: str, today: date) -> str:
    """Say that an item is ordered already."""
    return f"{name(item)}, {box_name(box, today)}, is ordered already: nothing to choose any more."


def gone(item: str, box: str, today: date) -> str:
    """Say that an item's box is sent."""
    return f"{name(item)}: {box_name(box, today)} is shipped, nothing to choose any more."


def one_box(item: str, box: str, supplier: str, today: date) -> str:
    """Say that only one box wants the goods, and how another one would."""
    said = f"{name(item)} from {name(supplier)}" if supplier else name(item)
    return (
        f"Only {box_name(box, today)} still wants {name(item)}, so there is one order. Goods of "
        f"the same name and supplier in another box count with it: add to May: {said}"
    )


def nothing_needed(item: str) -> str:
    """Say that no number of subscribers is known, or no box needs any."""
    return (
        f"Not two boxes need any {name(item)} that I know of. How many subscribers are there? For "
        "example: we are 431"
    )
