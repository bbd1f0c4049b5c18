"""Calendar files issued one after another.

What a program does that imports them is written here from RFC 5545, section 3.8.7.4, and RFC 5546,
section 2.1.4: the higher SEQUENCE wins, what is cancelled goes.
"""

from datetime import date

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.changes import apply
from assistant.planning.model import Item, Mark, Put, Remove, Shop
from assistant.sheets.calendar_file import calendar_feed, calendar_file
from tests.sheets.calendars import (
    JO,
    NEW_YORK,
    NOW,
    PLAN,
    TEA,
    TODAY,
    WREN,
    Read,
    by_icalendar,
    made,
    read,
    titled,
)

# --- issued again ---------------------------------------------------------------------------


class Program:
    """A program that imports calendar files."""

    def __init__(self) -> None:
        self.events: dict[str, Read] = {}

    def take(self, content: bytes) -> None:
        for uid, new in by_icalendar(content).items():
            old = self.events.get(uid)
            assert old is None or new.sequence >= old.sequence
            if old is not None and new.sequence == old.sequence:
                assert new[1:6] == old[1:6]  # what changed has a higher number
            self.events[uid] = new

    @property
    def shown(self) -> list[tuple[str, date, date]]:
        return sorted(
            (one.summary, one.first, one.last)
            for one in self.events.values()
            if one.status != "CANCELLED"
        )


def test_the_same_plan_gives_the_same_bytes_and_nothing_to_remember() -> None:
    first = made(PLAN)
    again = calendar_file(apply(PLAN, first.changes), WREN, TODAY, NOW, "another seed")
    assert again.content == first.content
    assert again.changes == ()


def test_a_date_that_moves_keeps_its_name_and_has_a_higher_number() -> None:
    first = made(PLAN)
    kept = apply(PLAN, first.changes)
    boxes = (replace(kept.boxes[0], ship_on=date(2027, 3, 22)), *kept.boxes[1:])
    second = made(replace(kept, boxes=boxes))
    old, new = read(first.content), read(second.content)
    assert old.keys() == new.keys()
    for uid, event in new.items():
        moved = (event.first, event.last) != (old[uid].first, old[uid].last)
        assert event.sequence == old[uid].sequence + moved
    assert titled(second.content)["Ship March: Rain & Roots"].sequence == 1


def test_what_went_away_is_cancelled_and_comes_back_under_a_higher_number() -> None:
    first = made(PLAN)
    kept = apply(PLAN, first.changes)
    dropped = apply(kept, (Remove("items", "2027-03.pin"),))
    second = made(dropped)
    gone = [one for one in read(second.content).values() if one.status == "CANCELLED"]
    assert second.gone == len(gone) > 0
    assert all("pin" in one.summary and one.sequence == 1 and not one.rings for one in gone)
    kept = apply(dropped, second.changes)
    third = made(kept)
    assert third.content == second.content  # cancelled once, however often it is issued
    back = apply(kept, (Put(next(one for one in PLAN.items if one.id == "2027-03.pin")),))
    again = read(made(back).content)
    assert {again[one.uid].sequence for one in gone} == {2}
    assert {again[one.uid].status for one in gone} == {"CONFIRMED"}


def test_what_has_shipped_is_neither_told_nor_cancelled() -> None:
    kept = apply(PLAN, made(PLAN).changes)
    later = made(kept, today=date(2027, 4, 5))
    assert later.gone == 0
    assert not any("March" in one.summary for one in read(later.content).values())


def test_what_was_issued_is_forgotten_in_time() -> None:
    kept = apply(PLAN, made(PLAN).changes)
    old = made(kept, today=date(2028, 9, 1))
    assert old.events == 0
    assert [one.id for one in apply(kept, old.changes).issued] == [""]


def test_the_calendar_of_one_box_leaves_the_others_alone() -> None:
    kept = apply(PLAN, made(PLAN).changes)
    dropped = apply(kept, (Remove("items", TEA), Remove("items", "2027-03.pin")))
    march = made(dropped, box="2027-03")
    events = read(march.content).values()
    assert all("(March)" in one.summary or "March:" in one.summary for one in events)
    assert march.gone > 0
    after = apply(dropped, march.changes)
    (may,) = (one for one in after.issued if one.id == "2027-05")
    assert not any(row.gone for row in may.events)
    assert made(after).gone > march.gone


