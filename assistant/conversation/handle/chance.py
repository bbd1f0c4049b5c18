"""How likely a box is to be complete, and when to order for it.

Knows: which box or item is asked about, what is known of deliveries. Must not know: how a chance is
counted (month/arrivals) or said (replies/chance). Invariants: an answer changes nothing but the
talk; chances rest on the records and promises of the shop as it is, so a late delivery moves them
at once; the dates given are for the box as a whole, and the plan's own dates stand beside them.
"""

from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from assistant.conversation import sentences
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.named import supplier_name
from assistant.conversation.handle.outcomes import about, answer
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.month_requests import ShowChance
from assistant.conversation.replies import chance as say
from assistant.conversation.replies import dates as say_dates
from assistant.conversation.replies.plain import box_name
from assistant.conversation.sentences import chance as says
from assistant.conversation.sentences.rescue import rescue_item
from assistant.planning.changes import find
from assistant.planning.model import Item, Shop
from assistant.planning.month.arrivals import BoxChance, ItemChance, box_chance, item_curve
from assistant.planning.month.progress import promises
from assistant.planning.month.track import records
from assistant.scheduling.arrival import Curve

LEAST, MOST = 50, 99  # percent that can be asked for
SURE = 95  # percent, of the dates that are offered
DAYS = 3  # order dates of an item
LEVELS = (0.95, 0.8, 0.5)  # whose dates are shown


def show(shop: Shop, request: ShowChance, asked: Asked) -> Outcome:
    """Say how likely an item or a box is to be in."""
    item = find(shop.items, request.item)
    if request.item and item is None:
        return answer(asked, (say.gone(),))
    box = item.box if item else request.box
    talk = about(asked, item=request.item, box=box)
    percent = request.confidence
    if percent is not None and not LEAST <= percent <= MOST:
        near = Decimal(MOST if percent > MOST else LEAST if percent > 0 else SURE)
        example = says.of_item(shop, item.id, near) if item else says.of_box(box, near)
        button = Button(f"For {near}%", example)
        text = say.no_level(percent, example.replace(box, box_name(box, asked.today)))
        return answer(asked, (text,), (button,), talk=talk)
    found = chance_of(shop, box, asked.today, None if item else percent)
    if find(shop.boxes, box) is None:
        return answer(asked, (say.nothing_in(box, asked.today),), talk=talk)
    if found is None:
        return answer(asked, (say.no_day(box, asked.today),), _buttons(box, asked), talk=talk)
    if item is None:
        return _box(shop, found, asked)
    one = next((one for one in found.items if one.item == item.id), None)
    if one is None:
        return answer(asked, (say.no_day(box, asked.today),), _buttons(box, asked), talk=talk)
    return _item(shop, item, one, found, request, asked)


def chance_of(
    shop: Shop, box: str, today: date, percent: Decimal | None = None
) -> BoxChance | None:
    """Return the chance of a box on all that is known; None where nothing is awaited for it."""
    confidence = None if percent is None else float(percent) / 100
    known, said = records(shop), promises(shop)
    return box_chance(shop, box, today, known, promises=said, confidence=confidence)


def chance_line(shop: Shop, box: str, today: date) -> str:
    """Say in one line how likely a box is to be complete and when to order for it; "" where nothing
    is awaited."""
    found = chance_of(shop, box, today)
    if found is None or all(one.state == "in hand" for one in found.items):
        return ""
    return say.in_one_line(found, today)


# --- a box ----------------------------------------------------------------------------------


def _box(shop: Shop, found: BoxChance, asked: Asked) -> Outcome:
    today, box = asked.today, found.box
    talk, title = about(asked, item="", box=box), say.title(box, found.pack, today)
    if not found.items:
        return answer(asked, (say.nothing_in(box, today),), talk=talk)
    if all(one.state == "in hand" for one in found.items):
        return answer(asked, (say.all_in(box, today),), _buttons(box, asked), talk=talk)
    weak = find(shop.items, found.weak)
    curve = _curve(shop, weak, today) if weak else None
    lines = (
        *say.heads(found, today),
        *say.rows(found, today),
        say.by_quotes(found),
        say.weak_spot(found, curve.order_by(SURE / 100) if curve else None, SURE, today),
        _rests(shop, found.items, asked),
        *_unknown(found.items),
    )
    dates = Button(f"Dates for {SURE}%", says.of_box(box, Decimal(SURE)))
    to_order = any(one.state == "to order" for one in found.items)
    can = found.reached and found.confidence != SURE / 100 and to_order
    buttons = (
        *((dates,) if can else ()),
        *_ways_out(shop, weak, found),
        *((Button("Why", sentences.why(shop, item=weak.id)),) if weak else ()),
        *_buttons(box, asked),
    )
    return answer(asked, lines, buttons, title=title, talk=talk)


