"""Ways out for what is late: told, shown, taken.

Knows: which item or box is asked about and when it must be refused. Must not know: which ways there
are or what they do (month/rescue), how a sentence is written (replies/rescue). Invariants: what
a way does is shown before it is done; plan, ledger and so the nudges change in one commit that can
be taken back; a way that is none any more changes nothing.
"""

from collections.abc import Sequence
from datetime import date

from msgspec.structs import replace

from assistant.conversation.handle import dates
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.named import supplier_name
from assistant.conversation.handle.outcomes import about, answer, changed
from assistant.conversation.handle.plan import gone, how_is, shipped_already
from assistant.conversation.handle.previewing import as_done, effect_lines, preview
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.month_requests import ItemOrdered, Rescue, TakeRescue
from assistant.conversation.replies import rearranging as say_moves
from assistant.conversation.replies import rescue as say
from assistant.conversation.replies.plain import box_name, day, short
from assistant.conversation.sentences import receiving as says_receiving
from assistant.conversation.sentences import rescue as says
from assistant.planning.chains import binding
from assistant.planning.changes import apply, find, profile_of
from assistant.planning.deadlines import ship_date
from assistant.planning.model import Change, Item, Mark, Purchase, Put, Shop
from assistant.planning.month import rescue as planning
from assistant.planning.month.ways import Way
from assistant.planning.shipping import is_ordered

ITEMS = 5  # of a box, that are told one by one
LABEL = 30


def rescue(shop: Shop, request: Rescue, asked: Asked) -> Outcome:
    """Tell what can be done for an item, or for all of a box that is late."""
    if not request.item:
        return _box(shop, request.box, asked)
    item = find(shop.items, request.item)
    if item is None:
        return gone(asked)
    return _refused(shop, item, asked) or _item(shop, item, asked)


def _refused(shop: Shop, item: Item, asked: Asked) -> Outcome | None:
    """The refusal to help an item of a box that has shipped, or whose day is past or not known."""
    talk = about(asked, item=item.id, box=item.box)
    if on := dates.shipped(shop, item.box, asked.today):
        return answer(asked, (say_moves.all_sent(item, on, asked.today),), talk=talk)
    ship = ship_date(shop, item.box, asked.today)
    if ship is not None and ship < asked.today:
        text = say.past(item, ship, asked.today)
        return answer(asked, (text,), (how_is(item.box, asked),), talk=talk)
    if ship is None or planning.seen(shop, item, asked.today) is None:
        text = say.no_dates(item, asked.today)
        return answer(asked, (text,), (how_is(item.box, asked),), talk=talk)
    return None


def _item(shop: Shop, item: Item, asked: Asked) -> Outcome:
    """The ways out for one item, the best first."""
    today, risk = asked.today, planning.risk_of(shop, item, asked.today)
    found = planning.ways(shop, item.id, today, asked.moment.ref)
    seen = planning.seen(shop, item, today)
    if risk is not None:
        first = say.why(risk, today)
    else:
        first = say.not_late(item, seen, today) if seen else ""
    many = len(found) > say.FULL
    listed = found[: say.FULL - 1] if many else found
    rest = found[len(listed) :]
    named = tuple(dict.fromkeys(say.called(way, None, today) for way in rest))
    lines = (
        first,
        *say.numbered([_line(shop, way, item, asked) for way in listed], named),
        "" if found or risk is None else say.NOTHING_ELSE,
    )
    buttons = [
        Button(say.label(number, way, today), says.take(shop, item.id, way.how, way.other))
        for number, way in enumerate(found, 1)
    ]
    talk = replace(
        about(asked, item=item.id, box=item.box), options=tuple(one.says for one in buttons)
    )
    return answer(
        asked, lines, (*buttons, how_is(item.box, asked)), title=say.title(item, today), talk=talk
    )


def _line(shop: Shop, way: Way, item: Item, asked: Asked) -> str:
    return say.line(way, item, _seller(shop, way), profile_of(shop).currency, asked.today)


def _seller(shop: Shop, way: Way) -> str:
    """The name of the supplier that a way is agreed with."""
    offer = find(shop.offers, way.other) if way.how in ("offer", "part") else None
    item = find(shop.items, way.item)
    return supplier_name(shop, offer.supplier if offer else item.supplier if item else "")


def _box(shop: Shop, box: str, asked: Asked) -> Outcome:
    """For which items a box cannot ship complete, and the best way for each; of one alone its
    ways."""
    today, planned = asked.today, find(shop.boxes, box)
    talk = about(asked, item="", box=box)
    if refusal := shipped_already(shop, asked, box) if planned else None:
        return refusal
    ship = ship_date(shop, box, today)
    if planned is None or ship is None or ship < today:
        text = say.no_day(box, today) if shop.boxes else say.NO_BOX
        return answer(asked, (text,), talk=talk)
    found = at_risk_of(shop, box, today)
    if found is None:
        well = say.box_well(box, ship, today), tightest(shop, box, today)
        return answer(asked, well, (how_is(box, asked),), talk=talk)
    if found.unpacked:
        return answer(asked, (say.cannot_ship(found, today),), (how_is(box, asked),), talk=talk)
    items = [item for risk in found.risks if (item := find(shop.items, risk.item))]
    if len(items) == 1:
        return _item(shop, items[0], asked)
    lines = say.numbered([say.in_short(one, today) for one in found.risks[:ITEMS]], ())
    left = len(items) - ITEMS
    more = f"and {left} more" if left > 0 else ""
    buttons = _of_items(shop, items[:ITEMS])
    talk = replace(talk, options=tuple(one.says for one in buttons))
    title = say.box_at_risk(found, today)
    return answer(asked, (*lines, more), (*buttons, how_is(box, asked)), title=title, talk=talk)


