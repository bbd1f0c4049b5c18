"""The kinds of slots that patterns are made with.

Knows: which characters a slot may be made of and who reads it. Must not know: patterns. Invariants:
a reader returns a value, an Unclear, or None for "no such thing"; it never raises.
"""

import re
from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal

from assistant.conversation.understand.amounts import (
    CLOCK,
    CODES,
    LEAD,
    MONEY,
    read_clock,
    read_count,
    read_days,
    read_lead,
    read_money,
)
from assistant.conversation.understand.boxes import BOX, ID, read_box, read_coming_box
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.days import (
    COUNT,
    Stretch,
    month_number,
    near_month,
    read_day,
    read_period,
    read_stretch,
)
from assistant.conversation.understand.names import (
    exact_item,
    exact_supplier,
    known_item,
    known_supplier,
    read_country,
    read_idea,
    read_item,
    read_person,
    read_supplier,
    supplier_id,
)
from assistant.conversation.understand.reading import Kind, Resolver
from assistant.conversation.understand.tasks import exact_task, read_task, read_tasks
from assistant.conversation.understand.unclear import Unclear
from assistant.scheduling.weeks import Problem, parse_week
from assistant.scheduling.zones import zone, zone_names

_MONTHS = re.compile(r",? ?(?:\bor\b|\band\b|[/&,]) ?", re.IGNORECASE)


def _text(text: str, _c: Context) -> str | None:
    said = text.strip().strip('"').strip()
    return said or None


def _any(text: str, _c: Context) -> str | None:
    """Text kept as it was said, quotes too."""
    return text.strip() or None


def _months(text: str, _c: Context) -> tuple[int, ...] | None:
    """One month or more: "May", "May or June", "March and April"."""
    numbers = [_month(part) for part in _MONTHS.split(text.strip())]
    found = [number for number in numbers if number is not None]
    return tuple(dict.fromkeys(found)) if len(found) == len(numbers) else None


def _month(word: str) -> int | None:
    """The month that a word is, or can hardly but be a slip of."""
    near = near_month(word) if len(word) > 3 else None
    return month_number(word) or (near[0] if near and near[1] else None)


def _day(text: str, c: Context) -> date | Unclear | None:
    return read_day(text, c.today)


def _coming_day(text: str, c: Context) -> date | Unclear | None:
    day = read_day(text, c.today)
    if isinstance(day, date) and day < c.today:
        return Unclear(f'"{text.strip()[:40]}" is in the past')
    return day


def _until(text: str, c: Context) -> date | Unclear | None:
    """The last day of what was said: "this week", "June", "by Friday", "the next 10 days"."""
    said = re.sub(
        r"^(?:(?:by|until|till|up to|before|in|on|for|within|over) )+", "", text.strip(), flags=re.I
    )
    said = re.sub(r"^the (?=next \d)|^the coming |^coming ", "", said, flags=re.I)
    period = read_period(said, c.today)
    if period is not None:
        return period.last
    day = read_day(re.sub(r"^next (?=\d)", "in ", said, flags=re.I), c.today)
    if isinstance(day, date) and day < c.today:
        return Unclear(f'"{said[:40]}" is in the past')
    return day


def _ahead(text: str, c: Context) -> Stretch | None:
    """A week or month that is still to come: "next week", "in June"."""
    said = re.sub(r"^(?:in|during|for|over) ", "", text.strip(), flags=re.I)
    period = read_period(said, c.today)
    return period if period is not None and period.first > c.today else None


def _wait(text: str, c: Context) -> int | date | Unclear | None:
    """How long to wait: a number of working days, or the day after some weeks or calendar days."""
    days = read_days(text)
    calendar = re.search(r"calendar|weeks?|\dw", text, re.IGNORECASE)
    return c.today + timedelta(days) if calendar and isinstance(days, int) else days


def _week(text: str, _c: Context) -> str | None:
    found = parse_week(text)
    return None if isinstance(found, Problem) else found.text()


def _zone(text: str, _c: Context) -> str | Unclear | None:
    said = text.strip().replace(" ", "_")
    if found := zone(said):
        return found.key
    city = said.rpartition("/")[2].casefold()
    near = [name for key, name in zone_names().items() if key.rpartition("/")[2] == city]
    if len(near) == 1:
        return near[0]
    offers = tuple((name, name) for name in near)
    return Unclear(f'"{text.strip()[:40]}" is no time zone I know', offers)


def _percent(text: str, _c: Context) -> Decimal | Unclear | None:
    number = Decimal(re.sub(r"[^\d.]", "", text.replace(",", ".")) or "0")
    return number if number <= 100 else Unclear(f"{text.strip()} is more than the whole")


def _currency(text: str, _c: Context) -> str | Unclear | None:
    price = read_money(f"1 {text.strip()}")
    code = getattr(price, "currency", "")
    return code or Unclear(f'"{text.strip()[:20]}" is no currency I know')


