"""Recurring types typed in, changed, refused: whole conversations. All names are invented."""

from decimal import Decimal

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.conversation.requests import ChangeShop, Question, Request
from assistant.conversation.sentences import types as says
from assistant.conversation.understand import understand
from assistant.conversation.understand.type_names import NAME, new_name
from assistant.conversation.year_requests import (
    AddType,
    ChangeType,
    DropType,
    PinType,
    SetRoom,
    ShowSpread,
    ShowTypes,
    SpreadTypes,
    TypeFacts,
    UseSpread,
)
from assistant.planning.model import RecurringType, Talk
from tests.conversation import utterances
from tests.conversation.chat import Chat, plan_of
from tests.conversation.meant import SHOP, TALK, TODAY
from tests.conversation.utterances_types import (
    CHANGES,
    KNOWN,
    SHOWN,
    TEA,
    WHILE,
    WHILE_SHOWN,
    WITH_TYPES,
)
from tests.trade import shop

# --- what is understood ---------------------------------------------------------------------


@pytest.mark.parametrize(("text", "meant"), CHANGES, ids=lambda x: str(x)[:60])
def test_means_with_types(text: str, meant: Request) -> None:
    assert understand(text, WITH_TYPES, TALK, TODAY) == (meant,)


@pytest.mark.parametrize(("text", "meant"), WHILE, ids=lambda x: str(x)[:60])
def test_means_while_a_spread_is_shown(text: str, meant: Request) -> None:
    assert understand(text, WHILE_SHOWN, SHOWN, TODAY) == (meant,)


ABOUT_TYPES = (AddType, ChangeType)


@pytest.mark.parametrize(("text", "meant"), utterances.TABLE, ids=lambda x: str(x)[:60])
def test_types_take_nothing_that_means_something_else(text: str, meant: Request) -> None:
    """In a shop that has types named like its items, but for what is said of types themselves."""
    found = understand(text, WITH_TYPES, TALK, TODAY)
    if not isinstance(meant, ABOUT_TYPES):
        assert found == (meant,)


@pytest.mark.parametrize(
    "text",
    [
        "a sticker in every box",
        "count birds twice a year together",
        "we send a letter twice a year",
        "something to read every month",
        "keep the moss in May",
        "pears and plums go well together",
        "another",
        "maybe tea 3 times",
    ],
)
def test_a_thought_is_no_type(text: str) -> None:
    found = understand(text, SHOP, TALK, TODAY)
    assert isinstance(found, Question) or not isinstance(found[0], ABOUT_TYPES)


@pytest.mark.parametrize(
    ("text", "words", "offers"),
    [
        ("noteboook 5 times a year", "nearly", "type field notebook: 5 times a year"),
        ("taa twice a year", "nearly the name of the type tea", "new type taa, twice a year"),
        ("tea twice a year, lovely", 'could not read "lovely"', "Idea: "),
        ("forget the type marmalade", 'no recurring type "marmalade"', "Idea: "),
        ("pin marmalade in May", 'no recurring type "marmalade"', "Idea: "),
        ("drop form oolong from tea", 'no form "oolong"', "drop form mint from type tea"),
        ("unpin notebook", "pinned in no box", ""),
        ("tea -3 times a year", "below zero", ""),
        ("tea costs $3", "own currency, GBP", ""),
        ("type tea: costs 3 EUR", "own currency, GBP", ""),
        ("spread over the next 60 months", "1 to 24 months", ""),
        (f"new type {'x' * 50}, twice a year", "at most 40 characters", ""),
        ("new type 123, twice", "no name", ""),
        ("tea twice a year, 3 times a year", "a second time", ""),
        ("new type March, twice a year", "no name I can keep apart", ""),
    ],
)
def test_asks(text: str, words: str, offers: str) -> None:
    asked = understand(text, WITH_TYPES, TALK, TODAY)
    assert isinstance(asked, Question), asked
    assert words in asked.text
    if offers:
        assert any(option.says.startswith(offers) for option in asked.options), asked.options


