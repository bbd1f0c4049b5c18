"""What is said of packing materials.

Knows: materials against the boxes to come. Must not know: which request it was. Invariants: what is
short says for which box and by when; nothing is said to be enough that was never counted; no
supplier and no price is named.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal

from assistant.conversation.replies.plain import box_name, day, plural, short
from assistant.planning.model import Material
from assistant.planning.month.materials import Supply, Use
from assistant.sheets.run_words import number

TITLE = "Packing materials"
SHOWN = 8  # lines
NAME = 30  # characters
EXAMPLE = "mailers: 1 a box, 620 in stock"
NONE = f"No packing material is noted yet. For example: {EXAMPLE}"


def line(one: Supply, today: date) -> str:
    """Write one material: what is left, and how far it goes."""
    name, box = short(one.material.name, NAME), one.uses[0] if one.uses else None
    if one.left is None:
        need = f", {number(box.need)} needed for {box_name(box.box, today)}" if box else ""
        return f"{name}: not counted{need}"
    left = f"{name}: {number(one.left)} left"
    if one.short is not None:
        return f"{left}, {_short(one.short, today)}"
    if one.lasts is None or not one.uses:
        return left
    last = box_name(one.uses[-1].box, today)
    return f"{left}, enough for {plural(one.lasts, 'box', 'boxes')} ({_until(one, last)})"


def _until(one: Supply, last: str) -> str:
    return last if len(one.uses) == 1 else f"until {last}"


def _short(use: Use, today: date) -> str:
    by = f", needed by {day(use.by, today)}" if use.by else ""
    return f"{number(use.short)} short for {box_name(use.box, today)}{by}"


def lines(found: Sequence[Supply], today: date) -> Iterable[str]:
    """Write all materials, those that run short first."""
    yield from (line(one, today) for one in found[:SHOWN])
    if len(found) > SHOWN:
        yield f"and {len(found) - SHOWN} more that last longer"


def noted(new: Material, old: Material | None, more: int | None) -> str:
    """Acknowledge what was told of a material."""
    facts = []
    if old is None or new.per_box != old.per_box:
        facts.append(f"{new.per_box.normalize():f} a box")
    if new.stock is not None and more is not None:
        facts.append(f"{more:,} more, {new.stock:,} in stock")
    elif new.stock is not None and (
        old is None or (new.stock, new.counted) != (old.stock, old.counted)
    ):
        facts.append(f"{new.stock:,} in stock")
    return f"{short(new.name, NAME)}: {', '.join(facts)}."


def stands(known: Material) -> str:
    """What was told is known."""
    return f"{short(known.name, NAME)}: noted so already."


def a_box(known: Material) -> str:
    """Say what is reckoned with where nothing was told."""
    return f"I reckon 1 a box. If it is another number: {known.name} 2 a box"


def dropped(name: str) -> str:
    """Acknowledge that a material is gone."""
    return f"{short(name, NAME)} is no packing material any more."


def unknown(name: str) -> str:
    """A material that is not kept."""
    return f'I know no packing material "{short(name, NAME)}". To see those that I know: materials'


def odd(per_box: Decimal) -> str:
    """Refuse a number for each box that cannot be meant."""
    return f"I read {per_box.normalize():f} a box, but that cannot be meant. For example: {EXAMPLE}"


def too_many(stock: int) -> str:
    """Refuse a stock that cannot be meant."""
    return f"I read {stock:,} in stock, but that cannot be meant. For example: {EXAMPLE}"
