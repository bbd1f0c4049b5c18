"""How days, months, money and lists are written, everywhere the same.

Invariants: dates carry their weekday; a year is written only when it is not the one meant;
amounts carry their currency; nothing here decides anything.
"""

from collections.abc import Sequence
from datetime import date
from functools import lru_cache

from assistant.scheduling.weeks import MONTHS as MONTHS  # as written to people, too
from assistant.sheets.writing import full_day as full_day
from assistant.sheets.writing import money as money
from assistant.sheets.writing import plural as plural
from assistant.sheets.writing import weekday_and_day

_day = lru_cache(2048)(weekday_and_day)


def day(on: date, today: date) -> str:
    """Write a date: "Mon 8 Mar", with its year when that is neither today's nor within half a
    year of today."""
    text = _day(on)
    near = on.year == today.year or abs((on - today).days) <= 183
    return text if near else f"{text} {on.year}"


def box_name(box: str, today: date) -> str:
    """Write a box id as people say it: "March", or "March 2028" when it is not the next March
    (this month's counts as next); a second box of a month is "March, second box"."""
    return _box_name(box, today.year, today.month)


@lru_cache(1024)
def _box_name(box: str, this_year: int, this_month: int) -> str:
    year, month = int(box[:4]), int(box[5:7])
    coming = this_year if month >= this_month else this_year + 1
    text = MONTHS[month - 1] if year == coming else f"{MONTHS[month - 1]} {year}"
    return f"{text}, second box" if box.endswith("b") else text


def listed(words: Sequence[str]) -> str:
    """Join words as people do: "a, b and c"."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


@lru_cache(1024)
def short(text: str, most: int) -> str:
    """Cut a text to at most `most` characters on a phone's line, with an ellipsis."""
    one_line = " ".join(text.split())
    return one_line if len(one_line) <= most else one_line[: most - 1].rstrip() + "\u2026"
