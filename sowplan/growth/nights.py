"""When days and nights are warm enough for a tender plant to stand out.

Frost is not all that holds it back: tomatoes, cucumbers, beans and basil set out into cold nights
stand still, yellow and are soon overtaken by later ones. Growers wait for nights "reliably" above
a figure. That is later, in nights of the mean year, where springs are fickle, as in the middle of
a continent, than where one week is like the next, as by the sea.

Nor do they plant as soon as it lives: what waits for days like those of summer soon overtakes it.
How long they wait hangs on the summer they have to look forward to. Printed planting dates of
tomatoes come on days of a mean of 12 °C where the warmest are of 15.5 °C, of 14.5 to 15 °C where
they are of 20 °C, and of some 15.5 °C where they are of 24 to 35 °C (`tests/published`).
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
# After hot days cold nights do less harm: within limits a crop goes by the mean of day and night
# (de Koning 1990, Scientia Horticulturae 45:117, of tomatoes; from memory). So under clear skies,
# where days swing by more than this [K], half of the rest makes up for the night. Held against
# printed dates of dry countries in the tests.
_USUAL_SWING_K, _MADE_UP = 12.0, 0.5
# Days are warm enough this share of the way from the mean [°C] at which tomatoes hardly grow to
# that of the warmest month, and anywhere at this mean [°C]: chosen so that printed dates come out.
_HARDLY_C, _SUMMER_SHARE, _WARM_ANYWHERE_C = 8.0, 0.55, 15.5
# And so much [K] warmer than the crop's own base temperature, or, where the year does not come to
# that, within so much of its warmest month: in highlands on the equator every day is as good as the
# next. Common practice, no source.
_TENDER_WARMER_K, _NEAR_BEST_K = 4.0, 1.0
_MONTH_DAYS = 30
PLANTED_FROM_C = 4.0
"""Mean of a day [°C] below which nothing is planted out, however hardy: its roots take no hold.

Hardy vegetables grow in days as low as 40 °F, 4 °C (extension services, among them Colorado State
University's GardenNotes 720, from memory); planting waits for as much (common practice, no source).
"""
# The spread of the weather changes slowly through the year: taken over so many days on each side.
_SPREAD_DAYS = 30


def warm_nights(
    crop: Crop,
    tmin: NDArray[np.float64],
    departures: NDArray[np.float64],
    swing_k: NDArray[np.float64] | float = 0.0,
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
    swing_k : ndarray, shape (days,), or float
        From night to day in the open [K].

    Returns
    -------
    ndarray of bool, shape (days,)
        Whether the week around the day has such nights in five years of six.
    """
    if crop.night_c is None:
        return np.ones(len(tmin), bool)
    weeks = _running_mean(departures, _WEEK_DAYS // 2)
    spread = np.sqrt(_running_mean((weeks**2).mean(axis=0), _SPREAD_DAYS))
    made_up = _MADE_UP * np.clip(swing_k - _USUAL_SWING_K, 0.0, None)
    return tmin + made_up - _RELIABLY_SIGMA * spread >= crop.night_c


def warm_days(
    crop: Crop, tmean: NDArray[np.float64], warmest_c: float = np.nan
) -> NDArray[np.bool_]:
    """Return on which days it is warm enough by day to plant a crop out.

    Parameters
    ----------
    crop : Crop
        A hardy one goes out on any day warmer than its base temperature and `PLANTED_FROM_C`.
    tmean : ndarray, shape (days,)
        Likely daily mean where it stands [°C].
    warmest_c : float
        That of the warmest month in the open [°C], where ``tmean`` may end before it.

    Returns
    -------
    ndarray of bool, shape (days,)
    """
    if not crop.tender:
        return tmean > max(crop.base_c, PLANTED_FROM_C)
    warmest = np.fmax(_running_mean(tmean, _MONTH_DAYS // 2).max(initial=-np.inf), warmest_c)
    enough = min(_HARDLY_C + _SUMMER_SHARE * (warmest - _HARDLY_C), _WARM_ANYWHERE_C)
    own = min(crop.base_c + _TENDER_WARMER_K, warmest - _NEAR_BEST_K)
    return tmean > max(enough, own, crop.base_c)


def _running_mean(values: NDArray[np.float64], each_side: int) -> NDArray[np.float64]:
    """Return the mean of so many days on each side along the last axis, of fewer at the ends."""
    days = values.shape[-1]
    sums = np.zeros((*values.shape[:-1], days + 1))
    np.cumsum(values, axis=-1, out=sums[..., 1:])
    first = np.maximum(np.arange(days) - each_side, 0)
    after = np.minimum(np.arange(days) + each_side + 1, days)
    return (sums[..., after] - sums[..., first]) / (after - first)