def test_a_wish_about_types_in_a_shop_without_any_says_how_to_begin() -> None:
    chat = Chat()
    assert "no recurring types yet" in chat.say("pin tea in March")
    chat.touch("tea 4 times a year")
    assert [(one.name, one.times) for one in chat.shop.types] == [("tea", 4)]


SAID: list[tuple[str, Request]] = [
    (says.show_types(), ShowTypes()),
    (says.times_a_year("tea", 3), ChangeType("tea", TypeFacts(times=3))),
    (says.may_be_in("tea", 7), ChangeType("tea", TypeFacts(must_not=()))),
    (says.need_not_be_in("tea", 12), ChangeType("tea", TypeFacts(must=()))),
    (says.may_share("tea", "biscuit"), ChangeType("tea", TypeFacts(apart=()))),
    (says.drop_type("tea"), DropType("tea")),
    (says.room_in("2027-03", 2), SetRoom("2027-03", 2)),
    (says.room_in("2027-03b", 2), SetRoom("2027-03b", 2)),
    (says.room_in_each(3), ChangeShop(room=3)),
    (says.pin("tea", "2027-05"), PinType("tea", "2027-05")),
    (says.unpin("tea", "2027-03"), PinType("tea", "2027-03", pin=False)),
    (says.spread(), SpreadTypes()),
    (says.spread(year=2027), SpreadTypes(year=2027)),
    (says.spread(months=24), SpreadTypes(months=24)),
    (says.show_spread(2), ShowSpread(2)),
    (says.use_spread(2), UseSpread(2)),
]


@pytest.mark.parametrize(("text", "meant"), SAID, ids=lambda x: str(x)[:60])
def test_a_button_means_what_it_was_made_for(text: str, meant: Request) -> None:
    assert understand(text, WHILE_SHOWN, Talk(id=""), TODAY) == (meant,)


def test_two_things_in_one_button() -> None:
    text = says.then(says.times_a_year("tea", 3), says.spread(year=2027))
    assert understand(text, WITH_TYPES, Talk(id=""), TODAY) == (
        ChangeType("tea", TypeFacts(times=3)),
        SpreadTypes(year=2027),
    )


_WORDS = "tea may march type types room in and from pin to x twice 3 spread again once not"


@given(
    st.lists(st.sampled_from(_WORDS.split()), min_size=1, max_size=4), st.sampled_from(range(1, 13))
)
def test_whatever_a_type_is_called(words: list[str], month: int) -> None:
    name = " ".join(words)
    assume(isinstance(new_name(name, marked=True), str))
    known = RecurringType(name, name, 4, must_not=(month,), pins=("2027-03",))
    here = replace(SHOP, types=(known,))
    for text, meant in (
        (says.times_a_year(name, 3), ChangeType(name, TypeFacts(times=3))),
        (says.may_be_in(name, month), ChangeType(name, TypeFacts(must_not=()))),
        (says.drop_type(name), DropType(name)),
        (says.unpin(name, "2027-03"), PinType(name, "2027-03", pin=False)),
        (says.pin(name, "2027-05"), PinType(name, "2027-05")),
    ):
        assert understand(text, here, Talk(id=""), TODAY) == (meant,), text


_THINGS = ("oak", "moss", "card", "mug", "pin", "tin", "wax")
_NAMES = st.lists(st.sampled_from(_THINGS), min_size=1, max_size=3)


@given(
    _NAMES,
    st.integers(1, 26),
    st.lists(st.sampled_from(("mint", "chai", "rose hip", "lime")), unique=True),
    st.lists(st.integers(1, 12), unique=True, max_size=4).map(sorted),
    st.none() | st.decimals(0, 99, places=2),
    st.none() | st.integers(2, 5),
)
def test_all_that_is_told_of_a_new_type_is_read_back(
    words: list[str],
    times: int,
    forms: list[str],
    months: list[int],
    cost: Decimal | None,
    room: int | None,
) -> None:
    facts = TypeFacts(
        name=" ".join(words),
        times=times,
        forms=tuple(forms) or None,
        must_not=tuple(months) or None,
        unit_cost=cost,
        room=room,
    )
    assert understand(says.new_type(facts), SHOP, Talk(id=""), TODAY) == (AddType(facts),)


# --- what is kept ---------------------------------------------------------------------------


