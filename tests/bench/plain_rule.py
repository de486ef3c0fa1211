"""The rule of thumb as it is mostly kept: so many plants every so many weeks, whatever stands.

`sowplan.season.search.interval` counts what earlier sowings will still bring and tries one sowing
after another where there is no room. Few do that on paper. Here each turn is sown for what its own
weeks want, by someone who knows the growth dates, into the first place with room, as much of it as
goes in; that is all. Only a yardstick: no command offers it.
"""

from __future__ import annotations

import numpy as np

from sowplan.season.choices.instance import Instance
from sowplan.season.search.interval import INTERVALS_DAYS, Turns, walk_through
from sowplan.season.search.standing import Score, Standing


class PlainTurns(Turns):
    """Turns of which each is for its own weeks, sown once and not thought of again."""

    def lacking(self, here: np.ndarray) -> np.ndarray:
        """Return what is wanted in the turn, whatever stands."""
        return np.where(here, self.case.periods.need, 0.0)

    def sow(self) -> None:
        """Sow for the turn what finds room on the day that suits best."""
        option, plants = next(self.ways())
        batch = self.standing.place(self.crop, option, plants)
        batch = batch or self.largest(option, plants - 1)
        if batch is not None:
            self.standing.add(batch)


def plain_season(instance: Instance) -> Score:
    """Return what the best of the intervals comes to, the least missing being the best."""
    found = []
    for interval in INTERVALS_DAYS:
        standing = Standing(instance)
        walk_through(standing, interval, PlainTurns)
        found.append(standing.score())
    return min(found, key=lambda score: (score.missing, score.wasted))
