"""Tasks on the gardener's days: nothing lost, nothing twice, nothing where something else stands.

Counted again from the plan with code of its own, on the invented season with several sets of
working days and on the plan of every example garden.
"""

from __future__ import annotations

import dataclasses
from collections import Counter, defaultdict
from datetime import date, timedelta

import pytest

from sowplan.season.archive import read_plan
from sowplan.supply.tasks import jobs, tasks
from sowplan.supply.workdays import Workdays


def working(plan, *weekdays: int):
    return dataclasses.replace(plan, site=dataclasses.replace(plan.site, work_on=weekdays))


def bought(plan):
    """Return a plan in which what is raised in trays is bought instead."""
    nothing_sown = {"tray": None, "cells": 0, "seeds": 0}
    plantings = (
        dataclasses.replace(p, sow=p.planting_out, emergence=p.planting_out, **nothing_sown)
        if p.tray
        else p
        for p in plan.plantings
    )
    return dataclasses.replace(plan, plantings=tuple(plantings))


@pytest.fixture(scope="module", params=[(), (5,), (2, 5), (0, 1, 2, 3, 4, 5, 6)])
def sample(sample_plan, request):
    return working(sample_plan, *request.param)


def workdays_used(plan):
    return {task.day for task in tasks(plan)}


def other_days(plan, named):
    return {day for day in workdays_used(plan) if day.weekday() not in named}


def singles(plan):
    return [one for task in tasks(plan) for one in task.jobs]


def recount(plan):
    """Check a plan's tasks against the plan itself."""
    each_once(plan)
    all_that_is_wanted_is_brought_in(plan)
    no_two_in_one_place(plan)
    no_tray_is_overfull(plan)
    harvests_are_fit(plan)


def each_once(plan):
    start = plan.site.start
    count = Counter((one.planting, one.kind) for one in singles(plan))
    for p in plan.plantings:
        assert count[p.id, "buy" if p.bought else "sow"] == (p.sow >= start), p.id
        assert count[p.id, "sow"] + count[p.id, "buy"] <= 1, p.id
        out = p.planting_out is not None and p.planting_out >= start
        assert count[p.id, "plant out"] == out, p.id
        assert count[p.id, "clear"] == (not p.stands_on), p.id
    ids = [one.id for one in singles(plan)]
    assert len(ids) == len(set(ids))
    told = tasks(plan)
    assert len({t.id for t in told}) == len(told)
    assert sorted(one.id for one in jobs(plan)) == sorted(ids)


def all_that_is_wanted_is_brought_in(plan):
    """Every amount of ``served_by``, by planting; and nothing of a lot more than it has."""
    crops = {crop.key: crop for crop in plan.crops}
    crop_of = {p.id: crops[p.crop] for p in plan.plantings}

    def weight_or_units(amount, unit, crop):
        if unit == "plants":
            return amount * crop.units_per_plant
        return amount / crop.kg_per_plant * crop.units_per_plant if unit == "kg" else amount

    wanted, taken = defaultdict(float), defaultdict(float)
    for want in plan.wants:
        for name, amount in want.served_by:
            unit = want.unit if want.unit != crop_of[name].harvest_unit else ""
            wanted[name] += weight_or_units(amount, unit, crop_of[name])
    for one in singles(plan):
        for name, amount in one.takes:
            unit = one.unit if one.unit != crop_of[name].harvest_unit else ""
            if "harvest" in one.id.split(":")[1] and not one.id.startswith(f"{name}:"):
                taken[name] += weight_or_units(amount, unit, crop_of[name])
    for name in wanted.keys() | taken.keys():
        assert taken[name] == pytest.approx(wanted[name], abs=1e-5), name


def no_two_in_one_place(plan):
    """In the order of the tasks, ground is free before the next planting takes it."""
    held: dict[str, list] = defaultdict(list)
    plantings = {p.id: p for p in plan.plantings}

    def shared(p, q):
        if p.kind != "bed":
            return set(p.slots) & set(q.slots)
        far = p.strip_start_m + p.strip_length_m, q.strip_start_m + q.strip_length_m
        return min(far) - max(p.strip_start_m, q.strip_start_m) > 1e-6

    for one in singles(plan):
        p = plantings[one.planting]
        if one.kind == "plant out" or (one.kind == "sow" and p.planting_out is None):
            for q in held[p.place]:
                assert not shared(p, q), (one.day, p.id, q.id)
            held[p.place].append(p)
        elif one.kind == "clear" and p in held[p.place]:
            held[p.place].remove(p)


def no_tray_is_overfull(plan):
    cells = {tray.name: tray.cells for tray in plan.trays}
    plantings = {p.id: p for p in plan.plantings}
    raised = {p.id for p in plan.plantings if p.tray and p.sow < plan.site.start}
    full = Counter()
    for name in raised:
        full[plantings[name].tray] += plantings[name].cells
    for one in singles(plan):
        p = plantings[one.planting]
        if one.kind == "sow" and p.tray:
            full[p.tray] += p.cells
        if one.kind == "plant out" and p.tray:
            full[p.tray] -= p.cells
        for tray, many in full.items():
            assert many <= cells[tray], (one.day, tray)


def harvests_are_fit(plan):
    """Each day of harvest is a fit day of a lot of each planting it takes from."""
    plantings = {p.id: p for p in plan.plantings}
    last = defaultdict(lambda: date.min)
    for one in singles(plan):
        for name, _ in one.takes:
            lots = plantings[name].lots
            assert any(lot.ready <= one.day <= lot.last for lot in lots), (one.id, name)
            last[name] = max(last[name], one.day)
    for one in singles(plan):
        if one.kind == "clear":
            assert one.day >= last[one.planting], one.id


