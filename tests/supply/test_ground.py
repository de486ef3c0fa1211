"""Where a planting stands, in words: checked against positions worked out by hand."""

from __future__ import annotations

import dataclasses
import json
import re

import pytest

from sowplan.bed.strips import strip_for
from sowplan.export.page.data import page_data
from sowplan.export.pictures.standing import stations
from sowplan.export.print.marks import marks
from sowplan.supply.ground import grounds


def ground_of(plan, planting: str):
    return next(g for g in grounds(plan) if g.planting.id == planting)


def imperial(plan):
    return dataclasses.replace(plan, site=dataclasses.replace(plan.site, units="imperial"))


def test_a_strip_is_measured_from_the_board(sample_plan):
    """Strip from 1.35 m inside a margin of 5 cm, 45 cm long: 140 to 185 cm from the board."""
    ground = ground_of(sample_plan, "radish-1")
    assert ground.short == "Long bed, 140-185 cm"
    # Rows 15 cm apart, the first half of that behind the strip's start: 147.5, 162.5, 177.5.
    assert "3 rows across the bed, at 148, 163 and 178 cm along it." in ground.rows
    # 16 plants in 80 cm, half a spacing from the ends: the first at 5 + 2.5 cm.
    assert "16 plants a row, the first 8 cm from the side, then every 5 cm." in ground.rows


def test_rows_are_spread_over_the_width(sample_plan):
    """Three heads in 80 cm: the outer ones 12.5 cm inside, so 27.5 cm from one to the next."""
    rows = ground_of(sample_plan, "lettuce-butterhead-1").rows
    assert "3 plants a row, the first 18 cm from the side, then every 28 cm" in rows


def test_a_part_row_says_so(sample_plan):
    assert (
        "2 plants a row (1 in the last row)" in ground_of(sample_plan, "lettuce-butterhead-4").rows
    )


def test_a_single_row_tells_the_plants_there_are(sample_plan):
    """Four plants in a row that would take sixteen: four are told, and no gap beyond them."""
    p = next(p for p in sample_plan.plantings if p.id == "radish-1")
    for plants, text in (
        (4, "1 row across the bed, at 148 cm along it. 4 plants, the first 8 cm from the side, "
         "then every 5 cm."),
        (1, "1 row across the bed, at 148 cm along it. 1 plant, the first 8 cm from the side."),
    ):  # fmt: skip
        few = dataclasses.replace(p, plants=plants, rows=1, per_row=(16, 0), strip_length_m=0.15)
        assert grounds(dataclasses.replace(sample_plan, plantings=(few,)))[0].rows == text


def test_many_rows_are_not_told_one_by_one(sample_plan):
    p = next(p for p in sample_plan.plantings if p.id == "carrot-1")
    long = dataclasses.replace(p, rows=9, plants=144, strip_start_m=0.0, strip_length_m=1.35)
    plan = dataclasses.replace(sample_plan, plantings=(long,))
    assert "9 rows across the bed, at 13 cm, then every 15 cm, the last at 133 cm along it" in (
        grounds(plan)[0].rows
    )


def test_offset_rows_say_that_they_are(sample_plan):
    """A strip of offset rows as the stage above makes them, in the Wall bed's 65 cm."""
    strip = strip_for(0.65, 0.25, 0.25, 12)
    assert strip.per_row[0] != strip.per_row[1] or strip.pitch_m < 0.25
    p = next(p for p in sample_plan.plantings if p.id == "lettuce-butterhead-4")
    offset = dataclasses.replace(
        p,
        plants=strip.plants,
        rows=strip.rows,
        per_row=strip.per_row,
        row_pitch_m=strip.pitch_m,
        row_lead_m=strip.lead_m,
        strip_start_m=0.0,
        strip_length_m=strip.length_m,
    )
    rows = grounds(dataclasses.replace(sample_plan, plantings=(offset,)))[0].rows
    assert "every other row stands half a gap aside" in rows


def along(sample_plan, strip, plants, width, spacing):
    """Return the sample plan with one planting only, so many plants of a strip along its bed."""
    p = next(p for p in sample_plan.plantings if p.id == "lettuce-butterhead-4")
    one = dataclasses.replace(
        p,
        plants=plants,
        strip_start_m=1.0,
        strip_length_m=strip.length_m,
        rows=strip.rows,
        per_row=strip.per_row,
        row_pitch_m=strip.pitch_m,
        row_lead_m=strip.lead_m,
        along=strip.along,
    )
    places = tuple(
        dataclasses.replace(place, width_m=width, edge_m=0.0) if place.name == p.place else place
        for place in sample_plan.places
    )
    crops = tuple(
        dataclasses.replace(crop, spacing_cm=100 * spacing) if crop.key == p.crop else crop
        for crop in sample_plan.crops
    )
    return dataclasses.replace(sample_plan, plantings=(one,), places=places, crops=crops)


