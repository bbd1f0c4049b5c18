"""How long subscribers stay: closed forms, published fits, no likelier curve. scipy is an oracle
here only."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize, stats

from assistant.planning.numbers.churn import (
    Changing,
    Constant,
    Curve,
    Sight,
    fitted,
    joined,
    lifetime,
    likelihood,
    stays,
)


def test_churn_comes_before_joins() -> None:
    """Source: the linear recurrence S <- 0.95 S + 40 from 1000; its limit is 800."""
    series, now = [], 1000.0
    for _ in range(12):
        now = 0.95 * now + 40
        series.append(now)
    assert series[:3] == pytest.approx([990, 980.5, 971.475])
    assert series[11] == pytest.approx(800 + 200 * 0.95**12) == pytest.approx(908.0720, abs=5e-5)
    curve = Constant(0.05)
    found = [1000 * stays(curve, m) + 40 * joined(curve, m) for m in range(1, 13)]
    assert found == pytest.approx(series)
    assert 1000 * stays(curve, 600) + 40 * joined(curve, 600) == pytest.approx(800)


def test_how_long_one_stays() -> None:
    """Source: the geometric distribution with p = 0.05."""
    found = lifetime(Constant(0.05))
    assert found
    assert found.median == 14
    assert found.mean == pytest.approx(20)
    assert found.sd == pytest.approx(19.4936, abs=5e-5)
    assert stays(Constant(0.05), 12) == pytest.approx(0.540360, abs=5e-7)
    assert lifetime(Constant()) is None


@given(st.integers(1, 60))
def test_the_median_is_the_first_month_by_which_half_have_left(percent: int) -> None:
    found = lifetime(Constant(percent / 100))
    assert found
    assert found.median == stats.geom(percent / 100).median()


PUBLISHED = [  # of 1000: left after one to seven years; alpha and beta of the fit
    ((869, 743, 653, 593, 551, 517, 491), 0.668, 3.806),
    ((631, 468, 382, 326, 289, 262, 241), 0.704, 1.182),
]


@pytest.mark.parametrize(("left", "alpha", "beta"), PUBLISHED)
def test_the_published_fit_is_found(left: tuple[int, ...], alpha: float, beta: float) -> None:
    """Source: P. S. Fader and B. G. S. Hardie (2007), How to Project Customer Retention, the "high
    end" and "regular" customers (values and attribution from memory)."""
    fit = fitted([Sight(1000, tuple(enumerate(left, 1)))])
    assert fit
    assert isinstance(fit.curve, Changing)
    assert fit.curve.alpha == pytest.approx(alpha, abs=1e-3)
    assert fit.curve.beta == pytest.approx(beta, abs=1e-3)


@settings(max_examples=15, deadline=None)
@given(st.lists(st.integers(0, 60), min_size=2, max_size=5), st.integers(60, 120))
def test_no_other_curve_is_likelier(left: list[int], number: int) -> None:
    falling = sorted(left, reverse=True)
    sight = Sight(number, tuple((age + 1.0, many) for age, many in enumerate(falling)))
    fit = fitted([sight])
    assert fit
    best = optimize.minimize_scalar(
        lambda churn: -likelihood(Constant(churn), [sight]), bounds=(2e-3, 0.998), method="bounded"
    )
    assert likelihood(fit.curve, [sight]) >= -best.fun - 1e-3


@given(
    st.one_of(
        st.floats(0, 0.9).map(Constant),
        st.tuples(st.floats(0.2, 5), st.floats(0.2, 20)).map(lambda ab: Changing(*ab)),
    ),
    st.floats(0, 40),
    st.floats(0, 40),
    st.floats(0, 40),
)
def test_shares_are_shares(curve: Curve, age: float, first: float, more: float) -> None:
    one, both = stays(curve, first, age), stays(curve, first + more, age)
    assert 0 <= both <= one + 1e-9 <= 1 + 2e-9
    assert one * stays(curve, more, age + first) == pytest.approx(both, abs=1e-9)
    assert joined(curve, first) <= first + 1e-6
