"""What is said of goods that carry duties.

Knows: kinds of goods, what is to be checked and with whom. Must not know: which request it was, how
a kind is found. Invariants: nothing here says that something may be sent, sold or given; each reply
defers to carrier, authority, adviser or supplier; a name is cut to a line.
"""

from collections.abc import Mapping, Sequence
from datetime import date

from assistant.conversation.replies.plain import box_name, day, listed, plural, short
from assistant.planning.model import Item
from assistant.planning.month.cautions import Caution, Heat, Together
from assistant.planning.records import CautionWhen

NAME = 40  # characters of a name
NAMED = 2  # items that stand beside a kind of goods
KINDS = 3  # kinds of goods that one line names
BEFORE: Mapping[CautionWhen, str] = {
    "plan": "before you order",
    "order": "before you order",
    "pack": "before you pack",
}
MOMENTS: Mapping[CautionWhen, str] = {
    "plan": "Now",
    "order": "Before you order",
    "pack": "Before you pack",
}
DEFER = "The last word have your carrier, your local authority and a qualified adviser."
ASK_THEM = "check the current rules of your carrier and local authority, or ask a qualified adviser"
NOTHING = "Nothing planned is of goods that I have a caution for."
SAYS_NOTHING = "That says nothing of what applies to it: ask your carrier and your local authority."
GONE = "I know no such goods any more. To see what there is to check: cautions"


def upper(text: str) -> str:
    """A text with a capital letter first."""
    return f"{text[:1].upper()}{text[1:]}"


# --- one line -------------------------------------------------------------------------------


def line(found: Sequence[Caution], when: CautionWhen) -> str:
    """One line of all that is to be checked: "Caution, candles: ask ..."; "" for nothing. What
    another kind brings along is left to the details."""
    main = [one for one in found if not one.implied] or found
    if not main:
        return ""
    if len(main) == 1:
        return f"Caution, {main[0].goods}: {main[0].check}."
    return f"Caution, {_kinds([one.goods for one in main])}: {BEFORE[when]}, {ASK_THEM}."


def counted(found: Sequence[Together], when: CautionWhen) -> str:
    """One line of what many items are, by kind: "Caution: food 12, candles 3. Before ..."."""
    if not found:
        return ""
    return f"Caution: {_counts(found)}. {upper(BEFORE[when])}, {ASK_THEM}."


def _counts(found: Sequence[Together]) -> str:
    main = [one for one in found if not one.implied] or found
    return _kinds([f"{one.goods} {len(one.items)}" for one in main], ", ")


def _kinds(named: Sequence[str], between: str = "; ") -> str:
    more = len(named) - KINDS
    shown = between.join(named[:KINDS])
    return f"{shown} and {plural(more, 'more kind')}" if more > 0 else shown


def unsure(number: int) -> str:
    """Say of how many items something has to be asked."""
    them = "it" if number == 1 else "them"
    what = f"Of {plural(number, 'item')} I am not sure what is in {them}: say cautions"
    return what if number else ""


def hot(item: Item, found: Heat, cooler: str, today: date) -> str:
    """Say that an item may melt on its way, and which box is cooler."""
    where = box_name(found.box, today)
    days = f"{day(found.first, today)} to {day(found.last, today)}"
    instead = f" {box_name(cooler, today)} is cooler." if cooler else ""
    return f"{where} is on its way {days}, in hot months: {_name(item)} may melt.{instead}"


def now_hot(items: Sequence[Item], today: date) -> str:
    """Say which items come into hot months and may melt."""
    if not items:
        return ""
    named = [f"{_name(one)} ({box_name(one.box, today)})" for one in items[:NAMED]]
    more = len(items) - NAMED
    who = listed([*named, f"{more} more"] if more > 0 else named)
    return f"On the way in hot months then, and may melt: {who}."


def question(item: Item, ask: str, more: int) -> str:
    """Ask one thing of an item, and say how many more there are to ask."""
    after = f" (then {more} more)" if more > 0 else ""
    return f"{ask.replace(item.name, _name(item))}{after}"


def _name(item: Item) -> str:
    return short(item.name, NAME)


# --- answered -------------------------------------------------------------------------------


def answered(item: Item, goods: str, so: bool, today: date) -> str:
    """Say what was taken down."""
    where = f"{_name(item)} ({box_name(item.box, today)})"
    return f"Noted: {where}, {goods}." if so else f"Noted: {where}, nothing of {goods}."


def as_it_stands(item: Item, goods: str, so: bool, today: date) -> str:
    """Say that this was known already."""
    return f"{answered(item, goods, so, today)} As I have it already."


# --- shown ----------------------------------------------------------------------------------


def title_of_item(item: Item, today: date) -> str:
    """The heading of what is to be checked for an item."""
    return f"What to check: {_name(item)} ({box_name(item.box, today)})"


def title_of_box(box: str, when: CautionWhen, today: date) -> str:
    """The heading of what is to be checked for a box."""
    return f"{box_name(box, today)}: what to check {BEFORE[when]}"


TITLE = "What to check, box by box"


def moments(goods: str, checks: Mapping[CautionWhen, str]) -> tuple[str, ...]:
    """Write what is to be checked of one kind of goods, moment by moment."""
    lines = (f"{MOMENTS[when]}: {check}" for when, check in checks.items())
    return (f"{upper(goods)}", *lines)


def in_short(one: Caution) -> str:
    """Write what is to be checked of one kind of goods in a line."""
    return f"{upper(one.goods)}: {one.check}"


def with_items(one: Together) -> str:
    """Write a kind of goods with its items and what is to be checked."""
    names = [_name(item) for item in one.items[:NAMED]]
    more = len(one.items) - NAMED
    who = listed([*names, f"{more} more"] if more > 0 else names)
    return f"{upper(one.goods)} ({who}): {one.check}"


def row(box: str, found: Sequence[Together], today: date) -> str:
    """Write a box of the plan with its kinds of goods."""
    return f"{box_name(box, today)}: {_counts(found)}"


def more(number: int, what: str) -> str:
    """Say that a list goes on."""
    return f"and {plural(number, f'more {what}')}" if number > 0 else ""


def more_kinds(number: int) -> str:
    """Say that there are more kinds of goods."""
    return more(number, "kind")


def nothing(name: str) -> str:
    """Say that no caution is known for an item or a box, and that this permits nothing."""
    return f"I have no caution for {short(name, NAME)}. {SAYS_NOTHING}"
