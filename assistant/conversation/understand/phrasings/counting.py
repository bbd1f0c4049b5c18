"""Ways to speak of subscribers: counts, joins and churn, what is expected.

Knows: requests about counts. Must not know: how a line is matched, groups (groups.py). Invariants:
a day or month that is told of a count without its year is the last such one; a number that cannot
be meant is said to be none, in the words of a count or of churn.
"""

import re
from datetime import date, timedelta
from decimal import Decimal

from assistant.conversation.order_requests import (
    CountSubscribers,
    NoteCohort,
    SetFlow,
    ShowCounts,
)
from assistant.conversation.sentences import counting as says
from assistant.conversation.understand.amounts import read_count
from assistant.conversation.understand.boxes import BOX, read_box
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.days import read_day
from assistant.conversation.understand.phrasings import groups
from assistant.conversation.understand.reading import Build, Built, Kind, Phrasing
from assistant.conversation.understand.unclear import Unclear
from assistant.planning.numbers.subscribers import count_of

_NOTHING = "nothing was changed"
# Words that stand in several patterns here.
_WORDS = {
    "<who>": groups.WHO,
    "<month>": "(a month|each month|every month|per month|/month)",
    "<monthly>": "[ a month| each month| every month| per month|/month| monthly]",
    "<leave>": "(leave|leaves|cancel|cancels|churn|quit|drop out|go|unsubscribe|leave us)",
    "<join>": "(join|joins|joined|sign up|signups|sign-ups|new ones|joiners|joining)",
    "<came>": "[ who| that] (joined|signed up|started|came|join) in",
    "<about>": "[about |around |roughly |some ]",
    "<of-it>": "[ of them| of subscribers| of us]",
    "<pct>": "(%|percent|per cent)",
    "<here>": "(left|still with us)",
    "<when>": "(today|yesterday|now|this week|this month|last week|since then|since)",
    "<remain>": "(left|remain|remained|stay|stayed|remaining)",
}


# --- slots ----------------------------------------------------------------------------------


def _past_day(text: str, c: Context) -> date | Unclear | None:
    """A day up to today: one without its year is the last such one."""
    day = read_day(text, c.today)
    if not isinstance(day, date) or day <= c.today or re.search(r"\d{4}", text):
        return day
    if (day - c.today).days <= 7 and re.fullmatch(r"(?:on )?[a-z]+", text.strip(), re.IGNORECASE):
        return day - timedelta(7)
    return _years_before(day, 1)


def _years_before(day: date, years: int) -> date:
    last = 28 if (day.month, day.day) == (2, 29) else day.day
    return day.replace(year=day.year - years, day=last)


def _past_month(text: str, c: Context) -> str | Unclear | None:
    """A month up to this one, told as a box is: one without its year is the last such one."""
    month = read_box(text, c)
    if not isinstance(month, str) or month[:7] <= c.month:
        return month[:7] if isinstance(month, str) else month
    if re.search(r"\d{4}", text):
        return Unclear(f'"{text.strip()[:30]}" is still to come')
    year = c.today.year - (month[5:7] > c.month[5:])
    return f"{year:04}-{month[5:7]}"


def _churn(text: str, _c: Context) -> Decimal | Unclear:
    """A share that leaves every month, in percent."""
    share = Decimal(text.replace(",", ".").replace(" ", ""))
    if share < 0:
        return Unclear(f"churn cannot be below zero, so {_NOTHING}")
    if share > 100:
        return Unclear(f"nobody can lose more than all, so {_NOTHING}")
    if share == 100:
        return Unclear(f"all of them would be gone, so {_NOTHING}")
    return share


def _counted(text: str, _c: Context) -> int | Unclear | None:
    """A number of subscribers."""
    found = read_count(text)
    if not isinstance(found, Unclear):
        return found
    below = ", and a count cannot be" if text.strip().startswith("-") else ""
    return Unclear(f"{found.why}{below}, so {_NOTHING}")


def _rate(text: str, _c: Context) -> Decimal:
    return Decimal(text.replace(",", "."))


KINDS: dict[str, Kind] = {
    "countday": Kind(r".{3,40}?", _past_day),
    "joinedmonth": Kind(BOX, _past_month),
    "churn": Kind(r"-? ?\d{1,6}(?:[.,]\d{1,3})?", _churn),
    "counted": Kind(r"-?\d[\d,]*", _counted),
    "joins": Kind(r"\d{1,6}(?:[.,]\d)?", _rate),
    **groups.KINDS,
}


# --- what is built --------------------------------------------------------------------------


