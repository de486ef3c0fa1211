"""Any crop, any place from 70° S to 78° N, any weather, any start: dates in order, or a reason."""

from datetime import date
from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sowplan.growth.courses import Conditions
from sowplan.growth.evolve import evolve
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Climate, Site
from sowplan.site.sky import sky
from sowplan.site.towns import towns

CROPS = read_crops()[0]
DAYS = 900


@st.composite
def climates(draw):
    """Draw a year's course from always frozen to tropical, warmest at either solstice."""
    middle, swing = draw(st.floats(-25, 30)), draw(st.floats(0, 25))
    half = draw(st.floats(1, 9))
    sign = draw(st.sampled_from([1, -1]))
    months = np.arange(12)
    mean = middle - sign * swing * np.cos(2 * np.pi * (months - 0.5) / 12)
    return Climate(tmin=tuple(mean - half), tmax=tuple(mean + half))


conditions = st.builds(
    Conditions,
    raised=st.booleans(),
    cover=st.sampled_from(["none", "fleece", "tunnel", "glass"]),
    tray_temperature_c=st.one_of(st.none(), st.floats(5, 30)),
    tray_dli_mol=st.one_of(st.none(), st.floats(2, 25)),
    light_share=st.one_of(st.floats(0.2, 1.0), st.tuples(*[st.floats(0.2, 1.0)] * 12)),
)


def check_order(table, crop):
    """Hold a table to what must be true of any."""
    events = (table.emergence, table.planting_out, table.harvest_start, table.harvest_end)
    latest = table.sow
    for event in events:
        there = event >= 0
        assert (event[there] >= latest[there]).all()
        latest = np.where(there, event, latest)
    good = table.feasible
    assert (table.harvest_start[good] >= 0).all() and (table.harvest_start[~good] == -1).all()
    assert (table.harvest_end[good] >= table.harvest_start[good]).all()
    assert (table.harvest_end[~good] == -1).all()
    assert (table.harvest_start_early[good] <= table.harvest_start[good]).all()
    assert (table.harvest_start_late[good] >= table.harvest_start[good]).all()
    out = table.planting_out >= 0
    early = good & out
    assert (table.harvest_start_early[early] >= table.planting_out[early]).all()
    assert all(bool(reason) != ok for reason, ok in zip(table.reason, good, strict=True))
    there, share = table.lot_ready >= 0, table.lot_share
    assert (table.lot_last[there] >= table.lot_ready[there]).all()
    assert ((share > 0) == there).all()
    assert (share.sum(axis=1) <= 1.0 + 1e-9).all()
    for ready in (table.lot_ready, table.late_ready):
        steps = np.diff(np.where(ready >= 0, ready, 10**6), axis=1)
        assert (steps >= 0).all()
    assert (table.lot_ready[good, 0] == table.harvest_start[good]).all()


@settings(max_examples=80, deadline=None)
@given(
    latitude=st.floats(-70, 78),
    start=st.dates(date(1999, 1, 1), date(2060, 12, 31)),
    climate=st.one_of(
        climates(),
        st.sampled_from(towns()).map(lambda t: Climate(tmin=t.tmin, tmax=t.tmax, rain=t.rain)),
    ),
    crop=st.sampled_from(sorted(CROPS)),
    where=conditions,
    risk=st.floats(0.02, 0.5),
)
def test_dates_are_in_order_or_there_is_a_reason(latitude, start, climate, crop, where, risk):
    outlook = sky(Site("somewhere", latitude, 10.0, "UTC"), climate, start, DAYS)
    sow = np.arange(0, 400, 9)
    table = evolve(CROPS[crop], outlook, sow, where, risk)
    check_order(table, CROPS[crop])
    # The killing frost: an uncovered plant never stands out on a day whose risk is too high.
    if where.cover == "none":
        unsafe = np.flatnonzero(~outlook.frost.safe(CROPS[crop].killing_frost_c, risk))
        stands = np.where(table.planting_out >= 0, table.planting_out, table.emergence)
        for i in np.flatnonzero(table.feasible):
            between = (unsafe >= stands[i]) & (unsafe <= table.harvest_end[i])
            assert not between.any()
    for i in (0, len(sow) - 1):
        course = table.course(i)
        assert course.feasible == bool(table.feasible[i])
        assert [lot.ready for lot in course.lots] == sorted(lot.ready for lot in course.lots)


