"""When tender crops go out, against printed advice for single places.

- New Zealand: Sunday News, 23 October 2022, on tomatoes: Labour Day (late October) only where it is
  warm; Wellington and Christchurch from the middle of November, Dunedin late November or early
  December. NZ Gardener, 15 September 2022: tomatoes and courgettes in Auckland at Labour weekend
  (22 to 28 October), not in September. Kapiti Coast District Council, near Wellington, has them go
  out from Labour weekend on.
- Hobart: Food Gardens in My Back Yard, 2010 and 2013: from Show Day (about 22 October) on, better a
  week or two later, and all through November. Melbourne: University of Melbourne, 26 September
  2013: from the last Saturday of September, by tradition on the first Tuesday of November.
- Phoenix: tomatoes from the middle of February to the middle of March, as the University of
  Arizona's calendar of Maricopa County has it (from memory). South-east Texas: 21 February to
  18 March, by a growers' calendar.
- Edinburgh: Royal Botanic Garden Edinburgh, "stories": growers there wait until June with
  courgettes and French beans.
- Minneapolis: University of Minnesota Extension: tomatoes, squash and basil after the last frost,
  in the middle to the end of May; many wait for Memorial Day, its last Monday.
- Western Washington: state extension's answers to gardeners: tomatoes and squash in the middle of
  May, when the soil has warmed and the weather settled.
- Canberra: not before Melbourne Cup Day, the first Tuesday of November (the-riotact.com, 12 October
  2013). Boise: not before 10 May, the average last frost, and still too early on 5 May (University
  of Idaho, kivitv.com, 2022); most wait for the middle of the month or the snow to leave the hills.
  Santiago de Chile: in the open from late September to November (from memory).
- Northern Tasmania: a cool-climate gardener's page of November: cucumber seedlings.
- Soil of 55 °F at least at sowing-depth for tomatoes, beans and sweet corn: Kansas State
  University (W. Upham), and North Dakota State University Extension (D. Kinzler).

The dates are the first on which a seedling may go out in the likely weather; a printed "middle of
May" is taken as the 10th to the 25th.
"""

from dataclasses import replace
from datetime import date, timedelta
from functools import lru_cache

import numpy as np
import pytest

from sowplan.growth.courses import Conditions
from sowplan.growth.evolve import evolve
from sowplan.growth.reasons import by_cold_outside
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Climate, Site
from sowplan.site.sky import sky
from sowplan.site.towns import all_towns

CROPS = read_crops()[0]
TOWNS = {town.name: town for town in reversed(all_towns())}  # those that go by name come first
SHELF = Conditions(True, "none", 20.0, 16.0)


@lru_cache
def outlook(name):
    t = TOWNS[name]
    start = date(2027, 1, 1) if t.latitude > 0 else date(2027, 7, 1)
    site = Site(name, t.latitude, t.longitude, t.timezone, t.elevation_m)
    return sky(site, Climate(tmin=t.tmin, tmax=t.tmax), start, 700)


def first_out(crop, town, conditions=SHELF):
    """Return the first day on which a raised crop is planted out and comes to something."""
    here = outlook(town)
    table = evolve(crop, here, np.arange(0, 330), conditions)
    good = table.planting_out[table.feasible]
    return here.series.start + timedelta(int(good.min())) if good.size else None


