"""When days and nights are warm enough to plant out: what must hold for any crop and climate."""

import numpy as np
import pytest

from sowplan.growth.nights import warm_days, warm_nights
from sowplan.records.crop_table import read_crops

CROPS = read_crops()[0]
TENDER = [key for key, crop in CROPS.items() if crop.tender]
HARDY = [key for key, crop in CROPS.items() if not crop.tender]
DAYS = np.arange(730)


def year(coldest, warmest):
    """Two years from midwinter on, as a sine wave between two daily means."""
    return warmest - (warmest - coldest) * (1 + np.cos(2 * np.pi * DAYS / 365)) / 2


@pytest.mark.parametrize("key", TENDER)
def test_where_every_day_is_alike_nothing_waits(key):
    crop = CROPS[key]
    assert warm_days(crop, np.full(730, crop.base_c + 12.0)).all()


@pytest.mark.parametrize("key", HARDY)
def test_hardy_crops_go_out_as_soon_as_they_grow(key):
    """But on no day colder than 4 °C, about 40 °F, in which roots take no hold (see `nights`)."""
    crop, mean = CROPS[key], year(2.0, 20.0)
    assert (warm_days(crop, mean) == (mean > max(crop.base_c, 4.0))).all()


@pytest.mark.parametrize("key", ["tomato", "courgette", "bush-bean", "sweet-corn"])
def test_the_warmer_the_summer_the_warmer_the_days_that_are_waited_for(key):
    """But never warmer than 15.5 °C, which growers in hot summers plant at."""
    crop = CROPS[key]
    first = []
    for warmest in (15.0, 17.0, 19.0, 21.0, 25.0, 33.0):
        mean = year(5.0, warmest)
        first.append(mean[np.argmax(warm_days(crop, mean))])
    assert all(a <= b + 0.2 for a, b in zip(first, first[1:], strict=False))
    assert max(first) < 16.0


def test_one_hot_day_makes_no_summer():
    mean = year(5.0, 17.0)
    spike = mean.copy()
    spike[200] += 15.0
    tomato = CROPS["tomato"]
    calm, odd = (int(np.argmax(warm_days(tomato, m))) for m in (mean, spike))
    assert abs(calm - odd) <= 3


def test_nights_are_reliable_where_weeks_are_alike():
    tomato = CROPS["tomato"]
    tmin = year(2.0, 14.0)
    steady, fickle = (
        warm_nights(tomato, tmin, np.array([[-k], [k]]) * np.ones((2, 730))) for k in (0.5, 4.0)
    )
    assert np.argmax(steady) < np.argmax(fickle)


def test_a_series_that_ends_in_spring_waits_as_long_as_one_that_goes_on():
    tomato, mean = CROPS["tomato"], year(5.0, 18.0)
    whole = warm_days(tomato, mean, 18.0)
    assert (warm_days(tomato, mean[:130], 18.0) == whole[:130]).all()
    assert warm_days(tomato, mean[:130]).sum() > whole[:130].sum()
