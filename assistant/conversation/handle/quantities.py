"""How many to order: one item with its reason, every step of it, all items of a box.

Knows: which item or box a question is about. Must not know: how an answer is written (replies/),
how a number is worked out (numbers/quantity). Invariants: a question changes nothing but the talk;
a number that the owner set stays hers, beside the one that was worked out.
"""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from msgspec.structs import replace

from assistant.conversation.handle import dates, plan
from assistant.conversation.handle.amounts import amount_lines, reason
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.outcomes import about, answer
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.order_requests import HowMany
from assistant.conversation.replies import quantities as say
from assistant.conversation.sentences import quantities as says
from assistant.planning.accounts.money import in_own, to_pay
from assistant.planning.changes import find, profile_of
from assistant.planning.model import Item, Shop
from assistant.planning.numbers.buying import in_cases
from assistant.planning.numbers.chances import normal_left
from assistant.planning.numbers.quantity import Amount, amount, amounts, price_at
from assistant.planning.numbers.subscribers import expected

SHOWN = 7  # items of a box on one screen
TOUCHED = 3


def how_many(shop: Shop, request: HowMany, asked: Asked) -> Outcome:
    """How many pieces to order of an item, or of each item of a box."""
    item = find(shop.items, request.item)
    if request.item and item is None:
        return plan.gone(asked)
    if item is None:
        return _of_box(shop, request.box or _next_box(shop, asked.today), asked)
    found = amount(shop, item.id, asked.today)
    if found is None or (not found.expected and not found.own):
        text = say.not_counted(item.box, asked.today)
        return answer(asked, (text,), talk=about(asked, item=item.id, box=item.box))
    if request.whole:
        return _steps(shop, item, found, asked)
    buttons = (
        *_use(shop, item, found),
        Button("Why so many", says.why_so_many(shop, item.id)),
        *_lots(shop, item),
        plan.how_is(item.box, asked),
    )
    due = dates.item_lines(shop, item.id, asked.today)[:1] if found.order else ()
    lines = (*amount_lines(shop, item, found, asked.today), *due)
    talk = about(asked, item=item.id, box=item.box)
    title = say.title(item, found, asked.today)
    return answer(asked, lines, buttons, title=title, talk=talk)


def _use(shop: Shop, item: Item, found: Amount) -> tuple[Button, ...]:
    """The button that makes the number the owner's own, or takes hers back."""
    if found.own:
        return (Button(f"Go by {found.advised:,}", says.as_reckoned(shop, item.id)),)
    use = says.set_quantity(shop, item.id, found.order)
    return (Button(f"Use {found.order:,}", use),) if found.order else ()


def _lots(shop: Shop, item: Item) -> tuple[Button, ...]:
    """The button that asks whether to buy at once what comes in several boxes."""
    name = item.name.casefold()
    alike = [one for one in shop.items if one.name.casefold() == name]
    several = len({one.box for one in alike if one.supplier == item.supplier}) > 1
    return (Button("One lot or several", says.lots(shop, item.id)),) if several else ()


# --- every step -----------------------------------------------------------------------------


def _steps(shop: Shop, item: Item, found: Amount, asked: Asked) -> Outcome:
    """Every step of a number."""
    today, own = asked.today, profile_of(shop).currency
    boxes = expected(shop, item.box, today)
    short_cost = shop.books[0].short_cost if shop.books else None
    enough = (found.expected + found.safety) / item.units
    loose = normal_left(boxes.mean, boxes.sd, enough)
    lines = (
        reason(shop, item, found),
        say.boxes(boxes.mean, boxes.low, boxes.high, item.units, found.expected),
        say.sure(found, short_cost, own),
        say.spread_over(item) or (say.on_average(*loose) if boxes.sd else ""),
        say.stock(found),
        say.spares(found),
        say.ways(_ways(item, found), item.currency or own),
        say.own(found),
    )
    buttons = (
        *_use(shop, item, found),
        Button("How many", says.how_many(shop, item.id)),
        plan.how_is(item.box, asked),
    )
    talk = about(asked, item=item.id, box=item.box)
    return answer(asked, lines, buttons, title=say.why_title(item, found, today), talk=talk)


def _ways(item: Item, found: Amount) -> list[tuple[int, Decimal]]:
    """Orders that were compared, with what they come to: the fewest pieces, and each break."""
    if not found.need:
        return []
    least = in_cases(max(found.need, item.minimum or 0), item.case_pack)
    breaks = (in_cases(one.quantity, item.case_pack) for one in item.breaks)
    orders = sorted({least, *(number for number in breaks if number > least)})
    priced = ((order, price_at(item, order)) for order in orders)
    return [(order, price * order) for order, price in priced if price is not None]


# --- a whole box ----------------------------------------------------------------------------


def _next_box(shop: Shop, today: date) -> str:
    """The next box that is still to ship and holds something, "" for none."""
    return min((one.box for one in amounts(shop, today)), default="")


def _of_box(shop: Shop, box: str, asked: Asked) -> Outcome:
    """How many of each item of a box."""
    today = asked.today
    if not box:
        return answer(asked, (say.nothing_planned(),))
    talk = about(asked, item="", box=box)
    inside = [item for item in shop.items if item.box == box]
    if not inside:
        return answer(asked, (say.nothing_in(box, today),), (plan.how_is(box, asked),), talk=talk)
    found = [(item, one) for item in inside if (one := amount(shop, item.id, today))]
    if not any(one.expected or one.own for _, one in found):
        return answer(asked, (say.not_counted(box, today),), talk=talk)
    own = profile_of(shop).currency
    lines = [
        say.line(place, item, one, item.currency or own)
        for place, (item, one) in enumerate(found[:SHOWN], 1)
    ]
    lines.append(_total(shop, found, today))
    options = tuple(says.how_many(shop, item.id) for item, _ in found)
    buttons = [Button(f"Item {place}", say_) for place, say_ in enumerate(options[:TOUCHED], 1)]
    talk = replace(talk, options=options)
    return answer(asked, lines, buttons, title=say.box_title(box, today), talk=talk)


def _total(shop: Shop, found: Sequence[tuple[Item, Amount]], today: date) -> str:
    """What all of it comes to in the shop's currency, and what is not in that."""
    own = profile_of(shop).currency
    spends = [
        (item, None if one.spend is None else in_own(shop, one.spend, item.currency, today))
        for item, one in found
    ]
    without = [item.name for item, spend in spends if spend is None]
    whole = sum((spend for _, spend in spends if spend is not None), Decimal(0))
    return say.total(to_pay(whole, own), own, without, max(len(found) - SHOWN, 0))


HANDLERS: dict[type, Handler] = {HowMany: how_many}
WRITES: frozenset[type] = frozenset()
