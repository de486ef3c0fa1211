"""Frost from daily records: the mixed distribution of freeze tables.

In some years no such frost comes in a half of the year. Their share is one part; the days
of the last (first) frost in the other years, taken as normally distributed with the sample
standard deviation, are the other. That is how national freeze-probability tables are made
(Thom 1959, Monthly Weather Review 87, from memory).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sowplan.site import gauss
from sowplan.site.frost import Calendar, Halves

Floats = NDArray[np.float64]

# Records come rounded: a whole degree Fahrenheit written in tenths of a degree Celsius may
# stand up to this much above the threshold it equals.
ROUNDING_C = 0.05 + 1e-9
# Where fewer than three years have such a frost, the spread of its date [days]; common for
# freeze dates in the middle latitudes, from memory.
USUAL_SPREAD = 12.0
_ENOUGH = 0.95  # of a half-year's days must be recorded for it to count


class RecordFrost:
    """Chances of frost from minima by year, shape (years, 366) [°C], NaN where unknown."""

    def __init__(self, minima: Floats, calendar: Calendar):
        self._minima = minima
        self._spring = _half(minima, calendar.spring)
        self._autumn = _half(minima, calendar.autumn)

    @property
    def usable(self) -> bool:
        """Whether at least two springs and two autumns are recorded."""
        return min(len(self._spring), len(self._autumn)) >= 2

    @property
    def years(self) -> int:
        """Recorded springs or autumns, whichever are fewer."""
        return min(len(self._spring), len(self._autumn))

    def halves(self, threshold_c: float) -> Halves:
        """Return the chances still to come (spring) and come already (autumn)."""
        still = _still_to_come(self._spring, threshold_c)
        already = _still_to_come(self._autumn[:, ::-1], threshold_c)[::-1]
        return still, already

    def weekly(self, threshold_c: float) -> Floats:
        """Return the share of years with such a minimum in the week around each day, (366,).

        Smoothed over a fortnight, as a few years give a coarse share.
        """
        frost = self._minima <= threshold_c + ROUNDING_C
        known = ~np.isnan(self._minima)
        week = range(-3, 4)
        any_frost = np.logical_or.reduce([np.roll(frost, k, axis=1) for k in week])
        any_known = np.logical_or.reduce([np.roll(known, k, axis=1) for k in week])
        share = (any_frost & any_known).sum(axis=0) / np.maximum(any_known.sum(axis=0), 1)
        return sum(np.roll(share, k) for k in range(-7, 8)) / 15


def frost_days(minima: Floats, calendar: Calendar, threshold_c: float) -> tuple[Floats, Floats]:
    """Return each year's last and first frost as positions in the half-years, NaN for none."""
    last = _last(_half(minima, calendar.spring), threshold_c)
    autumn = _half(minima, calendar.autumn)[:, ::-1]
    return last, len(calendar.autumn) - 1 - _last(autumn, threshold_c)


def _half(minima: Floats, places: tuple[int, ...]) -> Floats:
    """Return the recorded half-years, shape (half-years, days), in order of days."""
    places_ = np.asarray(places)
    turn = np.flatnonzero(np.diff(places_) < 0)
    if len(turn):  # July to January: the January is that of the next year
        cut = turn[0] + 1
        table = np.concatenate([minima[:-1, places_[:cut]], minima[1:, places_[cut:]]], axis=1)
    else:
        table = minima[:, places_]
    return table[(~np.isnan(table)).mean(axis=1) >= _ENOUGH]


def _last(half: Floats, threshold_c: float) -> Floats:
    """Return the last position at or below the threshold in each half-year, NaN for none."""
    frost = half <= threshold_c + ROUNDING_C
    last = half.shape[1] - 1 - np.argmax(frost[:, ::-1], axis=1)
    return np.where(frost.any(axis=1), last, np.nan)


def _still_to_come(half: Floats, threshold_c: float) -> Floats:
    """Return the chance of such a minimum on each day of a half-year or later."""
    last = _last(half, threshold_c)
    last = last[~np.isnan(last)]
    if not len(last):
        return np.zeros(half.shape[1])
    spread = max(float(np.std(last, ddof=1)), 1.0) if len(last) >= 3 else USUAL_SPREAD
    days = np.arange(half.shape[1]) - 0.5  # that day included
    return len(last) / len(half) * gauss.below((last.mean() - days) / spread)
