"""Packing materials: noted, counted, dropped, shown against the boxes to come.

Knows: which records a request changes and when it must be refused. Must not know: what is enough
(month/materials). Invariants: what is left when it is counted holds from that moment; pieces
that came add to what is left then; every reply to a change shows how far the material goes.
"""

from decimal import Decimal

from msgspec.structs import replace

from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.outcomes import answer, changed
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.month_requests import DropMaterial, SetMaterial, ShowMaterials
from assistant.conversation.replies import materials as say
from assistant.conversation.sentences import packing as says
from assistant.planning.changes import apply, find
from assistant.planning.model import Material, Put, Remove, Shop
from assistant.planning.month.materials import left_of, supplies

MOST_A_BOX = Decimal(1000)
MOST_STOCK = 10_000_000


def set_material(shop: Shop, request: SetMaterial, asked: Asked) -> Outcome:
    """Note what a box takes of a material, or how many pieces there are."""
    if request.per_box is not None and not 0 < request.per_box <= MOST_A_BOX:
        return answer(asked, (say.odd(request.per_box),))
    pieces = max(request.stock or 0, request.more or 0)
    if pieces > MOST_STOCK or min(request.stock or 0, request.more or 0) < 0:
        return answer(asked, (say.too_many(request.stock or request.more or 0),))
    id = request.name.casefold()
    old = find(shop.materials, id)
    new = _told(shop, old or Material(id, request.name), request, asked)
    if new == old:
        return answer(asked, (say.stands(new),), (_all(),), stands=True)
    after = apply(shop, (Put(new),))
    supply = next(one for one in supplies(after, asked.today) if one.material.id == id)
    first = say.noted(new, old, request.more)
    guessed = old is None and request.per_box is None
    lines = (first, say.a_box(new) if guessed else "", say.line(supply, asked.today))
    return changed(shop, asked, (Put(new),), lines, (_all(),), brief=(first,))


def _told(shop: Shop, known: Material, request: SetMaterial, asked: Asked) -> Material:
    """A material with what was told of it."""
    if request.per_box is not None:
        known = replace(known, per_box=request.per_box)
    if request.more is not None:
        left = left_of(known, shop.runs) or Decimal(0)
        return replace(known, stock=int(left) + request.more, counted=asked.moment.now)
    if request.stock is None or request.stock == left_of(known, shop.runs):
        return known
    return replace(known, stock=request.stock, counted=asked.moment.now)


def drop_material(shop: Shop, request: DropMaterial, asked: Asked) -> Outcome:
    """Forget a material."""
    known = find(shop.materials, request.name.casefold())
    if known is None:
        return answer(asked, (say.unknown(request.name),), (_all(),))
    gone = (Remove("materials", known.id),)
    return changed(shop, asked, gone, (say.dropped(known.name),), (_all(),))


def show(shop: Shop, _: ShowMaterials, asked: Asked) -> Outcome:
    """Show every material against the next boxes."""
    found = supplies(shop, asked.today)
    if not found:
        return answer(asked, (say.NONE,))
    return answer(asked, say.lines(found, asked.today), title=say.TITLE)


def _all() -> Button:
    return Button("Materials", says.materials())


HANDLERS: dict[type, Handler] = {
    SetMaterial: set_material,
    DropMaterial: drop_material,
    ShowMaterials: show,
}
WRITES: frozenset[type] = frozenset({SetMaterial, DropMaterial})
