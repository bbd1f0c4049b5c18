"""What is said of the history: what was changed, by whom, and what was taken back.

Knows: entries, changes and how records are called. Must not know: what may be taken back (see
handle/history). Invariant: what was taken back is said by what is true now, in at most a few
lines; many records are counted, not listed.
"""

from collections.abc import Callable, Sequence
from datetime import date
from typing import Any

from msgspec.structs import replace

from assistant.conversation.replies.plain import box_name, day, full_day, listed, plural, short
from assistant.planning.changes import apply, find, place
from assistant.planning.model import Change, Entry, Mark, Put, Shop
from assistant.planning.shipping import ORDER

LINE = 60  # characters of a name or a sentence that a line shows
LINES = 3  # records that are named one by one

NOTHING = "There is nothing of yours to take back. To see what was changed: history"
NOTHING_BACK = "You took nothing back that I could put back. To see what was changed: history"
NO_HISTORY = "Nothing was changed yet. For example: March theme rain and roots"


KINDS: dict[str, tuple[str, str]] = {
    "profile": ("fact of the shop", "facts of the shop"),
    "suppliers": ("supplier", "suppliers"),
    "boxes": ("box", "boxes"),
    "items": ("item", "items"),
    "ideas": ("idea", "ideas"),
    "people": ("person", "people"),
    "ledger": ("thing to be done", "things to be done"),
    "types": ("recurring type", "recurring types"),
    "offers": ("offer", "offers"),
    "variants": ("version of the year", "versions of the year"),
    "books": ("fact of the books", "facts of the books"),
    "counts": ("count", "counts"),
    "cohorts": ("count", "counts"),
    "groups": ("group of subscribers", "groups of subscribers"),
    "rates": ("rate", "rates"),
    "tariffs": ("postal table", "postal tables"),
    "orders": ("order", "orders"),
    "purchases": ("purchase", "purchases"),
    "deliveries": ("delivery", "deliveries"),
    "claims": ("claim", "claims"),
    "runs": ("packing run", "packing runs"),
    "materials": ("packing material", "packing materials"),
    "stock": ("leftover", "leftovers"),
    "opinions": ("opinion", "opinions"),
    "sent": ("box sent", "boxes sent"),
}

# --- what a change makes true ---------------------------------------------------------------


def now_again(shop: Shop, changes: Sequence[Change], today: date) -> tuple[str, ...]:
    """Say what is true once `changes` (which take something back) are made in `shop`: a line for
    each record, or how many there are of each kind."""
    told = _without_marks_of(changes)
    after = apply(shop, changes)
    lines = tuple(dict.fromkeys(_line(shop, after, change, today) for change in told))
    return lines if len(lines) <= LINES else (_counted(shop, told),)


def _without_marks_of(changes: Sequence[Change]) -> list[Change]:
    """Leave out what was done for items and boxes that are told of themselves, and what was agreed
    for an item whose order is told of."""
    places = [place(change) for change in changes]
    told = {id for table, id in places if table in ("items", "boxes")}
    marks = {(table, id) for table, id in places if table == "ledger"}
    its_own = {pair for pair in marks if pair[1].rpartition("/")[0] in told}
    its_own |= {("purchases", id) for table, id in places if ("ledger", f"{id}/{ORDER}") in marks}
    return [change for change in changes if place(change) not in its_own]


def _counted(shop: Shop, changes: Sequence[Change]) -> str:
    """Count what comes back, goes out and is as it was: "2 boxes and 9 items are as they were"."""
    counts: dict[str, dict[str, int]] = {}
    for change in changes:
        table, id = place(change)
        known = find(getattr(shop, table), id) is not None
        how = ("as it was" if known else "back") if isinstance(change, Put) else "out again"
        kinds = counts.setdefault(how, {})
        kinds[table] = kinds.get(table, 0) + 1
    return "\n".join(_how_many(how, kinds) for how, kinds in counts.items())


