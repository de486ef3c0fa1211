"""The daily series of one place: what every later stage knows of sky and air."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

Days = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class DailySeries:
    """Likely weather and light, one value a day from ``start`` on; all arrays of shape (days,).

    ``scenarios`` holds the mean-temperature departures [K] of other weathers the
    season may bring, shape (scenarios, days): recorded years where there are
    records, else draws from a stated spread. Row 0 is not special.
    """

    start: date
    tmin: Days  # mean daily minimum [°C]
    tmax: Days  # mean daily maximum [°C]
    tmean: Days  # (tmin + tmax) / 2 [°C]
    soil: Days  # soil temperature at 5 cm [°C]
    rain: Days  # [mm/day], NaN where unknown
    daylength: Days  # sunrise to sunset, astral [h]
    dli: Days  # daily light integral in the open [mol m-2 d-1]
    radiation: Days  # solar radiation Rs [MJ m-2 d-1]
    scenarios: NDArray[np.float64]
    spread_source: str
    warmest_c: float = np.nan  # mean of the year's warmest month [°C]; NaN: unknown

    def __len__(self) -> int:
        return len(self.tmin)

    def index(self, day: date) -> int:
        """Return the position of a day; may lie outside the series."""
        return (day - self.start).days

    def day(self, index: int) -> date:
        """Return the day at a position."""
        return self.start + timedelta(days=int(index))
