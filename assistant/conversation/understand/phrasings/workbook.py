"""Ways to ask for the plan as a workbook, or for a sheet of it as CSV.

Knows: the requests of the workbook. Must not know: how a line is matched, what a workbook holds.
Invariants: the sentences of buttons (EXACT) stand before all others; each example is understood as
its row.
"""

import re

from assistant.conversation.file_requests import SendSheet, SendWorkbook
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.reading import Build, Built, Kind, Phrasing
from assistant.conversation.understand.unclear import Unclear
from assistant.sheets.workbook_tables import Sheet

_REACH = 30  # years either side of today
_SHEETS: dict[Sheet, str] = {
    "year": r"year(?: plan)?|plan|boxes|themes",
    "items": r"items?|item list|list of items|products|contents",
    "suppliers": r"suppliers?|supplier list|list of suppliers",
    "orders": r"(?:purchase )?orders?|list of orders",
    "cash": r"cash(?: ?flow| plan)?",
}


def _year(text: str, c: Context) -> int | Unclear:
    said = text.strip().lower()
    if said in ("this year", "next year"):
        return c.today.year + (said == "next year")
    year = int(said)
    return year if abs(year - c.today.year) <= _REACH else Unclear(f"{year} is no year of a plan")


def _sheet(text: str, _c: Context) -> Sheet | None:
    said = " ".join(text.split()).lower()
    return next((one for one, words in _SHEETS.items() if re.fullmatch(words, said)), None)


KINDS: dict[str, Kind] = {
    "bookyear": Kind(r"(?:[12]\d{3}|this year|next year)", _year),
    "booksheet": Kind(rf"(?:{'|'.join(_SHEETS.values())})", _sheet),
}


def _workbook(_c: Context, year: int | None = None) -> Built:
    return SendWorkbook(year)


def _csv(_c: Context, sheet: Sheet = "items", year: int | None = None) -> Built:
    return SendSheet(sheet, year)


# Words that stand in many of these patterns, longer ones first.
_WORDS = {
    "<send>": "[please |can you |could you |can i have |could i have |i need |i want |i'd like ]"
    "[send me |send |give me |make me |make |show me |export |download |get me |get |save ]"
    "[a |an |the |my |our |all |all the |all my ]",
    "<export>": "[please |can you |could you |i want to ](export|download|save|turn)[ me]"
    "[ a| an| the| my| our| all| all the| all my]",
    "<book>": "(workbook|work book|spreadsheet|spread sheet|xlsx|xls|excel file|excel sheet"
    "|excel workbook|excel)",
    "<plan>": "(the year|my year|our year|the year plan|my year plan|year plan|the plan|my plan"
    "|our plan|the whole plan|the whole year|the shop|everything|it all|all of it|plan|year)",
    "<as-book>": "(as|in|to|into|as a|as an|in a|in an|to a|to an|into a|into an|for)",
    "<of>": "[ of| for| in| from][ the year]",
    "<csv>": "(csv|a csv|csv file|a csv file|comma separated values)",
    "<again>": "[ again| now]",
    "<sheet>": "{sheet:booksheet}",
    "<year>": "{year:bookyear}",
}


def _row(name: str, says: str, build: Build, example: str) -> Phrasing:
    for short, long in _WORDS.items():
        says = says.replace(short, long)
    return Phrasing(name, says, build, "the workbook", example, asks=True)


EXACT: tuple[Phrasing, ...] = (
    _row("workbook, exact", "workbook[ <year>]", _workbook, "workbook"),
    _row("csv, exact", "<sheet> as csv[ <year>]", _csv, "items as csv"),
)
TABLE: tuple[Phrasing, ...] = (
    _row(
        "a sheet as csv",
        """
        <send><sheet>[<of> <year>] (as|in|to|into) <csv><again>
        <send><sheet> (as|in|to|into) <csv><of> <year>
        <export> <sheet>[<of> <year>] (as|in|to|into) <csv><again>
        <send>(csv|csv file|csv export) (of|for|with) [the |my |our |all the ]<sheet>[<of> <year>]
        <send><sheet>[ list] csv[<of> <year>]
        """,
        _csv,
        "items as csv",
    ),
    _row(
        "items as csv, bare",
        """
        <send>(csv|csv file|csv export)<again>
        <export> (as|to|in) <csv><again>
        """,
        _csv,
        "items as csv",
    ),
    _row(
        "workbook",
        """
        <send><book>[<of> <year>]<again>
        <send><book> (of|for|with) <plan>[ <year>]<again>
        <send><plan>[ <year>] <as-book> <book><again>
        <send><plan> <as-book> <book><of> <year>
        <export> <plan>[ <year>] <as-book> <book><again>
        <export> <as-book> <book>[<of> <year>]<again>
        <export> <plan>[ <year>]<again>
        <send><year> <as-book> <book><again>
        <send><year> <book>
        <send>export[ of <plan>][ <year>]
        """,
        _workbook,
        "send me the workbook",
    ),
)
HALVES: tuple[Phrasing, ...] = ()
