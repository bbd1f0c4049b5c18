"""The workbook in chat: sent, changed, sent back; what a helper gets. Everything is invented."""

import io
from datetime import UTC, datetime
from decimal import Decimal

import pytest
from hypothesis import given
from msgspec.structs import replace
from openpyxl import Workbook, load_workbook

from assistant.conversation.file_requests import SendSheet, SendWorkbook
from assistant.conversation.messages import File
from assistant.conversation.sentences import workbook as says
from assistant.conversation.understand import understand
from assistant.planning.model import Person, Shop
from assistant.sheets.workbook_tables import SHEETS
from tests.conversation.chat import Chat, plan_of
from tests.conversation.meant import SHOP, TALK, TODAY
from tests.conversation.rich import HELPER, NOW, RICH, leaks
from tests.sheets.books import saved
from tests.sheets.plans import plans
from tests.trade import shop

AT = datetime(2026, 11, 25, 9, tzinfo=UTC)


def a_shop() -> Shop:
    return shop(
        "Aldermoor DE",
        "2027-03 Rain and roots: field notebook@Aldermoor 450 x 3.10, lead 20d; oat biscuits",
        "2027-05 First swifts: mint tea 450 x 1.20",
        name="Mossgate Field Club",
    )


def sent(chat: Chat) -> File:
    """The only file that was sent, which one reply carries under its name."""
    [file] = chat.outcome.files
    [reply] = [one for one in chat.outcome.replies if one.document == file.id]
    assert reply.document_name == file.name
    return file


def opened(file: File) -> Workbook:
    return load_workbook(io.BytesIO(file.content))


def send(chat: Chat, content: bytes, name: str) -> str:
    return chat.say("", document="file/1", document_name=name, content=content)


# --- sent -----------------------------------------------------------------------------------


def test_the_workbook_is_sent_under_the_shops_name_and_changes_nothing() -> None:
    chat = Chat(a_shop(), AT)
    text = chat.say("send me the workbook")
    file = sent(chat)
    assert file.name == "Mossgate Field Club workbook (2026-11-25).xlsx"
    assert text.startswith("The workbook\n2 boxes, 3 items, 1 supplier and ")
    assert "send it back" in text
    assert opened(file).sheetnames == ["Year", "Items", "Suppliers", "Orders", "Cash"]
    assert list(chat.buttons) == ["Items as CSV", "Year as CSV"]
    assert chat.changes == ()


def test_one_year_of_it() -> None:
    made = a_shop()
    chat = Chat(replace(made, boxes=(*made.boxes, *shop("2028-01 Thaw").boxes)), AT)
    assert "1 box" in chat.say("workbook 2028")
    assert sent(chat).name == "Mossgate Field Club workbook 2028 (2026-11-25).xlsx"
    assert chat.buttons["Items as CSV"] == "items as csv 2028"
    text = chat.say("workbook 2031")
    assert text == "No box is planned for 2031. The plan has boxes of 2027 and 2028."
    assert list(chat.buttons) == ["2027", "2028"]
    chat.touch("2028")
    assert sent(chat).name.endswith("workbook 2028 (2026-11-25).xlsx")


def test_the_buttons_lead_to_csv_and_back() -> None:
    chat = Chat(a_shop(), AT)
    chat.say("workbook")
    text = chat.touch("Items as CSV")
    assert text.startswith("Items as CSV\n3 items.")
    file = sent(chat)
    assert file.name == "Mossgate Field Club items (2026-11-25).csv"
    assert file.content.startswith(b"\xef\xbb\xbfMonth,Theme,Item,")
    assert list(chat.buttons) == ["The workbook", "Year as CSV"]
    chat.touch("The workbook")
    assert sent(chat).name.endswith(".xlsx")


@pytest.mark.parametrize("year", [None, 2027])
def test_what_the_buttons_say_is_understood(year: int | None) -> None:
    found = understand(says.workbook(year), SHOP, TALK, TODAY)
    assert found in (SendWorkbook(year), (SendWorkbook(year),))
    for sheet in SHEETS:
        wanted = SendSheet(sheet, year)
        assert understand(says.csv(sheet, year), SHOP, TALK, TODAY) in (wanted, (wanted,))


def test_nothing_to_send() -> None:
    chat = Chat(now=AT)
    assert chat.say("workbook").startswith("Nothing is planned yet")
    assert chat.say("items as csv").startswith("Nothing is planned yet")
    chat = Chat(shop("2027-03 Rain"), AT)
    assert (
        chat.say("orders as csv")
        == "There is no line of an order yet, so that file would be empty."
    )
    assert chat.outcome.files == ()


