"""When a thing must happen, and why on that day.

Knows: which stage of which item or box a question is about. Must not know: how a chain is worked
back (planning/chains) or written (replies/why). Invariant: an answer changes nothing but the talk.
"""

from collections.abc import Sequence

from assistant.conversation import sentences
from assistant.conversation.handle import dates
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.named import supplier_name
from assistant.conversation.handle.outcomes import about, answer
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.replies import dates as say_dates
from assistant.conversation.replies import plan as say_plan
from assistant.conversation.replies import receiving as say_receiving
from assistant.conversation.replies import why as say
from assistant.conversation.replies.plain import box_name
from assistant.conversation.requests import When, Why
from assistant.planning.calendars import calendars
from assistant.planning.chains import Chain, Link, box_chain, item_chain
from assistant.planning.changes import find, profile_of
from assistant.planning.deadlines import Deadline, deadline, ship_date
from assistant.planning.model import Item, Shop
from assistant.planning.month.progress import progress
from assistant.planning.stages import SHIP

PACK = "pack"


def when(shop: Shop, request: When, asked: Asked) -> Outcome:
    """Say by when one stage must happen, and what follows it."""
    item = find(shop.items, request.item)
    if request.item and item is None:
        return answer(asked, (say_plan.item_gone(),))
    box = item.box if item else request.box
    if request.stage == SHIP:
        return _when_shipped(shop, box, asked)
    found = deadline(shop, f"{request.item or box}/{request.stage}", asked.today)
    talk = about(asked, item=request.item, box=box, deadlines=[found.key] if found else ())
    if found is None:
        return answer(asked, (_undated(shop, request, box, asked),), talk=talk)
    whose = say.whose(box, supplier_name(shop, item.supplier) if item else "", asked.today)
    chain = _chain(shop, request.item, box, asked)
    why = Button("Why that day", sentences.why(shop, request.item, box, request.stage))
    if found.state != "open":
        done = say.when_done(found.todo, found.state, found.on, whose, asked.today)
        follows = _expected(shop, item, asked), _then(chain, request.stage, asked)
        return answer(asked, (done, *follows), (why,), talk=talk)
    reason = dates.provisional(shop, found, asked.today)
    lines = (
        say_dates.due(found, asked.today, reason, whose),
        _expected(shop, item, asked),
        _then(chain, request.stage, asked),
        *dates.rescue_lines(shop, request.item, asked.today),
        *say_dates.unknown(found.missing, item.name if item else ""),
    )
    rescue = dates.rescue_button(shop, request.item, asked.today)
    buttons = (why, *_done(shop, found), *((rescue,) if rescue else ()))
    return answer(asked, lines, buttons, talk=talk)


def _expected(shop: Shop, item: Item | None, asked: Asked) -> str:
    """Say when an item that is ordered is expected, beside the day by which it must be here; one
    that is too late is told of with what can still be done."""
    found = progress(shop, item.id, asked.today) if item else None
    if found is None or not found.is_ordered or found.float is None or found.float < 0:
        return ""
    return say_receiving.forecast(found, asked.today)


def _when_shipped(shop: Shop, box: str, asked: Asked) -> Outcome:
    """Say when a box ships, planned or not."""
    on, chain = ship_date(shop, box, asked.today), box_chain(shop, box, asked.today)
    key = f"{box}/{SHIP}"
    talk = about(asked, item="", box=box, deadlines=(key,))
    if on is None or chain is None:
        return answer(asked, (say.nothing_to_explain(box, asked.today),), talk=talk)
    days = calendars(shop, asked.today).shop.count(asked.today, on)
    pack = chain.to(PACK)[-1:] if find(shop.boxes, box) else ()
    lines = (
        say.box_ships(box, on, days, asked.today),
        *(say.packing_from(link.on, asked.today) for link in pack),
    )
    how = Button(f"How is {box_name(box, asked.today)}", sentences.how_is(box))
    why_then = Button("Why that day", sentences.why(shop, box=box))
    return answer(asked, lines, (how, why_then), talk=talk)


