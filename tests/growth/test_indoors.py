"""Places kept warm indoors: their own temperature and lamps count, and nothing of the sky."""

from datetime import date, timedelta

import numpy as np
import pytest

from sowplan.growth.conditions import bought_for, conditions_of, daylength_of, weather_of
from sowplan.growth.courses import Conditions
from sowplan.growth.evolve import evolve
from sowplan.growth.nights import PLANTED_FROM_C
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Bed, Channel, Climate, Indoors, Site, Tray, Where
from sowplan.site.sky import sky

CROPS = read_crops()[0]
AT = Where("garden.toml", "[[channel]] 1", 1)
LIT = Channel("Lit", 18, 0.2, AT, indoors=Indoors(18.0, 16.0, 200.0))
SHELF = Tray("Shelf", 84, AT, 18.0, 14.0, 200.0)
HILLS = Site("Under hills", -46.4, 168.3, "Pacific/Auckland", 2.0, ((0.0, 30.0), (180.0, 30.0)))
BITTER = {"mean": -15.0, "dli": 0.0, "daylength": 0.0, "soil": -5.0, "unsafe": ((0, 899),)}


def test_lamps_bring_hours_times_flux():
    """200 µmol m-2 s-1 x 16 h x 3600 s/h = 11.52 mol m-2 d-1."""
    for found in (conditions_of(CROPS["chard"], LIT, SHELF, HILLS), bought_for(LIT, HILLS)):
        assert found.lamp_dli_mol == pytest.approx(11.52)
        assert (found.indoors_c, found.lamp_hours, found.light_share) == (18.0, 16.0, 1.0)
        assert found.film and not found.in_open


def test_by_a_window_there_is_the_daylight_that_glass_lets_in_to_a_tray(sky_of):
    here = sky_of(mean=5.0, dli=20.0, daylength=9.0).series
    kept = weather_of(Conditions(False, indoors_c=21.0), here)
    assert set(kept.tmin) == set(kept.tmax) == set(kept.soil) == {21.0}
    assert kept.dli == pytest.approx(12.0)  # of 20 mol; 0.6 behind glass, as for trays
    assert set(daylength_of(Conditions(False, indoors_c=21.0), here)) == {9.0}


@pytest.mark.parametrize("key", ["lettuce-butterhead", "rocket", "basil", "radish", "tomato"])
@pytest.mark.parametrize("way", ["direct", "in trays", "bought"])
def test_in_a_bitter_winter_it_grows_as_in_steady_weather_like_that_indoors(key, way, sky_of):
    crop = CROPS[key]
    raised = way != "direct"
    if raised and crop.tray_days is None:
        pytest.skip("never raised")
    tray = {"tray_temperature_c": 20.0, "tray_dli_mol": 12.0} if way == "in trays" else {}
    given = {"raised": raised, "bought": way == "bought", **tray}
    lamps = {"indoors_c": 21.0, "lamp_hours": 12.0, "lamp_dli_mol": 15.0}
    days = np.arange(0, 200, 20)
    indoors = evolve(crop, sky_of(**BITTER), days, Conditions(**given, **lamps))
    steady = sky_of(mean=21.0, half_range=0.0, dli=15.0, daylength=12.0)
    outside = evolve(crop, steady, days, Conditions(**given))
    assert indoors.feasible.all(), indoors.reason
    for column in ("emergence", "planting_out", "harvest_start", "harvest_end", "lot_share"):
        np.testing.assert_array_equal(getattr(indoors, column), getattr(outside, column))


def test_days_worked_out_by_hand(sky_of):
    """Butterhead at its optimum of 22 °C in 11.52 mol m-2 d-1.

    The table has 43 days from transplanting at 13 to 23 °C and 30 mol: there it runs at 0.885 of
    its speed by warmth (the mean of six points of the day) times 28.75/32.5 = 0.885 by light; here
    at 1 x 10.27/14.02 = 0.733. 43 x 0.885 x 0.885 / 0.733 = 45.9 days in soil; in nutrient film two
    thirds of them, 30.6.
    """
    crop = CROPS["lettuce-butterhead"]
    lamps = {"indoors_c": 22.0, "lamp_hours": 16.0, "lamp_dli_mol": 11.52}
    for film, days in ((False, 45.9), (True, 30.6)):
        given = Conditions(True, bought=True, film=film, **lamps)
        course = evolve(crop, sky_of(**BITTER), [0], given).course(0)
        assert (course.harvest_start - course.planting_out).days == pytest.approx(days, abs=1.0)
        assert course.harvest_start_early == course.harvest_start == course.harvest_start_late


