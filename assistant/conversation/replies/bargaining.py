"""What is said to the owner of bargaining: whom to ask, what each thing is worth and why.

Knows: bargains (trade/bargains) and how they are read on a phone. Must not know: letters to
suppliers (letters.py). Invariants: every worth stands with its reason; what is not worth money is
told last, as such; what was left out of a sum is named.
"""

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from decimal import Decimal

from assistant.conversation.replies.plain import box_name, listed, money, plural, short
from assistant.conversation.replies.plan import name
from assistant.planning.accounts.money import to_pay
from assistant.planning.trade.bargains import About, Ask, Bargain
from assistant.planning.trade.supplies import Supply

WORD = 24
NAMED = 3  # names that one line has room for

TITLE = "Whom you can bargain with"
NOBODY = (
    "Nobody supplies two boxes of the coming year yet, and no terms are known to ask about. "
    "For example: Aldermoor carriage 12.00, or: change the notebook: from 500 at 2.90"
)
SENT_BY_YOU = "You send it, I never do."


def paid(amount: Decimal, currency: str) -> str:
    """Write an amount as it is paid."""
    return money(to_pay(amount, currency), currency)


# --- whom to ask ----------------------------------------------------------------------------


def line(number: int, found: Bargain, supplier: str, own: str) -> str:
    """Write one supplier: what asking is worth, and the best of it."""
    supply = found.supply
    worth = f", worth {paid(found.worth, own)}" if found.worth else ""
    best = next((one for one in found.asks if one.worth and one.about in _SHORT), None)
    reason = _SHORT[best.about](best) if best else _adds_up(supply)
    return f"{number}. {name(supplier)}{worth}: {reason}"


def _adds_up(supply: Supply) -> str:
    """What a supplier's orders add up to, where nothing of it is worth money yet."""
    if not supply.boxes:
        return f"could supply {plural(len(supply.could), 'item')} that others do"
    spend = paid(supply.spend, supply.currency) if supply.spend else "no price yet"
    return f"{plural(len(supply.boxes), 'box', 'boxes')}, {spend}"


def footer(own: str) -> str:
    """Say what the worths are."""
    return f"Worth a year in {own}, from what is not ordered yet, each thing reckoned alone."


def more(left: int) -> str:
    """Say how many suppliers are not shown."""
    return f"and {plural(left, 'supplier')} more" if left > 0 else ""


def _goods(one: Ask) -> str:
    names = [short(name, WORD) for name in one.goods[:NAMED]]
    left = len(one.goods) - len(names)
    return listed([*names, f"{left} more"] if left else names)


def _percent(value: Decimal) -> str:
    return f"{value.normalize():f}%"


_SHORT: Mapping[About, Callable[[Ask], str]] = {
    "break": lambda one: f"{_goods(one)} at its price from {one.quantity:,}",
    "spend": lambda one: f"{_percent(one.percent)} off the year",
    "carriage": lambda one: f"carriage of {plural(one.orders, 'order')}",
    "deposit": lambda one: f"no deposit of {_percent(one.percent)}",
    "net": lambda one: f"{one.days} days to pay",
}


# --- beside a brief -------------------------------------------------------------------------


def adds_up(supply: Supply, own: str) -> str:
    """Say what a supplier's orders of the year add up to: "1,302 pieces in 3 boxes, £4,036.20"."""
    boxes = plural(len(supply.boxes), "box", "boxes")
    spend = paid(supply.spend, supply.currency)
    if supply.currency != own:
        spend += f" ({'no rate' if supply.own is None else paid(supply.own, own)})"
    ordered = f", besides {paid(supply.ordered, supply.currency)} ordered" if supply.ordered else ""
    missing = f"; without {_some(supply.unpriced)}, no price" if supply.unpriced else ""
    return f"{supply.pieces:,} pieces in {boxes}, {spend}{ordered}{missing}."


def quarters(supply: Supply) -> str:
    """Say how it falls to quarters, where there are two."""
    if len(supply.quarters) < 2:
        return ""
    parts = [
        f"Q{one.quarter} {one.year} {one.pieces:,} for {paid(one.spend, supply.currency)}"
        for one in supply.quarters
    ]
    return f"{'; '.join(parts)}."


def _some(names: Sequence[str]) -> str:
    shown = [short(one, WORD) for one in names[:NAMED]]
    left = len(names) - len(shown)
    return listed([*shown, f"{left} more"] if left else shown)


