"""A season with one thing more: the search goes on from the finished plan, all free to move.

What a square metre brings is seldom had by sowing into it alone: other crops move over, and the
room they leave serves a third. What is told is the difference to the same work spent on the season
as it is, so that no more is promised than the thing itself brings.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from sowplan.season.bound.model import Relaxation
from sowplan.season.choices.instance import Instance
from sowplan.season.reasons.trials import as_it_stands
from sowplan.season.search.filling import fill_up
from sowplan.season.search.search import Search, rounds_for
from sowplan.season.search.standing import Standing

SHARE, LEAST_ROUNDS = 0.1, 400
"""Share of the rounds of one go through the garden that the search goes on for, and the fewest."""


@dataclass(frozen=True)
class Comes:
    """What a season comes to: plants of each want that are lacked, and the missing [want-weeks]."""

    lack: dict[int, float]
    missing: float


class Continued:
    """A finished season, gone on with as it is and with one thing more."""

    def __init__(self, standing: Standing, relaxation: Relaxation, effort: float = 1.0):
        self._standing, self._relaxation = standing, relaxation
        rounds = rounds_for(standing.instance, min(2.0 * effort, 1.0))
        self._rounds = max(LEAST_ROUNDS, int(SHARE * rounds))
        self._same: Comes | None = None

    @property
    def same(self) -> Comes:
        """What comes of the same work with nothing more."""
        if self._same is None:
            found, before = self._with(self._standing.instance), comes_of(self._standing)
            self._same = found if found.missing < before.missing else before
        return self._same

    def brings(self, instance: Instance) -> tuple[dict[int, float], float]:
        """Return what an instance with one thing more brings.

        Parameters
        ----------
        instance : Instance
            Has all that the season's has, options under the same numbers, and more.

        Returns
        -------
        plants : dict of int to float
            By want, how many plants fewer are lacked; below 0 where more are.
        weeks : float
            How much less is missing in all [want-weeks].
        """
        found, same = self._with(instance), self.same
        plants = {want: lack - found.lack[want] for want, lack in same.lack.items()}
        return plants, same.missing - found.missing

    def _with(self, instance: Instance) -> Comes:
        search = Search(instance, _padded(self._relaxation, instance))
        search.standing = as_it_stands(self._standing, instance)
        crops = range(len(instance.crops))
        fill_up(search.standing, crops)
        search.go_over(self._rounds, None, 0, self._rounds)
        fill_up(search.standing, crops)
        return comes_of(search.standing)


def comes_of(standing: Standing) -> Comes:
    """Return what a season comes to."""
    crops = range(len(standing.instance.crops))
    lack: dict[int, float] = {}
    for crop in crops:
        lack |= lack_by_want(standing, crop)  # a want is of one crop
    return Comes(lack, sum(standing.missing(n) for n in crops))


def lack_by_want(standing: Standing, crop: int) -> dict[int, float]:
    """Return what each want of a crop lacks [plants]."""
    wants = standing.instance.crops[crop].periods.want.tolist()
    found = dict.fromkeys(wants, 0.0)
    for want, short in zip(wants, standing.lack(crop), strict=True):
        found[want] += short
    return found


def _padded(relaxation: Relaxation, instance: Instance) -> Relaxation:
    """Return a solved program that has an amount, none, of each option that is new."""
    had = relaxation.amounts or (np.zeros(0),) * len(instance.crops)
    amounts = tuple(
        np.concatenate([mine, np.zeros(len(case.options) - len(mine))])
        for mine, case in zip(had, instance.crops, strict=True)
    )
    return replace(relaxation, amounts=amounts)
