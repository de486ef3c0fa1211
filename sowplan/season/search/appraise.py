"""What one more batch of a crop would bring and cost, for all its options at once.

An estimate: it counts what periods lack directly, not what could be handed round among lots. The
search tries the best of it on the season itself.
"""

from __future__ import annotations

import random
from itertools import accumulate
from typing import NamedTuple

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


class Reach(NamedTuple):
    """Some options, and what is lacking in all that each reaches [plants], both of one shape.

    ``summed`` is what is lacking before each period, and in all.
    """

    options: NDArray[np.int64]
    whole: NDArray[np.float64]
    summed: NDArray[np.float64]


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
        self.lots_of = np.diff(options.lot_start)
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
        self.most_of_group = [
            int(self.most[self.group == row].max(initial=0)) for row in range(len(groups))
        ]
        self.spots = [np.array(instance.spots_of[group]) for group in groups]
        self.tray = np.where(options.into > 0, options.tray, -1)
        self.trays = [(group, np.array(trays)) for group, trays in instance.trays_of.items()]
        self.unit_cost = self._unit_costs(instance, relaxation)
        self.cell_cost = self._cell_costs(relaxation) * case.cells_per_plant
        used = relaxation.amounts[instance.crops.index(case)] > 1e-6
        free = (options.fixed < 0) & (self.most > 0)
        self.open = np.nonzero(free)[0]
        self.open_used = np.nonzero(free & used)[0]

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

    def reaching(self, lack: list[float], only_used: bool = False) -> Reach:
        """Return the options that bring something which is lacking, with or without room for them.

        Parameters
        ----------
        lack : list of float
            What each period lacks [plants].
        only_used : bool
            Keep to the options that the relaxed season uses.
        """
        among = self.open_used if only_used else self.open
        summed = np.array([0.0, *accumulate(lack)])
        whole = summed[self.reach_last[among]] - summed[self.reach_first[among]]
        some = whole > 1e-9
        return Reach(among[some], whole[some], summed)

    def fitting(
        self, standing: Standing, chance: random.Random, options: NDArray[np.int64]
    ) -> NDArray[np.int64]:
        """Return the most plants of some options that room and cells are left for, about.

        Room is counted whole, not in one piece; of very many places some are looked at.
        """
        most = self.most[options]
        group, tray = self.group[options], self.tray[options]
        for row, spots in enumerate(self.spots):
            if len(spots) > LOOK_AT:
                spots = np.array(sorted(chance.sample(spots.tolist(), LOOK_AT)))
            here = (group == row).nonzero()[0]
            if len(here):
                first, until = (side[options[here]] for side in self.stay)
                left = standing.room_left.most(spots, first, until)
                table = self.room[row, : self.most_of_group[row] + 1]
                fit = table.searchsorted(left, side="right") - 1
                most[here] = np.minimum(most[here], fit)
        for number, trays in self.trays:
            here = (tray == number).nonzero()[0]
            if len(here):
                first, until = (side[options[here]] for side in self.raising)
                left = standing.cells_left.most(trays, first, until)
                fit = (left / self.case.cells_per_plant + 1e-9).astype(np.int64)
                most[here] = np.minimum(most[here], fit)
        return most

    def offers(
        self,
        reach: Reach,
        most: NDArray[np.int64],
        noise: NDArray[np.float64] | None,
        many: int,
    ) -> list[tuple[int, int, float]]:
        """Return the most promising (option, plants, score) of some options, best first.

        Parameters
        ----------
        reach : Reach
            The options, from `reaching`.
        most : ndarray of int, shape (some,)
            The most plants of each of them, from `fitting` or `most`.
        noise : ndarray, shape (all options,), optional
            Factors the scores are multiplied by.
        many : int
            How many at most.
        """
        fit = most > 0
        options, whole, most = reach.options[fit], reach.whole[fit], most[fit]
        if not len(options):
            return []
        eaten = self._eaten(options, whole, reach.summed)
        total, worth = self.total[options], self.case.worth
        if noise is not None:
            worth = worth * noise[options]
        group, unit_cost = self.group[options], self.unit_cost[options]
        cell_cost = self.cell_cost[options]
        found = []
        for plants in self._sizes(options, whole, most):
            gain = eaten(plants)
            waste = np.maximum(plants * total - gain, 0.0)
            cost = self.room[group, plants] * unit_cost + plants * cell_cost + SOWING_PRICE
            score = (gain - 0.3 * waste) * worth / cost
            score[plants <= 0] = -1.0
            best = (-score).argsort(kind="stable")[:many]
            few = (options[best].tolist(), plants[best].tolist(), score[best].tolist())
            found += [offer for offer in zip(*few, strict=True) if offer[2] > 0]
        found.sort(key=lambda offer: -offer[2])
        seen: set[tuple[int, int]] = set()
        return [o for o in found if not (o[:2] in seen or seen.add(o[:2]))][:many]

    def _eaten(
        self, options: NDArray[np.int64], whole: NDArray[np.float64], summed: NDArray[np.float64]
    ):
        """Return what tells how much of so many plants of some options is eaten [their yield]."""
        if self.single:
            share = self.share[options]
            return lambda plants: np.minimum(plants * share, whole)
        many = self.lots_of[options]
        until = many.cumsum()
        start = until - many
        lots = (self.start[options] - start).repeat(many) + np.arange(until[-1])
        of_lot = np.arange(len(options)).repeat(many)
        share = self.share[lots]
        reach = summed[self.last[lots]] - summed[self.first[lots]]

        def eaten(plants: NDArray[np.int64]) -> NDArray[np.float64]:
            each = np.minimum(plants[of_lot] * share, reach)
            return np.minimum(np.add.reduceat(each, start), whole)

        return eaten

    def _sizes(self, options, whole, most) -> list[NDArray[np.int64]]:
        """Return numbers of plants worth trying for each of some options."""
        least = self.least[options]
        ideal = np.ceil(np.minimum(whole / self.total[options], 1e9) - 1e-6).astype(np.int64)
        ideal = np.maximum(ideal, least)
        most = np.where(most >= least, most, 0)
        sizes = [np.minimum(ideal, most)]
        if not self.single:
            sizes.append(np.minimum(np.maximum(ideal * 3 // 4, least), most))
            sizes.append(np.minimum(ideal + ideal // 3, most))
        else:
            # As many as fill their last row, rather than start another.
            full = self._whole_rows(options, sizes[0])
            if (full != sizes[0]).any():
                sizes.append(full)
        return sizes

    def _whole_rows(self, options, plants) -> NDArray[np.int64]:
        """Return the numbers rounded down to what one row less would hold."""
        group, least = self.group[options], self.least[options]
        units = self.room[group, plants]
        out = plants.copy()
        for row, most in enumerate(self.most_of_group):
            here = (group == row) & (plants > 0)
            table = self.room[row, : most + 1]
            fewer = table.searchsorted(units[here]) - 1
            full = table.searchsorted(units[here], side="right") - 1
            enough = (plants[here] < full) & (fewer >= least[here])
            out[here] = np.where(enough, fewer, plants[here])
        return out


def _span(first, until, days: int) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return spans of days cut to the season, at least a day long."""
    first = np.clip(first, 0, days - 1)
    return first, np.clip(until, first + 1, days)
