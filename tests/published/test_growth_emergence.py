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
    if days <= 60:  # seed that lies longer is given up
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
