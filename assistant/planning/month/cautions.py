"""Cautions: what to check for goods that carry duties, when, and what has to be asked first.

Knows: the table of config/cautions.toml laid over the items of a plan, ship dates, hot months. Must
not know: how names are read (goods.py), how a caution is worded. Invariants: a caution is a reason
to look further and to ask carrier, authority or adviser; nothing here permits anything, and that
nothing is found says nothing; what is not plain is asked once, what was answered (Item.goods)
never again; "no" silences a kind for that item.
"""

import re
from collections.abc import Iterable
from datetime import date, timedelta
from itertools import islice

from msgspec.structs import replace

from assistant.planning.chains import outlook
from assistant.planning.changes import find, profile_of
from assistant.planning.deadlines import Deadline, ship_date
from assistant.planning.model import CautionRule, Item, Record, Shop
from assistant.planning.month.goods import told
from assistant.planning.records import CautionWhen, GoodsWords
from assistant.planning.shipping import ORDER, shipped

PACK = "pack"  # the stage at which packing begins
TRIED = 12  # boxes looked at for a cooler one

# Hot months: June to September, south of the equator December to March. Common practice, no
# source; near the equator, where it is warm all year, it tells too little.
HOT_NORTH, HOT_SOUTH = (6, 7, 8, 9), (12, 1, 2, 3)
# Countries whose first place in the tz database's zone.tab has a southern latitude.
_SOUTH = (
    "AO AQ AR AS AU BI BO BR BW CC CD CG CK CL CX EC FJ FK GS ID IO KE KM LS MG MU MW MZ NA NC NF "
    "NR NU NZ PE PF PG PN PY RE RW SB SC SH SZ TF TK TL TO TV TZ UY VU WF WS YT ZA ZM ZW"
)
SOUTH = frozenset(_SOUTH.split())

# Words with which a text would permit something; no text about goods may hold one.
PERMITTING = (
    "allowed",
    "permitted",
    "permit",
    "permissible",
    "safe to",
    "legal",
    "lawful",
    "may be sent",
    "you may",
    "you can send",
    "exempt",
    "no restriction",
    "fine to",
)
ASKED_OF = ("carrier", "authority", "adviser", "supplier")


class Caution(Record):
    """What to check of one kind of goods at one moment, and with whom; `check` is a clause.
    `implied`: another kind of the same item brings it along (CautionRule.of)."""

    goods: str  # CautionRule.goods
    check: str
    implied: bool = False


class Doubt(Record):
    """A kind of goods that an item may be of, and what to ask."""

    goods: str
    ask: str


class Together(Record):
    """A kind of goods and the items that are of it; `implied` as in Caution."""

    goods: str
    check: str
    items: tuple[Item, ...]
    implied: bool = False


class Heat(Record):
    """The days on which a box is on its way to subscribers, some of them in hot months."""

    box: str
    first: date
    last: date


# --- an item --------------------------------------------------------------------------------


def cautions(shop: Shop, item: Item, when: CautionWhen, today: date) -> tuple[Caution, ...]:
    """Return what to check for an item at planning, before ordering or before packing, in the
    table's order. What melts is told only where its box is on its way in hot months."""
    hot = heat(shop, item.box, today) is not None
    rules = [rule for rule in _rules(shop, item) if hot or not rule.melts]
    found = {rule.goods for rule in rules}
    return tuple(
        Caution(rule.goods, str(getattr(rule, when)), not found.isdisjoint(rule.of))
        for rule in rules
    )


def questions(shop: Shop, item: Item) -> tuple[Doubt, ...]:
    """Return what is to be asked of an item, each kind once: kinds that its name does not tell
    plainly and that were not answered. Whether it melts is asked of boxes of hot months only."""
    perhaps = _told_kinds(shop, item)[1]
    answered = dict(item.goods)
    hot = int(item.box[5:7]) in hot_months(shop)
    return tuple(
        Doubt(rule.goods, rule.ask.replace("{item}", item.name))
        for rule in shop.house.cautions
        if rule.goods in perhaps and rule.goods not in answered and (hot or not rule.melts)
    )


def kinds(shop: Shop, item: Item) -> tuple[str, ...]:
    """Return the kinds of goods with duties that an item is of, in the table's order, whatever
    the months."""
    return tuple(rule.goods for rule in _rules(shop, item))


def _rules(shop: Shop, item: Item) -> tuple[CautionRule, ...]:
    answered = dict(item.goods)
    found = {goods for goods, so in item.goods if so} | _told_kinds(shop, item)[0]
    found -= {goods for goods, so in item.goods if not so}
    for rule in shop.house.cautions:
        if not found.isdisjoint(rule.of) and answered.get(rule.goods, True):
            found.add(rule.goods)
    return tuple(rule for rule in shop.house.cautions if rule.goods in found)


def _told_kinds(shop: Shop, item: Item) -> tuple[frozenset[str], frozenset[str]]:
    """The kinds that an item's name and type tell plainly, and those that they may."""
    found = told(item.name, item.type, shop.house.cautions, shop.house.goods_words)
    return found.plain, found.perhaps


# --- several items --------------------------------------------------------------------------


def together(
    shop: Shop, items: Iterable[Item], when: CautionWhen, today: date
) -> tuple[Together, ...]:
    """Return what to check for several items, each kind of goods once with its items."""
    found: dict[str, list[tuple[Caution, Item]]] = {}
    for item in items:
        for one in cautions(shop, item, when, today):
            found.setdefault(one.goods, []).append((one, item))
    order = [found[rule.goods] for rule in shop.house.cautions if rule.goods in found]
    return tuple(
        Together(
            goods=pairs[0][0].goods,
            check=pairs[0][0].check,
            items=tuple(item for _, item in pairs),
            implied=all(one.implied for one, _ in pairs),
        )
        for pairs in order
    )


