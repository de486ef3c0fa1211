"""A season under construction: which batches stand, what they leave free, what they serve.

Every change can be taken back, so that a search may try things out. A season is never in a state
that could not be sown: room, cells and rotation hold after each change.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from sowplan.season.choices.instance import Batch, Instance, Options
from sowplan.season.fairness import Felt
from sowplan.season.search.ground import Ground
from sowplan.season.search.service import Orders

MOST_PARTS = 4
"""Most places or strips over which one sowing is spread when it does not fit in one."""
OUT_OF_TURN = 1e6
"""What a family out of its turns in a bed is felt as [want-weeks]: more than anything."""
STALE = 1.5
"""What a week beyond freshness counts beside being grown for nothing. Common sense, no source."""


@dataclass(frozen=True)
class Score:
    """What a season is judged by, in this order, and what is plainly ``missing`` [want-weeks].

    ``felt`` is the missing, large parts of one want counting more (`sowplan.season.fairness`);
    then what is grown for nothing [want-weeks] and how long what is eaten was ``kept`` beyond
    freshness [want-weeks times weeks], a week of which counts `STALE`; then the number of sowings,
    then over how many strips and places they are spread. What is sown of a crop on one day is one
    sowing, be it in trays or direct.
    """

    felt: float
    wasted: float
    sowings: int
    missing: float
    batches: int = 0
    kept: float = 0.0

    @property
    def idle(self) -> float:
        """What is grown for nothing or eaten late [want-weeks grown for nothing]."""
        return self.wasted + STALE * self.kept

    def better(self, other: Score) -> bool:
        """Return whether this is better, differences in the last digits apart."""
        if abs(self.felt - other.felt) > 1e-7:
            return self.felt < other.felt
        if abs(self.idle - other.idle) > 1e-7:
            return self.idle < other.idle
        return (self.sowings, self.batches) < (other.sowings, other.batches)


class Outcome(NamedTuple):
    """What follows from the batches of one crop: see the methods of `Standing` by these names.

    ``grown`` is in plants' yield; ``kept`` as in `Score`.
    """

    missing: float
    lack: list[float]
    felt: float
    steep: float
    wasted: float
    kept: float
    grown: float


class Standing(Ground):
    """The batches of a season on their ground, and what follows from them."""

    def __init__(self, instance: Instance):
        super().__init__(instance)
        self.batches: dict[int, Batch] = {}
        self.of_crop: list[dict[int, Batch]] = [{} for _ in instance.crops]
        self.grown = [0.0 for _ in instance.crops]
        self.total = [_total(case.options) for case in instance.crops]
        self.orders = [Orders(crop) for crop in instance.crops]
        self.log: list[tuple[str, int, Batch, Outcome | None]] = []
        self.sowings = 0
        self.spread = 0  # batches of the free sowings
        # By crop and sowing: how many free and how many fixed batches it has.
        self.sown: list[dict[int, list[int]]] = [{} for _ in instance.crops]
        self._next = 0
        self._numbers: list[int] | None = None
        self.feeling = [Felt(crop) for crop in instance.crops]
        self._outcome: list[Outcome | None] = [None for _ in instance.crops]

    @property
    def numbers(self) -> list[int]:
        """The numbers of all batches, to draw from."""
        if self._numbers is None:
            self._numbers = list(self.batches)
        return self._numbers

    # -- what follows from the batches

    def outcome(self, crop: int) -> Outcome:
        """Return what follows from a crop's batches, worked out anew only where they changed."""
        found = self._outcome[crop]
        if found is None:
            found = self._outcome[crop] = self._reckon(crop)
        return found

    def missing(self, crop: int) -> float:
        """Return what is missing of a crop [want-weeks]."""
        return self.outcome(crop).missing

    def lack(self, crop: int) -> list[float]:
        """Return what each period of a crop lacks [plants]."""
        return self.outcome(crop).lack

    def felt(self, crop: int) -> float:
        """Return how hard the missing of a crop's wants is felt [want-weeks]."""
        return self.outcome(crop).felt

    def steep(self, crop: int) -> float:
        """Return how much a want-week more of a crop missing would count."""
        return self.outcome(crop).steep

    def wasted(self, crop: int) -> float:
        """Return what a crop grows beyond what is wanted [want-weeks]."""
        return self.outcome(crop).wasted

    def idle(self, crop: int) -> float:
        """Return what a crop grows for nothing or has eaten late, as `Score.idle`."""
        found = self.outcome(crop)
        return found.wasted + STALE * found.kept

    def keeping(self, crop: int) -> bool:
        """Return whether some of a crop is eaten later than fresh."""
        return self.outcome(crop).kept > 1e-9

    def score(self) -> Score:
        """Return what the season is judged by."""
        found = [self.outcome(crop) for crop in range(len(self._outcome))]
        return Score(
            sum([each.felt for each in found]) + OUT_OF_TURN * len(self.broken),
            sum([each.wasted for each in found]),
            self.sowings,
            sum([each.missing for each in found]),
            self.spread,
            sum([each.kept for each in found]),
        )

    def harvested(self, crop: int, option: int, plants: int) -> tuple[float, float]:
        """Return a crop's felt and idle [want-weeks] with one sowing more, wherever it stood."""
        orders = self.orders[crop]
        orders.bring(-1, option, plants)
        missing, used, lack, kept = orders.serve()
        orders.take_back(-1, option, plants)
        grown = self.grown[crop] + plants * self.total[crop][option]
        wasted = max(0.0, grown - used) * self.instance.crops[crop].worth
        return self.feeling[crop].of(missing, lack)[0], wasted + STALE * kept

    def sown_already(self, crop: int, option: int) -> bool:
        """Return whether some sowing that stands is the same as an option's: it counts once."""
        return any(self.sown[crop].get(self.instance.crops[crop].options.sowing[option], ()))

    def _reckon(self, crop: int) -> Outcome:
        """Work out what follows from a crop's batches."""
        missing, used, lack, kept = self.orders[crop].serve()
        felt, steep = self.feeling[crop].of(missing, lack)
        wasted = max(0.0, self.grown[crop] - used) * self.instance.crops[crop].worth
        return Outcome(missing, lack, felt, steep, wasted, kept, self.grown[crop])

    # -- changes

    def add(self, batch: Batch) -> int:
        """Let a batch stand that `place` has found room for; return its number."""
        number = self._next
        self._next += 1
        self.log.append(("add", number, batch, self._outcome[batch.crop]))
        self._put(number, batch)
        return number

    def remove(self, number: int) -> Batch:
        """Take a batch away."""
        batch = self.batches[number]
        self.log.append(("remove", number, batch, self._outcome[batch.crop]))
        self._take(number, batch)
        return batch

    def undo(self, mark: int) -> None:
        """Take back all changes since the log was ``mark`` long."""
        while len(self.log) > mark:
            what, number, batch, before = self.log.pop()
            (self._take if what == "add" else self._put)(number, batch)
            if before is not None:
                self._outcome[batch.crop] = before
                self.grown[batch.crop] = before.grown

    def _count(self, crop: int, option: int, fixed: bool, change: int) -> None:
        """Keep count of the sowings: those with free batches and no fixed ones."""
        sown = self.sown[crop]
        key = self.instance.crops[crop].options.sowing[option]
        parts = sown.get(key)
        if parts is None:
            parts = sown[key] = [0, 0]
        before = parts[0] > 0 and not parts[1]
        parts[fixed] += change
        self.sowings += (parts[0] > 0 and not parts[1]) - before
        if not fixed:
            self.spread += change

    def _put(self, number: int, batch: Batch) -> None:
        self.batches[number] = batch
        self.of_crop[batch.crop][number] = batch
        self.grown[batch.crop] += batch.plants * self.total[batch.crop][batch.option]
        self.orders[batch.crop].bring(number, batch.option, batch.plants)
        self._count(batch.crop, batch.option, batch.fixed, 1)
        self.take(number, batch)
        self._outcome[batch.crop] = None
        self._numbers = None

    def _take(self, number: int, batch: Batch) -> None:
        del self.batches[number]
        del self.of_crop[batch.crop][number]
        self.grown[batch.crop] -= batch.plants * self.total[batch.crop][batch.option]
        self.orders[batch.crop].take_back(number, batch.option, batch.plants)
        self._count(batch.crop, batch.option, batch.fixed, -1)
        self.leave(number, batch)
        self._outcome[batch.crop] = None
        self._numbers = None

    # -- sowings in parts

    def put(self, crop: int, option: int, plants: int) -> bool:
        """Let a sowing stand, in one piece or else in parts; return whether it does."""
        found = self.place(crop, option, plants)
        if found is not None:
            self.add(found)
            return True
        return self.split(crop, option, plants)

    def split(self, crop: int, option: int, plants: int, spots=None, some: bool = False) -> bool:
        """Let a sowing stand in two parts, or in as few more as will do; return whether it does.

        Each part has as many plants as a batch must have at least, and stands in whole rows. With
        ``some``, as much of it as finds room is left standing.
        """
        mark = len(self.log)
        for _ in range(MOST_PARTS - 1):
            piece = self.largest(crop, option, plants, spots)
            if piece is None:
                break
            self.add(piece)
            plants -= piece.plants
            rest = self.place(crop, option, plants, spots)
            if rest is not None:
                self.add(rest)
                return True
        if not some:
            self.undo(mark)
        return False


def _total(options: Options) -> list[float]:
    """Return the share of a plant's whole yield that each option grows."""
    total = np.zeros(len(options))
    np.add.at(total, options.lot_option, options.lot_share)
    return total.tolist()
