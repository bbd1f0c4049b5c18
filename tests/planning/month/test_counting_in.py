"""What is to be counted in. Shops and goods are invented; figures were worked out by hand."""

from datetime import UTC, date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.model import Delivery, Mark, Order, OrderLine, Purchase, Shop
from assistant.planning.month.counting_in import coming
from tests.trade import shop

TODAY = date(2027, 3, 8)
BOOK, BAG, MUG = "2027-03.notebook", "2027-03.bag", "2027-05.mug"


def planned(*parts: tuple[str, int, int], ordered: int | None = 460) -> Shop:
    """Notebooks and bags are ordered, mugs are not; parts came: item, pieces, damaged of them."""
    made = shop(
        "Aldermoor",
        "Brackenfold",
        "2027-03 Rain: notebook@Aldermoor 460 x 3.10, lead 20d; bag@Brackenfold 430 x 1",
        "2027-05 Swifts: mug@Aldermoor 430 x 2",
        subscribers=420,
    )
    at = datetime(2027, 1, 11, tzinfo=UTC)
    return replace(
        made,
        ledger=tuple(Mark(f"{id}/order", "done", at=at) for id in (BOOK, BAG)),
        purchases=(
            Purchase(BOOK, quantity=ordered, ordered=at.date(), promised=date(2027, 3, 12)),
        ),
        deliveries=tuple(
            Delivery(f"d{n}", item, TODAY, pieces, bad)
            for n, (item, pieces, bad) in enumerate(parts)
        ),
    )


def ids(made: Shop, **of: str) -> list[str]:
    return [one.item for one in coming(made, TODAY, **of)]


def test_what_is_ordered_and_not_in_is_to_be_counted_by_its_day() -> None:
    assert set(ids(planned())) == {BOOK, BAG}
    assert ids(planned(), supplier="aldermoor") == [BOOK]
    assert ids(planned(), box="2027-03", item=BAG) == [BAG]
    assert ids(planned(), box="2027-05") == []


def test_the_day_is_the_one_that_was_promised() -> None:
    (one,) = coming(planned(), TODAY, item=BOOK)
    assert (one.expected, one.pieces, one.needed) == (date(2027, 3, 12), 460, 420)


@pytest.mark.parametrize("state", ["checked", "packed"])
def test_what_was_checked_or_packed_is_not_counted_again(state: str) -> None:
    made = planned()
    key = f"{BOOK}/stock" if state == "checked" else "2027-03/pack"
    bought = replace(made.purchases[0], checked=TODAY)
    done = (*made.ledger, Mark(key, "done"))
    assert BOOK not in ids(replace(made, purchases=(bought,), ledger=done))


def test_what_is_in_hand_without_a_count_can_be_counted() -> None:
    made = planned()
    assert BOOK in ids(replace(made, ledger=(*made.ledger, Mark(f"{BOOK}/stock", "done"))))


@given(st.integers(1, 900), st.integers(0, 900), st.integers(0, 900), st.integers(1, 400))
def test_a_part_is_counted_off_and_cartons_hold_what_is_left(
    ordered: int, pieces: int, bad: int, case: int
) -> None:
    damaged = min(pieces, bad)
    made = planned((BOOK, pieces, damaged), ordered=ordered)
    made = replace(made, items=tuple(replace(one, case_pack=case) for one in made.items))
    left = ordered - (pieces - damaged)
    found = coming(made, TODAY, item=BOOK)
    if pieces and left <= 0:
        assert found == ()
        return
    (one,) = found
    assert (one.pieces, one.came) == (left, pieces - damaged)
    assert one.cartons is not None
    assert (one.cartons - 1) * case < left <= one.cartons * case
    assert one.plan is not None
    assert one.plan.lot == left
    assert one.open is not None
    assert 1 <= one.open <= min(one.cartons, one.plan.look)


def test_options_are_those_of_the_order_until_a_part_came() -> None:
    line = OrderLine(BOOK, "notebook", 460, shares=(("S", 160), ("M", 300)))
    order = Order("2027-001", "aldermoor", date(2027, 1, 11), (line,))
    made = replace(planned(), orders=(order,))
    assert coming(made, TODAY, item=BOOK)[0].shares == line.shares
    other = replace(made, purchases=(replace(made.purchases[0], quantity=450),))
    assert coming(other, TODAY, item=BOOK)[0].shares == ()
    part = replace(planned((BOOK, 100, 0)), orders=(order,))
    assert coming(part, TODAY, item=BOOK)[0].shares == ()


def test_pieces_that_are_not_known_have_no_plan() -> None:
    made = planned(ordered=None)
    made = replace(made, items=tuple(replace(one, quantity=None) for one in made.items))
    (one,) = coming(made, TODAY, item=BOOK)
    assert (one.pieces, one.plan, one.cartons, one.open) == (None, None, None, None)
