"""Slips of the pen: places far from their time zone, and sizes far from what beds are."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

from gardens import YEAR
from sowplan.cli import app
from sowplan.records.garden_file.read import read_garden_text
from sowplan.records.garden_file.site_checks import check_site
from sowplan.records.garden_file.zones import zone_places
from sowplan.site.towns import towns

ROOT = Path(__file__).resolve().parents[2]
COURTYARD = (ROOT / "examples/courtyard/garden.toml").read_text(encoding="utf-8")
HEAD = """
[climate]
tmin = [6, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6]
tmax = [18, 18, 18, 18, 18, 18, 18, 18, 18, 18, 18, 18]
[season]
start = 2027-03-01
end = 2027-11-30
"""


def placed(latitude, longitude, zone):
    site = f'[site]\nname = "T"\nlatitude = {latitude}\nlongitude = {longitude}\n'
    return read_garden_text(f'{site}timezone = "{zone}"\n{HEAD}', "g.toml").problems


@pytest.mark.parametrize(
    ("latitude", "longitude", "zone", "key", "words"),
    [
        # Dublin lies at 53°20' N 6°15' W, Hobart at 42°53' S 147°19' E (tz database, zone.tab).
        (-53.35, -6.26, "Europe/Dublin", "latitude", "latitude = 53.35 and longitude = -6.26"),
        (-6.26, 53.35, "Europe/Dublin", "latitude", "exchanged? latitude = 53.35 and"),
        (42.9, 147.3, "Australia/Hobart", "latitude", "Is a minus wrong? South of"),
        (-31.95, -115.86, "Australia/Perth", "longitude", "longitude = 115.86 would"),
        (43.05, 89.52, "America/Chicago", "longitude", "longitude = -89.52 would"),
        (-89.52, 43.05, "America/Chicago", "latitude", "exchanged? latitude = 43.05 and"),
        (33.9, 18.4, "Africa/Johannesburg", "latitude", "latitude = -33.9 and longitude = 18.4"),
        (0.1, 51.5, "Europe/London", "latitude", "exchanged? latitude = 51.5 and"),
        (-70.67, -33.45, "America/Santiago", "latitude", "exchanged? latitude = -33.45 and"),
    ],
)
def test_a_place_far_from_its_zone_is_told_with_the_one_meant(
    latitude, longitude, zone, key, words
):
    (problem,) = placed(latitude, longitude, zone)
    assert problem.where == f"[site], {key}" and words in problem.message
    city = zone.split("/")[-1]
    assert f"km from {city}" in problem.message


@pytest.mark.parametrize(
    ("latitude", "longitude", "zone"),
    [
        (39.47, 75.99, "Asia/Shanghai"),  # Kashgar, as far from its clock's city as China goes
        (-31.95, 115.86, "Australia/Perth"),
        (43.36, -8.41, "Europe/Madrid"),
        (51.5, 0.1, "Europe/London"),
        (25.76, -80.19, "America/New_York"),
        (68.44, 17.43, "Europe/Oslo"),
        (-0.18, -78.47, "America/Guayaquil"),
        (1.35, 103.8, "Asia/Singapore"),
    ],
)
def test_places_far_out_in_their_zone_are_left_alone(latitude, longitude, zone):
    assert placed(latitude, longitude, zone) == ()


@pytest.mark.parametrize(
    ("latitude", "longitude", "zone", "words"),
    [
        (-43.5, 172.6, "Pacific/Christchurch", "'Pacific/Auckland'"),
        (-41.4, 147.1, "Australia/Launceston", "'Australia/Hobart'"),
        ('"53.3 N"', '"6.3 W"', "Eire time", "'Europe/Dublin'"),
        (52.5, 13.4, "Berlin", "Did you mean 'Europe/Berlin'?"),  # a city there is
        (99, 13.4, "Europe/Berlim", "Did you mean 'Europe/Berlin'?"),  # no place to go by
        (
            -41.4,
            247.1,
            "Australia/Launceston",
            "goes by 'Australia/Hobart'",
        ),  # not the United Kingdom's
        (-31.95, 141.4, "Australia/Nowhere", "'Australia/Broken_Hill'"),  # not its state's zone
    ],
)
def test_no_such_time_zone_is_told_with_that_of_the_place(latitude, longitude, zone, words):
    told = [p.message for p in placed(latitude, longitude, zone) if "timezone" in p.where]
    assert len(told) == 1 and words in told[0]


def test_no_place_on_the_map_is_taken_for_a_slip():
    """Every town of the table and every zone's city, in each zone of its country: no alarm.

    Left out: Antarctica, and the two zones of Kiribati that lie on either side of the equator and
    of the date line, where another's zone is a mistake indeed.
    """
    zones: dict[str, list[str]] = {}
    for zone, country, *_ in zone_places():
        zones.setdefault(country, []).append(zone)
    places = [(t.country, t.latitude, t.longitude) for t in towns()]
    places += [place[1:] for place in zone_places()]
    tried = 0
    for country, latitude, longitude in places:
        for zone in zones.get(country, []) if country not in ("AQ", "KI") else ():
            tried += 1
            row = _Site({"latitude": latitude, "longitude": longitude, "timezone": zone})
            told = [p for p in check_site(row) if "would fit, " in p]
            assert told == [], (country, latitude, longitude, zone)
    assert tried > 3000


class _Site:
    """Rows of a file in which only the site stands; a problem is its message."""

    def __init__(self, values):
        self._values = values

    def one(self, table):
        return self if table == "site" else None

    def get(self, key, default=None):
        return self._values.get(key, default)

    def problem(self, key, message, found=None):
        return message


def asked(tmp_path, text):
    file = tmp_path / "g.toml"
    file.write_text(text, encoding="utf-8")
    done = CliRunner().invoke(app, ["check", str(file)])
    assert done.exit_code == 0, done.output
    return re.findall(r"Is this meant\? (.*)", re.sub(r"\n {4}(?! )", " ", done.stdout))


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        (
            'length = "2.3 m"',
            'length = "230 m"',
            "(Wall box), length: 230 m is far from usual; 2.3",
        ),
        ('length = "2.3 m"', 'length = "17 m"', "length: 17 m is far from usual; 1.7 m would"),
        ('width = "80 cm"', 'width = "80 m"', "width: 80 m is far from usual; 80 cm would"),
        ('width = "80 cm"', 'width = "8 cm"', "width: 8 cm is far from usual; 80 cm would"),
        ('depth = "38 cm"', 'depth = "3.8 m"', "depth: 3.8 m is far from usual; 38 cm would"),
        ('depth = "38 cm"', 'depth = "3.8 cm"', "depth: 4 cm is far from usual; 38 cm would"),
        ('spacing = "20 cm"', 'spacing = "2 m"', "spacing: 2 m is far from usual; 20 cm would"),
        ('volume = "20 l"', 'volume = "2000 l"', "is much for each pot"),
    ],
)
def test_a_size_far_from_what_beds_are_is_asked_about(tmp_path, old, new, words):
    """Metres for centimetres and decimal points, as hands slip; the size meant is the old one."""
    text = COURTYARD.replace('edge = "2 cm"\n', "").split("[[want]]")[0]
    text = text.replace('keep_out = "inlet pipe 8 cm round at 6 cm, 8 cm"\n', "")
    assert asked(tmp_path, text) == []
    assert any(words in told for told in asked(tmp_path, text.replace(old, new, 1)))


def test_feet_for_inches_are_asked_about(tmp_path):
    text = (ROOT / "examples/market/garden.toml").read_text(encoding="utf-8").split("[[want]]")[0]
    assert asked(tmp_path, text) == []
    (told,) = asked(tmp_path, text.replace('width = "30 in"', 'width = "30 ft"', 1))
    assert "[[bed]] 1 (South field), width: 30 ft is far from usual; 30 in would" in told


def test_what_is_large_on_purpose_is_left_alone(tmp_path):
    """A plot dug as one bed, a field's rows, a window box: sizes there are."""
    text = COURTYARD.split("[[want]]")[0]
    for old, new in (
        ('length = "3.2 m"\nwidth = "1.1 m"', 'length = "8 m"\nwidth = "5 m"'),
        ('length = "3.2 m"\nwidth = "1.1 m"', 'length = "60 m"\nwidth = "75 cm"'),
        ('length = "3.2 m"\nwidth = "1.1 m"', 'length = "60 cm"\nwidth = "18 cm"'),
    ):
        assert asked(tmp_path, text.replace(old, new)) == []


