"""Small beds: layouts found once by search, kept as a table, scaled to the bed.

``small_layouts.csv`` holds only layouts with more plants than rows give, each in the
smallest rectangle found for it, in ten-millionths of a spacing. A layout fits every
rectangle at least as long and as wide, so counts can only rise with the bed.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from sowplan.bed.rows import SLACK

GRID = 10_000_000
TABLE = Path(__file__).with_name("small_layouts.csv")


def small_layout(length_m: float, width_m: float, spacing_m: float) -> NDArray[np.float64] | None:
    """Return the kept layout with the most plants that goes into the rectangle.

    Parameters
    ----------
    length_m, width_m : float
        Sides of the rectangle on which plant centres may stand [m].
    spacing_m : float
        Least distance between plants [m].

    Returns
    -------
    ndarray, shape (plants, 2), or None
        Positions [m], stretched to the sides of the rectangle; None where no layout of the
        table fits.
    """
    long, short = max(length_m, width_m) / spacing_m, min(length_m, width_m) / spacing_m
    sizes, lines = _table()
    slack = 1 + SLACK
    fits = (sizes[:, 1] <= long * slack * GRID) & (sizes[:, 2] <= short * slack * GRID)
    if not fits.any():
        return None
    _, a, b = sizes[np.flatnonzero(fits)[-1]]
    points = np.array(lines[int(np.flatnonzero(fits)[-1])].split(), dtype=float).reshape(-1, 2)
    points = points * [max(long / a, 1 / GRID), max(short / b, 1 / GRID)] * spacing_m
    return points if length_m >= width_m else points[:, ::-1]


@cache
def _table() -> tuple[NDArray[np.int64], list[str]]:
    """Return plants, length and width of each layout, shape (layouts, 3), and its positions."""
    rows = [line.split(",") for line in TABLE.read_text(encoding="utf-8").splitlines()[1:]]
    return np.array([row[:3] for row in rows], dtype=np.int64), [row[3] for row in rows]
