"""Forms rotate: none again before all were used, nor in the same season, where that can be."""

from itertools import pairwise, permutations

from hypothesis import given
from hypothesis import strategies as st

from assistant.planning.year.spread.forms import Return, assignment, rotate, too_early

FORMS = ("lined", "dotted", "pocket", "plain", "ruled")
MONTHS = st.lists(st.integers(1, 12), max_size=12)


@given(st.integers(1, 5), MONTHS, MONTHS)
def test_no_form_comes_again_before_all_were_used(
    many: int, past: list[int], months: list[int]
) -> None:
    forms = FORMS[:many]
    before = [Return(month, forms[n % many]) for n, month in enumerate(past)]
    chosen = rotate(forms, before, [Return(month) for month in months])
    line = [one.form for one in before] + list(chosen)
    for start in range(0, len(line), many):
        whole = line[start : start + many]
        assert len({*whole}) == len(whole)


@given(st.integers(2, 5), MONTHS)
def test_no_form_comes_twice_running(many: int, months: list[int]) -> None:
    chosen = rotate(FORMS[:many], (), [Return(month) for month in months])
    assert all(one != other for one, other in pairwise(chosen))


@given(st.integers(1, 5), MONTHS, st.lists(st.sampled_from(("", "", "lined", "other"))))
def test_a_form_that_is_there_stays(many: int, months: list[int], given_forms: list[str]) -> None:
    coming = [Return(m, form) for m, form in zip(months, given_forms, strict=False)]
    chosen = rotate(FORMS[:many], (), coming)
    assert len(chosen) == len(coming)
    assert all(not one.form or one.form == form for one, form in zip(coming, chosen, strict=True))
    assert all(chosen)


def test_last_year_counts() -> None:
    past = [Return(2, "lined"), Return(8, "dotted")]
    assert rotate(FORMS[:3], past, [Return(2), Return(8)])[0] == "pocket"


def test_not_in_the_same_season_as_last_time() -> None:
    past = [Return(2, "lined"), Return(5, "dotted"), Return(8, "pocket"), Return(11, "plain")]
    coming = [Return(month) for month in (1, 4, 7, 10)]
    chosen = rotate(FORMS[:4], past, coming)
    assert sorted(chosen) == sorted(FORMS[:4])
    assert all(one.form != form for one, form in zip(past, chosen, strict=True))
    taken = [Return(one.month, form) for one, form in zip(coming, chosen, strict=True)]
    assert too_early(FORMS[:4], past, taken) == ()


def test_a_list_that_is_too_short_is_told() -> None:
    assert rotate(("lined",), (), [Return(1), Return(7)]) == ("lined", "lined")
    assert too_early(("lined",), (), [Return(1, "lined"), Return(7, "lined")]) == (1,)
    assert rotate((), (), [Return(1), Return(7)]) == ("", "")


@given(
    st.integers(1, 4).flatmap(
        lambda rows: st.lists(
            st.lists(st.integers(0, 9), min_size=5, max_size=5), min_size=rows, max_size=rows
        )
    )
)
def test_assignment_is_the_cheapest(costs: list[list[int]]) -> None:
    found = assignment(costs)
    spent = sum(row[column] for row, column in zip(costs, found, strict=True))
    every = permutations(range(5), len(costs))
    assert len({*found}) == len(costs)
    assert spent == min(sum(r[c] for r, c in zip(costs, p, strict=True)) for p in every)
