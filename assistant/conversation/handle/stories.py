"""How far an item is: every step with its day, and by whom.

Knows: which steps an item has taken. Must not know: how a step is written (replies/receiving).
Invariant: an answer changes nothing but the talk.
"""

from collections.abc import Iterable
from datetime import date

from assistant.conversation import sentences
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.named import supplier_name
from assistant.conversation.handle.outcomes import about, answer
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.month_requests import ItemStory
from assistant.conversation.replies import plan as say_plan
from assistant.conversation.replies import receiving as say
from assistant.conversation.sentences.rescue import rescue_item
from assistant.planning.changes import find, profile_of
from assistant.planning.deadlines import marks_of
from assistant.planning.model import Item, Purchase, Shop
from assistant.planning.month.progress import (
    DISPATCH,
    ORDER,
    PACK,
    SOURCE,
    STOCK,
    Progress,
    deliveries_of,
    progress,
)
from assistant.planning.nudges import local_day

SHOWN = 4  # deliveries that are told one by one


def story(shop: Shop, request: ItemStory, asked: Asked) -> Outcome:
    """Tell how far an item is, and when it is expected."""
    item, today = find(shop.items, request.item), asked.today
    if item is None:
        return answer(asked, (say_plan.item_gone(),))
    found = progress(shop, item.id, today)
    bought = find(shop.purchases, item.id) or Purchase(item.id)
    lines = (
        *_bought(shop, item, bought, found, asked),
        *_came(shop, item, bought, found, asked),
        say.missing(found) if found.came else "",
        say.enough(found, item, today) if found.came else "",
        say.forecast(found, today) if found.is_ordered else "",
    )
    late = found.float is not None and found.float < 0
    buttons = (
        *((Button("Ways out", rescue_item(shop, item.id)),) if late else ()),
        Button("Why", sentences.why(shop, item.id)),
        Button("What is due", sentences.what_is_due()),
    )
    talk = about(asked, item=item.id, box=item.box)
    return answer(asked, lines, buttons, title=say.story_title(item, found, today), talk=talk)


def _bought(
    shop: Shop, item: Item, bought: Purchase, found: Progress, asked: Asked
) -> Iterable[str]:
    """The steps until it comes."""
    today, own = asked.today, profile_of(shop).currency
    supplier = supplier_name(shop, item.supplier)
    if found.state == "thought of":
        yield say.not_settled(supplier)
    on, by = _when(shop, f"{item.id}/{SOURCE}", asked)
    if on is not None:
        facts = say.settled_facts(supplier, item.unit_cost, item.currency or own)
        yield say.step("Settled", on, today, facts, by)
    if not found.is_ordered:
        return
    on, by = _when(shop, f"{item.id}/{ORDER}", asked)
    facts = say.order_facts(bought, supplier, own)
    yield say.step("Ordered", bought.ordered or on, today, facts, by)
    if bought.promised is not None:
        first = bought.first_promised
        moved = first is not None and first != bought.promised
        at_first = (say.first_promised(first, today),) if moved and first else ()
        yield say.step("Promised for", bought.promised, today, at_first, _who(shop, bought.said_by))
    on, by = _when(shop, f"{item.id}/{DISPATCH}", asked)
    left = bought.dispatched or on
    if left is not None:
        tracking = (f"tracking {bought.tracking}",) if bought.tracking else ()
        yield say.step("Dispatched", left, today, tracking, by)


def _came(shop: Shop, item: Item, bought: Purchase, found: Progress, asked: Asked) -> Iterable[str]:
    """The steps from its coming on."""
    today = asked.today
    came = deliveries_of(shop, item.id)
    for one in came[-SHOWN:]:
        yield say.step("Came", one.on, today, (say.pieces_came(one),), _who(shop, one.by))
    on, by = _when(shop, f"{item.id}/{STOCK}", asked)
    if on is not None and not came:
        yield say.step("In hand", on, today, (), by)
    if bought.checked is not None:
        yield say.step("Checked", bought.checked, today, (), _who(shop, bought.checked_by))
    on, by = _when(shop, f"{item.box}/{PACK}", asked)
    if on is not None and found.state == "packed":
        yield say.step("Packing", on, today, (), by)


def _when(shop: Shop, key: str, asked: Asked) -> tuple[date | None, str]:
    """When a stage was marked as done, and by whom."""
    mark = marks_of(shop.ledger).get(key)
    if mark is None or mark.state != "done":
        return None, ""
    on = asked.today if mark.at is None else local_day(shop, mark.at)
    return on, _who(shop, mark.by)


def _who(shop: Shop, person: str) -> str:
    return say.by_whom(find(shop.people, person) if person else None)


HANDLERS: dict[type, Handler] = {ItemStory: story}