def _places(text: str, c: Context) -> str | Unclear | None:
    """A country, or a part of one said with it: "Bavaria, Germany"."""
    part, _, country = re.sub(r" in (?=\S+$)", ", ", text.strip()).rpartition(", ")
    code = read_country(country, c)
    if not part or not isinstance(code, str):
        return code
    from assistant.scheduling.daysoff import subdivision_code  # slow, and hardly ever said

    found = subdivision_code(code.partition("/")[0], part)
    if isinstance(found, Problem):
        return Unclear(f'"{part[:40]}" is no part of {country} I know')
    return f"{code.partition('/')[0]}/{found}"


def _alone(read: Callable[[str], object]) -> Resolver:
    """A reader that needs to know nothing but the words."""
    return lambda text, _c: read(text)


_SHORT = r"[^,:;]{1,40}?(?:, second box)?"
KINDS: dict[str, Kind] = {
    "text": Kind(r".+", _text),
    "words": Kind(r".+?", _any),
    "facts": Kind(r".+", _any),
    "somefacts": Kind(r".+?", _any),
    "box": Kind(_SHORT, read_coming_box),
    "anybox": Kind(_SHORT, read_box),
    "id": Kind(ID, read_coming_box),
    "exactitem": Kind(rf".+ for {ID}", exact_item),
    "exacttask": Kind(rf"\S+ (?:.+ )?for {ID}", exact_task),
    "month": Kind(BOX, read_coming_box),
    "anymonth": Kind(BOX, read_box),
    "months": Kind(r"[a-z/&, ]{3,60}?", _months),
    "item": Kind(r".+?", read_item),
    "knownitem": Kind(r".+?", known_item),
    "supplier": Kind(r"[^:;]{1,80}?", read_supplier),
    "known": Kind(r"[^:;]{1,80}?", known_supplier),
    "exactsupplier": Kind(r"[^:;]{1,80}?", exact_supplier),
    "supplierid": Kind(r"[^:;]{1,80}?", supplier_id),
    "person": Kind(r".{1,80}?", read_person),
    "country": Kind(r"[^:;]{2,60}?", _places),
    "idea": Kind(
        r"(?:idea )?(?:number |no\.? ?|#)?(?:[0-9a-f]{8}|\d{1,4}|that one|this one|it|that)",
        read_idea,
    ),
    "money": Kind(MONEY, _alone(read_money)),
    "currency": Kind(
        rf"(?:{CODES.replace(' ', '|')}|[\u00a3\u20ac$\u00a5]|[a-z]{{3,9}})",
        _currency,
    ),
    "count": Kind(rf"(?:-?\d[\d,]*|{COUNT})", _alone(read_count)),
    "number": Kind(r"-?\d[\d,]*", _alone(read_count)),
    "percent": Kind(r"\d{1,6}(?:[.,]\d{1,2})?", _percent),
    "days": Kind(
        rf"{COUNT}(?: ?(?:(?:working|calendar|business) )?(?:days?|d|weeks?|w)\b)?",
        _alone(read_days),
    ),
    "length": Kind(
        rf"{COUNT} ?(?:(?:working|calendar|business) )?(?:days?|d|weeks?|w)\b", _alone(read_days)
    ),
    "wait": Kind(rf"{COUNT} ?(?:(?:working|calendar|business) )?(?:days?|d|weeks?|w)\b", _wait),
    "lead": Kind(LEAD, _alone(read_lead)),
    "day": Kind(r".{2,40}?", _day),
    "coming": Kind(r".{2,40}?", _coming_day),
    "ahead": Kind(r".{3,30}?", _ahead),
    "comingday": Kind(r"[a-z].{2,40}?", _coming_day),
    "until": Kind(r".{2,40}?", _until),
    "stretch": Kind(r".{1,60}?", lambda text, c: read_stretch(text, c.today)),
    "week": Kind(r"[a-z,&/ \-]{3,60}?", _week),
    "clock": Kind(CLOCK, _alone(read_clock)),
    "zone": Kind(r"[a-z_/+\-0-9 ]{2,40}", _zone),
    "tasks": Kind(r".*?", read_tasks),
    "task": Kind(r".+?", read_task),
}

# Words that stand in many patterns.
SHORTHAND: dict[str, str] = {
    "<i>": "[i |we |i've |we've ][have |just |already ]",
    "<has>": "[ is| are| has| have| was| has been| have been| were][ now| all| just| already]",
    "<put-off>": "(put off|put of|put it off|postpone|delay|later|remind me of|defer)",
    "<what-is>": "(what is|what's|whats|what are|what will be|anything|is anything|what is there"
    "|what do i have|what have i got|show what is|show me what is)",
    "<how-is>": "(how is|how's|hows|how are|how does|how about|what about|how will)",
    "<going>": "[ look| looking| doing| going| coming on| coming along| getting on| shaping up]",
    "<by-when>": "(when|by when|until when|what day|which day)",
    "<does>": "[ must| do| does| should| shall| will| is| are| can]",
    "<must>": "[ must| do| should| shall| can| need| have| does| is| will| would| are]"
    "[ i| we| you| it][ need| have| got][ to]",
    "<us>": "[ subscribers| subs| boxes| members| of us]",
    "<at-once>": "(now|at once|right away|straight away|anyway)",
    "<all-of>": "(everything|all|all items|all the items|every item|anything)",
    "<before>": " (packing|shipping|ordering|the order|the sample|pack|ship|order|sample)",
}
