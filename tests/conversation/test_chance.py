"""How likely a box is to be complete: whole conversations. Shops and suppliers are invented."""

import re
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.conversation.handle.chance import chance_line
from assistant.conversation.month_requests import ShowChance
from assistant.conversation.replies.chance import HARDLY, ODDS, odds
from assistant.conversation.sentences import chance as says
from assistant.conversation.understand import understand
from assistant.planning.changes import apply
from assistant.planning.model import Delivery, Kept, Purchase, Put, Shop, Talk
from assistant.planning.month.arrivals import item_curve
from assistant.planning.month.track import records
from tests.conversation.chat import Chat, plan_of
from tests.conversation.meant import SHOP, TODAY
from tests.trade import MONTHS, shop

MONDAY = date(2027, 1, 11)
PLAN = (
    "Aldermoor: lead 10d, transit 2d, closed 24 Dec-2 Jan yearly",
    "Brackenfold: lead 15d, week Tue-Sat",
    "Hangfeng CN: confirm 2d, lead 20d, transit 12d, closed 2027-01-28 to 2027-02-17",
    "2027-01 Frost: candle@Hangfeng; cup@Hangfeng; tin@Hangfeng",
    "2027-03 Rain: field notebook@Aldermoor; mint tea@Brackenfold",
    "2027-04 Moss: enamel pin@Hangfeng",
    "2027-05 First swifts: clay bead@Hangfeng, lead 30d; print@Aldermoor, lead 5d",
)
BEAD, NOTEBOOK = "2027-05.clay bead", "2027-03.field notebook"


def chat(*happened: Kept) -> Chat:
    return Chat(apply(shop(*PLAN, subscribers=420), map(Put, happened)))


def late(*names: str, days: int = 24) -> tuple[Kept, ...]:
    """Deliveries of Hangfeng's that came so many days after the day promised."""
    promised = date(2026, 12, 4)
    found: list[Kept] = []
    for name in names:
        item = f"2027-01.{name}"
        found.append(Purchase(item, 460, ordered=date(2026, 10, 20), first_promised=promised))
        found.append(Delivery(item, item, promised + timedelta(days), 460, 3))
    return tuple(found)


def dates_in(text: str) -> list[str]:
    return re.findall(r"by (\w{3} \d+ \w{3})", text)


def in_2027(day: str) -> date:
    """The date of "Fri 12 Mar"."""
    _, number, month = day.split()
    return date(2027, MONTHS[month], int(number))


def lines(text: str) -> list[str]:
    return text.split("\n")[1:]


# --- a box ----------------------------------------------------------------------------------


def test_a_box_is_told_in_plain_words_with_its_dates_and_its_weak_spot() -> None:
    said = chat()
    before = plan_of(said.shop)
    text = said.say("how likely is it that all is in for May")
    assert text.startswith(
        "May: packing from Tue 11 May\nNine in ten that all is in by Mon 10 May,"
    )
    assert "if ordered by (latest by the quotes in brackets):" in text
    assert re.search(r"\u2022 clay bead by \w{3} \d+ \w{3} \(Fri 12 Mar\)", text)
    assert re.search(r"\u2022 print by \w{3} \d+ \w{3} \(\w{3} \d+ \w{3}\)", text)
    assert "Ordered as late as the quotes allow: " in text
    assert re.search(r"Weak spot: clay bead; order by \w{3} \d+ \w{3} for 95%\.", text)
    assert "Rests on quotes and their usual spread." in text
    assert len(lines(text)) <= 9
    assert plan_of(said.shop) == before


def test_its_dates_are_the_earlier_the_surer() -> None:
    said = chat()
    nine = lines(said.say("chance of May"))[2]
    assert "Dates for 95%" in said.buttons
    more = lines(said.touch("Dates for 95%"))
    assert more[0].startswith("95% that all is in by Mon 10 May")
    (first,), (second,) = dates_in(nine), dates_in(more[2])
    assert in_2027(second) < in_2027(first)
    assert "Dates for 95%" not in said.buttons


def test_what_can_be_had_no_more_is_said_with_ways_out() -> None:
    said = chat()
    said.now = datetime(2027, 3, 1, 9, tzinfo=UTC)
    text = said.say("will April be in on time")
    head = lines(text)
    assert head[0].endswith("that all is in by Fri 9 Apr, even if all is ordered today.")
    assert head[1].startswith("Nine in ten is out of reach; ")
    assert "enamel pin today (" in text
    assert said.buttons["Ways out"] == "ways out for enamel pin for 2027-04"
    assert "even if ordered today" in text.split("Weak spot: enamel pin")[1]


