"""How long each file to take away takes, and how much memory: `python -m tests.bench files`.

The made-up shop of bench_orders, 36 boxes of 8 items. Each file is made in a process of its own,
with everything still to be imported and the plan's dates unknown, then again warm; the memory is
the most that the process of the first held. A file is one function in FILES: from a shop to bytes.
"""

import subprocess
import sys
from collections.abc import Callable
from resource import RUSAGE_SELF, getrusage
from statistics import median
from time import perf_counter

from assistant.planning.bringing_in import plan as brought_in
from assistant.planning.model import Shop
from tests.bench.bench_orders import shop_with_books
from tests.bench.bench_plan import NOW, TODAY, WREN

COLD, WARM = 3, 5
MOST_MB = 150


def workbook(made: Shop) -> bytes:
    """The plan as a workbook."""
    from assistant.sheets.blocks import A4
    from assistant.sheets.workbook import workbook as written
    from assistant.sheets.workbook_tables import tables

    return written(tables(made, TODAY), TODAY, A4)


def items_csv(made: Shop) -> bytes:
    """The items as CSV."""
    from assistant.sheets.csv_out import csv_out
    from assistant.sheets.workbook_tables import table

    return csv_out(table(made, "items", TODAY))


def workbook_back(made: Shop) -> bytes:
    """A workbook written and brought in again."""
    from assistant.sheets.survey import read_table
    from assistant.sheets.year_table import ReadYear

    content = workbook(made)
    read = read_table(content, "workbook.xlsx")
    assert isinstance(read, ReadYear)
    assert not brought_in(made, read.rows, TODAY, "r").changes
    return content


def calendar(made: Shop) -> bytes:
    """The calendar as a file, all of it issued for the first time."""
    from assistant.sheets.calendar_file import calendar_file

    return calendar_file(made, WREN, TODAY, NOW, "seed").content


def pages(made: Shop) -> bytes:
    """The web pages of all its years, one after the other."""
    from assistant.planning.year.year_view import year_view
    from assistant.sheets.year_html import year_html

    years = sorted({int(box.id[:4]) for box in made.boxes})
    return b"".join(year_html(made, year_view(made, year, TODAY)) for year in years)


# File -> (how it is made, the most that it may take the first time, ms).
FILES: dict[str, tuple[Callable[[Shop], bytes], float]] = {
    "workbook": (workbook, 2000.0),
    "items as csv": (items_csv, 1000.0),
    "workbook, and back": (workbook_back, 2000.0),
    "calendar": (calendar, 1000.0),
    "web pages": (pages, 1000.0),
}


def once(name: str) -> tuple[float, int, float]:
    """Milliseconds to make a file, its bytes, and the megabytes that the process held at most."""
    made = shop_with_books()
    begun = perf_counter()
    content = FILES[name][0](made)
    took = (perf_counter() - begun) * 1000
    return took, len(content), getrusage(RUSAGE_SELF).ru_maxrss / 1024


def cold(name: str) -> tuple[float, int, float]:
    """The same in a process that has made nothing yet."""
    code = f"from tests.bench.bench_files import once; print(*once({name!r}))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    took, size, held = done.stdout.split()
    return float(took), int(size), float(held)


def main() -> None:
    """Print the table."""
    print(f"{'file':24}{'first, ms':>12}{'at most':>10}{'again, ms':>12}{'kB':>8}{'MB held':>10}")
    for name, (_, most) in FILES.items():
        first = [cold(name) for _ in range(COLD)]
        took, held = median(one[0] for one in first), max(one[2] for one in first)
        again = median(once(name)[0] for _ in range(WARM))
        size = first[0][1] / 1000
        print(f"{name:24}{took:12.0f}{most:10.0f}{again:12.0f}{size:8.1f}{held:10.0f}")
    print(f"(of at most {MOST_MB} MB)")


if __name__ == "__main__":
    main()
