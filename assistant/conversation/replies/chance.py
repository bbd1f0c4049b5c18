"""What is said of how likely a box, or an item, is to be in hand in time.

Knows: chances as planning counts them. Must not know: which box or item was asked about.
Invariants: nothing that is still to come is ever said to be sure; a day that follows from a chance
is told apart from the latest day by the quotes; what a chance rests on is said.
"""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from assistant.conversation.replies.plain import box_name, day, listed, plural, short
from assistant.planning.month.arrivals import BoxChance, ItemChance

NAME = 30
ROWS = 3  # items of a box that have a line each
FEW = 1  # of them in one line

FEW_KNOWN = 10  # deliveries, below which what is usual still counts much

# The chance from which on each is said.
ODDS = (
    (0.985, "all but sure"),
    (0.925, "19 in 20"),
    (0.85, "nine in ten"),
    (0.775, "four in five"),
    (0.71, "three in four"),
    (0.63, "two in three"),
    (0.55, "three in five"),
    (0.45, "one in two"),
    (0.365, "two in five"),
    (0.29, "one in three"),
    (0.225, "one in four"),
    (0.15, "one in five"),
    (0.075, "one in ten"),
    (0.015, "one in twenty"),
)
HARDLY = "hardly any chance"


def odds(chance: float) -> str:
    """Say a chance (0..1) in plain words: "nine in ten"."""
    return next((words for least, words in ODDS if chance >= least), HARDLY)


def level(confidence: float) -> str:
    """Say a chance that is asked for: "nine in ten", "95%"."""
    plain = {0.9: "nine in ten", 0.5: "one in two", 0.8: "four in five"}
    return plain.get(round(confidence, 4), f"{confidence * 100:.4g}%")


# --- a box ----------------------------------------------------------------------------------


def title(box: str, pack: date, today: date) -> str:
    """The heading of a box's chance."""
    return f"{box_name(box, today)}: packing from {day(pack, today)}"


def heads(found: BoxChance, today: date) -> tuple[str, ...]:
    """Say how likely all of a box is to be in, and on what condition."""
    by, orders = f"that all is in by {_needed(found, today)}", _to_order(found)
    if not orders:
        return (f"{_capital(odds(found.chance))} {by}, as things stand.",)
    wanted, quotes = level(found.confidence), "(latest by the quotes in brackets):"
    if found.reached:
        return f"{_capital(wanted)} {by},", f"if ordered by {quotes}"
    return (
        f"{_at_best(found)} {by}, even if all is ordered today.",
        f"{_capital(wanted)} is out of reach; {odds(found.chance)} if ordered by {quotes}",
    )


def _at_best(found: BoxChance) -> str:
    """The most that can be had, where it is less than was asked for: never in the same words."""
    words = odds(found.today)
    return f"{int(found.today * 100)}%" if words == level(found.confidence) else _capital(words)


def _needed(found: BoxChance, today: date) -> str:
    return day(max(one.latest for one in found.items), today)


def rows(found: BoxChance, today: date) -> tuple[str, ...]:
    """Write by when each item is to be ordered, or how likely what is ordered is to come."""
    moving = sorted(
        (one for one in found.items if one.state == "under way"), key=lambda one: one.chance
    )
    lines = [*(_order(one, today) for one in _to_order(found)), *map(_moving, moving)]
    more = len(lines) - ROWS
    return (*lines[:ROWS], f"and {more} more") if more > 1 else tuple(lines)


def _order(one: ItemChance, today: date) -> str:
    past = ", past" if one.planned and one.planned < today else ""
    quoted = f" ({day(one.planned, today)}{past})" if one.planned else ""
    return f"\u2022 {short(one.name, NAME)} {_when(one.order_by or today, today)}{quoted}"


def _when(on: date, today: date) -> str:
    return "today" if on == today else f"by {day(on, today)}"


def _moving(one: ItemChance) -> str:
    return f"\u2022 {short(one.name, NAME)}, ordered: {odds(one.chance)}"


def by_quotes(found: BoxChance) -> str:
    """Say what ordering by the quotes alone comes to."""
    if not _to_order(found) or not found.reached or odds(found.planned) == odds(found.chance):
        return ""
    return f"Ordered as late as the quotes allow: {odds(found.planned)}."


def weak_spot(found: BoxChance, order_by: date | None, percent: int, today: date) -> str:
    """Name the item to worry about most; `order_by` gives it alone that chance."""
    one = next((one for one in found.items if one.item == found.weak), None)
    if one is None:
        return ""
    text = f"Weak spot: {short(one.name, NAME)}"
    if one.state == "to order" and order_by is not None and order_by >= today:
        return f"{text}; order by {day(order_by, today)} for {percent}%."
    if one.state == "to order":
        return f"{text}, {odds(one.today)} even if ordered today."
    lifted = odds(found.lifted)
    return f"{text}; were it in hand, {lifted}." if lifted != odds(found.chance) else f"{text}."


def in_one_line(found: BoxChance, today: date) -> str:
    """Say a box's chance beside its plan: the days for it, told apart from the latest ones."""
    by, orders = _needed(found, today), _to_order(found)
    if not orders:
        return f"{_capital(odds(found.chance))} that all is in by {by}."
    if not found.reached:
        return f"{_at_best(found)} that all is in by {by}, even if all is ordered today."
    days = [f"{short(one.name, NAME)} {_when(one.order_by or today, today)}" for one in orders]
    if orders[0].planned:
        days[0] += f" (latest by its quote: {day(orders[0].planned, today)})"
    rest = len(days) - FEW
    shown = listed([*days[:FEW], f"{rest} more after it"] if rest > 1 else days)
    return f"For {level(found.confidence)} order {shown}."


