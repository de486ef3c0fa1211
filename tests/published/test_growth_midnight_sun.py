"""Where no night falls, against what gardeners there tell.

A seed house of Alaska (bestcoolseeds.com): spinach bolts quickly in the long days; it is sown as
soon as the ground can be worked, and again in mid-July for a late season. The University of Alaska
Fairbanks says the same: one of the first crops sown and eaten in spring, it runs to seed soon, so
that a little is sown every week (webcenterfairbanks.com, July 2021).

That neighbouring days have like fates is no more than that nature makes no jumps: no source.
"""

from datetime import date

import numpy as np
import pytest

from sowplan.growth.courses import Conditions
from sowplan.growth.evolve import evolve
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Climate, Site
from sowplan.site.sky import sky

CROPS = read_crops()[0]
START = date(2027, 1, 1)
# An invented town by the sea at 69.6° N, with round figures.
PLACE = Site("Polar", 69.6, 19.0, "Europe/Oslo", 5.0)
CLIMATE = Climate(
    tmin=(-6, -6, -5, -2, 2, 6, 9, 8, 5, 1, -3, -5),
    tmax=(-2, -2, 0, 3, 8, 12, 15, 14, 10, 5, 1, -1),
)
SKY = sky(PLACE, CLIMATE, START, 500)


def fates(key, first, last):
    days = np.arange((first - START).days, (last - START).days + 1)
    return evolve(CROPS[key], SKY, days, Conditions(False))


def test_spinach_of_mid_july_is_for_a_late_season():
    assert fates("spinach", date(2027, 7, 14), date(2027, 7, 20)).feasible.any()


def test_spring_spinach_is_cut_while_young():
    spring = fates("spinach", date(2027, 5, 1), date(2027, 5, 31))
    late = fates("spinach", date(2027, 7, 20), date(2027, 7, 23))
    assert spring.feasible.all() and late.feasible.all()
    assert (spring.harvest_end - spring.harvest_start).max() < 5
    assert (late.harvest_end - late.harvest_start).min() > 7
    assert 0.5 < spring.size.min() and spring.size.max() < late.size.min()


@pytest.mark.parametrize(
    "key", ["spinach", "rocket", "radish", "komatsuna", "mizuna", "coriander", "mustard-greens"]
)
def test_what_is_fit_of_neighbouring_days_does_not_flip(key):
    feasible = fates(key, date(2027, 5, 1), date(2027, 7, 31)).feasible
    assert np.count_nonzero(np.diff(feasible.astype(int))) <= 3


@pytest.mark.parametrize("key", ["spinach", "rocket", "coriander", "mizuna", "dill"])
def test_what_is_cut_of_neighbouring_days_weighs_much_the_same(key):
    """A day more or less of growth is 2 or 3 % of a crop's days, and some 8 % of its weight."""
    found = fates(key, date(2027, 5, 1), date(2027, 7, 31))
    both = found.feasible[1:] & found.feasible[:-1]
    assert both.sum() > 40
    assert np.abs(np.diff(found.size))[both].max() <= 0.08
    assert np.diff(found.harvest_start)[both].min() >= 0