def _count(_c: Context, n: int, on: date | None = None) -> Built:
    return CountSubscribers(n, on)


def _flow(_c: Context, joins: Decimal | None = None, churn: Decimal | None = None) -> Built:
    return SetFlow(joins, churn)


def _lost(c: Context, n: int) -> Built:
    """A number that leaves a month is offered as a share of today's count."""
    count = count_of(c.shop, c.today).subscribers
    if not count:
        return Unclear("churn is a share of your subscribers, so I must know how many you are")
    if n >= count:
        return Unclear(f"you are {count:,}")
    share = (Decimal(n * 100) / count).quantize(Decimal("0.1")) or Decimal("0.1")
    says_churn = says.churn(share)
    return Unclear(
        f"churn is a share: of {count:,} that is {share}%", ((says_churn, says_churn),), True
    )


def _change(by: int) -> Build:
    def build(c: Context, n: int) -> Built:
        """So many more, or fewer, are offered as a count."""
        count = count_of(c.shop, c.today).subscribers
        now = count + by * n
        if not count:
            return Unclear("I must know how many you are first")
        if now < 1:
            return Unclear(f"you are {count:,}")
        told = says.count(now)
        return Unclear(
            f"I keep counts; from {count:,} that makes {now:,}", ((told, told),), whole=True
        )

    return build


def _cohort(_c: Context, joined: str, number: int, left: int, on: date | None = None) -> Built:
    return NoteCohort(joined, number, left, on)


def _shown(_c: Context, box: str = "") -> Built:
    return ShowCounts(box)


def _row(
    name: str, says: str, build: Build, gist: str, example: str, *, asks: bool = False
) -> Phrasing:
    for short, words in _WORDS.items():
        says = says.replace(short, words)
    return Phrasing(name, says, build, gist, example, asks=asks)


EXACT: tuple[Phrasing, ...] = groups.EXACT

_COUNTS = (
    _row(
        "count then",
        """
        (we were|we had|there were|we have|we are|it was) <about>{n:counted}<who>[ boxes]\
 (on|at|by) {on:countday}
        (on|at) {on:countday}[,] (we were|we had|there were|it was) <about>{n:counted}<who>
        {n:counted} (subscribers|subs|members) (on|at) {on:countday}
        """,
        _count,
        "a count of {n} subscribers",
        "we had 402 on 1 October",
    ),
    _row(
        "count",
        """
        (we are|we're|we have|there are|we now have|we are at|we now are) [now |today ]<about>\
{n:counted}<us>[ now| today| this month| this morning]
        (now|today|today we are|today we have)[:] {n:counted}<us>
        {n:counted} (subscribers|members|subs)[ now| today| this month]
        (subscribers|members|subscriber count)[ are| is| now| today][:| =] {n:counted}[ now| today]
        """,
        _count,
        "a count of {n} subscribers",
        "we are 431",
    ),
    _row(
        "more",
        """
        {n:number}[ new| more]<who> (joined|signed up)[ <when>]
        {n:number} (new|more) (subscribers|subs|members|signups)[ <when>]
        we (gained|got|won) {n:number}[ new| more]<who>[ <when>]
        """,
        _change(1),
        "that {n} joined",
        "we are 431",
    ),
    _row(
        "fewer",
        """
        {n:number}[ more]<who> (left|cancelled|canceled|quit|dropped out)[ <when>]
        we (lost|have lost) {n:number}[ more]<who>[ <when>]
        {n:number} (cancellations|cancelations|leavers)[ <when>]
        """,
        _change(-1),
        "that {n} left",
        "we are 431",
    ),
)

