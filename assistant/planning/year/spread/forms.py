"""Which form a recurring type takes at each return.

Knows: forms used before, in order. Must not know: other types. Invariants: in each round every
form comes once before any comes again; a return that has a form keeps it. Within a round the
choice is exact: as few forms as can be come twice running or in the same season (quarter of the
year) as the last time; then those that were away longest come first.
"""

from collections.abc import Sequence
from typing import NamedTuple

TWICE_RUNNING, SAME_SEASON, NEVER = 10**6, 10**4, 10**9


class Return(NamedTuple):
    """One return: its month (1..12), and its form where it has one."""

    month: int
    form: str = ""

    @property
    def season(self) -> int:
        """The quarter of the year, 0 to 3."""
        return (self.month - 1) // 3


class _Used:
    """What was used so far: in this round, last of all, and when each form came last."""

    def __init__(self, forms: Sequence[str]) -> None:
        self.forms = forms
        self.number = {form.casefold(): n for n, form in enumerate(forms)}
        self.round: set[int] = set()
        self.order = list(range(len(forms)))  # those that were away longest first
        self.season: dict[int, int] = {}

    def find(self, form: str) -> int | None:
        return self.number.get(form.casefold())

    def note(self, form: int, season: int) -> None:
        """A form that comes too early begins a round; the last one of a round ends it."""
        self.round = {form} if form in self.round else self.round | {form}
        if len(self.round) == len(self.forms):
            self.round = set()
        self.order.remove(form)
        self.order.append(form)
        self.season[form] = season

    def cost(self, form: int, season: int, place: int) -> int:
        """What it costs to use a form at a place (0..) of the turn that comes next."""
        again = place == 0 and form == self.order[-1] and form in self.season
        return (
            TWICE_RUNNING * again
            + SAME_SEASON * (self.season.get(form) == season)
            + (self.order.index(form) - place) ** 2
        )


def rotate(
    forms: Sequence[str], past: Sequence[Return], coming: Sequence[Return]
) -> tuple[str, ...]:
    """Return the form of each coming return, in order; "" where no forms are known."""
    used = _Used(forms)
    for one in past:
        if (form := used.find(one.form)) is not None:
            used.note(form, one.season)
    chosen = [one.form for one in coming]
    open_ones = [
        n for n, one in enumerate(coming) if not one.form or used.find(one.form) is not None
    ]
    while forms and open_ones:
        turn = _turn(used, [coming[n] for n in open_ones])
        for n, form in zip(open_ones, _assign(used, turn), strict=False):
            chosen[n] = forms[form]
            used.note(form, coming[n].season)
        open_ones = open_ones[len(turn) :]
    return tuple(chosen)


def too_early(
    forms: Sequence[str], past: Sequence[Return], coming: Sequence[Return]
) -> tuple[int, ...]:
    """Return which of the coming returns (by number) take a form before all others were used, or
    in the same season as the last time, or twice running."""
    used, found = _Used(forms), []
    for n, one in enumerate((*past, *coming), -len(past)):
        form = used.find(one.form)
        if form is None:
            continue
        again = used.season.get(form) == one.season or (
            form in used.season and form == used.order[-1]
        )
        if n >= 0 and (again or form in used.round):
            found.append(n)
        used.note(form, one.season)
    return tuple(found)


def _turn(used: _Used, coming: Sequence[Return]) -> Sequence[Return]:
    """The returns that complete the round, or as many until a form that is given comes again."""
    first = used.find(coming[0].form)
    if first in used.round:
        used.round = set()
    met = set(used.round)
    for n, one in enumerate(coming):
        form = used.find(one.form) if one.form else None
        if form in met or n == len(used.forms) - len(used.round):
            return coming[:n]
        if form is not None:
            met.add(form)
    return coming


def _assign(used: _Used, turn: Sequence[Return]) -> list[int]:
    """The forms of a turn, all different and not yet used in the round, at the least cost."""
    given = [used.find(one.form) if one.form else None for one in turn]
    left = [form for form in range(len(used.forms)) if form not in used.round]

    def cost(place: int, form: int) -> int:
        if given[place] is not None:
            return 0 if given[place] == form else NEVER
        return used.cost(form, turn[place].season, place)

    costs = [[cost(place, form) for form in left] for place in range(len(turn))]
    return [left[column] for column in assignment(costs)]


def assignment(costs: Sequence[Sequence[int]]) -> list[int]:
    """Return a column for each row, all different, of the least sum; not more rows than columns.

    By shortest augmenting paths: R. Jonker, A. Volgenant, "A shortest augmenting path algorithm
    for dense and sparse linear assignment problems", Computing 38, 1987.
    """
    many = len(costs[0]) if costs else 0
    row_price, column_price = [0] * len(costs), [0] * many
    row_of: list[int | None] = [None] * many
    for start in range(len(costs)):
        reach: list[int] = [NEVER * NEVER] * many
        before: list[int | None] = [None] * many
        done: list[int] = []
        row, column = start, None
        far = 0
        while True:
            for c in set(range(many)).difference(done):
                way = far + costs[row][c] - row_price[row] - column_price[c]
                if way < reach[c]:
                    reach[c], before[c] = way, column
            best = min((c for c in range(many) if c not in done), key=lambda c: (reach[c], c))
            far, column = reach[best], best
            done.append(best)
            held = row_of[best]
            if held is None:
                break
            row = held
        for c in done:
            if (held := row_of[c]) is not None:
                row_price[held] += far - reach[c]
            column_price[c] -= far - reach[c]
        row_price[start] += far
        _shift(row_of, before, column, start)
    return [row_of.index(row) for row in range(len(costs))]


def _shift(row_of: list[int | None], before: Sequence[int | None], column: int, start: int) -> None:
    """Move every row on the path to the column after it; the new row gets the first."""
    while (last := before[column]) is not None:
        row_of[column] = row_of[last]
        column = last
    row_of[column] = start
