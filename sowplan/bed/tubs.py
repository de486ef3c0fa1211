"""Round tubs: layouts found once by search, kept as a table, scaled to the tub.

``tub_layouts.csv`` holds the smallest circle found for each number of plants, and where they stand
in it, from its middle, in ten-millionths of a spacing. A layout fits every larger tub, so counts
can only rise with it.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from sowplan.bed.rows import SLACK
from sowplan.bed.small import GRID
from sowplan.bed.sweep import rings

TABLE = Path(__file__).with_name("tub_layouts.csv")


def tub_layout(radius_m: float, spacing_m: float) -> NDArray[np.float64]:
    """Return the kept layout with the most plants that goes into a circle.

    Parameters
    ----------
    radius_m : float
        Of the circle on which plant centres may stand [m].
    spacing_m : float
        Least distance between plants [m].

    Returns
    -------
    ndarray, shape (plants, 2)
        Positions from the middle [m], spread to the rim.
    """
    counts, radii, lines = _table()
    reach = radius_m / spacing_m * GRID * (1 + SLACK)
    fits = np.flatnonzero(radii <= reach)
    if len(fits) == 0:
        return np.zeros((1, 2))
    best = int(fits[np.argmax(counts[fits])])
    points = np.array(lines[best].split(), dtype=float).reshape(-1, 2) / GRID
    rim = float(np.hypot(*points.T).max())
    return _turned(points) * (max(radius_m / spacing_m, rim) / rim) * spacing_m


@cache
def tub_count(radius_m: float, spacing_m: float) -> int:
    """Return how many plants stand on a circle, ``spacing_m`` apart, their centres within it.

    From the kept layouts, or rings where more go in: as `tub_layout`, without the positions.
    """
    counts, radii, _ = _table()
    kept = counts[radii <= radius_m / spacing_m * GRID * (1 + SLACK)].max(initial=1)
    return max(int(kept), len(rings(0.0, 0.0, radius_m, spacing_m)))


def in_table(radius_m: float, spacing_m: float) -> bool:
    """Return whether a tub is no larger than the largest of the table."""
    return radius_m / spacing_m * GRID < _table()[1].max()


def _turned(points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return points turned about the middle, one of the outermost straight up."""
    x, y = points[int(np.argmax(np.round(np.hypot(*points.T), 6)))]
    away = np.hypot(x, y)
    # Turned so that (x, y) comes to lie at (0, -away): a plan's y runs down.
    return points @ np.array([[-y / away, -x / away], [x / away, -y / away]])


@cache
def _table() -> tuple[NDArray[np.int64], NDArray[np.int64], list[str]]:
    """Return number of plants and radius of each layout, shape (layouts,), and its positions."""
    rows = [line.split(",") for line in TABLE.read_text(encoding="utf-8").splitlines()[1:]]
    counts, radii = np.array([row[:2] for row in rows], dtype=np.int64).T
    return counts, radii, [row[2] for row in rows]
