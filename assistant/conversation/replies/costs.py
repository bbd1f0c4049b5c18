"""What is said of what boxes and items cost.

Knows: costs (accounts/costs, landed) and how they are written. Must not know: which question was
asked. Invariants: an amount is rounded only here; what is not known of a sum is named beside it;
the target is that of the items, as everywhere; where the prices alone come to something else than
the goods landed, both are told.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal

from assistant.conversation.replies import postage as say_postage
from assistant.conversation.replies.plain import box_name, day, listed, money, plural, short
from assistant.planning.accounts import costs, landed
from assistant.planning.accounts.costs import BoxCost, Total
from assistant.planning.accounts.landed import Landed, by_part
from assistant.planning.accounts.money import plain_number, to_pay

ITEMS = 3  # items that one line names

# What can be unknown, as it is named in a list, and how to say it.
_UNKNOWN = {
    landed.PRICE: "price",
    landed.RATE: "rate of its currency",
    landed.COUNT: "share of carriage or set-up (how many subscribers)",
    landed.CARRIAGE: "carriage",
    landed.DUTY: "duty",
    landed.IMPORT_TAX: "import tax",
    costs.WEIGHT: "weight",
    costs.PACKAGING: "packaging",
    costs.CARD: "card",
    costs.POSTAGE: "postage",
    costs.FEES: "payment fees",
    costs.BOX_PRICE: "price of the box",
}
_TELL = {
    costs.PACKAGING: "packaging 0.85 a box",
    costs.CARD: "card 0.12 a box",
    costs.FEES: "fees 1.5% + 20p",
    costs.BOX_PRICE: "the box is 32",
}
NO_BOXES = "No box is planned to come. For example: March theme rain and roots"
WHOLE = "What every box costs, as a text."
WHOLE_NAME = "costs.txt"


def in_short(box: BoxCost, currency: str, today: date) -> str:
    """Say what a box costs and leaves, in one line."""
    text = f"{box_name(box.box, today)} costs {money(box.cost, currency)} a box"
    return f"{text}{_leaves(box.margin, currency)}{' (not all is known)' if box.unknown else ''}"


def _leaves(margin: Decimal | None, currency: str) -> str:
    if margin is None:
        return ""
    return f", {'leaves' if margin >= 0 else 'loses'} {money(abs(margin), currency)}"


# --- one box --------------------------------------------------------------------------------


def title(box: str, today: date) -> str:
    """The heading of what a box costs."""
    return f"{box_name(box, today)}: what a box costs"


def against_target(box: BoxCost, currency: str) -> str:
    """Say how the items stand to their target: "Over by £0.87: items £14.87 of £14.00"."""
    goods = money(box.goods, currency)
    if box.over is None or box.target is None:
        return f"Items {goods}; no target. Say: items may cost 14 a box"
    of = f"items {goods} of {money(box.target, currency)}"
    if box.over > 0:
        return f"Over by {money(box.over, currency)}: {of}"
    unknown = any(item for _, item in box.unknown if item)
    sure = "Within, as far as is known" if unknown else "Within its target"
    return f"{sure}: {of}, {money(-box.over, currency)} left"


def dearest(box: BoxCost, names: Mapping[str, str], currency: str) -> str:
    """Name the dearest items: "tin mug £5.10, notebook £3.56, tea £1.31; 2 more"."""
    known = [one for one in box.items if one.cost is not None]
    told = [f"{names[one.item]} {money(one.cost or Decimal(0), currency)}" for one in known[:ITEMS]]
    left = len(known) - len(told)
    return f"{', '.join(told)}{f'; {left} more' if left else ''}"


def prices_alone(box: BoxCost, prices: Decimal, currency: str) -> str:
    """Say what makes the goods dearer than the prices of one piece each; "" where nothing does."""
    more = box.goods - prices
    if not to_pay(more, currency):
        return ""
    parts = [part for one in box.items if one.cost for part, _ in by_part(one.landed)]
    why = dict.fromkeys(part for part in parts if part != landed.GOODS)
    sign = "+" if more > 0 else "-"
    named = listed([*why, "spares"]) if more > 0 else "fewer than boxes"
    return f"Prices {money(prices, currency)} {sign} {money(abs(more), currency)} ({named})"


def around(box: BoxCost, currency: str) -> str:
    """Say what comes beside the items: "Packaging £0.85, card £0.12, fees £0.68"."""
    parts = (("packaging", box.packaging), ("card", box.card), ("fees", box.fees))
    told = ", ".join(f"{name} {money(amount, currency)}" for name, amount in parts if amount)
    return told[:1].upper() + told[1:]


def posted(box: BoxCost, currency: str) -> str:
    """Say what posting a box costs, or why that is not known."""
    text = say_postage.by(box.parcel, currency)
    return f"Postage {text}" if box.postage else text[:1].upper() + text[1:]


def result(box: BoxCost, currency: str) -> str:
    """Say what a box costs in all, and what it leaves: "A box costs £18.36, leaves £8.31 of
    £26.67 (£32.00 less tax)"."""
    text = f"A box costs {money(box.cost, currency)}{_leaves(box.margin, currency)}"
    if box.net is None or box.price is None:
        return text
    less = f" ({money(box.price, currency)} less tax)" if box.net != box.price else ""
    return f"{text} of {money(box.net, currency)}{less}"


