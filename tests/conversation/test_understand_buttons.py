"""Every sentence that a button says is understood back to exactly what it was made for, whatever
the names in it."""

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.conversation import sentences
from assistant.conversation.requests import (
    AddItem,
    BringIdeaBack,
    BringIn,
    ChangeItem,
    DropItem,
    Hello,
    Help,
    HowIs,
    ItemFacts,
    KeepIdea,
    LeaveOut,
    LetIdeaGo,
    LetIn,
    ListIdeas,
    MarkDone,
    MoveItem,
    NotNeeded,
    PutOff,
    Question,
    Rehearse,
    Reopened,
    Request,
    SetTheme,
    ShowHistory,
    ShowIdea,
    ShowPeople,
    ShowSupplier,
    ShowYear,
    SwapBoxes,
    Undo,
    UseIdea,
    WhatIsDue,
    WhatIsLate,
    When,
    Why,
)
from assistant.conversation.understand import understand
from assistant.conversation.understand.phrasings import PHRASINGS
from assistant.conversation.understand.reading import Phrasing
from assistant.conversation.understand.words import tidy
from assistant.planning.model import (
    Box,
    Draft,
    Idea,
    Item,
    Lead,
    OrderLine,
    Shop,
    Supplier,
    Talk,
)
from tests.conversation import questions
from tests.conversation.meant import NOTEBOOK, SHOP, TALK, TODAY, order
from tests.conversation.utterances_types import KNOWN, PROPOSAL, SHOWN

MORNING = datetime(2026, 11, 26, 9, tzinfo=UTC)
NOTHING = Talk(id="terminal:you")
IDEA = Idea(id="telegram:12/345", text="lantern walk", at=MORNING)
WITH_IDEA = replace(SHOP, ideas=(IDEA, replace(IDEA, id="telegram:12/346")))
ORDER, PACK = f"{NOTEBOOK}/order", "2027-03/pack"

FACTS = ItemFacts(
    name="mug, tin; 450 pieces",
    supplier="Wick & Sons, from Leeds",
    unit_cost=Decimal("3.10"),
    currency="EUR",
    quantity=1450,
    lead=Lead(28, "calendar"),
    made_in="DE",
    type="mug, big",
    form="tin",
)

