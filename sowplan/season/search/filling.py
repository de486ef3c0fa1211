"""One sowing more: the most useful one that a season, as it stands, still has room for.

The search weighs a great many small changes; this looks at one crop and one sowing, and moves
nothing that stands. It is how a finished season is filled to the brim, and how it is found out what
one thing more would bring (`sowplan.season.reasons.lifted`).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sowplan.season.choices.instance import Batch, CropCase
from sowplan.season.search.fewer import STEP_COSTS, WASTE
from sowplan.season.search.standing import Standing

WORTH_A_SOWING = STEP_COSTS
"""Want-weeks that one sowing more has to bring: the price at which fewer are made."""
TRIED = 12
"""Most ways of sowing that are tried on the beds for one sowing."""


class More(NamedTuple):
    """A sowing more and what it brings [want-weeks]: of the missing, as felt and plainly."""

    batch: Batch
    worth: float
    brings: float


class Reach:
    """What each option of a crop can bring to each period."""

    def __init__(self, case: CropCase):
        self.case = case

    @cached_property
    def share(self) -> NDArray[np.float64]:
        """Share of a plant's yield that is fit in each period, shape (options, periods)."""
        options, periods = self.case.options, self.case.periods
        share = np.zeros((len(options), len(periods)))
        fits = (options.lot_ready[:, None] <= periods.end) & (
            options.lot_expiry[:, None] >= periods.start
        )
        np.add.at(share, options.lot_option, fits * options.lot_share[:, None])
        return share

    @cached_property
    def total(self) -> NDArray[np.float64]:
        """Share of a plant's yield that each option grows, shape (options,)."""
        options = self.case.options
        return np.bincount(options.lot_option, options.lot_share, len(options))


def fill_up(standing: Standing, crops: Iterable[int], least: float = WORTH_A_SOWING) -> int:
    """Sow what each crop lacks, as long as a sowing is worth it; return the sowings made."""
    made = 0
    for crop in crops:
        reach = Reach(standing.instance.crops[crop])
        while (more := best_more(standing, crop, reach, least=least)) is not None:
            standing.add(more.batch)
            made += 1
    return made


def best_more(
    standing: Standing,
    crop: int,
    reach: Reach,
    *,
    among: NDArray[np.bool_] | None = None,
    spots: Sequence[int] | None = None,
    least: float = WORTH_A_SOWING,
) -> More | None:
    """Return the sowing of a crop that brings most, the waste it makes held against it.

    Parameters
    ----------
    standing : Standing
        The season; it is the same afterwards.
    crop : int
        Number of the crop.
    reach : Reach
        Of the crop.
    among : ndarray of bool, shape (options,), optional
        Options to keep to.
    spots : sequence of int, optional
        Places to keep to.
    least : float
        Least worth of a sowing [want-weeks]; None is returned where none comes to it.
    """
    best: More | None = None
    before = (standing.missing(crop), standing.felt(crop), standing.idle(crop))
    for option, plants in _offers(standing, crop, reach, among, spots, least):
        batch = _fit(standing, crop, option, plants, spots)
        if batch is None:
            continue
        mark = len(standing.log)
        standing.add(batch)
        missing, felt, idle = standing.missing(crop), standing.felt(crop), standing.idle(crop)
        standing.undo(mark)
        worth = before[1] - felt - WASTE * (idle - before[2])
        if worth >= least and (best is None or worth > best.worth + 1e-9):
            best = More(batch, worth, before[0] - missing)
    return best


def _offers(standing, crop, reach: Reach, among, spots, least) -> list[tuple[int, int]]:
    """Return the most promising (option, plants), the best first."""
    case = reach.case
    options, periods = case.options, case.periods
    if not len(options) or not len(periods):
        return []
    lack = np.array(standing.lack(crop))
    short = np.nonzero(lack > 1e-6)[0]
    able = (options.fixed < 0) & (reach.share[:, short] > 0).any(axis=1)
    if among is not None:
        able &= among
    rows = np.nonzero(able)[0]
    if not len(rows):
        return []
    most = _most(standing, case, rows, spots)
    lowest = np.array(case.least)[rows]
    share, total = reach.share[rows][:, short], reach.total[rows]
    weight = periods.weight[short] * standing.steep(crop)
    with np.errstate(divide="ignore"):
        needed = np.where(share > 0, np.ceil(lack[short] / share - 1e-6), np.nan)
    found: list[tuple[float, int, int, int]] = []
    # As many as one period lacks, or all of them that a sowing reaches: leeks for the whole winter.
    wanted = np.nanmin(needed, axis=1), np.nanmax(needed, axis=1), np.nansum(needed, axis=1)
    for plants in wanted:
        plants = np.minimum(np.maximum(plants, lowest), most).astype(np.int64)
        grown = plants * total * case.worth
        brings = (np.minimum(lack[short], plants[:, None] * share) * weight).sum(axis=1)
        brings = np.minimum(brings, grown * standing.steep(crop))
        value = brings - WASTE * np.maximum(grown - brings, 0.0)
        good = np.nonzero((plants >= lowest) & (brings >= least))[0]
        stay = options.clear[rows] - options.into[rows]
        for n in good[np.lexsort((stay[good], -value[good]))][:TRIED].tolist():
            found.append((-float(value[n]), int(stay[n]), int(rows[n]), int(plants[n])))
    found.sort()
    return list(dict.fromkeys((option, plants) for *_, option, plants in found))[:TRIED]


def _most(standing: Standing, case: CropCase, rows, spots) -> NDArray[np.int64]:
    """Return the most plants of options that there is room for, in one piece or not."""
    instance, options = standing.instance, case.options
    days = instance.days
    most = np.zeros(len(rows), np.int64)
    for group, room in case.room.items():
        here = np.nonzero(options.group[rows] == group)[0]
        places = [s for s in instance.spots_of.get(group, []) if spots is None or s in spots]
        if not len(here) or not places:
            continue
        first = np.clip(options.into[rows[here]], 0, days - 1)
        until = np.clip(options.clear[rows[here]], first + 1, days)
        left = standing.room_left.most(np.array(places), first, until)
        most[here] = np.searchsorted(room, left, side="right") - 1
    for group, trays in instance.trays_of.items():
        here = np.nonzero((options.tray[rows] == group) & (options.into[rows] > 0))[0]
        if len(here):
            first = np.clip(options.sow[rows[here]], 0, days - 1)
            until = np.clip(options.into[rows[here]], first + 1, days)
            left = standing.cells_left.most(np.array(trays), first, until)
            cells = (left / case.cells_per_plant + 1e-9).astype(np.int64)
            most[here] = np.minimum(most[here], cells)
    return most


def _fit(standing: Standing, crop: int, option: int, plants: int, spots) -> Batch | None:
    """Return a batch that fits, with fewer plants where so many do not."""
    least = standing.instance.crops[crop].least[option]
    while plants >= least:
        batch = standing.place(crop, option, plants, spots)
        if batch is not None:
            return batch
        plants = max(plants * 2 // 3, least) if plants > least else 0
    return None
