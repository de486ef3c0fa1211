"""``sowplan when`` in a garden with days away, days never worked on, and wishes that say how."""

import json
import re
from dataclasses import replace
from datetime import date, timedelta

import pytest
from typer.testing import CliRunner

from sowplan.cli import app
from sowplan.records.garden import Season
from sowplan.season.days import why_not_brought_in

GARDEN = """\
[site]
name = "Back yard"
latitude = -41.0
longitude = 147.0
timezone = "Australia/Hobart"
[climate]
tmin = [12, 12, 10, 7, 5, 3, 2, 3, 5, 7, 9, 11]
tmax = [24, 24, 22, 19, 16, 13, 12, 14, 16, 18, 20, 22]
[season]
start = 2026-09-01
end = 2027-04-30
SEASON
[[bed]]
name = "Bed"
length = "4 m"
width = "1.2 m"
depth = "40 cm"
[[bed]]
name = "Box"
length = "2 m"
width = "1 m"
depth = "30 cm"
[[tray]]
name = "Shelf"
cells = 60
temperature = "18 °C"
light_hours = 14
ppfd = 180
[[want]]
crop = "rocket"
amount = 1
per = "week"
WISH
"""
AWAY = "away = [[2026-12-20, 2026-12-31]]"


@pytest.fixture
def when(tmp_path):
    def run(*words, season="", wish=""):
        file = tmp_path / "garden.toml"
        file.write_text(GARDEN.replace("SEASON", season).replace("WISH", wish), encoding="utf-8")
        result = CliRunner().invoke(app, ["when", "rocket", "--garden", str(file), *words])
        assert result.exit_code == 0, result.output
        return result.stdout

    return run


def rows(when, *words, **garden):
    found = json.loads(when(*words, "--every", "1", "--json", **garden))
    return {date.fromisoformat(row["sow"]): row for row in found}


def test_rows_whose_harvests_fall_into_days_away_say_so(when):
    """The first harvest is later than it would be only where a mark tells of the days away."""
    here, always = rows(when, "--direct", season=AWAY), rows(when, "--direct")
    span = ["2026-12-20", "2026-12-31"]
    for day, row in here.items():
        if row["feasible"]:
            due = [lot["ready"] for lot in always[day]["lots"]]
            fall = any(span[0] <= ready <= span[1] for ready in due)
            assert row["missed"] == ([span] if fall else []), day
            if row["harvest_start"] != always[day]["harvest_start"]:
                assert row["missed"], day
    told = when("--direct", season=AWAY)
    assert told.count("* Nobody is there to harvest from 20 to 31 December.") == 1
    marked = [line for line in told.splitlines() if line.endswith(" *")]
    shown = [here[day]["missed"] for day in list(here)[::7]]
    assert len(marked) == sum(map(bool, shown)) > 0
    assert "Nobody is there" not in when("--direct")


def days(first, last):
    return [first + timedelta(days=n) for n in range((last - first).days + 1)]


def test_nothing_is_sown_in_days_away_nor_just_before(when):
    """By hand: away for 12 days from 20 December, and five days before seed would dry out."""
    here = rows(when, "--direct", season=AWAY)
    for day in days(date(2026, 12, 20), date(2026, 12, 31)):
        assert not here[day]["feasible"] and here[day]["reason"] == "nobody is there"
    for day in days(date(2026, 12, 15), date(2026, 12, 19)):
        assert not here[day]["feasible"] and "nobody waters" in here[day]["reason"]
    assert here[date(2026, 12, 14)]["feasible"] and here[date(2027, 1, 1)]["feasible"]
    watered = rows(when, "--direct", season=AWAY.replace("]]", ', "watered"]]'))
    assert all(watered[day]["feasible"] for day in days(date(2026, 12, 10), date(2026, 12, 19)))


def test_nothing_is_planted_out_or_brought_in_meanwhile(when):
    here, always = rows(when, season=AWAY), rows(when)
    shut = set(days(date(2026, 12, 20), date(2026, 12, 31)))
    moved = 0
    for day, row in here.items():
        told = [
            row["planting_out"],
            *(d for lot in row["lots"] for d in (lot["ready"], lot["last"])),
        ]
        assert not shut & {date.fromisoformat(d) for d in told if d}, day
        assert row["feasible"] == bool(row["lots"]) == (not row["reason"])
        if row["feasible"]:
            assert row["harvest_start"] == row["lots"][0]["ready"]
            moved += row["harvest_start"] != always[day]["harvest_start"]
    assert moved
    assert {day for day, row in here.items() if row["feasible"]} < set(always)


