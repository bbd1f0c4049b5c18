"""Sentences about the year sheet, and the sheet in words.

Knows: a year as facts, the words that stand on a sheet. Must not know: how a sheet is drawn.
Invariants: the sheet in words tells every fact that the picture shows; nothing here decides
anything.
"""

from collections.abc import Iterable, Iterator
from datetime import date

from assistant.conversation.replies.plain import MONTHS, day, listed, plural, short
from assistant.conversation.sentences.sheet import Form
from assistant.planning.year.year_view import NO_BOX, BoxView, Return, YearView
from assistant.sheets import writing, year_words

NAME = 60  # characters of a name in a message
UNCUT = 10_000  # in a file
NAMED = 4  # boxes that a caption names

NO_PLAN = (
    "Nothing is planned yet, so there is no year to draw. To begin: March theme rain and roots"
)
WHOLE = "The whole year in words."
REPLACED = "A question mark stands for what the typeface lacks; in words it is whole."
FORMS: dict[Form, str] = {"picture": "As a picture", "page": "To print", "words": "In words"}
quarter = year_words.quarter


def no_boxes(year: int, years: Iterable[int]) -> str:
    """Say that nothing is planned for a year, for which years something is, and what to do."""
    known = [str(one) for one in years]
    return (
        f"No box is planned for {year}. The plan has boxes of {listed(known)}. "
        f"To begin {year}: March {year} theme rain and roots"
    )


def no_quarter(view: YearView) -> str:
    """Say that a quarter has no boxes."""
    return f"No box is planned for the {year_words.title(view).lower()}."


def heading(view: YearView) -> str:
    """The title of a sheet in chat."""
    plain = view.quarter or view.first > 1
    return year_words.title(view) if plain else f"The year {view.year}"


def caption(view: YearView) -> tuple[str, ...]:
    """Say beside a sheet what it comes to: how much, what lacks a theme or items, what is late."""
    late = sum(one.late for one in view.boxes)
    return (
        f"{', '.join(filter(None, year_words.summary(view)))}.",
        _named("No theme", [one for one in view.boxes if not one.theme and one.state != NO_BOX]),
        _named("No items", [one for one in view.boxes if not one.items and one.state != NO_BOX]),
        _named(f"{late} late", [one for one in view.boxes if one.late]),
    )


def _named(what: str, boxes: list[BoxView]) -> str:
    if not boxes:
        return ""
    names = [_month(one)[:3] + _month(one)[len(MONTHS[one.month - 1]) :] for one in boxes]
    if len(names) > NAMED:
        return f"{what}: {', '.join(names[:NAMED])} and {len(names) - NAMED} more."
    return f"{what}: {listed(names)}."


def to_print(a4: bool) -> str:
    """Say what a page to print is."""
    return f"One {'A4' if a4 else 'Letter'} page, good in black and white."


def file_name(view: YearView, ending: str) -> str:
    """Name the file of a sheet."""
    year = f"{view.year} quarter {view.quarter}" if view.quarter else year_words.title(view)
    return writing.file_name(view.shop, f"year sheet {year}", view.on, ending)


# --- in words -------------------------------------------------------------------------------


def in_words(view: YearView, most: int = NAME) -> tuple[str, ...]:
    """Write the boxes of a sheet, two or three lines each; names are cut to so many characters."""
    return tuple("\n".join(_box(view, one, most)) for one in view.boxes)


def whole(view: YearView) -> str:
    """Write a sheet as a text: what it comes to, its boxes, and in which boxes each type comes."""
    head = (f"{heading(view)}: {view.shop}", *caption(view), f"{year_words.as_of(view)}.")
    parts = ("\n".join(filter(None, head)), *in_words(view, UNCUT), "\n".join(_spacing(view)))
    return "\n\n".join(filter(None, parts)) + "\n"


def _month(one: BoxView) -> str:
    nth = year_words.nth(one)
    return f"{MONTHS[one.month - 1]}{f', {nth}' if nth else ''}"


def _box(view: YearView, one: BoxView, most: int) -> Iterator[str]:
    yield f"{_month(one)}: {short(one.theme, most) or year_words.theme(one).lower()}"
    if one.state == NO_BOX:
        return
    facts = (
        year_words.state(one),
        year_words.late(one),
        year_words.items(one),
        year_words.cost(one, view.currency),
        year_words.over(one, view.currency),
        year_words.uncosted(one),
    )
    told = ", ".join(filter(None, facts))
    ships = f"Ships {day(one.ships, date(view.year, 1, 1))}. " if one.ships else ""
    yield f"{ships}{_capital(told)}."
    held = [_return(view, back, most) for back in one.returns]
    if held or one.others:
        yield _capital("; ".join((*held, *(short(name, most) for name in one.others)))) + "."


def _return(view: YearView, back: Return, most: int) -> str:
    """Name a type in a box, its forms and its items: "tea (black, loose): smoked black tea"."""
    forms = f" ({short(', '.join(back.forms), most)})" if back.forms else ""
    items = listed([short(name, most) for name in back.items])
    return f"{short(view.tracks[back.track].name, most)}{forms}: {items}"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _spacing(view: YearView) -> Iterator[str]:
    """Say of each type in which boxes it comes."""
    if not view.tracks or view.quarter:
        return
    yield "How the types are spread"
    for place, track in enumerate(view.tracks):
        boxes = [one for one in view.boxes if any(back.track == place for back in one.returns)]
        wished = f" of {track.wanted} wished" if track.wanted not in (None, track.times) else ""
        where = f": {', '.join(map(_month, boxes))}" if boxes else ""
        yield f"{track.name}, {plural(track.times, 'time')}{wished}{where}"
