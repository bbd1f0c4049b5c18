"""What an answer offers works: each button says a sentence, and each refusal gives an example, that
is understood as it stands. The shop and its suppliers are invented."""

import re
from datetime import UTC, date, datetime, time
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.conversation.handle.nudging import morning
from assistant.conversation.handle.table import HANDLERS
from assistant.conversation.messages import Outcome
from assistant.conversation.order_requests import CountSubscribers
from assistant.conversation.requests import (
    AddItem,
    ChangeItem,
    ChangeMornings,
    ChangeShop,
    ChangeSupplier,
    Close,
    DropItem,
    HowIs,
    ItemFacts,
    MarkDone,
    MoveItem,
    NotNeeded,
    PutOff,
    Question,
    Rehearse,
    Reopen,
    SetShipDate,
    SetShipRule,
    SetTheme,
    ShowSupplier,
    ShowYear,
    SwapBoxes,
    WhatIsDue,
    WhatIsLate,
    When,
    Why,
)
from assistant.conversation.sentences.rearranging import leave_as_it_is
from assistant.conversation.understand import understand
from assistant.planning.changes import apply
from assistant.planning.model import Closure, Lead, Put, Shop, Talk
from tests.conversation.asking import OWNER, after, asking, buttons, talk, text
from tests.trade import shop

YEAR = apply(
    shop(
        "Aldermoor: transit 3d",
        "Hangfeng CN: confirm 2d, transit 5d, lead 10d",
        "2027-03 Rain & Roots: field notebook@Aldermoor 450 x 3.10, lead 20d; tea 450 x 1.20",
        "2027-05 First Swifts: enamel pin@Hangfeng 450 x 0.90",
        "2027-09: balm",
        subscribers=420,
    ),
    (Put(OWNER),),
)
NOTEBOOK = "2027-03.field notebook"
TODAYS = (date(2027, 1, 11), date(2027, 2, 22))

OFFERING = (
    WhatIsDue(),
    WhatIsDue(until=date(2027, 1, 12)),
    WhatIsLate(),
    HowIs("2027-03"),
    HowIs("2027-07"),
    ShowYear(),
    ShowYear(2031),
    When("order", NOTEBOOK),
    When("pack", box="2027-03"),
    When("ship", box="2027-05"),
    Why(item=NOTEBOOK),
    Why(box="2027-03"),
    SetTheme("2027-03", "frost"),
    AddItem("2027-03", ItemFacts("clip-on lamp", "Tannwald", lead=Lead(60))),
    ChangeItem(NOTEBOOK, ItemFacts(lead=Lead(90))),
    MoveItem(NOTEBOOK, "2027-05"),
    DropItem(NOTEBOOK),
    SwapBoxes("2027-03", "2027-05"),
    SetShipRule("last Friday"),
    SetShipDate("2027-03", date(2027, 3, 12)),
    Close("Aldermoor", Closure("", date(2027, 2, 1), date(2027, 3, 5))),
    ChangeSupplier("Aldermoor", transit_days=9),
    ShowSupplier("aldermoor"),
    CountSubscribers(900),
    ChangeMornings(digest_at=time(7)),
    MarkDone((f"{NOTEBOOK}/order",)),
    PutOff((f"{NOTEBOOK}/order",), days=3),
    NotNeeded((f"{NOTEBOOK}/order",)),
    Rehearse(),
)

