"""Purchase orders in chat: written, shown, changed, sent, withdrawn; whole conversations.

Shops, suppliers and goods are invented.
"""

from datetime import date
from decimal import Decimal
from io import BytesIO
from typing import Any

import pytest
from msgspec.structs import replace
from pypdf import PdfReader

from assistant.conversation.order_requests import (
    DropOrder,
    ListOrders,
    OrderSent,
    ReviseOrder,
    ShowOrder,
    WriteOrder,
)
from assistant.conversation.requests import Question, Request
from assistant.conversation.sentences import orders as says
from assistant.conversation.sentences.rearranging import now
from assistant.conversation.understand import understand
from assistant.planning.changes import apply, find
from assistant.planning.model import Books, Break, Item, Person, Put, Shop, Talk
from assistant.planning.shipping import is_ordered
from tests.conversation.chat import Chat, plan_of
from tests.conversation.meant import CADDY, MAY_PIN, NOTEBOOK, PENCIL, SHOP, TALK
from tests.conversation.meant import TODAY as THURSDAY
from tests.trade import shop

TODAY = date(2027, 1, 11)  # a Monday
ADDRESS = "4 Mill Lane, Settle, BD24 9XX"
WRITE = "write the order for Aldermoor"
MARCH_BOOK, MARCH_PIN, TEA = "2027-03.field notebook", "2027-03.pin", "2027-05.tea"


def planned(*more: str, address: str = ADDRESS, **profile: Any) -> Shop:
    made = shop(
        "Aldermoor: transit 3d",
        "Brackenfold",
        "2027-03 Rain: field notebook@Aldermoor 450 x 3.10, lead 20d; pin@Aldermoor 430 x 1.15",
        "2027-05 Swifts: tea@Aldermoor 200 x 1.20; tin mug@Brackenfold 400 x 4.20",
        *more,
        **({"subscribers": 420, "name": "Mossgate Field Club"} | profile),
    )
    return replace(made, books=(Books(deliver_to=address),) if address else ())


def supplied(made: Shop, **facts: Any) -> Shop:
    supplier = find(made.suppliers, "aldermoor")
    assert supplier is not None
    return apply(made, (Put(replace(supplier, **facts)),))


def item(chat: Chat, id: str) -> Item:
    found = find(chat.shop.items, id)
    assert found is not None
    return found


def lines(text: str) -> list[str]:
    return text.split("\n")


# --- written --------------------------------------------------------------------------------


def test_an_order_is_written_in_a_reply_that_fits_a_phone() -> None:
    chat = Chat(supplied(planned(), carriage=Decimal(12)))
    assert lines(chat.say(WRITE)) == [
        "Order 2027-001 for Aldermoor",
        "450 field notebook at £3.10: £1,395.00",
        "430 pin at £1.15: £494.50",
        "Total £1,901.50 with carriage £12.00",
        "All in hand by Tue 9 Mar",
        "You send it, I never do. Then say: order 2027-001 sent",
    ]
    assert list(chat.buttons) == ["Undo", "As a page", "As text", "I sent it"]
    (order,) = chat.shop.orders
    assert (order.id, order.supplier, order.sent) == ("2027-001", "aldermoor", None)


def test_writing_sets_nothing_else() -> None:
    chat = Chat(planned())
    before = plan_of(chat.shop)
    chat.hear(WRITE)
    assert replace(plan_of(chat.shop), orders=()) == before
    assert chat.outcome.files == ()
    chat.hear("undo")
    assert plan_of(chat.shop) == before


def test_a_long_order_tells_eight_lines_and_the_rest_as_a_page() -> None:
    many = "; ".join(f"{word} pin@Aldermoor 100 x 1.00" for word in "abcdefghijkl")
    chat = Chat(planned(f"2027-02 Frost: {many}"))
    text = chat.say(WRITE)
    assert "and 4 more lines, all of them as a page" in text
    assert "Total £1,200.00" in text
    page = chat.touch("As a page")
    assert page.startswith("Order 2027-001 for Aldermoor")


def test_what_is_missing_is_said_and_the_order_is_written_all_the_same() -> None:
    made = shop("Aldermoor", "2027-03: pin@Aldermoor", subscribers=100)
    chat = Chat(made)
    text = chat.say(WRITE)
    assert "pin, no price" in text
    assert "No price: pin. Say: pin costs 3.10" in text
    assert "No delivery address. Say: deliver to 4 Mill Lane, Settle, BD24 9XX" in text
    assert "without carriage and pin" in text
    assert len(chat.shop.orders) == 1
    chat.hear("pin costs 3.10")
    assert "no price" not in chat.say("order 1").lower()


