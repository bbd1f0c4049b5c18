"""Who is told what on which morning. All shops and people are invented."""

from datetime import date

import pytest
from msgspec.structs import replace

from assistant.planning.changes import apply
from assistant.planning.model import Mark, Morning, Put, Shop
from assistant.planning.nudges import (
    mark,
    put_off,
    working_days_on,
)
from tests.planning.pretend_clock import (
    PACK,
    PACKING,
    WREN,
    keys,
    mornings,
    only,
    tick,
    ticked,
    utc,
)
from tests.trade import shop


def parts(made: Shop, key: str = PACK) -> dict[str, list[str]]:
    """On which mornings of four weeks a deadline is told, by part of the digest."""
    told_on: dict[str, list[str]] = {"ahead": [], "today": [], "late": []}
    for _, found in ticked(made, mornings(28)):
        for part, days_told in told_on.items():
            if key in keys(getattr(found, part)):
                days_told.append(f"{found.day:%a %d}")
    return told_on


def test_told_ahead_once_then_on_the_day_then_daily_but_at_weekends() -> None:
    assert parts(PACKING) == {
        "ahead": ["Thu 10"],
        "today": ["Mon 14"],
        "late": ["Tue 15", "Wed 16", "Thu 17", "Fri 18", "Mon 21", "Tue 22"],
    }


WEEKENDS = (
    # the shop's week, when its boxes that ship on Sunday 13 December are told of
    ("Mon-Fri", {"ahead": ["Thu 10"], "today": ["Fri 11"], "late": ["Mon 14", "Tue 15"]}),
    ("Tue-Sat", {"ahead": ["Fri 11"], "today": ["Sat 12"], "late": ["Mon 14", "Tue 15"]}),
    ("every day", {"ahead": ["Fri 11"], "today": ["Sun 13"], "late": ["Mon 14", "Tue 15"]}),
)


@pytest.mark.parametrize(("week", "expected"), WEEKENDS)
def test_what_falls_on_a_weekend_is_told_before_it(
    week: str, expected: dict[str, list[str]]
) -> None:
    found = parts(only("ship", shop("2026-12, ships 2026-12-13", week=week)), "2026-12/ship")
    assert {part: days[:2] for part, days in found.items()} == expected


def test_weekends_by_choice() -> None:
    every_day = replace(PACKING, people=(replace(WREN, weekends=True),))
    assert parts(every_day)["late"][3:6] == ["Fri 18", "Sat 19", "Sun 20"]
    by_house = replace(PACKING, house=replace(PACKING.house, weekends=True))
    assert parts(by_house)["late"][3:6] == ["Fri 18", "Sat 19", "Sun 20"]
    not_hers = replace(by_house, people=(replace(WREN, weekends=False),))
    assert parts(not_hers)["late"][3:5] == ["Fri 18", "Mon 21"]


def test_done_and_not_needed_end_it() -> None:
    for state in ("done", "not needed"):
        made, _ = tick(PACKING, utc("2026-12-10"))
        made = apply(made, mark(made, PACK, state, utc("2026-12-10", 13), "wren"))
        assert not any(
            keys(found.late) + keys(found.today)
            for _, found in ticked(made, mornings(9, date(2026, 12, 11)))
        )


def test_put_off_is_silent_until_its_day_then_told_again() -> None:
    made, [first] = tick(PACKING, utc("2026-12-10"))
    assert keys(first.ahead) == [PACK]
    made = apply(made, put_off(made, PACK, date(2026, 12, 11), utc("2026-12-10", 13), "wren"))
    made, [again] = tick(made, utc("2026-12-11"))
    assert keys(again.ahead) == [PACK]  # told a second time for the same date
    made = apply(made, put_off(made, PACK, date(2026, 12, 17), utc("2026-12-11", 13), "wren"))
    told_on = [found.day.day for _, found in ticked(made, mornings(9, date(2026, 12, 12)))
               if keys(found.late)]  # fmt: skip
    assert told_on == [17, 18]


def test_a_date_that_moves_is_told_anew() -> None:
    made, _ = tick(PACKING, utc("2026-12-10"))
    made = apply(made, [Put(replace(made.boxes[0], ship_on=date(2026, 12, 16)))])
    made, [same_day_again] = tick(made, utc("2026-12-11"))
    assert keys(same_day_again.ahead) == [PACK]
    assert [found for _, found in ticked(made, [utc("2026-12-12")])] == []


def test_marks() -> None:
    made = apply(PACKING, mark(PACKING, PACK, "done", utc("2026-12-10"), "wren"))
    assert made.ledger == (Mark(PACK, "done", at=utc("2026-12-10"), by="wren"),)
    assert mark(made, PACK, "done", utc("2026-12-11"), "rowan") == ()
    assert mark(PACKING, PACK, "open", utc("2026-12-11"), "rowan") == ()
    late = apply(made, put_off(made, PACK, date(2026, 12, 20), utc("2026-12-12"), "wren"))
    assert late.ledger[0].state == "open"
    ended = apply(late, mark(late, PACK, "open", utc("2026-12-13"), "wren"))
    assert ended.ledger[0].until is None


def test_days_are_put_off_by_the_shops_own_working_days() -> None:
    assert working_days_on(shop(), 3, date(2026, 12, 3)) == date(2026, 12, 8)
    assert working_days_on(shop(week="every day"), 3, date(2026, 12, 3)) == date(2026, 12, 6)
    assert working_days_on(shop(), 10**9, date(2026, 12, 3)) == date.max


def test_what_was_told_is_forgotten_once_its_date_is_past() -> None:
    made = replace(
        PACKING, mornings=(Morning("wren", date(2026, 12, 9), (("old/order", date(2026, 12, 9)),)),)
    )
    made, _ = tick(made, utc("2026-12-10"))
    assert made.mornings == (Morning("wren", date(2026, 12, 10), ((PACK, date(2026, 12, 14)),)),)
