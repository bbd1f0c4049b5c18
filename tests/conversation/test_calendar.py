"""The calendar in the chat: sent, shared, withdrawn."""

import re
from datetime import UTC, datetime

import pytest
from icalendar import Calendar
from msgspec.structs import replace

from assistant.conversation.file_requests import SendCalendar, ShareCalendar, WithdrawCalendar
from assistant.conversation.messages import File
from assistant.conversation.sentences import calendar as says
from assistant.conversation.understand import understand
from assistant.planning.issued import hashed
from assistant.planning.model import Feed, Person, Place, Shop
from assistant.planning.records import FeedRule
from tests.conversation.chat import OWNER, Chat, plan_of
from tests.conversation.meant import SHOP, TALK, TODAY
from tests.trade import shop

HELPER, OTHER, GROUP = "telegram:2", "telegram:3", "telegram:-100"
ADDRESS = re.compile(r"http://127\.0\.0\.1:8420/calendar/([A-Za-z0-9_-]{22})\.ics")


SERVED = FeedRule(port=8420)


def chat(*texts: str, rule: FeedRule = SERVED) -> Chat:
    made = shop(*(texts or ("2027-03 Rain: notebook 450 x 3.10; pin", "2027-05 Swifts: tea")))
    people = (
        Person("p1", OWNER, name="Mara", role="owner"),
        Person("p2", HELPER, name="Anna"),
        Person("p3", OTHER, name="Kit", role="owner"),
    )
    made = replace(made, people=people, places=(Place(GROUP, "Packers"),))
    return Chat(replace(made, house=replace(made.house, feed=rule)))


def sent(c: Chat) -> File:
    (file,) = c.outcome.files
    reply = next(one for one in c.outcome.replies if one.document)
    assert (reply.document, reply.document_name) == (file.id, file.name)
    return file


def titles(c: Chat) -> dict[str, str]:
    events = Calendar.from_ical(sent(c).content).events
    return {str(one["SUMMARY"]): str(one["STATUS"]) for one in events}


# --- as a file ------------------------------------------------------------------------------


def test_the_calendar_is_sent_as_a_file_with_a_clear_name() -> None:
    c = chat()
    text = c.say("send me the calendar")
    assert text.startswith("Calendar\n")
    assert "dates up to Fri 14 May" in text
    assert "Open it on your phone" in text
    assert sent(c).name == "My shop calendar (2027-01-11).ics"
    assert "Ship March: Rain" in titles(c)
    assert "Ship May: Swifts" in titles(c)
    assert max(map(len, text.splitlines())) < 100


def test_the_calendar_of_one_box() -> None:
    c = chat()
    assert c.say("calendar of March").startswith("Calendar of March\n")
    assert sent(c).name == "My shop calendar 2027-03 (2027-01-11).ics"
    assert not any("May" in title for title in titles(c))
    c.touch("The whole year")
    assert any("May" in title for title in titles(c))


def test_it_is_nobodys_to_undo_and_changes_no_plan() -> None:
    c = chat()
    c.say("March theme fog")
    before = plan_of(c.shop)
    c.say("calendar")
    assert c.changes == ()
    assert replace(plan_of(c.shop), issued=()) == before
    issued = c.shop.issued
    assert {one.id for one in issued} == {"", "2027-03", "2027-05"}
    c.say("undo")  # the theme
    assert c.shop.issued == issued


def test_what_went_away_is_said_and_cancelled() -> None:
    c = chat()
    c.say("calendar")
    c.say("drop the pin now")
    text = c.say("calendar")
    assert "that went away: marked as cancelled" in text
    assert titles(c)["Order pin (March)"] == "CANCELLED"
    c.say("undo")
    assert "went away" not in c.say("calendar")
    assert titles(c)["Order pin (March)"] == "CONFIRMED"


def test_sent_twice_it_is_the_same_but_for_its_moment() -> None:
    c = chat()
    c.say("calendar")
    first = sent(c).content
    c.say("calendar")
    stamp = re.compile(rb"DTSTAMP:\w+")
    assert stamp.sub(b"", sent(c).content) == stamp.sub(b"", first)


def test_the_reminders_are_at_the_hour_of_whoever_asks() -> None:
    c = chat()
    c.say("nudge me at 7:15", sender=HELPER)
    hours = {}
    for sender in (OWNER, HELPER):
        c.hear("calendar", sender=sender)
        alarms = Calendar.from_ical(sent(c).content).walk("VALARM")
        hours[sender] = {f"{one['TRIGGER'].dt:%M}" for one in alarms}
    assert hours == {OWNER: {"00"}, HELPER: {"15"}}


def test_a_helper_may_have_it_and_a_group_too_and_there_is_no_money_in_it() -> None:
    c = chat()
    c.hear("calendar", sender=HELPER)
    assert b"3.10" not in sent(c).content
    assert "Share the calendar" not in c.buttons
    c.hear("calendar", sender=OWNER, chat=GROUP)
    assert b"3.10" not in sent(c).content
    assert c.shop.items[0].unit_cost is not None  # nothing of the plan was lost
    seeds = {one.seed for one in c.shop.issued if not one.id}
    assert len(seeds) == 1


def test_an_empty_plan_and_an_empty_month_are_refused_with_what_would_work() -> None:
    c = Chat()
    text = c.say("calendar file")
    assert text.startswith("Nothing is dated yet")
    assert not c.outcome.files
    assert understand("March theme rain and roots", SHOP, TALK, TODAY)
    c = chat()
    assert "Nothing of July is dated" in c.say("calendar of July")
    assert not c.outcome.files
    assert c.shop.issued == ()


