"""How long a year sheet takes: `python -m tests.bench sheet`.

Invented years of 12, 26 and 36 boxes with 8 recurring types, each box with its items. For each: the
facts, the picture of the year, of a quarter, and the page to print; first in a process of its own,
with everything still to be imported, then warm. Then what the memory of a process grows by while it
draws again and again.
"""

import subprocess
import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path
from statistics import median
from time import perf_counter

from assistant.planning.year.year_view import YearView, quarter_of, year_view
from assistant.sheets.quarter_sheet import quarter_picture
from assistant.sheets.year_page import year_page
from assistant.sheets.year_sheet import year_picture
from tests.sheets.years import many

TODAY = date(2026, 11, 25)
BOXES, TYPES = (12, 26, 36), 8
COLD, WARM, AGAIN = 5, 15, 100
TARGET = 500.0  # ms for a picture

FORMS: dict[str, Callable[[YearView], bytes]] = {
    "picture of the year": year_picture,
    "picture of a quarter": lambda view: quarter_picture(quarter_of(view, 2)),
    "page to print": year_page,
}


def view(boxes: int) -> YearView:
    return year_view(many(boxes, TYPES), 2027, TODAY)


def once(form: str, boxes: int) -> float:
    """Milliseconds to draw one."""
    shown = view(boxes)
    begun = perf_counter()
    FORMS[form](shown)
    return (perf_counter() - begun) * 1000


def cold(form: str, boxes: int) -> float:
    """The same in a process that has drawn nothing yet."""
    code = f"from tests.bench.bench_sheet import once; print(once({form!r}, {boxes}))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return float(done.stdout)


def resident() -> float:
    """Megabytes of this process, 0 where the system does not tell."""
    status = Path("/proc/self/status")
    lines = status.read_text().splitlines() if status.exists() else []
    sizes = dict(line.split(":") for line in lines)
    return int(sizes.get("VmRSS", "0").split()[0]) / 1024


def growth(form: str) -> tuple[float, float]:
    """Megabytes that the first drawing adds, and that many more add after it."""
    shown, before = view(12), resident()
    FORMS[form](shown)
    first = resident()
    for _ in range(AGAIN):
        FORMS[form](shown)
    return first - before, resident() - first


def main() -> None:
    """Print the tables."""
    memory = {form: growth(form) for form in FORMS}
    print(f"{'ms, median':24}{'boxes':>8}{'cold':>10}{'warm':>10}   target {TARGET:.0f}")
    for form in FORMS:
        for boxes in BOXES:
            begun = [cold(form, boxes) for _ in range(COLD)]
            warm = [once(form, boxes) for _ in range(WARM)]
            over = "  over" if median(begun) > TARGET else ""
            print(f"{form:24}{boxes:8}{median(begun):10.0f}{median(warm):10.0f}{over}")
    for boxes in BOXES:
        shop = many(boxes, TYPES)
        times = []
        for n in range(WARM):
            begun = perf_counter()
            year_view(shop, 2027, TODAY.replace(day=n + 1))
            times.append((perf_counter() - begun) * 1000)
        print(f"{'the facts':24}{boxes:8}{'':10}{median(times):10.1f}")
    print(f"{'memory, MB':32}{'first':>10}{f'{AGAIN} more':>10}")
    for form, (first, more) in memory.items():
        print(f"{form:32}{first:10.1f}{more:10.1f}")


if __name__ == "__main__":
    main()
