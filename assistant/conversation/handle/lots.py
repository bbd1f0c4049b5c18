"""Whether to buy the same goods of several boxes at once.

Knows: which item a question is about, why there may be nothing to choose. Must not know: how an
answer is written (replies/), how lots are chosen (planning/). Invariants: a question changes
nothing but the talk; what is ordered already is never proposed.
"""

from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.named import supplier_name
from assistant.conversation.handle.outcomes import about, answer
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.order_requests import ShowLots
from assistant.conversation.replies import lots as say
from assistant.conversation.replies.plan import item_gone
from assistant.conversation.sentences import lots as says
from assistant.conversation.sentences.quantities import how_many
from assistant.planning.changes import find
from assistant.planning.model import Item, Shop
from assistant.planning.numbers import lots
from assistant.planning.numbers.lots import LotPlan
from assistant.planning.shipping import is_ordered, shipped


def show_lots(shop: Shop, request: ShowLots, asked: Asked) -> Outcome:
    """The cheapest way to buy an item that comes in several boxes; or each way, with its costs."""
    item, today = find(shop.items, request.item), asked.today
    if item is None:
        return answer(asked, (item_gone(),))
    talk = about(asked, item=item.id, box=item.box)
    plan = lots.one_or_several(shop, item.id, today)
    if plan is None:
        return answer(asked, (_why_none(shop, item, asked),), talk=talk)
    many = Button("How many", how_many(shop, item.id))
    if request.whole:
        less = Button("The cheapest", says.lots(shop, item.id))
        title = say.every_title(item.name)
        return answer(asked, _every(shop, item, plan, asked), (less, many), title=title, talk=talk)
    lines = (
        say.cheapest(plan),
        *say.orders(plan, plan.best, today),
        *say.why(plan),
        say.rest(plan),
        say.certainty(plan),
        say.terms(plan, today),
        *say.unknown(plan),
    )
    more = Button("Every way", says.every_way(shop, item.id))
    return answer(asked, lines, (more, many), title=say.title(item.name), talk=talk)


def _every(shop: Shop, item: Item, plan: LotPlan, asked: Asked) -> tuple[str, ...]:
    return (
        *say.ways(plan),
        say.counted(plan),
        say.shared(plan, supplier_name(shop, item.supplier), asked.today),
        say.steady(plan),
        *say.unknown(plan),
    )


def _why_none(shop: Shop, item: Item, asked: Asked) -> str:
    """Why there is nothing to choose."""
    today = asked.today
    if shipped(shop, item.box, today):
        return say.gone(item.name, item.box, today)
    if is_ordered(shop, item, today):
        return say.ordered(item.name, item.box, today)
    if len(lots.alike(shop, item, today)) < 2:
        return say.one_box(item.name, item.box, supplier_name(shop, item.supplier), today)
    return say.nothing_needed(item.name)


HANDLERS: dict[type, Handler] = {ShowLots: show_lots}
WRITES: frozenset[type] = frozenset()
