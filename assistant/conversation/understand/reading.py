"""The loop that reads one line against the table of phrasings.

Knows: what a phrasing is made of and how a line is matched. Must not know: any phrasing.
Invariants: the first phrasing whose words and slots all fit decides; a slot that cannot be what it
is said to be makes it a question, never a guess; a slot that is no such thing at all leaves the
line to the next phrasing.

A pattern is words with `[optional words]`, `(one|or another)`, slots `{name:kind}`, and
`<shorthand>` for words that stand in many patterns.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from assistant.conversation.messages import Button
from assistant.conversation.replies.plain import short
from assistant.conversation.requests import Question, Request
from assistant.conversation.sentences import keep_idea
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.unclear import Unclear
from assistant.conversation.understand.words import Line

Built = Request | Question | Unclear | None
Build = Callable[..., Built]
Resolver = Callable[[str, Context], Any]
_SLOT = re.compile(r"\{(\w+):(\w+)\}")
OFFERED = 6


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of slot: the characters it may be made of, and what it means (None: no such thing;
    Unclear: such a thing, but not clear which)."""

    pattern: str
    read: Resolver


@dataclass(frozen=True, slots=True)
class Phrasing:
    """The ways to say one thing, a pattern on each line of `says`.

    `build` gets the context and the slots that were said. `gist` says what the phrasing is about in
    a question back ("I read <gist>, but ..."), with the words of slots in braces. `example` is a
    whole sentence that works. `asks` marks what changes nothing, `half` what lacks something.
    """

    name: str
    says: str
    build: Build
    gist: str
    example: str
    asks: bool = False
    half: bool = False


@dataclass(frozen=True, slots=True)
class Compiled:
    """One pattern of a phrasing made ready to match; `form` is its regular expression."""

    phrasing: Phrasing
    pattern: str
    form: str
    slots: tuple[tuple[str, Resolver], ...]
    keys: frozenset[str]  # one of these words stands in every sentence of this pattern


@dataclass(frozen=True, slots=True)
class Table:
    """All phrasings in order, and where each key word leads."""

    rows: tuple[Compiled, ...]
    by_word: Mapping[str, tuple[int, ...]]
    vocabulary: frozenset[str]
    _unkeyed: tuple[int, ...] = field(default=())

    @classmethod
    def of(
        cls,
        phrasings: Iterable[Phrasing],
        kinds: Mapping[str, Kind],
        shorthand: Mapping[str, str],
    ) -> "Table":
        """Compile phrasings; they stay in their order."""
        rows = tuple(
            _compiled(phrasing, _written_out(pattern.strip(), shorthand), kinds)
            for phrasing in phrasings
            for pattern in phrasing.says.strip().splitlines()
        )
        by_word: dict[str, tuple[int, ...]] = {}
        for place, row in enumerate(rows):
            for key in row.keys:
                by_word[key] = (*by_word.get(key, ()), place)
        words = frozenset(w for row in rows for w in _words(row.pattern) if len(w) > 2)
        unkeyed = tuple(place for place, row in enumerate(rows) if not row.keys)
        return cls(rows, by_word, words, unkeyed)

    def candidates(self, line: Line) -> Iterator[Compiled]:
        """The phrasings that could fit, in order."""
        places = {place for word in set(line.words) for place in self.by_word.get(word, ())}
        return (self.rows[place] for place in sorted(places.union(self._unkeyed)))


def read(line: Line, c: Context, table: Table) -> tuple[Compiled, Request | Question] | None:
    """The first pattern that fits, and what it comes to."""
    for row in table.candidates(line):
        found = _ready(row.form).fullmatch(line.plain)
        built = _fill(row, found, line, c) if found else None
        if built is not None:
            return row, built
    return None


def _fill(row: Compiled, found: re.Match[str], line: Line, c: Context) -> Request | Question | None:
    values: dict[str, Any] = {}
    for slot, resolve in row.slots:
        if found[slot] is None:
            continue
        start, end = found.span(slot)
        value = resolve(line.written[start:end], c)
        if value is None:
            return None
        if isinstance(value, Unclear):
            return question(row.phrasing, found, line, value, (start, end))
        values[slot] = value
    built = row.phrasing.build(c, **values)
    if isinstance(built, Unclear):
        return question(row.phrasing, found, line, built, (0, len(line.written)))
    return built


def question(
    phrasing: Phrasing, found: re.Match[str], line: Line, why: Unclear, span: tuple[int, int]
) -> Question:
    """Ask back: what was read, what is wrong, an example, and a choice of whole sentences."""
    parts = {slot: short(words or "", 40) for slot, words in found.groupdict().items()}
    said = {slot: '"' + words.replace('"', "'") + '"' for slot, words in parts.items()}
    text = f"I read {phrasing.gist.format_map(said)}, but {why.why}. "
    before, after = line.written[: span[0]], line.written[span[1] :]
    options = tuple(
        Button(short(label, 40), says if why.whole else f"{before}{says}{after}")
        for label, says in why.offers[:OFFERED]
    )
    if why.stray:
        options = (*options, Button("Keep it as an idea", keep_idea(line.written)))
    example = "" if why.offers else f"For example: {phrasing.example}"
    return Question((text + example).strip(), options)


# --- patterns -------------------------------------------------------------------------------


def _written_out(pattern: str, shorthand: Mapping[str, str]) -> str:
    return re.sub(r"<[a-z-]+>", lambda found: shorthand[found[0]], pattern)


def _compiled(phrasing: Phrasing, pattern: str, kinds: Mapping[str, Kind]) -> Compiled:
    slots = tuple((slot, kinds[kind].read) for slot, kind in _SLOT.findall(pattern))
    parts = _SLOT.split(pattern)
    form = ""
    for place in range(0, len(parts), 3):
        form += _literal(parts[place])
        if place + 2 < len(parts):
            form += f"(?P<{parts[place + 1]}>{kinds[parts[place + 2]].pattern})"
    return Compiled(phrasing, pattern, form, slots, _keys(pattern))


@cache
def _ready(form: str) -> re.Pattern[str]:
    """A form compiled when it is first needed: all of them would make the first reply late."""
    return re.compile(form, re.IGNORECASE)


def _literal(text: str) -> str:
    """Words of a pattern as a regular expression."""
    escaped = re.sub(r"([.?+*^$\\])", r"\\\1", text)
    return escaped.replace("(", "(?:").replace("[", "(?:").replace("]", ")?")


def _words(pattern: str) -> list[str]:
    return re.findall(r"[a-z0-9']+", _SLOT.sub(" ", pattern.lower()))


def _keys(pattern: str) -> frozenset[str]:
    """Words one of which must stand in any sentence of a pattern: its first word that is neither
    optional nor a slot, or the first words of its first choice."""
    must = _SLOT.sub(" \x00 ", pattern.lower())
    while "[" in must:
        must = re.sub(r"\[[^\[\]]*\]", " \x00 ", must)
    for found in re.finditer(r"\(([^()]*)\)|([a-z0-9']+)", must):
        choices = (found[1] or found[2]).split("|")
        firsts = [re.match(r" ?([a-z0-9']+)", choice) for choice in choices]
        if all(firsts):
            return frozenset(first[1] for first in firsts if first)
    return frozenset()
