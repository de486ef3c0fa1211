"""What cool-season crops make of warm months, against a handbook's limits and a garden's seasons.

- Knott's Handbook for Vegetable Growers (Maynard and Hochmuth 1997), temperatures for best growth
  and quality, as reprinted in "Teaching Organic Farming and Gardening", unit 1.3: cabbages, beet,
  carrots, peas, potatoes and the rest of these want a monthly mean of 60 to 65 °F, and 75 °F
  (24 °C) at the most. "Within a crop, varieties may differ." Leaf that is cut (chard, kale,
  mustard, parsley, loose lettuce) is left out here: Singapore's gardeners cut it all the same
  (National Parks Board, "Growing five leafy vegetables").
- Northern suburbs of south-east Queensland (nscf.org.au, "Seasonal vegetable growing in the humid
  subtropics"): cabbages, broccoli, peas, broad beans and spinach are for the season from late March
  to early August, and none of them for that from late November to late March; cabbages and their
  like are sown from 26 January on, for planting out in March (a gardener of Brisbane).
"""

from datetime import date
from functools import lru_cache

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
START = date(2026, 7, 1)
LIMIT_C = 24.0
COOL = """
beetroot broad-bean broccoli brussels-sprouts cabbage-summer cabbage-pointed cabbage-winter kohlrabi
parsnip radish spinach turnip swede carrot cauliflower-summer celeriac celery chinese-cabbage endive
florence-fennel lettuce-butterhead lettuce-crisphead lettuce-romaine pea sugar-pea potato
""".split()


@lru_cache
def outlook(name):
    t = TOWNS[name]
    site = Site(name, t.latitude, t.longitude, t.timezone, t.elevation_m)
    return sky(site, Climate(tmin=t.tmin, tmax=t.tmax), START, 900)


def share(key, town, first, last):
    """Return the share of the days' sowings of which something comes."""
    crop = CROPS[key]
    raised = crop.start == "raised"
    tray = (20.0, 10.0) if raised else (None, None)
    days = np.arange((first - START).days, (last - START).days + 1, 3)
    return evolve(crop, outlook(town), days, Conditions(raised, "none", *tray)).feasible.mean()


@pytest.mark.parametrize("key", COOL)
def test_next_to_nothing_comes_of_cool_crops_where_every_month_is_too_warm(key):
    singapore = TOWNS["Singapore"]
    means = (np.array(singapore.tmin) + np.array(singapore.tmax)) / 2.0
    assert means.min() > LIMIT_C + 2.0
    assert share(key, "Singapore", START, date(2027, 6, 30)) <= 0.25


@pytest.mark.parametrize(
    "key", ["broccoli", "cauliflower-summer", "pea", "sugar-pea", "broad-bean", "spinach"]
)
def test_cool_crops_of_brisbane_are_sown_in_its_cool_season_and_not_in_its_wet_one(key):
    assert share(key, "Brisbane", date(2027, 4, 1), date(2027, 6, 30)) == 1.0
    assert share(key, "Brisbane", date(2026, 11, 25), date(2026, 12, 31)) <= 0.25
