"""Invented years for the year sheet: an ordinary one, an empty one, long names, many boxes."""

from datetime import date
from decimal import Decimal

from msgspec.structs import replace

from assistant.planning.model import Box, Item, RecurringType, Shop
from assistant.planning.year.year_view import YearView, quarter_of, year_view
from tests.trade import shop

TODAY = date(2026, 11, 25)
LONG = ("the very long evenings of the midsummer hedgerow with its moths, bats and owls " * 4)[:300]
KINDS = (
    *("notebook", "pencil", "pin", "tea", "print", "seed", "soap", "candle", "sticker", "patch"),
    *("map", "ruler", "card", "badge", "ribbon", "brush", "ink", "lens", "wrap", "tin"),
)

ORDINARY = shop(
    "2027-01 Bare branches: log, type notebook, form ruled; pencil 450 x 2.85, type pencil",
    "2027-02 First song: wren 450 x 1.60, type pin; mint 450 x 1.90, type teas; balm 450 x 3.20",
    "2027-03 Rain and roots: all-weather log 450 x 3.60, type notebook, form waterproof",
    "2027-04: record book 450 x 3.00, type Notebook; hazel brush",
    "2027-05 The first swifts",
    "2027-06 Long evenings, ships 2027-07-01: moth log 450 x 2.95, type notebook",
    "2027-07 Rock pools: limpet 450 x 1.45, type pin; biscuits 450 x 12.60",
    "2027-08 Dry grass: green tea 450 x 1.85, type tea",
    "2027-09 Spider silk: orb weaver 450 x 1.65, type pin",
    "2027-10 Fungus foray: barley tea 450 x 1.80, type tea",
    name="Mossgate Field Club",
    target=Decimal(10),
    items_a_box=4,
    subscribers=420,
)
EMPTY = shop(*(f"2027-{month:02}" for month in range(1, 13)))


def lengthened(made: Shop) -> Shop:
    """The shop with every name as long as can be."""
    return replace(
        made,
        profile=(replace(made.profile[0], name=LONG),),
        boxes=tuple(replace(one, theme=LONG) for one in made.boxes),
        items=tuple(
            replace(one, name=LONG, form=LONG, type=one.type and f"{one.type} {LONG}")
            for one in made.items
        ),
    )


def many(boxes: int = 26, types: int = 20, year: int = 2027) -> Shop:
    """A year of so many boxes, with so many recurring types spread over them."""
    ids = sorted(f"{year}-{n % 12 + 1:02}{' bcdefg'[n // 12].strip()}" for n in range(boxes))
    kinds = [KINDS[n % len(KINDS)] + ("" if n < len(KINDS) else str(n)) for n in range(types)]
    items = [
        Item(f"{id}.{n}", id, f"{kind} {k}", type=kind, form="plain", unit_cost=Decimal("1.20"))
        for k, id in enumerate(ids)
        for n, kind in enumerate(kinds)
        if (7 * k + 3 * n) % 5 == 0
    ]
    made = shop(target=Decimal(6), ship_rule="every 2 weeks from 2027-01-05")
    return replace(
        made,
        boxes=tuple(Box(id, "" if n % 6 == 2 else "Rain and roots") for n, id in enumerate(ids)),
        items=tuple(items),
        types=tuple(RecurringType(f"t{n}", kind, 4) for n, kind in enumerate(kinds)),
    )


FOREIGN = replace(
    ORDINARY,
    boxes=tuple(replace(box, theme="桜の季節 & Дождь <b>🌧</b>") for box in ORDINARY.boxes),
)
SHOPS = {
    "ordinary": ORDINARY,
    "empty": EMPTY,
    "long names": lengthened(ORDINARY),
    "26 boxes, 20 types": many(),
    "26 boxes, long names": lengthened(many(26, 6)),
    "4 boxes": many(4, 3),
    "other scripts": FOREIGN,
}
YEARS: dict[str, YearView] = {name: year_view(made, 2027, TODAY) for name, made in SHOPS.items()}
YEARS["from April"] = year_view(ORDINARY, 2026, TODAY, first=4)
QUARTERS: dict[str, YearView] = {
    f"{name}, quarter {n}": quarter_of(view, n) for name, view in YEARS.items() for n in (1, 4)
}