def in_box(shop: Shop, box: str, when: CautionWhen, today: date) -> tuple[Together, ...]:
    """Return what to check for the items of a box, each kind of goods once."""
    return together(shop, (item for item in shop.items if item.box == box), when, today)


def before(shop: Shop, due: Iterable[Deadline], today: date) -> tuple[Together, ...]:
    """Return what to check before these deadlines are met: before ordering for an item's order,
    before packing for a box's packing; nothing for any other stage. Each kind once."""
    ordering, packing = list[Item](), list[Item]()
    for one in due:
        if one.stage == ORDER and (item := find(shop.items, one.item)) is not None:
            ordering.append(item)
        elif one.stage == PACK:
            packing += [item for item in shop.items if item.box == one.box]
    first = together(shop, packing, "pack", today)
    told = {one.goods for one in first}
    later = together(shop, ordering, "order", today)
    return (*first, *(one for one in later if one.goods not in told))


# --- hot months -----------------------------------------------------------------------------


def hot_months(shop: Shop) -> tuple[int, ...]:
    """Return the months (1..12) that are hot where the shop's subscribers are: in its country."""
    return HOT_SOUTH if profile_of(shop).country in SOUTH else HOT_NORTH


def heat(shop: Shop, box: str, today: date) -> Heat | None:
    """Return the days on which a box is on its way to subscribers where one of them lies in a hot
    month, None where none does. It is on its way from its ship date for as long as the house
    takes for a parcel within the country (`transit_home_days`, calendar days)."""
    ships = ship_date(shop, box, today)
    if ships is None:
        return None
    last = ships + timedelta(days=shop.house.transit_home_days)
    months = hot_months(shop)
    return Heat(box, ships, last) if {ships.month, last.month} & {*months} else None


def melts(shop: Shop, item: Item) -> bool:
    """Whether an item is of goods that melt."""
    return any(rule.melts for rule in _rules(shop, item))


def cooler(shop: Shop, item: Item, today: date) -> str:
    """Return the box of the plan nearest to an item's own that is not on its way in hot months,
    has no item of its name, and for which it would be in hand in time; "" for none."""
    own = ship_date(shop, item.box, today)
    if own is None:
        return ""
    name = item.name.casefold()
    taken = {one.box for one in shop.items if one.name.casefold() == name}
    near = sorted(
        (abs((on - own).days), box.id)
        for box in shop.boxes
        if box.id not in taken and (on := ship_date(shop, box.id, today)) and on > today
    )
    cool = (box for _, box in near if not shipped(shop, box, today) and not heat(shop, box, today))
    return next((box for box in islice(cool, TRIED) if _in_time(shop, item, box, today)), "")


def _in_time(shop: Shop, item: Item, box: str, today: date) -> bool:
    found = outlook(shop, replace(item, box=box), today)
    return found is not None and (found.in_hand or (found.float is not None and found.float >= 0))


# --- the table itself -----------------------------------------------------------------------


def fault(
    rule: CautionRule, before: tuple[CautionRule, ...], known: frozenset[str]
) -> tuple[str, str] | None:
    """Return the key and the reason of what is wrong with a rule; `before` are those above it,
    `known` the kinds of the whole table."""
    if not rule.goods.strip():
        return "goods", "a kind of goods needs a name"
    if rule.goods in {one.goods for one in before}:
        return "goods", f'"{rule.goods}" is there already'
    if unknown := [one for one in rule.of if one not in known]:
        return "of", f'there are no goods "{unknown[0]}"'
    if not (rule.words or rule.maybe or rule.of):
        return "goods", "without words, maybe or of nothing is ever of this kind"
    for key in ("words", "maybe"):
        if why := fault_of_words(getattr(rule, key)):
            return key, why
    if both := [word for word in rule.maybe if word in rule.words]:
        return "maybe", f'"{both[0]}" is plainly such goods already'
    if rule.maybe and "{item}" not in rule.ask:
        return "ask", "a question is needed, with {item} in it"
    texts = (("ask", rule.ask), ("plan", rule.plan), ("order", rule.order), ("pack", rule.pack))
    return next((found for key, text in texts if (found := _fault_of_text(key, text))), None)


def fault_of_words(words: Iterable[str]) -> str:
    """Return what is wrong with words of the table, "" for nothing."""
    odd = (word for word in words if not re.fullmatch(r"[a-z]+(?: [a-z]+)*", word))
    return next((f'"{word}" is not in plain small letters' for word in odd), "")


def fault_of_goods_words(words: GoodsWords) -> tuple[str, str] | None:
    """Return the key and the reason of what is wrong with these words."""
    lists = (("pictured", words.pictured), ("holders", words.holders), ("other", words.other))
    return next(((key, why) for key, held in lists if (why := fault_of_words(held))), None)


def _fault_of_text(key: str, text: str) -> tuple[str, str] | None:
    if key != "ask" and not any(who in text for who in ASKED_OF):
        return key, f"it names nobody to ask; one of {', '.join(ASKED_OF)}"
    permits = [word for word in PERMITTING if word in text.casefold()]
    return (key, f'"{permits[0]}" permits; say what to check instead') if permits else None


def faults_of_table(rules: tuple[CautionRule, ...]) -> Iterable[tuple[int, str, str]]:
    """Return what is wrong with the table: (number of the rule from 1, key, reason)."""
    known = frozenset(rule.goods for rule in rules)
    every = ((nth, fault(rule, rules[: nth - 1], known)) for nth, rule in enumerate(rules, 1))
    return ((nth, *wrong) for nth, wrong in every if wrong)
