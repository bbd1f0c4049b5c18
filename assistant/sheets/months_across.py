"""Tables with a box in each column: months across the top, its theme and items below.

Knows: what stands beside a line says what the line holds. Must not know: file formats, the plan.
Turned by a quarter, the same reading serves tables with a whole box in each row. Invariants: a
cell is taken whole or not at all; every filled line and cell is taken, refused with a reason, or
told of in a note.
"""

from collections.abc import Iterable

from assistant.planning.bringing_in import Refused
from assistant.planning.model import Record, Row
from assistant.sheets.amounts import number_in, says_nothing
from assistant.sheets.cell_lines import items_of
from assistant.sheets.cells import Cell, Fault, Grid, is_blank, line_name, text_of, where
from assistant.sheets.fields import (
    READERS,
    Fields,
    ReadYear,
    item_fields,
    listed,
    no_month,
    read_field,
    style_of,
    with_month,
)
from assistant.sheets.headings import TOTAL, UNREAD, Heading, heading, says_month
from assistant.sheets.when import (
    MONTHS,
    When,
    has_day,
    read_when,
    reads_day_first,
    settle_years,
    year_in,
)

LOOKED_THROUGH = 40  # rows in which the months are looked for
YEARS_ABOVE = 3  # rows above the months in which years are looked for
OF_A_BOX = ("theme", "ship_on")
OF_AN_ITEM = ("type", "supplier", "unit_cost", "currency", "quantity", "lead")
MARKS = {"x", "✓", "✔", "☑", "yes", "y", "1"}  # "this kind of thing is in this box"


class Across(Record):
    """Where a table stands: the line of its months, and the columns that say what lines hold."""

    at: int
    side: tuple[int, ...]
    lines: tuple[int, ...]


def find_months(grid: Grid) -> Across | None:
    """Find the row of months: the first of those that hold the most of them."""
    best: tuple[int, int, int] | None = None
    for at, row in enumerate(grid.rows[:LOOKED_THROUGH]):
        bare = any(says_month(text_of(cell)) for cell in row)
        found = [read_when(cell, bare_months=bare) for cell in row]
        columns = [column for column, when in enumerate(found) if when is not None]
        filled = sum(not is_blank(cell) for cell in row[columns[0] :]) if columns else 0
        enough = len(columns) > 2 or (columns and columns[0] > 0 and len(columns) == filled)
        different = len({(when.month, when.year) for when in found if when is not None})
        if enough and (best is None or different > best[0]):
            best = (different, at, columns[0])
    if best is None:
        return None
    _, at, first = best
    ships = any(heading(text_of(cell)).field == "ship_on" for cell in grid.rows[at][:first])
    return Across(at, tuple(range(first)), tuple(range(at + (not ships), len(grid.rows))))


def read_across(grid: Grid, place: Across, start: int | None) -> ReadYear:
    """Read a table with months across. `start` is the year that a title names, if one does."""
    return _Reader(grid, place).read(start)


class _Entry:
    """A row in the making: where it stands, in which column, and what is known of it."""

    def __init__(self, where: str, column: int, fields: Fields) -> None:
        self.where, self.column, self.fields = where, column, fields


Items = dict[int, list[_Entry]]  # by column


