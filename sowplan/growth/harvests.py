"""The harvests of a sowing from the day it is first fit: once, cut again, or picked over weeks."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sowplan.growth.clock import Index, reach
from sowplan.growth.needs import Needs
from sowplan.records.crop import Crop

# A picked plant is spent after this many times its usual picking. Common practice, no source.
_PICKING_TIMES = 1.5


@dataclass(frozen=True, eq=False)
class Lots:
    """Harvests by sowing day and number, shape (days, lots); -1 and share 0 where there is none."""

    ready: Index
    last: Index
    share: NDArray[np.float64]


def lots_from(
    first: Index,
    ends_before: Index,
    crop: Crop,
    needs: Needs,
    field: NDArray[np.float64],
    age: NDArray[np.float64],
) -> Lots:
    """Return the harvests that follow from the first.

    Parameters
    ----------
    first : ndarray of int, shape (days,)
        Day of the first harvest by sowing day.
    ends_before : ndarray of int, shape (days,)
        The day that ends it all: killing frost, bolting, or the end of the days looked at.
    crop : Crop
        How it is harvested, and how long a lot stands fit. A crop that is cut again has to be cut
        before the next cut is fit; one that is picked goes on for half as long again as usual at
        most, however slowly cool weather brings the picks.
    needs : Needs
        Number of lots, and development from one to the next.
    field, age : ndarray, shape (days + 1,)
        Clocks of development and of ageing.

    Returns
    -------
    Lots
        Every lot brings an equal share of the whole yield.
    """
    days = len(field) - 1
    steps = np.arange(needs.lots) * needs.step
    ready = np.column_stack([first, *(reach(field, first, step) for step in steps[1:])])
    last = np.maximum(reach(age, ready, crop.holding_days) - 1, ready)
    if crop.harvest == "cut" and needs.lots > 1:
        last[:, :-1] = np.maximum(np.minimum(last[:, :-1], ready[:, 1:] - 1), ready[:, :-1])
    ends = np.minimum(ends_before, days)
    if crop.harvest == "pick" and crop.picking_days:
        ends = np.minimum(ends, first + round(_PICKING_TIMES * crop.picking_days) + 1)
    ends = ends[:, None]
    comes = ready < ends
    last = np.minimum(last, ends - 1)
    return Lots(
        np.where(comes, ready, -1),
        np.where(comes, last, -1),
        np.where(comes, 1.0 / needs.lots, 0.0),
    )
