"""The harvests of a sowing from the day it is first fit: once, cut again, or picked over weeks.

What nobody brings in grows on. Cut leaf left standing goes coarse: it is cut down for the compost
when somebody is there again, and grows anew from then (common practice, no source). Fruit and pods
left on a plant stop it from setting more until they are taken off (`Crop.unpicked_days` and its
source); other picked crops lose what ripened meanwhile and go on (from memory).

Who harvests once a week, on market days say, has a cut or a pick every week all the same: what was
due since the last is brought in then.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sowplan.growth.clock import Index, next_true, reach
from sowplan.growth.needs import Needs
from sowplan.records.crop import Crop

# A picked plant is spent after this many times its usual picking. Common practice, no source.
_PICKING_TIMES = 1.5
WITHIN_DAYS = 6
"""What is picked is gone over once a week (`sowplan.growth.needs`), and leaf is cut once a week:
a gap of no more days costs nothing, what was due in it is brought in after (common practice, no
source). Beans, cucumbers and courgettes are better picked every two or three days (extension
services), but nothing is lost in a week."""


class Absence(NamedTuple):
    """Days on which nothing is brought in for the kitchen, shape (days of the series,).

    ``picked`` are those of them on which somebody picks and cuts all the same, and keeps it.
    """

    off: NDArray[np.bool_]
    picked: NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Lots:
    """Harvests by sowing day and number, shape (days, lots); -1 and share 0 where there is none.

    ``spoilt`` is the day on which a lot that nobody was there for is taken off; -1 where none is.
    """

    ready: Index
    last: Index
    share: NDArray[np.float64]
    spoilt: Index


def lots_from(
    first: Index,
    ends_before: Index,
    crop: Crop,
    needs: Needs,
    field: NDArray[np.float64],
    age: NDArray[np.float64],
    absence: Absence | None = None,
    size: NDArray[np.float64] | None = None,
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
    absence : Absence, optional
        When nobody brings anything in; None: somebody always does.
    size : ndarray of float, shape (days,), optional
        How much of its usual weight each brings (`sowplan.growth.events.Events`); None: all.

    Returns
    -------
    Lots
        Every lot brings an equal share of the whole yield, but one that sets anew while it would be
        picked: that of the days left. With an absence, each is brought in on days on which somebody
        is there, and what comes after is as late as leaving it makes it.
    """
    days = len(field) - 1
    ready, last, part, spoilt = _stand_fit(first, crop, needs, field, age, absence)
    ends = np.minimum(ends_before, days)
    if crop.harvest == "pick" and crop.picking_days:
        ends = np.minimum(ends, first + round(_PICKING_TIMES * crop.picking_days) + 1)
    ends = ends[:, None]
    comes = (ready >= 0) & (ready < ends)
    last = np.minimum(last, ends - 1)
    if size is not None:  # two small ones make one of the usual weight, pieces too
        part = part * size[:, None]
    if absence is not None:  # the last day on which somebody is there
        before = np.maximum.accumulate(np.where(absence.off, -1, np.arange(days)))
        last = np.maximum(before[np.maximum(last, 0)], ready)
    return Lots(
        np.where(comes, ready, -1),
        np.where(comes, last, -1),
        np.where(comes, part / needs.lots, 0.0),
        np.where((spoilt >= 0) & (spoilt < ends), spoilt, -1),
    )


def _stand_fit(
    first: Index,
    crop: Crop,
    needs: Needs,
    field: NDArray[np.float64],
    age: NDArray[np.float64],
    absence: Absence | None,
) -> tuple[Index, Index, NDArray[np.float64], Index]:
    """Return from when to when each lot can be brought in, how much of it, when it is taken off.

    All of shape (days, lots); the first two are -1 for a lot that is lost, the last for others.
    """
    if absence is None:
        steps = np.arange(needs.lots) * needs.step
        ready = np.column_stack([first, *(reach(field, first, step) for step in steps[1:])])
        last = _fit_until(ready, ready, crop, age)
        return ready, last, np.ones(ready.shape), np.full_like(ready, -1)
    there, gap = _again(absence)
    theirs = np.append(absence.picked, False)
    begun, since = first, np.zeros_like(first)  # the day that the next lots count from, and its lot
    sets_from = np.zeros_like(first)
    shape = (len(first), needs.lots)
    fit, came, spoilt = (np.empty(shape, np.int64) for _ in range(3))
    part = np.empty(shape)
    for lot in range(needs.lots):
        due, then = (reach(field, begun, (lot + n - since) * needs.step) for n in (0, 1))
        late_set = np.clip((then - sets_from) / np.maximum(then - due, 1), 0.0, 1.0)
        left = np.where(due < sets_from, late_set, 1.0)
        due = np.where(left > 0.0, np.maximum(due, sets_from), due)
        fit[:, lot], came[:, lot] = due, there[due]
        back = came[:, lot]
        late = back > np.maximum(reach(age, due, crop.holding_days) - 1, due)
        if crop.harvest != "once":
            late &= gap[due] > WITHIN_DAYS
        part[:, lot] = np.where(late, 0.0, left)
        late &= (left > 0.0) & ~theirs[due]
        spoilt[:, lot] = np.where(late, back, -1)
        if crop.harvest == "cut" and needs.step:
            grown = (back > due) & ~theirs[due]  # cut later than it was fit, for whatever use
            begun, since = np.where(grown, back, begun), np.where(grown, lot, since)
        elif crop.unpicked_days is not None:
            again = reach(field, back, crop.unpicked_days * needs.field_rate)
            sets_from = np.where(late, np.maximum(sets_from, again), sets_from)
    last = np.maximum(_fit_until(fit, came, crop, age), came)
    comes = part > 0.0
    return np.where(comes, came, -1), np.where(comes, last, -1), part, spoilt


def _fit_until(fit: Index, ready: Index, crop: Crop, age: NDArray[np.float64]) -> Index:
    """Return the last day on which each lot is fit; one that is cut, before the next is."""
    last = np.maximum(reach(age, fit, crop.holding_days) - 1, ready)
    if crop.harvest == "cut" and fit.shape[1] > 1:
        last[:, :-1] = np.maximum(np.minimum(last[:, :-1], fit[:, 1:] - 1), ready[:, :-1])
    return last


def _again(absence: Absence) -> tuple[Index, Index]:
    """Return when somebody is there again from each day on, and how many days nobody is till then.

    Both of shape (days + 1,); the second counts the whole time away that a day lies in.
    """
    there = next_true(~absence.off)
    day = np.arange(len(there))
    before = np.maximum.accumulate(np.where(np.append(absence.off, False), -1, day))
    return there, np.where(there > day, there - before - 1, 0)
