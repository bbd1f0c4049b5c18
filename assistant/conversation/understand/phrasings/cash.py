"""Ways to speak of money in and out, of what is in the bank, and of when renewals come in.

Knows: requests of cash, the figures of the books that only cash needs. Must not know: how a line is
matched. Invariants: what is in the bank is in the shop's currency and dated; nothing said of the
future is in the bank. Terms of suppliers stand in terms.py, whose rows belong to this room.
"""

import re
from datetime import date, timedelta
from decimal import Decimal
from typing import Literal

from assistant.conversation.order_requests import ChangeBooks, ShowCash, Tightest, WhatMovesCash
from assistant.conversation.understand.amounts import MONEY, Price, read_money
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.days import read_day
from assistant.conversation.understand.kinds import KINDS as COMMON
from assistant.conversation.understand.phrasings import terms
from assistant.conversation.understand.reading import Build, Built, Kind, Phrasing
from assistant.conversation.understand.unclear import Unclear
from assistant.planning.changes import profile_of

UNTIL = COMMON["until"]
LATELY = timedelta(92)  # how long ago a bank was looked at, that a day without its year means
_MINUS = re.compile(r"(?:[-\u2212]|minus )\s*", re.IGNORECASE)


def _balance(text: str, c: Context) -> Decimal | Unclear | None:
    """An amount in the shop's currency, below zero too."""
    found = read_money(_MINUS.sub("", text.strip(), count=1))
    if not isinstance(found, Price):
        return found
    own = profile_of(c.shop).currency
    if found.currency not in ("", own):
        return Unclear(f"your bank is reckoned in {own}")
    return -found.amount if _MINUS.search(text) else found.amount


def _day_of_month(text: str, _c: Context) -> int | Unclear:
    """A day of every month by its number; "the last" is the 31st, which falls on each last day."""
    digits = re.sub(r"\D", "", text)
    number = int(digits) if digits else 31
    return number if 1 <= number <= 31 else Unclear(f"no month has a day {number}")


def _past_day(text: str, c: Context) -> date | Unclear | None:
    """A day up to today; without a year the last such day."""
    day = read_day(text, c.today)
    if not isinstance(day, date) or day <= c.today:
        return day
    last = (
        None if re.search(r"\d{4}", text) else read_day(f"{text.strip()} {day.year - 1}", c.today)
    )
    if isinstance(last, date) and c.today - last <= LATELY:
        return last
    return Unclear(f'"{text.strip()[:40]}" is still to come')


def _last_day(text: str, c: Context) -> date | Unclear | None:
    """The last day of what is said: of a year too ("2028")."""
    said = text.strip()
    if re.fullmatch(r"20\d\d", said):
        year = int(said)
        return date(year, 12, 31) if year >= c.today.year else Unclear(f"{year} is past")
    found: date | Unclear | None = UNTIL.read(said, c)
    return found


KINDS: dict[str, Kind] = {
    **terms.KINDS,
    "balance": Kind(MONEY, _balance),
    "lastday": Kind(UNTIL.pattern, _last_day),
    "pastday": Kind(r".{2,40}?", _past_day),
    "monthday": Kind(r"(?:\d{1,2}(?:st|nd|rd|th)?|last(?: day)?)", _day_of_month),
}


def _bank(
    c: Context, bank: Decimal | None = None, minus: Decimal | None = None, day: date | None = None
) -> Built:
    amount = bank if minus is None else -abs(minus)
    return ChangeBooks(bank=amount, bank_on=day or c.today)


def _show(by: Literal["week", "month"], *, picture: bool = False) -> Build:
    def build(_c: Context, first: date | None = None, last: date | None = None) -> Built:
        if first and last and last < first:
            return Unclear("that ends before it begins")
        return ShowCash(by, first, last, picture)

    return build


_CASH = "[show |show me |see ][the |our |my ](cash|cash flow|cashflow|money in and out)"
_MONEY = "[the |our |my ](money|cash|cashflow|cash flow)"
_UNTIL = "(until|till|to|up to|through|till the end of|until the end of)"
_MONTHLY = "[ by month| per month| a month| monthly| by the month| month by month]"
_WEEKLY = "(by week|per week|a week|weekly|by the week|week by week|by weeks)"
_DRAWN = "(as a picture|as picture|as a curve|as a chart|as a graph|drawn)"
_CURVE = "(curve|picture|pic|chart|graph)"
_LEAST = "(tightest|tight|lowest|low|shortest|short|leanest)"
_CAN = "(would|could|can|will|might|do)"
_LIFT = "(help|lift|ease|raise|improve)"
_ON_A_DAY = "[ on {day:pastday}| now| today]"
_OF_A_MONTH = "[ of the month| of each month| of every month| each month]"
_RENEWALS = "[the |our ](renewals|renewal|subscriptions)"
_TAKEN = " charged| taken| billed| run| go out| fall| come"
_A_MONTH = "[ a month| per month| each month| every month| monthly| pm]"
_OVERHEADS = "[the |our |my ](overheads|overhead|fixed costs|running costs)"
_ARE = "(:| =| are| is| of| cost| come to)"
_GIST, _EXAMPLE = "money in and out", "cash by week until June"


def _shown(
    by: Literal["week", "month"], how: str, end: str = "", *, picture: bool = False
) -> Phrasing:
    """The ways to ask for cash in weeks or months, drawn or not."""
    return Phrasing(
        "cash",
        f"""
        {_CASH}{how} from {{first:day}} {_UNTIL} {{last:lastday}}{end}
        {_CASH}{how} {_UNTIL} {{last:lastday}}{end}
        {_CASH}{how} from {{first:day}}{end}
        {_CASH}{how}{end}
        """,
        _show(by, picture=picture),
        _GIST,
        _EXAMPLE,
        asks=True,
    )


