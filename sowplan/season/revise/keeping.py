"""A season begun whose sowings to come stay as they are where they can, and what a change costs.

Each sowing to come that is not as it was has its price, and of more than a tenth of them the search
may not touch any. What is sown besides costs what a sowing costs and no more: it changes nothing
that the gardener had planned. Whatever can be as it was at no cost is put back.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import islice
from typing import NamedTuple

from sowplan.season.bound.model import Relaxation
from sowplan.season.choices.instance import Batch, Instance
from sowplan.season.revise.kept import can_stand
from sowplan.season.search.polish import lengthen, trim
from sowplan.season.search.search import Search
from sowplan.season.search.standing import Score, Standing

CHANGE = 0.02
"""What a sowing to come that is not as it was costs [want-weeks missing]."""
FEW, LEAST_FEW = 0.1, 2
"""Share of the sowings to come that may change besides what has to; in any garden so many may."""
TOO_MANY = 1e6
"""What each change beyond that costs [want-weeks missing]: more than any season is worth."""
ADDED = 0.02
"""What a batch costs besides, of those more than were to come: it is one thing more to read of."""


class End(NamedTuple):
    """What going through a garden came to: the season with its cost and its score."""

    cost: float
    score: Score
    batches: dict[int, Batch]


MORE_ROWS = 12
"""By so many rows at most a new sowing is made larger at the end."""


class Keeping(Search):
    """A season begun, and the batches to come that are as the plan had them."""

    def __init__(
        self,
        instance: Instance,
        relaxation: Relaxation,
        standing: Standing,
        kept: Sequence[Batch],
        many: int,
        moved: Sequence[Batch] = (),
    ):
        """``kept`` stand as planned, of the ``many`` batches that the plan had still to sow.

        ``moved`` could not, and stand as near to it as can be: to change them once more costs as
        much, but is no change too many.
        """
        super().__init__(instance, relaxation)
        self.standing = standing
        self.hopeless = [felt.hopeless for felt in standing.feeling]
        self.as_it_was = {id(batch): batch for batch in (*kept, *moved) if not batch.fixed}
        self.moved = set(map(id, moved))
        self.many = many
        self.price = CHANGE
        self.had_to = 0  # of those, what could not stay as it was
        self.needless: set[int] = set()  # identities of what brings nothing that is wanted now
        self.best_yet = End(math.inf, standing.score(), {})

    def changes(self) -> int:
        """Return how many sowings to come are not as they were: moved, resized or dropped."""
        return self.many - len(self.as_it_was) + len(self._changed())

    def _changed(self) -> set[int]:
        """Return the identities of those that stood at first and do not any more."""
        return self.as_it_was.keys() - set(map(id, self.standing.batches.values()))

    def cost(self) -> float:
        """Return the season's score as one number, what has changed counted in."""
        changed = self._changed()
        changes = self.many - len(self.as_it_was) + len(changed) - self.had_to
        beyond = max(0, len(changed - self.moved) - few_of(self.many))
        added = max(0, self.standing.spread - self.many)
        return super().cost() + self.price * changes + TOO_MANY * beyond + ADDED * added

    def end(self) -> End:
        """Return what stands now."""
        return End(self.now, self.standing.score(), dict(self.standing.batches))

    def stand(self, batches: dict[int, Batch]) -> None:
        """Let just these batches stand."""
        self.best = (self.standing.score(), batches)
        self.restore()
        self.now = self.cost()

    def put_back(self) -> None:
        """Let batches be as they were where that costs nothing, and drop new ones not worth it."""
        standing = self.standing
        self.now = self.cost()
        self.restore_all()
        for number, batch in list(standing.batches.items()):
            if batch.fixed or id(batch) in self.as_it_was:
                continue
            mark = len(standing.log)
            standing.remove(number)
            self._keep_if_better(mark)
        standing.log.clear()

    def restore_all(self) -> None:
        """Let batches be as they were where that costs nothing."""
        there = set(map(id, self.standing.batches.values()))
        for number, old in self.as_it_was.items():
            if number not in there:
                self._restore_one(old)

    def _restore_one(self, old: Batch) -> None:
        """Put one batch back in the stead of a new one of its crop, if that costs nothing."""
        standing = self.standing
        rows = self.instance.crops[old.crop].options.rows
        sow = rows[old.option][0]
        new = sorted(
            (abs(rows[batch.option][0] - sow), number)
            for number, batch in standing.of_crop[old.crop].items()
            if not batch.fixed and id(batch) not in self.as_it_was
        )
        for number in [n for _, n in new[:3]] + [None]:
            mark = len(standing.log)
            if number is not None:
                standing.remove(number)
            if not can_stand(standing, old):
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

    def drop_needless(self) -> None:
        """Take away sowings to come that bring nothing any more, as other things are wanted now.

        The garden file calls for that: they are none of the changes that the search has to pay.
        """
        standing = self.standing
        felt = standing.score().felt
        for number, batch in list(standing.batches.items()):
            if id(batch) in self.as_it_was:
                mark = len(standing.log)
                standing.remove(number)
                if standing.score().felt > felt + 1e-9:
                    standing.undo(mark)
                    continue
                del self.as_it_was[id(batch)]
                self.needless.add(id(batch))
                self.many -= 1
        standing.log.clear()

    def finish(self) -> None:
        """Take nothing along for nothing: of what is new all, of what was there whole batches.

        Those only as long as that is no change too many: they do no harm.
        """
        standing = self.standing
        self.now = self.cost()
        self._grow_new()
        for number, batch in list(standing.batches.items()):
            if not batch.fixed and id(batch) in self.as_it_was:
                felt = standing.score().felt
                mark = len(standing.log)
                standing.remove(number)
                if standing.score().felt > felt + 1e-9:
                    standing.undo(mark)
                else:
                    self._keep_if_better(mark)
        old = [n for n, batch in standing.batches.items() if id(batch) in self.as_it_was]
        trim(standing, old)
        lengthen(standing, old)

    def _grow_new(self) -> None:
        """Let what is new be of more plants, row by row, where there is room and that pays.

        What did not fit whole was sown with a share of its plants less, or more than one.
        """
        standing = self.standing
        for number, batch in list(standing.batches.items()):
            if batch.fixed or id(batch) in self.as_it_was or number not in standing.batches:
                continue
            start = len(standing.log)
            standing.remove(number)
            begun = len(standing.log)
            best: tuple[float, Batch | None] = (self.now - 1e-9, None)
            for plants in self._more_rows(batch):
                found = standing.place(batch.crop, batch.option, plants, [batch.spot])
                if found is None:
                    break
                standing.add(found)
                best = min(best, (self.cost(), found), key=lambda end: end[0])
                standing.undo(begun)
            if best[1] is None:
                standing.undo(start)
            else:
                standing.add(best[1])
                self.now = best[0]
        standing.log.clear()

    def _more_rows(self, batch: Batch) -> list[int]:
        """Return how many plants a batch would have with some more full rows, pots or holes."""
        case = self.instance.crops[batch.crop]
        room = case.units.get(case.options.rows[batch.option][3], [])
        ends = [*room, math.inf]
        full = (n for n in range(batch.plants + 1, len(room)) if ends[n] < ends[n + 1])
        return list(islice(full, MORE_ROWS))


def few_of(many: int) -> int:
    """Return how many of so many sowings to come may be changed, besides what had to be."""
    return max(LEAST_FEW, int(FEW * many))