def _how_many(how: str, kinds: dict[str, int]) -> str:
    if how == "out again" and set(kinds) == {"ledger"}:
        how = "open again"
    words = [plural(number, *KINDS[table]) for table, number in sorted(kinds.items())]
    if sum(kinds.values()) == 1:
        return f"{listed(words)} is {how}."
    return f"{listed(words)} are {'as they were' if how == 'as it was' else how}."


def _line(shop: Shop, after: Shop, change: Change, today: date) -> str:
    table, id = place(change)
    old = find(getattr(shop, table), id)
    new = change.record if isinstance(change, Put) else None
    if table == "ledger":
        return _given(shop, after, old, new, today) or _mark_line(shop, after, id, new, today)
    name = _NAMES[table](shop, new or old, today)
    if new is None:
        return f"{name} is out again."
    if old is None:
        return f"{name} is back."
    for field, write in _FIELDS.get(table, ()):
        if getattr(old, field) != getattr(new, field):
            return write(name, getattr(new, field), today)
    return f"{name} is as it was."


def called(shop: Shop, table: str, id: str, today: date) -> str:
    """Name a record as people do: "field notebook (March)", "the idea lantern walk"."""
    record = find(getattr(shop, table), id)
    return _NAMES[table](shop, record, today) if record is not None else "What it made"


def _item(_shop: Shop, item: Any, today: date) -> str:
    return f"{short(item.name, LINE)} ({box_name(item.box, today)})"


def _mark_line(shop: Shop, after: Shop, id: str, mark: Any, today: date) -> str:
    """Say how a thing to be done stands again: "Open again: order tea (March)."."""
    if mark is None or (mark.state == "open" and mark.until is None):
        how = "Open again"
    elif mark.state == "open":
        how = f"Put off again until {day(mark.until, today)}"
    else:
        how = f"{mark.state.capitalize()} again"
    return f"{how}: {_task(shop, after, id, today)}."


def _given(shop: Shop, after: Shop, old: Any, new: Any, today: date) -> str:
    """Say who is nudged again, where nothing else of a thing to be done changed."""
    was, now = (Mark("") if one is None else replace(one, id="") for one in (old, new))
    if was.to == now.to or replace(was, to=now.to) != now:
        return ""
    person = find(shop.people, now.to)
    who = f"{person.name or 'One person'} alone is" if person else "Everybody is"
    return f"{who} nudged again for: {_task(shop, after, (old or new).id, today)}."


def _mark(shop: Shop, mark: Any, today: date) -> str:
    return _task(shop, shop, mark.id, today)


def _task(shop: Shop, after: Shop, id: str, today: date) -> str:
    """Name a thing to be done by its key: "order tea (March)"."""
    owner, _, stage = id.rpartition("/")
    item = find(after.items, owner) or find(shop.items, owner)
    todo = next((rule.todo for rule in shop.house.stages if rule.name == stage), stage)
    if item is None:
        known = find(after.boxes, owner) or find(shop.boxes, owner)
        where = f" ({box_name(owner, today)})" if known is not None else ""
        return todo.replace("{item}", "an item") + where
    return f"{todo.replace('{item}', short(item.name, LINE))} ({box_name(item.box, today)})"


def _item_called(shop: Shop, item_id: str) -> str:
    item = find(shop.items, item_id)
    return short(item.name, LINE) if item else "an item"


