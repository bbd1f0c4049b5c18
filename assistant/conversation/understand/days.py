"""Words for days: single dates, stretches of days, months by name.

Knows: the calendar and how people write it, day before month. Must not know: boxes, who is closed,
patterns. Invariants: a text that is no date gives None, a date that cannot be gives an Unclear that
says why; a date without a year is the next one, today counting, or the one nearest to a given day.
"""

import re
from calendar import monthrange
from dataclasses import dataclass, replace
from datetime import date, timedelta

from assistant.conversation.replies.plain import MONTHS
from assistant.conversation.understand.unclear import Unclear
from assistant.conversation.understand.words import slip
from assistant.scheduling.weeks import WEEKDAYS, weekday_number

_TO_TWELVE = "one two three four five six seven eight nine ten eleven twelve"
NUMBER_WORDS = {
    **{word: number for number, word in enumerate(_TO_TWELVE.split(), 1)},
    **{"a": 1, "an": 1, "another": 1, "a couple of": 2, "a few": 3},
    **{"fourteen": 14, "fifteen": 15, "twenty": 20, "thirty": 30},
}
MONTH = (
    r"(?:jan(?:uary)?|feb(?:r(?:uary)?)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?"
    r"|sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)\.?"
)
COUNT = rf"(?:\d{{1,6}}|{'|'.join(sorted(NUMBER_WORDS, key=len, reverse=True))})"
_YEAR = r"(?P<year>\d{4}|'\d\d)"
_NTH = r"(?P<day>\d{1,2})(?:st|nd|rd|th)?"
_NAME = r"(?P<month>[a-z]{3,10})\.?"
_FORMS = tuple(
    re.compile(pattern, re.IGNORECASE)
    for pattern in (
        r"(?P<year>\d{4})-(?P<month>\d{1,2})-(?P<day>\d{1,2})",
        r"(?P<day>\d{1,2})[/.](?P<month>\d{1,2})(?:\.|[/.](?P<year>\d{4}|\d\d))?",
        rf"(?:the )?{_NTH}(?: of)? {_NAME}(?:,? {_YEAR})?",
        rf"{_NAME}(?: the)? {_NTH}(?:,? {_YEAR})?",
        r"(?:the )?(?P<day>\d{1,2})(?:st|nd|rd|th)",
        r"(?:the )(?P<day>\d{1,2})",
    )
)
_LEAD = re.compile(r"^(?:on|by|until|till|the (?=next|last|end|beginning))\s+", re.IGNORECASE)
_WEEKDAY = re.compile(r"(?:(?P<which>this|next|coming|on) )?(?P<day>[a-z]{3,9})", re.IGNORECASE)
_AHEAD = re.compile(
    rf"(?:in )?(?P<count>{COUNT}) (?P<unit>days?|weeks?|fortnights?|months?)"
    r"(?: from (?:now|today)| time)?",
    re.IGNORECASE,
)
_JOINT = re.compile(r" ?\b(?:to|until|till|through|and)\b ?| ?- ?", re.IGNORECASE)
_REACH = 50  # years either side of today that a date may lie


@dataclass(frozen=True, slots=True)
class Partial:
    """A date as written: `year` and `month` may lack."""

    day: int
    month: int | None = None
    year: int | None = None
    said: str = ""


@dataclass(frozen=True, slots=True)
class Stretch:
    """Days from `first` to `last`, both included; `last` None has no end."""

    first: date
    last: date | None


def count_of(text: str) -> int | None:
    """The number that "3", "three" or "a" means."""
    word = text.strip().lower()
    return int(word) if word.isdecimal() and len(word) <= 9 else NUMBER_WORDS.get(word)


# --- months ---------------------------------------------------------------------------------


def month_number(word: str) -> int | None:
    """The month (1..12) that a word of three or more letters begins: "mar", "Sept.", "march"."""
    short = word.strip().rstrip(".").lower()
    if len(short) < 3:
        return None
    return next((n for n, name in enumerate(MONTHS, 1) if name.lower().startswith(short)), None)


def near_month(word: str) -> tuple[int, bool] | None:
    """The month that a misspelt word may mean, and whether that is sure enough to act on."""
    low = word.lower().rstrip(".")
    kinds = {n: slip(low, name.lower()) for n, name in enumerate(MONTHS, 1)}
    for kind in ("sure", "maybe"):
        found = [n for n, how in kinds.items() if how == kind]
        if len(found) == 1:
            return found[0], kind == "sure"
    return None


# --- single days ----------------------------------------------------------------------------


