"""What owners hear beside deadlines on a morning: boxes that cannot ship complete.

Knows: boxes at risk, what a person's mornings told. Must not know: how it is written or sent, on
which morning a digest is due (nudges.py). Invariants: a box is told on the first morning on which
the numbers show it, and again when its day or the worst of its items is another one; helpers are
told of what they do, not of this.
"""

from datetime import date

from msgspec.structs import replace

from assistant.planning.changes import find
from assistant.planning.model import Morning, Person, Shop
from assistant.planning.month.risks import AtRisk, at_risk


def news(shop: Shop, person: Person, day: date) -> tuple[AtRisk, ...]:
    """Return the boxes at risk that a person was not told of yet, by their ship day."""
    if person.role != "owner":
        return ()
    morning = find(shop.mornings, person.id)
    known = frozenset(morning.told if morning else ())
    return tuple(one for one in at_risk(shop, day) if _key(one) not in known)


def with_news(morning: Morning, found: tuple[AtRisk, ...]) -> Morning:
    """Return what a morning told once these boxes are told with it."""
    return replace(morning, told=tuple(dict.fromkeys((*morning.told, *map(_key, found)))))


def _key(found: AtRisk) -> tuple[str, date]:
    worst = found.risks[0].item if found.risks else ""
    return f"{found.box}/risk/{worst}", found.ship
