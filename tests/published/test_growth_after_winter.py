"""Biennials after a winter: how long they stand before they run to seed.

Common practice, no source: at 51 to 54° N overwintered leeks, winter cabbage, chard, parsnips and
kale are cleared between late April and late May, as they shoot; at 37 to 44° S in October and
November. What is sown in spring does not bolt in its first summer; what is half grown in autumn
does in spring, before it comes to anything; lettuce, onions for bulbs and the crops that need a
winter go their own ways.
"""

from datetime import date

import numpy as np
import pytest

from sowplan.growth.courses import Conditions
from sowplan.growth.evolve import evolve
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Climate, Site
from sowplan.site.sky import sky
from sowplan.site.towns import towns

CROPS = read_crops()[0]
TOWNS = {town.name: town for town in towns()}
SHELF = Conditions(True, "none", 18.0, 10.0)
_SKIES = {}


def courses(key, town, start, days):
    t = TOWNS[town]
    if (town, start) not in _SKIES:
        site = Site(town, t.latitude, t.longitude, t.timezone, t.elevation_m)
        _SKIES[town, start] = sky(site, Climate(tmin=t.tmin, tmax=t.tmax), start, 950)
    where = SHELF if CROPS[key].start == "raised" else Conditions(False)
    return evolve(CROPS[key], _SKIES[town, start], days, where)


def last_day(table, i=0):
    return table.course(i).harvest_end


OVERWINTERING = ["leek", "parsnip", "cabbage-winter", "kale", "chard", "swede", "celeriac"]
BIENNIAL = [
    key
    for key, crop in CROPS.items()
    if crop.bolt_chill_days is not None and crop.bolt_effect != "bolts"
]


@pytest.mark.parametrize("key", OVERWINTERING)
@pytest.mark.parametrize("town", ["London", "York", "Hamburg"])
def test_in_the_north_none_stands_beyond_late_may(key, town):
    table = courses(key, town, date(2027, 3, 1), np.arange(0, 150, 10))
    ends = [last_day(table, i) for i in np.flatnonzero(table.feasible)]
    assert ends and max(ends) <= date(2028, 5, 31)


@pytest.mark.parametrize("key", ["leek", "cabbage-winter", "parsnip"])
def test_at_london_late_spring_sowings_stand_until_they_shoot(key):
    sown = (date(2027, 5, 24) - date(2027, 3, 1)).days
    end = last_day(courses(key, "London", date(2027, 3, 1), [sown]))
    assert date(2028, 4, 10) <= end <= date(2028, 5, 20)


@pytest.mark.parametrize("town", ["Christchurch", "Hobart", "Wellington", "Auckland"])
def test_in_the_south_leeks_go_over_in_october_or_november(town):
    sown = (date(2027, 12, 1) - date(2027, 9, 1)).days
    end = last_day(courses("leek", town, date(2027, 9, 1), [sown]))
    assert date(2028, 9, 25) <= end <= date(2028, 11, 30)


@pytest.mark.parametrize("town", ["London", "Boston", "Christchurch", "Milan"])
def test_spring_sowings_do_not_bolt_from_the_cold_of_spring(town):
    """A month before the last frost at the earliest for what is raised: April, or October."""
    start = date(2027, 10, 5) if town == "Christchurch" else date(2027, 4, 5)
    for key in BIENNIAL:
        table = courses(key, town, start, [0, 20, 40])
        assert not any("cold of winter" in reason for reason in table.reason), key


def test_half_grown_in_autumn_it_bolts_before_it_is_ready_and_says_so():
    july = (date(2027, 7, 25) - date(2027, 3, 1)).days
    table = courses("leek", "London", date(2027, 3, 1), [july])
    assert not table.feasible[0]
    assert table.reason[0] == (
        "after the cold of winter it would bolt in spring, before it is ready"
    )


def test_spring_cabbage_of_mid_august_hearts_in_april_to_june():
    """Common practice: sown from late July to late August, cut from April to June."""
    sown = (date(2027, 8, 16) - date(2027, 3, 1)).days
    course = courses("cabbage-pointed", "London", date(2027, 3, 1), [sown]).course(0)
    assert date(2028, 4, 1) <= course.harvest_start <= date(2028, 6, 15)


def test_without_cold_none_bolts_so():
    for key in BIENNIAL:
        table = courses(key, "Singapore", date(2027, 1, 1), np.arange(0, 365, 60))
        assert not any("cold of winter" in reason for reason in table.reason), key


def test_which_crops_winter_makes_bolt():
    """Biennials all; none that wants a winter first, forms a bulb by long days, or is annual."""
    for key in BIENNIAL:
        crop = CROPS[key]
        assert crop.chill_days is None and crop.bolt_effect != "bulbs", key
    genera = {CROPS[key].botanical_name.split()[0] for key in BIENNIAL}
    assert genera == set(
        "Allium Daucus Pastinaca Brassica Beta Apium Petroselinum Cichorium".split()
    )
