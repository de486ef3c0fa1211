"""Bulbs by length of day and by winter, against what is printed of onions and garlic.

Onions: long-day ones bulb in days of 14 to 16 hours and are grown from about 37 or 38 degrees of
latitude on, planted from February to April for August and September; intermediate ones bulb in 12
to 14 hours (United States extension services and seedsmen agree on the figures; so does
cooksinfo.com). Bulbing begins at 13.75 h once a least of warmth is had, and bulbs are as large as
the leaves they begin with (Lancaster, Triggs, de Ruiter and Gandar 1996, Annals of Botany 78:423).

Sets go in from the middle of March to the middle of April in Britain (Royal Horticultural Society),
plants from late April to the middle of May in Hokkaido, in December and January in south-east Texas
(state extension), in August and September in central Chile; what is set some weeks later stays
small. All of that is from memory.

Garlic: hardneck sorts live through -30 °F under mulch (biologyinsights.com, of Minnesota); set from
September to November in the Middle West, it is lifted in late June to July (extension services;
from memory); cloves set in spring without cold form no bulb (University of Minnesota Extension, as
told in thatsdays.com), in early spring smaller ones than those of autumn (the same, told in
wctrib.com). In New South Wales it is set from March to May (flawlesscooking.com), into soil below
85 °F (Texas A&M University, told in growingformarket.com); early sorts of the subtropics are set in
south-east Queensland from the middle of March to the end of April (islandandsurrounds.com.au,
loveofdirt.com.au) and lifted after five to six months (claire-bickle.com); they need no winter and
no length of day, are set from the end of February to the middle of March where it is warm, and take
five and a half to six months (tasmaniangourmetgarlic.com.au). Set at Bodø, 67° N, on 27 October it
was lifted on 17 August (elisabeth-hage.blogspot.com, 2020); in northern Norway it is set in autumn,
under straw or wool where snow is not sure (Norsk Landbruksrådgivning, nlr.no).
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

CROPS, _ = read_crops()
START = date(2026, 1, 1)
SHELF = Conditions(True, tray_temperature_c=18.0, tray_dli_mol=10.0)
DIRECT = Conditions(False)
# An inland town invented, with round figures of the sort atlases print for the Middle West.
INLAND = Climate(
    tmin=(-12, -9, -3, 3, 9, 15, 17, 16, 11, 4, -2, -8),
    tmax=(-2, 0, 8, 16, 22, 27, 29, 28, 24, 17, 8, 1),
)
# Normals of Bodø [°C], from memory.
BODO = (
    Site("Bodø", 67.28, 14.4, "Europe/Oslo", 10.0),
    Climate(
        tmin=(-2.5, -3.0, -2.0, 1.0, 4.5, 8.0, 10.8, 10.6, 7.6, 3.3, 0.2, -1.6),
        tmax=(1.6, 1.2, 2.4, 6.0, 10.0, 13.4, 16.0, 15.5, 12.0, 7.2, 4.2, 2.4),
    ),
)
_SKIES = {}


def inland(latitude):
    return Site("Inland", latitude, -91.0, "America/Chicago", 250.0), INLAND


def town(name):
    t = next(t for t in towns() if t.name == name)
    site = Site(t.name, t.latitude, t.longitude, t.timezone, t.elevation_m)
    return site, Climate(tmin=t.tmin, tmax=t.tmax)


def courses(key, place, sown, conditions):
    site, climate = place
    if (site.name, site.latitude) not in _SKIES:
        _SKIES[site.name, site.latitude] = sky(site, climate, START, 1000)
    days = [(day - START).days for day in sown]
    table = evolve(CROPS[key], _SKIES[site.name, site.latitude], days, conditions)
    return [table.course(i) for i in range(len(days))]


@pytest.mark.parametrize("latitude", [38.0, 40.0, 41.9, 44.0, 47.0])
def test_long_day_onions_of_spring_are_lifted_in_late_summer(latitude):
    sown = [date(2026, month, day) for month, day in ((2, 20), (3, 1), (3, 2), (3, 15))]
    for course in courses("onion-long-day", inland(latitude), sown, SHELF):
        assert course.feasible
        assert date(2026, 7, 20) <= course.harvest_start <= date(2026, 9, 30)


@pytest.mark.parametrize("latitude", [38.0, 41.9, 42.5, 47.0])
def test_a_week_later_costs_a_little_and_never_all(latitude):
    sown = [date(2026, 3, 1 + day) for day in range(31)] + [date(2026, 4, 1 + d) for d in range(20)]
    found = courses("onion-long-day", inland(latitude), sown, SHELF)
    assert all(course.feasible for course in found)
    ready = [course.harvest_start.toordinal() for course in found]
    assert max(np.diff(ready)) <= 3 and min(np.diff(ready)) >= 0
    size = [course.lots[0].share for course in found]
    assert size[0] == 1.0
    assert max(np.diff(size)) <= 0.005 and min(np.diff(size)) >= -0.04


def test_planted_late_they_stay_small_and_in_the_end_form_no_bulb():
    sown = [date(2026, 3, 1), date(2026, 4, 25), date(2026, 5, 10), date(2026, 6, 1)]
    full, small, smaller, none = courses("onion-long-day", inland(41.9), sown, SHELF)
    assert full.lots[0].share == 1.0 > small.lots[0].share >= smaller.lots[0].share > 0.3
    assert "no bulb forms: days do not stay longer than 14 h" in none.reason


BOUGHT = Conditions(True, bought=True)


@pytest.mark.parametrize(
    ("key", "name", "given", "usual", "late"),
    [
        ("onion-sets", "London", DIRECT, (3, 15), (5, 10)),
        ("onion-long-day", "Sapporo", BOUGHT, (4, 25), (6, 5)),
        ("onion-intermediate", "Santiago", BOUGHT, (9, 15), (11, 20)),
        ("onion-short-day", "Houston", BOUGHT, (1, 10), (4, 25)),
        ("shallot", "London", DIRECT, (3, 1), (5, 10)),
    ],
)
def test_onions_planted_as_is_usual_are_full_sized_and_some_weeks_later_small(
    key, name, given, usual, late
):
    days = [date(2026, *usual), date(2026, *late)]
    full, small = courses(key, town(name), days, given)
    assert full.size > 0.95 and full.lots[0].share == full.size
    assert 0.3 < small.size < 0.75


@pytest.mark.parametrize(
    ("key", "latitude"), [("onion-long-day", 28.0), ("onion-intermediate", 8.0)]
)
def test_where_days_are_never_so_long_it_is_not_frost_that_is_to_blame(key, latitude):
    sown = [date(2026, month, 1) for month in (3, 4)]
    for course in courses(key, inland(latitude), sown, SHELF):
        assert not course.feasible and "no bulb forms: days" in course.reason


def test_intermediate_onions_bulb_in_days_of_12_to_14_hours():
    assert 12.0 <= CROPS["onion-intermediate"].bolt_daylength_h <= 14.0
    assert 14.0 <= CROPS["onion-long-day"].bolt_daylength_h <= 16.0
    assert all(
        c.feasible for c in courses("onion-intermediate", inland(34), [date(2026, 2, 20)], SHELF)
    )


@pytest.mark.parametrize("name", ["Chicago", "Madison", "Minneapolis"])
@pytest.mark.parametrize("day", [date(2026, 9, 28), date(2026, 10, 12), date(2026, 10, 25)])
def test_garlic_of_the_middle_west_winters_in_the_ground(name, day):
    (course,) = courses("garlic", town(name), [day], DIRECT)
    assert course.feasible, course.reason
    assert date(2027, 6, 20) <= course.harvest_start <= date(2027, 7, 31)


def test_cloves_set_after_the_cold_form_no_bulb_and_frost_is_not_to_blame():
    (course,) = courses("garlic", town("Minneapolis"), [date(2026, 5, 10)], DIRECT)
    assert course.reason == (
        "no bulb forms: set too late for the cold it needs before the long days"
    )


@pytest.mark.parametrize("name", ["Minneapolis", "Chicago", "London"])
def test_garlic_of_early_spring_is_smaller_than_autumns_and_later_comes_to_no_bulb(name):
    days = [date(2025 + year, month, day) for year, month, day in
            ((1, 10, 12), (1, 3, 26), (1, 5, 10))]  # fmt: skip
    autumn, spring, late = courses("garlic", town(name), days, DIRECT)
    assert autumn.size == 1.0 and autumn.lots[0].share == 1.0
    assert spring.feasible and 1 / 3 < spring.size < 0.75
    assert not late.feasible and "too late for the cold" in late.reason


def test_a_week_later_in_spring_costs_garlic_a_little_more():
    sown = [date(2026, 2, 1 + d) for d in range(28)] + [date(2026, 3, 1 + d) for d in range(28)]
    size = [course.size for course in courses("garlic", town("London"), sown, DIRECT)]
    assert size[0] == 1.0
    assert max(np.diff(size)) <= 0.01 and min(np.diff(size)) >= -0.04


def test_garlic_of_sydney_is_set_from_march_to_may():
    sown = [date(2026, month, day) for month, day in ((3, 25), (4, 15), (5, 15))]
    for course in courses("garlic", town("Sydney"), sown, DIRECT):
        assert course.feasible, course.reason
        assert course.size > 0.9
        assert date(2026, 10, 15) <= course.harvest_start <= date(2026, 12, 15)


def test_subtropical_garlic_of_brisbane_is_lifted_after_five_to_six_months():
    sown = [date(2026, month, day) for month, day in ((2, 28), (3, 17), (4, 15), (4, 30))]
    for course in courses("garlic-subtropical", town("Brisbane"), sown, DIRECT):
        assert course.feasible, course.reason
        assert 5.0 * 30.4 <= (course.harvest_start - course.sow).days <= 6.0 * 30.4
    (other,) = courses("garlic", town("Brisbane"), [date(2026, 5, 1)], DIRECT)
    assert "too mild" in other.reason


def test_northern_garlic_set_at_67_degrees_in_october_is_lifted_in_the_middle_of_august():
    (course,) = courses("garlic-northern", BODO, [date(2026, 10, 27)], DIRECT)
    assert abs((course.harvest_start - date(2027, 8, 17)).days) <= 10


@pytest.mark.parametrize("day", [date(2026, 9, 10), date(2026, 9, 25), date(2026, 10, 5)])
def test_northern_garlic_is_set_at_tromso_before_the_ground_freezes(day):
    """Lifted within the first frosts' reach, in September: from memory."""
    (course,) = courses("garlic-northern", town("Tromsø"), [day], DIRECT)
    assert course.feasible, course.reason
    assert date(2027, 8, 20) <= course.harvest_start <= date(2027, 10, 5)


def test_nothing_is_set_into_frozen_ground_nor_comes_up_in_it():
    """Common practice, no source: as soon as the ground can be worked."""
    place = town("Minneapolis")
    for key in ("garlic", "broad-bean", "spinach"):
        january, april = courses(key, place, [date(2026, 1, 15), date(2026, 4, 20)], DIRECT)
        assert january.reason.startswith("the ground is frozen until ")
        assert not april.reason.startswith("the ground is frozen")
    up = [c.emergence for c in courses("garlic", place, [date(2026, 10, 20)], DIRECT)]
    assert not any(date(2026, 12, 15) <= day <= date(2027, 3, 1) for day in up)
