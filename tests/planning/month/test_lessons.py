"""What a box that has gone out teaches: against its plan, opinions on one scale, leftovers that are
never made or lost. Shops, suppliers and goods are invented; means are those of `statistics`."""

from datetime import UTC, date, datetime
from decimal import Decimal
from statistics import fmean

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.accounts.costs import box_cost
from assistant.planning.changes import apply
from assistant.planning.model import (
    Delivery,
    Item,
    Lead,
    Mark,
    Opinion,
    Purchase,
    Run,
    Sent,
    Shop,
    Stock,
    Tally,
)
from assistant.planning.month import leftovers, lessons, opinions
from assistant.planning.month.lessons import RealLead
from assistant.planning.month.sent import arrivals, sent_boxes, sent_of, sent_on
from assistant.planning.year.themes import prompts
from tests.trade import shop

TODAY = date(2027, 3, 20)
NOTEBOOK, MUG = "2027-03.field notebook", "2027-03.mug"


def at(day: int, hour: int, month: int = 3) -> datetime:
    return datetime(2027, month, day, hour, tzinfo=UTC)


def shipped(*more: str, on: datetime | None = None, **fields: object) -> Shop:
    """A shop whose March box was said to have gone out."""
    made = shop(
        "Aldermoor: lead 20d, transit 3d",
        "2027-03 Rain and roots: field notebook@Aldermoor 450 x 3.10, type notebook; mug 450 x 2",
        "2027-05 First swifts: field notebook@Aldermoor; tea",
        *more,
        subscribers=420,
    )
    done = Mark("2027-03/ship", "done", at=on or at(17, 9))
    return replace(made, ledger=(done,), **fields)


PACKED = Run(
    "2027-03", packed=((at(11, 9), 0), (at(11, 15), 200), (at(12, 9), 10), (at(12, 12), 208))
)
BOUGHT = (
    Purchase(NOTEBOOK, 460, Decimal("3.00"), first_promised=date(2027, 3, 3)),
    Purchase(MUG, 450, Decimal("2.20"), first_promised=date(2027, 3, 3)),
)
CAME = (
    Delivery("d1", NOTEBOOK, date(2027, 3, 2), 200),
    Delivery("d2", NOTEBOOK, date(2027, 3, 6), 212, 6),
    Delivery("d3", MUG, date(2027, 3, 2), 450),
)


# --- when a box went out --------------------------------------------------------------------


def test_a_box_went_out_on_the_day_on_which_it_was_said() -> None:
    made = shipped()
    assert sent_on(made, "2027-03", TODAY) == date(2027, 3, 17)
    assert sent_on(made, "2027-05", TODAY) is None
    assert sent_boxes(made, TODAY) == ("2027-03",)
    found = sent_of(made, "2027-03", TODAY)
    assert found is not None
    assert (found.on, found.planned_on) == (date(2027, 3, 17), date(2027, 3, 15))
    assert lessons.days_late(made, found, TODAY) == 2


def test_a_collection_that_was_booked_is_the_day() -> None:
    run = Run("2027-03", collection=date(2027, 3, 16))
    assert sent_on(shipped(runs=(run,)), "2027-03", TODAY) == date(2027, 3, 16)
    later = Run("2027-03", collection=date(2027, 3, 19))
    assert sent_on(shipped(runs=(later,)), "2027-03", TODAY) == date(2027, 3, 17)


def test_without_a_word_a_box_has_gone_out_once_its_day_is_long_past() -> None:
    made = replace(shipped(), ledger=())
    assert sent_on(made, "2027-03", date(2027, 3, 29)) is None
    assert sent_on(made, "2027-03", date(2027, 3, 30)) == date(2027, 3, 15)
    assert sent_of(made, "2027-03", date(2027, 3, 29)) is None


def test_a_box_that_has_not_gone_out_cannot_be_looked_back_on() -> None:
    assert lessons.look_back(shipped(), "2027-05", TODAY) is None
    assert lessons.look_back(shipped(), "2027-07", TODAY) is None


# --- what it came to ------------------------------------------------------------------------


