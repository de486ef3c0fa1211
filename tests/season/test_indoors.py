"""Places indoors, from the file to the plan: what is read, said, reckoned and left out."""

from dataclasses import replace

import pytest
from typer.testing import CliRunner

from garden_text import want
from sowplan.cli import app
from sowplan.export.pictures.water_rows import describe, foot, whole
from sowplan.export.pictures.words import place_size
from sowplan.export.summary import summary
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Indoors
from sowplan.records.garden_file import read_garden_text
from sowplan.season.archive import from_json, to_json
from sowplan.season.choices.candidates import book_of
from sowplan.season.planner import make_plan
from sowplan.supply.tasks import tasks
from sowplan.supply.water import water

CROPS, _ = read_crops()
HEAD = """
[site]
name = "South shed"
latitude = -46.4
longitude = 168.3
timezone = "Pacific/Auckland"
[climate]
tmin = [9, 9, 8, 5, 3, 0, -1, 0, 3, 5, 6, 8]
tmax = [18, 18, 17, 15, 12, 9, 9, 11, 13, 14, 16, 17]
[season]
start = 2027-01-02
end = 2027-12-31
sow_on = ["Saturday"]
"""
SHELF = """
[[tray]]
name = "Shelf"
cells = 84
temperature = "18 °C"
light = { hours = 14, ppfd = 200 }
"""
LIT = """
[[channel]]
name = "Lit"
count = 2
holes = 18
spacing = "20 cm"
temperature = "18 °C"
light = { hours = 16, ppfd = 200 }
"""
OUT = """
[[channel]]
name = "Rail"
holes = 18
spacing = "20 cm"
"""
POTS = """
[[pot]]
name = "Sill"
count = 4
volume = "10 l"
temperature = "64.4 °F"
"""
BED = """
[[bed]]
name = "Cellar"
length = "2 m"
width = "1 m"
depth = "30 cm"
"""


def garden(text):
    reading = read_garden_text(HEAD + text, "g.toml")
    assert reading.problems == (), [str(p) for p in reading.problems]
    return reading.garden


@pytest.fixture(scope="module")
def plan():
    """Lettuce each week from autumn to spring, through nights of frost, in lit channels alone."""
    wish = want("lettuce-loose-leaf", 3, "2027-04-05", "2027-11-28")
    made, problems = make_plan(garden(LIT + SHELF + wish), CROPS, effort=0.3)
    assert problems == []
    return made


def test_the_keys_of_trays_are_read_for_places():
    here = garden(LIT + POTS + BED.replace("[[bed]]", "[[bed]]\ntemperature = 15"))
    assert [c.indoors for c in here.channels] == [Indoors(18.0, 16.0, 200.0)] * 2
    assert here.pots[0].indoors.temperature_c == pytest.approx(18.0)
    assert here.pots[0].indoors.ppfd is None
    assert here.beds[0].indoors == Indoors(15.0)
    assert garden(OUT).channels[0].indoors is None


@pytest.mark.parametrize(
    ("text", "key", "words"),
    [
        (OUT + "light = { hours = 16, ppfd = 200 }\n", "light", "temperature"),
        (LIT + 'cover = "glass"\n', "cover", "indoors"),
        (
            BED + 'temperature = 15\nobstacles = [{ bearing = 0, distance = "1 m", height = "2 m",'
            ' width = "2 m" }]\n',
            "obstacles",
            "indoors",
        ),
        (LIT.replace("hours = 16", "hours = 30"), "light, hours", "at most 24"),
        (LIT.replace('"18 °C"', '"80 °C"'), "temperature", "at most 40"),
    ],
)
def test_what_does_not_go_together_is_told_with_its_line(text, key, words):
    problems = read_garden_text(HEAD + text, "g.toml").problems
    assert len(problems) == 1
    assert problems[0].where.endswith(f", {key}") and words in problems[0].message
    line = (HEAD + text).splitlines()[problems[0].line - 1]
    assert key.split(",")[0] in line or line.startswith("[[channel]]")


def test_no_cover_beside_a_temperature_is_no_problem():
    assert garden(LIT + 'cover = "none"\n')


