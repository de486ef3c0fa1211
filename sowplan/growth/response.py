"""How fast a crop develops in given weather: the responses to temperature and light.

A rate of 1 is the fastest the crop can do. Temperature acts through a beta function with
base, optimum and ceiling; light through a saturating curve; the two multiply. Nothing here
knows of dates: arrays of weather in, arrays of rates out.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Rates = NDArray[np.float64]

# The middle of each sixth of half a sine wave: a day's temperatures, warmest first, in units of
# half the day's range. By symmetry half a wave stands for the whole.
_DAY_COURSE = np.cos((np.arange(6) + 0.5) * np.pi / 6.0)

# Half the daily range [K] of the days in which crops are timed outdoors; the crop table gives
# mean temperatures only. From memory: ranges of 8 to 12 K are usual in temperate summers.
REFERENCE_HALF_RANGE_K = 5.0

# Daily light integral [mol m-2 d-1] at which a stand of leafy plants gains no more than it breathes
# away. From memory: canopies are given 1 to 2.
COMPENSATION_MOL = 1.5

# Ageing once fit to harvest: bounds on its speed against that at the reference temperature.
_AGEING_SLOWEST, _AGEING_FASTEST = 0.2, 4.0

_BOLTING_FULL_HOURS = 1.25  # hours beyond the critical day at which bolting runs at full speed
_BOLTING_FULL_K = 4.0  # kelvins above the bolting heat at which it runs at full speed


def temperature_response(
    temperature_c: ArrayLike, base_c: float, optimum_c: float, ceiling_c: float
) -> Rates:
    """Return the development rate at a temperature, 1 at the optimum, 0 outside base and ceiling.

    Parameters
    ----------
    temperature_c : array_like
        Temperatures [°C], any shape.
    base_c, optimum_c, ceiling_c : float
        Cardinal temperatures [°C], base < optimum < ceiling.

    Returns
    -------
    ndarray
        Rates from 0 to 1, of the shape of ``temperature_c``.

    Notes
    -----
    The beta function of Yin et al. (1995), Agricultural and Forest Meteorology 77:1-16, in the
    shape Yan and Hunt (1999), Annals of Botany 84:607-614, gave it (their base is 0 °C).
    """
    t = np.asarray(temperature_c, dtype=float)
    rise = np.clip((t - base_c) / (optimum_c - base_c), 0.0, None)
    fall = np.clip((ceiling_c - t) / (ceiling_c - optimum_c), 0.0, None)
    return fall * rise ** ((optimum_c - base_c) / (ceiling_c - optimum_c))


def day_response(
    tmin: ArrayLike, tmax: ArrayLike, base_c: float, optimum_c: float, ceiling_c: float
) -> Rates:
    """Return the mean of `temperature_response` over days that swing between two temperatures.

    The day's course is taken as a sine wave between minimum and maximum, as is usual where only
    these two are known; six points of it are averaged.

    Parameters
    ----------
    tmin, tmax : array_like
        Daily minimum and maximum [°C], shapes that broadcast.
    base_c, optimum_c, ceiling_c : float
        Cardinal temperatures [°C].

    Returns
    -------
    ndarray
        Mean rates from 0 to 1, of the broadcast shape.
    """
    low, high = np.asarray(tmin, dtype=float), np.asarray(tmax, dtype=float)
    middle, half = (low + high) / 2.0, (high - low) / 2.0
    total = np.zeros(np.broadcast(low, high).shape)
    for part in _DAY_COURSE:
        total += temperature_response(middle + part * half, base_c, optimum_c, ceiling_c)
    return total / len(_DAY_COURSE)


def light_response(dli_mol: ArrayLike, half_mol: float) -> Rates:
    """Return the share of the light-saturated rate at a daily light integral.

    Parameters
    ----------
    dli_mol : array_like
        Daily light integral at the plants [mol m-2 d-1].
    half_mol : float
        Integral at which growth runs at half its saturated rate [mol m-2 d-1].

    Returns
    -------
    ndarray
        Rates from 0 to 1; 0 up to the compensation point, where a plant only lives on what it
        gains.

    Notes
    -----
    A rectangular hyperbola from the compensation point on, the usual form of a light response
    (Thornley and Johnson, 1990, Plant and Crop Modelling), over the day's sum instead of the
    instant. Low half-values bring the compensation point down with them.
    """
    nothing = min(COMPENSATION_MOL, 0.25 * half_mol)
    light = np.clip(np.asarray(dli_mol, dtype=float) - nothing, 0.0, None)
    return light / (light + half_mol - nothing)


def ageing(tmean: ArrayLike, base_c: float, reference_c: float) -> Rates:
    """Return how fast a ripe plant passes its best, 1 at the reference temperature.

    Proportional to the warmth above the base temperature, as respiration is roughly, and held
    between a fifth and four times. The bounds are from memory: a head that stands ten days in
    early summer stands some weeks in a cool autumn and a few days in great heat.

    Parameters
    ----------
    tmean : array_like
        Daily mean temperature [°C].
    base_c, reference_c : float
        Base temperature, and the temperature for which holding is stated [°C].

    Returns
    -------
    ndarray
        Speed of ageing relative to the reference.
    """
    warmth = np.asarray(tmean, dtype=float) - base_c
    return np.clip(warmth / max(reference_c - base_c, 1.0), _AGEING_SLOWEST, _AGEING_FASTEST)


def long_day_urge(daylength_h: ArrayLike, critical_h: float) -> Rates:
    """Return how strongly a day's length urges a long-day plant to bolt, 0 to 1.

    Zero up to the critical day, then rising over an hour and a quarter. From memory: the response
    of quantitative long-day plants is gradual, and midsummer at 41° of latitude, with days of 15 h,
    has spinach run to seed as surely as midsummer at 52°.
    """
    return np.clip((np.asarray(daylength_h) - critical_h) / _BOLTING_FULL_HOURS, 0.0, 1.0)


def heat_urge(tmean: ArrayLike, critical_c: float) -> Rates:
    """Return how strongly a day's heat urges a plant to bolt or turn bitter, 0 to 1."""
    return np.clip((np.asarray(tmean) - critical_c) / _BOLTING_FULL_K, 0.0, 1.0)
