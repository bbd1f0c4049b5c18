"""What is said of boxes that have gone out, of suppliers' records, of a year's lessons.

Knows: what was planned and what came. Must not know: what a question was about. Invariants: a reply
has at most nine lines, the rest stands behind a button; what is not known is left out or said to be
so, never taken for nothing; days are calendar days here unless they are said to be others.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal

from assistant.conversation.replies.opinions import score as written
from assistant.conversation.replies.opinions import scored, several
from assistant.conversation.replies.plain import box_name, day, listed, money, plural, short
from assistant.conversation.replies.plan import lead
from assistant.planning.accounts.money import plain_number, to_pay
from assistant.planning.model import Item, Purchase, Sent, Stock
from assistant.planning.month.lessons import Lessons, Looked, RealLead, ThemeUsed
from assistant.planning.month.opinions import Verdict
from assistant.planning.month.sent import Arrival
from assistant.planning.month.track import Came

NAME = 30
NAMED = 3  # things of one kind that a line names
SHOWN = 8  # items that are told a line each
PLACES = Decimal("0.1")


# --- one box --------------------------------------------------------------------------------


def title(box: str, today: date) -> str:
    """The heading of a box looked back on."""
    return f"{box_name(box, today)}: how it went"


def shipped(one: Sent, late: int, today: date) -> str:
    """Write when a box went out against its planned day."""
    if not late or one.planned_on is None:
        return f"Shipped {day(one.on, today)}, as planned."
    days = plural(abs(late), "day")
    word = "after" if late > 0 else "before"
    return f"Shipped {day(one.on, today)}, {days} {word} {day(one.planned_on, today)}."


def boxes(found: Looked) -> str:
    """Write how many boxes went out against what was expected."""
    many, off = found.sent.boxes, found.sent.boxes - found.expected
    if not found.counted:
        return f"{plural(many, 'box', 'boxes')} expected; none were counted when packing."
    told = plural(many, "box", "boxes")
    if not off:
        return f"{told} packed, as expected."
    return f"{told} packed, {abs(off):,} {'more' if off > 0 else 'fewer'} than expected."


def cost(actual: Decimal | None, planned: Decimal | None, currency: str) -> str:
    """Write what a box cost against its plan; "" where nothing is known."""
    if planned is None and actual is None:
        return ""
    meant = "" if planned is None else money(to_pay(planned, currency), currency)
    if actual is None:
        return f"Planned at {meant} a box; what was paid is not noted."
    paid = money(to_pay(actual, currency), currency)
    if planned is None:
        return f"{paid} a box; the plan lacked prices."
    off = to_pay(actual, currency) - to_pay(planned, currency)
    if not off:
        return f"{paid} a box, as planned."
    more = f"{money(abs(off), currency)} {'more' if off > 0 else 'less'}"
    return f"{paid} a box, planned {meant}: {more}."


def no_cost(names: Sequence[str]) -> str:
    """Say of which items a price lacks, so that no cost is known; "" for none."""
    told = [short(name, NAME) for name in names[:NAMED]]
    if len(names) > NAMED:
        told.append(f"{len(names) - NAMED} more")
    return f"No cost: no price of {listed(told)} is known." if told else ""


def came(arrivals: Sequence[Arrival]) -> tuple[str, ...]:
    """Write what came late, short or broken."""
    late = [(a.name, plural(a.late, "day")) for a in arrivals if a.late is not None and a.late > 0]
    short_of = [(a.name, f"{a.short:,}") for a in arrivals if a.short]
    broken = [(a.name, f"{a.damaged:,}") for a in arrivals if a.damaged]
    dated = [a for a in arrivals if a.late is not None]
    on_time = "All came by the day promised." if dated and not late else ""
    pieces = (_named("Short", short_of), _named("Broken", broken))
    return (_named("Late", late) or on_time, " ".join(filter(None, pieces)))


def _named(word: str, pairs: Sequence[tuple[str, str]]) -> str:
    """ "Late: field notebook 3 days, pin 1 day." """
    told = [f"{short(name, NAME)} {many}" for name, many in pairs[:NAMED]]
    if len(pairs) > NAMED:
        told.append(f"{len(pairs) - NAMED} more")
    return f"{word}: {listed(told)}." if told else ""


def packing(hours: Decimal | None, boxes: int) -> str:
    """Write how long packing took and the pace of it; "" where it was not counted."""
    if not hours or not boxes:
        return ""
    pace = (boxes / hours).quantize(PLACES)
    spent = plain_number(hours)
    return f"Packed in {spent} hours of work: {plain_number(pace)} boxes an hour each."


def left(stock: Sequence[Stock], box: str, today: date) -> str:
    """Write what is left over of a box."""
    if not stock:
        where = box_name(box, today)
        return f"Nothing noted as left over. Say: 38 notebooks left over from {where}"
    return _named("Left over", [(one.name, f"{one.pieces:,}") for one in stock])


def said(found: Looked) -> str:
    """Write what subscribers said of a box and its items; "" where nothing is noted."""
    whole = found.whole
    box = f"The box: {scored(whole.score, whole.answers)}." if whole and whole.score else ""
    loved = [one for one in found.items if one.liked > 0]
    poor = [one for one in reversed(found.items) if one.liked < 0]
    rest = [one for one in found.items if not one.liked and one.score is not None]
    return " ".join(filter(None, (box, *_liked(loved, poor, rest))))


def _liked(
    loved: Sequence[Verdict], poor: Sequence[Verdict], rest: Sequence[Verdict]
) -> Iterable[str]:
    for word, found in (("Loved", loved), ("Not loved", poor), ("So-so", rest)):
        if found:
            yield f"{word}: {several(found, NAMED)}."


def not_yet(box: str, on: date | None, planned: bool, today: date) -> str:
    """Say that a box cannot be looked back on yet."""
    where = box_name(box, today)
    if not planned:
        return f"{where} is not in the plan, so there is nothing to look back on."
    if on is None or on > today:
        ships = f" ships {day(on, today)}" if on else " has no ship day"
        return f"{where}{ships}. It can be looked back on when it has gone out."
    return f"{where} was to ship {day(on, today)} and is not marked as gone out. Has it?"


def item_line(
    item: Item, bought: Purchase | None, one: Arrival | None, currency: str, today: date
) -> str:
    """Write one item as planned and as it was."""
    days = _days(one, today) if one else ""
    pieces = f"{one.pieces:,} of {one.ordered:,}" if one and one.ordered else ""
    broken = f"{one.damaged:,} broken" if one and one.damaged else ""
    paid = _paid(item, bought, currency)
    told = ", ".join(filter(None, (days, pieces, broken, paid)))
    return f"{short(item.name, NAME)}: {told or 'nothing noted'}"


def _days(one: Arrival, today: date) -> str:
    if one.came is None:
        return ""
    if one.promised is None or one.late is None:
        return f"came {day(one.came, today)}"
    off = f"{plural(abs(one.late), 'day')} {'late' if one.late > 0 else 'early'}"
    return f"promised {day(one.promised, today)}, {off if one.late else 'came that day'}"


def _paid(item: Item, bought: Purchase | None, own: str) -> str:
    if bought is None or bought.price is None:
        return ""
    planned, paid = item.unit_cost, money(bought.price, bought.currency or own)
    same = planned == bought.price and (item.currency or own) == (bought.currency or own)
    if planned is None or same:
        return f"{paid} each"
    return f"{paid} each, planned {money(planned, item.currency or own)}"


def more_items(number: int) -> str:
    """Say how many items are not told."""
    return f"and {plural(number, 'item')} more" if number > 0 else ""


# --- a supplier -----------------------------------------------------------------------------


def record_title(name: str) -> str:
    """The heading of a supplier's record."""
    return f"{short(name, NAME)}: promised and actual"


