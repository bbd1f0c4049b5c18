"""What is said of subscribers who are not as the others: skips, pauses, gifts, prepaid terms, and
of boxes that are sold singly.

Knows: groups and how they are written. Must not know: what they change. Invariant: a refusal says
what was read, what is wrong and one example that works.
"""

from datetime import date

from assistant.conversation.replies.counting import percent
from assistant.conversation.replies.plain import box_name, plural
from assistant.planning.model import Group

GROUPS = "Who is not as the others"
NO_GROUPS = "All are alike. For example: 8 skip March"


def group(one: Group, today: date) -> str:
    """Write a group: "8 skip March", "20 gifts end with May, 40% renew"."""
    first = box_name(one.first, today) if one.first else ""
    last = box_name(one.last, today) if one.last else ""
    many = f"{one.number:,}"
    match one.group:
        case "skip":
            return f"{many} skip{_s(one)} {first}"
        case "pause":
            return f"{many} pause{_s(one)} from {first}, {f'back in {last}' if last else 'no end'}"
        case "one-off":
            return f"{plural(one.number, 'box', 'boxes')} of {first} sold singly"
        case _:
            what = "gift" if one.group == "gift" else "prepaid term"
            renew = "none renews" if not one.renew else f"{percent(one.renew)} renew"
            return f"{plural(one.number, what)} end{_s(one)} with {last}, {renew}"


def _s(one: Group) -> str:
    return "s" if one.number == 1 else ""


def group_noted(text: str, was: str) -> str:
    """Say that a group was noted, and what it was."""
    return f"Noted: {text}{f'; was: {was}' if was else ''}."


def group_stands(text: str) -> str:
    """Say that a group is known."""
    return f"As I have it already: {text}."


def group_dropped(text: str) -> str:
    """Say that a group was forgotten."""
    return f"Forgotten: {text}."


def gone() -> str:
    """Say that there is no such group any more."""
    return "That group is no longer there. To see them: groups of subscribers"


def nobody() -> str:
    """Refuse a group of nobody."""
    return "I read a group of none. To forget one, use its button. For example: 8 skip March"


def too_many(many: int, counted: int) -> str:
    """Refuse a group of more than there are."""
    return (
        f"I read {many:,} of them, but {plural(counted, 'subscriber')} were counted. "
        "Nothing was changed. For example: 8 skip March"
    )


def back_before() -> str:
    """Refuse a pause that ends before it begins."""
    return (
        "I read a pause that ends before it begins. Nothing was changed. "
        "For example: 5 pause from March until May"
    )


def and_later(more: int) -> str:
    """Say that there are more groups than are shown."""
    return f"And {more} more, later in the year"


def none_renews() -> str:
    """Say what is reckoned where no share is known."""
    return "I reckon that none renews; say for example: 40% renew"
