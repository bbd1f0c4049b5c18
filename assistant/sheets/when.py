"""Months and dates as people write them in tables.

Knows: English month names and the usual orders of day, month and year. Must not know: what today
is, or which column it reads. Invariants: reading never raises; a date that does not exist is not
read; what was guessed is said in `guessed`.
"""

import re
from collections.abc import Iterable, Sequence
from datetime import date
from functools import lru_cache

from assistant.planning.model import Record
from assistant.sheets.cells import Cell, text_of

MONTHS = (
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
)
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
# Words that may stand beside a month without being more than a month.
BESIDE = {"box", "boxes", "month", "shipment", "plan", "ships", "shipping", "ship", "the", "of"}
BESIDE |= {"on", "for", "date", "year"}
FIRST_YEAR, LAST_YEAR = 2000, 2099
LIKELY_YEARS = range(24, 50)  # "Jan 27" is a month of 2027, "Jan 15" a day
TYPO = 80  # of 100: a word this near a month's name is that month, misspelt
LONGEST = 60  # characters of a cell that is a month or a date
SHORTEST_TYPO = 5  # letters: "Mary" is not May


class When(Record):
    """A month, with its year and day if they were written. `guessed` is a misspelt word."""

    month: int
    year: int | None = None
    day: int | None = None
    guessed: str = ""

    @property
    def on(self) -> date | None:
        """The date, where year and day are known."""
        if self.year is None or self.day is None:
            return None
        return date(self.year, self.month, self.day)


# Dates in numbers, and which group is what: y year, m month, d day, a and b day and month in an
# order that only the whole column can tell. ISO 8601 for those that begin with the year.
NUMERIC: tuple[tuple[re.Pattern[str], str], ...] = tuple(
    (re.compile(pattern), groups)
    for pattern, groups in (
        (r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[T ][\d:.]+)?", "ymd"),
        (r"(\d{4})[-/.](\d{1,2})", "ym"),
        (r"(\d{1,2})[-/.](\d{4})", "my"),
        (r"(\d{1,2})[-/.](\d{1,2})[-/.](\d{4}|\d{2})(?: [\d:.]+)?", "aby"),
    )
)
EITHER_ORDER = NUMERIC[-1][0]
WORDS = re.compile(r"[^\W\d_]+|'?\d+(?:st|nd|rd|th)?", re.IGNORECASE)


def read_when(cell: Cell, day_first: bool = True, bare_months: bool = False) -> When | None:
    """Read a month or a date: "March", "Mar-27", "2027-03", "15/03/2027", "Fri 15 March".

    `day_first` decides 3/4/2027; `bare_months` lets 3 be March. None where it is neither.
    """
    if isinstance(cell, date):
        return When(cell.month, cell.year, cell.day)
    if isinstance(cell, str) and len(cell) > LONGEST:
        return None
    return _in_text(text_of(cell), day_first, bare_months)


@lru_cache(maxsize=10_000)  # tables say the same months over and over, and are looked through twice
def _in_text(text: str, day_first: bool, bare_months: bool) -> When | None:
    if bare_months and re.fullmatch(r"\d{1,2}", text) and 1 <= int(text) <= 12:
        return When(int(text))
    for pattern, groups in NUMERIC:
        if found := pattern.fullmatch(text):
            order = groups if groups != "aby" else "dmy" if day_first else "mdy"
            numbers = dict(zip(order, map(int, found.groups()), strict=True))
            return _whole(numbers["m"], numbers.get("y"), numbers.get("d"))
    return _in_words(text.replace("\u2019", "'"))


def has_day(cell: Cell) -> bool:
    """Say whether a cell names a day, not only a month."""
    when = read_when(cell)
    return when is not None and when.day is not None


def _whole(m: int, y: int | None = None, d: int | None = None, guessed: str = "") -> When | None:
    """A `When` of these numbers if they name a month or a day that exists."""
    if y is not None and y < 100:
        y += 2000
    if not 1 <= m <= 12 or (y is not None and not FIRST_YEAR <= y <= LAST_YEAR):
        return None
    if d is not None:
        try:
            date(2028 if y is None else y, m, d)  # 2028 has a 29 February
        except ValueError:
            return None
    return When(m, y, d, guessed)


