"""The daily curve gives the monthly means back, and no ripple the means have not."""

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sowplan.site.normals import LEAP_MONTH_DAYS, MONTH_DAYS, leap_places, year_curve
from sowplan.site.towns import towns

months = st.lists(st.floats(-45, 45).map(lambda x: round(x, 1)), min_size=12, max_size=12)
rains = st.lists(st.floats(0, 900).map(round), min_size=12, max_size=12)


def means(curve, month_days):
    return [part.mean() for part in np.split(curve, np.cumsum(month_days)[:-1])]


def turns(values):
    """Count the turning points around the year."""
    steps = np.sign(np.diff(np.append(values, values[0])))
    steps = steps[steps != 0]
    return int((steps != np.roll(steps, 1)).sum())


def ripple(curve, monthly):
    """Return the largest swing that must be smoothed away to leave the turns of the months."""
    steps = np.sign(np.diff(np.append(curve, curve[0])))
    at = [curve[i] for i in range(len(curve)) if steps[i] != steps[i - 1]]
    largest = 0.0
    while len(at) > max(turns(monthly), 2):
        swings = [abs(at[k] - at[k - 1]) for k in range(len(at))]
        k = int(np.argmin(swings))
        largest = max(largest, swings[k])
        for gone in sorted((k, (k - 1) % len(at)), reverse=True):
            at.pop(gone)
    return largest


@settings(max_examples=150, deadline=None)
@given(months)
def test_monthly_means_come_back_in_common_and_leap_years(monthly):
    curve = year_curve(monthly)
    assert np.allclose(means(curve.common, MONTH_DAYS), monthly, atol=0.01)
    assert np.allclose(means(curve.leap, LEAP_MONTH_DAYS), monthly, atol=0.01)


@settings(max_examples=100, deadline=None)
@given(rains)
def test_rain_is_never_negative_and_its_sums_come_back(monthly):
    daily = np.array(monthly) / np.array(MONTH_DAYS)
    curve = year_curve(daily, at_least=0.0)
    assert (curve.common >= 0).all() and (curve.leap >= 0).all()
    assert np.allclose(means(curve.common, MONTH_DAYS), daily, atol=0.02 + 0.002 * max(daily))


@pytest.mark.parametrize("town", towns(), ids=lambda town: town.name)
def test_towns_have_no_ripple_that_their_months_have_not(town):
    for monthly in (town.tmin, town.tmax):
        daily = year_curve(monthly)
        for curve in (daily.common, daily.leap):
            # The tables are rounded to a whole degree: three equal months on a slope are a step
            # of rounding, which a smooth curve rides over by a little.
            assert ripple(curve, monthly) < 0.15
            # A peak stands above the mean of its month, and where whole degrees make a step of
            # it (25, 25, 25, 24, 24, 24) the curve swings out before and after.
            over = max(0.1 * np.ptp(monthly), 1.0)
            assert min(monthly) - over < curve.min() and curve.max() < max(monthly) + over


@pytest.mark.parametrize("monthly", [
    (12.3, 12.4, 10.1, 7.1, 4.6, 2.8, 2.2, 3.6, 5.1, 6.7, 8.9, 10.6),
    (1.3, 1.3, 2.5, 4.1, 6.8, 9.8, 11.9, 11.7, 9.5, 6.8, 3.8, 1.6),  # two Januaries, so to speak
    (21.0, 24.1, 29.8, 36.5, 40.0, 39.2, 35.3, 33.8, 34.1, 33.0, 28.2, 22.7),  # monsoon
    (32.0, 33.0, 33.5, 33.4, 33.2, 32.9, 32.5, 32.5, 32.3, 32.2, 31.7, 31.5),
    (-41.8, -37.2, -22.5, -6.1, 6.3, 15.2, 19.4, 15.1, 6.2, -8.3, -28.4, -40.0),
])  # fmt: skip
def test_figures_to_a_tenth_of_a_degree_have_no_ripple(monthly):
    curve = year_curve(monthly)
    assert ripple(curve.common, monthly) < 0.01
    assert ripple(curve.leap, monthly) < 0.01


def test_a_pure_yearly_wave_is_met():
    """The months of a cosine give the cosine: its peak is above the mean of its month."""
    wave = 12 + 9 * np.cos(2 * np.pi * (np.arange(365) + 0.5 - 200) / 365)
    curve = year_curve(means(wave, MONTH_DAYS)).common
    assert np.abs(curve - wave).max() < 0.06


def test_the_curve_is_periodic_and_smooth():
    curve = year_curve([-8, -6, -1, 5, 11, 16, 19, 19, 14, 8, 2, -4]).common
    steps = np.diff(np.append(curve, curve[0]))
    assert np.abs(steps).max() < 0.3  # 7 K a month at most, spread over its days
    assert np.abs(np.diff(np.append(steps, steps[0]))).max() < 0.02


def test_equal_months_are_a_constant():
    assert np.allclose(year_curve([7.5] * 12).leap, 7.5)


def test_values_follow_the_calendar_across_new_years_and_leap_days():
    curve = year_curve([0, 2, 5, 9, 14, 18, 20, 19, 15, 10, 5, 1])
    start = date(2027, 11, 20)
    values = curve.on(start, 900)
    for index in (0, 41, 42, 100, 101, 102, 407, 408, 899):
        day = start + timedelta(days=index)
        year = curve.leap if day.year == 2028 else curve.common
        assert values[index] == year[day.timetuple().tm_yday - 1]


def test_first_of_march_has_one_place_in_every_year():
    for year in (2023, 2024, 1900, 2000):
        assert leap_places(date(year, 3, 1), 1)[0] == 60
        assert leap_places(date(year, 12, 31), 1)[0] == 365


@pytest.mark.parametrize("monthly", [[1.0] * 11, [1.0] * 11 + [float("nan")], []])
def test_anything_but_twelve_numbers_is_refused(monthly):
    with pytest.raises(ValueError, match="twelve"):
        year_curve(monthly)


def test_twelve_means_that_differ_by_less_than_counts_are_level():
    means = 1e-9 * np.cos(2 * np.pi * np.arange(12) / 12)
    assert np.allclose(year_curve(means).common, 0.0, atol=1e-8)
