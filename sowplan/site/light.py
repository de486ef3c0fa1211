"""Light: radiation above the air, at the ground, and as photons a leaf can use.

Equation numbers are those of FAO Irrigation and Drainage Paper 56 (Allen, Pereira,
Raes & Smith 1998), chapter 3.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

SOLAR_CONSTANT = 0.0820  # [MJ m-2 min-1], FAO-56 eq. 21

# Photons of 400-700 nm in a megajoule of sunlight. 0.45 of the energy lies in that band
# (from memory: 0.42-0.50 in the literature), 4.57 µmol/J within it (Thimijan & Heins
# 1983, HortScience 18: 818-822, for sun and sky).
MOL_PER_MJ = 0.45 * 4.57

# FAO-56 eq. 50: kRs for the interior and for the coast [°C^-0.5].
K_INTERIOR, K_COAST = 0.16, 0.19


def extraterrestrial_radiation(latitude: float, day_of_year: ArrayLike) -> Floats:
    """Return the radiation above the air, Ra (FAO-56 eq. 21-25).

    Parameters
    ----------
    latitude : float
        [°], north positive.
    day_of_year : array
        1 January is 1.

    Returns
    -------
    array
        [MJ m-2 d-1]; 0 in polar night.
    """
    day = np.asarray(day_of_year, dtype=float)
    lat, dec = np.radians(latitude), _declination(day)
    distance = 1 + 0.033 * np.cos(2 * np.pi * day / 365)
    omega = _sunset_angle(lat, dec)
    arc = omega * np.sin(lat) * np.sin(dec) + np.cos(lat) * np.cos(dec) * np.sin(omega)
    return np.maximum(24 * 60 / np.pi * SOLAR_CONSTANT * distance * arc, 0.0)


def coast_factor(latitude: float, yearly_range: float) -> float:
    """Return kRs between FAO-56's two: coast or interior, by how much the year swings.

    Parameters
    ----------
    latitude : float
        [°].
    yearly_range : float
        Warmest less coldest monthly mean temperature [K].

    Notes
    -----
    FAO-56 gives 0.19 by the coast and 0.16 inland. Where a site lies is not asked; Conrad's
    index of continentality (1946), 1.7 A / sin(latitude + 10°) - 14, from memory, stands for
    it: up to 10 coast, from 25 on interior, straight between. That choice is our own.

    A year typical of the Alaskan coast (Sand Point, TMY3) gives 0.19 over the year and 0.21 in
    December, so winter as such is not the trouble. But under the cloud of north-west Europe the
    figure is too high: London's December comes to 3.1 MJ, its year a quarter too bright, against
    1.8 MJ and the yearly sum remembered. No published rule was found that mends it from
    temperatures alone.
    """
    index = 1.7 * yearly_range / np.sin(np.radians(abs(latitude) + 10)) - 14
    return float(np.interp(index, [10, 25], [K_COAST, K_INTERIOR]))


def solar_radiation(
    tmin: ArrayLike, tmax: ArrayLike, ra: ArrayLike, k: float, elevation_m: float = 0.0
) -> Floats:
    """Return solar radiation at the ground from the day's range of temperature.

    Parameters
    ----------
    tmin, tmax : array
        Mean daily minimum and maximum [°C].
    ra : array
        Extraterrestrial radiation [MJ m-2 d-1].
    k : float
        kRs of FAO-56 eq. 50 [°C^-0.5].
    elevation_m : float
        Above the sea [m].

    Returns
    -------
    array
        Rs [MJ m-2 d-1], at most that of a clear sky (eq. 37).
    """
    ra = np.asarray(ra, dtype=float)
    swing = np.maximum(np.asarray(tmax, dtype=float) - np.asarray(tmin, dtype=float), 0.0)
    return np.minimum(k * np.sqrt(swing) * ra, clear_sky_radiation(ra, elevation_m))


def clear_sky_radiation(ra: ArrayLike, elevation_m: float = 0.0) -> Floats:
    """Return what a clear sky lets through, Rso (FAO-56 eq. 37) [MJ m-2 d-1].

    Parameters
    ----------
    ra : array
        Extraterrestrial radiation [MJ m-2 d-1].
    elevation_m : float
        Above the sea [m].
    """
    return (0.75 + 2e-5 * elevation_m) * np.asarray(ra, dtype=float)


def daily_light_integral(radiation: ArrayLike) -> Floats:
    """Turn solar radiation [MJ m-2 d-1] into photons of 400-700 nm [mol m-2 d-1]."""
    return MOL_PER_MJ * np.asarray(radiation, dtype=float)


def tray_light(hours: float, ppfd: float) -> float:
    """Turn lamps' hours a day and photon flux density [µmol m-2 s-1] into [mol m-2 d-1]."""
    return hours * 3600 * ppfd / 1e6


def _declination(day: Floats) -> Floats:
    """FAO-56 eq. 24 [rad]."""
    return 0.409 * np.sin(2 * np.pi * day / 365 - 1.39)


def _sunset_angle(lat: float, dec: Floats) -> Floats:
    """FAO-56 eq. 25 [rad]; pi in polar day and 0 in polar night."""
    return np.arccos(np.clip(-np.tan(lat) * np.tan(dec), -1.0, 1.0))
