"""A box looked back on, suppliers' records, a year's lessons: whole conversations.

Shops, suppliers, goods and answers are invented.
"""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.conversation.month_requests import (
    KeepLeftovers,
    LookBack,
    NoteOpinion,
    ShowLessons,
    ShowRecord,
    ShowStock,
    UseStock,
)
from assistant.conversation.requests import Question, Request
from assistant.conversation.sentences import learning as says
from assistant.conversation.understand import understand
from assistant.planning.model import (
    Mark,
    Opinion,
    Person,
    RecurringType,
    Sent,
    Shop,
    Stock,
    Talk,
)
from tests.conversation.chat import Chat
from tests.conversation.meant import MUGS, NOTEBOOK, SHOP, TODAY
from tests.conversation.shipped import BOOK, MUG, at, chat, refused, shipped

# --- a box looked back on -------------------------------------------------------------------


def test_a_box_against_its_plan_in_nine_lines() -> None:
    one = chat()
    text = refused(one, "how did March go")
    assert text.split("\n") == [
        "March: how it went",
        "Shipped Wed 17 Mar, 2 days after Mon 15 Mar.",
        "418 boxes packed, 2 fewer than expected.",
        "£9.93 a box, planned £9.75: £0.18 more.",
        "Late: field notebook 3 days.",
        "Short: field notebook 48. Broken: field notebook 6.",
        "Packed in 9 hours of work: 46.4 boxes an hour each.",
        "Nothing noted as left over. Say: 38 notebooks left over from March",
    ]
    whole = one.touch("Item by item").split("\n")
    assert whole[1] == (
        "field notebook: promised Wed 3 Mar, 3 days late, 412 of 460, 6 broken, £3.00 each, "
        "planned £3.10"
    )
    assert whole[3] == "lamp: nothing noted"
    assert one.touch("In short") == text


def test_what_was_planned_is_kept_when_first_looked_back_on() -> None:
    one = chat()
    one.hear("how did March go")
    (kept,) = one.shop.sent
    assert (kept.id, kept.on, kept.planned_on) == (
        "2027-03",
        date(2027, 3, 17),
        date(2027, 3, 15),
    )
    one.hear("ship day the 10th or the working day before")
    assert "2 days after Mon 15 Mar" in one.say("how did March go")
    assert [entry.why for entry in one.shop.recent] == [
        "ship day the 10th or the working day before"
    ]


def test_what_is_noted_later_is_told_later() -> None:
    one = chat()
    one.hear("how did March go")
    one.hear("38 notebooks left over from March")
    one.hear("lamp scored 4.6 from 38 answers")
    one.hear("mug scored 2 from 30 answers")
    one.hear("March scored 4.1 from 40 answers")
    text = one.say("look back on March")
    assert "Left over: field notebook 38." in text
    assert "The box: 4.1 of 5 from 40 answers. Loved: lamp 4.6 (38). Not loved: mug 2 (30)." in text
    assert len(text.split("\n")) == 9


def test_a_box_that_has_not_gone_out() -> None:
    one = chat()
    text = refused(one, "how did April go")
    assert "April ships Thu 15 Apr. It can be looked back on when it has gone out." in text
    assert "is not in the plan" in refused(one, "how did July go")
    late = chat(replace(shipped(), ledger=()))
    assert "was to ship Mon 15 Mar and is not marked as gone out" in refused(
        late, "look back on 2027-03"
    )
    late.touch("It has gone out")
    assert late.say("how did March go").startswith("March: how it went")


def test_the_last_box_is_meant_where_none_is_named() -> None:
    assert chat().say("how did it go").startswith("March: how it went")
    assert "no box has gone out yet" in refused(Chat(), "how did it go")


def test_without_purchases_nothing_is_made_up() -> None:
    bare = replace(shipped(), purchases=(), deliveries=(), runs=())
    text = chat(bare).say("how did March go")
    assert "420 boxes expected; none were counted when packing." in text
    assert "Planned at £9.75 a box; what was paid is not noted." in text
    assert "Late" not in text
    assert "Packed" not in text


