"""Small changes to a standing season: one batch added, moved, resized, merged or taken away.

Each move leaves a season that can be sown and returns the crops it touched, or None where it could
not be made. Whether the outcome is kept is not its business.
"""

from __future__ import annotations

import math
import random
from bisect import bisect_left

import numpy as np

from sowplan.season.choices.instance import Batch, Instance
from sowplan.season.search.clearing import Clearing
from sowplan.season.search.service import outlasts
from sowplan.season.search.standing import Standing

NEAR_DAYS = 21
"""How far a batch is moved in time at most."""
SPLITS = 0.3
"""How often a batch that finds no strip is spread over several, rather than room made for it."""


class Moves:
    """The moves on one season, with what they need to know of its options."""

    def __init__(self, standing: Standing, chance: random.Random, costs: list):
        self.standing = standing
        self.instance: Instance = standing.instance
        self.chance = chance
        self.clearing = Clearing(standing, chance)
        self.costs = (
            costs  # by crop and option: cost of a unit of room, of a plant's cells; most plants
        )
        self.serving = [_serving(case) for case in self.instance.crops]
        self.keeping = [n for n, case in enumerate(self.instance.crops) if outlasts(case)]
        self.near = [_Near(case.options) for case in self.instance.crops]

    def add(self, crop: int) -> set[int] | None:
        """Add a batch for a period that lacks something, making room for it where there is none."""
        drawn = self._drawn(crop)
        return None if drawn is None else self._put(crop, *drawn)

    def _drawn(self, crop: int) -> tuple[int, int] | None:
        """Draw an option that serves a lacking period, and how many plants of it."""
        lack = self.standing.lack(crop)
        lacking = [
            (n, need) for n, need in enumerate(lack) if need > 1e-9 and self.serving[crop][n]
        ]
        if not lacking:
            return None
        period = self.chance.choice(lacking)[0]
        able = self.serving[crop][period]
        picked = [able[int(self.chance.random() * len(able))] for _ in range(8)]
        sized = [(option, *self._size(crop, option, lack)) for option in picked]
        sized = [entry for entry in sized if entry[1] > 0]
        if not sized:
            return None
        return max(sized, key=lambda entry: entry[2])[:2]

    def resize(self) -> set[int] | None:
        """Grow more or fewer plants of a batch."""
        number, batch = self._any_batch()
        if batch is None:
            return None
        step = self.chance.choice((1, 1, 2, 3, max(1, batch.plants // 3)))
        plants = batch.plants + (step if self.chance.random() < 0.5 else -step)
        self.standing.remove(number)
        if plants > 0 and not self._same_place(batch, plants):
            return None
        return {batch.crop}

    def shift(self) -> set[int] | None:
        """Sow a batch earlier or later, raise it otherwise, clear it on another day, elsewhere."""
        number, batch = self._any_batch()
        if batch is None:
            return None
        option = self.near[batch.crop].draw(batch.option, self.chance)
        self.standing.remove(number)
        plants = batch.plants
        if self.chance.random() < 0.5:
            plants = self._size(batch.crop, option, self.standing.lack(batch.crop))[0]
        if plants <= 0:
            return {batch.crop}
        touched = self._put(batch.crop, option, plants)
        return None if touched is None else touched | {batch.crop}

    def drop(self) -> set[int] | None:
        """Take a batch away."""
        number, batch = self._any_batch()
        if batch is None:
            return None
        self.standing.remove(number)
        return {batch.crop}

    def merge(self) -> set[int] | None:
        """Make one batch of two of a crop."""
        number, batch = self._any_batch()
        if batch is None:
            return None
        rows = self.instance.crops[batch.crop].options.rows
        sown = rows[batch.option][0]
        others = [
            n
            for n, other in self.standing.of_crop[batch.crop].items()
            if n != number and not other.fixed and abs(rows[other.option][0] - sown) <= NEAR_DAYS
        ]
        if not others:
            return None
        other = self.standing.batches[others[int(self.chance.random() * len(others))]]
        self.standing.remove(number)
        for n in others:
            if self.standing.batches.get(n) is other:
                self.standing.remove(n)
                break
        option = batch.option if self.chance.random() < 0.5 else other.option
        option = self.near[batch.crop].draw(option, self.chance)
        return self._put(batch.crop, option, batch.plants + other.plants)

    def divide(self) -> set[int] | None:
        """Grow part of a batch at another time, so that less of it is kept long."""
        crop = self.keeping[int(self.chance.random() * len(self.keeping))]
        numbers = [n for n, b in self.standing.of_crop[crop].items() if not b.fixed]
        if not numbers or not self.standing.keeping(crop):
            return None
        number = numbers[int(self.chance.random() * len(numbers))]
        batch = self.standing.batches[number]
        later = int(batch.plants * (0.2 + 0.6 * self.chance.random()))
        if not 0 < later < batch.plants:
            return None
        option = self.near[batch.crop].far(batch.option, self.chance)
        self.standing.remove(number)
        if not self._same_place(batch, batch.plants - later):
            return None
        return self._put(batch.crop, option, later)

    # -- parts of moves

    def _any_batch(self) -> tuple[int, Batch | None]:
        """Return a free batch by chance."""
        batches = self.standing.batches
        if not batches:
            return -1, None
        numbers = self.standing.numbers
        for _ in range(8):
            number = numbers[int(self.chance.random() * len(numbers))]
            if not batches[number].fixed:
                return number, batches[number]
        return -1, None

    def _same_place(self, batch: Batch, plants: int) -> bool:
        """Put a batch back with another number of plants, in its place if that has the room."""
        found = self.standing.place(batch.crop, batch.option, plants, [batch.spot])
        if found is None:
            found = self.standing.place(batch.crop, batch.option, plants)
        if found is not None:
            self.standing.add(found)
        return found is not None

    def _size(self, crop: int, option: int, lack: list[float]) -> tuple[int, float]:
        """Return how many plants of an option would be eaten, and what that is worth its cost."""
        case = self.instance.crops[crop]
        room = case.units.get(case.options.rows[option][3])
        if room is None:
            return 0, 0.0
        reach = self.near[crop].reach(case, option)
        need = sum(lack[n] for n in reach)
        share = self.near[crop].total[option]
        plants = min(math.ceil(need / share - 1e-6), self.costs[crop][2][option])
        if plants <= 0:
            return 0, 0.0
        plants = max(plants, case.least[option])
        if self.chance.random() < 0.4:
            # As many as fill their rows, holes or pots, rather than begin another.
            fewer = bisect_left(room, room[plants]) - 1
            begun = plants + 1 == len(room) or room[plants + 1] == room[plants]
            if begun and fewer >= case.least[option]:
                plants = fewer
        unit, cells, _ = self.costs[crop]
        cost = float(room[plants]) * unit[option] + plants * cells[option] + 0.02
        gain = min(need, plants * share) * case.worth
        return plants, gain / cost

    def _put(self, crop: int, option: int, plants: int) -> set[int] | None:
        """Add a batch, making room where there is none; what was in the way goes elsewhere."""
        size = plants
        while size > 0:
            found = self.standing.place(crop, option, size)
            if found is not None:
                self.standing.add(found)
                return {crop}
            if self.chance.random() < 0.5:
                break
            least = self.instance.crops[crop].least[option]
            size = max(size // 2, least) if size > least else 0
        case = self.instance.crops[crop]
        if self.chance.random() < SPLITS:
            return {crop} if self.standing.split(crop, option, plants) else None
        if self.chance.random() < 0.5:
            plants = max(case.least[option], int(plants * self.chance.random()))
        evicted = self.clearing.for_batch(crop, option, plants)
        if evicted is None:
            return None
        found = self.standing.place(crop, option, plants)
        if found is None:
            return None
        self.standing.add(found)
        for batch in sorted(evicted, key=lambda b: -b.mask.bit_count()):
            self._rehouse(batch)
        return {crop} | {batch.crop for batch in evicted}

    def _rehouse(self, batch: Batch) -> None:
        """Find another place for a batch, or another time near its own, or room for less of it."""
        standing, crop, plants = self.standing, batch.crop, batch.plants
        found = standing.place(crop, batch.option, plants)
        if found is not None:
            standing.add(found)
            return
        least = self.instance.crops[crop].least[batch.option]
        most = standing.most(crop, batch.option)
        if most >= least and standing.split(crop, batch.option, plants):
            return
        sizes = [plants] * 3
        while (plants := plants * 2 // 3) >= least:
            sizes.append(plants)
        for turn, size in enumerate(sizes):
            option = batch.option
            if turn < 3:
                option = self.near[crop].draw(option, self.chance)
            elif size > most:
                continue
            found = standing.place(crop, option, size)
            if found is not None:
                standing.add(found)
                return


class _Near:
    """For one crop: which options are near one another, and what each reaches."""

    def __init__(self, options):
        self.order = np.argsort(options.sow, kind="stable").tolist()
        sow = options.sow[self.order] if len(options) else np.zeros(0, np.int64)
        self.low = np.searchsorted(sow, options.sow - NEAR_DAYS).tolist()
        self.high = np.searchsorted(sow, options.sow + NEAR_DAYS, side="right").tolist()
        total = np.zeros(len(options))
        np.add.at(total, options.lot_option, options.lot_share)
        self.total = total.tolist()
        self.free = (options.fixed < 0).tolist()
        self.reached: dict[int, list[int]] = {}

    def draw(self, option: int, chance: random.Random) -> int:
        """Return an option sown about the same time."""
        low, high = self.low[option], self.high[option]
        drawn = self.order[low + int(chance.random() * (high - low))]
        return drawn if self.free[drawn] else option

    def far(self, option: int, chance: random.Random) -> int:
        """Return an option sown at any time."""
        drawn = self.order[int(chance.random() * len(self.order))]
        return drawn if self.free[drawn] else option

    def reach(self, case, option: int) -> list[int]:
        """Return the periods that some lot of an option may serve."""
        known = self.reached.get(option)
        if known is None:
            periods = case.periods
            fit = np.zeros(len(periods), bool)
            for ready, expiry, _ in case.options.lots[option]:
                fit |= (periods.end >= ready) & (periods.start <= expiry)
            known = self.reached[option] = np.nonzero(fit)[0].tolist()
        return known


def _serving(case) -> list[list[int]]:
    """Return, for each period, the free options that may serve it."""
    options = case.options
    found = []
    for start, end in zip(case.periods.start.tolist(), case.periods.end.tolist(), strict=True):
        fit = (options.lot_ready <= end) & (options.lot_expiry >= start)
        able = np.unique(options.lot_option[fit])
        found.append(able[options.fixed[able] < 0].tolist())
    return found
