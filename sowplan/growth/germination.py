"""How fast seed comes up at a soil temperature: from the published table, or the crop's own row."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sowplan.records.crop import Crop

_STEP_C = 5.0  # the published table's step


def emergence_points(crop: Crop) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the temperatures and rates between which emergence is interpolated.

    Parameters
    ----------
    crop : Crop
        With a row of the published table (``emergence_c``), or its own germination figures.

    Returns
    -------
    temperature_c, rate : ndarray
        Soil temperatures [°C], rising, and emergence rates [1/day] there; the first and last
        rates are zero.

    Notes
    -----
    The table gives days; its "no emergence" is a rate of zero. Where it was not tested, the rate
    falls to zero at the row's minimum or maximum germination temperature, or one step of the table
    beyond the last tested temperature where that is nearer to it than none at all. Frozen soil
    gives nothing. Without the table the rate rises in a straight line from the minimum to the
    optimum and falls in another to the maximum: the cardinal-temperature model of
    Garcia-Huidobro, Monteith and Squire (1982), Journal of Experimental Botany 33:288-296.
    """
    if not crop.emergence_c:
        corners = (crop.germination_min_c, crop.germination_optimum_c, crop.germination_max_c)
        return np.array(corners), np.array([0.0, 1.0 / crop.emergence_days, 0.0])
    temperature = np.asarray(crop.emergence_c, dtype=float)
    rate = 1.0 / np.asarray(crop.emergence_table_days, dtype=float)
    if rate[0] > 0.0:
        low = min(crop.germination_min_c, temperature[0] - 0.5)
        low = max(low, temperature[0] - _STEP_C, -0.5)
        temperature, rate = np.insert(temperature, 0, low), np.insert(rate, 0, 0.0)
    if rate[-1] > 0.0:
        high = crop.germination_max_c
        if high <= temperature[-1]:
            high = temperature[-1] + _STEP_C
        temperature, rate = np.append(temperature, high), np.append(rate, 0.0)
    return temperature, rate


def emergence_rate(crop: Crop, soil_c: ArrayLike) -> NDArray[np.float64]:
    """Return the share of the way to emergence that a day at a soil temperature brings.

    Parameters
    ----------
    crop : Crop
        The crop.
    soil_c : array_like
        Soil or tray temperature [°C], any shape.

    Returns
    -------
    ndarray
        Rates [1/day]; the sum over the days since sowing reaches 1 on the day of emergence.
    """
    temperature, rate = emergence_points(crop)
    return np.interp(soil_c, temperature, rate)


def days_to_emerge(crop: Crop, soil_c: float) -> float:
    """Return the days to emergence at a steady soil temperature; ``inf`` where nothing emerges."""
    rate = float(emergence_rate(crop, soil_c))
    return 1.0 / rate if rate > 0.0 else float("inf")
