"""Weekdays on which nothing is done: nothing is sown, planted out, harvested or cleared on them."""

import json
from dataclasses import replace
from datetime import date, timedelta

import pytest

from gardens import YEAR, garden_of
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Bed, Season, Tray, Want, Where
from sowplan.records.garden_file import read_garden_text
from sowplan.season.archive import from_json, to_json
from sowplan.season.days import days_off, planting_days, sowing_days, sowing_weekdays
from sowplan.season.planner import make_plan
from sowplan.season.reasons.limits import another_weekday
from sowplan.supply.tasks import tasks
from sowplan.supply.workdays import Workdays

CROPS, _ = read_crops()
AT = Where("garden.toml", "[[want]] 1", 1)
WEEKEND = (5, 6)
START = date(2026, 9, 1)  # a Tuesday


def garden(**season):
    return garden_of(
        season=Season(START, date(2027, 2, 28), never_on=WEEKEND, **season),
        beds=(Bed("Bed", 2.4, 1.0, 0.3, AT),),
        trays=(Tray("Shelf", 60, AT, 18.0, 14.0, 180.0),),
        wants=(
            Want("radish", 1, "bunch", 7, date(2026, 11, 2), date(2026, 12, 20), AT),
            Want("lettuce-butterhead", 2, "head", 7, date(2026, 12, 5), date(2027, 1, 29), AT),
        ),
    )


@pytest.fixture(scope="module", params=[(), (2,)], ids=["any day", "Wednesdays"])
def plan(request):
    made, problems = make_plan(garden(sow_on=request.param), CROPS, effort=0.1)
    assert not problems
    return made


def test_no_job_falls_on_them(plan):
    assert plan.quality.missing_share < 0.2
    found = tasks(plan)
    kinds = {task.kind for task in found}
    assert {"sow", "plant out", "harden off", "harvest", "clear"} <= kinds
    assert not [task for task in found if task.day.weekday() in WEEKEND]


def test_seedlings_stay_in_at_weekends(plan):
    hardened = [task for task in tasks(plan) if task.kind == "harden off"]
    long = [task for task in hardened if (task.until - task.day).days >= 6]
    assert long and all("On Saturdays and Sundays they stay" in task.details for task in long)


def test_the_plan_keeps_them_and_older_plans_have_none(plan):
    assert from_json(to_json(plan)) == plan and plan.site.never_on == WEEKEND
    older = json.loads(to_json(plan))
    del older["site"]["never_on"]
    assert from_json(json.dumps(older)).site.never_on == ()


def test_days_by_the_calendar():
    season = garden().season
    assert {day.weekday() for day in sowing_days(garden())} == {4}  # Saturday is shut: Friday
    assert sowing_weekdays(replace(season, never_on=())) == (5,)
    out = planting_days(season, START, 7)
    assert out.tolist() == [True, True, True, True, False, False, True]
    off = days_off(season, START, 7)
    assert off.tolist() == [False, False, False, False, True, True, False]
    assert days_off(replace(season, never_on=()), START, 7) is None
    assert another_weekday((2,), WEEKEND) in (0, 4)


def test_workdays_wait_for_a_day_on_which_something_is_done():
    days = Workdays((), never_on=WEEKEND, away=((date(2026, 9, 7), date(2026, 9, 8)),))
    saturday = date(2026, 9, 5)
    assert days.there_again(saturday) == date(2026, 9, 9)
    assert days.nearest(saturday - timedelta(2), saturday, saturday) == date(2026, 9, 4)


def test_as_written_in_the_file():
    made = read_garden_text(YEAR + 'never_on = "weekend"\n', "g.toml")
    assert made.problems == () and made.garden.season.never_on == WEEKEND


@pytest.mark.parametrize(
    ("lines", "found", "words"),
    [
        ('never_on = ["Sunday"]\nsow_on = ["Sunday", "Friday"]', "Sunday", "sow_on names this day"),
        ('never_on = ["Sundey"]', "Sundey", "Did you mean 'Sunday'?"),
        (
            'never_on = "Mon, Tue, Wed, Thu, Fri, Sat, Sun"', "Mon, Tue, Wed, Thu, Fri, Sat, Sun",
            "every day of the week",
        ),
    ],
)  # fmt: skip
def test_what_cannot_be(lines, found, words):
    (problem,) = read_garden_text(YEAR + lines + "\n", "g.toml").problems
    assert (problem.where, problem.found, problem.line) == ("[season], never_on", found, 12)
    assert words in problem.message
