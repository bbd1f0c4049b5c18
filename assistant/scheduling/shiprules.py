"""Ship-day rules as records, and the words people use for them.

Knows the grammar of "the 15th or the working day before". Must not know dates that follow from a
rule (see shipdays), boxes, or who ships. Choosing such ship days: common practice, no source.

Invariants: `parse_rule(rule.text()) == rule` for every rule that `parse_rule` gives; reading never
raises; words that are no rule are a Problem with an example that is one.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from assistant.scheduling.weeks import MONTHS, WEEKDAYS, Problem, weekday_number
from assistant.scheduling.workdays import Roll

EXAMPLE = "the 15th or the working day before"


@dataclass(frozen=True, slots=True)
class MonthDay:
    """The `day`th of the month, 1 to 31; the last day of a month that is too short for it.

    Going back to the last day of a short month is SKIP=BACKWARD of RFC 7529, section 4.1.
    """

    day: int

    def text(self) -> str:
        """As in "the 15th", "the last day"."""
        return f"the {_ordinal(self.day)}" if self.day < 31 else "the last day"


@dataclass(frozen=True, slots=True)
class NthWeekday:
    """The `n`th of a weekday (Monday is 0) in the month, counted from its end when negative.

    A month without it has no date (RFC 5545, section 3.3.10).
    """

    n: int
    weekday: int

    def text(self) -> str:
        """As in "the second Tuesday", "the last Friday"."""
        return f"the {_place(self.n)} {WEEKDAYS[self.weekday]}"


@dataclass(frozen=True, slots=True)
class NthWorkingDay:
    """The `n`th working day of the month, counted from its end when negative."""

    n: int

    def text(self) -> str:
        """As in "the first working day", "the second to last working day"."""
        return f"the {_place(self.n)} working day"


@dataclass(frozen=True, slots=True)
class EveryWeeks:
    """Every `weeks` weeks, 1 to 52, from `start` on."""

    weeks: int
    start: date

    def text(self) -> str:
        """As in "every 2 weeks from 2027-01-05"."""
        every = "every week" if self.weeks == 1 else f"every {self.weeks} weeks"
        return f"{every} from {self.start}"


Pattern = MonthDay | NthWeekday | NthWorkingDay | EveryWeeks


@dataclass(frozen=True, slots=True)
class ShipRule:
    """When boxes ship.

    Attributes:
        pattern: the day that the rule names.
        roll: where that day goes when it is not worked; None leaves it where it is.
        months: the months that have a ship day, 1 to 12 in rising order; none means all.
    """

    pattern: Pattern
    roll: Roll | None = None
    months: tuple[int, ...] = ()

    def text(self) -> str:
        """The rule in words that `parse_rule` reads back."""
        roll = f" {_ROLL_TEXT[self.roll]}" if self.roll else ""
        names = [MONTHS[month - 1] for month in self.months]
        listed = " and ".join(filter(None, (", ".join(names[:-1]), *names[-1:])))
        return self.pattern.text() + roll + (f" in {listed}" if listed else "")


_ROLL_TEXT = {
    Roll.PRECEDING: "or the working day before",
    Roll.FOLLOWING: "or the working day after",
    Roll.MODIFIED_FOLLOWING: "or the working day after, but not into the next month",
    Roll.MODIFIED_PRECEDING: "or the working day before, but not into the month before",
}
_PLACES = {1: "first", 2: "second", 3: "third", 4: "fourth", 5: "fifth"}
_PLACES_FROM_END = {-1: "last", -2: "second to last"}


def _place(n: int) -> str:
    return _PLACES.get(n) or _PLACES_FROM_END.get(n) or _ordinal(n)


def _ordinal(n: int) -> str:
    teens = n % 100 in (11, 12, 13)
    return f"{n}{'th' if teens else {1: 'st', 2: 'nd', 3: 'rd'}.get(n % 10, 'th')}"


# --- reading ----------------------------------------------------------------------------------

_LONGEST = 200  # characters; nobody's rule is longer
_MONTH = (
    r"(?:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?"
    r"|sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)"
)
_NUMBERS = {"one": 1, "two": 2, "other": 2, "three": 3, "four": 4, "five": 5, "six": 6}

# One way of saying each thing, applied in this order: #2 is "the second", #-1 "the last".
_SAME_AS: tuple[tuple[re.Pattern[str], str], ...] = tuple(
    (re.compile(pattern), meaning)
    for pattern, meaning in (
        (r"\s+", " "),
        (r"\b(?:working|business|work)[ -]?days?\b", "workday"),
        (r"\b(?:previous|preceding|prior) workday\b", "workday before"),
        (r"\b(?:next|following) workday(?: after)?\b", "workday after"),
        (r"\b(?:last|first|nearest|closest) workday (before|after)\b", r"workday \1"),
        (r"\b(?:the|on)\b ?", ""),
        (r"\b(?:second|2nd)(?: |-)(?:to |from )?last\b|\blast but one\b|\bpenultimate\b", "#-2"),
        (r"\blast\b", "#-1"),
        *((rf"\b{word}\b", f"#{n}") for n, word in _PLACES.items()),
        (r"(?<![-\d])\b(\d{1,2})(?:st|nd|rd|th)\b", r"#\1"),
        (r"\bfortnightly\b|\bevery fortnight\b", "every 2 weeks"),
        (r"\bweekly\b", "every 1 weeks"),
        (r"\b(?:starting|beginning)(?: from)?\b", "from"),
    )
)
_ROLL = re.compile(
    r",? (?:or|else|otherwise) (?:workday )?(?P<side>before|after)(?: (?:it|that))?"
    r"(?P<kept>,? (?:but )?(?:not into|not in|within|in) (?:[a-z]+ month|month (?:before|after)))?$"
)
_ROLLS = {
    ("before", False): Roll.PRECEDING,
    ("before", True): Roll.MODIFIED_PRECEDING,
    ("after", False): Roll.FOLLOWING,
    ("after", True): Roll.MODIFIED_FOLLOWING,
}
_MONTHS_NAMED = re.compile(
    rf",? \b(?:in|of) ({_MONTH}(?:(?:, and|,| and| &) ?{_MONTH})*)(?=$|,? or )"
)
_QUARTERS = re.compile(
    rf",? ?\b(?:quarterly|every quarter|every (?:3|three) months)(?:,? (?:from|in) ({_MONTH}))?,? ?"
)
_EACH_MONTH = re.compile(
    r",? ?(?:\b(?:of|in) )?\b(?:(?:each|every|a|per) month|month|monthly)\b,? ?"
)
_ISO = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})")
_DAY_MONTH = re.compile(rf"#?(\d{{1,2}})(?: of)? ({_MONTH}),? (\d{{4}})")
_MONTH_DAY = re.compile(rf"({_MONTH}) #?(\d{{1,2}}),? (\d{{4}})")

_NO_START = Problem("I need a first date to count the weeks from.", "every 2 weeks from 2027-01-05")
_NO_QUARTER = Problem(
    "I need the months of the quarters.", "the 15th in March, June, September and December"
)
_TWO_MEANINGS = Problem(
    f'That can mean a weekday of each month, or other weeks as in "{_NO_START.example}".',
    "the second Tuesday",
)
_NO_SUCH_DAY = Problem("No month has that day.", EXAMPLE)


def parse_rule(text: str) -> ShipRule | Problem:
    """Read a ship-day rule.

    "the 15th", "15th or the working day before", "the 31st or the working day after, but not into
    the next month", "second Tuesday", "last Friday", "last working day", "3rd working day", "every
    2 weeks from 2027-01-05", "quarterly from March on the 15th", "the 15th in May and November".
    """
    words = text.strip().strip(".!").lower()
    if len(words) > _LONGEST:
        return _not_a_rule(text)
    for pattern, meaning in _SAME_AS:
        words = pattern.sub(meaning, words)
    months: tuple[int, ...] = ()
    if found := _QUARTERS.search(words):
        if found[1] is None:
            return _NO_QUARTER
        months, words = _quarters(found[1]), _without(words, found)
    elif found := _MONTHS_NAMED.search(words):
        months, words = _months(found[1]), _without(words, found)
    roll = None
    if found := _ROLL.search(words):
        roll, words = _ROLLS[found["side"], found["kept"] is not None], _without(words, found)
    pattern_words = _EACH_MONTH.sub(" ", words).strip(" ,")
    for shape, read in _SHAPES:
        if match := shape.fullmatch(pattern_words):
            named = read(match)
            return named if isinstance(named, Problem) else ShipRule(named, roll, months)
    return _not_a_rule(text)


def _not_a_rule(text: str) -> Problem:
    return Problem(f'I could not read "{text.strip()[:60]}" as a ship day.', EXAMPLE)


def _without(words: str, found: re.Match[str]) -> str:
    return f"{words[: found.start()]} {words[found.end() :]}".strip()


def _months(words: str) -> tuple[int, ...]:
    return tuple(sorted({_month(word) for word in re.findall(_MONTH, words)}))


def _quarters(first: str) -> tuple[int, ...]:
    return tuple(sorted((_month(first) + step - 1) % 12 + 1 for step in (0, 3, 6, 9)))


def _month(word: str) -> int:
    return next(n for n, name in enumerate(MONTHS, 1) if name.lower().startswith(word[:3]))


def _month_day(match: re.Match[str]) -> Pattern | Problem:
    day = int(match[1])
    return MonthDay(day) if 1 <= day <= 31 else _NO_SUCH_DAY


def _last_day(_: re.Match[str]) -> Pattern | Problem:
    return MonthDay(31)


def _nth_weekday(match: re.Match[str]) -> Pattern | Problem:
    n, weekday = int(match[1]), weekday_number(match[2])
    return NthWeekday(n, weekday) if weekday is not None and n in _WEEKDAY_PLACES else _NO_SUCH_DAY


def _nth_working_day(match: re.Match[str]) -> Pattern | Problem:
    n = int(match[1])
    return NthWorkingDay(n) if n in _PLACES_FROM_END or 1 <= n <= 31 else _NO_SUCH_DAY


def _every_weeks(match: re.Match[str]) -> Pattern | Problem:
    many = match[1] or "1"
    weeks = _NUMBERS[many] if many in _NUMBERS else int(many)
    if match[2] is None:
        return _NO_START
    start = _date(match[2])
    if start is None:
        return Problem(f'"{match[2][:20]}" is no date.', _NO_START.example)
    if not 1 <= weeks <= 52:
        return Problem("I count from 1 to 52 weeks between boxes.", _NO_START.example)
    return EveryWeeks(weeks, start)


def _two_meanings(_: re.Match[str]) -> Pattern | Problem:
    return _TWO_MEANINGS


def _no_start(_: re.Match[str]) -> Pattern | Problem:
    return _NO_START


def _date(words: str) -> date | None:
    """A date such as "2027-01-05", "5 January 2027" or "January 5, 2027"; None if it is none."""
    if found := _ISO.fullmatch(words):
        year, month, day = map(int, found.groups())
    elif found := _DAY_MONTH.fullmatch(words):
        year, month, day = int(found[3]), _month(found[2]), int(found[1])
    elif found := _MONTH_DAY.fullmatch(words):
        year, month, day = int(found[3]), _month(found[1]), int(found[2])
    else:
        return None
    try:
        return date(year, month, day)
    except ValueError:
        return None


_WEEKDAY_PLACES = (*_PLACES, *_PLACES_FROM_END)
_MANY = "|".join(_NUMBERS)
_SHAPES: tuple[tuple[re.Pattern[str], Callable[[re.Match[str]], Pattern | Problem]], ...] = (
    (re.compile(r"(?:day )?#?(\d{1,2})(?: day)?"), _month_day),
    (re.compile(r"#-1 day"), _last_day),
    (re.compile(r"#(-?\d{1,2}) workday"), _nth_working_day),
    (re.compile(r"#(-?\d{1,2}) ([a-z]+day|[a-z]{3,5})"), _nth_weekday),
    (re.compile(rf"every (?:#?(\d{{1,9}}|{_MANY}) )?weeks?(?:,? from (.+))?"), _every_weeks),
    (re.compile(r"every (?:#\d|other) [a-z]+day"), _two_meanings),
    (re.compile(r"every [a-z]+day.*"), _no_start),
)
