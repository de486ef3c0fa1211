"""The rule of thumb, planned out: each crop every one, two or three weeks, first free place.

What a careful grower does who knows the growth dates: for each crop, sow at a fixed interval so
many plants as are wanted over it, so early that they are ready in time, into the first place with
room. The best interval is taken for each garden as a whole. It is what the search is measured by.
"""

from __future__ import annotations

import numpy as np

from sowplan.season.instance import Batch, CropCase, Instance
from sowplan.season.standing import Score, Standing

INTERVALS_DAYS = (7, 14, 21)


def sow_at_intervals(standing: Standing) -> int:
    """Fill a season by the rule of thumb; return the best of `INTERVALS_DAYS`.

    Parameters
    ----------
    standing : Standing
        With the fixed sowings in it, and nothing else; holds the season afterwards.
    """
    best: tuple[Score, list[Batch], int] | None = None
    for interval in INTERVALS_DAYS:
        mark = len(standing.log)
        for crop in range(len(standing.instance.crops)):
            sow_crop(standing, crop, interval)
        score = standing.score()
        if best is None or _plainly(score) < _plainly(best[0]):
            free = [b for b in standing.batches.values() if not b.fixed]
            best = (score, free, interval)
        standing.undo(mark)
    for batch in best[1]:
        standing.add(batch)
    return best[2]


def _plainly(score: Score) -> tuple[float, float, int]:
    """Order seasons by what is plainly missing, then wasted: the rule knows of no fair shares."""
    return round(score.missing, 7), round(score.wasted, 7), score.sowings


def sow_crop(standing: Standing, crop: int, interval: int) -> None:
    """Sow one crop at a fixed interval through the time it is wanted."""
    case = standing.instance.crops[crop]
    if not len(case.periods) or not len(case.options):
        return
    first, last = int(case.periods.start.min()), int(case.periods.end.max())
    for target in range(first, last + 1, interval):
        plants = _wanted_in(case, target, target + interval - 1)
        if plants <= 0:
            continue
        _sow_for(standing.instance, standing, crop, target, target + interval - 1, plants)


def _wanted_in(case: CropCase, first: int, last: int) -> float:
    """Return the plants wanted from a day to another, periods counted by their share of days."""
    days = case.periods.end - case.periods.start + 1
    shared = np.minimum(case.periods.end, last) - np.maximum(case.periods.start, first) + 1
    return float((case.periods.need * np.clip(shared, 0, None) / days).sum())


def _sow_for(
    instance: Instance, standing: Standing, crop: int, first: int, last: int, plants: float
) -> None:
    """Sow so that the first harvest falls into an interval, its latest day first; one batch."""
    case = instance.crops[crop]
    options = case.options
    ready = options.lot_ready[options.lot_start[:-1]]
    fit = np.nonzero((ready >= first - 3) & (ready <= last) & (options.fixed < 0))[0]
    # Ready as near the interval's start as can be; then the longest stay, as a grower lets it.
    order = np.lexsort((-options.clear[fit], np.abs(ready[fit] - first)))
    lots = [options.lots[n] for n in fit.tolist()]
    for at in order.tolist():
        option = int(fit[at])
        room = case.room.get(int(options.group[option]))
        if room is None:
            continue
        # A crop that is cut or picked again gives a share each time.
        share = lots[at][0][2] if len(lots[at]) > 1 else sum(lot[2] for lot in lots[at])
        lacking = standing.served(crop)[0]
        if lacking <= 1e-9:
            return
        many = max(int(np.ceil(plants / share - 1e-6)), case.least[option])
        many = min(many, len(room) - 1)
        batch = standing.place(crop, option, many)
        if batch is None:
            continue
        mark = len(standing.log)
        standing.add(batch)
        if standing.served(crop)[0] >= lacking - 1e-9:
            standing.undo(mark)  # all of it would come for nothing: the bed is left free
        return
