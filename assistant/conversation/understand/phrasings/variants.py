"""Ways to say what belongs to versions of the year: keep, list, compare, adopt, forget.

Knows: requests about versions. Must not know: how a line is matched. Invariants: the sentences of
buttons (EXACT) stand before all others; "use", "forget" and "show" are about a version only where
the words that follow are a version's name; each example is understood as its row.
"""

from assistant.conversation.sentences.rearranging import keep_version
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.reading import Build, Built, Kind, Phrasing
from assistant.conversation.understand.unclear import Unclear
from assistant.conversation.understand.versions import (
    exact_version,
    known_version,
    read_version,
    version_name,
)
from assistant.conversation.year_requests import (
    AdoptVariant,
    CompareVariant,
    DropVariant,
    KeepVariant,
    ShowVariants,
)
from assistant.planning.year.variants import variant_id

KINDS: dict[str, Kind] = {
    "quotedversion": Kind(r'".+"', exact_version),
    "quotedname": Kind(r'".+"', version_name),
    "version": Kind(r".{1,80}?", read_version),
    "knownversion": Kind(r".{1,80}?", known_version),
    "versionname": Kind(r".+?", version_name),
    "plannedversion": Kind(r"(?:the )?(?:plan|version|variant) .{1,60}?", read_version),
    "planname": Kind(r'"?(?:plan|version) .+?', version_name),
}


def _row(
    name: str, says: str, build: Build, gist: str, example: str, *, asks: bool = False
) -> Phrasing:
    return Phrasing(name, says, build, gist, example, asks=asks)


def _keep(_c: Context, name: str) -> Built:
    return KeepVariant(name)


def _compare(_c: Context, version: str) -> Built:
    return CompareVariant(version)


def _adopt(_c: Context, version: str) -> Built:
    return AdoptVariant(version)


def _adopt_now(_c: Context, version: str) -> Built:
    return AdoptVariant(version, sure=True)


def _forget(_c: Context, version: str) -> Built:
    return DropVariant(version)


def _keep_as_what(c: Context) -> Built:
    """Ask for a name, with one that is free."""
    taken = {one.id for one in c.shop.variants}
    names = (f"plan {letter}" for letter in "BCDEFGHIJKLMNOP")
    name = next(one for one in names if variant_id(one) not in taken)
    offer = f"As {name}", keep_version(name)
    return Unclear("I do not know under which name", (offer,), whole=True)


_COMPARE = "a version to compare with, {version}"
_ADOPT = "a version to adopt, {version}"
_FORGET = "a version to forget, {version}"

EXACT: tuple[Phrasing, ...] = (
    _row(
        "keep version",
        "keep this year as {name:quotedname}",
        _keep,
        "a version to keep",
        'keep this year as "plan B"',
    ),
    _row(
        "compare version",
        "compare with version {version:quotedversion}",
        _compare,
        "a version to compare with",
        'compare with version "plan B"',
        asks=True,
    ),
    _row(
        "adopt version",
        "adopt version {version:quotedversion} now",
        _adopt_now,
        "a version to adopt",
        'adopt version "plan B" now',
    ),
    _row(
        "adopt version",
        "adopt version {version:quotedversion}",
        _adopt,
        "a version to adopt",
        'adopt version "plan B"',
    ),
    _row(
        "forget version",
        "forget version {version:quotedversion}",
        _forget,
        "a version to forget",
        'forget version "plan B"',
    ),
)

TABLE: tuple[Phrasing, ...] = (
    _row(
        "versions",
        """
        [my |our |the |all |kept |all my ](versions|variants)[ of the year| of the plan]
        (show|list|show me) [my |our |the |all |kept ](versions|variants)[ of the year]
        (what|which) (versions|variants) (are there|do i have|have i kept|have i|are kept)
        (what|which) (versions|variants) did i (keep|save)
        """,
        lambda _c: ShowVariants(),
        "the versions of the year",
        "versions",
        asks=True,
    ),
    _row(
        "keep version",
        """
        (keep|save|store) (this|the|my|our) (year|plan)[ as it is] as {name:versionname}
        (keep|save|store) [this |it |the year |this year ]as [a |the |my ]{name:planname}
        (keep|save|store|make) a (version|copy) (called|named|as) {name:versionname}
        (keep|save) a (version|copy) of (this|the) year (called|named|as) {name:versionname}
        (keep|save|store) [a |the ](version|variant) {name:versionname}
        """,
        _keep,
        "a version to keep, {name}",
        "keep this year as plan B",
    ),
    _row(
        "compare version",
        """
        compare [the year |this year |the plan |it |this ](with|to|against|and) {version:version}
        compare {version:version}[ with the year| with this year| with now| to now]
        (how does|how do|how would) {version:knownversion} (differ|compare)[ from this]
        (how is|what is|what's|whats) (different|new|changed) (in|with|about) {version:knownversion}
        [what is |what's ][the ](difference|differences) (to|with|from|in) {version:knownversion}
        show [me ]{version:knownversion}
        """,
        _compare,
        _COMPARE,
        "compare with plan B",
        asks=True,
    ),
    _row(
        "adopt version",
        """
        adopt {version:version} <at-once>
        use version {version:version} <at-once>
        use {version:knownversion} <at-once>
        """,
        _adopt_now,
        _ADOPT,
        "adopt plan B now",
    ),
    _row(
        "adopt version",
        """
        adopt {version:version}[ instead]
        (use|take) version {version:version}[ instead]
        (use|take) {version:knownversion}[ instead]
        (switch|change|go back|go over|return) to {version:knownversion}
        (go|let us go|let's go) with {version:knownversion}
        """,
        _adopt,
        _ADOPT,
        "adopt plan B",
    ),
    _row(
        "forget version",
        """
        (delete|remove|drop) {version:plannedversion}
        (forget|throw away) {version:knownversion}
        """,
        _forget,
        _FORGET,
        "forget plan B",
    ),
)

HALVES: tuple[Phrasing, ...] = (
    Phrasing(
        "keep version",
        """
        (keep|save|store|make) [a |this ](version|copy|variant)[ of the year| of this year]
        (keep|save|store) (this|the|my|our) (year|plan)
        """,
        _keep_as_what,
        "a version to keep",
        "keep this year as plan B",
        half=True,
    ),
)
