"""The rule of thumb, planned out: each crop every one, two or three weeks, first free place.

What a careful grower does who knows the growth dates. Each crop has its turn every so many weeks:
so many plants are sown as bring what those weeks still lack, so early that they are ready in time,
into the first place with room. What is cut or picked again is counted with all its harvests: what
earlier sowings will still bring is not sown again. The turns are taken by the day on which to sow,
as one walks through the calendar; on one day the wants that matter most come first.

Nothing is moved to make room, and no sowing is thought of twice. The best interval is taken for
each garden as a whole. It is what the search is measured by.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterator
from itertools import groupby

import numpy as np

from sowplan.season.choices.instance import Batch
from sowplan.season.search.standing import Score, Standing

INTERVALS_DAYS = (7, 14, 21)
WORTH_SOWING = 0.5
"""Share of a sowing that must be wanted, or it is not made. Common sense, no source."""


def sow_at_intervals(standing: Standing) -> int:
    """Fill a season by the rule of thumb; return the best of `INTERVALS_DAYS`.

    Parameters
    ----------
    standing : Standing
        With the fixed sowings in it, and nothing else; holds the season afterwards.
    """
    best: tuple[Score, list[Batch], int] | None = None
    for interval in INTERVALS_DAYS:
        mark = len(standing.log)
        walk_through(standing, interval)
        score = standing.score()
        if best is None or _plainly(score) < _plainly(best[0]):
            free = [b for b in standing.batches.values() if not b.fixed]
            best = (score, free, interval)
        standing.undo(mark)
    for batch in best[1]:
        standing.add(batch)
    return best[2]


def _plainly(score: Score) -> tuple[float, float, int]:
    """Order seasons by what is plainly missing, then wasted: the rule knows of no fair shares."""
    return round(score.missing, 7), round(score.wasted, 7), score.sowings


def walk_through(standing: Standing, interval: int, kind: type[Turns] | None = None) -> None:
    """Sow every crop at one fixed interval [days], in the order of the days on which to sow."""
    turns = [
        (kind or Turns)(standing, crop, interval) for crop in range(len(standing.instance.crops))
    ]
    calendar: list[tuple[int, float, int]] = []

    def note(crop: int) -> None:
        day = turns[crop].next_day()
        if day is not None:
            heapq.heappush(calendar, (day, -turns[crop].matters, crop))

    for crop in range(len(turns)):
        note(crop)
    while calendar:
        *_, crop = heapq.heappop(calendar)
        turns[crop].sow()
        note(crop)


class Turns:
    """One crop's turns, one every ``interval`` days through the time it is wanted.

    A turn is for the periods that start between its first day and the next turn's.
    """

    def __init__(self, standing: Standing, crop: int, interval: int):
        self.standing = standing
        self.crop = crop
        self.interval = interval
        self.case = case = standing.instance.crops[crop]
        periods, options = case.periods, case.options
        self.matters = float((periods.need * periods.weight).max(initial=0.0))
        self.ready = options.lot_ready[options.lot_start[:-1]]
        # By lot and period, whether the one may serve the other: its days on the shelf count.
        self.fits = (options.lot_ready[:, None] <= periods.end) & (
            options.lot_expiry[:, None] >= periods.start
        )
        starts = periods.start.tolist()
        self._left = iter(range(min(starts), max(starts) + 1, interval) if starts else ())
        self.first = 0
        self.lack = np.zeros(len(periods))
        self.due = np.zeros(0, np.int64)

    def next_day(self) -> int | None:
        """Go on to the next turn in which something lacks that can be grown.

        Returns the day on which it is best sown; None where no turn is left.
        """
        starts = self.case.periods.start
        for first in self._left:
            self.first = first
            here = (starts >= first) & (starts < first + self.interval)
            self.lack = self.lacking(here)
            self.due = np.nonzero(here & (self.lack > 1e-6))[0]
            best = next(self.ways(), None)
            if best is not None:
                return int(self.case.options.sow[best[0]])
        return None

    def lacking(self, here: np.ndarray) -> np.ndarray:
        """Return what lacks in each period, those of the turn being ``here`` [plants]."""
        return np.array(self.standing.lack(self.crop))

    def sow(self) -> None:
        """Sow for the turn: all of it where there is room, or else as much as there is room for."""
        tried = []
        for option, plants in self.ways():
            if self._stands(self.standing.place(self.crop, option, plants)):
                return
            tried.append((option, plants))
        for option, plants in tried:
            if self._stands(self.largest(option, plants - 1)):
                return

    def ways(self) -> Iterator[tuple[int, int]]:
        """Yield (option, plants) that serve the turn, ready as near its first day as can be.

        Of those ready on one day, first what brings most of all that lacks, then what is cleared
        first: a batch stands while it is eaten from and no longer.
        """
        options = self.case.options
        serves = np.zeros(len(options), bool)
        serves[options.lot_option[self.fits[:, self.due].any(axis=1)]] = True
        able = np.nonzero(serves & (options.fixed < 0))[0]
        away = np.abs(self.ready[able] - self.first)
        order = np.argsort(away, kind="stable").tolist()
        for _, alike in groupby(order, key=away.__getitem__):
            found = []
            for option in able[list(alike)].tolist():
                plants = self._plants(option)
                stays = int(options.clear[option] - options.into[option])
                found.append((-self._brings(option, plants), stays, option, plants))
            yield from (way[2:] for way in sorted(found))

    def _plants(self, option: int) -> int:
        """Return how many plants of an option bring what the turn lacks, each period in its time.

        Where more of their harvests would be for nothing than `WORTH_SOWING` allows, no more than
        still lack in all the periods that they can serve; never more than the largest place holds,
        nor fewer than are worth a sowing.
        """
        fits, share = self._lots(option)
        due = self.due[fits[:, self.due].any(axis=0)]
        by_then = share @ np.logical_or.accumulate(fits[:, due], axis=1)
        plants = math.ceil(float((np.cumsum(self.lack[due]) / by_then).max()) - 1e-6)
        whole = float(share.sum())
        if self._brings(option, plants) < WORTH_SOWING * plants * whole:
            lacking = float(self.lack[fits.any(axis=0)].sum())
            plants = min(plants, math.ceil(lacking / whole - 1e-6))
        room = self.case.room.get(int(self.case.options.group[option]), ())
        return max(min(plants, len(room) - 1), self.case.least[option])

    def _brings(self, option: int, plants: int) -> float:
        """Return how much of all that lacks so many plants of an option bring [plants]."""
        left = self.lack.copy()
        for fits, share in zip(*self._lots(option), strict=True):
            open_ = left[fits]
            left[fits] -= np.clip(share * plants - (np.cumsum(open_) - open_), 0.0, open_)
        return round(float(self.lack.sum() - left.sum()), 6)

    def _lots(self, option: int) -> tuple[np.ndarray, np.ndarray]:
        """Return which periods each harvest of an option may serve, and its share of them all."""
        start, end = self.case.options.lot_start[option : option + 2].tolist()
        return self.fits[start:end], self.case.options.lot_share[start:end]

    def largest(self, option: int, most: int) -> Batch | None:
        """Return the largest batch of an option that has room, of so many plants at most."""
        found, few = None, self.case.least[option]
        while few <= most:
            middle = (few + most) // 2
            batch = self.standing.place(self.crop, option, middle)
            if batch is None:
                most = middle - 1
            else:
                found, few = batch, middle + 1
        return found

    def _stands(self, batch: Batch | None) -> bool:
        """Let a batch stand if enough of it is wanted; return whether it does."""
        if batch is None:
            return False
        standing, crop = self.standing, self.crop
        mark = len(standing.log)
        lacked, wasted = standing.missing(crop), standing.wasted(crop)
        standing.add(batch)
        brought = lacked - standing.missing(crop)
        grown = brought + standing.wasted(crop) - wasted
        if brought > 1e-9 and brought >= WORTH_SOWING * grown - 1e-9:
            return True
        standing.undo(mark)
        return False
