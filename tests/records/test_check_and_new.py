"""The commands ``check`` and ``new``: what they print, where, and how they leave."""

from __future__ import annotations

import json
import re
import tomllib
from datetime import date, timedelta
from pathlib import Path

import pytest
from typer.testing import CliRunner

from sowplan.cli import app
from sowplan.commands.problems import laid_out
from sowplan.problem import Exit, Problem
from sowplan.records.garden import Climate
from sowplan.records.garden_file import read_garden, read_garden_text
from sowplan.records.garden_file.keys import NESTED, TABLES, TOP
from sowplan.records.garden_file.next_season import next_season
from sowplan.records.garden_file.reference import key_reference
from sowplan.records.garden_file.starter import Start, harvest_window, starter
from sowplan.records.garden_file.values import READERS
from sowplan.records.garden_file.zones import nearest_zone, zone_cities

ROOT = Path(__file__).resolve().parents[2]
COURTYARD = ROOT / "examples/courtyard/garden.toml"


def sowplan(*arguments: object):
    return CliRunner().invoke(app, [str(a) for a in arguments])


def asked_by(check):
    """Return what is asked, each question on one line however the screen has it."""
    whole = re.sub(r"\n {4}(?! )", " ", check.stdout)
    return re.findall(r"Is this meant\? (.*)", whole)


def test_a_right_garden_is_summed_up():
    done = sowplan("check", COURTYARD)
    assert done.exit_code == 0 and done.stderr == ""
    assert "is fine" in done.stdout
    # 2.26 x 0.76 + 1.66 x 0.86 + 3.2 x 1.1 m, by hand: the edges of 2 cm taken off, and the pipe
    # of 8 cm, 0.005 m².
    assert "together 6.66 m²" in done.stdout
    assert "1 September 2026 to 31 August 2027 (365 days), sowing on Saturdays" in done.stdout
    assert "harvesting on any day (harvest_on would name some)" in done.stdout
    assert "84 cells" in done.stdout and "24 holes" in done.stdout
    wished = "Butterhead lettuce: 2 heads a week, 5 December 2026 to 28 May 2027"
    assert wished in done.stdout and "Spinach: 300 g a week, 3 April 2027 to" in done.stdout


def test_an_l_tells_its_ground_and_what_the_season_plans_of_it(tmp_path):
    """8 x 4 ft less 4 x 1.5 ft are 26 sq ft; across the whole width go the first 4 ft, 16."""
    text = COURTYARD.read_text(encoding="utf-8")
    shape = 'length = "8 ft"\nwidth = "4 ft"\ncut = "4 ft x 18 in"'
    text = text.replace('length = "3.2 m"\nwidth = "1.1 m"', shape)
    file = tmp_path / "garden.toml"
    file.write_text('units = "imperial"\n' + text, encoding="utf-8")
    told = sowplan("check", file).stdout
    assert "Kitchen bed: the season plans 16 sq ft of 26 sq ft" in told
    # The other two boxes: (1.7176 - 0.005 + 1.4276) m² at 10.764 sq ft, 33.8.
    assert "together 60 sq ft" in told
    assert "season plans" not in sowplan("check", COURTYARD).stdout  # a pipe is no great matter


def test_a_bare_number_of_what_is_weighed_is_asked_about(tmp_path):
    """Two tomatoes are two kilograms; with its unit, or of what is counted, nothing is asked."""
    text = COURTYARD.read_text(encoding="utf-8").split("# --- what is settled")[0]
    file = tmp_path / "garden.toml"
    file.write_text(text.replace('amount = "500 g"', "amount = 2 # or so"), encoding="utf-8")
    (asked,) = asked_by(sowplan("check", file))
    assert "[[want]] 12 (tomato-cherry), amount" in asked and "so 2 is 2 kg" in asked
    assert "6 plants" in asked
    file.write_text(text, encoding="utf-8")
    assert "Is this meant?" not in sowplan("check", file).stdout