def test_where_to_deliver_is_asked_for_until_it_is_said() -> None:
    chat = Chat(planned(address=""))
    assert "No delivery address" in chat.say(WRITE)
    chat.hear(f"deliver to {ADDRESS}")
    assert chat.shop.books[0].deliver_to == ADDRESS
    assert "No delivery address" not in chat.say("order 1")
    assert "BD24 9XX" in chat.say("order 1 as text")


def test_a_missed_minimum_is_said_with_by_how_much() -> None:
    chat = Chat(supplied(planned(), minimum_value=Decimal(2000)))
    assert "£110.50 below the supplier's minimum of £2,000.00" in chat.say(WRITE)
    assert chat.shop.orders


def test_goods_that_carry_duties_are_pointed_out_before_they_are_ordered() -> None:
    chat = Chat(shop("Aldermoor", "2027-03: lithium lamp@Aldermoor 100 x 4.00"))
    text = chat.say(WRITE)
    assert "Caution" in text
    assert "carrier" in text


def test_one_lot_for_several_boxes_is_told_with_what_it_saves() -> None:
    made = planned("2027-04 Dew: field notebook@Aldermoor 420 x 3.10, lead 20d")
    costly = replace(made.books[0], order_cost=Decimal(200), storage=Decimal("0.01"))
    text = Chat(replace(made, books=(costly,))).say(WRITE)
    assert "450 field notebook (March)" in text
    assert "420 field notebook (April)" in text
    assert "field notebook: one lot for March and April saves £" in text


def test_nothing_to_order_says_what_is_next() -> None:
    chat = Chat(planned())
    text = chat.say("order for Brackenfold")
    assert text.startswith("Nothing has to be ordered from Brackenfold now. Next: tin mug (May)")
    assert chat.changes == ()
    assert "400 tin mug at £4.20" in chat.touch("Order it now")


def test_a_supplier_of_nothing() -> None:
    chat = Chat(planned("Tannwald DE"))
    text = chat.say("write the order for Tannwald")
    assert "Nothing has to be ordered from Tannwald now." in text
    assert "add to March" in text
    assert not chat.shop.orders


def test_an_item_of_another_supplier_is_refused() -> None:
    chat = Chat(planned())
    text = chat.say("order for Aldermoor: tin mug")
    assert "tin mug is bought from Brackenfold" in text
    assert "tin mug from Aldermoor" in text
    assert not chat.shop.orders


def test_an_item_of_which_none_is_needed() -> None:
    made = planned()
    items = tuple(replace(one, quantity=0) if one.id == TEA else one for one in made.items)
    chat = Chat(replace(made, items=items))
    assert "No piece of tea is needed" in chat.say("order for Aldermoor: tea")
    assert not chat.shop.orders


def test_an_item_that_is_ordered_is_refused_until_she_insists() -> None:
    chat = Chat(planned())
    chat.hear(WRITE)
    chat.hear("order 1 sent")
    text = chat.say("order for Aldermoor: pin")
    assert "pin (March) is ordered already on order 2027-001, sent Mon 11 Jan" in text
    assert len(chat.shop.orders) == 1
    assert "430 pin at £1.15" in chat.touch("Order it again")
    assert [one.id for one in chat.shop.orders] == ["2027-001", "2027-002"]


def test_an_item_that_was_ordered_by_other_means_is_refused_too() -> None:
    chat = Chat(planned())
    chat.hear("ordered the pin")
    assert "pin (March) is ordered already." in chat.say("order for Aldermoor: pin")


# --- one order waits for a supplier ---------------------------------------------------------


def test_what_is_due_later_is_added_to_the_order_that_waits() -> None:
    chat = Chat(planned())
    chat.hear(WRITE)
    text = chat.say("order for Aldermoor: tea")
    assert "Added to order 2027-001, which is not sent yet: tea" in text
    assert "200 tea (May)" in text
    (order,) = chat.shop.orders
    assert [line.item for line in order.lines] == [MARCH_BOOK, MARCH_PIN, TEA]
    chat.hear("undo")
    assert len(chat.shop.orders[0].lines) == 2


