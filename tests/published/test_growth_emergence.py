"""Emergence against Harrington & Minges (1954), Vegetable Seed Germination, Univ. of California.

``figures/emergence_days.csv``: days from sowing at about 13 mm deep to emergence by soil
temperature; N: no emergence; blank: not tested. In steady soil the printed days come out; in
changing soil the days' rates add up (each day at 10 °C brings one of the days printed for 10 °C).
"""

import csv
import math
from datetime import date
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

from sowplan.growth.courses import Conditions
from sowplan.growth.evolve import evolve
from sowplan.growth.germination import days_to_emerge
from sowplan.growth.lying import lies_at_most
from sowplan.records.crop_table import read_crops
from sowplan.site.series import DailySeries

CROPS = read_crops()[0]
with (Path(__file__).parent / "figures" / "emergence_days.csv").open(encoding="utf-8") as file:
    PRINTED = {row.pop("crop").replace(" ", "-"): row for row in csv.DictReader(file)}

USING = [(key, crop.emergence_table) for key, crop in CROPS.items() if crop.emergence_table]
CELLS = [
    (key, float(soil), math.inf if days == "N" else float(days))
    for key, name in USING
    for soil, days in PRINTED[name].items()
    if days
]


def emergence(crop, soil):
    """Return the days from sowing on day 0 to emergence in soil of given daily temperatures."""
    days = len(soil)
    plain = np.full(days, 20.0)
    series = DailySeries(
        date(2027, 1, 1), plain - 5, plain + 5, plain, np.asarray(soil, float), plain,
        np.full(days, 12.0), plain, plain, np.zeros((1, days)), "made by hand",
    )  # fmt: skip
    free = SimpleNamespace(safe=lambda *_: np.ones(days, dtype=bool))
    sky = SimpleNamespace(series=series, frost=free)
    return int(evolve(crop, sky, [0], Conditions(False)).emergence[0])


def test_every_printed_crop_is_in_use():
    assert {name for _, name in USING} == set(PRINTED)


@pytest.mark.parametrize(("key", "soil", "days"), CELLS)
def test_days_in_steady_soil_are_the_printed_ones(key, soil, days):
    crop = CROPS[key]
    assert days_to_emerge(crop, soil) == pytest.approx(days)
    hot = np.array([soil > crop.germination_optimum_c])
    if days <= lies_at_most(crop, False, True, hot)[0]:  # seed that lies longer is given up
        assert emergence(crop, np.full(200, soil)) == days
    else:
        assert emergence(crop, np.full(200, soil)) == -1


@pytest.mark.parametrize(
    ("key", "colder", "warmer"),
    [("radish", 10, 20), ("carrot", 10, 15), ("lettuce-romaine", 5, 15), ("tomato", 15, 25)],
)
def test_the_rates_of_changing_days_add_up(key, colder, warmer):
    crop = CROPS[key]
    row = PRINTED[crop.emergence_table]
    cold, warm = float(row[str(colder)]), float(row[str(warmer)])
    # Half the way in the cold, then as many warm days as the other half takes.
    first = round(cold / 2)
    rest = (1 - first / cold) * warm
    soil = np.array([float(colder)] * first + [float(warmer)] * 100)
    assert emergence(crop, soil) == first + math.ceil(rest - 1e-9)


def test_between_two_printed_temperatures_the_rate_is_halfway_not_the_days():
    tomato = CROPS["tomato"]  # 43 days at 10 °C, 14 at 15 °C
    assert days_to_emerge(tomato, 12.5) == pytest.approx(2 / (1 / 43 + 1 / 14))
    assert days_to_emerge(tomato, 12.5) < (43 + 14) / 2 - 7


def test_no_emergence_is_a_rate_of_zero_and_wears_off_toward_the_next():
    lettuce = CROPS["lettuce-butterhead"]  # 3 days at 30 °C, none at 35 °C
    assert days_to_emerge(lettuce, 32.5) == pytest.approx(6.0)
    assert math.isinf(days_to_emerge(lettuce, 35.0))
    assert emergence(lettuce, np.full(100, 36.0)) == -1


@pytest.mark.parametrize("key", [key for key, _ in USING])
def test_nothing_comes_up_in_frozen_or_scorched_soil(key):
    assert math.isinf(days_to_emerge(CROPS[key], -1.0))
    assert math.isinf(days_to_emerge(CROPS[key], 45.0))


SQUASHES = ("courgette", "winter-squash")


@pytest.mark.parametrize("key", SQUASHES)
def test_squash_comes_up_in_the_days_measured_in_the_field(key):
    """Souza and others (2017), Agrociencia Uruguay 21(2), of six sowings of Cucurbita moschata.

    6.4 days on the mean, of 88.2 degree days above 12 °C: at some 26 °C, then.
    """
    measured, degree_days, above_c = 6.4, 88.2, 12.0
    assert abs(days_to_emerge(CROPS[key], above_c + degree_days / measured) - measured) <= 1.0


@pytest.mark.parametrize("key", SQUASHES)
def test_squash_comes_up_in_cool_soil_about_as_soon_as_its_relatives(key):
    """It germinates from 4 to 10 °C on, cucumbers from 12 °C (Maynard, Purdue University, 2007).

    Between the printed days of cucumber and, at 20 °C, of squash (15, by a table of days required
    for emergence that names no author); a week to ten days in warm soil, say growers.
    """
    crop = CROPS[key]
    assert 4.0 <= crop.germination_min_c <= 10.0 < 12.0
    assert 6 <= days_to_emerge(crop, 20.0) <= 15
    assert days_to_emerge(crop, 18.0) < 12
    assert 7 <= days_to_emerge(crop, 21.0) <= 10
