"""What is said of a recurring type: facts in any order behind its name.

Knows: how times, forms, months, room, cost and company are told. Must not know: patterns, boxes,
whether a wish can hold. Invariants: every piece between commas is read whole or named as unread, so
nothing that was said of a type is passed over in silence; a fact told twice is asked about.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from msgspec.structs import replace

from assistant.conversation.requests import Request
from assistant.conversation.sentences import types as say
from assistant.conversation.understand.amounts import MONEY, Price, read_money
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.days import COUNT, count_of, month_number, near_month
from assistant.conversation.understand.type_names import (
    known_type,
    near_type,
    new_name,
)
from assistant.conversation.understand.unclear import Unclear
from assistant.conversation.understand.words import tidy
from assistant.conversation.year_requests import AddType, ChangeType, TypeFacts
from assistant.planning.changes import find, profile_of
from assistant.planning.model import RecurringType
from assistant.planning.year.recurring import apart_from, type_called

FORM = 60  # characters of a form

Fields = dict[str, Any] | Unclear | None
_YEAR = (
    r"(?:,? ?(?:an?|per|each|every|in an?|in the|the|/|over an?) ?(?:year|yr|annum|(?:twelve|12) "
    r"months)| yearly| annually)?"
)
_NTH = ("second", "third", "fourth", "fifth", "sixth")
_EVERY = rf"(?P<nth>other |{' |'.join(_NTH)} |\d\d?(?:st|nd|rd|th)? )?(?P<unit>box|month)(?:es|s)?"
_THRICE = {"o": 1, "tw": 2, "th": 3}  # how the words begin: letters match in odd shapes, too
_TO_TWELVE = "one two three four five six seven eight nine ten eleven twelve thirteen"
_N = rf"(?:-?\d{{1,6}}|{_TO_TWELVE.replace(' ', '|')})"
TIMES = (
    rf"(?:(?P<n>{_N}) ?(?:x(?! ?[\d£€$])|times|time|tiems){_YEAR}"
    rf"|(?P<word>once|twice|twise|thrice){_YEAR}"
    rf"|(?:in )?(?:every|each) {_EVERY}|(?P<adverb>monthly|quarterly|(?:every|each) "
    rf"(?:quarter|season)))"
)
_SPLIT = re.compile(r",(?!\d{2}(?!\d))(?!\d{3}(?!\d))|(?<!\d),|;")
_AND = re.compile(r" (?:and|or|&) |/(?! )")
_MONTHS = re.compile(r",? ?(?:\bor\b|\band\b|[/&,]) ?", re.IGNORECASE)
_NEVER = r"(?:not(?: ever)?|never|may not|must not|cannot|can't|mustn't|shouldn't|should not)"
_BE = r"(?: be| come| fall| go)?"
_IN_BOX = r"(?: in (?:one|a|the same) box| in the box)?"


def boxes_a_year(c: Context) -> int:
    """How many boxes ship in twelve months, by the ship rule."""
    found = re.match(r"every (\d+ )?weeks?\b", profile_of(c.shop).ship_rule)
    return 52 // int(found[1] or 1) if found else 12


def read_times(text: str, c: Context) -> int | Unclear | None:
    """Times a year: "4 times a year", "3x", "twice", "every third box", "quarterly"."""
    found = re.fullmatch(TIMES, text.strip(), re.IGNORECASE)
    if found is None:
        return None
    if found["n"]:
        return _counted(found["n"])
    if found["word"]:
        word = found["word"].casefold()
        return next(number for begin, number in _THRICE.items() if word.startswith(begin))
    if found["adverb"]:
        return 12 if found["adverb"].lower() == "monthly" else 4
    all_of_them = 12 if found["unit"].lower() == "month" else boxes_a_year(c)
    nth = (found["nth"] or "").strip().casefold()
    step = 1 if not nth else 2 if nth == "other" else _nth(nth)
    return all_of_them // step if 1 <= step <= all_of_them else Unclear(f'"{text}" is too seldom')


def _nth(word: str) -> int:
    return _NTH.index(word) + 2 if word in _NTH else int(re.sub(r"\D", "", word) or 0)


def _counted(text: str) -> int | Unclear:
    if text.startswith("-"):
        return Unclear(f'"{text}" is below zero')
    number = count_of(text)
    return number if number is not None and number < 1000 else Unclear(f'"{text}" is too often')


def read_months(text: str) -> tuple[int, ...] | None:
    """Months joined in any way: "July", "July and August", "Nov, Dec or Jan"."""
    parts = [part for part in _MONTHS.split(text.strip()) if part]
    numbers = [_month(part) for part in parts]
    found = [number for number in numbers if number]
    return tuple(dict.fromkeys(found)) if found and len(found) == len(numbers) else None


def _month(word: str) -> int | None:
    near = near_month(word) if len(word) > 3 else None
    return month_number(word) or (near[0] if near and near[1] else None)


def _months(field: str) -> Callable[[str, Context], Fields]:
    def read(text: str, _c: Context) -> Fields:
        months = read_months(text)
        return {field: months} if months else None

    return read


def _only(text: str, _c: Context) -> Fields:
    months = read_months(text)
    return {"must_not": tuple(n for n in range(1, 13) if n not in months)} if months else None


def _cost(text: str, c: Context) -> Fields:
    price = read_money(text)
    if not isinstance(price, Price):
        return price
    own = profile_of(c.shop).currency
    if price.currency not in ("", own):
        return Unclear(f"the cost of a type is in the shop's own currency, {own}")
    return {"unit_cost": price.amount}


def _room(text: str, _c: Context) -> Fields:
    number = count_of(text)
    return None if number is None else {"room": number}


def _times(text: str, c: Context) -> Fields:
    number = read_times(text, c)
    return {"times": number} if isinstance(number, int) else number


def read_list(text: str) -> tuple[str, ...]:
    """The things of a list as said: "mint, chai and oolong"."""
    parts = (part.strip(" \"'.") for piece in _SPLIT.split(text) for part in _AND.split(piece))
    return tuple(dict.fromkeys(part for part in parts if part))


def _list(field: str) -> Callable[[str, Context], Fields]:
    def read(text: str, _c: Context) -> Fields:
        said = read_list(text)
        return {field: said} if said else None

    return read


@dataclass(frozen=True, slots=True)
class Clause:
    """One kind of fact: the words round it, how it is read, and whether a bare piece that follows
    it goes on with its list."""

    pattern: re.Pattern[str]
    read: Callable[[str, Context], Fields]
    more: bool = False


def _clause(pattern: str, read: Callable[[str, Context], Fields], more: bool = False) -> Clause:
    return Clause(re.compile(pattern, re.IGNORECASE), read, more)


_SAID = "(?P<said>.+)"
_FORMS = _list("forms")
CLAUSES: tuple[Clause, ...] = (
    _clause(rf"(?P<said>{TIMES})", _times),
    _clause(rf"{_NEVER}{_BE} (?:in|during) {_SAID}", _months("must_not"), True),
    _clause(
        rf"(?:not|no|except|but not|except in|but not in|without) {_SAID}",
        _months("must_not"),
        True,
    ),
    _clause(rf"only (?:in )?{_SAID}", _only),
    _clause(
        rf"(?:(?:must|has to|have to|should|always|needs to){_BE} )?in {_SAID}",
        _months("must"),
        True,
    ),
    _clause(
        rf"(?:is |are )?(?:{_NEVER}|apart|away){_BE} (?:(?:together )?with|from|beside|next to)"
        rf" (?P<said>.+?){_IN_BOX}",
        _list("apart"),
        True,
    ),
    _clause(
        rf"(?:costs?|cost is|at|for|unit cost|price)[: ]*(?P<said>{MONEY})"
        r"(?: ?(?:each|apiece|a piece))?",
        _cost,
    ),
    _clause(rf"(?P<said>{MONEY}) (?:each|apiece|a piece)", _cost),
    _clause(r"(?P<said>(?:\u00a3|\u20ac|\$)\d[\d.,]*|\d+[.,]\d\d)", _cost),
    _clause(
        rf"(?:takes?|needs?|uses?|has|with)(?: up)?(?: the)? (?:room|space)(?: of| for)?:? "
        rf"(?P<said>{COUNT})(?: places?)?",
        _room,
    ),
    _clause(
        rf"(?:takes?|needs?|uses?)(?: up)? (?P<said>{COUNT}) (?:places?|slots?|spaces?)", _room
    ),
    _clause(rf"(?:room|places)[: ]+(?P<said>{COUNT})", _room),
    _clause(
        rf"(?:suits?|goes with|go with|for themes?(?: of| like)?|themes?)[: ]+{_SAID}",
        _list("suits"),
        True,
    ),
    _clause(
        rf"(?:(?:in )?(?:the )?forms?(?: of it)?(?: are| is|:)?|comes? (?:in|as)|as|in the forms?)"
        rf":? {_SAID}",
        _FORMS,
        True,
    ),
)


def read_facts(text: str, c: Context, *, listing: bool = False) -> TypeFacts | Unclear:
    """Read facts parted by commas. `listing`: a colon stood before them, so that bare words at the
    beginning are forms."""
    fields: dict[str, Any] = {}
    goes_on = "forms" if listing else ""
    for piece in (part.strip(" .") for part in _SPLIT.split(text)):
        if not piece:
            continue
        found = _of_clause(piece, c) or _going_on(piece, goes_on, fields)
        if isinstance(found, Unclear):
            return found
        if found is None:
            return _unread(piece)
        told, more = found
        field = next(iter(told))
        if field in fields and not more and fields[field] != told[field]:
            return Unclear(f'"{piece[:60]}" tells the {_TOLD.get(field, field)} a second time')
        fields[field] = (*fields.get(field, ()), *told[field]) if more else told[field]
        goes_on = field if more else ""
    return _checked(TypeFacts(**fields))


_TOLD = {"times": "times a year", "unit_cost": "cost", "must_not": "months without it"}
Told = tuple[dict[str, Any], bool]


def _of_clause(piece: str, c: Context) -> Told | Unclear | None:
    for clause in CLAUSES:
        found = clause.pattern.fullmatch(piece)
        told = clause.read(found["said"], c) if found and found["said"] else None
        if isinstance(told, Unclear):
            return told
        if told is not None:
            return told, clause.more
    return None


def _going_on(piece: str, field: str, fields: dict[str, Any]) -> Told | Unclear | None:
    """A bare piece as one more of the list before it."""
    del fields
    if not field:
        return None
    if field in ("must", "must_not"):
        months = read_months(re.sub(r"^(?:and|or|in) ", "", piece))
        return ({field: months}, True) if months else None
    said = read_list(re.sub(r"^(?:and|or) ", "", piece))
    return ({field: said}, True) if said else None


def _unread(piece: str) -> Unclear:
    said = piece[:60]
    return Unclear(
        f'I could not read "{said}"; forms are told behind a colon, other facts in words'
    )


def _checked(facts: TypeFacts) -> TypeFacts | Unclear:
    for form in facts.forms or ():
        if len(form) > FORM:
            return Unclear(f'a form has at most {FORM} characters, "{form[:20]}..." has more')
    return facts


# --- a whole line ---------------------------------------------------------------------------

_HEAD = re.compile(rf"(?P<name>.+?),? (?P<times>{TIMES})(?P<rest>\W.*)?", re.IGNORECASE)


def read_line(text: str, c: Context, *, marked: bool = False) -> Request | Unclear | None:
    """A recurring type with all that is said of it: a new one, or one that is known."""
    said = tidy(text.replace("\u2019", "'")).strip(" .,;")
    head = _HEAD.fullmatch(said)
    if head is None or re.search(r"[:;,]", head["name"]) or not _goes_on_well(head["rest"], c):
        return _meaning(*_cut(said), "", c) if marked else None
    rest = (head["rest"] or "").strip()
    # "a sticker in every box" is a thought; "postcards every other month" is a wish.
    vague = not marked and (head["adverb"] or (head["unit"] and not head["nth"]))
    if vague and known_type(head["name"], c) is None:
        return None
    listing = rest.startswith((":", "-"))
    how = "marked" if marked else "plain"
    return _meaning(head["name"], listing, rest.lstrip(":,;- "), head["times"], c, how)


def _goes_on_well(rest: str | None, c: Context) -> bool:
    """Whether what stands behind the times is told as facts are."""
    said = (rest or "").strip()
    return not said or said[0] in ":,;-" or bool(_of_clause(_SPLIT.split(said)[0].strip(), c))


def _meaning(
    name: str, listing: bool, rest: str, times: str, c: Context, how: str = "marked"
) -> Request | Unclear | None:
    known = _meant(name, f"{times}: {rest}" if listing else f"{times}, {rest}", c, how == "marked")
    if known is None or isinstance(known, Unclear):
        return known
    facts = read_facts(rest, c, listing=listing)
    often = read_times(times, c) if times else None
    if isinstance(facts, Unclear):
        return facts
    if isinstance(often, Unclear):
        return often
    if often is not None and facts.times not in (None, often):
        return Unclear("it tells the times a year a second time")
    if often is not None:
        facts = replace(facts, times=often)
    if isinstance(known, RecurringType):
        return ChangeType(known.id, merged(known, facts, c))
    return AddType(replace(facts, name=known))


def _cut(said: str) -> tuple[str, bool, str]:
    """A line's name and what is told behind its first colon or comma."""
    found = re.search(r" ?[:,;] ?", said)
    if found is None:
        return said, False, ""
    return said[: found.start()], ":" in found[0], said[found.end() :]


