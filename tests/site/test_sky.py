"""The sky of any place, any season: shapes, sense, and the same again."""

import subprocess
import sys
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sowplan.records.garden import Climate, DayRecord, Site
from sowplan.site.sky import ENOUGH_YEARS, sky
from sowplan.site.towns import towns

COOL = Climate(
    tmin=(12.3, 12.4, 10.1, 7.1, 4.6, 2.8, 2.2, 3.6, 5.1, 6.7, 8.9, 10.6),
    tmax=(24.4, 24.6, 22.5, 18.9, 15.7, 13.0, 12.5, 13.8, 15.6, 17.9, 20.1, 22.3),
    rain=(46, 37, 40, 59, 64, 67, 80, 86, 68, 50, 54, 50),
)


def place(latitude, longitude=0.0):
    return Site("somewhere", latitude, longitude, "UTC", 50.0)


def record(years, first=date(2001, 1, 1), seed=3):
    """A made-up record: the cool climate with a made-up weather on it, a calendar's days."""
    days = (date(first.year + years, first.month, first.day) - first).days
    base = sky(place(-41), COOL, first, days).series
    noise = 3 * np.sin(np.arange(days) * 0.7 + seed) + 2 * np.sin(np.arange(days) * 0.043 * seed)
    rows = zip(base.tmin + noise, base.tmax + noise, strict=True)
    return tuple(
        DayRecord(first + timedelta(days=i), float(low), float(high), 1.5)
        for i, (low, high) in enumerate(rows)
    )


@settings(max_examples=60, deadline=None)
@given(
    latitude=st.floats(-70, 78),
    longitude=st.floats(-180, 180),
    start=st.dates(date(1990, 1, 1), date(2090, 12, 31)),
    days=st.integers(1, 800),
    town=st.sampled_from(towns()),
)
def test_any_place_and_season_has_a_sensible_sky(latitude, longitude, start, days, town):
    climate = Climate(tmin=town.tmin, tmax=town.tmax, rain=town.rain)
    found = sky(place(latitude, longitude), climate, start, days)
    series = found.series
    assert len(series) == days and series.start == start
    for name in ("tmin", "tmax", "tmean", "soil", "rain", "daylength", "dli", "radiation"):
        values = getattr(series, name)
        assert values.shape == (days,) and np.isfinite(values).all(), name
    assert (series.tmin < series.tmax).all()
    assert ((series.daylength >= 0) & (series.daylength <= 24)).all()
    assert (series.radiation >= 0).all() and (series.radiation < 45).all()
    assert series.scenarios.shape[1] == days and np.isfinite(series.scenarios).all()
    for risk in (0.05, 0.3):
        safe = found.frost.safe(0.0, risk)
        assert safe.shape == (days,) and safe.dtype == bool
        last, first, note = found.frost.dates(start, risk)
        assert note and all(d is None or start <= d < start + timedelta(367) for d in (last, first))
    chance = found.frost.chance(0.0)
    assert ((chance >= 0) & (chance <= 1)).all()


def test_monthly_means_come_back_through_the_sky():
    series = sky(place(-41), COOL, date(2027, 1, 1), 731).series
    days = [series.day(i) for i in range(731)]
    for year in (2027, 2028):
        for month in range(1, 13):
            of_month = [i for i, d in enumerate(days) if (d.year, d.month) == (year, month)]
            assert series.tmin[of_month].mean() == pytest.approx(COOL.tmin[month - 1], abs=0.01)
            assert series.tmax[of_month].mean() == pytest.approx(COOL.tmax[month - 1], abs=0.01)


def test_rain_is_unknown_where_none_is_given():
    series = sky(place(-41), Climate(COOL.tmin, COOL.tmax), date(2027, 1, 1), 30).series
    assert np.isnan(series.rain).all()


def test_a_later_start_meets_the_same_weathers():
    early = sky(place(-41), COOL, date(2026, 9, 1), 365).series
    late = sky(place(-41), COOL, date(2026, 12, 10), 265).series
    assert np.array_equal(early.scenarios[:, 100:], late.scenarios)
    assert np.array_equal(early.tmin[100:], late.tmin)
    assert np.allclose(early.daylength[100:], late.daylength, atol=1e-6)


