"""Young plants that are bought: planted out on their day, grown as though raised to that age."""

from datetime import date

import numpy as np
import pytest

from sowplan.growth.conditions import bought_for
from sowplan.growth.courses import Conditions
from sowplan.growth.evolve import Seen, evolve
from sowplan.growth.reasons import by_cold_outside
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Bed, Where

CROPS = {key: crop for key, crop in read_crops()[0].items() if crop.start != "direct"}
BOUGHT = Conditions(True, bought=True)
SHELF = Conditions(True, tray_temperature_c=20.0, tray_dli_mol=14.0)


def steady(sky_of, crop, **more):
    """Return the crop's reference weather for ever, in days in which it neither bolts nor fails."""
    hours = 12.0
    if crop.bolt_daylength_h is not None:
        hours = crop.bolt_daylength_h + (1 if crop.bolt_effect == "bulbs" else -1)
    return sky_of(
        **{"mean": crop.maturity_temp_c, "dli": crop.maturity_dli_mol, "daylength": hours} | more
    )


@pytest.mark.parametrize(
    "key", [k for k, c in CROPS.items() if c.maturity_from == "transplanting" and not c.chill_days]
)
def test_days_to_maturity_are_the_tables_own_days_from_transplanting(key, sky_of):
    """The table counts from planting out: so many days it is, whoever raised the plant."""
    crop = CROPS[key]
    course = evolve(crop, steady(sky_of, crop), [30], BOUGHT).course(0)
    assert course.feasible, course.reason
    assert course.sow == course.emergence == course.planting_out == date(2025, 1, 31)
    assert abs((course.harvest_start - course.planting_out).days - crop.maturity_days) <= 1


@pytest.mark.parametrize("key", CROPS)
def test_grows_as_one_of_ones_own_planted_out_that_day(key, sky_of):
    """In a spring that warms, by day 200 as warm as the crop likes."""
    crop = CROPS[key]
    warming = np.interp(np.arange(900), [0, 200], [8.0, crop.maturity_temp_c])
    sky = steady(sky_of, crop, mean=warming)
    own = evolve(crop, sky, np.arange(0, 250, 25), SHELF)
    rows = own.feasible
    assert rows.any()
    bought = evolve(crop, sky, own.planting_out[rows], BOUGHT)
    assert bought.feasible.all()
    assert np.array_equal(bought.planting_out, own.planting_out[rows])
    if not crop.chill_days:  # its cold is counted from the day it is sown, or bought
        assert np.array_equal(bought.harvest_start, own.harvest_start[rows])
        assert np.array_equal(bought.lot_last, own.lot_last[rows])


def test_a_frost_to_come_keeps_it_in_until_it_is_over(sky_of, crops):
    sky = sky_of(mean=20.0, unsafe=[(0, 60)])
    table = evolve(crops["tomato"], sky, [0, 60, 61], BOUGHT)
    assert table.feasible.tolist() == [False, False, True]
    assert table.reason[:2] == ("too cold outside until 3 March",) * 2  # day 61 of 2025
    assert table.planting_out.tolist() == [-1, -1, 61]
    assert by_cold_outside(table.reason[0])


def test_cold_nights_keep_a_tender_plant_in(sky_of, crops):
    tomato = crops["tomato"]
    nights = np.where(np.arange(900) < 100, tomato.night_c - 1.0, tomato.night_c + 1.0)
    sky = sky_of(mean=nights + 6.0, half_range=6.0, dli=40.0)
    table = evolve(tomato, sky, [10, 99 + 3], BOUGHT)
    # The week about day 101 is the first whose nights are warm enough on the mean: 3 of 7 days
    # are a degree too cold on day 100, and 4 a degree warmer.
    assert table.reason == ("nights too cold to plant it out until 11 April", "")
    assert by_cold_outside(table.reason[0])


def test_where_it_never_warms_it_is_never_planted_out(sky_of, crops):
    table = evolve(crops["tomato"], sky_of(mean=20.0, unsafe=[(0, 899)]), [5], BOUGHT)
    assert table.reason[0].startswith("no time to plant it out that is warm enough")
    assert table.emergence[0] == 5


def test_a_warm_or_lit_tray_makes_no_difference_and_cold_ground_neither(sky_of, crops):
    """No seed lies in the soil, so its germination plays no part."""
    crop = crops["cabbage-summer"]
    soils = [evolve(crop, sky_of(mean=16.0, soil=s), [20], BOUGHT) for s in (-5.0, 16.0, 45.0)]
    assert {int(t.harvest_start[0]) for t in soils} == {int(soils[0].harvest_start[0])}
    assert soils[0].feasible[0]


def test_one_planted_out_already_was_fit_for_it(sky_of, crops):
    sky = sky_of(mean=20.0, unsafe=[(0, 60)])
    standing = evolve(crops["tomato"], sky, [40], BOUGHT, seen=Seen(70, 40))
    assert standing.feasible[0] and standing.planting_out[0] == 40


def test_the_place_counts(crops):
    bed = Bed("B", 2.0, 1.0, 0.3, Where("g.toml", "[[bed]] 1", 1), cover="tunnel")
    assert bought_for(bed) == Conditions(True, "tunnel", bought=True)
