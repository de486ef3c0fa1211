"""When nights are warm enough for a tender plant to stand out.

Frost is not all that holds it back: tomatoes, cucumbers, beans and basil set out into cold nights
stand still, yellow and are soon overtaken by later ones. Growers wait for nights "reliably" above
a figure. That is later, in nights of the mean year, where springs are fickle, as in the middle of
a continent, than where one week is like the next, as by the sea.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sowplan.records.crop import Crop

# Reliably: in five years of six, which is one standard deviation below the mean; of a week's
# nights together, for a plant bears one or two colder ones. Common practice, no source; what comes
# of it is held against printed planting dates in the tests.
_RELIABLY_SIGMA = 1.0
_WEEK_DAYS = 7
# The spread of the weather changes slowly through the year: taken over so many days on each side.
_SPREAD_DAYS = 30


def warm_nights(
    crop: Crop, tmin: NDArray[np.float64], departures: NDArray[np.float64]
) -> NDArray[np.bool_]:
    """Return on which days the nights are reliably warm enough for a crop to stand out.

    Parameters
    ----------
    crop : Crop
        ``night_c`` is the least mean of a week's nights it thrives in; None: any will do.
    tmin : ndarray, shape (days,)
        Likely daily minimum where it stands [°C].
    departures : ndarray, shape (weathers, days)
        Departures of other weathers [K].

    Returns
    -------
    ndarray of bool, shape (days,)
        Whether the week around the day has such nights in five years of six.
    """
    if crop.night_c is None:
        return np.ones(len(tmin), bool)
    weeks = _running_mean(departures, _WEEK_DAYS // 2)
    spread = np.sqrt(_running_mean((weeks**2).mean(axis=0), _SPREAD_DAYS))
    return tmin - _RELIABLY_SIGMA * spread >= crop.night_c


def _running_mean(values: NDArray[np.float64], each_side: int) -> NDArray[np.float64]:
    """Return the mean of so many days on each side along the last axis, of fewer at the ends."""
    days = values.shape[-1]
    sums = np.zeros((*values.shape[:-1], days + 1))
    np.cumsum(values, axis=-1, out=sums[..., 1:])
    first = np.maximum(np.arange(days) - each_side, 0)
    after = np.minimum(np.arange(days) + each_side + 1, days)
    return (sums[..., after] - sums[..., first]) / (after - first)
