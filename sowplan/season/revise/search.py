"""Making a season begun better again while its sowings to come change as little as can be.

From the old plan instead of from bare beds, only changes that make it better are kept, most of them
tried for what is missing. Each sowing to come that is not as it was has its price, and of more than
a tenth of them the search may not touch any. What is sown besides costs what a sowing costs and no
more: it changes nothing that the gardener had planned. Afterwards whatever can be as it was at no
cost is put back.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import islice
from typing import NamedTuple

from sowplan.season.bound.model import Relaxation
from sowplan.season.choices.instance import Batch, Instance
from sowplan.season.revise.kept import can_stand
from sowplan.season.revise.moves import GentleMoves
from sowplan.season.search.polish import lengthen, trim
from sowplan.season.search.search import Search, progress_to
from sowplan.season.search.standing import Score, Standing
from sowplan.season.watch import Watch

CHANGE = 0.05
"""What a sowing to come that is not as it was costs [want-weeks missing]."""
FEW, LEAST_FEW = 0.1, 2
"""Share of the sowings to come that may change besides what has to; in any garden so many may."""
TOO_MANY = 1e6
"""What each change beyond that costs [want-weeks missing]: more than any season is worth."""
ADDED = 0.02
"""What a batch costs besides, of those more than were to come: it is one thing more to read of."""
FOR_MISSING = 0.7
"""Share of the steps that try to sow what is missing; the others try changes by chance."""
NEARLY = 0.0003
"""Share of what is wanted that is not worth long work to bring."""


SAME = 1e-7
"""Missing by so little more is no more [want-weeks]."""


class End(NamedTuple):
    """What going through a garden came to: the season with its cost and its score."""

    cost: float
    score: Score
    batches: dict[int, Batch]


class Effort(NamedTuple):
    """How a garden is gone through, where it has no more places than so many.

    ``steps`` in each go, as a multiple of `steps_for`; ``warmths``, for each go: how much worse a
    season may be kept at first [want-weeks]; ``refill``: the share of the steps of a warm go that
    clear some ground and fill it in again, what stood there first.
    """

    places: float
    steps: int
    warmths: tuple[float, ...]
    refill: float


EFFORTS = (
    Effort(12, 1, (0.0, 0.15, 0.3), 0.05),
    Effort(40, 3, (0.02,), 0.05),
    Effort(150, 2, (0.02,), 0.02),
    Effort(math.inf, 1, (0.02,), 0.02),
)
"""In a small garden little fits besides, and several changes have to go together; in a large one
each step takes longer."""
MORE_ROWS = 12
"""By so many rows at most a new sowing is made larger at the end."""
PATIENCE = 200
"""Fruitless steps after which a go that keeps only what is no worse is hardly worth its time."""


class Reviser(Search):
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
        return super().cost() + CHANGE * changes + TOO_MANY * beyond + ADDED * added

    def mend(self, steps: int, watch: Watch | None = None, goes: int = 1) -> bool:
        """Try changes for so many steps, fill in what is still missing, put back what can be.

        A small garden is gone through several times, and the best kept: by steps that are no worse,
        for few changes may do; then by worse ones too at first, as several changes may be needed
        before anything is better. With more ``goes`` so many times over. Ctrl-C keeps the best so
        far, of which a later go's is none that lacks more; returns whether it was stopped so.
        """
        watch = watch or Watch()
        effort = effort_for(self.instance)
        self._drop_needless()
        self.had_to = self.changes()
        self.now = self.cost()
        self.best_yet = self._end()
        begun = self.best_yet.batches
        ends: list[End] = []
        steps *= effort.steps
        warmths = effort.warmths * goes
        stopped = False
        progress = progress_to(watch)

        def told(done: int) -> None:
            progress(len(ends) * steps + done, steps * len(warmths), self.best_yet.score)

        try:
            with watch.breakable():
                for warm in warmths:
                    self._stand(begun)
                    if self.instance.spots:
                        self._try_changes(steps, warm, effort.refill if warm else 0.0, told)
                    self._fill_in()
                    self.put_back()
                    ends.append(self._end())
        except KeyboardInterrupt:
            stopped = True
            self.standing = Standing(self.instance)  # the old one may be half changed
            ends.append(self.best_yet)
        best = _best_of(ends, len(effort.warmths))
        self._stand(best)
        try:
            with watch.breakable():
                self.finish()
        except KeyboardInterrupt:
            stopped = True
            self.standing = Standing(self.instance)
            self._stand(best)
        self.keep()
        return stopped

    def _end(self) -> End:
        """Return what stands now."""
        return End(self.now, self.standing.score(), dict(self.standing.batches))

    def _stand(self, batches: dict[int, Batch]) -> None:
        """Let just these batches stand."""
        self.best = (self.standing.score(), batches)
        self.restore()
        self.now = self.cost()

    def _try_changes(
        self, steps: int, warm: float, refill: float, told: Callable[[int], None]
    ) -> None:
        """Try small changes and keep those that are no worse; or, ``warm``, not much worse.

        Of the steps ``refill`` is the share of large ones. Ends with the best that was found.
        """
        standing, draw = self.standing, self.chance.random
        moves = GentleMoves(standing, self.chance, self.costs())
        enough = self.relaxation.bound + NEARLY * self.instance.wanted
        best = self._end()
        fruitless = 0
        for done in range(steps):
            if done % 128 == 0:
                told(done)
            lacking = self._pick_lacking()
            if lacking is None or (fruitless > PATIENCE and not warm):
                break
            if standing.score().felt <= enough:
                break
            mark = len(standing.log)
            touched = self._change(moves, lacking, refill)
            fruitless += 1
            after = None if touched is None else self.cost()
            heat = warm * (1.0 - done / steps) ** 2
            if after is None or after > self.now + heat * -math.log(max(draw(), 1e-12)):
                standing.undo(mark)
                continue
            self.now = after
            standing.log.clear()
            if after < best.cost - 1e-9:
                best, fruitless = self._end(), 0
                self.best_yet = min(self.best_yet, best, key=lambda end: end.cost)
        if self.now > best.cost:
            self._stand(best.batches)

    def _change(self, moves: GentleMoves, lacking: int, refill: float) -> set[int] | None:
        """Make one change, most often for what is lacking; return crops touched, None if it fails.

        Of so many ``refill`` is the share that clear some ground and fill it in again.
        """
        kind = self.chance.random()
        if refill and self.chance.random() < refill:
            touched = self.clear_and_fill()
            now, self.now = self.now, self.cost()
            self._restore_all()
            self.now = now
            return touched
        if kind < FOR_MISSING:
            return moves.add(lacking)
        return self._by_chance(moves, (kind - FOR_MISSING) / (1.0 - FOR_MISSING))

    @staticmethod
    def _by_chance(moves: GentleMoves, kind: float) -> set[int] | None:
        """Make a change to any batch; ``kind``, 0 to 1, says which."""
        if kind < 0.35:
            return moves.resize()
        if kind < 0.8:
            return moves.shift()
        return moves.drop() if kind < 0.85 else moves.merge()

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
                self.now = after
        self.standing.log.clear()

    def put_back(self) -> None:
        """Let batches be as they were where that costs nothing, and drop new ones not worth it."""
        standing = self.standing
        self.now = self.cost()
        self._restore_all()
        for number, batch in list(standing.batches.items()):
            if batch.fixed or id(batch) in self.as_it_was:
                continue
            mark = len(standing.log)
            standing.remove(number)
            self._keep_if_better(mark)
        standing.log.clear()

    def _restore_all(self) -> None:
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

    def _drop_needless(self) -> None:
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


def _best_of(ends: list[End], in_a_go: int) -> dict[int, Batch]:
    """Return the best end of the first go, or of those after it one in which no more is missing."""
    best = min(ends[:in_a_go], key=lambda end: end.cost)
    for end in ends[in_a_go:]:
        if end.cost < best.cost and end.score.missing <= best.score.missing + SAME:
            best = end
    return best.batches


def few_of(many: int) -> int:
    """Return how many of so many sowings to come may be changed, besides what had to be."""
    return max(LEAST_FEW, int(FEW * many))


def effort_for(instance: Instance) -> Effort:
    """Return how a garden of so many places is gone through."""
    return next(effort for effort in EFFORTS if len(instance.spots) <= effort.places)


def steps_for(instance: Instance) -> int:
    """Return the steps to try at most each time, by the places and the periods to serve."""
    return int(1500 + 3 * instance.extent**0.5)
