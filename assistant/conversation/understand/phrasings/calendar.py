"""Ways to ask for the calendar as a file, for its address, and to withdraw that.

Knows: the requests of the calendar. Must not know: how a line is matched, how a file is made.
Invariants: each example is understood as its row; the words "calendar" and "subscribe" stand in
slots, so that they are no command words: calendars are goods, too, and subscribers are counted.
"""

from assistant.conversation.file_requests import SendCalendar, ShareCalendar, WithdrawCalendar
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.reading import Build, Built, Kind, Phrasing

_CALENDAR = "(?:calendar|calender|calandar|calander|calendr|calander)"
_FILE = (
    rf"(?:{_CALENDAR} (?:file|export)|{_CALENDAR} as a file|\.?ics(?: file)?"
    r"|ical(?:endar)?(?: file)?)"
)


def _word(text: str, _c: Context) -> str:
    return text


KINDS: dict[str, Kind] = {
    "calendar": Kind(rf"(?:{_FILE}|{_CALENDAR})", _word),
    "subscribe": Kind(r"subscrib(?:e|ing)(?: me| us| it)?", _word),
    "diary": Kind(
        rf"(?:(?:the |my |our |a )?(?:{_CALENDAR}|diary)|google {_CALENDAR}|outlook"
        rf"|apple {_CALENDAR}|my phone(?:'s {_CALENDAR})?)",
        _word,
    ),
}

# Words that stand in many of these patterns, longer ones first.
_WORDS = {
    "<please>": "[please |can you |could you |can i have |could i have |can we have |i want "
    "|i need |i'd like |let me have ]",
    "<send>": "[send |send me |send us |give |give me |give us |make |make me |export |download "
    "|save |get |get me |show |show me ]",
    "<send-a>": "(send|send me|give me|make|make me|export|download|save|get|get me)"
    " (a|an|another)",
    "<the>": "[the |my |our |the whole ]",  # "a calendar" alone may be goods
    "<any>": "[a |an |the |my |our |another |a new |the new ]",
    "<calendar>": "{calendar:calendar}",
    "<dates>": "(deadlines|dates|all deadlines|all the deadlines|all dates|all the dates|plan|year"
    "|everything|days|pack days|ship days|ship dates)",
    "<whole>": "[ of| for][ the year| the whole year| everything| all deadlines| all the deadlines"
    "| all of it][ please| now| again]",
    "<mine>": "{mine:diary}",
    "<address>": "(address|link|url|feed|web address)",
    "<withdraw>": "(withdraw|revoke|cancel|stop|end|remove|delete|switch off|turn off|take back)",
}


def _file(_c: Context, box: str = "", **_: str) -> Built:
    return SendCalendar(box)


def _share(_c: Context, **_: str) -> Built:
    return ShareCalendar()


def _withdraw(_c: Context, **_: str) -> Built:
    return WithdrawCalendar()


def _row(name: str, says: str, build: Build, example: str, like: str) -> Phrasing:
    for short, long in _WORDS.items():
        says = says.replace(short, long)
    return Phrasing(name, says, build, like, example, asks=build is _file)


_LIKE_FILE, _LIKE_ADDRESS = "a calendar file", "the calendar's address"

EXACT: tuple[Phrasing, ...] = ()
TABLE: tuple[Phrasing, ...] = (
    _row(
        "withdraw the calendar",
        """
        <please><withdraw> <any><calendar> <address>[es| now]
        <please><withdraw> <any><address>[ of| to| for] <any><calendar>
        <please><withdraw> (sharing|serving|publishing) <any><calendar>[ now]
        <please>unshare <any><calendar>
        <please>(stop|end|cancel) <any><calendar> sharing
        """,
        _withdraw,
        "withdraw the calendar address",
        _LIKE_ADDRESS,
    ),
    _row(
        "share the calendar",
        """
        <please>(share|publish) <any><calendar>[ with me| with us| again| now| online]
        <please><send><any><calendar> <address>
        <please><send><any>[new ]<address> (of|for|to) <any><calendar>
        [how do i |how can i |how do we |can i |can we |please ]{how:subscribe} to <any><calendar>
        """,
        _share,
        "share the calendar",
        _LIKE_ADDRESS,
    ),
    _row(
        "calendar of a box",
        """
        <please><send><the><calendar>[ file] (of|for) {box:anybox}[ please]
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
        <please><send><the><calendar><whole>
        <please><send-a> <calendar><whole>
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
