"""Wishes that no place can hold are problems with their line, before anything is planned.

The distances and pots are those of the crop table; the sizes of places are set around them by hand.
"""

from __future__ import annotations

import pytest

from sowplan.problem import Exit
from sowplan.records.crop_table import read_crops
from sowplan.records.garden_file import read_garden
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
BED = '[[bed]]\nname = "Bed"\nlength = "2 m"\nwidth = "1 m"\ndepth = "30 cm"\n'
STRIP = '[[bed]]\nname = "Strip"\nlength = "2 m"\nwidth = "{} cm"\ndepth = "30 cm"\n'
RAIL = '[[channel]]\nname = "Rail"\nholes = 12\nspacing = "20 cm"\n'
POTS = '[[pot]]\nname = "Pots"\ncount = 3\nvolume = "{} l"\n'


def want(crop, said="", amount=1):
    days = "from = 2027-07-01\nto = 2027-08-30\n"
    return f'[[want]]\ncrop = "{crop}"\namount = {amount}\nper = "week"\n{days}{said}\n'


def problems(folder, *parts):
    file = folder / "garden.toml"
    file.write_text(GARDEN + "".join(parts), encoding="utf-8")
    reading = read_garden(file)
    assert not reading.problems
    found = cannot_be(reading.garden, reading.crops)
    if found:  # nothing is planned then, whoever asks
        assert make_plan(reading.garden, reading.crops) == (None, found)
    return found, file.read_text(encoding="utf-8").splitlines()


def test_a_place_too_narrow_for_the_crop_it_is_kept_to(tmp_path):
    narrow = int(CABBAGE.spacing_cm) // 3
    (one,), lines = problems(
        tmp_path, BED, STRIP.format(narrow), want("cabbage-summer", 'in = ["Strip"]')
    )
    assert lines[one.line - 1] == "[[want]]" and one.where.endswith(", in")
    assert one.message.startswith("Strip is too small") and "; Bed would do." in one.message
    assert one.exit == Exit.IMPOSSIBLE
    # As wide as one plant it will do; and so will it where the crop may stand elsewhere as well.
    wide = STRIP.format(int(CABBAGE.spacing_cm) + 1)
    assert not problems(tmp_path, BED, wide, want("cabbage-summer", 'in = ["Strip"]'))[0]
    assert not problems(tmp_path, BED, STRIP.format(narrow), want("cabbage-summer"))[0]


def test_pots_too_small_say_how_much_mix_a_plant_takes(tmp_path):
    pots = POTS.format(1)
    (one,), _ = problems(tmp_path, BED, pots, want("tomato", 'in = ["Pots"]', '"500 g"'))
    assert "18 l of mix" in one.message and one.where.endswith(", in")
    (one,), _ = problems(tmp_path, pots, want("tomato", amount='"500 g"'))
    assert one.where.endswith(", crop") and "no place here is large enough" in one.message


def test_a_crop_of_beds_in_a_garden_of_channels(tmp_path):
    (one,), _ = problems(tmp_path, RAIL, want("carrot", amount='"500 g"'))
    assert "does not suit a channel" in one.message


def test_more_at_a_time_than_any_place_holds(tmp_path):
    (one,), _ = problems(tmp_path, STRIP.format(30), want("radish", "sow_at_least = 5000"))
    assert one.where.endswith("sow_at_least") and "Strip holds" in one.message


def test_all_are_told_at_once_with_the_sowings_that_cannot_be(tmp_path):
    full = '[[sowing]]\ncrop = "kale"\ndate = 2027-03-20\nnumber = 400\nplace = "Bed"\n'
    strip = want("cabbage-summer", 'in = ["Strip"]')
    found, _ = problems(tmp_path, BED, STRIP.format(8), POTS.format(1), strip,
                        want("tomato", 'in = ["Pots"]', '"500 g"'), full)  # fmt: skip
    assert [one.where.rsplit(", ")[-1] for one in found] == ["in", "in", "number"]


@pytest.mark.parametrize("crop", ["cabbage-summer", "carrot", "tomato"])
def test_where_something_fits_nothing_is_said(tmp_path, crop):
    amount = 1 if crop == "cabbage-summer" else '"500 g"'
    assert problems(tmp_path, BED, RAIL, POTS.format(1), want(crop, amount=amount))[0] == []
