"""What is said while the sitting is going: bare answers to its question, several months at once.

Knows: which box the sitting asked about, how a theme looks. Must not know: how the sitting goes
on. Invariants: words are taken for a theme only where they are understood as nothing else; a bare
answer only right after the question, and only short words that are no sentence; whatever is in
doubt is kept as an idea or asked about.
"""

import re

from assistant.conversation.messages import Button
from assistant.conversation.replies.plain import MONTHS, box_name, short
from assistant.conversation.requests import KeepIdea, Question, Request, SetTheme
from assistant.conversation.sentences import keep_idea, set_theme
from assistant.conversation.sentences.sitting import asks_theme
from assistant.conversation.understand.boxes import BOX, ID, read_sitting_box
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.phrasings import TABLE
from assistant.conversation.understand.reading import read
from assistant.conversation.understand.words import Line, fold

LONGEST = 60  # characters of words that are taken for a theme without being called one
MOST = 200  # characters of a theme
_APART = re.compile(rf"\s*[;,]\s*(?:and |then )?(?=(?:for )?{BOX}\b)|\s*\n\s*", re.IGNORECASE)
_PLAINLY = re.compile(r"[;\n]")  # parts that are plainly parted
_BY_ID = re.compile(rf"{ID} theme: ")
_PART = re.compile(
    rf"(?:and |then |for )*(?P<box>{BOX})(?P<says>(?:'s)? theme(?: is)?:?|:| -| =|)"
    r" ?(?<=[ :])(?P<theme>(?!theme\b)\S.*)",
    re.IGNORECASE,
)
_CALLED = re.compile(rf"{BOX}(?:'s)? theme\b", re.IGNORECASE)
# Beginnings and middles of sentences: words with them are a thought, not a theme.
_SENTENCE = re.compile(
    r"^(?:i|i'm|i'd|i'll|we|we're|we'll|you|he|she|it|it's|that|that's|this|they|there|let|let's"
    r"|maybe|perhaps|could|should|would|will|can|may i|may we|may be|what|how|why|don't|do|not|no"
    r"|yes|ok|okay|well|hmm+|um+|er+|oh|sorry|wait|remember|remind|ask|call|buy|order|check|email|tell"
    r"|need|must|be|is|are|was|were|has|have|had)\b"
    r"|\b(?:i|we|they|he|she) (?:think|like|love|want|would|could|should|might|have|had|need|am"
    r"|are|is|will|can|do|did|must)\b|\b(?:i'd|we'd|i'll|we'll|don't|isn't|aren't)\b|https?:|www\.",
    re.IGNORECASE,
)

Said = tuple[Request, ...] | Question


def looks_like_theme(words: str) -> bool:
    """Whether words that nobody called a theme may be one."""
    plain = fold(words)
    told = len(words) <= LONGEST and "?" not in words and not plain[:1].isdecimal()
    return told and re.search(r"\w\w", words) is not None and not _SENTENCE.search(plain)


# --- months with themes ---------------------------------------------------------------------


def themes_by_month(said: str, c: Context) -> Said | None:
    """The themes of a message such as "March rain and roots, April birdsong": of several months
    while a sitting is going, of one right after its question. None where it is anything else."""
    if not c.talk.sitting:
        return None
    parts = [part for part in _APART.split(said) if part.strip()]
    if not parts or (len(parts) == 1 and not asks_theme(c.talk) and not _CALLED.match(said)):
        return None
    found = [_theme_in(part, c) for part in parts]
    themes = [one for one in found if one is not None]
    if len(themes) < len(parts) or len({one.box for one, _ in themes}) < len(parts):
        return None
    if _BY_ID.match(parts[0]) and not all(map(_BY_ID.match, parts)):
        return None  # one theme, as a button says it
    if len(parts) == 1 and _is_one_name(parts[0], themes[0][0]):
        return _month_or_name(parts[0], themes[0][0], c)
    too_long = next((one for one, _ in themes if len(one.theme) > MOST), None)
    if too_long:
        month = MONTHS[int(too_long.box[5:7]) - 1]
        return Question(
            f'I read a theme for {month}, "{short(too_long.theme, 40)}", but a theme has at most '
            f"{MOST} characters. For example: {month} theme rain and roots"
        )
    if themes[0][1] and not all(called for _, called in themes) and not _PLAINLY.search(said):
        return _one_or_several(said, [one for one, _ in themes])
    return tuple(one for one, _ in themes)


