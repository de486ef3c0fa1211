"""What of the rain reaches the roots and stays there."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

MONTH_DAYS = 365.25 / 12
RAINPROOF = frozenset({"tunnel", "glass"})
"""Covers that keep the rain off; fleece lets it through."""


def effective_rain(rain: ArrayLike) -> NDArray[np.float64]:
    """Return the effective part of usual rain by the monthly rule of the USDA SCS.

    Parameters
    ----------
    rain : array
        Usual rain [mm/day]; NaN where it is not known, which counts as none.

    Returns
    -------
    array
        [mm/day], same shape.

    Notes
    -----
    Of a month's rain P [mm] the part P (125 - 0.2 P) / 125 counts up to 250 mm, and
    125 + 0.1 P above: the method of the USDA Soil Conservation Service as FAO's CROPWAT has it
    (Smith 1992, FAO Irrigation and Drainage Paper 46). The rest runs off or seeps away. The
    plan's rain is a smooth mean, so each day stands for a month of its kind.
    """
    daily = np.nan_to_num(np.asarray(rain, dtype=float), nan=0.0)
    month = daily * MONTH_DAYS
    counted = np.where(month <= 250, month * (125 - 0.2 * month) / 125, 125 + 0.1 * month)
    return counted / MONTH_DAYS
