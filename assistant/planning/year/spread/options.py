"""A picked year told in items and forms.

Knows: items that are there, forms used before. Must not know: the solver. Invariants: what is
fixed keeps its box and its form; an item that is there is moved, in the order of the year, rather
than a new one made; an item keeps the form that it has.
"""

from collections.abc import Sequence
from decimal import Decimal

from msgspec.structs import replace

from assistant.planning.changes import find
from assistant.planning.model import Item, Placement, RecurringType, Shop
from assistant.planning.year.spread.forms import Return, rotate, too_early
from assistant.planning.year.spread.placements import gaps_of
from assistant.planning.year.spread.problem import Option
from assistant.planning.year.spread.reading import CENTS, Reading, placed
from assistant.planning.year.spread.solving import Picked, band, spend


def option(shop: Shop, reading: Reading, picked: Picked) -> Option:
    """Return the option that a picked year stands for."""
    year = reading.year
    own = [returns(shop, reading, n, way.boxes) for n, way in enumerate(picked.ways)]
    order = {box: n for n, box in enumerate((*reading.boxes, ""))}
    placements = sorted((one for some, _ in own for one in some), key=lambda one: order[one.box])
    costs = spend(year, picked.ways)
    short = picked.uneven - picked.bound
    return Option(
        placements=tuple(placements),
        moved=sum(_moves(shop, one) for one in placements),
        gaps=tuple(
            (wanted.id, gaps_of(way.boxes, year.boxes, wanted.before))
            for wanted, way in zip(year.wanted, picked.ways, strict=True)
        ),
        running=picked.running,
        proved=short <= 0,
        off=max(0, -(-100 * short // picked.uneven)) if picked.uneven else 0,
        cost_low=Decimal(min(costs)) / CENTS,
        cost_high=Decimal(max(costs)) / CENTS,
        band=Decimal(round(band(year))) / CENTS if picked.level else Decimal(0),
        again=tuple(one for _, some in own for one in some),
    )


def _moves(shop: Shop, one: Placement) -> bool:
    """Whether a return is not where it is now, or is taken out."""
    item = find(shop.items, one.item)
    return item is None or item.box != one.box


def returns(
    shop: Shop, reading: Reading, n: int, numbers: Sequence[int]
) -> tuple[tuple[Placement, ...], tuple[Placement, ...]]:
    """Return the returns of the n-th type in these boxes, and those whose form comes too early."""
    type, boxes = reading.types[n], [reading.boxes[number] for number in numbers]
    items, spare = _items(reading.fixed[n], reading.free[n], boxes)
    coming = [
        Return(int(box[5:7]), item.form if item else "")
        for box, item in zip(boxes, items, strict=True)
    ]
    past = [
        Return(int(item.box[5:7]), item.form)
        for item in placed(shop, type)
        if item.box < reading.boxes[0]
    ]
    forms = rotate(type.forms, past, coming)
    found = tuple(
        Placement(type.id, box, form, item.id if item else "")
        for box, form, item in zip(boxes, forms, items, strict=True)
    )
    taken = [Return(one.month, form) for one, form in zip(coming, forms, strict=True)]
    early = tuple(found[n] for n in too_early(type.forms, past, taken))
    return (*found, *(Placement(type.id, "", item.form, item.id) for item in spare)), early


def _items(
    fixed: Sequence[Item], free: Sequence[Item], boxes: Sequence[str]
) -> tuple[list[Item | None], list[Item]]:
    """The item for each box, None where one has to be made, and the items that are not wanted any
    more: what stands right stays, the others move in the order of the year."""
    by_box: dict[str, Item] = {}
    for item in (*fixed, *free):
        if item.box in boxes:
            by_box.setdefault(item.box, item)
    rest = [item for item in free if by_box.get(item.box) is not item]
    empty = [box for box in boxes if box not in by_box]
    kept = sorted(rest, key=_settled, reverse=True)[: len(empty)]
    movers = [item for item in rest if item in kept]
    by_box |= dict(zip(empty, movers, strict=False))
    return [by_box.get(box) for box in boxes], [item for item in rest if item not in movers]


def _settled(item: Item) -> int:
    """How much is known of an item: the more, the sooner it is kept."""
    facts = item.supplier, item.unit_cost, item.quantity, item.lead, item.form
    return sum(fact not in ("", None) for fact in facts)


def made_item(
    shop: Shop, type: RecurringType, one: Placement, id: str, names: Sequence[str]
) -> Item:
    """Return the item that a return stands for; `names` are taken in its box."""
    item = find(shop.items, one.item) or Item(
        id=id, box=one.box, name=type.name, type=type.name, unit_cost=type.unit_cost
    )
    plain_name = item.name.casefold() == type.name.casefold()
    name = f"{one.form} {type.name}" if plain_name and one.form else item.name
    taken, tries, wanted = {name.casefold() for name in names}, 1, name
    while name.casefold() in taken:
        tries += 1
        name = f"{wanted} {tries}"
    return replace(item, box=one.box, form=one.form, name=name)
