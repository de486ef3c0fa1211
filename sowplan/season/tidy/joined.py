"""Sowings in fewer strips: what is sown on one day and cleared on one day comes together.

Whole rows, plants and harvests stay what they were; a strip of more plants is never longer than
the strips it is made of.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

import numpy as np

from sowplan.season.choices.instance import Batch
from sowplan.season.search.standing import Standing
from sowplan.season.tidy.beds import Beds
from sowplan.season.tidy.families import Exchange
from sowplan.season.tidy.strips import mask_of, strip_of

UNTIDIER = 0.3
"""How much untidier the beds may become for one strip less."""
PLACES = 8
"""Most places in which one strip for two is tried."""
JOINED = -1
"""Number of a strip that is tried for two."""


def join_strips(standing: Standing, but: Collection[int] = (), seed: int = 0) -> int:
    """Make one strip of two of a sowing wherever that can be; return how many were saved."""
    saved = 0
    beds = Beds(standing, but)
    for pair in _pairs(standing, but):
        if all(number in standing.batches for number in pair):
            if _join(beds, *pair, seed):
                saved += 1
                beds = Beds(standing, but)
    return saved


def _pairs(standing: Standing, but: Collection[int]) -> list[tuple[int, int]]:
    """Return two batches each of one sowing that are grown alike, the smaller first."""
    alike: dict[tuple[int, int], list[int]] = {}
    for number, batch in sorted(standing.batches.items()):
        if not batch.fixed and number not in but:
            alike.setdefault((batch.crop, batch.option), []).append(number)
    plants = {number: batch.plants for number, batch in standing.batches.items()}
    pairs = []
    for key in sorted(alike):
        numbers = sorted(alike[key], key=lambda n: (plants[n], n))
        pairs += [(one, two) for at, one in enumerate(numbers) for two in numbers[at + 1 :]]
    return pairs


def _join(beds: Beds, one: int, two: int, seed: int) -> bool:
    """Make one strip of two, in the season itself as well; return whether it could be."""
    standing, instance = beds.standing, beds.instance
    batch, other = standing.batches[one], standing.batches[two]
    case = instance.crops[batch.crop]
    sow, into, _, group, kind, _ = case.options.rows[batch.option]
    plants = batch.plants + other.plants
    room = case.units[group]
    spots = np.array(instance.spots_of[group])
    if plants >= len(room) or room[plants] > max(instance.spots[s].open for s in spots.tolist()):
        return False
    joined = replace(batch, plants=plants, mask=(1 << room[plants]) - 1)
    if kind >= 0:
        cells = case.cells(plants)
        tray = _tray_without(standing, (one, two), kind, sow, into, cells)
        if tray < 0:
            return False
        joined = replace(joined, tray=tray, cells=cells)
    beds.join((one, two), JOINED, strip_of(joined, case, False))
    before = beds.untidy
    places = [beds.lift(two), beds.lift(one)]
    mark = len(beds.log)
    exchange = Exchange(beds, spots, seed)
    for spot in _places(beds, places, spots):
        pool: list[int] = []
        go = [JOINED]
        if exchange.lay_in(JOINED, spot, pool, go, 1e15):
            if exchange.rehouse(pool, go, places[-1], before + UNTIDIER):
                _write(beds, joined, (one, two))
                return True
        beds.undo(mark)
    beds.undo()
    return False


def _tray_without(standing: Standing, numbers, kind: int, sow: int, into: int, cells: int) -> int:
    """Return a tray with so many cells once some batches are gone; -1 if none."""
    mark = len(standing.log)
    for number in numbers:
        standing.remove(number)
    tray = standing.tray_for(kind, sow, into, cells)
    standing.undo(mark)
    return tray


def _places(beds: Beds, places: list[int], spots: np.ndarray) -> list[int]:
    """Return where to try one strip: where its parts were, then where it is tidiest."""
    roomy = [s for s in beds.roomy(JOINED, spots) if s not in places]
    kin = [s for s in spots.tolist() if beds.crops[s].get(beds.strips[JOINED].crop, 0.0) > 0]
    tidiest = sorted({*roomy, *kin} - {*places}, key=lambda s: (beds.adds(JOINED, s), s))
    return [*dict.fromkeys(places), *tidiest][:PLACES]


def _write(beds: Beds, joined: Batch, gone: tuple[int, int]) -> None:
    standing = beds.standing
    spot = beds.where.pop(JOINED)
    joined = replace(joined, spot=spot, mask=mask_of(beds.inside[spot].pop(JOINED)))
    beds.write()
    for number in gone:
        standing.remove(number)
    standing.add(joined)
    standing.log.clear()
