"""What is said of the packing run.

Knows: a run's figures, ways to make it fit, counts. Must not know: which request it was, how a run
sheet stands on a page (sheets/). Invariants: at most nine lines on a phone; a bar never stands
without its numbers; a refusal says what was read, what is wrong and one example that works; a pace
says where it comes from.
"""

from collections.abc import Iterable
from datetime import date, datetime
from decimal import Decimal

from assistant.conversation.replies.plain import box_name, day, listed, plural, short
from assistant.conversation.sentences import packing as says
from assistant.planning.model import Run
from assistant.planning.month.packing import Option, PackDay, Packing
from assistant.planning.month.placing import Piece, Scale
from assistant.sheets.run_words import hours, weight

CELLS = 10  # of a bar
FULL, EMPTY = "\u25ae", "\u25af"
NAME = 24  # characters of an item's name in a list
CHECKS = 2  # shown on a phone; the page has all
CHECK = 90  # characters of one
OFF = 2  # days with fewer hands that are named

TO_PRINT = "To print for the packing table."
REPLACED = "A question mark stands for what the typeface lacks."
NO_BOX_AHEAD = "No box of the plan is to be packed. For example: March theme rain and roots"


def title(box: str, today: date) -> str:
    """The heading of what is told of a run."""
    return f"{box_name(box, today)}: packing"


def sheet_title(box: str, today: date) -> str:
    """The heading of a run sheet."""
    return f"{box_name(box, today)}: run sheet"


def not_planned(box: str, today: date) -> str:
    """A box that the plan does not have."""
    name = box_name(box, today)
    return f"{name} is not in the plan yet. For example: {name} theme rain and roots"


# --- does it fit ----------------------------------------------------------------------------


def run(found: Packing, today: date) -> Iterable[str]:
    """Say how a run stands: boxes, hands, days, whether they fit."""
    yield _boxes(found)
    if not found.boxes:
        yield "I do not know how many you are. For example: we are 431"
        return
    yield _hands(found)
    if not found.left:
        yield _away(found, today)
        return
    yield _pace(found)
    if found.until is None:
        yield "It has no ship date, so I cannot say whether that fits."
        return
    yield _days(found, today)
    yield _fewer(found.off, found, today)
    yield verdict(found, today)


def _boxes(found: Packing) -> str:
    known = "counted" if found.counted else "expected"
    if found.packed:
        return f"{found.packed:,} of {plural(found.boxes, 'box', 'boxes')} ({known}) packed"
    return f"{plural(found.boxes, 'box', 'boxes')} {known}"


def _hands(found: Packing) -> str:
    who = plural(found.crew, "person", "people")
    return f"{who}, {hours(found.hours)} a day: {found.a_day:,} boxes a day"


def _pace(found: Packing) -> str:
    """Say how fast one person packs, and how that is known."""
    boxes = f"{found.pace.boxes.normalize():f} boxes an hour each"
    match found.pace.known:
        case "run":
            return f"Pace of this run: {boxes}"
        case "runs":
            return f"Pace of your last {_runs(found.pace.runs)}: {boxes}"
        case "own":
            shown, told = found.pace.shown, found.pace.boxes
            if shown is not None and abs(shown - told) * 10 > told:
                return f"{boxes}, as told; your last runs show {shown.normalize():f}"
            return f"{boxes}, as told"
        case _:
            return f"A usual pace, {boxes}. Yours? we pack 40 an hour"


def _runs(number: int) -> str:
    return "run" if number == 1 else plural(number, "run")


def _days(found: Packing, today: date) -> str:
    if found.ready is None:
        return "Not all of its goods will ever be in hand as things stand."
    if found.first and found.until and found.first >= found.until:
        return f"It can begin {day(found.first, today)} at the earliest: no day is left."
    if not found.days:
        return "With these hands it would never be done."
    first, last = (day(found.days[place].on, today) for place in (0, -1))
    when = first if first == last else f"{first} to {last}"
    there = "1 there is" if found.there == 1 else f"{found.there} there are"
    return f"{plural(found.needed, 'working day')}, {when}; {there}"


def _fewer(off: tuple[PackDay, ...], found: Packing, today: date) -> str:
    """Name the days on which somebody is off."""
    if not off:
        return ""
    named = [f"{day(one.on, today)} {one.hands} of {found.crew}" for one in off[:OFF]]
    more = f" and {len(off) - OFF} more days" if len(off) > OFF else ""
    return f"Fewer hands: {listed(named)}{more}"