def read_day(text: str, today: date, near: date | None = None) -> date | Unclear | None:
    """The day that `text` names; one without a year is the next from today, or the one nearest to
    `near`."""
    said = _LEAD.sub("", text.strip().rstrip("."))
    if (found := _relative(said.lower(), today)) is not None:
        return found
    part = _partial(said)
    if part is not None:
        return _placed(part, today, near)
    first, _, rest = said.partition(" ")
    weekday = weekday_number(first.rstrip(","))
    if weekday is None or not rest:
        return None
    day = read_day(rest, today, near)
    if isinstance(day, date) and day.weekday() != weekday:
        return Unclear(f"{_long(day)} is a {WEEKDAYS[day.weekday()]}, no {WEEKDAYS[weekday]}")
    return day


_NAMED = {"today": 0, "now": 0, "tonight": 0, "tomorrow": 1, "tmrw": 1, "tomorow": 1}
_NAMED |= {"tommorow": 1, "tommorrow": 1, "yesterday": -1, "the day after tomorrow": 2}


def _relative(said: str, today: date) -> date | Unclear | None:
    """A day told from today."""
    if said in _NAMED:
        return today + timedelta(_NAMED[said])
    if said in ("next week", "next monday") or (found := _AHEAD.fullmatch(said)) is None:
        return _weekday(said, today) or _edge(said, today)
    number, unit = count_of(found["count"]), found["unit"]
    if number is None or number > 3660:
        return Unclear(f'"{said}" is further away than I plan')
    if unit.startswith("month"):
        return _months_on(today, number)
    return today + timedelta(number * {"d": 1, "w": 7, "f": 14}[unit[0]])


def _weekday(said: str, today: date) -> date | None:
    """The next such weekday after today; "next Tuesday" is that of next week."""
    if said == "next week":
        said = "next monday"
    found = _WEEKDAY.fullmatch(said)
    number = weekday_number(found["day"]) if found else None
    if found is None or number is None:
        return None
    if found["which"] == "next":
        return today + timedelta(7 - today.weekday() + number)
    return today + timedelta((number - today.weekday() - 1) % 7 + 1)


def _edge(said: str, today: date) -> date | None:
    """The end or the beginning of a week or month: "end of March", "this month"."""
    found = re.fullmatch(r"(?:the )?(end|beginning|start) of (?:the )?(.+)", said)
    stretch = read_period(found[2] if found else said, today)
    if stretch is None or stretch.last is None:
        return None
    return stretch.last if found and found[1] == "end" else stretch.first if found else None


def _months_on(day: date, months: int) -> date:
    years, month = divmod(day.month - 1 + months, 12)
    year, month = min(day.year + years, 9999), month + 1
    return date(year, month, min(day.day, monthrange(year, month)[1]))


def _partial(said: str) -> Partial | None:
    """A date as written."""
    for form in _FORMS:
        if found := form.fullmatch(said):
            parts = found.groupdict()
            month = parts.get("month")
            number = _month_of(month) if month else None
            if month and number is None:
                continue
            year = parts.get("year")
            return Partial(int(parts["day"]), number, _year(year) if year else None, said)
    return None


def _month_of(word: str) -> int | None:
    if word.isdecimal():
        return int(word)
    near = None if month_number(word) else near_month(word)
    return near[0] if near and near[1] else month_number(word)


def _year(text: str) -> int:
    year = int(text.lstrip("'"))
    return year + 2000 if year < 100 else year


def _placed(part: Partial, today: date, near: date | None) -> date | Unclear:
    if part.month is None:
        return _in_some_month(part, near or today)
    if problem := _impossible(part, today):
        return problem
    if part.year is not None:
        return date(part.year, part.month, part.day)
    middle = (near or today).year
    years = [y for y in range(middle - 1, middle + 9) if part.day <= monthrange(y, part.month)[1]]
    days = [date(year, part.month, part.day) for year in years]
    if near is not None:
        return min(days, key=lambda day: abs((day - near).days))
    return next(day for day in days if day >= today)


def _in_some_month(part: Partial, start: date) -> date | Unclear:
    """The next such day of a month from `start` on."""
    if not 1 <= part.day <= 31:
        return Unclear(f'"{part.said}" is no day of a month')
    for ahead in range(12):
        month = _months_on(start.replace(day=1), ahead)
        if part.day <= monthrange(month.year, month.month)[1]:
            day = month.replace(day=part.day)
            if day >= start:
                return day
    return Unclear(f'"{part.said}" is no day of a month')


def _impossible(part: Partial, today: date) -> Unclear | None:
    """Why there is no such date, if there is none."""
    month = part.month or 0
    if not 1 <= month <= 12:
        return Unclear(f'"{part.said}" is no date: there is no month {month} (I read day/month)')
    year = part.year if part.year is not None else 2024  # a leap year
    if abs(year - today.year) > _REACH:
        return Unclear(f'"{part.said}" is too far from today')
    most = monthrange(year, month)[1]
    if not 1 <= part.day <= most:
        when = MONTHS[month - 1] + (f" {year}" if month == 2 and part.day == 29 else "")
        return Unclear(f'"{part.said}" is no date: {when} has {most} days')
    return None


