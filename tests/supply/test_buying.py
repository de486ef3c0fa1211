"""Young plants that are bought: the job of it, the list of it, and nothing of seed and trays."""

from __future__ import annotations

import dataclasses
from datetime import date, timedelta

import pytest

from sowplan.records.diary import Entry, entry_for, read_entries
from sowplan.supply.buying import plants_to_buy
from sowplan.supply.seed import seed_needs, tray_use
from sowplan.supply.tasks import jobs, tasks
from sowplan.supply.undone import undone

NOTHING_SOWN = {"tray": None, "cells": 0, "seeds": 0}
TOMATO = "tomato-cherry"


@pytest.fixture
def plan(sample_plan):
    """Return the invented season, its cherry tomatoes bought, of both batches on 1 November."""
    day = date(2026, 11, 1)  # a Sunday
    there = {"sow": day, "emergence": day, "planting_out": day, **NOTHING_SOWN}
    plantings = [
        dataclasses.replace(p, **there) if p.crop == TOMATO else p for p in sample_plan.plantings
    ]
    return dataclasses.replace(sample_plan, plantings=tuple(plantings))


def with_site(plan, **changes):
    return dataclasses.replace(plan, site=dataclasses.replace(plan.site, **changes))


def job_of(plan, name):
    return next(one for one in jobs(plan) if one.id == name)


def test_a_planting_says_how_it_came_to_its_place(plan):
    ways = {p.id: p.raising for p in plan.plantings}
    assert ways[f"{TOMATO}-1"] == "bought plants"
    assert {"direct", "in trays"} < set(ways.values())
    assert [p.id for p in plan.plantings if p.bought] == [f"{TOMATO}-1", f"{TOMATO}-2"]


def test_its_jobs_are_to_buy_and_to_plant_out(plan):
    mine = {one.kind: one for one in jobs(plan) if one.planting == f"{TOMATO}-1"}
    assert not {"sow", "thin", "pot on", "harden off"} & mine.keys()
    assert mine["plant out"].day == date(2026, 11, 1)
    assert mine["buy"].day == date(2026, 10, 28)  # four days before
    assert mine["buy"].until == date(2026, 11, 1)
    assert mine["buy"].title == "Buy 4 Cherry tomato plants"
    assert "from " not in mine["plant out"].details.split(".")[0]  # no tray to take them from


def test_two_places_are_one_purchase(plan):
    """By the sample: 4 plants for the Gate bed and 2 for the pots, both on the same day."""
    (task,) = [one for one in tasks(plan) if one.kind == "buy"]
    assert task.title == "Buy 6 Cherry tomato plants" and task.size == 6
    assert "6 plants, to be planted out Sun 1 November: 4 to Gate bed" in task.details
    assert "2 to Step pots" in task.details
    assert task.details.count("Choose") == 1
    assert "in when frost is forecast" in task.details  # tender, as the sample has it


@pytest.mark.parametrize(
    ("changes", "day"),
    [
        # Of Saturdays the 31st is but a day before, the 24th more than a week: the usual day.
        ({"work_on": (5,)}, date(2026, 10, 28)),
        ({"work_on": (2, 5)}, date(2026, 10, 28)),  # Wednesday, four days before
        ({"never_on": (2,)}, date(2026, 10, 27)),  # not on a Wednesday: on the day next to it
        ({"away": ((date(2026, 10, 20), date(2026, 10, 29)),)}, date(2026, 10, 30)),
        ({"away": ((date(2026, 10, 20), date(2026, 10, 31)),)}, date(2026, 11, 1)),
        ({"start": date(2026, 10, 30)}, date(2026, 10, 30)),
    ],
)
def test_it_is_bought_on_a_day_somebody_is_there(plan, changes, day):
    assert job_of(with_site(plan, **changes), f"{TOMATO}-1:buy").day == day


def test_what_is_bought_on_the_day_is_not_kept(plan):
    away = ((date(2026, 10, 20), date(2026, 10, 31)),)
    assert "Keep them" not in job_of(with_site(plan, away=away), f"{TOMATO}-1:buy").details


def test_a_planting_day_of_ones_own_is_not_moved_to_a_working_day(plan):
    """1 November is a Sunday, and work is done on Mondays: a seedling's would wait for one."""
    mondays = with_site(plan, work_on=(0,))
    assert job_of(mondays, f"{TOMATO}-1:plant-out").day == date(2026, 11, 1)


def test_the_list_is_of_plants_by_day(plan):
    (need,) = plants_to_buy(plan)
    assert (need.crop, need.out, need.plants) == (TOMATO, date(2026, 11, 1), 6)
    assert need.number == "6 plants"
    assert TOMATO not in {need.crop for need in seed_needs(plan)}
    assert not plants_to_buy(with_site(plan, start=date(2026, 11, 2)))


def test_it_takes_no_cells(plan):
    alone = tuple(p for p in plan.plantings if p.bought)
    assert alone and {use.most for use in tray_use(dataclasses.replace(plan, plantings=alone))} == {
        0
    }


def test_done_and_not_yet_planted(plan):
    entry = entry_for(f"{TOMATO}-1:buy", date(2026, 10, 27))
    assert str(entry) == f"2026-10-27 bought {TOMATO}-1"
    assert [e.told for e in read_entries(f"{entry}  # from the market", "d.txt")[0]] == [entry.told]
    left = {one.id for task in undone(plan, [entry]) for one in task.jobs}
    assert f"{TOMATO}-1:buy" not in left and f"{TOMATO}-1:plant-out" in left
    assert f"{TOMATO}-2:buy" in left
    for what in ("planted", "lost"):  # then it was bought, too
        number = 1 if what == "lost" else None
        some = [Entry(date(2026, 11, 1) + timedelta(days=1), what, f"{TOMATO}-1", number)]
        assert f"{TOMATO}-1:buy" not in {one.id for task in undone(plan, some) for one in task.jobs}