@pytest.mark.parametrize(
    ("first", "last", "hint"),
    [  # the season is 2026-09-01 to 2027-08-31
        ("2027-09-01", "2027-05-31", "from = 2026-09-01"),
        ("2026-11-01", "2026-05-31", "2027-05-31"),
        ("2027-07-01", "2027-05-31", ""),  # no other year does
        ("2028-09-01", "2028-05-31", ""),
        ("2026-11-01", "2028-05-31", "2027-05-31"),
        ("2027-06-15", "2028-05-31", ""),  # 2027-05-31 lies before it
        ("2025-11-01", "2027-05-31", "2026-11-01"),
    ],
)
def test_a_year_is_offered_only_where_it_is_right(first, last, hint):
    """Done as it says, nothing is wrong any more."""
    text = YEAR + '[[bed]]\nname = "B"\nlength = "2 m"\nwidth = "1 m"\ndepth = "30 cm"\n'
    want = '[[want]]\ncrop = "radish"\namount = 1\nper = "week"\n'
    days = {"from": first, "to": last}

    def problems():
        lines = "".join(f"{key} = {day}\n" for key, day in days.items())
        return read_garden_text(text + want + lines, "g.toml").problems

    (problem,) = problems()
    assert problem.message.partition("Did you mean ")[2] == (hint and f"{hint}?")
    if not hint:
        return
    key = "from" if hint.startswith("from") else problem.where.rpartition(", ")[2]
    days[key] = hint.removeprefix("from = ")
    assert problems() == ()


