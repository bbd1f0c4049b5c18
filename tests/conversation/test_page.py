"""The year as a web page in chat: which year is sent, to whom, with and without money."""

import re
from datetime import UTC, datetime

from assistant.conversation.messages import File, Reply
from tests.conversation.chat import Chat
from tests.conversation.rich import HELPER, OWNER, RICH, leaks
from tests.conversation.rich import NOW as RICH_NOW
from tests.sheets.years import ORDINARY
from tests.trade import shop

NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)
ASKED = "send me the year as a page"


def sent(one: Chat) -> tuple[Reply, File]:
    """The reply that carries the only file, and the file."""
    [file] = one.outcome.files
    [reply] = one.outcome.replies
    assert (reply.document, reply.document_name) == (file.id, file.name)
    return reply, file


def test_the_year_is_sent_as_one_page_and_how_to_open_it() -> None:
    c = Chat(ORDINARY, NOW)
    text = c.say(ASKED)
    _, file = sent(c)
    assert file.name == "Mossgate Field Club year 2027 (2026-11-25).html"
    assert file.content.startswith(b"<!DOCTYPE html>")
    assert text.startswith("The year 2027\n10 boxes, 14 items, £4.27 a box on average so far")
    assert text.splitlines()[-1] == "Open it in any browser, on a phone too; it needs no network."
    assert list(c.buttons) == ["As a picture", "To print"]
    assert c.changes == ()
    assert c.touch("To print").startswith("The year 2027")


def test_other_years_are_offered_and_can_be_asked_for() -> None:
    c = Chat(shop("2027-03 Rain", "2028-03 Moss"), NOW)
    c.say(ASKED)
    assert next(iter(c.buttons)) == "2028"
    assert c.touch("2028").startswith("The year 2028\n1 box")
    assert "2028" in sent(c)[1].name
    assert next(iter(c.buttons)) == "2027"


def test_a_year_without_boxes_is_refused_with_those_that_have_some() -> None:
    c = Chat(shop("2027-03 Rain"), NOW)
    text = c.say("web page of the year 2029")
    assert "No box is planned for 2029. The plan has boxes of 2027." in text
    assert c.outcome.files == ()
    assert c.touch("2027").startswith("The year 2027")


def test_without_a_plan_there_is_no_page() -> None:
    c = Chat(now=NOW)
    assert c.say(ASKED).startswith("Nothing is planned yet")
    assert c.outcome.files == ()


def test_the_running_year_is_the_one_of_the_year_sheet() -> None:
    months = [*range(6, 13), *range(1, 6)]
    made = shop(*(f"{2026 + (n > 6)}-{month:02} Rain" for n, month in enumerate(months)))
    c = Chat(made, datetime(2026, 6, 1, 9, tzinfo=UTC))
    assert c.say(ASKED).startswith("The year Jun 2026 to May 2027\n12 boxes")
    _, file = sent(c)
    assert file.content.count(b"<article") == 12
    assert list(c.buttons)[:2] == ["2026", "2027"]


# --- who may see money ------------------------------------------------------------------------

MONEY = re.compile(rb"\xc2\xa3|\xe2\x82\xac|Cost of one| each<")


def test_a_helper_gets_it_without_money() -> None:
    c = Chat(RICH, RICH_NOW)
    outcome = c.hear(ASKED, sender=HELPER)
    _, file = sent(c)
    assert not MONEY.search(file.content)
    assert b"field notebook" in file.content
    assert leaks(outcome, ASKED) == []


def test_an_owner_gets_it_with_money() -> None:
    c = Chat(RICH, RICH_NOW)
    c.hear(ASKED, sender=OWNER)
    _, file = sent(c)
    assert "£3.17 each" in file.content.decode()


def test_an_owner_in_a_group_gets_it_without_money() -> None:
    c = Chat(RICH, RICH_NOW)
    c.hear(ASKED, sender=OWNER, chat="telegram:-100")
    for file in c.outcome.files:
        assert not MONEY.search(file.content)
