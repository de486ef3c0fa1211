"""Rows along a narrow bed: as many plants as floor arithmetic gives, each at its distance."""

import math
from collections import Counter
from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from scipy.spatial import cKDTree

from gardens import garden_of
from sowplan.export.bed_on import bed_on
from sowplan.export.pictures.standing import rows_of, stations
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import (
    Bed,
    InTheWay,
    Season,
    Tray,
    Want,
    Where,
)
from sowplan.season.archive import from_json, to_json
from sowplan.season.choices.candidates import book_of
from sowplan.season.planner import make_plan
from sowplan.supply.ground import grounds

CROPS, _ = read_crops()
AT = Where("garden.toml", "[[bed]] 1", 1)
INCH = 0.0254
PIPE = InTheWay("pipe", 4.0, 0.3, 0.1, 0.1, True)
BED = Bed("Row", 12.0, 30 * INCH, 0.4, AT, keep_outs=(PIPE,), cut_m=(1.0, 0.3))
SPAN = (date(2027, 1, 16), date(2027, 3, 26))


def garden(*beds, crops=(("kale", 6), ("carrot", 4), ("kohlrabi", 6), ("lettuce-butterhead", 15))):
    wants = tuple(
        Want(crop, amount, CROPS[crop].harvest_unit, 7, *SPAN, AT) for crop, amount in crops
    )
    return garden_of(
        season=Season(date(2026, 9, 1), date(2027, 4, 30), (5,)),
        beds=beds,
        trays=(Tray("Shelf", 200, AT, 18.0, 14.0, 180.0),),
        wants=wants,
    )


@pytest.fixture(scope="module")
def plan():
    made, problems = make_plan(garden(BED), CROPS, effort=0.3)
    assert not problems
    return made


def test_rows_run_along_and_keep_their_distances(plan):
    found = {p.crop: p for p in plan.plantings}
    assert {"kale", "carrot", "kohlrabi", "lettuce-butterhead"} <= found.keys()
    for p in plan.plantings:
        crop, points = CROPS[p.crop], np.array(stations(plan, p))
        s, r = crop.spacing_cm / 100, crop.row_spacing_cm / 100
        assert len(points) == p.plants
        if p.crop == "lettuce-butterhead" and p.plants <= 9:
            continue  # three rows across of three: a square block is told that way
        assert p.along
        # (76.2 cm less one spacing) in row spacings, and one more: by hand 1, 4, 3 and 3.
        most = {"kale": 1, "carrot": 4, "kohlrabi": 3, "lettuce-butterhead": 3}[p.crop]
        lines = Counter(points[:, 1].round(6).tolist())
        assert len(lines) == min(most, p.plants)
        assert max(lines.values()) - min(lines.values()) <= 1
        assert len(lines) == 1 or np.diff(sorted(lines)).min() >= r - 1e-6
        assert min(lines) >= s / 2 - 1e-6 and max(lines) <= 30 * INCH - s / 2 + 1e-6
        assert p.strip_length_m == pytest.approx(math.ceil(p.plants / most) * s)
        assert points[:, 0].min() >= p.strip_start_m + s / 2 - 1e-6
        assert points[:, 0].max() <= p.strip_start_m + p.strip_length_m - s / 2 + 1e-6


def test_no_two_plants_stand_nearer_than_half_of_what_both_need(plan):
    """The grower's rule itself, on each day on which something goes in; and clear of the pipe."""
    for day in sorted({p.planting_out or p.sow for p in plan.plantings}):
        there = [p for p in plan.plantings if (p.planting_out or p.sow) <= day < p.cleared]
        points = [np.array(stations(plan, p)) for p in there]
        for n, (p, mine) in enumerate(zip(there, points, strict=True)):
            s = CROPS[p.crop].spacing_cm / 100
            assert np.hypot(*(mine - [4.05, 0.35]).T).min() >= 0.05 + s / 2 - 1e-6
            assert mine[:, 0].max() <= 11.0 - s / 2 + 1e-6  # the missing corner begins at 11 m
            if len(mine) > 1:
                assert cKDTree(mine).query(mine, k=2)[0][:, 1].min() >= s - 1e-6
            for q, other in zip(there[:n], points[:n], strict=True):
                apart = (CROPS[q.crop].spacing_cm / 100 + s) / 2
                assert cKDTree(mine).query(other)[0].min() >= apart - 1e-6


def test_batches_are_no_crumbs():
    """Sown direct, a batch has what a row across would: 76.2 cm in 5 cm, or 20 cm of length."""
    book = book_of(garden(replace(BED, keep_outs=(), cut_m=())), CROPS)
    names = [case.key for case in book.instance.crops]
    carrot = book.instance.crops[names.index("carrot")]
    assert min(carrot.least) >= 4 * 20 // 5
    # Large plants, in a bed of which a twentieth is 1.5 m: three of kale, 40 cm apart, not one.
    for length, least in ((30.0, 3), (3.0, 1)):
        only = garden(replace(BED, length_m=length, keep_outs=(), cut_m=()), crops=(("kale", 40),))
        assert min(book_of(only, CROPS).instance.crops[0].least) == least


def test_what_is_told_and_drawn_is_what_stands(plan):
    assert from_json(to_json(plan)) == plan
    for ground in grounds(plan):
        p, words = ground.planting, ground.rows
        if not p.along:
            continue
        rows = rows_of(plan, p)
        assert sum(len(marks) for _, marks in rows) == p.plants
        if len(rows) > 1 and max(len(marks) for _, marks in rows) == 1:
            assert words.startswith("1 row across the bed, at ")  # as one sees it
            continue
        where = "down the middle of the bed" if p.rows == 1 else "along the bed"
        assert words.startswith(f"{len(rows)} row{'s' if len(rows) > 1 else ''} {where}, at ")
        assert "from the side" in words and "across" not in words
        there = bed_on(plan, "Row", p.planting_out or p.sow).batches
        (batch,) = (one for one in there if one.planting.id == p.id)
        assert batch.marks[0][0] in ("Row along, at", "Rows along, at")
        assert batch.marks[0][1].endswith("from the side")
