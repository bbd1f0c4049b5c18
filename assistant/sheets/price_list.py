"""A supplier's price list out of a file: which sheet it stands in, and its lines.

Knows: what the headings of a price list mean, and how it is told from a year of boxes: things and
prices, and no months. Must not know: the offers that a shop has, whose list it is, what today is.
Invariants: a list has one currency or is refused; a row is refused when its name, its price or what
decides an order cannot be read, and taken without the rest, which is told; price breaks that do not
fall are left out, all those of their row, and told; every filled row is taken, refused with a
reason, or told of in a note.
"""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from itertools import groupby

from msgspec.structs import replace

from assistant.planning.bringing_in import SHARED_SIGNS, Refused, fold
from assistant.planning.model import Break, OfferRow, Record
from assistant.planning.trade.quotes import dearer
from assistant.sheets.amounts import says_nothing
from assistant.sheets.break_columns import break_columns, falling
from assistant.sheets.cells import Cell, Fault, Grid, Problem, cell_name, is_blank, plain, text_of
from assistant.sheets.fields import Fields, ReadYear, Style, listed, style_of
from assistant.sheets.grid import LONGEST_NAME, read_grids
from assistant.sheets.headings import UNREAD, Heading, heading
from assistant.sheets.offer_fields import (
    DECIDES,
    READERS,
    date_in,
    last_day_in,
    named_unit,
    sides_together,
)
from assistant.sheets.when import read_when
from assistant.sheets.year_table import read_own, read_year

LOOKED_THROUGH = 40  # rows in which headings are looked for
MOSTLY = 0.6  # of a column's cells: enough to take it for months
GROUP = 40  # characters of a line that names a group of offers
SHOWN = 4  # runs of rows that are named
ONLY_LISTS = ("minimum", "case_pack", "grams", "made_in")  # a year has no such columns
BREAKS = "breaks"


class PriceList(Record):
    """A price list as read. `titles` are texts that may name its supplier: those above the table
    and the name of the sheet. A row without a date has none; a title's date is that of all."""

    rows: tuple[OfferRow, ...]
    refused: tuple[Refused, ...]
    notes: tuple[str, ...]
    titles: tuple[str, ...]


class Table(Record):
    """Where a list stands: the row of its headings, each heading by its column, and the column of
    each field. `more` are columns whose texts are kept as notes, `breaks` those of prices from a
    quantity on (quantity, column); `least` is from how many pieces on the price itself holds."""

    top: int
    headings: dict[int, Heading]
    columns: dict[str, int]
    more: tuple[int, ...] = ()
    breaks: tuple[tuple[int, int], ...] = ()
    least: int = 1


def read_any(content: bytes, name: str) -> ReadYear | PriceList | Problem:
    """Read a CSV or XLSX file, as a year of boxes or as a price list.

    `content` is the whole file (at most 10 MB), `name` what the owner calls it. A workbook with
    both is a year; of several lists the one with the most rows is read, and the others are named.
    """
    grids = read_grids(content, name)
    return grids if isinstance(grids, Problem) else of_grids(grids, name)


def of_grids(grids: Sequence[Grid], name: str) -> ReadYear | PriceList | Problem:
    """Read the sheets of a file, as a year of boxes or as a price list."""
    workbook = read_own(grids, name)
    if workbook is not None:
        return workbook
    lists = [(grid, table) for grid in grids if (table := find_list(grid))]
    own = {id(grid) for grid, _ in lists}
    others = tuple(grid for grid in grids if id(grid) not in own)
    year = read_year(others, name) if others else None
    if not lists:
        return year if year is not None else read_year(grids, name)
    if isinstance(year, ReadYear) and year.rows:
        return year
    grid, table = max(lists, key=lambda pair: len(pair[0].rows))
    left = [f"“{one.name}”" for one in grids if one is not grid and one.rows]
    note = (f"Read the sheet “{grid.name}”, not {listed(left)}.",) if left else ()
    return _Reader(grid, table, plain(name)[:LONGEST_NAME] or "The file").read(note)