def together(box: BoxCost, currency: str) -> str:
    """Say what all boxes of a month leave: "431 boxes leave £3,581.61"."""
    if not box.boxes:
        return "For all boxes together, say how many there are: we are 420"
    if box.margin is None:
        return f"{plural(box.boxes, 'box', 'boxes')} cost {money(box.cost * box.boxes, currency)}"
    words = "leave" if box.margin >= 0 else "lose"
    boxes = plural(box.boxes, "box", "boxes")
    return f"{boxes} {words} {money(abs(box.margin) * box.boxes, currency)}"


def break_even(boxes: int | None, overhead: Decimal, currency: str) -> str:
    """Say how many boxes carry a month's overhead: "You break even at 134 boxes a month"."""
    carried = f"they carry {money(overhead, currency)} a month"
    if boxes is None:
        return f"No number of boxes breaks even: none leaves anything ({money(overhead, currency)})"
    return f"You break even at {plural(boxes, 'box', 'boxes')} a month: {carried}"


def unknown(box: BoxCost, names: Mapping[str, str], sellers: Mapping[str, str]) -> str:
    """Name what is not counted, as it is not known, and how to say the first of it: "Without:
    carriage of pin, card (say: card 0.12 a box)"; `sellers` are suppliers' names by item."""
    found: dict[str, list[str]] = {}
    for code, item in box.unknown:
        found.setdefault(code, []).append(item)
    told = [_without(code, items, names) for code, items in found.items() if code != costs.POSTAGE]
    if not told:
        return ""
    how = next((_TELL[code] for code in found if code in _TELL), "")
    first, (item, *_) = next(one for one in found.items() if one[0] != costs.POSTAGE)
    return f"Without: {', '.join(told)} (say: {how or _tell(first, item, box, names, sellers)})"


def _tell(
    code: str, item: str, box: BoxCost, names: Mapping[str, str], sellers: Mapping[str, str]
) -> str:
    """How to say what is not known of an item."""
    currency = next((one.landed.currency for one in box.items if one.item == item), "")
    return {
        landed.PRICE: f"{names.get(item, '')} costs 3.10",
        landed.RATE: f"1 {currency} is 0.86",
        landed.COUNT: "we are 420",
        landed.CARRIAGE: f"{sellers.get(item, '')} carriage 25",
        landed.DUTY: f"duty on {sellers.get(item, '')} 4%",
        landed.IMPORT_TAX: "import tax 20%",
        costs.WEIGHT: f"{names[item]} weighs 180 g" if item else "packaging weighs 120 g",
    }[code]


def _without(code: str, items: Sequence[str], names: Mapping[str, str]) -> str:
    if code != costs.WEIGHT and not any(items):
        return _UNKNOWN[code]
    whose = names.get(items[0], "packaging") if len(items) == 1 else f"{len(items)} items"
    return f"{_UNKNOWN[code]} of {whose}"


def every_item(box: BoxCost, names: Mapping[str, str], currency: str) -> Iterator[str]:
    """Write each item of a box with the parts of its cost."""
    for one in box.items:
        times = f"{one.units} x " if one.units > 1 else ""
        cost = "no cost known" if one.cost is None else money(one.cost, currency)
        parts = [
            f"{name} {money(whole / one.landed.used, currency)}"
            for name, whole in by_part(one.landed)
            if one.cost is not None
        ]
        each = f" ({times}{', '.join(parts)})" if len(parts) > 1 or times else ""
        yield f"{names[one.item]}: {cost}{each}"


# --- one item -------------------------------------------------------------------------------


def item_title(item: str, box: str, today: date) -> str:
    """The heading of what an item costs."""
    return f"{short(item, 40)}, {box_name(box, today)}: what it costs landed"


def landed_lines(found: Landed, currency: str, today: date) -> Iterator[str]:
    """Write what an item costs by the time it lies in a box, and why, a line for each step."""
    if found.price is not None:
        price = money(found.price, found.currency)
        many = f"{plural(found.quantity, 'piece')} at" if found.quantity else "A piece:"
        yield f"{many} {price}"
    if found.rate is not None and found.currency != currency:
        rate = plain_number(found.rate)
        yield f"1 {found.currency} = {rate} {currency} on {day(found.on, today)}"
    yield from _divided(found, currency)
    if found.unknown:
        yield f"Without: {', '.join(_UNKNOWN[code] for code in found.unknown)}"


