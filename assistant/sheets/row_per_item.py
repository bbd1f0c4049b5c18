"""Tables with one row for each item: headings across the top, in any order and words.

Knows: headings, and what stands below them. Must not know: file formats, the plan. Invariants: a
row is taken whole or not at all; a month holds for the rows below it until the next; every filled
row is taken, refused with a reason, or told of in a note.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from assistant.planning.bringing_in import Refused
from assistant.planning.model import Record, Row
from assistant.sheets.amounts import says_nothing
from assistant.sheets.cell_lines import items_of
from assistant.sheets.cells import Cell, Fault, Grid, cell_name, is_blank, text_of
from assistant.sheets.fields import (
    READERS,
    Fields,
    ReadYear,
    Style,
    item_fields,
    listed,
    no_month,
    read_field,
    style_of,
    with_month,
)
from assistant.sheets.headings import TOTAL, Heading, heading, says_month
from assistant.sheets.item_fields import BOX, EXTRA, plainly, read_extra
from assistant.sheets.when import MONTHS, When, has_day, read_when, settle_years

LAYOUT = "row per item"
LOOKED_THROUGH = 40  # rows in which headings are looked for
MOSTLY = 0.6  # of a column's cells: enough to take it for the months
BESIDE_AN_ITEM = ("supplier", "unit_cost", "currency", "quantity", "lead")
NAMES_A_THING = ("item", "type", "theme", *BESIDE_AN_ITEM)


class Table(Record):
    """Where a table stands: the row of its headings, and each heading by its column.

    `columns` gives the one column of each field that is read, `extra` likewise those of
    item_fields. `sure` says that the headings name a box and a thing in known words; `several` that
    items stand in several columns, so that each row is a whole box.
    """

    top: int
    headings: dict[int, Heading]
    columns: dict[str, int]
    extra: dict[str, int]
    sure: bool
    several: bool
    notes: tuple[str, ...] = ()


def find_table(grid: Grid) -> Table | None:
    """Find the row of headings: the first of those that name the most fields."""
    best: Table | None = None
    for top, row in enumerate(grid.rows[:LOOKED_THROUGH]):
        table = _table(grid, top, row)
        if table and (best is None or len(table.columns) > len(best.columns)):
            best = table
    return best


def _table(grid: Grid, top: int, row: Sequence[Cell]) -> Table | None:
    headings = {at: heading(text_of(cell)) for at, cell in enumerate(row) if not is_blank(cell)}
    if sum(read_when(cell) is not None for cell in row) > 1:
        return None  # months stand across
    columns: dict[str, int] = {}
    for at, one in sorted(headings.items(), key=lambda pair: pair[1].rank):
        if one.field in READERS or one.field in ("month", "year"):
            columns.setdefault(one.field, at)
    notes = []
    sure = "month" in columns or "ship_on" in columns
    if not sure:
        found = _column_of_months(grid, top, set(columns.values()))
        if found is None:
            return None
        columns["month"] = found
        notes.append(f"Column {cell_name(0, found)[:-1]} was read as the month.")
    others = [at for at, one in headings.items() if not one.field and at not in columns.values()]
    things = [field for field in NAMES_A_THING if field in columns]
    alone = "item" not in columns and "type" not in columns
    if alone and len(others) == 1 and any(field in columns for field in BESIDE_AN_ITEM):
        columns["item"] = others[0]
        notes.append(f"“{headings[others[0]].text}” was read as the item.")
        alone = False
    if not things and not others:
        return None
    items = [one for one in headings.values() if one.field == "item" and one.number is not None]
    several = len(items) > 1 or (alone and bool(others))
    extra = {field: at for at, one in headings.items() if (field := EXTRA.get(plainly(one.text)))}
    return Table(top, headings, columns, extra, sure and bool(things), several, tuple(notes))


def _column_of_months(grid: Grid, top: int, taken: set[int]) -> int | None:
    """The first column whose cells are mostly months, whatever its heading."""
    below = grid.rows[top + 1 : top + 1 + LOOKED_THROUGH]
    for at, own in enumerate(grid.rows[top]):
        if read_when(own) is not None:
            continue  # no heading, but a row of the table itself
        cells = [row[at] for row in below if not is_blank(row[at])]
        months = sum(read_when(cell) is not None for cell in cells)
        if at not in taken and cells and months >= MOSTLY * len(cells):
            return at
    return None


# --- reading --------------------------------------------------------------------------------


def read_rows(grid: Grid, table: Table, start: int | None) -> ReadYear:
    """Read the rows below the headings. `start` is the year that a title names, if one does."""
    return _Reader(grid, table).read(start)


class _Reader:
    """One pass over the rows of a table."""

    def __init__(self, grid: Grid, table: Table) -> None:
        self.grid, self.table = grid, table
        self.refused: list[Refused] = []
        self.notes = list(table.notes)
        self.sums: list[str] = []
        self.guessed: list[str] = []
        self.lines = [
            (at, row)
            for at, row in enumerate(grid.rows)
            if at > table.top and any(not is_blank(cell) for cell in row) and not self.repeats(row)
        ]
        self.crowded = not any(field in table.columns for field in BESIDE_AN_ITEM)
        self.month_at = table.columns.get("month", table.columns.get("ship_on", 0))
        named = table.headings.get(self.month_at, Heading(""))
        self.bare = says_month(named.text)
        dates, doubtful = style_of([row[self.month_at] for _, row in self.lines])
        self.month_style = dates
        self.styles = {field: self.style(field) for field in table.columns if field in READERS}
        if doubtful:
            self.notes.append("Dates such as 3/4/2027 were read as 3 April: day before month.")

    def repeats(self, row: Sequence[Cell]) -> bool:
        """Whether a row is the headings once more, as after a page break."""
        return row == self.grid.rows[self.table.top]

    def style(self, field: str) -> Style:
        at = self.table.columns[field]
        cells = [row[at] for _, row in self.lines]
        months: list[int | None] | None = None
        if field == "ship_on" and at != self.month_at:
            whens = [self.when(row) for _, row in self.lines]
            months = [when.month if isinstance(when, When) else None for when in whens]
        style, doubtful = style_of(cells, months)
        if doubtful and at != self.month_at:
            self.notes.append("Ship dates such as 3/4/2027 were read as 3 April.")
        return style

    def when(self, row: Sequence[Cell]) -> When | Fault | None:
        """The month of a row; None where its cell says nothing."""
        cell = row[self.month_at]
        if not isinstance(cell, Fault) and says_nothing(cell):
            return None
        return read_when(cell, self.month_style.day_first, self.bare) or no_month(cell)

    def read(self, start: int | None) -> ReadYear:
        found = list(self.taken())
        years = _years([when for _, when, _ in found], start)
        if start and found and not any(when.year for _, when, _ in found):
            self.notes.append(f"The year {start} was taken from a title.")
        rows = tuple(
            Row(where=f"row {at + 1}", month=when.month, year=year, **fields)
            for (at, when, fields), year in zip(found, years, strict=True)
        )
        return ReadYear(rows, tuple(self.refused), self.told(), LAYOUT)

    def taken(self) -> Iterator[tuple[int, When, Fields]]:
        """The rows that are taken: where each stands, its month, and its fields."""
        month: When | None = None
        for at, row in self.lines:
            if self.is_sum(at, row):
                continue
            when = self.when(row)
            if isinstance(when, Fault):
                self.refuse(at, f"{cell_name(at, self.month_at)} {when.why}")
                month = None
                continue
            month = self.with_year(at, row, when) if when else month
            for fields in self.fields(at, row, month):
                if month is not None:
                    yield at, month, fields
                else:
                    self.refuse(at, "names no month; write March or March 2027")

    def with_year(self, at: int, row: Sequence[Cell], when: When) -> When:
        """A month with the year that stands in a column of its own."""
        if when.guessed:
            self.guessed.append(
                f"“{when.guessed}” (row {at + 1}) as {MONTHS[when.month - 1].title()}"
            )
        column = self.table.columns.get("year")
        year = text_of(row[column]) if column is not None else ""
        known = int(year) if year.isdecimal() and 2000 <= int(year[:5]) <= 2099 else when.year
        return When(when.month, known, when.day)

    def is_sum(self, at: int, row: Sequence[Cell]) -> bool:
        first = next(text_of(cell) for cell in row if not is_blank(cell))
        named = {
            first,
            *(text_of(row[at]) for at in (self.month_at, self.table.columns.get("item", 0))),
        }
        found = any(heading(text).field == TOTAL for text in named if text)
        if found:
            self.sums.append(f"row {at + 1}")
        return found

    def fields(self, at: int, row: Sequence[Cell], month: When | None) -> list[Fields]:
        """The fields of a row, for each item in it; none where it says nothing or is refused."""
        common: Fields = {}
        items: list[Fields] = [{}]
        for field, style in self.styles.items():
            column = self.table.columns[field]
            cell = row[column]
            if field == "ship_on" and column == self.month_at and not has_day(cell):
                continue
            if field == "ship_on" and month is not None:
                cell = with_month(cell, month.month)
            read: Fields | Fault | list[Fields]
            if field == "item" and self.crowded and isinstance(cell, str):
                read = _crowded(cell, style)
            else:
                read = read_field(field, cell, self.table.headings.get(column, Heading("")), style)
            if isinstance(read, Fault):
                self.refuse(at, f"{cell_name(at, column)} {read.why}")
                return []
            if isinstance(read, list):
                items = read or items
            else:
                common |= read
        more = self.extra(at, row)
        if more is None:
            return []
        common |= more
        return [whole for one in items if (whole := self.whole(at, common | one))]

    def extra(self, at: int, row: Sequence[Cell]) -> Fields | None:
        """What else a row says: a cell that cannot be read is told of, and costs the row only
        where it names the box."""
        found: Fields = {}
        for field, column in self.table.extra.items():
            read = read_extra(field, row[column])
            if not isinstance(read, Fault):
                found |= read
                continue
            rest = "" if field == BOX else "; the rest of the row was read"
            self.refuse(at, f"{cell_name(at, column)} {read.why}{rest}")
            if field == BOX:
                return None
        return found

    def whole(self, at: int, fields: Fields) -> Fields:
        """A row's fields, if they make sense together: an item may be named by its type."""
        if not fields.get("item") and fields.get("type"):
            fields["item"] = fields["type"]
        if not fields.get("item") and any(fields.get(field) for field in BESIDE_AN_ITEM):
            self.refuse(at, "names no item; write its name under Item")
            return {}
        return fields

    def refuse(self, at: int, why: str) -> None:
        self.refused.append(Refused(f"row {at + 1}", f"{why}."))

    def told(self) -> tuple[str, ...]:
        """What the owner is told beside the rows."""
        read = {*self.table.columns.values(), *self.table.extra.values()}
        unread = [one.text for at, one in self.table.headings.items() if at not in read]
        used = [one for at, one in self.table.headings.items() if at in read]
        misspelt = [f"“{one.text}”" for one in used if one.misspelt]
        lead = self.table.columns.get("lead")
        if lead is not None and self.table.headings[lead].unit is None:
            bare = any(text_of(row[lead]).isdecimal() for _, row in self.lines)
            self.notes += ["Lead times without a unit were read as working days."] if bare else []
        for words, sentence in (
            (self.guessed, "Read {}."),
            (misspelt, "Headings that were guessed: {}."),
            (unread, "Columns not read: {}."),
            (self.sums, "Totals not read: {}."),
        ):
            if words:
                self.notes.append(sentence.format(listed(words)))
        return tuple(self.notes)


def _crowded(cell: str, style: Style) -> list[Fields] | Fault:
    """The items of a cell, each with what stands beside its name."""
    parts = () if says_nothing(cell) else items_of(cell, style.decimal_comma)
    return parts if isinstance(parts, Fault) else [item_fields(part) for part in parts]


def _years(months: Sequence[When], start: int | None) -> list[int | None]:
    """The years of the rows' months: they follow from each other where the months are in order,
    over the turn of a year at most once; else only a single year that is known holds for all."""
    turns = [at for at, (a, b) in enumerate(pairwise(months), start=1) if a.month != b.month]
    firsts = [months[at] for at in ([0, *turns] if months else [])]
    falls = sum(after.month < before.month for before, after in pairwise(firsts))
    if falls <= 1 and len({when.month for when in firsts}) == len(firsts):
        return list(settle_years(months, start))
    known: set[int | None] = {when.year for when in months if when.year} or {start}
    only = known.pop() if len(known) == 1 else None
    return [when.year or only for when in months]
