"""What unheated covers do to the days under them, against what is printed of them.

- biologyinsights.com, "How much warmer is a greenhouse than outside": unheated, it is easily 5 to
  15 °C warmer by day than the air outside; on a heavily overcast day far less.
- Without sun there is nothing to warm it by day: physics. How far ground freezes under a cold frame
  at 60° N is from memory: it does, in January and February.
"""

from datetime import date

import numpy as np
import pytest

from sowplan.growth.conditions import weather_under
from sowplan.growth.courses import Conditions
from sowplan.growth.covers import COVERS
from sowplan.growth.evolve import evolve
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Climate, Site
from sowplan.site.sky import sky
from sowplan.site.towns import towns

CROPS = read_crops()[0]
TOWNS = {town.name: town for town in towns()}
START = date(2027, 7, 1)
HOUSES = ("tunnel", "glass")


def outlook(name):
    t = TOWNS[name]
    site = Site(name, t.latitude, t.longitude, t.timezone, t.elevation_m)
    return sky(site, Climate(tmin=t.tmin, tmax=t.tmax), START, 700)


def warmer_by_day(name, cover, first, last):
    """Return the mean warming of the days' maxima [K] between two dates."""
    series = outlook(name).series
    days = slice((first - START).days, (last - START).days)
    return float((weather_under(cover, 1.0, series).tmax - series.tmax)[days].mean())


@pytest.mark.parametrize("cover", HOUSES)
@pytest.mark.parametrize("name", ["London", "Seattle", "Boston", "Hamburg"])
def test_a_house_without_heating_is_five_to_fifteen_kelvins_warmer_on_days_of_spring(name, cover):
    assert 5.0 <= warmer_by_day(name, cover, date(2028, 3, 15), date(2028, 4, 15)) <= 15.0


@pytest.mark.parametrize("cover", HOUSES)
@pytest.mark.parametrize("name", ["Helsinki", "Oslo", "Stockholm", "Edinburgh"])
def test_in_the_dark_of_winter_it_is_far_less(name, cover):
    spring, winter = (
        warmer_by_day(name, cover, *span)
        for span in (
            (date(2028, 3, 15), date(2028, 4, 15)),
            (date(2027, 12, 1), date(2028, 1, 10)),
        )
    )
    assert winter < spring / 2


def test_in_polar_night_days_are_no_warmer_under_cover_than_nights():
    series = outlook("Tromsø").series
    dark = slice((date(2027, 12, 5) - START).days, (date(2028, 1, 5) - START).days)
    for cover, effect in COVERS.items():
        inside = weather_under(cover, 1.0, series)
        assert (inside.tmax <= series.tmax + effect.night_k + 1e-9)[dark].all()


def test_what_keeps_the_sun_off_a_cover_keeps_its_warmth_off():
    series = outlook("Hamburg").series
    sunny, shaded = (weather_under("glass", share, series) for share in (1.0, 0.3))
    assert (shaded.tmax <= sunny.tmax).all() and (shaded.tmax < sunny.tmax).any()
    assert np.array_equal(shaded.tmin, sunny.tmin)


@pytest.mark.parametrize("name", ["Helsinki", "Oslo"])
def test_garlic_is_not_set_in_a_cold_frame_in_january_at_60_degrees_north(name):
    """The ground under it is frozen; in October and in March it is not."""

    def reason(*day):
        sown = (date(*day) - START).days
        conditions = Conditions(False, "glass")
        return evolve(CROPS["garlic"], outlook(name), [sown], conditions).reason[0]

    assert reason(2028, 1, 15).startswith("the ground is frozen until ")
    assert reason(2027, 10, 15) == ""
    assert not reason(2028, 3, 25).startswith("the ground is frozen")
