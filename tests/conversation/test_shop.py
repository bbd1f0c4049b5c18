"""What a shop says of itself: numbers, calendar, mornings. The shop is invented."""

from datetime import date, time
from decimal import Decimal

import pytest

from assistant.conversation.handle import shop as handle
from assistant.conversation.messages import Outcome
from assistant.conversation.requests import ChangeMornings, ChangeShop
from assistant.planning.changes import apply
from assistant.planning.model import Morning, Person, Profile, Put, Shop
from tests.conversation.asking import OWNER, TODAY, after, asking, put, text
from tests.trade import shop

YEAR = shop("2027-03 Rain & Roots: notebook 450 x 3.10, lead 20d; tea 450 x 1.20", subscribers=420)


def ask(known: Shop, request: object, today: date = TODAY) -> Outcome:
    return handle.HANDLERS[type(request)](known, request, asking(today))


def test_lengths_are_kept_one_by_one() -> None:
    one = after(YEAR, ask(YEAR, ChangeShop(lengths=(("card", 15),))))
    two = after(one, ask(one, ChangeShop(lengths=(("pack", 4),))))
    again = ask(two, ChangeShop(lengths=(("card", 16),)))
    assert put(again, Profile)[0].lengths == (("card", 16), ("pack", 4))
    assert "card 16 working days, was card 15 working days" in text(again)


def test_a_new_currency_converts_nothing_and_says_so() -> None:
    outcome = ask(YEAR, ChangeShop(currency="EUR"))
    assert "money in EUR, was money in GBP" in text(outcome)
    assert "2 items have a cost without a currency: read as EUR now, nothing is" in text(outcome)


def test_a_new_country_forgets_the_old_part() -> None:
    outcome = ask(YEAR, ChangeShop(country="DE"))
    assert [(p.country, p.subdivision) for p in put(outcome, Profile)] == [("DE", "")]
    assert "in Germany, was in England" in text(outcome)


def test_what_is_known_already_changes_nothing() -> None:
    known = after(YEAR, ask(YEAR, ChangeShop(crew=2)))
    outcome = ask(known, ChangeShop(crew=2))
    assert outcome.changes == ()
    assert text(outcome) == "As I have it already: 2 people packing."


@pytest.mark.parametrize(
    ("request_", "words"),
    [
        (ChangeShop(price=Decimal("-2")), "the price of a box: -2"),
        (ChangeShop(crew=0), "For example: 2 people pack"),
        (ChangeShop(hours_per_day=25), "from 1 to 24"),
        (ChangeShop(boxes_per_hour=0), "For example: we pack 40 an hour"),
        (ChangeShop(zone="Mars/Olympus"), "know none of that name. For example: time zone"),
        (ChangeShop(lengths=(("glazing", 3),)), "I know pack, stock, dispatch"),
        (ChangeShop(lengths=(("ship", 3),)), "no stage of that name"),
        (ChangeShop(lengths=(("start", 3),)), "worked out from the plan (the lead time of"),
        (ChangeShop(lengths=(("card", 401),)), "from 0 to 400"),
        (ChangeMornings(zone="Nowhere/Land"), "know none of that name"),
    ],
)
def test_what_cannot_be_meant_is_refused_whole(request_: object, words: str) -> None:
    outcome = ask(apply(YEAR, (Put(OWNER),)), request_)
    assert outcome.changes == ()
    assert words in text(outcome)
    assert "For example: " in text(outcome)


# --- mornings -------------------------------------------------------------------------------

TOLD = apply(YEAR, (Put(OWNER), Put(Morning(OWNER.id, TODAY))))  # today's digest has been told


def test_an_hour_is_set_for_the_speaker_and_the_next_one_named() -> None:
    outcome = ask(TOLD, ChangeMornings(digest_at=time(7, 30)))
    assert [p.digest_at for p in put(outcome, Person)] == [time(7, 30)]
    assert text(outcome) == (
        "Your morning message comes at 07:30 (Europe/London), Monday to Friday, with the weekend "
        "told on Friday.\nThe next one: Tue 12 Jan, 07:30."
    )


def test_an_hour_in_the_quiet_hours_is_moved_and_said() -> None:
    outcome = ask(TOLD, ChangeMornings(digest_at=time(4)))
    assert "04:00 lies in the quiet hours, so it comes at 07:00." in text(outcome)
    assert "The next one: Tue 12 Jan, 07:00." in text(outcome)


def test_weekends_and_zone_are_hers_alone() -> None:
    outcome = ask(TOLD, ChangeMornings(weekends=True, zone="America/New_York"))
    assert "(America/New_York), every day." in text(outcome)
    assert put(outcome, Profile) == []


def test_somebody_in_a_group_has_no_morning_of_their_own() -> None:
    outcome = ask(YEAR, ChangeMornings(digest_at=time(7)))
    assert outcome.changes == ()
    assert "each in their own chat with me" in text(outcome)


def test_an_hour_in_the_quiet_time_is_said_to_be_moved() -> None:
    known = apply(shop(), (Put(OWNER),))
    said = text(ask(known, ChangeMornings(digest_at=time(3))))
    assert "03:00 lies in the quiet hours, so it comes at 07:00." in said
    assert "quiet" not in text(ask(known, ChangeMornings(digest_at=time(7, 30))))