def test_a_type_is_kept_with_all_that_was_said() -> None:
    chat = Chat()
    said = chat.say("tea 6 times a year, not in July, costs 1.80, not with biscuits")
    assert said.splitlines()[0] == (
        "New type, tea: 6 times a year, not in Jul, not with biscuits, £1.80 each."
    )
    assert "no recurring type yet" in said
    (kept,) = chat.shop.types
    assert kept == RecurringType(
        "tea", "tea", 6, must_not=(7,), apart=("biscuit",), unit_cost=Decimal("1.80")
    )
    assert list(chat.buttons) == ["Undo", "Spread the types", "The types"]
    chat.touch("Undo")
    assert chat.shop.types == ()


def test_a_wish_about_a_type_to_come_counts_once_it_is_there() -> None:
    chat = Chat()
    chat.hear("tea 6 times a year, not with oat biscuits")
    assert "not with tea" in chat.say("oat biscuits 3 times a year")
    assert "no longer not with" in chat.say("tea and oat biscuits may share a box")
    assert all(one.apart == () for one in chat.shop.types)
    chat.hear("oat biscuits not with tea")
    chat.hear("tea and oat biscuits may share a box")
    assert all(one.apart == () for one in chat.shop.types)


def test_several_types_in_one_message() -> None:
    chat = Chat()
    chat.hear("tea 4 times a year\nenamel pin twice a year\ntea not in July")
    assert [(one.name, one.times, one.must_not) for one in chat.shop.types] == [
        ("tea", 4, (7,)),
        ("enamel pin", 2, ()),
    ]


@pytest.mark.parametrize(
    ("text", "says_back", "field", "value"),
    [
        ("tea 5 times a year", "Tea: 5 times a year.", "times", 5),
        ("tea not in August", "Tea: not in Jul and Aug.", "must_not", (7, 8)),
        ("tea may be in July again", "Tea: no longer not in Jul.", "must_not", ()),
        ("tea must be in May", "Tea: must be in May and Dec.", "must", (5, 12)),
        ("tea takes 2 places", "Tea: takes 2 places.", "room", 2),
        ("forms of tea: oolong", "Tea: forms oolong.", "forms", ("oolong",)),
        ("tea costs 2.40", "Tea: £2.40 each.", "unit_cost", Decimal("2.40")),
        ("tea suits fog", "Tea: suits fog.", "suits", ("fog",)),
    ],
)
def test_a_type_is_changed(text: str, says_back: str, field: str, value: object) -> None:
    chat = Chat(replace(shop(), types=KNOWN))
    assert chat.say(text).splitlines()[0] == says_back
    assert getattr(chat.shop.types[0], field) == value
    assert "As I have it already" in chat.say(text)
    assert chat.changes == ()


def test_a_type_that_is_dropped_leaves_its_items() -> None:
    here = shop("2027-03 Rain: mint tea; mug")
    item = replace(here.items[0], type="Teas")
    chat = Chat(replace(here, items=(item, here.items[1]), types=KNOWN))
    assert "Its 1 item stays in the plan." in chat.say("forget the type tea")
    assert [one.name for one in chat.shop.types] == ["field notebook"]
    assert len(chat.shop.items) == 2
    chat.touch("Undo")
    assert chat.shop.types[-1].name == "tea" or chat.shop.types[0].name == "tea"


