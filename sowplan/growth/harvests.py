"""The harvests of a sowing from the day it is first fit: once, cut again, or picked over weeks."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sowplan.growth.clock import Index, reach
from sowplan.growth.needs import Needs


@dataclass(frozen=True, eq=False)
class Lots:
    """Harvests by sowing day and number, shape (days, lots); -1 and share 0 where there is none."""

    ready: Index
    last: Index
    share: NDArray[np.float64]


def lots_from(
    first: Index,
    ends_before: Index,
    needs: Needs,
    harvest: str,
    holding_days: float,
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
    needs : Needs
        Number of lots, and development from one to the next.
    harvest : {'once', 'cut', 'pick'}
        A crop that is cut again has to be cut before the next cut is fit.
    holding_days : float
        Days a lot stands fit at the reference temperature.
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
    last = np.maximum(reach(age, ready, holding_days) - 1, ready)
    # A lot whose holding runs out after the days looked at is not cut short by them: it is only
    # known to stand to the last of them.
    if harvest == "cut" and needs.lots > 1:
        last[:, :-1] = np.maximum(np.minimum(last[:, :-1], ready[:, 1:] - 1), ready[:, :-1])
    ends = np.minimum(ends_before, days)[:, None]
    comes = ready < ends
    last = np.minimum(last, ends - 1)
    return Lots(
        np.where(comes, ready, -1),
        np.where(comes, last, -1),
        np.where(comes, 1.0 / needs.lots, 0.0),
    )
