"""The table of stages: what hangs on what, and tables that cannot be laid."""

from typing import Any

import pytest
from msgspec.structs import replace

from assistant.planning.model import StageRule
from assistant.planning.stages import SHIP, faults, layout_of
from tests.planning.plans import TODAY, on
from tests.trade import house, shop, with_stages


def test_the_house_table_can_be_laid() -> None:
    assert faults(house().stages) == ()
    assert set(layout_of(house().stages).names) == {rule.name for rule in house().stages}


def test_a_line_is_laid_after_the_stage_that_it_hangs_on() -> None:
    layout = layout_of(house().stages)
    seen = {SHIP}
    for lines in layout.rounds[:3]:
        for line in lines:
            for rule in line:
                assert rule.back_from in seen
                seen.add(rule.name)


def test_the_order_of_the_table_does_not_matter() -> None:
    there = shop("Aldermoor: lead 9d, deposit 30%, net 10", "2027-06: tea@Aldermoor; pin")
    turned = replace(there, house=replace(house(), stages=house().stages[::-1]))
    for owner in (*there.boxes, *there.items):
        for rule in house().stages:
            key = f"{owner.id}/{rule.name}"
            assert on(there, key) == on(turned, key)


BROKEN: tuple[tuple[dict[str, dict[str, Any]], str, str], ...] = (
    ({"order": {"back_from": "sample"}}, "order", "circle"),
    ({"stock": {"back_from": "theme"}}, "stock", "laid after it"),
    ({"photo": {"back_from": "photo"}}, "photo", "circle"),
    ({"photo": {"name": "card"}}, "card", "two stages"),
    ({"card": {"party": "supplier"}}, "card", "supplier's days"),
    ({"card": {"days_from": "transit"}}, "card", "supplier's days"),
    ({"ship": {"back_from": "pack"}}, "ship", "hangs on itself"),
)


@pytest.mark.parametrize(("changed", "stage", "words"), BROKEN)
def test_a_table_that_cannot_be_laid_is_said_so(
    changed: dict[str, dict[str, Any]], stage: str, words: str
) -> None:
    stages = with_stages(house(), **changed).stages
    assert any(name == stage and words in why for name, why in faults(stages))


def test_a_stage_of_ones_own_joins_the_chain() -> None:
    label = StageRule(
        name="label", per="item", back_from="stock", days=3, todo="label {item}", notice=2
    )
    there = shop("2027-06: tea", house=replace(house(), stages=(*house().stages, label)))
    found = on(there, "2027-06.tea/label")
    assert found is not None
    assert found < (on(there, "2027-06.tea/stock") or TODAY)
