"""The deadlines of one box: its stages and its items' laid out, and listed.

Knows: tracks laid over one box at a time (stages.py), the marks on them. Must not know: the shop's
other tables, who asks. Invariants: what was listed before and rests on the same records is taken
again, object for object, so that a change costs the records that it touched; on another day only
the float is found anew.
"""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from operator import is_

from assistant.planning.calendars import cached_by_identity
from assistant.planning.model import Box, Item, Mark, MarkState, Record
from assistant.planning.stages import SHIP, Ask, Starts, Track, Workings
from assistant.scheduling.workdays import Calendar

KEPT_AFTER_SHIPPING = timedelta(days=14)


class Deadline(Record, gc=False):
    """One dated thing to be done.

    `float` is the number of the shop's working days from today to `on`, at most -1 once `on` is
    past. `until`: put off, no nudge before that day. `provisional`: the date leans on a holiday
    year or a closure that is not settled. `ask` is what all deadlines of its kind have in common.
    """

    key: str
    box: str  # Box.id
    item: str  # Item.id, "" for a deadline of the box
    name: str  # of the item
    on: date
    float: int
    state: MarkState
    until: date | None
    provisional: bool
    ask: Ask

    @property
    def stage(self) -> str:
        """The stage's name in the table of stages."""
        return self.ask.rule.name

    @property
    def late(self) -> bool:
        """Whether it is open and its date is past."""
        return self.float < 0 and self.state == "open"

    @property
    def todo(self) -> str:
        """What is to be done, as in "order notebook"."""
        before, named, after = self.ask.todo
        return before + self.name + after if named else before

    @property
    def missing(self) -> tuple[str, ...]:
        """What is not known of the item or the box on which the date rests."""
        return self.ask.missing

    @property
    def notice(self) -> int:
        """Working days ahead at which the first nudge comes."""
        return self.ask.rule.notice

    @property
    def nudge(self) -> bool:
        """Whether it is nudged for; if not, it only carries a date."""
        return self.ask.rule.nudge


# By place in the layout: the day (0 for none), whether it is provisional, whether it is done.
Laid = tuple[list[int], list[bool], list[bool]]


class Part(Record):
    """The deadlines of one box or item, how they are laid, and what they were derived from."""

    record: Box | Item
    track: Track
    marks: tuple[Mark, ...]
    laid: Laid
    found: list[Deadline]


class Kept(Record):
    """What was last listed for one box: its own part, those of its items, all deadlines. `bases`
    are the tracks of any box; `today` is the day whose float the deadlines have."""

    own: Part
    items: list[Part]
    found: list[Deadline]
    bases: tuple[Track, ...]
    today: date