_FLOWS = (
    _row(
        "joins and churn",
        """
        <about>{joins:joins} <join>[ <month>](, | and |, and )<about>{churn:churn}[ ]<pct>\
 <leave>[ <month>]
        joins[ are| is][:| =] {joins:joins}(, | and |, and )churn[ is][:| =] {churn:churn}[[ ]%]
        """,
        _flow,
        "joins and churn",
        "30 join and 4% leave a month",
    ),
    _row(
        "joins",
        """
        <about>{joins:joins}[ new]<who> <join> <month>
        <about>{joins:joins} new (subscribers|subs|ones|members|people) <month>
        (joins|signups|sign-ups|new subscribers)[ are| is][:| =] <about>{joins:joins}[ <month>]
        (we gain|we get|we win|gain) <about>{joins:joins}[ new]<who>[ joins| signups] <month>
        """,
        _flow,
        "joins a month",
        "30 join a month",
    ),
    _row(
        "churn",
        """
        [our |the |my ][monthly ]churn[ rate][ is| of| now][:| =] <about>{churn:churn}\
[[ ]<pct>]<monthly>
        <about>{churn:churn}[ ]<pct><of-it> <leave><monthly>
        <about>{churn:churn}[ ]<pct>[ monthly] churn[ <month>]
        we (lose|loose|are losing) <about>{churn:churn}[ ]<pct><of-it><monthly>
        """,
        _flow,
        "a churn of {churn} percent",
        "churn 4%",
    ),
    _row(
        "losses",
        """
        we (lose|are losing) <about>{n:number}<who> <month>
        <about>{n:number}<who> <leave> <month>
        """,
        _lost,
        "that {n} leave a month",
        "churn 4%",
    ),
    _row(
        "learn",
        """
        learn [the ](joins and churn|churn and joins)[ from (the|my|our) (counts|cohorts)]
        (go by|learn from) (the|my|our) (counts|cohorts)[ again| instead]
        forget (the|my|our) (joins and churn|churn and joins)
        """,
        lambda _c: SetFlow(learn=("joins", "churn")),
        "joins and churn to learn",
        "learn joins and churn from the counts",
    ),
    _row(
        "learn",
        "(learn|forget) [the |my |our ]churn[ rate][ from (the|my|our) (counts|cohorts)]",
        lambda _c: SetFlow(learn=("churn",)),
        "churn to learn",
        "learn churn from the counts",
    ),
    _row(
        "learn",
        "(learn|forget) [the |my |our ]joins[ from (the|my|our) (counts|cohorts)]",
        lambda _c: SetFlow(learn=("joins",)),
        "joins to learn",
        "learn joins from the counts",
    ),
    _row(
        "cohort",
        """
        [of |from ][the ]{number:count}<who><came> {joined:joinedmonth}[,| -][ and][ there are]\
 {left:count}[ of them] (are|is|were) <here>[ on {on:countday}]
        [of |from ][the ]{number:count}<who><came> {joined:joinedmonth}[,| -][ and][ we have]\
 {left:count}[ of them] <remain>[ on {on:countday}]
        {left:count} of [the |our ]{number:count}<who><came> {joined:joinedmonth} (are|were|is)\
 <here>[ on {on:countday}]
        {left:count} of [the |our ]{number:count}<who><came> {joined:joinedmonth}\
 <remain>[ on {on:countday}]
        {joined:joinedmonth} (joiners|cohort|joins)[:| -] {left:count} of {number:count}\
[ are| is][ left| remain][ on {on:countday}]
        """,
        _cohort,
        "a month's joiners",
        "of 60 who joined in January 41 are left",
    ),
)

_SHOWS = (
    _row(
        "subscribers",
        """
        how many (subscribers|subs|members|people|customers|boxes|of us) (will we be|will there be\
|will we have|are we|do we have|do you expect|do i expect|are expected|do we expect|are there)\
[ (in|for|by|with) [the ]{box:box}[ box]]
        how many (will we be|are we|will we have|are expected)[ (in|for|by) {box:box}]
        how many (subscribers|subs|members|boxes) (in|for|by) [the ]{box:box}[ box]
        how many do we (send|ship|post)[ (in|for) {box:box}]
        how many boxes (go out|will go out|ship|will ship|do we ship|do we send|will we send)\
[ (in|for) {box:box}]
        how many (subscribers|subs|members)
        [show |the |our |expected |forecast ](subscribers|subs|subscriber count|subscriber numbers\
|subscriber forecast|headcount)[ forecast| expected][ (in|for|by) [the ]{box:box}[ box]]
        (forecast|forecast of|forecast for) [the ](subscribers|subs)[ (in|for|by) {box:box}]
        """,
        _shown,
        "how many subscribers",
        "how many subscribers in March",
        asks=True,
    ),
    _row(
        "flow",
        """
        [show |the |our ](joins and churn|churn and joins|churn|churn rate|joins)
        (what is|what's|whats|how is|how's|show|how big is) [our |the |my ](churn|churn rate)[ like]
        how many (join|leave|churn)[ us][ <month>]
        how long (do|does|will) (subscribers|they|people|one|a subscriber|members) stay[ with us]
        how do you know [the |our ](churn|joins|joins and churn)
        """,
        lambda _c: ShowCounts(part="flow"),
        "joins and churn",
        "joins and churn",
        asks=True,
    ),
)

TABLE: tuple[Phrasing, ...] = (*_COUNTS, *_FLOWS, *groups.TABLE, *_SHOWS)
HALVES: tuple[Phrasing, ...] = groups.HALVES
