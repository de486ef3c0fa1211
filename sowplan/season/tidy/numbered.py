"""Beds alike put in order: neighbours hold the same crops, and those that stay empty come last.

Twenty beds of a field are alike to the crops, so that which of them holds what is free to choose. A
gardener walks them one after the other.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from sowplan.season.tidy.beds import Beds

FAMILY = 0.5
"""What ground under the same family weighs, beside that under the same crop."""
PASSES = 6
"""Most times that all turns and moves in an order are looked at."""
NEAR, LOOKED_AT = 4, 1600
"""Of so many beds alike, turns and moves over a few only are looked at."""


def number_beds(beds: Beds) -> None:
    """Exchange what whole places hold until neighbours hold the same where they can."""
    for spots in _alike(beds):
        order = _in_order(beds, spots)
        moved = [
            (number, spot, beds.inside[spots[held]][number])
            for spot, held in zip(spots, order, strict=True)
            if spots[held] != spot
            for number in list(beds.inside[spots[held]])
        ]
        for number, _, _ in moved:
            beds.lift(number)
        for number, spot, lies in moved:
            beds.lay(number, spot, lies)
    beds.log.clear()


def _alike(beds: Beds) -> list[list[int]]:
    """Return the places that could change their names, with nothing in them that must stay."""
    found: dict[tuple, list[int]] = {}
    for number, spot in enumerate(beds.instance.spots):
        if not any(beds.strips[n].held for n in beds.inside[number]):
            key = spot.group, spot.size, spot.closed, spot.poleward
            found.setdefault(key, []).append(number)
    return [spots for spots in found.values() if len(spots) > 1]


def _in_order(beds: Beds, spots: Sequence[int]) -> list[int]:
    """Return whose strips each place is to hold, as positions among the places."""
    many = len(spots)
    may = _may(beds, spots)
    near = _alikeness(beds, spots)
    names = [_stem(beds.instance.spots[spot].name) for spot in spots]
    beside = [one == other for one, other in zip(names[:-1], names[1:], strict=True)]
    empty = [not beds.inside[spot] for spot in spots]

    def worth(order: Sequence[int]) -> float:
        if not all(may[held, place] for place, held in enumerate(order)):
            return -1.0
        pairs = zip(order[:-1], order[1:], beside, strict=True)
        # Empty places come last; each one too soon counts, and hardly anything else.
        late = sum(place for place, held in enumerate(order) if empty[held])
        return sum(near[a, b] for a, b, adjoin in pairs if adjoin) + many * late

    best = _chain(near, empty)
    if worth(best) < worth(range(many)):
        best = list(range(many))
    high = worth(best)
    for _ in range(PASSES):
        before = high
        for a in range(many - 1):
            for b in range(a + 1, min(a + 1 + max(NEAR, LOOKED_AT // many), many)):
                for changed in _changes(best, a, b):
                    now = worth(changed)
                    if now > high + 1e-9:
                        high, best = now, changed
        if high <= before + 1e-9:
            break
    return best


def _changes(order: list[int], a: int, b: int):
    """Yield an order with a stretch turned round, with two exchanged, and with one moved."""
    yield order[:a] + order[a : b + 1][::-1] + order[b + 1 :]
    yield order[:a] + order[a + 1 : b + 1] + [order[a]] + order[b + 1 :]


def _chain(near: np.ndarray, empty: Sequence[bool]) -> list[int]:
    """Return an order in which each is followed by the one most like it, the empty ones last."""
    left = [n for n in range(len(empty)) if not empty[n]]
    order = [left.pop(0)] if left else []
    while left:
        following = max(left, key=lambda n: (near[order[-1], n], -n))
        left.remove(following)
        order.append(following)
    return order + [n for n in range(len(empty)) if empty[n]]


def _may(beds: Beds, spots: Sequence[int]) -> np.ndarray:
    """Return whether each place's strips may stand in each other place, families' rests kept."""
    many = len(spots)
    may = np.ones((many, many), bool)
    for held, spot in enumerate(spots):
        for place, other in enumerate(spots):
            may[held, place] = held == place or all(
                beds.rested(number, other) for number in beds.inside[spot]
            )
    return may


def _alikeness(beds: Beds, spots: Sequence[int]) -> np.ndarray:
    """Return how much ground of any two places is under the same crops, or the same families."""
    crops = _ground(beds, spots, "crop")
    families = _ground(beds, spots, "family")
    return _shared(crops) + FAMILY * _shared(families)


def _ground(beds: Beds, spots: Sequence[int], kind: str) -> np.ndarray:
    """Return units times days of each kind in each place, shape (places, kinds)."""
    many = 1 + max((getattr(strip, kind) for strip in beds.strips.values()), default=0)
    ground = np.zeros((len(spots), many))
    for row, spot in enumerate(spots):
        for number in beds.inside[spot]:
            strip = beds.strips[number]
            ground[row, getattr(strip, kind)] += strip.area
    return ground


def _shared(ground: np.ndarray) -> np.ndarray:
    """Return the share of the larger of two places' ground that is of the same kinds."""
    both = np.minimum(ground[:, None, :], ground[None, :, :]).sum(axis=2)
    whole = ground.sum(axis=1)
    return both / np.maximum(np.maximum(whole[:, None], whole[None, :]), 1.0)


def _stem(name: str) -> str:
    """Return the name of a field without the number of its bed."""
    return name.rstrip("0123456789 ")
