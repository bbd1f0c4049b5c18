"""What is said of the shop itself: its numbers, calendar, packing and mornings.

Knows: the profile and how it is written. Must not know: what a request asked for or which dates
move. Invariant: a refusal says what was read, what is wrong and one example that works.
"""

from collections.abc import Iterable, Mapping
from datetime import date, time
from decimal import Decimal

from assistant.conversation.replies.plain import day, money, plural, short
from assistant.conversation.replies.plan import size, weight
from assistant.planning.model import Profile
from assistant.scheduling.countries import country_name

TAKES = {"pack": "packing takes", "source": "sourcing takes"}


def facts(profile: Profile) -> dict[str, str]:
    """Write what a shop said of itself, a piece for each fact."""
    numbers = {
        "boxes_per_hour": _pace(profile.boxes_per_hour),
        "crew": _crew(profile.crew),
        "hours_per_day": _hours(profile.hours_per_day),
    }
    pieces = {
        "name": short(profile.name, 40),
        "currency": f"money in {profile.currency}",
        "zone": f"time zone {profile.zone}",
        "place": f"in {place(profile.country, profile.subdivision)}",
        "week": f"works {profile.week}",
        "price": "" if profile.price is None else _price(profile.price, profile.currency),
        **numbers,
        **_goals(profile),
        "room": "" if profile.room is None else f"room for {_types(profile.room)} in a box",
        **{f"length {stage}": length(stage, days) for stage, days in profile.lengths},
    }
    return {fact: text for fact, text in pieces.items() if text}


def _goals(profile: Profile) -> dict[str, str]:
    """Write what a box should hold."""
    target, grams, mm = profile.target, profile.mailer_grams, profile.mailer_mm
    cost = "" if target is None else money(target, profile.currency)
    items = profile.items_a_box
    return {
        "items_a_box": "" if items is None else f"{plural(items, 'item')} a box",
        "target": f"items may cost {cost} a box" if cost else "",
        "mailer_mm": f"mailer {size(mm)} inside" if mm else "",
        "mailer_grams": f"mailer holds {weight(grams)}" if grams else "",
    }


def _pace(boxes: int | None) -> str:
    return "" if boxes is None else f"{plural(boxes, 'box', 'boxes')} an hour for each packer"


def _crew(people: int | None) -> str:
    return "" if people is None else f"{plural(people, 'person', 'people')} packing"


def _hours(hours: int | None) -> str:
    return "" if hours is None else f"{plural(hours, 'hour')} of packing a day"


def _types(room: int) -> str:
    return plural(room, "recurring type")


def _price(price: Decimal, currency: str) -> str:
    return f"{money(price, currency)} a box"


def place(country: str, subdivision: str) -> str:
    """Write a country, or the part of it that is known by name: "Scotland", "Germany (BY)"."""
    part = country_name(f"{country}/{subdivision}") if subdivision else None
    whole = country_name(country) or country
    return part or (f"{whole} ({subdivision})" if subdivision else whole)


def length(stage: str, days: int) -> str:
    """Write the length of a stage: "packing takes 3 working days"."""
    return f"{TAKES.get(stage, stage)} {plural(days, 'working day')}"


def changed(what: Iterable[str]) -> str:
    """Say what is known of the shop now; `what` are the facts that changed."""
    return f"Noted: {'; '.join(what)}."


def nothing_new(pieces: Mapping[str, str]) -> str:
    """Say that this was known already."""
    return f"As I have it already: {'; '.join(pieces.values())}."


def not_converted(currency: str, items: int) -> str:
    """Warn that amounts written without a currency are read in the new one."""
    held = plural(items, "item has a cost", "items have a cost")
    return f"{held} without a currency: read as {currency} now, nothing is converted."


def no_zone(zone: str) -> str:
    """Refuse a time zone that is not known."""
    return (
        f"I read a time zone, {short(zone, 40)}, but know none of that name. "
        "For example: time zone Europe/London"
    )


def out_of_range(what: str, value: object, least: int, most: int, example: str) -> str:
    """Refuse a number that cannot be meant."""
    return (
        f"I read {what}: {value}, but it must be from {least:,} to {most:,}. For example: {example}"
    )


def no_stage(stage: str, known: Iterable[str]) -> str:
    """Refuse a length for a stage that is not worked back."""
    return (
        f"I read a length for {short(stage, 40)}, but work back no stage of that name. "
        f"I know {', '.join(known)}. For example: card 15 days before packing"
    )


def takes_plan(stage: str, source: str) -> str:
    """Refuse a length for a stage whose days come from the plan."""
    return (
        f"The length of {stage} is worked out from the plan ({source}), so it has none of its own. "
        "For example: card 15 days before packing"
    )


def mornings(at: time, weekends: bool, zone: str) -> str:
    """Say when the morning's message comes."""
    days = "every day" if weekends else "Monday to Friday, with the weekend told on Friday"
    return f"Your morning message comes at {at:%H:%M} ({zone}), {days}."


def no_mornings() -> str:
    """Refuse to set an hour for somebody who gets no morning message of their own."""
    return (
        "Mornings are set by the people who were let in themselves, each in their own chat with me."
    )


def quiet(at: time, until: time) -> str:
    """Say that an hour lies in the quiet time."""
    return f"{at:%H:%M} lies in the quiet hours, so it comes at {until:%H:%M}."


def next_morning(on: date, at: time, today: date) -> str:
    """Say when the next morning's message comes."""
    return f"The next one: {day(on, today)}, {at:%H:%M}."