def test_the_lamps_hours_are_the_days_that_make_spinach_bolt(sky_of):
    """It bolts in days longer than 14 h: soon under lamps of 18 h in midwinter, and not in 12 h.

    That long days make it bolt, and not short ones, is common knowledge; the days are our own.
    """
    crop = CROPS["spinach"]
    lamps = {"indoors_c": 16.0, "lamp_dli_mol": 12.0}
    winter, summer = sky_of(daylength=8.0), sky_of(daylength=17.0)
    long = evolve(crop, winter, [0], Conditions(False, lamp_hours=18.0, **lamps)).course(0)
    short = evolve(crop, summer, [0], Conditions(False, lamp_hours=12.0, **lamps)).course(0)
    assert long.harvest_end - long.harvest_start < timedelta(4) < timedelta(20)
    assert short.harvest_end - short.harvest_start > timedelta(20) and short.size > long.size


def test_where_it_is_kept_too_cold_nothing_tender_is_planted(sky_of):
    cold = {"indoors_c": 9.0, "lamp_hours": 16.0, "lamp_dli_mol": 15.0}
    course = evolve(CROPS["basil"], sky_of(mean=25.0), [0], Conditions(True, **cold)).course(0)
    assert not course.feasible


def test_other_weathers_stay_outside_but_for_seedlings_raised_there(sky_of):
    """Of seedlings in the open the date varies; what is raised indoors has but one."""
    rng = np.random.default_rng(4)
    many = np.cumsum(rng.normal(0.0, 1.0, (20, 900)), axis=1) * 0.2
    here = sky_of(mean=14.0, dli=20.0, scenarios=many)
    lamps = {"indoors_c": 18.0, "lamp_hours": 16.0, "lamp_dli_mol": 12.0}
    crop = CROPS["lettuce-loose-leaf"]
    outdoors = evolve(crop, here, [60], Conditions(True, **lamps)).course(0)
    assert outdoors.harvest_start_early < outdoors.harvest_start_late
    shelf = {"tray_temperature_c": 18.0, "tray_dli_mol": 12.0}
    inside = evolve(crop, here, [60], Conditions(True, **shelf, **lamps)).course(0)
    assert inside.harvest_start_early == inside.harvest_start_late


def test_in_polar_night_nothing_hardy_is_planted_out_under_glass():
    """Means of about -4 °C at 70° N: no gardener plants lamb's lettuce (common practice)."""
    tmin = (-6.0, -6.0, -5.0, -2.0, 2.0, 6.0, 9.0, 8.0, 5.0, 1.0, -3.0, -5.0)
    tmax = (-2.0, -2.0, 0.0, 3.0, 8.0, 12.0, 15.0, 14.0, 10.0, 5.0, 1.0, -1.0)
    site = Site("Polar box", 69.65, 18.96, "Europe/Oslo")
    here = sky(site, Climate(tmin, tmax), date(2026, 11, 1), 500)
    glass = Bed("Glass box", 2.4, 0.9, 0.4, AT, cover="glass")
    place = conditions_of(CROPS["lambs-lettuce"], glass, SHELF, site)
    table = evolve(CROPS["lambs-lettuce"], here, np.arange(0, 300), place)
    out = table.planting_out[table.planting_out >= 0]
    kept = weather_of(place, here.series)
    assert len(out)
    assert ((kept.tmin + kept.tmax) / 2.0)[out].min() > PLANTED_FROM_C
    days = np.datetime64("2026-11-01") + out
    winter = (days >= np.datetime64("2026-12-15")) & (days < np.datetime64("2027-03-01"))
    assert not winter.any()
