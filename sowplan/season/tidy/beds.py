"""The places of a season while they are tidied: which strips lie where, and how untidy that is.

No date, number or harvest ever changes here; strips change places with one another, and only
places of a group, which are alike to every crop. Every step can be taken back.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import replace

import numpy as np

from sowplan.season.choices.instance import Instance
from sowplan.season.search.standing import Standing
from sowplan.season.search.turns import in_turn
from sowplan.season.tidy.strips import Runs, Strip, gaps, mask_of, runs_of, shut_in, strip_of

FAMILY = 1.0
"""What a family in one bed more weighs, where it has to wait before it may come back."""
FAMILY_LIGHT = 0.4
"""The same of families that need not wait."""
CROP = 0.25
"""What a crop in one place more weighs."""
TOGETHER = 0.6
"""What it weighs, of the above, that most of a family or crop is in one place."""
NOTHING = 1e-9
"""A smaller share of a kind is none."""


class Beds:
    """The places of a standing season, and the strips in them by the numbers of their batches.

    ``untidy`` is how untidy they are, all told.
    """

    def __init__(self, standing: Standing, but: Collection[int] = ()):
        """Batches of the numbers ``but`` and the gardener's own sowings stay where they are."""
        self.standing = standing
        self.instance: Instance = standing.instance
        cases, spots = self.instance.crops, self.instance.spots
        self.strips: dict[int, Strip] = {}
        self.where: dict[int, int] = {}
        self.settled: set[int] = set()  # what may not even move within its place
        self.inside: list[dict[int, Runs]] = [{} for _ in spots]
        self.bed = [spot.whole for spot in spots]
        self.shut = [shut_in(spot) for spot in spots]
        self.room = standing.free.copy()  # units free by place and day
        for number, batch in sorted(standing.batches.items()):
            held = batch.fixed or number in but
            lies = runs_of(batch.mask)
            self.settled |= {number} if held else set()
            self.strips[number] = strip_of(batch, cases[batch.crop], held or len(lies) > 1)
            self.where[number] = batch.spot
            self.inside[batch.spot][number] = lies
        waits = {case.family for case in cases if case.gap_days > 0}
        self.weight = {c.family: FAMILY if c.family in waits else FAMILY_LIGHT for c in cases}
        self.parts: dict[int, tuple[float, float]] = {}
        self._weigh()
        self.families: list[dict[int, float]] = [{} for _ in spots]  # shares of all, by place
        self.crops: list[dict[int, float]] = [{} for _ in spots]
        self.untidy = 0.0
        for number, spot in self.where.items():
            self._count(number, spot, 1)
        self.stays: dict[tuple[int, int], int] = {}
        for stay in self.instance.stays:
            key = stay.spot, stay.family
            self.stays[key] = max(stay.until, self.stays.get(key, stay.until))
        self.one_turn = self.instance.gone + self.instance.days <= self.instance.turn_days
        self.log: list[tuple[int, int, Runs, bool]] = []
        # In how many pieces too many strips lie, by their numbers and where they do.
        self.known: dict[tuple, int] = {}

    # -- changes

    def lift(self, number: int) -> int:
        """Take a strip out of its place; return the place."""
        spot = self.where.pop(number)
        lies = self.inside[spot].pop(number)
        self.log.append((number, spot, lies, True))
        self._change(number, spot, -1)
        return spot

    def lay(self, number: int, spot: int, lies: Runs) -> None:
        """Lay a strip into a place."""
        self.log.append((number, spot, lies, False))
        self._put(number, spot, lies)

    def lay_at(self, number: int, spot: int, at: int) -> None:
        """Lay a strip into a place, from a unit on."""
        self.lay(number, spot, ((at, at + self.strips[number].units),))

    def undo(self, mark: int = 0) -> None:
        """Take back all changes since the log was ``mark`` long."""
        while len(self.log) > mark:
            number, spot, lies, lifted = self.log.pop()
            if lifted:
                self._put(number, spot, lies)
            else:
                del self.where[number], self.inside[spot][number]
                self._change(number, spot, -1)

    def _put(self, number: int, spot: int, lies: Runs) -> None:
        self.where[number] = spot
        self.inside[spot][number] = lies
        self._change(number, spot, 1)

    def _change(self, number: int, spot: int, sign: int) -> None:
        strip = self.strips[number]
        self.room[spot, strip.first : strip.until] -= sign * strip.units
        self._count(number, spot, sign)

    def _count(self, number: int, spot: int, sign: int) -> None:
        """Count a strip in or out of a place."""
        strip = self.strips[number]
        of_crop, of_family = self.parts[number]
        crops = self.crops[spot]
        had = crops.get(strip.crop, 0.0)
        now = crops[strip.crop] = had + sign * of_crop
        more = CROP * (_worth(now) - _worth(had))
        if self.bed[spot]:
            families = self.families[spot]
            had = families.get(strip.family, 0.0)
            now = families[strip.family] = had + sign * of_family
            more += self.weight[strip.family] * (_worth(now) - _worth(had))
        self.untidy += more

    def _weigh(self) -> None:
        """Reckon which part of its crop and of its family each strip is."""
        of_crop: dict[int, int] = {}
        of_family: dict[int, int] = {}
        for strip in self.strips.values():
            of_crop[strip.crop] = of_crop.get(strip.crop, 0) + strip.area
            of_family[strip.family] = of_family.get(strip.family, 0) + strip.area
        for number, strip in self.strips.items():
            parts = strip.area / of_crop[strip.crop], strip.area / of_family[strip.family]
            self.parts[number] = parts

    # -- finding room

    def gap_for(self, number: int, spot: int) -> int:
        """Return the first unit of the tightest gap of a place that holds a strip; -1: none."""
        strip, place = self.strips[number], self.instance.spots[spot]
        best, at = place.size + 1, -1
        for low, high in gaps(self.taken(number, spot), place.size):
            if strip.units <= high - low < best:
                best, at = high - low, low
        return at

    def taken(self, number: int, spot: int) -> list[tuple[int, int]]:
        """Return the runs of a place that are not free for the whole of a strip's stay."""
        strip, strips = self.strips[number], self.strips
        into, clear = strip.into, strip.clear
        found = list(self.shut[spot])
        for other, lies in self.inside[spot].items():
            there = strips[other]
            if there.into < clear and into < there.clear:
                found += lies
        return found

    def each(self, number: int, spot: int) -> int:
        """Return the adjoining units that one plant takes."""
        case = self.instance.crops[self.strips[number].crop]
        return case.units[self.instance.spots[spot].group][1]

    def roomy(self, number: int, spots: np.ndarray) -> list[int]:
        """Return places of some that have so many units free all the while, if in crumbs."""
        strip = self.strips[number]
        least = self.room[spots, strip.first : strip.until].min(axis=1)
        return spots[least >= strip.units].tolist()

    def rests(self, number: int, spot: int) -> bool:
        """Return whether a strip's family may have it in a place."""
        if not self.bed[spot]:
            return True
        if not self.rested(number, spot):
            return False
        strip = self.strips[number]
        if self.one_turn:
            return True
        return self._in_turn([strip, *self._kin(spot, strip.family)])

    def rested(self, number: int, spot: int) -> bool:
        """Return whether a strip's family has rested in a place since before the season."""
        strip = self.strips[number]
        until = self.stays.get((spot, strip.family)) if self.bed[spot] else None
        return until is None or strip.into > until + strip.gap

    def keeps_turns(self, spots: Iterable[int]) -> bool:
        """Return whether all families keep to their turns in some places."""
        if self.one_turn:
            return True
        return all(
            self._in_turn(self._kin(spot, family))
            for spot in spots
            if self.bed[spot]
            for family in self.families[spot]
        )

    def _kin(self, spot: int, family: int) -> list[Strip]:
        strips = [self.strips[n] for n in self.inside[spot]]
        return [strip for strip in strips if strip.family == family]

    def _in_turn(self, strips: list[Strip]) -> bool:
        return in_turn([(s.into, s.clear, s.gap) for s in strips], self.instance.turn_days)

    def adds(self, number: int, spot: int) -> float:
        """Return how much untidier a strip would make a place."""
        strip = self.strips[number]
        of_crop, of_family = self.parts[number]
        had = self.crops[spot].get(strip.crop, 0.0)
        more = CROP * (_worth(had + of_crop) - _worth(had))
        if self.bed[spot]:
            had = self.families[spot].get(strip.family, 0.0)
            more += self.weight[strip.family] * (_worth(had + of_family) - _worth(had))
        return more

    def join(self, numbers: Iterable[int], joined: int, strip: Strip) -> None:
        """Know a strip by the number ``joined``, that is to take the place of some others."""
        parts = [self.parts[number] for number in numbers]
        self.strips[joined] = strip
        self.parts[joined] = tuple(map(sum, zip(*parts, strict=True)))

    # -- the whole of it

    def kept(self) -> dict[int, tuple[int, Runs]]:
        """Return where everything lies, for `bring_back`."""
        return {number: (spot, self.inside[spot][number]) for number, spot in self.where.items()}

    def bring_back(self, kept: dict[int, tuple[int, Runs]]) -> None:
        """Let everything lie where it lay."""
        for number, (spot, lies) in kept.items():
            if (self.where[number], self.inside[self.where[number]][number]) != (spot, lies):
                self.lift(number)
        for number, (spot, lies) in kept.items():
            if number not in self.where:
                self._put(number, spot, lies)
        self.log.clear()

    def free(self, spots: Iterable[int]) -> list[int]:
        """Return the strips of some places that may move."""
        return [n for spot in spots for n in self.inside[spot] if not self.strips[n].held]

    def write(self) -> None:
        """Let the season's batches stand where their strips lie."""
        standing = self.standing
        moved = []
        for number, spot in self.where.items():
            batch, mask = standing.batches[number], mask_of(self.inside[spot][number])
            if (batch.spot, batch.mask) != (spot, mask):
                moved.append((number, replace(batch, spot=spot, mask=mask)))
        for number, _ in moved:
            standing.remove(number)
        for _, batch in moved:
            standing.add(batch)
        standing.log.clear()


def _worth(share: float) -> float:
    """Return how untidy it is to have such a share of a kind in one place."""
    return 1.0 - TOGETHER * share * share if share > NOTHING else 0.0