# --- sent back ------------------------------------------------------------------------------


@pytest.mark.parametrize("words", ["workbook", "items as csv", "year as csv"])
def test_what_was_sent_can_be_sent_back_and_changes_nothing(words: str) -> None:
    chat = Chat(a_shop(), AT)
    chat.say(words)
    file = sent(chat)
    text = send(chat, file.content, file.name)
    assert "Nothing in it is new: the plan stays as it is." in text
    assert "Not read" not in text
    assert chat.changes == ()


def test_a_workbook_makes_the_plan_anew_in_an_empty_shop() -> None:
    hers = Chat(a_shop(), AT)
    hers.say("workbook")
    file = sent(hers)
    other = Chat(now=AT)
    assert "New: 2 boxes, 3 items and 1 supplier." in send(other, file.content, file.name)
    other.touch("Bring it in")
    assert [(one.id, one.theme, one.ship_on) for one in other.shop.boxes] == [
        ("2027-03", "Rain and roots", None),
        ("2027-05", "First swifts", None),
    ]
    assert [(one.name, one.quantity, one.unit_cost) for one in other.shop.items] == [
        ("field notebook", 450, Decimal("3.1")),
        ("oat biscuits", None, None),
        ("mint tea", 450, Decimal("1.2")),
    ]


def test_cells_changed_by_hand_are_told_and_nothing_is_half_done() -> None:
    chat = Chat(a_shop(), AT)
    chat.say("workbook")
    file = sent(chat)
    book = opened(file)
    book["Items"]["A2"] = "Febtember"  # no month
    book["Items"]["C3"] = "oat cakes"  # another item
    book["Year"]["D2"] = "soon"  # no date
    before = plan_of(chat.shop)
    text = send(chat, saved(book), file.name)
    assert "Items, row 2: A2 says “Febtember”, which is no month" in text
    assert "Year, row 2: D2 says “soon”, which is no date" in text
    assert plan_of(chat.shop) == before
    chat.touch("Bring it in")
    assert [one.name for one in chat.shop.items if one.box == "2027-03"] == [
        *("field notebook", "oat biscuits", "oat cakes"),
    ]
    chat.touch("Undo")
    assert plan_of(chat.shop) == before


# --- who may see money ----------------------------------------------------------------------


@pytest.mark.parametrize("words", ["workbook", "items as csv", "suppliers as csv", "year as csv"])
def test_a_helper_gets_it_without_money(words: str) -> None:
    chat = Chat(RICH, NOW)
    outcome = chat.hear(words, sender=HELPER)
    assert leaks(outcome, words) == []
    file = sent(chat)
    if file.name.endswith(".xlsx"):
        book = opened(file)
        assert book.sheetnames == ["Year", "Items", "Suppliers"]
        cells = [cell for page in book.worksheets for row in page.iter_rows() for cell in row]
        assert not [cell for cell in cells if "[$" in cell.number_format]
        held = " ".join(str(cell.value) for cell in cells)
    else:
        held = file.content.decode()
    for secret in ("3.17", "2.93", "46.83", "263.71", "18.37", "12.47", "Unit cost", "Currency"):
        assert secret not in held


@pytest.mark.parametrize("words", ["orders as csv", "cash as csv"])
def test_a_helper_is_refused_what_is_money_alone(words: str) -> None:
    chat = Chat(RICH, NOW)
    text = chat.say(words, sender=HELPER)
    assert "Money is for the owners to see" in text
    assert chat.outcome.files == ()


def test_a_helper_who_may_see_money_gets_all_of_it() -> None:
    people = tuple(
        replace(one, money=True) if isinstance(one, Person) else one for one in RICH.people
    )
    chat = Chat(replace(RICH, people=people), NOW)
    chat.hear("workbook", sender=HELPER)
    assert "Cash" in opened(sent(chat)).sheetnames


def test_what_a_helper_sends_back_takes_no_money_away() -> None:
    chat = Chat(RICH, NOW)
    chat.hear("workbook", sender=HELPER)
    file = sent(chat)
    text = send(chat, file.content, file.name)
    assert "Nothing in it is new" in text


@given(plans())
def test_any_plan_can_be_sent_and_sent_back(made: Shop) -> None:
    chat = Chat(made, AT)
    chat.say("workbook")
    file = sent(chat)
    assert "Nothing in it is new" in send(chat, file.content, file.name)
