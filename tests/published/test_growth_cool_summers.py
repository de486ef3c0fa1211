"""Fruit of warm soils where summers are cool, against heat sums and what growers there print.

- Gray, Ward and Steckel (1980, Journal of Agricultural Science 95): early bush tomatoes in central
  England, planted out before they flowered, gave their first fruit after 1352 ± 133 Ontario heat
  units, which foretold it better than degree-days above 10 °C, and light had no part in it.
- Adams, Cockshull and Cave (2001, Annals of Botany 88:869): tomatoes ripened 95, 65, 46 and 42 days
  after the flower at 14, 18, 22 and 26 °C.
- Ontario heat units by day: half of 3.33 (maximum - 10) - 0.084 (maximum - 10)² and of
  1.8 (minimum - 4.4), neither below nought (weatherinnovations.com; made for maize, in 1964).
- Maize: degree-days above 8 °C until silking (Muchow, Sinclair and Bennett 1990).
- Sweet corn sown outdoors from May to June in Britain is fit from the middle of August to October
  (moreveg.co.uk); in coastal British Columbia it is sown from 15 May to 10 June (eseeds.info); in
  Tasmania late sweet corn and capsicums are still planted in the month of January (P. Cundall's
  guide, littleoakchurch.com.au).
- Chillies in cold climates of Australia: a crop of summer to early autumn with plenty of shelter
  (seasol.com.au); in Tasmania best in a hothouse (davesseed.com). A gardener of Melbourne who
  planted late had six of them at the very end of a poor summer (velladec.in).
- Sweet potatoes: in Melbourne slips go out in the middle to late November (hows.tech); planted
  about 1 December, a great haul in April, the rest in May (peopleplantslandscapes.blogspot.com,
  2014; leafrootfruit.com.au). In Perth from late September to late December, for February to June
  (majne.se).
- Green soya beans in Britain are sown outdoors in May or June (Royal Horticultural Society).
"""

from datetime import date, timedelta
from functools import lru_cache

import numpy as np
import pytest

from sowplan.growth.courses import Conditions
from sowplan.growth.evolve import evolve
from sowplan.growth.response import temperature_response
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Climate, Site
from sowplan.site.sky import sky
from sowplan.site.towns import towns

CROPS = read_crops()[0]
TOWNS = {town.name: town for town in towns()}
BOUGHT, DIRECT = Conditions(True, bought=True), Conditions(False)
TOMATO_UNITS, GIVE_OR_TAKE = 1352.0, 133.0
COOL = ("London", "York", "Edinburgh", "Seattle", "Vancouver", "Hamburg", "Paris", "Hobart")
COOL += ("Launceston", "Christchurch", "Wellington")
OTHERS = ("Boston", "New York", "Milan")


@lru_cache
def outlook(name):
    t = TOWNS[name]
    start = date(2027, 1, 1) if t.latitude > 0 else date(2027, 7, 1)
    site = Site(name, t.latitude, t.longitude, t.timezone, t.elevation_m)
    return sky(site, Climate(tmin=t.tmin, tmax=t.tmax), start, 700)


def courses(key, name, conditions, first, last):
    """Return the courses of all days from the first to the last, as (month, day)."""
    start = outlook(name).series.start
    a, b = ((date(start.year + (d < (start.month, 1)), *d) - start).days for d in (first, last))
    return evolve(CROPS[key], outlook(name), np.arange(a, b + 1), conditions)


def ontario_units(name):
    series = outlook(name).series
    warm = np.clip(series.tmax - 10.0, 0.0, None)
    return (3.33 * warm - 0.084 * warm**2 + 1.8 * np.clip(series.tmin - 4.4, 0.0, None)) / 2.0


@pytest.mark.parametrize("name", COOL + OTHERS)
def test_early_bush_tomatoes_ripen_after_the_heat_measured_in_england(name):
    """Bought, and planted out in the first fortnight in which they may be."""
    spring = ((4, 15), (7, 15)) if TOWNS[name].latitude > 0 else ((10, 1), (12, 31))
    table = courses("tomato-bush", name, BOUGHT, *spring)
    good = np.flatnonzero(table.feasible)[:14]
    units = np.cumsum(ontario_units(name))
    had = [units[table.harvest_start[i] - 1] - units[table.planting_out[i] - 1] for i in good]
    assert len(had) == 14
    assert TOMATO_UNITS - GIVE_OR_TAKE <= np.median(had) <= TOMATO_UNITS + GIVE_OR_TAKE