def real(found: RealLead) -> str:
    """Write how long a supplier really takes against its quotes."""
    unit = f"{found.unit} days" if found.unit else "days"
    over = plural(found.deliveries, "delivery", "deliveries")
    return (
        f"Making: {plain_number(found.actual)} {unit} on average over {over}, "
        f"quoted {plain_number(found.quoted)}."
    )


def one_came(one: Came, today: date) -> str:
    """Write one delivery: "field notebook: promised Wed 3 Mar, came Sat 6 Mar"."""
    promised = f"promised {day(one.promised, today)}, " if one.promised else ""
    return f"\u2022 {short(one.name, NAME)}: {promised}came {day(one.came, today)}"


def no_record(name: str) -> str:
    """Say that nothing of a supplier is all in yet."""
    return (
        f"{short(name, NAME)} has no record yet: nothing that was ordered is all in. To begin one: "
        "ordered 460 notebooks, they say 3 March; then: 460 notebooks came"
    )


def proposal(name: str, found: RealLead) -> str:
    """Propose to plan with the days that a supplier really takes; "" where there is no need."""
    days = found.lead
    return f"To plan {short(name, NAME)} with {lead(days)}, say so." if days else ""


def took(name: str, found: RealLead) -> str:
    """Say, beside a new item, how long its supplier really took."""
    days = found.lead
    if days is None:
        return ""
    over = plural(found.deliveries, "delivery", "deliveries")
    return f"{short(name, NAME)} really took {lead(days)} on average over {over}."