def test_costs_follow_what_was_paid() -> None:
    """Of 420 boxes each: 450 x 3.10 and 450 x 2.00 as planned; 460 x 3.00 and 450 x 2.20 as paid.
    All of an order is borne by the pieces that go into boxes."""
    found = sent_of(shipped(purchases=BOUGHT), "2027-03", TODAY)
    assert found is not None
    assert found.planned_cost is not None
    assert found.cost is not None
    planned, paid = (450 * 3.10 + 450 * 2.00) / 420, (460 * 3.00 + 450 * 2.20) / 420
    assert float(found.planned_cost) == pytest.approx(planned)
    assert float(found.cost) == pytest.approx(paid)


def test_a_box_alone_costs_what_it_costs_among_the_others() -> None:
    made = shipped("2027-04 Moss: field notebook@Aldermoor 450 x 3.10")
    found = sent_of(made, "2027-03", TODAY)
    assert found is not None
    assert found.planned_cost == box_cost(made, "2027-03", date(2027, 3, 15)).cost


def test_a_cost_that_lacks_a_price_is_not_known() -> None:
    found = sent_of(shipped(), "2027-03", TODAY)
    assert found is not None
    assert found.cost is None  # nothing was noted as bought
    bare = replace(shipped(purchases=BOUGHT), items=(Item("2027-03.x", "2027-03", "x"),))
    unknown = sent_of(bare, "2027-03", TODAY)
    assert unknown is not None
    assert (unknown.cost, unknown.planned_cost) == (None, None)


def test_what_was_planned_stays_as_it_was_first_kept() -> None:
    first = sent_of(shipped(), "2027-03", TODAY)
    assert first is not None
    kept = replace(first, planned_on=date(2027, 3, 12), planned_cost=Decimal(9), theme="Rain")
    found = sent_of(shipped(sent=(kept,), purchases=BOUGHT), "2027-03", TODAY)
    assert found is not None
    assert (found.planned_on, found.planned_cost) == (date(2027, 3, 12), Decimal(9))
    assert found.theme == "Rain"
    assert found.cost != first.cost


def test_boxes_and_hours_are_those_that_were_counted() -> None:
    found = lessons.look_back(shipped(runs=(PACKED,)), "2027-03", TODAY)
    assert found is not None
    assert (found.sent.boxes, found.expected, found.counted) == (418, 420, True)
    assert found.sent.hours == Decimal("9.2")  # 408 in 9 hours, and 10 more at that pace
    bare = lessons.look_back(shipped(), "2027-03", TODAY)
    assert bare is not None
    assert (bare.sent.boxes, bare.counted, bare.sent.hours) == (420, False, None)


def test_late_short_and_broken() -> None:
    made = shipped(purchases=BOUGHT, deliveries=CAME)
    notebook, mug = arrivals(made, "2027-03")
    assert (notebook.late, notebook.short, notebook.damaged) == (3, 48, 6)
    assert notebook.came == date(2027, 3, 6)
    assert (mug.late, mug.short, mug.damaged) == (-1, 0, 0)


# --- scores ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("score", "of", "made"),
    [
        ("4.6", 5, "4.6"),
        ("8", 10, "4"),
        ("8.2", 10, "4.1"),
        ("0", 10, "1"),
        ("1", 10, "1"),
        ("90", 100, "4.5"),
        ("1", 5, "1"),
        ("5", 5, "5"),
        ("0", 5, None),
        ("5.1", 5, None),
        ("11", 10, None),
        ("-1", 10, None),
        ("1", 1, None),
    ],
)
def test_scores_on_one_scale(score: str, of: int, made: str | None) -> None:
    assert opinions.scaled(Decimal(score), of) == (Decimal(made) if made else None)


@given(st.integers(2, 100).flatmap(lambda of: st.tuples(st.just(of), st.integers(0, of))))
def test_a_score_is_from_1_to_5_and_keeps_its_order(pair: tuple[int, int]) -> None:
    of, score = pair
    made = opinions.scaled(Decimal(score), of)
    if made is None:
        assert (of, score) == (5, 0)
        return
    assert 1 <= made <= 5
    higher = opinions.scaled(Decimal(min(score + 1, of)), of)
    assert higher is not None
    assert higher >= made


SCORES = st.decimals(1, 5, places=1)


@given(st.lists(st.tuples(SCORES, st.integers(1, 90)), min_size=1, max_size=6))
def test_means_count_for_as_many_answers_as_they_are_of(pairs: list[tuple[Decimal, int]]) -> None:
    every = [
        Opinion(str(n), "2027-03", str(n), "lamp", score=score, answers=many)
        for n, (score, many) in enumerate(pairs)
    ]
    found = opinions.verdict("lamp", every)
    one_by_one = [float(score) for score, many in pairs for _ in range(many)]
    assert found.score is not None
    assert float(found.score) == pytest.approx(fmean(one_by_one), abs=0.006)
    assert found.answers == len(one_by_one)
    assert found.liked == (found.score >= 4) - (found.score < 3)


