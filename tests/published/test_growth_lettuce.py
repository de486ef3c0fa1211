"""Days of leaf lettuces against "Leaf lettuce production in California" (UC ANR 7216, 2011).

From planting, mostly of pelleted seed in the field, to harvest takes 65 to 80 days in midsummer on
the central coast; it means leaf, butterhead and romaine lettuces together. So butterhead, quicker
to head than romaine, is to come at the short end: some six to seven weeks from planting out, for
raised seedlings have 20 days and a few of emergence behind them.

Romaine's days are held to the longer range of another table (`test_growth_market_maturity.py`),
which counts 60 to 80 from transplanting for lettuce as a whole; the two do not agree.
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
START = date(2027, 1, 1)
MIDSUMMER = np.arange((date(2027, 6, 1) - START).days, (date(2027, 7, 31) - START).days)


@pytest.fixture(scope="module")
def coast():
    """San Francisco, whose summer (a mean of 16 °C) is the central coast's."""
    t = next(town for town in towns() if town.name == "San Francisco")
    site = Site(t.name, t.latitude, t.longitude, t.timezone, t.elevation_m)
    return sky(site, Climate(tmin=t.tmin, tmax=t.tmax), START, 500)


def days(key, coast, conditions):
    table = evolve(CROPS[key], coast, MIDSUMMER, conditions)
    assert table.feasible.all()
    begun = table.planting_out if conditions.raised else table.sow
    return np.median(table.harvest_start - begun)


def test_butterhead_sown_direct_in_midsummer_takes_the_printed_days(coast):
    assert 65 <= days("lettuce-butterhead", coast, Conditions(False)) <= 80


def test_butterhead_planted_out_in_midsummer_takes_six_or_seven_weeks(coast):
    shelf = Conditions(True, "none", 18.0, 12.0)
    butterhead = days("lettuce-butterhead", coast, shelf)
    assert 42 <= butterhead <= 49
    assert days("lettuce-little-romaine", coast, shelf) <= butterhead
    assert butterhead < days("lettuce-romaine", coast, shelf)
