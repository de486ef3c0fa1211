"""Hand-made skies: steady weather, and frost as the test says it is."""

from dataclasses import dataclass
from datetime import date
from types import SimpleNamespace

import numpy as np
import pytest

from sowplan.records.crop_table import read_crops
from sowplan.site.series import DailySeries


@dataclass
class Frost:
    """Frost-free but for the days said to be unsafe, whatever the threshold."""

    days: int
    unsafe: tuple = ()

    def safe(self, threshold_c, risk):
        mask = np.ones(self.days, dtype=bool)
        for first, last in self.unsafe:
            mask[first : last + 1] = False
        return mask

    def chance(self, threshold_c):
        """Return the chance of frost in a week: more than is borne, less than even."""
        return np.where(self.safe(threshold_c, 0.1), 0.0, 0.2)


def make_sky(
    mean=18.0,
    dli=30.0,
    half_range=5.0,
    days=900,
    daylength=12.0,
    soil=None,
    scenarios=None,
    unsafe=(),
    start=date(2025, 1, 1),
):
    """Return a sky; each of the weather's figures is one number or one a day."""
    full = lambda value: np.broadcast_to(np.asarray(value, float), (days,)).copy()  # noqa: E731
    tmean = full(mean)
    series = DailySeries(
        start=start,
        tmin=tmean - half_range,
        tmax=tmean + half_range,
        tmean=tmean,
        soil=full(mean if soil is None else soil),
        rain=full(np.nan),
        daylength=full(daylength),
        dli=full(dli),
        radiation=full(15.0),
        scenarios=np.zeros((1, days)) if scenarios is None else np.asarray(scenarios, float),
        spread_source="made by hand",
    )
    return SimpleNamespace(series=series, frost=Frost(days, unsafe))


@pytest.fixture(scope="session")
def sky_of():
    return make_sky


@pytest.fixture(scope="session")
def crops():
    found, problems = read_crops()
    assert not problems
    return found
