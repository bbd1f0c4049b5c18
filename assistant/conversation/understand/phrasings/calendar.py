"""Ways to ask for the calendar as a file, for its address, and to withdraw that.

Knows: the requests of the calendar. Must not know: how a line is matched, how a file is made.
Invariants: the sentences of buttons (EXACT) stand before all others; each example is understood as
its row.
"""

from collections.abc import Callable

from assistant.conversation.file_requests import SendCalendar, ShareCalendar, WithdrawCalendar
from assistant.conversation.sentences import calendar as says
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.reading import Build, Built, Kind, Phrasing

KINDS: dict[str, Kind] = {}

# Words that stand in many of these patterns, longer ones first.
_WORDS = {
    "<please>": "[please |can you |could you |can i have |could i have |can we have |i want "
    "|i need |i'd like |let me have ]",
    "<send>": "[send |send me |send us |give |give me |give us |make |make me |export |download "
    "|save |get |get me |show |show me ]",
    "<the>": "[a |an |the |my |our |the whole |another |a new |the new ]",
    "<calendar-file>": "(calendar file|calendar export|calender file|ics file|ics|ical file|ical"
    "|icalendar|icalendar file|calendar as a file|.ics|.ics file)",
    "<calendar>": "(calendar|calender|calandar|calendar file|calender file|ics|ics file|ical)",
    "<dates>": "(deadlines|dates|all deadlines|all the deadlines|all dates|all the dates|plan|year"
    "|everything|days|pack days|ship days|ship dates)",
    "<whole>": "[ of| for][ the year| the whole year| everything| all deadlines| all the deadlines"
    "| all of it][ please| now| again]",
    "<mine>": "(my calendar|our calendar|the calendar|a calendar|my phone's calendar|my diary"
    "|google calendar|outlook|apple calendar|my phone)",
    "<address>": "(address|link|url|feed|subscription|subscription link|subscription address"
    "|web address|share|sharing)",
    "<withdraw>": "(withdraw|revoke|cancel|stop|end|remove|delete|kill|switch off|turn off"
    "|take back|take down|close|disable|unshare)",
}


def _asking(request: ShareCalendar | WithdrawCalendar) -> Callable[[Context], Built]:
    return lambda _c: request


def _file(_c: Context, box: str = "") -> Built:
    return SendCalendar(box)


def _row(name: str, says: str, build: Build, example: str, like: str) -> Phrasing:
    for short, long in _WORDS.items():
        says = says.replace(short, long)
    return Phrasing(name, says, build, like, example, asks=True)


_SHARE, _WITHDRAW = _asking(ShareCalendar()), _asking(WithdrawCalendar())
_LIKE_FILE, _LIKE_ADDRESS = "a calendar file", "the calendar's address"

EXACT: tuple[Phrasing, ...] = (
    _row("calendar, exact", says.calendar_file(), _file, "calendar file", _LIKE_FILE),
    _row(
        "calendar of a box, exact",
        says.calendar_file("{box:id}"),
        _file,
        "calendar file of 2027-03",
        _LIKE_FILE,
    ),
    _row("share, exact", says.share_calendar(), _SHARE, "share the calendar", _LIKE_ADDRESS),
    _row(
        "withdraw, exact",
        says.withdraw_calendar(),
        _WITHDRAW,
        "withdraw the calendar address",
        _LIKE_ADDRESS,
    ),
)
TABLE: tuple[Phrasing, ...] = (
    _row(
        "withdraw the calendar",
        """
        <please><withdraw> <the><calendar>[ ]<address>[es| now]
        <please><withdraw> <the><address>[ of| to| for] <the><calendar>
        <please><withdraw> (sharing|serving|publishing) <the><calendar>[ now]
        <please>unshare <the><calendar>
        <please>(stop|end|cancel) <the><calendar> (sharing|subscription|feed)
        <the><calendar> <address> (must not|should not|should no longer|must no longer) work
        """,
        _WITHDRAW,
        "withdraw the calendar address",
        _LIKE_ADDRESS,
    ),
    _row(
        "share the calendar",
        """
        <please>(share|publish) <the><calendar>[ with me| with us| again| now| online]
        <please><send><the><calendar> <address>
        <please><send><the>(new |)<address> (of|for|to) <the><calendar>
        <please>subscribe[ me] to <the><calendar>
        how (do|can|would) (i|we) (subscribe|subscribe to it|subscribe to <the><calendar>)
        <please><send><the>(subscription|live|shared) <calendar>
        (can|may) (i|we) subscribe[ to <the><calendar>]
        """,
        _SHARE,
        "share the calendar",
        _LIKE_ADDRESS,
    ),
    _row(
        "calendar of a box",
        """
        <please><send><the><calendar>[ file] (of|for|with) {box:anybox}[ please]
        <please><send>{box:anymonth} (as a|as an|in a) <calendar>
        <please><send><the>{box:anymonth} <calendar>
        """,
        _file,
        "calendar of March",
        _LIKE_FILE,
    ),
    _row(
        "calendar",
        """
        <please><send><the><calendar-file><whole>
        <please><send><the><calendar><whole>
        <please><send><the><dates> (as|as a|as an|in a) <calendar>
        <please>(put|add|copy|get|import|bring|sync|move) <the><dates> (in|into|to|with|on) <mine>
        <please>(add|import|sync|copy) (it|them|all of it|this) (to|into|with|in) <mine>
        how do i get <the><dates> (in|into|to|on) <mine>
        """,
        _file,
        "calendar file",
        _LIKE_FILE,
    ),
)
HALVES: tuple[Phrasing, ...] = ()
