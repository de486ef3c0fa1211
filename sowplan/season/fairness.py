"""A fair share for every want: the larger the part of one that is missing, the more it counts.

Added up plainly, a garden asked for too much would grow what takes little room and leave a want
that takes much with nothing. So the missing of each want is taken in steps (`STEPS`): the first
quarter counts once, the second twice, the third four times, the last sixteen times. The
gardener's priority multiplies all of it. What no sowing could ever serve is left out of the
steps and counts once: it must not make the rest of its want dearer.

The steps only ever grow, so a linear program takes them as they are.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sowplan.season.choices.instance import CropCase

STEPS = ((0.0, 1.0), (0.25, 2.0), (0.5, 4.0), (0.75, 16.0))
"""(share of the want missing, how much each further part counts). Common sense, no source."""


def servable(case: CropCase) -> NDArray[np.bool_]:
    """Return, by period, whether any option of a crop could serve it."""
    periods, options = case.periods, case.options
    fits = (options.lot_ready[:, None] <= periods.end) & (
        options.lot_expiry[:, None] >= periods.start
    )
    return fits.any(axis=0)


class Felt:
    """How hard the missing of one crop's wants is felt [want-weeks, those beyond a step more]."""

    def __init__(self, case: CropCase):
        periods = case.periods
        able = servable(case)
        whole = periods.need * periods.weight
        self.hopeless = float(whole[~able].sum())
        self.wants = [int(w) for w in np.unique(periods.want[able])]
        self.totals = [float(whole[able & (periods.want == w)].sum()) for w in self.wants]
        self.single = len(self.wants) == 1
        which = {w: n for n, w in enumerate(self.wants)}
        self._rows = [
            (n, float(periods.weight[n]), which[int(periods.want[n])])
            for n in np.nonzero(able)[0].tolist()
        ]

    def of(self, missing: float, lack: list[float]) -> tuple[float, float]:
        """Return how hard a lack is felt, and how much more one want-week more would count.

        Parameters
        ----------
        missing : float
            Plain missing of the crop [want-weeks].
        lack : list of float
            What each period lacks [plants].
        """
        if missing <= 1e-9 or not self.wants:
            return missing, 1.0
        if self.single:
            felt, steep = weighed(missing - self.hopeless, self.totals[0])
            return felt + self.hopeless, steep
        lacks = [0.0] * len(self.wants)
        for period, weight, want in self._rows:
            if lack[period]:
                lacks[want] += lack[period] * weight
        each = [weighed(*pair) for pair in zip(lacks, self.totals, strict=True)]
        return sum(felt for felt, _ in each) + self.hopeless, max(steep for _, steep in each)


def weighed(missing: float, total: float) -> tuple[float, float]:
    """Return how hard ``missing`` of a want of ``total`` is felt, and the step it has come to."""
    felt, steep, before = missing, 1.0, 1.0
    for share, counts in STEPS[1:]:
        beyond = missing - share * total
        if beyond <= 0.0:
            break
        felt += (counts - before) * beyond
        steep = before = counts
    return felt, steep


def steps_of(total: float) -> list[tuple[float, float]]:
    """Return (size [want-weeks], how much it counts) of each step of a want of ``total``."""
    ends = [share for share, _ in STEPS[1:]] + [1.0]
    return [
        ((end - share) * total, counts) for (share, counts), end in zip(STEPS, ends, strict=True)
    ]
