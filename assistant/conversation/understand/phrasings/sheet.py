"""Ways to ask for the year sheet: as a picture, to print, in words, whole or a quarter of it.

Knows: the request of the sheet. Must not know: how a line is matched, how a sheet looks.
Invariant: each example is understood as its row.
"""

import re

from assistant.conversation.sentences.sheet import Form
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.reading import Build, Built, Kind, Phrasing
from assistant.conversation.understand.unclear import Unclear
from assistant.conversation.year_requests import YearSheet
from assistant.planning.year.year_view import quarter_of_month

Quarter = tuple[int, int | None]  # 1..4, and its year where the words say it

_REACH = 30  # years either side of today
_NUMBERS = ("first|1st|one|1", "second|2nd|two|2", "third|3rd|three|3", "fourth|4th|four|4|last")
_QUARTER = "(?:quarter|quater|qtr)"
_SHORT = re.compile(r"q ?([1-4])", re.IGNORECASE)
_THESE = {"this": 0, "the current": 0, "next": 1, "the next": 1, "the coming": 1}


def _quarter(text: str, c: Context) -> Quarter | None:
    """A quarter by its number, or the one that we are in or that comes next."""
    said = text.strip().lower()
    if found := _SHORT.fullmatch(said):
        return int(found[1]), None
    word = re.sub(rf" ?{_QUARTER} ?", "", said).strip()
    if word in _THESE:
        years, place = divmod(quarter_of_month(c.today.month) - 1 + _THESE[word], 4)
        return place + 1, c.today.year + years
    word = word.removeprefix("the ")
    numbers = (n for n, words in enumerate(_NUMBERS, 1) if word in words.split("|"))
    number = next(numbers, None)
    return (number, None) if number else None


def _year(text: str, c: Context) -> int | Unclear:
    said = text.strip().lower()
    if said in ("this year", "next year"):
        return c.today.year + (said == "next year")
    year = int(said)
    if abs(year - c.today.year) > _REACH:
        return Unclear(f"{year} is no year of a plan")
    return year


KINDS: dict[str, Kind] = {
    "quarter": Kind(
        rf"(?:(?:the )?(?:first|second|third|fourth|last|[1-4](?:st|nd|rd|th)|this|next|current"
        rf"|coming) {_QUARTER}|(?:the )?{_QUARTER} (?:[1-4]|one|two|three|four)|q ?[1-4])",
        _quarter,
    ),
    "sheetyear": Kind(r"(?:[12]\d{3}|this year|next year)", _year),
}


def _sheet(form: Form) -> Build:
    def build(_c: Context, quarter: Quarter | None = None, year: int | None = None) -> Built:
        number, its_year = quarter or (None, None)
        return YearSheet(year=year or its_year, quarter=number, form=form)

    return build


def _of_box(_c: Context, box: str) -> Built:
    return YearSheet(year=int(box[:4]), quarter=quarter_of_month(int(box[5:7])))


def _row(name: str, says: str, build: Build, example: str) -> Phrasing:
    return Phrasing(name, _written_out(says), build, "the year sheet", example, asks=True)


# Words that stand in many of these patterns, longer ones first.
_WORDS = {
    "<show>": "[show me |show |send me |send |give me |make me |make |draw me |draw |see |get "
    "|i need |can i have |could i have ][a |the |my |our |another ]",
    "<year-sheet>": "(year sheet|yearsheet|yr sheet|year picture)",
    "<sheet>": "(year sheet|yearsheet|year picture|picture|pic|image|sheet)",
    "<the-year>": "(the year|my year|our year|the whole year|year|the year plan|the plan"
    "|year plan)",
    "<of>": "[ of| for| in| from][ the year]",
    "<again>": "[ again| now]",
    "<words>": "(in words|as words|as text|in text|as a text|in plain words|without the picture)",
    "<paper>": "(to print|for printing|as a pdf|as pdf|on paper|to print out|for the wall"
    "|to pin up)",
    "<year>": "{year:sheetyear}",
}


def _written_out(says: str) -> str:
    for short, long in _WORDS.items():
        says = says.replace(short, long)
    return says


TABLE: tuple[Phrasing, ...] = (
    _row(
        "year sheet in words",
        """
        <show><year-sheet>[<of> <year>][ {quarter:quarter}] <words>
        <show>{quarter:quarter}[<of> <year>] <words>
        <show><the-year>[ <year>] <words>
        (read me|read|read out|describe|tell me) <the-year>[ <year>][ aloud|<words>]
        (describe|read me|read out) [the ](year sheet|picture)[<of> <year>]
        """,
        _sheet("words"),
        "year sheet in words",
    ),
    _row(
        "year sheet to print",
        """
        <show><year-sheet>[<of> <year>][ {quarter:quarter}] <paper>
        <show><the-year>[ <year>] <paper>
        <show>{quarter:quarter}[<of> <year>] <paper>
        (print|print out|print me) [a |my |our ](year sheet|picture)[<of> <year>]
        (print|print out|print me) [the ](year sheet|picture)[<of> <year>]
        (print|print out|print me) <the-year>[<of> <year>]
        (print|print out) {quarter:quarter}[<of> <year>]
        <show>(printable|printed|pdf) (year sheet|year|plan|version|page)[<of> <year>]
        <show>pdf (of|for) [<the-year>][ ][<year>]
        """,
        _sheet("page"),
        "year sheet to print",
    ),
    _row(
        "year sheet of a quarter",
        """
        <show><sheet> {quarter:quarter}[<of> <year>]
        <show><sheet> (of|for) {quarter:quarter}[<of> <year>]
        <show><year-sheet> <year> {quarter:quarter}
        <show>{quarter:quarter}[<of> <year>][ as a picture| as picture| picture| sheet]
        """,
        _sheet("picture"),
        "picture of the second quarter",
    ),
    _row(
        "year sheet",
        """
        <show><year-sheet>[<of> <year>]<again>
        (send|send me|give me|can i have) (the|my|our)[ whole] (year|year plan)[ <year>]
        <show>(picture|pic|image|chart|drawing) (of|for) <the-year>[<of> <year>]<again>
        <show>(picture|pic|image|sheet) (of|for) <year><again>
        <show><the-year>[ <year>] as [a |an ](picture|pic|image|sheet|chart)<again>
        <show><year> as [a |an ](picture|pic|image|sheet|chart)
        (draw|draw me|picture) <the-year>[<of> <year>]<again>
        [show me ](what does|how does) <the-year>[ <year>] look[ like]
        """,
        _sheet("picture"),
        "year sheet",
    ),
    _row(
        "year sheet of a month",
        """
        <show>(picture|pic|sheet|image) (of|for) {box:anymonth}
        """,
        _of_box,
        "picture of the second quarter",
    ),
)
HALVES: tuple[Phrasing, ...] = ()
