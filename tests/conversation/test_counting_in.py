"""Counting in and claims in chat; whole conversations. Shops, suppliers and goods are invented."""

from datetime import UTC, date, datetime, timedelta
from io import BytesIO

import pytest
from msgspec.structs import replace
from pypdf import PdfReader

from assistant.conversation.handle.nudging import morning
from assistant.conversation.month_requests import ClaimMet, CountIn, MakeClaim
from assistant.conversation.requests import MarkDone, Question, Request
from assistant.conversation.sentences import counting_in as says
from assistant.conversation.sentences import done
from assistant.conversation.understand import understand
from assistant.planning.changes import find
from assistant.planning.deadlines import deadline, deadlines
from assistant.planning.model import Claim, Delivery, Mark, Purchase, Shop, Talk
from assistant.planning.month.claims import key_of
from tests.conversation.chat import OWNER, Chat, plan_of
from tests.trade import shop

BOOK, BAG, LAMP = "2027-03.field notebook", "2027-03.linen bag", "2027-03.clip-on lamp"
MONDAY = date(2027, 3, 8)
NOW = datetime(2027, 3, 8, 9, tzinfo=UTC)
LINES = 9  # lines of one reply on a phone


def planned(*ordered: str) -> Shop:
    """A shop in which these items (all: none named) were ordered in January."""
    made = shop(
        "Aldermoor DE: transit 3d",
        "Hangfeng CN",
        "2027-03 Rain: field notebook@Aldermoor 460 x 3.10, lead 20d;"
        " linen bag@Aldermoor 440 x 1.20; clip-on lamp@Hangfeng",
        subscribers=420,
        name="Mossgate Field Club",
    )
    bought = [one for one in made.items if not ordered or one.id in ordered]
    at = datetime(2027, 1, 11, tzinfo=UTC)
    return replace(
        made,
        items=tuple(replace(one, case_pack=46 if one.id == BOOK else None) for one in made.items),
        ledger=tuple(Mark(f"{one.id}/order", "done", at=at) for one in bought),
        purchases=tuple(
            Purchase(one.id, quantity=one.quantity, ordered=at.date(), reference="2027-001")
            for one in bought
        ),
    )


def talked(made: Shop | None = None, *counted: tuple[str, int, int]) -> Chat:
    """A chat about that shop on Monday 8 March, in which so much was counted: item, pieces,
    damaged."""
    parts = tuple(
        Delivery(f"d{n}", item, MONDAY, pieces, bad)
        for n, (item, pieces, bad) in enumerate(counted)
    )
    return Chat(replace(made or planned(), deliveries=parts), NOW)


def claimed() -> Chat:
    chat = talked(None, (BOOK, 412, 6))
    chat.say("claim for the notebooks")
    return chat


def said(chat: Chat, text: str) -> tuple[Request, ...] | Question:
    return understand(text, chat.shop, Talk(id=OWNER), MONDAY)


def assert_nothing_changed(chat: Chat) -> None:
    assert chat.changes == ()


# --- the count-in sheet ---------------------------------------------------------------------


def test_the_sheet_of_one_item_fits_a_phone() -> None:
    told = talked().say("count in the notebooks").split("\n")
    assert told[0] == "Count in: field notebook for March"
    assert told[1].startswith("460 pieces from Aldermoor, expected ")
    assert told[2:6] == [
        "10 cartons of 46: open 4, from all over",
        "Look at 50: 4 bad ones are too many",
        "(1 in 10 bad is noticed 75 times in 100)",
        "Look for: bent corners, damp, print crooked or off colour, pages loose or missing",
    ]
    assert told[6:] == [
        "March needs 420 good ones",
        "Then say: 460 field notebook came, 1 damaged",
    ]


def test_what_it_says_to_say_then_is_understood() -> None:
    chat = talked()
    told = chat.say("count in the notebooks").split("\n")
    assert "Arrived" in chat.say(told[-1].removeprefix("Then say: "))