def test_the_same_said_twice_writes_one_order() -> None:
    chat = Chat(planned())
    chat.hear(WRITE)
    before = plan_of(chat.shop)
    assert "Written already, and not sent yet" in chat.say(WRITE)
    assert plan_of(chat.shop) == before
    assert chat.outcome.stands


def test_two_people_at_once_get_two_numbers_or_one_order() -> None:
    made = planned()
    made = replace(made, people=(Person("p2", "telegram:2", name="Anna"),))
    chat = Chat(made)
    chat.hear(WRITE, sender="telegram:2")
    chat.hear("write the order for Brackenfold: tin mug")
    chat.hear(WRITE)
    assert [one.id for one in chat.shop.orders] == ["2027-001", "2027-002"]


def test_a_number_is_given_once_whatever_becomes_of_its_order() -> None:
    chat = Chat(planned())
    chat.hear(WRITE)
    chat.hear("undo")
    chat.hear(WRITE)
    assert [one.id for one in chat.shop.orders] == ["2027-002"]
    chat.hear("drop order 2")
    chat.hear(WRITE)
    assert [one.id for one in chat.shop.orders] == ["2027-002", "2027-003"]


def test_put_back_after_another_was_written_both_stand() -> None:
    chat = Chat(planned())
    chat.hear(WRITE)
    chat.hear("undo")
    again = chat.buttons["Put it back"]
    chat.hear("order for Brackenfold: tin mug")
    chat.hear(again)
    assert sorted(one.id for one in chat.shop.orders) == ["2027-001", "2027-002"]


# --- as a page, as text ---------------------------------------------------------------------


def test_the_page_is_a_pdf_with_a_clear_name() -> None:
    chat = Chat(planned())
    chat.hear(WRITE)
    text = chat.touch("As a page")
    assert "You send it: I never do." in text
    (file,) = chat.outcome.files
    assert file.name == "Mossgate Field Club purchase order 2027-001 (2027-01-11).pdf"
    assert chat.outcome.replies[0].document == file.id
    assert chat.outcome.replies[0].document_name == file.name
    read = PdfReader(BytesIO(file.content)).pages[0]
    found = read.extract_text()
    for words in ("Purchase order", "2027-001", "Aldermoor", "4 Mill Lane", "1,889.50", "pin"):
        assert words in found
    assert round(float(read.mediabox.height)) == 842  # A4
    assert chat.changes == ()


@pytest.mark.parametrize(("country", "height"), [("US", 792), ("CA", 792), ("DE", 842)])
def test_the_paper_is_that_of_the_shops_country(country: str, height: int) -> None:
    chat = Chat(planned(country=country, subdivision=""))
    chat.hear(WRITE)
    chat.hear("order 1 as a page")
    (page,) = PdfReader(BytesIO(chat.outcome.files[0].content)).pages
    assert round(float(page.mediabox.height)) == height


def test_the_text_is_a_message_of_its_own_to_paste() -> None:
    chat = Chat(planned())
    chat.hear(WRITE)
    chat.touch("As text")
    pasted, about = chat.outcome.replies
    assert pasted.text.startswith("Purchase order 2027-001\n")
    assert "450 pieces at 3.10 = 1,395.00" in pasted.text
    assert pasted.buttons == ()
    assert "You send it" in about.text


def test_a_text_that_is_too_long_for_a_message_is_a_file() -> None:
    many = "; ".join(
        f"{a}{b} pin in a very long linen bag@Aldermoor 100 x 1.00"
        for a in "abcdef"
        for b in "ghijklmn"
    )
    chat = Chat(planned(f"2027-02 Frost: {many}"))
    chat.hear(WRITE)
    chat.touch("As text")
    (file,) = chat.outcome.files
    assert file.name.endswith(".txt")
    assert "48. " in file.content.decode()


def test_what_the_typeface_lacks_is_pointed_out() -> None:
    chat = Chat(planned(name="\u9727\u306e\u4f1a"))
    chat.hear(WRITE)
    assert "question mark" in chat.touch("As a page")
    assert "question mark" not in chat.touch("As text")


# --- changed --------------------------------------------------------------------------------


def test_a_line_is_changed_before_it_is_sent() -> None:
    chat = Chat(planned())
    chat.hear(WRITE)
    text = chat.say("order 2027-001: 480 notebooks at 2.95")
    assert lines(text)[:2] == [
        "Order 2027-001: field notebook (March) 480 at £2.95, was 450 at £3.10.",
        "Total £1,910.50 without carriage, was £1,889.50",
    ]
    assert "revision" not in text
    assert chat.shop.orders[0].revision == 0
    chat.hear("undo")
    assert chat.shop.orders[0].lines[0].quantity == 450


