"""Crop water against FAO Irrigation and Drainage Paper 56 (1998) and CROPWAT's rule for rain."""

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from pyfao56.tools.tables import FAO56Tables

from sowplan.growth.covers import COVERS
from sowplan.supply.water.coefficients import STAGES, crop_coefficient, leaf_cover, stage_days
from sowplan.supply.water.ground import pot_area
from sowplan.supply.water.rain import MONTH_DAYS, effective_rain

# Rows of Table 11, as the PyPI package pyfao56 spells them, by our groups.
ROWS = {
    "leaf": ("lettuce", "spinach"),
    "brassica": ("broccoli", "cabbage", "cauliflower", "crucifers"),
    "root": ("carrots", "beets table", "radish", "potato", "sweet potato"),
    "allium": ("onion dry", "onion green"),
    "legume": ("beans green", "faba bean broad", "peas", "green gram cowpeas", "soybeans"),
    "fruiting": (
        "eggplant", "sweet peppers bell", "tomato", "cantaloupe", "cucumber",
        "pumpkin winter squash", "squash zucchini", "sweet melons", "maize sweet",
    ),
}  # fmt: skip
TABLE_11 = FAO56Tables().table11


@pytest.mark.parametrize("group", ROWS)
def test_shares_of_the_stages_are_the_means_of_table_11(group):
    named = TABLE_11[TABLE_11["Crop"].str.strip().isin(ROWS[group])]
    assert set(named["Crop"].str.strip()) == set(ROWS[group])
    days = named[["Lini", "Ldev", "Lmid", "Llate"]].astype(float)
    means = days.div(days.sum(axis=1), axis=0).mean()
    assert STAGES[group] == pytest.approx(tuple(means), abs=0.0101)
    assert sum(STAGES[group]) == pytest.approx(1.0)


def test_herbs_which_table_11_lacks_go_by_leaves():
    assert STAGES["herb"] == STAGES["leaf"]
    assert set(STAGES) == set(ROWS) | {"herb"}


@pytest.fixture
def dry_bean(sample_plan, monkeypatch):
    """The dry bean of FAO-56 Example 28 (from memory): stages of 25, 25, 30 and 20 days, Kc 0.15,
    1.19 and 0.35."""
    monkeypatch.setitem(STAGES, "legume", (0.25, 0.25, 0.30, 0.20))
    sowing = next(p for p in sample_plan.plantings if p.crop == "dwarf-bean")
    day = sowing.sow
    sowing = replace(
        sowing,
        planting_out=None,
        emergence=day + timedelta(days=8),
        harvest_start=day + timedelta(days=90),
        harvest_end=day + timedelta(days=99),
        cleared=day + timedelta(days=100),
    )
    crop = replace(sample_plan.crop("dwarf-bean"), kc_initial=0.15, kc_mid=1.19, kc_end=0.35)
    return sowing, crop


@pytest.mark.parametrize("day, kc", [(20, 0.15), (40, 0.77), (70, 1.19), (95, 0.56)])
def test_crop_coefficients_of_example_28(dry_bean, day, kc):
    """Kc on days 20, 40, 70 and 95: 0.15, 0.77, 1.19 and 0.56."""
    assert stage_days(*dry_bean) == pytest.approx((25, 50, 80, 100))
    assert crop_coefficient(*dry_bean, np.array([float(day)])) == pytest.approx([kc], abs=0.005)


def test_a_tenth_of_the_ground_is_covered_where_the_initial_stage_ends(dry_bean):
    """FAO-56, chapter 6: the initial stage runs to about 10 % cover, development to full cover."""
    cover = leaf_cover(*dry_bean, np.array([0.0, 25.0, 50.0, 90.0]))
    assert cover == pytest.approx([0.1, 0.1, 1.0, 1.0])


@pytest.mark.parametrize(
    "month, counted", [(0, 0), (50, 46), (100, 84), (200, 136), (250, 150), (300, 155), (500, 175)]
)
def test_effective_rain_of_a_month(month, counted):
    """USDA SCS as in FAO's CROPWAT: P (125 - 0.2 P) / 125 to 250 mm, then 125 + 0.1 P; worked by
    hand. The R package FAO56 has the same rule (EffPrec)."""
    assert effective_rain([month / MONTH_DAYS]) * MONTH_DAYS == pytest.approx([counted])


def test_under_plastic_and_glass_less_is_used_than_outside():
    """0.64 of the outside in a glasshouse (Amiri, Abedi-Koupai & Eslamian 2018, Int. J. Global
    Environmental Issues 17), 0.84 under an open-sided plastic house (capsicum, India)."""
    for cover in ("tunnel", "glass"):
        assert 0.64 <= COVERS[cover].light <= 0.84


@pytest.mark.parametrize("litres, across_cm", [(3, 19), (12, 28), (30, 38)])
def test_pots_are_about_as_wide_as_trade_pots(litres, across_cm):
    """Usual plant pots are so wide across the top (common practice, no source), within a tenth."""
    wide = np.sqrt(pot_area(litres) * 4 / np.pi) * 100
    assert wide == pytest.approx(across_cm, rel=0.1)
