"""An invented shop whose March box has gone out, to be looked back on, and a chat with it."""

from datetime import UTC, date, datetime
from decimal import Decimal

from msgspec.structs import replace

from assistant.planning.model import Delivery, Mark, Purchase, Run, Shop
from tests.conversation.chat import Chat, plan_of
from tests.trade import shop

NOW = datetime(2027, 3, 22, 9, tzinfo=UTC)  # a Monday
BOOK, MUG, LAMP = "2027-03.field notebook", "2027-03.mug", "2027-03.lamp"


def at(day: int, hour: int) -> datetime:
    return datetime(2027, 3, day, hour, tzinfo=UTC)


def bought(item: str, pieces: int, price: str, ordered: date) -> Purchase:
    return Purchase(
        item,
        pieces,
        Decimal(price),
        ordered=ordered,
        first_promised=date(2027, 3, 3),
        checked=date(2027, 3, 9),
    )


def shipped(*more: str) -> Shop:
    """A shop whose March box has gone out, two days late."""
    made = shop(
        "Aldermoor: lead 20d, transit 3d",
        "2027-03 Rain and roots: field notebook@Aldermoor 450 x 3.10, type notebook;"
        " mug@Aldermoor 450 x 2.00; lamp 450 x 4.00",
        "2027-04 Moss: lamp oil",
        "2027-05 First swifts: field notebook@Aldermoor; tea",
        *more,
        subscribers=420,
    )
    return replace(
        made,
        ledger=(Mark("2027-03/ship", "done", at=at(17, 9)),),
        purchases=(
            bought(BOOK, 460, "3.00", date(2027, 1, 18)),
            bought(MUG, 450, "2.20", date(2027, 1, 20)),
        ),
        deliveries=(
            Delivery("d1", BOOK, date(2027, 3, 6), 412, 6),
            Delivery("d2", MUG, date(2027, 3, 2), 450),
        ),
        runs=(Run("2027-03", packed=((at(11, 9), 0), (at(11, 15), 210), (at(11, 18), 208))),),
    )


def chat(made: Shop | None = None) -> Chat:
    return Chat(made or shipped(), NOW)


def refused(one: Chat, said: str) -> str:
    """What is answered to something that changes nothing but what was remembered of old boxes."""
    before = replace(plan_of(one.shop), sent=())
    text = one.say(said)
    assert replace(plan_of(one.shop), sent=()) == before, said
    assert one.changes == ()
    return text
