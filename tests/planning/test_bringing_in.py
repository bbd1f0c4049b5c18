"""Bringing rows in: what is new, what is altered, and that the same rows twice change nothing.

Shops, suppliers and rows are invented.
"""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.planning.bringing_in import Alike, Altered, Incoming, fold, plan
from assistant.planning.changes import apply, invert
from assistant.planning.dating import years_of
from assistant.planning.model import Box, Item, Lead, Remove, Row, Shop
from tests.trade import shop

TODAY = date(2026, 11, 25)
YEAR = tuple(range(1, 13))

PLANNED = shop(
    "Aldermoor: lead 20d",
    "Brackenfold: lead 5d",
    "2027-03 Rain & Roots: field notebook@Aldermoor 450 x 3.10, lead 20d; mint tea 450 x 1.20",
    "2027-05: lantern 450",
)


def bring(into: Shop, *rows: Row, today: date = TODAY) -> Incoming:
    return plan(into, rows, today, "m7")


def march(where: str = "row 2", **facts: object) -> Row:
    return Row(where=where, month=3, year=2027, **facts)  # type: ignore[arg-type]


# --- what is new ----------------------------------------------------------------------------


def test_a_whole_row_into_an_empty_shop() -> None:
    row = march(
        theme="Rain & Roots",
        item="field  notebook",
        type="notebook",
        supplier="Aldermoor",
        unit_cost=Decimal("3.10"),
        quantity=450,
        lead=Lead(20),
        ship_on=date(2027, 3, 12),
    )
    incoming = bring(shop(), row)
    after = apply(shop(), incoming.changes)
    assert after.boxes == (Box(id="2027-03", theme="Rain & Roots", ship_on=date(2027, 3, 12)),)
    (supplier,) = after.suppliers
    assert after.items == (
        Item(
            id="m7.1",
            box="2027-03",
            name="field notebook",
            type="notebook",
            supplier=supplier.id,
            unit_cost=Decimal("3.10"),
            quantity=450,
            lead=Lead(20),
        ),
    )
    assert (supplier.id, supplier.name) == ("m7.2", "Aldermoor")
    assert incoming.boxes == ("2027-03",)
    assert incoming.themes == (Altered("2027-03", "", "", "theme", "", "Rain & Roots"),)
    assert incoming.ships == (Altered("2027-03", "", "", "ship date", None, date(2027, 3, 12)),)
    assert incoming.new_items == after.items
    assert incoming.suppliers == ("Aldermoor",)
    assert (incoming.altered, incoming.same, incoming.warnings) == ((), 0, ())


def test_new_boxes_come_in_the_order_of_their_months() -> None:
    rows = (Row("row 2", 5, 2027, "b"), Row("row 3", 3, 2027, "a"), Row("row 4", 1, 2028, "c"))
    assert bring(shop(), *rows).boxes == ("2027-03", "2027-05", "2028-01")


def test_ids_step_over_those_that_are_taken() -> None:
    taken = apply(shop(), bring(shop(), march(item="tea")).changes)
    again = bring(taken, march(item="honey"))
    assert [item.id for item in again.new_items] == ["m7.2"]


# --- what is altered ------------------------------------------------------------------------


def test_only_what_the_file_says_is_overwritten() -> None:
    row = march(item="Field Notebook", unit_cost=Decimal("3.25"), theme="Rain & Moss")
    incoming = bring(PLANNED, row)
    after = apply(PLANNED, incoming.changes)
    old, new = PLANNED.items[0], after.items[0]
    assert (new.name, new.supplier, new.quantity, new.lead) == (
        old.name,
        old.supplier,
        old.quantity,
        old.lead,
    )
    assert incoming.altered == (
        Altered("2027-03", old.id, old.name, "unit cost", Decimal("3.10"), Decimal("3.25")),
    )
    assert incoming.themes == (Altered("2027-03", "", "", "theme", "Rain & Roots", "Rain & Moss"),)
    assert incoming.new_items == incoming.boxes == incoming.suppliers == ()


