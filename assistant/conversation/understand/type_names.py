"""Words that name a recurring type.

Knows: the recurring types of a shop, how people shorten and misspell their names. Must not know:
patterns, what is said of a type. Invariants: a whole name comes before part of one, parts before
slips; what could be two types is asked about; a name that is only nearly another's is never taken
for it.
"""

import re

from assistant.conversation.understand.context import Context
from assistant.conversation.understand.days import month_number
from assistant.conversation.understand.unclear import Unclear
from assistant.conversation.understand.words import bare, fold, singular, slip, tidy, words_of
from assistant.planning.model import RecurringType
from assistant.planning.year.recurring import type_called

NAME = 40  # characters of a type's name
OFFERED = 6
_LITTLE = "the a an of my our in for to on and some"
# Words that would run together with those of a sentence.
_JOINTS = frozenset(("in", "to", "from", "of", "for", "and", "with", "type", "types", "may", "not"))
# Words that no type's name begins with, so that a thought which holds "twice a year" stays one.
_NO_NAMES = (
    "i we you he she they it this that these those there what who when where why how if maybe "
    "perhaps do did does is are was has have had can could should would will not no or but with "
    "without for from at by to in on up as all every each some any many people members everyone "
    "send sent ask asked make made put give gave take buy sell get let try use see say said think "
    "remember remind call meet check order pack ship post show tell write look find go come start "
    "stop keep change move swap drop add count nudge once twice thrice idea theme box"
)


def stems(name: str) -> frozenset[str]:
    """The words of a name that carry meaning, without endings of the plural."""
    return frozenset(singular(word) for word in words_of(fold(name)) if word not in _LITTLE.split())


def known_type(text: str, c: Context) -> str | Unclear | None:
    """The id of the recurring type that `text` names, by its name or part of it; None where the
    shop has no such type: the words are about something else."""
    if not c.shop.types:
        return None
    said = re.sub(r"^(?:the )?(?:recurring )?type ", "", tidy(text).strip("\"' "), flags=re.I)
    if exact := type_called(c.shop.types, said):
        return exact.id
    wanted = stems(said)
    found = [one for one in c.shop.types if wanted and wanted <= stems(one.name)]
    found = found or [one for one in c.shop.types if slip(bare(said), fold(one.name)) == "sure"]
    if len(found) == 1:
        return found[0].id
    if not found:
        return None
    offers = tuple((one.name, one.name) for one in found[:OFFERED])
    return Unclear(f'"{said[:NAME]}" could be {len(found)} recurring types', offers)


def exact_type(text: str, c: Context) -> str | None:
    """The id of the type that a button's sentence names."""
    found = type_called(c.shop.types, text)
    return found.id if found else None


def wholly_named(text: str, c: Context) -> str | None:
    """The id of the type of exactly this name, unless it is the name of an item that is no return
    of a type: what is said is about that item then."""
    found = type_called(c.shop.types, re.sub(r"^(?:the )?(?:recurring )?type ", "", tidy(text)))
    said = bare(text)
    item = any(fold(one.name) == said and not one.type for one in c.shop.items)
    return found.id if found and not item else None


def meant_type(text: str, c: Context) -> str | Unclear:
    """The same where a type must be meant: one that is not there is asked about."""
    found = known_type(text, c)
    if found is not None:
        return found
    said = re.sub(r"^(?:the )?(?:recurring )?type ", "", tidy(text), flags=re.I)[:NAME]
    if not c.shop.types:
        example = f"{bare(said)} 4 times a year"
        why = f'there are no recurring types yet, so no "{said}"; say first how often it comes'
        return Unclear(why, ((example, example),), whole=True, stray=True)
    if (slipped := near_type(said, c, ("sure",))) is not None:
        return slipped.id
    offers = tuple((one.name, one.name) for one in _nearest(said, c))
    return Unclear(f'I know no recurring type "{said}"', offers, stray=True)


def _nearest(said: str, c: Context) -> list[RecurringType]:
    from rapidfuzz import fuzz, process  # only a name that is not known needs it

    names = [fold(one.name) for one in c.shop.types]
    found = process.extract(bare(said), names, scorer=fuzz.ratio, limit=3, score_cutoff=50)
    return [c.shop.types[place] for _, _, place in found]


def near_type(
    name: str, c: Context, slips: tuple[str, ...] = ("sure", "maybe")
) -> RecurringType | None:
    """The type whose name may be meant by one that is not quite it: each word is one of it, or a
    slip of one."""
    said = stems(name)
    for one in c.shop.types:
        names = stems(one.name)
        if said and all(
            w in names or any(slip(w, n, "maybe") in slips for n in names) for w in said
        ):
            return one
    return None


def new_name(text: str, *, marked: bool) -> str | Unclear | None:
    """A name as a type's; None where the words hardly are one. `marked`: said to be a type."""
    name = re.sub(r"^(?:the|my|our|a|an) ", "", tidy(text).strip("\"' "), flags=re.I)
    words = words_of(name)
    if not marked and (not 1 <= len(words) <= 4 or words[0] in _NO_NAMES.split()):
        return None
    if not words or not re.search(r"[^\W\d_]", name):
        return Unclear("I found no name of a type in it") if marked else None
    if len(name) > NAME:
        return Unclear(f"the name of a type has at most {NAME} characters") if marked else None
    if re.search(r'[":;,]', name) or month_number(name) or {words[0], words[-1]} & _JOINTS:
        return Unclear(f'"{name}" is no name I can keep apart from other words')
    return name
