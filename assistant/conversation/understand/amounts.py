"""Words for numbers: money, counts, lead times, times of day.

Knows: how amounts are written here and on the continent. Must not know: whose they are. Invariants:
a text that is no amount gives None; one that cannot be meant (a negative price, a count beyond all
reason) gives an Unclear that says why; money is exact.
"""

import re
from datetime import time
from decimal import Decimal

from assistant.conversation.understand.days import COUNT, count_of
from assistant.conversation.understand.unclear import Unclear
from assistant.planning.model import Lead, Record

MOST = 1_000_000  # of anything that is counted here
# ISO 4217 codes and the signs and words for them; codes are read in any case.
CODES = (
    "GBP EUR USD CHF SEK NOK DKK PLN CZK HUF RON CAD AUD NZD JPY CNY HKD TWD KRW SGD INR ZAR "
    "TRY MXN BRL ILS AED THB VND IDR MYR PHP"
)
_WORDS = {
    **dict.fromkeys(("£", "pound", "pounds", "quid", "sterling"), "GBP"),
    **dict.fromkeys(("€", "euro", "euros"), "EUR"),
    **dict.fromkeys(("$", "us$", "dollar", "dollars", "usd$"), "USD"),
    **dict.fromkeys(("¥", "yen"), "JPY"),
    **dict.fromkeys(("yuan", "rmb", "renminbi"), "CNY"),
    **{code.lower(): code for code in CODES.split()},
}
_UNIT = "|".join(re.escape(word) for word in sorted(_WORDS, key=len, reverse=True))
NUMBER = r"\d{1,3}(?:[ ,.]\d{3})+(?:[.,]\d{1,2})?|\d+(?:[.,]\d+)?"
MONEY = (
    rf"(?:[-\u2212]|minus )?(?:(?:{_UNIT}) ?)?[-\u2212]?(?:{NUMBER})"
    rf" ?(?:(?:{_UNIT}|p|pence|cents?)\b|[\u00a3\u20ac$\u00a5])?"
)
_MONEY = re.compile(
    rf"(?P<minus>-|minus )?(?:(?P<before>{_UNIT}) ?)?(?P<also>-)?(?P<number>{NUMBER})"
    rf"(?: ?(?P<after>{_UNIT}|pence|cents?|p))?",
    re.IGNORECASE,
)
_LEAD = re.compile(
    rf"(?P<count>{COUNT}) ?-?(?P<kind>working|business|calendar|week)?[- ]?"
    r"(?P<unit>days?|d|wd|weeks?|wks?|w|fortnights?|months?)",
    re.IGNORECASE,
)
LEAD = (
    rf"{COUNT} ?-?(?:(?:working|business|calendar|week)[- ])?"
    r"(?:days?|d|wd|weeks?|wks?|w|fortnights?|months?)\b"
)
_CLOCK = re.compile(
    r"(?P<hour>\d{1,2})(?:[:.h](?P<minute>\d\d))?(?: ?(?P<half>am|pm|o'clock|h))?", re.IGNORECASE
)
CLOCK = r"\d{1,2}(?:[:.h]\d\d)?(?: ?(?:am|pm|o'clock|h))?|noon|half past \w+"


class Price(Record):
    """An amount; `currency` "" was not said."""

    amount: Decimal
    currency: str = ""


def read_money(text: str) -> Price | Unclear | None:
    """An amount of money: "3.10", "\u00a33.10", "3,10 EUR", "1,250.00", "80p"."""
    found = _MONEY.fullmatch(text.strip())
    if found is None:
        return None
    if found["minus"] or found["also"]:
        return Unclear(f'"{text.strip()}" is below zero, and a price cannot be')
    amount = _decimal(found["number"])
    if amount is None or amount >= MOST:
        return Unclear(f'I could not read "{text.strip()}" as a price')
    before, after = (found["before"] or "").lower(), (found["after"] or "").lower()
    if after in ("p", "pence", "cent", "cents"):
        return Price(amount / 100, "GBP" if after.startswith("p") else "")
    return Price(amount, _WORDS.get(before or after, ""))


