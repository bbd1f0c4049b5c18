"""Claims: what is lacking, which deadline follows, when it is over. Shops and goods are invented.

The counts are checked against arithmetic written here, by hand or as properties.
"""

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.calendars import calendars
from assistant.planning.changes import apply, find
from assistant.planning.deadlines import deadline, deadlines
from assistant.planning.model import Claim, Delivery, Mark, MarkState, Purchase, Shop
from assistant.planning.month.claims import CLAIM, follow_up, follow_ups, is_open, key_of
from assistant.planning.month.shortages import REPLACED, claimed, met, shortage, worth
from assistant.planning.nudges import digest_for, mark
from tests.trade import shop

BOOK = "2027-03.notebook"
TUESDAY = date(2027, 3, 9)
NOW = datetime(2027, 3, 9, 10, tzinfo=UTC)
CLAIMED = Claim(BOOK, short=48, damaged=6, on=TUESDAY, follow_up=date(2027, 3, 12), enough=460)


def came(*parts: tuple[date, int, int], ordered: int | None = 460) -> Shop:
    """A shop in which notebooks were ordered and came in parts: day, pieces, damaged of them."""
    made = shop(
        "Aldermoor",
        "2027-03 Rain: notebook@Aldermoor 460 x 3.10, lead 20d",
        subscribers=400,
    )
    bought = (Purchase(BOOK, quantity=ordered, ordered=date(2027, 1, 20)),)
    deliveries = tuple(
        Delivery(f"d{n}", BOOK, on, pieces, damaged)
        for n, (on, pieces, damaged) in enumerate(parts)
    )
    marked = (Mark(f"{BOOK}/order", "done", at=datetime(2027, 1, 20, tzinfo=UTC)),)
    return replace(made, purchases=bought, deliveries=deliveries, ledger=marked)


def asked(made: Shop, today: date = TUESDAY) -> Shop:
    return apply(made, claimed(made, shortage(made, BOOK, today), today, NOW, "mara")[1])


# --- what is lacking ------------------------------------------------------------------------


def test_what_is_short_and_broken_is_told_apart() -> None:
    found = shortage(came((TUESDAY, 412, 6)), BOOK, TUESDAY)
    assert (found.short, found.broken, found.missing, found.good) == (48, 6, 54, 406)


def test_nothing_is_lacking_while_nothing_came() -> None:
    found = shortage(came(), BOOK, TUESDAY)
    assert (found.came, found.missing) == (0, 0)


def test_more_than_ordered_makes_good_what_is_broken() -> None:
    assert shortage(came((TUESDAY, 466, 6)), BOOK, TUESDAY).missing == 0
    assert shortage(came((TUESDAY, 463, 6)), BOOK, TUESDAY).broken == 3


@given(
    st.lists(st.tuples(st.integers(0, 300), st.integers(0, 300)), max_size=4), st.integers(1, 600)
)
def test_what_may_be_asked_is_what_was_ordered_and_did_not_come_good(
    parts: list[tuple[int, int]], ordered: int
) -> None:
    counted = [(max(parts), min(parts)) for parts in parts]
    made = came(*((TUESDAY, pieces, bad) for pieces, bad in counted), ordered=ordered)
    found = shortage(made, BOOK, TUESDAY)
    good = sum(pieces - bad for pieces, bad in counted)
    anything = sum(pieces for pieces, _ in counted) > 0
    assert found.missing == (max(ordered - good, 0) if anything else 0)
    assert 0 <= found.broken <= sum(bad for _, bad in counted)


def test_the_box_lacks_what_it_needs_beyond_the_good_ones() -> None:
    made = came((TUESDAY, 412, 6))
    found = shortage(made, BOOK, TUESDAY)
    assert found.needed is not None
    assert found.lacks == max(found.needed - 406, 0)
    assert found.spare == max(406 - found.needed, 0)
    assert found.lacks == 0 or found.spare == 0


# --- a claim --------------------------------------------------------------------------------