def test_what_falls_just_short_is_not_said_in_the_words_of_what_was_asked() -> None:
    """Searched for the days on which the most that can be had is nearly nine in ten."""
    seen = set()
    for day in range(60):
        said = chat()
        said.now = datetime(2027, 1, 4, 9, tzinfo=UTC) + timedelta(day)
        head = lines(said.say("chance of April"))
        if len(head) > 1 and "out of reach" in head[1]:
            assert not head[0].startswith("Nine in ten")
            seen.add(head[0].split(" that")[0])
    assert any(one.endswith("%") for one in seen)


def test_a_box_that_is_all_ordered_is_told_as_things_stand() -> None:
    said = chat()
    said.hear("done: order field notebook for 2027-03")
    said.hear("done: order mint tea for 2027-03")
    text = said.say("how sure is March")
    assert lines(text)[0] == "All but sure that all is in by Tue 9 Mar, as things stand."
    assert "\u2022 mint tea, ordered: all but sure" in text
    assert "Ways out" not in said.buttons
    said.hear("done: stock field notebook for 2027-03")
    said.hear("done: stock mint tea for 2027-03")
    assert said.say("how sure is March") == "All is in hand for March."


def test_nothing_to_come_is_said_to_be_so() -> None:
    said = chat()
    assert said.say("chance of June").startswith("June has no items yet. For example: add to June")
    said.hear("add to July: tea")
    said.hear("drop tea for 2027-07")
    assert "July has no items yet" in said.say("chance of July")
    assert "is over" in said.say("chance of November 2026")


def test_the_box_spoken_of_is_meant() -> None:
    said = chat()
    assert "name a month" in said.say("how sure are we")
    said.hear("how is March")
    assert said.say("how sure are we").startswith("March: packing from ")
    assert said.say("order dates for 80%").startswith("March: packing from ")


# --- an item --------------------------------------------------------------------------------


def test_an_item_is_told_by_order_date() -> None:
    said = chat()
    text = said.say("chance of the clay bead")
    told = [line for line in lines(text) if line.startswith("\u2022")]
    assert len(told) == 3
    assert told[0].endswith("19 in 20")
    assert "Fri 12 Mar, the latest by its quote: " in told[2]
    assert re.search(r"For nine in ten of all May: by \w{3} \d+ \w{3}\.", text)
    made = said.shop
    curve = item_curve(made, next(one for one in made.items if one.id == BEAD), MONDAY)
    assert curve is not None
    for line in told:
        (on,) = dates_in(line)
        day = in_2027(on)
        assert line.endswith(odds(curve.chance(day)))
        assert curve.chance(day + timedelta(1)) < curve.chance(day)


def test_the_order_date_for_a_chance() -> None:
    said = chat()
    text = said.say("when must I order the clay bead for 95%")
    (by,) = dates_in(lines(text)[0])[:1]
    assert f"Order it by {by} for 95% that it is in hand by Mon 10 May." in text
    assert "Latest by its quote: Fri 12 Mar (one in two)." in text
    assert by in said.say("and for 95%")
    said.now = datetime(2027, 3, 30, 9, tzinfo=UTC)
    text = said.say("when must I order the clay bead for 95%")
    assert lines(text)[0] == "95% is out of reach."
    assert "Ordered today: " in text
    assert "Latest by its quote: Fri 12 Mar (past)." in text
    assert "Ways out" in said.buttons


def test_what_an_order_on_a_day_comes_to() -> None:
    said = chat()
    today = said.say("what if I order the clay bead today")
    assert "Ordered today: all but sure that it is in hand by Mon 10 May." in today
    later = said.say("what if I order the clay bead on 12 March")
    assert "Ordered Fri 12 Mar: one in two" in later
    assert re.search(r"For 95% the day is \w{3} \d+ \w{3}\.", later)
    assert "in the past" in said.say("what if I order the clay bead on 4 January 2027")
    said.now = datetime(2027, 3, 30, 9, tzinfo=UTC)
    assert "For 95% the day was " in said.say("is it too late to order the clay bead")