class Lister:
    """Lays out boxes and lists their deadlines; `marked` are the marks by box or item, `starts` the
    first pack days that were chosen by box."""

    def __init__(
        self,
        made: Workings,
        calendar: Calendar,
        today: date,
        marked: Mapping[str, tuple[Mark, ...]],
        starts: Starts = (),
    ) -> None:
        self._made = made
        self._today = today
        self._marked, self._starts = marked, dict(starts)
        self._dates = Dates(calendar, today)
        self._bases: tuple[Track, ...] = (made.box, made.after_items, made.without_items)

    def list_box(self, box: Box, items: Sequence[Item], ship: date, old: Kept | None) -> Kept:
        """The deadlines of one box and its items, the earliest stages first; what of `old` still
        stands is taken from it."""
        marks, bases = self._marked.get(box.id, ()), self._bases
        track = self._made.box_from(self._starts.get(box.id), ship)
        stands = old is not None and old.own.record is box and old.own.track is track
        stands = stands and old is not None and _same(old.own.marks, marks)
        if old is not None and stands and all(map(is_, old.bases, bases)):
            same_day = old.today == self._today
            own = old.own if same_day else self._listed(box, None, old.own)
            parts = self._parts(box, items, own, old.items, same_day)
            if same_day and len(parts) == len(old.items) and all(map(is_, parts, old.items)):
                return old
        else:
            own = self._own(box, track, ship, marks)
            parts = self._parts(box, items, own)
        days, doubts, done = own.laid
        laid = days.copy(), doubts.copy(), done.copy()
        last = self._laid(box, None, self._after_items(laid, parts), laid, marks)
        # Stages hang on later ones, so each part was listed from its last to its first.
        found = [*reversed(last.found), *(one for part in parts for one in part.found)]
        found += reversed(own.found)
        if self._shipped(ship, done[-1]):
            found = [one for one in found if self._outlives_shipping(one)]
        return Kept(own, parts, found, bases, self._today)

    def _own(self, box: Box, track: Track, ship: date, marks: tuple[Mark, ...]) -> Part:
        """The stages of a box that hang on its ship date."""
        size, key = len(self._made.layout.names), f"{box.id}/{SHIP}"
        sent = any(mark.id == key and mark.state == "done" for mark in marks)
        laid = [0] * size + [ship.toordinal()], [False] * (size + 1), [False] * size + [sent]
        return self._laid(box, None, track, laid, marks)

    def _parts(
        self,
        box: Box,
        items: Sequence[Item],
        own: Part,
        old: Sequence[Part] = (),
        same_day: bool = False,
    ) -> list[Part]:
        """The stages of each item of a box, on top of the box's own."""
        known = {part.record.id: part for part in old}
        track_of, marked, (days, doubts, done) = self._made.item, self._marked, own.laid
        parts = []
        for item in items:
            track, marks = track_of(item), marked.get(item.id, ())
            part = known.get(item.id)
            if (
                part is None
                or part.record is not item
                or part.track is not track
                or not _same(part.marks, marks)
            ):
                row = days.copy(), doubts, done.copy()
                part = self._laid(box, item, track, row, marks)
                part.found.reverse()
            elif not same_day:
                part = self._listed(box, item, part)
                part.found.reverse()
            parts.append(part)
        return parts

    def _after_items(self, laid: Laid, parts: list[Part]) -> Track:
        """The track of what hangs on the items: from the earliest of them, done when all are."""
        days, doubts, done = laid
        for source in self._made.sources:
            dated = [part.laid for part in parts if part.laid[0][source]]
            if dated:
                days[source] = min([row[0][source] for row in dated])
                doubts[source] = True in [row[1][source] for row in dated]
                done[source] = False not in [row[2][source] for row in dated]
        laid_any = any(days[source] for source in self._made.sources)
        return self._made.after_items if laid_any else self._made.without_items

    def _laid(
        self, box: Box, item: Item | None, track: Track, laid: Laid, marks: tuple[Mark, ...]
    ) -> Part:
        """Lay out one track and list its deadlines."""
        days, doubts, done = laid
        if not track.lay(days) or True in doubts:
            doubts = track.doubts(days, doubts)
        return self._listed(box, item, Part(item or box, track, marks, (days, doubts, done), []))

    def _listed(self, box: Box, item: Item | None, part: Part) -> Part:
        """List the deadlines of what is laid. The inner loop of the whole plan."""
        track, marks, (days, doubts, done) = part.track, part.marks, part.laid
        box_id, themed, dates = box.id, box.theme != "", self._dates
        item_id, name = (item.id, item.name) if item else ("", "")
        owner = item_id or box_id
        if not marks and not (themed and track.by_theme) and True not in done:
            found = [
                Deadline(
                    owner + suffix, box_id, item_id, name, on, spare, "open", None, doubts[at], ask
                )
                for at, suffix, ask in track.quick
                if (day := days[at])
                for on, spare in (dates[day],)
            ]
            return Part(part.record, track, marks, part.laid, found)
        found, by_key = [], {mark.id: mark for mark in marks}
        for ask in track.asks:
            place, hangs, suffix, implied, by_theme, _, _, _ = ask
            if not (day := days[place]):
                continue
            key, until = owner + suffix, None
            met = (implied and done[hangs]) or (by_theme and themed)
            state: MarkState = "done" if met else "open"
            if (mark := by_key.get(key)) is not None:
                met, until = met or mark.state == "done", mark.until
                state = state if mark.state == "open" else mark.state
            done[place] = met
            on, spare = dates[day]
            found.append(
                Deadline(key, box_id, item_id, name, on, spare, state, until, doubts[place], ask)
            )
        return Part(part.record, track, marks, part.laid, found)

    def _shipped(self, ship: date, sent: bool) -> bool:
        return ship < self._today and (sent or self._over(ship))

    def _outlives_shipping(self, one: Deadline) -> bool:
        return not one.ask.implied and one.state == "open" and not self._over(one.on)

    def _over(self, on: date) -> bool:
        return on + KEPT_AFTER_SHIPPING < self._today


class Dates(dict[int, tuple[date, int]]):
    """Days by their ordinal: each as a date and its float on the shop's calendar. Those to come
    are found all at once, for as far as the calendar's table goes; others when asked for."""

    def __init__(self, calendar: Calendar, today: date) -> None:
        low, counts, _ = calendar.table
        first, past = today.toordinal(), calendar.rank(today.toordinal())
        ahead = max(first - low, 0)
        days = range(low + ahead, low + len(counts))
        spare = [rank - past for rank in counts[ahead:]]
        super().__init__(
            zip(days, zip(_dates_of(calendar)[ahead:], spare, strict=True), strict=True)
        )
        self._calendar = calendar
        self._today = today

    def __missing__(self, day: int) -> tuple[date, int]:
        on, count = date.fromordinal(day), self._calendar.count(self._today, date.fromordinal(day))
        self[day] = found = on, min(count, -1) if on < self._today else count
        return found


@cached_by_identity(4)
def _dates_of(calendar: Calendar) -> tuple[date, ...]:
    """The days of a calendar's table, and the one after it."""
    low = calendar.table.low
    return tuple(map(date.fromordinal, range(low, low + len(calendar.table.counts))))


def _same(some: tuple[Mark, ...], others: tuple[Mark, ...]) -> bool:
    """Whether these are the same marks: a record that was not touched stays the same object."""
    return some is others or (len(some) == len(others) and all(map(is_, some, others)))
