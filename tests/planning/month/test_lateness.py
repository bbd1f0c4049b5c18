"""What is assumed of quotes, and what records say. All suppliers are invented."""

from datetime import date

import pytest

from assistant.planning.month.lateness import Kind, LeadRecord, Part, Records, usual
from assistant.scheduling.lead_times import Lateness, pooled
from tests.trade import house

TODAY = date(2027, 3, 1)
USUAL = usual(house().chance)
HOME: Kind = ("making", False)
ABROAD: Kind = ("making", True)


def delivered(
    supplier: str, *days: tuple[int, int], part: Part = "making", on: date = TODAY
) -> tuple[LeadRecord, ...]:
    """Deliveries of so many days quoted, and actual."""
    return tuple(LeadRecord(supplier, part, quoted, actual, on) for quoted, actual in days)


def read(*records: LeadRecord) -> Records:
    return Records(records, TODAY, {"hangfeng"}, USUAL)


@pytest.mark.parametrize("kind", USUAL.spreads)
def test_without_a_record_a_quote_is_as_assumed(kind: Kind) -> None:
    assert read().spread("aldermoor", kind) is USUAL.spreads[kind]
    holds = USUAL.spreads[kind].of(20).within(20)
    assert 0.5 < holds < 0.7  # rather more often than not


def test_its_own_record_counts_beside_its_kind() -> None:
    found = read(*delivered("aldermoor", (10, 15), (20, 30))).spread("aldermoor", HOME)
    assert found == pooled(USUAL.spreads[HOME].lateness(), 4, (1.5, 1.5))
    assert isinstance(found, Lateness)
    assert 1.1 < found.mean < 1.5


def test_others_of_its_kind_stand_in_for_a_record() -> None:
    records = read(*delivered("brackenfold", (10, 14), (10, 16)))
    kind = pooled(USUAL.spreads[HOME].lateness(), 4, (1.4, 1.6))
    assert records.spread("aldermoor", HOME) == kind
    assert records.spread("", HOME) == kind
    # Its own are not counted twice.
    own = pooled(USUAL.spreads[HOME].lateness(), 4, (1.4, 1.6))
    assert records.spread("brackenfold", HOME) == own


def test_another_kind_says_nothing() -> None:
    records = read(
        *delivered("hangfeng", (10, 30)), *delivered("aldermoor", (10, 30), part="transit")
    )
    assert records.spread("brackenfold", HOME) is USUAL.spreads[HOME]
    assert records.spread("kirigawa", ABROAD) != USUAL.spreads[ABROAD]


@pytest.mark.parametrize(
    "record",
    [
        LeadRecord("aldermoor", "making", 10, 30, date(2027, 3, 2)),  # not yet
        LeadRecord("aldermoor", "making", 0, 3, TODAY),  # quoted nothing
        LeadRecord("aldermoor", "making", 10, -1, TODAY),  # through before it began
    ],
)
def test_what_cannot_count_does_not(record: LeadRecord) -> None:
    assert read(record).spread("aldermoor", HOME) is USUAL.spreads[HOME]
    assert read(record).deliveries("aldermoor") == 0


def test_deliveries_are_counted() -> None:
    records = read(
        *delivered("aldermoor", (10, 12), (10, 11)),
        *delivered("aldermoor", (3, 3), part="transit"),
        *delivered("hangfeng", (10, 10)),
    )
    names = ("aldermoor", "hangfeng", "kirigawa")
    assert [records.deliveries(name) for name in names] == [2, 1, 0]
