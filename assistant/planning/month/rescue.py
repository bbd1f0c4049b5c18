"""What can be done for an item that will be late, the best way first.

Knows: the ways out (ways_out.py, instead.py), what is at risk (risks.py), costs, postage. Must not
know: words. Invariants: nothing here changes a plan, a way carries the changes that would; what a
way does to the plan is found by making it on a copy; a cost that is not known is None, never
nothing.

Ways that send the box complete on its day come first, then those that send it on its day without
the item, then those that ship it later; of these the ones of which all is known, then what costs
least (what is not known last), then what changes least. This order is ours, from no source.
"""

from collections.abc import Callable, Iterator, Sequence
from datetime import date
from decimal import Decimal
from itertools import islice

from msgspec.structs import replace

from assistant.planning.accounts.landed import NOTHING, all_landed, books_of
from assistant.planning.accounts.money import in_own
from assistant.planning.accounts.postage import Parcel, cheapest
from assistant.planning.changes import apply, find
from assistant.planning.model import Shop
from assistant.planning.month import instead, ways_out
from assistant.planning.month.risks import AtRisk as AtRisk
from assistant.planning.month.risks import Risk as Risk
from assistant.planning.month.risks import at_risk as at_risk
from assistant.planning.month.risks import box_at_risk as box_at_risk
from assistant.planning.month.risks import risk_of as risk_of
from assistant.planning.month.risks import risks_of as risks_of
from assistant.planning.month.risks import seen as seen
from assistant.planning.month.ways import Case, How, boxes_of, case_of, made, parts
from assistant.planning.month.ways import Way as Way
from assistant.planning.year import rearranging
from assistant.planning.year.rearranging import Effect, closer, effect, touched

FINDERS: dict[How, tuple[Callable[[Case, str], Iterator[Way]], int]] = {
    "faster": (ways_out.faster, 1),
    "split": (ways_out.split, 1),
    "part": (instead.part, 1),
    "later": (ways_out.exchange, 2),
    "offer": (instead.offers, 2),
    "swap": (ways_out.swap, 1),
    "idea": (instead.ideas, 1),
    "move": (ways_out.move, 1),
    "twice": (ways_out.twice, 1),
    "wait": (ways_out.wait, 1),
}  # each with how many of a kind are told at most
REF = "rescue"  # of ids that stand for those of records not made yet


def ways(shop: Shop, item_id: str, today: date, ref: str = REF) -> tuple[Way, ...]:
    """Return what can be done for an item, the best first; none where its box has shipped or has
    no dates. Records that a way would make have the ids `<ref>.1` and on."""
    case = case_of(shop, item_id, today, ref)
    if case is None:
        return ()
    found = [
        _reckoned(case, way)
        for finder, most in FINDERS.values()
        for way in islice(finder(case, ""), most)
    ]
    return tuple(sorted((_bounded(way, found) for way in found), key=_rank))


def way(shop: Shop, item_id: str, how: str, other: str, today: date, ref: str = REF) -> Way | None:
    """Return one way out by its code and what it needs; None where it is not possible."""
    case = case_of(shop, item_id, today, ref)
    named = next((finder for code, (finder, _) in FINDERS.items() if code == how), None)
    if case is None or named is None:
        return None
    if how == "faster":  # what it may cost follows from the other ways
        return next((one for one in ways(shop, item_id, today, ref) if one.how == how), None)
    return next((_reckoned(case, one) for one in named(case, other)), None)


def hinders(shop: Shop, item_id: str, how: str, other: str, today: date) -> Risk | None:
    """Return what would be at risk if an item went to another box, or its box were swapped with
    it; None where nothing would, or it cannot be tried."""
    item = find(shop.items, item_id)
    if item is None or find(shop.boxes, other) is None or how not in ("swap", "move"):
        return None
    changes = (
        rearranging.swap(shop, item.box, other)
        if how == "swap"
        else rearranging.move(shop, {item_id: other})
    )
    after = parts(apply(shop, changes), item.box, other)
    risks = (*risks_of(after, item.box, today), *risks_of(after, other, today))
    return next(iter(risks), None)


def _rank(way: Way) -> tuple[int, bool, bool, Decimal, int, int]:
    place = 0 if way.whole else 2 if way.how == "wait" else 1
    unknown, cost = way.cost is None, way.cost or NOTHING
    return place, bool(way.missing), unknown, cost, way.change, list(FINDERS).index(way.how)


