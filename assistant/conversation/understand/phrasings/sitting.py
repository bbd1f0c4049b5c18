"""Ways to say what belongs to the sitting: its course, subscribers' suggestions, school holidays.

Knows: requests of the sitting. Must not know: how a line is matched. Invariants: each example is
understood as its row; words that only look like one of these are left to the other phrasings.
"""

import re

from msgspec.structs import replace

from assistant.conversation.replies.plain import day, listed, short
from assistant.conversation.requests import KeepIdea
from assistant.conversation.understand.boxes import BOX, read_sitting_box
from assistant.conversation.understand.closures import read_closure
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.days import month_number
from assistant.conversation.understand.names import named_idea, one_who_suggests
from assistant.conversation.understand.reading import Build, Built, Kind, Phrasing
from assistant.conversation.understand.thoughts import idea_of
from assistant.conversation.understand.unclear import Unclear
from assistant.conversation.year_requests import (
    ForgetSchoolHolidays,
    LeaveSitting,
    PlanYear,
    SchoolHoliday,
    ShowPrompts,
    SkipBox,
    Vote,
    WhatIsOpen,
)
from assistant.planning.changes import profile_of
from assistant.planning.model import Closure

_REACH = 30  # years from today that a plan may be about
_LONGEST = 100  # days of one school holiday
_SUBSCRIBER = "a subscriber"


def _year_of(text: str, c: Context) -> int | Unclear:
    year = {"this year": c.today.year, "next year": c.today.year + 1}.get(text.strip().lower())
    year = year or int(text)
    return year if abs(year - c.today.year) <= _REACH else Unclear(f"{year} is too far from today")


def _school_name(text: str, _c: Context) -> str:
    said = " ".join(text.lower().replace("-", " ").split())
    return "half term" if said.startswith("half") else re.sub(r"holiday$|break$", "holidays", said)


def _anyone(text: str, _c: Context) -> str | None:
    return text.strip() or None


_SEASON = "summer|winter|spring|autumn|easter|christmas|whitsun|february|october"
KINDS: dict[str, Kind] = {
    "sittingbox": Kind(r"[^,:;]{1,40}?", read_sitting_box),
    "sittingmonth": Kind(BOX, read_sitting_box),
    "planyear": Kind(r"(?:this year|next year|\d{4})", _year_of),
    "wanted": Kind(r".{1,80}?", named_idea),
    "knownidea": Kind(r".{1,80}?", lambda text, c: _known(named_idea(text, c))),
    "subscriber": Kind(r"[^:;,]{1,40}?", one_who_suggests),
    "whose": Kind(r"[^:;,]{1,40}?'s", lambda text, c: one_who_suggests(text[:-2], c)),
    "anyone": Kind(r"[^:;]{1,40}?", _anyone),
    "schooltime": Kind(
        rf"(?:(?:{_SEASON}) )?(?:school (?:holidays?|break)|half[ -]?term)"
        r"(?: holidays?| break| week)?",
        _school_name,
    ),
}


def _known(found: str | Unclear) -> str | Unclear | None:
    return None if isinstance(found, Unclear) and not found.offers else found


# --- the course of the sitting --------------------------------------------------------------


def _plan(_c: Context, year: int | None = None) -> Built:
    return PlanYear(year)


def _open(_c: Context, year: int | None = None) -> Built:
    return WhatIsOpen(year)


def _prompts(c: Context, box: str = "") -> Built:
    if not (box or c.talk.sitting):
        return Unclear("I do not know for which box")
    return ShowPrompts(box or c.talk.sitting)


def _skip(c: Context, box: str = "") -> Built:
    if not (box or c.talk.sitting):
        return Unclear("I did not ask about a box")
    return SkipBox(box or c.talk.sitting)


def _maybe_skip(c: Context) -> Built:
    return SkipBox(c.talk.sitting) if c.talk.sitting else None


def _row(
    name: str, says: str, build: Build, gist: str, example: str, *, asks: bool = False
) -> Phrasing:
    return Phrasing(name, says, build, gist, example, asks=asks)


# --- suggestions and votes ------------------------------------------------------------------


