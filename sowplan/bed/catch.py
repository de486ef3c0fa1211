"""Catch crops: quick plants between slow ones, gone before these need the room."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sowplan.bed.fit_region import in_rows
from sowplan.bed.outlines import Rounded
from sowplan.bed.region import Region
from sowplan.bed.sweep import best_sweep
from sowplan.bed.things import Circle


def between(
    length_m: float,
    width_m: float,
    main: NDArray[np.float64],
    main_spacing_m: float,
    catch_spacing_m: float,
    share: float = 0.5,
) -> NDArray[np.float64]:
    """Return where a catch crop stands between the plants of a main crop.

    Parameters
    ----------
    length_m, width_m : float
        Inner sides of the bed [m].
    main : ndarray, shape (plants, 2)
        The main crop [m].
    main_spacing_m, catch_spacing_m : float
        Spacings of both [m].
    share : float
        Share of its full width that the main crop has reached when the catch crop is cleared:
        the two keep half the sum of what they then need apart. 1 for crops that stand together
        to the end.

    Returns
    -------
    ndarray, shape (plants, 2)
        In rows; empty where nothing finds room.
    """
    if not 0.0 < share <= 1.0:
        raise ValueError("the share is above 0 and at most 1")
    held = tuple(Circle(x, y, share * main_spacing_m / 2) for x, y in main.tolist())
    half = catch_spacing_m / 2
    region = Region(Rounded(length_m, width_m), half, held, half)
    points = best_sweep(region, length_m, width_m, catch_spacing_m)
    return in_rows(points, catch_spacing_m) if len(points) else points