def test_a_claim_is_followed_up_three_working_days_later() -> None:
    made = asked(came((TUESDAY, 412, 6)))
    assert find(made.claims, BOOK) == CLAIMED
    found = deadline(made, key_of(BOOK), TUESDAY)
    assert found is not None
    assert (found.on, found.float, found.state, found.stage) == (
        CLAIMED.follow_up,
        3,
        "open",
        CLAIM,
    )
    assert (found.todo, found.box) == ("follow up the claim for notebook", "2027-03")


def test_the_follow_up_passes_over_a_weekend() -> None:
    calendar = calendars(came(), TUESDAY).shop
    assert follow_up(calendar, date(2027, 3, 11)) == date(2027, 3, 16)


def test_to_claim_the_same_again_changes_nothing() -> None:
    made = asked(came((TUESDAY, 412, 6)))
    later = TUESDAY + timedelta(2)
    claim, changes = claimed(made, shortage(made, BOOK, later), later, NOW, "mara")
    assert (claim, changes) == (CLAIMED, ())


@pytest.mark.parametrize("late", [False, True], ids=["followed up", "late"])
def test_to_claim_the_same_once_it_was_followed_up_or_is_due_is_to_ask_again(late: bool) -> None:
    made = asked(came((TUESDAY, 412, 6)))
    made = made if late else apply(made, mark(made, key_of(BOOK), "done", NOW, "mara"))
    today = date(2027, 3, 12 if late else 10)
    made = asked(made, today)
    found = deadline(made, key_of(BOOK), today)
    assert found is not None
    assert (found.state, found.float) == ("open", 3)
    assert len(made.claims) == 1


def test_a_claim_for_something_else_takes_its_place_and_is_followed_up_anew() -> None:
    made = asked(came((TUESDAY, 412, 6)))
    made = apply(made, mark(made, key_of(BOOK), "done", NOW, "mara"))
    late = replace(made.deliveries[0], damaged=9)
    made = asked(replace(made, deliveries=(late,)), date(2027, 3, 15))
    new = Claim(BOOK, 48, 9, on=date(2027, 3, 15), follow_up=date(2027, 3, 18), enough=460)
    assert made.claims == (new,)
    found = deadline(made, key_of(BOOK), date(2027, 3, 15))
    assert found is not None
    assert (found.state, found.on) == ("open", date(2027, 3, 18))


def test_a_claim_is_open_until_as_many_good_ones_came_later() -> None:
    made = asked(came((TUESDAY, 412, 6)))
    more = Delivery("d9", BOOK, TUESDAY + timedelta(2), 54, 1)
    assert is_open(CLAIMED, (*made.deliveries, more))
    assert not is_open(CLAIMED, (*made.deliveries, replace(more, pieces=55)))
    full = replace(made, deliveries=(*made.deliveries, replace(more, pieces=55)))
    found = deadline(full, key_of(BOOK), TUESDAY + timedelta(2))
    assert found is not None
    assert found.state == "done"
    assert shortage(full, BOOK, TUESDAY + timedelta(2)).missing == 0


def test_a_claim_for_the_damaged_waits_for_the_rest_and_for_them() -> None:
    made = came((TUESDAY, 412, 6))
    found = shortage(made, BOOK, TUESDAY)
    claim, _ = claimed(made, found, TUESDAY, NOW, "mara", damaged_only=True)
    assert (claim.short, claim.damaged) == (0, 6)
    rest = Delivery("d8", BOOK, TUESDAY + timedelta(1), 48, 0)
    assert is_open(claim, (*made.deliveries, rest))
    assert not is_open(claim, (*made.deliveries, replace(rest, pieces=54)))


def test_a_claim_of_which_it_is_not_known_what_is_enough_is_open_until_it_is_met() -> None:
    plain = replace(CLAIMED, enough=None)
    assert is_open(plain, ())
    assert not is_open(met(plain, TUESDAY, ""), ())


