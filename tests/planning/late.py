"""A shop with an item that will be late, at several points of its life. All of it is invented."""

from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

from msgspec.structs import replace

from assistant.planning.changes import apply
from assistant.planning.model import Band, Books, Delivery, Idea, Purchase, Put, Shop, Tariff
from assistant.planning.month.rescue import Way, ways
from assistant.planning.month.ways import How
from tests.planning.plans import TODAY, done
from tests.trade import offer, shop, with_holidays

PIN, TEA = "2027-01.pin", "2027-01.tea"
NOON = datetime(2026, 11, 1, 12, tzinfo=UTC)
# Hangfeng's pins need 2 + 10 of its working days and 40 days on the way: too long for January.
PLAIN = shop(
    "Hangfeng CN: confirm 2d, transit 40d, lead 10d",
    "Aldermoor: lead 5d, transit 3d",
    "Brackenfold: lead 5d, transit 3d",
    "2027-01 Frost: pin@Hangfeng 450 x 1.80, type pin, 20 g; tea@Aldermoor 450 x 1.00",
    "2027-02 Thaw: mug@Aldermoor 450 x 2.00; map@Hangfeng 450 x 0.50",
    "2027-04 Rain: cup@Aldermoor 450 x 2.20, type pin; cap@Brackenfold 450 x 3.00",
    subscribers=420,
)
POST = Tariff("post/1", "post", date(2026, 1, 1), (Band(100, Decimal("1.20")),))
LATE = replace(
    with_holidays(PLAIN, TODAY),
    offers=(
        offer("Aldermoor: frost badge 2.10, lead 5d, type pin"),
        offer("Brackenfold: thistle pin 2.40, lead 5d, type pin"),
        offer("Brackenfold: brass pin 0.90, lead 60d, type pin"),
    ),
    ideas=(Idea("i1", "frost poem card", at=NOON),),
    tariffs=(POST,),
    books=(Books(packaging=Decimal("0.50"), packaging_grams=30),),
)


def bought(made: Shop, item: str, **told: Any) -> Shop:
    """The shop with an item ordered at these terms."""
    marked = done(made, f"{item}/order")
    return apply(marked, (Put(Purchase(item, **{"quantity": 450, **told})),))


def came(made: Shop, item: str, pieces: int, damaged: int = 0) -> Shop:
    return apply(made, (Put(Delivery("d1", item, TODAY, pieces, damaged)),))


PROMISED = bought(LATE, PIN, promised=date(2027, 1, 20), ordered=TODAY)
IN_PART = came(bought(LATE, PIN, promised=date(2027, 1, 20)), PIN, 400, 6)
SHORT = done(came(bought(LATE, PIN), PIN, 400, 6), f"{PIN}/stock")


def named(made: Shop, item: str, how: How, today: date = TODAY) -> Way:
    """The way of a kind, which must be there."""
    return next(one for one in ways(made, item, today) if one.how == how)
