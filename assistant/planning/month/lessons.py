"""What boxes that have gone out teach: one box looked back on, a year's lessons.

Knows: what was sent (sent.py), opinions, leftovers, suppliers' records, pace. Must not know: words,
how next year's plan is made. Invariants: only what has gone out teaches; everything here follows
from what was noted, nothing is written; a supplier's days are in the unit of its quotes, or are not
proposed.
"""

from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from assistant.planning.changes import find
from assistant.planning.deadlines import ship_date
from assistant.planning.model import Lead, Opinion, Record, Sent, Shop, Stock
from assistant.planning.month.lateness import LeadRecord
from assistant.planning.month.opinions import Verdict, of_type, verdict
from assistant.planning.month.pace import pace_of
from assistant.planning.month.sent import Arrival, arrivals, expected_boxes, packed, sent_boxes
from assistant.planning.month.sent import sent_of as sent_of
from assistant.planning.month.sent import sent_on as sent_on
from assistant.planning.month.track import records
from assistant.planning.year.recurring import plain

ENOUGH = 2  # deliveries before a lead time of a supplier's own is proposed
TENTH = Decimal("0.1")


class Looked(Record):
    """One box looked back on. `expected` boxes were to go out; `counted`: those that did were
    counted. `left` is what is left over of it now; `items` are opinions of its items, the best
    first, `whole` that of the box."""

    sent: Sent
    expected: int
    counted: bool
    came: tuple[Arrival, ...]
    left: tuple[Stock, ...]
    items: tuple[Verdict, ...]
    whole: Verdict | None = None


class RealLead(Record):
    """How long a supplier takes to make what it sells: means over `deliveries`, in `unit` days of
    its quotes ("" where they differ)."""

    supplier: str  # Supplier.id
    deliveries: int
    quoted: Decimal
    actual: Decimal
    unit: str = ""

    @property
    def lead(self) -> Lead | None:
        """The lead time to plan with, where its record is long enough and differs from its
        quotes by a day at least."""
        days = int(self.actual.to_integral_value())
        if self.deliveries < ENOUGH or not days or abs(self.actual - self.quoted) < 1:
            return None
        if self.unit == "working":
            return Lead(days, "working")
        return Lead(days, "calendar") if self.unit == "calendar" else None


class ThemeUsed(Record):
    """A theme that went out, and what was said of its box."""

    box: str
    theme: str
    said: Verdict | None


class Lessons(Record):
    """What a year taught. `loved` and `poor` are recurring types, and items of none, each with
    what was said of it that year, the plainest first; `late` counts the boxes that went out late.
    `cost` and `planned_cost` are means over the boxes of which both are known."""

    year: int
    boxes: tuple[Sent, ...] = ()
    late: int = 0
    cost: Decimal | None = None
    planned_cost: Decimal | None = None
    loved: tuple[Verdict, ...] = ()
    poor: tuple[Verdict, ...] = ()
    so_so: tuple[Verdict, ...] = ()
    themes: tuple[ThemeUsed, ...] = ()
    leads: tuple[RealLead, ...] = ()
    pace: Decimal | None = None
    left: tuple[Stock, ...] = ()


def look_back(shop: Shop, box_id: str, today: date) -> Looked | None:
    """Return a box against its plan; None while it has not gone out."""
    sent = sent_of(shop, box_id, today)
    if sent is None:
        return None
    own = [one for one in shop.opinions if one.box == box_id]
    of_box = [one for one in own if not one.item]
    return Looked(
        sent=sent,
        expected=expected_boxes(shop, box_id, min(sent.on, sent.planned_on or sent.on)),
        counted=packed(shop, box_id) > 0,
        came=arrivals(shop, box_id),
        left=tuple(one for one in shop.stock if one.box == box_id and one.pieces),
        items=_ranked(verdict(one.name, (one,)) for one in own if one.item),
        whole=verdict("", of_box) if of_box else None,
    )


def _ranked(found: Iterable[Verdict]) -> tuple[Verdict, ...]:
    """Verdicts, the best first: by score, loved words before none, by name."""
    middle = Decimal(3)
    return tuple(
        sorted(found, key=lambda one: (-(one.score or middle + one.liked), plain(one.name)))
    )


def latest_year(shop: Shop, today: date) -> int | None:
    """Return the year of the newest box that has gone out, None where none has."""
    sent = sent_boxes(shop, today)
    return int(sent[0][:4]) if sent else None