def test_what_may_not_be_meant_is_asked(tmp_path):
    text = COURTYARD.read_text(encoding="utf-8")
    assert "Is this meant?" not in sowplan("check", COURTYARD).stdout  # spinach in two parts
    text = text.replace('sow_on = ["Saturday"]', "away = [[2027-02-01, 2027-02-14]]")
    text += """
[[want]]
crop = "radish"
amount = 2
per = "week"
from = 2027-05-01
to = 2027-06-25

[[want]]
crop = "dill"
amount = 1
per = "week"
from = 2027-02-01
to = 2027-02-14

[[sowing]]
crop = "kale"
date = 2027-02-06
number = 3
"""
    (tmp_path / "g.toml").write_text(text, encoding="utf-8")
    done = sowplan("check", tmp_path / "g.toml")
    asked = asked_by(done)
    assert done.exit_code == 0 and len(asked) == 3
    # The example wants radish until 28 May.
    assert "Radish is wanted twice from 2027-05-01 to 2027-05-28" in asked[0]
    assert "1 bunch a week and 2 bunches a week are added up" in asked[0]
    assert "none of the Dill is planned for" in asked[1]
    assert "nobody is there on 2027-02-06" in asked[2] and "Kale" in asked[2]
    rest = " ".join(done.stdout.split())
    assert "nobody there 1 February 2027 to 14 February 2027" in rest


def test_a_sowing_settled_for_a_day_of_rest_is_asked_about(tmp_path):
    """6 February 2027 is a Saturday by the calendar."""
    text = COURTYARD.read_text(encoding="utf-8").replace('sow_on = ["Saturday"]', "SOW", 1)
    assert "SOW" in text
    text = text.replace("SOW", 'never_on = ["Saturday"]')
    text += '\n[[sowing]]\ncrop = "kale"\ndate = 2027-02-06\nnumber = 3\n'
    (tmp_path / "g.toml").write_text(text, encoding="utf-8")
    done = sowplan("check", tmp_path / "g.toml")
    asked = asked_by(done)
    assert done.exit_code == 0 and len(asked) == 1
    assert "2027-02-06 is a Saturday" in asked[0] and "Kale" in asked[0]


@pytest.mark.parametrize(
    ("settled", "asked_of"),
    [
        # The courtyard's Brassicaceae left the Step box on 15 July 2026; turnips are of them.
        ([("turnip", "2026-10-03", "Step box")], "stood in Step box until 2026-07-15"),
        ([("turnip", "2026-10-03", "Wall box")], ""),
        ([("carrot", "2026-10-03", "Step box")], ""),
        # In one season they are one turn; the year after they are not.
        ([("turnip", "2026-10-03", "Wall box"), ("turnip", "2027-02-06", "Wall box")], ""),
        (
            [("turnip", "2026-10-03", "Wall box"), ("turnip", "2027-10-09", "Wall box")],
            "puts Brassicaceae into Wall box on 2026-10-03",
        ),
    ],
)
def test_a_sowing_in_a_bed_that_rests_from_its_family_is_asked_about(tmp_path, settled, asked_of):
    text = COURTYARD.read_text(encoding="utf-8").replace("end = 2027-08-31", "end = 2028-03-31")
    for crop, day, place in settled:
        text += f'\n[[sowing]]\ncrop = "{crop}"\ndate = {day}\nnumber = 4\nplace = "{place}"\n'
    (tmp_path / "g.toml").write_text(text, encoding="utf-8")
    done = sowplan("check", tmp_path / "g.toml")
    asked = asked_by(done)
    assert done.exit_code == 0 and len(asked) == bool(asked_of)
    assert not asked_of or asked_of in asked[0] and "24 months" in asked[0]


def test_settled_sowings_are_tried_on_the_beds(tmp_path):
    """Tender beans sown in autumn, and more cabbages than a bed of 3.5 m² holds at any spacing."""
    text = COURTYARD.read_text(encoding="utf-8")
    for crop, day, number in (
        ("bush-bean", "2027-04-03", 20),
        ("cabbage-summer", "2026-09-05", 200),
    ):
        text += (
            f'\n[[sowing]]\ncrop = "{crop}"\ndate = {day}\nnumber = {number}\n'
            'place = "Kitchen bed"\n'
        )
    path = tmp_path / "garden.toml"
    path.write_text(text, encoding="utf-8")
    lines = text.splitlines()
    done = sowplan("check", path)
    assert done.exit_code == Exit.IMPOSSIBLE and done.stdout == ""
    beans, cabbages = done.stderr.splitlines()
    assert beans.startswith(f"{path}:{lines.index('date = 2027-04-03') - 1}: [[sowing]] 2")
    assert "Bush bean sown on 3 April" in beans and "cold" in beans
    assert cabbages.startswith(f"{path}:{lines.index('number = 200') - 2}: [[sowing]] 3")
    assert "too small for 200" in cabbages
    assert len(json.loads(sowplan("check", path, "--json").stdout)) == 2
    planned = sowplan("plan", path, "--out", tmp_path / "plan")
    assert planned.stderr == done.stderr and not (tmp_path / "plan").exists()


