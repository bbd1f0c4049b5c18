"""What boxes and items cost, what would be cheaper: whole conversations. Everything is invented."""

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from msgspec.structs import replace

from assistant.planning.model import Band, Books, Break, Rate, Shop, Tariff
from tests.conversation.chat import Chat, plan_of
from tests.trade import offer, shop

PLAN = (
    "Aldermoor",
    "Brackenfold",
    "Hangfeng CN",
    "2027-03 Rain: notebook@Aldermoor 400 x 3.10, 180 g, type notebook;"
    " tin mug@Hangfeng 400 x 5.00 USD, 320 g",
    "2027-05 Swifts: tea@Aldermoor 400 x 1.20, 60 g; pin@Brackenfold 400 x 1.00, 20 g",
)
BOOKS = Books(damage=Decimal(0), packaging=Decimal("0.85"), card=Decimal("0.12"))
BOOKS = replace(BOOKS, packaging_grams=120, fee_percent=Decimal("1.5"), tax=Decimal(20))
USD = Rate("USD/2027-01-01", "USD", date(2027, 1, 1), Decimal("0.80"))
SMALL = Tariff(
    "small parcel/2027-01-01", "small parcel", date(2027, 1, 1), (Band(2000, Decimal("3.45")),)
)


def planned(*texts: str, **profile: object) -> Shop:
    numbers = {"subscribers": 400, "price": Decimal(30), "target": Decimal(7)}
    held = shop(*(texts or PLAN), **(numbers | profile))
    suppliers = tuple(replace(one, carriage=Decimal(0), duty=Decimal(0)) for one in held.suppliers)
    return replace(held, books=(BOOKS,), rates=(USD,), tariffs=(SMALL,), suppliers=suppliers)


def lines(text: str) -> list[str]:
    return text.split("\n")


# --- what a box costs -----------------------------------------------------------------------


def test_what_a_box_costs_is_told_with_its_reasons() -> None:
    """Goods 3.10 + 5.00 x 0.80; 620 g; 1.5 % of 30.00; 30.00 less 20 % contained is 25.00."""
    chat = Chat(planned())
    before = plan_of(chat.shop)
    assert lines(chat.say("is March over budget")) == [
        "March: what a box costs",
        "Over by \u00a30.10: items \u00a37.10 of \u00a37.00",
        "tin mug \u00a34.00, notebook \u00a33.10",
        "Packaging \u00a30.85, card \u00a30.12, fees \u00a30.45",
        "Postage \u00a33.45, small parcel, 620 g",
        "A box costs \u00a311.97, leaves \u00a313.03 of \u00a325.00 (\u00a330.00 less tax)",
        "400 boxes leave \u00a35,212.00",
    ]
    assert plan_of(chat.shop) == before
    assert list(chat.buttons)[:2] == ["Make it cheaper", "Every item"]
    assert "Within its target: items \u00a32.20 of \u00a37.00" in chat.say("is May over budget")
    assert "Make it cheaper" not in chat.buttons


def test_what_is_landed_is_told_beside_the_prices_alone() -> None:
    """ "what is missing" counts prices; both are told where they differ."""
    held = planned()
    dear = tuple(replace(one, setup=Decimal(80)) for one in held.items)
    chat = Chat(replace(held, items=dear))
    text = chat.say("what does March cost")
    assert "Prices \u00a37.10 + \u00a30.36 (set-up and spares)" in text
    assert "items \u00a37.46 of \u00a37.00" in text


def test_what_is_not_known_is_named_and_how_to_say_it() -> None:
    held = planned()
    bare = replace(held, books=(), rates=(), tariffs=(), suppliers=())
    text = Chat(bare).say("what does March cost")
    assert "No postage (say: postage small parcel up to 2 kg 3.45)" in text
    assert "rate of its currency of tin mug" in text
    assert "packaging, card, payment fees (say: packaging 0.85 a box)" in text
    assert "Within, as far as is known: items \u00a33.16 of \u00a37.00" in text