def test_a_price_that_is_not_known_is_named() -> None:
    one = chat(shipped("2027-02 Frost: pin"))
    one.shop = replace(
        one.shop, ledger=(*one.shop.ledger, Mark("2027-02/ship", "done", at=at(1, 9)))
    )
    assert "No cost: no price of pin is known." in one.say("how did February go")


def test_a_helper_is_told_no_money() -> None:
    one = chat()
    helper = Person(id="p9", chat="telegram:9", name="Jo")
    one.shop = replace(one.shop, people=(*one.shop.people, helper))
    text = one.say("how did March go", sender="telegram:9")
    assert "418 boxes packed" in text
    assert "£" not in text
    assert "£" not in one.say("look back on 2027-03 item by item", sender="telegram:9")


# --- a supplier's record --------------------------------------------------------------------


def test_a_record_promised_and_actual() -> None:
    one = chat()
    text = refused(one, "how reliable is Aldermoor")
    assert text.startswith("Aldermoor: promised and actual")
    assert "2 deliveries: 1 of 2 on time" in text
    assert "quoted 20." in text
    assert "• field notebook: promised Wed 3 Mar, came Sat 6 Mar" in text
    assert len(text.split("\n")) <= 9


def test_its_own_lead_time_is_proposed_and_never_written_by_itself() -> None:
    one = chat()
    before = one.shop.suppliers
    one.hear("Aldermoor's record")
    (label,) = [label for label in one.buttons if label.startswith("Plan with")]
    assert one.shop.suppliers == before
    one.touch(label)
    (supplier,) = one.shop.suppliers
    assert supplier.lead is not None
    assert f"Plan with {supplier.lead.days} working days" == label
    one.hear("record of Aldermoor")
    assert not any(label.startswith("Plan with") for label in one.buttons)


def test_a_supplier_without_a_record() -> None:
    text = refused(chat(shipped("Brackenfold")), "Brackenfold's record")
    assert "has no record yet" in text


# --- lessons --------------------------------------------------------------------------------

SAID = (
    Opinion(BOOK, "2027-03", BOOK, "field notebook", "notebook", Decimal("4.6"), 38),
    Opinion(MUG, "2027-03", MUG, "mug", "", Decimal("2.1"), 30),
    Opinion("2027-03", "2027-03", score=Decimal("4.2"), answers=40),
)


def learnt(*more: str) -> Shop:
    return replace(shipped(*more), opinions=SAID)


def test_a_year_in_nine_lines() -> None:
    one = chat(learnt())
    text = refused(one, "what did we learn")
    assert text.startswith("Lessons of 2027, from 1 box")
    assert "Loved: notebook 4.6 (38)." in text
    assert "Not loved: mug 2.1 (30)." in text
    assert "Themes used: Rain and roots 4.2." in text
    assert "Out on the day or before: 0 of 1; £9.93 a box, planned £9.75." in text
    assert "Real lead times: Aldermoor" in text
    assert "Pace: 46.4 boxes an hour each." in text
    assert len(text.split("\n")) <= 9
    assert set(one.buttons) == {"Plan 2028", "What is left over", "The last box"}


def test_a_year_without_lessons() -> None:
    assert "There are lessons of 2027." in refused(chat(learnt()), "lessons of 2025")
    assert "No box has gone out yet" in refused(Chat(), "what did we learn")
    assert "No opinions are noted" in refused(chat(), "lessons of 2027")


def test_the_next_year_begins_from_it() -> None:
    one = chat(learnt())
    assert "Rain and roots (loved in 2027: 4.2 of 5 from 40)" in one.say("prompts for 2028-02")
    assert "March had" in one.say("2028-02 theme: rain and roots")
    assert "Mug was not loved before: 2.1 of 5 from 30 answers." in one.say("mug 4 times a year")
    assert "Notebook was loved before: 4.6 of 5 from 38 answers." in one.say(
        "notebook 3 times a year"
    )


