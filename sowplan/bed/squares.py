"""Whole squares: a bed ruled into squares of 30 cm, each with 1, 4, 9 or 16 plants.

Fewer plants than a fit of the whole bed gives, and simpler: every square is sown, cleared and
sown again by itself. Numbers a square: common practice, no source.
"""

from __future__ import annotations

import math

import numpy as np

from sowplan.bed.layout import BoundBy, Layout, NoRoom
from sowplan.bed.rows import SLACK

SIDE_M = 0.30
MOST_A_SIDE = 4


def plants_a_square(spacing_m: float, side_m: float = SIDE_M) -> int:
    """Return how many plants a square takes: 1, 4, 9 or 16; 0 for a crop wider than one square."""
    return min(math.floor(side_m / spacing_m + SLACK), MOST_A_SIDE) ** 2


def squares_a_plant(spacing_m: float, side_m: float = SIDE_M) -> int:
    """Return how many squares one plant takes: 1, or 4 (two by two), or 9 and so on."""
    return max(1, math.ceil(spacing_m / side_m - SLACK)) ** 2


def fit_squares(
    length_m: float, width_m: float, spacing_m: float, side_m: float = SIDE_M
) -> Layout:
    """Return the plants of a bed ruled into whole squares, from its corner on.

    Parameters
    ----------
    length_m, width_m : float
        Inner sides of the bed [m]; what is left over beside the last whole square stays bare.
    spacing_m : float
        What the crop needs [m].
    side_m : float
        Side of a square [m].

    Returns
    -------
    Layout
        Its ``spacing_m`` is the distance at which the plants stand, never less than the crop's.
    """
    block = side_m * math.isqrt(squares_a_plant(spacing_m, side_m))
    n = max(1, math.isqrt(plants_a_square(spacing_m, side_m)))
    along, across = (math.floor(side / block + SLACK) for side in (length_m, width_m))
    x, y = (block / n * (np.arange(count * n) + 0.5) for count in (along, across))
    points = np.column_stack([np.tile(x, len(y)), np.repeat(y, len(x))])
    reason = None if len(points) else NoRoom("squares", 0.0, block)
    return Layout(
        points,
        "square" if len(points) else "none",
        len(points),
        BoundBy.SQUARES,
        length_m,
        width_m,
        block / n,
        block / n,
        block / n / 2,
        reason,
    )
