"""Places that are there already: holes of a channel, pots, cells of a tray.

Counts only; where a hole or a pot stands is the gardener's own doing.
"""

from __future__ import annotations

import math

from sowplan.bed.rows import SLACK

NEXT_HOLE = 0.75
"""A channel's next hole will do where it is so large a share of the spacing away.

In a channel plants stand in one line with open room to both sides, so they may stand closer than
in a bed: lettuce at 25 cm goes into every hole of the usual 20 cm. Common practice, no source.
"""


def holes_per_plant(hole_spacing_m: float, spacing_m: float) -> int:
    """Return how many holes one plant takes: 1 in every hole, 2 in every second one, and so on.

    Plants may stand at `NEXT_HOLE` of their spacing, since they have room to both sides.

    Parameters
    ----------
    hole_spacing_m : float
        Distance from hole to hole along the channel [m].
    spacing_m : float
        Distance the crop needs [m].
    """
    if hole_spacing_m <= 0.0 or spacing_m <= 0.0:
        raise ValueError("spacings must be positive")
    return max(1, math.ceil(NEXT_HOLE * spacing_m / hole_spacing_m - SLACK))


def holes_used(holes: int, hole_spacing_m: float, spacing_m: float) -> tuple[int, ...]:
    """Return the numbers (from 1) of the holes a crop stands in when it has the whole channel."""
    return tuple(range(1, holes + 1, holes_per_plant(hole_spacing_m, spacing_m)))


def plants_per_pot(
    volume_l: float, pot_litres: float, *, diameter_m: float | None = None, spacing_m: float = 0.0
) -> int:
    """Return how many plants one pot feeds; 0 where it is too small for even one.

    Parameters
    ----------
    volume_l : float
        Growing mix in the pot [l].
    pot_litres : float
        Growing mix one plant needs [l].
    diameter_m : float, optional
        Width of a round pot [m]. Where given, as many plants at most as stand ``spacing_m``
        apart on its surface with their stems inside the rim: in a pot, leaves lean out.
    spacing_m : float
        Distance between plants [m], for ``diameter_m``.
    """
    if volume_l <= 0.0 or pot_litres <= 0.0:
        raise ValueError("volumes must be positive")
    by_volume = math.floor(volume_l / pot_litres + SLACK)
    if diameter_m is None or spacing_m <= 0.0:
        return by_volume
    return min(by_volume, ring_count(diameter_m, spacing_m))


def ring_count(diameter_m: float, spacing_m: float) -> int:
    """Return how many plants stand on one ring inside a round rim, with one in the middle if free.

    The plants of the ring are ``spacing_m`` apart in a straight line, and so is each from the
    middle. Up to nine plants nothing on a round surface does better.
    """
    across = diameter_m / spacing_m
    if across < 1 - SLACK:
        return 1
    if across < 2 / math.sqrt(3.0) - SLACK:
        return 2
    on_ring = math.floor(math.pi / math.asin(min(1.0, 1.0 / across)) + SLACK)
    return on_ring + (across >= 2 - SLACK)


def seeds_per_cell(germination: float, plants_per_cell: int, chance: float = 0.9) -> int:
    """Return the fewest seeds a cell that bring up enough plants in ``chance`` of the cells.

    Seeds come up independently of one another with probability ``germination`` (binomial).
    """
    if not 0.0 < germination <= 1.0:
        raise ValueError("germination is a share above 0 and at most 1")
    seeds = plants_per_cell
    while cell_chance(seeds, germination, plants_per_cell) < chance - SLACK:
        seeds += 1
    return seeds


def cell_chance(seeds: int, germination: float, plants_per_cell: int) -> float:
    """Return the chance that at least ``plants_per_cell`` of ``seeds`` seeds come up."""
    if seeds < 500:
        return math.fsum(
            math.comb(seeds, up) * germination**up * (1 - germination) ** (seeds - up)
            for up in range(plants_per_cell, seeds + 1)
        )
    if germination >= 1.0:
        return float(seeds >= plants_per_cell)
    yes, no = math.log(germination), math.log1p(-germination)
    every = math.lgamma(seeds + 1)  # logarithms: for a thousand cells the terms overflow a float
    return math.fsum(
        math.exp(
            every - math.lgamma(up + 1) - math.lgamma(seeds - up + 1) + up * yes + (seeds - up) * no
        )
        for up in range(plants_per_cell, seeds + 1)
    )


def full_cells(cells: int, chance_per_cell: float, sure: float = 0.9) -> int:
    """Return how many of a tray's cells give a plant (or clump), with probability ``sure``."""
    few, many = 0, cells + 1
    while many - few > 1:
        middle = (few + many) // 2
        if cell_chance(cells, chance_per_cell, middle) >= sure - SLACK:
            few = middle
        else:
            many = middle
    return few


def tray_cells(stations: int, chance_per_cell: float, sure: float = 0.9) -> int:
    """Return the cells to sow so that, with probability ``sure``, enough of them succeed.

    Parameters
    ----------
    stations : int
        Plants (or clumps) to set out.
    chance_per_cell : float
        Chance that a cell gives one, from `cell_chance`.
    sure : float
        How sure to be of having them all.
    """
    if not 0.0 < chance_per_cell <= 1.0:
        raise ValueError("the chance of a cell is above 0 and at most 1")
    cells = stations
    while cell_chance(cells, chance_per_cell, stations) < sure - SLACK:
        cells += max(1, (stations - math.floor(cells * chance_per_cell)) // 2)
    while cells > stations and cell_chance(cells - 1, chance_per_cell, stations) >= sure - SLACK:
        cells -= 1
    return cells
