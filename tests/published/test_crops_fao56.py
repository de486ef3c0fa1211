"""The crop table against FAO Irrigation and Drainage Paper 56 (1998), as in the package pyfao56.

Table 12: crop coefficients; a crop without a row of its own takes the row of its group.
Table 22: rooting depth, as a range; the figure of the table lies within it.
"""

import pytest
from pyfao56.tools.tables import FAO56Tables

from sowplan.records.crop_table import read_crops

CROPS, _ = read_crops()
FROM_FAO56 = {key: crop for key, crop in CROPS.items() if "fao56" in crop.source.split()}

# Our key -> (row of Table 12, row of Table 22). Rows are spelled as the package spells them.
ROWS = {
    **{k: ("lettuce", "lettuce") for k in CROPS if k.startswith("lettuce")},
    **{k: ("spinach", "spinach") for k in ("spinach", "spinach-baby-leaf")},
    **{k: ("cabbage", "cabbage") for k in CROPS if k.startswith("cabbage")},
    **{k: ("cauliflower", "cauliflower") for k in CROPS if k.startswith("cauliflower")},
    **{k: ("broccoli", "broccoli") for k in ("broccoli", "broccoli-sprouting")},
    **{k: ("carrots", "carrots") for k in ("carrot", "carrot-bunching")},
    **{k: ("beets table", "beets table") for k in ("beetroot", "beetroot-multi-sown")},
    **{k: ("turnip rutabaga", "turnip rutabaga") for k in ("turnip", "swede")},
    **{k: ("potato", "potato") for k in ("potato", "potato-early")},
    **{k: ("onions dry", "onions dry") for k in CROPS if k.startswith("onion-")},
    **{k: ("peas fresh", "peas fresh") for k in ("pea", "sugar-pea")},
    **{k: ("beans green", "beans green") for k in ("bush-bean", "climbing-bean", "runner-bean")},
    **{k: ("tomato", "tomato") for k in ("tomato", "tomato-cherry", "tomato-bush")},
    **{k: ("sweet peppers bell",) * 2 for k in ("pepper", "chilli")},
    **{k: ("cucumber fresh market",) * 2 for k in ("cucumber", "gherkin")},
    "celery": ("celery", "celery"),
    "celeriac": ("celery", "celery"),
    "radish": ("radish", "radishes"),
    "winter-radish": ("radish", "radishes"),
    "parsnip": ("parsnip", "parsnip"),
    "sweet-potato": ("sweet potato", "sweet potato"),
    "brussels-sprouts": ("brussel sprouts", "brussel sprouts"),
    "spring-onion": ("onions green", "onoins green"),
    "shallot": ("onions dry", "onions dry"),
    "garlic": ("garlic", "garlic"),
    "garlic-northern": ("garlic", "garlic"),
    "garlic-subtropical": ("garlic", "garlic"),
    "broad-bean": ("faba bean broad fresh", "faba bean broad fresh"),
    "yardlong-bean": ("green gram cowpeas harvested fresh", "green gram cowpeas"),
    "soybean": ("soybeans", "soybeans"),
    "aubergine": ("eggplant", "eggplant"),
    "courgette": ("squash zucchini", "squash zucchini"),
    "winter-squash": ("pumpkin winter squash", "pumpkin winter squash"),
    "melon": ("cantaloupe", "cantaloupe"),
    "sweet-corn": ("maize sweet corn fresh", "maize sweet corn"),
    "strawberry": ("strawberries", "strawberries"),
    "mint": ("mint", "mint"),
}
TABLES = FAO56Tables()
TABLE_12 = TABLES.table12.set_index("Crop")
TABLE_22 = TABLES.table22.set_index("Crop")
GROUP_ROW = "small vegetables"
# Picked with green pods, not as the dry seed of Table 12: the end is that of fresh peas.
KC_END_ROW = {"soybean": "peas fresh"}


def kc(row, column):
    return float(TABLE_12.loc[row, column])


@pytest.mark.parametrize("key", FROM_FAO56)
def test_crop_coefficients_are_those_of_table_12(key):
    crop = FROM_FAO56[key]
    row = ROWS.get(key, (GROUP_ROW,))[0]
    assert crop.kc_initial == kc(row, "Kcmini")
    assert crop.kc_mid == kc(row, "Kcmmid")
    assert crop.kc_end == kc(KC_END_ROW.get(key, row), "Kcmend")


@pytest.mark.parametrize("key", ROWS)
def test_rooting_depth_lies_in_the_range_of_table_22(key):
    low, high = (float(TABLE_22.loc[ROWS[key][1], column]) for column in ("Zrmax1", "Zrmax2"))
    assert low <= CROPS[key].rooting_depth_m <= high


def test_only_leaves_herbs_and_their_like_go_by_the_group():
    by_group = {CROPS[key].group for key in FROM_FAO56 if key not in ROWS}
    assert by_group <= {"leaf", "herb", "brassica", "allium"}
    assert set(ROWS) <= set(FROM_FAO56)


def test_a_crop_that_does_not_name_the_paper_has_no_row_in_it():
    assert set(CROPS) - set(FROM_FAO56) == {"okra"}
    rows = " ".join(TABLE_12.index)
    assert "okra" not in rows
