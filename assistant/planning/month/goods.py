"""What goods a name tells of: plainly, or perhaps.

Knows: words, and how a noun phrase is put together. Must not know: items, boxes, what is to be
checked. Invariants: whole words count, in the singular and the plural, so that "matching" is no
match and "balmy" no balm; the longest phrase counts, so that a tea light is no tea; what a name
does not tell plainly is a "perhaps", to be asked, never assumed; that nothing is found says
nothing. All of it is common practice, no source.

A name is read part by part ("clip-on lamp" "with" "a lithium cell"). The last word of a part says
what the thing is: a "seed head print" only shows seeds, a "tea caddy" may hold tea, a "honey soap"
is a soap first and may be food.
"""

import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache

from assistant.planning.records import CautionRule, GoodsWords, Record

Parts = list[tuple[str, list[str]]]  # (the word before a part, the words of it)

_APART = frozenset({",", ";", "/", "+", "&", "(", ")", "and", "plus", "with", "in"})
_OF = frozenset({"of", "about"})
_FOR = frozenset({"for", "to"})
_ON = frozenset({"", "and", ",", "/", "&"})  # what was said before goes on
_WITHOUT = frozenset({"without", "no", "non"})
_JOINTS = _APART | _OF | _FOR | _WITHOUT
_FREE = frozenset({"free", "less", "proof"})  # "alcohol-free", "flame-proof"
_AFTER = frozenset(  # words after a thing that say how it comes
    {"set", "pack", "packet", "bag", "box", "bar", "g", "kg", "cl", "l", "oz", "pc", "piece"}
)
_LITTLE = frozenset({"a", "an", "any", "some", "the", "other", "small", "for", "in", "of"})
_IRREGULAR = {"children": "child"}
# The endings of a plural and what stands in their place in the singular.
_ENDINGS = (("s", ""), ("es", ""), ("ies", "y"), ("ves", "f"), ("ves", "fe"))


class Told(Record):
    """The kinds of goods that a name tells of, `plain` or `perhaps`; none is both."""

    plain: frozenset[str] = frozenset()
    perhaps: frozenset[str] = frozenset()


class Entry(Record):
    """A phrase of the table: its words, and of which kinds it is plain or perhaps a word."""

    words: tuple[str, ...]
    plain: frozenset[str]
    perhaps: frozenset[str]


class Hit(Record):
    """A phrase found in a part, as words number `start` to before `end`."""

    start: int
    end: int
    entry: Entry


@lru_cache(4096)
def told(name: str, type: str, rules: tuple[CautionRule, ...], words: GoodsWords) -> Told:
    """Return the kinds of goods (CautionRule.goods) that a name and the type beside it tell of."""
    table = _table(rules, words)
    melting = frozenset(rule.goods for rule in rules if rule.melts)
    kind = _read(type, table, words, melting, shows=False)
    parts = _parts(type)
    shows = bool(parts) and not kind.plain and _head_in(parts[-1][1], words.pictured)
    own = _read(name, table, words, melting, shows=shows)
    plain = own.plain | kind.plain
    return Told(plain, (own.perhaps | kind.perhaps) - plain)


def spoken(text: str, rules: tuple[CautionRule, ...], words: GoodsWords) -> tuple[str, ...]:
    """Return the kinds that words can only mean, as in "the lamp has a lithium cell": those for
    which every word but the little ones stands in the table; in the table's order."""
    said = _fold(text)
    names = {_fold(rule.goods): rule.goods for rule in rules}
    if said in names:
        return (names[said],)
    wanted = [word for word in _tokens(text) if word not in _LITTLE]
    hits = _hits(wanted, _table(rules, words))
    if not hits or sum(hit.end - hit.start for hit in hits) != len(wanted):
        return ()
    every = [hit.entry.plain | hit.entry.perhaps for hit in hits]
    common = frozenset.intersection(*every)
    plain = frozenset[str]().union(*(hit.entry.plain for hit in hits)) & common
    return tuple(rule.goods for rule in rules if rule.goods in (plain or common))


# --- parts of a name ------------------------------------------------------------------------


def _read(
    name: str,
    table: Mapping[str, Sequence[Entry]],
    words: GoodsWords,
    melting: frozenset[str],
    *,
    shows: bool,
) -> Told:
    """Read a name part by part; `shows`: what it names is only shown."""
    plain, perhaps = set[str](), set[str]()
    asks = pictured = False
    for joint, part in _parts(name):
        shows = (shows and joint in _ON) or (pictured and joint in _OF | _FOR)
        asks = joint in _FOR or joint in _WITHOUT or (asks and joint in _ON)
        hits = _hits(part, table)
        head = _hit_at(hits, _last(part))
        loose = head is None or not head.entry.plain
        pictured = loose and _head_in(part, words.pictured)
        if shows or pictured:
            perhaps |= _of_phrases(hits)
            continue
        unsure = asks or (loose and _head_in(part, words.holders))
        for hit in hits:
            goods = hit.entry.plain
            if unsure or _is_free(part, hit):
                perhaps |= goods - melting  # a holder melts as little as what is not there
            else:
                main = head is None or _same_kind(hit, head)
                plain |= goods if main else goods & melting
                perhaps |= goods
            perhaps |= hit.entry.perhaps
    return Told(frozenset(plain), frozenset(perhaps - plain))


