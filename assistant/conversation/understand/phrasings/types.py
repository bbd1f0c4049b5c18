"""Ways to say what belongs to recurring types (see spreading.py for their spread).

Knows: requests of types. Must not know: how a line is matched, whether a wish can hold. Invariants:
rows that begin with a type's name fit only where the shop has such a type; each example is
understood as its row.
"""

import re

from assistant.conversation.understand.amounts import Price
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.phrasings import spreading
from assistant.conversation.understand.reading import Built, Kind, Phrasing
from assistant.conversation.understand.type_names import (
    exact_type,
    known_type,
    meant_type,
    new_name,
    wholly_named,
)
from assistant.conversation.understand.type_words import (
    TIMES,
    merged,
    read_facts,
    read_line,
    read_list,
    read_months,
)
from assistant.conversation.understand.unclear import Unclear
from assistant.conversation.understand.words import fold
from assistant.conversation.year_requests import (
    ChangeType,
    DropType,
    ShowTypes,
    TypeFacts,
)
from assistant.planning.changes import find, profile_of
from assistant.planning.model import RecurringType
from assistant.planning.year.recurring import apart_from, plain


def _only_months(text: str, _c: Context) -> tuple[int, ...] | None:
    return read_months(re.sub(r"^only (?:in )?", "", text, flags=re.I))


KINDS: dict[str, Kind] = {
    "newtype": Kind(r".+", lambda text, c: read_line(text, c, marked=True)),
    "typeline": Kind(rf".{{2,80}}? {TIMES}(?:\W.*)?", lambda text, c: read_line(text, c)),
    "type": Kind(r"[^:;]{1,80}?", known_type),
    "sometype": Kind(r"[^:;]{1,80}?", meant_type),
    "exacttype": Kind(r"[^:;]{1,80}", exact_type),
    "wholetype": Kind(r"[^:;]{1,80}?", wholly_named),
    "onlyin": Kind(r"only (?:in )?[a-z/&, ]{3,60}?", _only_months),
    "year": Kind(r"20\d\d", lambda text, _c: int(text)),
    "list": Kind(r".+", lambda text, _c: read_list(text)),
}


def _known(c: Context, id: str) -> RecurringType:
    found = find(c.shop.types, id)
    if found is None:
        raise LookupError(f"a reader named a type that is not there: {id}")
    return found


def _change(c: Context, type: str, facts: TypeFacts) -> Built:
    return ChangeType(type, merged(_known(c, type), facts, c))


def _show(_c: Context, type: str = "") -> Built:
    del type
    return ShowTypes()


def _not_in(c: Context, type: str, months: tuple[int, ...]) -> Built:
    return _change(c, type, TypeFacts(must_not=months))


def _of_an_unknown(c: Context, name: str, months: tuple[int, ...]) -> Built:
    """A wish for months of something that is no type, and could be one."""
    del months
    if not isinstance(new_name(name, marked=False), str) or known_type(name, c) is not None:
        return None
    found = meant_type(name, c)
    return found if isinstance(found, Unclear) else None


def _only_in(_c: Context, type: str, months: tuple[int, ...]) -> Built:
    others = tuple(month for month in range(1, 13) if month not in months)
    return ChangeType(type, TypeFacts(must_not=others))


def _may_be_in(c: Context, type: str, months: tuple[int, ...]) -> Built:
    left = tuple(month for month in _known(c, type).must_not if month not in months)
    return ChangeType(type, TypeFacts(must_not=left))


def _must_be_in(c: Context, type: str, months: tuple[int, ...]) -> Built:
    return _change(c, type, TypeFacts(must=months))


def _need_not_be_in(c: Context, type: str, months: tuple[int, ...]) -> Built:
    left = tuple(month for month in _known(c, type).must if month not in months)
    return ChangeType(type, TypeFacts(must=left))


def _apart(c: Context, type: str, others: tuple[str, ...] | str) -> Built:
    return _change(c, type, TypeFacts(apart=_as_list(others)))


def _two_apart(c: Context, one: str, other: str) -> Built:
    """Two that may not share a box, in either order; one of them at least is a known type."""
    pairs = ((one, other), (other, one))
    for name, beside in pairs:
        type = known_type(name, c)
        if isinstance(type, str):
            return _apart(c, type, beside)
    meant = meant_type(one, c)
    return meant if isinstance(meant, Unclear) else None


