"""Claims on suppliers: which are open, and the deadline on which to ask again.

Knows: claims, deliveries, marks. Must not know: what is short or broken (shortages.py), words.
Invariants: an item has one claim at most; a claim is open until it is said to be met, or as many
good pieces have come as are enough; its deadline has the key `<item>/claim` and is told,
put off and done like any other.

The three days: common practice, no source.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date

from assistant.planning.listing import KEPT_AFTER_SHIPPING, Deadline
from assistant.planning.model import Claim, Delivery, Item, Mark, MarkState, StageRule
from assistant.planning.stages import ANCHOR, Ask
from assistant.scheduling.workdays import Calendar

CLAIM = "claim"
FOLLOW_UP_DAYS = 3  # working days of the shop, from the day of a claim

RULE = StageRule(
    name=CLAIM,
    per="item",
    back_from="stock",
    todo="follow up the claim for {item}",
    implied=False,
)
_BEFORE, _NAMED, _AFTER = RULE.todo.partition("{item}")
ASK = Ask(ANCHOR, ANCHOR, f"/{CLAIM}", False, False, RULE, (), (_BEFORE, bool(_NAMED), _AFTER))


def key_of(item_id: str) -> str:
    """Return the key of the deadline on which a claim is followed up."""
    return f"{item_id}/{CLAIM}"


def follow_up(calendar: Calendar, today: date) -> date:
    """Return the day on which to ask again after a claim of today."""
    return calendar.shift(today, FOLLOW_UP_DAYS) or date.max


def is_open(claim: Claim, deliveries: Iterable[Delivery]) -> bool:
    """Say whether a claim is still to be made good."""
    return _open(claim, _good((claim,), deliveries))


def _open(claim: Claim, good: Mapping[str, int]) -> bool:
    return claim.settled is None and (claim.enough is None or good[claim.id] < claim.enough)


def _good(claims: Iterable[Claim], deliveries: Iterable[Delivery]) -> dict[str, int]:
    """The good pieces that came of each item that was claimed for."""
    good = dict.fromkeys((claim.id for claim in claims), 0)
    for one in deliveries:
        if one.item in good:
            good[one.item] += one.pieces - one.damaged
    return good


def follow_ups(
    claims: Sequence[Claim],
    deliveries: Iterable[Delivery],
    items: Iterable[Item],
    marks: Mapping[str, Mark],
    calendar: Calendar,
    today: date,
) -> Iterator[Deadline]:
    """Give the deadline of each claim on an item of the plan, by the shop's calendar; one that is
    met or marked is left out 14 days after its date."""
    good = _good(claims, deliveries)
    known = {item.id: item for item in items if item.id in good}
    for claim in claims:
        item = known.get(claim.id)
        if item is None or claim.follow_up is None:
            continue
        mark = marks.get(key_of(item.id)) or Mark(key_of(item.id))
        state: MarkState = mark.state if _open(claim, good) else "done"
        if state != "open" and claim.follow_up + KEPT_AFTER_SHIPPING < today:
            continue
        spare, past = calendar.count(today, claim.follow_up), claim.follow_up < today
        yield Deadline(
            key=mark.id,
            box=item.box,
            item=item.id,
            name=item.name,
            on=claim.follow_up,
            float=min(spare, -1) if past else spare,
            state=state,
            until=mark.until,
            provisional=False,
            ask=ASK,
        )