def test_after_it_is_sent_a_change_is_a_revision_of_the_same_number() -> None:
    chat = Chat(planned())
    chat.hear(WRITE)
    chat.hear("order 1 sent")
    text = chat.say("order 1: 500 notebooks")
    assert "Order 2027-001, revision 1: field notebook (March) 500" in text
    assert "this is a revision: send it again" in text
    chat.hear("order 1: 510 notebooks")
    assert chat.shop.orders[0].revision == 1
    assert "revision 1 not sent yet" in chat.say("orders")
    assert item(chat, MARCH_BOOK).quantity == 450
    chat.hear("order 1 sent")
    assert item(chat, MARCH_BOOK).quantity == 510
    chat.hear("order 1 as a page")
    assert "revision 1" in chat.outcome.files[0].name


def test_what_is_taken_off_a_sent_order_has_to_be_ordered_again() -> None:
    chat = Chat(planned())
    chat.hear(WRITE)
    chat.hear("order 1 sent")
    text = chat.say("take the pin off order 1")
    assert "pin (March) is off" in text
    assert "pin has to be ordered again." in text
    assert not is_ordered(chat.shop, item(chat, MARCH_PIN), TODAY)
    assert is_ordered(chat.shop, item(chat, MARCH_BOOK), TODAY)
    assert "Order 2027-002" in chat.say(WRITE)
    assert [line.item for line in chat.shop.orders[1].lines] == [MARCH_PIN]


def test_an_item_is_added_by_name() -> None:
    chat = Chat(planned())
    chat.hear(WRITE)
    assert "tea (May) is on, 200 at £1.20." in chat.say("add the tea to order 1")
    assert "as I" not in chat.say("orders")


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ("order 1: -5 notebooks", "is below zero"),
        ("order 9: 480 notebooks", "there is no order 9; the last is 2027-001"),
        ("order 2026-001 sent", "there is no order 2026-001"),
        ("order 1: 480 candles", "is not on order 2027-001; it has field notebook and pin"),
        ("order 1: notebooks at 2.95 EUR", "order 2027-001 is in GBP, not in EUR"),
        ("order 1: notebooks at -2.95", "below zero"),
        ("order 1: 450 notebooks", "Order 2027-001 says so already."),
        ("order 1 sent on 2027-02-01", "is still to come"),
        ("write the order for Oddname", "Oddname"),
        ("write an order", "I do not know for which supplier"),
    ],
)
def test_what_cannot_be_meant_is_said_and_changes_nothing(said: str, why: str) -> None:
    chat = Chat(planned())
    chat.hear(WRITE)
    before = plan_of(chat.shop)
    assert why in chat.say(said)
    if "Oddname" not in said:  # a thought is kept as an idea
        assert plan_of(chat.shop) == before
    assert len(chat.shop.orders) == 1


def test_the_last_line_stays() -> None:
    chat = Chat(planned())
    chat.hear(WRITE)
    chat.hear("take the pin off order 1")
    text = chat.say("take the notebook off order 1")
    assert "last line of order 2027-001" in text
    assert "drop order 2027-001" in text
    assert len(chat.shop.orders[0].lines) == 1


@pytest.mark.parametrize(
    ("facts", "said", "told"),
    [
        ({"minimum": 400}, "order 1: 100 notebooks", "field notebook is sold from 400 pieces"),
        ({"case_pack": 30}, "order 1: 100 notebooks", "comes in cases of 30: no whole cases"),
    ],
)
def test_against_a_suppliers_terms_she_may_insist(
    facts: dict[str, Any], said: str, told: str
) -> None:
    made = planned()
    items = tuple(replace(one, **facts) if one.id == MARCH_BOOK else one for one in made.items)
    chat = Chat(replace(made, items=items))
    chat.hear(WRITE)
    assert told in chat.say(said)
    assert chat.shop.orders[0].lines[0].quantity == 100


def test_a_name_that_two_lines_have_is_asked_about() -> None:
    made = planned("2027-04 Dew: field notebook@Aldermoor 420 x 3.10, lead 20d")
    chat = Chat(made)
    chat.hear("order for Aldermoor: field notebook for March, field notebook for April")
    assert "could be 2 items" in chat.say("order 1: 480 notebooks")
    label = next(label for label in chat.buttons if "April" in label)
    assert "field notebook (April) 480" in chat.touch(label)