def _in_words(text: str) -> When | None:
    """A month by name, and around it a year, a day, a weekday: "the 15th of March '27"."""
    month, guessed = 0, ""
    before: list[str] = []
    after: list[str] = []
    for word in WORDS.findall(text):
        if word[-1].isdigit() or word[0].isdigit():
            (after if month else before).append(word)
            continue
        number, misspelt = month_named(word)
        if number and not month:
            month, guessed = number, word if misspelt else ""
        elif not _is_beside(word):
            return None
    return _numbered(month, before, after, guessed) if month else None


def _is_beside(word: str) -> bool:
    lower = word.casefold()
    return lower in BESIDE or (len(lower) >= 3 and any(day.startswith(lower) for day in WEEKDAYS))


def _numbered(month: int, before: list[str], after: list[str], guessed: str) -> When | None:
    """Tell year and day apart: a year has four digits, an apostrophe, or comes last of two."""
    year = day = None
    for word in (*before, *after):
        number = int(re.sub(r"\D", "", word))
        ordinal = word[-1].isalpha()
        if number >= 1000 or word[0] == "'":
            kind = "year"
        elif ordinal or word in before or (day is None and number not in LIKELY_YEARS):
            kind = "day"
        else:
            kind = "year"
        if kind == "year" and year is None:
            year = number
        elif kind == "day" and day is None:
            day = number
        else:
            return None
    return _whole(month, year, day, guessed)


def month_named(word: str) -> tuple[int, bool]:
    """Return the month (1..12, or 0) that a word names, and whether the word is misspelt.

    A name may be cut to three letters or more. A misspelt one keeps its first letter.
    """
    lower = word.casefold()
    if len(lower) >= 3:
        for number, name in enumerate(MONTHS, start=1):
            if name.startswith(lower):
                return number, False
    if not SHORTEST_TYPO <= len(lower) <= 12:
        return 0, False
    from rapidfuzz import fuzz

    near = {
        fuzz.ratio(lower, name): number
        for number, name in enumerate(MONTHS, start=1)
        if name[0] == lower[0]
    }
    best = max(near, default=0)
    return (near[best], True) if best >= TYPO else (0, False)


def reads_day_first(
    cells: Iterable[Cell], months: Sequence[int | None] | None = None
) -> tuple[bool, bool]:
    """Decide from a whole column whether 3/4/2027 is 3 April, and whether that is a guess.

    The order that reads more of the column wins; then the one that agrees more with `months`
    (the months of the same rows) or, without them, that gives more different months; then day
    first.
    """
    texts = [text_of(cell) for cell in cells]
    known: Sequence[int | None] = months if months is not None else [None] * len(texts)
    pairs = [
        (text, month)
        for text, month in zip(texts, known, strict=True)
        if EITHER_ORDER.fullmatch(text)
    ]

    def score(day_first: bool) -> tuple[int, int]:
        read = [(when, month) for text, month in pairs if (when := read_when(text, day_first))]
        agreeing = sum(when.month == month for when, month in read)
        different = len({when.month for when, _ in read})
        return len(read), agreeing if months is not None else different

    first, second = score(True), score(False)
    unlike = any(read_when(text, True) != read_when(text, False) for text, _ in pairs)
    return first >= second, first == second and unlike


def settle_years(months: Sequence[When], start: int | None) -> tuple[int | None, ...]:
    """Give months in order the years that follow from those that are written, or from `start`,
    the year in which the first of them falls. None where nothing is known."""
    years = [when.year for when in months]
    if months and start is not None and not any(years):
        years[0] = start
    for at in range(1, len(years)):
        before = years[at - 1]
        if years[at] is None and before is not None:
            years[at] = before + (months[at].month < months[at - 1].month)
    for at in range(len(years) - 2, -1, -1):
        after = years[at + 1]
        if years[at] is None and after is not None:
            years[at] = after - (months[at].month > months[at + 1].month)
    return tuple(years)


def year_in(texts: Iterable[str]) -> int | None:
    """The one year that titles name, or None when they name none or several."""
    years = {
        int(found) for text in texts for found in re.findall(r"(?<![\d.])20\d\d(?!\d|\.\d)", text)
    }
    two = any(re.search(r"20\d\d\s*[-/–]\s*(?:20)?\d\d(?!\d)", text) for text in texts)
    return years.pop() if len(years) == 1 and not two else None