class _Reader:
    """One pass over the lines of a table."""

    def __init__(self, grid: Grid, place: Across) -> None:
        self.grid, self.place = grid, place
        self.entries: list[_Entry] = []
        self.refused: list[Refused] = []
        self.notes: list[str] = []
        self.guessed: list[str] = []
        self.unread: list[str] = []
        self.doubtful = False
        self.months = self.read_months()
        cells = [grid.rows[line][at] for line in place.lines for at in self.months]
        self.style, _ = style_of(cells)
        self.type = ""  # of the line of items above, for a line without a heading
        self.kinds = self.read_kinds()
        self.last: Items = {}  # the items of the last line that held any
        self.numbered: dict[int, Items] = {}  # the same by number: "item 2"

    def read(self, start: int | None) -> ReadYear:
        for line in self.place.lines:
            if not self.kinds or line > self.place.at + 1:
                self.take_line(line)
        years = self.years(start)
        rows = tuple(
            Row(
                where=entry.where,
                month=self.months[entry.column].month,
                year=years[entry.column],
                **entry.fields,
            )
            for entry in sorted(self.entries, key=lambda entry: entry.column)
            if entry.column in years
        )
        layout = "months down" if self.grid.turned else "months across"
        return ReadYear(rows, tuple(self.refused), self.told(), layout)

    # --- the months ---

    def read_months(self) -> dict[int, When]:
        """The month of each column. In a turned table a blank one is that of the column before."""
        line = self.grid.rows[self.place.at]
        bare = says_month(self.head_text(self.place.at))
        day_first, self.doubtful = reads_day_first(line)
        months: dict[int, When] = {}
        before: When | None = None
        for at in range(self.place.side[-1] + 1 if self.place.side else 0, len(line)):
            cell = line[at]
            when = before if is_blank(cell) and self.grid.turned else None
            when = when or read_when(cell, day_first, bare_months=bare)
            if when is not None:
                months[at] = before = When(when.month, when.year)
                if when.guessed:
                    name = MONTHS[when.month - 1].title()
                    self.guessed.append(
                        f"“{when.guessed}” ({self.where(self.place.at, at)}) as {name}"
                    )
            elif not is_blank(cell):
                self.no_month(at, cell)
        return months

    def read_kinds(self) -> dict[int, Heading]:
        """What each column holds, where a second line of headings says so: an item, its cost."""
        line = next((line for line in self.place.lines if not self.head_text(line)), None)
        if line is None or line != self.place.at + 1 or self.grid.turned:
            return {}
        texts = {at: text_of(self.grid.rows[line][at]) for at in self.months}
        kinds = {at: heading(text) for at, text in texts.items() if text}
        fields = {kind.field for kind in kinds.values()}
        return kinds if len(fields) > 1 and fields <= {*READERS} else {}

    def no_month(self, at: int, cell: Cell) -> None:
        """A column that is no box: a total, or notes; in a turned table a slip of the pen."""
        if self.grid.turned and heading(text_of(cell)).field not in (TOTAL, UNREAD):
            self.refuse(self.place.at, at, no_month(cell))
        else:
            self.unread.append(f"{text_of(cell)} ({self.where(self.place.at, at)})")

    def years(self, start: int | None) -> dict[int, int | None]:
        """The year of each column that is a box; a month that comes again without one is none."""
        beside = self.years_beside()
        if start and not beside and not any(when.year for when in self.months.values()):
            self.notes.append(f"The year {start} was taken from a title.")
        whens = [When(when.month, when.year or beside.get(at)) for at, when in self.months.items()]
        years = dict(zip(self.months, settle_years(whens, start), strict=True))
        last: dict[int, int] = {}  # month -> its last column
        for at, when in self.months.items():
            if years[at] is None and last.get(when.month, at - 1) < at - 1:
                name = MONTHS[when.month - 1].title()
                why = f"is {name} a second time; write the year too, as in {name} 2028"
                self.refuse(self.place.at, at, Fault(why))
                del years[at]
            else:
                last[when.month] = at
        return years

    def years_beside(self) -> dict[int, int]:
        """The years in a line of their own, above the months or headed "year"; a blank one is
        that of the column before."""
        above = range(max(0, self.place.at - YEARS_ABOVE), self.place.at)
        headed = [line for line in self.place.lines if self.head(line).field == "year"]
        for line in (*(() if self.grid.turned else above), *headed):
            texts = {at: text_of(self.grid.rows[line][at]) for at in self.months}
            found = {at: year_in([text]) for at, text in texts.items() if text}
            if not found or not all(found.values()):
                continue
            years: dict[int, int] = {}
            before: int | None = None
            for at in self.months:
                before = found.get(at) or before
                if before is not None:
                    years[at] = before
            return years
        return {}

    # --- the lines ---

    def head_text(self, line: int) -> str:
        texts = [text_of(self.grid.rows[line][at]) for at in self.place.side]
        return next((text for text in reversed(texts) if text), "")

    def head(self, line: int) -> Heading:
        return heading(self.head_text(line))

    def take_line(self, line: int) -> None:
        """Read one line by what its heading says it holds."""
        cells = {at: self.grid.rows[line][at] for at in self.months}
        cells = {at: cell for at, cell in cells.items() if not is_blank(cell)}
        text, head = self.head_text(line), self.head(line)
        if (
            not cells
            or head.field == "year"
            or {text_of(cell) for cell in cells.values()} == {text}
        ):
            return  # a blank line, or a title that was merged over all of it
        if head.field in OF_A_BOX:
            self.take_boxes(line, head, cells)
        elif head.field in OF_AN_ITEM:
            self.take_facts(line, head, cells)
        elif head.field in (TOTAL, UNREAD, "month") or _only_numbers(cells.values()):
            self.unread.append(f"{text or 'numbers'} ({line_name(self.grid, line)})")
        else:
            if text:
                self.type = "" if head.field == "item" else text.rstrip(" #0123456789:")
            (self.take_mixed if self.kinds else self.take_items)(line, head, cells)
            return
        self.type = ""

    def take_boxes(self, line: int, head: Heading, cells: dict[int, Cell]) -> None:
        style = self.style
        if head.field == "ship_on":
            months = [self.months[at].month for at in cells]
            style, doubtful = style_of(list(cells.values()), months)
            self.doubtful |= doubtful
        for at, cell in cells.items():
            if line == self.place.at and not has_day(cell):
                continue
            fields = read_field(head.field, with_month(cell, self.months[at].month), head, style)
            if isinstance(fields, Fault):
                self.refuse(line, at, fields)
            elif fields:
                self.entries.append(_Entry(self.where(line, at), at, fields))

    def take_items(self, line: int, head: Heading, cells: dict[int, Cell]) -> None:
        items: Items = {}
        for at, cell in cells.items():
            found = self.items_in(cell)
            if isinstance(found, Fault):
                self.refuse(line, at, found)
                continue
            items[at] = [_Entry(self.where(line, at), at, fields) for fields in found]
            self.entries.extend(items[at])
        self.last = items
        if head.number is not None:
            self.numbered[head.number] = items

    def take_mixed(self, line: int, head: Heading, cells: dict[int, Cell]) -> None:
        """Read a line in which the columns of a month hold an item and what stands beside it."""
        items: Items = {}
        for at, cell in cells.items():
            kind = self.kinds.get(at, head)
            if kind.field not in OF_AN_ITEM and kind.field not in OF_A_BOX:
                self.take_items(line, head, {at: cell})
                items[at] = self.last.get(at, [])
            elif kind.field in OF_A_BOX:
                self.take_boxes(line, kind, {at: cell})
            else:
                of_month = [one for one in items if self.months[one] == self.months[at]]
                self.last = {at: items[max(of_month)]} if of_month else {at: []}
                self.take_facts(line, kind, {at: cell})

    def items_in(self, cell: Cell) -> list[Fields] | Fault:
        """The items of a cell; a mark under the heading of a type stands for one of that type."""
        if isinstance(cell, Fault):
            return cell
        if self.type and text_of(cell).casefold() in MARKS:
            return [{"item": self.type, "type": self.type}]
        if says_nothing(cell):
            return []
        if not isinstance(cell, str) or number_in(cell) is not None:
            return Fault(f"says “{text_of(cell)[:40]}”, which names no item; write field notebook")
        found = items_of(cell, self.style.decimal_comma)
        if isinstance(found, Fault):
            return found
        return [item_fields(item) | {"type": self.type} for item in found]

    def take_facts(self, line: int, head: Heading, cells: dict[int, Cell]) -> None:
        """Add what a line says of items to those of the line above, or of the same number."""
        items = self.last if head.number is None else self.numbered.get(head.number, self.last)
        if not items:
            name = line_name(self.grid, line)
            self.refused.append(Refused(name, f"“{head.text}” stands before any item."))
            return
        for at, cell in cells.items():
            fields = read_field(head.field, cell, head, self.style)
            beside = items.get(at, [])
            if fields and len(beside) != 1:
                fields = Fault(f"stands beside {len(beside)} items; write it beside one")
            if isinstance(fields, Fault):
                self.refuse(line, at, fields)
            elif fields:
                beside[0].fields |= fields

    # --- what is told ---

    def where(self, line: int, at: int) -> str:
        return where(self.grid, line, at)

    def refuse(self, line: int, at: int, fault: Fault) -> None:
        self.refused.append(Refused(self.where(line, at), f"{fault.why}."))

    def told(self) -> tuple[str, ...]:
        """What the owner is told beside the rows."""
        heads = [self.head(line) for line in self.place.lines]
        misspelt = [f"“{head.text}”" for head in heads if head.misspelt and head.field in READERS]
        notes = [*self.notes]
        notes += ["Dates such as 3/4/2027 were read as 3 April."] if self.doubtful else []
        for words, sentence in (
            (self.guessed, "Read {}."),
            (misspelt, "Headings that were guessed: {}."),
            (self.unread, "Not read: {}."),
        ):
            if words:
                notes.append(sentence.format(listed(words)))
        return tuple(notes)


def _only_numbers(cells: Iterable[Cell]) -> bool:
    """Whether cells hold nothing but numbers and dates, and not only marks."""
    texts = [text_of(cell) for cell in cells]
    numbers = all(number_in(text) is not None or read_when(text) is not None for text in texts)
    return numbers and any(text not in MARKS for text in texts)
