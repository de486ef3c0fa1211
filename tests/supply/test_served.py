"""What is told to be brought in is what the plan counts: handed out again, each week is met.

The cuts of the jobs, on the first or on the last day a job leaves open, are handed out to the
wants with code of its own: eaten from that day on for as long as the crop keeps.
"""

from __future__ import annotations

import dataclasses
from datetime import date, timedelta

import numpy as np
import pytest
from scipy.optimize import linprog

from sowplan.season.archive import read_plan
from sowplan.supply.tasks import tasks


def in_crop_units(amount, unit, crop):
    if unit == crop.harvest_unit:
        return amount
    plants = amount if unit == "plants" else amount / crop.kg_per_plant
    return plants * crop.units_per_plant


def eaten(needs, cuts):
    """Return the most that can be eaten in each period: needs and cuts are (first, last, amount).

    A cut may be eaten in a period they share a day with.
    """
    pairs = [
        (n, c)
        for n, (start, end, _) in enumerate(needs)
        for c, (first, last, _) in enumerate(cuts)
        if first <= end and last >= start
    ]
    if not pairs:
        return np.zeros(len(needs))
    table = np.zeros((len(needs) + len(cuts), len(pairs)))
    for column, (n, c) in enumerate(pairs):
        table[n, column] = table[len(needs) + c, column] = 1.0
    most = [amount for *_, amount in (*needs, *cuts)]
    found = linprog(-np.ones(len(pairs)), A_ub=table, b_ub=most, method="highs")
    assert found.status == 0
    return table[: len(needs)] @ found.x


def short_weeks(plan, day_of):
    """Return the periods that the jobs' cuts do not serve as the plan says, and by how much."""
    singles = [(one, task) for task in tasks(plan) for one in task.jobs if one.kind == "harvest"]
    short = []
    for crop in plan.crops:
        periods = [want for want in plan.wants if want.crop == crop.key and want.met > 0]
        needs = [(w.start, w.end, in_crop_units(w.met, w.unit, crop)) for w in periods]
        keeps, cuts = timedelta(days=int(crop.keeps_days)), []
        for one, task in singles:
            if one.crop == crop.key:
                day = day_of(one, task)
                much = sum(amount for _, amount in one.takes)
                cuts.append((day, day + keeps, in_crop_units(much, one.unit, crop)))
        for want, need, had in zip(periods, needs, eaten(needs, cuts), strict=True):
            if had < need[2] - 1e-5:
                short.append((crop.key, want.start, need[2], had))
    return short


DAYS = {
    "as told": lambda one, task: task.day,
    "on the job's last day": lambda one, task: one.until,
    "on the last day of all that is brought in with it": lambda one, task: task.until,
}


@pytest.mark.parametrize("when", DAYS)
def test_the_jobs_serve_every_week_the_plan_counts(example_folder, when):
    plan, problems = read_plan(example_folder / "plan.json")
    assert not problems and any(want.met for want in plan.wants)
    assert short_weeks(plan, DAYS[when]) == []


def three_weeks(plan, work_on, **site):
    """Return three weeks that each want one head, of three fit from Thu 5 to Thu 12 November.

    They keep for a week. In 2026 the 7th and the 8th are Saturday and Sunday.
    """
    (grown,) = (p for p in plan.plantings if p.id == "lettuce-butterhead-1")
    first = grown.lots[0].ready
    assert first.isoformat() == "2026-11-05"
    lot = dataclasses.replace(grown.lots[0], last=first + timedelta(days=7), amount=3.0)
    grown = dataclasses.replace(grown, lots=(lot,))
    week = next(want for want in plan.wants if want.crop == grown.crop)
    weeks = tuple(
        dataclasses.replace(
            week,
            start=first + timedelta(days=7 * n - 2),
            end=first + timedelta(days=7 * n + 4),
            unit="head", wanted=1.0, met=1.0, why="", served_by=((grown.id, 1.0),),
        )
        for n in range(3)
    )  # fmt: skip
    crops = tuple(dataclasses.replace(crop, keeps_days=7.0) for crop in plan.crops)
    where = dataclasses.replace(plan.site, work_on=work_on, **site)
    return dataclasses.replace(plan, site=where, crops=crops, plantings=(grown,), wants=weeks)


