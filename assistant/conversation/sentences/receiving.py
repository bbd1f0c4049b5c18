"""What buttons say of what was ordered and came; invariants as in the package.

A sentence that ends in "now" is done at once: what does not agree in it was asked about.
"""

from collections.abc import Iterable
from datetime import date

from assistant.conversation.month_requests import (
    ItemArrived,
    ItemChecked,
    ItemDispatched,
    ItemOrdered,
    ItemPromised,
)
from assistant.conversation.replies.plain import plural
from assistant.conversation.sentences import item_name, one_line
from assistant.planning.model import Shop

_NO_COMMA = str.maketrans({",": " "})


def ordered(shop: Shop, told: ItemOrdered) -> str:
    """Say that an item was ordered, with all that was told of it."""
    price = f"at {told.price:f} {told.currency}".rstrip() if told.price is not None else ""
    pieces = (
        _pieces(told.quantity),
        price,
        _day("promised", told.promised),
        _words("ref", told.reference),
        _day("on", told.on),
    )
    return _said("ordered", shop, told.item, pieces, sure=told.sure)


def promised(shop: Shop, told: ItemPromised) -> str:
    """Say when an item is to arrive, or how much later."""
    later = f"{plural(told.days, 'day')} later" if told.promised is None else ""
    return _said(
        "promised", shop, told.item, (later, _day("promised", told.promised)), sure=told.sure
    )


def dispatched(shop: Shop, told: ItemDispatched) -> str:
    """Say that an item has left its supplier."""
    pieces = (
        _day("on", told.on),
        _day("promised", told.promised),
        _words("tracking", told.tracking),
    )
    return _said("dispatched", shop, told.item, pieces, sure=told.sure)


def arrived(shop: Shop, told: ItemArrived) -> str:
    """Say how much of an item came."""
    of = f" of {told.of}" if told.of is not None else ""
    came = f"{told.pieces}{of} came" if told.pieces is not None else ""
    pieces = (
        came,
        f"{told.missing} missing" if told.missing is not None else "",
        _damaged(told.damaged, told.note),
        _day("on", told.on),
    )
    return _said("arrived", shop, told.item, pieces, sure=told.sure)


def checked(shop: Shop, told: ItemChecked) -> str:
    """Say that what came of an item was looked through."""
    return _said("checked", shop, told.item, (_damaged(told.damaged, told.note),))


def story(shop: Shop, item_id: str) -> str:
    """Ask how far an item is."""
    return f"story of {item_name(shop, item_id)}"


def _said(verb: str, shop: Shop, item: str, pieces: Iterable[str], *, sure: bool = False) -> str:
    told = ", ".join((item_name(shop, item), *filter(None, pieces)))
    return f"{verb}: {told}{' now' if sure else ''}"


def _pieces(number: int | None) -> str:
    return plural(number, "piece").replace(",", "") if number is not None else ""


def _damaged(number: int | None, note: str) -> str:
    return f"{number} {note or 'damaged'}" if number is not None else ""


def _day(word: str, on: date | None) -> str:
    return f"{word} {on}" if on is not None else ""


def _words(word: str, said: str) -> str:
    return f"{word} {one_line(said).translate(_NO_COMMA)}" if said else ""
