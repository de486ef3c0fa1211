"""Wishes that no place can hold are problems with their line, before anything is planned.

The distances and pots are those of the crop table; the sizes of places are set around them by hand.
"""

from __future__ import annotations

import pytest

from garden_text import bed, read, sowing, table, want
from sowplan.problem import Exit
from sowplan.records.crop_table import read_crops
from sowplan.season.planner import make_plan
from sowplan.season.settled import cannot_be

CABBAGE = read_crops()[0]["cabbage-summer"]
GARDEN = """
[site]
name = "Try-out"
latitude = 51.5
longitude = -1.5
timezone = "Europe/London"

[climate]
tmin = [2, 2, 3, 5, 8, 11, 13, 13, 10, 8, 4, 2]
tmax = [8, 8, 11, 14, 18, 21, 23, 23, 20, 15, 11, 8]

[season]
start = 2027-02-01
end = 2027-11-30

[[tray]]
name = "Sill"
cells = 50
"""
BED = bed("Bed", "2 m")
RAIL = table("channel", name="Rail", holes=12, spacing="20 cm")
POTS = table("pot", name="Pots", count=3, volume="1 l")


def strip(width_cm):
    return bed("Strip", "2 m", f"{width_cm} cm")


def summer(crop, amount=1, **more):
    return want(crop, amount, "2027-07-01", "2027-08-30", **more)


def problems(folder, *parts):
    text = GARDEN + "".join(parts)
    reading = read(text, folder)
    found = cannot_be(reading.garden, reading.crops)
    if found:  # nothing is planned then, whoever asks
        assert make_plan(reading.garden, reading.crops) == (None, found)
    return found, text.splitlines()


def test_a_place_too_narrow_for_the_crop_it_is_kept_to(tmp_path):
    narrow = int(CABBAGE.spacing_cm) // 3
    kept = summer("cabbage-summer", in_=["Strip"])
    (one,), lines = problems(tmp_path, BED, strip(narrow), kept)
    assert lines[one.line - 1] == "[[want]]" and one.where.endswith(", in")
    assert one.message.startswith("Strip is too small") and "; Bed would do." in one.message
    assert one.exit == Exit.IMPOSSIBLE
    # As wide as one plant it will do; and so will it where the crop may stand elsewhere as well.
    assert not problems(tmp_path, BED, strip(int(CABBAGE.spacing_cm) + 1), kept)[0]
    assert not problems(tmp_path, BED, strip(narrow), summer("cabbage-summer"))[0]


def test_pots_too_small_say_how_much_mix_a_plant_takes(tmp_path):
    (one,), _ = problems(tmp_path, BED, POTS, summer("tomato", "500 g", in_=["Pots"]))
    assert "18 l of mix" in one.message and one.where.endswith(", in")
    (one,), _ = problems(tmp_path, POTS, summer("tomato", "500 g"))
    assert one.where.endswith(", crop") and "no place here is large enough" in one.message


def test_a_crop_of_beds_in_a_garden_of_channels(tmp_path):
    (one,), _ = problems(tmp_path, RAIL, summer("carrot", "500 g"))
    assert "does not suit a channel" in one.message


def test_more_at_a_time_than_any_place_holds(tmp_path):
    (one,), _ = problems(tmp_path, strip(30), summer("radish", sow_at_least=5000))
    assert one.where.endswith("sow_at_least") and "Strip holds" in one.message


def test_all_are_told_at_once_with_the_sowings_that_cannot_be(tmp_path):
    narrow = summer("cabbage-summer", in_=["Strip"])
    small = summer("tomato", "500 g", in_=["Pots"])
    full = sowing("kale", "2027-03-20", 400, "Bed")
    found, _ = problems(tmp_path, BED, strip(8), POTS, narrow, small, full)
    assert [one.where.rsplit(", ")[-1] for one in found] == ["in", "in", "number"]


@pytest.mark.parametrize("crop", ["cabbage-summer", "carrot", "tomato"])
def test_where_something_fits_nothing_is_said(tmp_path, crop):
    amount = 1 if crop == "cabbage-summer" else "500 g"
    assert problems(tmp_path, BED, RAIL, POTS, summer(crop, amount))[0] == []