def all_in(box: str, today: date) -> str:
    """Say that a box waits for nothing."""
    return f"All is in hand for {box_name(box, today)}."


def nothing_in(box: str, today: date) -> str:
    """Say that a box holds nothing yet."""
    name = box_name(box, today)
    return f"{name} has no items yet. For example: add to {name}: field notebook from Aldermoor"


def no_day(box: str, today: date) -> str:
    """Say that a box has no day by which it must be in."""
    return f"{box_name(box, today)} has shipped, or has no ship day, so nothing is awaited for it."


def _to_order(found: BoxChance) -> list[ItemChance]:
    """What is to be ordered, the first to order first."""
    orders = (one for one in found.items if one.state == "to order" and one.order_by)
    return sorted(orders, key=lambda one: (one.order_by or one.latest, one.name))


# --- an item --------------------------------------------------------------------------------


def item_title(one: ItemChance, box: str, today: date) -> str:
    """The heading of an item's chance."""
    return f"{short(one.name, NAME)}, {box_name(box, today)}"


def in_hand(one: ItemChance) -> str:
    """Say that an item is there."""
    return f"{_capital(short(one.name, NAME))} is in hand already."


def under_way(
    one: ItemChance, promised: date | None, came: int, ordered: int | None, today: date
) -> tuple[str, ...]:
    """Say how likely an ordered item is to come in time; `came` pieces of it are there."""
    what = "the rest of it" if came else "it"
    of = f" of {ordered:,}" if ordered and ordered > came else ""
    return (
        f"Ordered: {odds(one.chance)} that {what} is in hand by {day(one.latest, today)}, "
        "as things stand.",
        f"{came:,}{of} came so far." if came else "",
        f"They say {day(promised, today)}." if promised else "",
    )


def by_days(one: ItemChance, days: Sequence[tuple[date, float]], today: date) -> tuple[str, ...]:
    """Write the chance of an item for some order dates."""
    if [on for on, _ in days] == [today]:
        return if_ordered(one, *days[0], today), quoted(one, today)
    lines = [f"In hand by {day(one.latest, today)}, if ordered"]
    for on, chance in days:
        latest = ", the latest by its quote" if on == one.planned else ""
        lines.append(f"\u2022 {_when(on, today)}{latest}: {odds(chance)}")
    return tuple(lines)


def order_by(one: ItemChance, on: date, percent: Decimal, today: date) -> str:
    """Say by when an item must be ordered for a chance."""
    latest = day(one.latest, today)
    return f"Order it {_when(on, today)} for {percent:f}% that it is in hand by {latest}."


def out_of_reach(one: ItemChance, percent: Decimal, today: date) -> tuple[str, ...]:
    """Say that no order can have a chance any more."""
    return f"{percent:f}% is out of reach.", if_ordered(one, today, one.today, today)


def if_ordered(one: ItemChance, on: date, chance: float, today: date) -> str:
    """Say what an order on a day comes to."""
    when = "today" if on == today else day(on, today)
    return f"Ordered {when}: {odds(chance)} that it is in hand by {day(one.latest, today)}."


def for_percent(on: date, percent: int, today: date) -> str:
    """Say when an order would have had, or has, a chance."""
    was = "was" if on < today else "is"
    return f"For {percent}% the day {was} {day(on, today)}."


def quoted(one: ItemChance, today: date) -> str:
    """Say the latest day by the quote, with its chance, so that it is not taken for another."""
    if one.planned is None or one.planned_chance is None:
        return ""
    told = "past" if one.planned < today else odds(one.planned_chance)
    return f"Latest by its quote: {day(one.planned, today)} ({told})."


def of_the_box(one: ItemChance, found: BoxChance, today: date) -> str:
    """Say the item's day in its box."""
    if one.order_by is None or not found.reached or one.order_by == today:
        return ""
    name = box_name(found.box, today)
    return f"For {level(found.confidence)} of all {name}: by {day(one.order_by, today)}."


# --- what it rests on -----------------------------------------------------------------------


def rests(own: Sequence[tuple[str, int]], *, whole: bool, others: bool) -> str:
    """Say what chances rest on: `own` are suppliers with their deliveries; `whole`: nothing rests
    on anything else; `others`: deliveries of other suppliers are known."""
    usual = f"quotes and {'what others did' if others else 'their usual spread'}"
    if not own:
        return f"Rests on {usual}."
    told = [f"{plural(n, 'delivery', 'deliveries')} of {short(name, NAME)}" for name, n in own[:2]]
    more = [f"{len(own) - 2} more suppliers"] if len(own) > 2 else []
    rest = "; few, so the usual counts too" if whole and min(n for _, n in own) < FEW_KNOWN else ""
    return f"Rests on {listed([*told, *more])}{rest if whole else f'; else on {usual}'}."


# --- what cannot be meant -------------------------------------------------------------------


def no_level(percent: Decimal, example: str) -> str:
    """Refuse a chance that no order date can have, or that asks for nothing."""
    told = f"{percent.normalize():f}%"
    if percent > 100:
        why = f"{told} is more than sure"
    elif percent == 100:
        why = "100% would be sure, and what is still to come never is"
    elif percent <= 0:
        why = f"{told} asks for no chance at all"
    else:
        why = (
            f"{told} is less than an even chance" if percent < 50 else f"{told} is too near to sure"
        )
    return f"{why}: choose from 50% to 99%. For example: {example}"


def gone() -> str:
    """Say that an item is no longer in the plan."""
    return (
        "That item is not in the plan any more, so it has no chance. For example: chance of March"
    )


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
