"""Suppliers and closures by chat: what is kept, what is refused, which dates move.

Suppliers are invented. Dates are worked by hand on weekends and closures alone: no almanac is kept.
"""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.conversation.handle import suppliers
from assistant.conversation.messages import Outcome
from assistant.conversation.requests import ChangeSupplier, Close, Reopen, ShowSupplier
from assistant.planning.changes import apply, find, invert
from assistant.planning.deadlines import deadline
from assistant.planning.model import Closure, Lead, Shop, Supplier
from tests.conversation.asking import TODAY, after, asking, buttons, put, text
from tests.trade import shop

YEAR = shop(
    "Aldermoor: transit 3d",
    "Hangfeng CN: confirm 2d, transit 5d, lead 10d",
    "2027-03 Rain & Roots: notebook@Aldermoor 450 x 3.10, lead 20d; tea 450 x 1.20",
    "2027-09 Seed Time: pin@Hangfeng",
    subscribers=420,
)
SUMMER = Closure("summer closure", date(2027, 8, 2), date(2027, 8, 20))


def ask(known: Shop, request: object, today: date = TODAY) -> Outcome:
    return suppliers.HANDLERS[type(request)](known, request, asking(today))


# --- closures -------------------------------------------------------------------------------


def test_a_closure_that_moves_dates_says_how_many_and_the_first() -> None:
    # Making for March runs over the week of 8 February: it must start a week earlier.
    week = Closure("closure", date(2027, 2, 8), date(2027, 2, 12))
    old = deadline(YEAR, "2027-03.notebook/order", TODAY)
    outcome = ask(YEAR, Close("Aldermoor", week))
    new = deadline(after(YEAR, outcome), "2027-03.notebook/order", TODAY)
    assert old
    assert new
    assert (old.on - new.on).days == 7
    assert "Aldermoor is closed Mon 8 to Fri 12 Feb." in text(outcome)
    assert "dates move; the first: " in text(outcome)
    assert next(iter(buttons(outcome))) == "Undo"


def test_dates_that_become_late_are_said_to_be_late() -> None:
    long = Closure("closure", date(2027, 1, 20), date(2027, 3, 5))
    outcome = ask(YEAR, Close("Aldermoor", long))
    assert "late because of it." in text(outcome)
    assert buttons(outcome)["What is late"] == "what is late"


def test_a_closure_that_moves_nothing_says_so_and_what_comes_next() -> None:
    outcome = ask(YEAR, Close("Aldermoor", Closure("x", date(2027, 12, 1), date(2027, 12, 3))))
    assert "No date moves. Next: " in text(outcome)


def test_a_name_that_is_new_makes_a_supplier() -> None:
    outcome = ask(YEAR, Close("Tannwald", SUMMER))
    (made,) = put(outcome, Supplier)
    assert (made.name, made.closures) == ("Tannwald", (SUMMER,))
    assert "New supplier: Tannwald." in text(outcome)


def test_the_shop_itself_can_be_closed() -> None:
    outcome = ask(YEAR, Close("", Closure("holiday", date(2027, 3, 8), date(2027, 3, 12))))
    assert "You are closed Mon 8 to Fri 12 Mar (holiday)." in text(outcome)
    assert after(YEAR, outcome).profile[0].closures


@pytest.mark.parametrize(
    ("closure", "words"),
    [
        (SUMMER, "closed Mon 2 to Fri 20 Aug."),
        (Closure("", date(2027, 8, 30), date(2027, 9, 3)), "closed Mon 30 Aug to Fri 3 Sep."),
        (Closure("", date(2027, 5, 3), date(2027, 5, 3)), "closed Mon 3 May."),
        (Closure("", date(2027, 5, 3)), "closed from Mon 3 May on, until you say otherwise."),
        (
            Closure("summer closure", date(2027, 8, 2), date(2027, 8, 20), yearly=True),
            "closed 2 to 20 Aug every year.",
        ),
        (
            Closure("", date(2027, 12, 24), date(2028, 1, 2), yearly=True),
            "closed 24 Dec to 2 Jan every year.",
        ),
        (
            Closure("", festival=True, before=10, after=10),
            "closed 10 days either side of the lunar new year.",
        ),
        (
            Closure("", festival=True, before=3, after=1),
            "closed 3 days before to 1 day after the lunar new year.",
        ),
        (Closure("stocktaking", date(2027, 5, 3), date(2027, 5, 3)), "Mon 3 May (stocktaking)."),
    ],
)
def test_closures_are_said_back_as_they_are_meant(closure: Closure, words: str) -> None:
    assert words in text(ask(YEAR, Close("Aldermoor", closure)))


def test_the_same_closure_again_changes_nothing() -> None:
    closed = after(YEAR, ask(YEAR, Close("Aldermoor", SUMMER)))
    outcome = ask(closed, Close("aldermoor", SUMMER))
    assert outcome.changes == ()
    assert text(outcome).endswith(" already.")


def test_a_closure_that_ends_before_it_begins_is_refused() -> None:
    outcome = ask(YEAR, Close("Aldermoor", Closure("", date(2027, 8, 20), date(2027, 8, 2))))
    assert outcome.changes == ()
    assert "ends before it begins. For example: Aldermoor closed 2-20 August" in text(outcome)


# --- open again -----------------------------------------------------------------------------


def test_one_day_reopens_the_closure_that_covers_it() -> None:
    spring = Closure("", date(2027, 4, 5), date(2027, 4, 9))
    closed = after(YEAR, ask(YEAR, Close("Aldermoor", SUMMER)))
    closed = after(closed, ask(closed, Close("Aldermoor", spring)))
    outcome = ask(closed, Reopen("Aldermoor", date(2027, 8, 10)))
    known = find(after(closed, outcome).suppliers, "aldermoor")
    assert known
    assert known.closures == (spring,)
    assert "open again: no longer closed Mon 2 to Fri 20 Aug." in text(outcome)


