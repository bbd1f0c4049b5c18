"""What subscribers said of items and boxes: scores on one scale, and answers of a survey.

Knows: scores from 1 to 5, words that praise or do not, items of boxes that have gone out. Must not
know: file formats, sentences. Invariants: an item has one opinion, the newest; words that were said
stay, each once, at most `KEPT`; the same survey twice changes nothing; what fits two items is
refused; outside text is kept as text, cut, and decides nothing but which item it names.

From 4 on a thing was loved, under 3 it was not: ours, from no source.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal

from msgspec.structs import replace

from assistant.planning.bringing_in import Refused, fold
from assistant.planning.changes import find
from assistant.planning.model import Change, Item, Opinion, Put, Record, Shop, Tally
from assistant.planning.month.sent import sent_boxes
from assistant.planning.year.likeness import stems
from assistant.planning.year.recurring import plain
from assistant.scheduling.weeks import MONTHS

LEAST, MOST = Decimal(1), Decimal(5)
LOVED, POOR = Decimal(4), Decimal(3)
HUNDREDTH = Decimal("0.01")
KEPT = 20  # words of subscribers that one opinion keeps
LONGEST = 120  # characters of each
NAME = 40

PRAISE = frozenset(("loved", "liked", "adored", "enjoyed", "hit", "favourite", "favorite"))
BLAME = frozenset(("hated", "disliked", "flop", "disappointing"))


class Verdict(Record):
    """What was said of things of one name together: the mean `score` of `answers` scores (0: not
    told how many), None where there were only words. `liked` is 1 (loved), -1 (not) or 0."""

    name: str
    score: Decimal | None
    answers: int
    liked: int
    boxes: tuple[str, ...] = ()  # Box.id


class Incoming(Record):
    """What bringing a survey in would do. Nothing is done until `changes` are applied."""

    changes: tuple[Change, ...] = ()
    found: tuple[Opinion, ...] = ()  # new or changed
    same: int = 0
    refused: tuple[Refused, ...] = ()
    assumed: str = ""  # Box.id that was taken for the survey's, as it named none


def scaled(score: Decimal, of: int) -> Decimal | None:
    """Return a score of `of` at most as one from 1 to 5: 8 of 10 is 4, and nothing is under 1.
    None where it is no such score (from 1 of 5, from 0 of any other)."""
    least = 1 if of == MOST else 0
    if of < 2 or not least <= score <= of:
        return None
    return max(LEAST, score * MOST / of).quantize(HUNDREDTH)


def verdict(name: str, opinions: Iterable[Opinion]) -> Verdict:
    """Return what several opinions come to; a mean counts for as many answers as it is of."""
    every = tuple(opinions)
    scored = [(one.score, max(one.answers, 1)) for one in every if one.score is not None]
    weight = sum(many for _, many in scored)
    score = (
        (sum((s * n for s, n in scored), Decimal(0)) / weight).quantize(HUNDREDTH)
        if weight
        else None
    )
    boxes = tuple(dict.fromkeys(sorted(one.box for one in every)))
    liked = _of_words(every) if score is None else (score >= LOVED) - (score < POOR)
    return Verdict(name, score, sum(one.answers for one in every), liked, boxes)


def _of_words(opinions: Iterable[Opinion]) -> int:
    """Whether words without a number praise (1), or blame (-1)."""
    said = {word for one in opinions for text in one.words for word in text.casefold().split()}
    return bool(said & PRAISE) - bool(said & BLAME)


def of_type(shop: Shop, name: str) -> Verdict | None:
    """Return what was said of a recurring type, or of items of this name; None for nothing."""
    wanted = plain(name)
    every = [one for one in shop.opinions if one.item and wanted in _names(one)]
    return verdict(name, every) if every else None


def _names(one: Opinion) -> tuple[str, str]:
    return plain(one.type), plain(one.name)


def noted(shop: Shop, subject: Opinion) -> Opinion:
    """Return an opinion with what was known of its thing before: a new score takes the place of
    the old one, new words come behind the old ones."""
    old = find(shop.opinions, subject.id)
    words = tuple(cut(word) for word in subject.words)
    if old is None:
        return replace(subject, words=tuple(dict.fromkeys(words))[-KEPT:])
    every = tuple(dict.fromkeys((*old.words, *words)))[-KEPT:]
    if subject.score is None:
        return replace(subject, score=old.score, answers=old.answers, words=every)
    return replace(subject, words=every)


def cut(text: str) -> str:
    """Return what somebody said on one line, at most `LONGEST` characters of it."""
    line = " ".join(text.split())
    return line if len(line) <= LONGEST else line[: LONGEST - 1].rstrip() + "\u2026"


def about(shop: Shop, box: str, item_id: str = "") -> Opinion:
    """Return an empty opinion of an item (Item.id), or of a box."""
    item = find(shop.items, item_id) if item_id else None
    if item is None:
        return Opinion(id=box, box=box)
    return Opinion(id=item.id, box=item.box, item=item.id, name=item.name, type=item.type)


# --- a survey -------------------------------------------------------------------------------


def bring_in(shop: Shop, tallies: Iterable[Tally], box: str, today: date) -> Incoming:
    """Return what the answers of a survey would change. `box` (Box.id) is what it is about, ""
    where that was not said: then an item is looked for in the newest box that has one of its name,
    and what is said of a box as a whole is taken for the newest."""
    sent = sent_boxes(shop, today)
    work = _Survey(shop, sent, box)
    for tally in tallies:
        work.take(tally)
    return work.told()


class _Survey:
    """A survey while it is laid over what went out; thrown away afterwards."""

    def __init__(self, shop: Shop, sent: Sequence[str], box: str) -> None:
        self.shop, self.sent, self.box = shop, sent, box
        self.inside: dict[str, list[Item]] = {id: [] for id in sent}
        for item in shop.items:
            if item.box in self.inside:
                self.inside[item.box].append(item)
        self.found: dict[str, list[tuple[Opinion, Tally]]] = {}
        self.refused: list[Refused] = []
        self.assumed = ""

    def take(self, tally: Tally) -> None:
        """Find what one line is about, or refuse it."""
        subject = self.subject(tally)
        if isinstance(subject, str):
            self.refused.append(Refused(tally.where, subject))
        else:
            self.found.setdefault(subject.id, []).append((subject, tally))

    def subject(self, tally: Tally) -> Opinion | str:
        boxes = self.boxes(tally)
        if not boxes:
            return self.no_box(tally)
        if not tally.name:
            if not (tally.month or self.box):
                self.assumed = boxes[0]
            return about(self.shop, boxes[0])
        for box in boxes:
            fitting = named(tally.name, self.inside[box])
            if len(fitting) > 1:
                names = " or ".join(f"“{item.name[:NAME]}”" for item in fitting[:2])
                return f"“{tally.name[:NAME]}” could be {names}; name one of them."
            if fitting:
                return about(self.shop, box, fitting[0].id)
        return f"no item “{tally.name[:NAME]}” in a box that has gone out."

    def boxes(self, tally: Tally) -> list[str]:
        """The boxes that a line may be about, the likeliest first."""
        if not tally.month:
            return [id for id in self.sent if self.box in ("", id)]
        month = [id for id in self.sent if int(id[5:7]) == tally.month]
        if tally.year:
            return [id for id in month if int(id[:4]) == tally.year]
        return [id for id in month if id == self.box] or month[:1]

    def no_box(self, tally: Tally) -> str:
        if not tally.month:
            return "no box has gone out yet." if not self.sent else "that box has not gone out."
        year = f" {tally.year}" if tally.year else ""
        return f"the box of {MONTHS[tally.month - 1]}{year} has not gone out."

    def told(self) -> Incoming:
        every = [noted(self.shop, _together(pairs)) for pairs in self.found.values()]
        old = {one.id: one for one in self.shop.opinions}
        new = tuple(one for one in every if old.get(one.id) != one)
        return Incoming(
            changes=tuple(map(Put, new)),
            found=new,
            same=len(every) - len(new),
            refused=tuple(self.refused),
            assumed=self.assumed,
        )


def _together(pairs: Sequence[tuple[Opinion, Tally]]) -> Opinion:
    """What several lines say of one thing."""
    subject = pairs[0][0]
    parts = [replace(subject, score=tally.score, answers=tally.answers) for _, tally in pairs]
    found = verdict(subject.name, parts)
    words = tuple(word for _, tally in pairs for word in tally.words)
    return replace(subject, score=found.score, answers=found.answers, words=words)


def named(said: str, items: Iterable[Item]) -> list[Item]:
    """Return the items that words name: by the whole name, else by the same words, else those
    whose whole name stands among the words ("How did you like the field notebook?"), the longest
    names of these, else those in whose names all the words stand."""
    every = list(items)
    if exact := [item for item in every if fold(item.name) == fold(said)]:
        return exact
    words = stems(said)
    own = [(item, stems(item.name)) for item in every]
    if not words:
        return []
    if same := [item for item, mine in own if mine == words]:
        return same
    inside = [(item, mine) for item, mine in own if mine and mine < words]
    if inside:
        longest = max(len(mine) for _, mine in inside)
        return [item for item, mine in inside if len(mine) == longest]
    return [item for item, mine in own if words < mine]
