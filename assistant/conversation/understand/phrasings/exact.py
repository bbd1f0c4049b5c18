"""The sentences of buttons, read back (see conversation/sentences.py).

Knows: how a sentence names an item or a deadline, "field notebook for 2027-03" and "order field
notebook for 2027-03". Must not know: looser ways to say the same. Invariants: names are compared
whole, so a name may hold any words; a sentence that names nothing in the plan is left to the other
phrasings.
"""

from datetime import date

from assistant.conversation.requests import (
    DropItem,
    MarkDone,
    MoveItem,
    NotNeeded,
    PutOff,
    Reopened,
    WhatIsDue,
    When,
    Why,
)
from assistant.conversation.understand.reading import Built, Phrasing
from assistant.conversation.understand.tasks import Task

_NOTEBOOK = "field notebook for 2027-03"


def _put_off(_c: object, task: Task, days: int | None = None, until: date | None = None) -> Built:
    return PutOff((task.key,), days=days, until=until)


TABLE: tuple[Phrasing, ...] = (
    Phrasing(
        "done",
        "done: {task:exacttask}",
        lambda _c, task: MarkDone((task.key,)),
        "a thing done",
        f"done: order {_NOTEBOOK}",
    ),
    Phrasing(
        "put off",
        """
        put off {days:count} (day|days): {task:exacttask}
        put off until {until:coming}: {task:exacttask}
        """,
        _put_off,
        "a thing to put off",
        f"put off 3 days: order {_NOTEBOOK}",
    ),
    Phrasing(
        "not needed",
        "not needed: {task:exacttask}",
        lambda _c, task: NotNeeded((task.key,)),
        "a thing not needed",
        f"not needed: order {_NOTEBOOK}",
    ),
    Phrasing(
        "open again",
        "open again: {task:exacttask}",
        lambda _c, task: Reopened((task.key,)),
        "a thing still open",
        f"open again: order {_NOTEBOOK}",
    ),
    Phrasing(
        "when",
        "when {task:exacttask}",
        lambda _c, task: When(task.stage, item=task.item, box=task.box),
        "a question when",
        f"when order {_NOTEBOOK}",
        asks=True,
    ),
    Phrasing(
        "why a task",
        "why {task:exacttask}",
        lambda _c, task: Why(item=task.item, box=task.box, stage=task.stage),
        "a question why",
        f"why order {_NOTEBOOK}",
        asks=True,
    ),
    Phrasing(
        "why an item",
        """
        why the dates of {item:exactitem}
        why {item:exactitem}
        """,
        lambda _c, item: Why(item=item),
        "a question why",
        f"why {_NOTEBOOK}",
        asks=True,
    ),
    Phrasing(
        "due then",
        "what is due from {since:coming} to {until:coming}",
        lambda _c, since, until: WhatIsDue(until, since=since),
        "what is due",
        "what is due from 2027-06-01 to 2027-06-30",
        asks=True,
    ),
    Phrasing(
        "move",
        "move {item:exactitem} to {box:id}",
        lambda _c, item, box: MoveItem(item, box),
        "a move of {item}",
        f"move {_NOTEBOOK} to 2027-05",
    ),
    Phrasing(
        "drop",
        "drop {item:exactitem}",
        lambda _c, item: DropItem(item),
        "an item to drop",
        f"drop {_NOTEBOOK}",
    ),
)
