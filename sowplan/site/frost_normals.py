"""Frost from monthly means alone: an estimate, and marked as one.

Daily minima are taken as normal around the smooth curve of the monthly means, with the
spread of ``spread.minimum_sd``, which says how far off its dates and depths are, and the
memory of one day for the next that daily records show. Whether a day has frost then depends
on the day before only, so the chance of none from one day to another is a product (a
first-order chain).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sowplan.site import gauss
from sowplan.site.frost import STAND_DAYS, Calendar, Halves

Floats = NDArray[np.float64]

# Lag-1 correlation of daily minima: 0.67 Clemson, 0.72 Seattle, 0.67 Chicago, 0.54 Auckland,
# 0.51 Beijing, 0.64 Mumbai, 0.60 San Diego (our computation, records as in ``spread``).
MEMORY = 0.65
SOURCE = "estimated from monthly means"
_ALMOST_ONE = 1 - 1e-12


class ChainFrost:
    """Chances of frost from the normal minima of a 366-day year and their spread, both [°C]."""

    def __init__(self, tmin_year: Floats, sd_year: Floats, calendar: Calendar):
        self._mean, self._sd = tmin_year, sd_year
        self._calendar = calendar

    def halves(self, threshold_c: float) -> Halves:
        """Return the chances still to come (spring) and come already (autumn)."""
        first, stay = self._chain(threshold_c)
        spring, autumn = list(self._calendar.spring), list(self._calendar.autumn)
        # None from a day to the end: none on that day, and none after each day without.
        onward = np.append(np.cumsum(stay[spring[:-1]][::-1])[::-1], 0.0)
        still = 1 - np.exp(first[spring] + onward)
        so_far = np.concatenate([[0.0], np.cumsum(stay[autumn[:-1]])])
        return still, 1 - np.exp(first[autumn[0]] + so_far)

    def weekly(self, threshold_c: float) -> Floats:
        """Return the chance in the week around each day, shape (366,)."""
        return self._around(threshold_c, 3)

    def standing(self, threshold_c: float) -> Floats:
        """Return the chance in the ``STAND_DAYS`` around each day, shape (366,)."""
        return self._around(threshold_c, STAND_DAYS // 2)

    def _around(self, threshold_c: float, side: int) -> Floats:
        """Return the chance from so many days before to so many after each day."""
        first, stay = self._chain(threshold_c)
        steps = sum(np.roll(stay, side - k) for k in range(2 * side))
        return 1 - np.exp(np.roll(first, side) + steps)

    def _chain(self, threshold_c: float) -> tuple[Floats, Floats]:
        """Return log chances: no frost on a day; none on the next given none on this."""
        z = (threshold_c - self._mean) / self._sd
        frost = np.minimum(gauss.below(z), _ALMOST_ONE)
        following = np.roll(frost, -1)
        joint = gauss.both_below(z, np.roll(z, -1), MEMORY)
        turn = np.clip((following - joint) / (1 - frost), 0.0, _ALMOST_ONE)
        return np.log1p(-frost), np.log1p(-turn)
