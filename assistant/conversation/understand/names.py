"""Words for what has a name: items, suppliers, people, ideas, countries.

Knows: the names in a shop and how people shorten and misspell them. Must not know: patterns, what
is done with what is named. Invariants: exact names come before parts of names, parts before slips;
what could be two things is asked about, each choice being a name that can mean only one; a slip
that might be another word is asked about.
"""

import re
from collections.abc import Iterable, Sequence
from functools import lru_cache

from assistant.conversation.replies.plain import MONTHS, box_name, short
from assistant.conversation.sentences import idea_ref, item_name, one_line
from assistant.conversation.understand.boxes import BOX, exact_box
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.unclear import Unclear
from assistant.conversation.understand.words import bare, fold, singular, slip, tidy, words_of
from assistant.planning.changes import find
from assistant.planning.model import Item
from assistant.scheduling.countries import country_code
from assistant.scheduling.weeks import Problem, weekday_number

OFFERED = 6  # choices under one question
NAME = 60  # characters of a name in a sentence

_IT = frozenset(("it", "that", "this", "that one", "this one", "that item", "this item", "them"))
_IN_BOX = re.compile(
    rf"(?P<name>.+?),? \(?(?:for|in|of|from|on) (?P<box>{BOX})\)?"
    rf"|(?P<name2>.+?) \((?P<box2>{BOX})\)",
    re.IGNORECASE,
)
_BOX_FIRST = re.compile(rf"(?:the )?(?P<box>{BOX})(?:'s)? (?P<name>.+)", re.IGNORECASE)
_LITTLE = "the a an of my our in for to on and some"


# --- items ----------------------------------------------------------------------------------


def read_item(text: str, c: Context) -> str | Unclear | None:
    """The id of the item that `text` names: "the notebook", "tea for May", "March notebook",
    "it"."""
    said = bare(text)
    if said in _IT:
        here = find(c.shop.items, c.talk.item)
        return here.id if here else Unclear("I do not know which item you mean; say its name")
    if not words_of(said):
        return None
    wholes = _exact(said, _coming(c)) or _exact(said, c.shop.items)
    if not wholes and (found := _in_one_box(said, c)) is not None:
        return found
    if wholes or (wholes := _partly(said, _coming(c)) or _partly(said, c.shop.items)):
        return _one_of(wholes, text, c)
    return _slipped(said, text, c)


def known_item(text: str, c: Context) -> str | Unclear | None:
    """The same, but None where no item has such a name: the sentence is about something else."""
    found = read_item(text, c)
    unknown = isinstance(found, Unclear) and not found.offers
    return None if unknown and bare(text) not in _IT else found


def exact_item(text: str, c: Context) -> str | None:
    """The id of the item that a button's sentence names: "field notebook for 2027-03"."""
    name, _, box = text.strip().rpartition(" for ")
    found = (item for item in c.shop.items if item.box == box and tidy(one_line(item.name)) == name)
    return next((item.id for item in found), None)


def _coming(c: Context) -> list[Item]:
    month = c.month
    return [item for item in c.shop.items if item.box >= month]


def _in_one_box(said: str, c: Context) -> str | Unclear | None:
    """The item of a box that is named beside it; None where no box is."""
    found = _IN_BOX.fullmatch(said) or _BOX_FIRST.fullmatch(said)
    if found is None:
        return None
    parts = found.groupdict()
    name = bare(parts.get("name") or parts.get("name2") or "")
    box = exact_box(parts.get("box") or parts.get("box2") or "", c)
    if box is None:
        return None
    inside = [item for item in c.shop.items if item.box == box]
    items = _exact(name, inside) or _partly(name, inside) or _nearly(name, inside, "sure")
    if items:
        return _one_of(items, name, c)
    month = MONTHS[int(box[5:7]) - 1]
    near = _nearly(name, inside, "maybe")
    return Unclear(f'I know no item "{name[:NAME]}" in {month}', _offers(near, c))


def _exact(said: str, items: Sequence[Item]) -> list[Item]:
    return [item for item in items if fold(item.name) == said]


def _partly(said: str, items: Sequence[Item]) -> list[Item]:
    """Items in whose names all the words of `said` stand; those of whole names first."""
    wanted = _stems(said)
    if not wanted:
        return []
    found = [(item, _stems(item.name)) for item in items]
    same = [item for item, stems in found if stems == wanted]
    return same or [item for item, stems in found if wanted <= stems]


@lru_cache(maxsize=8192)
def _stems(name: str) -> frozenset[str]:
    return frozenset(singular(word) for word in words_of(fold(name)) if word not in _LITTLE.split())