def find_list(grid: Grid) -> Table | None:
    """Find the headings of a price list: the row that names a thing, its price and the most other
    fields; None where the sheet may as well be a year."""
    best: Table | None = None
    for top, row in enumerate(grid.rows[:LOOKED_THROUGH]):
        table = _table(top, row)
        if table and (best is None or len(table.columns) > len(best.columns)):
            best = table
    return best if best is not None and not _has_months(grid, best) else None


def _table(top: int, row: Sequence[Cell]) -> Table | None:
    if sum(read_when(cell) is not None for cell in row) > 1:
        return None  # months stand across
    texts = {at: text_of(cell) for at, cell in enumerate(row) if not is_blank(cell)}
    headings = {at: named_unit(text) for at, text in texts.items()}
    priced = any(one.field == "price" for one in headings.values())
    breaks = break_columns(texts, priced)
    for _, at in breaks:
        headings[at] = replace(headings[at], field=BREAKS, misspelt=False)
    columns: dict[str, int] = {}
    more: list[int] = []
    for at, one in sorted(headings.items(), key=lambda pair: (pair[1].rank, pair[0])):
        if one.field in ("", UNREAD, BREAKS):
            continue
        if one.field not in columns:
            columns[one.field] = at
        elif one.field in ("item", "notes"):
            more.append(at)
    least = 1
    if "price" not in columns and len(breaks) > 1:  # the first quantity is the price itself
        (least, columns["price"]), *others = breaks
        breaks = tuple(others)
    if "item" not in columns or "price" not in columns:
        return None
    return Table(top, headings, columns, tuple(sorted(more)), breaks, least)


def _has_months(grid: Grid, table: Table) -> bool:
    """Whether a table is a year all the same: a heading says so, or a column without a known
    heading holds months, or its dates differ and nothing else of a price list is there."""
    below = grid.rows[table.top + 1 :][:LOOKED_THROUGH]
    listing = any(field in table.columns for field in ONLY_LISTS)
    for at, own in enumerate(grid.rows[table.top]):
        cells = [row[at] for row in below if not is_blank(row[at])]
        whens = [when for cell in cells if (when := read_when(cell))]
        if not cells or len(whens) < MOSTLY * len(cells):
            continue
        known = table.headings[at].field if at in table.headings else ""
        if known == "quoted" and heading(text_of(own)).field == "ship_on":  # "Date" alone
            known = "quoted" if listing or len(set(whens)) == 1 else ""
        if known not in ("quoted", "valid_until", UNREAD) or heading(text_of(own)).field == "month":
            return True
    return False