def test_the_sheet_of_a_supplier_lists_what_is_on_its_way() -> None:
    chat = talked()
    told = chat.say("count-in sheet for Aldermoor")
    assert "1. 460 field notebook (March)" in told
    assert "2. 440 linen bag (March)" in told
    assert "lamp" not in told
    assert len(told.split("\n")) <= LINES
    assert "Count in: linen bag" in chat.touch("linen bag")
    chat.say("count-in sheet for Aldermoor")
    assert "Count in: linen bag" in chat.say("2")


def test_goods_with_duties_have_a_button_to_their_cautions() -> None:
    made = planned()
    goods = (("lithium cells and batteries", True),)
    items = tuple(replace(one, goods=goods) if one.id == LAMP else one for one in made.items)
    chat = talked(replace(made, items=items))
    told = chat.say("count in the lamp")
    assert "Not known how many. Say: ordered 460 clip-on lamp" in told
    assert "One is too many: a swollen, hot or leaking cell" in told
    assert "Lithium cells" in chat.touch("What to check")


@pytest.mark.parametrize(
    "words", ["print the count-in sheet for March", "count-in sheet for Aldermoor as a page"]
)
def test_the_page_is_a_pdf_that_names_the_goods(words: str) -> None:
    chat = talked()
    assert "To print, with room to write" in chat.say(words)
    (file,) = chat.outcome.files
    assert file.name == "Mossgate Field Club count-in sheet (2027-03-08).pdf"
    text = PdfReader(BytesIO(file.content)).pages[0].extract_text()
    assert "Mossgate Field Club" in text
    assert "field notebook" in text
    assert_nothing_changed(chat)
    assert "Count in:" in chat.touch("In short")


def test_a_part_that_came_is_counted_off() -> None:
    told = talked(None, (BOOK, 400, 0)).say("count in the notebooks")
    assert "60 pieces more, after 400 good ones, from Aldermoor" in told
    assert "Look at 20: 2 bad ones are too many" in told


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("count in the bags", "linen bag (March) is not ordered yet, as I have it"),
        ("count in the notebooks", "All of field notebook (March) came: 460 good ones."),
        ("count-in sheet for Hangfeng", "Nothing from Hangfeng is on its way"),
        ("count-in sheet for June", "Nothing for June is on its way"),
        ("count-in sheet", "Nothing is on its way"),
    ],
)
def test_nothing_expected_is_said_and_nothing_changes(words: str, told: str) -> None:
    chat = talked(planned(BOOK), (BOOK, 460, 0))
    assert told in chat.say(words)
    assert_nothing_changed(chat)
    assert chat.outcome.files == ()


# --- a claim --------------------------------------------------------------------------------


def test_a_claim_is_a_note_to_paste_and_what_it_means() -> None:
    chat = talked(None, (BOOK, 412, 6))
    note, told = (f"{one.title}{one.text}" for one in chat.hear("claim for the notebooks").replies)
    assert note.split("\n") == [
        "Subject: order 2027-001, field notebook: 48 short, 6 damaged",
        "",
        "Dear Aldermoor,",
        "",
        "Order 2027-001, field notebook:",
        "- ordered: 460",
        "- came: 412, on Mon 8 Mar 2027",
        "- short: 48",
        "- damaged: 6 (photographs attached)",
        "",
        "Please send 54 good pieces, free of charge, in our hands by Tue 9 Mar 2027.",
        "If that cannot be, please credit them: 54 at £3.10, £167.40.",
        "Please tell us within three working days which it will be.",
        "We keep the damaged pieces and the cartons for you until then.",
        "",
        "Kind regards",
        "Mossgate Field Club",
    ]
    assert told.split("\n") == [
        "Claim kept for field notebook (March): 48 short, 6 damaged.",
        "March is 14 good ones short: 420 needed by Tue 9 Mar.",
        "To paste into a letter or a chat. You send it: I never do.",
        "Attach photos of the 6 damaged ones.",
        "If nothing comes of it: follow up Thu 11 Mar. I will nudge you.",
        "If the 48 are still on their way, claim the damaged only, or undo.",
    ]
    assert find(chat.shop.claims, BOOK) == Claim(
        BOOK, 48, 6, on=MONDAY, follow_up=date(2027, 3, 11), enough=460
    )


