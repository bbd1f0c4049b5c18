"""Text measured with the typeface's own widths, shortened and broken to fit.

Knows: the typeface of the sheets and how wide its characters are. Must not know: what is written
or where it stands. Invariants: nothing that is returned is wider than the room it was given; a
text is cut between characters and shows that it was; every character returned is in the typeface.

A character that the typeface lacks (it has Latin, Greek and Cyrillic) would be drawn as an empty
box. A run of such characters becomes one question mark instead, which the sheets explain below;
marks without a width of their own are left out.

The typeface, Source Sans Pro (SIL Open Font License 1.1), comes in a package; its files are read
by the libraries that draw.
"""

from functools import cache
from typing import TYPE_CHECKING, Literal
from unicodedata import category, normalize

if TYPE_CHECKING:
    from reportlab.pdfbase.ttfonts import TTFontFace

Weight = Literal["regular", "semibold", "bold"]

FAMILY = "Source Sans Pro"
FACES: dict[Weight, str] = {
    "regular": "SourceSansPro",
    "semibold": "SourceSansProSemibold",
    "bold": "SourceSansProBold",
}
CUT = "\u2026"
MISSING = "?"
_UNSEEN = ("Cc", "Cf", "Cs", "Co", "Cn", "Mn", "Me")  # Unicode categories: steering, marks, unused


def font_file(weight: Weight) -> str:
    """Return where the font file of a weight is."""
    from font_source_sans_pro import font_files_ttf

    return str(font_files_ttf[FACES[weight]])


@cache
def _face(weight: Weight) -> "TTFontFace":
    from reportlab.pdfbase.ttfonts import TTFontFace

    return TTFontFace(font_file(weight))


def width(text: str, size: float, weight: Weight = "regular") -> float:
    """Return how wide a text is, in the unit of `size`, without kerning (which only narrows)."""
    widths, usual = _widths(weight)
    return sum(widths.get(ord(one), usual) for one in text) * size / 1000


@cache
def _widths(weight: Weight) -> tuple[dict[int, float], float]:
    face = _face(weight)
    return face.charWidths, face.defaultWidth


def printable(text: str) -> str:
    """Return a text on one line in characters that the typeface has."""
    made, replaced = "", False
    for one in " ".join(normalize("NFC", text).split()):
        drawn = _drawn(one)
        lost = drawn == MISSING != one
        made += "" if replaced and lost else drawn
        replaced = lost or (replaced and not drawn)
    return made


def lacks(text: str) -> bool:
    """Say whether a text has characters that `printable` replaces."""
    seen = (one for one in normalize("NFC", text) if not one.isspace())
    return any(_drawn(one) == MISSING != one for one in seen)


def _drawn(one: str) -> str:
    """What is drawn for a character."""
    if category(one) in _UNSEEN:
        return ""
    return one if ord(one) in _face("regular").charToGlyph else MISSING


def shorten(text: str, size: float, weight: Weight, room: float) -> str:
    """Return a text cut to the room there is, with an ellipsis where it was cut."""
    text = printable(text)
    if width(text, size, weight) <= room:
        return text
    left = room - width(CUT, size, weight)
    kept = ""
    for one in text:
        left -= width(one, size, weight)
        if left < 0:
            break
        kept += one
    return kept.rstrip(" ,.;:") + CUT if width(CUT, size, weight) <= room else ""


def broken(text: str, size: float, weight: Weight, room: float, most: int = 2) -> tuple[str, ...]:
    """Return a text broken between words into lines, at most so many; the last is cut short where
    more is left over."""
    lines: list[str] = []
    words = printable(text).split()
    while words and len(lines) < most - 1:
        line = words.pop(0)
        while words and width(f"{line} {words[0]}", size, weight) <= room:
            line += f" {words.pop(0)}"
        if width(line, size, weight) > room:  # one word wider than a line
            words.insert(0, line)
            break
        lines.append(line)
    return (*lines, shorten(" ".join(words), size, weight, room)) if words else tuple(lines)