def test_a_box_without_target_price_or_subscribers_says_what_to_say() -> None:
    chat = Chat(planned(target=None, price=None, subscribers=0))
    text = chat.say("what does May cost")
    assert "no target. Say: items may cost 14 a box" in text
    assert "say how many there are: we are 420" in text
    assert "price of the box" in text


def test_each_item_is_told_in_full() -> None:
    held = planned()
    dear = tuple(replace(one, setup=Decimal(80)) for one in held.items)
    chat = Chat(replace(held, items=dear))
    chat.say("what does March cost")
    text = chat.touch("Every item")
    assert "notebook: \u00a33.30 (goods \u00a33.10, set-up \u00a30.20)" in text


def test_an_item_is_told_landed() -> None:
    held = planned()
    abroad = tuple(
        replace(one, carriage=Decimal(160), duty=Decimal(5)) if one.id == "hangfeng" else one
        for one in held.suppliers
    )
    chat = Chat(replace(held, suppliers=abroad))
    assert lines(chat.say("what does the tin mug cost")) == [
        "tin mug, March: what it costs landed",
        "400 pieces at $5.00",
        "1 USD = 0.8 GBP on Fri 26 Feb",
        "In all \u00a31,848.00: goods \u00a31,600.00, carriage \u00a3160.00, duty \u00a388.00",
        "400 pieces of it go into boxes: \u00a34.62 each",
        "\u00a34.00 goods + \u00a30.40 carriage + \u00a30.22 duty",
    ]
    assert chat.touch("Cost of March").startswith("March: what a box costs")


def test_break_even_is_told_with_the_overhead() -> None:
    """1000.00 a month by 13.03 of a box: 76.7, so 77."""
    held = planned()
    chat = Chat(replace(held, books=(replace(BOOKS, overhead=Decimal(1000)),)))
    text = chat.say("what does March cost")
    assert "You break even at 77 boxes a month: they carry \u00a31,000.00 a month" in text
    assert "break even" in chat.say("costs of the year")
    loss = replace(BOOKS, overhead=Decimal(1000), packaging=Decimal(90))
    dear = Chat(replace(held, books=(loss,)))
    assert "No number of boxes breaks even" in dear.say("what does March cost")
    assert "loses" in dear.say("costs of the year")


def test_a_box_that_is_not_planned_costs_what_every_parcel_does() -> None:
    text = Chat(planned()).say("what does August cost")
    assert "items \u00a30.00" in text


# --- the year -------------------------------------------------------------------------------


def test_the_year_is_told_in_a_few_lines() -> None:
    chat = Chat(planned())
    text = chat.say("costs of the year")
    assert lines(text) == [
        "Costs of the boxes to come",
        "2 boxes planned, 800 parcels: \u00a37,616.00",
        "They leave \u00a312,384.00",
        "From \u00a37.07 a box (May) to \u00a311.97 (March)",
        "Over the target: March by \u00a30.10",
        "Least in March: a box leaves \u00a313.03",
    ]
    assert list(chat.buttons) == ["As a picture", "Each box", "Cost of March"]
    assert "May: \u00a37.07, leaves \u00a317.93" in chat.touch("Each box")


def test_the_costs_come_as_a_picture() -> None:
    chat = Chat(planned())
    chat.say("picture of the costs")
    (file,) = chat.outcome.files
    (reply,) = chat.outcome.replies
    assert reply.photo == file.id
    assert file.content.startswith(b"\x89PNG")
    assert "Over the target: March by \u00a30.10" in reply.text
    assert chat.touch("In words").startswith("Costs of the boxes to come")


def test_many_boxes_come_as_a_text_too() -> None:
    boxes = [f"{2027 + n // 12}-{n % 12 + 1:02} T: tea@Aldermoor 400 x 1.20" for n in range(1, 20)]
    chat = Chat(planned("Aldermoor", *boxes))
    chat.say("costs of the year in full")
    (file,) = chat.outcome.files
    assert len(file.content.decode().splitlines()) == 2 + 19
    assert "12 boxes" not in chat.say("costs of 2028 in full")
    assert "No box" in chat.say("costs of 2040")


