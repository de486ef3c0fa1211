"""Where a crop goes: tall ones poleward, sun lovers out of the shade."""

import json
import math
from dataclasses import replace
from datetime import date

import pytest

from gardens import HOME, garden_of
from sowplan.export.pictures.standing import stations
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import (
    Bed,
    InTheWay,
    Obstacle,
    Season,
    Tray,
    Want,
    Where,
)
from sowplan.season.archive import from_json, to_json
from sowplan.season.choices.spaces import poleward
from sowplan.season.planner import make_plan
from sowplan.season.search.room import Room

CROPS, _ = read_crops()
AT = Where("garden.toml", "[[bed]] 1", 1)


@pytest.mark.parametrize(
    "bearing, latitude, end",
    [(0, 50, 1), (180, 50, -1), (0, -41, -1), (180, -41, 1), (90, 50, 0), (270, -41, 0),
     (30, 50, 1), (330, 50, 1), (60, 50, 0), (150, -41, 1)],
)  # fmt: skip
def test_poleward_end(bearing, latitude, end):
    """The sun stands south at noon in the north and north in the south; beyond 45° neither."""
    assert poleward(Bed("Bed", 3.0, 1.0, 0.3, AT, bearing_deg=bearing), latitude) == end


def test_strip_at_either_end():
    room = Room(10)
    room.add(0, 9, 0b11 << 4, 1)  # gaps: 0-3 and 6-9
    assert room.strip(0, 5, 2, 1, True) == 0b11 << 8
    assert room.strip(0, 5, 2, -1, True) == 0b11
    assert room.strip(0, 5, 2, 1) == 0b11 << 2  # first tightest gap, upper end
    assert room.strip(0, 5, 5, 1, True) == 0


def garden(beds, wants, latitude=-41.0):
    made = garden_of(
        season=Season(date(2026, 9, 1), date(2027, 4, 30), (5,)),
        beds=beds,
        trays=(Tray("Shelf", 60, AT, 18.0, 14.0, 180.0),),
        wants=wants,
    )
    return replace(made, site=replace(HOME, latitude=latitude))


TOMATO = Want("tomato", 1.0, "kg", 7, date(2027, 2, 20), date(2027, 3, 26), AT)
LETTUCE = Want("lettuce-loose-leaf", 1, "head", 7, date(2026, 12, 5), date(2027, 3, 26), AT)
# A wall three metres high a metre north of the bed: in the south it takes the midday sun.
WALL = (Obstacle(0.0, 1.0, 3.0, 12.0),)


def test_tall_crops_stand_at_the_poleward_end():
    """In the south the pole is south: the first units of a bed that runs from south to north."""
    bed = Bed("Long", 4.0, 1.0, 0.4, AT, bearing_deg=0.0)
    plan, _ = make_plan(garden((bed,), (TOMATO, LETTUCE)), CROPS, effort=0.3)
    tall = [p for p in plan.plantings if p.crop == "tomato"]
    low = [p for p in plan.plantings if p.crop != "tomato"]
    assert tall and low
    middle = sum(p.strip_start_m + p.strip_length_m / 2 for p in tall) / len(tall)
    assert middle < 2.0 < sum(p.strip_start_m for p in low) / len(low)


def test_nothing_is_planned_over_a_closed_slice():
    """A pipe in the middle, a missing corner: strips keep to either side, the rest is full."""
    pipe = InTheWay("pipe", 0.9, 0.2, 0.1, 0.1, True)
    bed = Bed("Box", 2.4, 1.0, 0.4, AT, edge_m=0.05, keep_outs=(pipe,), cut_m=(0.6, 0.4))
    many = replace(LETTUCE, amount=9)
    plan, problems = make_plan(garden((bed,), (many,)), CROPS, effort=0.3)
    assert problems == [] and len(plan.plantings) > 3
    for p in plan.plantings:
        start = 0.05 + p.strip_start_m
        end = start + p.strip_length_m
        assert end <= 0.9 + 1e-6 or (start >= 1.0 - 1e-6 and end <= 1.8 + 1e-6)
        for x, y in stations(plan, p):
            # The grower's rule itself: half a spacing clear of the pipe's rim, at (0.95, 0.25).
            assert math.hypot(x - 0.95, y - 0.25) - 0.05 >= 0.125 - 1e-6
    assert any(p.strip_start_m < 0.8 for p in plan.plantings)
    assert any(p.strip_start_m > 0.9 for p in plan.plantings)
    (note,) = [note for note in plan.notes if "whole width" in note]
    assert "Box from 90 cm to 1 m (beside the pipe)" in note and "missing corner" in note
    place = plan.place("Box")
    assert (place.keep_outs, place.cut_m) == ((pipe,), (0.6, 0.4))
    assert from_json(to_json(plan)) == plan
    # A plan of before has none of these fields.
    data = json.loads(to_json(plan))
    for old in data["places"]:
        for key in ("keep_outs", "cut_m", "rounded_m"):
            del old[key]
    assert from_json(json.dumps(data)).place("Box").keep_outs == ()


def test_sun_lovers_keep_out_of_the_shade_where_they_can():
    dark, light = (Bed(name, 3.0, 1.0, 0.4, AT) for name in ("Dark", "Light"))
    dark = replace(dark, obstacles=WALL)
    plan, _ = make_plan(garden((dark, light), (TOMATO, LETTUCE)), CROPS, effort=0.3)
    assert {p.place for p in plan.plantings if p.crop == "tomato"} == {"Light"}
    assert not any("direct sun" in note for note in plan.notes)


def test_where_there_is_only_shade_it_is_said():
    dark = Bed("Dark", 3.0, 1.0, 0.4, AT, obstacles=WALL)
    open_ = replace(dark, obstacles=())
    shaded, _ = make_plan(garden((dark,), (TOMATO,)), CROPS, effort=0.3)
    sunny, _ = make_plan(garden((open_,), (TOMATO,)), CROPS, effort=0.3)
    if shaded.plantings:
        assert any("Dark gets less direct sun than Tomato" in note for note in shaded.notes)
    assert not any("direct sun" in note for note in sunny.notes)
    # Less light, later harvest: shade counts in growth, from when they stand in it.
    early = min(p.harvest_start - p.planting_out for p in sunny.plantings)
    assert all(p.harvest_start - p.planting_out > early for p in shaded.plantings)
