"""Reference evapotranspiration (ETo): what a well-watered short lawn gives to the air in a day.

It is the measure of the air's thirst that crop coefficients multiply. Equation numbers are those
of FAO Irrigation and Drainage Paper 56 (Allen, Pereira, Raes & Smith 1998), chapters 2 to 4.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sowplan.site.light import clear_sky_radiation, extraterrestrial_radiation
from sowplan.site.normals import day_places
from sowplan.site.series import DailySeries, Days

Floats = NDArray[np.float64]

USUAL_WIND = 2.0  # [m/s] where wind is not known: the mean of 2000 stations (FAO-56, chapter 3)
ALBEDO = 0.23  # of the reference lawn (FAO-56 eq. 38)
STEFAN_BOLTZMANN = 4.903e-9  # [MJ K-4 m-2 d-1]
_KELVIN = 273.16  # as eq. 39 adds it
_EVAPORATED = 0.408  # 1 / 2.45: [mm] of water a [MJ m-2] evaporates, eq. 20
# Rs / Rso in polar night, where the quotient has no value: a sky half clouded (no source).
_DARK_SKY = 0.5


def reference_evapotranspiration(
    series: DailySeries, latitude: float, elevation_m: float = 0.0
) -> Days:
    """Return ETo day by day from a site's temperatures and light.

    Parameters
    ----------
    series : DailySeries
        Minimum and maximum temperature and solar radiation.
    latitude : float
        [°], north positive.
    elevation_m : float
        Above the sea [m].

    Returns
    -------
    array
        [mm/day], shape (days,); never below 0.

    Notes
    -----
    Of humidity and wind a garden file knows nothing, so FAO-56's rules for missing data hold
    (chapter 3): the dew point is the night's minimum (eq. 48), the wind 2 m/s. In deserts, where
    nights stay above the dew point, that gives up to a tenth too little; in windy places less
    than is true, in sheltered yards more. Temperatures are means of many years: a hot dry week
    takes half as much again (by eq. 6: 31 and 16 °C, 26 MJ and a dew point of 12 °C against a usual
    July's 23.5 and 14 °C, 17.5 MJ and 13 °C).
    """
    place, _ = day_places(series.start, len(series))
    clear = clear_sky_radiation(extraterrestrial_radiation(latitude, place + 1), elevation_m)
    ea = saturation_vapour_pressure(series.tmin)
    net = net_shortwave(series.radiation) - net_longwave(
        series.tmin, series.tmax, ea, series.radiation, clear
    )
    return penman_monteith(series.tmin, series.tmax, net, ea, elevation_m)


def penman_monteith(
    tmin: ArrayLike,
    tmax: ArrayLike,
    net_radiation: ArrayLike,
    ea: ArrayLike,
    elevation_m: float = 0.0,
    wind: ArrayLike = USUAL_WIND,
    soil_heat: ArrayLike = 0.0,
) -> Floats:
    """Return reference evapotranspiration by the FAO Penman-Monteith equation (eq. 6).

    Parameters
    ----------
    tmin, tmax : array
        Daily minimum and maximum [°C].
    net_radiation : array
        Rn [MJ m-2 d-1].
    ea : array
        Actual vapour pressure [kPa].
    elevation_m : float
        Above the sea [m].
    wind : array
        At 2 m above the ground, u2 [m/s].
    soil_heat : array
        Soil heat flux G [MJ m-2 d-1], nought over a day (eq. 42).

    Returns
    -------
    array
        [mm/day]; dew and polar night count as 0.
    """
    tmin, tmax = np.asarray(tmin, dtype=float), np.asarray(tmax, dtype=float)
    tmean = (tmin + tmax) / 2  # eq. 9
    es = (saturation_vapour_pressure(tmin) + saturation_vapour_pressure(tmax)) / 2  # eq. 12
    slope = vapour_pressure_slope(tmean)
    gamma = psychrometric_constant(air_pressure(elevation_m))
    wind = np.asarray(wind, dtype=float)
    energy = _EVAPORATED * slope * (np.asarray(net_radiation) - np.asarray(soil_heat))
    air = gamma * 900 / (tmean + 273) * wind * (es - np.asarray(ea))
    return np.maximum((energy + air) / (slope + gamma * (1 + 0.34 * wind)), 0.0)


def saturation_vapour_pressure(celsius: ArrayLike) -> Floats:
    """Return e°(T) (eq. 11) [kPa] at a temperature [°C]."""
    t = np.asarray(celsius, dtype=float)
    return 0.6108 * np.exp(17.27 * t / (t + 237.3))


def vapour_pressure_slope(celsius: ArrayLike) -> Floats:
    """Return the slope Δ of e°(T) (eq. 13) [kPa/K] at a temperature [°C]."""
    t = np.asarray(celsius, dtype=float)
    return 4098 * saturation_vapour_pressure(t) / (t + 237.3) ** 2


def air_pressure(elevation_m: float) -> float:
    """Return the usual air pressure P (eq. 7) [kPa] at an elevation [m]."""
    return 101.3 * ((293 - 0.0065 * elevation_m) / 293) ** 5.26


def psychrometric_constant(pressure: float) -> float:
    """Return γ (eq. 8) [kPa/K] at an air pressure [kPa]."""
    return 0.665e-3 * pressure


def net_shortwave(radiation: ArrayLike) -> Floats:
    """Return what the lawn keeps of solar radiation, Rns (eq. 38) [MJ m-2 d-1]."""
    return (1 - ALBEDO) * np.asarray(radiation, dtype=float)


def net_longwave(
    tmin: ArrayLike,
    tmax: ArrayLike,
    ea: ArrayLike,
    radiation: ArrayLike,
    clear_sky: ArrayLike,
) -> Floats:
    """Return the warmth radiated away, Rnl (eq. 39) [MJ m-2 d-1].

    Parameters
    ----------
    tmin, tmax : array
        Daily minimum and maximum [°C].
    ea : array
        Actual vapour pressure [kPa].
    radiation, clear_sky : array
        Solar radiation Rs and that of a clear sky Rso [MJ m-2 d-1].
    """
    rs, rso = np.broadcast_arrays(
        np.asarray(radiation, dtype=float), np.asarray(clear_sky, dtype=float)
    )
    share = np.divide(rs, rso, out=np.full(rs.shape, _DARK_SKY), where=rso > 1e-6)
    low, high = (np.asarray(t, dtype=float) + _KELVIN for t in (tmin, tmax))
    black = STEFAN_BOLTZMANN * (high**4 + low**4) / 2
    damp = 0.34 - 0.14 * np.sqrt(np.asarray(ea, dtype=float))
    return black * damp * (1.35 * np.minimum(share, 1.0) - 0.35)
