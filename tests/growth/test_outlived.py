"""Silence counts as standing, but not for what cannot have lived. Common practice, no source."""

from datetime import date, timedelta

import pytest

from sowplan.growth.courses import Conditions
from sowplan.growth.evolve import Seen, evolve
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Climate, Site
from sowplan.site.sky import sky
from sowplan.site.towns import towns

CROPS = read_crops()[0]
TOWNS = {town.name: town for town in towns()}


def said_to_stand(key, town, sown, until):
    """Return the course of what was sown on one day, of which nothing is said on a later one."""
    t = TOWNS[town]
    start = sown.replace(day=1)
    site = Site(town, t.latitude, t.longitude, t.timezone, t.elevation_m)
    here = sky(site, Climate(tmin=t.tmin, tmax=t.tmax), start, 800)
    seen = Seen((until - start).days)
    return evolve(CROPS[key], here, [(sown - start).days], Conditions(False), seen=seen).course(0)


@pytest.mark.parametrize("key", ["runner-bean", "bush-bean", "sweet-corn", "tomato", "basil"])
@pytest.mark.parametrize("until", [date(2028, 1, 1), date(2028, 5, 1), date(2028, 5, 25)])
@pytest.mark.parametrize("sown", [date(2027, 9, 5), date(2027, 10, 1)])
def test_tender_crops_sown_in_a_yorkshire_autumn_are_gone_by_new_year(key, sown, until):
    course = said_to_stand(key, "York", sown, until)
    assert not course.feasible
    assert "frost would kill it" in course.reason or "too cold for the seed" in course.reason


def test_in_the_south_they_are_gone_by_july():
    for key in ("runner-bean", "tomato"):
        course = said_to_stand(key, "Canberra", date(2027, 4, 1), date(2027, 9, 1))
        assert not course.feasible


@pytest.mark.parametrize("key", ["spinach", "broad-bean", "garlic", "lambs-lettuce"])
def test_hardy_crops_of_autumn_stand_in_spring(key):
    assert said_to_stand(key, "York", date(2027, 9, 25), date(2028, 3, 1)).feasible


def test_a_late_frost_or_two_leaves_the_growers_silence_standing():
    """Sown a little early in spring, it may have been covered, or lucky."""
    for key, town, day in (("sweet-corn", "Chicago", 12), ("courgette", "London", 20)):
        course = said_to_stand(key, town, date(2028, 4, day), date(2028, 6, 1))
        assert course.feasible and course.emergence < date(2028, 5, 25), course


def test_what_gave_its_harvest_before_the_frost_is_as_it_was():
    course = said_to_stand("courgette", "Milan", date(2027, 5, 10), date(2027, 12, 20))
    assert course.feasible and course.harvest_start < date(2027, 8, 1)


def test_where_no_frost_comes_a_bean_sown_in_autumn_stands():
    course = said_to_stand("bush-bean", "Brisbane", date(2027, 4, 1), date(2027, 6, 1))
    assert course.feasible
    assert course.harvest_start - course.sow > timedelta(days=30)