def verdict(found: Packing, today: date) -> str:
    """Say whether it fits, and what it must fit before."""
    before = _before(found, today)
    if found.fits:
        return f"It fits: {before}"
    return f"It does not fit: {before}"


def _before(found: Packing, today: date) -> str:
    if found.collection:
        late = found.ships is not None and found.collection > found.ships
        after = f", after its ship date {day(found.ships, today)}" if late and found.ships else ""
        return f"collection is booked for {day(found.collection, today)}{after}"
    ships = day(found.ships, today) if found.ships else "on no day yet"
    return f"ships {ships}, no collection booked"


def _away(found: Packing, today: date) -> str:
    on = found.until
    return f"All packed. {_capital(_before(found, today))}" if on else "All packed."


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def options(found: Packing, most: int, today: date) -> Iterable[str]:
    """Number the ways to make a run fit, the best first."""
    return (f"{n}. {option(one, today)}" for n, one in enumerate(found.options[:most], 1))


def option(one: Option, today: date) -> str:
    """Write a way to make a run fit: "start Wed 10 Mar", "7.5 hours a day"."""
    done = f", done {day(one.last, today)}"
    match one.way:
        case "earlier":
            return f"start {day(one.first, today)}{done}"
        case "hours":
            return f"{hours(one.hours)} a day{done}"
        case "hands":
            return f"{plural(one.crew, 'person', 'people')}{done}"
        case "both":
            who = plural(one.crew, "person", "people")
            return f"start {day(one.first, today)} with {who}{done}"
        case _:
            ships = f": ship {day(one.ships, today)}" if one.ships else ""
            return f"later: done {day(one.last, today)}{ships}"


def label(one: Option, today: date) -> str:
    """The button of a way out."""
    match one.way:
        case "earlier":
            return f"Start {day(one.first, today)}"
        case "hours":
            return f"{_capital(hours(one.hours))} a day"
        case "hands":
            return plural(one.crew, "person", "people")
        case "both":
            return f"{day(one.first, today)}, {plural(one.crew, 'person', 'people')}"
        case _:
            return f"Ship {day(one.ships, today)}" if one.ships else "Later"


# --- a run changed --------------------------------------------------------------------------


def changed(new: Run, old: Run, today: date) -> str:
    """Say what was chosen for a run."""
    people = new.crew and plural(new.crew, "person", "people")
    facts = (
        (new.first != old.first, new.first and f"from {day(new.first, today)}", "first day"),
        (new.crew != old.crew, people, "hands"),
        (new.hours != old.hours, new.hours and f"{hours(new.hours)} a day", "hours"),
    )
    told = [now or f"{name} as planned" for moved, now, name in facts if moved]
    if new.collection != old.collection:
        on = new.collection
        told.append(f"collection booked for {day(on, today)}" if on else "no collection booked")
    return f"Packing {box_name(new.id, today)}: {', '.join(told)}."


def stands(box: str, today: date) -> str:
    """What was asked for is so already."""
    return f"{box_name(box, today)} is to be packed so already."


def odd_hours(number: Decimal) -> str:
    """Refuse hours that no day has."""
    return f"I read {number.normalize():f} hours a day, but that is no day's work. {_RUN}"


def odd_crew(number: int) -> str:
    """Refuse a number of people that cannot be meant."""
    return f"I read {plural(number, 'person', 'people')}, but that cannot be meant. {_RUN}"


_RUN = "For example: pack March from the 8th with 3 people, 7 hours"


def past(on: date, today: date) -> str:
    """Refuse a day that is over."""
    return f"{day(on, today)} is past. {_RUN}"


def too_late(on: date, found: Packing, today: date) -> str:
    """Refuse a first pack day that is not before the boxes leave."""
    until = day(found.until, today) if found.until else "then"
    return f"{day(on, today)} is too late to begin: the boxes leave on {until}. {_RUN}"


def day_off(on: date, first: date | None, today: date) -> str:
    """Say that a day that was chosen is not worked."""
    begins = f": packing begins {day(first, today)}" if first else ""
    return f"{day(on, today)} is no working day of yours{begins}."


# --- counted --------------------------------------------------------------------------------


