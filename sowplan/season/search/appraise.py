"""What one more batch of a crop would bring and cost, for all its options at once.

An estimate: it counts what periods lack directly, not what could be handed round among lots. The
search tries the best of it on the season itself.
"""

from __future__ import annotations

import random

import numpy as np
from numpy.typing import NDArray

from sowplan.season.bound.model import Relaxation
from sowplan.season.choices.instance import CropCase, Instance
from sowplan.season.search.standing import Standing

IDLE_PRICE = 0.02
"""Price of room nobody is short of, as a share of the mean worth of a unit-day of all room."""
LOOK_AT = 24
"""Most places of a group whose room is looked at for an offer."""
SOWING_PRICE = 0.02
"""Price of the work of a sowing [want-weeks], so that few larger batches beat many small ones."""


class Appraiser:
    """The options of one crop with what does not change while searching."""

    def __init__(self, instance: Instance, case: CropCase, relaxation: Relaxation):
        options, periods = case.options, case.periods
        self.case = case
        self.periods = periods
        self.many = len(options)
        if not self.many:
            return
        # Range of periods each lot reaches; exact where periods do not overlap.
        ends = np.maximum.accumulate(periods.end) if len(periods) else periods.end
        self.first = np.searchsorted(ends, options.lot_ready)
        self.last = np.maximum(
            np.searchsorted(periods.start, options.lot_expiry, side="right"), self.first
        )
        self.share = options.lot_share
        self.start = options.lot_start[:-1]
        self.single = len(options.lot_ready) == self.many
        self.total = np.add.reduceat(self.share, self.start)
        self.reach_first = np.minimum.reduceat(self.first, self.start)
        self.reach_last = np.maximum.reduceat(self.last, self.start)
        groups = sorted(case.room)
        self.most = np.zeros(self.many, np.int64)
        self.least = np.array(case.least, np.int64)
        self.room = np.zeros((len(groups), max(len(case.room[g]) for g in groups)), np.int64)
        self.group = np.zeros(self.many, np.int64)
        for row, group in enumerate(groups):
            units = case.room[group]
            self.room[row, : len(units)] = units
            here = options.group == group
            self.group[here] = row
            self.most[here] = len(units) - 1
        for group, trays in instance.trays_of.items():
            cells = max(instance.trays[tray].cells for tray in trays)
            here = options.tray == group
            self.most[here] = np.minimum(self.most[here], int(cells / case.cells_per_plant + 1e-9))
        days = instance.days
        self.stay = _span(options.into, options.clear, days)
        self.raising = _span(options.sow, options.into, days)
        self.spots = [
            (np.nonzero(options.group == group)[0], row, np.array(instance.spots_of[group]))
            for row, group in enumerate(groups)
        ]
        self.trays = [
            (np.nonzero((options.tray == group) & (options.into > 0))[0], np.array(trays))
            for group, trays in instance.trays_of.items()
        ]
        self.open = (options.fixed < 0) & (self.most > 0)
        self.unit_cost = self._unit_costs(instance, relaxation)
        self.cell_cost = self._cell_costs(relaxation) * case.cells_per_plant
        self.used = relaxation.amounts[instance.crops.index(case)] > 1e-6

    def _unit_costs(self, instance: Instance, relaxation: Relaxation) -> NDArray[np.float64]:
        """Return what a unit of room costs for the stay of each option."""
        options = self.case.options
        stay = np.minimum(options.clear, instance.days) - options.into
        cost = np.zeros(self.many)
        many = max(len(instance.spots_of), 1)
        for group, spots in instance.spots_of.items():
            here = options.group == group
            size = max(sum(instance.spots[spot].open for spot in spots), 1)
            idle = IDLE_PRICE * instance.wanted / (many * size * instance.days)
            cost[here] = self._between(
                relaxation, relaxation.room_price[group], options.into[here], options.clear[here]
            )
            cost[here] += idle * np.maximum(stay[here], 1)
        return cost

    def _cell_costs(self, relaxation: Relaxation) -> NDArray[np.float64]:
        options = self.case.options
        cost = np.zeros(self.many)
        for group, price in relaxation.cell_price.items():
            here = options.tray == group
            cost[here] = self._between(relaxation, price, options.sow[here], options.into[here])
        return cost

    @staticmethod
    def _between(relaxation: Relaxation, price, first, until) -> NDArray[np.float64]:
        summed = np.concatenate([[0.0], np.cumsum(price)])
        days = relaxation.days
        return summed[np.searchsorted(days, until)] - summed[np.searchsorted(days, first)]

    def fitting(self, standing: Standing, chance: random.Random) -> NDArray[np.int64]:
        """Return the most plants of each option that room and cells are left for, about.

        Room is counted whole, not in one piece; of very many places some are looked at.
        """
        most = self.most.copy()
        for here, row, spots in self.spots:
            if len(spots) > LOOK_AT:
                spots = np.array(sorted(chance.sample(spots.tolist(), LOOK_AT)))
            if len(here):
                left = standing.room_left.most(spots, self.stay[0][here], self.stay[1][here])
                table = self.room[row, : int(self.most[here].max()) + 1]
                fit = np.searchsorted(table, left, side="right") - 1
                most[here] = np.minimum(most[here], fit)
        for here, trays in self.trays:
            if len(here):
                left = standing.cells_left.most(trays, self.raising[0][here], self.raising[1][here])
                fit = (left / self.case.cells_per_plant + 1e-9).astype(np.int64)
                most[here] = np.minimum(most[here], fit)
        return most

    def offers(
        self,
        lack: list[float],
        most: NDArray[np.int64],
        noise: NDArray[np.float64] | None,
        only_used: bool,
        many: int,
    ) -> list[tuple[int, int, float]]:
        """Return the most promising (option, plants, score), best first.

        Parameters
        ----------
        lack : list of float
            What each period lacks [plants].
        most : ndarray of int, shape (options,)
            The most plants of each, from `fitting` or ``self.most``.
        noise : ndarray, shape (options,), optional
            Factors the scores are multiplied by.
        only_used : bool
            Keep to the options that the relaxed season uses.
        many : int
            How many at most.
        """
        summed = np.concatenate([[0.0], np.cumsum(lack)])
        reach = summed[self.last] - summed[self.first]
        whole = summed[self.reach_last] - summed[self.reach_first]
        open_ = self.open & (whole > 1e-9) & (most > 0)
        if only_used:
            open_ = open_ & self.used
        if not open_.any():
            return []
        found = []
        for plants in self._sizes(whole, most):
            gain = self._gain(plants, reach, whole)
            waste = np.maximum(plants * self.total - gain, 0.0)
            cost = (
                self.room[self.group, plants] * self.unit_cost
                + plants * self.cell_cost
                + SOWING_PRICE
            )
            score = (gain - 0.3 * waste) * self.case.worth / cost
            if noise is not None:
                score = score * noise
            score = np.where(open_ & (plants > 0), score, -1.0)
            best = np.argsort(-score, kind="stable")[:many]
            found += [(int(j), int(plants[j]), float(score[j])) for j in best if score[j] > 0]
        found.sort(key=lambda offer: -offer[2])
        seen: set[tuple[int, int]] = set()
        return [o for o in found if not (o[:2] in seen or seen.add(o[:2]))][:many]

    def _sizes(self, whole, most) -> list[NDArray[np.int64]]:
        """Return numbers of plants worth trying for each option."""
        ideal = np.ceil(np.minimum(whole / self.total, 1e9) - 1e-6).astype(np.int64)
        ideal = np.maximum(ideal, self.least)
        most = np.where(most >= self.least, most, 0)
        sizes = [np.minimum(ideal, most)]
        if not self.single:
            sizes.append(np.minimum(np.maximum(ideal * 3 // 4, self.least), most))
            sizes.append(np.minimum(ideal + ideal // 3, most))
        else:
            # As many as fill their last row, rather than start another.
            full = self._whole_rows(sizes[0])
            if np.any(full != sizes[0]):
                sizes.append(full)
        return sizes

    def _whole_rows(self, plants) -> NDArray[np.int64]:
        """Return the numbers rounded down to what one row less would hold."""
        units = self.room[self.group, plants]
        out = plants.copy()
        least = self.least
        for row in range(len(self.room)):
            here = (self.group == row) & (plants > 0)
            table = self.room[row, : int(self.most[here].max(initial=0)) + 1]
            fewer = np.searchsorted(table, units[here]) - 1
            full = np.searchsorted(table, units[here], side="right") - 1
            enough = (plants[here] < full) & (fewer >= least[here])
            out[here] = np.where(enough, fewer, plants[here])
        return out

    def _gain(self, plants, reach, whole) -> NDArray[np.float64]:
        """Return the plants' yield that would be eaten."""
        grown = plants[self.case.options.lot_option] * self.share
        return np.minimum(np.add.reduceat(np.minimum(grown, reach), self.start), whole)


def _span(first, until, days: int) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return spans of days cut to the season, at least a day long."""
    first = np.clip(first, 0, days - 1)
    return first, np.clip(until, first + 1, days)
