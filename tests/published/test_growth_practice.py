"""What growers count on. Common practice, no source, unless a check says otherwise."""

from datetime import date, timedelta

import numpy as np
import pytest

from sowplan.growth.conditions import weather_under
from sowplan.growth.courses import Conditions
from sowplan.growth.events import development
from sowplan.growth.evolve import evolve
from sowplan.growth.succession import succession
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Climate, Site
from sowplan.site.sky import sky
from sowplan.site.towns import towns

CROPS = read_crops()[0]
TOWNS = {town.name: town for town in towns()}
SHELF = Conditions(True, "none", 18.0, 12.0)


def outlook(name, start=date(2027, 1, 1), days=900):
    t = TOWNS[name]
    site = Site(name, t.latitude, t.longitude, t.timezone, t.elevation_m)
    return sky(site, Climate(tmin=t.tmin, tmax=t.tmax), start, days)


@pytest.mark.parametrize("key", ["lettuce-butterhead", "spinach", "chard", "rocket", "mizuna"])
@pytest.mark.parametrize("town", ["London", "Hamburg", "Dublin", "Boston", "Seattle"])
def test_growth_all_but_stops_in_days_shorter_than_ten_hours(key, town):
    """No switch at ten hours: cold and little light together bring it about."""
    series = outlook(town).series
    rate = development(CROPS[key], weather_under("none", 1.0, series), np.zeros((1, 900)))[0]
    year = slice(0, 365)
    short = series.daylength[year] < 10.0
    good = np.quantile(rate[year], 0.9)
    assert 80 <= short.sum() <= 120
    assert rate[year][short].mean() < good / 4
    assert rate[year][short].sum() < rate[year].sum() / 8  # of a third or a quarter of the days
    by_month = np.convolve(np.tile(rate[year], 2), np.full(30, 1 / 30), "valid")
    assert by_month.min() < good / 5


def test_a_crop_not_done_when_the_ten_hour_days_come_waits_for_spring():
    """In mild Dublin a late sowing stands still from November to February."""
    here = outlook("Dublin", date(2027, 7, 1))
    table = evolve(CROPS["lambs-lettuce"], here, np.arange(0, 150), Conditions(False))
    ready = table.harvest_start[table.feasible]
    dark = here.series.daylength[ready] < 10.0
    sown = table.sow[table.feasible]
    # Sowings of the eight weeks from mid August on are spread over far more than eight weeks.
    late = (sown >= 45) & (sown < 101)
    assert np.ptp(ready[late]) > 2 * 56
    assert dark.mean() < 0.5


@pytest.mark.parametrize("key", ["lettuce-baby-leaf", "rocket", "mizuna", "kale-baby-leaf"])
@pytest.mark.parametrize(
    ("town", "month"), [("London", 6), ("Boston", 5), ("Christchurch", 12), ("Lisbon", 4)]
)
def test_leafy_seedlings_are_cut_as_young_leaf_two_to_three_weeks_after_setting_out(
    key, town, month
):
    table = evolve(CROPS[key], outlook(town), np.arange(0, 365), SHELF)
    planted = np.datetime64("2027-01-01") + table.planting_out
    good = table.feasible & (planted.astype("M8[M]").astype(int) % 12 == month - 1)
    days = (table.harvest_start - table.planting_out)[good]
    assert days.size >= 20
    assert 10 <= np.median(days) <= 21


def test_days_apart_in_the_tray_become_weeks_apart_in_the_bed_in_autumn():
    """And in spring the other way round: later sowings catch up."""
    found = succession(
        CROPS["lettuce-romaine"], outlook("Auckland", date(2027, 7, 1)), 365, 7, SHELF
    )
    by_month = {}
    for row in found.rows:
        if row.interval_days:
            by_month.setdefault(row.course.sow.month, []).append(row.interval_days)
    assert max(by_month[3]) < 6  # autumn: sow again within days for a harvest a week later
    assert np.mean(by_month[8]) > 8 and min(by_month[8]) >= 8  # late winter: more than a week
    assert all(6 <= days <= 8 for days in by_month[12])  # midsummer: a week is a week


def test_summer_is_midwinter_turned_round():
    """A warm-season crop is sown around September to November in the south, March to May north."""
    for town, months in (("Wellington", {7, 8, 9, 10, 11, 12}), ("Paris", {1, 2, 3, 4, 5, 6})):
        table = evolve(CROPS["tomato"], outlook(town), np.arange(0, 365, 5), SHELF)
        sown = {(date(2027, 1, 1) + timedelta(int(s))).month for s in table.sow[table.feasible]}
        assert sown and sown <= months


