"""Ways out for what is late, asked for and taken: what is said, what is changed, what is refused.
All of it is invented.
"""

from datetime import UTC, date, datetime

import pytest
from hypothesis import given
from msgspec.structs import replace

from assistant.conversation.handle.doors import let_owner_in
from assistant.conversation.month_requests import Rescue, TakeRescue
from assistant.conversation.requests import Question
from assistant.conversation.sentences import rescue as says
from assistant.conversation.sentences.rearranging import now
from assistant.conversation.understand import understand
from assistant.planning.changes import apply, find
from assistant.planning.deadlines import deadlines
from assistant.planning.model import Mark, Person, Put, Shop, Talk
from assistant.planning.month.rescue import at_risk, ways
from tests.conversation.chat import OWNER, Chat, plan_of
from tests.conversation.test_understand_buttons import NAMES, distinct, named
from tests.planning.late import IN_PART, LATE, PIN, PROMISED, SHORT
from tests.planning.plans import TODAY, done
from tests.trade import with_holidays

NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)
HELPER = "telegram:2"


def chat(made: Shop = LATE, at: datetime = NOW) -> Chat:
    return Chat(with_holidays(made, at.date()), at)


def told(talk: Chat) -> list[str]:
    """The lines of the last answer, its heading too."""
    return [line for one in talk.outcome.replies for line in (one.title, *one.text.split("\n"))]


# --- told -----------------------------------------------------------------------------------


@pytest.mark.parametrize("made", [LATE, PROMISED, IN_PART, SHORT])
def test_ways_out_fit_a_phone_and_each_has_its_button(made: Shop) -> None:
    talk = chat(made)
    talk.hear("what can I do about the pin")
    found = ways(talk.shop, PIN, TODAY)
    assert found
    assert len(told(talk)) <= 8
    assert told(talk)[0] == "Ways out: pin (January)"
    assert talk.changes == ()
    for number, (way, pressed) in enumerate(zip(found, talk.buttons.items(), strict=False), 1):
        label, sentence = pressed
        assert label.startswith(f"{number} ")
        assert len(label) <= 30
        meant = understand(sentence, talk.shop, Talk(id=""), TODAY)
        assert isinstance(meant, tuple)
        (request,) = meant
        assert isinstance(request, TakeRescue)
        assert (request.item, request.way, request.sure) == (PIN, way.how, False)


def test_why_it_is_late_comes_first_then_the_best_way() -> None:
    talk = chat()
    talk.hear("ways out for the pin")
    assert told(talk)[1:4] == [
        "In hand Wed 20 Jan: 7 working days too late for Mon 11 Jan.",
        "1. Take cup from April, which gets the pin.",
        "2. Take mug from February, which gets the pin.",
    ]
    assert told(talk)[-1].startswith("Also: ")


def test_a_number_goes_the_way_of_that_number() -> None:
    talk = chat()
    talk.hear("ways out for the pin")
    assert talk.say("2").startswith("Take mug from February for pin (January)?")


@pytest.mark.parametrize(
    ("made", "text"),
    [
        (IN_PART, "(26 still lacking)"),
        (SHORT, "26 pieces too few for the boxes expected."),
    ],
)
def test_what_came_short_is_told_in_pieces(made: Shop, text: str) -> None:
    assert text in chat(made).say("what can I do about the pin")


def test_a_part_is_bought_elsewhere() -> None:
    talk = chat(SHORT)
    assert "Buy 26 from Aldermoor" in talk.say("what can I do about the pin")
    talk.say(talk.buttons["1 Buy 26 elsewhere"])
    assert "Done: buy 26 elsewhere for pin (January)." in talk.say("do it")
    assert at_risk(talk.shop, TODAY) == ()


# --- taken ----------------------------------------------------------------------------------


def labels(made: Shop) -> list[str]:
    talk = chat(made)
    talk.hear("ways out for the pin")
    return [label for label in talk.buttons if label[0].isdigit()]


@pytest.mark.parametrize(
    ("made", "label"), [(made, one) for made in (LATE, PROMISED, SHORT) for one in labels(made)]
)
def test_a_way_is_shown_then_done_in_one_commit_then_taken_back(made: Shop, label: str) -> None:
    talk = chat(made)
    talk.hear("ways out for the pin")
    before, version = talk.shop, talk.shop.version
    shown = talk.touch(label)
    assert talk.changes == ()
    assert shown.split("\n")[0].endswith("for pin (January)?")
    assert talk.buttons["Do it"].endswith(" now")
    talk.touch("Do it")
    assert talk.changes
    assert talk.shop.version == version + 2  # the question's talk, and one commit
    assert PIN not in {risk.item for one in at_risk(talk.shop, TODAY) for risk in one.risks}
    assert nudged(talk.shop) != nudged(before)
    talk.touch("Undo")
    assert same(plan_of(talk.shop), plan_of(before))