def cuts_of(plan):
    found = [one for task in tasks(plan) for one in task.jobs if one.kind == "harvest"]
    return [(f"{one.day:%a %d}", f"{one.until:%d}", one.takes[0][1]) for one in found], found


def test_a_head_for_a_later_week_stands_until_it_will_keep(sample_plan):
    """By hand: one by Mon 9 for the first week, two from Tue 10 to Thu 12 for the other two."""
    plan = three_weeks(sample_plan, (5, 6))
    told, (first, second) = cuts_of(plan)
    assert told[0] == ("Sat 07", "09", 1.0)
    assert told[1][0] in ("Tue 10", "Wed 11", "Thu 12") and told[1][1:] == ("12", 2.0)
    assert f"Leave 2 for {told[1][0]} November." in first.details
    assert "Bring in from Thu 5 November to Mon 9 November." in first.details  # fit until Thu 12
    assert "1 head of it to keep for meals from Tue 17 November." in second.details
    assert all(short_weeks(plan, day_of) == [] for day_of in DAYS.values())


def test_on_named_days_it_is_cut_on_the_last_that_will_do(sample_plan):
    """By hand, on Thursdays alone: one on the 5th, and two on the 12th, one of them to keep."""
    told, _ = cuts_of(three_weeks(sample_plan, (), harvest_on=(3,)))
    assert [(day, much) for day, _, much in told] == [("Thu 05", 1.0), ("Thu 12", 2.0)]


def test_with_nobody_there_on_the_last_day_it_is_cut_before(sample_plan):
    """By hand: on the 10th or the 11th, for before it would not keep until the 17th."""
    gone = sample_plan.site.start.replace(month=11, day=12)
    plan = three_weeks(sample_plan, (5,), away=((gone, gone),))
    told, _ = cuts_of(plan)
    assert [much for *_, much in told] == [1.0, 2.0] and told[1][0] in ("Tue 10", "Wed 11")
    assert short_weeks(plan, DAYS["as told"]) == []


def two_weeks(plan, *ready, keeps=7.0):
    """Return two weeks from Sat 7 November that each want a head, fit for 5 days from ``ready``."""
    (grown,) = (p for p in plan.plantings if p.id == "lettuce-butterhead-1")
    lots = tuple(
        dataclasses.replace(grown.lots[0], ready=day, last=day + timedelta(days=5), amount=1.0)
        for day in (date(2026, 11, n) for n in ready)
    )
    grown = dataclasses.replace(grown, lots=lots)
    week = next(want for want in plan.wants if want.crop == grown.crop)
    saturday = date(2026, 11, 7)
    weeks = tuple(
        dataclasses.replace(
            week, start=saturday + timedelta(days=7 * n), end=saturday + timedelta(days=7 * n + 6),
            unit="head", wanted=1.0, met=1.0, why="", served_by=((grown.id, 1.0),),
        )
        for n in range(2)
    )  # fmt: skip
    crops = tuple(dataclasses.replace(crop, keeps_days=keeps) for crop in plan.crops)
    site = dataclasses.replace(plan.site, work_on=(5,))
    return dataclasses.replace(plan, site=site, crops=crops, plantings=(grown,), wants=weeks)


@pytest.mark.parametrize(
    ("ready", "keeps", "told"),
    [
        # By hand: the week ends on Friday 13; what the next wants is cut with it, and not on
        # Saturday again.
        ((12, 12), 7.0, [("Fri 13", 2.0)]),
        ((12, 14), 7.0, [("Fri 13", 1.0), ("Sat 14", 1.0)]),  # not fit before
        ((12, 12), 0.0, [("Fri 13", 1.0), ("Sat 14", 1.0)]),  # would not keep
        ((5, 12), 7.0, [("Sat 07", 1.0), ("Sat 14", 1.0)]),  # a week apart they are two
    ],
)
def test_nothing_is_brought_in_on_two_days_running_where_one_will_do(
    sample_plan, ready, keeps, told
):
    plan = two_weeks(sample_plan, *ready, keeps=keeps)
    found, _ = cuts_of(plan)
    days = [
        (day if day != "Thu 12" else "Fri 13", much) for day, _, much in found
    ]  # either will do
    assert days == told
    assert short_weeks(plan, DAYS["as told"]) == []
