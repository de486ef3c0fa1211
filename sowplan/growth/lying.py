"""How long seed may lie in the ground before it comes up, and how long a gardener lets it.

Seed that lies too long rots, is eaten or, in hot ground, dies: such a sowing comes to nothing.
Well before that it is no longer worth sowing, though one who has sown it may still see it come up.
All figures here are common practice, no source.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sowplan.records.crop import Crop

# Seed that lies longer than this in cold wet soil mostly rots or is eaten; in soil too hot for it,
# it dies sooner.
SEED_LIES_DAYS, HOT_SEED_LIES_DAYS = 60, 20
# Large seed of warm soils (beans, sweet corn, cucurbits) rots far sooner in cold ground. It is
# sown this deep [mm] and germinates in soil no colder than this [°C]: not a tuber, nor tomato seed.
LARGE_SEED_LIES_DAYS, LARGE_SEED_MM, WARM_SEED_C = 22, 15.0, 8.0
_ALL_ROTTEN_TIMES = 2.0  # after so many times as long not one is left
# A clove or bulb set in autumn roots and waits for spring under frozen ground. It needs a winter
# and is set this deep [mm]; seed of biennials, which need one too, lies shallow. Set at the end of
# September it shows in the middle of May at 70° N, when the snow has gone.
CLOVE_LIES_DAYS, CLOVE_MM = 240, 20.0
# Seed sown direct that would lie longer is not sown yet: it holds the ground for nothing, and a
# later sowing is hardly behind it.
WORTH_SOWING_DAYS = 35


def lies_at_most(
    crop: Crop, raised: bool, in_open: bool, too_hot: NDArray[np.bool_]
) -> NDArray[np.int64]:
    """Return how long seed, or a clove, may lie before it comes up [d].

    Parameters
    ----------
    crop : Crop
        The crop.
    raised : bool
        Whether it is raised in a tray.
    in_open : bool
        Whether it is sown in the open air, in the ground or in a tray there.
    too_hot : ndarray of bool
        Whether the soil is hotter than suits the seed, by sowing day.

    Returns
    -------
    ndarray of int
        In the shape of ``too_hot``.
    """
    days = np.full(too_hot.shape, _in_cold(crop, raised, in_open))
    if not raised:
        days = np.where(too_hot, np.minimum(days, HOT_SEED_LIES_DAYS), days)
    return days


def surely_rots_after(crop: Crop, in_open: bool) -> float:
    """Return the days after which seed that has not come up is surely dead; ``inf`` where never.

    Only the seed of warm soils: other seed may lie a winter and come up after all.
    """
    if in_open and _of_warm_soil(crop):
        return _ALL_ROTTEN_TIMES * _in_cold(crop, False, in_open)
    return np.inf


def worth_sowing(crop: Crop, raised: bool, lies_days: int) -> bool:
    """Return whether a gardener would sow seed that lies so long; a clove is meant to lie."""
    return raised or _set_in_autumn(crop) or lies_days <= WORTH_SOWING_DAYS


def _in_cold(crop: Crop, raised: bool, in_open: bool) -> int:
    if _set_in_autumn(crop) and not raised:
        return CLOVE_LIES_DAYS
    return LARGE_SEED_LIES_DAYS if in_open and _large_seed_of_warm_soil(crop) else SEED_LIES_DAYS


def _large_seed_of_warm_soil(crop: Crop) -> bool:
    return _of_warm_soil(crop) and crop.sowing_depth_mm >= LARGE_SEED_MM


def _of_warm_soil(crop: Crop) -> bool:
    return crop.tender and crop.germination_min_c >= WARM_SEED_C


def _set_in_autumn(crop: Crop) -> bool:
    return crop.chill_days is not None and crop.sowing_depth_mm >= CLOVE_MM
