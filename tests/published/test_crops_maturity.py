"""Days to maturity against Encyclopaedia Britannica, "vegetable farming", table of harvest times.

``figures/market_maturity_days.csv``: the usual range in season and the event it counts from. The
crops below are the ones the ranges mean. Other forms of a species are earlier or later by their
nature (baby leaf, loose-leaf and butterhead lettuce; bunching carrots; cherry tomatoes; early bush
tomatoes, for which see `test_growth_cool_summers.py`), and their rows do not name that source.
"""

import csv
from pathlib import Path

import pytest

from sowplan.records.crop_table import read_crops

CROPS, _ = read_crops()
with (Path(__file__).parent / "figures" / "market_maturity_days.csv").open(
    encoding="utf-8", newline=""
) as file:
    RANGES = {row["crop"]: row for row in csv.DictReader(file)}

MEANT = {
    "snap bean": ["bush-bean", "climbing-bean"],
    "beet": ["beetroot"],
    "broccoli": ["broccoli"],
    "cabbage": ["cabbage-summer", "cabbage-winter"],
    "carrot": ["carrot"],
    "chard": ["chard"],
    "cucumber": ["cucumber", "gherkin"],
    "lettuce": ["lettuce-crisphead", "lettuce-romaine"],
    "onion": ["onion-long-day", "onion-intermediate", "onion-short-day"],
    "parsley": ["parsley"],
    "pea": ["pea"],
    "pepper": ["pepper"],
    "radish": ["radish"],
    "spinach": ["spinach"],
    "tomato": ["tomato"],
}


def test_every_published_range_is_used():
    assert set(MEANT) == set(RANGES)


@pytest.mark.parametrize(("name", "key"), [(n, k) for n, keys in MEANT.items() for k in keys])
def test_days_to_maturity_lie_in_the_published_range_and_count_from_its_event(name, key):
    crop, row = CROPS[key], RANGES[name]
    assert crop.maturity_from == row["counted_from"]
    assert float(row["low"]) <= crop.maturity_days <= float(row["high"])
    assert "maturity" in crop.source.split()


def test_no_other_crop_claims_the_published_ranges():
    claims = {key for key, crop in CROPS.items() if "maturity" in crop.source.split()}
    assert claims == {key for keys in MEANT.values() for key in keys}