def why(shop: Shop, request: Why, asked: Asked) -> Outcome:
    """Show the chain behind a date: every stage, whose days, what was passed over and why."""
    item = find(shop.items, request.item or ("" if request.box else asked.talk.item))
    box = item.box if item else request.box or asked.talk.box
    if not box:
        return answer(asked, (say.of_what(),))
    chain = _chain(shop, item.id if item else "", box, asked)
    talk = about(asked, item=item.id if item else "", box=box)
    if chain is None:
        return answer(asked, (say.nothing_to_explain(box, asked.today),), talk=talk)
    links = _wanted(shop, chain, request.stage, of_item=item is not None)
    ruled = find(shop.boxes, box)
    rule = "" if ruled and ruled.ship_on else profile_of(shop).ship_rule
    missing = dict.fromkeys(what for link in links for what in link.missing)
    lines = (
        say.from_ship_date(chain.ship, rule, asked.today),
        *(say.link(link, asked.today, _name(shop, link.item)) for link in links),
        _outlook(shop, chain, asked),
        _why_provisional(shop, item, box, links, asked),
        *say_dates.unknown(missing, item.name if item else ""),
    )
    name = item.name if item else ""
    how = Button(f"How is {box_name(box, asked.today)}", sentences.how_is(box))
    title = say.heading(name, box, asked.today)
    return answer(asked, lines, (how,), title=title, talk=talk)


def _outlook(shop: Shop, chain: Chain, asked: Asked) -> str:
    found = chain.outlook
    if found is None:
        return ""
    placed = dates.ordered(shop, found.item, asked.today)
    bought = find(shop.purchases, found.item)
    promised = placed and bought is not None and bought.promised is not None
    return say.outlook(found, asked.today, ordered=placed, promised=promised)


def _chain(shop: Shop, item: str, box: str, asked: Asked) -> Chain | None:
    return item_chain(shop, item, asked.today) if item else box_chain(shop, box, asked.today)


def _why_provisional(
    shop: Shop, item: Item | None, box: str, links: Sequence[Link], asked: Asked
) -> str:
    doubtful = [link for link in links if link.provisional]
    if not doubtful:
        return ""
    first = min(doubtful, key=lambda link: link.on)
    bound = item or find(shop.items, first.item)
    return say.first_up(dates.why_provisional(shop, box, bound, first.on, asked.today))


def _name(shop: Shop, item_id: str) -> str:
    item = find(shop.items, item_id) if item_id else None
    return item.name if item else ""


def _wanted(shop: Shop, chain: Chain, stage: str, *, of_item: bool) -> Sequence[Link]:
    """The links to show: those that lead to one stage; of an item, those that lead to its own
    stages; of a box, all of them. The last in time comes first."""
    if stage and chain.to(stage):
        return [link for link in chain.to(stage) if link.stage != SHIP]
    per_item = {rule.name for rule in shop.house.stages if rule.per == "item"}
    shown = {link.stage for link in chain.links}
    if of_item:
        shown = {link.stage for own in per_item for link in chain.to(own)}
    wanted = (link for link in chain.links if link.stage in shown - {SHIP})
    return sorted(wanted, key=lambda link: link.on, reverse=True)


def _then(chain: Chain | None, stage: str, asked: Asked) -> str:
    """What follows a stage: those between it and the ship date, in the order of time."""
    if chain is None:
        return ""
    path = chain.to(stage)[:-1]
    return say.then([(link.stage, link.on) for link in reversed(path)], asked.today)


def _undated(shop: Shop, request: When, box: str, asked: Asked) -> str:
    """Say why there is no date, or the ship date of a box that is not planned."""
    item = find(shop.items, request.item)
    on = ship_date(shop, box, asked.today)
    if on is None:
        return say.nothing_to_explain(box, asked.today)
    of = item.name if item else box_name(box, asked.today)
    return say.no_such_stage(request.stage, of, sentences.why(shop, request.item, box))


def _done(shop: Shop, found: Deadline) -> tuple[Button, ...]:
    return (Button("Done", sentences.done(shop, found.key)),) if found.nudge else ()


HANDLERS: dict[type, Handler] = {When: when, Why: why}
