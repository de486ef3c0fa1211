"""The responses to temperature and light, each against its formula or by plain reasoning."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sowplan.growth.response import (
    ageing,
    day_response,
    heat_urge,
    light_response,
    long_day_urge,
    temperature_response,
)


@pytest.mark.parametrize("t", [2.0, 11.0, 18.0, 24.0, 29.0])
def test_the_beta_function_of_yan_and_hunt(t):
    # Yan & Hunt (1999), Annals of Botany 84:607-614, eq. 4, base 0 °C; formula from memory.
    ceiling, optimum = 34.0, 24.0
    expected = (
        (ceiling - t) / (ceiling - optimum) * (t / optimum) ** (optimum / (ceiling - optimum))
    )
    assert temperature_response(t, 0.0, optimum, ceiling) == pytest.approx(expected)


@pytest.mark.parametrize("t", [5.0, 12.0, 20.0, 30.0, 36.0])
def test_the_beta_function_of_yin(t):
    # Yin et al. (1995), Agricultural and Forest Meteorology 77:1-16: exp(mu) (T-Tb)^a (Tc-T)^b
    # with the optimum at (a Tc + b Tb) / (a + b); b = 1 and a rate of 1 there. From memory.
    base, optimum, ceiling = 4.0, 26.0, 38.0
    a = (optimum - base) / (ceiling - optimum)
    mu = -math.log((optimum - base) ** a * (ceiling - optimum))
    expected = math.exp(mu) * (t - base) ** a * (ceiling - t)
    assert temperature_response(t, base, optimum, ceiling) == pytest.approx(expected)


cardinal = st.tuples(st.floats(-3, 15), st.floats(3, 20), st.floats(3, 20)).map(
    lambda x: (x[0], x[0] + x[1], x[0] + x[1] + x[2])
)


@given(cardinal, st.floats(-40, 60))
def test_nothing_grows_outside_base_and_ceiling_nor_faster_than_at_the_optimum(three, t):
    base, optimum, ceiling = three
    rate = float(temperature_response(t, base, optimum, ceiling))
    assert 0.0 <= rate <= 1.0 + 1e-12
    assert rate == 0.0 if t <= base or t >= ceiling else rate >= 0.0
    assert temperature_response(optimum, base, optimum, ceiling) == pytest.approx(1.0)


@given(cardinal, st.floats(0, 1), st.floats(0, 1))
def test_warmer_is_faster_up_to_the_optimum_and_slower_beyond(three, one, other):
    base, optimum, ceiling = three
    low, high = sorted((one, other))
    rise = temperature_response([base + x * (optimum - base) for x in (low, high)], *three)
    fall = temperature_response([optimum + x * (ceiling - optimum) for x in (low, high)], *three)
    assert rise[0] <= rise[1] + 1e-12
    assert fall[1] <= fall[0] + 1e-12


@pytest.mark.parametrize(("low", "high"), [(2, 9), (8, 20), (14, 30), (22, 39)])
def test_a_day_is_the_mean_over_its_sine_wave(low, high):
    hours = np.linspace(0, 24, 24 * 60, endpoint=False)
    wave = (low + high) / 2 + (high - low) / 2 * np.sin(2 * np.pi * hours / 24)
    exact = temperature_response(wave, 5.0, 22.0, 33.0).mean()
    assert day_response(low, high, 5.0, 22.0, 33.0) == pytest.approx(exact, abs=0.01)


def test_a_cold_day_with_a_mild_noon_is_not_lost():
    assert day_response(-1.0, 9.0, 4.5, 20.0, 31.0) > 0.0
    assert temperature_response(4.0, 4.5, 20.0, 31.0) == 0.0


@given(st.floats(0, 80), st.floats(0, 80), st.floats(1, 40))
def test_more_light_is_never_slower(one, other, half):
    less, more = sorted((one, other))
    rates = light_response([less, more], half)
    assert rates[0] <= rates[1] <= 1.0


def test_light_response_at_none_half_and_plenty():
    assert light_response([0.0, 1.5, 9.0, 1e9], 9.0) == pytest.approx([0.0, 0.0, 0.5, 1.0])


def test_what_is_ripe_passes_its_best_twice_as_fast_at_twice_the_warmth():
    assert ageing([18.0, 32.0, 11.0], 4.0, 18.0) == pytest.approx([1.0, 2.0, 0.5])
    assert (ageing([-20.0, 60.0], 4.0, 18.0) == [0.2, 4.0]).all()


def test_bolting_is_urged_by_the_hours_and_kelvins_beyond_the_critical():
    urges = long_day_urge([10.0, 14.0, 14.625, 15.25, 24.0], 14.0)
    assert urges == pytest.approx([0, 0, 0.5, 1, 1])
    assert heat_urge([10.0, 24.0, 26.0, 40.0], 24.0) == pytest.approx([0, 0, 0.5, 1])