def ask(one: Ask, currency: str, own: str, interest: Decimal, today: date) -> str:
    """Write what a thing to ask for is worth, and why; `interest` is percent a year."""
    worth = "not in money" if one.worth is None else paid(one.worth, own)
    if one.about == "exclusive":
        boxes = [box_name(box, today) for box in dict.fromkeys(one.boxes)][:NAMED]
        return f"{worth}: {_goods(one)} for you alone, as it makes {listed(boxes)}"
    return f"{worth}: {_REASONS[one.about](one, currency, interest)}"


def _break(one: Ask, currency: str, _interest: Decimal) -> str:
    price = "" if one.price is None else paid(one.price, currency)
    was = "" if one.was is None else f", not {paid(one.was, currency)}"
    short_of = f"; {one.short:,} short of it" if one.short else ""
    at = f"{_goods(one)} at {price}, the price from {one.quantity:,}{was}"
    return f"{at}: the year takes {one.pieces:,}{short_of}"


def _spend(one: Ask, currency: str, _interest: Decimal) -> str:
    off = f"{_percent(one.percent)} off from {paid(one.amount, currency)}"
    if not one.lacks:
        return f"{off}, which the year reaches"
    lacks = f"{off}, {paid(one.lacks, currency)} short"
    return f"{lacks}; with {_goods(one)} bought here it is reached" if one.goods else lacks


def _carriage(one: Ask, currency: str, _interest: Decimal) -> str:
    each = "" if one.price is None else f" of {paid(one.price, currency)}"
    together = f"{paid(one.amount, currency)} for" if one.amount else "free with"
    both = f"; {together} one order of all" if one.orders > 1 else ""
    return f"free carriage, {plural(one.orders, 'order')}{each}{both}"


def _deposit(one: Ask, _currency: str, interest: Decimal) -> str:
    days = f" for {plural(one.days, 'day')}" if one.days else ""
    return f"no deposit of {_percent(one.percent)}{days}, at {_percent(interest)} a year"


def _net(one: Ask, _currency: str, interest: Decimal) -> str:
    return f"{one.days} days to pay, at {_percent(interest)} a year"


_REASONS: Mapping[About, Callable[[Ask, str, Decimal], str]] = {
    "break": _break,
    "spend": _spend,
    "rate": lambda one, currency, _i: f"each 1% off {paid(one.amount, currency)}",
    "carriage": _carriage,
    "deposit": _deposit,
    "net": _net,
}


def could(names: Sequence[str], others: Sequence[str], saves: Decimal | None, own: str) -> str:
    """Say what others supply that this one could, and what that would change in price."""
    if not names:
        return ""
    by = f", now of {_some(others)}" if others else ""
    money_of = ""
    if saves is not None:
        way = "saves" if saves >= 0 else "costs more by"
        money_of = f": {way} {paid(abs(saves), own)}"
    return f"Could supply too: {_some(names)}{by}{money_of}."


def brief_title(supplier: str) -> str:
    """The title above a brief."""
    return f"Brief for {name(supplier)}, to paste"


def for_you(supplier: str) -> str:
    """The title above what is not for the supplier's eyes."""
    return f"For you, not for {name(supplier)}"


def nothing_to_ask(supplier: str, supplies: bool) -> str:
    """Say that nothing can be asked of a supplier yet; `supplies`: it has goods in the year."""
    if supplies:
        return (
            f"{name(supplier)} supplies one box and no price or terms of it are known, so there is "
            "nothing to bargain with yet. Ask for a quote first."
        )
    return (
        f"{name(supplier)} supplies nothing in the coming year that is not ordered, so there is "
        f"nothing to bargain for. To ask for prices: ask {name(supplier)} for a quote for the "
        "notebook"
    )


# --- an enquiry -----------------------------------------------------------------------------


def enquiry_title(supplier: str) -> str:
    """The title above an enquiry."""
    return f"Enquiry to {name(supplier)}, to paste"


def nothing_to_enquire(supplier: str) -> str:
    """Say that there are no goods to ask about, and how to name some."""
    return (
        f"I read an enquiry to {name(supplier)}, but it supplies nothing that is not ordered. Name "
        f"the goods, for example: ask {name(supplier)} for a quote for the notebook"
    )


def no_address() -> str:
    """Say that a letter names no address of delivery."""
    return "It names no address yet; to give one, say: deliver to 1 Mill Lane, Mossgate"


def in_file(goods: int) -> str:
    """Say what a letter that is sent as a file asks for."""
    return f"It asks for {plural(goods, 'item')}; the text is in the file."


def when_answered(supplier: str, goods: str) -> str:
    """Say how to tell what comes of it."""
    return f"When it is answered, say: {name(supplier)} quotes 1.40 for the {name(goods)}"
