"""What one box holds against what it should hold: number, cost, weight, room, the main item.

Knows: a box's items, the shop's goals, the states of the box's stages. Must not know: words, what
else could go into a box (offers.py). Invariants: every item counts as one piece a box; what is not
known is counted apart and never guessed; a box that the plan does not have is empty; what a box
lacks follows from the plan alone, and nothing here forbids anything.

Room is by volume: what is left of the mailer's volume once the items' volumes are taken out. It is
a bound, not a proof that things can be laid side by side.
"""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from msgspec.structs import replace

from assistant.planning.changes import find, profile_of
from assistant.planning.deadlines import deadline
from assistant.planning.model import Item, MarkState, Profile, Record, Shop
from assistant.planning.shipping import shipped
from assistant.planning.year.measures import Size

CUBIC_CM = 1000  # cubic millimetres in one

# What a box can lack, in the order in which it is told: see `Contents.missing`.
ITEMS = "items"  # fewer than wanted, or none
MAIN = "main"  # no item stands out
OVER_TARGET, OVER_WEIGHT, OVER_VOLUME = "over target", "over weight", "over volume"
TOO_LONG = "too long"  # an item is longer than the mailer, however it is turned
CARD, PACKAGING = "card", "packaging"  # not gone to print: also words of the box's stages
COSTS, WEIGHTS, SIZES = "costs", "weights", "sizes"  # not known of some items


class Contents(Record):
    """What a box holds and lacks.

    `items` are counted; `wanted` is the shop's number a box. Money is in the shop's currency, one
    piece of each item. `uncosted`, `unweighed` and `unsized` count the items of which no cost (in
    the shop's currency), weight or size is known; `too_long` are ids of items. `grams_left` and
    `volume_left` (cubic centimetres) are below zero where the items are too much, None where no
    mailer is known. `main` is an Item.id, "" where none stands out. `card` and `packaging` are
    states of the box's stages, "" where the table has no such stage. `missing` are the codes
    above: weights and sizes only where there is a mailer, costs only where there is a target.
    """

    items: int = 0
    wanted: int | None = None
    cost: Decimal = Decimal(0)
    uncosted: int = 0
    target: Decimal | None = None
    left: Decimal | None = None
    grams: int = 0
    unweighed: int = 0
    grams_left: int | None = None
    volume: int = 0
    unsized: int = 0
    volume_left: int | None = None
    too_long: tuple[str, ...] = ()
    main: str = ""
    card: MarkState | str = ""
    packaging: MarkState | str = ""
    missing: tuple[str, ...] = ()

    @property
    def short(self) -> int:
        """How many items the box still wants."""
        return max(0, (self.wanted or 0) - self.items)


def contents(shop: Shop, box_id: str, today: date) -> Contents:
    """Return what a box (Box.id) holds and lacks; `today` is the shop's local day."""
    profile = profile_of(shop)
    inside = [item for item in shop.items if item.box == box_id]
    costs = [cost_of(item, profile.currency) for item in inside]
    cost = sum((one for one in costs if one is not None), Decimal(0))
    grams = sum(item.grams or 0 for item in inside)
    volume = sum(volume_of(item.mm) for item in inside if item.mm)
    room = volume_of(profile.mailer_mm) if profile.mailer_mm else None
    found = Contents(
        items=len(inside),
        wanted=profile.items_a_box,
        cost=cost,
        uncosted=costs.count(None),
        target=profile.target,
        left=None if profile.target is None else profile.target - cost,
        grams=grams,
        unweighed=sum(item.grams is None for item in inside),
        grams_left=None if profile.mailer_grams is None else profile.mailer_grams - grams,
        volume=-(-volume // CUBIC_CM),
        unsized=sum(item.mm is None for item in inside),
        volume_left=None if room is None else (room - volume) // CUBIC_CM,
        too_long=_too_long(inside, profile),
        main=next((item.id for item in inside if item.main), ""),
        card=stage_state(shop, box_id, CARD, today),
        packaging=stage_state(shop, box_id, PACKAGING, today),
    )
    return replace(found, missing=tuple(code for code, lacks in _lacks(found).items() if lacks))


def _lacks(found: Contents) -> dict[str, bool]:
    """Whether a box lacks each of the codes, in the order in which they are told."""
    return {
        ITEMS: found.short > 0 or not found.items,
        MAIN: bool(found.items) and not found.main,
        OVER_TARGET: found.left is not None and found.left < 0,
        OVER_WEIGHT: found.grams_left is not None and found.grams_left < 0,
        OVER_VOLUME: found.volume_left is not None and found.volume_left < 0,
        TOO_LONG: bool(found.too_long),
        CARD: found.card == "open",
        PACKAGING: found.packaging == "open",
        COSTS: found.target is not None and bool(found.uncosted),
        WEIGHTS: found.grams_left is not None and bool(found.unweighed),
        SIZES: found.volume_left is not None and bool(found.unsized),
    }


def cost_of(item: Item, currency: str) -> Decimal | None:
    """Return the cost of one piece in the shop's currency; None where it is not known in it."""
    return item.unit_cost if item.currency in ("", currency) else None


def volume_of(mm: Size) -> int:
    """Return the volume of a block in cubic millimetres."""
    length, width, height = mm
    return length * width * height


def fits(mm: Size, mailer: Size) -> bool:
    """Say whether a block alone goes into a mailer with its sides along the mailer's, turned any
    way: its sides in order of length are no longer than the mailer's."""
    return all(own <= room for own, room in zip(sorted(mm), sorted(mailer), strict=True))


def _too_long(inside: Sequence[Item], profile: Profile) -> tuple[str, ...]:
    mailer = profile.mailer_mm
    if mailer is None:
        return ()
    return tuple(item.id for item in inside if item.mm and not fits(item.mm, mailer))


def stage_of(shop: Shop, word: str) -> str:
    """Return the name of the box's stage that is about a word: the one of that name, else the one
    whose task says it ("send the insert card and packaging to print"); "" where there is none."""
    rules = [rule for rule in shop.house.stages if rule.per == "box"]
    named = (rule.name for rule in rules if rule.name == word)
    told = (rule.name for rule in rules if word in rule.todo.split())
    return next(named, "") or next(told, "")


def stage_state(shop: Shop, box_id: str, word: str, today: date) -> MarkState | str:
    """Return how far the box's stage about a word is; "" where there is no such stage. A box that
    is behind us, and has no deadlines any more, is what its ledger says, else done."""
    stage = stage_of(shop, word)
    if not stage:
        return ""
    key = f"{box_id}/{stage}"
    if found := deadline(shop, key, today):
        return found.state
    if mark := find(shop.ledger, key):
        return mark.state
    return "done" if find(shop.boxes, box_id) and shipped(shop, box_id, today) else "open"
