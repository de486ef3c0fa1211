"""Weekdays to harvest on: every lot and every job of bringing it in keeps to them."""

import json
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from typer.testing import CliRunner

from gardens import PLACE, garden_of
from sowplan.cli import app
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Bed, Season, Tray, Want, Where
from sowplan.records.garden_file import read_garden_text
from sowplan.season.archive import from_json, to_json
from sowplan.season.choices.candidates import book_of
from sowplan.season.choices.options import brought_in
from sowplan.season.days import days_off
from sowplan.season.planner import make_plan
from sowplan.season.revise.again import revise
from sowplan.supply.tasks import tasks
from sowplan.supply.workdays import Workdays

CROPS, _ = read_crops()
AT = Where("garden.toml", "[[want]] 1", 1)
THURSDAY, FRIDAY, SATURDAY = 3, 4, 5
START = date(2026, 9, 1)  # a Tuesday
DAY = timedelta(days=1)


def garden(**season):
    """Return an invented garden at 41° S, sown on Saturdays."""

    def want(crop, amount, unit, first, last):
        return Want(crop, amount, unit, 7, first, last, AT)

    return garden_of(
        season=Season(START, date(2027, 3, 31), (SATURDAY,), **season),
        beds=(Bed("Bed", 4.0, 1.2, 0.3, AT), Bed("Box", 3.0, 1.0, 0.3, AT)),
        trays=(Tray("Shelf", 60, AT, 18.0, 14.0, 180.0),),
        wants=(
            want("radish", 1, "bunch", date(2026, 11, 2), date(2026, 12, 20)),
            want("lettuce-butterhead", 2, "head", date(2026, 12, 7), date(2027, 1, 31)),
            want("lettuce-baby-leaf", 0.3, "kg", date(2026, 12, 7), date(2027, 1, 31)),
            want("climbing-bean", 0.5, "kg", date(2027, 1, 25), date(2027, 3, 14)),
        ),
    )


@pytest.fixture(scope="module", params=[(THURSDAY,), (THURSDAY, FRIDAY)], ids=len)
def season(request):
    made, problems = make_plan(garden(harvest_on=request.param), CROPS, effort=0.1)
    assert not problems
    return request.param, made


def test_days_by_the_calendar():
    """By hand: 1 September 2026 is a Tuesday, so Thursday is the third day, Friday the fourth."""
    named = garden(harvest_on=(THURSDAY, FRIDAY)).season
    off = days_off(named, START, 9)
    assert np.flatnonzero(~off).tolist() == [2, 3]
    away = replace(named, away=((date(2026, 9, 4), date(2026, 9, 6)),))
    assert np.flatnonzero(~days_off(away, START, 14)).tolist() == [2, 9, 10]
    assert days_off(replace(named, harvest_on=()), START, 9) is None


@pytest.mark.parametrize(
    ("crop", "lot", "had"),
    [
        ("radish", (0, 5), [(2, 3)]),  # Tuesday to Sunday: Thursday and Friday of it
        ("radish", (4, 8), []),  # Saturday to Wednesday: none, and it stands no longer
        ("radish", (3, 9), [(3, 9)]),  # Friday to the next Thursday
        ("courgette", (4, 5), [(9, 9)]),  # waits for the Thursday, five days
        ("lettuce-baby-leaf", (4, 8), [(9, 9)]),  # so does what is cut again
    ],
)
def test_a_lot_has_those_of_its_days(crop, lot, had):
    off = days_off(garden(harvest_on=(THURSDAY, FRIDAY)).season, START, 30)
    found = brought_in(CROPS[crop], [(*lot, 1.0)], off)
    assert [(first, last) for first, last, _ in found] == had


def test_every_lot_and_every_harvest_is_on_such_a_day(season):
    named, plan = season
    assert plan.site.harvest_on == named and plan.quality.missing_share < 0.2
    for p in plan.plantings:
        days = {day.weekday() for lot in p.lots for day in (lot.ready, lot.last)}
        assert days <= set(named), p.id
        assert (p.cleared - DAY).weekday() in named, p.id
    jobs = [task for task in tasks(plan) if task.kind == "harvest"]
    assert len(jobs) > 12 and {job.day.weekday() for job in jobs} <= set(named)
    assert not any(p.overgrown for p in plan.plantings)


