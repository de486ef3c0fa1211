"""The gardener's days: away, nothing is wanted, sown, planted out or harvested."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest

from gardens import garden_of
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Bed, Season, Tray, Want, Where
from sowplan.season.choices.candidates import book_of
from sowplan.season.days import away_days, planting_days, sowing_days, want_periods
from sowplan.season.planner import make_plan
from sowplan.supply.tasks import tasks
from sowplan.supply.workdays import Workdays

CROPS, _ = read_crops()
AT = Where("garden.toml", "[[bed]] 1", 1)
AWAY = ((date(2027, 1, 8), date(2027, 1, 24)),)


def want(crop, amount, unit, per=7, first=date(2026, 12, 5), last=date(2027, 3, 12)):
    return Want(crop, amount, unit, per, first, last, AT)


def garden(sow_on=(5,), away=AWAY):
    return garden_of(
        season=Season(date(2026, 9, 1), date(2027, 4, 30), sow_on, away),
        beds=(Bed("Bed", 4.0, 1.0, 0.4, AT),),
        trays=(Tray("Shelf", 60, AT, 18.0, 14.0, 180.0),),
        # Heads planted out before the days away are over by early March, later ones not yet ready.
        wants=(
            want("lettuce-butterhead", 2, "head", last=date(2027, 3, 5)),
            want("radish", 1, "bunch"),
        ),
    )


def gone(day, away=AWAY):
    return any(first <= day <= last for first, last in away)


def test_periods_away_are_not_wanted_and_others_are_cut():
    weekly = want("radish", 1, "bunch")
    periods = want_periods(weekly, AWAY)
    # By hand: weeks begin on Saturdays. 2 January's keeps Saturday to Thursday, 6 of 7 days;
    # 9 and 16 January fall out, 23 January's keeps 25 to 29 January, 5 of 7.
    assert (date(2027, 1, 2), date(2027, 1, 7)) in periods
    assert (date(2027, 1, 25), date(2027, 1, 29)) in periods
    assert not any(gone(first) or gone(last) for first, last in periods)
    assert len(periods) == len(want_periods(weekly)) - 2
    # Once in all the time is still wanted in the rest of it.
    whole = want("radish", 1, "bunch", per=98)
    assert want_periods(whole, AWAY) == want_periods(whole)


def test_no_day_away_is_a_day_to_sow_or_work():
    days = sowing_days(garden())
    assert days and not any(gone(day) for day in days)
    assert set(sowing_days(garden(away=()))) - set(days) == {
        date(2027, 1, 9), date(2027, 1, 16), date(2027, 1, 23),
    }  # fmt: skip
    season = garden(sow_on=()).season
    works = planting_days(season, date(2027, 1, 1), 31)
    # By hand: away 8 to 24 January, nothing planted out 5 to 7, hardening off 25 to 29 January.
    assert works.tolist() == [not 5 <= day <= 29 for day in range(1, 32)]
    weekend = replace(season, away=((date(2027, 1, 9), date(2027, 1, 10)),))
    works = planting_days(weekend, date(2027, 1, 1), 31)
    assert np.nonzero(~works)[0].tolist() == [8, 9]
    wednesdays = sowing_days(garden(sow_on=(2,)))
    assert date(2026, 12, 30) in wednesdays and date(2027, 1, 6) not in wednesdays
    assert planting_days(replace(season, away=()), date(2027, 1, 1), 31) is None
    assert not away_days(AWAY, date(2027, 2, 1), 20).any()
    assert away_days(AWAY, date(2027, 1, 20), 20).sum() == 5


@pytest.fixture(scope="module", params=[(5,), ()])
def plan(request):
    made, problems = make_plan(garden(request.param), CROPS, effort=0.2)
    assert problems == []
    return made


def test_a_plan_leaves_the_days_away_alone(plan):
    assert plan.quality.missing == 0 and plan.site.away == AWAY
    for p in plan.plantings:
        assert not gone(p.sow) and not (p.planting_out and gone(p.planting_out)), p.id
        for lot in p.lots:
            assert not gone(lot.ready) and not gone(lot.last), p.id
    assert any("Nobody is there from 8 January to 24 January" in note for note in plan.notes)


SHORT = tuple((date(2026, 12, n), date(2026, 12, n + 2)) for n in (5, 12, 19))


@pytest.mark.parametrize(
    "season", [{"away": SHORT}, {"never_on": (1, 3)}, {"away": AWAY, "never_on": (6,)}]
)
def test_nothing_is_counted_on_that_is_cleared_before_somebody_can_pick_it(season):
    """What is taken at once is cleared after the last day on which somebody is there for it."""
    whole = garden(away=())
    book = book_of(replace(whole, season=replace(whole.season, **season)), CROPS)
    off, weekdays = season.get("away", ()), season.get("never_on", ())
    for case in book.instance.crops:
        options, keeps = case.options, int(CROPS[case.key].keeps_days)
        assert len(options)
        for lot in range(len(options.lot_option)):
            days = [book.day(int(v[lot])) for v in (options.lot_ready, options.lot_last)]
            assert not any(gone(day, off) or day.weekday() in weekdays for day in days)
            assert options.lot_expiry[lot] == options.lot_last[lot] + keeps
            assert options.clear[options.lot_option[lot]] == options.lot_last[lot] + 1


def test_tasks_keep_off_the_days_away(plan):
    jobs = tasks(plan)
    assert len(jobs) > 10
    assert [task.title for task in jobs if gone(task.day) and task.kind != "protect"] == []
    lasting = [task for task in jobs if task.kind == "harden off"]
    assert lasting
    for task in lasting:
        for n in range((task.until - task.day).days + 1):
            assert not gone(task.day + timedelta(days=n)), task.title


def test_workdays_while_away():
    days = Workdays((5,), away=AWAY)
    first, last = date(2027, 1, 6), date(2027, 1, 30)
    assert days.within(first, last) == [date(2027, 1, 30)]
    assert days.earliest(date(2027, 1, 6), date(2027, 1, 20), date(2027, 1, 10)) == date(2027, 1, 7)
    assert days.there_again(date(2027, 1, 10)) == date(2027, 1, 25)
    assert days.there_again(date(2027, 1, 25)) == date(2027, 1, 25)
    assert np.all([not days.is_away(day) for day in (date(2027, 1, 7), date(2027, 1, 25))])


def test_days_left_over_are_no_period_of_their_own_unless_half_of_one():
    def spans(first, last, per):
        asked = want("radish", 1, "bunch", per=per)
        return want_periods(replace(asked, start=first, end=last))

    # By hand: 15 July to 15 October are three times 30 days and 3 days more.
    monthly = spans(date(2027, 7, 15), date(2027, 10, 15), 30)
    assert [first for first, _ in monthly] == [
        date(2027, 7, 15),
        date(2027, 8, 14),
        date(2027, 9, 13),
    ]
    assert monthly[-1][1] == date(2027, 10, 15)
    # 52 weeks and a day; a week and four days; three days in all.
    assert len(spans(date(2026, 11, 30), date(2027, 11, 29), 7)) == 52
    assert spans(date(2027, 3, 1), date(2027, 3, 11), 7) == [
        (date(2027, 3, 1), date(2027, 3, 7)),
        (date(2027, 3, 8), date(2027, 3, 11)),
    ]
    assert spans(date(2027, 3, 1), date(2027, 3, 3), 7) == [(date(2027, 3, 1), date(2027, 3, 3))]
