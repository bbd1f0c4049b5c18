"""Who is nudged for what, days off, deeds: against naive rules, day by day."""

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given as cases
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning import crew
from assistant.planning.changes import apply
from assistant.planning.deadlines import deadlines
from assistant.planning.model import (
    Closure,
    Delivery,
    Entry,
    Item,
    Mark,
    Person,
    Put,
    Shop,
)
from assistant.planning.nudges import digest_for, mark, next_due, put_off, rehearse, told
from tests.trade import closure, shop, with_holidays

TODAY = date(2027, 1, 11)  # a Monday
MARA = Person(id="p1", chat="a:1", name="Mara", role="owner")
TOM = Person(id="p2", chat="a:2", name="Tom")
JO = Person(id="p3", chat="a:3", name="Jo")
ITEM = "2027-03.notebook"
ORDER = f"{ITEM}/order"


def plan(*people: Person, **fields: object) -> Shop:
    made = shop("Aldermoor", "2027-03 Rain: notebook@Aldermoor 450 x 3.10, lead 20d")
    return replace(with_holidays(made, TODAY), people=people or (MARA, TOM, JO), **fields)


def at(day: date, hour: int = 9) -> datetime:
    return datetime(day.year, day.month, day.day, hour, tzinfo=UTC)


def told_to(given: Shop, person: Person, day: date) -> set[str]:
    """What a person hears on a morning, if nothing was told before."""
    found = digest_for(replace(given, mornings=()), person, at(day))
    return {one.key for one in (*found.late, *found.today, *found.ahead)} if found else set()


# --- given to one person --------------------------------------------------------------------


def test_what_is_given_to_one_person_is_told_to_nobody_else() -> None:
    on = next(one.on for one in deadlines(plan(), TODAY) if one.key == ORDER)
    everybody = plan()
    toms = apply(everybody, crew.give(everybody, (ORDER,), "p2"))
    for person in (MARA, TOM, JO):
        assert ORDER in told_to(everybody, person, on)
        assert (ORDER in told_to(toms, person, on)) == (person is TOM)
    assert told_to(everybody, MARA, on) - told_to(toms, MARA, on) == {ORDER}


def test_owners_hear_of_it_when_it_is_late_by_two_working_days() -> None:
    """Counted by hand: due on a weekday, late by one on the next working day, by two on the one
    after it."""
    toms = apply(plan(), crew.give(plan(), (ORDER,), "p2"))
    on = next(one.on for one in deadlines(toms, TODAY) if one.key == ORDER)
    working = [on + timedelta(n) for n in range(8) if (on + timedelta(n)).weekday() < 5]
    heard = {
        day: {one.name for one in (MARA, TOM, JO) if ORDER in told_to(toms, one, day)}
        for day in working
    }
    assert heard[working[0]] == {"Tom"}
    assert heard[working[1]] == {"Tom"}
    assert heard[working[2]] == {"Tom", "Mara"}
    assert heard[working[3]] == {"Tom", "Mara"}


def test_owners_hear_of_it_while_its_person_is_off_or_cannot_be_reached() -> None:
    on = next(one.on for one in deadlines(plan(), TODAY) if one.key == ORDER)
    off = replace(TOM, off=(Closure("holiday", on, on),))
    gone = replace(TOM, reachable=False)
    for tom in (off, gone):
        toms = plan(MARA, tom, JO, ledger=(Mark(ORDER, to="p2"),))
        assert ORDER in told_to(toms, MARA, on)
        assert ORDER not in told_to(toms, JO, on)
        assert told_to(toms, tom, on) == set()


def test_what_is_given_to_nobody_who_is_in_is_everybodys() -> None:
    on = next(one.on for one in deadlines(plan(), TODAY) if one.key == ORDER)
    lost = plan(MARA, JO, ledger=(Mark(ORDER, to="p2"),))
    assert crew.given(lost) == {}
    assert ORDER in told_to(lost, JO, on)


def test_given_back_is_all_that_was_theirs() -> None:
    marks = (Mark(ORDER, to="p2"), Mark("2027-03/pack", "done", to="p2"), Mark("x/y", to="p3"))
    toms = plan(ledger=marks)
    after = apply(toms, crew.given_back(toms, "p2"))
    assert [one.to for one in after.ledger] == ["", "", "p3"]
    assert [one.state for one in after.ledger] == ["open", "done", "open"]


def test_giving_what_is_so_already_changes_nothing() -> None:
    toms = plan(ledger=(Mark(ORDER, to="p2"),))
    assert crew.give(toms, (ORDER,), "p2") == ()
    assert crew.give(plan(), (ORDER,), "") == ()


def test_done_and_put_off_do_not_take_it_from_its_person() -> None:
    toms = plan(ledger=(Mark(ORDER, to="p2"),))
    for changes in (
        mark(toms, ORDER, "done", at(TODAY), "p2"),
        put_off(toms, ORDER, TODAY + timedelta(3), at(TODAY), "p2"),
    ):
        assert crew.given(apply(toms, changes)) == {ORDER: TOM}


def test_a_rehearsal_is_the_owners_own() -> None:
    toms = apply(plan(), crew.give(plan(), (ORDER,), "p2"))
    year = rehearse(toms, TODAY, TODAY + timedelta(90))
    keys = {one.key for d in year for one in (*d.late, *d.today, *d.ahead)}
    assert keys
    assert ORDER not in keys
    assert ORDER in {
        one.key
        for d in rehearse(plan(), TODAY, TODAY + timedelta(90))
        for one in (*d.late, *d.today, *d.ahead)
    }


