"""Making a season begun better again while its sowings to come change as little as can be.

The same search as for a new season, from the old plan instead of from bare beds, cooler and
shorter, and with a price on each sowing to come that is not as it was. Afterwards whatever can be
as it was at no cost is put back.
"""

from __future__ import annotations

from collections.abc import Sequence

from sowplan.season.instance import Batch, Instance
from sowplan.season.model import Relaxation
from sowplan.season.polish import lengthen, trim
from sowplan.season.search import Search
from sowplan.season.standing import Standing

CHANGE = 0.05
"""What a sowing that is not as it was costs [want-weeks missing]."""
FEW, DEAR = 0.1, 0.1
"""Beyond this share of the sowings to come, what each further change costs [want-weeks missing]."""
LEAST_FEW = 3
"""So many changes are few in any garden."""
WARMTH = 0.01
"""How much worse a season may be kept at first [want-weeks], about."""


class Reviser(Search):
    """A season begun, and the batches to come that are as the plan had them."""

    def __init__(
        self,
        instance: Instance,
        relaxation: Relaxation,
        standing: Standing,
        kept: Sequence[Batch],
        many: Sequence[int],
    ):
        """``many`` is the number of batches the plan had still to sow, by crop."""
        super().__init__(instance, relaxation)
        self.standing = standing
        self.hopeless = [felt.hopeless for felt in standing.feeling]
        self.as_it_was = {id(batch): batch for batch in kept}
        self.many = list(many)

    def changes(self) -> int:
        """Return how many sowings to come are not as they were: moved, resized, dropped, added."""
        crops = len(self.many)
        same, new = [0] * crops, [0] * crops
        kept = self.as_it_was
        for batch in self.standing.batches.values():
            if not batch.fixed:
                (same if id(batch) in kept else new)[batch.crop] += 1
        return sum(
            max(many - kept_of, new_of)
            for many, kept_of, new_of in zip(self.many, same, new, strict=True)
        )

    def cost(self) -> float:
        """Return the season's score as one number, what has changed counted in."""
        changes = self.changes()
        beyond = max(0.0, changes - max(FEW * sum(self.many), LEAST_FEW))
        return super().cost() + CHANGE * changes + (DEAR - CHANGE) * beyond

    def clear_and_fill(self) -> None:
        """Make no such step: clearing much and filling in again is change for its own sake."""

    def mend(self, steps: int) -> None:
        """Fill in what is missing, try changes for so many steps, and put back what can be."""
        self.keep()
        self.now = self.low = self.cost()
        self._fill_in()
        if self.instance.spots and steps:
            self.anneal(steps, None, WARMTH)
            self.restore()
        self.put_back()
        self.finish()

    def _fill_in(self) -> None:
        """Add batches for what is missing, wherever there is room, that are worth a change."""
        order = sorted(
            (n for n, case in enumerate(self.instance.crops) if len(case.periods)),
            key=self._by_worth,
        )
        for crop in order:
            while True:
                mark = len(self.standing.log)
                if not self.insert(crop, 0.0, False):
                    break
                after = self.cost()
                if after >= self.now - 1e-9:
                    self.standing.undo(mark)
                    break
                self.now = self.low = after
        self.standing.log.clear()
        self.keep()

    def put_back(self) -> None:
        """Let batches be as they were where that costs nothing, and drop new ones not worth it."""
        standing = self.standing
        self.now = self.cost()
        for old in self.as_it_was.values():
            if not any(batch is old for batch in standing.of_crop[old.crop].values()):
                self._restore_one(old)
        for number, batch in list(standing.batches.items()):
            if batch.fixed or id(batch) in self.as_it_was:
                continue
            mark = len(standing.log)
            standing.remove(number)
            self._keep_if_better(mark)
        standing.log.clear()

    def _restore_one(self, old: Batch) -> None:
        """Put one batch back in the stead of a new one of its crop, if that costs nothing."""
        standing = self.standing
        rows = self.instance.crops[old.crop].options.rows
        sow, into, clear, *_ = rows[old.option]
        new = sorted(
            (abs(rows[batch.option][0] - sow), number)
            for number, batch in standing.of_crop[old.crop].items()
            if not batch.fixed and id(batch) not in self.as_it_was
        )
        for number in [n for _, n in new[:3]] + [None]:
            mark = len(standing.log)
            if number is not None:
                standing.remove(number)
            if old.mask & ~standing.rooms[old.spot].free(into, clear):
                standing.undo(mark)
                continue
            if old.tray >= 0 and standing.cells[old.tray, max(sow, 0) : into].min() < old.cells:
                standing.undo(mark)
                continue
            if not standing.rotates(old.spot, old.crop, into, clear):
                standing.undo(mark)
                continue
            standing.add(old)
            if self._keep_if_better(mark):
                return

    def _keep_if_better(self, mark: int) -> bool:
        """Keep what was done since the log was so long if it costs no more; return whether."""
        after = self.cost()
        if after < self.now + 1e-9:
            self.now = after
            return True
        self.standing.undo(mark)
        return False

    def finish(self) -> None:
        """Take nothing along for nothing: of what is new all, of what was there whole batches."""
        standing = self.standing
        for number, batch in list(standing.batches.items()):
            if not batch.fixed and id(batch) in self.as_it_was:
                felt = standing.score().felt
                mark = len(standing.log)
                standing.remove(number)
                if standing.score().felt > felt + 1e-9:
                    standing.undo(mark)
        old = [n for n, batch in standing.batches.items() if id(batch) in self.as_it_was]
        trim(standing, old)
        lengthen(standing, old)


def steps_for(instance: Instance) -> int:
    """Return the steps to try, by the places and the periods to serve."""
    size = len(instance.spots) * sum(len(case.periods) for case in instance.crops)
    return int(1500 + 3 * size**0.5)