def test_without_a_day_all_closures_go() -> None:
    closed = after(YEAR, ask(YEAR, Close("", SUMMER)))
    outcome = ask(closed, Reopen(""))
    assert after(closed, outcome).profile[0].closures == ()


def test_nothing_to_reopen_says_what_is_known() -> None:
    closed = after(YEAR, ask(YEAR, Close("Aldermoor", SUMMER)))
    outcome = ask(closed, Reopen("Aldermoor", date(2027, 9, 1)))
    assert outcome.changes == ()
    assert "I know of: closed Mon 2 to Fri 20 Aug." in text(outcome)
    unknown = ask(YEAR, Reopen("Nobody"))
    assert "I know no supplier called Nobody" in text(unknown)


YEARLY = Closure("", date(2027, 12, 24), date(2028, 1, 2), yearly=True)


@given(st.dates(date(2020, 1, 1), date(2040, 12, 31)))
def test_a_yearly_closure_touches_the_same_days_of_every_year(day: date) -> None:
    inside = (day.month, day.day) >= (12, 24) or (day.month, day.day) <= (1, 2)
    assert suppliers.touches(YEARLY, day) == inside


@given(
    st.dates(date(2026, 1, 1), date(2028, 12, 31)), st.dates(date(2026, 1, 1), date(2028, 12, 31))
)
def test_a_dated_closure_touches_exactly_its_days(day: date, first: date) -> None:
    open_ended = Closure("", first)
    assert suppliers.touches(open_ended, day) == (day >= first)
    assert not suppliers.touches(Closure("", festival=True, before=5, after=5), day)


# --- what is known of a supplier ------------------------------------------------------------


def test_facts_that_change_are_said_with_what_they_were() -> None:
    said = ChangeSupplier("hangfeng", transit_days=7, lead=Lead(28, "calendar"))
    outcome = ask(YEAR, said)
    assert (
        "Hangfeng: lead time 4 weeks, was lead time 10 working days; "
        "transit 7 calendar days, was transit 5 calendar days." in text(outcome)
    )


def test_a_new_name_makes_a_supplier_with_what_was_said() -> None:
    said = ChangeSupplier("Tannwald", country="DE", deposit_percent=Decimal("30.0"), net_days=30)
    outcome = ask(YEAR, said)
    (made,) = put(outcome, Supplier)
    assert (made.country, made.net_days) == ("DE", 30)
    assert "New supplier: Tannwald: in Germany; works Mon-Fri; deposit 30%; balance 30 days" in (
        text(outcome)
    )


def test_a_new_country_forgets_the_old_subdivision() -> None:
    bavarian = after(YEAR, ask(YEAR, ChangeSupplier("Aldermoor", country="DE", subdivision="BY")))
    outcome = ask(bavarian, ChangeSupplier("Aldermoor", country="JP"))
    assert [(s.country, s.subdivision) for s in put(outcome, Supplier)] == [("JP", "")]


def test_renaming_keeps_the_items() -> None:
    outcome = ask(YEAR, ChangeSupplier("Aldermoor", new_name="Aldermoor Paper"))
    renamed = after(YEAR, outcome)
    assert "Aldermoor is called Aldermoor Paper now." in text(outcome)
    item = find(renamed.items, "2027-03.notebook")
    assert item
    known = find(renamed.suppliers, item.supplier)
    assert known
    assert known.name == "Aldermoor Paper"


@pytest.mark.parametrize(
    ("request_", "words"),
    [
        (ChangeSupplier("Aldermoor", new_name="HANGFENG"), "is called HANGFENG already"),
        (ChangeSupplier("Aldermoor", transit_days=3), "as I have it already."),
    ],
)
def test_changes_that_cannot_be_are_refused(request_: ChangeSupplier, words: str) -> None:
    outcome = ask(YEAR, request_)
    assert outcome.changes == ()
    assert words in text(outcome)


def test_a_supplier_shows_its_facts_items_and_what_comes_next() -> None:
    closed = after(YEAR, ask(YEAR, Close("Hangfeng", SUMMER)))
    said = text(ask(closed, ShowSupplier("hangfeng")))
    assert said.startswith("Hangfeng\nIn China\nWorks Mon-Fri\nLead time 10 working days\n")
    assert "Closed Mon 2 to Fri 20 Aug" in said
    assert "Supplies pin (September)" in said
    assert "Next: " in said
    # What is the house's and not the supplier's own is said to be so.
    assert "the usual; none of its own is known" not in said
    bare = shop("Brackenfold")
    assert "Transit 3 calendar days, the usual" in text(ask(bare, ShowSupplier("brackenfold")))
    assert "I know no supplier" in text(ask(bare, ShowSupplier("gone")))


@pytest.mark.parametrize(
    "request_",
    [
        Close("Aldermoor", SUMMER),
        Close("Tannwald", SUMMER),
        Close("", SUMMER),
        ChangeSupplier("Aldermoor", transit_days=9),
        ChangeSupplier("Tannwald", country="DE"),
    ],
)
def test_every_change_can_be_taken_back(request_: object) -> None:
    outcome = ask(YEAR, request_)
    changed = apply(YEAR, outcome.changes)
    assert changed != YEAR
    undone = apply(changed, invert(YEAR, outcome.changes))
    assert (undone.profile, undone.suppliers) == (YEAR.profile, YEAR.suppliers)