def test_what_is_ordered_is_told_as_things_stand_with_the_day_promised() -> None:
    ordered = Purchase(NOTEBOOK, 460, ordered=MONDAY, promised=date(2027, 3, 8), said=MONDAY)
    said = chat(ordered)
    said.hear("done: order field notebook for 2027-03")
    text = said.say("chance of the notebook")
    assert re.search(r"Ordered: .* that it is in hand by Tue 9 Mar, as things stand\.", text)
    assert "They say Mon 8 Mar." in text
    sooner = chat(Purchase(NOTEBOOK, 460, ordered=MONDAY, promised=date(2027, 2, 1), said=MONDAY))
    sooner.hear("done: order field notebook for 2027-03")
    assert "Ordered: all but sure that it is in hand" in sooner.say("chance of the notebook")
    said.hear("done: stock field notebook for 2027-03")
    assert said.say("chance of the notebook") == "Field notebook is in hand already."


def test_what_came_in_part_awaits_the_rest() -> None:
    ordered = Purchase(NOTEBOOK, 460, ordered=date(2026, 12, 1))
    said = chat(ordered, Delivery("first", NOTEBOOK, MONDAY, 400))
    said.hear("done: order field notebook for 2027-03")
    text = said.say("chance of the notebook")
    assert "that the rest of it is in hand by Tue 9 Mar" in text
    assert "400 of 460 came so far." in text


def test_what_is_not_known_is_named_once() -> None:
    said = Chat(shop("2027-03: card; tin", subscribers=420))
    text = said.say("chance of March")
    assert text.count("No supplier is known yet. Say: ") == 1


# --- records --------------------------------------------------------------------------------


def test_three_late_deliveries_move_the_chance_the_dates_and_what_it_rests_on() -> None:
    bare, known = chat(), chat(*late("candle", "cup", "tin"))
    before, after = bare.say("chance of May"), known.say("chance of May")
    assert lines(before)[0].startswith("Nine in ten that all is in")
    assert "Weak spot: clay bead" in after
    assert before != after
    assert "Rests on 3 deliveries of Hangfeng; else on quotes and what others did." in after
    first, second = bare.say("chance of the clay bead"), known.say("chance of the clay bead")
    assert "the latest by its quote: one in two" in first
    assert re.search(r"the latest by its quote: (one in (four|five|ten|twenty)|hardly)", second)
    assert "Rests on 3 deliveries of Hangfeng; few, so the usual counts too." in second


def test_deliveries_told_in_the_chat_build_up_the_record() -> None:
    """Three orders promised for 18 December, and what came of them, in the owner's own words."""
    said = Chat(
        shop(
            "Hangfeng CN: confirm 2d, lead 20d, transit 12d",
            "2027-03 Frost: candle@Hangfeng; cup@Hangfeng; tin@Hangfeng",
            "2027-07 First swifts: clay bead@Hangfeng, lead 30d",
            subscribers=420,
        ),
        datetime(2026, 11, 2, 9, tzinfo=UTC),
    )
    for name in ("candle", "cup", "tin"):
        said.hear(f"ordered 460 {name}, they say 18 December")
    seen = []
    for name, day in (("candle", 8), ("cup", 14), ("tin", 27)):
        said.now = datetime(2027, 1, day, 9, tzinfo=UTC)
        said.hear(f"{name}: 460 of 460 came, 6 bent")
        text = said.say("chance of July")
        seen.append(in_2027(dates_in(lines(text)[2])[0]))
    assert seen == sorted(seen, reverse=True)
    assert len(set(seen)) == 3
    assert "Ordered as late as the quotes allow: one in five." in text
    assert "Rests on 3 deliveries of Hangfeng; few, so the usual counts too." in text
    page = said.say("show supplier Hangfeng")
    assert "3 deliveries: 0 of 3 on time, 29.3 days late on average, 40 at worst" in page
    assert "Of its pieces 1.3% damaged" in page


def test_each_late_delivery_lowers_the_chance() -> None:
    names = ("candle", "cup", "tin")
    made = [chat(*late(*names[:number])).shop for number in range(4)]
    seen = [chance_of_quote(one) for one in made]
    assert seen == sorted(seen, reverse=True)
    assert len(set(seen)) == 4


def chance_of_quote(made: Shop) -> float:
    """The chance of the clay bead if it is ordered as late as its quote allows."""
    item = next(one for one in made.items if one.id == BEAD)
    curve = item_curve(made, item, MONDAY, records(made))
    assert curve is not None
    return curve.chance(date(2027, 3, 12))