def _long(day: date) -> str:
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


# --- stretches of days ----------------------------------------------------------------------


def read_period(text: str, today: date) -> Stretch | None:
    """A week or month: "this week", "next month", "June", "June 2028"."""
    said = re.sub(r"^(?:the whole(?: of)?|all(?: of)?|in|during|the) ", "", text.strip().lower())
    if said in ("week", "this week", "next week"):
        monday = today + timedelta((7 if said == "next week" else 0) - today.weekday())
        return Stretch(monday, monday + timedelta(6))
    if said in ("month", "this month", "next month"):
        return _month(_months_on(today.replace(day=1), said == "next month"))
    found = re.fullmatch(r"([a-z]{3,10})\.?(?: (\d{4}))?", said)
    number = month_number(found[1]) if found else None
    if found is None or number is None:
        return None
    year = int(found[2]) if found[2] else today.year + (number < today.month)
    return _month(date(year, number, 1)) if 1 <= year <= 9999 else None


def _month(first: date) -> Stretch:
    return Stretch(first, first.replace(day=monthrange(first.year, first.month)[1]))


def read_stretch(text: str, today: date) -> Stretch | Unclear | None:
    """Days as a closure names them: "2-20 August", "24 Dec to 2 Jan", "from 1 May", "in August",
    "until Friday", "on 5 May"."""
    said = re.sub(r"^(?:(?:for|over|between|during) )+", "", text.strip(), flags=re.IGNORECASE)
    low = said.lower()
    if (period := read_period(said, today)) is not None:
        return period
    if low.startswith(("until ", "till ", "to ", "up to ")):
        end = read_day(re.sub(r"^(?:up to|until|till|to) ", "", low), today)
        return Stretch(today, end) if isinstance(end, date) else end
    opened = low.startswith(("from ", "since ", "as of ", "starting "))
    said = re.sub(r"^(?:from|since|as of|starting|on) ", "", said, flags=re.IGNORECASE)
    if (pair := _pair(said, today)) is not None:
        return pair
    after = re.sub(r",? (?:on|onwards?|for good|for ever|until further notice)$", "", said)
    day = read_day(after, today)
    if not isinstance(day, date):
        return day
    return Stretch(day, None if opened or after != said else day)


def _pair(said: str, today: date) -> Stretch | Unclear | None:
    """Two ends; either may leave out what the other says."""
    for joint in _JOINT.finditer(said):
        left, right = said[: joint.start()], said[joint.end() :]
        first, last = _end(left), _end(right)
        if first is not None and last is not None and (first.month or last.month):
            return _both(*_filled(first, last), today, said)
        begin, end = read_day(left, today), read_day(right, today)
        if isinstance(begin, date) and isinstance(end, date):
            return _ordered(begin, end, said)
    return None


def _end(text: str) -> Partial | None:
    """One end of a stretch, which may be a bare day of the month."""
    said = _LEAD.sub("", text.strip())
    first, _, rest = said.partition(" ")
    if rest and weekday_number(first.rstrip(",")) is not None:
        said = rest
    if re.fullmatch(r"\d{1,2}\.?", said):
        return Partial(int(said.rstrip(".")), said=said)
    return _partial(said)


def _filled(first: Partial, last: Partial) -> tuple[Partial, Partial]:
    """Both ends, each with the month that the other says ("2-20 August", "August 2-20")."""
    if first.month is None:
        return replace(first, month=last.month, said=f"{first.day} of {last.said}"), last
    if last.month is None:
        return first, replace(last, month=first.month, said=f"{last.day} of {first.said}")
    return first, last


def _both(first: Partial, last: Partial, today: date, said: str) -> Stretch | Unclear:
    """A stretch between two days of the year; over the new year where its months say so."""
    over = (first.month or 0) > (last.month or 0)
    if last.year is None and first.year is not None:
        last = replace(last, year=first.year + over)
    end = _placed(last, today, None)
    if isinstance(end, Unclear):
        return end
    begin = _placed(replace(first, year=first.year or end.year - over), today, None)
    return begin if isinstance(begin, Unclear) else _ordered(begin, end, said)


def _ordered(begin: date, end: date, said: str) -> Stretch | Unclear:
    if begin > end:
        return Unclear(f'"{said}" ends before it begins')
    if (end - begin).days > 731:
        return Unclear(f'"{said}" is more than two years; say "from" and a date if it has no end')
    return Stretch(begin, end)