EXACT: tuple[Phrasing, ...] = terms.EXACT
TABLE: tuple[Phrasing, ...] = (
    _shown("week", f" {_WEEKLY}", f" {_DRAWN}", picture=True),
    _shown("month", _MONTHLY, f" {_DRAWN}", picture=True),
    _shown("week", f" {_WEEKLY}"),
    _shown("month", _MONTHLY),
    Phrasing(
        "cash drawn",
        f"""
        {_CASH} {_CURVE} {_UNTIL} {{last:lastday}}
        {_CASH} {_CURVE}
        (draw|draw me)[ a picture of| a curve of] {_MONEY}
        [show me ][a |the ]{_CURVE} of {_MONEY}
        """,
        _show("month", picture=True),
        _GIST,
        "cash as a picture",
        asks=True,
    ),
    Phrasing(
        "cash",
        f"""
        (how is|how's|how does|how do|how are) {_MONEY}[ look| looking| doing| going]
        how (will|does) {_MONEY} look
        what (comes in|goes out|comes in and goes out|comes in and out)
        (what|how much) money (comes in|goes out|comes in and goes out)
        """,
        _show("month"),
        _GIST,
        "cash",
        asks=True,
    ),
    Phrasing(
        "tightest",
        f"""
        (when's|whens) {_MONEY} {_LEAST}
        (when|where) (is|will|does|are|gets) {_MONEY}[ be| get| run] {_LEAST}
        when (are|will|do) (we|i)[ be| run] (short|shortest|low|lowest|out) of (money|cash)
        [what is |when is |what's |when's ][the |our ]{_LEAST} (point|day|week)
        [what is |when is |what's |when's ][the |our ]{_LEAST} (point|day|week) (of|for) {_MONEY}
        (will|do|can|could|might) (we|i) (run out|be short|run short|run low) of (money|cash)
        (will|do) (we|i)[ always] have enough (money|cash)[ for the year| for the plan]
        is there[ always] enough (money|cash)[ for the year| for the plan| for all of it]
        can (we|i) afford (it|all this|the year|the plan|all of it|everything)
        (tightest|lowest) (money|cash)
        """,
        lambda _c: Tightest(),
        "when money is tightest",
        "when is money tightest",
        asks=True,
    ),
    Phrasing(
        "what moves cash",
        f"""
        what {_CAN} {_LIFT} {_MONEY}[ most| the most]
        what {_CAN} {_LIFT} [the |our ](lowest point|low point)[ most]
        what {_CAN} help[ most| the most]
        what moves {_MONEY}[ most| the most]
        how {_CAN} (we|i) {_LIFT} {_MONEY}
        how {_CAN} (we|i) {_LIFT} [the |our ](lowest point|low point)
        """,
        lambda _c: WhatMovesCash(),
        "what would help the cash",
        "what would help the cash",
        asks=True,
    ),
    Phrasing(
        "bank",
        f"""
        (we|i) (have|had|have got|got|hold) {{bank:balance}} in the bank[ account]{_ON_A_DAY}
        [there is |there are |there's ]{{bank:balance}} in the bank[ account]{_ON_A_DAY}
        [the |our |my ](bank|bank balance|bank account) {{bank:balance}}{_ON_A_DAY}
        [the |our |my ](bank|bank balance)(:| =| is| is at| was) {{bank:balance}}{_ON_A_DAY}
        [the |our |my ](bank|bank account) (has|holds|stands at) {{bank:balance}}{_ON_A_DAY}
        (we are|i am|we're|i'm) overdrawn by {{minus:balance}}{_ON_A_DAY}
        (we are|i am|we're|i'm) {{minus:balance}} overdrawn[ now| today]
        """,
        _bank,
        "what is in the bank",
        "we have 4,200 in the bank",
    ),
    Phrasing(
        "charge day",
        f"""
        {_RENEWALS}[ are| is| get][{_TAKEN}] on [the ]{{day:monthday}}{_OF_A_MONTH}
        (we|i) (charge|bill|take payment|take payments) on [the ]{{day:monthday}}{_OF_A_MONTH}
        (we|i) (charge|bill) (renewals|subscribers|everyone) on [the ]{{day:monthday}}{_OF_A_MONTH}
        [the |our ](charge|renewal|billing|charging) day[ is][:| =] [the ]{{day:monthday}}
        """,
        lambda _c, day: ChangeBooks(charge_day=day),
        "the day of renewals",
        "renewals on the 1st",
    ),
    Phrasing(
        "payout",
        """
        [the |our ](payouts|payout)[ take| takes| need| needs][:] {days:days}
        [the |our ](payouts|payout)[ arrive| come| are| is] (in|after|within) {days:days}
        [we are |we're |they are |renewals are ]paid out (after|in|within) {days:days}
        [we are |we're |they are |renewals are ]paid out {days:length} later
        [the |our ]money (arrives|comes|is here|is in the bank) (after|in|within) {days:length}
        [the |our ]money (arrives|comes|is here|is in the bank) {days:length} later
        """,
        lambda _c, days: ChangeBooks(payout_days=days),
        "days until renewals are in the bank",
        "payouts take 3 days",
    ),
    Phrasing(
        "overheads",
        f"""
        {_OVERHEADS} {{amount:balance}}{_A_MONTH}
        {_OVERHEADS}{_ARE} {{amount:balance}}{_A_MONTH}
        """,
        lambda _c, amount: ChangeBooks(overhead=amount),
        "overheads",
        "overheads 600 a month",
    ),
    *terms.TABLE,
)
HALVES: tuple[Phrasing, ...] = terms.HALVES