def _suggested(votes: int) -> Build:
    def build(_c: Context, text: str, who: str = _SUBSCRIBER) -> Built:
        found = idea_of(text)
        return found if isinstance(found, Unclear) else replace(found, source=who, votes=votes)

    return build


def _wanted(_c: Context, by: int, text: str) -> Built:
    """What several subscribers ask for and no idea is yet: an idea with their votes."""
    found = idea_of(text)
    if by < 1 or not isinstance(found, KeepIdea):
        return None
    return replace(found, source="subscribers" if by > 1 else _SUBSCRIBER, votes=by)


def _vote(_c: Context, idea: str, by: int = 1) -> Built:
    return Vote(idea, by) if by > 0 else Unclear("votes are counted from 1 on")


# --- school holidays ------------------------------------------------------------------------


def _school(c: Context, days: str, name: str = "school holidays") -> Built:
    found = read_closure(days, c)
    if isinstance(found, Unclear):
        return found
    if found is None:
        return Unclear("I do not know on which days") if _dated(days) else None
    if found.first is None or found.last is None:
        return Unclear("I need a first and a last day")
    if (found.last - found.first).days > _LONGEST:
        return Unclear("that is longer than school holidays are")
    return SchoolHoliday(Closure(name, found.first, found.last, yearly=found.yearly))


def _dated(days: str) -> bool:
    words = re.findall(r"[a-z]+|\d+", days.lower())
    return any(word.isdecimal() or month_number(word) for word in words)


def _school_when(c: Context, name: str = "") -> Built:
    """School holidays without days: those that are known, and how to tell of one."""
    del name
    known = [
        f"{one.reason} {day(one.first, c.today)} to {day(one.last, c.today)}"
        for one in profile_of(c.shop).school[:4]
        if one.first and one.last
    ]
    also = f"; I know of {short(listed(known), 160)}" if known else ""
    return Unclear(f"not on which days{also}")


_YEAR, _PROMPTS, _OPEN = "the year to plan", "prompts for a theme", "what is open"
_SUGGESTION, _VOTE, _SCHOOL = "a subscriber's suggestion", "a vote", "school holidays"
_SCHOOL_EXAMPLE = "school holidays 15 to 19 February"

