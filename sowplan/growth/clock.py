"""Clocks that run at the speed of the weather: sums of daily rates, and when a sum is reached.

A clock over n days has n + 1 readings; reading d stands at the start of day d. The day n, one past
the last, stands for "not within the days looked at", so that dates can be compared without cases.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Index = NDArray[np.int64]

_ROUNDING = 1e-9  # sums of many small rates miss a whole number by about this


def clock(rates: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the readings of a clock from its daily rates.

    Parameters
    ----------
    rates : ndarray, shape (..., days)
        What each day adds, never negative.

    Returns
    -------
    ndarray, shape (..., days + 1)
        Running sums, beginning with zero.
    """
    readings = np.zeros((*rates.shape[:-1], rates.shape[-1] + 1))
    np.cumsum(rates, axis=-1, out=readings[..., 1:])
    return readings


def reach(readings: NDArray[np.float64], start: Index, need: ArrayLike) -> Index:
    """Return the day on which a clock has run on by so much since a starting day.

    Parameters
    ----------
    readings : ndarray, shape (days + 1,)
        A clock.
    start : ndarray of int
        Starting days, 0 to days; a start on day ``days`` reaches nothing.
    need : array_like
        How much must be added, broadcast against ``start``.

    Returns
    -------
    ndarray of int
        Days, ``days`` where the sum is not reached.
    """
    days = len(readings) - 1
    target = readings[start] + np.asarray(need) - _ROUNDING
    found = np.minimum(np.searchsorted(readings, target, side="left"), days)
    return np.maximum(found, start)  # never before the start, were nothing needed


def moment(readings: NDArray[np.float64], start: ArrayLike, need: ArrayLike) -> NDArray[np.float64]:
    """Return when a clock has run on by so much since a start, to the fraction of a day.

    Parameters
    ----------
    readings : ndarray, shape (days + 1,)
        A clock, taken to run evenly through each day.
    start : array_like of float
        Starting times, 0 to days.
    need : array_like
        How much must be added, broadcast against ``start``.

    Returns
    -------
    ndarray of float
        Times [d], ``days`` where the sum is not reached; `whole_days` of them are those of `reach`.
    """
    days = len(readings) - 1
    start = np.asarray(start, dtype=float)
    target = np.interp(start, np.arange(days + 1), readings) + np.asarray(need)
    after = np.clip(np.searchsorted(readings, target - _ROUNDING, side="left"), 1, days)
    step = readings[after] - readings[after - 1]
    part = np.clip((target - readings[after - 1]) / np.where(step > 0.0, step, 1.0), 0.0, 1.0)
    found = np.where(target - _ROUNDING > readings[-1], days, after - 1 + part)
    return np.maximum(found, start)


def whole_days(times: NDArray[np.float64]) -> Index:
    """Return times, or spans of time, in days, begun ones as whole."""
    return np.ceil(times - _ROUNDING).astype(np.int64)


def next_true(mask: NDArray[np.bool_]) -> Index:
    """Return for each day, and the day past the last, the first day from it on that is true.

    Parameters
    ----------
    mask : ndarray of bool, shape (days,)

    Returns
    -------
    ndarray of int, shape (days + 1,)
        Days; ``days`` where none follows.
    """
    days = len(mask)
    found = np.append(np.where(mask, np.arange(days), days), days)
    return np.minimum.accumulate(found[::-1])[::-1]


def ranked(dates: NDArray[np.int64], share: float) -> Index:
    """Return the date before which a share of the weathers has it happen.

    Parameters
    ----------
    dates : ndarray of int, shape (weathers, sowings), sorted along the first axis
        The day of one event in each weather.
    share : float
        0.1 for the early, 0.5 for the likely, 0.9 for the late date.

    Returns
    -------
    ndarray of int, shape (sowings,)
        The weather of rank share * (weathers + 1), so that a further, unseen year falls below it
        with that chance (Weibull's plotting position); never between two weathers, which keeps
        events in their order.
    """
    weathers = len(dates)
    rank = int(np.clip(np.rint(share * (weathers + 1)) - 1, 0, weathers - 1))
    return dates[rank]
