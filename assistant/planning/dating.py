"""Which year the rows of a file mean, and on which day their boxes ship.

Knows: months, years, ship dates of rows. Must not know: the plan they will be laid over.
Invariants: rows without a year stay one run of at most twelve consecutive months; a row is dated
or refused, never dropped; what was assumed is told.
"""

from calendar import month_name
from collections.abc import Sequence
from datetime import date
from itertools import pairwise
from typing import NamedTuple

from msgspec.structs import replace

from assistant.planning.model import Record, Row

NO_YEAR = 4  # the year of a ship date that was written without one; it has a 29 February
FAR = 2  # months between a box and its ship date: more is a slip of the pen


class Refused(Record):
    """A row or cell that was not taken: where it stands, why, and what would work."""

    where: str
    why: str


class Dated(NamedTuple):
    """Rows beside the ids of their boxes, rows that were refused, and what to tell of the rest."""

    rows: tuple[tuple[str, Row], ...]
    refused: tuple[Refused, ...]
    told: tuple[str, ...]


def date_rows(rows: Sequence[Row], today: date) -> Dated:
    """Give each row its box id (`2027-03`) and its ship date a year.

    A row without a year takes the one that its ship date, or that of its month elsewhere in the
    file, puts beside it; else the one of `years_of`, and is refused if that month lies behind
    on `today`. A year that was written may lie behind: the box is kept as a record.
    """
    beside = {row.month: year for row in rows if (year := _year_beside(row)) is not None}
    open_months = [row.month for row in rows if row.year is None and row.month not in beside]
    assumed = years_of(open_months, today)
    this_month = today.year * 12 + today.month - 1
    dated: list[tuple[str, Row]] = []
    refused: list[Refused] = []
    behind: set[str] = set()
    for row in rows:
        written = row.year or _year_beside(row) or beside.get(row.month)
        year = written or assumed[row.month]
        box = f"{year:04}-{row.month:02}{row.letter}"
        if past := year * 12 + row.month - 1 < this_month:
            behind.add(box)
        placed = _with_ship_date(row, year)
        if past and written is None:
            refused.append(Refused(row.where, _gone_by(row.month, year)))
        elif isinstance(placed, Refused):
            refused.append(placed)
        else:
            dated.append((box, placed))
    kept = sorted(behind & {box for box, _ in dated})
    return Dated(tuple(dated), tuple(refused), _told(assumed, kept))


def years_of(months: Sequence[int], today: date) -> dict[int, int]:
    """Return the year of each month (1..12) that was written without one, in the file's order.

    They stay one run of at most twelve consecutive months. It begins with the first month of
    the file when the file is in order. The run that is under way on `today` is meant when at
    least half of its months are still to come (this month included), else the next one. Common
    practice, no source.
    """
    wanted = tuple(dict.fromkeys(months))
    if not wanted:
        return {}
    first = _first_of_run(wanted)
    start = today.year * 12 + first - 1
    if first > today.month:
        start -= 12
    now = today.year * 12 + today.month - 1
    places = {month: start + (month - first) % 12 for month in wanted}
    ahead = sum(place >= now for place in places.values())
    later = 0 if 2 * ahead >= len(wanted) else 12
    return {month: (place + later) // 12 for month, place in places.items()}


def box_words(id: str) -> str:
    """Return `March 2027` for the box `2027-03`."""
    return f"{month_name[int(id[5:7])]} {id[:4]}"


def _first_of_run(months: Sequence[int]) -> int:
    """Where a cyclic run of distinct months begins: as listed if that is in order (over the turn
    of a year by no more than half a year), else after its widest gap."""
    around = sorted(months)
    steps = [(after - before) % 12 for before, after in pairwise(months)]
    if list(months) == around or (sum(steps) < 12 and max(steps) <= 6):
        return months[0]
    gaps = [(month - around[at - 1]) % 12 or 12 for at, month in enumerate(around)]
    return around[gaps.index(max(gaps))]


def _year_beside(row: Row) -> int | None:
    """The year that puts the box of a row without one nearest its ship date."""
    if row.year is not None or row.ship_on is None or row.ship_on.year == NO_YEAR:
        return None
    return _nearest(row.month, row.ship_on.year, row.ship_on.month)


def _nearest(month: int, year: int, beside: int) -> int:
    """The year in which `month` lies nearest the month `beside` of `year`."""
    place = year * 12 + beside - 1
    return (place + (month - 1 - place + 6) % 12 - 6) // 12


def _with_ship_date(row: Row, year: int) -> Row | Refused:
    """The row with its ship date's year, where the date exists and lies near the box's month."""
    on = row.ship_on
    if on is None:
        return row
    shipped = on.year if on.year != NO_YEAR else _nearest(on.month, year, row.month)
    try:
        on = on.replace(year=shipped)
    except ValueError:
        return Refused(row.where, f"29 February {shipped} does not exist. Write 28 February.")
    if abs((on.year - year) * 12 + on.month - row.month) > FAR:
        name = month_name[row.month]
        return Refused(
            row.where, f"ships {on}, far from {name} {year}. Write {year}-{row.month:02}-15."
        )
    return replace(row, ship_on=on)


def _gone_by(month: int, year: int) -> str:
    name = month_name[month]
    return (
        f"{name} {year} has gone by. Write {name} {year + 1} to plan it, "
        f"or {name} {year} to keep it as a record."
    )


def _told(assumed: dict[int, int], behind: Sequence[str]) -> tuple[str, ...]:
    told = []
    if assumed:
        places = sorted((year, month) for month, year in assumed.items())
        first, last = (f"{month_name[month]} {year}" for year, month in (places[0], places[-1]))
        span = first if first == last else f"{first} to {last}"
        told.append(f"Months without a year are taken as {span}.")
    if behind:
        names = ", ".join(box_words(box) for box in behind)
        told.append(f"{names}: already past, kept as a record.")
    return tuple(told)
