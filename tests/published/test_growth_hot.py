"""The tropics, the desert and the equator's highlands, against what growers there are told.

- Singapore: National Parks Board, "Tips on growing Brassica edibles" and "Growing five leafy
  vegetables": pak choi comes up in about a week and is cut 30 to 45 days later; caixin in 3 to 5
  and 30 to 40 days, mustard in 3 to 5 and about 40, kailan in 3 to 5 and 21 to 55.
- Kenya: Agricultural Information Resource Centre (airc.go.ke): carrots in the tropics from 700 m
  above the sea on; in the lowlands they stay pale and small.
- Nairobi: leaf amaranth is cut after a month and a half (kilimo.biz, of Kenya); it stops growing at
  about 8 °C and establishes in soil of 16 to 35 °C (National Academies, Lost Crops of Africa,
  volume 2).
- Phoenix: Garden Guides, "Vegetable planting dates in Phoenix": tomatoes, snap beans and cucumbers
  about the end of February, snap beans again at the end of August. University of Maryland (on
  tomatoes, 2012): no fruit sets in days above 35 °C with nights above 27 °C; by a gardener's column
  of Syracuse (2013) beans drop their flowers likewise.
- Quito: El Comercio: snap beans are grown in the gardens of the city, at any time.
"""

from datetime import date
from functools import lru_cache

import numpy as np
import pytest

from sowplan.growth.courses import Conditions
from sowplan.growth.evolve import evolve
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Climate, Site
from sowplan.site.sky import sky
from sowplan.site.towns import towns

CROPS = read_crops()[0]
TOWNS = {town.name: town for town in towns()}
DIRECT, SHELF = Conditions(False), Conditions(True, "none", 20.0, 16.0)
START = date(2027, 1, 1)


@lru_cache
def outlook(name):
    t = TOWNS[name]
    site = Site(name, t.latitude, t.longitude, t.timezone, t.elevation_m)
    return sky(site, Climate(tmin=t.tmin, tmax=t.tmax), START, 900)


def courses(key, town, days, conditions=DIRECT):
    return evolve(CROPS[key], outlook(town), days, conditions)


def on(*days):
    return [(date(2027, *day) - START).days for day in days]


ALL_YEAR = np.arange(0, 365, 15)


@pytest.mark.parametrize(
    ("key", "least", "most"),
    [
        ("pak-choi", 37, 52),
        ("choy-sum", 33, 45),
        ("mustard-greens", 38, 50),
        ("kai-lan", 24, 60),
    ],
)
def test_leafy_brassicas_of_singapore_are_cut_in_the_days_told_there(key, least, most):
    table = courses(key, "Singapore", ALL_YEAR)
    assert table.feasible.all()
    assert least <= np.median(table.harvest_start - table.sow) <= most


@pytest.mark.parametrize("town", ["Singapore", "Manila"])
def test_hardly_a_carrot_in_the_lowland_tropics(town):
    table = courses("carrot", town, ALL_YEAR)
    assert table.feasible.mean() < 0.2
    assert all("heat" in reason for reason in table.reason if reason)


@pytest.mark.parametrize("town", ["Nairobi", "Quito", "Bogotá", "Antananarivo"])
def test_carrots_at_any_time_in_the_tropical_highlands(town):
    assert courses("carrot", town, ALL_YEAR).feasible.all()


def test_beans_of_phoenix_are_sown_in_early_spring_and_late_summer_and_not_between():
    early = courses("bush-bean", "Phoenix", on((2, 25), (3, 10)))
    summer = courses("bush-bean", "Phoenix", on((5, 15), (6, 15), (7, 15)))
    late = courses(
        "bush-bean",
        "Phoenix",
        on(
            (8, 28),
        ),
    )
    assert early.feasible.all() and late.feasible.all()
    assert not summer.feasible.any()


def test_tomatoes_of_phoenix_planted_into_summer_set_nothing():
    table = courses("tomato", "Phoenix", np.arange(365), SHELF)
    planted = table.planting_out[table.feasible]
    months = {int(m) % 12 + 1 for m in (np.datetime64(START) + planted).astype("M8[M]").astype(int)}
    assert 3 in months
    assert not months & {5, 6, 7}


@pytest.mark.parametrize("conditions", [DIRECT, SHELF], ids=["direct", "raised"])
def test_where_all_days_are_alike_no_bean_waits_for_a_better_one(conditions):
    table = courses("bush-bean", "Quito", np.arange(365), conditions)
    assert not any("too cold outside" in reason for reason in table.reason)
    assert table.feasible.mean() > 0.5


def test_amaranth_of_kenyas_highlands_is_cut_after_a_month_and_a_half():
    """In the warm months; ten days to either side."""
    table = courses("amaranth", "Nairobi", on((1, 10), (2, 10), (3, 17), (9, 20), (10, 20)))
    assert table.feasible.all()
    took = table.harvest_start - table.sow
    assert (np.abs(took - 45) <= 10).all()
    assert CROPS["amaranth"].base_c == 8.0
