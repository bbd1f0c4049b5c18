"""What is said of ways to make a dear box cheaper.

Knows: ways (accounts/cheaper) and how they are written. Must not know: how one is found.
Invariants: each way says what it saves of one box; what is not counted in it is said.
"""

from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal

from assistant.conversation.replies.plain import box_name, listed, money, plural, short
from assistant.planning.accounts.cheaper import Cheaper, Way
from assistant.planning.accounts.costs import BoxCost

LOT = "Ordered once: what keeping the rest costs is not counted here."


def title(box: BoxCost, currency: str, today: date) -> str:
    """The heading: by how much a box is over its target."""
    where = box_name(box.box, today)
    if box.over is None:
        return f"{where}: cheaper"
    if box.over > 0:
        return f"{where}: {money(box.over, currency)} over its target"
    return f"{where}: {money(-box.over, currency)} under its target"


def way(number: int, one: Way, names: Mapping[str, str], supplier: str, currency: str) -> str:
    """Write a way: "1. tin mug from Brackenfold at £3.10: saves £1.02 (enough)"."""
    item = names[one.item]
    price = "" if one.price is None else money(one.price, one.currency)
    others = [names[id] for id in one.others]
    what = {
        "break": f"{item}: {one.more:,} more, {one.quantity:,} at {price}",
        "lot": f"{item} ordered once with {listed(others)}, {one.quantity:,} at {price}",
        "offer": f"{item} from {supplier} at {price}, {plural(one.quantity, 'piece')}",
        "swap": f"{item} swapped with {listed(others)}",
        "drop": f"without {item}",
    }[one.how]
    return (
        f"{number}. {what}: saves {money(one.saves, currency)}{' (enough)' if one.enough else ''}"
    )


def enough(found: Cheaper, shown: Sequence[Way], currency: str) -> str:
    """Say which ways are enough together, or that none is."""
    over = found.box.over
    if over is None or over <= 0 or any(one.enough for one in found.ways):
        return ""
    if not found.together:
        return "None of it is enough, alone or together." if found.ways else ""
    saved = sum((one.saves for one in found.together), Decimal(0))
    numbers = [str(shown.index(one) + 1) for one in found.together if one in shown]
    if len(numbers) == len(found.together):
        return f"{listed(numbers)} together are enough: {money(saved, currency)}"
    return f"{plural(len(found.together), 'of these')[2:]} together are enough."


def none(box: BoxCost, today: date) -> str:
    """Say that nothing would make a box cheaper."""
    where = box_name(box.box, today)
    return (
        f"I know no way to make {where} cheaper: its items are ordered, stand out or have no cost. "
        "Offers of other suppliers would help: send a price list."
    )


def shipped(box: str, today: date) -> str:
    """Refuse a box that is gone."""
    return f"{box_name(box, today)} has shipped: what it cost stands."


def no_target(found: Cheaper) -> str:
    """Point out that there is no target to come under."""
    return "" if found.box.target is not None else "No target. Say: items may cost 14 a box"


def called(item: str, box: str, here: str, today: date) -> str:
    """Name an item in a line; of another box with its month."""
    return short(item, 24) + ("" if box == here else f" ({box_name(box, today)})")
