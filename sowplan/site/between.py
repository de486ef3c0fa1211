"""Monthly normals between towns: the smoothest surface through all of them, at a garden's height.

Temperatures are brought to the level of the sea, laid over the globe, and carried up to the garden,
by the lapse rate of the standard atmosphere. What height does beside that is taken up by the
surface, for which height is a fourth direction. With a kernel that falls in a straight line this is
the kriging of the textbooks (Matheron 1963, Economic Geology 58:1246) with a linear variogram.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sowplan.records.garden_file.zones import EARTH_KM
from sowplan.site.towns import all_towns

LAPSE_K_PER_M = 0.0065  # ISO 2533 standard atmosphere
# A hundred metres of height count like twenty-five kilometres of way: the lapse rate takes off most
# of what height does to temperature, not what it does to frost and cloud. With more, a town is
# foretold a little better from the others (0.05 K with half a kilometre a metre), but a hill above
# a town gets the figures of far highlands.
KM_PER_METRE = 0.25
# Rain is laid over the globe by its logarithm, for it differs by factors; this much [mm] on top
# keeps months without any from weighing too much.
_RAIN_MM = 10.0
_LEAST_SWING_K = 2.0  # of a day; nowhere in the tables is it less than 3

Twelve = tuple[float, ...]


def climate_at(
    latitude: float, longitude: float, elevation_m: float
) -> tuple[Twelve, Twelve, Twelve]:
    """Return mean daily minimum and maximum [°C] and rain [mm] by month, worked out from all towns.

    Parameters
    ----------
    latitude, longitude : float
        [°], north and east positive.
    elevation_m : float
        Height above the sea [m].

    Returns
    -------
    tmin, tmax, rain : tuple of 12 floats
        To a tenth of a degree and a millimetre; at a town its own.
    """
    found = _surface()(points([latitude], [longitude], [elevation_m]))[0]
    low, high = found[:12], found[12:24]
    low, high = (t - LAPSE_K_PER_M * elevation_m for t in (low, high))
    high = np.maximum(high, low + _LEAST_SWING_K)
    rain = np.maximum(np.exp(found[24:]) - _RAIN_MM, 0.0)
    return _rounded(low, 1), _rounded(high, 1), _rounded(rain, 0)


@lru_cache(maxsize=1)
def _surface() -> Any:
    """Return the surface through all towns: from points to 36 figures."""
    return surface(range(len(all_towns())))


def surface(which: ArrayLike) -> Any:
    """Return the surface through some of the towns, by their places in the table."""
    from scipy.interpolate import RBFInterpolator

    some = [all_towns()[int(n)] for n in np.asarray(which)]
    height = np.array([t.elevation_m for t in some])
    at_sea = np.array([t.tmin + t.tmax for t in some]) + LAPSE_K_PER_M * height[:, None]
    rain = np.log(np.array([t.rain for t in some]) + _RAIN_MM)
    where = points([t.latitude for t in some], [t.longitude for t in some], height)
    return RBFInterpolator(where, np.hstack([at_sea, rain]), kernel="linear", degree=0)


def points(latitude: ArrayLike, longitude: ArrayLike, elevation_m: ArrayLike) -> NDArray:
    """Return places as points in four directions [km], height as far as it counts, shape (n, 4)."""
    north, east = np.radians(latitude), np.radians(longitude)
    ball = np.stack([np.cos(north) * np.cos(east), np.cos(north) * np.sin(east), np.sin(north)])
    return np.vstack([EARTH_KM * ball, KM_PER_METRE * np.asarray(elevation_m, dtype=float)]).T


def _rounded(values: NDArray[np.float64], places: int) -> Twelve:
    """Return figures rounded, first of the noise in which machines may differ."""
    return tuple(round(round(float(v), 6), places) + 0.0 for v in values)
