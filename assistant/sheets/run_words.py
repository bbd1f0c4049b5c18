"""The facts of a run sheet, written once.

Knows: a packing run, the goods of its box, what to check, materials. Must not know: where on a page
a word stands, what was asked in a chat. Invariants: dates carry their weekday; what is not known is
said, never left blank; blanks are only where people write.
"""

from collections.abc import Callable, Iterable
from datetime import date
from decimal import Decimal

from assistant.planning.changes import find, profile_of
from assistant.planning.model import Record, Shop
from assistant.planning.month.cautions import in_box
from assistant.planning.month.materials import supplies
from assistant.planning.month.pace import line, work_of
from assistant.planning.month.packing import Packing
from assistant.planning.month.placing import Piece, Scale, placed, scale
from assistant.scheduling.weeks import MONTHS
from assistant.sheets.writing import full_day, plural, weekday_and_day

TITLE = "Run sheet"
RULE = "Heavy and flat first, then what breaks; what stands out goes on top."
FIRST_BOX = "Pack one box, photograph it open from above, weigh it, and keep it beside the table."
COLUMNS = ("No", "Item", "In a box", "Weight")
MOST_HANDS_TOLD = 99


class Row(Record):
    """One item as it is placed; `details` are options and care."""

    number: str
    name: str
    details: tuple[str, ...]
    pieces: str
    weight: str


class Facts(Record):
    """A whole run sheet as it is written; `facts` are (label, value), `days` are (day, hands,
    boxes) of those still to come."""

    shop: str
    box: str
    facts: tuple[tuple[str, str], ...]
    rows: tuple[Row, ...]
    weight: tuple[str, ...]
    checks: tuple[str, ...]
    materials: tuple[str, ...]
    days: tuple[tuple[str, str, str], ...]


def facts(shop: Shop, run: Packing, today: date) -> Facts:
    """Write down what stands on the run sheet of a box."""
    pieces = placed(shop, run.box, run.boxes)
    box = find(shop.boxes, run.box)
    theme = f": {box.theme}" if box and box.theme else ""
    return Facts(
        shop=profile_of(shop).name,
        box=f"{month(run.box)}{theme}",
        facts=tuple(_facts(run)),
        rows=tuple(_row(number, one) for number, one in enumerate(pieces, 1)),
        weight=tuple(weight(scale(shop, pieces))),
        checks=tuple(checks(shop, run.box, today)),
        materials=tuple(materials(shop, run.box, today)),
        days=tuple(_days(run)),
    )


def month(box: str) -> str:
    """Name a box with its year: "March 2027"."""
    second = ", second box" if box.endswith("b") else ""
    return f"{MONTHS[int(box[5:7]) - 1]} {box[:4]}{second}"


def _facts(run: Packing) -> Iterable[tuple[str, str]]:
    yield "Boxes", f"{run.boxes:,}, {'counted' if run.counted else 'as expected'}"
    if run.packed:
        yield "Packed", f"{run.packed:,}"
    yield "Days", spell(run, full_day) + ("" if run.fits else ": too late")
    yield "Hands", f"{plural(run.crew, 'person', 'people')}, {hours(run.hours)} a day"
    yield "Pace", f"{run.a_day:,} boxes a day, one every {every(run)}"
    if run.collection:
        yield "Collection", full_day(run.collection)
    elif run.ships:
        yield "Ships", f"{full_day(run.ships)}, collection not booked"


def spell(run: Packing, write: Callable[[date], str]) -> str:
    """Write the days of a run: "Thu 11 Mar to Fri 12 Mar"."""
    if not run.days:
        return "all packed" if not run.left else "not known"
    first, last = (write(run.days[place].on) for place in (0, -1))
    return first if first == last else f"{first} to {last}"


def hours(number: Decimal) -> str:
    """Write hours: "1 hour", "7.5 hours"."""
    return f"{number.normalize():f} hour{'' if number == 1 else 's'}"


def every(run: Packing) -> str:
    """Write how long it is from one box to the next: "60 seconds", "2 minutes"."""
    hands = min(max(run.crew, 1), MOST_HANDS_TOLD)
    at_table = line(float(run.pace.boxes * hands), 1.0, work_of(run.pace.boxes))
    whole = max(round(at_table.seconds), 1)
    if whole < 2 * 60:
        return plural(whole, "second")
    return plural(round(whole / 60), "minute")


def _row(number: int, one: Piece) -> Row:
    options = ", ".join(f"{name} {boxes:,}" for name, boxes in one.options)
    care = "breaks: cushion it" if one.breaks else ""
    return Row(
        number=str(number),
        name=one.name,
        details=tuple(filter(None, (options, care, "on top" if one.main else ""))),
        pieces=str(one.units),
        weight="?" if one.grams is None else f"{one.grams:,} g",
    )


def weight(known: Scale) -> Iterable[str]:
    """Say what a box weighs, when one is to be looked at, and what does not show."""
    without = ([] if known.packaging else ["the packaging"]) + list(known.unknown)
    if not known.grams:
        yield "No weight is known: weigh the first box and go by that."
        return
    if without:
        yield f"{known.grams:,} g without {', '.join(without)}: go by the first box."
    else:
        yield f"{known.grams:,} g."
    yield f"Open a box that is more than {known.off:,} g off."
    if known.unseen:
        yield f"Too light to show on the scale, so count: {', '.join(known.unseen)}."


def checks(shop: Shop, box: str, today: date) -> Iterable[str]:
    """Say what is to be checked before goods that carry duties are packed."""
    for one in in_box(shop, box, "pack", today):
        if one.check:
            yield f"{', '.join(item.name for item in one.items)}: {one.check}"


def materials(shop: Shop, box: str, today: date) -> Iterable[str]:
    """Say what a run needs of each material, and what is short."""
    for supply in supplies(shop, today):
        use = next((one for one in supply.uses if one.box == box), None)
        if use is None:
            continue
        short = f", {use.short:,f} short" if use.short else ""
        there = "not counted" if supply.left is None else f"{number(supply.left)} there"
        yield f"{supply.material.name}: {number(use.need)} needed, {there}{short}"


def number(value: Decimal) -> str:
    """Write a number of pieces, with a fraction only where it has one: "431", "8.6"."""
    return f"{round(value, 1).normalize():,f}"


def _days(run: Packing) -> Iterable[tuple[str, str, str]]:
    left = Decimal(run.left)
    for day in run.days:
        yield weekday_and_day(day.on), str(day.hands), f"{int(min(day.boxes, left)):,}"
        left = max(left - day.boxes, Decimal(0))


def text(written: Facts) -> str:
    """Return a run sheet as plain text: every fact that is on the page."""
    return "\n".join(
        (
            f"{TITLE}: {written.box}",
            *(f"{label}: {value}" for label, value in written.facts),
            "",
            f"Order of placing. {RULE}",
            *(_as_text(row) for row in written.rows),
            "",
            "Weight of a box:",
            *written.weight,
            FIRST_BOX,
            *(("", "Check:", *written.checks) if written.checks else ()),
            *(("", "Materials:", *written.materials) if written.materials else ()),
        )
    )


def _as_text(row: Row) -> str:
    more = f" ({'; '.join(row.details)})" if row.details else ""
    return f"{row.number}. {row.name}, {row.pieces} a box, {row.weight}{more}"