# --- a year ---------------------------------------------------------------------------------


def lessons_title(found: Lessons) -> str:
    """The heading of a year's lessons."""
    return f"Lessons of {found.year}, from {plural(len(found.boxes), 'box', 'boxes')}"


def lessons(found: Lessons, currency: str, leads: Sequence[str]) -> tuple[str, ...]:
    """Write what a year taught; `leads` are suppliers that take another time than they quote."""
    on_time = len(found.boxes) - found.late
    went = f"Out on the day or before: {on_time} of {len(found.boxes)}"
    price = _means(found.cost, found.planned_cost, currency)
    told = [*_liked(found.loved, found.poor, found.so_so)]
    return (
        *(told or ("No opinions are noted. Say: lamp scored 4.6 from 38 answers",)),
        _themes(found.themes),
        f"{went}{f'; {price}' if price else ''}.",
        f"Real lead times: {listed(tuple(leads))}." if leads else "",
        f"Pace: {plain_number(found.pace)} boxes an hour each." if found.pace else "",
        _named("Left over", [(one.name, f"{one.pieces:,}") for one in found.left]),
    )


def _means(actual: Decimal | None, planned: Decimal | None, currency: str) -> str:
    if actual is None or planned is None:
        return ""
    paid, meant = (money(to_pay(one, currency), currency) for one in (actual, planned))
    return f"{paid} a box, planned {meant}"


def _themes(used: Sequence[ThemeUsed]) -> str:
    """Write the themes that went out, those with the best scores first."""
    best = sorted(used, key=lambda one: -_score(one))
    told = [
        f"{short(one.theme, NAME)} {written(_score(one)) if _score(one) else ''}".rstrip()
        for one in best[:NAMED]
    ]
    if len(best) > NAMED:
        told.append(f"{len(best) - NAMED} more")
    return f"Themes used: {listed(told)}." if told else ""


def _score(one: ThemeUsed) -> Decimal:
    """What the box of a theme scored, 0 where that is not known."""
    return (one.said.score if one.said else None) or Decimal(0)


def lead_line(name: str, found: RealLead) -> str:
    """Write one supplier's real lead time in a list: "Aldermoor 24, quoted 20"."""
    actual, quoted = plain_number(found.actual), plain_number(found.quoted)
    return f"{short(name, NAME)} {actual} days, quoted {quoted}"


def nothing_yet() -> str:
    """Say that no box has gone out, so nothing was learnt."""
    return (
        "No box has gone out yet, so there is nothing to learn from. When one has, say: "
        "how did March go"
    )


def nothing_of(year: int, others: Sequence[int]) -> str:
    """Say that no box of a year has gone out, and of which years some have."""
    known = listed([str(one) for one in others])
    return f"No box of {year} has gone out. There are lessons of {known}."