def test_enough_for_the_box_is_said() -> None:
    told = talked(None, (BOOK, 450, 6)).say("claim for the notebooks")
    assert "March has enough: 444 good ones, 420 needed, 24 to spare." in told
    assert "Please send 16 good pieces" in told


def test_undo_takes_a_claim_back_with_its_deadline() -> None:
    chat = claimed()
    chat.touch("Undo")
    assert chat.shop.claims == ()
    assert deadline(chat.shop, key_of(BOOK), MONDAY) is None


def test_to_claim_twice_does_not_double_it() -> None:
    chat = claimed()
    before = plan_of(chat.shop)
    told = chat.say("claim for the notebooks")
    assert "Claimed Mon 8 Mar: field notebook (March), 48 short, 6 damaged." in told
    assert "Dear Aldermoor" in told
    assert_nothing_changed(chat)
    assert plan_of(chat.shop) == before


def test_a_claim_is_brought_up_to_date() -> None:
    chat = claimed()
    bad = replace(chat.shop.deliveries[0], damaged=9)
    chat.shop = replace(chat.shop, deliveries=(bad,))
    assert "Claim changed for field notebook (March): 48 short, 9 damaged." in chat.say(
        "claim for the notebooks"
    )
    assert len(chat.shop.claims) == 1


def test_only_the_damaged_can_be_claimed() -> None:
    chat = claimed()
    told = chat.touch("Only the damaged")
    assert "Claim changed for field notebook (March): 6 damaged." in told
    assert "- came so far: 412" in told
    assert "short" not in told.partition("Kind regards")[0]


def test_the_supplier_alone_is_enough_where_one_thing_is_wrong() -> None:
    chat = talked(None, (BOOK, 412, 6))
    assert "Claim kept for field notebook" in chat.say("claim note to Aldermoor")


def test_of_several_it_is_asked_which() -> None:
    chat = talked(None, (BOOK, 412, 6), (BAG, 430, 0))
    assert "2 things from Aldermoor are short or damaged" in chat.say("claim note to Aldermoor")
    assert_nothing_changed(chat)
    assert "Claim kept for linen bag (March): 10 short." in chat.touch("linen bag (March)")
    chat.say("claim for the notebooks")
    assert "2 claims on Aldermoor are open" in chat.say("Aldermoor settled the claim")
    assert "linen bag (March) replaced" in chat.touch("linen bag (March)")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("claim for the bags", "Nothing of linen bag (March) is short or damaged: 440 of 440"),
        ("claim for the lamp", "Nothing of clip-on lamp (March) is counted yet"),
        ("claim for the damaged bags", "linen bag (March) is short or damaged: 440 of 440"),
        ("claim for the damaged notebooks", "No piece of field notebook (March) is damaged"),
        ("claim from Hangfeng", "Nothing from Hangfeng is short or damaged"),
        ("claim for the notebooks credited", "No claim for field notebook (March) is kept"),
        ("Aldermoor settled the claim", "No claim on Aldermoor is open"),
        ("Hangfeng replaced the notebooks", "field notebook is from Aldermoor"),
    ],
)
def test_what_cannot_be_claimed_is_said_and_nothing_changes(words: str, told: str) -> None:
    chat = talked(None, (BAG, 440, 0), (BOOK, 400, 0))
    before = plan_of(chat.shop)
    assert told in chat.say(words)
    assert_nothing_changed(chat)
    assert plan_of(chat.shop) == before


def test_an_item_without_a_supplier_is_claimed_from_nobody() -> None:
    made = planned()
    made = replace(made, items=tuple(replace(one, supplier="") for one in made.items))
    chat = talked(made, (BOOK, 412, 6))
    assert "has no supplier to claim from" in chat.say("claim for the notebooks")
    assert_nothing_changed(chat)


