"""A linear program for HiGHS, put together family by family.

Solved to the end by the simplex method, or where that takes very many steps by an interior point
method that ends in a corner; one thread, one seed, no clock: what comes out never depends on how
fast the machine is.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

PRIMAL = 4
"""The solver's number for the primal simplex method."""
MOST_STEPS = 8000
"""So many steps of the simplex method are tried. Mostly it needs far fewer; where much more is
wanted than there is room for, it may need ten times as many, and the other is faster."""
HEAR_S = 0.1
"""How soon Ctrl-C is heard while the solver runs; nothing it finds hangs on that."""


@dataclass(frozen=True, eq=False)
class Answer:
    """What the solver found.

    ``solution`` is None where there is none; ``bound`` is a lower bound of the least cost that
    holds whatever the status; ``prices`` are the duals of the rows.
    """

    solution: Floats | None
    cost: float
    bound: float
    prices: Floats
    optimal: bool


class Program:
    """Minimise cost over columns within bounds, subject to rows within bounds."""

    def __init__(self) -> None:
        self._columns: list[tuple[Floats, Floats, Floats]] = []
        self._rows: list[tuple[Floats, Floats]] = []
        self._entries: list[tuple[NDArray, NDArray, Floats]] = []
        self._limits: tuple[NDArray[np.int64], Floats] | None = None
        self._prices: list[tuple[NDArray[np.int64], Floats]] = []
        self._solver = None
        self._inner = False
        self.columns = 0
        self.rows = 0

    def add_columns(self, cost, lower, upper) -> NDArray[np.int64]:
        """Add columns; return their numbers."""
        cost, lower, upper = np.broadcast_arrays(
            *(np.asarray(v, float) for v in (cost, lower, upper))
        )
        self._columns.append((cost, lower, upper))
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

    def limit(self, rows: NDArray[np.int64], upper: Floats) -> None:
        """Put other upper bounds on rows that are not bounded from below."""
        self._limits = (rows, upper)

    def price(self, columns: NDArray[np.int64], cost: Floats) -> None:
        """Let columns cost something else from now on."""
        self._prices.append((columns, cost))

    def solve(self) -> Answer:
        """Solve; again from where the last solution stands where only limits or prices changed.

        Ctrl-C ends it, and ``KeyboardInterrupt`` is raised.
        """
        import highspy

        if self._solver is None:
            self._solver = _quiet(highspy)
            for name, value in (
                ("threads", 1),
                ("random_seed", 1),
                ("parallel", "off"),
                ("simplex_iteration_limit", MOST_STEPS),
            ):
                self._solver.setOptionValue(name, value)
            self._solver.HandleUserInterrupt = True
            self._solver.passModel(self._model(highspy))
        solver = self._solver
        if self._limits is not None or self._prices:
            self._change(solver, highspy)
        if not self._inner:
            _run(solver)
            # Looser limits leave the last solution possible: the primal method goes on from there.
            solver.setOptionValue("simplex_strategy", PRIMAL)
            self._inner = solver.getModelStatus() == highspy.HighsModelStatus.kIterationLimit
        if self._inner:
            _run_inner(solver, highspy)
        return self._answer(solver, highspy)

    def _change(self, solver, highspy) -> None:
        """Hand limits and prices that were changed to the solver."""
        if self._limits is not None:
            for row, bound in zip(*(part.tolist() for part in self._limits), strict=True):
                solver.changeRowBounds(row, -highspy.kHighsInf, bound)
        for columns, costs in self._prices:
            for column, cost in zip(columns.tolist(), costs.tolist(), strict=True):
                solver.changeColCost(column, cost)
        self._limits, self._prices = None, []

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
        return lp

    def _answer(self, solver, highspy) -> Answer:
        info = solver.getInfo()
        optimal = solver.getModelStatus() == highspy.HighsModelStatus.kOptimal
        solution = solver.getSolution()
        cost = info.objective_function_value
        bound = cost if optimal else -np.inf
        return Answer(
            np.array(solution.col_value) if solution.value_valid else None,
            cost,
            bound,
            np.array(solution.row_dual) if solution.dual_valid else np.zeros(self.rows),
            optimal,
        )


def _run_inner(solver, highspy) -> None:
    """Let the solver run by the interior point method, from the beginning."""
    solver.clearSolver()
    solver.setOptionValue("simplex_iteration_limit", highspy.kHighsIInf)
    solver.setOptionValue("solver", "ipm")
    _run(solver)
    if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        solver.setOptionValue("solver", "simplex")
        _run(solver)


def _run(solver) -> None:
    """Let the solver run, so that Ctrl-C ends it: by itself it hears of that when it is done."""
    try:
        solver.startSolve()
        while not solver.wait(HEAR_S)[0]:
            pass
    except KeyboardInterrupt:
        solver.cancelSolve()
        solver.wait()
        raise


def _quiet(highspy):
    """Return a solver that prints nothing: the library's own prints a banner when it is made."""

    class Quiet(highspy.Highs):
        def enableCallbacks(self):  # noqa: N802
            self.silent()
            super().enableCallbacks()

    return Quiet()