def test_a_change_of_supplier_is_told_by_name() -> None:
    incoming = bring(PLANNED, march(item="field notebook", supplier="BRACKENFOLD"))
    assert [(one.field, one.old, one.new) for one in incoming.altered] == [
        ("supplier", "Aldermoor", "Brackenfold")
    ]
    assert incoming.suppliers == ()


def test_what_stays_the_same_is_counted_and_not_written() -> None:
    incoming = bring(PLANNED, march(item="mint tea", quantity=450, unit_cost=Decimal("1.2")))
    assert (incoming.changes, incoming.same) == ((), 1)


def test_a_type_keeps_the_spelling_that_the_plan_has() -> None:
    first = apply(shop(), bring(shop(), march(item="mint tea", type="Tea")).changes)
    incoming = bring(first, Row("row 3", 4, 2027, item="nettle", type="TEA"))
    assert [item.type for item in incoming.new_items] == ["Tea"]


@pytest.mark.parametrize(
    ("said", "shops", "kept"),
    [
        ("GBP", "GBP", ""),
        ("EUR", "GBP", "EUR"),
        ("$", "CAD", ""),
        ("$", "GBP", "USD"),
        ("¥", "CNY", ""),
        ("¥", "GBP", "JPY"),
    ],
)
def test_a_currency_is_kept_only_where_it_is_not_the_shops(
    said: str, shops: str, kept: str
) -> None:
    row = march(item="tea", unit_cost=Decimal(2), currency=said)
    incoming = bring(shop(currency=shops), row)
    assert incoming.new_items[0].currency == kept


# --- what is doubtful -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "known"),
    [("Aldermor", "Aldermoor"), ("Aldermoor Ltd", "Aldermoor"), ("Bracken fold", "Brackenfold")],
)
def test_a_supplier_that_is_nearly_known_is_asked_about_and_stays_its_own(
    name: str, known: str
) -> None:
    incoming = bring(PLANNED, march("row 9", item="press", supplier=name))
    assert incoming.alike == (Alike("row 9", name, known),)
    assert incoming.suppliers == (name,)


def test_suppliers_of_one_file_that_are_nearly_alike() -> None:
    rows = (march(item="a", supplier="Tannwald"), march("row 3", item="b", supplier="Tanwald"))
    assert bring(shop(), *rows).alike == (Alike("row 3", "Tanwald", "Tannwald"),)


def test_suppliers_that_differ_are_not_asked_about() -> None:
    assert bring(PLANNED, march(item="press", supplier="Kirigawa")).alike == ()


def test_the_later_row_counts_and_the_owner_is_told() -> None:
    rows = (
        march("row 2", item="tea", unit_cost=Decimal("1.20"), theme="Moss"),
        march("row 9", item="Tea", unit_cost=Decimal("1.30"), theme="Fern"),
    )
    incoming = bring(shop(), *rows)
    assert incoming.new_items[0].unit_cost == Decimal("1.30")
    assert incoming.warnings == (
        "March 2027: theme is Moss in row 2 but Fern in row 9. The later one counts.",
        "tea, March 2027: unit cost is 1.20 in row 2 but 1.30 in row 9. The later one counts.",
    )


# --- years ----------------------------------------------------------------------------------

RUNS = [
    # today, months in the file's order, where the first and the last of them land
    (date(2026, 11, 25), YEAR, "2027-01", "2027-12"),
    (date(2027, 1, 1), YEAR, "2027-01", "2027-12"),
    (date(2027, 7, 31), YEAR, "2027-01", "2027-12"),  # six of twelve are still to come
    (date(2027, 8, 1), YEAR, "2028-01", "2028-12"),
    (date(2026, 11, 25), (*range(9, 13), *range(1, 9)), "2026-09", "2027-08"),
    (date(2026, 11, 25), (12, 1, 2), "2026-12", "2027-02"),
    (date(2026, 11, 25), (11,), "2026-11", "2026-11"),
    (date(2026, 11, 25), (10,), "2027-10", "2027-10"),
    (date(2027, 4, 2), (4, 7, 10, 1), "2027-04", "2028-01"),
    (date(2027, 4, 2), (1, 12), "2027-01", "2027-12"),
    (date(2027, 4, 2), (3, 1, 2), "2028-03", "2028-02"),  # out of order: one run, January first
    (date(2027, 2, 2), (3, 1, 2), "2027-03", "2027-02"),
]