def test_trouble_that_comes_back_is_counted() -> None:
    chat = talked(None, (BOOK, 412, 6), (BAG, 440, 20))
    assert "Not the first from Aldermoor: 1 of 1 before were short or damaged." in chat.say(
        "claim for the notebooks"
    )


# --- followed up, made good -----------------------------------------------------------------


def test_its_follow_up_is_nudged_on_its_morning() -> None:
    chat = claimed()
    others = (one.key for one in deadlines(chat.shop, MONDAY) if one.key != key_of(BOOK))
    chat.shop = replace(chat.shop, ledger=tuple(Mark(key, "done") for key in others))
    outcome = morning(chat.shop, datetime(2027, 3, 11, 8, tzinfo=UTC))
    told = chat.told(outcome.replies, OWNER)
    assert "follow up the claim for field notebook (March)" in told


def test_its_follow_up_is_done_put_off_and_asked_about_by_words() -> None:
    chat = claimed()
    assert said(chat, done(chat.shop, key_of(BOOK))) == (MarkDone((key_of(BOOK),)),)
    assert said(chat, "done: follow up the claim for field notebook (March)") == (
        MarkDone((key_of(BOOK),)),
    )
    assert "Thu 11 Mar" in chat.say("when claim field notebook for 2027-03")
    assert "until Mon 15 Mar" in chat.say("put off 5 days: claim field notebook for 2027-03")
    assert "Done: follow up the claim" in chat.say("done: claim for the notebook")
    assert "Claimed again for field notebook" in chat.say("claim for the notebooks")


def test_a_credit_settles_a_claim_and_says_what_the_box_lacks() -> None:
    chat = claimed()
    told = chat.touch("Credited")
    assert "Aldermoor: field notebook (March) credited (48 short, 6 damaged)." in told
    assert "March is 14 good ones short" in told
    found = deadline(chat.shop, key_of(BOOK), MONDAY)
    assert found is not None
    assert found.state == "done"
    assert "was credited Mon 8 Mar; there is nothing more to claim" in chat.say(
        "claim for the notebooks"
    )
    assert "was credited Mon 8 Mar" in chat.say("Aldermoor credited the notebooks")
    assert_nothing_changed(chat)
    chat.say("undo")
    assert find(chat.shop.claims, BOOK) is not None
    assert chat.shop.claims[0].settled is None


def test_a_replacement_is_still_to_be_counted() -> None:
    chat = claimed()
    assert "When they are here, say: 54 field notebook came" in chat.touch("Replaced")
    later = Delivery("d9", BOOK, MONDAY + timedelta(1), 54)
    chat.shop = replace(chat.shop, deliveries=(*chat.shop.deliveries, later))
    told = chat.say("Aldermoor made good the notebooks")
    assert "was replaced Mon 8 Mar; there is nothing more to claim" in told


# --- words ----------------------------------------------------------------------------------


@pytest.mark.parametrize("page", [False, True])
@pytest.mark.parametrize(
    "request_",
    [CountIn(), CountIn(item=BOOK), CountIn(supplier="aldermoor"), CountIn(box="2027-03")],
)
def test_buttons_for_sheets_are_understood_back(request_: CountIn, page: bool) -> None:
    chat = talked()
    name = "Aldermoor" if request_.supplier else ""
    words = says.count_in(chat.shop, request_.item, name, request_.box, page=page)
    assert said(chat, words) == (replace(request_, page=page),)


@pytest.mark.parametrize("name", ["linen bag", "from Aldermoor", "damaged: 3 pins", "claim"])
def test_buttons_for_claims_are_understood_back(name: str) -> None:
    made = planned()
    items = tuple(replace(one, name=name) if one.id == BAG else one for one in made.items)
    chat = talked(replace(made, items=items))
    for how in says.HOW:
        assert said(chat, says.claim_met(chat.shop, BAG, how)) == (ClaimMet(BAG, how),)
    assert said(chat, says.make_claim(chat.shop, BAG)) == (MakeClaim(BAG),)
    only = says.make_claim(chat.shop, BAG, damaged_only=True)
    assert said(chat, only) == (MakeClaim(BAG, damaged_only=True),)