def test_rows_along_the_bed_by_hand(sample_plan):
    # Kohlrabi's 20 cm by 25 cm in 76.2 cm: three rows a third of the width apart, 25.4 cm, the
    # first 12.7 cm from the side; of eleven plants four, four and three, from 110 cm on.
    plan = along(sample_plan, strip_for(0.762, 0.2, 0.25, 11), 11, 0.762, 0.2)
    assert grounds(plan)[0].rows == (
        "3 rows along the bed, at 13, 38 and 64 cm from the side. 3 or 4 plants a row, the first "
        "at 110 cm along it, then every 20 cm."
    )
    assert marks(plan, plan.plantings[0]) == [
        ["Rows along, at", "13, 38 and 64\N{NO-BREAK SPACE}cm from the side"],
        ["Plants at", "110, 130, 150 and 170\N{NO-BREAK SPACE}cm; the last not in row 3"],
    ]
    plan = along(sample_plan, strip_for(0.762, 0.4, 0.5, 2), 2, 0.762, 0.4)
    assert grounds(plan)[0].rows == (
        "1 row down the middle of the bed, at 38 cm from the side. 2 plants, the first at 120 cm "
        "along it, then every 40 cm."
    )
    # Two rows of 45 cm each way in 76.2 cm, 31.2 cm apart, every other one √(45² - 31.2²) on.
    plan = along(sample_plan, strip_for(0.762, 0.45, 0.45, 8, long=True), 8, 0.762, 0.45)
    assert grounds(plan)[0].rows == (
        "2 rows along the bed, at 23 and 54 cm from the side. 4 plants a row, the first at 123 cm "
        "along it, then every 65 cm; every other row begins half a gap on."
    )


def test_rows_along_of_one_plant_each_are_told_as_the_row_across_that_one_sees(sample_plan):
    # 20 cm by 25 cm in 76.2 cm: three abreast, 25.4 cm apart, 10 cm into the strip.
    strip = strip_for(0.762, 0.2, 0.25, 3)
    assert strip.along and strip.rows == 3
    plan = along(sample_plan, strip, 3, 0.762, 0.2)
    assert grounds(plan)[0].rows == (
        "1 row across the bed, at 110 cm along it. 3 plants, the first 13 cm from the side, then "
        "every 25 cm."
    )
    assert marks(plan, plan.plantings[0]) == [
        ["Row at", "110\N{NO-BREAK SPACE}cm"],
        ["Plants at", "13, 38 and 64\N{NO-BREAK SPACE}cm"],
    ]


def test_the_page_draws_rows_along_where_they_stand(sample_plan):
    for spacing, between, plants in ((0.2, 0.25, 11), (0.4, 0.5, 2), (0.45, 0.45, 8)):
        strip = strip_for(0.762, spacing, between, plants, long=True)
        assert strip.along
        plan = along(sample_plan, strip, plants, 0.762, spacing)
        (kept,) = json.loads(page_data(plan, 3.0))["plantings"]
        rows, at, _, lead, pitch, ys = kept[7]
        found = []
        for row in range(rows):
            first, step, count = ys[min(row % 2, len(ys) - 1)]
            found += [(at + lead + row * pitch, first + n * step) for n in range(count)]
        told = stations(plan, plan.plantings[0])
        assert found[:plants] == [pytest.approx(place, abs=0.001) for place in told]


def test_holes_and_pots(sample_plan):
    rail = ground_of(sample_plan, "basil-1")
    assert rail.short == "Rail, holes 13-18"
    assert rail.rows == "Holes 13-18: 1 plant a hole."
    assert ground_of(sample_plan, "tomato-cherry-2").rows == "Pots 1 and 2: 1 plant a pot."


def test_wide_crops_take_several_holes_and_small_ones_share_a_pot(sample_plan):
    p = next(p for p in sample_plan.plantings if p.id == "basil-1")
    wide = dataclasses.replace(p, plants=3)
    plan = dataclasses.replace(sample_plan, plantings=(wide,))
    assert grounds(plan)[0].rows == "Holes 13-18: 1 plant to every 2 holes."
    pots = next(p for p in sample_plan.plantings if p.id == "basil-2")
    plan = dataclasses.replace(sample_plan, plantings=(dataclasses.replace(pots, plants=6),))
    assert grounds(plan)[0].rows == "Pots 3 and 4: 3 plants a pot."


def test_clumps_are_told(sample_plan):
    assert "(clumps of 6)" in ground_of(sample_plan, "spring-onion-1").rows


def test_feet_and_inches_where_the_garden_asks(sample_plan):
    for ground in grounds(imperial(sample_plan)):
        assert not re.search(r"\d c?m\b", f"{ground.short} {ground.rows}")
    # 1.40 and 1.85 m in inches, to the half: 55.12 and 72.83.
    assert ground_of(imperial(sample_plan), "radish-1").short == (
        "Long bed, 4 ft 7 in to 6 ft 1 in"
    )
