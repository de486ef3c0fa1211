"""Clocks against a plain loop over the days."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from sowplan.growth.clock import clock, moment, next_true, ranked, reach

rates = st.lists(st.sampled_from([0.0, 0.1, 0.25, 0.5, 1.0]), min_size=1, max_size=40)
# To a thousandth: needs smaller than what sums are rounded by are no needs at all.
needs = st.integers(0, 8000).map(lambda thousandths: thousandths / 1000)


def by_hand(daily, start, need):
    """Return the day on whose morning so much has been added since the start."""
    total = 0.0
    for day in range(start, len(daily)):
        if total >= need - 1e-9:
            return day
        total += daily[day]
    return len(daily)


@given(rates, needs, st.data())
def test_reach_is_what_a_loop_over_the_days_finds(daily, need, data):
    start = data.draw(st.integers(0, len(daily)))
    found = int(reach(clock(np.array(daily)), np.array([start]), need)[0])
    assert found == by_hand(daily, start, need)


@given(rates, needs, st.data())
def test_a_moment_falls_within_the_day_before_the_one_it_is_reached_on(daily, need, data):
    start = data.draw(st.integers(0, len(daily)))
    readings = clock(np.array(daily))
    day, time = reach(readings, np.array([start]), need)[0], moment(readings, [start], need)[0]
    assert start <= time <= day or day == start
    assert np.ceil(time - 1e-6) == day or time == start == day
    if day < len(daily):
        reading = np.interp(time, np.arange(len(readings)), readings)
        assert abs(reading - readings[start] - need) < 1e-6


def test_a_quarter_of_an_even_day_is_over_after_six_hours():
    readings = clock(np.array([1.0, 1.0, 0.0, 2.0]))
    assert moment(readings, [0.0, 0.5, 1.0], [1.25, 1.0, 1.5]).tolist() == [1.25, 1.5, 3.25]
    assert moment(readings, [3.0], [2.5]).tolist() == [4.0]


def test_ten_days_at_a_tenth_a_day_take_ten_days():
    assert reach(clock(np.full(30, 0.1)), np.array([3]), 1.0)[0] == 13


def test_what_never_comes_is_the_day_past_the_last():
    readings = clock(np.zeros(5))
    assert reach(readings, np.array([0, 4, 5]), 1.0).tolist() == [5, 5, 5]


@given(st.lists(st.booleans(), min_size=1, max_size=30))
def test_next_true_is_the_first_from_each_day_on(mask):
    found = next_true(np.array(mask))
    for day in range(len(mask) + 1):
        later = [d for d in range(day, len(mask)) if mask[d]]
        assert found[day] == (later[0] if later else len(mask))


def test_ranks_among_nine_weathers_leave_one_in_ten_outside_on_either_hand():
    dates = np.arange(9)[:, None]
    assert [ranked(dates, share)[0] for share in (0.1, 0.5, 0.9)] == [0, 4, 8]


def test_few_weathers_give_their_extremes_and_one_gives_itself():
    three, one = np.array([[3], [5], [9]]), np.array([[7]])
    assert [ranked(three, share)[0] for share in (0.1, 0.5, 0.9)] == [3, 5, 9]
    assert [ranked(one, share)[0] for share in (0.1, 0.5, 0.9)] == [7, 7, 7]