def _theme_in(part: str, c: Context) -> tuple[SetTheme, bool] | None:
    """The theme that a part gives its month, and whether it is called a theme."""
    line = Line.of(part)
    found = _PART.fullmatch(line.plain)
    if found is None or _is_more(line, c):
        return None
    box = read_sitting_box(found["box"], c)
    theme = line.written[found.start("theme") :].strip().strip('"').strip()
    called = "theme" in found["says"].lower()
    if not isinstance(box, str) or not (called or len(theme) > MOST or looks_like_theme(theme)):
        return None
    return SetTheme(box, theme), called


def _is_more(line: Line, c: Context) -> bool:
    """Whether a phrasing reads something else than a theme in a part."""
    row = read(line, c, TABLE)
    return row is not None and not (isinstance(row[1], SetTheme) or row[0].phrasing.half)


def _is_one_name(part: str, said: SetTheme) -> bool:
    """Whether a month and one word behind it may be the theme itself: "April showers"."""
    return " " not in said.theme and re.fullmatch(r"[^\W\d]+ \S+", part.strip()) is not None


def _month_or_name(part: str, said: SetTheme, c: Context) -> Question:
    """Ask whether the month is meant or belongs to the theme."""
    here, whole = c.talk.sitting, short(part, LONGEST)
    texts = ((said.box, said.theme), (here, whole))
    options = (Button(f"{box_name(b, c.today)}: {t}", set_theme(b, t)) for b, t in texts)
    return Question(
        f'Is "{said.theme}" a theme for {box_name(said.box, c.today)}, or is "{whole}" the theme?',
        (*options, Button("Keep it as an idea", keep_idea(whole))),
    )


def _one_or_several(said: str, themes: list[SetTheme]) -> Question:
    """Ask where only the first of several months was followed by the word "theme"."""
    first, line = themes[0], Line.of(said)
    several = "; ".join(set_theme(one.box, one.theme) for one in themes)
    found = _PART.fullmatch(line.plain)
    whole = line.written[found.start("theme") :] if found else said
    month = MONTHS[int(first.box[5:7]) - 1]
    return Question(
        f"I read {len(themes)} months. Is that {len(themes)} themes, or one long one?",
        (
            Button(f"{len(themes)} themes", several),
            Button(f"One theme of {month}", set_theme(first.box, whole)),
        ),
    )


# --- bare answers ---------------------------------------------------------------------------


def or_a_theme(other: Request | Question, line: Line, c: Context) -> Request | Question:
    """What a line that no phrasing fits comes to right after the sitting asked for a theme: the
    theme, where the words look like one; a question gets that as one choice more."""
    if not asks_theme(c.talk):
        return other
    box = c.talk.sitting
    if isinstance(other, Question):
        if line.asks or len(line.written) > LONGEST:
            return other
        take = Button(f"Theme of {box_name(box, c.today)}", set_theme(box, line.written))
        return Question(other.text, (take, *other.options))
    if not isinstance(other, KeepIdea) or not other.taken_for_one:
        return other
    elsewhere = set(other.months) - {int(box[5:7])}
    if line.asks or other.link or elsewhere or not looks_like_theme(other.text):
        return other
    theme = other.text.strip("\"' .,;")
    # Words sent twice are no second theme: the box that has them has them already.
    inside = (one for one in c.shop.boxes if one.id[:4] == box[:4])
    same = next((one for one in inside if fold(one.theme) == fold(theme)), None)
    if same is not None:
        return SetTheme(same.id, same.theme, taken_for_one=True)
    return SetTheme(box, theme, taken_for_one=True)
