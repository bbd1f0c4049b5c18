"""Suppliers by the names people give them.

Knows: a shop's suppliers. Must not know: requests, sentences. Invariants: names are compared
without case and extra spaces; a name that is only nearly another's is never taken for it.
"""

from assistant.conversation.handle.asked import Asked
from assistant.conversation.handle.outcomes import fresh_id
from assistant.planning.changes import find
from assistant.planning.model import Change, Put, Shop, Supplier

FIRST_WORD = 5  # letters of a name's first word by which alone it is known
NEARLY = 85  # of 100: how alike two names are before it is pointed out


def supplier_called(shop: Shop, name: str) -> Supplier | None:
    """Return the supplier of exactly this name, whatever its case."""
    wanted = _plain(name)
    return next((one for one in shop.suppliers if _plain(one.name) == wanted), None)


def supplier_name(shop: Shop, id: str) -> str:
    """Return a supplier's name, "" for none."""
    supplier = find(shop.suppliers, id) if id else None
    return supplier.name if supplier else ""


def supplier_in(shop: Shop, text: str) -> Supplier | None:
    """Return the one supplier whose name stands in a text, or the first word of whose name does
    where no whole name stands there."""
    said = f" {_plain(text)} "
    whole = [one for one in shop.suppliers if f" {_plain(one.name)} " in said]
    first = [one for one in shop.suppliers if _first(one) and f" {_first(one)} " in said]
    longest = sorted(whole, key=lambda one: -len(one.name))[:1]
    found = longest or (first if len(first) == 1 else [])
    return found[0] if found else None


def _first(supplier: Supplier) -> str:
    """The first word of a supplier's name, "" where it is too short to name it."""
    word = _plain(supplier.name).partition(" ")[0]
    return word if len(word) >= FIRST_WORD else ""


def nearly(shop: Shop, name: str) -> Supplier | None:
    """Return the supplier whose name is most like `name` without being it."""
    from rapidfuzz import fuzz  # only a new name asks

    wanted = _plain(name)
    alike = [(fuzz.ratio(wanted, _plain(one.name)), one) for one in shop.suppliers]
    score, best = max(alike, key=lambda pair: pair[0], default=(0.0, None))
    return best if best and score >= NEARLY and _plain(best.name) != wanted else None


def new_supplier(shop: Shop, asked: Asked, name: str, made_in: str = "") -> Supplier:
    """Return a supplier of this name that is not kept yet. Where "made in" was said, it is taken
    for the supplier's country."""
    country, _, subdivision = made_in.partition("/")
    name = " ".join(name.split())
    return Supplier(id=fresh_id(shop, asked), name=name, country=country, subdivision=subdivision)


def add_supplier(
    shop: Shop, asked: Asked, name: str, made_in: str = ""
) -> tuple[tuple[Change, ...], str]:
    """Return the changes that make a supplier known (none if it is) and its id, "" for no name."""
    if not name:
        return (), ""
    if supplier := supplier_called(shop, name):
        return (), supplier.id
    supplier = new_supplier(shop, asked, name, made_in)
    return (Put(supplier),), supplier.id


def _plain(name: str) -> str:
    return " ".join(name.casefold().split())