def test_one_day_a_week_gives_a_cut_or_a_pick_a_week(season):
    """Beans are picked for 55 days, a lot a week: none of them is lost for want of a day."""
    named, plan = season
    if len(named) > 1:
        return
    for p in plan.plantings:
        if p.crop in ("climbing-bean", "lettuce-baby-leaf"):
            each = [lot.amount for lot in p.lots]
            assert each == pytest.approx([each[0]] * len(each))
    beans = [p for p in plan.plantings if p.crop == "climbing-bean"]
    assert beans and max(len(p.lots) for p in beans) >= 4


def test_what_is_kept_between_is_as_fresh_as_usual():
    """Each lot is had until its last such day, and as long after as the crop keeps."""
    book = book_of(garden(harvest_on=(THURSDAY,)), CROPS)
    for case in book.instance.crops:
        options = case.options
        keeps = int(CROPS[case.key].keeps_days)
        assert len(options) and (options.lot_expiry == options.lot_last + keeps).all()


def test_the_plan_keeps_them_and_older_plans_have_none(season):
    _, plan = season
    assert from_json(to_json(plan)) == plan
    older = json.loads(to_json(plan))
    del older["site"]["harvest_on"]
    assert from_json(json.dumps(older)).site.harvest_on == ()


def test_days_named_later_change_what_stands_and_go_again():
    plan, _ = make_plan(garden(), CROPS, effort=0.1)
    usual = {lot.ready.weekday() for p in plan.plantings for lot in p.lots}
    assert usual - {THURSDAY, FRIDAY}
    today = date(2026, 12, 12)
    market = garden(harvest_on=(THURSDAY, FRIDAY))
    made, _, problems = revise(plan, market, CROPS, today)
    assert not problems and made.site.harvest_on == (THURSDAY, FRIDAY)
    coming = [task for task in tasks(made) if task.kind == "harvest" and task.day >= today]
    assert coming and {task.day.weekday() for task in coming} <= {THURSDAY, FRIDAY}
    now = {p.id: p.lots for p in made.plantings}
    last = {lot.last.weekday() for p in made.plantings for lot in p.lots if lot.ready >= today}
    assert last <= {THURSDAY, FRIDAY}
    had = {p.id: tuple(lot for lot in p.lots if lot.last < today) for p in plan.plantings}
    assert any(had.values())
    assert all(now[name][: len(lots)] == lots for name, lots in had.items() if lots)
    assert revise(made, market, CROPS, today)[0] is made
    again, _, _ = revise(made, garden(), CROPS, today)
    assert again.site.harvest_on == ()


def test_jobs_of_harvest_have_days_of_their_own():
    """By hand: Saturdays to work on, Thursdays to harvest, nothing on Sundays."""
    days = Workdays((SATURDAY,), never_on=(6,))
    harvest = days.to_harvest((THURSDAY,))
    first = date(2026, 9, 1)
    assert harvest.within(first, first + 13 * DAY) == [date(2026, 9, 3), date(2026, 9, 10)]
    assert days.within(first, first + 6 * DAY) == [date(2026, 9, 5)]
    assert all(harvest.is_away(first + n * DAY) == (n % 7 != 2) for n in range(14))
    harvest.add([date(2026, 9, 3)])
    assert date(2026, 9, 3) in days.busy  # a day on which something else is done, too
    assert days.to_harvest(()) is days and days.to_harvest(tuple(range(7))) is days


FILE = f"""\
{PLACE}[[bed]]
name = "Bed"
length = "4 m"
width = "1.2 m"
depth = "40 cm"
[season]
start = 2026-09-01
end = 2027-08-31
"""


def test_as_written_in_the_file():
    made = read_garden_text(FILE + 'harvest_on = ["Thursday", "Fri"]\n', "g.toml")
    assert made.problems == () and made.garden.season.harvest_on == (THURSDAY, FRIDAY)


AWAY = "away = [[2026-09-10, 2026-09-11], [2026-09-24, 2026-09-26]]"


