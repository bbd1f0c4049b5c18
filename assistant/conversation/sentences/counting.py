"""What buttons say of counts of subscribers; invariants as in the package.

A group is named by what it is and the boxes it is about, so one sentence changes its number.
"""

from decimal import Decimal

from assistant.planning.model import Group


def show_counts(box: str = "") -> str:
    """Ask how many subscribers are expected, in one box or in those that come."""
    return f"subscribers for {box}" if box else "subscribers"


def flow() -> str:
    """Ask what is known of joins and churn."""
    return "joins and churn"


def groups() -> str:
    """Ask for the groups who are not as the others."""
    return "groups of subscribers"


def count(number: int) -> str:
    """Tell today's count."""
    return f"we are {number}"


def joins(number: int) -> str:
    """Tell how many join a month."""
    return f"{number} join a month"


def churn(percent: Decimal) -> str:
    """Tell how many leave a month."""
    return f"churn {percent.normalize():f}% a month"


def learn(*facts: str) -> str:
    """Go by the counts again."""
    return f"learn {' and '.join(facts)} from the counts"


def group(one: Group) -> str:
    """Note a group of subscribers."""
    number, renew = one.number, "" if one.renew is None else f", {one.renew:f}% renew"
    match one.group:
        case "skip":
            return f"{number} skip {one.first}"
        case "pause":
            until = f" until {one.last}" if one.last else ""
            return f"{number} pause from {one.first}{until}"
        case "one-off":
            return f"{number} single boxes for {one.first}"
        case "prepaid":
            return f"{number} prepaid end with {one.last}{renew}"
        case "gift":
            return f"{number} gifts end with {one.last}{renew}"


def drop_group(id: str) -> str:
    """Forget a group of subscribers."""
    return f"drop group {id}"
