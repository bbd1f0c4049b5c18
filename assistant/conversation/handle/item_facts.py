"""What an item is once facts of it were told, and what cannot be taken as it was told.

Knows: an item's fields, the currencies in which a supplier is paid. Must not know: which box may
change (plan.py), how a sentence is written. Invariants: a fact that was not said stays; 0 takes a
number back; a price in doubt of its currency, or a larger order that would cost more apiece,
changes nothing.
"""

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from msgspec.structs import replace

from assistant.conversation import sentences
from assistant.conversation.handle.asked import Asked
from assistant.conversation.handle.outcomes import about, answer
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.replies import item_facts as say
from assistant.conversation.replies.plain import box_name
from assistant.conversation.requests import ItemFacts
from assistant.planning.changes import find, profile_of
from assistant.planning.model import Break, Item, Shop
from assistant.planning.numbers.buying import dear_break
from assistant.planning.numbers.lots import same_goods
from assistant.planning.shipping import is_ordered, shipped

TAKEN_BACK = ("quantity", "minimum", "case_pack", "setup", "stock")  # by 0
KEPT = (
    *("unit_cost", "lead", "made_in", "type", "form", "grams", "mm", "main"),
    *("units", "damage", "keeps_days"),
)
OWN = ("name", "supplier", "quantity", "type", "form", "main", "units", "shares", "stock")
ORDERED = ("minimum", "case_pack", "breaks", "units", "shares", "stock", "damage")


def with_facts(shop: Shop, item: Item, said: ItemFacts, supplier: str) -> Item:
    """Return the item with what was said; the shop's own currency is not written down."""
    fields: dict[str, Any] = {"name": " ".join(said.name.split()), "supplier": supplier}
    fields |= {field: getattr(said, field) for field in KEPT}
    new = {field: value for field, value in fields.items() if value not in (None, "")}
    for field in TAKEN_BACK:
        if (number := getattr(said, field)) is not None:
            new[field] = number or None
    if said.breaks:
        new["breaks"] = _breaks(item.breaks, said.breaks)
    if said.shares:
        new["shares"] = said.shares if len(said.shares) > 1 else ()
    if said.currency:
        new["currency"] = "" if said.currency == profile_of(shop).currency else said.currency
    return replace(item, **new)


def _breaks(old: Iterable[Break], said: Iterable[Break]) -> tuple[Break, ...]:
    """The breaks with those that were said in their places; one from 0 pieces takes all back."""
    told = {one.quantity: one for one in said}
    kept = {} if 0 in told else {one.quantity: one for one in old}
    return tuple(one for number, one in sorted((kept | told).items()) if number)


def touches_order(said: ItemFacts) -> bool:
    """Say whether facts change how many pieces are to be ordered."""
    return said.quantity == 0 or any(getattr(said, field) not in (None, ()) for field in ORDERED)


def costs_more(old: Item, new: Item, currency: str, asked: Asked) -> Outcome | None:
    """Refuse a price break at which each piece would cost more than before it."""
    found = dear_break(new)
    if found is None or found == dear_break(old):
        return None
    from_, fewer = found
    lines = (say.costs_more(new.name, from_, fewer, new.currency or currency),)
    return answer(asked, lines, talk=about(asked, item=old.id or None, box=new.box))


def currencies(shop: Shop, item: Item, said: ItemFacts, supplier: str) -> tuple[str, ...]:
    """Return the currencies that a price may be in, the shop's first; () where there is no doubt:
    no price was said, its currency was, the item's own is known, or the supplier has but one."""
    priced = said.unit_cost is not None or said.setup is not None or any(said.breaks)
    known = item.unit_cost is not None and supplier in ("", item.supplier)
    supplier = supplier or item.supplier
    if not priced or said.currency or known or not supplier:
        return ()
    seller, own = find(shop.suppliers, supplier), profile_of(shop).currency
    used = {one.currency for one in shop.items if one.supplier == supplier and one.unit_cost}
    used |= {one.currency for one in shop.offers if one.supplier == supplier and one.price}
    used |= {seller.currency} if seller else set()
    foreign = used - {"", own}
    return (own, *sorted(foreign)) if foreign else ()


def ask_currency(
    name: str, said: ItemFacts, found: Iterable[tuple[str, str]], asked: Asked, box: str
) -> Outcome:
    """Ask in which currency a price is; `found` are the currencies, each with its sentence."""
    choices = tuple(found)
    prices = (said.unit_cost, *(one.price for one in said.breaks), said.setup)
    price = next((one for one in prices if one), Decimal(0))
    buttons = [Button(say.price(price, code), says) for code, says in choices]
    lines = (say.which_currency(name, price, [code for code, _ in choices]),)
    talk = replace(about(asked, box=box), options=tuple(says for _, says in choices))
    return answer(asked, lines, buttons, talk=talk)


def same_for_another(shop: Shop, item: Item, said: ItemFacts, asked: Asked) -> tuple[Button, ...]:
    """Offer the facts of how goods are sold for the next box that has the same goods of the same
    supplier, as far as they differ there."""
    facts = replace(said, **{field: getattr(ItemFacts(), field) for field in OWN})
    for other in sorted(shop.items, key=lambda one: (one.box, one.name)):
        if other.id == item.id or not same_goods(other, item):
            continue
        if shipped(shop, other.box, asked.today) or is_ordered(shop, other, asked.today):
            continue
        if with_facts(shop, other, facts, "") != other:
            label = f"Same for {box_name(other.box, asked.today)}"
            return (Button(label, sentences.change_item(shop, other.id, facts)),)
    return ()
