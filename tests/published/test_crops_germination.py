"""The crop table against published germination figures.

- Days from sowing about 13 mm deep to emergence, by soil temperature: Harrington and Minges (1954),
  Vegetable Seed Germination, University of California; also in Knott's Handbook for Vegetable
  Growers. ``figures/emergence_days.csv``: N is no emergence, blank is not tested.
- Minimum, optimum range and maximum of soil temperature for germination, °F: University of
  California Publication 3382, Table 5.2. ``figures/germination_temperature_f.csv``.
"""

import csv
from bisect import bisect_left
from pathlib import Path

import pytest

from sowplan.records.crop_table import emergence_tables, read_crops
from sowplan.records.tables import crops_folder

FIGURES = Path(__file__).parent / "figures"
CROPS, _ = read_crops()


def figures(name, key="crop"):
    with (FIGURES / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return {row[key]: row for row in csv.DictReader(file)}


EMERGENCE = figures("emergence_days")
TEMPERATURES_F = figures("germination_temperature_f")

# Published name -> our crops of that species, to which its figures apply.
SPECIES = {
    "lettuce": [key for key in CROPS if key.startswith("lettuce")],
    "spinach": ["spinach", "spinach-baby-leaf"],
    "onion": ["onion-long-day", "onion-intermediate", "onion-short-day", "spring-onion"],
    "radish": ["radish", "winter-radish"],
    "beet": ["beetroot", "beetroot-multi-sown"],
    "carrot": ["carrot", "carrot-bunching"],
    "chard": ["chard", "perpetual-spinach"],
    "parsley": ["parsley"],
    "broccoli": ["broccoli", "broccoli-sprouting"],
    "cabbage": ["cabbage-summer", "cabbage-winter", "cabbage-pointed"],
    "cauliflower": ["cauliflower-summer", "cauliflower-winter"],
    "pea": ["pea", "sugar-pea", "pea-shoots"],
    "tomato": ["tomato", "tomato-cherry", "tomato-bush"],
    "pepper": ["pepper", "chilli"],
    "snap bean": ["bush-bean", "climbing-bean"],
    "cucumber": ["cucumber", "gherkin"],
    "sweet corn": ["sweet-corn"],
    "eggplant": ["aubergine"],
    "muskmelon": ["melon"],
    "okra": ["okra"],
    "parsnip": ["parsnip"],
    "celery": ["celery", "celeriac"],
}
PAIRS_F = [(name, key) for name in TEMPERATURES_F for key in SPECIES[name]]
PAIRS_DAYS = [(name, key) for name in EMERGENCE for key in SPECIES[name]]


def celsius(fahrenheit):
    return (float(fahrenheit) - 32) / 1.8


def test_the_shipped_emergence_table_is_the_published_one_cell_by_cell():
    with (crops_folder() / "emergence_days.csv").open(encoding="utf-8", newline="") as file:
        ours = {row.pop("key"): row for row in csv.DictReader(file)}
    published = {name.replace(" ", "-"): dict(row) for name, row in EMERGENCE.items()}
    for row in published.values():
        del row["crop"]
    assert ours == published


def test_what_was_not_tested_is_left_out_and_what_did_not_emerge_is_endless():
    for name, row in EMERGENCE.items():
        temperatures, days = emergence_tables()[name.replace(" ", "-")]
        tested = {float(t): d for t, d in row.items() if t != "crop" and d}
        assert dict(zip(temperatures, days, strict=True)) == {
            t: float("inf") if d == "N" else float(d) for t, d in tested.items()
        }


@pytest.mark.parametrize(("name", "key"), PAIRS_DAYS)
def test_every_crop_of_a_published_species_uses_its_row(name, key):
    assert CROPS[key].emergence_table == name.replace(" ", "-")
    assert "emergence-1954" in CROPS[key].source.split()


def test_no_other_crop_claims_the_published_rows():
    with_row = {key for _, key in PAIRS_DAYS}
    assert {key for key, crop in CROPS.items() if crop.emergence_table} == with_row
    claims = {key for key, crop in CROPS.items() if "emergence-1954" in crop.source.split()}
    assert claims == with_row


@pytest.mark.parametrize(("name", "key"), PAIRS_DAYS)
def test_days_at_the_optimum_lie_between_the_published_neighbours(name, key):
    crop = CROPS[key]
    right = bisect_left(crop.emergence_c, crop.germination_optimum_c)
    exact = crop.emergence_c[right] == crop.germination_optimum_c
    near = crop.emergence_table_days[right - (not exact) : right + 1]
    assert min(near) <= crop.emergence_days <= max(near)


@pytest.mark.parametrize(("name", "key"), PAIRS_F)
def test_germination_temperatures_are_the_published_ones(name, key):
    crop, row = CROPS[key], TEMPERATURES_F[name]
    assert crop.germination_min_c == pytest.approx(celsius(row["minimum_f"]), abs=0.051)
    assert crop.germination_max_c == pytest.approx(celsius(row["maximum_f"]), abs=0.051)
    low, high = celsius(row["optimum_low_f"]), celsius(row["optimum_high_f"])
    assert low <= crop.germination_optimum_c <= high
    assert "uc-3382" in crop.source.split()


def test_no_other_crop_claims_the_published_temperatures():
    claims = {key for key, crop in CROPS.items() if "uc-3382" in crop.source.split()}
    assert claims == {key for _, key in PAIRS_F}