@pytest.mark.parametrize(("today", "months", "first", "last"), RUNS)
def test_months_without_a_year(today: date, months: tuple[int, ...], first: str, last: str) -> None:
    years = years_of(months, today)
    assert f"{years[months[0]]}-{months[0]:02}" == first
    assert f"{years[months[-1]]}-{months[-1]:02}" == last


@settings(deadline=None)
@given(
    st.dates(date(2026, 1, 1), date(2040, 12, 31)),
    st.lists(st.integers(1, 12), min_size=1, max_size=30),
)
def test_years_make_one_run_that_is_mostly_ahead(today: date, months: list[int]) -> None:
    years = years_of(months, today)
    places = [year * 12 + month - 1 for month, year in years.items()]
    now = today.year * 12 + today.month - 1
    assert max(places) - min(places) < 12
    assert 2 * sum(place >= now for place in places) >= len(places)
    assert max(places) - now < 24


def test_the_year_that_was_taken_is_told() -> None:
    rows = tuple(Row(f"row {month + 1}", month, theme=f"theme {month}") for month in YEAR)
    incoming = bring(shop(), *rows)
    assert incoming.boxes == tuple(f"2027-{month:02}" for month in YEAR)
    assert incoming.warnings == (
        "Months without a year are taken as January 2027 to December 2027.",
    )


def test_a_month_that_has_gone_by_is_refused_unless_its_year_was_written() -> None:
    rows = tuple(Row(f"row {month + 1}", month, theme="t") for month in YEAR)
    incoming = bring(shop(), *rows, today=date(2027, 3, 10))
    assert [one.where for one in incoming.refused] == ["row 2", "row 3"]
    assert "January 2028" in incoming.refused[0].why
    assert incoming.boxes[0] == "2027-03"
    written = bring(shop(), Row("row 2", 1, 2027, "t"), today=date(2027, 3, 10))
    assert (written.boxes, written.refused) == (("2027-01",), ())
    assert written.warnings == ("January 2027: already past, kept as a record.",)


@pytest.mark.parametrize(
    ("month", "ships", "box"),
    [
        (3, date(2027, 3, 15), "2027-03"),
        (3, date(2027, 2, 26), "2027-03"),
        (1, date(2026, 12, 30), "2027-01"),
        (12, date(2027, 1, 3), "2026-12"),
    ],
)
def test_a_ship_date_names_the_year(month: int, ships: date, box: str) -> None:
    assert bring(shop(), Row("row 2", month, ship_on=ships)).boxes == (box,)


def test_the_ship_date_of_a_month_names_the_year_for_all_its_rows() -> None:
    rows = (Row("row 2", 3, theme="Moss"), Row("row 3", 3, ship_on=date(2029, 3, 15)))
    incoming = bring(shop(), *rows)
    assert (incoming.boxes, incoming.warnings) == (("2029-03",), ())


@pytest.mark.parametrize(
    ("month", "year", "day", "ships"),
    [
        (3, 2027, date(4, 3, 15), date(2027, 3, 15)),
        (1, 2027, date(4, 12, 30), date(2026, 12, 30)),
        (12, 2027, date(4, 1, 2), date(2028, 1, 2)),
        (2, 2028, date(4, 2, 29), date(2028, 2, 29)),
        (3, None, date(4, 3, 15), date(2027, 3, 15)),
    ],
)
def test_a_ship_date_without_a_year_takes_that_of_its_box(
    month: int, year: int | None, day: date, ships: date
) -> None:
    (altered,) = bring(shop(), Row("row 2", month, year, ship_on=day)).ships
    assert altered.new == ships


