"""What a web page of the year says: the year as facts, each written once.

Knows: the year as facts, deadlines, items and how far they are. Must not know: where on a page
anything stands, what a page is made of. Invariants: what a year sheet says too is said in its words
(year_words.py); nothing here decides anything; of a shop without money no word is about money.
"""

from collections.abc import Iterable, Iterator
from datetime import date

from assistant.planning.deadlines import Deadline, deadlines
from assistant.planning.model import Item, Record, Shop
from assistant.planning.month.progress import STATES as ITEM_STATES
from assistant.planning.month.progress import progress
from assistant.planning.numbers.quantity import Amount, amounts
from assistant.planning.year.year_view import NO_BOX, BoxView, YearView
from assistant.planning.year.year_view import STATES as BOX_STATES
from assistant.scheduling.weeks import MONTHS
from assistant.sheets import year_words
from assistant.sheets.writing import full_day, money, plural

SOON = 8  # things to be done that stand on top


class Todo(Record):
    """One thing to be done: its day, what it is, for which box (its id and name), how far off."""

    on: date
    what: str
    box: str
    of: str
    off: str
    late: bool


class Line(Record):
    """One item; `form` is its type and form. `by` is the day by which it is to be ordered, None
    where `ordered` says instead how that stands, or nobody knows; `unknown` is what that day rests
    on and nobody told."""

    name: str
    form: str
    supplier: str
    pieces: str
    state: str
    by: date | None = None
    ordered: str = ""
    unknown: str = ""
    late: bool = False


class Part(Record):
    """One box: its facts as (label, words), its items. `missing` is a month without a box."""

    id: str
    name: str
    short: str
    theme: str
    state: str
    ships: date | None = None
    late: str = ""
    facts: tuple[tuple[str, str], ...] = ()
    lines: tuple[Line, ...] = ()
    missing: bool = False


class Kind(Record):
    """A recurring type: its name, how often it comes, in which boxes (id, name)."""

    name: str
    times: str
    boxes: tuple[tuple[str, str], ...]


class Facts(Record):
    """All that a page says. `more` is how many things are to be done after `todos`."""

    shop: str
    title: str
    summary: tuple[str, ...]
    as_of: str
    todos: tuple[Todo, ...]
    more: int
    parts: tuple[Part, ...]
    kinds: tuple[Kind, ...]

    @property
    def suppliers(self) -> tuple[str, ...]:
        """Who supplies something, by name."""
        found = {line.supplier for part in self.parts for line in part.lines if line.supplier}
        return tuple(sorted(found, key=str.casefold))

    @property
    def box_states(self) -> tuple[str, ...]:
        """How far boxes are, in the order in which they get on."""
        found = {part.state for part in self.parts if not part.missing}
        return tuple(state for state, _ in BOX_STATES if state in found)

    @property
    def item_states(self) -> tuple[str, ...]:
        """How far items are, in the order in which they get on."""
        found = {line.state for part in self.parts for line in part.lines}
        return tuple(state for state in ITEM_STATES if state in found)


def facts(shop: Shop, view: YearView, unsure: frozenset[str] = frozenset()) -> Facts:
    """Return what a page of a year says. Of items in `unsure` (Item.id) how many to order is not
    told unless the plan sets it."""
    here = {box.id for box in view.boxes}
    todo = [one for one in deadlines(shop, view.on) if one.box in here and one.nudge]
    waiting = [one for one in todo if one.state == "open"]
    names = {box.id: _name(box) for box in view.boxes}
    return Facts(
        shop=view.shop,
        title=title(view),
        summary=tuple(filter(None, year_words.summary(view))),
        as_of=year_words.as_of(view),
        todos=tuple(_todo(one, names[one.box], view.on) for one in waiting[:SOON]),
        more=max(len(waiting) - SOON, 0),
        parts=tuple(_parts(shop, view, {one.key: one for one in todo}, unsure)),
        kinds=tuple(_kinds(view)),
    )


def title(view: YearView) -> str:
    """Name a year: "The year 2027", "The year Dec 2026 to Nov 2027"."""
    return f"The year {year_words.title(view)}"


