"""Words that name a kept version of the year.

Knows: the versions of a shop, how people misspell their names. Must not know: patterns, what is
done with a version. Invariants: a whole name comes before part of one, parts before slips; a name
that no version has is asked about, with those that there are.
"""

import re

from assistant.conversation.sentences.rearranging import quoted
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.unclear import Unclear
from assistant.conversation.understand.words import fold, slip, tidy, words_of
from assistant.planning.model import Variant
from assistant.planning.year.variants import NAME, variant_id

OFFERED = 6
_NAMED = re.compile(r"(?:the )?(?:version|variant) (?:called |named )?(?=\S)", re.IGNORECASE)
_LIKE_ONE = re.compile(r"(?:plan|version|variant) \S", re.IGNORECASE)


def read_version(text: str, c: Context) -> str | Unclear:
    """The id of the version that `text` names."""
    said = _NAMED.sub("", tidy(text)).strip("\"' ")
    if not c.shop.variants:
        return Unclear("no version is kept yet", (_first(),), whole=True, stray=True)
    if found := _meant(said, c):
        return found
    near = sorted(c.shop.variants, key=lambda one: (-_alike(said, one), one.id))
    offers = tuple((one.name, quoted(one.name)) for one in near[:OFFERED])
    return Unclear(f'I kept no version "{said[:NAME]}"', offers, stray=True)


def known_version(text: str, c: Context) -> str | Unclear | None:
    """The same, but None where the words are about something else."""
    found = _meant(_NAMED.sub("", tidy(text)).strip("\"' "), c, whole=True)
    return found or (read_version(text, c) if _LIKE_ONE.match(tidy(text)) else None)


def exact_version(text: str, c: Context) -> str | None:
    """The id of the version that a button's sentence names, in quotes."""
    said = text.strip()
    return next((one.id for one in c.shop.variants if tidy(quoted(one.name)) == said), None)


def version_name(text: str, _c: Context) -> str | Unclear | None:
    """A name for a version, as it was said."""
    said = tidy(text).strip("\"' ")
    if not words_of(said) and said.isascii():
        return None
    return said if len(said) <= NAME else Unclear(f"a name has at most {NAME} characters")


def _first() -> tuple[str, str]:
    return "Keep this year as plan B", 'keep this year as "plan B"'


def _meant(said: str, c: Context, *, whole: bool = False) -> str:
    """The id of the one version that is named whole, in part (unless `whole`) or with a slip; ""
    for none."""
    known = {one.id: set(words_of(one.name)) for one in c.shop.variants}
    wanted = set() if whole else set(words_of(said))
    found = [id for id in known if id == variant_id(said) or fold(id) == fold(said)]
    found = found or [id for id, words in known.items() if wanted and wanted <= words]
    found = found or [id for id in known if slip(fold(said), fold(id)) == "sure"]
    return found[0] if len(found) == 1 else ""


def _alike(said: str, one: Variant) -> float:
    from rapidfuzz import fuzz  # only a name that is not known asks

    return fuzz.ratio(variant_id(said), one.id)