def test_a_want_is_counted_as_it_is_planned_for(tmp_path):
    """Nine days are one week and two days over, not two weeks: so much in all."""
    text = COURTYARD.read_text(encoding="utf-8")
    text += (
        '\n[[want]]\ncrop = "dill"\namount = 3\nper = "week"\nfrom = 2027-02-01\nto = 2027-02-09\n'
    )
    path = tmp_path / "garden.toml"
    path.write_text(text, encoding="utf-8")
    told = sowplan("check", path).stdout
    assert "Dill: 3 bunches in all, 1 February 2027 to 9 February 2027" in told


def test_beds_are_listed_by_size_and_trays_by_how_they_stand(tmp_path):
    text = COURTYARD.read_text(encoding="utf-8").replace('"2.3 m"', '"230 mm"')
    text += """
[[tray]]
name = "Windowsill"
cells = 30

[[tray]]
name = "Heated frame"
cells = 20
temperature = "15 °C"
"""
    (tmp_path / "g.toml").write_text(text, encoding="utf-8")
    told = sowplan("check", tmp_path / "g.toml").stdout
    assert "23 cm × 80 cm: Wall box" in told  # a slip of the unit shows
    assert "3.2 m × 1.1 m: Kitchen bed" in told
    assert "Shelf: 84 cells, 19 °C, 14 h of lamp" in told
    assert "Windowsill: 30 cells, as cold as outside" in told
    assert "Heated frame: 20 cells, 15 °C, daylight behind glass" in told


def test_problems_go_to_stderr_a_line_each(tmp_path):
    text = COURTYARD.read_text(encoding="utf-8")
    text = text.replace("latitude = -41.42", "latitude = 123").replace('"2.3 m"', '"2.3"')
    (tmp_path / "g.toml").write_text(text, encoding="utf-8")
    done = sowplan("check", tmp_path / "g.toml")
    assert done.exit_code == Exit.WRONG and done.stdout == ""
    lines = done.stderr.splitlines()
    assert len(lines) == 2
    for line, found in zip(lines, ("latitude = 123", 'length = "2.3"'), strict=True):
        number = text.split("\n").index(found) + 1
        assert line.startswith(f"{tmp_path / 'g.toml'}:{number}: ")


def test_problems_as_json(tmp_path):
    (tmp_path / "g.toml").write_text('units = "metrik"\nname = Home\n', encoding="utf-8")
    done = sowplan("check", tmp_path / "g.toml", "--json")
    problems = json.loads(done.stdout)
    assert done.exit_code == Exit.UNREADABLE
    # No [site], [climate] and [season]; a word that is none; no quotes, and a key out of place.
    assert [p["line"] for p in problems] == [None, None, None, 1, 2, 2]
    assert all({"file", "where", "found", "message", "line"} <= set(p) for p in problems)
    assert json.loads(sowplan("check", COURTYARD, "--json").stdout) == []


def test_in_a_terminal_the_line_is_shown_and_the_text_marked(tmp_path):
    path = tmp_path / "g.toml"
    path.write_text("[site]\nlatitude = 123  # here\n", encoding="utf-8")
    problem = Problem(str(path), 2, "[site], latitude", "123", "At most 90.")
    assert laid_out([problem], 80, colour=False) == [
        f"{path}: 1 problem",
        "",
        "  2 │ latitude = 123  # here",
        "    │            ~~~",
        "      [site], latitude",
        "      At most 90.",
    ]
    assert all(len(line) <= 40 for line in laid_out([problem], 40, colour=False)[1:])
    assert "\x1b[" in "".join(laid_out([problem], 80, colour=True))


def test_check_without_a_file_says_what_it_wants():
    done = sowplan("check")
    assert done.exit_code == Exit.USAGE and "garden.toml" in done.stderr


# --- the reference ------------------------------------------------------------


def test_the_reference_has_every_key():
    reference = sowplan("check", "--keys").stdout
    assert reference == key_reference()
    for table in (TOP, *TABLES, *NESTED.values()):
        section = reference.split(f"## `{table.heading}`" if table.name else "## At the top")[1]
        section = section.split("\n## ")[0]
        for key in table.keys:
            assert f"| `{key.name}` |" in section
            assert key.required or key.default or key.name in ("source", "light_hours", "ppfd")


