"""Yields against the world's fields.

The figures are world mean yields [kg/m²] as the statistics of the FAO gave them about 2020, from
memory and rounded. A kitchen garden is planted closer and tended better than the mean field, and
gives no more than some three times as much; a figure outside that is a slip or a boast.
"""

import pytest

from sowplan.records.crop_table import read_crops

CROPS, _ = read_crops()

WORLD_MEAN_KG_M2 = {
    "lettuce-butterhead": 2.2,
    "lettuce-crisphead": 2.2,
    "lettuce-romaine": 2.2,
    "spinach": 3.1,
    "carrot": 3.6,
    "onion-long-day": 1.9,
    "garlic": 1.7,
    "leek": 1.6,
    "cabbage-summer": 2.9,
    "cabbage-winter": 2.9,
    "cauliflower-summer": 1.9,
    "broccoli": 1.9,
    "potato": 2.1,
    "sweet-potato": 1.2,
    "tomato": 3.7,
    "aubergine": 3.0,
    "pepper": 1.8,
    "cucumber": 4.0,
    "winter-squash": 1.5,
    "melon": 2.6,
    "bush-bean": 1.5,
    "pea": 0.8,
    "sweet-corn": 0.9,
    "strawberry": 2.3,
}


def kg_per_m2(crop):
    return crop.kg_per_plant / (crop.spacing_cm * crop.row_spacing_cm / 1e4)


@pytest.mark.parametrize("key", WORLD_MEAN_KG_M2)
def test_a_garden_gives_as_much_as_a_field_and_not_many_times_it(key):
    share = kg_per_m2(CROPS[key]) / WORLD_MEAN_KG_M2[key]
    assert 0.8 <= share <= 3.0


def test_no_crop_yields_more_than_a_good_glasshouse_or_less_than_a_handful():
    """From memory: 10 kg/m² is beyond any single outdoor crop of a kitchen garden."""
    odd = {key: kg_per_m2(crop) for key, crop in CROPS.items()}
    assert {key: kg for key, kg in odd.items() if not 0.5 <= kg <= 9.0} == {}