def _slipped(said: str, text: str, c: Context) -> str | Unclear:
    coming = _coming(c)
    if sure := _nearly(said, coming, "sure") or _nearly(said, c.shop.items, "sure"):
        return _one_of(sure, text, c)
    maybe = _nearly(said, coming, "maybe")
    return Unclear(f'I know no item "{tidy(text)[:NAME]}"', _offers(maybe, c), stray=True)


def _nearly(said: str, items: Sequence[Item], how: str) -> list[Item]:
    """Items in whose names each word of `said` stands, or one that it is a slip of."""
    wanted = _stems(said)
    known = frozenset[str]().union(*(_stems(item.name) for item in items))
    ways = ("sure",) if how == "sure" else ("sure", "maybe")
    right = [
        {stem for stem in known if w == stem or slip(w, stem, "maybe") in ways} for w in wanted
    ]
    if not right or not all(right):
        return []
    return [
        item for item in items if all(not stems.isdisjoint(_stems(item.name)) for stems in right)
    ]


def _one_of(items: Sequence[Item], text: str, c: Context) -> str | Unclear:
    if len(items) == 1:
        return items[0].id
    count = len(items)
    return Unclear(f'"{tidy(text)[:NAME]}" could be {count} items of the plan', _offers(items, c))


def _offers(items: Iterable[Item], c: Context) -> tuple[tuple[str, str], ...]:
    nearest = sorted(items, key=lambda item: (item.box[:7] < c.month, item.box, item.name))
    return tuple(
        (f"{item.name[:30]}, {box_name(item.box, c.today)}", item_name(c.shop, item.id))
        for item in nearest[:OFFERED]
    )


# --- suppliers ------------------------------------------------------------------------------

_NO_NAMES = (
    "i we you he she they it the a an this that these those there what who everything "
    "everyone nobody my our shop us me all and or but if maybe perhaps idea some any no not"
)


def read_supplier(text: str, c: Context) -> str | Unclear | None:
    """The name of a supplier: a known one's as it is kept, or a new one's as it was said."""
    written = tidy(text).strip("\"' ")
    said = re.sub(r"^(?:the )?supplier ", "", written, flags=re.IGNORECASE).strip("\"' ")
    named = said != written
    found = _known_supplier(said, c)
    if isinstance(found, str) or not said or (found and not named):
        return found
    if len(said) > NAME or (not words_of(said) and said.isascii()):
        return None
    if named or _is_a_name(said):
        return said
    return (
        Unclear(f'I know no supplier "{said}"', (_new(said),)) if len(said.split()) <= 3 else None
    )


def _new(said: str) -> tuple[str, str]:
    """The offer to take a name for a new supplier's."""
    name = said[:1].upper() + said[1:]
    return f"New supplier {name[:20]}", f"supplier {name}"


def known_supplier(text: str, c: Context) -> str | Unclear | None:
    """The name of a supplier that the shop has; None where it has none like it."""
    said = re.sub(r"^(?:the )?supplier ", "", tidy(text), flags=re.IGNORECASE)
    return _known_supplier(said.strip("\"' "), c)


def supplier_id(text: str, c: Context) -> str | Unclear | None:
    """The id of a supplier that the shop has."""
    name = known_supplier(text, c)
    if not isinstance(name, str):
        return name
    return next(one.id for one in c.shop.suppliers if one.name == name)


def exact_supplier(text: str, c: Context) -> str | None:
    """The id of the supplier of exactly this name, whatever its case."""
    said = fold(text)
    return next((one.id for one in c.shop.suppliers if fold(one.name) == said), None)


def _known_supplier(said: str, c: Context) -> str | Unclear | None:
    wanted, names = bare(said), [one.name for one in c.shop.suppliers]
    exact = [name for name in names if fold(name) in (wanted, fold(said))]
    stems = _stems(said)
    found = exact[:1] or [name for name in names if stems and stems <= _stems(name)]
    found = found or [name for name in names if slip(wanted, fold(name)) == "sure"]
    if len(found) == 1:
        return found[0]
    if found:
        offers = tuple((name, name) for name in found[:OFFERED])
        return Unclear(f'"{said}" could be {len(found)} suppliers', offers)
    maybe = [name for name in names if slip(wanted, fold(name), "maybe") == "maybe"]
    if not maybe:
        return None
    offers = (*((name, name) for name in maybe[:3]), _new(said))
    return Unclear(f'I know no supplier "{said}"', offers)


def _is_a_name(said: str) -> bool:
    """Whether a new supplier's name looks like one: up to four words, the first in capitals, none
    a month, a weekday or an article."""
    words = said.split()
    if not 1 <= len(words) <= 4 or words[0].lower() in _NO_NAMES.split():
        return False
    dated = any(weekday_number(w) is not None or w.title() in MONTHS for w in words)
    return not dated and all(w[0].isupper() or w[0] in "&+" or w in ("of", "and") for w in words)


