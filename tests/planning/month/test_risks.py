"""Boxes that cannot ship complete, as early as the numbers show it. All shops are invented."""

from datetime import date

import pytest
from msgspec.structs import replace

from assistant.planning.changes import apply
from assistant.planning.model import Change, Closure, Put, Remove, Shop
from assistant.planning.month.rescue import at_risk
from tests.planning.late import IN_PART, LATE, PIN, SHORT, TEA, bought, came
from tests.planning.plans import TODAY, done


def risks(made: Shop, today: date = TODAY) -> list[tuple[str, str, int]]:
    return [(r.name, r.how, r.lacks) for one in at_risk(made, today) for r in one.risks]


def with_subscribers(made: Shop, number: int) -> Shop:
    return apply(made, (Put(replace(made.profile[0], subscribers=number)),))


@pytest.mark.parametrize(
    ("made", "expected"),
    [
        (LATE, [("pin", "late", 0)]),
        (bought(LATE, PIN, promised=date(2027, 1, 7)), []),
        (bought(LATE, PIN, promised=date(2027, 1, 20)), [("pin", "late", 0)]),
        (IN_PART, [("pin", "late", 26)]),
        (SHORT, [("pin", "short", 26)]),
        (came(bought(LATE, PIN, promised=date(2027, 1, 20)), PIN, 430, 6), []),  # enough is there
        (bought(LATE, PIN, promised=date(2027, 1, 7), quantity=400), [("pin", "short", 20)]),
        (done(LATE, f"{PIN}/stock"), []),  # nobody counted
        (
            with_subscribers(bought(LATE, PIN, promised=date(2027, 1, 7)), 470),
            [("pin", "short", 20)],
        ),
    ],
)
def test_a_box_is_at_risk_as_early_as_the_numbers_show_it(
    made: Shop, expected: list[tuple[str, str, int]]
) -> None:
    assert risks(made) == expected


def test_a_supplier_that_never_works_again_is_said_so() -> None:
    closed = replace(LATE.suppliers[1], closures=(Closure("closed for good", TODAY),))
    assert ("tea", "never", 0) in risks(apply(LATE, (Put(closed),)))


def test_boxes_are_told_by_their_day_and_not_once_it_is_past() -> None:
    slow: Change = Put(replace(LATE.suppliers[0], transit_days=90))
    found = at_risk(apply(LATE, (slow,)), TODAY)
    assert [one.box for one in found] == ["2027-01", "2027-02"]
    assert all(one.ship >= TODAY for one in found)
    assert "2027-01" not in [one.box for one in at_risk(LATE, date(2027, 1, 16))]


def test_a_box_that_cannot_be_packed_in_time_is_at_risk() -> None:
    gone = apply(LATE, (Remove("items", PIN), Remove("items", TEA)))
    near, far = date(2027, 1, 13), date(2026, 12, 1)
    many = with_subscribers(gone, 1500)
    assert [one.box for one in at_risk(many, near) if one.unpacked] == ["2027-01"]
    assert not [one for one in at_risk(many, far) if one.unpacked]
    assert not [one for one in at_risk(gone, date(2027, 1, 5)) if one.unpacked]