@pytest.mark.parametrize(
    ("key", "town", "earliest", "latest"),
    [
        ("tomato", "Auckland", (10, 15), (10, 31)),
        ("courgette", "Auckland", (10, 15), (10, 31)),
        ("tomato", "Wellington", (10, 22), (11, 25)),
        ("tomato", "Hobart", (10, 22), (11, 30)),
        ("tomato", "Melbourne", (9, 25), (11, 7)),
        ("tomato", "Phoenix", (2, 15), (3, 15)),
        ("tomato", "Houston", (2, 21), (3, 18)),
        ("tomato", "Christchurch", (11, 10), (11, 30)),
        ("tomato", "Dunedin", (11, 20), (12, 10)),
        ("courgette", "Edinburgh", (6, 1), (6, 30)),
        ("bush-bean", "Edinburgh", (6, 1), (6, 30)),
        ("tomato", "Minneapolis", (5, 15), (5, 31)),
        ("courgette", "Minneapolis", (5, 15), (5, 31)),
        ("basil", "Minneapolis", (5, 15), (5, 31)),
        ("tomato", "Seattle", (5, 10), (5, 25)),
        ("courgette", "Seattle", (5, 10), (5, 25)),
        ("cucumber", "Launceston", (11, 1), (11, 30)),
        ("tomato", "Canberra", (11, 1), (11, 15)),
        ("tomato", "Boise", (5, 10), (5, 31)),
        ("tomato", "Santiago", (9, 20), (10, 31)),
    ],
)
def test_tender_seedlings_first_go_out_when_growers_there_say(key, town, earliest, latest):
    # Where a crop hardly comes to anything the first good day tells nothing of the nights.
    crop = replace(CROPS[key], maturity_days=20.0)
    out = first_out(crop, town)
    assert earliest <= (out.month, out.day) <= latest, out


@pytest.mark.parametrize("town", ["Chicago", "Minneapolis", "Winnipeg", "Denver", "Madison"])
@pytest.mark.parametrize("key", ["tomato", "bush-bean", "sweet-corn"])
def test_the_soil_is_warm_by_then(key, town):
    out = first_out(CROPS[key], town)
    soil = outlook(town).series.soil[(out - outlook(town).series.start).days]
    assert soil >= (55 - 32) / 1.8


@pytest.mark.parametrize("key", ["tomato", "cucumber", "basil", "courgette"])
def test_covers_let_tender_crops_out_sooner_and_never_later(key):
    out = [first_out(CROPS[key], "London", replace(SHELF, cover=cover))
           for cover in ("none", "fleece", "tunnel", "glass")]  # fmt: skip
    assert out[0] > out[1] >= out[2] >= out[3]
    # Some four weeks sooner under glass: growers' rule of thumb, no source.
    assert 14 <= (out[0] - out[3]).days <= 42


@pytest.mark.parametrize("town", ["Singapore", "Nairobi", "Lagos", "Darwin", "Suva"])
@pytest.mark.parametrize("key", ["tomato", "cucumber", "basil", "bush-bean"])
def test_nights_hold_nothing_back_in_the_tropics(key, town):
    days = np.arange(0, 365, 10)
    with_nights, without = (
        evolve(crop, outlook(town), days, SHELF)
        for crop in (CROPS[key], replace(CROPS[key], night_c=None))
    )
    assert (with_nights.planting_out == without.planting_out).all()
    assert with_nights.reason == without.reason


def test_the_reason_names_cold_nights_and_a_cover_may_keep_them_off():
    tomato, here = CROPS["tomato"], outlook("Hobart")
    days = np.arange(0, 120)
    table = evolve(tomato, here, days, SHELF)
    told = [r for r in table.reason if "nights too cold to plant it out until" in r]
    assert told and all(by_cold_outside(reason) for reason in told)


def test_seed_sown_direct_waits_for_nights_its_seedlings_bear():
    here = outlook("Chicago")
    crop = CROPS["cucumber"]
    table = evolve(crop, here, np.arange(80, 200), Conditions(False))
    early = [reason for reason in table.reason if "nights too cold for the seedlings" in reason]
    assert early and "; sow from " in early[0]
    hardy = evolve(CROPS["lettuce-romaine"], here, np.arange(80, 200), Conditions(False))
    assert not any("nights" in reason for reason in hardy.reason)


def test_every_tender_crop_says_how_warm_its_nights_must_be():
    """Potatoes come up from below and grow again: frost alone counts."""
    without = {key for key, crop in CROPS.items() if crop.tender and crop.night_c is None}
    assert without == {"potato", "potato-early"}
    assert not any(crop.night_c is not None for crop in CROPS.values() if not crop.tender)