SAID: list[tuple[str, Request]] = [
    (sentences.done(SHOP, ORDER), MarkDone((ORDER,))),
    (sentences.done(SHOP, PACK), MarkDone((PACK,))),
    (sentences.put_off(SHOP, ORDER, 3), PutOff((ORDER,), days=3)),
    (sentences.put_off(SHOP, PACK, 1), PutOff((PACK,), days=1)),
    (sentences.not_needed(SHOP, ORDER), NotNeeded((ORDER,))),
    (sentences.open_again(SHOP, PACK), Reopened((PACK,))),
    (sentences.rehearse(), Rehearse()),
    (sentences.when(SHOP, NOTEBOOK), When("order", item=NOTEBOOK)),
    (sentences.when(SHOP, NOTEBOOK, "deposit"), When("deposit", item=NOTEBOOK)),
    (sentences.why(SHOP, item=NOTEBOOK), Why(item=NOTEBOOK)),
    (sentences.why(SHOP, item=NOTEBOOK, stage="order"), Why(item=NOTEBOOK, stage="order")),
    (sentences.why(SHOP, box="2027-03"), Why(box="2027-03")),
    (sentences.why(SHOP, box="2027-03", stage="pack"), Why(box="2027-03", stage="pack")),
    (sentences.how_is("2027-03"), HowIs("2027-03")),
    (sentences.how_is("2027-03b"), HowIs("2027-03b")),
    (sentences.what_is_due(), WhatIsDue()),
    (sentences.what_is_late(), WhatIsLate()),
    (sentences.what_is_due(date(2027, 6, 30)), WhatIsDue(until=date(2027, 6, 30))),
    (sentences.further(9, sentences.what_is_due()), WhatIsDue(start=9)),
    (
        sentences.further(17, sentences.what_is_due(date(2027, 6, 30))),
        WhatIsDue(until=date(2027, 6, 30), start=17),
    ),
    (
        sentences.further(9, sentences.what_is_due(date(2027, 6, 30), date(2027, 6, 1))),
        WhatIsDue(until=date(2027, 6, 30), since=date(2027, 6, 1), start=9),
    ),
    (sentences.further(9, sentences.what_is_late()), WhatIsLate(start=9)),
    (
        sentences.further(9, sentences.list_ideas((3, 5), "tea, or from 4")),
        ListIdeas((3, 5), "tea, or from 4", start=9),
    ),
    (sentences.list_ideas((3,), state="used"), ListIdeas((3,), state="used")),
    (sentences.further(9, sentences.list_ideas(state="used")), ListIdeas(state="used", start=9)),
    (sentences.list_ideas(state="let go"), ListIdeas(state="let go")),
    (sentences.this_month(), HowIs("2026-11")),
    (sentences.show_year(), ShowYear()),
    (sentences.show_supplier("Aldermoor"), ShowSupplier("aldermoor")),
    (sentences.keep_idea("what of moss? maybe; or not"), KeepIdea("what of moss? maybe, or not")),
    (sentences.show_idea(IDEA.id), ShowIdea(IDEA.id)),
    (sentences.use_idea(IDEA.id, "2027-11"), UseIdea(IDEA.id, "2027-11")),
    (sentences.use_idea(IDEA.id, "2027-11", True), UseIdea(IDEA.id, "2027-11", as_theme=True)),
    (sentences.let_go(IDEA.id), LetIdeaGo(IDEA.id)),
    (sentences.bring_back(IDEA.id), BringIdeaBack(IDEA.id)),
    (sentences.list_ideas(), ListIdeas()),
    (sentences.list_ideas((3, 5, 11), "tea"), ListIdeas((3, 5, 11), "tea")),
    (sentences.list_ideas(word="tea and cake"), ListIdeas(word="tea and cake")),
    (sentences.set_theme("2027-03", "rain and roots"), SetTheme("2027-03", "rain and roots")),
    (
        sentences.add_item("2027-05", FACTS),
        AddItem("2027-05", replace(FACTS, name="mug, tin, 450 pieces")),
    ),
    (sentences.move(SHOP, NOTEBOOK, "2027-05"), MoveItem(NOTEBOOK, "2027-05")),
    (sentences.drop(SHOP, NOTEBOOK), DropItem(NOTEBOOK)),
    (sentences.swap("2027-03", "2027-05"), SwapBoxes("2027-03", "2027-05")),
    (sentences.bring_in(), BringIn()),
    (sentences.leave_out(), LeaveOut()),
    (sentences.undo(41), Undo(41)),
    (sentences.put_back(), Undo(again=True)),
    (sentences.history(), ShowHistory()),
    (sentences.let_in(), LetIn()),
    (sentences.let_group_in(), LetIn(group=True)),
    (sentences.people(), ShowPeople()),
    (sentences.hello(), Hello()),
    (sentences.help_on(), Help()),
    (sentences.help_on("dates"), Help("dates")),
]


@pytest.mark.parametrize(("says", "meant"), SAID, ids=lambda x: str(x)[:60])
def test_a_button_means_what_it_was_made_for(says: str, meant: Request) -> None:
    """Without any memory of the conversation."""
    found = understand(says, WITH_IDEA, replace(NOTHING, id=""), TODAY)
    if says == sentences.leave_out():  # without a file that was read, "leave it" is just a no
        assert isinstance(found, Question)
    else:
        assert found == (meant,)


# --- whatever the names ---------------------------------------------------------------------

_WORDS = (
    "tea may march order pack done to for in from the of and or undo idea swap box 3 450 2027-05"
    " 3.10 is not needed put off day \u00e9tui \u8336 \U0001f36a ; , : . ' \" ? ! - x costs made"
    " next why when ordered arrived second it that 1"
)
WORDS = st.sampled_from(_WORDS.split())
NAMES = st.one_of(
    st.lists(WORDS, min_size=1, max_size=6).map(" ".join),
    st.text(st.characters(codec="utf-8", exclude_categories=("Cs", "Cc")), min_size=1, max_size=30),
)


def named(*names: str) -> Shop:
    """A shop with items of these names in two boxes."""
    items = tuple(
        Item(id=f"{box}.{n}", box=box, name=name)
        for box in ("2027-03", "2027-05")
        for n, name in enumerate(names)
    )
    return replace(SHOP, items=items, boxes=(Box("2027-03"), Box("2027-05")))


def distinct(*names: str) -> bool:
    plain = {tidy(sentences.one_line(name)) for name in names}
    return len(plain) == len(names) and all(plain)


