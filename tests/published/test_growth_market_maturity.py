"""Days to maturity in season against Encyclopaedia Britannica, "vegetable farming", harvest times.

``figures/market_maturity_days.csv``: the usual range and the event it counts from. Here the whole
model runs: each crop in its season (below) at temperate towns, by the monthly normals of
``site/towns.csv``. The towns' median lies in the printed range, and no town lies more than a fifth
outside it.
"""

import csv
from datetime import date
from functools import lru_cache
from pathlib import Path

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
with (Path(__file__).parent / "figures" / "market_maturity_days.csv").open(encoding="utf-8") as f:
    RANGES = {r["crop"]: (float(r["low"]), float(r["high"]), r["counted_from"])
              for r in csv.DictReader(f)}  # fmt: skip

COOL = ("Boston", "New York", "Milan", "Bordeaux", "Paris", "London")
WARM = ("Boston", "Chicago", "New York", "Greensboro", "Milan", "Beijing")
# Our crop, the month it is sown (or planted out, where days count from that), and where.
# Common practice, no source: hardy crops in mid spring, tender ones when the soil is warm. Pointed
# cabbage, butterhead lettuce and bush tomatoes are left out: early kinds, quicker than the printed
# ranges by their nature (`test_growth_lettuce.py`, `test_growth_cool_summers.py`).
IN_SEASON = {
    "snap bean": ("bush-bean", 6, WARM),
    "beet": ("beetroot", 5, COOL),
    "broccoli": ("broccoli", 5, COOL),
    "cabbage": ("cabbage-summer", 5, COOL),
    "carrot": ("carrot", 5, COOL),
    "chard": ("chard", 5, COOL),
    "cucumber": ("cucumber", 6, WARM),
    "lettuce": ("lettuce-crisphead", 5, COOL),
    "onion": ("onion-intermediate", 4, COOL),
    "parsley": ("parsley", 5, COOL),
    "pea": ("pea", 4, COOL),
    "pepper": ("pepper", 6, WARM),
    "radish": ("radish", 5, COOL),
    "spinach": ("spinach", 4, COOL),
    "tomato": ("tomato", 6, WARM),
}
ALSO = {"lettuce": ("lettuce-romaine",),
        "cucumber": ("gherkin",), "snap bean": ("climbing-bean",)}  # fmt: skip
START = date(2027, 1, 1)


@lru_cache
def outlook(name):
    t = TOWNS[name]
    site = Site(name, t.latitude, t.longitude, t.timezone, t.elevation_m)
    return sky(site, Climate(tmin=t.tmin, tmax=t.tmax), START, 800)


def days(key, town, month, transplanted):
    """Return the median days to the first harvest over a month's plantings."""
    crop = CROPS[key]
    tray = (crop.tray_temp_c, crop.tray_dli_mol) if transplanted else (None, None)
    table = evolve(crop, outlook(town), np.arange(365), Conditions(transplanted, "none", *tray))
    planted = table.planting_out if transplanted else table.sow
    in_month = (np.datetime64(START, "D") + planted).astype("M8[M]").astype(int) % 12 == month - 1
    counted = in_month & table.feasible
    assert counted.sum() >= 20, f"{key}: hardly a planting in month {month} at {town} succeeds"
    return float(np.median((table.harvest_start - planted)[counted]))


def test_every_printed_crop_is_held_against():
    assert set(IN_SEASON) == set(RANGES)


@pytest.mark.parametrize(
    ("name", "key"),
    [(n, k) for n, (key, *_) in IN_SEASON.items() for k in (key, *ALSO.get(n, ()))],
)
def test_days_in_season_lie_in_the_printed_range(name, key):
    low, high, event = RANGES[name]
    _, month, places = IN_SEASON[name]
    found = [days(key, town, month, event == "transplanting") for town in places]
    assert low <= np.median(found) <= high, dict(zip(places, found, strict=True))
    assert low * 0.8 <= min(found) and max(found) <= high * 1.2, found
