"""Annual brassicas that were cold while young run to seed in spring, whatever their size.

- Scientia Horticulturae 25:217 (1985), on Chinese cabbage: the longer its seedlings stood at 12 °C,
  up to three weeks, the sooner they bolted; raised above 18 °C fewer did (held against in
  `tests/growth/test_evolve_hindrances.py`).
- Wurr and others (1996): Chinese cabbage feels cold from germination on, with no juvenile stage.
- Li and Shao (1957), Journal of Integrative Plant Biology 6(1): pak choi and mustards are made to
  flower by cold as sprouted seed; common cabbage is not.
- Growers: in Tasmania seedlings that come up in the frosts of August bolt, so pak choi is raised
  indoors till they are over (a Huon Valley seed grower's calendar); in Britain headed pak choi is
  sown from early to late summer, after late June with less risk (The Guardian, 5 April 2008; Daily
  Mail, 18 August 2018); western Oregon sows it from July to the middle of August (Statesman
  Journal, 6 July 2016).
"""

from datetime import date

import pytest

from sowplan.growth.courses import Conditions
from sowplan.growth.evolve import evolve
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Climate, Site
from sowplan.site.sky import sky
from sowplan.site.towns import towns

CROPS = read_crops()[0]
TOWNS = {town.name: town for town in towns()}
DIRECT, SHELF = Conditions(False), Conditions(True, "none", 18.0, 12.0)
_SKIES = {}


def courses(key, town, sown, conditions):
    t = TOWNS[town]
    start = date(2027, 1, 1) if t.latitude > 0 else date(2027, 7, 1)
    if town not in _SKIES:
        site = Site(town, t.latitude, t.longitude, t.timezone, t.elevation_m)
        _SKIES[town] = sky(site, Climate(tmin=t.tmin, tmax=t.tmax), start, 700)
    years = (start.year + (month < start.month) for month, _ in sown)
    days = [(date(y, *day) - start).days for y, day in zip(years, sown, strict=True)]
    return evolve(CROPS[key], _SKIES[town], days, conditions)


def test_in_tasmania_pak_choi_that_comes_up_in_late_winter_bolts():
    table = courses("pak-choi", "Hobart", [(7, 20), (8, 1), (8, 15), (9, 1)], DIRECT)
    assert not table.feasible.any()
    assert all("cold while it is young" in reason for reason in table.reason)


def test_raised_warm_until_the_frosts_are_over_it_does_not():
    table = courses("pak-choi", "Hobart", [(9, 15), (10, 1), (10, 20)], SHELF)
    assert table.feasible.all()
    assert ((table.harvest_end - table.harvest_start) >= 7).all()


@pytest.mark.parametrize("town", ["London", "Seattle", "Hobart"])
def test_from_summer_to_autumn_pak_choi_stands(town):
    months = (1, 2) if town == "Hobart" else (7, 8)
    table = courses("pak-choi", town, [(m, d) for m in months for d in (5, 12)], DIRECT)
    assert table.feasible.all()
    assert not any("cold" in reason for reason in table.reason)


def test_in_britain_it_is_not_sown_outdoors_before_april():
    table = courses("pak-choi", "London", [(2, 15), (3, 1), (3, 20)], DIRECT)
    assert not table.feasible.any()