class _Reader:
    """One pass over the rows of a list."""

    def __init__(self, grid: Grid, table: Table, called: str) -> None:
        self.grid, self.table, self.called = grid, table, called
        self.refused: list[Refused] = []
        self.left: dict[str, list[str]] = {}  # what was not read -> the cells that say it
        self.lines_left: list[str] = []
        self.dear: list[str] = []  # rows whose price rises with the number
        self.bare = ""
        self.guessed = [f"“{one.text}”" for one in table.headings.values() if one.misspelt]
        self.titles = tuple(
            text_of(cell)
            for row in grid.rows[: table.top]
            for cell in row
            if not is_blank(cell) and not isinstance(cell, Fault)
        )
        self.lines = [
            (at, row)
            for at, row in enumerate(grid.rows)
            if at > table.top and any(not is_blank(cell) for cell in row)
        ]
        self.styles = {
            field: style_of([row[column] for _, row in self.lines])[0]
            for field, column in table.columns.items()
        }

    def read(self, notes: tuple[str, ...]) -> PriceList | Problem:
        rows = list(self.rows())
        currencies = self.currencies(rows)
        if len(currencies) > 1:
            return _two_currencies(self.called, currencies)
        currency = next(iter(currencies), "")
        bare = [row.where for row in rows if row.price is not None and not row.currency]
        if currency and bare:
            self.bare = f"Prices without a currency are read as {currency}: {_rows(bare)}."
        days = [next(filter(None, map(read, self.titles)), None) for read in (date_in, last_day_in)]
        dated = tuple(_settled(row, currency, *days) for row in self.only_once(rows))
        return PriceList(
            rows=dated,
            refused=tuple(self.refused),
            notes=(*notes, *self.told()),
            titles=(*self.titles, self.grid.name),
        )

    def rows(self) -> Iterator[OfferRow]:
        """The rows that are taken; a line with nothing but a short text names a group."""
        group = ""
        for place, (at, row) in enumerate(self.lines):
            if row == self.grid.rows[self.table.top]:
                continue  # the headings once more, as after a page break
            filled = [cell for cell in row if not is_blank(cell)]
            if len(filled) == 1 and not isinstance(filled[0], Fault):
                text, last = text_of(filled[0]), place == len(self.lines) - 1
                if len(text) <= GROUP and not last and isinstance(filled[0], str):
                    group = text
                else:
                    self.lines_left.append(f"row {at + 1}")
                continue
            fields = self.fields(at, row)
            if fields is not None:
                fields = {"type": group} | fields if group else fields
                yield OfferRow(where=f"row {at + 1}", **fields)

    def fields(self, at: int, row: Sequence[Cell]) -> Fields | None:
        """The fields of one row; None where it is refused."""
        found: Fields = {}
        for field, column in self.table.columns.items():
            cell = row[column]
            if not isinstance(cell, Fault) and says_nothing(cell):
                continue
            read = _read(field, cell, self.table.headings[column], self.styles[field])
            if not isinstance(read, Fault):
                found |= _one_currency(found, read)
            elif field in DECIDES:
                self.refuse(at, f"{cell_name(at, column)} {read.why}")
                return None
            else:
                self.left.setdefault(field, []).append(cell_name(at, column))
        if not found.get("name"):
            self.refuse(at, "names no item; write its name under Item")
            return None
        self.in_pieces(found)
        found["breaks"] = self.breaks(at, row, found)
        texts = [text_of(row[column]) for column in self.table.more]
        notes = [text for text in (found.get("notes", ""), *texts) if text]
        found = sides_together(found)
        return found | {"notes": "; ".join(notes)[:300]}

    def in_pieces(self, found: Fields) -> None:
        """Turn a minimum that is told in cases into pieces."""
        cases = found.pop("cases", None)
        if cases is not None:
            found["minimum"] = cases * (found.get("case_pack") or 1)
        elif self.table.least > 1:
            found.setdefault("minimum", self.table.least)

    def breaks(self, at: int, row: Sequence[Cell], found: Fields) -> tuple[Break, ...]:
        """The prices of a row from a quantity on; none where one of them costs more than fewer
        pieces do, which is told."""
        read: list[Break] = []
        for quantity, column in self.table.breaks:
            cell = row[column]
            if not isinstance(cell, Fault) and says_nothing(cell):
                continue
            told = _read("price", cell, self.table.headings[column], self.styles["price"])
            other = not isinstance(told, Fault) and not _one_money(found, told)
            if isinstance(told, Fault) or other:
                self.left.setdefault(BREAKS, []).append(cell_name(at, column))
            elif "price" in told:
                read.append(Break(quantity, told["price"]))
        price = found.get("price")
        if wrong := dearer(price, read):
            self.dear.append(f"row {at + 1} (from {wrong.quantity:,} on {wrong.price} each)")
            return ()
        first = [] if price is None else [Break(0, price)]
        return falling((*first, *read))[len(first) :]

    def currencies(self, rows: Sequence[OfferRow]) -> dict[str, list[str]]:
        """The currencies in which prices are written, and where. A sign that several share is one
        of them where that stands in the list, too."""
        found: dict[str, list[str]] = {}
        for row in rows:
            if row.currency and row.price is not None:
                found.setdefault(row.currency, []).append(row.where)
        for sign, codes in SHARED_SIGNS.items():
            meant = next((code for code in codes if code in found), None)
            if sign in found and meant:
                found[meant] += found.pop(sign)
        return found

    def only_once(self, rows: Sequence[OfferRow]) -> Iterator[OfferRow]:
        """Each offer once: a second row of one name and supplier that differs is refused."""
        seen: dict[tuple[str, str], OfferRow] = {}
        for row in rows:
            key = (fold(row.supplier), fold(row.name))
            first = seen.setdefault(key, row)
            if first is row:
                yield row
            elif _same(first, row):
                continue
            else:
                why = f"has the name of {first.where}, “{row.name[:40]}”, but is another offer; "
                why += "give it a name of its own"
                self.refused.append(Refused(row.where, f"{why}."))

    def refuse(self, at: int, why: str) -> None:
        self.refused.append(Refused(f"row {at + 1}", f"{why}."))

    def told(self) -> tuple[str, ...]:
        """What the owner is told beside the rows."""
        taken = {*self.table.columns.values(), *self.table.more}
        taken |= {column for _, column in self.table.breaks}
        unread = [f"“{one.text}”" for at, one in self.table.headings.items() if at not in taken]
        notes = [*self.grid.notes, *([self.bare] if self.bare else [])]
        notes += [f"{NAMES[field]} not read: {listed(at)}." for field, at in self.left.items()]
        for words, sentence in (
            (self.guessed, "Headings that were guessed: {}."),
            (unread, "Columns not read: {}."),
            (self.lines_left, "Lines not read: {}."),
            (self.dear, "Price breaks not read, as more pieces cost more each: {}."),
        ):
            if words:
                notes.append(sentence.format(listed(words)))
        return tuple(notes)