def test_a_plan_that_was_emptied_is_cancelled_whole() -> None:
    c = chat("2027-03 Rain: pin")
    c.say("calendar")
    c.shop = replace(c.shop, boxes=(), items=())
    c.say("calendar")
    assert set(titles(c).values()) == {"CANCELLED"}


# --- at an address --------------------------------------------------------------------------


def address(c: Chat) -> str:
    (found,) = {token for one in c.outcome.replies for token in ADDRESS.findall(one.text)}
    return str(found)


def test_an_address_is_told_once_and_only_its_hash_is_kept() -> None:
    c = chat()
    text = c.say("share the calendar")
    token = address(c)
    assert "Subscribe to it" in text
    assert "on the machine that I run on, and nowhere else" in text
    (feed,) = c.shop.feeds
    at = datetime(2027, 1, 11, 9, tzinfo=UTC)
    assert feed == Feed(hashed(token), "p1", at)
    assert token not in repr(c.shop)
    assert [one.id for one in c.shop.issued] == [""]
    assert token not in c.say("history")
    assert c.changes == ()


def test_sharing_again_takes_the_place_of_her_own_address_alone() -> None:
    c = chat()
    c.say("share the calendar")
    first = address(c)
    c.hear("share the calendar", sender=OTHER)
    other = address(c)
    assert "from before works no more" in c.say("share the calendar")
    second = address(c)
    assert len({first, other, second}) == 3
    assert {one.id for one in c.shop.feeds} == {hashed(other), hashed(second)}


def test_what_was_withdrawn_cannot_be_brought_back() -> None:
    c = chat()
    c.say("March theme fog")
    c.say("share the calendar")
    c.hear("share the calendar", sender=OTHER)
    assert "All 2 addresses" in c.say("withdraw the calendar address")
    assert c.shop.feeds == ()
    for words in ("undo", "undo", "put it back", "undo 2", "undo 3", "undo 4", "undo 5"):
        c.say(words)
        assert c.shop.feeds == ()
    assert "No address of the calendar is out" in c.say("stop sharing the calendar")
    assert "For example" not in c.say("withdraw the calendar address")


def test_withdrawing_by_its_button() -> None:
    c = chat()
    c.say("share the calendar")
    assert c.touch("Withdraw it").startswith("The calendar's address works no more")
    c.touch("Share the calendar")
    assert len(c.shop.feeds) == 1


@pytest.mark.parametrize("said", ["share the calendar", "withdraw the calendar address"])
def test_only_owners_share_and_withdraw(said: str) -> None:
    c = chat()
    c.say("share the calendar")
    feeds = c.shop.feeds
    assert "Only an owner can" in c.say(said, sender=HELPER)
    assert c.shop.feeds == feeds


def test_in_a_group_the_address_goes_to_its_owner_alone() -> None:
    c = chat()
    c.hear("share the calendar", chat=GROUP)
    here, alone = c.outcome.replies
    assert not ADDRESS.search(here.text)
    assert here.to == ""
    assert alone.to == OWNER
    assert ADDRESS.search(alone.text)
    (feed,) = c.shop.feeds
    assert feed.id == hashed(address(c))


def test_where_none_is_served_it_says_how_it_would_be() -> None:
    c = chat(rule=FeedRule())
    text = c.say("share the calendar")
    assert "none is served here" in text
    assert "--feed-port 8420" in text
    assert c.shop.feeds == ()
    c.touch("As a file")
    assert sent(c)
    assert "Share the calendar" not in c.buttons


@pytest.mark.parametrize(
    ("rule", "begins", "public"),
    [
        (FeedRule(port=8420), "http://127.0.0.1:8420", False),
        (FeedRule(port=8420, listen="::1"), "http://[::1]:8420", False),
        (FeedRule(port=8420, listen="0.0.0.0"), "http://0.0.0.0:8420", True),
        (FeedRule(port=8420, address="https://moss.example/x/"), "https://moss.example/x", True),
        (FeedRule(address="https://moss.example"), "", True),
    ],
)
def test_what_an_address_begins_with(rule: FeedRule, begins: str, public: bool) -> None:
    assert (rule.begins, rule.public) == (begins, public)
    text = chat(rule=rule).say("share the calendar")
    assert f"{begins}/calendar/" in text or not begins
    assert ("nowhere else" in text) == (bool(begins) and not public)


def test_one_message_that_makes_a_code_and_an_address_makes_two_secrets() -> None:
    c = chat()
    c.say("let a helper in")
    code = c.outcome.replies[0].text
    c.say("share the calendar")
    assert address(c)[:4] not in code


# --- calendars are goods, too -----------------------------------------------------------------


@pytest.mark.parametrize(
    "said",
    [
        "a calendar for December",
        "advent calendar",
        "count down calendar with seeds",
        "moon calendar for March",
        "another calendar",
        "a wall calendar with pressed flowers",
    ],
)
def test_a_calendar_to_be_sold_is_kept_as_an_idea(said: str) -> None:
    c = chat()
    assert c.say(said).startswith("Kept")
    assert not c.outcome.files


# --- what buttons say -----------------------------------------------------------------------


def test_what_a_button_says_is_understood_back() -> None:
    said: dict[str, object] = {
        says.calendar_file(): SendCalendar(),
        says.calendar_file("2027-03"): SendCalendar("2027-03"),
        says.calendar_file("2029-03b"): SendCalendar("2029-03b"),
        says.share_calendar(): ShareCalendar(),
        says.withdraw_calendar(): WithdrawCalendar(),
    }
    for text, meant in said.items():
        for there in (SHOP, Shop(id="x", house=SHOP.house)):
            assert understand(text, there, TALK, TODAY) == (meant,)
