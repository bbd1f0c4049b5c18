"""Price lists laid over offers, offers found by words, suggestions. All of it is invented."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.changes import apply, invert
from assistant.planning.model import Break, Idea, Item, Lead, Offer, OfferRow, Shop
from assistant.planning.year.offers import (
    IncomingOffers,
    Repriced,
    bring_in,
    is_old,
    item_of,
    search,
    shared,
    suggestions,
    words_in,
)
from tests.trade import offer, shop

TODAY = date(2027, 1, 11)
QUOTED = date(2027, 1, 4)


def row(name: str, price: str | None = None, **facts: object) -> OfferRow:
    made = Decimal(price) if price else None
    return OfferRow("row 2", name, price=made, **facts)  # type: ignore[arg-type]


def brought(into: Shop, *rows: OfferRow, by: str = "Aldermoor") -> tuple[IncomingOffers, Shop]:
    incoming = bring_in(into, rows, by, TODAY, "m7")
    return incoming, apply(into, incoming.changes)


# --- a list over what is kept ---------------------------------------------------------------


def test_a_whole_row_becomes_an_offer_of_a_new_supplier() -> None:
    facts = {
        "type": "print",
        "currency": "EUR",
        "minimum": 200,
        "case_pack": 50,
        "quoted": QUOTED,
        "lead": Lead(20),
        "grams": 40,
        "mm": (210, 148, 1),
        "made_in": "DE",
        "notes": "cotton",
    }
    incoming, after = brought(shop(), row("moss  print", "2.10", **facts))
    (supplier,) = after.suppliers
    assert supplier.name == "Aldermoor"
    assert incoming.new == ("moss print",)
    assert incoming.suppliers == ("Aldermoor",)
    made = Offer("m7.2", supplier.id, "moss print", price=Decimal("2.10"), **facts)  # type: ignore[arg-type]
    assert after.offers == (made,)


def test_a_row_without_a_date_is_of_today() -> None:
    _, after = brought(shop("Aldermoor"), row("moss print", "2.10"))
    assert after.offers[0].quoted == TODAY
    assert after.offers[0].supplier == "aldermoor"


def test_a_newer_list_says_which_prices_change_by_how_much() -> None:
    kept = (
        offer("Aldermoor: moss print 2.10, quoted 2026-06-01, case 50"),
        offer("Aldermoor: fern print 2.10, quoted 2026-06-01"),
        offer("Aldermoor: rain gauge 4.80, quoted 2026-06-01"),
        offer("Aldermoor: old mug 4.80, quoted 2026-06-01"),
        offer("Brackenfold: moss print 9.00, quoted 2026-06-01"),
    )
    incoming, after = brought(
        replace(shop("Aldermoor", "Brackenfold"), offers=kept),
        row("Moss Print", "2.35", quoted=QUOTED),
        row("fern print", "2.10", quoted=QUOTED),
        row("rain gauge", "4.80", minimum=20, quoted=QUOTED),
        row("new pin", "1.00", quoted=QUOTED),
    )
    assert incoming.repriced == (Repriced("moss print", Decimal("2.10"), Decimal("2.35"), "", ""),)
    assert (incoming.new, incoming.anew, incoming.otherwise) == (
        ("new pin",),
        ("fern print",),
        ("rain gauge",),
    )
    assert (incoming.same, incoming.unlisted) == (0, 1)
    found = {(one.supplier, one.name): one for one in after.offers}
    assert found["aldermoor", "moss print"].case_pack == 50  # what a list does not say stays
    assert found["aldermoor", "moss print"].quoted == QUOTED
    assert found["brackenfold", "moss print"].price == Decimal("9.00")
    assert ("aldermoor", "old mug") in found


def test_an_older_list_changes_nothing_that_is_newer() -> None:
    kept = (offer("Aldermoor: moss print 2.10, quoted 2027-01-04"),)
    made = replace(shop("Aldermoor"), offers=kept)
    incoming, after = brought(made, row("moss print", "1.90", quoted=date(2026, 5, 1)))
    assert (incoming.newer, incoming.same, incoming.changes) == (1, 0, ())
    assert after == made


def test_the_same_list_on_another_day_changes_nothing() -> None:
    rows = (row("moss print", "2.10"), row("pin", "1.00", quoted=QUOTED))
    _, after = brought(shop("Aldermoor"), *rows)
    later = bring_in(after, rows, "Aldermoor", TODAY + timedelta(40), "m8")
    assert (later.changes, later.same) == ((), 2)


BREAKS = (Break(200, Decimal("1.95")), Break(500, Decimal("1.80")))
UNTIL = date(2027, 3, 31)


def test_breaks_and_the_last_day_are_kept_and_their_change_is_told() -> None:
    _, made = brought(
        shop("Aldermoor"), row("moss print", "2.10", breaks=BREAKS, valid_until=UNTIL)
    )
    assert (made.offers[0].breaks, made.offers[0].valid_until) == (BREAKS, UNTIL)
    fewer, after = brought(made, row("moss print", "2.10", breaks=BREAKS[:1]))
    assert (fewer.otherwise, fewer.repriced) == (("moss print",), ())
    assert (after.offers[0].breaks, after.offers[0].valid_until) == (BREAKS[:1], UNTIL)
    longer, _ = brought(made, row("moss print", "2.10", valid_until=UNTIL + timedelta(30)))
    assert (longer.anew, longer.otherwise) == (("moss print",), ())
    same, _ = brought(made, row("moss print", "2.10"))
    assert (same.changes, same.same) == ((), 1)


def test_another_price_has_breaks_and_a_last_day_of_its_own() -> None:
    _, made = brought(
        shop("Aldermoor"), row("moss print", "2.10", breaks=BREAKS, valid_until=UNTIL)
    )
    incoming, after = brought(made, row("moss print", "1.90"))
    assert [one.name for one in incoming.repriced] == ["moss print"]
    assert (after.offers[0].breaks, after.offers[0].valid_until) == ((), None)


@pytest.mark.parametrize(
    ("said", "own", "kept"),
    [
        ("GBP", "GBP", ""),
        ("EUR", "GBP", "EUR"),
        ("$", "CAD", ""),
        ("$", "GBP", "USD"),
        ("", "GBP", ""),
    ],
)
def test_the_shops_own_currency_is_not_written_down(said: str, own: str, kept: str) -> None:
    _, after = brought(shop("Aldermoor", currency=own), row("pin", "1.00", currency=said))
    assert after.offers[0].currency == kept


NAMES = st.sampled_from(("moss print", "Moss  Print", "pin", "mug", "rain gauge"))
ROWS = st.lists(
    st.builds(
        OfferRow,
        where=st.just("row 2"),
        name=NAMES,
        price=st.none() | st.decimals(0, 99, places=2),
        currency=st.just("EUR"),
        minimum=st.none() | st.integers(1, 500),
        quoted=st.none() | st.dates(date(2026, 1, 1), date(2027, 1, 11)),
        supplier=st.sampled_from(("", "Brackenfold", "Wick & Sons")),
        type=st.sampled_from(("", "print")),
    ),
    max_size=6,
    unique_by=lambda one: (one.supplier, " ".join(one.name.casefold().split())),
)


@given(ROWS, ROWS)
def test_a_list_twice_changes_nothing_and_can_be_taken_back(
    first: list[OfferRow], second: list[OfferRow]
) -> None:
    made = shop("Aldermoor", "Brackenfold")
    _, once = brought(made, *first)
    incoming, twice = brought(once, *second)
    assert bring_in(twice, second, "Aldermoor", TODAY, "m9").changes == ()
    assert len(twice.offers) == len(once.offers) + len(incoming.new)
    assert {one.id for one in once.offers} <= {one.id for one in twice.offers}
    assert apply(twice, invert(once, incoming.changes)) == once
    counted = (incoming.new, incoming.repriced, incoming.otherwise, incoming.anew)
    assert sum(map(len, counted)) + incoming.same + incoming.newer == len(second)


def test_an_item_from_an_offer_has_all_of_it() -> None:
    told = offer(
        "Aldermoor: moss print 2.10 EUR, min 200, case 50, quoted 2027-01-04, lead 20d, 40 g,"
        " 210 x 148 x 1 mm, made in DE, type print, notes on cotton"
    )
    item = item_of(told, Item("i", "2027-03", "x", main=True))
    assert item == Item(
        id="i",
        box="2027-03",
        name="moss print",
        type="print",
        supplier="aldermoor",
        unit_cost=Decimal("2.10"),
        currency="EUR",
        lead=Lead(20),
        made_in="DE",
        minimum=200,
        case_pack=50,
        quoted=QUOTED,
        grams=40,
        mm=(210, 148, 1),
        main=True,
    )


def test_a_quote_is_old_after_half_a_year() -> None:
    """Common practice, no source."""
    assert not is_old(None, TODAY)
    assert not is_old(TODAY - timedelta(183), TODAY)
    assert is_old(TODAY - timedelta(184), TODAY)


# --- words ----------------------------------------------------------------------------------


def test_words_that_say_nothing_are_left_out() -> None:
    assert words_in("A box of the mossy Brushes, and 12 brushes") == ("mossy", "brush")


@pytest.mark.parametrize(
    ("wanted", "text", "found"),
    [
        (("moss",), "mossy print", ("moss",)),
        (("painted",), "a paint", ("painted",)),
        (("root",), "roots and rain", ("root",)),
        (("star",), "starting line", ()),
        (("rain",), "train set", ()),
        (("rain", "moss"), "moss in rain", ("rain", "moss")),
        (("tea",), "team", ()),
        ((), "moss", ()),
    ],
)
def test_words_are_shared_in_whatever_form(
    wanted: tuple[str, ...], text: str, found: tuple[str, ...]
) -> None:
    assert shared(wanted, text) == found


LISTED = (
    offer("Aldermoor: moss print 2.10, notes for rainy days"),
    offer("Aldermoor: rain gauge 4.80, type moss tool"),
    offer("Aldermoor: honey jar 3.00"),
    offer("Brackenfold: apron 8.00, notes moss green"),
    offer("Brackenfold: rain and moss print 8.00"),
)


@pytest.mark.parametrize(
    ("words", "supplier", "names"),
    [
        ("moss", "", ["moss print", "rain and moss print", "rain gauge", "apron"]),
        ("moss", "brackenfold", ["rain and moss print", "apron"]),
        ("rain moss", "", ["rain and moss print", "rain gauge", "moss print", "apron"]),
        ("honny", "", ["honey jar"]),
        ("guage", "", ["rain gauge"]),
        ("kettle", "", []),
        ("the", "", []),
        ("", "brackenfold", ["apron", "rain and moss print"]),
    ],
)
def test_offers_are_found_by_words_the_best_first(
    words: str, supplier: str, names: list[str]
) -> None:
    made = replace(shop("Aldermoor", "Brackenfold"), offers=LISTED)
    assert [one.name for one in search(made, words, supplier)] == names


@given(st.permutations(LISTED), st.text(max_size=20))
def test_the_order_of_the_offers_does_not_matter(listed: list[Offer], words: str) -> None:
    made = shop("Aldermoor")
    first, second = replace(made, offers=LISTED), replace(made, offers=tuple(listed))
    assert search(first, words) == search(second, words)


# --- suggestions ----------------------------------------------------------------------------

BOX = "2027-03 Rain and moss: tin mug@Aldermoor 450 x 4.20, 320 g, type mug"


def suggested(*offers: Offer, ideas: tuple[Idea, ...] = (), **goals: object) -> list[str]:
    made = replace(shop("Aldermoor", "Brackenfold", BOX, **goals), offers=offers, ideas=ideas)
    return [one.name for one in suggestions(made, "2027-03", TODAY)]


def idea(text: str, kept: date = TODAY, **facts: object) -> Idea:
    at = datetime(kept.year, kept.month, kept.day, tzinfo=UTC)
    return Idea(text, text, at, **facts)  # type: ignore[arg-type]


def test_ideas_of_the_month_or_the_theme_that_wait() -> None:
    ideas = (
        idea("a lamp"),
        idea("frost cutter", months=(2,)),
        idea("moss garden"),
        idea("old moss", state="used"),
        idea("seed tape", months=(3, 4)),
        idea("rain on moss", months=(3,)),
    )
    assert suggested(ideas=ideas) == ["rain on moss", "seed tape", "moss garden"]


def test_votes_and_waiting_lift_an_idea() -> None:
    ideas = (
        idea("moss one"),
        idea("moss two", votes=5),
        idea("moss three", kept=date(2026, 3, 1)),
    )
    assert suggested(ideas=ideas) == ["moss three", "moss two", "moss one"]


def test_offers_of_suppliers_in_the_plan_that_fit_theme_or_money() -> None:
    offers = (
        offer("Aldermoor: moss print 2.10"),
        offer("Aldermoor: plain pin 1.00"),
        offer("Aldermoor: apron 22.00"),
        offer("Aldermoor: rain print 9.00 EUR"),
        offer("Brackenfold: moss balm 1.00"),  # supplies nothing yet
    )
    assert suggested(*offers) == ["moss print", "rain print"]  # no target: only the theme says
    assert suggested(*offers, target=Decimal(10)) == ["moss print", "rain print", "plain pin"]


@pytest.mark.parametrize(
    ("told", "goals"),
    [
        ("moss print 6.00", {"target": Decimal(10)}),
        ("moss print 1.00, 700 g", {"mailer_grams": 1000}),
        ("moss print 1.00, 400 x 10 x 10 mm", {"mailer_mm": (300, 220, 80)}),
        ("Tin Mug 1.00, notes moss", {}),
    ],
)
def test_what_does_not_fit_is_left_out(told: str, goals: dict[str, object]) -> None:
    assert suggested(offer(f"Aldermoor: {told}"), **goals) == []
    assert suggested(offer("Aldermoor: moss print 1.00"), **goals) == ["moss print"]


def test_a_type_that_the_box_has_comes_later() -> None:
    offers = (offer("Aldermoor: moss a 1.00, type mug"), offer("Aldermoor: moss b 1.00"))
    assert suggested(*offers) == ["moss b", "moss a"]


@given(st.permutations(LISTED))
def test_suggestions_are_only_ever_what_is_kept(listed: list[Offer]) -> None:
    made = replace(shop("Aldermoor", BOX, target=Decimal(12)), offers=tuple(listed))
    found = suggestions(made, "2027-03", TODAY)
    assert found == suggestions(replace(made, offers=LISTED), "2027-03", TODAY)
    assert {one.id for one in found} <= {one.id for one in LISTED}
    assert [one.score for one in found] == sorted((one.score for one in found), reverse=True)