def _of_phrases(hits: Iterable[Hit]) -> frozenset[str]:
    """The kinds of phrases that are plain goods even where they are made into something that only
    shows: "seed paper notebook"."""
    several = (hit.entry.plain for hit in hits if hit.end - hit.start > 1)
    return frozenset[str]().union(*several)


def _same_kind(one: Hit, other: Hit) -> bool:
    return not other.entry.plain or not one.entry.plain.isdisjoint(other.entry.plain)


def _is_free(part: Sequence[str], hit: Hit) -> bool:
    """Whether a word says that these goods are not there: "alcohol-free"."""
    return hit.end < len(part) and part[hit.end] in _FREE


def _last(part: Sequence[str]) -> int:
    """The place of the word that says what a thing is: the last but for measures and packs."""
    place = len(part) - 1
    while place > 0 and (part[place].isdigit() or part[place] in _AFTER):
        place -= 1
    return place


def _head_in(part: Sequence[str], words: Iterable[str]) -> bool:
    return bool(part) and not _forms(part[_last(part)]).isdisjoint(words)


def _hit_at(hits: Iterable[Hit], place: int) -> Hit | None:
    return next((hit for hit in hits if hit.start <= place < hit.end), None)


def _parts(name: str) -> Parts:
    """Split a name at the words that join its parts."""
    parts: Parts = [("", [])]
    for token in _tokens(name):
        if token in _JOINTS:
            parts.append((token, []))
        elif token not in ("a", "an", "the"):
            parts[-1][1].append(token)
    return [part for part in parts if part[1]]


def _tokens(text: str) -> list[str]:
    return re.findall(r"[a-z]+|\d+|[,;/+&()]", _fold(text))


@lru_cache(4096)
def _fold(text: str) -> str:
    """Small letters without accents and without a possessive's ending."""
    plain = unicodedata.normalize("NFKD", text).casefold().replace("\u2019", "'")
    bare = "".join(c for c in plain if not unicodedata.combining(c))
    return " ".join(re.sub(r"'s?\b", "", bare).split())


# --- the table ------------------------------------------------------------------------------


@lru_cache(4)
def _table(rules: tuple[CautionRule, ...], words: GoodsWords) -> Mapping[str, Sequence[Entry]]:
    """All phrases by their first word, the longest first."""
    plain, perhaps = dict[str, set[str]](), dict[str, set[str]]()
    for rule in rules:
        for phrase in rule.words:
            plain.setdefault(phrase, set()).add(rule.goods)
        for phrase in rule.maybe:
            perhaps.setdefault(phrase, set()).add(rule.goods)
    table = dict[str, list[Entry]]()
    for phrase in dict.fromkeys((*plain, *perhaps, *words.other)):
        sure = frozenset(plain.get(phrase, ()))
        parts = tuple(phrase.split())
        entry = Entry(parts, sure, frozenset(perhaps.get(phrase, ())) - sure)
        table.setdefault(parts[0], []).append(entry)
    return {first: sorted(found, key=_longest) for first, found in table.items()}


def _longest(entry: Entry) -> int:
    return -len(entry.words)


def _hits(part: Sequence[str], table: Mapping[str, Sequence[Entry]]) -> list[Hit]:
    """The phrases of the table in a part, the longest first at each word, none over another."""
    hits, place = list[Hit](), 0
    while place < len(part):
        entry = _entry_at(part, place, table)
        if entry is not None:
            hits.append(Hit(place, place + len(entry.words), entry))
        place += len(entry.words) if entry else 1
    return hits


def _entry_at(
    part: Sequence[str], place: int, table: Mapping[str, Sequence[Entry]]
) -> Entry | None:
    forms = sorted(_forms(part[place]), key=lambda form: form != part[place])  # as written first
    entries = (one for form in forms for one in table.get(form, ()))
    fitting = (one for one in entries if _fits(one, part[place : place + len(one.words)]))
    return min(fitting, key=_longest, default=None)


def _fits(entry: Entry, words: Sequence[str]) -> bool:
    same = len(words) == len(entry.words)
    return same and all(
        meant in _forms(word) for meant, word in zip(entry.words, words, strict=True)
    )


@lru_cache(4096)
def _forms(word: str) -> frozenset[str]:
    """A word as written and what could be its singular."""
    forms = {word, _IRREGULAR.get(word, word)}
    forms |= {
        word.removesuffix(ending) + instead
        for ending, instead in _ENDINGS
        if word.endswith(ending) and len(word) > len(ending) + 1
    }
    return frozenset(forms)