@given(NAMES, NAMES)
def test_whatever_an_item_is_called(name: str, other: str) -> None:
    assume(distinct(name, other))
    shop, id = named(name, other), "2027-03.0"
    key = f"{id}/order"
    for says, meant in (
        (sentences.done(shop, key), MarkDone((key,))),
        (sentences.put_off(shop, key, 3), PutOff((key,), days=3)),
        (sentences.not_needed(shop, key), NotNeeded((key,))),
        (sentences.open_again(shop, key), Reopened((key,))),
        (sentences.when(shop, id), When("order", item=id)),
        (sentences.why(shop, item=id), Why(item=id)),
        (sentences.why(shop, item=id, stage="order"), Why(item=id, stage="order")),
        (sentences.move(shop, id, "2027-05"), MoveItem(id, "2027-05")),
        (sentences.drop(shop, id), DropItem(id)),
    ):
        assert understand(says, shop, NOTHING, TODAY) == (meant,), says


TITLES = st.lists(WORDS.filter(lambda word: word not in '";'), max_size=5)
MAKERS = st.sampled_from(("Aldermoor", "Wick & Sons", "Press 3, from May", "The 450 Pieces"))


@given(TITLES, MAKERS, st.decimals(0, 9999, places=2), st.integers(1, 5000), st.integers(1, 400))
def test_whatever_is_said_of_an_item(
    words: list[str], maker: str, cost: Decimal, quantity: int, days: int
) -> None:
    name = " ".join(("tin", *words, "mug"))
    facts = ItemFacts(name, maker, cost, "EUR", quantity, Lead(days), "JP", name, name)
    shop = replace(SHOP, suppliers=(Supplier("s1", maker),))
    says = sentences.add_item("2027-05", facts)
    assert understand(says, shop, NOTHING, TODAY) == (AddItem("2027-05", facts),)


# --- offers and examples --------------------------------------------------------------------


@pytest.mark.parametrize(("text", "_words", "_offers"), questions.QUESTIONS)
def test_every_choice_of_a_question_is_understood(
    text: str, _words: str, _offers: tuple[str, ...]
) -> None:
    """On its own, but for sentences that are given as examples."""
    talk = replace(TALK, ideas=tuple(idea.id for idea in WITH_IDEA.ideas))
    asked = understand(text, WITH_IDEA, talk, TODAY)
    assert isinstance(asked, Question)
    examples = {row.example for row in PHRASINGS}
    for option in asked.options:
        assert len(option.label) <= 40
        if option.says not in examples:
            assert isinstance(understand(option.says, WITH_IDEA, talk, TODAY), tuple), option.says


@pytest.mark.parametrize("row", PHRASINGS, ids=lambda row: f"{row.name}: {row.example}")
def test_every_example_is_what_its_row_says(row: Phrasing) -> None:
    """In a shop that has what the examples speak of."""
    ideas = tuple(idea.id for idea in WITH_IDEA.ideas)
    talk = replace(SHOWN, ideas=ideas, deadlines=TALK.deadlines[:1])
    draft = Draft(id=talk.id, name="year.csv", at=MORNING, rows=())
    tea = Item("one", "2027-05", "tea")
    shop = replace(WITH_IDEA, items=(*WITH_IDEA.items, tea), drafts=(draft,))
    shop = replace(shop, types=KNOWN, proposals=(PROPOSAL,))
    written = order("2027-004", "aldermoor", NOTEBOOK)
    lines = (*written.lines, OrderLine(tea.id, tea.name, 400, box=tea.box))
    shop = replace(shop, orders=(*SHOP.orders, replace(written, lines=lines)))
    found = understand(row.example, shop, talk, TODAY)
    assert isinstance(found, tuple), found
    assert not (isinstance(found[0], KeepIdea) and found[0].taken_for_one)


def test_choosing_by_number_and_by_yes() -> None:
    asked = understand("drop the pin", SHOP, TALK, TODAY)
    assert isinstance(asked, Question)
    talk = replace(TALK, options=tuple(option.says for option in asked.options))
    assert understand("2", SHOP, talk, TODAY) == (DropItem("2027-09.enamel pin"),)
    assert isinstance(understand("yes", SHOP, talk, TODAY), Question)
    one = replace(TALK, options=("drop enamel pin for 2027-09", "Idea: drop the pin"))
    assert understand("Yes!", SHOP, one, TODAY) == (DropItem("2027-09.enamel pin"),)
    assert isinstance(understand("7", SHOP, talk, TODAY), Question)


def test_a_choice_cannot_lead_to_itself() -> None:
    talk = replace(TALK, options=("1", "yes"))
    assert isinstance(understand("1", SHOP, talk, TODAY), Question)
    assert isinstance(understand("2", SHOP, talk, TODAY), Question)


def test_an_example_changes_an_item() -> None:
    assert understand("it costs 2", SHOP, TALK, TODAY) == (
        ChangeItem(NOTEBOOK, ItemFacts(unit_cost=Decimal(2))),
    )
