"""Packing materials against the boxes to come."""

from datetime import UTC, date, datetime
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.model import Material, Run, Shop
from assistant.planning.month.materials import left_of, supplies
from assistant.planning.month.packing import packing
from tests.trade import shop, with_holidays

D = Decimal
TODAY = date(2027, 1, 11)
THEN = datetime(2027, 1, 4, 9, tzinfo=UTC)


def made(*materials: Material, runs: tuple[Run, ...] = ()) -> Shop:
    boxes = ("2027-03", "2027-05 Swifts", "2027-04")
    plan = with_holidays(shop(*boxes, subscribers=100), TODAY)
    return replace(plan, materials=materials, runs=runs)


def tape(per_box: str = "0.02", stock: int | None = 3) -> Material:
    return Material("tape", "tape", D(per_box), stock, THEN)


def test_a_part_of_a_piece_for_each_box() -> None:
    (found,) = supplies(made(tape()), TODAY)
    assert [(use.box, use.need, use.short) for use in found.uses] == [
        ("2027-03", 2, 0),
        ("2027-04", 2, 1),
        ("2027-05", 2, 2),
    ]
    assert found.short is not None
    assert found.short.by == packing(made(), "2027-04", TODAY).first
    assert found.lasts == 150


def test_what_was_never_counted_is_not_said_to_be_short() -> None:
    (found,) = supplies(made(tape(stock=None)), TODAY)
    assert (found.left, found.short, found.lasts) == (None, None, None)
    assert found.uses[0].need == 2


def test_what_was_packed_since_is_used_up() -> None:
    before, after = datetime(2027, 1, 3, tzinfo=UTC), datetime(2027, 1, 5, tzinfo=UTC)
    run = Run("2027-03", packed=((before, 40), (after, 50)))
    known = made(tape(), runs=(run,))
    (found,) = supplies(known, TODAY)
    assert found.left == 2
    assert found.uses[0].need == D("0.2")


def test_those_that_run_short_come_first() -> None:
    known = made(
        Material("cards", "cards", D(1), 1000, THEN),
        Material("mailers", "mailers", D(1), 150, THEN),
        Material("tissue", "tissue", D(2), 50, THEN),
    )
    assert [one.material.id for one in supplies(known, TODAY)] == ["tissue", "mailers", "cards"]


@given(
    st.decimals("0.01", 5, places=2),
    st.integers(0, 2000),
    st.lists(st.integers(0, 60), max_size=3),
)
def test_against_box_after_box(per_box: Decimal, stock: int, packed: list[int]) -> None:
    """Taking boxes out one by one: what cannot be taken is what is short, in whole pieces."""
    at = datetime(2027, 1, 5, tzinfo=UTC)
    runs = tuple(
        Run(box, packed=((at, n),))
        for box, n in zip(("2027-03", "2027-04", "2027-05"), packed, strict=False)
    )
    known = made(Material("x", "x", per_box, stock, THEN), runs=runs)
    (found,) = supplies(known, TODAY)
    there = max(stock - per_box * sum(packed), D(0))
    assert left_of(known.materials[0], known.runs) == there == found.left
    for use in found.uses:
        boxes = packing(known, use.box, TODAY).left
        lacking = D(0)
        for _ in range(boxes):
            took = min(per_box, there)
            there, lacking = there - took, lacking + per_box - took
        assert use.need == per_box * boxes
        assert lacking <= use.short < lacking + 1