# --- sent -----------------------------------------------------------------------------------


def test_saying_that_it_went_orders_its_items_in_one_commit() -> None:
    chat = Chat(planned())
    chat.hear(WRITE)
    chat.hear("order 1: 480 notebooks at 2.95")
    before = plan_of(chat.shop)
    text = chat.say("I sent the order to Aldermoor")
    assert lines(text)[:3] == [
        "Order 2027-001 went to Aldermoor on Mon 11 Jan.",
        "Ordered: field notebook and pin, pieces and prices as on it.",
        "All in hand by Tue 9 Mar",
    ]
    book = item(chat, MARCH_BOOK)
    assert (book.quantity, book.unit_cost) == (480, Decimal("2.95"))
    assert is_ordered(chat.shop, book, TODAY)
    assert chat.shop.orders[0].sent == TODAY
    assert "order field notebook" not in chat.say("what is due")
    chat.hear("undo")
    assert plan_of(chat.shop) == before


def test_a_day_can_be_said() -> None:
    chat = Chat(planned())
    chat.hear(WRITE)
    chat.hear("order 1 sent yesterday")
    assert chat.shop.orders[0].sent == date(2027, 1, 10)
    assert "was sent Sun 10 Jan, as I have it" in chat.say("order 1 sent")
    assert chat.changes == ()


def test_what_was_sent_stays_as_it_was_sent() -> None:
    chat = Chat(planned())
    chat.hear(WRITE)
    chat.hear("order 1 sent")
    before = chat.shop.orders
    chat.hear("deliver to Old Dairy, Hawes")
    chat.hear("pin costs 9.99")
    assert "4 Mill Lane" in chat.say("order 1 as text")
    assert "430 pin at £1.15" in chat.say("order 1")
    assert chat.shop.orders == before


# --- withdrawn, listed ----------------------------------------------------------------------


def test_an_order_that_went_out_is_withdrawn_with_what_follows() -> None:
    chat = Chat(planned())
    chat.hear(WRITE)
    chat.hear("order 1 sent")
    text = chat.say("cancel order 1")
    assert lines(text) == [
        "Order 2027-001 is withdrawn. Its number is not used again.",
        "It was sent: tell Aldermoor, I never do.",
        "field notebook and pin have to be ordered again.",
    ]
    assert not is_ordered(chat.shop, item(chat, MARCH_PIN), TODAY)
    assert "withdrawn already" in chat.say("drop order 1")
    assert "is withdrawn" in chat.say("order 1: 480 notebooks")
    assert "is withdrawn" in chat.say("order 1 sent")
    chat.hear("undo")
    assert is_ordered(chat.shop, item(chat, MARCH_PIN), TODAY)


def test_an_order_that_waits_is_withdrawn_quietly() -> None:
    chat = Chat(planned())
    chat.hear(WRITE)
    text = chat.say("drop order 1")
    assert "tell" not in text
    assert "again." in text
    assert "withdrawn" in chat.say("orders")


def test_orders_are_listed_the_newest_first() -> None:
    chat = Chat(planned())
    assert "No order is written yet" in chat.say("orders")
    chat.hear(WRITE)
    chat.hear("order 1 sent")
    assert "No order to Brackenfold is written yet" in chat.say("orders to Brackenfold")
    chat.hear("order for Brackenfold: tin mug")
    assert lines(chat.say("orders"))[1:] == [
        "2027-002 Brackenfold, £1,680.00, not sent yet",
        "2027-001 Aldermoor, £1,889.50, sent Mon 11 Jan",
    ]
    assert list(chat.buttons) == ["2027-002", "2027-001"]
    assert chat.say("2").startswith("Order 2027-001 for Aldermoor\nSent Mon 11 Jan")
    assert lines(chat.say("orders to Aldermoor"))[1:] == [
        "2027-001 Aldermoor, £1,889.50, sent Mon 11 Jan"
    ]


def test_an_order_is_not_an_item_and_an_item_not_an_order() -> None:
    chat = Chat(planned())
    chat.hear(WRITE)
    chat.hear("the pin order is sent")
    assert chat.shop.orders[0].sent is None
    assert is_ordered(chat.shop, item(chat, MARCH_PIN), TODAY)


# --- what buttons say -----------------------------------------------------------------------