def _share(c: Context, type: str, others: tuple[str, ...] | str) -> Built:
    """The types named may share a box with this one again."""
    others = _as_list(others)
    gone = {plain(name) for name in others}
    gone |= {id for name in others if isinstance(id := known_type(name, c), str)}
    left = tuple(
        name
        for name in apart_from(c.shop.types, _known(c, type))
        if plain(name) not in gone and known_type(name, c) not in gone
    )
    return ChangeType(type, TypeFacts(apart=left))


def _cost(c: Context, type: str, cost: Price) -> Built:
    own = profile_of(c.shop).currency
    if cost.currency not in ("", own):
        return Unclear(f"the cost of a type is in the shop's own currency, {own}")
    return ChangeType(type, TypeFacts(unit_cost=cost.amount))


def _add_forms(c: Context, type: str, forms: tuple[str, ...]) -> Built:
    known = _known(c, type).forms
    new = tuple(form for form in forms if fold(form) not in map(fold, known))
    return ChangeType(type, TypeFacts(forms=(*known, *new)))


def _drop_form(c: Context, type: str, form: str) -> Built:
    known = _known(c, type)
    left = tuple(one for one in known.forms if fold(one) != fold(form))
    if len(left) == len(known.forms):
        offers = tuple((one, f"drop form {one} from type {known.name}") for one in known.forms)
        return Unclear(f'{known.name} has no form "{form[:40]}"', offers, whole=True)
    return ChangeType(type, TypeFacts(forms=left))


def _facts(c: Context, type: str, facts: str) -> Built:
    found = read_facts(facts, c)
    return found if isinstance(found, Unclear) else _change(c, type, found)


def _as_list(others: str | tuple[str, ...]) -> tuple[str, ...]:
    return read_list(others) if isinstance(others, str) else others


_TYPE = "a recurring type"
_CHANGE = "a change of the type {type}"
_NOT = "(not|never|is not|may not be|must not be|mustn't be|can't be|cannot be|should not be)"
_SHARE = (
    "(share a box|be in one box|be in the same box|be in a box|go together|come together|share"
    "|be together)"
)
_NEVER = "(may not|must not|cannot|can't|should not|shouldn't|never|mustn't|do not|don't)"
_TOGETHER = "[ together| in one box| in the same box]"
_ROOM = "(room for|space for|room of|room|space of)"
_PLACES = "(places|place|slots|slot|spaces|spaces of room)"

