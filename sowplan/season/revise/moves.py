"""Changes to a season begun, in which what has to make way is harvested about as planned."""

from __future__ import annotations

from bisect import bisect_right

from sowplan.season.choices.instance import Batch
from sowplan.season.revise.kept import can_stand
from sowplan.season.search.moves import Moves

ALIKE = 6
"""Most ways of each kind of place and tray in which a batch that makes way is tried."""


class GentleMoves(Moves):
    """The moves on a season begun: few are tried, so each looks harder for a place."""

    def __init__(self, *args):
        super().__init__(*args)
        self._ways: dict[tuple[int, int], list[int]] = {}

    def sow_in_bed(self, crop: int) -> list[int] | None:
        """Add a batch for a period that lacks something to a place cleared of what is to come.

        What was to stand there at that time stays where it still can, and goes elsewhere where it
        cannot; returns the crops of that, None where the place cannot take the batch.
        """
        standing = self.standing
        drawn = self._drawn(crop)
        if drawn is None:
            return None
        option, plants = drawn
        _, into, clear, group, *_ = self.instance.crops[crop].options.rows[option]
        spots = self.instance.spots_of[group]
        spot = spots[int(self.chance.random() * len(spots))]
        if not standing.rotates(spot, crop, into, clear):
            return None
        there = [
            number
            for first, until, _, number in standing.rooms[spot].stands
            if first < clear and into < until and not standing.batches[number].fixed
        ]
        gone = [standing.remove(number) for number in there]
        if not self._as_many_as_fit(crop, option, plants, spot):
            return None
        left = []
        for batch in sorted(gone, key=_units, reverse=True):
            if can_stand(standing, batch):
                standing.add(batch)
            else:
                left.append(batch)
        for batch in left:
            self._rehouse(batch)
        return list(dict.fromkeys(batch.crop for batch in left))

    def _as_many_as_fit(self, crop: int, option: int, plants: int, spot: int) -> bool:
        """Add so many plants of an option to a place, or about as many as it takes."""
        standing, case = self.standing, self.instance.crops[crop]
        _, into, clear, group, *_ = case.options.rows[option]
        room, least = case.units[group], case.least[option]
        whole = self.instance.spots[spot].whole
        free = standing.rooms[spot].most(into, clear, room[1], whole)
        plants = min(plants, bisect_right(room, free) - 1)
        while plants >= least:
            found = standing.place(crop, option, plants, [spot])
            if found is not None:
                standing.add(found)
                return True
            plants = max(plants * 2 // 3, least) if plants > least else 0
        return False

    def _rehouse(self, batch: Batch) -> None:
        """Find a batch another place, or another way to the same harvest, or room for less of it.

        Whether that is worth it is seen from the season as a whole.
        """
        for option in (batch.option, *self.alike(batch.crop, batch.option)):
            found = self.standing.place(batch.crop, option, batch.plants)
            if found is not None:
                self.standing.add(found)
                return
        super()._rehouse(batch)

    def alike(self, crop: int, option: int) -> list[int]:
        """Return options sown about the same time as one, those first that are ready with it."""
        known = self._ways.get((crop, option))
        if known is None:
            options, near = self.instance.crops[crop].options, self.near[crop]
            lots, rows = options.lots, options.rows
            ready, expiry = lots[option][0][0], lots[option][-1][1]
            others = [
                (abs(lots[n][0][0] - ready) + abs(lots[n][-1][1] - expiry), n)
                for n in near.order[near.low[option] : near.high[option]]
                if near.free[n] and n != option
            ]
            many: dict[tuple[int, int], int] = {}
            known = self._ways[crop, option] = []
            for _, n in sorted(others):
                kind = rows[n][3:5]
                many[kind] = many.get(kind, 0) + 1
                if many[kind] <= ALIKE:
                    known.append(n)
        return known


def _units(batch: Batch) -> int:
    return batch.mask.bit_count()