def _meant(name: str, facts: str, c: Context, marked: bool) -> RecurringType | str | Unclear | None:
    """The known type that a line is about, or the name of a new one."""
    if exact := type_called(c.shop.types, name):
        return exact
    found = None if marked else known_type(name, c)
    if isinstance(found, str):
        return find(c.shop.types, found)
    facts = facts.strip(" ,:")
    if found is not None:
        offers = tuple((label, say.type_is(known, facts)) for label, known in found.offers)
        return Unclear(found.why, offers, whole=True)
    new = new_name(name, marked=marked)
    near = near_type(name, c) if isinstance(new, str) and not marked else None
    if near is None:
        return new
    choices = (
        (f"It is {near.name}", say.type_is(near.name, facts)),
        (f"New type {new}", f"new type {new}, {facts}"),
    )
    return Unclear(f'"{new}" is nearly the name of the type {near.name}', choices, whole=True)


def merged(known: RecurringType, said: TypeFacts, c: Context) -> TypeFacts:
    """Facts said of a known type, with what goes on beside them: months and company that are ruled
    out are added to those that were, and a month that is wanted is no longer ruled out."""
    must, must_not, apart = known.must, known.must_not, said.apart
    if apart is not None:
        apart = tuple(dict.fromkeys((*apart_from(c.shop.types, known), *apart)))
    if said.must_not is not None:
        must_not = tuple(sorted({*must_not, *said.must_not}))
        must = tuple(month for month in must if month not in said.must_not)
    if said.must is not None:
        must = tuple(sorted({*must, *said.must}))
        must_not = tuple(month for month in must_not if month not in said.must)
    return replace(
        said,
        apart=apart,
        must=must if must != known.must or said.must is not None else None,
        must_not=must_not if must_not != known.must_not or said.must_not is not None else None,
    )
