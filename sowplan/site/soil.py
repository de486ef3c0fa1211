"""Soil temperature at sowing depth: the air's course, damped and delayed.

In soil of even conductivity a wave of temperature dies away with depth as exp(-z/d) and
lags by z/d radians, d being the damping depth of that wave, sqrt(2 D / omega). Source:
the textbook solution (Campbell & Norman, An Introduction to Environmental Biophysics,
1998, ch. 2; Hillel, Environmental Soil Physics), from memory.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

# Thermal diffusivity of moist loam [m2/s]: 0.5 mm²/s, the middle of the usual 0.2-0.8
# (Campbell & Norman, from memory). The yearly damping depth is then 2.2 m.
DIFFUSIVITY = 0.5e-6
SOWING_DEPTH_M = 0.05


def soil_year(air: Floats, depth_m: float = SOWING_DEPTH_M) -> Floats:
    """Return the daily mean soil temperature through a year.

    Parameters
    ----------
    air : array
        Daily mean air temperature of one whole year [°C], shape (365,) or (366,).
    depth_m : float
        Below the surface [m].

    Returns
    -------
    array
        [°C], same shape. Each harmonic of the year is damped and delayed by its own depth.
        Bare soil in full sun runs warmer, mulched or wet soil cooler, than this.
    """
    days = len(air)
    omega = 2 * np.pi * np.arange(days // 2 + 1) / (days * 86400.0)
    ratio = depth_m * np.sqrt(omega / (2 * DIFFUSIVITY))
    return np.fft.irfft(np.fft.rfft(air) * np.exp(-(1 + 1j) * ratio), days)
