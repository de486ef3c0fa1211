"""Filling a season in: the most promising batches added; some ground cleared and filled again.

The large steps of the search. They go by what an appraiser of each crop offers
(`sowplan.season.search.appraise`); the small ones, a batch at a time, are
`sowplan.season.search.moves`. Whether the outcome is kept is not their business.
"""

from __future__ import annotations

import random

import numpy as np

from sowplan.season.bound.model import Relaxation
from sowplan.season.choices.instance import Instance
from sowplan.season.search.appraise import Appraiser
from sowplan.season.search.clearing import Clearing
from sowplan.season.search.standing import Standing

TRIES = 6
"""Offers of a crop tried on the beds before it is given up for this round."""


class Refill:
    """A season, its appraisers and a source of chance with a fixed seed."""

    def __init__(self, instance: Instance, relaxation: Relaxation, seed: int = 1):
        self.instance = instance
        self.relaxation = relaxation
        self.standing = Standing(instance)
        self.appraisers = [Appraiser(instance, case, relaxation) for case in instance.crops]
        self.chance = random.Random(seed)
        self.noise = np.random.Generator(np.random.PCG64(seed))
        self.hopeless = [felt.hopeless for felt in self.standing.feeling]

    # -- filling in

    def insert(self, crop: int, spread: float, only_used: bool, threshold: float = 0.0) -> bool:
        """Add the most promising batch of a crop that the beds have room for."""
        appraiser = self.appraisers[crop]
        if not appraiser.many:
            return False
        missing, lack = self.standing.missing(crop), self.standing.lack(crop)
        if missing <= 1e-9:
            return False
        noise = None
        if spread:
            noise = 1.0 + spread * (2.0 * self.noise.random(appraiser.many) - 1.0)
        reach = appraiser.reaching(lack, only_used)
        if not len(reach.options):
            return False
        most = appraiser.fitting(self.standing, self.chance, reach.options)
        roomless: set[int] = set()
        for option, plants, score in appraiser.offers(reach, most, noise, TRIES):
            if score < threshold:
                break
            if option in roomless:
                continue
            mark = len(self.standing.log)
            if not self.fit(crop, option, plants):
                roomless.add(option)
                continue
            if self.standing.missing(crop) < missing - 1e-7:
                return True
            self.standing.undo(mark)
        return False

    def fit(self, crop: int, option: int, plants: int) -> bool:
        """Add a sowing, of fewer plants where so many do not fit; return whether any was."""
        standing, least = self.standing, self.instance.crops[crop].least[option]
        most = standing.most(crop, option)
        if most < least:
            return False
        while plants >= least:
            # What does not fit in one piece may in several, but none of those is larger.
            put = standing.put if plants <= most else standing.split
            if put(crop, option, plants):
                return True
            plants = max(plants * 2 // 3, least) if plants > least else 0
        return False

    def fill(self, crops: list[int], spread: float, threshold: float = 0.0) -> None:
        """Insert batches of crops in turn until nothing more fits or helps."""
        for only_used in (True, False):
            open_ = list(crops)
            while open_:
                open_ = [c for c in open_ if self.insert(c, spread, only_used, threshold)]

    # -- clearing

    def clear_and_fill(self) -> set[int]:
        """Take some batches away and fill in again; return crops touched."""
        draw = self.chance.random()
        crop = self._pick_lacking()
        if crop is not None and draw < 0.6:
            touched = self.make_room()
        elif draw < 0.8:
            touched = self.clear_window()
        else:
            touched = self.clear_crop()
        crops = list(dict.fromkeys(sorted(touched) + self.lacking_crops(3)))
        self.chance.shuffle(crops)
        self.fill(crops, self.chance.choice((0.0, 0.2, 0.5)))
        return touched

    def make_room(self) -> set[int]:
        """Clear a place for a batch that serves a lacking period; add it; return crops touched."""
        crop = self._pick_lacking()
        if crop is None:
            return set()
        appraiser = self.appraisers[crop]
        if not appraiser.many:
            return set()
        noise = 1.0 + 0.6 * (2.0 * self.noise.random(appraiser.many) - 1.0)
        reach = appraiser.reaching(self.standing.lack(crop))
        offers = appraiser.offers(reach, appraiser.most[reach.options], noise, 3)
        if not offers:
            return set()
        option, plants, _ = self.chance.choice(offers)
        touched = {crop}
        if not self.fit(crop, option, plants):
            clearing = Clearing(self.standing, self.chance)
            taken = clearing.for_batch(crop, option, plants) or ()
            touched |= {batch.crop for batch in taken}
            self.fit(crop, option, plants)
        return touched

    def clear_window(self) -> set[int]:
        """Clear what stands in a place or two for some weeks; return crops touched."""
        spot = self.chance.randrange(len(self.instance.spots))
        near = [s for s in self.instance.spots_of[self.instance.spots[spot].group] if s != spot]
        spots = {spot, *self.chance.sample(near, min(len(near), self.chance.randrange(2)))}
        length = self.chance.choice((14, 35, 70, 120))
        first = self.chance.randrange(-length // 2, max(self.instance.days - length // 2, 1))
        numbers = [
            stand[3]
            for spot in sorted(spots)
            for stand in self.standing.rooms[spot].stands
            if stand[0] < first + length and first < stand[1]
        ]
        return self._remove(numbers, 12)

    def clear_crop(self) -> set[int]:
        """Take away a few batches of a crop that follow one another; return crops touched."""
        crops = [n for n, lots in enumerate(self.standing.of_crop) if lots]
        if not crops:
            return set()
        crop = self.chance.choice(crops)
        into = self.instance.crops[crop].options.sow
        numbers = sorted(
            self.standing.of_crop[crop], key=lambda n: int(into[self.standing.batches[n].option])
        )
        many = self.chance.choice((1, 2, 3, 4, 8))
        first = self.chance.randrange(max(len(numbers) - many + 1, 1))
        return self._remove(numbers[first : first + many], many)

    def _remove(self, numbers: list[int], most: int) -> set[int]:
        numbers = [n for n in numbers if not self.standing.batches[n].fixed]
        if len(numbers) > most:
            numbers = self.chance.sample(numbers, most)
        return {self.standing.remove(number).crop for number in numbers}

    # -- what is lacking

    def lacking_crops(self, many: int) -> list[int]:
        """Return some crops of which something is missing, those that lack more being likelier."""
        lacking = []
        for _ in range(many):
            crop = self._pick_lacking()
            if crop is not None:
                lacking.append(crop)
        return lacking

    def _pick_lacking(self) -> int | None:
        weights = [
            max(0.0, self.standing.felt(crop) - hopeless)
            for crop, hopeless in enumerate(self.hopeless)
        ]
        total = sum(weights)
        if total <= 1e-6:
            return None
        draw = self.chance.random() * total
        for crop, weight in enumerate(weights):
            draw -= weight
            if draw <= 0 and weight > 0:
                return crop
        return None