def test_scenarios_from_a_stated_spread_balance_around_normal():
    series = sky(place(-41), COOL, date(2026, 9, 1), 365).series
    assert np.allclose(series.scenarios.mean(axis=0), 0, atol=1e-12)
    assert len(np.unique(series.scenarios[:, 0])) == len(series.scenarios)
    today, tomorrow = series.scenarios[:, :-1].ravel(), series.scenarios[:, 1:].ravel()
    assert 0.65 < np.corrcoef(today, tomorrow)[0, 1] < 0.8


def test_the_same_in_another_process():
    code = (
        "from sowplan.site.sky import sky; from sowplan.records.garden import Climate, Site;"
        "from datetime import date; import hashlib;"
        f"s = sky(Site('s', -41.0, 0.0, 'UTC', 50.0), Climate({COOL.tmin}, {COOL.tmax}),"
        "date(2026, 9, 1), 365).series;"
        "print(hashlib.sha256(s.scenarios.tobytes() + s.tmin.tobytes()).hexdigest())"
    )
    runs = {subprocess.check_output([sys.executable, "-c", code]) for _ in range(2)}
    assert len(runs) == 1


def test_soil_lags_and_is_milder_than_air():
    series = sky(place(-41), COOL, date(2027, 1, 1), 365).series
    assert np.ptp(series.soil) < np.ptp(series.tmean)
    assert np.ptp(series.soil) > 0.95 * np.ptp(series.tmean)
    lag = int(np.argmin(series.soil)) - int(np.argmin(series.tmean))
    assert 1 <= lag <= 4
    assert series.soil.mean() == pytest.approx(series.tmean.mean(), abs=0.01)


def test_every_recorded_year_is_a_scenario_from_the_seasons_first_day():
    years = ENOUGH_YEARS
    days = record(years)
    start = date(2030, 5, 20)
    series = sky(place(-41), Climate(records=days), start, 400).series
    assert series.scenarios.shape == (years, 400)
    assert series.spread_source == f"{years} recorded years"
    by_day = {d.day: (d.tmin + d.tmax) / 2 for d in days}
    weather = series.scenarios + series.tmean
    for row in range(years - 2):
        for ahead in (0, 100, 300, 399):
            day = start + timedelta(days=ahead)
            then = day.replace(year=day.year - 2030 + 2001 + row)
            # The normal of 28 February differs by a hair between common and leap years.
            assert weather[row, ahead] == pytest.approx(by_day[then], abs=0.02)


def test_records_and_their_own_monthly_means_give_the_same_normals():
    days = record(4)
    series = sky(place(-41), Climate(records=days), date(2005, 1, 1), 365).series
    for month in range(1, 13):
        values = [d.tmin for d in days if d.day.month == month]
        of_month = [i for i in range(365) if series.day(i).month == month]
        assert series.tmin[of_month].mean() == pytest.approx(np.mean(values), abs=0.01)
    assert series.rain.mean() == pytest.approx(1.5, abs=0.001)


def test_few_recorded_years_stand_beside_drawn_ones_as_wide_as_they():
    days = record(3)
    series = sky(place(-41), Climate(records=days), date(2030, 1, 1), 365).series
    assert len(series.scenarios) > 30
    own, drawn = series.scenarios[:3], series.scenarios[3:]
    assert 1.2 < drawn.std() / own.std() < 1.7  # root of (3 + 1) / (3 - 1): 1.41
    assert "3 recorded years" in series.spread_source


def test_a_single_recorded_year_is_widened_by_the_stated_spread():
    found = sky(place(-41), Climate(records=record(1)), date(2030, 1, 1), 365)
    assert found.series.scenarios.shape == (31, 365)
    assert found.series.spread_source.startswith("1 recorded year,")
    assert "estimated from monthly means" in found.frost.dates(date(2030, 1, 1), 0.1)[2]


@pytest.mark.parametrize("first", [date(2000, 2, 29), date(2001, 7, 14), date(2003, 12, 31)])
def test_a_record_may_begin_on_any_day(first):
    days = tuple(
        DayRecord(first + timedelta(days=i), 5 + 5 * np.sin(i / 58), 15 + 5 * np.sin(i / 58))
        for i in range(3 * 366)
    )
    found = sky(place(50), Climate(records=days), date(2028, 2, 28), 800)
    assert np.isfinite(found.series.scenarios).all()
    assert found.frost.safe(0.0, 0.1).shape == (800,)


def test_a_record_of_less_than_a_year_is_refused_plainly():
    with pytest.raises(ValueError, match="whole year"):
        sky(place(50), Climate(records=record(1)[:300]), date(2028, 2, 28), 10)
