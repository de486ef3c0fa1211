"""Crops stand no longer than they serve: of seasons that score alike, one with more ground free.

Free ground has no price in the score: a sowing that is wanted from October stands there from
February as well as from May. So the finished season is gone through once more. Sowings are made on
later days, and cleared on earlier ones, wherever nothing becomes worse by it: what is missing, what
is wasted or eaten late, the sowings, the strips, and every rule of ground, trays, turns and hours.

A later sowing is the surer to be late. So none is moved so far that a late year would cost the
kitchen anything: with its harvests as late as that, the season must still be as good as before.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from copy import copy
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from sowplan.season.choices.instance import Batch, CropCase
from sowplan.season.search.polish import to_the_end
from sowplan.season.search.service import SPAN, Orders
from sowplan.season.search.standing import STALE, Score, Standing

SURE_DAYS = 3
"""A sowing that is moved is fit at least so many days before it has to be. Common sense, no
source: what is fit within a week serves that week, and nobody wants to wait for its last day."""
LATE_SHARE = 0.1
"""How much later a late year's harvest is, as a share of the days from sowing to the first, where
nothing better is known: in most courses of the crop table between 0.03 and 0.1."""
LEAST_GAIN_DAYS = 3
"""A sowing is not moved for less, on average of its strips."""
MISSES = 3
"""After so many sowing days in a row on which it would not do, later ones are not looked at."""
STEPS = 100
"""Most harvests and places tried, for each batch of the season."""
SAME = 1e-9

Choice = tuple[int, ...]
"""An option for each batch of a sowing."""


def later(standing: Standing, late: Sequence[NDArray[np.int64]] | None = None) -> None:
    """Sow later and clear sooner what would serve exactly as well.

    Never makes the season's score worse, nor touches what the gardener has settled.

    Parameters
    ----------
    standing : Standing
        The season; changed in place.
    late : sequence of ndarray of int, each of shape (options,), optional
        By crop, how many days later than planned a late year's first harvest of each option is
        (`sowplan.season.choices.late`); without it `LATE_SHARE` of the days it takes.
    """
    cases = standing.instance.crops
    stays = [_Stays(standing, n, None if late is None else late[n]) for n in range(len(cases))]
    left = STEPS * len(standing.batches)
    moved = True
    while moved and left > 0:
        moved = False
        for crop, sowing in _latest_first(standing):
            one = stays[crop]
            one.left = left
            moved |= one.shorten(sowing)
            left = one.left
    standing.log.clear()


def _latest_first(standing: Standing) -> list[tuple[int, int]]:
    """Return crop and sowing of what is sown, the last day first: its ground is wanted by none."""
    found = {
        (batch.crop, standing.instance.crops[batch.crop].options.sowing[batch.option])
        for batch in standing.batches.values()
        if not batch.fixed
    }
    return sorted(found, key=lambda pair: (-pair[1], pair[0]))


class _Stays:
    """The stays of one crop's sowings: how they can be made shorter."""

    def __init__(self, standing: Standing, crop: int, late: NDArray[np.int64] | None):
        self.standing = standing
        self.crop = crop
        self.case = standing.instance.crops[crop]
        self.orders = standing.orders[crop]
        # The same orders, but what is brought to them comes as late as in a late year.
        self.late_orders = copy(self.orders)
        self.late_orders.by_option = _LateYear(self.case, late)
        self.left = 0
        self.hopeless: set[int] = set()  # sowings that serve less on any other day, as things are
        self._of_day: dict[tuple[int, int, int], list[int]] | None = None

    def shorten(self, sowing: int) -> bool:
        """Make a sowing's stay shorter in both ways; return whether it is."""
        if sowing in self.hopeless:
            return False
        sooner = False
        while self._clear_sooner(sowing):
            sooner = True
        moved = self._sow_later(sowing) or sooner
        if moved:
            self.hopeless.clear()
        return moved

    # -- the two ways

    def _sow_later(self, sowing: int) -> bool:
        """Make a sowing on the latest day that serves as well, if it stands shorter then."""
        numbers = self._numbers(sowing)
        if not numbers:
            return False
        standing, before = self.standing, self.standing.score()
        felt, idle = standing.felt(self.crop), standing.idle(self.crop)
        start = len(standing.log)
        batches = [standing.remove(number) for number in numbers]
        good: list[Choice] = []
        misses = 0
        for chains in self._later_days(batches):
            choice = self._first_good(batches, chains, felt, idle)
            if choice is not None:
                good.append(choice)
            misses = 0 if choice is not None else misses + 1
            if misses == MISSES or self.left <= 0:
                break
        if not good:
            self.hopeless.add(sowing)
        for choice in reversed(good):
            if self._settle(batches, choice, before):
                return True
        standing.undo(start)
        return False

    def _clear_sooner(self, sowing: int) -> bool:
        """Clear some strips of a sowing sooner, those that are alike together; return whether."""
        alike: dict[int, list[int]] = {}
        for number in self._numbers(sowing):
            alike.setdefault(self.standing.batches[number].option, []).append(number)
        return any(self._clear(option, numbers) for option, numbers in sorted(alike.items()))

    def _clear(self, option: int, numbers: list[int]) -> bool:
        standing, before = self.standing, self.standing.score()
        felt, idle = standing.felt(self.crop), standing.idle(self.crop)
        options = self.case.options
        if to_the_end(standing, self.crop, option):
            return False
        same = (options.course == options.course[option]) & (options.group == options.group[option])
        same &= (options.fixed < 0) & (options.clear < options.clear[option])
        sooner = np.nonzero(same & (options.tray == options.tray[option]))[0]
        if not len(sooner):
            return False
        start = len(standing.log)
        batches = [standing.remove(number) for number in numbers]
        now = self._brings(self.late_orders, batches, (option,) * len(batches))[0]
        for other in sooner[np.argsort(options.clear[sooner], kind="stable")].tolist():
            choice = (other,) * len(batches)
            fit = self.late_orders.by_option[other]  # even in a late year, before it is cleared
            if fit and self._serves(batches, choice, felt, idle, max(felt, now)):
                if self._settle(batches, choice, before):
                    return True
        standing.undo(start)
        return False

    # -- what may be chosen

    def _numbers(self, sowing: int) -> list[int]:
        """Return the numbers of a sowing's batches; none where one of them is settled."""
        key = self.case.options.sowing
        mine = {
            n: b for n, b in self.standing.of_crop[self.crop].items() if key[b.option] == sowing
        }
        return [] if any(b.fixed for b in mine.values()) else sorted(mine)

    def _later_days(self, batches: list[Batch]) -> Iterator[tuple[list[Choice], list[Choice]]]:
        """Yield, for each later sowing day in turn, the choices with shorter stays.

        All raised as they are, in like places; first those that lie within the stays they have,
        whose ground is there, then all; the longest before the shorter.
        """
        rows = self.case.options.rows
        kinds = [(*rows[b.option][3:5],) for b in batches]
        stays = [self._days(b.option) for b in batches]
        until = [rows[b.option][2] for b in batches]
        stand_on = [to_the_end(self.standing, self.crop, b.option) for b in batches]
        day = rows[batches[0].option][0]
        known = self._options_of_days()
        most = sum(stays) - LEAST_GAIN_DAYS * len(stays)
        for later in sorted({key[0] for key in known if key[0] > day and key[1:] == kinds[0]}):
            able = [
                [
                    o
                    for o in known.get((later, *kind), ())
                    if self._days(o) <= stay and (not on or to_the_end(self.standing, self.crop, o))
                ]
                for kind, stay, on in zip(kinds, stays, stand_on, strict=True)
            ]
            within = [
                [o for o in some if rows[o][2] <= end]
                for some, end in zip(able, until, strict=True)
            ]
            yield tuple(
                [choice for choice in _by_rank(some) if sum(map(self._days, choice)) <= most]
                for some in (within, able)
            )

    def _options_of_days(self) -> dict[tuple[int, int, int], list[int]]:
        """Return the free options by (sowing day, group of places, of trays), longest first."""
        if self._of_day is None:
            self._of_day = {}
            for option, (sow, _, _, group, tray, fixed) in enumerate(self.case.options.rows):
                if fixed < 0:
                    self._of_day.setdefault((sow, group, tray), []).append(option)
            for options in self._of_day.values():
                options.sort(key=lambda option: (-self._days(option), option))
        return self._of_day

    def _days(self, option: int) -> int:
        """Return how long an option stands."""
        _, into, clear, *_ = self.case.options.rows[option]
        return clear - into

    # -- what comes of it

    def _first_good(
        self,
        batches: list[Batch],
        chains: tuple[list[Choice], list[Choice]],
        felt: float,
        idle: float,
    ) -> Choice | None:
        """Return the first choice that serves as well as before, and in a late year too.

        Of a chain in which one brings too little, the shorter ones behind it bring less.
        """
        for chain in chains:
            for choice in chain:
                felt_then, idle_then = self._brings(self.orders, batches, choice)
                if felt_then > felt + SAME:
                    break
                if idle_then > idle + SAME:
                    continue
                if self._brings(self.late_orders, batches, choice)[0] > felt + SAME:
                    break
                return choice
        return None

    def _serves(
        self, batches: list[Batch], choice: Choice, felt: float, idle: float, late: float
    ) -> bool:
        """Return whether a choice is felt and idle no more, in a late year felt no more either."""
        felt_then, idle_then = self._brings(self.orders, batches, choice)
        if felt_then > felt + SAME or idle_then > idle + SAME:
            return False
        return self._brings(self.late_orders, batches, choice)[0] <= late + SAME

    def _brings(self, orders: Orders, batches: list[Batch], choice: Choice) -> tuple[float, float]:
        """Return what is felt of the missing, and idle, with batches of some options added."""
        self.left -= 1
        standing, case = self.standing, self.case
        grown = standing.grown[self.crop]
        for n, (option, batch) in enumerate(zip(choice, batches, strict=True)):
            orders.bring(-1 - n, option, batch.plants)
            grown += batch.plants * standing.total[self.crop][option]
        missing, used, lack, kept = orders.serve()
        for n, (option, batch) in enumerate(zip(choice, batches, strict=True)):
            orders.take_back(-1 - n, option, batch.plants)
        wasted = max(0.0, grown - used) * case.worth
        return standing.feeling[self.crop].of(missing, lack)[0], wasted + STALE * kept

    def _settle(self, batches: list[Batch], choice: Choice, before: Score) -> bool:
        """Let batches stand as chosen, if there is room and nothing is worse; return whether."""
        self.left -= 1
        standing = self.standing
        mark = len(standing.log)
        for batch, option in zip(batches, choice, strict=True):
            found = self._place(batch, option)
            if found is None:
                standing.undo(mark)
                return False
            standing.add(found)
        if _no_worse(standing.score(), before):
            return True
        standing.undo(mark)
        return False

    def _place(self, batch: Batch, option: int) -> Batch | None:
        """Return a batch as another option: where it was, else in its place, else elsewhere."""
        standing = self.standing
        found = standing.place(self.crop, option, batch.plants, [batch.spot])
        if found is None:
            return standing.place(self.crop, option, batch.plants)
        rows = self.case.options.rows
        sow, into, clear, *_ = rows[option]
        if not batch.mask & ~standing.rooms[batch.spot].free(into, clear):
            found = replace(found, mask=batch.mask)
        same = (sow, into) == rows[batch.option][:2]
        return replace(found, tray=batch.tray) if same else found


