"""How much to buy at a time, beside published figures and beside every quantity.

Sources: L. V. Snyder and Z.-J. M. Shen, Fundamentals of Supply Chain Theory, 2nd ed., Wiley, 2019,
Examples 3.1 and 3.6 and Problem 3.1; J. Heizer and B. Render, Operations Management (title from
memory), Wohl's Discount Store.
"""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.planning.model import Break
from assistant.planning.numbers.steady import batches, economic_quantity, yearly_cost

D = Decimal


@pytest.mark.parametrize(
    ("order", "keeping", "need", "quantity", "cost"),
    [
        ("8", "0.225", "1300", 304.0467800, 68.4105255),  # Example 3.1
        ("2250", "275", "182500", 1728.1098, 475230.2074),  # Problem 3.1
    ],
)
def test_published_quantities(
    order: str, keeping: str, need: str, quantity: float, cost: float
) -> None:
    found = economic_quantity(D(need), D(order), D(keeping))
    assert float(found) == pytest.approx(quantity, rel=1e-6)
    assert float(yearly_cost(found, D(need), D(order), D(keeping))) == pytest.approx(cost, rel=1e-6)


def test_the_cost_of_another_quantity() -> None:
    assert yearly_cost(D(250), D(1300), D(8), D("0.225")) == D("69.725")  # Example 3.1


@pytest.mark.parametrize(
    ("need", "order", "interest", "price", "breaks", "told"),
    [
        # Example 3.6
        (
            *(1300, 8, 30, "0.75", ((400, "0.72"), (800, "0.68"))),
            ((800, 978.60), (400, 1005.20), (304.05, 1043.41)),
        ),
        # Wohl's Discount Store
        (
            *(5000, 49, 20, "5.00", ((1000, "4.80"), (2000, "4.75"))),
            ((1000, 24725), (2000, 24822.50), (700, 25700)),
        ),
    ],
)
def test_published_breaks(
    need: int,
    order: int,
    interest: int,
    price: str,
    breaks: tuple[tuple[int, str], ...],
    told: tuple[tuple[float, float], ...],
) -> None:
    steps = tuple(Break(quantity, D(paid)) for quantity, paid in breaks)
    found = batches(D(need), D(order), D(price), steps, interest=D(interest))
    assert [float(one.quantity) for one in found] == pytest.approx(
        [quantity for quantity, _ in told], abs=0.01
    )
    assert [float(one.cost) for one in found] == pytest.approx([cost for _, cost in told], abs=0.01)


STEPS = st.lists(
    st.builds(Break, st.integers(2, 300), st.integers(5, 40).map(lambda n: D(n) / 10)), max_size=3
)


@given(st.integers(10, 400), st.integers(1, 30), STEPS, st.integers(0, 30), st.integers(1, 9))
def test_no_quantity_is_cheaper(
    need: int, order: int, steps: list[Break], interest: int, storage: int
) -> None:
    found = batches(D(need), D(order), D(4), steps, storage=D(storage) / 10, interest=D(interest))
    for quantity in range(1, 400):
        price = min([D(4), *(one.price for one in steps if one.quantity <= quantity)])
        keeping = D(storage) / 10 + price * interest / 100
        cost = yearly_cost(D(quantity), D(need), D(order), keeping, price)
        assert cost >= found[0].cost - D("1e-20")