NAMES = {  # of fields that a row is taken without, as they are told
    "type": "Kinds",
    "grams": "Weights",
    "mm": "Sizes",
    "length": "Lengths",
    "width": "Widths",
    "height": "Heights",
    "made_in": "Countries",
    "supplier": "Suppliers",
    "quoted": "Dates",
    "valid_until": "Last days",
    "breaks": "Price breaks",
    "notes": "Notes",
}


def _settled(row: OfferRow, currency: str, quoted: date | None, last: date | None) -> OfferRow:
    """A row with the currency and the days of its list."""
    until = row.valid_until or last
    return replace(row, currency=currency, quoted=row.quoted or quoted, valid_until=until)


def _one_money(found: Fields, told: Fields) -> bool:
    """Whether a break is in the currency of its row's price, as far as both are told."""
    was, now = found.get("currency"), told.get("currency")
    return not was or not now or was == now or now in SHARED_SIGNS.get(was, ())


def _read(field: str, cell: Cell, own: Heading, style: Style) -> Fields | Fault:
    return cell if isinstance(cell, Fault) else READERS[field](cell, own, style)


def _one_currency(found: Fields, read: Fields) -> Fields:
    """What a cell says, where a row tells its currency twice: of a sign that several share and the
    code of one of them the code; else the one that stands beside the price."""
    was, now = found.get("currency"), read.get("currency")
    if not was or not now or now in SHARED_SIGNS.get(was, ()):
        return read
    kept = was if was in SHARED_SIGNS.get(now, ()) or "price" not in read else now
    return read | {"currency": kept}


def _same(first: OfferRow, second: OfferRow) -> bool:
    return replace(second, where=first.where, name=first.name) == first


def _two_currencies(called: str, found: Mapping[str, Sequence[str]]) -> Problem:
    """Say which rows have which currency, and what would work."""
    counts = [f"{len(rows)} in {code} ({_rows(rows)})" for code, rows in found.items()]
    codes = listed(list(found))
    return Problem(
        f"{called} has prices in {len(found)} currencies: {listed(counts)}. A price list has one, "
        f"so that its prices can be compared. Nothing was brought in. Send the rows in {codes} as "
        "files of their own."
    )


def _rows(wheres: Sequence[str]) -> str:
    """Name rows in runs: "rows 2 to 13, 15 and 20"."""
    numbers = sorted(int(where.rpartition(" ")[2]) for where in wheres)
    runs: list[str] = []
    for _, run in groupby(enumerate(numbers), key=lambda pair: pair[1] - pair[0]):
        own = [number for _, number in run]
        runs += [f"{own[0]} to {own[-1]}"] if len(own) > 2 else map(str, own)
    if len(runs) > SHOWN:
        runs = [*runs[:SHOWN], f"{len(runs) - SHOWN} more"]
    return f"{'row' if len(numbers) == 1 else 'rows'} {listed(runs)}"
