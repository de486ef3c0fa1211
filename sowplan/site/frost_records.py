"""Frost from daily records: the mixed distribution of freeze tables.

In some years no such frost comes in a half of the year. Their share is one part; the days
of the last (first) frost in the other years, taken as normally distributed with the sample
standard deviation, are the other. That is how national freeze-probability tables are made
(Thom 1959, Monthly Weather Review 87, from memory).
"""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from sowplan.site import gauss
from sowplan.site.frost import STAND_DAYS, Calendar, Halves
from sowplan.site.recorded import Record, by_year

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
FrostDays = tuple[date | None, date | None]

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
        return self._around(threshold_c, 3)

    def standing(self, threshold_c: float) -> Floats:
        """Return the share of years with such a minimum in the ``STAND_DAYS`` around each day."""
        return self._around(threshold_c, STAND_DAYS // 2)

    def _around(self, threshold_c: float, side: int) -> Floats:
        frost = self._minima <= threshold_c + ROUNDING_C
        known = ~np.isnan(self._minima)
        near = range(-side, side + 1)
        any_frost = np.logical_or.reduce([np.roll(frost, k, axis=1) for k in near])
        any_known = np.logical_or.reduce([np.roll(known, k, axis=1) for k in near])
        share = (any_frost & any_known).sum(axis=0) / np.maximum(any_known.sum(axis=0), 1)
        return sum(np.roll(share, k) for k in range(-7, 8)) / 15


def frost_days(record: Record, calendar: Calendar, threshold_c: float) -> dict[int, FrostDays]:
    """Return the last frost of each recorded spring and the first of each autumn.

    Parameters
    ----------
    record : Record
        The record.
    calendar : Calendar
        Its halves of the year.
    threshold_c : float
        Minimum that counts as frost [°C].

    Returns
    -------
    dict
        By the calendar year in which spring or autumn begins: ``(last, first)``, each a date
        or None where that half-year has no such frost, or is not recorded whole.
    """
    minima = by_year(record)
    found: dict[int, list[date | None]] = {}
    for side, places in enumerate((calendar.spring, calendar.autumn)):
        table = _in_order(minima, places)
        whole = _recorded(table)
        at = _last(table, threshold_c) if side == 0 else -_last(table[:, ::-1], threshold_c)
        for row, position in enumerate(at):
            year = record.first.year + row
            days = found.setdefault(year, [None, None])
            if whole[row] and not np.isnan(position):
                place = places[int(position) if side == 0 else int(position) - 1]
                turned = places[0] > place  # July to January, beyond the new year
                day = date(2000, 1, 1) + timedelta(days=place)
                days[side] = day.replace(year=year + turned)
    return {year: (last, first) for year, (last, first) in found.items()}


def _in_order(minima: Floats, places: tuple[int, ...]) -> Floats:
    """Return half-years in order of days, a row a calendar year in which one begins."""
    at = np.asarray(places)
    turn = np.flatnonzero(np.diff(at) < 0)
    if not len(turn):
        return minima[:, at]
    cut = turn[0] + 1  # July to January: the January is that of the next year
    following = np.concatenate([minima[1:], np.full((1, minima.shape[1]), np.nan)])
    return np.concatenate([minima[:, at[:cut]], following[:, at[cut:]]], axis=1)


def _recorded(half: Floats) -> Bools:
    """Tell which half-years are recorded (nearly) whole."""
    return (~np.isnan(half)).mean(axis=1) >= _ENOUGH


def _half(minima: Floats, places: tuple[int, ...]) -> Floats:
    """Return the half-years that are recorded, shape (half-years, days), in order of days."""
    table = _in_order(minima, places)
    return table[_recorded(table)]


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