WISHES = """
{name} = [
  {{ crop = "rocket", amount = "two", per = "week", from = 2027-04-01, to = 2027-05-31 }},
  {{ crop = "radish", amount = 1, per = "week", from = 2027-04-01, to = 2027-05-31 }},
]
"""
BED = '[[bed]]\nname = "Plot"\nlength = "2 m"\nwidth = "1 m"\ndepth = "30 cm"\n'
HERE = '[site]\nname = "T"\nlatitude = -42.9\nlongitude = 147.3\ntimezone = "Australia/Hobart"\n'


@pytest.mark.parametrize("name", ["want", "wants"])
def test_a_list_of_tables_below_a_heading_is_told_and_read_all_the_same(name):
    """TOML v1.0.0, Table: all keys below a heading are that table's, up to the next heading."""
    wishes = WISHES.format(name=name)
    read = read_garden_text(f"{HERE}{HEAD}{BED}{wishes}", "g.toml")
    inside, amount = read.problems
    assert inside.where == f"[[bed]] 1 (Plot), {name}" and inside.found == name
    assert "each of them as [[want]]" in inside.message and "above the first" in inside.message
    # What else is wrong with it is told at once, with its own line.
    lines = f"{HERE}{HEAD}{BED}{wishes}".split("\n")
    assert "two" in lines[amount.line - 1] and amount.where.endswith("amount")
    right = wishes.replace("wants", "want").replace('"two"', "2")
    assert read_garden_text(f"{right}{HERE}{HEAD}{BED}", "g.toml").garden is not None


def test_a_table_that_stands_once_below_another_heading_is_not_called_missing():
    tmin, tmax = "[6, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6]", "[9, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9]"
    season = "[season]\nstart = 2027-03-01\nend = 2027-11-30\n"
    climate = f"climate = {{ tmin = {tmin}, tmax = {tmax} }}\n"
    (problem,) = read_garden_text(f"{HERE}{climate}{season}{BED}", "g.toml").problems
    assert problem.where == "[site], climate" and "write [climate] with its keys" in problem.message