def _name(box: BoxView) -> str:
    nth = year_words.nth(box)
    return f"{MONTHS[box.month - 1]} {box.id[:4]}{f', {nth}' if nth else ''}"


def _short(box: BoxView) -> str:
    nth = year_words.nth(box).removeprefix("box ")
    return f"{year_words.month(box)}{f' ({nth})' if nth else ''}"


# --- what is to be done -----------------------------------------------------------------------


def _todo(one: Deadline, of: str, today: date) -> Todo:
    what = one.todo[:1].upper() + one.todo[1:]
    return Todo(one.on, what, one.box, of, ", ".join(_off(one, today)), one.late)


def _off(one: Deadline, today: date) -> Iterator[str]:
    if one.late:
        yield f"{plural(-one.float, 'working day')} late"
    elif one.on == today:
        yield "today"
    elif one.float == 0:
        yield "before the next working day"
    else:
        yield f"in {plural(one.float, 'working day')}"
    if one.until and one.until > today:
        yield f"put off until {full_day(one.until)}"
    if one.provisional:
        yield "provisional"


# --- boxes and their items --------------------------------------------------------------------


def _parts(
    shop: Shop, view: YearView, todo: dict[str, Deadline], unsure: frozenset[str]
) -> Iterator[Part]:
    inside: dict[str, list[Item]] = {box.id: [] for box in view.boxes}
    for item in shop.items:
        if item.box in inside:
            inside[item.box].append(item)
    sellers = {one.id: one.name for one in shop.suppliers}
    counts = {one.item: one for one in amounts(shop, view.on)}
    for box in view.boxes:
        lines = (
            _line(
                shop,
                item,
                sellers.get(item.supplier, ""),
                None if item.id in unsure and item.quantity is None else counts.get(item.id),
                todo.get(f"{item.id}/order"),
                view,
            )
            for item in inside[box.id]
        )
        yield Part(
            id=box.id,
            name=_name(box),
            short=_short(box),
            theme=year_words.theme(box),
            state=box.state,
            ships=box.ships,
            late=year_words.late(box),
            facts=tuple(_facts(box, view.currency)),
            lines=tuple(lines),
            missing=box.state == NO_BOX,
        )


def _facts(box: BoxView, currency: str) -> Iterator[tuple[str, str]]:
    if items := year_words.items(box):
        yield "Holds", items
    cost = (year_words.cost(box, currency), year_words.over(box, currency))
    if told := ", ".join(filter(None, (*cost, year_words.uncosted(box)))):
        yield "Cost of one", told


def _line(
    shop: Shop,
    item: Item,
    supplier: str,
    count: Amount | None,
    order: Deadline | None,
    view: YearView,
) -> Line:
    far = progress(shop, item.id, view.on)
    pieces = far.ordered if far.ordered is not None else count.order if count else item.quantity
    price = count.price if count and count.price is not None else item.unit_cost
    each = "" if price is None else f"{money(price, item.currency or view.currency)} each"
    open_yet = order if order is not None and order.state == "open" else None
    return Line(
        name=item.name,
        form=", ".join(filter(None, (item.type, item.form))),
        supplier=supplier,
        pieces=", ".join(filter(None, (f"{pieces:,}" if pieces else "", each))),
        state=far.state,
        by=open_yet.on if open_yet else None,
        ordered=_ordered(order, far.is_ordered),
        unknown=f"{' and '.join(open_yet.missing)} not known"
        if open_yet and open_yet.missing
        else "",
        late=open_yet is not None and open_yet.late,
    )


def _ordered(order: Deadline | None, placed: bool) -> str:
    if placed:
        return "ordered"
    return "not needed" if order is not None and order.state == "not needed" else ""


# --- recurring types --------------------------------------------------------------------------


def _kinds(view: YearView) -> Iterable[Kind]:
    for place, track in enumerate(view.tracks):
        boxes = [box for box in view.boxes if any(one.track == place for one in box.returns)]
        named = tuple((box.id, _short(box)) for box in boxes)
        yield Kind(track.name, year_words.times(track), named)