def _ways_out(shop: Shop, weak: Item | None, found: BoxChance) -> tuple[Button, ...]:
    """What can be done for the weak spot, where ordering alone does not do."""
    if weak is None or (found.reached and found.chance >= found.confidence - 1e-9):
        return ()
    return (Button("Ways out", rescue_item(shop, weak.id)),)


def _buttons(box: str, asked: Asked) -> tuple[Button, ...]:
    return (Button(f"How is {box_name(box, asked.today)}", sentences.how_is(box)),)


# --- an item --------------------------------------------------------------------------------


def _item(
    shop: Shop, item: Item, one: ItemChance, found: BoxChance, request: ShowChance, asked: Asked
) -> Outcome:
    today, talk = asked.today, about(asked, item=item.id, box=item.box)
    of_box = Button(f"Chance of {box_name(item.box, today)}", says.of_box(item.box))
    why = Button("Why that day", sentences.why(shop, item=item.id, stage="order"))
    ways = Button("Ways out", rescue_item(shop, item.id))
    curve = _curve(shop, item, today)
    if one.state == "in hand":
        return answer(asked, (say.in_hand(one),), (of_box,), talk=talk)
    if one.state == "under way":
        told = _under_way(shop, one, today)
    else:
        told = _to_order(one, found, curve, request, today) if curve else ()
    weak = max(one.today, one.chance) < found.confidence
    lines = (*told, _rests(shop, (one,), asked), *_unknown((one,)))
    sure = Button(f"For {SURE}%", says.of_item(shop, item.id, Decimal(SURE)))
    asks = one.state == "to order" and request.confidence is None and not weak
    buttons = (*((sure,) if asks else ()), *((ways,) if weak else ()), why, of_box)
    title = say.item_title(one, item.box, today)
    return answer(asked, lines, buttons, title=title, talk=talk)


def _under_way(shop: Shop, one: ItemChance, today: date) -> tuple[str, ...]:
    """What is said of an item that is ordered."""
    bought = find(shop.purchases, one.item)
    came = sum(part.pieces for part in shop.deliveries if part.item == one.item)
    promised, ordered = (bought.promised, bought.quantity) if bought else (None, None)
    return say.under_way(one, promised, came, ordered, today)


def _to_order(
    one: ItemChance, found: BoxChance, curve: Curve, request: ShowChance, today: date
) -> tuple[str, ...]:
    """What is said of an item that is still to be ordered."""
    if request.on is not None:
        on = max(request.on, today)
        sure = curve.order_by(SURE / 100)
        return (
            say.if_ordered(one, on, curve.chance(on), today),
            say.for_percent(sure, SURE, today) if sure else "",
            say.quoted(one, today),
        )
    if request.confidence is not None:
        by = curve.order_by(float(request.confidence) / 100)
        if by is None or by < today:
            return *say.out_of_reach(one, request.confidence, today), say.quoted(one, today)
        return (
            say.order_by(one, by, request.confidence, today),
            say.quoted(one, today),
            say.of_the_box(one, found, today),
        )
    return (*say.by_days(one, _days(one, curve, today), today), say.of_the_box(one, found, today))


def _days(one: ItemChance, curve: Curve, today: date) -> list[tuple[date, float]]:
    """Order dates from the surest that is left, with the latest by the quote among them."""
    by_level = [found for level in LEVELS if (found := curve.order_by(level)) and found >= today]
    quoted = one.planned if one.planned is not None and one.planned >= today else None
    first = by_level[0] if curve.chance(today) >= LEVELS[0] and by_level else today
    middle = [day for day in by_level if day not in (first, quoted)]
    kept = {first, *((quoted,) if quoted else ())}
    kept |= {*middle[: DAYS - len(kept)]}
    return [(day, curve.chance(day)) for day in sorted(kept)]


def _curve(shop: Shop, item: Item, today: date) -> Curve | None:
    return item_curve(shop, item, today, records(shop))


# --- what it rests on -----------------------------------------------------------------------


def _rests(shop: Shop, items: Iterable[ItemChance], asked: Asked) -> str:
    """What the chances of these items rest on; of those that are in hand, nothing."""
    awaited = [one for one in items if one.state != "in hand"]
    own = {supplier_name(shop, one.supplier): one.deliveries for one in awaited if one.deliveries}
    others = any(one.on <= asked.today for one in records(shop))
    whole = all(one.deliveries for one in awaited)
    return say.rests(tuple(own.items()), whole=whole, others=others)


def _unknown(items: Iterable[ItemChance]) -> tuple[str, ...]:
    """The first thing that is not known: the others come when it is."""
    lines = (line for one in items for line in say_dates.unknown(one.missing, one.name))
    return tuple(lines)[:1]


HANDLERS: dict[type, Handler] = {ShowChance: show}
WRITES: frozenset[type] = frozenset()