def _of_items(shop: Shop, items: Sequence[Item]) -> tuple[Button, ...]:
    return tuple(ways_out_button(shop, item.id, f"{n} ") for n, item in enumerate(items, 1))


def ways_out_button(shop: Shop, item_id: str, number: str = "") -> Button:
    """The button that asks for the ways out for an item; its number in a list before its name."""
    item = find(shop.items, item_id)
    label = f"{number}Ways out: {item.name if item else ''}"
    return Button(short(label, LABEL), says.rescue_item(shop, item_id))


def take(shop: Shop, request: TakeRescue, asked: Asked) -> Outcome:
    """Go a way out, once what it does was shown."""
    item, today = find(shop.items, request.item), asked.today
    if item is None:
        return gone(asked)
    if refusal := _refused(shop, item, asked):
        return refusal
    way = planning.way(shop, item.id, request.way, request.other, today, asked.moment.ref)
    talk = about(asked, item=item.id, box=item.box)
    if way is None:
        return _not_possible(shop, request, item, asked)
    changes = tuple(_by(change, asked) for change in way.changes)
    after = apply(shop, changes)
    what = say.called(way, item, today)
    told = _line(shop, way, item, asked)
    if not request.sure:
        sentence = says.take(shop, item.id, way.how, way.other)
        return preview(shop, after, what, sentence, asked, (told,))
    run = find(shop.runs, item.box)
    booked, bought = run is not None and run.collection is not None, is_ordered(shop, item, today)
    lines = (
        say.taken(way, item, today),
        say.to_do(way, _seller(shop, way), today, bought=bought, booked=booked),
        *effect_lines(shop, after, asked),
        tightest(after, item.box, today),
    )
    buttons = (*_order_now(shop, way, item, asked), how_is(item.box, asked))
    outcome = changed(shop, asked, changes, lines, buttons, talk=talk, brief=lines[:2])
    return as_done(outcome, what)


def _order_now(shop: Shop, way: Way, item: Item, asked: Asked) -> tuple[Button, ...]:
    """The button that says an item was ordered with its quicker carriage."""
    if way.how != "faster" or way.in_hand is None or is_ordered(shop, item, asked.today):
        return ()
    told = ItemOrdered(item.id, promised=way.in_hand)
    label = short(f"Ordered, in hand {day(way.in_hand, asked.today)}", LABEL)
    return (Button(label, says_receiving.ordered(shop, told)),)


def _by(change: Change, asked: Asked) -> Change:
    """A change with who made it, and when, where that is kept."""
    record = change.record if isinstance(change, Put) else None
    if isinstance(record, Mark) and record.at is None:
        return Put(replace(record, at=asked.moment.now, by=asked.person.id))
    if isinstance(record, Purchase) and record.said == asked.today:
        return Put(replace(record, said_by=asked.person.id))
    return change


def at_risk_of(shop: Shop, box: str, today: date) -> planning.AtRisk | None:
    """Return why a box cannot ship complete on its day, None where it can."""
    return planning.box_at_risk(shop, box, today) if find(shop.boxes, box) else None


def tightest(shop: Shop, box: str, today: date) -> str:
    """Say why a box cannot ship complete, else which of its items is the tightest. One that is late
    but does no harm is not: enough of it came, or quicker carriage is agreed."""
    found = at_risk_of(shop, box, today)
    if found is not None:
        return say.cannot_ship(found, today)
    bound = binding(shop, box, today)
    item = find(shop.items, bound.item) if bound else None
    if bound is None or item is None or (bound.float is not None and bound.float >= 0):
        return dates.tightest_of(shop, (box,), today)
    expected = planning.seen(shop, item, today)
    return say.as_agreed(item, expected, today) if expected and expected != bound else ""


def _not_possible(shop: Shop, request: TakeRescue, item: Item, asked: Asked) -> Outcome:
    """Say that a way is none for an item, or that the item is not late at all."""
    today, seen = asked.today, planning.seen(shop, item, asked.today)
    words = says.WORDS.get(request.way, request.way)
    late = planning.risk_of(shop, item, today) is not None
    if request.other and request.way in says.BY_BOX:
        words = f"{words} {box_name(request.other, today)}"
    risk = planning.hinders(shop, item.id, request.way, request.other, today)
    lines = (
        say.not_possible(words, item, today),
        say.hindered(risk, today) if risk else "",
        "" if late or seen is None else say.not_late(item, seen, today),
    )
    buttons = (Button("Ways out", says.rescue_item(shop, item.id)), how_is(item.box, asked))
    return answer(asked, lines, buttons, talk=about(asked, item=item.id, box=item.box))


HANDLERS: dict[type, Handler] = {Rescue: rescue, TakeRescue: take}
WRITES: frozenset[type] = frozenset({TakeRescue})