def test_a_place_indoors_is_no_place_like_one_outdoors():
    text = LIT + OUT + OUT.replace("Rail", "Rail B") + SHELF
    wish = want("lettuce-butterhead", 1, "2027-05-01", "2027-05-28")
    spots = {s.name: s.group for s in book_of(garden(text + wish), CROPS).instance.spots}
    assert spots["Lit 1"] == spots["Lit 2"] != spots["Rail"] == spots["Rail B"]


def test_salad_comes_every_week_of_winter_under_lamps_and_not_outdoors(plan):
    # No plant more is grown, with three cuts of its own, for the last mouthful of one week.
    assert plan.quality.missing_share < 0.005
    assert all(week.met > 0.9 * week.wanted for week in plan.wants)
    wish = want("lettuce-loose-leaf", 3, "2027-04-05", "2027-11-28")
    outside, problems = make_plan(garden(OUT + OUT.replace("Rail", "B") + SHELF + wish), CROPS)
    assert problems == [] and outside.quality.missing_share > 0.2


def test_a_plan_reads_back_with_what_is_kept_indoors(plan):
    assert from_json(to_json(plan)) == plan
    assert plan.places[0].indoors == Indoors(18.0, 16.0, 200.0)


def test_nothing_is_hardened_off_nor_watched_for_frost_indoors(plan):
    kinds = {task.kind for task in tasks(plan)}
    assert "plant out" in kinds and not kinds & {"harden off", "protect"}


def test_water_indoors_is_not_reckoned_and_that_is_said(plan):
    assert water(plan) == ()
    assert "not reckoned" in describe(plan) and "not reckoned" in summary(plan)


def test_water_outdoors_is_told_as_before_beside_a_place_indoors():
    wish = want("lettuce-butterhead", 2, "2027-11-01", "2027-12-26", in_=["Rail"])
    made, _ = make_plan(garden(LIT + OUT + SHELF + wish), CROPS, effort=0.3)
    alone = replace(made, places=tuple(p for p in made.places if p.indoors is None))
    assert water(made) == water(alone) and sum(one.need_l for one in water(made)) > 1.0
    assert "Indoors" not in " ".join(foot(made, 900.0))  # nothing grows there
    both = replace(made, plantings=(*made.plantings, replace(made.plantings[0], place="Lit 1")))
    assert "Indoors water is not reckoned" in " ".join(foot(both, 900.0))
    assert whole(made).name == "Whole garden" and whole(both).name == "All outdoors"


def test_where_lamps_hang_over_water_the_caution_is_said_once(plan):
    text = " ".join(summary(plan).split())
    assert text.count("licensed electrician, as local codes") == 1
    assert "cautious" not in text


def test_the_size_of_a_place_says_indoors(plan):
    assert place_size(plan.places[0]) == "18 holes, indoors"
    assert place_size(replace(plan.places[0], indoors=None)) == "18 holes"


def test_frost_in_a_channel_outdoors_is_told_once_something_stands_there():
    wish = want("lambs-lettuce", 1, "2027-06-07", "2027-07-04", in_=["Rail"])
    made, problems = make_plan(garden(OUT + SHELF + wish), CROPS, effort=0.3)
    assert problems == [] and made.plantings
    told = [note for note in made.notes if "may freeze" in note]
    assert len(told) == 1 and "Rail" in told[0] and "July" in told[0]


def test_check_and_when_tell_what_is_kept(tmp_path):
    file = tmp_path / "g.toml"
    wish = want("lettuce-butterhead", 2, "2027-05-03", "2027-09-26")
    file.write_text(HEAD + LIT + POTS + SHELF + wish, encoding="utf-8")
    told = CliRunner().invoke(app, ["check", str(file)]).output
    assert "Lit 1, Lit 2: 18 °C, 16 h of lamp (11.5 mol/m² a day)" in told
    assert "Sill: 18 °C, daylight of a window" in told
    assert told.count("licensed electrician") == 1
    words = ["when", "butterhead", "--garden", str(file), "--place", "Lit 1"]
    told = CliRunner().invoke(app, words).output
    assert "indoors at 18 °C, 16 h of lamp" in " ".join(told.split())
    assert "No ranges: the weather does not come in." in told and "fleece" not in told