def test_a_suppliers_page_shows_its_record() -> None:
    text = chat(*late("candle", days=0), *late("cup", days=9)).say("show supplier Hangfeng")
    assert "2 deliveries: 1 of 2 on time, 4.5 days late on average, 9 at worst" in text
    assert "Of its pieces 0.7% damaged" in text
    early = chat(*late("candle", days=-2)).say("show supplier Hangfeng")
    assert "1 delivery: 1 of 1 on time, 2 days early on average" in early
    assert "deliver" not in chat().say("show supplier Hangfeng")


# --- beside the plan ------------------------------------------------------------------------


def test_one_line_tells_the_dates_of_a_chance_from_those_of_the_quotes() -> None:
    said = chat()
    said.hear("chance of May")
    found = chance_line(said.shop, "2027-05", MONDAY)
    assert re.fullmatch(
        r"For nine in ten order clay bead by \w{3} \d+ \w{3} \(latest by its quote: Fri 12 Mar\)"
        r" and print by \w{3} \d+ \w{3}\.",
        found,
    )
    late_on = chance_line(said.shop, "2027-04", date(2027, 3, 1))
    assert late_on.endswith("that all is in by Fri 9 Apr, even if all is ordered today.")
    assert chance_line(said.shop, "2027-07", MONDAY) == ""


# --- what cannot be meant -------------------------------------------------------------------


@pytest.mark.parametrize(
    ("asked", "why", "button"),
    [
        ("120%", "120% is more than sure", "For 99%"),
        ("100%", "100% would be sure, and what is still to come never is", "For 99%"),
        ("99.9%", "99.9% is too near to sure", "For 99%"),
        ("0%", "0% asks for no chance at all", "For 95%"),
        ("-5%", "-5% asks for no chance at all", "For 95%"),
        ("20%", "20% is less than an even chance", "For 50%"),
        ("one in ten", "10% is less than an even chance", "For 50%"),
    ],
)
@pytest.mark.parametrize("of", ["order dates for March at", "when must I order the clay bead for"])
def test_a_chance_that_cannot_be_asked_for(of: str, asked: str, why: str, button: str) -> None:
    said = chat()
    before = plan_of(said.shop)
    text = said.say(f"{of} {asked}")
    assert text.startswith(f"{why}: choose from 50% to 99%. For example: order date")
    assert list(said.buttons) == [button]
    assert "that all is in" in (text := said.touch(button)) or "that it is in hand" in text
    assert plan_of(said.shop) == before


@given(st.floats(0, 1))
def test_nothing_to_come_is_ever_said_to_be_certain(chance: float) -> None:
    words = odds(chance)
    assert words in {HARDLY, *(words for _, words in ODDS)}
    assert "certain" not in words
    assert words != "sure"


def test_plain_words_are_near_to_what_they_stand_for() -> None:
    """Each fraction that is said lies within 0.05 of every chance that is said so."""
    number = {"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "nine": 9, "ten": 10}
    number |= {"twenty": 20, "19": 19, "20": 20}
    for n in range(15, 985):
        words = odds(n / 1000)
        many, of = words.split(" in ")
        assert abs(number[many] / number[of] - n / 1000) < 0.0501


# --- buttons --------------------------------------------------------------------------------


@pytest.mark.parametrize("item", [one.id for one in SHOP.items])
def test_what_buttons_say_of_an_item_is_understood_back(item: str) -> None:
    percent, on = Decimal(95), date(2027, 1, 20)
    for said, meant in (
        (says.of_item(SHOP, item), ShowChance(item=item)),
        (says.of_item(SHOP, item, percent), ShowChance(item=item, confidence=percent)),
        (says.of_item(SHOP, item, None, on), ShowChance(item=item, on=on)),
    ):
        assert understand(said, SHOP, Talk(id="new"), TODAY) == (meant,)


@given(st.decimals(50, 99, places=1), st.sampled_from(SHOP.boxes))
def test_what_buttons_say_of_a_box_is_understood_back(percent: Decimal, box: object) -> None:
    id = getattr(box, "id", "")
    for said, meant in (
        (says.of_box(id), ShowChance(box=id)),
        (says.of_box(id, percent), ShowChance(box=id, confidence=percent)),
    ):
        assert understand(said, SHOP, Talk(id="new"), TODAY) == (meant,)