def test_a_shop_without_boxes_is_told_how_to_begin() -> None:
    assert "March theme rain and roots" in Chat().say("costs of the year")


# --- cheaper --------------------------------------------------------------------------------


def test_what_would_bring_a_box_under_its_target() -> None:
    held = planned(target=Decimal("6.90"))
    cheap = offer("Brackenfold: lined log 2.50, type notebook, min 400")
    chat = Chat(replace(held, offers=(cheap,)))
    before = plan_of(chat.shop)
    text = chat.say("make March cheaper")
    first = lines(text)
    assert first[0] == "March: \u00a30.20 over its target"
    way = "1. notebook from Brackenfold at \u00a32.50, 400 pieces: saves \u00a30.60 (enough)"
    assert first[1] == way
    assert "without notebook: saves \u00a33.10 (enough)" in text
    assert plan_of(chat.shop) == before
    assert "Drop notebook" in chat.buttons
    chat.touch("Drop notebook")
    assert not any(item.name == "notebook" for item in chat.shop.items)


def test_ways_that_are_enough_together_are_told() -> None:
    chat = Chat(planned(target=Decimal("0.50")))
    text = chat.say("what would bring May under target")
    assert "1 and 2 together are enough: \u00a32.20" in text
    assert "alone or together" not in text


def test_a_lot_says_what_it_does_not_count() -> None:
    texts = ("Aldermoor", "2027-03 R: log@Aldermoor 400 x 3.00", "2027-05 S: log@Aldermoor 400")
    held = planned(*texts)
    breaks = (Break(700, Decimal("2.40")),)
    items = tuple(replace(one, breaks=breaks, unit_cost=Decimal(3)) for one in held.items)
    text = Chat(replace(held, items=items)).say("make March cheaper")
    assert "log ordered once with log (May), 800 at \u00a32.40: saves \u00a30.60" in text
    assert "what keeping the rest costs is not counted" in text


def test_a_box_that_cannot_be_cheaper_says_why() -> None:
    held = planned("Aldermoor", "2027-03 R: log@Aldermoor 400 x 9.00, main")
    assert "I know no way to make March cheaper" in Chat(held).say("make March cheaper")
    later = Chat(held, now=datetime(2027, 4, 20, 9, tzinfo=UTC))
    assert "March 2027 has shipped" in later.say("make 2027-03 cheaper")


@pytest.mark.parametrize(
    ("lacks", "told", "says"),
    [
        ({"suppliers": {"carriage": None}}, "carriage of 2 items", "Hangfeng carriage 25"),
        ({"suppliers": {"duty": None}}, "duty of tin mug", "duty on Hangfeng 4%"),
        ({"rates": ()}, "rate of its currency of tin mug", "1 USD is 0.86"),
        ({"items": {"unit_cost": None}}, "price of 2 items", "notebook costs 3.10"),
        ({"items": {"grams": None, "units": 1}}, "", ""),
        ({"books": (replace(BOOKS, packaging_grams=None),)}, "weight of packaging", "packaging we"),
        ({"books": (replace(BOOKS, tax=None),)}, "import tax of tin mug", "import tax 20%"),
    ],
)
def test_what_is_said_to_say_helps(lacks: dict[str, object], told: str, says: str) -> None:
    """What is proposed is understood, and what was not known is known after it."""
    held = planned()
    for table, said in lacks.items():
        if isinstance(said, dict):
            said = tuple(replace(one, **said) for one in getattr(held, table))
        held = replace(held, **{table: said})
    chat = Chat(held)
    text = chat.say("what does March cost")
    if not told:
        assert "No postage: no weight of an item is known" in text
        return
    assert f"Without: {told}" in text
    proposed = text.partition("(say: ")[2].partition(")")[0]
    assert proposed.startswith(says)
    assert chat.say(proposed)
    assert chat.changes
    assert f"Without: {told}" not in chat.say("what does March cost")