def nudged(made: Shop) -> set[tuple[object, ...]]:
    """What is nudged for, when, and what is promised of it."""
    open_ones = (one for one in deadlines(made, TODAY) if one.state == "open")
    promised = {(one.id, one.promised) for one in made.purchases}
    return {(one.key, one.on, one.until) for one in open_ones} | promised


def same(one: Shop, other: Shop) -> bool:
    """Whether two plans hold the same, in whatever order."""
    tables = ("boxes", "items", "ledger", "purchases", "ideas", "runs", "offers")
    return all(set(getattr(one, t)) == set(getattr(other, t)) for t in tables)


def test_the_same_lines_are_said_before_and_after() -> None:
    talk = chat()
    shown = talk.say("way out for pin for 2027-01: swap with 2027-04").split("\n")
    effects = [line for line in shown if "order-by" in line or line.startswith("Cost")]
    taken = talk.say("do it").split("\n")
    assert effects
    assert set(effects) <= set(taken)
    assert taken[0] == "Done: swap with April for pin (January)."


def test_what_was_shown_is_done_on_the_plan_as_it_is_then() -> None:
    talk = chat()
    talk.hear("wait for the pin")
    sure = talk.buttons["Do it"]
    talk.hear("January ships on 28 January")
    text = talk.say(sure)
    assert talk.changes == ()
    assert "no way out for it as things stand" in text
    assert "is not late" in text


def test_who_marked_what_is_kept() -> None:
    talk = chat()
    talk.hear(now(says.take(talk.shop, PIN, "twice")))
    mark = find(talk.shop.ledger, "2027-01b/card")
    assert mark is not None
    assert (mark.state, mark.by, mark.at) == ("not needed", OWNER, NOW)


def test_quicker_carriage_is_to_be_agreed_and_is_told_with_the_order() -> None:
    talk = chat()
    talk.hear("faster carriage for the pin")
    text = talk.say("do it")
    assert "Agree it with Hangfeng today, as you order: in hand by Mon 11 Jan." in text
    assert "pin: in hand Mon 11 Jan as agreed, once it is ordered." in text
    talk.touch("Ordered, in hand Mon 11 Jan")
    bought = find(talk.shop.purchases, PIN)
    assert bought is not None
    assert (bought.promised, bought.ordered) == (date(2027, 1, 11), TODAY)
    assert at_risk(talk.shop, TODAY) == ()


# --- a box ----------------------------------------------------------------------------------


def test_a_box_with_one_late_item_has_that_items_ways() -> None:
    assert chat().say("rescue January").startswith("Ways out: pin (January)")


def test_a_box_with_several_names_them_with_a_button_each() -> None:
    slow = replace(LATE.suppliers[1], transit_days=60)
    talk = chat(apply(LATE, (Put(slow),)))
    text = talk.say("what can I do about January")
    assert text.startswith("January cannot ship complete Fri 15 Jan")
    assert [line[:6] for line in text.split("\n")[1:3]] == ["1. tea", "2. pin"]
    assert talk.say("2").startswith("Ways out: pin (January)")


def test_a_box_that_is_well_says_so() -> None:
    text = chat().say("rescue April")
    assert text.startswith("April can ship complete Thu 15 Apr as things stand.")
    assert "Tightest: " in text


def test_how_a_box_is_says_at_once_that_it_cannot_ship_complete() -> None:
    talk = chat()
    text = talk.say("how is January")
    assert "Cannot ship complete Fri 15 Jan: pin, in hand Wed 20 Jan, 7 working days late." in text
    assert "Tightest" not in text
    assert talk.touch("Ways out").startswith("Ways out: pin (January)")
    talk.hear("how is April")
    assert "Ways out" not in talk.buttons


def test_what_is_late_has_the_ways_out_of_what_cannot_be_in_time() -> None:
    talk = chat()
    talk.hear("what is late")
    assert talk.touch("Ways out: pin").startswith("Ways out: pin (January)")