def _divided(found: Landed, currency: str) -> Iterator[str]:
    """Write how what an order costs comes to the cost of one piece."""
    if found.each is None:
        return
    each = money(found.each, currency)
    if not found.quantity:
        yield f"{each} each, as some arrive unusable"
        return
    parts = by_part(found)
    told = [f"{part} {money(whole, currency)}" for part, whole in parts]
    of = f": {', '.join(told)}" if len(told) > 1 else ""
    yield f"In all {money(found.total, currency)}{of}"
    if found.tax_back and found.import_tax:
        yield "Import tax comes back to you: it is no part of the cost."
    used = found.used.quantize(Decimal(1) if found.used == int(found.used) else Decimal("0.1"))
    yield f"{used:,} pieces of it go into boxes: {each} each"
    if len(parts) > 1:
        yield " + ".join(f"{money(whole / found.used, currency)} {part}" for part, whole in parts)


# --- many boxes -----------------------------------------------------------------------------


def year_title(year: int | None) -> str:
    """The heading of what boxes cost."""
    return f"Costs of {year}" if year else "Costs of the boxes to come"


def all_told(found: Total, currency: str) -> Iterator[str]:
    """Say what boxes cost together, and what they leave."""
    boxes = plural(found.planned, "box planned", "boxes planned")
    sent = f", {found.boxes:,} parcels" if found.boxes else ""
    yield f"{boxes}{sent}: {money(found.cost, currency)}" if found.boxes else boxes
    if found.margin is not None and found.boxes:
        words = "They leave" if found.margin >= 0 else "They lose"
        yield f"{words} {money(abs(found.margin), currency)}"


def extremes(found: Sequence[BoxCost], currency: str, today: date) -> str:
    """Name the dearest and the cheapest box of those that hold something."""
    ordered = sorted((one for one in found if one.items), key=lambda one: one.cost)
    if len(ordered) < 2:
        return ""
    low, high = ordered[0], ordered[-1]
    if high.cost == low.cost:
        return f"Each costs {money(high.cost, currency)}"
    return (
        f"From {money(low.cost, currency)} a box ({box_name(low.box, today)}) "
        f"to {money(high.cost, currency)} ({box_name(high.box, today)})"
    )


def over(found: Iterable[BoxCost], currency: str, today: date) -> str:
    """Name the boxes whose items are over their target, the worst first."""
    every = tuple(found)
    if not any(one.target for one in every):
        return "No target for the items. Say: items may cost 14 a box"
    high = [(one.over, one) for one in every if one.over is not None and one.over > 0]
    high.sort(key=lambda pair: -pair[0])
    told = [f"{box_name(one.box, today)} by {money(more, currency)}" for more, one in high[:ITEMS]]
    left = len(high) - len(told)
    if not told:
        return "No box is over its target" + _as_far(every)
    return f"Over the target: {listed([*told, f'{left} more'] if left else told)}"


def _as_far(found: Iterable[BoxCost]) -> str:
    unknown_of = any(item for one in found for _, item in one.unknown if item)
    return ", as far as is known" if unknown_of else ""


def least_left(found: Iterable[BoxCost], currency: str, today: date) -> str:
    """Name the box that leaves least."""
    known = [(one.margin, one) for one in found if one.margin is not None and one.items]
    if len(known) < 2:
        return ""
    margin, box = min(known, key=lambda pair: pair[0])
    return f"Least in {box_name(box.box, today)}: a box{_leaves(margin, currency).lstrip(',')}"


def all_unknown(found: Iterable[BoxCost]) -> str:
    """Count what is not known over many boxes: "Without: 3 prices, postage in 12 boxes"."""
    counts: dict[str, int] = {}
    boxes = 0
    for one in found:
        boxes += 1
        for code in dict.fromkeys(code for code, _ in one.unknown):
            counts[code] = counts.get(code, 0) + 1
    told = [
        _UNKNOWN[code]
        if number == boxes
        else f"{_UNKNOWN[code]} ({plural(number, 'box', 'boxes')})"
        for code, number in counts.items()
    ]
    return f"Without: {', '.join(told)}" if told else ""


def row(box: BoxCost, currency: str, today: date) -> str:
    """Write one box of many in a line: "May: £18.36, leaves £8.31, over by £0.87"."""
    text = f"{box_name(box.box, today)}: {money(box.cost, currency)}{_leaves(box.margin, currency)}"
    if box.over is not None and box.over > 0:
        text += f", over by {money(box.over, currency)}"
    return f"{text}{' (not all)' if box.unknown else ''}"