REFUSED = (
    AddItem("2027-03", ItemFacts("tea")),
    ChangeItem("2027-03.tea", ItemFacts(name="field notebook")),
    MoveItem("2027-03.tea", "2027-03"),
    SetTheme("2026-03", "frost"),
    SwapBoxes("2027-03", "2027-03"),
    SwapBoxes("2027-10", "2027-11"),
    SetShipDate("2027-03", date(2026, 3, 12)),
    Close("Aldermoor", Closure("", date(2027, 8, 20), date(2027, 8, 2))),
    Close("", Closure("", date(2027, 8, 20), date(2027, 8, 2))),
    Reopen("Tannwald"),
    ChangeSupplier("Aldermoor", new_name="Hangfeng"),
    CountSubscribers(-1),
    ChangeShop(price=Decimal(-1)),
    ChangeShop(crew=0),
    ChangeShop(hours_per_day=0),
    ChangeShop(boxes_per_hour=0),
    ChangeShop(zone="Nowhere"),
    ChangeShop(lengths=(("glazing", 3),)),
    ChangeMornings(zone="Nowhere"),
    Why(),
    MarkDone(()),
    PutOff((), days=3),
    PutOff((f"{NOTEBOOK}/order",), days=0),
    PutOff((f"{NOTEBOOK}/order",), until=date(2026, 1, 1)),
    Rehearse(date(2027, 5, 1), date(2027, 4, 1)),
    AddItem("2027-05", ItemFacts("ink")),
    HowIs("2027-07"),
)

EXAMPLE = re.compile(r"(?:For example|for example|Say|To see its days): (.+)")


def do(request: object, today: date, known: Shop = YEAR) -> Outcome:
    return HANDLERS[type(request)](known, request, asking(today))


def understood(says: str, known: Shop, today: date) -> bool:
    # A question may be answered for want of a list shown before; a button needs none.
    return not isinstance(understand(says, known, Talk(OWNER.chat), today), Question)


@pytest.mark.parametrize("today", TODAYS)
@pytest.mark.parametrize("request_", OFFERING, ids=lambda one: type(one).__name__)
def test_each_button_says_what_is_understood_on_its_own(request_: object, today: date) -> None:
    outcome = do(request_, today)
    known = after(YEAR, outcome)
    assert outcome.replies
    for label, says in buttons(outcome).items():
        no = says == leave_as_it_is()  # an answer, not something to be done
        assert no or understood(says, known, today), (label, says)
        assert len(label) <= 30


@pytest.mark.parametrize("request_", REFUSED, ids=lambda one: type(one).__name__)
def test_each_example_is_understood(request_: object) -> None:
    outcome = do(request_, TODAYS[0])
    examples = EXAMPLE.findall(text(outcome))
    known = after(YEAR, outcome)
    for example in examples:
        plain = example.strip().rstrip(".")
        meant = understand(plain, known, talk(known), TODAYS[0])
        if "put off" not in plain:  # which thing is a fair question where none was shown
            assert not isinstance(meant, Question), (plain, meant)


def test_each_button_of_a_morning_is_understood() -> None:
    outcome = morning(YEAR, datetime(2027, 2, 22, 8, tzinfo=UTC))
    for label, says in buttons(outcome).items():
        assert understood(says, YEAR, TODAYS[1]), (label, says)


names = st.text(min_size=1, max_size=300).filter(str.strip)


@settings(deadline=None)
@given(names, names, names)
def test_any_name_is_kept_whole_and_every_answer_about_it_fits_a_message(
    item: str, theme: str, supplier: str
) -> None:
    """4,096 characters: the limit of a message in the Telegram Bot API (sendMessage)."""
    today, known = TODAYS[1], YEAR
    for request in (
        SetTheme("2027-04", theme),
        AddItem("2027-04", ItemFacts(item, supplier, lead=Lead(40), type=item, form=theme)),
    ):
        known = after(known, do(request, today, known))
    added = known.items[-1]
    assert added.name == " ".join(item.split())
    for request in (
        HowIs("2027-04"),
        WhatIsLate(),
        Why(item=added.id),
        When("order", added.id),
        ShowSupplier(added.supplier),
        MarkDone((f"{added.id}/order",)),
        PutOff((f"{added.id}/order",), days=3),
        MoveItem(added.id, "2027-05"),
        ChangeItem(added.id, ItemFacts(name=theme, supplier="Hangfeng")),
        DropItem(added.id),
        ChangeSupplier(supplier, new_name=theme),
        Close(supplier, Closure(theme, date(2027, 8, 2))),
    ):
        outcome = do(request, today, known)
        assert all(0 < len(f"{reply.title}{reply.text}") <= 4096 for reply in outcome.replies)
