"""``sowplan sun``: hours of direct sun by bed and month, and what is too dark."""

import json
import xml.etree.ElementTree as ElementTree

import pytest
from typer.testing import CliRunner

from sowplan.cli import app
from sowplan.problem import Exit

GARDEN = """
[site]
name = "Behind the wall"
latitude = 52.0
longitude = 0.0
timezone = "Europe/London"
horizon = [["N", 2], ["E", 6], ["S", 4], ["W", 9]]

[climate]
tmin = [1, 1, 3, 5, 8, 11, 13, 13, 10, 7, 4, 2]
tmax = [7, 8, 11, 14, 17, 20, 22, 22, 19, 15, 10, 8]

[season]
start = 2027-03-01
end = 2027-10-31

[[bed]]
name = "Wall bed"
length = "2 m"
width = "1 m"
depth = "30 cm"
obstacles = [{ bearing = "S", distance = "1 m", height = "4 m", width = "40 m" }]

[[bed]]
name = "Open bed"
length = "2 m"
width = "1 m"
depth = "30 cm"

[[tray]]
name = "Shelf"
cells = 40

[[want]]
crop = "tomato"
amount = 2
per = "week"
from = 2027-07-01
to = 2027-09-30
"""


@pytest.fixture
def garden(tmp_path):
    path = tmp_path / "garden.toml"
    path.write_text(GARDEN)
    return path


def run(*words):
    return CliRunner().invoke(app, ["sun", *map(str, words)])


def test_each_bed_has_its_hours_and_the_dark_one_is_named(garden):
    result = run(garden)
    assert result.exit_code == 0, result.output
    assert "in the open" in result.stdout and "Wall bed" in result.stdout
    assert "Wall bed gets less than 6 hours of direct sun a day in March" in result.stdout
    assert "Open bed gets less" not in result.stdout
    assert "Tomato needs" not in result.stdout  # the open bed has enough


def test_json_agrees_with_the_skyline(garden):
    found = json.loads(run(garden, "--json").stdout)
    wall, free = found["beds"]
    assert wall["bed"] == "Wall bed" and free["bed"] == "Open bed"
    for dark, light, outside in zip(wall["hours"], free["hours"], found["open_hours"], strict=True):
        assert 0 <= dark <= light < outside  # the hills take some of everyone's day
    assert max(wall["light_share"]) < min(free["light_share"])


def test_a_crop_no_place_is_light_enough_for_is_named(garden):
    wall = '[{ bearing = 180, distance = "1 m", height = "9 m", width = "60 m" }]'
    garden.write_text(GARDEN.replace('"Open bed"', f'"Open bed"\nobstacles = {wall}'))
    assert "Tomato needs" in run(garden).stdout


def test_the_picture_is_one_beds(garden, tmp_path):
    picture = tmp_path / "sun.svg"
    assert run(garden, "--picture", picture).exit_code == Exit.USAGE
    assert run(garden, "--bed", "wall bed", "--picture", picture).exit_code == 0
    drawn = ElementTree.parse(picture).getroot()
    words = [text.text for text in drawn.iter("{http://www.w3.org/2000/svg}text")]
    assert "The sun over Wall bed" in words
    assert {"Dec", "Jun", "Mar, Sep"} <= set(words)
    first = picture.read_bytes()
    run(garden, "--bed", "wall bed", "--picture", picture)
    assert picture.read_bytes() == first


def test_an_unknown_bed_is_told_with_the_nearest(garden):
    result = run(garden, "--bed", "Wal bed")
    assert result.exit_code == Exit.WRONG and "Wall bed" in result.stderr


def test_beds_indoors_are_left_out(garden):
    open_bed = '[[bed]]\nname = "Open bed"\n'
    garden.write_text(GARDEN.replace(open_bed, f'{open_bed}temperature = "18 °C"\n'))
    told = run(garden)
    assert told.exit_code == 0 and "Open bed" not in told.stdout
    assert "Tomato needs" not in told.stdout  # it may grow under lamps
    shut = run(garden, "--bed", "Open bed")
    assert shut.exit_code == Exit.IMPOSSIBLE and "indoors" in shut.output
