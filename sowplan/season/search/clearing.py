"""Making room for a batch: what stands in its way is taken from the beds and trays.

What is taken is handed back; whether it finds another place, and whether the outcome is kept, is
not decided here.
"""

from __future__ import annotations

import random

from sowplan.season.choices.instance import Batch
from sowplan.season.search.room import runs
from sowplan.season.search.standing import Standing

SPOTS_TRIED = 5
"""Most places in which room is made for one batch."""
STARTS_TRIED = 5
"""Most beginnings of its strip looked at in one place."""


class Clearing:
    """Room made in a standing season, with a source of chance."""

    def __init__(self, standing: Standing, chance: random.Random):
        self.standing = standing
        self.chance = chance

    def for_batch(self, crop: int, option: int, plants: int) -> list[Batch] | None:
        """Take away what is in a batch's way; None, nothing taken, where no way is found."""
        removed = self._ground(crop, option, plants)
        if removed is None:
            return None
        if self.standing.instance.crops[crop].options.rows[option][4] >= 0:
            removed += self._cells(crop, option, plants)
        return removed

    def _ground(self, crop: int, option: int, plants: int) -> list[Batch] | None:
        """Clear adjoining units of a place where that costs about the least."""
        standing = self.standing
        case = standing.instance.crops[crop]
        _, into, clear, group, *_ = case.options.rows[option]
        room = case.units.get(group)
        if room is None or plants >= len(room):
            return None
        spots = standing.instance.spots_of[group]
        best: tuple[float, list[int]] | None = None
        for _ in range(SPOTS_TRIED):
            spot = spots[int(self.chance.random() * len(spots))]
            if not standing.rotates(spot, crop, into, clear):
                continue
            way = self._way(spot, into, clear, room[plants])
            if way is not None and (best is None or way[0] < best[0]):
                best = way
        return None if best is None else [standing.remove(number) for number in best[1]]

    def _way(self, spot: int, into: int, clear: int, units: int) -> tuple[float, list[int]] | None:
        """Return (cost, batches) of about the cheapest way to clear adjoining units of a place."""
        stands = [s for s in self.standing.rooms[spot].stands if s[0] < clear and into < s[1]]
        best = None
        for start in self._starts(spot, stands, units):
            want = ((1 << units) - 1) << start
            numbers = [number for _, _, mask, number in stands if mask & want]
            batches = [self.standing.batches[number] for number in numbers]
            if any(batch.fixed for batch in batches):
                continue
            cost = sum(self._worth(batch) for batch in batches) * (0.5 + self.chance.random())
            if best is None or cost < best[0]:
                best = (cost, numbers)
        return best

    def _starts(self, spot: int, stands: list, units: int) -> list[int]:
        """Return some beginnings of a strip: at an end of the place or of what stands in it."""
        size = self.standing.instance.spots[spot].size
        full = self.standing.rooms[spot].full
        starts = {0, size - units}
        for low, gap in runs(full) if full.bit_count() < size else ():
            starts |= {low, low + gap - units}
        for _, _, mask, _ in stands:
            low = (mask & -mask).bit_length() - 1
            starts |= {low, mask.bit_length(), low - units, mask.bit_length() - units}
        able = [
            start
            for start in sorted(starts)
            if 0 <= start <= size - units and not ((1 << units) - 1) << start & ~full
        ]
        return self.chance.sample(able, STARTS_TRIED) if len(able) > STARTS_TRIED else able

    def _worth(self, batch: Batch) -> float:
        """Return about what a batch is worth [want-weeks]."""
        worth = self.standing.instance.crops[batch.crop].worth
        return batch.plants * worth * self.standing.steep(batch.crop)

    def _cells(self, crop: int, option: int, plants: int) -> list[Batch]:
        """Take seedlings away until some tray has the cells for a batch."""
        standing, crops = self.standing, self.standing.instance.crops
        sow, into, _, _, group, _ = crops[crop].options.rows[option]
        cells = crops[crop].cells(plants)
        if standing.tray_for(group, sow, into, cells) >= 0:
            return []
        trays = standing.instance.trays_of[group]
        tray = trays[int(self.chance.random() * len(trays))]
        there = []
        for number, batch in standing.batches.items():
            if batch.tray == tray and not batch.fixed:
                sown, out, *_ = crops[batch.crop].options.rows[batch.option]
                if sown < into and sow < out:
                    there.append(number)
        self.chance.shuffle(there)
        removed = []
        for number in there:
            if standing.tray_for(group, sow, into, cells) >= 0:
                break
            removed.append(standing.remove(number))
        return removed