def test_a_credit_settles_what_it_was_for_and_a_replacement_does_not_hide_what_is_missing() -> None:
    made = asked(came((TUESDAY, 412, 6)))
    credited = replace(made, claims=(met(CLAIMED, TUESDAY, "credited"),))
    assert shortage(credited, BOOK, TUESDAY).missing == 0
    worse = replace(credited.deliveries[0], damaged=10)
    assert shortage(replace(credited, deliveries=(worse,)), BOOK, TUESDAY).missing == 4
    replaced = replace(made, claims=(met(CLAIMED, TUESDAY, REPLACED),))
    assert shortage(replaced, BOOK, TUESDAY).missing == 54


def test_what_a_claim_is_worth_is_at_the_price_agreed() -> None:
    made = came((TUESDAY, 412, 6))
    item = made.items[0]
    assert worth(made, item, 54) is not None
    assert [str(one) for one in worth(made, item, 54) or ()] == ["3.10", "167.40", "GBP"]
    agreed = replace(made.purchases[0], price=item.unit_cost and item.unit_cost * 2, currency="EUR")
    found = worth(replace(made, purchases=(agreed,)), item, 10)
    assert [str(one) for one in found or ()] == ["6.20", "62.00", "EUR"]
    assert worth(replace(made, items=(replace(item, unit_cost=None),)), made.items[0], 1)
    assert worth(made, replace(item, unit_cost=None), 1) is None


# --- its deadline ---------------------------------------------------------------------------


@pytest.mark.parametrize("state", ["done", "not needed"])
def test_it_is_marked_and_put_off_like_any_other(state: MarkState) -> None:
    made = asked(came((TUESDAY, 412, 6)))
    marked = apply(made, mark(made, key_of(BOOK), state, NOW, "mara"))
    found = deadline(marked, key_of(BOOK), TUESDAY)
    assert found is not None
    assert found.state == state
    off = Mark(key_of(BOOK), until=date(2027, 3, 17))
    waits = deadline(replace(made, ledger=(*made.ledger, off)), key_of(BOOK), TUESDAY)
    assert waits is not None
    assert (waits.state, waits.until) == ("open", date(2027, 3, 17))


@pytest.mark.parametrize(("days", "there"), [(0, True), (14, True), (15, False)])
def test_one_that_is_over_stays_for_two_weeks(days: int, there: bool) -> None:
    made = asked(came((TUESDAY, 412, 6)))
    made = apply(made, mark(made, key_of(BOOK), "done", NOW, "mara"))
    on = date(2027, 3, 12) + timedelta(days)
    assert (deadline(made, key_of(BOOK), on) is not None) == there


def test_an_open_one_stays_late_after_its_box_has_gone() -> None:
    made = asked(came((TUESDAY, 412, 6)))
    found = deadline(made, key_of(BOOK), date(2027, 5, 3))
    assert found is not None
    assert found.late


def test_claims_change_no_other_deadline() -> None:
    before = came((TUESDAY, 412, 6))
    after = asked(before)
    others = tuple(one for one in deadlines(after, TUESDAY) if one.stage != CLAIM)
    assert others == deadlines(before, TUESDAY)
    days = [one.on for one in deadlines(after, TUESDAY)]
    assert days == sorted(days)


def test_a_claim_of_an_item_that_is_gone_has_no_deadline() -> None:
    made = asked(came((TUESDAY, 412, 6)))
    assert deadline(replace(made, items=()), key_of(BOOK), TUESDAY) is None


def test_it_is_told_on_its_morning() -> None:
    from assistant.conversation.handle.doors import let_owner_in

    made = asked(came((TUESDAY, 412, 6)))
    made = apply(made, let_owner_in(made, "terminal:you", NOW).notes)
    for day, told in ((11, False), (12, True)):
        found = digest_for(made, made.people[0], datetime(2027, 3, day, 12, tzinfo=UTC))
        assert found is not None
        assert (key_of(BOOK) in {one.key for one in found.today}) == told


def test_follow_ups_of_no_claims_are_none() -> None:
    calendar = calendars(came(), TUESDAY).shop
    assert [*follow_ups((), (), (), {}, calendar, TUESDAY)] == []