def bar(done: int, of: int) -> str:
    """Draw a bar with its numbers: full only when all is done, empty only while nothing is."""
    cells = min(CELLS, done * CELLS // of) if of else 0
    cells = max(cells, 1) if done else cells
    share = done * 100 // of if of else 0
    return f"{FULL * cells}{EMPTY * (CELLS - cells)} {done:,} of {of:,}, {share}%"


def progress(found: Packing, at: datetime | None, today: date) -> Iterable[str]:
    """The bar of a run, and when it will be done; `at` is a local time of today."""
    yield bar(found.packed, found.boxes)
    yield done(found, at, today)


def done(found: Packing, at: datetime | None, today: date) -> str:
    """Say what is left of a run, and when it will be done."""
    if not found.left:
        return _away(found, today)
    left = f"{found.left:,} left"
    if found.last is None:
        return f"{left}."
    when = f"about {at:%H:%M}" if at else day(found.last, today)
    late = "" if found.fits else f", too late: {_before(found, today)}"
    return f"{left}, done {when}{late}"


def counted(found: Packing, more: int, today: date) -> str:
    """Acknowledge a count."""
    name, so_far = box_name(found.box, today), f"{found.packed:,} of {found.boxes:,}"
    if more < 0:
        return f"{name}: put right, {so_far} packed."
    if more == found.packed:
        return f"{name}: {so_far} packed."
    return f"{name}: {more:,} more, {so_far} packed."


def began(box: str, today: date) -> str:
    """Say that the first count is a beginning too."""
    return f"Packing of {box_name(box, today)} has started, I noted that too."


def leftovers(item: str, box: str, today: date) -> str:
    """Say how to keep what is left over, by one of its items."""
    name = f"{short(item, NAME)} left over from {box_name(box, today)}"
    return f"If goods are left over, say for example: 8 {name}"


def already(found: Packing, today: date) -> str:
    """What was counted stands."""
    return f"{box_name(found.box, today)}: {found.packed:,} of {found.boxes:,} packed, as I had it."


def too_many(found: Packing, told: int, total: int, today: date) -> str:
    """Refuse more boxes than there are."""
    name, known = box_name(found.box, today), "counted" if found.counted else "expected"
    with_ = f", {total:,} with those before" if total != told else ""
    more = (
        f" If there are more of you, say first: we are {total}" if total < 2 * found.boxes else ""
    )
    return (
        f"I read {told:,} boxes packed{with_}, but {name} has {found.boxes:,} ({known}). Nothing "
        f"was changed.{more}"
    )


def more_or_all(found: Packing, number: int, today: date) -> str:
    """Ask whether a number is more, or all so far."""
    return (
        f"{number:,} more would be {found.packed + number:,} of {found.boxes:,} for "
        f"{box_name(found.box, today)}. Is it {number:,} in all?"
    )


def none(today: date, box: str) -> str:
    """Refuse a count of nothing."""
    return f"No box more is no count. For example: {says.packed(box_name(box, today), 60)}"


def which_box(number: int) -> str:
    """Ask of which box."""
    return f"I read {plural(number, 'box', 'boxes')} packed, but no box is being packed now. Which?"


def nothing_to_pack(box: str, today: date) -> str:
    """A box of which nobody knows how many there are."""
    return f"I do not know how many boxes {box_name(box, today)} has. For example: we are 431"


# --- the run sheet in short -----------------------------------------------------------------


def sheet(
    found: Packing,
    pieces: tuple[Piece, ...],
    scale: Scale,
    checks: tuple[str, ...],
    materials: tuple[str, ...],
    today: date,
) -> Iterable[str]:
    """A run sheet on a phone; the page has all of it."""
    yield f"{_boxes(found)}, {plural(found.crew, 'person', 'people')}, {hours(found.hours)} a day"
    yield verdict(found, today) if found.until else ""
    if pieces:
        yield f"Place: {', '.join(_piece(n, one) for n, one in enumerate(pieces, 1))}"
        yield f"A box: {' '.join(weight(scale))}"
    else:
        yield "No goods are planned for it yet."
    yield "First box: photograph it open, weigh it."
    yield from (f"Check {short(one, CHECK)}" for one in checks[:CHECKS])
    if len(checks) > CHECKS:
        yield f"and {plural(len(checks) - CHECKS, 'more check')} on the page"
    if materials:
        yield f"Short: {'; '.join(materials)}"


def _piece(number: int, one: Piece) -> str:
    units = f"{one.units} x " if one.units > 1 else ""
    care = " (breaks)" if one.breaks else " (on top)" if one.main else ""
    return f"{number} {units}{short(one.name, NAME)}{care}"