def test_an_item_that_moved_to_another_box_is_told_in_the_calendar_of_the_old_one() -> None:
    kept = apply(PLAN, made(PLAN).changes)
    (pin,) = (one for one in kept.items if one.id == "2027-03.pin")
    moved = apply(kept, (Put(replace(pin, box="2027-05")),))
    march = made(moved, box="2027-03")
    assert march.gone == 0
    assert "Order pin (May)" in titled(march.content)


def test_names_of_two_shops_never_meet() -> None:
    one = calendar_file(PLAN, WREN, TODAY, NOW, "one")
    other = calendar_file(PLAN, WREN, TODAY, NOW, "other")
    assert not read(one.content).keys() & read(other.content).keys()


def test_whose_calendar_it_is_does_not_change_what_was_issued() -> None:
    kept = apply(PLAN, made(PLAN).changes)
    assert made(kept, replace(JO, zone=NEW_YORK)).changes == ()


def test_what_is_subscribed_to_has_only_what_stands() -> None:
    first = made(PLAN)
    kept = apply(PLAN, first.changes)
    assert calendar_feed(kept, WREN, TODAY, NOW) == first.content
    dropped = apply(kept, (Remove("items", "2027-03.pin"),))
    events = read(calendar_feed(dropped, WREN, TODAY, NOW)).values()
    assert events
    assert not any("pin" in one.summary for one in events)


MOVES = st.one_of(
    st.tuples(st.just("ship"), st.sampled_from(["2027-03", "2027-05"]), st.integers(8, 26)),
    st.tuples(st.just("box"), st.sampled_from(["pin", "notebook", "tea"]), st.integers(0, 1)),
    st.tuples(st.just("drop"), st.sampled_from(["pin", "notebook", "tea"]), st.just(0)),
    st.tuples(st.just("add"), st.sampled_from(["pin", "notebook", "tea"]), st.integers(0, 1)),
    st.tuples(st.just("done"), st.sampled_from(["pin", "notebook", "tea"]), st.integers(0, 2)),
    st.tuples(st.just("theme"), st.sampled_from(["2027-03", "2027-05"]), st.integers(0, 2)),
)


def moved(shop: Shop, move: tuple[str, str, int]) -> Shop:
    what, name, number = move
    box = ("2027-03", "2027-05")[number % 2]
    ids = {one.name: one.id for one in shop.items}
    if what in ("ship", "theme"):
        (old,) = (one for one in shop.boxes if one.id == name)
        ship_on = date(2027, int(name[-2:]), number) if what == "ship" else old.ship_on
        theme = ("", "Moss", "Fog")[number] if what == "theme" else old.theme
        return apply(shop, (Put(replace(old, ship_on=ship_on, theme=theme)),))
    if what == "add":
        return apply(shop, (Put(Item(ids.get(name, name), box, name)),))
    if name not in ids:
        return shop
    if what == "drop":
        return apply(shop, (Remove("items", ids[name]),))
    if what == "done":
        state = ("open", "done", "not needed")[number]
        return apply(shop, (Put(Mark(f"{ids[name]}/order", state)),))  # type: ignore[arg-type]
    (item,) = (one for one in shop.items if one.name == name)
    return apply(shop, (Put(replace(item, box=box)),))


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(st.tuples(MOVES, st.booleans()), max_size=12))
def test_a_program_that_takes_file_after_file_shows_the_plan(
    steps: list[tuple[tuple[str, str, int], bool]],
) -> None:
    now, program = PLAN, Program()
    for move, issue in (*steps, (("theme", "2027-03", 1), True)):
        now = moved(now, move)
        if issue:
            file = made(now)
            now = apply(now, file.changes)
            program.take(file.content)
    fresh = by_icalendar(made(replace(now, issued=())).content).values()
    assert program.shown == sorted((one.summary, one.first, one.last) for one in fresh)