@cases(st.integers(0, 60), st.sampled_from(["", "p1", "p2", "p3", "gone"]))
def test_everything_due_is_told_to_somebody(ahead: int, to: str) -> None:
    """Nothing falls between two: who is given a thing, or everybody, hears of it on a morning."""
    day = TODAY + timedelta(ahead)
    if day.weekday() > 4:
        return
    given = plan(ledger=(Mark(ORDER, to=to),))
    everybody = told_to(plan(), MARA, day)
    heard = set[str]().union(*(told_to(given, one, day) for one in given.people))
    assert everybody <= heard


# --- days off -------------------------------------------------------------------------------

CLOSURES = [
    "2027-03-02 to 2027-03-06",
    "2027-03-04",
    "from 2027-03-03",
    "2-20 Aug yearly",
    "24 Dec-2 Jan yearly",
]


def naive(text: str, day: date) -> bool:
    """The same days, listed by hand."""
    match text:
        case "2027-03-02 to 2027-03-06":
            return date(2027, 3, 2) <= day <= date(2027, 3, 6)
        case "2027-03-04":
            return day == date(2027, 3, 4)
        case "from 2027-03-03":
            return day >= date(2027, 3, 3)
        case "2-20 Aug yearly":
            return day.month == 8 and 2 <= day.day <= 20
        case _:
            return (day.month, day.day) >= (12, 24) or (day.month, day.day) <= (1, 2)


@pytest.mark.parametrize("text", CLOSURES)
def test_days_off_are_those_that_were_said(text: str) -> None:
    tom = replace(TOM, off=(closure(text),))
    for n in range(-40, 800):
        day = date(2027, 1, 11) + timedelta(n)
        assert crew.is_off(tom, day) == naive(text, day), day


@cases(st.sampled_from(CLOSURES), st.dates(date(2027, 1, 1), date(2028, 12, 31)))
def test_who_is_back_works_from_that_day_on_and_was_off_before_as_said(
    text: str, day: date
) -> None:
    tom = replace(TOM, off=(closure(text),))
    back = crew.back_on(tom, day)
    assert not crew.is_off(back, day)
    if not naive(text, day):
        assert back == tom
    elif "yearly" not in text:
        before = [day - timedelta(n) for n in range(1, 30)]
        assert all(crew.is_off(back, one) == naive(text, one) for one in before)
        assert not any(crew.is_off(back, day + timedelta(n)) for n in range(30))


def test_who_is_off_is_told_on_the_first_day_back_and_the_clock_knows() -> None:
    away = replace(TOM, off=(closure("2027-01-11 to 2027-03-12"),))
    quiet = plan(away)
    assert digest_for(quiet, away, at(TODAY)) is None
    due = next_due(quiet, at(TODAY))
    assert due is not None
    assert due.date() == date(2027, 3, 15)  # the Monday after
    found = digest_for(quiet, away, at(date(2027, 3, 15)))
    assert found is not None
    assert found.late
    assert apply(quiet, told(found, quiet)).mornings[0].day == date(2027, 3, 15)


def test_days_off_that_are_over_are_not_coming() -> None:
    tom = replace(TOM, off=tuple(map(closure, CLOSURES)))
    coming = crew.off_from(tom, date(2027, 3, 5))
    assert [one.first for one in coming] == sorted(one.first for one in coming if one.first)
    assert len(coming) == 4


# --- who did it -----------------------------------------------------------------------------


def entry(number: int, by: str, why: str, *records: object, undoes: int = 0) -> Entry:
    when = at(TODAY) + timedelta(minutes=number)
    changes = tuple(Put(one) for one in records)  # type: ignore[arg-type]
    return Entry(number, when, by, why, changes, (), undoes)


NOTEBOOK = Item(id=ITEM, box="2027-03", name="notebook")


def test_deeds_are_those_of_the_item_its_marks_and_its_deliveries_newest_first() -> None:
    recent = (
        entry(1, "p1", "add notebook", NOTEBOOK),
        entry(2, "p2", "done: order notebook", Mark(ORDER, "done", at=at(TODAY), by="p2")),
        entry(3, "p3", "400 came", Delivery("d", ITEM, TODAY, 400)),
        entry(4, "p2", "theme moss", replace(plan().boxes[0], theme="moss")),
    )
    known = plan(recent=recent, ledger=(Mark(ORDER, "done", at=at(TODAY), by="p2"),))
    assert [one.why for one in crew.deeds(known, (), item=ITEM)] == [
        "400 came",
        "done: order notebook",
        "add notebook",
    ]
    assert len(crew.deeds(known, (), box="2027-03")) == 4
    assert [one.why for one in crew.deeds(known, (), person="p2")] == [
        "theme moss",
        "done: order notebook",
    ]
    assert len(crew.deeds(known, ())) == 4


def test_a_mark_whose_words_are_forgotten_is_told_by_itself() -> None:
    known = plan(ledger=(Mark(ORDER, "done", at=at(TODAY), by="p2"), Mark("2027-03/pack", to="p3")))
    (deed,) = crew.deeds(known, (), item=ITEM)
    assert (deed.by, deed.key, deed.state, deed.why) == ("p2", ORDER, "done", "")


def test_what_was_taken_back_and_taking_back_are_no_deeds() -> None:
    recent = (
        entry(1, "p1", "add notebook", NOTEBOOK),
        entry(2, "p1", "undo: add notebook", NOTEBOOK, undoes=1),
    )
    assert crew.deeds(plan(recent=recent), (1,)) == ()
