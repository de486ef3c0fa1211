"""The hours of work of a week: counted by hand, kept to, told, and refused where they cannot be."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from gardens import garden_of
from sowplan.export.hours import hours_told
from sowplan.problem import Exit
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import (
    Bed,
    FixedSowing,
    Season,
    Tray,
    Want,
    Where,
)
from sowplan.season.choices.work import hours_by_week, rates
from sowplan.season.planner import make_plan

CROPS, _ = read_crops()
AT = Where("garden.toml", "[[sowing]] 1", 40)


def garden(hours, sowings=()):
    """Return a garden with a bed for lettuce and radish, and so many hours a week."""
    first, last = date(2026, 12, 15), date(2027, 3, 29)
    return garden_of(
        season=Season(date(2026, 9, 1), date(2027, 4, 30), (5,), hours_a_week=hours),
        beds=(Bed("Long", 8.0, 0.9, 0.4, Where("garden.toml", "[[bed]] 1 (Long)", 10)),),
        trays=(Tray("Shelf", 96, Where("garden.toml", "[[tray]] 1", 20), 18.0, 14.0, 180.0),),
        wants=(
            Want("lettuce-butterhead", 12, "head", 7, first, last, AT),
            Want("radish", 2, "bunch", 7, first, last, AT),
        ),
        sowings=sowings,
    )


@pytest.fixture(scope="module")
def short():
    made, problems = make_plan(garden(0.15), CROPS, effort=0.2)
    assert problems == []
    return made


def counted(plan):
    """Return the hours of each week, added up job by job from the table of work."""
    minutes = rates()
    found = {}
    for p in plan.plantings:
        crop = plan.crop(p.crop)
        area = crop.spacing_cm * crop.row_spacing_cm / 10_000
        jobs = {"clear": (p.cleared, p.plants * area * minutes["clear"])}
        if p.planting_out is None:
            jobs["sow"] = (p.sow, p.plants * crop.spacing_cm / 100 * minutes["sow_direct"])
        else:
            jobs["sow"] = (p.sow, p.cells * minutes["sow_tray"])
            jobs["out"] = (p.planting_out, p.plants * minutes["plant_out"])
        for day, taken in jobs.values():
            monday = day - timedelta(days=day.weekday())
            found[monday] = found.get(monday, 0.0) + (taken + minutes["begin"]) / 60
    return found


def test_no_week_takes_more_than_there_is(short):
    hours = hours_by_week(short)
    assert hours == pytest.approx(counted(short))
    assert max(hours.values()) <= 0.15 + 1e-6
    assert short.site.hours_a_week == 0.15


def test_what_goes_short_for_want_of_hours_says_so(short):
    free, _ = make_plan(garden(None), CROPS, effort=0.2)
    assert free.quality.missing < short.quality.missing
    assert max(hours_by_week(free).values()) > 0.15
    lacking = [w.why for w in short.wants if w.met < w.wanted - 1e-6]
    assert any(why.startswith("too little time: ") and "of 0.15 at most" in why for why in lacking)
    hour = [gain for gain in short.gains if gain.what == "one hour of work a week more"]
    assert max(gain.brings for gain in hour) > 0
    # What an hour more is said to bring is there with as many hours as it takes.
    for gain in hour:
        met = [sum(w.met for w in p.wants if w.want == gain.want) for p in (short, free)]
        assert met[1] >= met[0] + 0.9 * gain.brings
    assert not any("hour of work" in gain.what for gain in free.gains)


def test_hours_are_told_week_by_week(short):
    lines = hours_told(short)
    hours = hours_by_week(short)
    assert lines[0].startswith(f"{sum(hours.values()):.0f} hours in all")
    assert "at most 0.15 are allowed for" in lines[1]
    assert sum(line.count(":") for line in lines[2:]) == len({(w.year, w.month) for w in hours})
    assert hours_told(replace(short, plantings=())) == []


def test_own_sowings_that_take_too_long_are_a_problem():
    many = FixedSowing("lettuce-butterhead", date(2026, 10, 3), 90, AT, "Long")
    made, (problem, *_) = make_plan(garden(0.1, (many,)), CROPS)
    assert made is None and problem.exit is Exit.IMPOSSIBLE
    assert problem.line == 40 and problem.where == "[[sowing]] 1, number"
    assert "hours_a_week" in problem.message and "28 September" in problem.message


def test_rates_have_a_source():
    from sowplan.records.tables import crops_folder, read_table

    table, problems = read_table(crops_folder() / "work.csv")
    assert not problems
    assert all(row.cells["source"] and float(row.cells["minutes"]) > 0 for row in table.rows)