def test_the_next_sowing_is_on_a_day_on_which_something_is_sown(when):
    season = f'{AWAY}\nnever_on = ["Monday", "Thursday"]'
    here = rows(when, "--direct", season=season)
    told = [(day, row["interval_days"]) for day, row in here.items() if row["interval_days"]]
    assert len(told) > 100
    for day, interval in told:
        again = day + timedelta(days=interval)
        assert again.weekday() not in (0, 3)
        assert not date(2026, 12, 15) <= again <= date(2026, 12, 31)


def test_weekdays_never_worked_on_are_told_and_a_week_is_begun_on_another(when):
    """1 September 2026 is a Tuesday."""
    season = 'never_on = ["Tuesday", "Wednesday"]'
    here = rows(when, "--direct", season=season)
    for day, row in here.items():
        if day.weekday() in (1, 2):
            assert row["reason"] == f"nothing is done on {day:%A}s"
    weekly = when("--direct", season=season)
    assert "nothing is done" not in weekly
    assert re.search(r"^ 3 Sep ", weekly, re.MULTILINE)


def test_where_nobody_is_ever_away_no_days_away_are_blamed(tmp_path):
    """Tomatoes planted out on Saturdays only: what is a few days late is caught by the frost."""
    days = ", ".join(f'"{day}"' for day in ("Mon", "Tue", "Wed", "Thu", "Fri", "Sun"))
    file = tmp_path / "garden.toml"
    text = GARDEN.replace("SEASON", f"never_on = [{days}]").replace("WISH", "")
    file.write_text(text, encoding="utf-8")
    result = CliRunner().invoke(
        app, ["when", "tomato", "--garden", str(file), "--every", "1", "--json"]
    )
    found = [row["reason"] for row in json.loads(result.stdout)]
    assert not any("away" in reason for reason in found if reason)
    assert any("frost would" in reason for reason in found if reason)


def test_what_is_fit_on_days_of_rest_only_says_so():
    season = Season(date(2026, 9, 1), date(2027, 4, 30), never_on=(5, 6))
    told = why_not_brought_in(season, date(2026, 10, 3))
    assert told == "nothing is done on the days on which it is fit"
    away = replace(season, away=((date(2026, 10, 1), date(2026, 10, 9)),))
    assert why_not_brought_in(away, date(2026, 10, 3)) == "nobody is there when it is fit"


def test_a_wish_says_how_it_is_raised_and_where(when):
    plain = when()
    assert plain.splitlines()[0].endswith("sown direct in Bed")  # as rocket usually is
    assert "as [[want]]" not in plain
    raised = when(wish='sow = "in trays"')
    assert raised.splitlines()[0].endswith("raised in a tray (Shelf), grown in Bed")
    assert raised.splitlines()[1] == "Raised as [[want]] 1 (rocket) has it."
    direct = when(wish='sow = "direct"\nin = ["Box"]')
    assert direct.splitlines()[0] == "Rocket at Back yard, sown direct in Box"
    assert direct.splitlines()[1] == "Raised and placed as [[want]] 1 (rocket) has it."
    given = when("--tray", "Shelf", wish='sow = "direct"\nin = ["Box"]')
    assert given.splitlines()[0].endswith("raised in a tray (Shelf), grown in Box")
    assert given.splitlines()[1] == "Placed as [[want]] 1 (rocket) has it."
    elsewhere = when("--place", "Bed", wish='sow = "direct"\nin = ["Box"]')
    assert elsewhere.splitlines()[0].endswith("sown direct in Bed")
    assert elsewhere.splitlines()[1] == "Raised as [[want]] 1 (rocket) has it."
    assert when("--direct", "--place", "Bed", wish='not_in = ["Box"]').splitlines()[1][:3] == "Sow"


def test_bought_plants_are_told_from_the_day_they_go_out(when):
    bought = when(wish='sow = "bought plants"')
    head, _, columns, *lines = bought.splitlines()
    assert head.endswith("bought as young plants, grown in Bed")
    assert columns.split()[:3] == ["Out", "First", "harvest"] and "Up" not in columns
    assert any("next day" in line or " in " in line for line in lines)


def test_check_shows_how_a_wish_is_to_be_grown(tmp_path):
    file = tmp_path / "garden.toml"
    wish = 'sow = "in trays"\nnot_in = ["Box"]\nsow_at_least = 6'
    season = f'{AWAY.replace("]]", "], [2027-02-06, 2027-02-20, ")}"watered and picked"]]'
    text = GARDEN.replace("SEASON", season).replace("WISH", wish)
    file.write_text(text, encoding="utf-8")
    result = CliRunner().invoke(app, ["check", str(file)])
    assert result.exit_code == 0, result.output
    said = " ".join(result.stdout.split())
    assert "; raised in trays; in Bed; at least 6 at a time" in said
    assert "; nobody there 20 December 2026 to 31 December 2026" in said
    assert "; away but watered and picked 6 February 2027 to 20 February 2027" in said
