"""The ways out for a late item that take other goods: an offer or an idea in its place, or what is
lacking of it from another supplier.

Knows: offers and ideas that are kept, suppliers. Must not know: which way is best and what it costs
(rescue.py), words. Invariants: those of ways.py; an offer that is over is not taken; an item that
is ordered is not thrown away where a later box can have it.
"""

from collections.abc import Iterator

from msgspec.structs import replace

from assistant.planning.chains import outlook
from assistant.planning.changes import find
from assistant.planning.model import Change, Item, Mark, Offer, Put
from assistant.planning.month.risks import lacking
from assistant.planning.month.ways import Case, How, Way
from assistant.planning.month.ways_out import move
from assistant.planning.numbers.buying import buy
from assistant.planning.year import rearranging
from assistant.planning.year.offers import Suggestion, item_of, shared, suggestions, words_in
from assistant.planning.year.recurring import plain

SOURCE = "source"  # the stage that taking an offer settles
NAME = 60  # characters of an idea that make the name of an item


def offers(case: Case, other: str) -> Iterator[Way]:
    """Taking what a supplier offers in place of the item; the same kind of thing first, then what
    suits the theme."""
    if case.came:
        return
    for offer in _candidates(case, other):
        new = item_of(offer, Item(f"{case.ref}.1", case.item.box, "", units=case.item.units))
        new = replace(new, form=case.item.form, main=case.item.main)
        if not case.holds(new.box, new.name) and (
            way := _instead(case, "offer", new, offer.id, Put(Mark(f"{new.id}/{SOURCE}", "done")))
        ):
            yield way


def _candidates(case: Case, other: str) -> list[Offer]:
    held = [one for one in case.shop.offers if other in ("", one.id) and not _is_over(case, one)]
    alike = [one for one in held if _alike(one, case.item)]
    suited = {one.id: place for place, one in enumerate(_suggested(case)) if one.source == "offer"}
    rest = [one for one in held if one not in alike and (one.id in suited or one.id == other)]
    return [*alike, *sorted(rest, key=lambda one: suited.get(one.id, 0))]


def _suggested(case: Case) -> tuple[Suggestion, ...]:
    """What could go into the box without the item."""
    rest = tuple(item for item in case.shop.items if item.id != case.item.id)
    return suggestions(replace(case.shop, items=rest), case.item.box, case.today)


def _alike(offer: Offer, item: Item) -> bool:
    """Whether an offer, of another supplier, is of an item's kind."""
    if offer.supplier == item.supplier:
        return False
    same_type = bool(item.type) and plain(offer.type) == plain(item.type)
    return same_type or bool(shared(words_in(item.name), offer.name))


def _is_over(case: Case, offer: Offer) -> bool:
    return offer.valid_until is not None and offer.valid_until < case.today


def ideas(case: Case, other: str) -> Iterator[Way]:
    """Taking an idea that waits in place of the item; what it needs is not known."""
    if case.came:
        return
    for one in _suggested(case):
        idea = find(case.shop.ideas, one.id) if one.source == "idea" else None
        if idea is None or other not in ("", idea.id):
            continue
        name = shorten(idea.text)
        new = Item(f"{case.ref}.1", case.item.box, name, main=case.item.main)
        used = Put(replace(idea, state="used", box=case.item.box))
        if not case.holds(new.box, name) and (way := _instead(case, "idea", new, idea.id, used)):
            yield replace(way, missing=("price", "lead time"))


def shorten(text: str) -> str:
    """Return the text of an idea as the name of an item."""
    words = " ".join(text.split()).rstrip(".")
    return words if len(words) <= NAME else words[:NAME].rpartition(" ")[0]


def _instead(case: Case, how: How, new: Item, other: str, *more: Change) -> Way | None:
    """The way of taking a new item in place of this one, which goes into the next box in which it
    can be if it is ordered, and else out of the plan."""
    away = next((way.changes for way in move(case, "")), ()) if case.bought else ()
    gone = away or rearranging.drop(case.shop, (case.item.id,))
    alone = replace(case.shop, boxes=(case.box,), items=(new,))
    seen = outlook(alone, new, case.today)
    way = case.way(how, (*gone, Put(new), *more), other=other, name=new.name)
    if way is None or seen is None:
        return None
    return replace(way, in_hand=seen.expected)


def part(case: Case, other: str) -> Iterator[Way]:
    """Buying what is lacking of an item that came in part elsewhere: an item of its own, of which
    no piece goes into every box; its pieces are stock of the one that lacks them."""
    number = lacking(case.shop, case.item, case.today, coming=not case.came)
    if case.risk is None or not number:
        return
    for offer in case.shop.offers:
        if other not in ("", offer.id) or _is_over(case, offer) or not _alike(offer, case.item):
            continue
        pieces = buy(number, case=offer.case_pack, minimum=offer.minimum, price=offer.price).order
        seller = find(case.shop.suppliers, offer.supplier)
        name = f"{offer.name} ({seller.name})" if seller else offer.name
        new = item_of(offer, Item(f"{case.ref}.1", case.item.box, ""))
        new = replace(new, name=name, quantity=pieces, units=0)
        helped = replace(case.item, stock=(case.item.stock or 0) + number)
        way = case.way("part", (Put(new), Put(helped)), other=offer.id, name=name, pieces=pieces)
        if way is not None:
            yield way
