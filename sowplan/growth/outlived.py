"""What cannot have lived until a day, whatever its grower has not said of it.

Of what was sown before, silence counts as its standing: growers do not write down what lives. But
beans sown in October are not there in May. A tender crop that has met frost in nine years out of
ten is dead, and so is seed of warm soils that has lain in cold ground twice as long as it can.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from sowplan.growth.clock import Index, clock, reach
from sowplan.growth.lying import surely_rots_after
from sowplan.records.crop import Crop

# Share of the years in which it would have to have lived to count as living still; and that which
# has seen it dead on the day told. Common practice, no source.
_HARDLY_EVER, _LIKELY = 0.1, 0.5
_WEEK_DAYS = 7
_MOST = 0.999  # chance of frost in a week, at the most: a certain one would last for good


def killed_before(
    crop: Crop, frost: Any, threshold_c: float | None, stands: Index, alive: int
) -> Index:
    """Return on which day frost has killed each day's sowing; the series' length where it has not.

    Parameters
    ----------
    crop : Crop
        Only a tender one is surely dead after frost: others stand under snow. Potatoes, which mind
        no cold nights, come up again from below.
    frost : FrostOutlook
        Of the site.
    threshold_c : float or None
        Minimum in the open that kills it where it grows [°C]; None indoors.
    stands : ndarray of int, shape (days,)
        First day above ground, or planted out, by sowing day.
    alive : int
        The day until which it would have to have lived.

    Returns
    -------
    ndarray of int, shape (days,)

    Notes
    -----
    The chances of single weeks are multiplied as if weeks were independent. They are not quite,
    but through a winter either way nothing is left to chance.
    """
    days = len(stands)
    if threshold_c is None or not crop.tender or crop.night_c is None:
        return np.full(days, days)
    weekly = np.minimum(frost.chance(threshold_c), _MOST)
    peril = clock(-np.log1p(-weekly) / _WEEK_DAYS)
    met = peril[alive] - peril[np.minimum(stands, alive)]
    likely = reach(peril, stands, -np.log(_LIKELY))
    return np.where(met > -np.log(_HARDLY_EVER), np.minimum(likely, alive), days)


def rotten(crop: Crop, in_open: bool, emergence: Index) -> NDArray[np.bool_]:
    """Return of which sowings the seed would lie so long in cold ground that none is left.

    Parameters
    ----------
    crop : Crop
    in_open : bool
        Whether it is sown in the open air, in the ground or in a tray there.
    emergence : ndarray of int, shape (days,)
        When it would come up, by sowing day.

    Returns
    -------
    ndarray of bool, shape (days,)
    """
    return emergence - np.arange(len(emergence)) > surely_rots_after(crop, in_open)