def test_frost_tender_crops_go_out_after_the_last_frost_only():
    here = outlook("Chicago")
    last, _, _ = here.frost.dates(date(2027, 1, 1), 0.10, 0.0)
    table = evolve(CROPS["tomato"], here, np.arange(0, 200), SHELF)
    out = table.planting_out[table.planting_out >= 0]
    assert date(2027, 1, 1) + timedelta(int(out.min())) >= last


def test_onions_of_long_days_do_not_bulb_in_the_tropics():
    table = evolve(CROPS["onion-long-day"], outlook("Singapore"), np.arange(0, 365, 20), SHELF)
    assert not table.feasible.any()
    assert all("no bulb forms" in reason or "heat" in reason for reason in table.reason)


def test_british_spinach_of_late_spring_is_small_and_soon_over_and_late_summers_is_neither():
    """Sown from mid-March to the end of May, and in August and September (rhs.org.uk, spinach).

    That what is sown in May runs to seed as soon as it is fit is common practice, no source.
    """
    here = outlook("London")
    dates = ((3, 20), (4, 20), (5, 10), (5, 25), (8, 15))
    table = evolve(CROPS["spinach"], here, [_day(*day) for day in dates], Conditions(False))
    assert table.feasible.all()
    stands = table.harvest_end - table.harvest_start + 1
    assert max(stands[2:4]) < 5 < min(stands[0], stands[4])
    assert max(table.size[2:4]) < 1.0 == table.size[0] == table.size[4]


def _day(month, day):
    return (date(2027, month, day) - date(2027, 1, 1)).days


def _near(latitude, town, start):
    t = TOWNS[town]
    site = Site("Near", latitude, t.longitude, t.timezone, t.elevation_m)
    return sky(site, Climate(tmin=t.tmin, tmax=t.tmax), start, 500)


@pytest.mark.parametrize(
    ("latitude", "town", "start", "spring", "midsummer", "late"),
    [
        (44.6, "Seattle", date(2027, 1, 1), (3, 20), [(5, 24), (6, 5), (6, 14)], (8, 1)),
        (-41.4, "Christchurch", date(2027, 7, 1), (9, 25), [(11, 15), (11, 25), (12, 5)], (2, 5)),
    ],
)
def test_midsummer_spinach_hardly_stands_where_midsummer_days_are_of_15_hours(
    latitude, town, start, spring, midsummer, late
):
    """Sown from late spring on it runs to seed in the Pacific Northwest as soon as it is fit.

    Extension advice for the maritime Northwest (Oregon State University, as told by a regional
    paper): cool-season spinach in early and mid spring, and again from late summer.
    """

    def stands(month, day):
        sown = date(start.year + (month < start.month), month, day)
        table = evolve(CROPS["spinach"], here, [(sown - start).days], Conditions(False))
        return table.harvest_end[0] - table.harvest_start[0] + 1 if table.feasible[0] else 0

    here = _near(latitude, town, start)
    assert max(stands(*day) for day in midsummer) < 7
    assert min(stands(*spring), stands(*late)) >= 10


@pytest.mark.parametrize(
    ("key", "cool"), [("rocket", (3, 15)), ("coriander", (8, 13)), ("spinach-baby-leaf", (3, 15))]
)
def test_quick_leaf_sown_into_midsummer_can_be_cut_but_must_be_cut_soon(key, cool):
    here = outlook("London")
    early, mid = ((date(2027, m, d) - date(2027, 1, 1)).days for m, d in (cool, (6, 5)))
    table = evolve(CROPS[key], here, [early, mid], Conditions(False))
    assert table.feasible.all()
    stands = table.harvest_end - table.harvest_start + 1
    assert stands[1] <= 4 < 8 <= stands[0]


@pytest.mark.parametrize("town", ["Melbourne", "Hobart"])
def test_midsummer_coriander_goes_to_seed_in_seven_weeks_and_autumns_stands(town):
    """As market growers of southern Victoria tell it (Transition Farm, on timing coriander).

    Sown direct in the long days of November and December it has gone to seed six or seven weeks
    later, so they sow every second or third week; what is sown in March stands through the winter.
    """
    start = date(2027, 7, 1)
    here = outlook(town, start)

    def course(*day):
        sown = [(date(2027 + (day[0] < 7), *day) - start).days]
        return evolve(CROPS["coriander"], here, sown, Conditions(False)).course(0)

    for day in ((11, 10), (11, 24), (12, 8), (12, 22)):
        early = course(*day)
        assert 38 <= (early.harvest_end - early.sow).days <= 7 * 7 + 4, day
        assert (early.harvest_end - early.harvest_start).days <= 9
    autumn = course(3, 20)
    assert (autumn.harvest_end - autumn.harvest_start).days > 30