# --- people ---------------------------------------------------------------------------------


def read_person(text: str, c: Context) -> str | Unclear | None:
    """The id of someone who was let in, by name."""
    said = bare(text)
    people = [one for one in c.shop.people if fold(one.name) == said or one.id == text.strip()]
    people = people or [one for one in c.shop.people if said in fold(one.name).split()]
    if len(people) == 1:
        return people[0].id
    if people:
        offers = tuple((f"{one.name} ({one.role})", one.id) for one in people[:OFFERED])
        return Unclear(f'"{tidy(text)[:NAME]}" could be {len(people)} people', offers)
    offers = tuple((one.name, one.id) for one in c.shop.people if one.role == "helper" and one.name)
    return Unclear(f'nobody called "{tidy(text)[:NAME]}" was let in', offers[:OFFERED])


# --- ideas ----------------------------------------------------------------------------------


def read_idea(text: str, c: Context) -> str | Unclear | None:
    """The id of an idea: its number in the last list shown, or its eight-digit reference."""
    said = re.sub(r"^(?:the )?(?:idea )?(?:number |no\.? ?|#)?", "", text.strip().lower())
    if re.fullmatch(r"[0-9a-f]{8}", said):
        near = [id for id in c.talk.ideas if idea_ref(id) == said and find(c.shop.ideas, id)]
        found = near or [idea.id for idea in c.shop.ideas if idea_ref(idea.id) == said]
        return found[0] if len(found) == 1 else Unclear("that idea is no longer there")
    if said in ("it", "that", "that one", "this", "this one", ""):
        shown = c.talk.item if find(c.shop.ideas, c.talk.item) else ""
        one = c.talk.ideas[0] if len(c.talk.ideas) == 1 else shown
        return one or Unclear("I do not know which idea you mean")
    if not re.fullmatch(r"\d{1,4}", said):
        return None
    number = int(said)
    if not c.talk.ideas:
        return Unclear("no list of ideas was shown yet; say: ideas")
    if not 1 <= number <= len(c.talk.ideas):
        return Unclear(f"the last list of ideas has {len(c.talk.ideas)}, and no {number}")
    offered = f"{number} of that list is an offer; say: add offer {number} to March"
    return c.talk.ideas[number - 1] or Unclear(offered)


def named_idea(text: str, c: Context) -> str | Unclear:
    """The id of an idea by its number, its reference or words that stand in it: ideas that wait
    before those that are used, those before the ones let go."""
    if (found := read_idea(text, c)) is not None:
        return found
    wanted = _stems(bare(text))
    for state in ("waiting", "used", "let go"):
        ideas = [one for one in c.shop.ideas if one.state == state]
        same = [one for one in ideas if bare(one.text) == bare(text)]
        inside = same or [one for one in ideas if wanted and wanted <= _stems(one.text)]
        inside = inside or [one for one in ideas if _nearly_in(wanted, _stems(one.text))]
        if len(inside) == 1:
            return inside[0].id
        if inside:
            offers = tuple((short(i.text, 30), f"idea {idea_ref(i.id)}") for i in inside[:OFFERED])
            said = f'"{tidy(text)[:NAME]}" could be {len(inside)} ideas'
            return Unclear(said, offers)
    return Unclear(f'I know no idea "{tidy(text)[:NAME]}"', stray=True)


def _nearly_in(wanted: Iterable[str], stems: Iterable[str]) -> bool:
    """Whether each word stands among others, or one that it is plainly a slip of."""
    words = list(wanted)
    return bool(words) and all(
        any(word == stem or slip(word, stem) == "sure" for stem in stems) for word in words
    )


_SOMEONE = re.compile(
    r"(?:a|one|another|some|our) (?:subscriber|customer|member|reader)|subscribers|customers"
    r"|members|readers|someone|somebody",
    re.IGNORECASE,
)


def one_who_suggests(text: str, c: Context) -> str | None:
    """Who suggested something: a name that is no supplier's, or a subscriber without one."""
    said = tidy(text).strip("\"' ")
    if _SOMEONE.fullmatch(said):
        return said.lower() if said.lower().endswith("s") else "a subscriber"
    return said if _is_a_name(said) and _known_supplier(said, c) is None else None


# --- countries ------------------------------------------------------------------------------


def read_country(text: str, _c: Context) -> str | Unclear | None:
    """The code of a country, with "/" and a part where one was named: "DE", "GB/SCT"."""
    said = tidy(text).strip("\"'. ")
    code = country_code(said)
    if isinstance(code, Problem):
        return Unclear(f'"{said[:NAME]}" is no country I know')
    return code
