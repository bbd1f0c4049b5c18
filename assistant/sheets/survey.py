"""Answers of a survey out of a file: which kind of table it is, and what it says of each thing.

Knows: what the headings of answers mean, and how they are told from a year or a price list: a score
and what it is of, no prices. Two kinds: a row for each score (item, score, comment, box), or a row
for each person, with a column of scores for each thing. Must not know: the shop's items, which box
a survey is about. Invariants: a score that cannot be one is refused with its row and the rest is
taken; scores are means of whole columns on one scale, and another scale than 5 is told; comments
are cut; who answered is never kept.

A column is of 10 where its heading says so, or where one number in ten is above 5 (ours, no
source): fewer are slips of the finger, and are refused.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal

from msgspec.structs import replace

from assistant.planning.bringing_in import Refused, fold
from assistant.planning.model import Record, Tally
from assistant.planning.month.opinions import HUNDREDTH, KEPT, cut, scaled
from assistant.sheets.cells import Cell, Fault, Grid, Problem, cell_name, is_blank, text_of
from assistant.sheets.fields import ReadYear, listed
from assistant.sheets.grid import read_grids
from assistant.sheets.headings import heading
from assistant.sheets.price_list import PriceList, of_grids
from assistant.sheets.when import read_when

LOOKED_THROUGH = 40  # rows in which headings are looked for
MOSTLY = 0.6  # of a column's cells: enough to take it for scores
SLIPS = 10  # one number in so many above 5 is enough to take a column for one of 10
LEAST_ROWS = 2  # people who answered, where each has a row
WHOLE = frozenset(("overall", "box", "whole box", "the box", "box overall", "overall score", "all"))
FOREIGN = frozenset(("unit_cost", "currency", "supplier", "quantity", "lead", "ship_on"))

WORDS: dict[str, tuple[str, ...]] = {
    "item": ("item", "items", "item name", "product", "product name", "about", "thing", "question"),
    "score": ("score", "scores", "rating", "ratings", "stars", "mark", "points", "average",
              "mean", "average score", "mean score", "average rating", "overall rating"),
    "answers": ("answers", "responses", "replies", "count", "votes", "number of answers", "number",
                "how many answers", "n"),
    "words": ("comment", "comments", "remark", "remarks", "feedback", "notes", "note", "why",
              "anything else", "in your own words", "what did you think", "suggestions"),
    "month": ("month", "box month", "month of box", "box", "for month", "shipment"),
    "year": ("year",),
    "nobody": ("timestamp", "time", "date", "submitted", "submitted at", "id", "email", "e mail",
               "email address", "name", "your name", "subscriber", "respondent", "customer", "ip",
               "submission id", "response id", "first name", "last name", "postcode", "age"),
}  # fmt: skip
_FIELD = {word: field for field, words in WORDS.items() for word in words}
_OF = re.compile(r"(?:out of|of|/|to|-|\u2013)\s*(\d{1,3})\b")
_SCORE = re.compile(
    r"(\d{1,3}(?:[.,]\d{1,3})?)(?:\s*(?:/|out of|of)\s*(\d{1,3}))?(?:\s*(?:stars?|points?))?", re.I
)
_STARS = re.compile(r"(\u2605{1,10}|\u2b50{1,10})\u2606{0,10}")


class Survey(Record):
    """Answers as read: `tallies` of all that was scored or said, in the order of the file.
    `instead` is what to say of the file where nothing of it is of this shop."""

    tallies: tuple[Tally, ...]
    refused: tuple[Refused, ...]
    notes: tuple[str, ...]
    instead: Problem | None = None


class Answer(Record):
    """One cell of scores, or of words, as read."""

    where: str
    name: str
    month: int = 0
    year: int | None = None
    score: Decimal | None = None
    of: int | None = None
    answers: int = 1
    words: str = ""
    column: int = 0


def read_table(content: bytes, name: str) -> ReadYear | PriceList | Survey | Problem:
    """Read a CSV or XLSX file as answers of a survey, as a year of boxes or as a price list.

    `content` is the whole file (at most 10 MB), `name` what the owner calls it. A table with a row
    for each score is told by its headings; one with a row for each person is only looked for where
    the file is neither a year nor a price list.
    """
    grids = read_grids(content, name)
    if isinstance(grids, Problem):
        return grids
    for grid in grids:
        if (found := _long(grid)) is not None:
            return found
    table = of_grids(grids, name)
    if not isinstance(table, Problem):
        return table
    wide = next((found for grid in grids if (found := _wide(grid)) is not None), None)
    return table if wide is None else replace(wide, instead=table)


def field_of(text: str) -> str:
    """Return what a heading means in a survey: "Score (1-10)" is "score", "" what it does not."""
    said = re.sub(r"[(\[].*", "", text.casefold())
    said = re.sub(r"(?: out of| of| from)?(?: ?\d+)?(?: ?(?:to|-|\u2013) ?\d+)?\s*$", "", said)
    return _FIELD.get(" ".join(re.findall(r"[^\W\d_]+", said)), "")


def scale_of(text: str) -> int | None:
    """Return the best score that a heading names: "Score (1-10)", "out of 10"; None for none."""
    found = _OF.search(text.casefold())
    return int(found[1]) if found and int(found[1]) > 1 else None


def read_score(cell: Cell) -> tuple[Decimal, int | None] | Fault:
    """Read a cell as a score, and of how many it says it is: "4", "4.5", "8/10", "4 stars"."""
    if isinstance(cell, Fault):
        return cell
    if isinstance(cell, Decimal):
        return cell, None
    text = text_of(cell)
    if stars := _STARS.fullmatch(text):
        return Decimal(len(stars[1])), None
    found = _SCORE.fullmatch(text)
    if found is None:
        return Fault(f"says “{text[:20]}”, which is no score; write 4 or 4.5")
    return Decimal(found[1].replace(",", ".")), int(found[2]) if found[2] else None


def _foreign(text: str) -> bool:
    """Whether a heading belongs to a year or a price list."""
    known = heading(text)
    return not field_of(text) and known.field in FOREIGN and not known.misspelt


# --- a row for each score -------------------------------------------------------------------


def _long(grid: Grid) -> Survey | None:
    """A table whose headings name a score and what it is of; None where it is no such table."""
    for top, row in enumerate(grid.rows[:LOOKED_THROUGH]):
        texts = {at: text_of(cell) for at, cell in enumerate(row) if not is_blank(cell)}
        columns: dict[str, int] = {}
        for at, text in texts.items():
            columns.setdefault(field_of(text), at)
        columns = {field: at for field, at in columns.items() if field not in ("", "nobody")}
        if "score" not in columns or not {"item", "month"} & columns.keys():
            continue
        return (
            None if any(map(_foreign, texts.values())) else _LongReader(grid, top, columns).read()
        )
    return None


class _LongReader:
    """One pass over the rows of a table with a row for each score."""

    def __init__(self, grid: Grid, top: int, columns: Mapping[str, int]) -> None:
        self.grid, self.top, self.columns = grid, top, columns
        self.refused: list[Refused] = []

    def read(self) -> Survey:
        heads = self.grid.rows[self.top]
        answers = list(self.answers())
        scale = scale_of(text_of(heads[self.columns["score"]]))
        scaled_ones = _scaled(answers, {0: scale}, self.refused)
        taken = {*self.columns.values()}
        unread = [text_of(one) for at, one in enumerate(heads) if at not in taken]
        return _survey(self.grid, scaled_ones, self.refused, filter(None, unread))

    def answers(self) -> Iterator[Answer]:
        for at, row in enumerate(self.grid.rows):
            if at > self.top and any(not is_blank(cell) for cell in row):
                if isinstance(read := self.answer(at, row), str):
                    self.refused.append(Refused(f"row {at + 1}", read))
                elif read is not None:
                    yield read

    def answer(self, at: int, row: Sequence[Cell]) -> Answer | str | None:
        """One row; a reason where it is refused, None where it says nothing."""
        month = self.month(at, row)
        if isinstance(month, str):
            return month
        words = self.text(row, "words")
        name = self.text(row, "item")
        base = Answer(
            where=f"row {at + 1}",
            name="" if fold(name) in WHOLE else name,
            month=month[0],
            year=month[1],
            words=words,
            answers=0,
        )
        cell = row[self.columns["score"]]
        if is_blank(cell) or text_of(cell).casefold() in ("n/a", "na", "-"):
            return base if words else None
        score = read_score(cell)
        if isinstance(score, Fault):
            return f"{cell_name(at, self.columns['score'])} {score.why}."
        many = self.many(at, row)
        if isinstance(many, str):
            return many
        return replace(base, score=score[0], of=score[1], answers=many)

    def text(self, row: Sequence[Cell], field: str) -> str:
        return text_of(row[self.columns[field]]) if field in self.columns else ""

    def month(self, at: int, row: Sequence[Cell]) -> tuple[int, int | None] | str:
        if "month" not in self.columns or is_blank(row[self.columns["month"]]):
            return 0, None
        cell = row[self.columns["month"]]
        number = text_of(cell)
        if re.fullmatch(r"[1-9]|1[0-2]", number):
            return int(number), self.year(row)
        when = read_when(cell)
        if when is None:
            name = cell_name(at, self.columns["month"])
            return f"{name} says “{text_of(cell)[:20]}”, which is no month; write March 2027."
        return when.month, self.year(row) or when.year

    def year(self, row: Sequence[Cell]) -> int | None:
        said = self.text(row, "year")
        return int(said) if re.fullmatch(r"20\d\d", said) else None

    def many(self, at: int, row: Sequence[Cell]) -> int | str:
        """Of how many answers a score is the mean; 1 where that was not told."""
        said = self.text(row, "answers").replace(",", "")
        if not said:
            return 1
        if not re.fullmatch(r"[1-9]\d{0,5}", said):
            name = cell_name(at, self.columns["answers"])
            return f"{name} says “{said[:20]}”, which is no number of answers; write 38."
        return int(said)


# --- a row for each person ------------------------------------------------------------------

_Line = tuple[int, Sequence[Cell]]  # a row with its number, from 0


def _wide(grid: Grid) -> Survey | None:
    """A table with a column of scores for each thing; None where it is no such table."""
    for top, row in enumerate(grid.rows[:LOOKED_THROUGH]):
        below = [(at, line) for at, line in enumerate(grid.rows) if at > top]
        texts = {at: text_of(cell) for at, cell in enumerate(row) if isinstance(cell, str)}
        texts = {at: text for at, text in texts.items() if re.search(r"[^\W\d_]{2}", text)}
        if len(texts) < 1 or len(below) < LEAST_ROWS:
            continue
        if any(map(_foreign, texts.values())) or len(texts) < sum(not is_blank(c) for c in row):
            return None
        scored = [at for at, text in texts.items() if _are_scores(text, at, below)]
        return _wide_survey(grid, texts, scored, below) if scored else None
    return None


def _are_scores(text: str, at: int, below: Sequence[_Line]) -> bool:
    if field_of(text) not in ("", "score", "item", "month") or (
        field_of(text) == "month" and fold(text) not in WHOLE
    ):
        return False
    cells = [line[at] for _, line in below if not is_blank(line[at])]
    read = [found for cell in cells if isinstance(found := read_score(cell), tuple)]
    most = scale_of(text) or 10
    good = sum(0 <= score <= (of or most) for score, of in read)
    return len(cells) >= LEAST_ROWS and good >= MOSTLY * len(cells)


def _wide_survey(
    grid: Grid, texts: Mapping[int, str], scored: Sequence[int], below: Sequence[_Line]
) -> Survey:
    refused: list[Refused] = []
    said = [at for at, text in texts.items() if field_of(text) == "words"]
    answers = [
        *_scores(texts, scored, below, refused),
        *(
            Answer(f"row {at + 1}", "", answers=0, words=text_of(line[column]))
            for at, line in below
            for column in said
            if not is_blank(line[column])
        ),
    ]
    scales = {column: scale_of(texts[column]) for column in scored}
    unread = [text for at, text in texts.items() if at not in (*scored, *said)]
    return _survey(grid, _scaled(answers, scales, refused), refused, unread)


def _scores(
    texts: Mapping[int, str], scored: Sequence[int], below: Sequence[_Line], refused: list[Refused]
) -> Iterator[Answer]:
    """Every cell of the columns of scores; those that are none are refused."""
    for at, line in below:
        for column in (one for one in scored if not is_blank(line[one])):
            score = read_score(line[column])
            if isinstance(score, Fault):
                why = f"{cell_name(at, column)} {score.why}."
                refused.append(Refused(f"row {at + 1}", why))
            else:
                yield Answer(f"row {at + 1}", _named(texts[column]), 0, None, *score, column=column)


def _named(text: str) -> str:
    """The thing that a heading is about, "" the box as a whole."""
    said = re.sub(r"\s*[(\[].*$", "", text).strip(" :?")
    return "" if fold(said) in WHOLE or field_of(said) == "score" else said


# --- one scale, and one tally a thing --------------------------------------------------------


def _scaled(
    answers: Iterable[Answer], scales: Mapping[int, int | None], refused: list[Refused]
) -> list[tuple[Answer, int]]:
    """Each answer with its score from 1 to 5, and what it was of; what is no score is refused."""
    every = list(answers)
    usual = {column: said or _guessed(every, column) for column, said in scales.items()}
    found = []
    for one in every:
        if one.score is None:
            found.append((one, 5))
            continue
        of = one.of or usual[one.column]
        score = scaled(one.score, of)
        if score is None:
            why = f"{one.score.normalize():f} is no score of {of}; write one from 1 to {of}."
            refused.append(Refused(one.where, why))
        else:
            found.append((replace(one, score=score), of))
    return found


def _guessed(answers: Iterable[Answer], column: int) -> int:
    numbers = [a.score for a in answers if a.column == column and a.of is None and a.score]
    above = sum(5 < score <= 10 for score in numbers)
    return 10 if above and above * SLIPS >= len(numbers) else 5


def _survey(
    grid: Grid,
    answers: Sequence[tuple[Answer, int]],
    refused: Iterable[Refused],
    unread: Iterable[str],
) -> Survey:
    groups: dict[tuple[str, int, int | None], list[Answer]] = {}
    for one, _ in answers:
        groups.setdefault((fold(one.name), one.month, one.year), []).append(one)
    notes = [*grid.notes]
    others = sorted({of for one, of in answers if one.score is not None and of != 5})
    notes += [
        f"Scores are taken as of {of}: {of // 2} of {of} is {_half(of)} of 5." for of in others
    ]
    left = [f"“{text[:30]}”" for text in unread]
    if left:
        notes.append(f"Columns not read: {listed(left)}.")
    return Survey(
        tallies=tuple(_tally(every) for every in groups.values()),
        refused=tuple(sorted(refused, key=lambda one: int(one.where.rpartition(" ")[2]))),
        notes=tuple(notes),
    )


def _half(of: int) -> str:
    return f"{scaled(Decimal(of // 2), of) or 0:.1f}".removesuffix(".0")


def _tally(every: Sequence[Answer]) -> Tally:
    """What all answers about one thing come to."""
    first = every[0]
    scored = [(one.score, one.answers) for one in every if one.score is not None]
    many = sum(number for _, number in scored)
    whole = sum((score * number for score, number in scored), Decimal(0))
    words = dict.fromkeys(cut(one.words) for one in every if one.words)
    return Tally(
        where=first.where,
        name=first.name,
        month=first.month,
        year=first.year,
        score=(whole / many).quantize(HUNDREDTH) if many else None,
        answers=many,
        words=tuple(words)[:KEPT],
    )
