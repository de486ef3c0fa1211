"""Holes, pots and tray cells."""

import math

import pytest
from scipy.stats import binom

from sowplan.bed.slots import (
    cell_chance,
    full_cells,
    holes_per_plant,
    holes_used,
    plants_per_pot,
    pot_width_m,
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


def test_pots_feed_so_many():
    assert plants_per_pot(10, 3, 0.05, 0.05) == 3
    assert plants_per_pot(10, 12, 0.05, 0.05) == 0
    assert plants_per_pot(10, 10, 0.8, 0.9) == 1  # one may always stand there, and lean out


@pytest.mark.parametrize(
    ("litres", "across_cm", "deep_cm", "base_cm"),
    # From nurseries' lists of pots, which agree with one another; their litres are to the name.
    [(10, 28, 22.5, 24), (15, 33, 30, 25.5), (20, 35.5, 32.5, 27.5), (30, 41, 36, 33)],
)
def test_a_pot_is_as_wide_as_nurseries_pots_of_what_they_hold(litres, across_cm, deep_cm, base_cm):
    # What a cone cut off holds to its brim, more than the name says; within a tenth, as a pot's
    # sides are not all alike.
    brim = math.pi / 12 * deep_cm * (across_cm**2 + across_cm * base_cm + base_cm**2) / 1000
    assert litres < brim < 1.4 * litres
    assert 100 * pot_width_m(brim) == pytest.approx(across_cm, rel=0.1)


def test_a_pot_of_20_litres_by_hand():
    # π/12 · 0.9 · (1 + 0.75 + 0.5625) = 0.5449 of the width cubed: 20 l are 33.2 cm wide, and
    # the stems stand on a round of 16.6 cm from its middle.
    assert pot_width_m(20) == pytest.approx(0.3323, abs=5e-5)
    # Smallest rounds of points one apart, known since long: three 0.5774, four 0.7071, five 0.8507,
    # eight 1.1524, nine 1.3066 = 1 / (2 sin(π/8)), ten 1.4619 (unit circles in a circle, less one).
    assert plants_per_pot(20, 3, 0.25, 0.25) == 3  # 16.6 / 25 = 0.665
    assert plants_per_pot(20, 3, 0.20, 0.25) == 4  # 16.6 / √(20 · 25) = 0.743
    assert plants_per_pot(20, 1, 0.10, 0.15) == 9  # 16.6 / √(10 · 15) = 1.357
    assert plants_per_pot(20, 1, 0.25, 0.25, diameter_m=0.5) == 7  # six round one: 1.0


def test_of_what_leans_out_a_pot_takes_no_more_than_its_round_and_half_a_spacing():
    for litres in (1, 5, 12, 40, 300, 2000):
        for apart in (0.04, 0.1, 0.25, 0.5):
            many = plants_per_pot(litres, 1e-3, apart, apart)
            reach = (pot_width_m(litres) / apart + 1) ** 2  # of rounds one wide; nothing is denser
            assert 1 <= many <= max(1, 0.9069 * reach)
            assert many >= plants_per_pot(litres / 2, 1e-3, apart, apart)


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
        plants_per_pot(0, 2, 0.2, 0.2)
    with pytest.raises(ValueError):
        plants_per_pot(10, 2, 0.0, 0.2)
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