def test_a_rest_written_in_years_has_the_unit_of_its_range():
    (row,) = (line for line in key_reference().splitlines() if line.startswith("| `rest`"))
    assert "120 months" in row


def test_every_key_has_a_reader_and_an_example_that_reads(tmp_path):
    from sowplan.records.crop_table import read_crops
    from sowplan.records.garden_file.values import Around

    around = Around(tmp_path, read_crops()[0])
    for table in (TOP, *TABLES, *NESTED.values()):
        for key in table.keys:
            value = tomllib.loads(f"value = {key.example}")["value"]
            if key.kind in NESTED:
                inner = value if isinstance(value, list) else [value]
                assert all(set(item) <= {k.name for k in NESTED[key.kind].keys} for item in inner)
            else:
                assert READERS[key.kind](value, key, around) is not None, key


# --- a file to begin with ------------------------------------------------------


@pytest.mark.parametrize(
    ("latitude", "longitude", "zone"),
    [
        # Zones as the tz database has them for these towns.
        (-41.4, 147.1, "Australia/Hobart"),
        (54.0, -1.1, "Europe/London"),
        (3.1, 101.7, "Asia/Kuala_Lumpur"),
        (69.6, 18.9, "Europe/Oslo"),
        (-54.8, -68.3, "America/Argentina/Ushuaia"),
    ],
)
@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_a_new_file_is_right_anywhere(tmp_path, latitude, longitude, zone, units):
    path = tmp_path / "garden.toml"
    place = ["--latitude", latitude, "--longitude", longitude]
    done = sowplan("new", path, *place, "--units", units, "--name", 'The "Patch"')
    assert done.exit_code == 0, done.output
    reading = read_garden(path)
    assert reading.problems == ()
    site, season = reading.garden.site, reading.garden.season
    assert (site.latitude, site.longitude, site.timezone) == (latitude, longitude, zone)
    assert site.name == 'The "Patch"' and reading.garden.units == units
    assert season.start.weekday() == 0 and (season.end - season.start).days in (364, 365)
    assert reading.garden.wants and reading.garden.trays
    told = "Temperatures and rain are those of "
    assert told in done.stdout and told in path.read_text(encoding="utf-8")


def test_a_new_file_is_the_same_twice(tmp_path):
    for name in "ab":
        sowplan("new", tmp_path / name, "--start", "2026-09-01", "--elevation", "130 ft")
    assert (tmp_path / "a").read_bytes() == (tmp_path / "b").read_bytes()
    assert "THE PLACE BELOW IS AN EXAMPLE" in (tmp_path / "a").read_text(encoding="utf-8")
    assert read_garden(tmp_path / "a").garden.season.end == date(2027, 8, 31)


def test_a_file_in_feet_has_its_height_in_feet(tmp_path):
    file = tmp_path / "g.toml"
    words = ("--latitude", "43", "--longitude", "-89", "--elevation", "150 ft")
    assert sowplan("new", file, *words, "--units", "imperial").exit_code == 0
    assert 'elevation = "150 ft"' in file.read_text(encoding="utf-8")
    assert read_garden(file).garden.site.elevation_m == pytest.approx(45.72)


def test_only_a_file_of_nearly_that_name_is_suggested(tmp_path):
    for name in ("pole.toml", "garden.toml"):
        (tmp_path / name).write_text("", encoding="utf-8")
    assert "mean" not in sowplan("check", tmp_path / "nofile.toml").stderr
    assert "mean 'garden.toml'?" in sowplan("check", tmp_path / "gardn.toml").stderr


def test_a_file_that_exists_is_left_alone(tmp_path):
    path = tmp_path / "garden.toml"
    path.write_text("mine", encoding="utf-8")
    done = sowplan("new", path)
    assert done.exit_code == Exit.UNWRITABLE and "--force" in done.stderr
    assert path.read_text(encoding="utf-8") == "mine"
    assert sowplan("new", path, "--force").exit_code == 0
    assert "[site]" in path.read_text(encoding="utf-8")
    assert [p.name for p in tmp_path.iterdir()] == ["garden.toml"]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--latitude", "123", "--longitude", "3"), "at most 90"),
        (("--latitude", "41.3"), "both"),
        (("--elevation", "high"), "length with its unit"),
        (("--start", "1/9/2026"), "year, month and day"),
        (("--timezone", "Hobart"), "Did you mean 'Australia/Hobart'?"),
    ],
)
def test_a_wrong_option_writes_nothing(tmp_path, arguments, words):
    done = sowplan("new", tmp_path / "garden.toml", *arguments)
    assert done.exit_code == Exit.USAGE
    assert words in re.sub(r"[\s│]+", " ", done.stderr)
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_is_not_there(tmp_path):
    done = sowplan("new", tmp_path / "no" / "garden.toml")
    assert done.exit_code == Exit.UNWRITABLE and "cannot be written" in done.stderr


