"""``sowplan climate``: a record in, a table to paste out."""

import json
import tomllib
from datetime import date, timedelta

import numpy as np
import pytest
from typer.testing import CliRunner

from sowplan.cli import app
from sowplan.problem import Exit
from sowplan.records.garden_file import read_garden

GARDEN = """
[site]
name = "Here"
latitude = 50.0
longitude = 8.0
timezone = "Europe/Berlin"

[season]
start = 2027-03-01
end = 2027-11-30

[[bed]]
name = "Bed"
length = "2 m"
width = "1 m"
depth = "30 cm"

"""


def run(*words):
    return CliRunner().invoke(app, ["climate", *map(str, words)])


def record(path, years=6, fahrenheit=False, skip=()):
    """Write a made-up record: a cool year's wave and a wobble of some days."""
    lines = ["date,tmin,tmax,rain"]
    first = date(2011, 1, 1)
    for i in range((date(2011 + years, 1, 1) - first).days):
        day = first + timedelta(days=i)
        if day in skip:
            continue
        low = 5 - 8 * np.cos(2 * np.pi * (i - 20) / 365.25) + 4 * np.sin(i * 0.9)
        pair = (low, low + 10)
        if fahrenheit:
            pair = tuple(t * 1.8 + 32 for t in pair)
        lines.append(f"{day},{pair[0]:.2f},{pair[1]:.2f},2.0")
    path.write_text("\n".join(lines) + "\n")
    return path


def test_the_table_goes_straight_into_a_garden_file(tmp_path):
    result = run(record(tmp_path / "weather.csv"))
    assert result.exit_code == 0, result.output
    table = tomllib.loads(result.stdout)["climate"]
    assert len(table["tmin"]) == len(table["tmax"]) == len(table["rain"]) == 12
    assert table["rain"][0] == pytest.approx(62, abs=1)  # 31 days of 2 mm
    garden = tmp_path / "garden.toml"
    garden.write_text(GARDEN + result.stdout)
    reading = read_garden(garden)
    assert not reading.problems
    assert reading.garden.climate.last_frost is not None
    assert reading.garden.climate.frost_risk == pytest.approx(0.1)


def test_fahrenheit_gives_the_same_table(tmp_path):
    plain = run(record(tmp_path / "c.csv"), "--json")
    other = run(record(tmp_path / "f.csv", fahrenheit=True), "--unit", "F", "--json")
    a, b = json.loads(plain.stdout), json.loads(other.stdout)
    assert a["tmin"] == pytest.approx(b["tmin"], abs=0.11)
    assert a["last_frost"] == b["last_frost"]


def test_risk_and_years_are_heard(tmp_path):
    path = record(tmp_path / "weather.csv")
    careful, bold = (json.loads(run(path, "--risk", r, "--json").stdout) for r in (5, 40))
    assert careful["last_frost"] > bold["last_frost"]
    assert careful["first_frost"] < bold["first_frost"]
    some = json.loads(run(path, "--years", "2012-2014", "--json").stdout)
    assert [y["year"] for y in some["years"]] == [2012, 2013, 2014]
    assert "from 3 recorded years" in some["note"]


def test_a_few_missing_days_are_passed_over_and_counted(tmp_path):
    gone = {date(2012, 2, 29), date(2013, 7, 4)}
    result = run(record(tmp_path / "weather.csv", skip=gone))
    assert result.exit_code == 0
    assert "2 days missing" in result.stdout


def test_many_missing_days_are_too_many(tmp_path):
    gone = {date(2012, 1, 1) + timedelta(days=i) for i in range(200)}
    result = run(record(tmp_path / "weather.csv", skip=gone))
    assert result.exit_code == Exit.IMPOSSIBLE
    assert "200 of" in result.stderr and not result.stdout


def test_wrong_records_are_told_with_their_lines(tmp_path):
    path = record(tmp_path / "weather.csv", years=1)
    text = path.read_text().replace("2011-03-05,", "2011-03-05,x")
    path.write_text(text)
    result = run(path)
    assert result.exit_code == Exit.WRONG
    assert "weather.csv:65" in result.stderr  # 31 + 28 + 5 days, and the heading
    assert run(tmp_path / "none.csv").exit_code == Exit.UNREADABLE


def test_the_nearest_town_for_someone_without_a_record():
    result = run("--near", "-41.4, 147.1", "--height", 240)
    table = tomllib.loads(result.stdout)["climate"]
    assert table["source"].startswith("Launceston, AU: from memory")
    assert "last_frost" not in table  # it is estimated anew from the means, and marked so
    assert "estimated from monthly means" in result.stdout


def test_a_town_of_the_table_goes_by_its_name():
    by_name = run("--near", "sao paulo").stdout
    assert tomllib.loads(by_name)["climate"]["source"].startswith("São Paulo, BR")
    assert run("--near", "São Paulo, BR").stdout == by_name
    several = run("--near", "new").stderr
    assert "New Orleans, US; New York, US" in " ".join(several.replace("│", " ").split())
    assert "'Christchurch'?" in run("--near", "Chrischurch").stderr


def test_a_frost_free_place_has_no_dates():
    result = json.loads(run("--near", "1.3,103.8", "--json").stdout)
    assert result["last_frost"] is None and result["first_frost"] is None
    assert "no frost expected" in result["note"]


@pytest.mark.parametrize("words", [
    (), ("--near", "somewhere"), ("--near", "147.1, -41.4"), ("weather.csv", "--near", "1, 1"),
    ("--near", "1, 1", "--risk", "80"),
])  # fmt: skip
def test_wrong_calls_are_usage_errors(words):
    assert run(*words).exit_code == Exit.USAGE


def test_in_feet_and_fahrenheit_it_is_the_same_climate(tmp_path):
    """To half of the last figure written: 0.05 °F and 0.05 in."""
    found = {}
    for units in ("metric", "imperial"):
        written = run("--near", "Madison, Wisconsin", "--height", "130 ft", "--units", units)
        assert written.exit_code == 0, written.output
        file = tmp_path / f"{units}.toml"
        file.write_text(GARDEN + written.stdout, encoding="utf-8")
        reading = read_garden(file)
        assert reading.problems == ()
        found[units] = reading.garden.climate
    assert found["imperial"].tmin == pytest.approx(found["metric"].tmin, abs=0.09)
    assert found["imperial"].tmax == pytest.approx(found["metric"].tmax, abs=0.09)
    assert found["imperial"].rain == pytest.approx(found["metric"].rain, abs=0.05 * 25.4 + 0.5)
    told = run("--near", "Madison, Wisconsin", "--units", "imperial").stdout
    assert "±4 °F" in told and " 32 °F " in told and "°C" not in told
    years = run(record(tmp_path / "weather.csv"), "--units", "imperial").stdout
    assert "(32 °F), degree days above 50 °F" in years


@pytest.mark.parametrize(("height", "same"), [("40", "40 m"), ("130 ft", "39.624 m")])
def test_the_height_has_a_unit_or_is_in_metres(height, same):
    assert (
        run("--near", "Madison, Wisconsin", "--height", height).stdout
        == run("--near", "Madison, Wisconsin", "--height", same).stdout
    )
    wrong = run("--near", "Madison, Wisconsin", "--height", "high")
    assert wrong.exit_code == Exit.USAGE and "with its unit" in " ".join(wrong.stderr.split())