def _bounded(way: Way, every: Sequence[Way]) -> Way:
    """Faster carriage of which no price is told may cost as much as the next way."""
    if way.how != "faster" or way.cost is not None:
        return way
    costs = [(one.whole, one.cost) for one in every if one.cost is not None and one.cost > 0]
    whole = [cost for is_whole, cost in costs if is_whole]
    return replace(way, at_most=min(whole or [cost for _, cost in costs], default=None))


# --- what a way does and costs --------------------------------------------------------------


def _reckoned(case: Case, way: Way) -> Way:
    after = made(case.shop, way.changes)
    boxes = boxes_of(case, way.changes)
    before_parts, after_parts = parts(case.shop, *boxes), parts(after, *boxes)
    found = replace(effect(before_parts, after_parts, case.today), closer=closer(case.shop, after))
    cost = COSTS[way.how](case, way, before_parts, after_parts) if way.how in COSTS else NOTHING
    known = {item.id for item in before_parts.items}
    new = sum(item.id not in known for item in after_parts.items)
    return replace(way, effect=found, cost=cost, change=_change(case.shop, after, found) + new)


def _change(before: Shop, after: Shop, found: Effect) -> int:
    return found.moved + len(found.late) + len(touched(before, after))


def _of_goods(case: Case, way: Way, before: Shop, after: Shop) -> Decimal | None:
    """What the goods of the box cost more, landed; what is bought already is paid all the same, and
    so is that of which a part is bought elsewhere."""
    was, now = (_landed_in(one, case.item.box, case.today) for one in (before, after))
    new = f"{case.ref}.1"
    if way.how == "part":
        return now.get(new)
    old = was.get(case.item.id)
    if now.get(new) is None or (old is None and not case.bought):
        return None
    kept = (old or NOTHING) if case.bought and case.item.id not in now else NOTHING
    return sum((one or NOTHING for one in now.values()), kept) - sum(
        (one or NOTHING for one in was.values()), NOTHING
    )


def _landed_in(shop: Shop, box: str, today: date) -> dict[str, Decimal | None]:
    """What the orders of a box's items come to, by item; None where that is not known."""
    inside = {item.id for item in shop.items if item.box == box}
    return {
        id: one.total if one.quantity and one.each is not None else None
        for id, one in all_landed(shop, today).items()
        if id in inside
    }


def _of_carriage(case: Case, _way: Way, _before: Shop, _after: Shop) -> Decimal | None:
    """One delivery more."""
    seller = find(case.shop.suppliers, case.item.supplier)
    if seller is None or seller.carriage is None:
        return None
    return in_own(case.shop, seller.carriage, seller.currency, case.today)


def _of_faster(case: Case, way: Way, _before: Shop, _after: Shop) -> Decimal | None:
    """What quicker carriage costs more, where a quote for the item tells it."""
    most = ways_out.carriage_days(case) - way.days
    usual = _of_carriage(case, way, case.shop, case.shop)
    told = [
        in_own(case.shop, one.carriage, one.currency, case.today)
        for one in case.shop.offers
        if one.item == case.item.id
        and one.supplier == case.item.supplier
        and one.carriage is not None
        and one.transit_days is not None
        and one.transit_days <= most
    ]
    known = [one for one in told if one is not None]
    return min(known) - (usual or NOTHING) if known else None


def _of_postage(case: Case, way: Way, _before: Shop, _after: Shop) -> Decimal | None:
    """Posting the item on its own, in a mailer of its own, to everybody."""
    item, books = case.item, books_of(case.shop)
    if item.grams is None or not way.pieces:
        return None
    grams = item.grams * item.units + (books.packaging_grams or 0)
    on = way.sent or case.ship
    parcel = cheapest(case.shop, grams, item.mm or books.parcel_mm, on)
    if not isinstance(parcel, Parcel):
        return None
    return (parcel.price + (books.packaging or NOTHING)) * way.pieces


def _unknown(_case: Case, _way: Way, _before: Shop, _after: Shop) -> Decimal | None:
    return None


COSTS: dict[How, Callable[[Case, Way, Shop, Shop], Decimal | None]] = {
    "faster": _of_faster,
    "split": _of_carriage,
    "twice": _of_postage,
    "offer": _of_goods,
    "part": _of_goods,
    "idea": _unknown,
}
