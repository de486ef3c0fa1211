"""Crops that need the cold of a winter, against what gardeners say of them.

Common practice, no source: in the south garlic is planted on the shortest day and lifted on the
longest; in the north it is planted in October or November and lifted in July or early August;
sprouting broccoli and winter cauliflower, sown from late spring, are cut in the spring after. None
of them does anything in a place without a winter.

Garlic in mild winters: growers in the Waikato (rediscover.co.nz) plant from April to July and lift
about the longest day; in Tasmania (ultimatebackyard.com.au) from April to June, for late spring
and summer. It grows after eight to ten weeks of nights below 12 °C, days of 14 to 22 °C
notwithstanding (Tasmanian Gourmet Garlic, on warm temperate climates).
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


def town(name):
    t = next(t for t in towns() if t.name == name)
    site = Site(t.name, t.latitude, t.longitude, t.timezone, t.elevation_m)
    return site, Climate(tmin=t.tmin, tmax=t.tmax)


@pytest.mark.parametrize("name", ["Auckland", "Hobart"])
@pytest.mark.parametrize("planted", [date(2026, 4, 20), date(2026, 5, 20), date(2026, 6, 21)])
def test_garlic_of_a_mild_southern_autumn_is_lifted_in_late_spring_or_summer(name, planted):
    lifted = course("garlic", town(name), planted).harvest_start
    assert date(2026, 11, 15) <= lifted <= date(2027, 1, 31)


def test_eight_to_ten_weeks_of_nights_below_12_degrees_are_winter_enough_for_garlic():
    """Nine weeks of 11 and 18 °C in the middle of a year of 17 and 25 °C; at 36° of latitude."""
    tmin = (17, 17, 17, 17, 17, 11, 11, 17, 17, 17, 17, 17)
    tmax = (25, 25, 25, 25, 25, 18, 18, 25, 25, 25, 25, 25)
    place = Site("Mild", -36.0, 175.0, "Pacific/Auckland"), Climate(tmin=tmin, tmax=tmax)
    assert course("garlic", place, date(2026, 6, 1)).feasible
    warm = Site("Warm", -36.0, 175.0, "Pacific/Auckland"), Climate(tmin=(17,) * 12, tmax=(25,) * 12)
    assert not course("garlic", warm, date(2026, 6, 1)).feasible


@pytest.mark.parametrize("key", ["broccoli-sprouting", "cauliflower-winter"])
@pytest.mark.parametrize("month", [4, 5, 6])
def test_winter_brassicas_of_spring_and_early_summer_are_cut_in_the_spring_after(key, month):
    cut = course(key, NORTH, date(2026, month, 10)).harvest_start
    assert date(2027, 2, 15) <= cut <= date(2027, 5, 15)


@pytest.mark.parametrize("key", ["garlic", "broccoli-sprouting", "cauliflower-winter"])
def test_without_a_winter_they_come_to_nothing(key):
    assert not course(key, TROPIC, date(2026, 3, 1)).feasible


@pytest.mark.parametrize(("key", "name"), [("garlic", "Brisbane"), ("cauliflower-winter", "Perth")])
def test_where_the_winter_is_too_mild_it_says_so_and_not_that_days_are_short(key, name):
    reason = course(key, town(name), date(2026, 6, 10)).reason
    assert "the winter here is too mild for it" in reason
    assert "days do not stay" not in reason


def test_the_crops_that_need_cold_are_these():
    needing = {key for key, crop in CROPS.items() if crop.chill_days is not None}
    assert needing == {"garlic", "garlic-northern", "broccoli-sprouting", "cauliflower-winter"}
