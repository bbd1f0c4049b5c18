"""Goods that carry duties, said, asked and shown: whole conversations. Shops, suppliers and goods
are invented."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.conversation.month_requests import AnswerCaution, ShowCautions
from assistant.conversation.replies import cautions as replies
from assistant.conversation.requests import Request
from assistant.conversation.sentences import cautions as says
from assistant.conversation.understand import understand
from assistant.planning.model import Item, Mark, Shop, Talk
from assistant.planning.month.cautions import ASKED_OF, PERMITTING
from tests.conversation.chat import Chat, plan_of
from tests.conversation.meant import BISCUITS, SHOP, TODAY
from tests.trade import house, shop

CELLS, FOOD, MELTS = "lithium cells and batteries", "food and drink", "goods that melt"
KINDS = [rule.goods for rule in house().cautions]
YEAR = ("Aldermoor: lead 5d, transit 3d", "2027-05 Rain", "2027-06 Swifts", "2027-10 Hearth")
LAST_WORD = "The last word have your carrier, your local authority and a qualified adviser."


def planned(*more: str) -> Chat:
    return Chat(shop(*YEAR, *more))


def permits(text: str) -> list[str]:
    return [word for word in PERMITTING if word in text.casefold()]


# --- when an item is planned ----------------------------------------------------------------


def test_one_line_says_what_to_check_and_a_button_shows_the_rest() -> None:
    chat = planned()
    text = chat.say("add to October: oat biscuits from Aldermoor, 2.60")
    (line,) = [one for one in text.splitlines() if "Caution" in one]
    assert line.startswith("Caution, food and drink: ask your local authority")
    shown = chat.touch("What to check")
    assert shown.startswith("What to check: oat biscuits (October)")
    assert "Food and drink\nNow: " in shown
    assert "Best-before dates\nNow: " in shown
    assert shown.endswith(LAST_WORD)


def test_goods_without_duties_are_not_spoken_of() -> None:
    chat = planned()
    text = chat.say("add to October: field notebook from Aldermoor, 3.10")
    assert "Caution" not in text
    assert "What to check" not in chat.buttons


def test_several_kinds_are_named_in_one_line() -> None:
    text = planned().say("add to October: soap with a seed packet and a penknife")
    (line,) = [one for one in text.splitlines() if "Caution" in one]
    assert line == (
        "Caution, cosmetics; knives and blades; seeds and plants: before you order, check the "
        "current rules of your carrier and local authority, or ask a qualified adviser."
    )


def test_a_kind_is_told_once_however_many_items_a_message_plans() -> None:
    chat = planned()
    text = chat.say("add to October: mint tea; add to October: oat biscuits")
    assert text.count("Caution, food and drink") == 1
    assert "Caution, food and drink" in chat.say("add to October: barley tea")


def test_a_change_tells_only_what_is_new() -> None:
    chat = planned("2027-11: lantern walk kit; tea")
    assert "Caution" not in chat.say("tea 420 pieces")
    assert "Caution, knives and blades: " in chat.say("rename lantern walk kit to penknife")
    assert "Caution" not in chat.say("penknife costs 3.10")


def test_taking_an_idea_or_moving_an_item_tells_it_too() -> None:
    chat = planned()
    chat.hear("Idea: beeswax candles")
    chat.hear("ideas")
    assert "Caution, candles and incense" in chat.say("use 1 in October")
    text = chat.say("move beeswax candles to June")
    assert "in hot months: beeswax candles may melt" in text
    assert "Caution, " not in text


# --- asked, not assumed ---------------------------------------------------------------------


def test_what_is_unsure_is_asked_and_yes_is_taken_down() -> None:
    chat = planned()
    text = chat.say("add to October: clip-on lamp")
    assert text.endswith("Does the clip-on lamp hold a lithium cell or another battery?")
    assert "Caution" not in text
    text = chat.touch("Yes")
    assert "Noted: clip-on lamp (October), lithium cells and batteries." in text
    assert "Caution, lithium cells and batteries: ask your carrier" in text
    (lamp,) = chat.shop.items
    assert lamp.goods == ((CELLS, True),)


@pytest.mark.parametrize("no", ["no", "No.", "nope", "no battery in the lamp"])
def test_no_silences_the_kind(no: str) -> None:
    chat = planned()
    chat.hear("add to October: clip-on lamp")
    assert "Noted: clip-on lamp (October), nothing of lithium cells" in chat.say(no)
    assert chat.shop.items[0].goods == ((CELLS, False),)
    assert "hold a lithium cell" not in chat.say("clip-on lamp costs 4.20")
    text = chat.say("what must I check for the lamp")
    assert "hold a lithium cell" not in text
    assert "Caution" not in text
    assert "That says nothing of what applies to it" in text


def test_yes_can_be_typed_and_taken_back() -> None:
    chat = planned()
    chat.hear("add to October: clip-on lamp")
    before = plan_of(chat.shop)
    assert "Caution, lithium" in chat.say("yes")
    chat.hear("undo")
    assert plan_of(chat.shop) == before


def test_questions_come_one_after_the_other_and_none_twice() -> None:
    chat = planned()
    text = chat.say("add to June: honey soap")
    assert "anything to eat or drink in the honey soap? (then 1 more)" in text
    text = chat.touch("No")
    assert text.endswith("Would the honey soap melt or spoil in a hot van?")
    text = chat.touch("No")
    assert "?" not in text
    assert "Yes" not in chat.buttons
    assert dict(chat.shop.items[0].goods) == {FOOD: False, MELTS: False}


def test_a_question_that_was_not_answered_is_put_again_only_when_asked_for() -> None:
    chat = planned()
    chat.hear("add to October: clip-on lamp")
    assert "?" not in chat.say("clip-on lamp costs 4.20")
    assert "Does the clip-on lamp hold" in chat.say("cautions")
    assert "Caution, lithium" in chat.touch("Yes")


def test_an_answer_said_twice_stands() -> None:
    chat = planned("2027-11: clip-on lamp")
    chat.hear("the lamp has a battery")
    assert "As I have it already." in chat.say("the lamp has a battery")
    assert not chat.changes
    assert "nothing of lithium" in chat.say("the lamp has no battery")
    assert chat.shop.items[-1].goods == ((CELLS, False),)


def test_an_answer_about_what_is_gone_or_has_shipped_changes_nothing() -> None:
    chat = planned("2026-11: clip-on lamp", "2027-11: torch")
    before = plan_of(chat.shop)
    assert "shipped" in chat.say("yes to lithium cells and batteries: clip-on lamp for 2026-11")
    assert plan_of(chat.shop) == before
    sentence = says.answer(chat.shop, "2027-11.torch", CELLS, so=True)
    chat.hear("drop the torch")
    before = plan_of(chat.shop)
    assert "I know no item" in chat.say(sentence)
    assert plan_of(chat.shop) == before


def test_which_of_several_items_is_asked() -> None:
    chat = planned("2027-11: clip-on lamp", "2027-12: desk lamp")
    text = chat.say("the lamp has a battery")
    assert "could be 2 items" in text
    assert not chat.changes
    assert "Caution, lithium" in chat.say("1")
    assert chat.shop.items[0].goods == ((CELLS, True),)


def test_a_long_name_is_cut_where_it_is_asked_of() -> None:
    text = planned().say(f"add to October: clip-on lamp {'very ' * 20}bright")
    asked = text.splitlines()[-1]
    assert len(asked) < 100
    assert "\u2026 hold a lithium cell" in asked


# --- hot months -----------------------------------------------------------------------------


def test_what_melts_is_told_with_its_box_and_a_cooler_one() -> None:
    chat = planned()
    text = chat.say("add to June: chocolate bar from Aldermoor, 2.10")
    assert (
        "June is on its way Tue 15 Jun to Fri 18 Jun, in hot months: chocolate bar may melt. "
        "May is cooler."
    ) in text
    text = chat.touch("Move it to May")
    assert text.startswith("Moved chocolate bar from June to May.")
    assert "may melt" not in text
    assert chat.shop.items[0].box == "2027-05"


def test_without_a_cooler_box_none_is_named() -> None:
    chat = Chat(shop("2027-06 Swifts", "2027-07 Sea"))
    text = chat.say("add to June: chocolate bar")
    assert "chocolate bar may melt." in text
    assert "is cooler" not in text


def test_in_cool_months_nothing_is_said_of_melting() -> None:
    assert "melt" not in planned().say("add to October: chocolate bar")


def test_in_the_south_the_hot_months_are_others() -> None:
    made = shop("2027-12 Stars", "2027-07 Frost", country="AU", subdivision="VIC")
    assert "may melt" in Chat(made).say("add to December: chocolate bar")
    assert "may melt" not in Chat(made).say("add to July: chocolate bar")


def test_a_swap_that_brings_what_melts_into_hot_months_says_so() -> None:
    chat = planned("2027-11 Frost: beeswax balm; notebook", "2027-07 Sea: tin mug")
    line = "On the way in hot months then, and may melt: beeswax balm (July)."
    assert line in chat.say("swap July and November")
    assert line in chat.touch("Do it")
    assert "hot months" not in chat.say("swap July and November")


# --- ordering, packing, a file --------------------------------------------------------------


def test_it_is_said_again_before_ordering_and_when_the_order_goes() -> None:
    chat = planned("2027-03 Moss: lithium lamp@Aldermoor 100 x 4.00; pin@Aldermoor 100 x 1.00")
    text = chat.say("write the order for Aldermoor")
    assert "Caution: lithium cells and batteries 1. Before you order, check" in text
    assert chat.touch("What to check").endswith(LAST_WORD)
    assert "Caution: lithium cells and batteries 1." in chat.say("I sent the Aldermoor order")
    assert chat.say("cautions for March").startswith("March: what to check before you pack")


def test_a_box_whose_items_are_ordered_is_checked_before_packing() -> None:
    chat = planned("2027-03 Moss: lithium lamp; tea")
    marks = tuple(Mark(f"{item.id}/order", "done") for item in chat.shop.items)
    chat.shop = replace(chat.shop, ledger=marks)
    text = chat.say("cautions for March")
    assert text.startswith("March: what to check before you pack")
    pack = {rule.goods: rule.pack for rule in house().cautions}
    assert f"Lithium cells and batteries (lithium lamp): {pack[CELLS]}" in text
    assert text.endswith(LAST_WORD)


def test_a_file_of_forty_items_tells_counts_by_kind() -> None:
    rows = [f"March 2027,{name} {chr(97 + n)}" for n in range(20) for name in ("tea", "lamp")]
    chat = planned()
    content = "\n".join(("Month,Item", *rows)).encode()
    chat.hear(document="file/1", document_name="year.csv", content=content)
    text = chat.touch("Bring it in")
    cautious = [line for line in text.splitlines() if "aution" in line]
    assert cautious[0].startswith("Caution: food and drink 20. Before you order, check")
    assert cautious[1:] == ["Of 20 items I am not sure what is in them: say cautions"]
    assert len(text.splitlines()) <= 9
    assert chat.touch("What to check").startswith("March: what to check")


# --- shown ----------------------------------------------------------------------------------


def test_the_whole_plan_is_shown_by_box() -> None:
    chat = planned("2027-11: tea; oat biscuits; candle", "2027-12: notebook")
    text = chat.say("cautions")
    assert text.splitlines() == [
        "What to check, box by box",
        "November: food and drink 2, candles and incense 1",
        LAST_WORD,
    ]
    assert chat.touch("November").startswith("November: what to check before you order")


@pytest.mark.parametrize("said", ["cautions", "cautions for October", "what to check for the pin"])
def test_that_nothing_is_known_permits_nothing(said: str) -> None:
    text = planned("2027-11: pin").say(said)
    assert "That says nothing of what applies to it" in text
    assert "ask your carrier and your local authority" in text


@pytest.mark.parametrize("said", ["may I post the lamp", "is it legal to sell the lamp"])
def test_whether_it_may_be_sent_is_answered_by_what_to_check(said: str) -> None:
    text = planned("2027-11: lithium lamp").say(said)
    assert text.startswith("What to check: lithium lamp")
    assert LAST_WORD in text
    assert not permits(text)


def test_a_long_list_fits_a_phone() -> None:
    goods = "tea; soap; candle; penknife; seed packet; toy; perfume; aerosol; lithium cell; magnet"
    chat = planned(f"2027-11: {goods}")
    for said in ("cautions", "cautions for November"):
        lines = chat.say(said).splitlines()
        assert len(lines) <= 9
        assert lines[-1] == LAST_WORD
    assert any("more kind" in line for line in chat.say("cautions for November").splitlines())


# --- nothing permits ------------------------------------------------------------------------

WORDS = sorted({w for rule in house().cautions for w in (*rule.words, *rule.maybe)})
NAMES = st.lists(st.sampled_from(WORDS), min_size=1, max_size=3, unique=True).map(" ".join)


@settings(max_examples=40, deadline=None)
@given(NAMES)
def test_no_reply_about_goods_permits(name: str) -> None:
    chat = planned()
    told = [chat.say(f'add to June: "{name}"')]
    for _ in range(8):
        if "Yes" not in chat.buttons:
            break
        told.append(chat.touch("Yes"))
    told += [chat.say(f"what to check for {name} for 2027-06"), chat.say("cautions")]
    assert len(chat.shop.items) == 1
    for text in told[1:]:
        assert not permits(text)
    assert LAST_WORD in told[-2]
    for line in told[-1].splitlines():
        assert "Caution" not in line or any(who in line for who in ASKED_OF)


def test_the_replies_own_words_permit_nothing() -> None:
    texts = [value for value in vars(replies).values() if isinstance(value, str)]
    assert len(texts) > 5
    constants = (replies.DEFER, replies.NOTHING, replies.SAYS_NOTHING, replies.ASK_THEM)
    assert not [word for text in constants for word in permits(text)]


# --- buttons --------------------------------------------------------------------------------

SAID: list[tuple[str, Request]] = [
    *(
        (says.answer(SHOP, BISCUITS, goods, so), AnswerCaution(BISCUITS, goods, so))
        for goods in KINDS
        for so in (True, False)
    ),
    (says.show(SHOP, BISCUITS), ShowCautions(item=BISCUITS)),
    (says.show(SHOP, box="2027-03"), ShowCautions(box="2027-03")),
    (says.show(SHOP, box="2027-03b"), ShowCautions(box="2027-03b")),
    (says.show(SHOP), ShowCautions()),
]


@pytest.mark.parametrize(("sentence", "meant"), SAID, ids=lambda x: str(x)[:60])
def test_a_button_means_what_it_was_made_for(sentence: str, meant: Request) -> None:
    assert understand(sentence, SHOP, Talk(id=""), TODAY) == (meant,)


ODD = st.text(
    st.characters(codec="latin-1", categories=("L", "N", "P", "S", "Zs"), exclude_characters=";"),
    min_size=1,
    max_size=30,
).map(lambda text: " ".join(text.split()))


@given(ODD.filter(bool), st.sampled_from(KINDS), st.booleans())
def test_whatever_an_item_is_called(name: str, goods: str, so: bool) -> None:
    made: Shop = replace(SHOP, items=(Item("odd", "2027-05", name),))
    said = says.answer(made, "odd", goods, so)
    assert understand(said, made, Talk(id=""), TODAY) == (AnswerCaution("odd", goods, so),)