def _decimal(number: str) -> Decimal | None:
    """A number in either way of writing: the last mark before one, two or (a full stop) any digits
    is the decimal mark."""
    digits = number.replace(" ", "")
    cut = max(digits.rfind("."), digits.rfind(","))
    whole, part = (digits[:cut], digits[cut + 1 :]) if cut >= 0 else (digits, "")
    thousands = len(part) == 3 and (digits[cut] == "," or any(c in whole for c in ".,"))
    if thousands:
        whole, part = whole + part, ""
    whole = whole.replace(".", "").replace(",", "")
    return Decimal(f"{whole}.{part}" if part else whole) if len(whole + part) <= 12 else None


def read_count(text: str) -> int | Unclear | None:
    """A whole number of something: "450", "1,200", "three"."""
    said = text.strip()
    if re.fullmatch(r"\d{1,3}(?:,\d{3})+", said):
        said = said.replace(",", "")
    if re.fullmatch(r"-\d+", said):
        return Unclear(f'"{said}" is below zero')
    number = count_of(said) if len(said) <= 20 else MOST + 1 if said.isdecimal() else None
    if number is not None and number > MOST:
        return Unclear(f'"{said[:12]}" is more than I count')
    return number


def read_lead(text: str) -> Lead | Unclear | None:
    """A lead time: "20 working days", "20d", "4 weeks" (calendar days), "30 calendar days".

    Plain days are working days, weeks are calendar days: common practice, no source.
    """
    found = _LEAD.fullmatch(text.strip())
    number = count_of(found["count"]) if found else None
    if found is None or number is None:
        return None
    kind, unit = (found["kind"] or "").lower(), found["unit"].lower()
    if unit.startswith("m"):
        return Unclear(f'"{text.strip()}" could be 4 or 5 weeks each; say weeks or working days')
    calendar = kind == "calendar" or unit[0] == "f" or (unit.startswith("w") and unit != "wd")
    each = {"w": 7, "f": 14}.get(unit[0], 1) if unit != "wd" else 1
    if kind in ("working", "business") and each > 1:
        calendar, each = False, 5 * each // 7
    if number * each > 730:
        return Unclear(f'"{text.strip()}" is more than two years')
    return Lead(number * each, "calendar" if calendar else "working")


def read_days(text: str) -> int | Unclear | None:
    """A length in days: "3 days", "a week" (7), "3"."""
    found = re.fullmatch(
        rf"({COUNT})(?: ?(?:(?:working|calendar|business) )?(days?|d|weeks?|w))?",
        text.strip(),
        re.IGNORECASE,
    )
    number = count_of(found[1]) if found else None
    if found is None or number is None:
        return None
    days = number * (7 if (found[2] or "d").lower().startswith("w") else 1)
    return days if days <= 730 else Unclear(f'"{text.strip()}" is more than two years')


def read_clock(text: str) -> time | Unclear | None:
    """A time of day: "7:30", "7.30", "7am", "half past seven"."""
    said = text.strip().lower()
    if said == "noon":
        return time(12)
    if half := re.fullmatch(r"half past (\w+)", said):
        hour = count_of(half[1])
        return None if hour is None else _time(hour, 30, said)
    found = _CLOCK.fullmatch(said)
    if found is None:
        return None
    hour, half_day = int(found["hour"]), found["half"]
    if half_day in ("am", "pm") and 1 <= hour <= 12:
        hour = hour % 12 + (12 if half_day == "pm" else 0)
    return _time(hour, int(found["minute"] or 0), said)


def _time(hour: int, minute: int, said: str) -> time | Unclear:
    if hour > 23 or minute > 59:
        return Unclear(f'"{said}" is no time of day')
    return time(hour, minute)
