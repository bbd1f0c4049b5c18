"""The shop itself: its ship days, its numbers, its calendar, its mornings.

Knows: which records a request changes and when it must be refused. Must not know: how a sentence
is written (replies/shop, replies/plan) or how a date is worked back. Invariants: a ship date is
never set in the past; a number that cannot be meant is refused whole, with its range; every reply
to a change names the dates that move because of it.
"""

from collections.abc import Iterator, Mapping
from datetime import UTC, date, time, timedelta
from typing import NamedTuple

from msgspec.structs import asdict, replace

from assistant.conversation.handle import dates
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.outcomes import about, answer, changed
from assistant.conversation.handle.plan import how_is, shipped_already
from assistant.conversation.messages import Outcome
from assistant.conversation.replies import plan as say_plan
from assistant.conversation.replies import shop as say
from assistant.conversation.requests import (
    ChangeMornings,
    ChangeShop,
    SetShipDate,
    SetShipRule,
)
from assistant.planning.calendars import calendars
from assistant.planning.changes import apply, find, profile_of
from assistant.planning.deadlines import ship_date
from assistant.planning.model import Box, Change, House, Person, Profile, Put, Shop
from assistant.planning.nudges import next_due
from assistant.scheduling.zones import zone

TOLD = 4  # boxes whose ship dates are named after a new rule
EXAMPLE_AHEAD = timedelta(days=60)
OF_THE_PLAN = {  # stages whose days come from elsewhere, and from where
    "making": "the lead time of each item",
    "transit": "the transit days of each supplier",
    "confirming": "the days each supplier takes to start",
    "balance": "the credit of each supplier",
}


class Limit(NamedTuple):
    """The range in which a number can be meant."""

    field: str
    what: str
    least: int
    most: int
    example: str


LIMITS = (
    Limit("price", "the price of a box", 0, 100_000, "the box is 32.00"),
    Limit("boxes_per_hour", "boxes an hour", 1, 10_000, "we pack 40 an hour"),
    Limit("crew", "people packing", 1, 1_000, "2 people pack"),
    Limit("hours_per_day", "hours of packing a day", 1, 24, "we pack 6 hours a day"),
    Limit("items_a_box", "items a box", 1, 50, "6 items a box"),
    Limit("target", "what the items of a box may cost", 0, 100_000, "items may cost 14 a box"),
    Limit("room", "recurring types in a box", 1, 99, "room for 4 types in a box"),
)
LONGEST_STAGE = 400  # working days

# What a box should hold moves no dates.
GOALS = frozenset(("name", "price", "room", "items_a_box", "target", "mailer_grams", "mailer_mm"))


def set_ship_rule(shop: Shop, request: SetShipRule, asked: Asked) -> Outcome:
    """Set the rule by which every box without a date of its own ships."""
    profile = profile_of(shop)
    changes = (Put(replace(profile, ship_rule=request.rule)),)
    after = apply(shop, changes)
    fixed = [box.id for box in _coming(after, asked.today) if box.ship_on]
    ruled = [
        (box.id, on)
        for box in _coming(after, asked.today)
        if not box.ship_on and (on := ship_date(after, box.id, asked.today))
    ]
    lines = (
        *say_plan.rule_set(request.rule, ruled[:TOLD], asked.today),
        say_plan.fixed_ones(fixed, asked.today),
    )
    if request.rule == profile.ship_rule and shop.profile:
        text = say_plan.rule_stands(request.rule)
        return answer(asked, (text, *lines[1:]), stands=True)
    moved = dates.moves(shop, after, asked.today)
    buttons = dates.after_moves(after, asked.today)
    return changed(shop, asked, changes, (*lines, *moved), buttons, brief=lines)


def set_ship_date(shop: Shop, request: SetShipDate, asked: Asked) -> Outcome:
    """Fix the ship date of a box, or let it follow the rule again."""
    known = find(shop.boxes, request.box)
    box, talk = known or Box(id=request.box), about(asked, box=request.box, item="")
    if refusal := shipped_already(shop, asked, box.id):
        return refusal
    if request.on is not None and request.on < asked.today:
        text = say_plan.ship_past(box.id, request.on, asked.today + EXAMPLE_AHEAD, asked.today)
        return answer(asked, (text,), talk=talk)
    buttons = (how_is(box.id, asked),)
    if box.ship_on == request.on and (known or request.on is None):
        on = ship_date(shop, box.id, asked.today)
        text = say_plan.ships_already(box.id, on, asked.today)
        return answer(asked, (text,), buttons, talk=talk, stands=True)
    changes = (Put(replace(box, ship_on=request.on)),)
    after = apply(shop, changes)
    lines = (*_ship_lines(after, box.id, asked), *dates.moves(shop, after, asked.today))
    return changed(shop, asked, changes, lines, buttons, talk=talk)


def change_shop(shop: Shop, request: ChangeShop, asked: Asked) -> Outcome:
    """Change what the shop says of itself."""
    if refusal := _refused(shop, request):
        return answer(asked, (refusal,))
    old = profile_of(shop)
    new = _with_said(old, request)
    what = say_plan.differences(say.facts(old), say.facts(new))
    if new == old:
        said = say.facts(new)
        text = say.nothing_new({f: said[f] for f in _said(request, said)})
        return answer(asked, (text,), stands=True)
    changes: tuple[Change, ...] = (Put(new),)
    after = apply(shop, changes)
    goals = all(field in GOALS for field in _said(request, say.facts(new)))
    moved = dates.moves(shop, after, asked.today, silent=goals)
    brief = (say.changed(what), _money_warning(shop, old, new))
    buttons = () if goals else dates.after_moves(after, asked.today)
    return changed(shop, asked, changes, (*brief, *moved), buttons, brief=brief)


