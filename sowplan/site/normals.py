"""Twelve monthly means into a year of days that gives the twelve back.

The daily curve is a periodic cubic spline with five pieces a month: the smoothest one
(least sum of squared second differences) whose mean over each month is the figure given.
Where it would swing against the months, falling between two that rise or waving within a
level stretch, a stiff penalty holds it, so it makes no ripple the figures have not.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

MONTH_DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
LEAP_MONTH_DAYS = (31, 29, *MONTH_DAYS[2:])
LEAP_DAY = 59  # place of 29 February in a leap year, counted from 0

_PIECES = 60  # of the spline, five a month
_STIFF = 1e3  # penalty on swinging against the months, in units of the smoothness
_STIFF_FLOOR = 1e7  # the same for going below the least
_ROUNDS = 20  # tries to find where the penalty is needed; three to six are usual
_TINY = 1e-9


@dataclass(frozen=True, eq=False)
class YearCurve:
    """One value for each day of the year, in common (365,) and in leap years (366,)."""

    common: Floats
    leap: Floats

    def on(self, start: date, days: int) -> Floats:
        """Return the values of consecutive days, shape (days,)."""
        place, in_leap_year = day_places(start, days)
        # np.where looks both up, and a common year has no day 365.
        return np.where(in_leap_year, self.leap[place], self.common[np.minimum(place, 364)])

    def map(self, function: Callable[[Floats], Floats]) -> YearCurve:
        """Return the curve that a function makes of both years."""
        return YearCurve(function(self.common), function(self.leap))

    def mean_with(self, other: YearCurve) -> YearCurve:
        """Return the mean of two curves."""
        return YearCurve((self.common + other.common) / 2, (self.leap + other.leap) / 2)


def day_places(start: date, days: int) -> tuple[Ints, Bools]:
    """Return each day's place in its own year, from 0, and whether that is a leap year."""
    dates = np.datetime64(start, "D") + np.arange(days)
    years = dates.astype("M8[Y]")
    place = (dates - years.astype("M8[D]")).astype(np.int64)
    number = years.astype(np.int64) + 1970
    leap = (number % 4 == 0) & ((number % 100 != 0) | (number % 400 == 0))
    return place, leap


def leap_places(start: date, days: int) -> Ints:
    """Return each day's place in a year of 366 days: 1 March is always 60."""
    place, leap = day_places(start, days)
    return place + (~leap & (place >= LEAP_DAY))


def year_curve(monthly: Sequence[float], at_least: float | None = None) -> YearCurve:
    """Return the smooth daily curve of twelve monthly means.

    Parameters
    ----------
    monthly : sequence of 12 floats
        Means, January first; any unit.
    at_least : float, optional
        The curve goes no lower (rain: 0). No mean may be lower.

    Returns
    -------
    YearCurve
        Its monthly means equal the input in common and in leap years alike.
    """
    means = np.asarray(monthly, dtype=float)
    if means.shape != (12,) or not np.isfinite(means).all():
        raise ValueError("twelve monthly means are needed, each a number")
    if np.ptp(means) < 12 * _TINY:  # else some step is above the least that counts as one
        return YearCurve(np.full(365, means.mean()), np.full(366, means.mean()))
    curves = []
    held = np.zeros(_PIECES, dtype=bool)
    for leap in (False, True):  # the leap year starts from what the common year found
        basis, averages = _basis(leap)
        coefficients, held = _smooth(averages, means, held, at_least)
        curve = basis @ coefficients
        curves.append(curve if at_least is None else np.maximum(curve, at_least))
    return YearCurve(*curves)


def _smooth(
    averages: Floats, means: Floats, held: Bools, at_least: float | None
) -> tuple[Floats, Bools]:
    """Return the spline's coefficients, and where the penalty had to hold them.

    The penalty lies on just those places where the curve goes the wrong way under it: they
    are found by trying, each try starting from the last one's.
    """
    unit = np.eye(_PIECES)
    floor = 0.0 if at_least is None else at_least
    means = means - floor
    coefficients = _smoothest(averages, means, unit[:0])
    if at_least is None:  # coefficients that only rise make a curve that only rises
        rows = (np.roll(unit, 1, axis=1) - unit) * _ways(means, coefficients)[:, None]
        rows *= np.sqrt(_STIFF)
    else:  # coefficients above the floor keep the curve above it
        rows = unit * np.sqrt(_STIFF_FLOOR)
    if held.any():
        coefficients = _smoothest(averages, means, rows[held])
    for _ in range(_ROUNDS):
        wrong = rows @ coefficients < -_TINY * ~held
        if (wrong == held).all():
            break
        held = wrong
        coefficients = _smoothest(averages, means, rows[held])
    return coefficients + floor, held


def _smoothest(averages: Floats, means: Floats, held: Floats) -> Floats:
    """Minimise bending, and motion along ``held``, for the given monthly means."""
    system = np.zeros((_PIECES + 12, _PIECES + 12))
    system[:_PIECES, :_PIECES] = _bending() + held.T @ held
    system[:_PIECES, _PIECES:], system[_PIECES:, :_PIECES] = averages.T, averages
    right = np.concatenate([np.zeros(_PIECES), means])
    return np.linalg.solve(system, right)[:_PIECES]


def _ways(means: Floats, coefficients: Floats) -> Floats:
    """Return for each coefficient whether the next may only be higher (1) or lower (-1).

    A month between a lower and a higher one rises throughout. One that is higher or lower
    than both its neighbours turns once, where ``coefficients`` do; several equal months
    that are turn in their middle.
    """
    a_month = _PIECES // 12
    step = np.diff(means, append=means[0])
    to_next = np.where(np.abs(step) < _TINY, 0.0, np.sign(step))
    start = int(np.flatnonzero(to_next)[0])
    ways = np.zeros(_PIECES)
    way, run = to_next[start], []
    for month in [(start + 1 + k) % 12 for k in range(12)]:
        run += [month * a_month + k for k in range(a_month)]
        if not to_next[month]:
            continue
        turn = len(run) // 2
        if len(run) == a_month:
            turn = int(np.argmax(way * coefficients[run]))
        ways[run[:turn]], ways[run[turn:]] = way, to_next[month]
        way, run = to_next[month], []
    return ways


@lru_cache(maxsize=1)
def _bending() -> Floats:
    """Return the quadratic form of the coefficients' squared second differences."""
    unit = np.eye(_PIECES)
    bend = np.roll(unit, 1, axis=1) - 2 * unit + np.roll(unit, -1, axis=1)
    return bend.T @ bend


@lru_cache(maxsize=2)
def _basis(leap: bool) -> tuple[Floats, Floats]:
    """Return the spline's values by day (days, pieces) and means by month (12, pieces)."""
    month_days = LEAP_MONTH_DAYS if leap else MONTH_DAYS
    days = sum(month_days)
    at = (np.arange(days) + 0.5) / days * _PIECES - 0.5
    left = np.floor(at).astype(int)
    t = at - left
    weights = [(1 - t) ** 3, 3 * t**3 - 6 * t**2 + 4, -3 * t**3 + 3 * t**2 + 3 * t + 1, t**3]
    basis = np.zeros((days, _PIECES))
    for k, weight in enumerate(weights):
        basis[np.arange(days), (left - 1 + k) % _PIECES] += weight / 6
    month = np.repeat(np.arange(12), month_days)
    share = (month == np.arange(12)[:, None]) / np.asarray(month_days)[:, None]
    return basis, share @ basis