TABLE: tuple[Phrasing, ...] = (
    Phrasing(
        "types",
        """
        [show |list ][me ][the |my |our |all ][recurring ](types|product types)
        (what|which) [are the |are my |are our ][recurring ]types[ do we have| have we| are there]
        [show ][me ][the ][recurring ]type {type:type}
        """,
        _show,
        "the recurring types",
        "recurring types",
        asks=True,
    ),
    Phrasing(
        "drop type",
        """
        (drop|forget|remove|delete|let go of) [the ][recurring ]type[:] {type:sometype}
        {type:type} is (no longer|not) a recurring type[ any more]
        """,
        lambda _c, type: DropType(type),
        "a type to forget, {type}",
        "forget the type tea",
    ),
    Phrasing(
        "add form",
        """
        add [the |a |another ][new ](form|forms)[:] {forms:words} to [the ][type ]{type:sometype}
        add {forms:words} to the forms of [the ][type ]{type:sometype}
        {type:type} also (in|comes in|as) {forms:words}
        new form (of|for) {type:sometype}[:] {forms:words}
        """,
        lambda c, type, forms: _add_forms(c, type, read_list(forms)),
        "a form of {type}",
        "add form rose to tea",
    ),
    Phrasing(
        "drop form",
        """
        (drop|remove|forget) [the ]form {form:words} (of|from) [the ][type ]{type:sometype}
        """,
        _drop_form,
        "a form of {type}",
        "drop form mint from tea",
    ),
    Phrasing(
        "new type",
        """
        (new recurring type|recurring type|new type)[ called][:| -] {made:newtype}
        (add|make) [a ][new ][recurring ]type[ called][:| -] {made:newtype}
        type[ called]: {made:newtype}
        """,
        lambda _c, made: made,
        _TYPE,
        "recurring type: art print, every third box",
    ),
    Phrasing(
        "new type",
        "type {type:type}: {facts:facts}",
        _facts,
        _CHANGE,
        "type tea: 5 times a year",
    ),
    Phrasing(
        "times",
        "{made:typeline}",
        lambda _c, made: made,
        _TYPE,
        "field notebook four times a year: lined, dotted, blank, grid",
    ),
    Phrasing(
        "not in",
        f"""
        {{type:type}} {_NOT} in {{months:months}}
        no {{type:type}} in {{months:months}}
        {{type:type}} not {{months:months}}
        """,
        _not_in,
        _CHANGE,
        "tea not in August",
    ),
    Phrasing(
        "only in",
        "{type:type} {months:onlyin}",
        _only_in,
        _CHANGE,
        "tea only in May, June and July",
    ),
    Phrasing(
        "may be in",
        """
        {type:type} (may|can) [also ](be|come|fall|go) in {months:months}[ again| too]
        {type:type} (may|can) be in {months:months} (after all|as well)
        {type:type} in {months:months} is (all right|fine|ok|okay)[ again]
        """,
        _may_be_in,
        _CHANGE,
        "tea may be in July again",
    ),
    Phrasing(
        "need not be in",
        """
        {type:type} (need not|needn't|must no longer) (be|come|fall) in {months:months}[ any more]
        {type:type} (does not|doesn't|do not|don't) (have|need) to (be|come|fall) in {months:months}
        """,
        _need_not_be_in,
        _CHANGE,
        "tea need not be in December",
    ),
    Phrasing(
        "must be in",
        """
        {type:type} (must|has to|have to|needs to|should) (be|come|fall|go) in {months:months}
        {type:type} (always|must) in {months:months}
        """,
        _must_be_in,
        _CHANGE,
        "tea must be in December",
    ),
    Phrasing(
        "months of an unknown type",
        """
        {name:words} (not|never) in {months:months}
        {name:words} (must|has to|have to) (be|come|fall) in {months:months}
        """,
        _of_an_unknown,
        "a recurring type, {name}",
        "tea not in August",
    ),
    Phrasing(
        "room of a type",
        f"""
        {{type:type}} (takes|take|needs|uses) [up ][the ]{_ROOM} {{n:count}}
        {{type:type}} (takes|take|needs|uses) [up ]{{n:count}} {_PLACES}
        """,
        lambda _c, type, n: ChangeType(type, TypeFacts(room=n)),
        _CHANGE,
        "notebook takes 2 places",
    ),
    Phrasing(
        "share",
        f"""
        {{type:type}} (may|can) share a box with {{others:list}}
        {{type:type}} (may|can) be [in a box ][together ]with {{others:list}}
        {{type:type}} and {{others:words}} (may|can) {_SHARE}[ again]
        """,
        _share,
        _CHANGE,
        "tea and notebook may share a box",
    ),
    Phrasing(
        "apart",
        f"""
        {{one:words}} and {{other:words}} {_NEVER} {_SHARE}
        """,
        _two_apart,
        "two types that may not share a box",
        "tea and notebook may not share a box",
    ),
    Phrasing(
        "apart",
        f"""
        {{type:type}} (not|never|is not) [in a box |together ]with {{others:list}}
        {{type:type}} {_NEVER} (share a box|be in a box|be|go|come) [together ]with {{others:list}}
        (never|do not|don't) put {{type:type}} (with|and|beside) {{others:words}}{_TOGETHER}
        keep {{type:type}} (and|apart from|away from) {{others:words}}[ apart]
        """,
        _apart,
        _CHANGE,
        "tea and notebook may not share a box",
    ),
    Phrasing(
        "cost of a type",
        """
        [the ][recurring ]type {type:type} (costs|cost|is) {cost:money}[ each| a piece]
        {type:wholetype} (costs|cost) {cost:money}[ each| a piece]
        """,
        _cost,
        _CHANGE,
        "type tea costs 1.80",
    ),
    Phrasing(
        "forms",
        """
        [the ]forms of {type:sometype}[ are][:| -] {forms:list}
        {type:type} forms[ are][:] {forms:list}
        {type:type} comes in {forms:list}
        """,
        lambda _c, type, forms: ChangeType(type, TypeFacts(forms=forms)),
        "forms of {type}",
        "forms of tea: mint, chai, oolong",
    ),
    Phrasing(
        "suits",
        "{type:type} (suits|goes with|go with) [themes of |the themes |themes like ]{suits:list}",
        lambda _c, type, suits: ChangeType(type, TypeFacts(suits=suits)),
        _CHANGE,
        "tea suits winter, moss and fog",
    ),
    *spreading.TABLE,
)
HALVES: tuple[Phrasing, ...] = ()
