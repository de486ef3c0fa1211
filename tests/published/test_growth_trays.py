"""How long seedlings take in the tray, and when seed of warm soils is sown outdoors.

Common practice, no source: what growers and packets say of weeks from sowing to planting out on
a shelf under lamps, and of when tender seed goes into open ground.
"""

from datetime import date

import numpy as np
import pytest

from sowplan.growth.courses import Conditions
from sowplan.growth.evolve import evolve
from sowplan.growth.germination import days_to_emerge
from sowplan.growth.needs import needs_of
from sowplan.growth.response import light_response, temperature_response
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Climate, Site
from sowplan.site.light import tray_light
from sowplan.site.sky import sky
from sowplan.site.towns import towns

CROPS = read_crops()[0]
LAMPS_MOL = tray_light(14, 180)  # a plain shelf: fourteen hours of 180 µmol m-2 s-1

# Crops, warmth of the shelf [°C], weeks from sowing to planting out.
WEEKS = [
    ("lettuce-butterhead lettuce-crisphead lettuce-romaine lettuce-loose-leaf", 18, 3, 4),
    ("spinach chard perpetual-spinach", 18, 3, 4),
    ("lambs-lettuce winter-purslane", 16, 3, 5),
    ("endive escarole radicchio sugarloaf", 18, 4, 5),
    ("rocket mizuna tatsoi pak-choi chinese-cabbage komatsuna", 18, 3, 4),
    ("cabbage-summer cabbage-winter cauliflower-summer broccoli brussels-sprouts kale", 18, 4, 6),
    ("broccoli-sprouting cauliflower-winter kohlrabi swede", 18, 4, 6),
    ("beetroot beetroot-multi-sown florence-fennel", 18, 4, 5),
    ("onion-long-day onion-intermediate onion-short-day leek", 18, 8, 10),
    ("spring-onion parsley", 18, 5, 8),
    ("celery celeriac", 18, 8, 10),
    ("tomato tomato-cherry tomato-bush", 19, 6, 8),
    ("pepper chilli aubergine", 21, 8, 10),
    ("cucumber gherkin courgette winter-squash", 20, 3, 4),
    ("melon", 22, 4, 5),
    ("sweet-corn bush-bean climbing-bean runner-bean", 20, 3, 4),
    ("basil", 20, 5, 6),
]


@pytest.mark.parametrize(
    ("key", "warmth", "least", "most"),
    [(key, *rest) for keys, *rest in WEEKS for key in keys.split()],
)
def test_weeks_from_sowing_to_planting_out_on_a_shelf_under_lamps(key, warmth, least, most):
    crop = CROPS[key]
    pace = temperature_response(warmth, crop.base_c, crop.optimum_c, crop.ceiling_c)
    pace = float(pace * light_response(LAMPS_MOL, crop.light_half_mol))
    days = days_to_emerge(crop, warmth) + needs_of(crop, True).tray / pace
    assert least <= days / 7 <= most


@pytest.mark.parametrize(
    ("key", "low", "high"),
    [
        ("lambs-lettuce", 7, 14), ("winter-purslane", 7, 14), ("chard", 6, 12), ("leek", 7, 14),
        ("runner-bean", 8, 16), ("broccoli", 5, 10), ("endive", 3, 8),
    ],
)  # fmt: skip
def test_days_to_come_up_at_sixteen_to_eighteen_degrees(key, low, high):
    assert all(low <= days_to_emerge(CROPS[key], warmth) <= high for warmth in (16, 17, 18))


@pytest.mark.parametrize(
    ("key", "first", "last"),
    [
        ("runner-bean", date(2027, 4, 28), date(2027, 5, 20)),
        ("bush-bean", date(2027, 5, 1), date(2027, 5, 20)),
        ("sweet-corn", date(2027, 5, 1), date(2027, 5, 25)),
        ("courgette", date(2027, 5, 10), date(2027, 6, 1)),
    ],
)
def test_tender_seed_goes_into_the_open_ground_of_london_in_may(key, first, last):
    """Not in April: large seed that lies for weeks in soil below some 12 °C rots."""
    town = next(t for t in towns() if t.name == "London")
    site = Site("London", town.latitude, town.longitude, town.timezone, town.elevation_m)
    here = sky(site, Climate(tmin=town.tmin, tmax=town.tmax), date(2027, 1, 1), 700)
    table = evolve(CROPS[key], here, np.arange(200), Conditions(False))
    earliest = here.series.day(int(table.sow[table.feasible][0]))
    assert first <= earliest <= last
    april = table.reason[(date(2027, 4, 10) - date(2027, 1, 1)).days]
    assert "too cold for the seed" in april or "nights too cold for the seedlings" in april


def test_potatoes_still_go_into_cold_ground_in_spring():
    town = next(t for t in towns() if t.name == "London")
    site = Site("London", town.latitude, town.longitude, town.timezone, town.elevation_m)
    here = sky(site, Climate(tmin=town.tmin, tmax=town.tmax), date(2027, 1, 1), 700)
    planted = (date(2027, 4, 10) - date(2027, 1, 1)).days
    assert evolve(CROPS["potato"], here, [planted], Conditions(False)).feasible.all()