def change_mornings(shop: Shop, request: ChangeMornings, asked: Asked) -> Outcome:
    """Change when the speaker gets the morning's message."""
    if request.zone is not None and zone(request.zone) is None:
        return answer(asked, (say.no_zone(request.zone),))
    known = find(shop.people, asked.person.id)
    if known is None:
        return answer(asked, (say.no_mornings(),))
    said = {field: value for field, value in asdict(request).items() if value is not None}
    person = replace(known, **said)
    lines = _morning_lines(shop, person, asked)
    if person == known:
        return answer(asked, lines, stands=True)
    return changed(shop, asked, (Put(person),), lines)


def _coming(shop: Shop, today: date) -> list[Box]:
    """The boxes that ship from today on, in order."""
    ships = [(ship_date(shop, box.id, today), box) for box in shop.boxes]
    return [box for on, box in sorted(ships, key=lambda pair: pair[1].id) if on and on >= today]


def _ship_lines(shop: Shop, box_id: str, asked: Asked) -> Iterator[str]:
    box, rule = find(shop.boxes, box_id), profile_of(shop).ship_rule
    on = ship_date(shop, box_id, asked.today)
    if box is None or box.ship_on is None:
        yield say_plan.back_to_rule(box_id, on, rule, asked.today)
        return
    yield say_plan.ships(box_id, box.ship_on, asked.today)
    own = calendars(shop, asked.today).shop
    if not own.is_working(box.ship_on):
        reason = own.skipped(box.ship_on, box.ship_on)[0].reason
        yield say_plan.rest_day(box.ship_on, reason, asked.today)
    if f"{box.ship_on:%Y-%m}" != box_id[:7]:
        yield say_plan.other_month(box_id, asked.today)


def _refused(shop: Shop, request: ChangeShop) -> str:
    for limit in LIMITS:
        value = getattr(request, limit.field)
        if value is not None and not limit.least <= value <= limit.most:
            return say.out_of_range(limit.what, value, limit.least, limit.most, limit.example)
    if request.zone is not None and zone(request.zone) is None:
        return say.no_zone(request.zone)
    stages = {rule.name: rule for rule in shop.house.stages}
    for name, days in request.lengths:
        rule = stages.get(name)
        if rule is None or name == "ship":
            return say.no_stage(name, [stage for stage in stages if stage != "ship"])
        if rule.days_from in OF_THE_PLAN:
            return say.takes_plan(name, OF_THE_PLAN[rule.days_from])
        if not 0 <= days <= LONGEST_STAGE:
            what = f"the days of {name}"
            return say.out_of_range(what, days, 0, LONGEST_STAGE, "card 15 days before packing")
    return ""


def _with_said(profile: Profile, request: ChangeShop) -> Profile:
    said = {
        field: value
        for field, value in asdict(request).items()
        if value is not None and field != "lengths"
    }
    if "country" in said and "subdivision" not in said:
        said["subdivision"] = ""
    lengths = tuple((dict(profile.lengths) | dict(request.lengths)).items())
    return replace(profile, **said, lengths=lengths)


def _said(request: ChangeShop, facts: Mapping[str, str]) -> Iterator[str]:
    """The facts that a request spoke of."""
    fields = {field for field, value in asdict(request).items() if value is not None}
    if fields & {"country", "subdivision"}:
        fields.add("place")
    fields |= {f"length {stage}" for stage, _ in request.lengths}
    return (fact for fact in facts if fact in fields)


def _money_warning(shop: Shop, old: Profile, new: Profile) -> str:
    held = sum(item.unit_cost is not None and not item.currency for item in shop.items)
    return say.not_converted(new.currency, held) if held and old.currency != new.currency else ""


def _morning_lines(shop: Shop, person: Person, asked: Asked) -> tuple[str, ...]:
    house, where = shop.house, person.zone or profile_of(shop).zone
    at = person.digest_at or house.digest_at
    weekends = house.weekends if person.weekends is None else person.weekends
    coming = next_due(replace(shop, people=(person,)), asked.moment.now)
    there = coming.astimezone(zone(where) or UTC) if coming else None
    return (
        say.mornings(at, weekends, where),
        say.quiet(at, house.quiet_to) if _is_quiet(house, at) else "",
        say.next_morning(there.date(), there.time(), asked.today)
        if there and coming != asked.moment.now
        else "",
    )


def _is_quiet(house: House, at: time) -> bool:
    """Whether an hour lies in the quiet time, which may go over midnight."""
    if house.quiet_from <= house.quiet_to:
        return house.quiet_from <= at < house.quiet_to
    return at >= house.quiet_from or at < house.quiet_to


HANDLERS: dict[type, Handler] = {
    SetShipRule: set_ship_rule,
    SetShipDate: set_ship_date,
    ChangeShop: change_shop,
    ChangeMornings: change_mornings,
}
