"""The interval that keeps a weekly harvest, and the rows of a year."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest

from sowplan.growth.courses import Conditions
from sowplan.growth.evolve import evolve
from sowplan.growth.reasons import by_cold_outside
from sowplan.growth.succession import HORIZON_DAYS, next_sowing, saved_by, succession
from sowplan.records.garden import Climate, Site
from sowplan.site.sky import sky
from sowplan.site.towns import towns

DIRECT = Conditions(False)
SHELF = Conditions(True, "none", 18.0, 12.0)


def outlook(name, start=date(2027, 1, 1)):
    t = next(one for one in towns() if one.name == name)
    site = Site(name, t.latitude, t.longitude, t.timezone)
    return sky(site, Climate(tmin=t.tmin, tmax=t.tmax), start, 365 + HORIZON_DAYS)


def test_in_steady_weather_a_week_of_harvest_is_a_week_of_sowing(sky_of, crops):
    found = succession(crops["radish"], sky_of(mean=18, dli=28), 365, 7, DIRECT)
    assert {row.interval_days for row in found.rows} == {7}
    assert {row.days for row in found.rows} == {found.rows[0].days}


def test_a_picked_crop_is_sown_again_for_the_week_after_its_last_pick(sky_of, crops):
    crop = crops["bush-bean"]
    row = succession(crop, sky_of(mean=22, dli=38), 60, 7, DIRECT).rows[0]
    last = row.course.lots[-1].ready
    assert row.interval_days == (last - row.course.harvest_start).days + 7


@pytest.mark.parametrize("key", ["lettuce-butterhead", "spinach", "radish", "tomato"])
@pytest.mark.parametrize("town", ["London", "Christchurch"])
def test_the_interval_is_the_longest_that_is_in_time(key, town, crops):
    crop = crops[key]
    conditions = DIRECT if crop.start == "direct" else SHELF
    table = evolve(crop, outlook(town), np.arange(520), conditions)
    picked = crop.harvest == "pick"
    for i in range(0, 365, 11):
        found = next_sowing(table, i, picked)
        if not table.feasible[i]:
            assert found is None
            continue
        due = 7 + (table.lot_ready[i].max() if picked else table.harvest_start[i])
        in_time = [
            d for d in range(1, 151)
            if table.feasible[i + d] and table.harvest_start[i + d] <= due
        ]  # fmt: skip
        assert found == (max(in_time) if in_time else None)


@pytest.mark.parametrize(("days", "every", "rows"), [(365, 7, 53), (365, 1, 365), (10, 30, 1)])
def test_a_row_a_sowing_date(days, every, rows, crops):
    here = outlook("London")
    found = succession(crops["spinach"], here, days, every, DIRECT)
    assert len(found.rows) == rows
    first = date(2027, 1, 1)
    assert [row.course.sow for row in found.rows] == [
        first + timedelta(every * n) for n in range(rows)
    ]


def test_the_spans_of_short_days(crops):
    here = outlook("London", date(2027, 7, 1))
    spans = succession(crops["spinach"], here, 365, 30, DIRECT).short_days
    assert len(spans) >= 2
    for first, last in spans[:2]:
        assert here.series.daylength[here.series.index(first)] < 10
        assert here.series.daylength[here.series.index(last)] < 10
        assert here.series.daylength[here.series.index(first) - 1] >= 10
        assert here.series.daylength[here.series.index(last) + 1] >= 10


def test_near_the_equator_no_days_are_short(crops):
    assert not succession(crops["amaranth"], outlook("Singapore"), 90, 30, DIRECT).short_days


def test_what_a_cover_would_save_is_what_lives_under_it(crops):
    """In London, of what frost takes: no more, no less, and no other reason is answered so."""
    here = outlook("London", date(2027, 3, 1))
    open_air = Conditions(True, "none", 18.0, 10.0)
    found = succession(crops["sweet-corn"], here, 365, 14, open_air)
    saved_so_far = 0
    for cover in ("fleece", "tunnel", "glass"):
        under = succession(crops["sweet-corn"], here, 365, 14, replace(open_air, cover=cover))
        saved = saved_by(cover, found, crops["sweet-corn"], here, open_air)
        assert set(saved) == {
            i
            for i, (bare, covered) in enumerate(zip(found.rows, under.rows, strict=True))
            if by_cold_outside(bare.course.reason) and covered.course.feasible
        }
        assert len(saved) >= saved_so_far
        saved_so_far = len(saved)
    assert 0 < saved_so_far < sum(not row.course.feasible for row in found.rows)