@pytest.mark.parametrize(
    ("ships", "said"),
    [(date(4, 2, 29), "29 February 2027"), (date(2026, 2, 15), "far from"), (date(4, 7, 1), "far")],
)
def test_a_ship_date_that_cannot_be_meant_is_refused(ships: date, said: str) -> None:
    incoming = bring(shop(), Row("row 2", 2, 2027, "Moss", ship_on=ships))
    assert incoming.changes == ()
    (refused,) = incoming.refused
    assert refused.where == "row 2"
    assert said in refused.why


# --- properties -----------------------------------------------------------------------------

NAMES = st.sampled_from(["tea", "Tea", "mint  tea", "notebook", "ß", "SS", "İ", "pin"])
ROWS = st.lists(
    st.builds(
        Row,
        where=st.integers(2, 99).map("row {}".format),
        month=st.integers(1, 12),
        year=st.none() | st.integers(2025, 2028),
        theme=st.sampled_from(["", "Moss", "Fern"]),
        item=NAMES | st.just(""),
        type=st.sampled_from(["", "Tea", "tea", "pin"]),
        supplier=st.sampled_from(["", "Aldermoor", "aldermoor", "Aldermor", "Tannwald"]),
        unit_cost=st.none() | st.decimals(0, 9, places=2),
        currency=st.sampled_from(["", "GBP", "EUR", "$"]),
        quantity=st.none() | st.integers(0, 900),
        lead=st.none() | st.builds(Lead, st.integers(0, 90)),
        ship_on=st.none()
        | st.dates(date(2026, 1, 1), date(2028, 12, 31))
        | st.dates(date(4, 1, 1), date(4, 12, 31)),
    ),
    max_size=25,
).map(tuple)
SHOPS = st.sampled_from([shop(), PLANNED, shop("Tannwald", "2026-12: tea 4", currency="EUR")])


@settings(deadline=None)
@given(SHOPS, ROWS)
def test_the_same_rows_twice_change_nothing(into: Shop, rows: tuple[Row, ...]) -> None:
    first = plan(into, rows, TODAY, "m7")
    after = apply(into, first.changes)
    second = plan(after, rows, TODAY, "m7")
    assert second.changes == ()
    assert (second.boxes, second.themes, second.new_items, second.altered) == ((), (), (), ())
    assert second.refused == first.refused


@settings(deadline=None)
@given(SHOPS, ROWS)
def test_nothing_is_removed_and_names_stay_unique(into: Shop, rows: tuple[Row, ...]) -> None:
    incoming = plan(into, rows, TODAY, "m7")
    after = apply(into, incoming.changes)
    assert not any(isinstance(change, Remove) for change in incoming.changes)
    assert {box.id for box in into.boxes} <= {box.id for box in after.boxes}
    assert {item.id for item in into.items} <= {item.id for item in after.items}
    names = [(item.box, fold(item.name)) for item in after.items]
    assert len(names) == len(set(names))
    assert {item.supplier for item in after.items} - {""} <= {one.id for one in after.suppliers}
    assert {item.box for item in after.items} <= {box.id for box in after.boxes}


@settings(deadline=None)
@given(SHOPS, ROWS)
def test_undo_gives_the_plan_back(into: Shop, rows: tuple[Row, ...]) -> None:
    changes = plan(into, rows, TODAY, "m7").changes
    assert apply(apply(into, changes), invert(into, changes)) == into


@settings(deadline=None)
@given(ROWS, st.integers(-400, 400))
def test_every_row_is_taken_or_refused(rows: tuple[Row, ...], days: int) -> None:
    today = TODAY + timedelta(days)
    incoming = plan(shop(), rows, today, "m7")
    refused = {one.where for one in incoming.refused}
    items = {item.name for item in incoming.new_items}
    for row in rows:
        if row.item and row.where not in refused:
            assert fold(row.item) in {fold(name) for name in items}