SAID: list[tuple[str, Request]] = [
    (says.write_order("Aldermoor"), WriteOrder("aldermoor")),
    (now(says.write_order("Aldermoor")), WriteOrder("aldermoor", sure=True)),
    (says.write_order("Aldermoor", (PENCIL,)), WriteOrder("aldermoor", (PENCIL,))),
    (
        now(says.write_order("Aldermoor", (NOTEBOOK, PENCIL))),
        WriteOrder("aldermoor", (NOTEBOOK, PENCIL), sure=True),
    ),
    (says.show_order("2026-004"), ShowOrder("2026-004")),
    (says.show_order("2026-004", "page"), ShowOrder("2026-004", "page")),
    (says.show_order("2026-004", "text"), ShowOrder("2026-004", "text")),
    (says.list_orders(), ListOrders()),
    (says.list_orders("Aldermoor"), ListOrders("aldermoor")),
    (says.revise("2026-004", CADDY, 480), ReviseOrder("2026-004", CADDY, 480)),
    (says.revise("2026-004", CADDY, 0), ReviseOrder("2026-004", CADDY, 0)),
    (
        says.revise("2026-004", MAY_PIN, 5, Decimal("2.95")),
        ReviseOrder("2026-004", MAY_PIN, 5, Decimal("2.95")),
    ),
    (
        says.revise("2026-004", MAY_PIN, None, Decimal("0.125")),
        ReviseOrder("2026-004", MAY_PIN, None, Decimal("0.125")),
    ),
    (says.revise("2026-004", MAY_PIN), ReviseOrder("2026-004", MAY_PIN)),
    (says.order_sent("2026-004"), OrderSent("2026-004")),
    (
        says.order_sent("2026-004", date(2026, 11, 20)),
        OrderSent("2026-004", date(2026, 11, 20)),
    ),
    (says.drop_order("2026-004"), DropOrder("2026-004")),
]


@pytest.mark.parametrize(("sentence", "meant"), SAID, ids=lambda x: str(x)[:60])
def test_a_button_means_what_it_was_made_for(sentence: str, meant: Request) -> None:
    assert understand(sentence, SHOP, Talk(id=""), THURSDAY) == (meant,)


def test_a_button_names_a_supplier_whatever_it_is_called() -> None:
    names = ("Wick & Sons", "The Order: Press", "Orders of March", "Tannwald now", 'A "B" Fern')
    for name in names:
        named = replace(SHOP.suppliers[0], name=name)
        made = replace(SHOP, suppliers=(named, *SHOP.suppliers[1:]))
        for sentence, meant in (
            (says.write_order(name), WriteOrder("aldermoor")),
            (says.list_orders(name), ListOrders("aldermoor")),
        ):
            assert understand(sentence, made, Talk(id=""), THURSDAY) == (meant,)


def test_the_order_is_asked_for_where_several_wait() -> None:
    waits = replace(SHOP.orders[0], sent=None)
    made = replace(SHOP, orders=(waits, SHOP.orders[1]))
    asked = understand("the order is sent", made, TALK, THURSDAY)
    assert isinstance(asked, Question)
    assert "2 orders wait to be sent" in asked.text
    assert understand(asked.options[0].says, made, TALK, THURSDAY) == (OrderSent("2026-004"),)


def test_the_same_goods_have_one_price_on_an_order_and_are_named_once() -> None:
    made = planned("2027-04 Nests: field notebook@Aldermoor 450 x 3.10, lead 20d")
    items = (
        replace(one, breaks=(Break(800, Decimal("2.60")),)) if one.id == MARCH_BOOK else one
        for one in made.items
    )
    chat = Chat(replace(made, items=tuple(items)))
    chat.say(says.write_order("Aldermoor", (MARCH_BOOK, "2027-04.field notebook")))
    (order,) = chat.shop.orders
    assert {line.unit_price for line in order.lines} == {Decimal("2.60")}
    text = chat.say(f"order {order.id} sent")
    assert "Ordered: field notebook (March and April), pieces and prices as on it." in text


def test_what_they_say_after_an_order_is_about_its_only_item() -> None:
    chat = Chat(planned())
    chat.say(says.write_order("Aldermoor", (MARCH_BOOK,)))
    chat.say(f"order {chat.shop.orders[0].id} sent")
    assert "Promised for Mon 1 Mar: field notebook (March)." in chat.say("they say 1 March")
