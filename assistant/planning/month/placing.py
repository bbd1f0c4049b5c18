"""How the goods of a box go into it, and what it must then weigh.

Knows: a box's items, their weights and sizes. Must not know: words of a sheet, who packs.
Invariants: every item of the box stands in the order once; a weight that is not known is named,
never guessed.

Order of placing: what is heavy first, the flatter of two first; what breaks after it; the item that
stands out last, so that it is seen first. What is of no known weight goes by its size after what
is. The words of what breaks, the order, and how far weights of one kind scatter: common practice,
no source.
"""

import re
from collections.abc import Iterable
from decimal import ROUND_CEILING, Decimal

from assistant.planning.model import Books, Item, Record, Shop
from assistant.planning.numbers.sharing import apportion
from assistant.planning.year.contents import volume_of

BREAKS = frozenset(
    {"glass", "glasses", "ceramic", "porcelain", "china", "mug", "cup", "bowl", "saucer", "plate"}
    | {"jar", "bottle", "vase", "bauble", "ornament", "tumbler", "carafe", "terracotta", "egg"}
)
SCATTER = Decimal("0.02")  # of a box's weight, by which two right ones may differ
LEAST_OFF = 2  # grams that no kitchen scale tells apart


class Piece(Record):
    """An item as it is placed: pieces a box, what they weigh together (None: not known), and how
    many boxes get each of its options."""

    item: str  # Item.id
    name: str
    units: int
    grams: int | None
    breaks: bool
    main: bool
    options: tuple[tuple[str, int], ...] = ()


class Scale(Record):
    """What a packed box weighs, in grams, as far as it is known, and how far off a box is looked
    at. `unknown` are names of items without a weight; `packaging`: that of mailer and filling is in
    it; `unseen` are items so light that one missing does not show."""

    grams: int
    off: int
    unknown: tuple[str, ...] = ()
    packaging: bool = False
    unseen: tuple[str, ...] = ()


def placed(shop: Shop, box: str, boxes: int) -> tuple[Piece, ...]:
    """Return the items of a box in the order in which they are placed; `boxes` share options."""
    inside = sorted((item for item in shop.items if item.box == box), key=_place)
    return tuple(
        Piece(
            item=item.id,
            name=item.name,
            units=item.units,
            grams=None if item.grams is None else item.grams * item.units,
            breaks=breaks(item),
            main=item.main,
            options=_options(item, boxes),
        )
        for item in inside
    )


def scale(shop: Shop, pieces: Iterable[Piece]) -> Scale:
    """Return what a box with these pieces weighs."""
    every = tuple(pieces)
    packaging = (shop.books[0] if shop.books else Books()).packaging_grams
    grams = sum(one.grams or 0 for one in every) + (packaging or 0)
    off = max(int((grams * SCATTER).to_integral_value(ROUND_CEILING)), LEAST_OFF)
    return Scale(
        grams=grams,
        off=off,
        unknown=tuple(one.name for one in every if one.grams is None),
        packaging=packaging is not None,
        unseen=tuple(
            one.name for one in every if one.grams is not None and one.grams <= off * one.units
        ),
    )


def breaks(item: Item) -> bool:
    """Whether the name or type of an item is that of what breaks."""
    words = set(re.findall(r"[a-z]+", f"{item.name} {item.type}".casefold()))
    return bool(BREAKS & (words | {word.removesuffix("s") for word in words}))


def _place(item: Item) -> tuple[bool, bool, bool, int, int, int, str]:
    grams = (item.grams or 0) * item.units
    thick, volume = (min(item.mm), volume_of(item.mm)) if item.mm else (0, 0)
    return (
        item.main,
        breaks(item),
        item.grams is None,
        -grams,
        thick if item.grams is not None else 0,
        -volume,
        item.name.casefold(),
    )


def _options(item: Item, boxes: int) -> tuple[tuple[str, int], ...]:
    shares = apportion([share for _, share in item.shares], boxes)
    return tuple((name, number) for (name, _), number in zip(item.shares, shares, strict=True))
