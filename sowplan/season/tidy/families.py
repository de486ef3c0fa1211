"""Families brought together: strips change beds until each family stands in few of them.

A great many small exchanges are tried, untidy ones too at first and ever fewer of them. A strip
goes to a bed where more of its family is; what lies in its way there goes into the gap it left, or
wherever else there is one, and what still finds none may push out something smaller in turn.
"""

from __future__ import annotations

import math
import random

import numpy as np

from sowplan.season.tidy.beds import NOTHING, Beds

TRIES = 30
"""Exchanges tried for each strip."""
MOST_TRIES = 6_000
HEAT = 0.3
"""How much untidier the beds may become at first, about."""
AT_HOME = 0.85
"""How often a strip is sent to where more of its family is."""
ALONE = 0.55
"""How often a strip goes alone, and not with all of its family or crop."""
KIN = 1.0
"""How much more it matters, a part of its ground, that a strip of the same family makes way."""
SMALLER = 1.2
"""What is pushed out covers at most so much ground of what pushes it."""
HOPE = 0.3
"""How much too untidy an exchange may look half way."""
LONGEST = 12
"""Most strips that are laid anew in one exchange."""


def bring_together(beds: Beds, effort: float = 1.0, seed: int = 0) -> None:
    """Exchange strips between places of a group so that families and crops come together."""
    groups = [np.array(spots) for spots in beds.instance.spots_of.values() if len(spots) > 1]
    many = sum(len(beds.free(spots.tolist())) for spots in groups)
    for spots in groups:
        mine = len(beds.free(spots.tolist()))
        if mine:
            tries = round(effort * min(TRIES * many, MOST_TRIES) * mine / many)
            Exchange(beds, spots, seed).anneal(tries)


class Exchange:
    """Exchanges of strips between the places of a group."""

    def __init__(self, beds: Beds, spots: np.ndarray, seed: int):
        self.beds, self.spots = beds, spots
        self.every = spots.tolist()
        self.movable = sorted(beds.free(self.every))
        self.chance = random.Random(seed)

    def anneal(self, tries: int) -> None:
        """Try so many exchanges; the tidiest state of all stays."""
        beds, chance = self.beds, self.chance
        low, best = beds.untidy, beds.kept()
        for done in range(tries):
            heat = HEAT * (1.0 - done / tries) ** 2
            most = beds.untidy + heat * -math.log(max(chance.random(), 1e-12)) + 1e-9
            if not self.exchange(most):
                beds.undo()
                continue
            beds.log.clear()
            if beds.untidy < low - 1e-9:
                low, best = beds.untidy, beds.kept()
        beds.bring_back(best)

    def exchange(self, most: float) -> bool:
        """Exchange some strips at random, no untidier than ``most``; return whether done."""
        beds, chance = self.beds, self.chance
        number = chance.choice(self.movable)
        one = beds.where[number]
        other = self._target(number, one)
        if other is None:
            return False
        go = self._company(number, one)
        for strip in go:
            beds.lift(strip)
        pool: list[int] = []
        for strip in sorted(go, key=lambda n: -beds.strips[n].area):
            if not self.lay_in(strip, other, pool, go, 1e15):
                return False
        return self.rehouse(pool, go, one, most)

    def _target(self, number: int, one: int) -> int | None:
        """Return another place for a strip: most often one where its family is."""
        others = [spot for spot in self.every if spot != one]
        if self.chance.random() < AT_HOME:
            beds, strip = self.beds, self.beds.strips[number]
            if beds.bed[one]:
                others = [s for s in others if beds.families[s].get(strip.family, 0.0) > NOTHING]
            else:
                others = [s for s in others if beds.crops[s].get(strip.crop, 0.0) > NOTHING]
        return self.chance.choice(others) if others else None

    def _company(self, number: int, one: int) -> list[int]:
        """Return the strips to go with one, itself among them."""
        draw, strips = self.chance.random(), self.beds.strips
        if draw < ALONE:
            return [number]
        strip = strips[number]
        there = self.beds.free([one])
        if draw < ALONE + (1.0 - ALONE) / 2:
            return [n for n in there if strips[n].crop == strip.crop]
        return [n for n in there if strips[n].family == strip.family]

    def lay_in(self, number: int, spot: int, pool: list[int], go, largest: float) -> bool:
        """Lay a strip into a place, what lies in its way going to the pool."""
        beds = self.beds
        if not beds.rests(number, spot):
            return False
        at = beds.gap_for(number, spot)
        if at >= 0:
            beds.lay_at(number, spot, at)
            return True
        way = self._way(number, spot, go, largest)
        if way is None or len(pool) + len(way[1]) > LONGEST:
            return False
        for other in way[1]:
            beds.lift(other)
        pool += way[1]
        beds.lay_at(number, spot, way[0])
        return True

    def _way(self, number: int, spot: int, go, largest: float) -> tuple[int, list[int]] | None:
        """Return where to lay a strip, and the strips that least matter in its way there."""
        beds, strip = self.beds, self.beds.strips[number]
        size, units = beds.instance.spots[spot].size, strip.units
        over = []
        for n, lies in beds.inside[spot].items():
            other = beds.strips[n]
            if other.into < strip.clear and strip.into < other.clear:
                days = min(strip.clear, other.clear) - max(strip.into, other.into)
                worth = KIN * other.area if other.family == strip.family else 0.0
                worth += other.area - other.units * days + 0.1 * other.area
                area = math.inf if other.held or n in go else other.area
                over += [(low, high, n, area, worth) for low, high in lies]
        over += [(low, high, -1, math.inf, 0.0) for low, high in beds.shut[spot]]
        starts = {0, size - units}
        for low, high, *_ in over:
            starts |= {low, high, low - units, high - units}
        best = None
        for at in sorted(starts):
            end = at + units
            if at < 0 or end > size:
                continue
            area = worth = 0.0
            for low, high, _, its, mine in over:
                if low < end and at < high:
                    area += its
                    worth += mine
            if area >= largest:
                continue
            worth *= self.chance.uniform(0.6, 1.4)
            if best is None or worth < best[0]:
                best = (worth, at)
        if best is None:
            return None
        at = best[1]
        return at, [n for low, high, n, *_ in over if low < at + units and at < high]

    def rehouse(self, pool: list[int], go: list[int], one: int, most: float) -> bool:
        """Lay the strips of a pool wherever it is tidiest, best at ``one``, the place left.

        Return whether all found a place and it is no untidier than ``most``.
        """
        beds = self.beds
        laid = len(go)
        if beds.untidy + sum(beds.adds(n, one) for n in pool) > most + HOPE:
            return False
        while pool:
            pool.sort(key=lambda n: (beds.strips[n].area, n))
            number = pool.pop()
            laid += 1
            if laid > LONGEST or beds.untidy > most + HOPE:
                return False
            best = None
            for spot in beds.roomy(number, self.spots):
                adds = beds.adds(number, spot)
                if best is None or adds < best[0] - 1e-12:
                    at = beds.gap_for(number, spot) if beds.rests(number, spot) else -1
                    if at >= 0:
                        best = (adds, spot, at)
            if best is not None:
                beds.lay_at(number, *best[1:])
                continue
            spot = one if self.chance.random() < 0.5 else self._target(number, -1)
            area = beds.strips[number].area
            if spot is None or not self.lay_in(number, spot, pool, go, SMALLER * area):
                return False
        return beds.untidy <= most and beds.keeps_turns({step[1] for step in beds.log})