def test_words_without_a_score_praise_or_blame() -> None:
    loved = Opinion("a", "2027-03", "a", "lamp", words=("loved",))
    assert opinions.verdict("lamp", (loved,)).liked == 1
    assert opinions.verdict("lamp", (replace(loved, words=("disliked",)),)).liked == -1
    assert opinions.verdict("lamp", (replace(loved, words=("too dim",)),)).liked == 0


def test_a_new_score_takes_the_place_of_the_old_and_words_stay() -> None:
    made = shipped(opinions=(Opinion(MUG, "2027-03", MUG, "mug", "", Decimal(4), 9, ("small",)),))
    subject = opinions.about(made, "2027-03", MUG)
    new = opinions.noted(made, replace(subject, score=Decimal(2), answers=3))
    assert (new.score, new.answers) == (2, 3)
    assert new.words == ("small",)
    said = opinions.noted(made, replace(subject, words=("pretty", "small")))
    assert (said.score, said.answers) == (4, 9)
    assert said.words == ("small", "pretty")


# --- a survey -------------------------------------------------------------------------------


def test_a_survey_finds_its_items_by_name_and_by_question() -> None:
    made = shipped()
    tallies = (
        Tally("row 2", "How did you like the field notebook?", 0, None, Decimal("4.5"), 8),
        Tally("row 2", "MUG", 0, None, Decimal(2), 8, ("too small",)),
        Tally("row 2", "", 0, None, Decimal(4), 8),
    )
    found = opinions.bring_in(made, tallies, "", TODAY)
    assert found.refused == ()
    assert [(one.id, one.score) for one in found.found] == [
        (NOTEBOOK, Decimal("4.5")),
        (MUG, Decimal(2)),
        ("2027-03", Decimal(4)),
    ]
    assert found.assumed == "2027-03"
    again = opinions.bring_in(apply(made, found.changes), tallies, "", TODAY)
    assert (again.changes, again.same) == ((), 3)


@pytest.mark.parametrize(
    ("tally", "why"),
    [
        (Tally("row 2", "kettle"), "no item “kettle”"),
        (Tally("row 2", "lamp"), "could be “lamp oil” or “lamp shade”"),
        (Tally("row 2", "tea", 5), "the box of May has not gone out"),
        (Tally("row 2", "mug", 3, 2026), "the box of March 2026 has not gone out"),
    ],
)
def test_a_line_that_names_nothing_or_two_things_is_refused(tally: Tally, why: str) -> None:
    made = shipped()
    more = tuple(Item(f"2027-03.{name}", "2027-03", name) for name in ("lamp oil", "lamp shade"))
    made = replace(made, items=(*made.items, *more))
    found = opinions.bring_in(made, (replace(tally, score=Decimal(4), answers=1),), "", TODAY)
    assert found.changes == ()
    (refused,) = found.refused
    assert refused.where == "row 2"
    assert why in refused.why


def test_a_name_of_two_boxes_is_the_newest_unless_the_box_is_said() -> None:
    made = shipped("2027-01 Frost: mug")
    made = replace(made, ledger=(*made.ledger, Mark("2027-01/ship", "done", at=at(15, 9, 1))))
    tally = Tally("row 2", "mug", score=Decimal(4), answers=1)
    newest = opinions.bring_in(made, (tally,), "", TODAY)
    assert [one.box for one in newest.found] == ["2027-03"]
    told = opinions.bring_in(made, (tally,), "2027-01", TODAY)
    assert [one.box for one in told.found] == ["2027-01"]
    month = opinions.bring_in(made, (replace(tally, month=1),), "", TODAY)
    assert [one.box for one in month.found] == ["2027-01"]


# --- leftovers ------------------------------------------------------------------------------


@given(st.integers(1, 400), st.integers(1, 400), st.sampled_from(("2027-05", "2027-06")))
def test_pieces_are_neither_made_nor_lost(left: int, used: int, box: str) -> None:
    kept = Stock(NOTEBOOK, "field notebook", left, TODAY, "2027-03")
    made, used = shipped(stock=(kept,)), min(used, left)
    item, changes = leftovers.use(made, kept, box, used, "new")
    after = apply(made, changes)
    assert item in after.items
    assert leftovers.pieces_of(after.stock) + (item.stock or 0) == left
    assert (item.id == "new") == (box == "2027-06")
    assert any(one.id == box for one in after.boxes)


