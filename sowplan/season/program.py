"""A linear or mixed-integer program for HiGHS, put together family by family.

Work is bounded by simplex iterations and branch-and-bound nodes, one thread, one seed: what comes
out never depends on how fast the machine is.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Answer:
    """What the solver found.

    ``solution`` is None where there is none; ``bound`` is a lower bound of the least cost that
    holds whatever the status; ``prices`` are the duals of the rows (linear programs only).
    """

    solution: Floats | None
    cost: float
    bound: float
    prices: Floats
    optimal: bool


class Program:
    """Minimise cost over columns within bounds, subject to rows within bounds."""

    def __init__(self) -> None:
        self._columns: list[tuple[Floats, Floats, Floats, bool]] = []
        self._rows: list[tuple[Floats, Floats]] = []
        self._entries: list[tuple[NDArray, NDArray, Floats]] = []
        self.columns = 0
        self.rows = 0

    def add_columns(self, cost, lower, upper, integer: bool = False) -> NDArray[np.int64]:
        """Add columns; return their numbers."""
        cost, lower, upper = np.broadcast_arrays(
            *(np.asarray(v, float) for v in (cost, lower, upper))
        )
        self._columns.append((cost, lower, upper, integer))
        first, self.columns = self.columns, self.columns + len(cost)
        return np.arange(first, self.columns)

    def add_rows(self, lower, upper) -> NDArray[np.int64]:
        """Add rows without entries; return their numbers."""
        lower, upper = np.broadcast_arrays(np.asarray(lower, float), np.asarray(upper, float))
        self._rows.append((lower, upper))
        first, self.rows = self.rows, self.rows + len(lower)
        return np.arange(first, self.rows)

    def add_entries(self, rows, columns, values) -> None:
        """Put values into the matrix; each (row, column) at most once."""
        rows, columns, values = np.broadcast_arrays(
            np.asarray(rows, np.int64), np.asarray(columns, np.int64), np.asarray(values, float)
        )
        self._entries.append((rows, columns, values))

    def solve(self, iterations: int | None = None, nodes: int | None = None) -> Answer:
        """Solve within a number of simplex iterations, or of branch-and-bound nodes."""
        import highspy

        solver = _quiet(highspy)
        for name, value in (("threads", 1), ("random_seed", 1), ("parallel", "off")):
            solver.setOptionValue(name, value)
        if iterations is not None:
            solver.setOptionValue("simplex_iteration_limit", iterations)
        if nodes is not None:
            solver.setOptionValue("mip_max_nodes", nodes)
            solver.setOptionValue("mip_rel_gap", 1e-6)
        solver.passModel(self._model(highspy))
        solver.run()
        self._solver = solver
        return self._answer(solver, highspy)

    def solve_again(self, rows: NDArray[np.int64], upper: Floats) -> Answer:
        """Solve with other upper bounds of some rows, from where the last solution stands."""
        import highspy

        for row, bound in zip(rows.tolist(), upper.tolist(), strict=True):
            self._solver.changeRowBounds(row, -highspy.kHighsInf, bound)
        self._solver.run()
        return self._answer(self._solver, highspy)

    def _model(self, highspy):
        lp = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = self.columns, self.rows
        lp.col_cost_, lp.col_lower_, lp.col_upper_ = (
            np.concatenate([column[i] for column in self._columns]) for i in range(3)
        )
        lp.row_lower_, lp.row_upper_ = (
            np.concatenate([row[i] for row in self._rows]) for i in range(2)
        )
        rows, columns, values = (
            np.concatenate([entry[i] for entry in self._entries]) for i in range(3)
        )
        order = np.lexsort((rows, columns))
        lp.a_matrix_.format_ = highspy.MatrixFormat.kColwise
        lp.a_matrix_.start_ = np.searchsorted(columns[order], np.arange(self.columns + 1))
        lp.a_matrix_.index_ = rows[order]
        lp.a_matrix_.value_ = values[order]
        if any(column[3] for column in self._columns):
            kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
            lp.integrality_ = [
                kinds[integer] for cost, _, _, integer in self._columns for _ in range(len(cost))
            ]
        return lp

    def _answer(self, solver, highspy) -> Answer:
        info = solver.getInfo()
        optimal = solver.getModelStatus() == highspy.HighsModelStatus.kOptimal
        solution = solver.getSolution()
        integer = any(column[3] for column in self._columns)
        cost = info.objective_function_value
        bound = info.mip_dual_bound if integer else (cost if optimal else -np.inf)
        return Answer(
            np.array(solution.col_value) if solution.value_valid else None,
            cost,
            bound,
            np.array(solution.row_dual) if solution.dual_valid else np.zeros(self.rows),
            optimal,
        )


def _quiet(highspy):
    """Return a solver that prints nothing: the library's own prints a banner when it is made."""

    class Quiet(highspy.Highs):
        def enableCallbacks(self):  # noqa: N802
            self.silent()

    return Quiet()