def test_a_box_that_is_not_at_risk_tells_its_chance() -> None:
    assert "nine in ten" in chat().say("how is April")
    assert "nine in ten" not in chat().say("how is January")


# --- refused --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ("what can I do about the tea", ("tea (January) is not late", "working days of float")),
        ("wait for the tea", ("no way out for it as things stand", "is not late")),
        ("way out for pin for 2027-01: swap with February", ("In January: map, in hand",)),
        ("way out for pin for 2027-01: magic", ('"magic" is no way out I know', "pack twice")),
        ("rescue the pin by magic", ('"magic" is no way out I know',)),
        ("way out for pin for 2027-01: take offer 00000000", ("that offer is not there",)),
        ("rescue June", ("Nothing is planned for June that could be late", "how is June")),
    ],
)
def test_what_cannot_be_is_said_and_changes_nothing(said: str, words: tuple[str, ...]) -> None:
    talk = chat()
    text = talk.say(said)
    assert talk.changes == ()
    for word in words:
        assert word in text, text


def test_what_is_in_hand_needs_no_rescue() -> None:
    text = chat(done(LATE, f"{PIN}/stock")).say("what can I do about the pin")
    assert "pin (January) is in hand: nothing is late." in text


def test_which_of_two_of_one_name_is_asked() -> None:
    twin = replace(LATE.items[0], id="2027-02.pin", box="2027-02")
    talk = chat(apply(LATE, (Put(twin),)))
    text = talk.say("what can I do about the pin")
    assert "could be 2 items" in text
    assert talk.say("2").startswith("Ways out: pin (February)")


@pytest.mark.parametrize("said", ["ways out for pin for 2027-01", "rescue 2027-01"])
def test_what_has_shipped_is_not_rescued(said: str) -> None:
    sent = apply(LATE, (Put(Mark("2027-01/ship", "done")),))
    talk = chat(sent, datetime(2027, 1, 20, 9, tzinfo=UTC))
    text = talk.say(said)
    assert talk.changes == ()
    assert "shipped Fri 15 Jan" in text


def test_a_ship_day_that_is_past_has_to_be_set_anew_first() -> None:
    talk = chat(LATE, datetime(2027, 1, 18, 9, tzinfo=UTC))
    text = talk.say("ways out for pin for 2027-01")
    assert "that day is past" in text
    example = text.partition("for example: ")[2]
    talk.say(example)
    assert talk.changes


def test_a_shop_without_a_plan_has_nothing_to_rescue() -> None:
    assert "No box is planned yet" in Chat(now=NOW).say("rescue March")


# --- helpers, names -------------------------------------------------------------------------


def test_a_helper_is_told_no_costs() -> None:
    people = (Person(id="p1", chat=OWNER, name="Mara", role="owner"), Person("p2", HELPER, "Anna"))
    made = replace(LATE, people=people)
    made = apply(made, let_owner_in(made, OWNER, NOW).notes)
    talk = chat(made)
    talk.hear("ways out for the pin")
    assert any("\u00a3" in line for line in told(talk))
    talk.hear("ways out for the pin", sender=HELPER)
    assert any("Ways out" in line for line in told(talk))
    assert not any("\u00a3" in line for line in told(talk))


@given(NAMES, NAMES)
def test_buttons_are_understood_whatever_an_item_is_called(name: str, other: str) -> None:
    if not distinct(name, other):
        return
    shop, id, nothing = named(name, other), "2027-03.0", Talk(id="t")
    pairs = (
        (says.rescue_item(shop, id), Rescue(id)),
        (says.rescue_box("2027-03"), Rescue(box="2027-03")),
        *((says.take(shop, id, way), TakeRescue(id, way)) for way in ("wait", "faster", "twice")),
        (says.take(shop, id, "swap", "2027-05"), TakeRescue(id, "swap", "2027-05")),
        (says.take(shop, id, "move", "2027-05"), TakeRescue(id, "move", "2027-05")),
        (says.take(shop, id, "later", "2027-05.0"), TakeRescue(id, "later", "2027-05.0")),
    )
    for said, meant in pairs:
        assert understand(said, shop, nothing, TODAY) == (meant,), said
        if isinstance(meant, TakeRescue):
            sure = replace(meant, sure=True)
            assert understand(now(said), shop, nothing, TODAY) == (sure,)


def test_a_way_needs_an_item_that_is_there() -> None:
    said = "way out for nothing for 2027-01: wait"
    assert isinstance(understand(said, LATE, Talk(id="t"), TODAY), Question)
