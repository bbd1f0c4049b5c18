"""Whether to buy in one lot or several: whole conversations. Shops and goods are invented."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.conversation.order_requests import ShowLots
from assistant.conversation.requests import KeepIdea, Question, Request
from assistant.conversation.sentences import lots as says
from assistant.conversation.understand import understand
from assistant.planning.model import Books, Break, Shop, Talk
from tests.conversation.chat import Chat, plan_of
from tests.conversation.meant import MAY_PIN, NOTEBOOK, SHOP, TODAY
from tests.planning.plans import done
from tests.trade import shop

D = Decimal
PLAN = (
    "Aldermoor: lead 20d",
    "2027-03: field notebook@Aldermoor 450 x 3.10",
    "2027-05: field notebook@Aldermoor 450 x 3.10; pin@Aldermoor 450 x 1.00",
    "2027-09: field notebooks@Aldermoor 450 x 3.10",
)


def planned(*texts: str, books: Books | None = None, **facts: object) -> Shop:
    made = shop(*(texts or PLAN), subscribers=450)
    items = tuple(replace(i, **facts) if "notebook" in i.name else i for i in made.items)
    supplier = replace(made.suppliers[0], carriage=D(18))
    known = books or Books(storage=D("0.05"), order_cost=D(15))
    return replace(made, items=items, suppliers=(supplier,), books=(known,))


BREAKS = (Break(1000, D("2.60")),)
ASKED = "one lot or several for the notebooks"


def test_the_cheapest_way_with_its_reasons() -> None:
    chat = Chat(planned(breaks=BREAKS, case_pack=24, setup=D(40)))
    before = plan_of(chat.shop)
    assert chat.say(ASKED).split("\n") == [
        "field notebook: one lot or several",
        "Cheapest: all at once, £3,882.19",
        "1. by Fri 5 Feb: 1,368 at £2.60 for March, May and September",
        "Saves £548.88 over buying box by box:",
        "£684.00 by price, £113.00 on orders, less £248.12 for keeping",
        "18 pieces are left over.",
    ]
    assert list(chat.buttons) == ["Every way", "How many"]
    assert plan_of(chat.shop) == before


def test_every_way_behind_a_button() -> None:
    chat = Chat(planned(breaks=BREAKS, case_pack=24, setup=D(40)))
    chat.hear(ASKED)
    assert chat.touch("Every way").split("\n") == [
        "field notebook: every way to buy",
        "Cheapest: 1 order, £3,882.19",
        "  goods £3,556.80, orders £73.00, keeping £252.39",
        "Box by box: 3 orders, £4,431.07",
        "  goods £4,240.80, orders £186.00, keeping £4.27",
        "Keeping: £0.05 a piece a month, money 8% a year",
        "Aldermoor has other goods for May: an order goes out anyway.",
        "For a steady need: about 1,000 at a time",
    ]
    assert chat.touch("The cheapest").startswith("field notebook: one lot or several")
    assert "450 to order" in chat.touch("How many")


def test_an_order_a_box_is_the_cheapest() -> None:
    text = Chat(planned()).say(ASKED)
    assert "Cheapest: an order for each box" in text
    assert "All at once would cost £" in text
    assert "for keeping, less £33.00 on orders" in text


def test_goods_that_do_not_keep() -> None:
    chat = Chat(planned(keeps_days=80, setup=D(200)))
    assert "2 orders" in chat.say(ASKED)
    assert "All at once would not keep long enough." in chat.touch("Every way")


def test_what_grows_too_old_and_orders_that_serve_more_than_a_box() -> None:
    months = ("03", "05", "08", "11")
    texts = [f"2027-{month}: mint tea@Aldermoor 450 x 1.20" for month in months]
    made = shop("Aldermoor", *texts, subscribers=450)
    facts = {"minimum": 1000, "case_pack": 50, "keeps_days": 120}
    chat = Chat(replace(made, items=tuple(replace(item, **facts) for item in made.items)))
    text = chat.say("should I buy the mint tea at once")
    assert "Cheapest: 2 orders" in text
    assert "1,000 at £1.20 for March and May (100 would be too old)" in text
    assert "All at once would not keep long enough." in text


def test_whose_terms_were_taken_is_said() -> None:
    made = planned()
    dearer = replace(made.items[3], unit_cost=D("3.40"))
    chat = Chat(replace(made, items=(*made.items[:3], dearer)))
    assert "All at the price and terms of March." in chat.say(ASKED)


def test_what_is_not_known_is_said() -> None:
    chat = Chat(planned(books=Books(), unit_cost=None))
    text = chat.say(ASKED)
    assert "Without the price: say field notebook costs 3.10" in text
    assert "Without storage: say storage costs 0.05 a piece a month" in text
    assert " at £" not in text
    abroad = Chat(planned(currency="EUR"))
    assert "Without what is in another currency" in abroad.say(ASKED)


def test_many_orders_are_counted() -> None:
    texts = [f"2027-{month:02}: notebook@Aldermoor 450 x 3.10" for month in range(3, 10)]
    made = planned("Aldermoor: lead 20d", *texts, books=Books(storage=D(1)))
    text = Chat(made).say(ASKED)
    assert "4. by" in text
    assert "5. by" not in text
    assert "and 3 more orders" in text
    assert len(text.split("\n")) <= 9


UNCOUNTED = ("Aldermoor", "2027-03: tea", "2027-04: tea")  # no subscribers


# --- nothing to choose ----------------------------------------------------------------------


def test_what_is_ordered_is_not_proposed() -> None:
    chat = Chat(done(planned(), "2027-03.field notebook/order"))
    text = chat.say("one lot or several: field notebook for 2027-03")
    assert "field notebook, March, is ordered already" in text
    assert "for March" not in chat.say("one lot or several: field notebook for 2027-05")


@pytest.mark.parametrize(
    ("texts", "asked", "heard"),
    [
        (PLAN, "should I buy the pin at once", "Only May still wants pin"),
        (UNCOUNTED, "one lot or several: tea for 2027-03", "we are 431"),
        (
            ("Aldermoor", "2026-11: tea 40", "2027-04: tea 40"),
            "one lot or several: tea for 2026-11",
            "November 2026 is shipped",
        ),
    ],
)
def test_nothing_to_choose(texts: tuple[str, ...], asked: str, heard: str) -> None:
    made = shop(*texts, subscribers=450 if texts == PLAN else 0)
    chat = Chat(made)
    before = plan_of(chat.shop)
    assert heard in chat.say(asked)
    assert plan_of(chat.shop) == before


# --- what she reckons with ------------------------------------------------------------------


def test_figures_are_kept_and_count() -> None:
    chat = Chat(planned(books=Books()))
    for said in ("an order costs me 120 to place", "storage is free", "money costs 4% a year"):
        assert chat.say(said).startswith("Noted")
        assert "Undo" in chat.buttons
    (books,) = chat.shop.books
    assert (books.order_cost, books.storage, books.interest) == (D(120), D(0), D(4))
    text = chat.say(ASKED)
    assert "£138.00 on orders" in text  # with the carriage
    assert "storage" not in text


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ("storage costs 0.05 EUR a piece a month", "is told in GBP"),
        ("an order costs me 15 EUR", "is told in GBP"),
        ("storage costs 60 a year", "of one piece for a month"),
        ("money costs 800% a year", "more than the whole"),
    ],
)
def test_figures_that_cannot_be_meant(said: str, why: str) -> None:
    chat = Chat(planned())
    before = plan_of(chat.shop)
    text = chat.say(said)
    assert why in text
    assert "For example" in text
    assert plan_of(chat.shop) == before


# --- words ----------------------------------------------------------------------------------

SAID: list[tuple[str, Request]] = [
    (says.lots(SHOP, NOTEBOOK), ShowLots(NOTEBOOK)),
    (says.every_way(SHOP, NOTEBOOK), ShowLots(NOTEBOOK, whole=True)),
    (says.lots(SHOP, MAY_PIN), ShowLots(MAY_PIN)),
    (says.every_way(SHOP, MAY_PIN), ShowLots(MAY_PIN, whole=True)),
]


@pytest.mark.parametrize(("sentence", "meant"), SAID, ids=lambda x: str(x)[:60])
def test_a_button_means_what_it_was_made_for(sentence: str, meant: Request) -> None:
    assert understand(sentence, SHOP, Talk(id=""), TODAY) == (meant,)


NAMES = st.sampled_from(("pin at once", "order or several", "one lot", "lots of tea", "2 lots"))


@given(NAMES)
def test_whatever_an_item_is_called(name: str) -> None:
    items = tuple(replace(i, name=name) if i.id == MAY_PIN else i for i in SHOP.items)
    made = replace(SHOP, items=items)
    for whole, say in enumerate((says.lots, says.every_way)):
        said = understand(say(made, MAY_PIN), made, Talk(id=""), TODAY)
        assert said == (ShowLots(MAY_PIN, bool(whole)),)


def test_goods_that_differ_are_asked_about() -> None:
    asked = understand("one lot or several for the tea", SHOP, Talk(id=""), TODAY)
    assert isinstance(asked, Question)
    assert "2 items" in asked.text
    assert asked.options[0].says == "one lot or several for mint tea for 2027-05"


def test_without_a_name_it_is_asked_of_what() -> None:
    chat = Chat(planned())
    assert "I do not know of what" in chat.say("one lot or several?")
    assert "one lot or several: field notebook for 2027-03" in chat.buttons.values()


@pytest.mark.parametrize(
    "thought",
    ["lots of moss for the table", "a lot of tea", "order in the chaos", "an order of owls"],
)
def test_a_thought_about_such_things_is_kept(thought: str) -> None:
    found = understand(thought, SHOP, Talk(id=""), TODAY)
    assert not isinstance(found, Question)
    assert isinstance(found[0], KeepIdea)


@given(st.text(max_size=40))
def test_no_words_raise(words: str) -> None:
    for start in ("one lot or several for ", "lots of ", "storage costs ", "an order costs "):
        assert isinstance(understand(start + words, SHOP, Talk(id=""), TODAY), Question | tuple)
