"""Making a season begun better again while its sowings to come change as little as can be.

From the old plan instead of from bare beds. First what is missing is sown in some bed cleared of
what was to come there, which goes elsewhere: a hand's breadth free in each of ten beds serves
nobody, and up to a tenth of the sowings to come may change. Then small changes are tried, most of
them for what is missing. Afterwards whatever can be as it was at no cost is put back.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

from sowplan.season.choices.instance import Batch, Instance
from sowplan.season.revise.keeping import CHANGE, End, Keeping
from sowplan.season.revise.moves import GentleMoves
from sowplan.season.search.search import progress_to
from sowplan.season.search.standing import Standing
from sowplan.season.watch import Watch

FOR_MISSING = 0.7
"""Share of the steps that try to sow what is missing; the others try changes by chance."""
NEARLY = 0.0003
"""Share of what is wanted that is not worth long work to bring."""
SAME = 1e-7
"""Missing by so little more is no more [want-weeks]."""


IN_BEDS, BED_WARMTH = 0.2, 0.1
"""So many times whole beds are tried first, as a share of the small steps, and how much worse a
season may be kept then at first [want-weeks]."""


class Effort(NamedTuple):
    """How a garden is gone through, where it has no more places than so many.

    ``steps`` in each go, as a multiple of `steps_for`; ``warmths``, for each go: how much worse a
    season may be kept at first [want-weeks]; ``refill``: the share of the steps of a warm go that
    clear some ground and fill it in again, what stood there first.
    """

    places: float
    steps: float
    warmths: tuple[float, ...]
    refill: float


EFFORTS = (
    Effort(12, 0.5, (0.0, 0.15, 0.3), 0.05),
    Effort(40, 1.5, (0.02,), 0.05),
    Effort(150, 1, (0.02,), 0.02),
    Effort(math.inf, 0.5, (0.02,), 0.02),
)
"""In a small garden little fits besides, and several changes have to go together; in a large one
each step takes longer."""
PATIENCE = 200
"""Fruitless steps after which a go that keeps only what is no worse is hardly worth its time."""


class Reviser(Keeping):
    """The search for a season begun that lacks less."""

    def mend(self, steps: int, watch: Watch | None = None, goes: int = 1) -> bool:
        """Try changes for so many steps, fill in what is still missing, put back what can be.

        A small garden is gone through several times, and the best kept: by steps that are no worse,
        for few changes may do; then in whole beds first and by worse steps too at first, as several
        changes may be needed before anything is better. With more ``goes`` so many times over.
        Ctrl-C keeps the best so far, of which a later go's is none that lacks more; returns whether
        it was stopped so.
        """
        watch = watch or Watch()
        effort = effort_for(self.instance)
        self.drop_needless()
        self.had_to = self.changes()
        self.now = self.cost()
        self.best_yet = self.end()
        begun = self.best_yet.batches
        ends: list[End] = []
        steps = int(steps * effort.steps)
        beds = int(steps * IN_BEDS)
        warmths = effort.warmths * goes
        stopped = False
        progress = progress_to(watch)

        def told(done: int) -> None:
            gone, all_ = len(ends) * (beds + steps), len(warmths) * (beds + steps)
            progress(gone + done, all_, self.best_yet.score)

        try:
            with watch.breakable():
                for warm in warmths:
                    self.stand(begun)
                    if self.instance.spots:
                        if warm:
                            self._sow_in_beds(beds, told)
                        refill = effort.refill if warm else 0.0
                        self._try_small(steps, warm, refill, lambda done: told(beds + done))
                    self._fill_in()
                    self.put_back()
                    ends.append(self.end())
        except KeyboardInterrupt:
            stopped = True
            self.standing = Standing(self.instance)  # the old one may be half changed
            ends.append(self.best_yet)
        best = _best_of(ends, len(effort.warmths))
        self.stand(best)
        try:
            with watch.breakable():
                self.finish()
        except KeyboardInterrupt:
            stopped = True
            self.standing = Standing(self.instance)
            self.stand(best)
        self.keep()
        return stopped

    def _sow_in_beds(self, tries: int, told: Callable[[int], None]) -> None:
        """Try to sow what is missing in whole beds; up to the tenth no change costs anything."""
        moves = GentleMoves(self.standing, self.chance, self.costs())

        def change(lacking: int) -> set[int] | None:
            evicted = moves.sow_in_bed(lacking)
            if evicted:
                self.fill(list(evicted), 0.0)
            return evicted

        self.price = 0.0
        try:
            self._try(change, tries, BED_WARMTH, told)
        finally:
            self.price = CHANGE
        self.now = self.cost()
        self._note(self.end())

    def _try_small(
        self, steps: int, warm: float, refill: float, told: Callable[[int], None]
    ) -> None:
        """Try small changes; of the steps ``refill`` is the share of large ones."""
        moves = GentleMoves(self.standing, self.chance, self.costs())
        self._try(lambda lacking: self._change(moves, lacking, refill), steps, warm, told)

    def _try(
        self,
        change: Callable[[int], set[int] | None],
        steps: int,
        warm: float,
        told: Callable[[int], None],
    ) -> None:
        """Try changes and keep those that are no worse; or, ``warm``, not much worse.

        Each is made for something that is lacking. Ends with the best that was found.
        """
        standing, draw = self.standing, self.chance.random
        enough = self.relaxation.bound + NEARLY * self.instance.wanted
        self.now = self.cost()
        best = self.end()
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
            touched = change(lacking)
            fruitless += 1
            after = None if touched is None else self.cost()
            heat = warm * (1.0 - done / steps) ** 2
            if after is None or after > self.now + heat * -math.log(max(draw(), 1e-12)):
                standing.undo(mark)
                continue
            self.now = after
            standing.log.clear()
            if after < best.cost - 1e-9:
                best, fruitless = self.end(), 0
                self._note(best)
        if self.now > best.cost:
            self.stand(best.batches)

    def _note(self, end: End) -> None:
        """Remember a season as the best yet, if it is; a change then costs what it should."""
        if self.price == CHANGE and end.cost < self.best_yet.cost:
            self.best_yet = end

    def _change(self, moves: GentleMoves, lacking: int, refill: float) -> set[int] | None:
        """Make one change, most often for what is lacking; return crops touched, None if it fails.

        Of so many ``refill`` is the share that clear some ground and fill it in again.
        """
        kind = self.chance.random()
        if refill and self.chance.random() < refill:
            touched = self.clear_and_fill()
            now, self.now = self.now, self.cost()
            self.restore_all()
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


def _best_of(ends: list[End], in_a_go: int) -> dict[int, Batch]:
    """Return the best end of the first go, or of those after it one in which no more is missing."""
    best = min(ends[:in_a_go], key=lambda end: end.cost)
    for end in ends[in_a_go:]:
        if end.cost < best.cost and end.score.missing <= best.score.missing + SAME:
            best = end
    return best.batches


def effort_for(instance: Instance) -> Effort:
    """Return how a garden of so many places is gone through."""
    return next(effort for effort in EFFORTS if len(instance.spots) <= effort.places)


def steps_for(instance: Instance) -> int:
    """Return the steps to try at most each time, by the places and the periods to serve."""
    return int(1500 + 3 * instance.extent**0.5)
