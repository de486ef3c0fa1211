"""How thirsty a planting is through its life: FAO-56's single crop coefficient over four stages.

FAO Irrigation and Drainage Paper 56 (Allen, Pereira, Raes & Smith 1998), chapter 6. The stages
are laid on the planting's own dates; nothing grows anew here.
"""

from __future__ import annotations

from datetime import date

import numpy as np
from numpy.typing import NDArray

from sowplan.season.plan import PlanCrop, Planting

Floats = NDArray[np.float64]

# Shares of the stages in a crop's stay: initial (to a tenth of the ground covered), development
# (to full cover), mid-season, late season. Means of the rows of FAO-56 Table 11 that belong to a
# group; it has no herbs, which go by the leaves.
STAGES: dict[str, tuple[float, float, float, float]] = {
    "leaf": (0.26, 0.35, 0.29, 0.10),
    "herb": (0.26, 0.35, 0.29, 0.10),
    "brassica": (0.24, 0.33, 0.31, 0.12),
    "root": (0.20, 0.26, 0.36, 0.18),
    "allium": (0.19, 0.31, 0.33, 0.17),
    "legume": (0.19, 0.27, 0.38, 0.16),
    "fruiting": (0.21, 0.30, 0.34, 0.15),
}

TENTH = 0.1
"""Ground covered at the end of the initial stage, by FAO-56's definition."""


def stage_days(planting: Planting, crop: PlanCrop) -> tuple[float, float, float, float]:
    """Return when the four stages end, in days from the day the ground is taken.

    Parameters
    ----------
    planting : Planting
        Sown or planted out, harvested and cleared on its own dates.
    crop : PlanCrop
        Its group tells the shares of `STAGES`.

    Returns
    -------
    tuple of 4 floats
        Ascending [days]: a tenth of the ground covered, full cover, begin of ageing, end of
        harvest.

    Notes
    -----
    What is cut or picked for months covers its ground by the first harvest, and not only at
    Table 11's share of the whole stay. Before seedlings show nothing is covered.
    """
    start = planting.occupies_from
    stay = max(_days(start, planting.last_day) + 1, 1)
    first, second, _, last = STAGES.get(crop.group, STAGES["leaf"])
    full = min((first + second) * stay, max(_days(start, planting.harvest_start), 1))
    tenth = full * first / (first + second)
    if planting.planting_out is None:
        tenth = min(max(tenth, _days(start, planting.emergence)), full)
    return tenth, full, max(full, (1 - last) * stay), stay


def crop_coefficient(planting: Planting, crop: PlanCrop, days: Floats) -> Floats:
    """Return Kc on days counted from the day the ground is taken (FAO-56 eq. 66).

    Parameters
    ----------
    planting : Planting
        The planting.
    crop : PlanCrop
        Kc of the initial stage, at full cover and at the end (Table 12).
    days : array
        Days since the ground was taken, not negative.

    Returns
    -------
    array
        Same shape; level through the initial stage and mid-season, straight lines between.
    """
    ends = stage_days(planting, crop)
    values = (crop.kc_initial, crop.kc_mid, crop.kc_mid, crop.kc_end)
    return np.interp(days, ends, values)


def leaf_cover(planting: Planting, crop: PlanCrop, days: Floats) -> Floats:
    """Return what share of its full spread a planting's leaves cover, 0.1 to 1.

    A tenth at the end of the initial stage and all at full cover, as FAO-56 defines the stages;
    straight between (eq. 76's shape is not asked for).
    """
    tenth, full, *_ = stage_days(planting, crop)
    return np.interp(days, (tenth, full), (TENTH, 1.0))


def _days(start: date, end: date) -> int:
    return (end - start).days
