"""What buttons say of the packing run; invariants as in the package.

A material is named in quotes, so that nothing in its name begins a new fact.
"""

from datetime import date
from decimal import Decimal

from assistant.conversation.replies.plain import plural
from assistant.conversation.sentences.rearranging import quoted


def show_packing(box: str) -> str:
    """Ask whether the packing of a box fits."""
    return f"packing for {box}"


def change_run(
    box: str,
    first: date | None = None,
    crew: int | None = None,
    hours: Decimal | None = None,
    collection: date | None = None,
) -> str:
    """Change the packing run of a box."""
    facts = [
        f"from {first}" if first else "",
        f"with {plural(crew, 'person', 'people')}" if crew else "",
        f"{hours.normalize():f} hours a day" if hours else "",
        f"collection on {collection}" if collection else "",
    ]
    return f"pack {box} {', '.join(filter(None, facts))}"


def as_planned(box: str) -> str:
    """Forget what was chosen for the packing run of a box."""
    return f"pack {box} as planned"


def no_collection(box: str) -> str:
    """Say that no collection is booked for a box."""
    return f"no collection for {box}"


def run_sheet(box: str, *, page: bool = False) -> str:
    """Ask for the run sheet of a box, or for its page."""
    return f"{'print the ' if page else ''}run sheet for {box}"


def packed(box: str, boxes: int, *, all: bool = False) -> str:
    """Say that so many boxes are packed: more, or `all` of them so far."""
    return f"{box}: {boxes} packed so far" if all else f"{box}: {boxes} more packed"


def set_material(name: str, per_box: Decimal | None = None, stock: int | None = None) -> str:
    """Tell what is known of a material."""
    each = "" if per_box is None else f"{per_box.normalize():f} a box"
    there = "" if stock is None else f"{stock} in stock"
    return f"material {quoted(name)}: {', '.join(filter(None, (each, there)))}"


def drop_material(name: str) -> str:
    """Forget a material."""
    return f"drop material {quoted(name)}"


def materials() -> str:
    """Ask for the materials."""
    return "materials"


def plan_with(boxes_an_hour: int) -> str:
    """Plan all packing with a pace."""
    return f"we pack {boxes_an_hour} an hour"


def ship_on(box: str, on: date) -> str:
    """Give a box another ship date."""
    return f"{box} ships on {on}"
