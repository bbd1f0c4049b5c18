"""The solver: whole-number linear models, handed to HiGHS.

Knows: columns and rows. Must not know: what they stand for. Invariants: the same model gives the
same answer (one thread, a fixed seed, limits by nodes and never by the clock); HiGHS is imported
when first used.

HiGHS: Q. Huangfu, J. A. J. Hall, "Parallelizing the dual revised simplex method", Mathematical
Programming Computation 10, 2018.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from math import inf
from typing import NamedTuple

NODES = 2000


class Answer(NamedTuple):
    """What was found: None for `values` where nothing was; `bound` is what no answer can beat.
    `impossible`: proved that nothing can be. `reduced`, of models without whole columns: by how
    much a column of one would raise the bound."""

    values: Sequence[float] | None
    value: float
    bound: float
    proved: bool
    impossible: bool
    reduced: Sequence[float] = ()


@dataclass(slots=True)
class Model:
    """A model in the making: columns with a cost and bounds, rows of (column, factor)."""

    cost: list[float] = field(default_factory=list)
    lower: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)
    row_lower: list[float] = field(default_factory=list)
    row_upper: list[float] = field(default_factory=list)
    starts: list[int] = field(default_factory=lambda: [0])
    columns: list[int] = field(default_factory=list)
    factors: list[float] = field(default_factory=list)

    def column(
        self, cost: float = 0, upper: float = 1, *, lower: float = 0, whole: bool = True
    ) -> int:
        """Add a column; return its number."""
        self.cost.append(cost)
        self.lower.append(lower)
        self.upper.append(upper)
        self.whole.append(whole)
        return len(self.cost) - 1

    def row(
        self, terms: Iterable[tuple[int, float]], lower: float = -inf, upper: float = inf
    ) -> None:
        """Add a row: lower <= sum of factor x column <= upper."""
        for column, factor in terms:
            self.columns.append(column)
            self.factors.append(factor)
        self.starts.append(len(self.columns))
        self.row_lower.append(lower)
        self.row_upper.append(upper)


def solve(
    model: Model, *, within: float = 0.99, nodes: int = NODES, start: Sequence[float] | None = None
) -> Answer:
    """Find the cheapest answer, to `within` of the best (with whole costs, below 1 is exact)."""
    import highspy
    import numpy as np
    from highspy._core import _Highs  # highspy.Highs prints a banner when it is made

    status = highspy.HighsModelStatus
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = len(model.cost), len(model.row_lower)
    lp.col_cost_ = np.array(model.cost, dtype=float)
    lp.col_lower_, lp.col_upper_ = np.array(model.lower, float), np.array(model.upper, float)
    lp.row_lower_ = np.array(model.row_lower, float)
    lp.row_upper_ = np.array(model.row_upper, float)
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_ = np.array(model.starts)
    lp.a_matrix_.index_ = np.array(model.columns, dtype=np.int32)
    lp.a_matrix_.value_ = np.array(model.factors, dtype=float)
    kinds = highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger
    lp.integrality_ = [kinds[whole] for whole in model.whole]
    solver = _Highs()
    for option, value in _options().items():
        solver.setOptionValue(option, value)
    solver.setOptionValue("mip_max_nodes", nodes)
    solver.setOptionValue("mip_abs_gap", within)
    solver.passModel(lp)
    if start is not None:
        given = highspy.HighsSolution()
        given.col_value = list(start)
        solver.setSolution(given)
    solver.run()
    found, info, solution = solver.getModelStatus(), solver.getInfo(), solver.getSolution()
    plain = not any(model.whole)
    has = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
    return Answer(
        values=list(solution.col_value) if has else None,
        value=info.objective_function_value if has else inf,
        bound=info.objective_function_value if plain else info.mip_dual_bound,
        proved=found == status.kOptimal,
        impossible=found == status.kInfeasible,
        reduced=list(solution.col_dual) if plain else (),
    )


@lru_cache
def _options() -> dict[str, bool | float | str]:
    return {
        "output_flag": False,
        "threads": 1,
        "parallel": "off",
        "random_seed": 0,
        "mip_rel_gap": 0.0,
    }