@pytest.mark.parametrize(("temperature_c", "days"), [(14, 95), (18, 65), (26, 42)])
def test_tomatoes_slow_down_in_the_cold_as_fruit_kept_at_steady_temperatures_did(
    temperature_c, days
):
    crop = CROPS["tomato"]
    pace, at_22 = temperature_response(
        [temperature_c, 22.0], crop.base_c, crop.optimum_c, crop.ceiling_c
    )
    assert at_22 / pace == pytest.approx(days / 46.0, rel=0.15)


@pytest.mark.parametrize("name", ["London", "Vancouver", "Hamburg", "Hobart", "Wellington"])
def test_sweet_corn_takes_longer_in_cool_summers_as_its_heat_sums_do(name):
    """As against New York's of 20 May: between degree-days above 8 °C and Ontario's units."""

    def heat(town):
        mean = outlook(town).series.tmean
        return np.cumsum(ontario_units(town)), np.cumsum(np.clip(mean - 8.0, 0.0, None))

    there = courses("sweet-corn", "New York", DIRECT, (5, 20), (5, 20))
    ready, sown = there.harvest_start[0], there.sow[0]
    sums = [total[ready] - total[sown] for total in heat("New York")]
    day = (5, 20) if TOWNS[name].latitude > 0 else (11, 20)
    here = courses("sweet-corn", name, DIRECT, day, day)
    days = [
        np.searchsorted(total, total[here.sow[0]] + need) - here.sow[0]
        for total, need in zip(heat(name), sums, strict=True)
    ]
    found = here.harvest_start[0] - here.sow[0]
    assert min(days) * 0.95 <= found <= max(days) * 1.05, (days, found)


def test_sweet_corn_sown_outdoors_in_britain_is_fit_from_mid_august_to_october():
    table = courses("sweet-corn", "London", DIRECT, (5, 10), (6, 10))
    assert table.feasible.all()
    start = outlook("London").series.start
    first, last = (start + timedelta(int(d)) for d in table.harvest_start[[0, -1]])
    assert (8, 15) <= (first.month, first.day) and (last.month, last.day) <= (10, 31)


def test_sweet_corn_of_coastal_british_columbia_is_sown_from_mid_may_to_early_june():
    table = courses("sweet-corn", "Vancouver", DIRECT, (5, 15), (6, 10))
    assert table.feasible.all()


def test_chillies_planted_in_tasmania_in_december_come_late_and_few_and_more_under_cover():
    shares = {}
    for cover in ("none", "fleece", "tunnel"):
        conditions = Conditions(True, cover, bought=True)
        table = courses("chilli", "Hobart", conditions, (12, 1), (12, 15))
        assert table.feasible.all()
        shares[cover] = table.lot_share.sum(axis=1)
        start = outlook("Hobart").series.start
        if cover == "none":
            first = start + timedelta(int(table.harvest_start[0]))
            assert date(2028, 3, 1) <= first <= date(2028, 5, 15)
    assert 0.0 < shares["none"].min() and shares["none"].max() < 1 / 3
    assert (shares["none"] < shares["fleece"]).all() and (shares["fleece"] < shares["tunnel"]).all()


def test_sweet_potatoes_of_melbourne_are_planted_in_november_and_lifted_in_april_and_may():
    table = courses("sweet-potato", "Melbourne", BOUGHT, (11, 18), (12, 1))
    start = outlook("Melbourne").series.start
    assert table.feasible.all()
    for day in table.harvest_start:
        assert date(2028, 4, 1) <= start + timedelta(int(day)) <= date(2028, 5, 31)


def test_sweet_potatoes_of_perth_are_lifted_from_february_to_june():
    table = courses("sweet-potato", "Perth", BOUGHT, (10, 25), (12, 20))
    start = outlook("Perth").series.start
    assert table.feasible.all()
    for day in table.harvest_start:
        assert date(2028, 2, 1) <= start + timedelta(int(day)) <= date(2028, 6, 30)


def test_green_soya_beans_are_sown_outdoors_in_britain_from_the_end_of_may_into_june():
    table = courses("soybean", "London", DIRECT, (5, 25), (6, 12))
    start = outlook("London").series.start
    assert table.feasible.all()
    assert start + timedelta(int(table.harvest_start[-1])) <= date(2027, 10, 15)