# --- what cannot hold -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "why", "instead"),
    [
        ("tea 13 times a year: mint, chai", "12 boxes", "new type tea, 12 times a year"),
        ("tea 12 times a year, not in July", "11 boxes", "new type tea, 11 times a year"),
        ("tea twice a year, must be in May, June and July", "3 months", "new type tea, 3 times"),
        ("tea 3 times a year, must be in May, not in May", "must not", "new type tea, 3 times"),
    ],
)
def test_what_cannot_hold_is_refused_with_what_would_work(
    text: str, why: str, instead: str
) -> None:
    chat = Chat()
    said = chat.say(text)
    assert why in said
    assert chat.shop.types == ()
    offered = next(one for one in chat.buttons.values() if one.startswith(instead))
    assert f"For example: {offered}" in said
    chat.say(offered)
    assert [one.name for one in chat.shop.types] == ["tea"]


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("tea 13 times a year", "11 times a year"),
        ("tea must be in January, February, March, April, May, June and August", "8 times a year"),
        ("tea 0 times a year", "must be 1 to"),
        ("tea takes 200 places", "must be 1 to 99"),
        ("tea not with tea", "never does"),
        ("room for 0 types in a box", "from 1 to 99"),
        ("March has room for 500", "must be 0 to 99"),
    ],
)
def test_a_change_that_cannot_hold_is_refused(text: str, why: str) -> None:
    chat = Chat(replace(shop("2027-03 Rain: mug"), types=KNOWN))
    before = plan_of(chat.shop)
    assert why in chat.say(text)
    assert plan_of(chat.shop) == before
    for offered in chat.buttons.values():
        assert isinstance(understand(offered, chat.shop, Talk(id=""), chat.now.date()), tuple)


def test_too_few_forms_are_kept_and_pointed_out() -> None:
    chat = Chat()
    said = chat.say("tea 4 times a year: mint, chai, oolong")
    assert "With 3 forms for 4 times a year, mint comes twice." in said
    assert chat.shop.types[0].forms == ("mint", "chai", "oolong")
    assert "twice" not in chat.say("add form rose to tea")


def test_a_form_that_is_too_long_is_refused_whole() -> None:
    chat = Chat()
    assert "at most 60 characters" in chat.say(f"tea twice a year: {'x' * 61}, mint")
    assert chat.shop.types == ()


# --- the list, boxes, pins ------------------------------------------------------------------


def test_no_types_says_how_to_begin() -> None:
    said = Chat().say("types")
    assert "no recurring types yet" in said
    assert "field notebook four times a year: lined, dotted, blank, grid" in said


def test_the_list_fits_a_phone_whatever_is_wished() -> None:
    chat = Chat()
    for number in range(16):
        letters = chr(ord("a") + number) * 3
        chat.hear(f"{letters} card {1 + number % 12} times a year: red, green, blue")
    said = chat.say("types")
    assert len(said.splitlines()) <= 11
    assert "aaa card: once a year, 3 forms" in said
    assert "ppp card (4)" in said


def test_room_of_all_boxes_and_of_one() -> None:
    chat = Chat()
    assert "room for 4 recurring types in a box" in chat.say("room for 4 types in a box")
    assert "March has room for 2 recurring types." in chat.say("March has room for 2")
    assert chat.shop.boxes[0].room == 2
    assert "4 recurring types" in chat.say("March has the usual room")
    assert chat.shop.boxes[0].room is None
    assert "already" in chat.say("March has the usual room")


def test_a_pin_and_its_end() -> None:
    chat = Chat(replace(shop(), types=(replace(TEA, pins=()),)))
    assert chat.say("pin tea in May") == "Tea stays in May whatever is spread again."
    assert chat.shop.types[0].pins == ("2027-05",)
    assert "Spread again" in chat.buttons
    assert "already" in chat.say("keep tea in May")
    assert "may move out of May" in chat.say("unpin tea")
    assert chat.shop.types[0].pins == ()


@pytest.mark.parametrize("text", ["pin tea in December 2026", "December 2026 has room for 2"])
def test_nothing_is_pinned_in_a_box_that_was_sent(text: str) -> None:
    chat = Chat(replace(shop("2026-12 Frost: mug", "2027-02 Moss: mug"), types=KNOWN))
    said = chat.say(text)
    assert "shipped Tue 15 Dec" in said
    assert "2027-02" in said
    assert chat.changes == ()
    label = next(label for label in chat.buttons if "2027-02" in label)
    chat.touch(label)
    assert chat.changes


def test_a_pin_in_a_month_that_is_ruled_out_is_refused() -> None:
    chat = Chat(replace(shop(), types=KNOWN))
    assert "may not come" in chat.say("pin tea in July")
    assert chat.changes == ()


def test_a_long_name_is_cut_and_nothing_breaks() -> None:
    chat = Chat()
    name = "x" * NAME
    assert name in chat.say(f"new type {name}, 3 times a year")