class _LateYear(dict):
    """By option, what its harvests serve in a late year, in the form of `Orders.by_option`."""

    def __init__(self, case: CropCase, late: NDArray[np.int64] | None):
        super().__init__()
        self.case = case
        self.late = None if late is None else late.tolist()
        self.start, self.end = case.periods.start.tolist(), case.periods.end.tolist()

    def __missing__(self, option: int) -> list[tuple[int, int, float]]:
        found = self[option] = list(self._spans(option))
        return found

    def _spans(self, option: int) -> Iterator[tuple[int, int, float]]:
        """Yield (first period, span, share); nothing where it is cleared before it is fit."""
        options = self.case.options
        sow, _, clear, *_ = options.rows[option]
        lots = options.lots[option]
        delay = self._delay(option, lots[0][0] - sow)
        if lots[0][0] + delay >= clear:
            return
        for ready, expiry, share in lots:
            # The last of many are brought in when it is cleared, as fit as they are.
            first = min(ready + delay, clear - 1)
            last = max(expiry, first)
            if self.case.periods.apart:
                first = bisect_left(self.end, first)
                last = bisect_right(self.start, last) - 1
            if first <= last:
                yield first, last * SPAN + SPAN - 1, share

    def _delay(self, option: int, grows_days: int) -> int:
        """Return how many days later the harvest is in a late year."""
        late = round(LATE_SHARE * grows_days) if self.late is None else self.late[option]
        return max(late, SURE_DAYS)


def _by_rank(able: list[list[int]]) -> Iterator[Choice]:
    """Yield the first of each list, the second of each, and so on; of shorter lists the last."""
    for rank in range(max(map(len, able))) if all(able) else ():
        yield tuple(some[min(rank, len(some) - 1)] for some in able)


def _no_worse(score: Score, before: Score) -> bool:
    """Return whether a score is worse in no respect."""
    return (
        score.felt <= before.felt + SAME
        and score.idle <= before.idle + SAME
        and score.sowings <= before.sowings
        and score.batches <= before.batches
    )
