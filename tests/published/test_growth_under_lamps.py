"""Lettuce in controlled houses, against a published handbook.

"Hydroponic Lettuce Handbook" of Cornell University's Controlled Environment Agriculture programme:
heads of 150 g (5 oz) butterhead 35 days from seed, at 24 °C by day and 19 °C by night, 17 mol m-2
d-1, after 11 days in a seedling room at 25 °C and 250 µmol m-2 s-1 the day round (21.6 mol), in air
enriched to 1500 ppm of carbon dioxide.
"""

from datetime import date

import pytest

from sowplan.growth.courses import Conditions
from sowplan.growth.evolve import evolve
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Climate, Site
from sowplan.site.sky import sky

CROPS = read_crops()[0]
PUBLISHED_DAYS = 35
SITE = Site("House", 42.4, -76.5, "America/New_York")
WINTER = sky(SITE, Climate((-9.0,) * 12, (1.0,) * 12), date(2027, 1, 1), 200)  # it stays outside
HOUSE = Conditions(
    True, tray_temperature_c=25.0, tray_dli_mol=21.6, indoors_c=21.9, lamp_hours=16.0,
    lamp_dli_mol=17.0,
)  # fmt: skip


def days(key):
    course = evolve(CROPS[key], WINTER, [0], HOUSE).course(0)
    assert course.feasible, course.reason
    return (course.harvest_start - course.sow).days


@pytest.mark.xfail(
    strict=True,
    reason="The crop table's days are of full heads of 250 g in garden soil and plain air, from "
    "transplants twice as old; no table of days for nutrient film has been found in plain air. The "
    "model comes to twice the handbook's days, and plans say so.",
)
def test_butterhead_as_fast_as_in_the_handbook():
    assert days("lettuce-butterhead") == pytest.approx(PUBLISHED_DAYS, rel=0.25)


@pytest.mark.parametrize("key", [key for key in CROPS if key.startswith("lettuce")])
def test_no_lettuce_is_promised_sooner_than_in_the_handbook(key):
    """Nobody at home outdoes a house with enriched air; baby leaf is cut far younger."""
    if key == "lettuce-baby-leaf":
        pytest.skip("cut as leaves of 10 cm, not as a head")
    assert days(key) > PUBLISHED_DAYS
