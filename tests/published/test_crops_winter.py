"""Crops that need the cold of a winter, against what gardeners say of them.

Common practice, no source: in the south garlic is planted on the shortest day and lifted on the
longest; in the north it is planted in October or November and lifted in July or early August;
sprouting broccoli and winter cauliflower, sown from late spring, are cut in the spring after. None
of them does anything in a place without a winter.
"""

from datetime import date

import numpy as np
import pytest

from sowplan.growth.courses import Conditions
from sowplan.growth.evolve import evolve
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Climate, Site
from sowplan.site.sky import sky

CROPS, _ = read_crops()
START = date(2026, 1, 1)
# Monthly mean minima and maxima invented for a coastal town at 41° S, an inland one at 53° N and
# a lowland one near the equator; round figures of the sort atlases print for such places.
SOUTH = (
    Site("Southern town", -41.3, 173.5, "Pacific/Auckland"),
    Climate(
        tmin=(12, 12, 10, 7, 5, 3, 2, 3, 5, 7, 9, 11),
        tmax=(24, 24, 22, 19, 16, 13, 12, 14, 16, 18, 20, 22),
    ),
)
NORTH = (
    Site("Northern town", 53.0, -1.5, "Europe/London"),
    Climate(
        tmin=(1, 1, 2, 4, 7, 10, 12, 12, 10, 7, 4, 2),
        tmax=(7, 7, 10, 13, 16, 19, 21, 21, 18, 14, 10, 7),
    ),
)
TROPIC = (
    Site("Tropical town", 3.0, 101.5, "Asia/Kuala_Lumpur"),
    Climate(tmin=(24,) * 12, tmax=(32,) * 12),
)
_SKIES = {}


def course(key, place, sown):
    site, climate = place
    if site.name not in _SKIES:
        _SKIES[site.name] = sky(site, climate, START, 1000)
    crop = CROPS[key]
    raised = crop.start != "direct"
    conditions = Conditions(raised=raised, tray_temperature_c=18.0 if raised else None)
    days = np.array([(sown - START).days])
    return evolve(crop, _SKIES[site.name], days, conditions).course(0)


def test_garlic_of_the_shortest_day_is_lifted_about_the_longest():
    lifted = course("garlic", SOUTH, date(2026, 6, 21)).harvest_start
    assert abs((lifted - date(2026, 12, 21)).days) <= 14


@pytest.mark.parametrize("planted", [date(2026, 10, 15), date(2026, 11, 10)])
def test_garlic_of_a_northern_autumn_is_lifted_in_high_summer(planted):
    lifted = course("garlic", NORTH, planted).harvest_start
    assert date(2027, 7, 1) <= lifted <= date(2027, 8, 10)


@pytest.mark.parametrize("key", ["broccoli-sprouting", "cauliflower-winter"])
@pytest.mark.parametrize("month", [4, 5, 6])
def test_winter_brassicas_of_spring_and_early_summer_are_cut_in_the_spring_after(key, month):
    cut = course(key, NORTH, date(2026, month, 10)).harvest_start
    assert date(2027, 2, 15) <= cut <= date(2027, 5, 15)


@pytest.mark.parametrize("key", ["garlic", "broccoli-sprouting", "cauliflower-winter"])
def test_without_a_winter_they_come_to_nothing(key):
    assert not course(key, TROPIC, date(2026, 3, 1)).feasible


def test_the_crops_that_need_cold_are_these():
    needing = {key for key, crop in CROPS.items() if crop.chill_days is not None}
    assert needing == {"garlic", "broccoli-sprouting", "cauliflower-winter"}
