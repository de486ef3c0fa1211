"""A fair share: no want goes without while others are met in full."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from gardens import garden_of
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Bed, Season, Tray, Want, Where
from sowplan.season.bound.model import relax
from sowplan.season.choices.instance import CropCase, Instance, Options, Periods, Spot
from sowplan.season.fairness import STEPS, steps_of, weighed
from sowplan.season.planner import make_plan
from sowplan.season.search.search import Search


def crop(key, room, weeks=10, weight=1.0, wants=1):
    """Return a crop wanted one plant a week, fit for a week, each plant six weeks in the bed."""
    start = 42 + 7 * np.arange(weeks)
    periods = Periods(
        start, start + 6, np.ones(weeks), np.full(weeks, weight), np.arange(weeks) % wants
    )
    sow = 7 * np.arange(weeks)
    none = np.full(weeks, -1)
    options = Options(
        sow, sow, sow + 49, 0 * sow, none, sow, none, np.arange(weeks), sow + 42, sow + 48,
        sow + 48, np.ones(weeks),
    )  # fmt: skip
    return CropCase(key, 0, 0, 1.0, periods, options, {0: np.arange(3) * room})


def shares_met(cases, size):
    instance = Instance(180, (Spot("Bed", 0, size, True),), (), cases)
    search = Search(instance, relax(instance))
    search.run(1500)
    return [
        1.0 - search.standing.missing(n) / float((c.periods.need * c.periods.weight).sum())
        for n, c in enumerate(cases)
    ]


def test_a_bulky_want_is_not_given_up_for_small_ones():
    # Seven weeks stand at once: small ones alone would take 7 * 2 * 4 = 56 of 60 units.
    cases = tuple(crop(f"small-{n}", 2) for n in range(4)) + (crop("bulky", 20),)
    met = shares_met(cases, 60)
    # A fifth of the bulky one costs what two fifths of all the small ones would.
    assert met[4] >= 0.2 - 1e-9
    assert min(met[:4]) >= 0.25


def test_room_for_all_is_used_for_all():
    cases = (crop("small", 2), crop("bulky", 6))
    assert shares_met(cases, 56) == pytest.approx([1.0, 1.0])


def test_priorities_multiply():
    cases = (crop("plain", 10), crop("dear", 10, weight=8.0))
    plain, dear = shares_met(cases, 70)
    assert dear > plain


def test_steps_add_up_and_grow():
    assert sum(size for size, _ in steps_of(12.0)) == pytest.approx(12.0)
    counts = [counts for _, counts in STEPS]
    assert counts == sorted(counts) and counts[0] == 1.0
    # 0.25 * (1 + 2 + 4 + 16), by hand
    assert weighed(1.0, 1.0)[0] == pytest.approx(5.75)
    assert weighed(0.3, 1.0) == (pytest.approx(0.25 + 0.05 * 2), 2.0)


def test_two_wants_of_one_crop_are_felt_each():
    case = crop("split", 1, wants=2)
    instance = Instance(180, (Spot("Bed", 0, 1, True),), (), (case,))
    search = Search(instance, relax(instance))
    # Nothing sown: both wants of five weeks lack all of it.
    assert search.standing.score().felt == pytest.approx(2 * 5 * 5.75)


def test_every_want_of_an_overfull_garden_gets_something():
    """With little work, so that it is not the long search alone that sees to it."""
    at = Where("garden.toml", "[[want]] 1", 1)
    first, last = date(2026, 12, 1), date(2027, 4, 30)
    wants = [
        ("lettuce-butterhead", 3, "head"), ("cabbage-summer", 2, "head"), ("rocket", 1, "bunch"),
        ("radish", 1, "bunch"), ("mizuna", 1, "bunch"), ("beetroot", 1, "bunch"),
    ]  # fmt: skip
    garden = garden_of(
        season=Season(date(2026, 9, 1), date(2027, 4, 30), (5,)),
        beds=(Bed("Only", 3.2, 0.9, 0.4, at),),
        trays=(Tray("Shelf", 60, at, 18.0, 14.0, 180.0),),
        wants=tuple(Want(key, n, unit, 7, first, last, at) for key, n, unit in wants),
    )
    plan, problems = make_plan(garden, read_crops()[0], effort=0.1)
    assert problems == []
    for number in range(len(wants)):
        mine = [w for w in plan.wants if w.want == number]
        assert sum(w.met / w.wanted for w in mine) / len(mine) > 0.15, wants[number]
    # The share that is told stays the plain one.
    plain = sum(1 - w.met / w.wanted for w in plan.wants) / len(plan.wants)
    assert plan.quality.missing_share == pytest.approx(plain, abs=1e-6)
    assert plan.quality.missing_share_bound <= plan.quality.missing_share
    richer = replace(garden, wants=tuple(replace(w, priority=2.0) for w in garden.wants))
    dearer, _ = make_plan(richer, read_crops()[0], effort=0.1)
    assert dearer.quality.missing_share == pytest.approx(plan.quality.missing_share, abs=0.05)