def test_what_there_was_is_what_came_else_what_was_bought_else_planned() -> None:
    (notebook, *_rest) = shipped().items
    assert leftovers.came_of(shipped(), notebook) == 450
    assert leftovers.came_of(shipped(purchases=BOUGHT), notebook) == 460
    assert leftovers.came_of(shipped(purchases=BOUGHT, deliveries=CAME), notebook) == 412
    assert leftovers.came_of(shipped(), replace(notebook, quantity=None)) is None


def test_leftovers_of_the_same_name_come_before_those_of_the_type() -> None:
    same = Stock("a", "Field Notebooks", 3, TODAY, "2027-03")
    typed = Stock("b", "dotted book", 5, TODAY, "2027-01", type="field notebook")
    other = Stock("c", "mug", 5, TODAY, "2027-01")
    made = shipped(stock=(typed, other, same))
    wanted = Item("n", "2027-05", "field notebook")
    assert leftovers.fitting(made, wanted) == (same, typed)


# --- a year ---------------------------------------------------------------------------------

SAID = (
    Opinion(NOTEBOOK, "2027-03", NOTEBOOK, "field notebook", "notebook", Decimal("4.6"), 38),
    Opinion(MUG, "2027-03", MUG, "mug", "", Decimal("2.1"), 30),
    Opinion("2027-03", "2027-03", score=Decimal("4.2"), answers=40),
)


def test_a_year_in_short() -> None:
    left = Stock(MUG, "mug", 12, TODAY, "2027-03")
    made = shipped(purchases=BOUGHT, deliveries=CAME, runs=(PACKED,), opinions=SAID, stock=(left,))
    found = lessons.lessons(made, 2027, TODAY)
    assert [one.name for one in found.loved] == ["notebook"]
    assert [one.name for one in found.poor] == ["mug"]
    assert (found.late, len(found.boxes)) == (1, 1)
    assert [(one.theme, one.said and one.said.score) for one in found.themes] == [
        ("Rain and roots", Decimal("4.2"))
    ]
    assert found.left == (left,)
    assert found.pace is not None
    assert float(found.pace) == pytest.approx(408 / 9, abs=0.06)
    assert lessons.lessons(made, 2026, TODAY).boxes == ()
    assert lessons.latest_year(made, TODAY) == 2027
    assert lessons.latest_year(replace(made, ledger=()), TODAY) is None


def test_a_lead_time_of_its_own_is_proposed_only_where_its_record_shows_it() -> None:
    real = RealLead("aldermoor", 3, Decimal(20), Decimal("24.3"), "working")
    assert real.lead == Lead(24)
    assert replace(real, unit="calendar").lead == Lead(24, "calendar")
    assert replace(real, unit="").lead is None
    assert replace(real, deliveries=1).lead is None
    assert replace(real, actual=Decimal("20.4")).lead is None


def test_a_loved_theme_is_a_prompt_for_its_quarter_of_a_later_year() -> None:
    made = shipped(opinions=SAID)

    def told(box: str) -> list[str]:
        return [one.why for one in prompts(made, box, TODAY) if one.source == "loved"]

    assert told("2028-02") == ["loved in 2027: 4.2 of 5 from 40"]
    assert told("2028-05") == []
    assert told("2027-02") == []
    poor = replace(made, opinions=(replace(SAID[2], score=Decimal("2.0")),))
    assert not any(one.source == "loved" for one in prompts(poor, "2028-02", TODAY))


def test_a_theme_is_loved_by_its_items_where_the_box_was_not_scored() -> None:
    made = shipped(opinions=SAID[:1])
    (one,) = lessons.loved_themes(made, "2028-03", TODAY)
    assert (one.theme, one.score, one.answers) == ("Rain and roots", Decimal("4.6"), 38)


def test_nothing_is_written_by_looking() -> None:
    made = shipped(purchases=BOUGHT, deliveries=CAME, opinions=SAID)
    before = replace(made)
    lessons.look_back(made, "2027-03", TODAY)
    lessons.lessons(made, 2027, TODAY)
    assert made == before
    assert isinstance(sent_of(made, "2027-03", TODAY), Sent)