def test_the_tasks_recounted(sample):
    recount(sample)
    recount(bought(sample))


def test_the_tasks_of_the_examples_recounted(example_folder):
    plan, problems = read_plan(example_folder / "plan.json")
    assert not problems
    recount(plan)
    recount(working(plan))
    recount(working(plan, 6))
    if plan.site.work_on:
        # What cannot wait is done on other days, never on more of them than without named days.
        days = plan.site.work_on
        assert len(other_days(plan, days)) <= len(other_days(working(plan), days))


def test_named_days_make_fewer_visits(sample_plan):
    named, any_day = working(sample_plan, 5), working(sample_plan)
    assert len(workdays_used(named)) < len(workdays_used(any_day))


def test_what_can_wait_falls_on_a_working_day(sample_plan):
    for one in singles(working(sample_plan, 5)):
        if one.kind in ("thin", "pot on") and (one.until - one.day).days >= 6:
            assert one.day.weekday() == 5, one.id


def test_planting_out_waits_three_days_at_most(sample_plan):
    plan = working(sample_plan, 5)
    plantings = {p.id: p for p in plan.plantings}
    moved = [
        (one.day - plantings[one.planting].planting_out).days
        for one in singles(plan)
        if one.kind == "plant out"
    ]
    assert set(moved) <= {-1, 0, 1, 2, 3} and {1, 2, 3} & set(moved)
    stay = [one for one in singles(sample_plan) if one.kind == "plant out"]
    assert all(one.day == plantings[one.planting].planting_out for one in stay)


def test_a_tender_crop_is_not_moved_into_a_colder_night(sample_plan):
    """Only the working day two days later is cold: the tomatoes stay on their own day."""
    tomato = next(p for p in sample_plan.plantings if p.id == "tomato-cherry-1")
    out, weekday = tomato.planting_out, (tomato.planting_out.weekday() + 2) % 7
    later = out + timedelta(days=2)
    cold = tuple(
        dataclasses.replace(sky, frost_chance=0.3 if sky.day == later else 0.0)
        for sky in sample_plan.sky
    )
    for sky, day in ((cold, out), ((), later)):
        plan = dataclasses.replace(working(sample_plan, weekday), sky=sky)
        (found,) = (one for one in singles(plan) if one.id == "tomato-cherry-1:plant-out")
        assert found.day == day


def test_clearing_and_filling_meet_on_the_working_day(sample_plan):
    """Ground that is filled on a working day within two weeks is cleared on that day, first."""
    plan = working(sample_plan, 5)
    told = tasks(plan)
    place = {one.id: n for n, task in enumerate(told) for one in task.jobs}
    day = {one.id: one.day for one in singles(plan)}
    # By the sample's table: radish 4 leaves the Gate bed's strip, where the next is planted later.
    met = 0
    for p in plan.plantings:
        for q in plan.plantings:
            if p.place == q.place and p.id != q.id:
                fill = f"{q.id}:plant-out" if q.planting_out else f"{q.id}:sow"
                if fill in day and day[fill] == day[f"{p.id}:clear"]:
                    assert place[f"{p.id}:clear"] < place[fill]
                    met += 1
    assert met


def test_good_days_of_a_window_by_hand():
    """November 2026: the 7th and 14th are Saturdays."""
    days = Workdays((5,), {date(2026, 11, 4)})
    first, last = date(2026, 11, 2), date(2026, 11, 15)
    assert days.earliest(first, last, first) == date(2026, 11, 7)
    assert days.latest(first, last, first) == date(2026, 11, 14)
    assert days.nearest(first, last, date(2026, 11, 12)) == date(2026, 11, 14)
    week = date(2026, 11, 6)
    assert days.earliest(first, week, week) == date(2026, 11, 4)
    assert days.earliest(date(2026, 11, 5), week, week) == week
    assert days.nearest(first, week, week) == week
    assert Workdays(()).earliest(first, last, last) == last


def hardening(plan, *away, never_on=()):
    """Return the hardening off of the sample's first lettuce, with times away."""
    site = dataclasses.replace(plan.site, away=away, never_on=never_on)
    found = singles(dataclasses.replace(plan, site=site))
    (one,) = [t for t in found if t.id == "lettuce-butterhead-1:harden-off"]
    return one


def test_seedlings_are_hardened_on_days_on_which_somebody_is_there(sample_plan):
    """Five to ten days of taking them out and in (common practice, no source), without gaps."""
    (p,) = [p for p in sample_plan.plantings if p.id == "lettuce-butterhead-1"]
    out = p.planting_out

    def before(first, last):
        return out - timedelta(days=first), out - timedelta(days=last)

    usual = hardening(sample_plan)
    assert (out - usual.day).days == 7
    # Back for five days and more: begun when somebody is there again, not before and broken off.
    for length in (2, 4, 14):
        job = hardening(sample_plan, before(5 + length, 6))
        assert (out - job.day).days == 5 and "Nobody is there" not in job.details
    # Back for three: two or more before, told what to do between.
    job = hardening(sample_plan, before(5, 4))
    days = [job.day + timedelta(days=n) for n in range((out - job.day).days)]
    there = [day for day in days if not before(5, 4)[0] <= day <= before(5, 4)[1]]
    assert len(there) >= 5 and job.day not in before(5, 4)
    assert "leave them where they were raised in those days, and go on after" in job.details
    # Back on the very day: there is no going on.
    job = hardening(sample_plan, before(2, 1))
    assert "in those days." in job.details and "go on" not in job.details
    weekdays = hardening(sample_plan, never_on=(5, 6))
    days = [weekdays.day + timedelta(days=n) for n in range((out - weekdays.day).days)]
    assert len([day for day in days if day.weekday() not in (5, 6)]) == 7
