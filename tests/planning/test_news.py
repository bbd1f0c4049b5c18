"""Boxes at risk are told to owners on the first morning that shows it, and not again."""

from datetime import date, timedelta

from msgspec.structs import replace

from assistant.planning.model import Morning, Person, Shop
from assistant.planning.month.risks import at_risk
from assistant.planning.news import news, with_news
from tests.trade import shop, with_holidays

TODAY = date(2027, 1, 11)  # a Monday
MARA = Person(id="p1", chat="a:1", name="Mara", role="owner")
TOM = Person(id="p2", chat="a:2", name="Tom")


def late(lead: str = "60d", ships: str = "") -> Shop:
    items = f"notebook@Aldermoor 450, lead {lead}; tea@Aldermoor 450"
    made = shop("Aldermoor", f"2027-03 Rain{ships}: {items}")
    return replace(with_holidays(made, TODAY), people=(MARA, TOM))


def told(known: Shop, on: date) -> Shop:
    morning = with_news(Morning("p1", on), news(known, MARA, on))
    return replace(known, mornings=(morning,))


def test_an_owner_hears_of_a_box_at_risk_and_a_helper_does_not() -> None:
    known = late()
    assert [one.box for one in news(known, MARA, TODAY)] == ["2027-03"]
    assert news(known, TOM, TODAY) == ()
    assert news(late("5d"), MARA, TODAY) == ()


def test_it_is_told_once() -> None:
    known = told(late(), TODAY)
    for day in range(1, 20):
        on = TODAY + timedelta(day)
        assert at_risk(known, on)
        assert news(known, MARA, on) == ()


def test_it_is_told_again_when_the_day_or_the_worst_item_is_another() -> None:
    known = told(late(), TODAY)
    moved = replace(late("60d", ", ships 2027-03-10"), mornings=known.mornings)
    assert len(news(moved, MARA, TODAY)) == 1
    items = tuple(
        replace(one, lead=replace(one.lead, days=90)) if one.lead else one for one in known.items
    )
    assert news(replace(known, items=items), MARA, TODAY) == ()  # the same item, later still
    other = tuple(replace(one, id=f"{one.id} two") for one in known.items)
    assert len(news(replace(known, items=other), MARA, TODAY)) == 1
