"""The few words and numbers that stand on a year sheet.

Knows: a year as facts. Must not know: where on a sheet a word stands, how a reply is written.
Invariants: every fact that a sheet shows is written here once, for the picture, the page and the
words alike; amounts carry their currency.
"""

from decimal import Decimal

from assistant.planning.year.year_view import NO_BOX, BoxView, Track, YearView
from assistant.scheduling.weeks import MONTHS
from assistant.sheets.writing import WEEKDAYS, full_day, money, plural, weekday_and_day

_QUARTERS = ("First quarter", "Second quarter", "Third quarter", "Fourth quarter")
NO_THEME = "No theme yet"
THEMELESS = ("no theme", NO_BOX)  # states that the line of the theme tells already
CENTS = Decimal("0.01")


def title(view: YearView) -> str:
    """Name the year or the quarter: "2027", "Dec 2026 to Nov 2027", "Second quarter 2027"."""
    if view.quarter:
        return f"{quarter(view.quarter)} {view.year}"
    if view.first == 1:
        return str(view.year)
    ends = (view.months[0], view.months[-1])
    return " to ".join(f"{MONTHS[int(id[5:]) - 1][:3]} {id[:4]}" for id in ends)


def quarter(number: int) -> str:
    """Name a quarter, 1..4."""
    return _QUARTERS[number - 1]


def month(box: BoxView) -> str:
    """Name the month of a box in short."""
    return MONTHS[box.month - 1][:3]


def nth(box: BoxView) -> str:
    """Say which box of its month it is, "" for the first: "box 2"."""
    return f"box {ord(box.id[7]) - ord('a') + 1}" if box.id[7:] else ""


def ships(box: BoxView) -> str:
    """Write the ship date of a box: "Mon 15", with its month where that is another."""
    if box.ships is None:
        return ""
    if f"{box.ships:%Y-%m}" == box.id[:7]:
        return f"{WEEKDAYS[box.ships.weekday()]} {box.ships.day}"
    return weekday_and_day(box.ships)


def theme(box: BoxView) -> str:
    """Name the theme of a box, or say that there is none."""
    return box.theme or ("No box" if box.state == NO_BOX else NO_THEME)


def state(box: BoxView) -> str:
    """Say how far a box is, "" where the line of its theme says it."""
    return "" if box.state in THEMELESS and not box.theme else box.state


def late(box: BoxView) -> str:
    """Say how much of a box is late, "" for nothing."""
    return f"{box.late} late" if box.late else ""


def items(box: BoxView) -> str:
    """Count the items of a box: "4 items", "4 of 5 items"; "" where its state says it."""
    if box.state == "no items":
        return ""
    if box.wanted:
        return f"{box.items} of {plural(box.wanted, 'item')}"
    return plural(box.items, "item") if box.items else "no items"


def cost(box: BoxView, currency: str) -> str:
    """Write what the items of a box cost against the target: "£9.30 of £11.00"; "" where neither
    is known."""
    if box.target is not None:
        return f"{money(box.cost, currency)} of {money(box.target, currency)}"
    return money(box.cost, currency) if box.items > box.uncosted else ""


def uncosted(box: BoxView) -> str:
    """Say of how many items no cost is known, "" for none; a box of which no cost and no target is
    known is not spoken of in money at all."""
    silent = box.target is None and box.uncosted == box.items
    return f"{box.uncosted} without cost" if box.uncosted and not silent else ""


def over(box: BoxView, currency: str) -> str:
    """Say by how much a box is over its target, "" where it is not."""
    if box.target is None or box.cost <= box.target:
        return ""
    return f"{money(box.cost - box.target, currency)} over"


def times(track: Track) -> str:
    """Say how often a type comes, and how often it should: "×4", "3 of 4", "×5, wished 4"."""
    if track.wanted is None or track.wanted == track.times:
        return f"\u00d7{track.times}"
    if track.times < track.wanted:
        return f"{track.times} of {track.wanted}"
    return f"\u00d7{track.times}, wished {track.wanted}"


def summary(view: YearView) -> tuple[str, str]:
    """Count the boxes and items of a sheet; write what a box costs on average, and the target."""
    boxes = [box for box in view.boxes if box.state != NO_BOX]
    counts = f"{plural(len(boxes), 'box', 'boxes')}, "
    counts += plural(sum(box.items for box in boxes), "item")
    costed = [box for box in boxes if box.items > box.uncosted]
    if not costed:
        return counts, ""
    mean = sum((box.cost for box in costed), Decimal(0)) / len(costed)
    so_far = " so far" if any(box.uncosted for box in boxes) else ""
    usual = f"{money(mean.quantize(CENTS), view.currency)} a box on average{so_far}"
    targets = {box.target for box in boxes}
    target = targets.pop() if len(targets) == 1 else None
    return counts, usual if target is None else f"{usual}, target {money(target, view.currency)}"


def as_of(view: YearView) -> str:
    """Say when a sheet was drawn."""
    return f"As of {full_day(view.on)}"
