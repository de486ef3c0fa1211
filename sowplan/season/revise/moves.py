"""Small changes to a season begun, in which what has to make way is harvested about as planned."""

from __future__ import annotations

from sowplan.season.choices.instance import Batch
from sowplan.season.search.moves import Moves

ALIKE = 6
"""Most ways of each kind of place and tray in which a batch that makes way is tried."""


class GentleMoves(Moves):
    """The moves on a season begun: few are tried, so each looks harder for a place."""

    def __init__(self, *args):
        super().__init__(*args)
        self._ways: dict[tuple[int, int], list[int]] = {}

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
