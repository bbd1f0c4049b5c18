"""Messages of several lines: all or nothing, but what is so already is in nobody's way."""

import pytest

from tests.conversation.chat import Chat, plan_of
from tests.trade import shop


@pytest.fixture
def chat() -> Chat:
    return Chat(
        shop(
            "Aldermoor DE",
            "2027-03 Rain: field notebook@Aldermoor 450 x 3.10, lead 20d; tea 450 x 1.20",
        )
    )


ALREADY = [
    "March theme Rain",
    "add to March: field notebook from Aldermoor, 3.10",
    "add to March: tea",
    "notebook costs 3.10",
    "move the tea to March",
    "ship day the 15th or the working day before",
    "March ships by the rule again",
    "Aldermoor is in Germany",
    "Aldermoor closed 2 to 20 August every year",
    "we are in England",
    "open again: order tea for 2027-03",
]


@pytest.mark.parametrize("line", ALREADY)
def test_a_line_that_is_so_already_keeps_no_other_line_from_being_done(
    chat: Chat, line: str
) -> None:
    chat.say("ship day the 15th or the working day before")
    chat.say("Aldermoor closed 2 to 20 August every year")
    before = plan_of(chat.shop)
    alone = chat.say(line)
    assert chat.changes == ()
    assert plan_of(chat.shop) == before
    assert "already" in alone.casefold()
    said = chat.say(f"April theme moss\n{line}\nMay theme swifts")
    assert {"2027-04", "2027-05"} <= {box.id for box in chat.shop.boxes}
    assert "Nothing" not in said
    assert "already" in said.casefold()


def test_a_year_typed_again_changes_nothing_and_says_so(chat: Chat) -> None:
    year = "March theme Rain\nadd to March: tin mug from Tannwald, 4.20\nMay theme swifts"
    chat.say(year)
    after = plan_of(chat.shop)
    said = chat.say(year)
    assert plan_of(chat.shop) == after
    assert chat.changes == ()
    assert said.count("already") == 3


YEAR = """ship day the 15th or the working day before
we are 260
March theme soda and soul
add to March: dough scraper from Tannwald, 2.10, 25 working days, made in Germany
it costs 2.20
Tannwald closed 1-6 January
Tannwald deposit 30%
May theme midsummer
move the scraper to May
rename the scraper to bench scraper"""


def test_a_line_may_name_what_an_earlier_line_of_the_message_makes() -> None:
    alone = Chat()
    for line in YEAR.split("\n"):
        alone.hear(line)
    whole = Chat()
    said = whole.say(YEAR)
    assert "Moved dough scraper from March to May" in said
    facts = [(one.name, one.box, one.unit_cost) for one in whole.shop.items]
    assert facts == [(one.name, one.box, one.unit_cost) for one in alone.shop.items]
    assert [one.closures for one in whole.shop.suppliers] == [
        one.closures for one in alone.shop.suppliers
    ]
    whole.say("undo")
    assert (whole.shop.items, whole.shop.boxes, whole.shop.suppliers) == ((), (), ())


def test_many_things_are_told_in_brief_with_what_comes_next() -> None:
    chat = Chat()
    said = chat.say(
        "March theme soda\nadd to March: candle from Tannwald, 2.10\nwe are 260\nMay theme swifts"
    )
    first, *_, last = lines = said.splitlines()
    assert first == 'March: theme "soda".'
    assert "New supplier: Tannwald." in lines
    assert any(line.startswith("Caution, candles") for line in lines)
    assert last.startswith("Next: ")
    assert len(lines) == 7
    assert next(iter(chat.buttons)) == "Undo"


def test_a_few_things_are_told_whole() -> None:
    said = Chat().say("March theme soda\nMay theme swifts")
    assert said.count("Ships ") == 2
    assert "Next: " not in said


def test_the_question_is_about_the_first_line_that_stays_unclear(chat: Chat) -> None:
    before = plan_of(chat.shop)
    said = chat.say(f"{YEAR}\nmove the whisk to June")
    assert said.startswith('Nothing was done yet. Line 11, "move the whisk to June": ')
    assert plan_of(chat.shop) == before


def test_what_is_refused_in_a_later_line_undoes_nothing_and_does_nothing(chat: Chat) -> None:
    before = plan_of(chat.shop)
    said = chat.say(
        "add to May: mug from Tannwald\nTannwald deposit 30%\nmove the mug to March 2020"
    )
    assert "Nothing was done yet" in said
    assert plan_of(chat.shop) == before


def test_another_item_of_a_name_is_refused_and_nothing_of_the_message_is_done(chat: Chat) -> None:
    before = plan_of(chat.shop)
    said = chat.say("April theme moss\nadd to March: tea from Brackenfold, 2.40")
    assert plan_of(chat.shop) == before
    assert said.startswith("Nothing of this message was done, because of part 2 of 2:")
    example = said.partition("for example: ")[2]
    chat.say(example)
    assert [item.name for item in chat.shop.items][-1] == "second tea"
