"""Quotes: offers that were made for an item's goods, whether they hold, and buying by one.

Knows: offers, items, suppliers. Must not know: what a quote costs or when it would arrive
(comparing.py), words. Invariants: each supplier has one offer for the same goods, the newest; a new
price puts aside all that came with the old one; an older quote never takes the place of a newer
one; an item that is bought by a quote stays itself: its name, box, number and kind.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal

from msgspec.structs import replace

from assistant.planning.changes import find
from assistant.planning.model import Break, Change, Item, Offer, Put, Shop, Supplier
from assistant.planning.year.offers import item_of
from assistant.planning.year.recurring import plain

# What a quote tells of its price, which falls with it.
OF_A_PRICE = ("breaks", "setup", "carriage", "valid_until")


def dearer(price: Decimal | None, breaks: Iterable[Break]) -> Break | None:
    """Return the first break that costs more for each piece than a smaller number does, None where
    all of them fall or stay."""
    least = price
    for one in sorted(breaks, key=lambda one: one.quantity):
        if least is not None and one.price > least:
            return one
        least = one.price
    return None


def has_expired(offer: Offer, today: date) -> bool:
    """Say whether the last day on which an offer holds is past."""
    return offer.valid_until is not None and offer.valid_until < today


# --- kept -----------------------------------------------------------------------------------


def kept_for(shop: Shop, supplier: str, item: Item | None, name: str) -> Offer | None:
    """Return the offer that a supplier (id) has made already for an item's goods, or for goods of a
    name where there is no such item."""
    theirs = [one for one in shop.offers if one.supplier == supplier]
    if item is not None:
        return max((o for o in theirs if is_for(o, item, shop)), key=_age, default=None)
    return next((one for one in theirs if plain(one.name) == plain(name)), None)


def laid_over(kept: Offer, new: Offer) -> Offer:
    """Return an offer with all that a newer quote says of it. What is not said stays, but where
    the price is another: then all that came with the old one falls."""
    said = {f: v for f in new.__struct_fields__ if (v := getattr(new, f)) not in (None, "", ())}
    for field in ("id", "name"):
        said.pop(field, None)
    if new.price is None:
        return replace(kept, **said)
    fallen = {field: getattr(Offer("", "", ""), field) for field in OF_A_PRICE}
    return replace(kept, **(fallen | said | {"currency": new.currency}))


def is_for(offer: Offer, item: Item, shop: Shop) -> bool:
    """Say whether an offer is for an item's goods: by its name, or because the quote says so."""
    asked = find(shop.items, offer.item) if offer.item else None
    names = {plain(offer.name), plain(asked.name) if asked else plain(offer.name)}
    return offer.item == item.id or plain(item.name) in names


def _age(offer: Offer) -> tuple[date, str]:
    return offer.quoted or date.min, offer.id


def quotes_for(shop: Shop, item: Item, suppliers: Sequence[str] = ()) -> tuple[Offer, ...]:
    """Return the offers for an item's goods, the newest of each supplier; of `suppliers` (ids)
    where they are named. Goods are the same by their name, or because the quote says so. The
    item's own terms stand for its supplier where that has made no newer offer."""
    theirs = [o for o in shop.offers if not suppliers or o.supplier in suppliers]
    newest = {o.supplier: o for o in sorted(theirs, key=_age) if is_for(o, item, shop)}
    own = item.supplier
    if own and (not suppliers or own in suppliers):
        newest = {own: newest.get(own, as_offer(item))} | newest
        newest[own] = _as_planned(newest[own], item)
    places = {id: place for place, id in enumerate(suppliers)}
    return tuple(sorted(newest.values(), key=lambda one: places.get(one.supplier, 0)))


def _as_planned(offer: Offer, item: Item) -> Offer:
    """The offer by which an item is bought, with what was told of the item since."""
    if item.quoted is None or offer.quoted != item.quoted:
        return offer
    own = as_offer(item)
    terms = ("price", "currency", "minimum", "case_pack", "breaks", "setup", "lead")
    return replace(offer, **{field: getattr(own, field) for field in terms})


def as_offer(item: Item) -> Offer:
    """Return the terms that the plan has for an item, as an offer without an id."""
    return Offer(
        id="",
        supplier=item.supplier,
        name=item.name,
        type=item.type,
        price=item.unit_cost,
        currency=item.currency,
        minimum=item.minimum,
        case_pack=item.case_pack,
        quoted=item.quoted,
        lead=item.lead,
        grams=item.grams,
        mm=item.mm,
        made_in=item.made_in,
        breaks=item.breaks,
        setup=item.setup,
        item=item.id,
    )


# --- buying by a quote ----------------------------------------------------------------------


def take(shop: Shop, item: Item, offer: Offer) -> tuple[Change, ...]:
    """Return the changes that make the plan buy an item by an offer.

    The item keeps what is hers: name, box, number, kind; what the goods weigh where the offer does
    not say. Carriage and transit that a quote names are the supplier's from then on.
    """
    supplier = find(shop.suppliers, offer.supplier)
    changes: list[Change] = []
    if supplier is not None and (told := _told(supplier, offer)) != supplier:
        changes.append(Put(told))
    new = bought_by(item, offer)
    return (*changes, *((Put(new),) if new != item else ()))


def _told(supplier: Supplier, offer: Offer) -> Supplier:
    """A supplier with the transit and the carriage that its offer names; carriage only where it is
    in the supplier's own currency."""
    if offer.transit_days is not None:
        supplier = replace(supplier, transit_days=offer.transit_days)
    if offer.carriage is not None and offer.currency == supplier.currency:
        supplier = replace(supplier, carriage=offer.carriage)
    return supplier


def bought_by(item: Item, offer: Offer) -> Item:
    """Return an item as it is when it is bought by an offer."""
    same = offer.supplier == item.supplier
    return replace(
        item_of(offer, item),
        name=item.name,
        type=item.type or offer.type,
        lead=offer.lead or (item.lead if same else None),
        made_in=offer.made_in or (item.made_in if same else ""),
        grams=offer.grams or item.grams,
        mm=offer.mm or item.mm,
    )
