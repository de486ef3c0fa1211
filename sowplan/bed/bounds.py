"""Upper bounds: numbers of plants that no layout of any kind can exceed.

All speak of points at least ``spacing_m`` apart in the rectangle on which plant
centres may stand (the edge is already taken off).
"""

from __future__ import annotations

import math

from sowplan.bed.layout import BoundBy
from sowplan.bed.rows import SLACK

ROOT3 = math.sqrt(3.0)

SQUARE_BEST = (
    # n: largest possible least distance between n points in a unit square. Proven; from the
    # published tables of packings of equal circles in a square. n = 1 stands for no distance.
    # Rounded up in the last place, so that the bound holds.
    (math.inf, 1.414214, 1.035277, 1.000000, 0.707107, 0.600926, 0.535899, 0.517639, 0.500000)
    + (0.421280, 0.398208, 0.388731, 0.366097, 0.348916, 0.341082, 0.333334, 0.306154, 0.300463)
    + (0.289542, 0.286612, 0.271813, 0.267959, 0.258820, 0.254334, 0.250000, 0.238735, 0.235850)
    + (0.230536, 0.226884, 0.224503)
)

CIRCLE_BEST = (
    # Plants, and the radius in spacings of the smallest circle in which their centres can stand:
    # half of what the published tables of equal circles in a circle give beyond the circle's own
    # radius. Proven: 2 to 7 Graham 1968, 8 to 10 Pirl 1969, 11 Melissen 1994, 12 Fodor 2000,
    # 13 Fodor 2003, 14 Ekanayake and LaFountain 2024, 19 Fodor 1999 (from an encyclopaedia's table
    # of circle packing in a circle). Rounded down, so that the bound holds.
    ((2, 0.5), (3, 0.577350), (4, 0.707106), (5, 0.850650), (6, 1.0), (8, 1.152382), (9, 1.306562))
    + ((10, 1.4065), (11, 1.461902), (12, 1.5145), (13, 1.618033), (14, 1.6640), (19, 1.931851))
)


def oler(length_m: float, width_m: float, spacing_m: float) -> int:
    """Return Oler's bound on points ``spacing_m`` apart in a rectangle.

    (2/√3)·A·B/s² + (A + B)/s + 1, rounded down. N. Oler, "An inequality in the geometry of
    numbers", Acta Mathematica 105 (1961); formula and source from memory.
    """
    a, b = length_m / spacing_m, width_m / spacing_m
    return math.floor(2 / ROOT3 * a * b + a + b + 1 + SLACK)


def oler_convex(area_m2: float, perimeter_m: float, spacing_m: float) -> int:
    """Return Oler's bound for any convex region: (2/√3)·area/s² + perimeter/(2·s) + 1."""
    s = spacing_m
    return math.floor(2 / ROOT3 * area_m2 / s**2 + perimeter_m / (2 * s) + 1 + SLACK)


def narrow(length_m: float, width_m: float, spacing_m: float) -> int | None:
    """Return the bound of a bed narrower than one spacing, or None where it is not.

    Take the plants in the order in which they stand along the bed: each is at most the width
    aside of the last, so at least √(s² − B²) further on. Exact up to a width of √3/2 spacings.
    """
    if width_m >= spacing_m * (1 - SLACK):
        return None
    step = math.sqrt(spacing_m**2 - width_m**2)
    return math.floor(length_m / step + SLACK) + 1


def in_square(side_m: float, spacing_m: float) -> int | None:
    """Return the proven most points ``spacing_m`` apart in a square, or None beyond the table."""
    reach = spacing_m / side_m * (1 - SLACK) if side_m > 0 else math.inf
    if reach <= SQUARE_BEST[-1]:
        return None
    return max(n for n, distance in enumerate(SQUARE_BEST, 1) if distance >= reach)


def in_circle(radius_m: float, spacing_m: float) -> int | None:
    """Return the proven most points ``spacing_m`` apart in a circle, or None beyond the table."""
    reach = radius_m / spacing_m * (1 + SLACK)
    return next((n - 1 for n, radius in CIRCLE_BEST if reach < radius), None)


def bound(length_m: float, width_m: float, spacing_m: float) -> tuple[int, BoundBy]:
    """Return the least of the bounds for a rectangle, and which one it is.

    Parameters
    ----------
    length_m, width_m : float
        Sides of the rectangle on which plant centres may stand [m].
    spacing_m : float
        Least distance between plants [m].

    Returns
    -------
    tuple of int and BoundBy
        Number of plants, and which bound it is.
    """
    long, short = max(length_m, width_m), min(length_m, width_m)
    found: list[tuple[int, BoundBy]] = []
    one_row = narrow(long, short, spacing_m)
    if one_row is not None:
        found.append((one_row, BoundBy.NARROW))
    square = in_square(long, spacing_m)
    if square is not None:
        found.append((square, BoundBy.SQUARE))
    found.append((oler(long, short, spacing_m), BoundBy.OLER))
    return min(found, key=lambda item: item[0])


def region_bound(area_m2: float, perimeter_m: float, spacing_m: float, parts: int = 1) -> int:
    """Return a bound for a region of any outline, holes included.

    Parameters
    ----------
    area_m2, perimeter_m : float
        Of the region on which plant centres may stand [m², m]; the rims of holes count.
    spacing_m : float
        Least distance between plants [m].
    parts : int
        Number of separate pieces; 0 where ``area_m2`` has been grown by s/√3 already.

    Notes
    -----
    About each plant lies the part of its Voronoi cell within s/√3; it measures at least
    (√3/2)·s², by the argument of L. Fejes Tóth for discs in the plane (from memory). These
    parts do not overlap and reach at most s/√3 beyond the region, which on the way there grows
    by no more than perimeter·s/√3, and π·s²/3 for each piece.
    """
    reach = spacing_m / ROOT3
    grown = area_m2 + perimeter_m * reach + parts * math.pi * reach**2
    return math.floor(grown / (ROOT3 / 2 * spacing_m**2) + SLACK)
