"""One step in the life of an item: what is known before it, how it is asked about and ended.

Knows: what every step has in common. Must not know: any one step. Invariants: a step ends with what
follows from it; who has the task, and the owner where a helper tells a step, hear of it once, in
their own chat, unless it was told where others read along.
"""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from msgspec.structs import replace

from assistant.conversation import sentences
from assistant.conversation.handle import dates
from assistant.conversation.handle.asked import Asked
from assistant.conversation.handle.outcomes import about, answer, changed, in_rows
from assistant.conversation.messages import Button, Outcome, Reply
from assistant.conversation.replies import nudging as say_nudging
from assistant.conversation.replies import plan as say_plan
from assistant.conversation.replies import receiving as say
from assistant.conversation.sentences import receiving as says
from assistant.conversation.sentences.rescue import rescue_item
from assistant.planning.changes import apply, find
from assistant.planning.deadlines import marks_of
from assistant.planning.model import Change, Item, MarkState, Person, Purchase, Shop
from assistant.planning.month.progress import DISPATCH, ORDER, STOCK, Progress, progress
from assistant.planning.nudges import mark


class Known(NamedTuple):
    """What is known of an item before something is told of it; `bought` of what is ordered."""

    item: Item
    bought: Purchase | None
    found: Progress


def known_of(shop: Shop, id: str, asked: Asked) -> Known | Outcome:
    """Return what is known of an item; a refusal where it is gone or its box has shipped."""
    item = find(shop.items, id)
    if item is None:
        return answer(asked, (say_plan.item_gone(),))
    if (on := dates.shipped(shop, item.box, asked.today)) is not None:
        return answer(asked, (say_nudging.over(item.box, on, asked.today),))
    found = progress(shop, id, asked.today)
    return Known(item, find(shop.purchases, id) if found.is_ordered else None, found)


def from_plan(item: Item) -> Purchase:
    """Return the purchase of an item that was only marked as ordered."""
    return Purchase(item.id, quantity=item.quantity)


def marks(
    shop: Shop, item: Item, stage: str, asked: Asked, *, done: bool = True
) -> tuple[Change, ...]:
    """Return the changes that mark a stage of an item done, or open again."""
    state: MarkState = "done" if done else "open"
    return mark(shop, f"{item.id}/{stage}", state, asked.moment.now, asked.person.id)


def ask(asked: Asked, text: str, offers: Iterable[Button]) -> Outcome:
    """A question whose choices "1", "2" and, of a single one, "yes" stand for."""
    buttons = tuple(offers)
    talk = replace(about(asked), options=tuple(one.says for one in buttons))
    return answer(asked, (text,), buttons, talk=talk)


def ended(
    shop: Shop,
    asked: Asked,
    known: Known,
    changes: Sequence[Change],
    lines: Iterable[str],
    buttons: Iterable[Button] = (),
    passed_on: Iterable[str] = (),
) -> Outcome:
    """The outcome of a step: what was told, when the item is expected, what comes next, and the
    replies to others whom it concerns; `passed_on` is told to those in place of the lines."""
    item, today = known.item, asked.today
    after = apply(shop, changes)
    found, told = progress(after, item.id, today), tuple(filter(None, lines))
    before = known.found.expected if known.found.is_ordered else None
    expected = say.forecast(found, today, before)
    coming = [one for one in dates.todo(after, today) if one.item == item.id]
    following = say_nudging.next_for_it(coming[0], today) if coming else ""
    talk = about(asked, item=item.id, box=item.box, deadlines=[one.key for one in coming[:1]])
    late = found.float is not None and found.float < 0
    late = late or (found.is_in and found.came > 0 and found.lacks > 0)
    ways = (Button("Ways out", rescue_item(after, item.id)),) if late else ()
    far = Button("How far it is", says.story(after, item.id))
    outcome = changed(
        shop, asked, changes, (*told, expected, following), (*ways, *buttons, far), talk=talk,
        brief=(*told, expected),
    )  # fmt: skip
    to_others = (*(tuple(passed_on) or told), expected)
    others = told_to_others(after, asked, item, "\n".join(filter(None, to_others)))
    return replace(outcome, replies=(*outcome.replies, *others))


def told_to_others(shop: Shop, asked: Asked, item: Item, text: str) -> tuple[Reply, ...]:
    """Pass on what somebody told of an item: to those who alone are nudged for it, and to the
    owners where a helper told it; once to each, to nobody who hears it anyway."""
    if find(shop.places, asked.heard.chat) is not None:
        return ()
    ledger = marks_of(shop.ledger)
    keys = (f"{item.id}/{stage}" for stage in (ORDER, DISPATCH, STOCK))
    given = {one.to for key in keys if (one := ledger.get(key)) is not None and one.to}
    by_helper = asked.person.role == "helper"

    def concerned(one: Person) -> bool:
        mine = one.id == asked.person.id or one.chat == asked.heard.chat
        return (
            one.reachable and not mine and (one.id in given or (by_helper and one.role == "owner"))
        )

    buttons = in_rows(
        (
            Button("How far it is", says.story(shop, item.id)),
            Button("What is due", sentences.what_is_due()),
        )
    )
    passed_on = say.from_whom(asked.person, text)
    return tuple(
        Reply(passed_on, buttons=buttons, to=one.chat) for one in shop.people if concerned(one)
    )