def shifted(outlook, warmer=0.0, brighter=1.0, frost_free=True):
    """Return the sky with steadily warmer or brighter weather, and no frost."""
    from dataclasses import replace

    s = outlook.series
    series = replace(
        s,
        tmin=s.tmin + warmer,
        tmax=s.tmax + warmer,
        tmean=s.tmean + warmer,
        soil=s.soil + warmer,
        dli=s.dli * brighter,
        scenarios=np.zeros((1, len(s))),
    )
    always = np.ones(len(s), dtype=bool)
    return SimpleNamespace(series=series, frost=SimpleNamespace(safe=lambda *_: always))


@settings(max_examples=30, deadline=None)
@given(
    latitude=st.floats(-55, 60),
    middle=st.floats(8, 12),
    swing=st.floats(0, 3),
    warmer=st.floats(0, 2),
    brighter=st.floats(1, 2),
    crop=st.sampled_from(["spinach", "carrot", "cabbage-summer", "pea", "chard", "leek"]),
)
def test_warmer_below_the_optimum_or_brighter_is_never_slower(
    latitude, middle, swing, warmer, brighter, crop
):
    mean = middle - swing * np.cos(2 * np.pi * (np.arange(12) - 0.5) / 12)
    climate = Climate(tmin=tuple(mean - 1), tmax=tuple(mean + 1))
    outlook = sky(Site("somewhere", latitude, 0.0, "UTC"), climate, date(2027, 1, 1), DAYS)
    sow = np.arange(0, 300, 15)
    usual = evolve(CROPS[crop], shifted(outlook), sow, Conditions(False))
    better = evolve(CROPS[crop], shifted(outlook, warmer, brighter), sow, Conditions(False))
    both = usual.feasible & better.feasible
    assert (better.emergence[both] <= usual.emergence[both]).all()
    assert (better.harvest_start[both] <= usual.harvest_start[both]).all()


def test_a_leap_day_is_a_day_like_any_other():
    climate = next(Climate(tmin=t.tmin, tmax=t.tmax) for t in towns() if t.name == "Auckland")
    outlook = sky(Site("Auckland", -36.85, 174.8, "UTC"), climate, date(2028, 1, 1), DAYS)
    leap = outlook.series.index(date(2028, 2, 29))
    table = evolve(CROPS["radish"], outlook, [leap - 1, leap, leap + 1], Conditions(False))
    assert table.course(1).sow == date(2028, 2, 29)
    assert table.feasible.all()
    assert np.abs(np.diff(table.harvest_start)).max() <= 2


def test_north_and_south_are_mirrored():
    """The same climate half a year apart gives the same season half a year apart, within days."""
    north = next(t for t in towns() if t.name == "London")
    turned = Climate(tmin=north.tmin[6:] + north.tmin[:6], tmax=north.tmax[6:] + north.tmax[:6])
    usual = Climate(tmin=north.tmin, tmax=north.tmax)
    sky_n = sky(Site("n", 51.5, 0, "UTC"), usual, date(2027, 1, 1), DAYS)
    sky_s = sky(Site("s", -51.5, 0, "UTC"), turned, date(2027, 7, 2), DAYS)
    for key in ("lettuce-loose-leaf", "spinach", "carrot"):
        days = [
            evolve(CROPS[key], s, np.arange(60, 200, 20), Conditions(False)) for s in (sky_n, sky_s)
        ]
        both = days[0].feasible & days[1].feasible
        assert both.sum() >= 2
        gap = days[0].harvest_start[both] - days[1].harvest_start[both]
        assert np.abs(gap).max() <= 8


@pytest.mark.parametrize("town", ["Singapore", "Yakutsk", "Quito", "Tromsø"])
def test_extreme_towns_give_an_answer_for_every_crop(town):
    t = next(one for one in towns() if one.name == town)
    climate = Climate(tmin=t.tmin, tmax=t.tmax)
    outlook = sky(Site(town, t.latitude, t.longitude, t.timezone), climate, date(2027, 1, 1), DAYS)
    for crop in CROPS.values():
        check_order(evolve(crop, outlook, np.arange(0, 365, 7), Conditions(False)), crop)
