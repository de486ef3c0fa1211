"""Holes, pots and tray cells."""

import pytest
from scipy.stats import binom

from sowplan.bed.slots import (
    cell_chance,
    full_cells,
    holes_per_plant,
    holes_used,
    plants_per_pot,
    ring_count,
    seeds_per_cell,
    tray_cells,
)


@pytest.mark.parametrize(
    "hole, crop, each",
    [
        (0.2, 0.2, 1),
        (0.2, 0.15, 1),
        (0.2, 0.25, 1),  # lettuce in the usual channel: common practice, no source
        (0.15, 0.2, 1),  # three quarters of the spacing will just do
        (0.149, 0.2, 2),
        (0.2, 0.3, 2),
        (0.2, 0.4, 2),
        (0.1, 0.3, 3),
    ],
)
def test_every_so_manieth_hole(hole, crop, each):
    assert holes_per_plant(hole, crop) == each


def test_holes_of_a_wide_crop_are_far_enough_apart():
    used = holes_used(11, 0.2, 0.35)
    assert used == (1, 3, 5, 7, 9, 11)


def test_pots():
    assert plants_per_pot(10, 3) == 3
    assert plants_per_pot(10, 12) == 0
    assert plants_per_pot(40, 3, diameter_m=0.3, spacing_m=0.25) == ring_count(0.3, 0.25)


def test_ring_of_seven():
    # Six round one in the middle, all one spacing apart: a hexagon two spacings across.
    assert ring_count(0.4, 0.2) == 7
    assert ring_count(0.19, 0.2) == 1
    assert ring_count(0.2, 0.2) == 2


@pytest.mark.parametrize("germination", [0.35, 0.6, 0.8, 0.95, 1.0])
@pytest.mark.parametrize("plants", [1, 3, 5])
def test_seeds_a_cell_against_the_binomial_of_scipy(germination, plants):
    seeds = seeds_per_cell(germination, plants)
    assert binom.sf(plants - 1, seeds, germination) >= 0.9 - 1e-9
    assert seeds == plants or binom.sf(plants - 1, seeds - 1, germination) < 0.9
    assert cell_chance(seeds, germination, plants) == pytest.approx(
        binom.sf(plants - 1, seeds, germination)
    )


@pytest.mark.parametrize("chance", [0.5, 0.8, 0.99, 1.0])
@pytest.mark.parametrize("stations", [1, 12, 40])
def test_cells_against_the_binomial_of_scipy(chance, stations):
    cells = tray_cells(stations, chance)
    assert binom.sf(stations - 1, cells, chance) >= 0.9 - 1e-9
    assert cells == stations or binom.sf(stations - 1, cells - 1, chance) < 0.9


def test_nonsense_is_refused():
    with pytest.raises(ValueError):
        holes_per_plant(0, 0.2)
    with pytest.raises(ValueError):
        plants_per_pot(0, 2)
    with pytest.raises(ValueError):
        seeds_per_cell(0.0, 1)
    with pytest.raises(ValueError):
        tray_cells(5, 0.0)


@pytest.mark.parametrize("chance", [0.6, 0.95, 1.0])
@pytest.mark.parametrize("cells", [84, 499, 500, 5120])
def test_full_cells_against_the_binomial_of_scipy(chance, cells):
    full = full_cells(cells, chance)
    assert binom.sf(full - 1, cells, chance) >= 0.9 - 1e-9
    assert full == cells or binom.sf(full, cells, chance) < 0.9 + 1e-9
