"""Advice where a crop that goes short could stand between slow ones."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from sowplan.records.garden import Bed, Want, Where
from sowplan.records.garden_file import read_garden
from sowplan.season.between import between_notes
from sowplan.season.choices.candidates import book_of
from sowplan.season.planner import make_plan

COURTYARD = Path(__file__).parents[2] / "examples" / "courtyard" / "garden.toml"
HERE = Where("garden.toml", "", None)


def wanted(crop, amount, start, end):
    return Want(crop, amount, "bunch" if crop == "radish" else "piece", 7, start, end, HERE)


@pytest.fixture(scope="module")
def crowded():
    """Return a garden of one small bed that winter cabbage fills, with radish wanted besides."""
    reading = read_garden(COURTYARD)
    bed = Bed("Only bed", 2.4, 1.2, 0.4, HERE)
    cabbage = Want("cabbage-winter", 10, "head", 7, date(2027, 1, 11), date(2027, 1, 24), HERE)
    radish = wanted("radish", 7, date(2026, 10, 26), date(2026, 12, 13))
    garden = replace(
        reading.garden,
        beds=(bed,),
        channels=(),
        pots=(),
        wants=(replace(cabbage, priority=9.0), radish),
        sowings=(),
        past=(),
    )
    return garden, reading.crops


def test_a_want_that_goes_short_is_told_where_it_could_stand(crowded):
    garden, crops = crowded
    plan, problems = make_plan(garden, crops, effort=0.05)
    assert not problems
    short = [w for w in plan.wants if w.crop == "radish" and w.wanted - w.met > 0.1]
    assert short
    (note,) = between_notes(book_of(garden, crops), plan)
    assert note.startswith("Radish goes short about")
    assert "between the Winter cabbage in Only bed" in note
    # Two cabbages 1.2 m across: rows of radish 4 cm apart hold at most 30 plants, and there are
    # no more than one such row a gap of 55 cm, and two at the ends.
    some = int(note.split(": some ")[1].split()[0])
    rows = sum(p.rows + 1 for p in plan.plantings if p.crop == "cabbage-winter")
    assert 0 < some <= 30 * 3 * rows


def test_nothing_is_said_where_nothing_goes_short(crowded):
    garden, crops = crowded
    garden = replace(garden, wants=(wanted("radish", 1, date(2026, 11, 2), date(2026, 11, 15)),))
    plan, _ = make_plan(garden, crops, effort=0.05)
    assert all(w.met >= 0.98 * w.wanted for w in plan.wants)
    assert between_notes(book_of(garden, crops), plan) == ()


def test_what_is_fit_while_nobody_is_there_is_no_advice(crowded):
    """All that goes in with the cabbage, in mid October, is fit within these days."""
    garden, crops = crowded
    away = ((date(2026, 11, 15), date(2026, 12, 9)),)
    garden = replace(garden, season=replace(garden.season, away=away))
    plan, problems = make_plan(garden, crops, effort=0.05)
    assert not problems and any(p.crop == "cabbage-winter" for p in plan.plantings)
    assert between_notes(book_of(garden, crops), plan) == ()
