"""Making a season better on the real beds: clear a little, fill in again, keep what is better.

The search works on whole batches in their real places, so that whatever it holds can be sown. Its
work is counted in rounds; the same rounds give the same season on any machine.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from contextlib import nullcontext

from sowplan.season.bound.model import Relaxation
from sowplan.season.choices.instance import Batch, Instance, Ints
from sowplan.season.search.amounts import sow_amounts
from sowplan.season.search.fewer import gather
from sowplan.season.search.later import later
from sowplan.season.search.moves import Moves
from sowplan.season.search.polish import lengthen, trim
from sowplan.season.search.refill import Refill
from sowplan.season.search.standing import Score, Standing
from sowplan.season.watch import Watch

HEAT = 0.06
"""How much worse a season may be kept at first [want-weeks], about."""

WASTE = 0.05
"""What a want-week grown for nothing costs [want-weeks missing]: as much as a sowing."""

AGAIN_HEATS = (0.015, HEAT)
"""The same where a season found is gone on with: in turn so little that hardly any of it is lost
again, and as much as at first, for where little leads nowhere."""

LAST_STEPS, LAST_AT_HOME, LAST_HEAT, LAST_WASTE = 1.0, 0.3, 0.01, 0.2
"""Share of the rounds in which the season found is gone over once more, hardly anything worse being
kept: fewer in a home garden, of which a plan is wanted at once. Only here what is grown for nothing
(not what is eaten late) costs as much as it should to a gardener, who would not grow twenty
lettuces to eat one more: before, when plants are moved about, it is soon lost again."""

WORK = 0.05
"""What a sowing costs [want-weeks missing]: twenty of them are worth a week of one want."""

PART = 0.01
"""What each strip or place costs over which sowings are spread [want-weeks missing]."""
FIRST_STEPS = 0.12
"""Share of the rounds given to each way of beginning before one of them is gone on with."""
GOES, SMALL, GOOD = 2, 400, 0.004
"""A garden of at most ``SMALL`` places times periods is gone through up to so many times, sharing
the rounds, until no more than such a share of what is wanted is missing beyond the bound: in a bed
or two everything hangs together, and one go may end far from the best."""
NEARLY = 0.001
"""Share of what is wanted that is not worth long work to bring."""

HOME = 3000
"""A garden of at most so many places times periods is a home garden to the search."""
REFILL, REFILL_AT_HOME, REFILL_LAST = 0.02, 0.12, 0.06
"""Share of the steps that clear some ground and fill it in again: in a few full beds what is in the
way must mostly go all at once, in many beds one strip after another finds another place. A home
garden gone over for the last time has its beds filled as they will be."""

End = tuple[float, tuple[Score, dict[int, Batch]]]
"""What a go came to: its cost, and its best season."""

Progress = Callable[[int, int, Score], None]
"""Called with rounds done, rounds in all, and the best score."""


class Search(Refill):
    """The search for a season: the best so far, and how more is tried."""

    def __init__(self, instance: Instance, relaxation: Relaxation, seed: int = 1):
        super().__init__(instance, relaxation, seed)
        self.low: float | None = None
        self.heat, self.waste = HEAT, WASTE
        self.best: tuple[Score, dict[int, Batch]] | None = None
        self.first: tuple[Score, dict[int, Batch]] | None = None  # had before any search
        self.found: dict[int, Batch] = {}

    @property
    def _is_home(self) -> bool:
        return self.instance.extent <= HOME

    # -- improving

    def run(
        self, rounds: int, watch: Watch | None = None, late: Sequence[Ints] | None = None
    ) -> bool:
        """Improve for so many rounds, or until nothing can be better; return whether stopped.

        Ctrl-C keeps the best season so far. ``late`` as in `sowplan.season.search.later`.
        """
        self.keep()
        ends: list[End] = []
        goes = GOES if _is_small(self.instance) else 1
        last = self._last(rounds)

        def work(progress: Progress | None) -> None:
            self._go_through(goes, rounds // goes, ends, progress, rounds + last)
            self.go_over(last, progress, rounds, rounds + last)

        return self._done(work, ends, watch, late)

    def go_on(
        self,
        since: dict[int, Batch],
        rounds: int,
        go: int,
        watch: Watch | None = None,
        late: Sequence[Ints] | None = None,
    ) -> bool:
        """Improve a season that was ``found`` for the ``go``-th time; return whether stopped."""
        self._take_up(since)
        last = self._last(rounds)

        def work(progress: Progress | None) -> None:
            self.heat, self.waste = AGAIN_HEATS[(go - 1) % len(AGAIN_HEATS)], WASTE
            self._improve(rounds, progress, 0, rounds + last)
            self._restore_fewer()
            self.go_over(last, progress, rounds, rounds + last)

        return self._done(work, [], watch, late)

    def _done(
        self,
        work: Callable[[Progress | None], None],
        ends: list[End],
        watch: Watch | None,
        late: Sequence[Ints] | None,
    ) -> bool:
        """Do some work on the season, and the last touches; return whether it was stopped.

        What it came to before those is ``found``.
        """
        told = progress_to(watch)

        def progress(done: int, of: int, _: Score) -> None:
            told(done, of, self._best_of_all(ends)[0])

        stopped = False
        try:
            with watch.breakable() if watch else nullcontext():
                work(progress if told else None)
        except KeyboardInterrupt:
            stopped = True
            self.standing = Standing(self.instance)  # the old one may be half changed
            self.best = self._best_of_all(ends)
            self._restore_fewer()
        self.waste = LAST_WASTE
        self.found = self.best[1]
        trim(self.standing)
        later(self.standing, late)
        lengthen(self.standing)
        self.keep()
        return stopped

    def _best_of_all(self, ends: list[End]) -> tuple[Score, dict[int, Batch]]:
        """Return the best season of all that were come to, and of those begun with."""
        known = [self.best, *(best for _, best in ends), *([self.first] if self.first else [])]
        return min(known, key=lambda best: best[0].felt)

    def _take_up(self, batches: dict[int, Batch]) -> None:
        """Let these batches stand, and no others."""
        self.best = (self.standing.score(), batches)
        self.restore()
        self.keep()

    def _last(self, rounds: int) -> int:
        """Return the rounds in which a season is gone over, of the rounds it was found in."""
        return int(rounds * (LAST_AT_HOME if self._is_home else LAST_STEPS))

    def go_over(self, last: int, progress: Progress | None, gone: int, of: int) -> None:
        """Go over the season once more with hardly any heat, waste costing what it should."""
        self.heat, self.waste = LAST_HEAT, LAST_WASTE
        self._improve(last, progress, gone, of)

    def _go_through(
        self, goes: int, rounds: int, ends: list[End], progress: Progress | None, of: int
    ) -> None:
        """Go through the garden up to so many times; the best of all it came to stands then."""
        bare = self.best
        for go in range(goes):
            self.best = bare
            self.restore()
            self._go(rounds, ends, progress, go * rounds, of)
            if self._is_good(min(ends, key=_cost)[1][0]):
                break
        self.best = min(ends, key=_cost)[1]
        self._restore_fewer()

    def _restore_fewer(self) -> None:
        """Bring the best season back, with as few sowings as it can do with."""
        self.restore()
        trim(self.standing)
        gather(self.standing)

    def _go(
        self, rounds: int, ends: list[End], progress: Progress | None, gone: int, of: int
    ) -> None:
        """Fill in and improve once, with so many rounds; note how each beginning and it ended."""
        mine: list[End] = []
        short = int(rounds * FIRST_STEPS)
        for begin in self._beginnings():
            begin()
            self._improve(short, progress, gone + len(mine) * short, of)
            mine.append((self.cost(), self.best))
            ends.append(mine[-1])
        self.best = min(mine, key=_cost)[1]
        self.restore()
        begun = len(mine) * short
        self._improve(rounds - begun, progress, gone + begun, of)
        ends.append((self.cost(), self.best))

    def _improve(self, steps: int, progress: Progress | None, gone: int, of: int) -> None:
        """Anneal from what stands, so many rounds being gone; the best found stands afterwards."""

        def told(done: int, _: int, score: Score) -> None:
            progress(gone + done, of, score)

        self.keep()
        self.now = self.low = self.cost()
        if self.instance.spots:
            self.anneal(steps, told if progress is not None else None)
        self.restore()

    def _is_good(self, score: Score) -> bool:
        """Return whether a season lacks so little that it need not be sought again."""
        return score.felt <= self.relaxation.bound + GOOD * self.instance.wanted

    def _is_nearly_best(self) -> bool:
        """Return whether next to nothing less can be missing, nor be grown for nothing at last."""
        score = self.best[0]
        left = score.felt - self.relaxation.bound
        if self.waste == LAST_WASTE:
            left += score.wasted
        return left <= NEARLY * self.instance.wanted

    def _beginnings(self) -> list[Callable[[], None]]:
        """Return the ways to fill the beds before anything is improved."""
        bare = self.best
        crops = [n for n, case in enumerate(self.instance.crops) if len(case.periods)]
        order = sorted(crops, key=self._by_worth)

        def offers() -> None:
            self.fill(order, 0.0)

        def amounts() -> None:
            self.best = bare
            self.restore()
            sow_amounts(self.standing, self.relaxation.amounts)
            self.fill(order, 0.0)

        return [offers, amounts]

    def anneal(self, steps: int, progress: Progress | None) -> None:
        """Try small moves, worse ones too at first, ever fewer of them as the work goes on."""
        moves = Moves(self.standing, self.chance, self.costs())
        refill = REFILL
        if self._is_home:
            refill = REFILL_LAST if self.waste == LAST_WASTE else REFILL_AT_HOME
        standing, chance = self.standing, self.chance
        end = steps
        first = self.best[0]
        # Where much is missing, each change is felt the more.
        scale = self.heat * (first.felt / first.missing if first.missing > 1e-6 else 1.0)
        for done in range(steps):
            if done % 256 == 0:
                if progress is not None:
                    progress(done, steps, self.best[0])
                if self._is_nearly_best():
                    end = min(end, done + steps // 5)
            if done >= end:
                return
            heat = scale * (1.0 - done / steps) ** 2
            mark = len(standing.log)
            draw = chance.random()
            if draw < refill:
                touched = self.clear_and_fill()
            elif draw < 0.37:
                crop = self._pick_lacking()
                touched = None if crop is None else moves.add(crop)
            elif draw < 0.63:
                touched = moves.resize()
            elif draw < 0.9:
                touched = moves.shift()
            elif draw < 0.92:
                touched = moves.drop()
            elif draw < 0.97 or not moves.keeping:
                touched = moves.merge()
            else:
                touched = moves.divide()
            if touched is None:
                standing.undo(mark)
                continue
            after = self.cost()
            if after <= self.now + heat * -math.log(max(chance.random(), 1e-12)):
                self.now = after
                standing.log.clear()
                if after < self.low - 1e-9:
                    self.low = after
                    self.keep()
            else:
                standing.undo(mark)

    def costs(self) -> list[tuple[list, list, list]]:
        """Return, by crop, what each option costs a unit of room and a plant's cells; most plants.

        As `sowplan.season.search.moves.Moves` asks for them.
        """
        return [
            (a.unit_cost.tolist(), a.cell_cost.tolist(), a.most.tolist())
            if a.many
            else ([], [], [])
            for a in self.appraisers
        ]

    def cost(self) -> float:
        """Return the season's score as one number, missing before waste before sowings."""
        score = self.standing.score()
        cost = score.felt + WASTE * score.idle + (self.waste - WASTE) * score.wasted
        return cost + WORK * score.sowings + PART * score.batches

    # -- small helpers

    def _by_worth(self, crop: int) -> tuple[float, int]:
        """Sort key: crops with long stays first, since short ones fit around them."""
        case = self.instance.crops[crop]
        if not len(case.options):
            return (0.0, crop)
        return (-float((case.options.clear - case.options.into).mean()), crop)

    def keep(self) -> None:
        """Remember the season as the best so far."""
        self.best = (self.standing.score(), dict(self.standing.batches))

    def restore(self) -> None:
        """Bring the best season back."""
        if self.best is None:
            return
        for number in list(self.standing.batches):
            self.standing.remove(number)
        for batch in self.best[1].values():
            self.standing.add(batch)
        self.standing.log.clear()


def progress_to(watch: Watch | None) -> Progress | None:
    """Return what tells a watch of a search's progress."""
    if watch is None:
        return None

    def told(done: int, of: int, score: Score) -> None:
        watch.went(done, of, score.missing)

    return told


def _cost(end: End) -> float:
    return end[0]


def _is_small(instance: Instance) -> bool:
    return instance.extent <= SMALL


def rounds_for(instance: Instance, effort: float) -> int:
    """Return the rounds an effort stands for in one go, by the size of the garden."""
    size = instance.extent
    return int(effort * (12_000 + 25 * size**0.5 + 0.25 * size))
