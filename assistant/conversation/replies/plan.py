"""What is said when the year plan changes: themes, items, swaps, ship dates.

Knows: records of the plan and how they are written. Must not know: what a request asked for or
which changes follow. Invariants: every refusal says what was understood, what is wrong and one
example that works; nothing here ends in an exclamation mark.
"""

from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal

from assistant.conversation.replies.item_facts import order_facts
from assistant.conversation.replies.plain import (
    MONTHS,
    box_name,
    day,
    listed,
    money,
    plural,
    short,
)
from assistant.conversation.requests import ItemFacts
from assistant.planning.model import Item, Lead
from assistant.scheduling.countries import country_name

HEAD = ("name", "supplier")
# Facts that can be taken back without others in their place.
LOST = ("quantity", "minimum", "case", "breaks", "setup", "units", "shares", "stock", "main")
NAME = 40  # characters of a name that a phone shows on one line
THEME = 120


def name(text: str) -> str:
    """Write a name on one line of a phone."""
    return short(text, NAME)


def lead(value: Lead) -> str:
    """Write a lead time: "20 working days", "4 weeks", "30 calendar days"."""
    if value.unit == "calendar" and value.days and value.days % 7 == 0:
        return plural(value.days // 7, "week")
    return plural(value.days, f"{value.unit} day")


def weight(grams: int) -> str:
    """Write a weight: "180 g", "1.25 kg"."""
    if abs(grams) < 1000:
        return f"{grams} g"
    text = f"{Decimal(grams) / 1000:f}"
    return f"{text.rstrip('0').rstrip('.') if '.' in text else text} kg"


def size(mm: tuple[int, int, int]) -> str:
    """Write a size: "210 x 148 x 12 mm"."""
    return f"{' x '.join(map(str, mm))} mm"


# --- themes ---------------------------------------------------------------------------------


def theme_set(box: str, theme: str, before: str, today: date) -> str:
    """Say which theme a box has now, and which it had."""
    was = f', instead of "{short(before, THEME)}"' if before else ""
    return f'{box_name(box, today)}: theme "{short(theme, THEME)}"{was}.'


def theme_stands(box: str, theme: str, today: date) -> str:
    """Say that a box has this theme already."""
    return f'{box_name(box, today)} has the theme "{short(theme, THEME)}" already.'


# --- items ----------------------------------------------------------------------------------


def facts(item: Item, supplier: str, currency: str) -> dict[str, str]:
    """Write what is known of an item, a piece for each fact, in the order they are read."""
    cost = "" if item.unit_cost is None else money(item.unit_cost, item.currency or currency)
    pieces = {
        "name": name(item.name),
        "supplier": f"from {name(supplier)}" if supplier else "",
        "cost": cost,
        "quantity": "" if item.quantity is None else plural(item.quantity, "piece"),
        "lead": "" if item.lead is None else lead(item.lead),
        "made": f"made in {country_name(item.made_in) or item.made_in}" if item.made_in else "",
        "type": f"type {name(item.type)}" if item.type else "",
        "form": f"form {name(item.form)}" if item.form else "",
        "grams": weight(item.grams) if item.grams else "",
        "mm": size(item.mm) if item.mm else "",
        **order_facts(item, item.currency or currency),
        "main": "the main item" if item.main else "",
    }
    return {fact: text for fact, text in pieces.items() if text}


def in_one_line(pieces: Mapping[str, str]) -> str:
    """Write an item's facts: "field notebook from Aldermoor, £3.10, 20 working days"."""
    head = " ".join(pieces[fact] for fact in ("name", "supplier") if fact in pieces)
    return ", ".join((head, *(text for fact, text in pieces.items() if fact not in HEAD)))


def differences(old: Mapping[str, str], new: Mapping[str, str]) -> tuple[str, ...]:
    """Write each fact that changed: "£3.40, was £3.10"."""
    return tuple(
        f"{'now ' if fact == 'name' else ''}{text}{f', was {old[fact]}' if fact in old else ''}"
        for fact, text in new.items()
        if text != old.get(fact)
    ) + tuple(f"no longer {old[fact]}" for fact in LOST if fact in old and fact not in new)


def added(box: str, item: str, today: date) -> str:
    """Say what was added; `item` is the line of its facts."""
    return f"Added to {box_name(box, today)}: {item}."


def new_supplier(supplier: str, country: str, alike: str = "") -> str:
    """Say that a supplier was not known before, and which one has nearly its name."""
    where = f", {country_name(country) or country}" if country else ""
    text = f"New supplier: {name(supplier)}{where}."
    return f"{text} {alike_to(alike)}" if alike else text


def alike_to(supplier: str) -> str:
    """Point out a supplier that has nearly the same name."""
    return f"You have {name(supplier)} too: if you meant that, undo this and say it again."


def twice(said: ItemFacts, box: str, today: date) -> str:
    """Refuse a second item of one name in a box."""
    where, item = box_name(box, today), name(said.name)
    return (
        f"I read {item} for {where}, but {where} holds {item} already. "
        f"Give this one a name of its own, for example: add to {where}: second {item}"
    )


def twice_moved(item: str, box: str, today: date) -> str:
    """Refuse to move an item to a box that has one of its name."""
    where = box_name(box, today)
    return (
        f"I read {name(item)} for {where}, but {where} holds an item of that name already. "
        f"Give this one another name first, for example: rename {name(item)} to small {name(item)}"
    )


def item_gone() -> str:
    """Say that an item no longer stands in the plan."""
    return "That item is no longer in the plan. Nothing was changed."


def taken_name(old: str, new: str, box: str, today: date) -> str:
    """Refuse a new name that another item of the box has."""
    return (
        f"I read a new name for {name(old)}: {name(new)}. {box_name(box, today)} holds an item of "
        f"that name already. For example: rename {name(old)} to small {name(new)}"
    )


def over(box: str, shipped: date, planned: bool, today: date) -> str:
    """Refuse to change a box that is behind us, shipped or never `planned`."""
    where = box_name(box, today)
    what = "shipped" if planned else "would have shipped"
    return (
        f"I read {where}, but that box {what} {day(shipped, today)}; nothing was changed. "
        f"For example, the same with: {MONTHS[int(box[5:7]) - 1]} {int(box[:4]) + 1}"
    )


def item_changed(item: Item, box: str, what: Iterable[str], today: date) -> str:
    """Say what an item is like now; `what` are pieces such as "£3.40, was £3.10"."""
    return f"{name(item.name)}, {box_name(box, today)}: {'; '.join(what)}."


def nothing_new(what: str) -> str:
    """Say that this was known already."""
    return f"{what}: that is what I have already."


def moved(item: str, source: str, target: str, today: date) -> str:
    """Say that an item moved from one box to another."""
    return f"Moved {name(item)} from {box_name(source, today)} to {box_name(target, today)}."


def in_it_already(item: str, box: str, today: date) -> str:
    """Refuse to move an item to where it is."""
    return f"{name(item)} is in {box_name(box, today)} already."


def dropped(item: str, box: str, today: date) -> str:
    """Say that an item was taken out."""
    return f"Dropped {name(item)} from {box_name(box, today)}."


def was_ordered(supplier: str) -> str:
    """Warn that an order stands for what was dropped."""
    return f"It was ordered: tell {name(supplier)}." if supplier else "It was ordered: call it off."


# --- swaps ----------------------------------------------------------------------------------


def same_box(box: str, today: date) -> str:
    """Refuse to swap a box with itself."""
    where = box_name(box, today)
    other = "May" if box[5:7] != "05" else "June"
    return f"I read {where} twice. A swap needs two boxes, for example: swap {where} and {other}"


def both_empty(first: str, second: str, today: date) -> str:
    """Refuse to swap two boxes in which nothing is planned."""
    names = box_name(first, today), box_name(second, today)
    return (
        f"Nothing is planned in {names[0]} or {names[1]} yet, so there is nothing to swap. "
        f"For example: {names[0]} theme rain and roots"
    )


# --- ship dates -----------------------------------------------------------------------------


def rule_set(rule: str, next_ones: Iterable[tuple[str, date]], today: date) -> tuple[str, ...]:
    """Say the rule and what it gives: (box, ship date) of the boxes that follow it."""
    ships = [f"{box_name(box, today)} {day(on, today)}" for box, on in next_ones]
    return (f"Ship day: {rule}.", f"Next: {listed(ships)}." if ships else "")


def rule_stands(rule: str) -> str:
    """Say that this is the rule already."""
    return f"Ship day: {rule}. That is the rule already."


def fixed_ones(boxes: Iterable[str], today: date) -> str:
    """Name the boxes whose own ship date stays whatever the rule says."""
    names = [box_name(box, today) for box in boxes]
    verb = "keeps its own date" if len(names) == 1 else "keep their own dates"
    return f"{listed(names)} {verb}." if names else ""


def ships(box: str, on: date, today: date) -> str:
    """Say when a box ships."""
    return f"{box_name(box, today)} ships {day(on, today)}."


def back_to_rule(box: str, on: date | None, rule: str, today: date) -> str:
    """Say that a box follows the rule again."""
    when = f"{box_name(box, today)} ships {day(on, today)}" if on else box_name(box, today)
    return f"{when}, by the rule again: {rule}."


def ships_already(box: str, on: date | None, today: date) -> str:
    """Say that a box ships on that day already."""
    when = f"ships {day(on, today)}" if on else "ships by the rule"
    return f"{box_name(box, today)} {when} already."


def written_out(on: date) -> str:
    """Write a date so that it is understood in a sentence: "12 March 2027"."""
    return f"{on.day} {MONTHS[on.month - 1]} {on.year}"


def ship_past(box: str, on: date, example: date, today: date) -> str:
    """Refuse a ship date that lies in the past."""
    where = box_name(box, today)
    return (
        f"I read {day(on, today)} as the ship date of {where}, but that day is past. "
        f"For example: ship {where} on {written_out(example)}"
    )


def rest_day(on: date, reason: str, today: date) -> str:
    """Warn that the shop does not work on a ship date."""
    return f"You do not work on {day(on, today)} ({reason}); I keep it as you said."


def other_month(box: str, today: date) -> str:
    """Point out a ship date outside the box's month."""
    return f"That is not in {box_name(box, today)}; I keep it as you said."