@pytest.mark.parametrize(
    ("lines", "key", "found", "words"),
    [
        ('harvest_on = ["Sunday", "Friday"]\nnever_on = ["Sunday"]', "never_on", "Sunday",
         "harvest_on names this day too"),
        ('harvest_on = "Sunday"\nnever_on = "weekend"', "never_on", "Sunday",
         "harvest_on names this day too"),
        ('harvest_on = ["Tursday"]', "harvest_on", "Tursday", "Did you mean"),
    ],
)  # fmt: skip
def test_what_cannot_be(lines, key, found, words):
    (problem,) = read_garden_text(FILE + lines + "\n", "g.toml").problems
    assert (problem.where, problem.found) == (f"[season], {key}", found)
    assert words in problem.message


@pytest.mark.parametrize(
    ("end", "more", "words"),
    [
        ("2026-09-02", "", "None of these days comes in the season"),  # Tuesday and Wednesday
        ("2026-09-30", f"{AWAY}", None),  # the Thursdays 3 and 17 September are left
        ("2026-09-12", "away = [[2026-09-02, 2026-09-10]]", "All of these days lie in days away"),
    ],
)
def test_a_season_without_a_day_to_harvest_is_told(end, more, words):
    text = FILE.replace("2027-08-31", end) + f'harvest_on = ["Thursday"]\n{more}\n'
    problems = read_garden_text(text, "g.toml").problems
    assert [p.where for p in problems] == ([] if words is None else ["[season], harvest_on"])
    assert all(words in p.message and p.found == "Thursday" for p in problems)


@pytest.fixture
def run(tmp_path):
    def call(command, *words, season="", want=""):
        file = tmp_path / "garden.toml"
        file.write_text(f"{FILE}{season}\n{want}", encoding="utf-8")
        given = [command, *words]
        given += [str(file)] if command == "check" else ["--garden", str(file)]
        result = CliRunner().invoke(app, given)
        assert result.exit_code == 0, result.output
        return result.stdout

    return call


DAILY = '[[want]]\ncrop = "chervil"\namount = 1\nper = "day"\nfrom = 2026-12-01\nto = 2026-12-20\n'


def test_check_tells_them_and_asks_of_what_does_not_keep_so_long(run):
    """Chervil keeps 4 days: from one Thursday to the next there are Tuesdays and Wednesdays."""
    assert CROPS["chervil"].keeps_days == 4
    said = " ".join(run("check", season='harvest_on = ["Thursday"]', want=DAILY).split())
    assert "harvesting on Thursdays" in said
    assert "harvested on Thursdays only, the Chervil keeps 4 days" in said
    for days in ('["Monday", "Thursday"]', '"Thursday, Saturday"'):
        assert "keeps 4 days" not in run("check", season=f"harvest_on = {days}", want=DAILY)
    weekly = DAILY.replace('"day"', '"week"')
    assert "keeps 4 days" not in run("check", season='harvest_on = ["Thursday"]', want=weekly)


def test_when_brings_in_on_them_and_says_so(run):
    words = ("radish", "--direct", "--every", "1")
    season = 'harvest_on = ["Thursday", "Friday"]'
    assert "Harvested on Thursdays and Fridays only" in run("when", *words, season=season)
    rows = json.loads(run("when", *words, "--json", season=season))
    always = json.loads(run("when", *words, "--json"))
    lost = 0
    for row, usual in zip(rows, always, strict=True):
        days = [date.fromisoformat(lot[name]) for lot in row["lots"] for name in ("ready", "last")]
        assert {day.weekday() for day in days} <= {THURSDAY, FRIDAY}
        if not usual["feasible"]:
            continue
        first, last = (date.fromisoformat(usual["lots"][0][name]) for name in ("ready", "last"))
        fit = [first + n * DAY for n in range((last - first).days + 1)]
        there = [day for day in fit if day.weekday() in (THURSDAY, FRIDAY)]
        assert days == ([there[0], there[-1]] if there else [])
        lost += not there
        told = "none of your days to harvest falls in those on which it is fit"
        assert row["reason"] == ("" if there else told)
    assert 0 < lost < 120