def lessons(shop: Shop, year: int, today: date) -> Lessons:
    """Return what the boxes of a year that have gone out taught."""
    ids = [id for id in sent_boxes(shop, today) if int(id[:4]) == year]
    boxes = tuple(one for id in reversed(ids) if (one := sent_of(shop, id, today)))
    own = [one for one in shop.opinions if one.box in ids]
    said = _ranked(_by_type(shop, own))
    both = [(b.cost, b.planned_cost) for b in boxes if b.cost is not None and b.planned_cost]
    pace = pace_of(shop)
    return Lessons(
        year=year,
        boxes=boxes,
        late=sum(one.planned_on is not None and one.on > one.planned_on for one in boxes),
        cost=_mean(cost for cost, _ in both if cost is not None),
        planned_cost=_mean(planned for _, planned in both if planned is not None),
        loved=tuple(one for one in said if one.liked > 0),
        poor=tuple(reversed([one for one in said if one.liked < 0])),
        so_so=tuple(one for one in said if not one.liked),
        themes=tuple(_theme(shop, one) for one in boxes if one.theme),
        leads=real_leads(shop),
        pace=pace.shown,
        left=tuple(one for one in shop.stock if one.box in ids and one.pieces),
    )


def _by_type(shop: Shop, own: Iterable[Opinion]) -> Iterable[Verdict]:
    """What was said, items of one type together; those of no type by their names."""
    names: dict[str, str] = {}
    groups: dict[str, list[Opinion]] = {}
    types = {plain(one.name): one.name for one in shop.types}
    for one in (one for one in own if one.item):
        name = one.type or one.name
        key = plain(name)
        names.setdefault(key, types.get(key, name))
        groups.setdefault(key, []).append(one)
    return (verdict(names[key], every) for key, every in groups.items())


def _theme(shop: Shop, sent: Sent) -> ThemeUsed:
    return ThemeUsed(sent.id, sent.theme, of_box(shop, sent.id))


def of_box(shop: Shop, box_id: str) -> Verdict | None:
    """Return what was said of a box: of it as a whole, else of its items together; None where
    nothing was scored."""
    own = [one for one in shop.opinions if one.box == box_id]
    whole = [one for one in own if not one.item and one.score is not None]
    found = verdict("", whole or own) if own else None
    return found if found and found.score is not None else None


def _mean(amounts: Iterable[Decimal]) -> Decimal | None:
    every = list(amounts)
    return sum(every, Decimal(0)) / len(every) if every else None


# --- suppliers --------------------------------------------------------------------------------


def real_leads(shop: Shop) -> tuple[RealLead, ...]:
    """Return how long suppliers really took to make what was ordered, by name."""
    found: dict[str, list[LeadRecord]] = {}
    for one in records(shop):
        if one.part == "making":
            found.setdefault(one.supplier, []).append(one)
    names = {one.id: one.name for one in shop.suppliers}
    made = (_real(shop, id, every) for id, every in found.items() if id in names)
    return tuple(sorted(made, key=lambda one: names[one.supplier].casefold()))


def real_lead(shop: Shop, supplier: str) -> RealLead | None:
    """Return how long one supplier (Supplier.id) really took; None without a record."""
    return next((one for one in real_leads(shop) if one.supplier == supplier), None)


def _real(shop: Shop, supplier: str, every: list[LeadRecord]) -> RealLead:
    many = Decimal(len(every))
    return RealLead(
        supplier=supplier,
        deliveries=len(every),
        quoted=(sum(one.quoted for one in every) / many).quantize(TENTH),
        actual=(sum(one.actual for one in every) / many).quantize(TENTH),
        unit=_unit(shop, supplier),
    )


def _unit(shop: Shop, supplier: str) -> str:
    """The unit in which all quotes of a supplier are, "" where they differ or there are none."""
    known = find(shop.suppliers, supplier)
    leads = [known.lead] if known and known.lead else []
    leads += [one.lead for one in shop.items if one.supplier == supplier and one.lead]
    units = {lead.unit for lead in leads}
    return units.pop() if len(units) == 1 else ""


# --- for the next plan ------------------------------------------------------------------------


class LovedTheme(Record):
    """A theme that was loved in a box (Box.id) of an earlier year."""

    box: str
    theme: str
    score: Decimal
    answers: int


def loved_themes(shop: Shop, box_id: str, today: date) -> tuple[LovedTheme, ...]:
    """Return themes that were loved in the quarter of a box in earlier years, the best first."""
    quarter = (int(box_id[5:7]) - 1) // 3
    found = []
    for id in sent_boxes(shop, today) if shop.opinions else ():
        if id[:4] >= box_id[:4] or (int(id[5:7]) - 1) // 3 != quarter:
            continue
        box, said = find(shop.boxes, id), of_box(shop, id)
        if box and box.theme.strip() and said and said.liked > 0 and said.score is not None:
            found.append(LovedTheme(id, box.theme, said.score, said.answers))
    return tuple(sorted(found, key=lambda one: (-one.score, one.box)))


def disliked_types(shop: Shop) -> tuple[Verdict, ...]:
    """Return the recurring types that subscribers did not love, the worst first."""
    found = [said for one in shop.types if (said := of_type(shop, one.name)) and said.liked < 0]
    return tuple(sorted(found, key=lambda one: (one.score or Decimal(3), plain(one.name))))


def days_late(shop: Shop, sent: Sent, today: date) -> int:
    """Return by how many calendar days a box went out after its planned day; below zero before."""
    planned = sent.planned_on or ship_date(shop, sent.id, today) or sent.on
    return (sent.on - planned).days
