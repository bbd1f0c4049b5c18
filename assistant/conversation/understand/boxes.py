"""Words for boxes: a month, this month, a box's id.

Knows: the boxes of the plan and the months of the year. Must not know: patterns, what is done with
a box. Invariants: a month without a year is the plan's box of that month nearest from now on (this
month counts), else the next such month; a misspelt month is taken only when it can hardly be
another word.
"""

import re

from assistant.conversation.replies.plain import MONTHS, box_name
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.days import MONTH, month_number, near_month
from assistant.conversation.understand.unclear import Unclear
from assistant.planning.changes import find
from assistant.planning.deadlines import coming_box

ID = r"\d{4}-\d\d[b-z]?"
BOX = (
    rf"(?:the )?(?:{ID}|\d{{1,2}}/\d{{4}}|(?:this|next|last|coming) (?:{MONTH}|month|box)"
    rf"|(?:second )?{MONTH}(?:,? (?:\d{{4}}|'\d\d))?)(?:,? second box|(?:'s)? box)?"
)
_AROUND = re.compile(
    r"^(?:the )?(?:(?:box|contents|plan) (?:of|for|in) (?:the )?)?(?P<in>.+?)(?:(?:'s)? box)?$"
)
_ID = re.compile(r"(?:box )?(\d{4})-(\d\d?)([b-z]?)")
_SLASH = re.compile(r"(\d{1,2})[/.](\d{4})")
_NAMED = re.compile(
    r"(?P<which>this|next|last|coming)? ?(?P<month>[a-z]{3,12})\.?(?:,? (?P<year>\d{4}|'\d\d))?"
)
_THESE = {"this month": 0, "next month": 1, "last month": -1, "this": 0, "now": 0}
_THAT = ("it", "that", "that box", "this box", "that month", "the box", "there", "this one")
_REACH = 30  # years either side of today


def read_box(text: str, c: Context) -> str | Unclear | None:
    """The id of the box that `text` names; None where it names nothing like a month."""
    said = text.strip().strip("\"'").lower().removesuffix(".")
    if said in _THAT:
        return c.talk.box or Unclear("I do not know which box you mean; say its month")
    if said in ("next box", "the next box"):
        return min((b.id for b in c.shop.boxes if b.id[:7] >= c.month), default=c.month)
    second = re.search(r",? second box$|^(?:the )?second ", said)
    if second:
        said = said.replace(second[0], "").removesuffix(" box")
    found = _AROUND.match(said)
    box = _read(found["in"] if found else said, text.strip(), c)
    return f"{box[:7]}b" if second and isinstance(box, str) else box


def exact_box(text: str, c: Context) -> str | None:
    """The id of a box whose name is spelt right."""
    if re.fullmatch(BOX, text.strip(), re.IGNORECASE) is None:
        return None
    box = read_box(text, c)
    return box if isinstance(box, str) else None


def read_coming_box(text: str, c: Context) -> str | Unclear | None:
    """The id of a box that can still be changed: not of a month that is over, unless it is in the
    plan (its handler knows whether it has shipped)."""
    box = read_box(text, c)
    if isinstance(box, str) and month_number(text.strip()):  # its name alone
        return coming_box(c.shop, int(box[5:7]), c.today)
    if not isinstance(box, str) or box[:7] >= c.month or find(c.shop.boxes, box):
        return box
    coming = f"{c.today.year + (box[5:7] < c.month[5:])}-{box[5:7]}"
    month = MONTHS[int(box[5:7]) - 1]
    return Unclear(f"{month} {box[:4]} is over", ((f"{month} {coming[:4]}", coming),))


def read_sitting_box(text: str, c: Context) -> str | Unclear | None:
    """The same while the sitting is going: a month's name alone is that month of its year, as long
    as it is not over."""
    month = month_number(text.strip())
    box = f"{c.talk.sitting[:4]}-{month:02}" if month and c.talk.sitting else ""
    return box if box >= c.month else read_coming_box(text, c)


def _read(said: str, written: str, c: Context) -> str | Unclear | None:
    if said in _THESE:
        return _months_from(c, _THESE[said])
    if found := _ID.fullmatch(said):
        return _checked(int(found[1]), int(found[2]), found[3], c)
    if found := _SLASH.fullmatch(said):
        return _checked(int(found[2]), int(found[1]), "", c)
    found = _NAMED.fullmatch(said)
    if found is None:
        return None
    month = month_number(found["month"])
    if month is None:
        return _misspelt(found["month"], said, written, c)
    return _of_month(month, found["which"] or "", found["year"] or "", c)


def _of_month(month: int, which: str, year: str, c: Context) -> str | Unclear:
    if year:
        number = int(year.lstrip("'"))
        return _checked(number + 2000 if number < 100 else number, month, "", c)
    if which == "this":
        return f"{c.today.year + (month < c.today.month):04}-{month:02}"
    if which == "last":
        return f"{c.today.year - (month >= c.today.month):04}-{month:02}"
    if which == "next" and month == c.today.month:
        return f"{c.today.year + 1:04}-{month:02}"
    return nearest_box(month, c)


def nearest_box(month: int, c: Context) -> str:
    """The plan's box of a month nearest from now on, else the next such month."""
    ending = f"-{month:02}"
    return min(
        (box.id for box in c.shop.boxes if box.id[4:7] == ending and box.id[:7] >= c.month),
        default=f"{c.today.year + (month < c.today.month):04}{ending}",
    )


def _misspelt(word: str, said: str, written: str, c: Context) -> str | Unclear | None:
    near = near_month(word)
    if near is None:
        return Unclear(f'"{written[:40]}" is no month I know')
    month, sure = near
    right = said.replace(word, MONTHS[month - 1].lower())
    if sure:
        return _read(right, written, c)
    offer = (right.title(), right)
    return Unclear(f'"{written[:40]}" is no month I know', (offer,))


def _checked(year: int, month: int, letter: str, c: Context) -> str | Unclear:
    if not 1 <= month <= 12:
        return Unclear(f"there is no month {month}")
    if abs(year - c.today.year) > _REACH:
        return Unclear(f"{year} is too far from today")
    return f"{year:04}-{month:02}{letter}"


def _months_from(c: Context, months: int) -> str:
    years, month = divmod(c.today.month - 1 + months, 12)
    return f"{c.today.year + years:04}-{month + 1:02}"


def next_boxes(c: Context, most: int = 4, but: str = "") -> tuple[tuple[str, str], ...]:
    """(label, id) of the plan's next boxes, filled up with coming months; one may be left out."""
    planned = sorted(box.id for box in c.shop.boxes if box.id[:7] >= c.month)
    months = (_months_from(c, ahead) for ahead in range(1, 13))
    ids = [id for id in dict.fromkeys((*planned, *months)) if id != but][:most]
    return tuple((box_name(id, c.today), id) for id in sorted(ids))