def test_wants_lie_where_things_grow():
    south = [18, 18, 16, 13, 10, 8, 7, 9, 10, 12, 14, 16]  # a cool southern town
    first, last = harvest_window(south, date(2026, 9, 1), date(2027, 8, 31), 60)
    assert (first, last) == (date(2026, 10, 31), date(2027, 5, 31))
    north = [-8, -6, 0, 8, 14, 20, 22, 21, 16, 10, 3, -5]
    first, last = harvest_window(north, date(2026, 11, 2), date(2027, 11, 1), 60)
    assert date(2027, 5, 1) < first < date(2027, 7, 1) and last == date(2027, 10, 31)
    never = [-20] * 12
    first, last = harvest_window(never, date(2026, 9, 1), date(2027, 8, 31), 60)
    assert date(2026, 9, 1) <= first <= last == date(2027, 8, 31)


@pytest.mark.parametrize(
    ("begins", "ends"),
    [
        # By the calendar: the day before the next season begins.
        (date(2026, 9, 1), date(2027, 8, 31)),
        (date(2028, 2, 29), date(2029, 2, 28)),
        (date(2027, 3, 1), date(2028, 2, 29)),
    ],
)
def test_a_new_file_is_for_a_whole_year(begins, ends):
    climate = Climate(tmin=(5.0,) * 12, tmax=(15.0,) * 12)
    text = starter(
        Start("Home", -41.4, 147.1, "Australia/Hobart", begins, climate, "As remembered.")
    )
    garden = read_garden_text(text, "home.toml").garden
    assert (garden.season.start, garden.season.end) == (begins, ends)
    assert next_season(garden.season).start == ends + timedelta(days=1)


def test_zone_cities_against_the_map():
    """Hobart 42°53' S 147°19' E, from zone.tab's own line as the tz database prints it."""
    assert zone_cities()["Australia/Hobart"] == pytest.approx((-42.8833, 147.3167), abs=1e-3)
    assert nearest_zone(-33.9, 151.2)[0] == "Australia/Sydney"


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_where_it_is_always_warm_the_shelf_is_not_cooled(tmp_path, units):
    """Amaranth and kang kong come up in 20 °C and more: common practice, no source."""
    shelves = []
    for name, latitude, longitude in (("warm", 1.35, 103.9), ("cool", 54.0, -1.1)):
        path = tmp_path / name
        place = ["--latitude", latitude, "--longitude", longitude]
        assert sowplan("new", path, *place, "--units", units).exit_code == 0
        shelves.append(read_garden(path).garden.trays[0])
    warm, cool = shelves
    assert warm.temperature_c is None and warm.light_hours == 14
    assert 18 <= cool.temperature_c <= 18.5


@pytest.mark.parametrize(
    ("until", "rest", "asked"),
    [
        ("2023-12-01", "5 years", True),
        ("2021-12-01", "5 years", False),
        ("2023-12-01", "1 year", False),
    ],
)
def test_a_want_whose_family_rests_in_every_bed_is_asked_about(tmp_path, until, rest, asked):
    """What the crop table has rest so long goes without saying: the plan gives its reasons."""
    head = COURTYARD.read_text(encoding="utf-8").split("[[bed]]")[0]
    text = head + (
        '[[bed]]\nname = "Bed"\nlength = "2 m"\nwidth = "1 m"\ndepth = "30 cm"\n'
        '[[tray]]\nname = "Sill"\ncells = 40\n'
        '[[want]]\ncrop = "kale"\namount = 1\nper = "week"\nfrom = 2027-03-01\nto = 2027-05-01\n'
        f'[[past]]\nplace = "Bed"\nfamily = "kale"\nuntil = {until}\n'
        f'[[rotation]]\nfamily = "kale"\nrest = "{rest}"\n'
    )
    (tmp_path / "g.toml").write_text(text, encoding="utf-8")
    done = sowplan("check", tmp_path / "g.toml")
    assert done.exit_code == 0
    told = [line for line in done.stdout.splitlines() if "every bed Kale may grow in" in line]
    assert bool(told) == asked