TABLE: tuple[Phrasing, ...] = (
    _row(
        "plan the year",
        """
        [lets ]plan (the|my|our) [whole |next |coming ]year[ ahead| in one sitting| now| with me]
        [lets ]plan [the year |the boxes of ]{year:planyear}[ now| together]
        (settle|choose|pick|plan|find|do) [all ](the|my|our) themes[ for the year| now]
        (settle|choose|pick|plan|find|do) [all ][the |my |our ]themes (for|of) {year:planyear}
        (carry on|go on|keep on|continue|resume) [with ][the ](planning|plan|sitting|themes|year)
        (carry on|go on|continue|where were we|where was i|keep planning|start planning)
        (start|begin|open) [with ][the ](sitting|planning)
        (back to|return to) [the ](planning|plan|sitting|themes)
        """,
        _plan,
        _YEAR,
        "plan the year",
        asks=True,
    ),
    _row(
        "open boxes",
        """
        (what is|what's|whats|which are|what) [still ](open|unsettled|undecided)
        (what is|what's|whats) [still ](open|unsettled|undecided) (in|for) {year:planyear}
        (what is|what's|whats) [still ]left to (plan|settle)
        (which|what) (boxes|months) [are ][still ](open|unsettled|without themes|without a theme)
        (which|what) (boxes|months) [still ](lack|need|have no|miss) [a |any ](theme|themes|items)
        (open boxes|still open|open months)
        """,
        _open,
        _OPEN,
        "what is open",
        asks=True,
    ),
    _row(
        "prompts",
        """
        (back to|go back to|return to|again) {box:sittingmonth}
        [theme ](prompts|suggestions) for [the theme of ]{box:sittingmonth}
        (theme ideas|themes|ideas for a theme|ideas for the theme) (for|of) {box:sittingmonth}
        (what could|what might|what should) {box:sittingmonth} be[ about]
        (what|which) (theme|themes) (for|suits|suit|fits|fit) {box:sittingmonth}
        (suggest|find|propose) [me ](a theme|themes|some themes) for {box:sittingmonth}
        """,
        _prompts,
        _PROMPTS,
        "prompts for March",
        asks=True,
    ),
    _row(
        "prompts",
        """
        (prompts|show prompts|the prompts|theme prompts|prompts again|show the prompts again)
        """,
        _prompts,
        _PROMPTS,
        "prompts for March",
        asks=True,
    ),
    _row(
        "skip",
        """
        skip[ this box| this month| for now| one]
        skip {box:sittingbox}[ for now| for later| for today]
        (pass on|leave out) {box:sittingmonth}[ for now| for later| for today]
        leave {box:sittingmonth} (open|for later|for now)
        """,
        _skip,
        "a box to skip",
        "skip March",
        asks=True,
    ),
    _row(
        "skip",
        "(none of these|none of them|neither|neither of them|no theme yet)",
        _maybe_skip,
        "a box to skip",
        "skip March",
        asks=True,
    ),
    _row(
        "stop planning",
        """
        (stop|end|leave|quit|pause|finish) [the ](planning|sitting)[ for today| for now]
        [that's |thats |that is ]enough[ planning][ for today| for now| for tonight]
        (stop|that's all|that is all|thats all) (here|for today|for now|for tonight)
        (that's|thats|that is|that'll be) it (for today|for now|for tonight)
        """,
        lambda _c: LeaveSitting(),
        "an end of the sitting",
        "stop planning",
        asks=True,
    ),
    _row(
        "vote",
        """
        {by:count} [more ](vote|votes) for {idea:wanted}
        (vote|votes|upvote) for {idea:wanted}
        {idea:knownidea}[ has| gets| got|:] {by:count} more (vote|votes)
        """,
        _vote,
        _VOTE,
        "3 more votes for 1",
    ),
    _row(
        "vote",
        """
        {by:count} [more |other ](want|wants|asked for|ask for|asks for|voted for) {idea:knownidea}
        {by:count} [more |other ](subscribers|subscriber|people|subs|members|customers)\
 (want|wants|asked for|ask for|asks for|would like|voted for) {idea:knownidea}
        """,
        _vote,
        _VOTE,
        "two more want 1",
    ),
    _row(
        "wanted",
        """
        {by:count} [more |other ](subscribers|subscriber|subs|members|customers)\
 (want|wants|asked for|ask for|asks for|would like|suggested|suggest|suggests) {text:words}
        """,
        _wanted,
        _SUGGESTION,
        "5 subscribers want a star map",
    ),
    _row(
        "suggestion",
        """
        {who:subscriber} (suggests|suggested|proposes|proposed|asks for|asked for) {text:words}
        {who:whose} suggestion(:| -|,| is) {text:words}
        [a |new |subscriber ](suggestion|suggested) (from|by) {who:anyone}(:|,| -) {text:words}
        [a |new ](subscriber|subscriber's|customer) (suggestion|idea|wish)[:| -] {text:words}
        suggestion(:| -|,) {text:words}
        """,
        _suggested(1),
        _SUGGESTION,
        "suggestion from Ann: a tea tasting",
    ),
    _row(
        "idea from",
        "[an |new ]idea from {who:anyone}: {text:words}",
        _suggested(0),
        "an idea",
        "idea from Ann: a tea tasting",
    ),
    _row(
        "school holidays",
        """
        [the ]{name:schooltime}[ is| are| runs][ on][:] {days:words}
        [the ](school|schools) (is|are) (out|off|closed|shut) [on ]{days:words}
        no school [on ]{days:words}
        """,
        _school,
        _SCHOOL,
        _SCHOOL_EXAMPLE,
    ),
    _row(
        "forget school",
        """
        (forget|clear|delete|remove|drop) [all ][the |my ](school holidays|half terms|school breaks)
        no school holidays
        """,
        lambda _c: ForgetSchoolHolidays(),
        _SCHOOL,
        "forget the school holidays",
    ),
    _row(
        "school when",
        """
        [when are |when is |what are ][the ]{name:schooltime}
        """,
        _school_when,
        _SCHOOL,
        _SCHOOL_EXAMPLE,
    ),
)
HALVES: tuple[Phrasing, ...] = ()