_NAMES: dict[str, Callable[[Shop, Any, date], str]] = {
    "profile": lambda _shop, _record, _today: "What I know of the shop",
    "suppliers": lambda _shop, record, _today: short(record.name, LINE),
    "boxes": lambda _shop, record, today: box_name(record.id, today),
    "items": _item,
    "ideas": lambda _shop, record, _today: f"The idea {short(record.text, LINE)}",
    "people": lambda _shop, record, _today: f"What I know of {record.name or record.chat}",
    "ledger": _mark,
    "types": lambda _shop, record, _today: f"The type {short(record.name, LINE)}",
    "offers": lambda _shop, record, _today: f"The offer {short(record.name, LINE)}",
    "variants": lambda _shop, record, _today: f"The version {short(record.name, LINE)}",
    "books": lambda _shop, _record, _today: "What I know of your numbers and money",
    "counts": lambda _shop, record, today: f"The count of {day(record.on, today)}",
    "cohorts": lambda _shop, record, today: f"Who joined in {box_name(record.joined, today)}",
    "groups": lambda _shop, record, _today: f"The {record.number} subscribers ({record.group})",
    "rates": lambda _shop, record, today: f"The {record.currency} rate of {day(record.on, today)}",
    "tariffs": lambda _shop, record, _today: f"The postage of {short(record.service, LINE)}",
    "orders": lambda _shop, record, _today: f"Order {record.id}",
    "purchases": lambda shop, record, _today: f"The purchase of {_item_called(shop, record.id)}",
    "deliveries": lambda shop, record, _today: f"The delivery of {_item_called(shop, record.item)}",
    "claims": lambda shop, record, _today: f"The claim for {_item_called(shop, record.id)}",
    "runs": lambda _shop, record, today: f"The packing run of {box_name(record.id, today)}",
    "materials": lambda _shop, record, _today: f"The {short(record.name, LINE)}",
    "stock": lambda _shop, record, _today: f"The leftover {short(record.name, LINE)}",
    "opinions": lambda _shop, record, _today: f"What was said of {short(record.name, LINE)}",
    "sent": lambda _shop, record, today: f"What {box_name(record.id, today)} came to",
}


def _theme(name: str, theme: str, _today: date) -> str:
    return f'Theme of {name} is "{short(theme, LINE)}" again.' if theme else f"{name}: no theme."


def _ships(name: str, on: date | None, today: date) -> str:
    return f"{name} ships {day(on, today)} again." if on else f"{name} ships by the rule again."


def _in_box(name: str, _box: str, _today: date) -> str:
    return f"{name} is there again."


def _idea_state(name: str, state: str, _today: date) -> str:
    return f"{name} {'waits' if state == 'waiting' else f'is {state}'} again."


_Writer = Callable[[str, Any, date], str]
_FIELDS: dict[str, tuple[tuple[str, _Writer], ...]] = {
    "boxes": (("theme", _theme), ("ship_on", _ships)),
    "items": (("box", _in_box),),
    "ideas": (("state", _idea_state),),
}


# --- undo -----------------------------------------------------------------------------------


def taken_back(entry: Entry, lines: Sequence[str]) -> tuple[str, ...]:
    """Say which change was taken back and what is true again."""
    return (f"Taken back: {short(entry.why, LINE)}", *lines)


def put_back(entry: Entry, lines: Sequence[str]) -> tuple[str, ...]:
    """Say that an undo was itself taken back."""
    return (f"Put back: {short(entry.why, LINE)}", *lines)


def changed_since(entry: Entry, names: Sequence[str], later: Entry | None, who: str) -> str:
    """Refuse to take back what was changed again, and say by what."""
    text = f"Not taken back: {short(entry.why, LINE)}\n{names[0]} was changed since"
    if len(names) > 1:
        text = f"{text}, and {plural(len(names) - 1, 'more record')}"
    if later is None:
        return f"{text}."
    return f"{text}: {short(later.why, LINE)} ({who}). Take that back first."


def back_already(entry: Entry) -> str:
    """Refuse to take back twice."""
    return f"That was taken back already: {short(entry.why, LINE)}"


def unknown(number: int) -> str:
    """Refuse a number that the history does not show."""
    return f"I have no change number {number} that can be taken back. To see them: history"


def not_yours(entry: Entry, who: str) -> str:
    """Refuse a helper who wants to take back what someone else did."""
    return f"{short(entry.why, LINE)}: {who} did that. Only they or an owner can take it back."


# --- history --------------------------------------------------------------------------------


def line(entry: Entry, who: str, on: date, back: bool, today: date) -> str:
    """Write one line of the history."""
    date_ = day(on, today) if on.year == today.year else full_day(on)
    mark = " (taken back)" if back else ""
    return f"{entry.number}. {date_}, {who}: {short(entry.why, LINE)}{mark}"
