"""Places that are there already: holes of a channel, pots, cells of a tray.

Counts only; where a hole or a pot stands is the gardener's own doing.
"""

from __future__ import annotations

import math

from sowplan.bed.rows import SLACK
from sowplan.bed.tubs import tub_count

NEXT_HOLE = 0.75
"""A channel's next hole will do where it is so large a share of the spacing away.

In a channel plants stand in one line with open room to both sides, so they may stand closer than
in a bed: lettuce at 25 cm goes into every hole of the usual 20 cm. Common practice, no source.
"""

POT_DEPTH = 0.9
POT_BASE = 0.75
"""Depth and base of a round pot, as shares of its width at the top.

About those of nurseries' lists of pots, which give for 10, 15, 20 and 30 l widths of 28, 33, 35.5
and 41 cm, depths of 22.5, 30, 32.5 and 36 cm, bases of 24, 25.5, 27.5 and 33 cm. Filled to the
brim such pots hold more than they are named for, about a quarter more.
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
    volume_l: float,
    pot_litres: float,
    spacing_m: float,
    row_spacing_m: float,
    *,
    diameter_m: float | None = None,
) -> int:
    """Return how many plants one pot takes; 0 where it is too small for even one.

    It must feed them, and they must have room: as many at most as stand apart with their stems
    inside the rim. Beyond it leaves may lean out by half a spacing; one plant may always stand
    there, in the middle. In a pot there are no rows: plants stand as far apart each way as gives
    each of them the ground it has in a bed.

    Parameters
    ----------
    volume_l : float
        Growing mix in the pot [l].
    pot_litres : float
        Growing mix one plant needs [l].
    spacing_m, row_spacing_m : float
        Distances of the crop in a bed, in the row and from row to row [m].
    diameter_m : float, optional
        Width of the pot at its top [m]; by default that of a usual pot, `pot_width_m`.
    """
    if volume_l <= 0.0 or pot_litres <= 0.0:
        raise ValueError("volumes must be positive")
    if spacing_m <= 0.0 or row_spacing_m <= 0.0:
        raise ValueError("spacings must be positive")
    by_volume = math.floor(volume_l / pot_litres + SLACK)
    if by_volume <= 1:
        return by_volume
    across = pot_width_m(volume_l) if diameter_m is None else diameter_m
    return min(by_volume, tub_count(across / 2, math.sqrt(spacing_m * row_spacing_m)))


def pot_width_m(volume_l: float) -> float:
    """Return how wide a usual round pot is at its top [m].

    Filled with so many litres of mix [l], its depth is `POT_DEPTH` of that width and its base
    `POT_BASE` of it: a cone cut off, 20 l in 33 cm.
    """
    litres_of_unit = 1000 * math.pi / 12 * POT_DEPTH * (1 + POT_BASE + POT_BASE**2)
    return (volume_l / litres_of_unit) ** (1 / 3)


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
