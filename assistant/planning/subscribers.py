"""How many subscribers each box will have.

Knows: counts, joins and churn, groups who are not as the others. Must not know: what is ordered
for them. Invariant: without any word on joins or churn, the last count holds.
"""

from datetime import date
from functools import partial

from assistant.planning.changes import profile_of
from assistant.planning.deadlines import ship_date
from assistant.planning.model import Record, Shop
from assistant.planning.shipping import shipped


class Expected(Record):
    """How many boxes go out, as expected on a day.

    `on` is the day on which subscribers are counted for the box; `mean` and `sd` are of boxes;
    between `low` and `high` nine times in ten.
    """

    box: str
    on: date
    mean: float
    sd: float
    low: int
    high: int


def expected(shop: Shop, box_id: str, today: date) -> Expected:
    """Return how many boxes of a month are expected to go out."""
    number = profile_of(shop).subscribers
    return Expected(box_id, ship_date(shop, box_id, today) or today, number, 0.0, number, number)


def forecast(shop: Shop, today: date) -> tuple[Expected, ...]:
    """Return what is expected of every box that is still to ship, in the order of the boxes."""
    coming = sorted(box.id for box in shop.boxes if not shipped(shop, box.id, today))
    return tuple(map(partial(expected, shop, today=today), coming))