def test_a_spread_tells_which_types_were_not_loved() -> None:
    types = (RecurringType("mug", "mug", 3), RecurringType("notebook", "notebook", 3))
    one = chat(replace(learnt(), types=types))
    text = one.say("spread the types over 2028")
    assert "Mug was not loved before" in text
    assert "Notebook was" not in text


def test_a_new_item_is_told_what_was_learnt_of_its_like() -> None:
    one = chat(learnt())
    text = one.say("add to June: mug from Aldermoor, 2.00")
    assert "Mug was not loved before: 2.1 of 5 from 30 answers." in text
    assert "Aldermoor really took" in text
    (label,) = [label for label in one.buttons if label.startswith("Plan with")]
    assert [item.lead for item in one.shop.items][-1] is None
    one.touch(label)
    assert [item.lead for item in one.shop.items][-1] is not None
    assert "really took" not in one.say("add to June: cup from Aldermoor, lead 30 working days")


# --- what buttons say -----------------------------------------------------------------------

ITEM = "field notebook for 2027-03"
SENTENCES: list[tuple[str, Request]] = [
    (says.look_back("2027-03"), LookBack("2027-03")),
    (says.look_back("2027-03b"), LookBack("2027-03b")),
    (says.look_back("2027-03", whole=True), LookBack("2027-03", whole=True)),
    (says.record_of("Aldermoor"), ShowRecord("aldermoor")),
    (says.keep_leftovers(SHOP, NOTEBOOK, 38), KeepLeftovers(NOTEBOOK, 38)),
    (
        says.keep_leftovers(SHOP, NOTEBOOK, 38, date(2027, 6, 1)),
        KeepLeftovers(NOTEBOOK, 38, date(2027, 6, 1)),
    ),
    (says.show_stock(), ShowStock()),
    (says.use_stock(MUGS, "2027-05"), UseStock(MUGS, "2027-05")),
    (says.use_stock(MUGS, "2027-05", 12), UseStock(MUGS, "2027-05", 12)),
    (
        says.opinion(SHOP, NOTEBOOK, "2027-03", Decimal("8.2"), 10, 38),
        NoteOpinion("2027-03", NOTEBOOK, Decimal("8.2"), 10, 38),
    ),
    (
        says.opinion(SHOP, "", "2027-03", Decimal(4), 5, 0),
        NoteOpinion("2027-03", "", Decimal(4), 5, 0),
    ),
    (says.lessons(), ShowLessons()),
    (says.lessons(2026), ShowLessons(2026)),
]


@pytest.mark.parametrize(("sentence", "meant"), SENTENCES, ids=lambda x: str(x)[:60])
def test_a_button_means_what_it_was_made_for(sentence: str, meant: Request) -> None:
    assert understand(sentence, SHOP, Talk(id=""), TODAY) == (meant,)


@given(st.text(max_size=40))
def test_no_words_raise(words: str) -> None:
    for start in ("how did ", "lamp scored ", "use the leftover ", "38 left over of ", "lessons "):
        found = understand(start + words, SHOP, Talk(id=""), TODAY)
        assert isinstance(found, Question | tuple)


@pytest.mark.parametrize(
    "thought",
    [
        "a lamp that people loved at the fair",
        "the record shop on the corner",
        "leftover wool, felted",
        "a tea with four stars on the tin",
        "lessons in lino printing",
        "a stock pot for soup",
    ],
)
def test_a_thought_about_such_things_is_kept(thought: str) -> None:
    one = chat()
    one.hear(thought)
    kept = [idea.text for idea in one.shop.ideas]
    assert kept == [thought] or "Keep it as an idea" in one.buttons
    assert one.shop.stock == ()
    assert one.shop.opinions == ()


def test_sent_is_only_remembered() -> None:
    one = chat()
    one.hear("how did March go")
    assert isinstance(one.shop.sent[0], Sent)
    assert one.outcome.changes == ()


def test_stock_of_a_shop_is_the_shops() -> None:
    assert SHOP.stock[0] == Stock(MUGS, "tin mug", 12, date(2026, 10, 20), "2026-10")
