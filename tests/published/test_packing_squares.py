"""Counts against what is known of points in a square and circles in a circle.

Source of ``points_in_square.csv``: the published tables of packings of equal circles in a square
(n to 9 proven by hand; to 30 by computer-assisted proof). Circles in a circle: an encyclopaedia's
table of circle packing in a circle, n to 20 (three decimals, proven to 14 and for 19; further
decimals from memory); for larger ones sequence A023393 of the On-Line Encyclopedia of Integer
Sequences, the most unit circles known in a circle of radius 0, 1, 2 …
"""

import csv
import math
from pathlib import Path

import numpy as np
import pytest

from sowplan.bed.bounds import CIRCLE_BEST, SQUARE_BEST, bound, oler
from sowplan.bed.fit import fit
from sowplan.bed.outlines import tub
from sowplan.bed.small import GRID, TABLE
from sowplan.bed.tubs import TABLE as TUBS

FIGURES = Path(__file__).parent / "figures" / "points_in_square.csv"

with FIGURES.open(encoding="utf-8") as file:
    BEST = {int(row["n"]): float(row["max_min_distance"]) for row in csv.DictReader(file)}

# Radius of the smallest circle around n unit circles.
ROUND = (1, 2, 2.15470, 2.41421, 2.70130, 3, 3, 3.30477, 3.61313, 3.81303, 3.92380, 4.02960)
ROUND += (4.23607, 4.32843, 4.52136, 4.61540, 4.79203, 4.86370, 4.86370, 5.12232)


def widest_spacing(n):
    """The largest spacing at which n plants go into a unit square of centres, to 1e-6."""
    low, high = 0.05, 1.5
    while high - low > 1e-6:
        middle = (low + high) / 2
        low, high = (middle, high) if fit(1, 1, middle, edge_m=0).plants >= n else (low, middle)
    return low


@pytest.mark.parametrize("n", sorted(BEST))
def test_points_in_a_square_never_above_and_close_to_the_published_best(n):
    reached = widest_spacing(n)
    print(f"{n:>3} {reached:.6f} of {BEST[n]:.6f}: {reached / BEST[n]:.4%}")
    assert abs(reached - BEST[n]) <= 2e-6  # six decimals are published, and found to 1e-6


def test_the_bound_in_the_program_is_the_published_table():
    for n, distance in BEST.items():
        # Rounded up in the last place by at most one unit, so that the bound holds.
        assert 0 <= SQUARE_BEST[n - 1] - distance <= 1.001e-6


@pytest.mark.parametrize("n", range(2, 31))
def test_the_bound_is_sharp_in_squares(n):
    side = 1 / BEST[n]
    assert bound(side * (1 - 1e-5), side * (1 - 1e-5), 1.0)[0] < n or BEST[n] in (BEST.get(n + 1),)
    assert bound(side * (1 + 1e-5), side * (1 + 1e-5), 1.0)[0] >= n


def test_olers_bound_holds_with_equality_in_a_row_and_a_triangle_lattice():
    # A row of k + 1 points one apart in a segment of length k: Oler's bound is k + 1 exactly.
    for k in (1, 5, 12):
        assert oler(k, 0.0, 1.0) == k + 1
    # It exceeds the published best of no square of the table.
    for n, distance in BEST.items():
        assert oler(1 / distance, 1 / distance, 1.0) >= n


@pytest.mark.parametrize("n", range(1, 21))
def test_plants_in_a_round_tub_are_as_many_as_the_published_best(n):
    diameter = 2 * ROUND[n - 1] * (1 + 1e-5)  # unit circles: plants two apart
    most = max(m for m in range(1, 21) if ROUND[m - 1] <= ROUND[n - 1] * (1 + 1e-5))
    layout = fit(diameter, diameter, 2.0, outline=tub(diameter))
    assert layout.plants == most <= layout.bound
    smaller = fit(diameter * 0.9998, diameter * 0.9998, 2.0, outline=tub(diameter * 0.9998))
    assert smaller.plants < most
    if most <= 14:
        assert smaller.bound < most  # proven: the bound is as sharp


@pytest.mark.parametrize(
    "radius, most", list(enumerate((1, 2, 7, 11, 19, 27, 38, 50, 64, 80), start=1))
)
def test_tubs_of_whole_radii(radius, most):
    plants = fit(2 * radius, 2 * radius, 2.0, outline=tub(2 * radius)).plants
    assert plants <= most
    assert plants >= (most if radius <= 7 else 0.94 * most)


def test_the_bound_of_tubs_is_the_published_table():
    for n, radius in CIRCLE_BEST:
        # Centres stand within the circle less the radius of one; unit circles are two apart.
        # Of some radii three decimals are published, cut off: half of that is lost at most.
        assert -5e-6 <= (ROUND[n - 1] - 1) / 2 - radius <= 5e-4


def test_every_kept_small_layout_is_what_it_says():
    lines = TABLE.read_text(encoding="utf-8").splitlines()[1:]
    assert len(lines) > 300
    for line in lines:
        n, a, b, places = line.split(",")
        whole = np.array(places.split(), dtype=np.int64).reshape(-1, 2)
        assert len(whole) == int(n)
        assert whole.min() == 0 and whole[:, 0].max() == int(a) and whole[:, 1].max() == int(b)
        i, j = np.triu_indices(len(whole), 1)
        assert ((whole[i] - whole[j]) ** 2).sum(axis=1).min() >= GRID**2  # whole numbers: exact
        assert int(n) <= bound(int(a) / GRID, int(b) / GRID, 1.0)[0]


def test_every_kept_round_layout_is_what_it_says():
    lines = TUBS.read_text(encoding="utf-8").splitlines()[1:]
    assert len(lines) >= 39
    for line in lines:
        n, radius, places = line.split(",")
        whole = np.array(places.split(), dtype=np.int64).reshape(-1, 2)
        assert len(whole) == int(n)
        assert (whole**2).sum(axis=1).max() <= int(radius) ** 2
        i, j = np.triu_indices(len(whole), 1)
        assert ((whole[i] - whole[j]) ** 2).sum(axis=1).min() >= GRID**2  # whole numbers: exact


def test_offset_rows_reach_the_density_of_the_plane():
    # Lagrange; Thue: no layout is denser than 2/√3 plants a spacing squared. A large bed comes
    # within its edges' share of it.
    layout = fit(40.0, 40.0, 0.25)
    density = layout.plants * 0.25**2 / (40.0 * 40.0)
    assert 0.985 * 2 / math.sqrt(3) < density < 2 / math.sqrt(3)
