"""A bed that comes along in mid-season: what it is used for, or why it stays free, is told."""

import re
from dataclasses import replace
from datetime import date, timedelta

import pytest

from sowplan.export.changes import headline
from sowplan.records.crop_table import read_crops
from sowplan.records.diary import Entry
from sowplan.records.garden import Bed, Climate, Garden, Season, Site, Want, Where
from sowplan.season.planner import make_plan
from sowplan.season.revise.again import revise
from sowplan.season.revise.changes import changes_between

CROPS, _ = read_crops()
AT = Where("garden.toml", "[[bed]] 1", 1)
DAY = timedelta(days=1)
TMIN = (12.0, 12.0, 10.0, 7.0, 5.0, 3.0, 2.0, 3.0, 5.0, 7.0, 9.0, 11.0)
END = date(2027, 2, 28)
NEW = Bed("New", 1.0, 0.9, 0.4, AT)


def garden(bunches):
    """Return a small bed at 41° S that is asked for some bunches of radishes a week."""
    return Garden(
        file="garden.toml",
        site=Site("Mild", -41.0, 147.0, "Australia/Hobart"),
        climate=Climate(tmin=TMIN, tmax=tuple(t + 12.0 for t in TMIN)),
        season=Season(date(2026, 10, 1), END, (5,)),
        beds=(Bed("Plot", 0.6, 0.9, 0.4, AT),),
        wants=(Want("radish", bunches, "bunch", 7, date(2026, 11, 30), END, AT),),
    )


@pytest.fixture(scope="module")
def enough():
    """Return (garden, plan) of a bed that brings all that is asked for."""
    place = garden(1)
    plan, problems = make_plan(place, CROPS, effort=0.2)
    assert problems == [] and plan.quality.missing == 0
    return place, plan


def with_new_bed(place, plan, today, *entries):
    """Return what is told of the new bed, and the plan with it."""
    more = replace(place, beds=(*place.beds, NEW))
    made, gone, problems = revise(plan, more, CROPS, today, entries, "diary.txt")
    assert problems == []
    (told,) = [line for line in made.notes if line.startswith("New ")]
    assert told in headline(changes_between(plan, made, today, gone), plan, made)
    # Planned again, it is new no more.
    again, _, _ = revise(made, more, CROPS, today + DAY, entries, "diary.txt")
    assert again is made
    return told, made


def test_a_bed_that_is_used_is_told_with_its_sowings():
    place = garden(8)  # far more than fits on half a square metre
    plan, _ = make_plan(place, CROPS, effort=0.2)
    assert plan.quality.missing > 1
    told, made = with_new_bed(place, plan, date(2026, 11, 1))
    first = min((p for p in made.plantings if p.place == "New"), key=lambda p: (p.sow, p.id))
    assert told.startswith(f"New is new: {first.plants} Radish from {first.sow.day} November")
    assert told.endswith("come into it.") and made.quality.missing < plan.quality.missing


def test_a_bed_that_nothing_lacks_stays_free(enough):
    told, made = with_new_bed(*enough, date(2026, 12, 1))
    assert told == "New is new and stays free: all that is still wanted comes without it."
    assert made.plantings == enough[1].plantings


def test_a_bed_that_comes_too_late_says_so(enough):
    place, plan = enough
    # Radishes take 3 to 4 weeks in the best of weather (seed packets): 18 days are too few.
    today = END - 18 * DAY
    lost = [p for p in plan.plantings if p.sow < today < p.harvest_start]
    assert lost
    entries = [Entry(today - DAY, "lost", p.id, p.plants) for p in lost]
    told, _ = with_new_bed(place, plan, today, *entries)
    assert told == (
        "New is new and stays free: nothing sown from now on would be fit before the season ends."
    )


def test_what_is_missing_before_anything_is_fit_is_told(enough):
    place, plan = enough
    today = date(2026, 12, 27)
    lost = [p for p in plan.plantings if p.sow < today < p.harvest_start]
    entries = [Entry(today - DAY, "lost", p.id, p.plants) for p in lost]
    told, made = with_new_bed(place, plan, today, *entries)
    found = re.fullmatch(
        r"New is new and stays free: what is missing is wanted before anything sown from now on is "
        r"fit \(Radish on (\d+) January at the soonest\)\.",
        told,
    )
    # The next Saturday is 2 January; in summer a radish is fit after 3 to 4 weeks (seed packets).
    assert found and 23 <= int(found[1]) <= 30, told
    lacking = [w for w in made.wants if w.met < w.wanted and w.end >= today]
    assert lacking and all(w.end < date(2027, 1, int(found[1])) for w in lacking)
