"""Who does all that is told, day by day, has what was planned: the diary takes nothing of it."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from gardens import YEAR
from sowplan.records.diary import Entry, entry_for
from sowplan.records.garden_file.read import read_garden_text
from sowplan.season.planner import make_plan
from sowplan.season.revise.again import revise
from sowplan.season.revise.happened import happened_to
from sowplan.supply.entering import done_by

DAY = timedelta(days=1)
GARDEN = (
    YEAR
    + """\
sow_on = ["Wednesday", "Saturday"]
away = [[2027-01-08, 2027-01-29]]
[[bed]]
name = "Long"
length = "3 m"
width = "1 m"
depth = "30 cm"
[[tray]]
name = "Shelf"
cells = 40
[[want]]
crop = "radish"
amount = 1
per = "fortnight"
from = 2026-11-10
to = 2027-04-20
[[want]]
crop = "lettuce-butterhead"
amount = 2
per = "week"
from = 2026-12-01
to = 2027-04-20
"""
)


@pytest.fixture(scope="module")
def season():
    reading = read_garden_text(GARDEN, "garden.toml")
    assert reading.problems == ()
    plan, problems = make_plan(reading.garden, reading.crops, effort=0.2)
    assert problems == [] and plan.quality.missing_share < 0.2
    return reading.garden, reading.crops, plan


def followed(plan, last):
    """Return the diary of one who does every job on its day, up to a last one."""
    return [entry_for(job.id, day) for job, day in done_by(plan, (), plan.site.start, last)]


def test_doing_as_told_loses_no_harvest(season):
    """Harvested and cleared on one day among them: that is what the jobs often say."""
    garden, crops, plan = season
    clearings = {p.id: None for p in plan.plantings}
    for job, day in done_by(plan, (), plan.site.start, plan.site.end):
        if job.kind == "clear":
            clearings[job.planting] = day
    same = [p for p in plan.plantings if clearings[p.id] == p.harvest_start]
    met = {(w.want, w.start): w.met for w in plan.wants}
    days = [p.harvest_start + DAY for p in same]
    days += [p.cleared for p in plan.plantings if p.crop == "lettuce-butterhead"][1:3]
    assert len(days) > 2
    for today in days:
        new, gone, problems = revise(
            plan, garden, crops, today, followed(plan, today - DAY), effort=0.1
        )
        assert problems == [] and gone == []
        for w in new.wants:
            if w.start < today:
                assert w.met >= met[w.want, w.start] - 1e-6, (today, w)


def test_what_was_brought_in_before_its_forecast_was_had(season):
    """The diary knows better than the forecast, whichever way it names the harvest."""
    garden, crops, plan = season
    p = next(p for p in plan.plantings if p.crop == "radish")
    day = p.harvest_start - 4 * DAY
    (first, *_) = [w for w in plan.wants if any(name == p.id for name, _ in w.served_by)]
    start = (first.start - plan.site.start).days + 1
    for about in (p.id, f"radish:harvest-{start}", f"radish:harvest-{start}-2"):
        entries = [Entry(day, "harvested", about), Entry(day, "cleared", p.id)]
        new, gone, problems = revise(plan, garden, crops, day + DAY, entries, effort=0.1)
        assert problems == [] and gone == []
        now = next(q for q in new.plantings if q.id == p.id)
        assert now.cleared == day and [lot.ready for lot in now.lots] == [day]
        again = next(w for w in new.wants if (w.want, w.start) == (first.want, first.start))
        assert again.met == pytest.approx(first.met)
    _, gone, _ = revise(plan, garden, crops, day + DAY, [Entry(day, "cleared", p.id)], effort=0.1)
    assert [one.planting.id for one in gone] == [p.id]  # nothing was brought in


def test_a_harvest_is_of_the_plantings_that_serve_its_period(season):
    _, _, plan = season
    want = next(w for w in plan.wants if len(w.served_by) > 1)
    day = (want.start - plan.site.start).days + 1
    entry = Entry(want.start, "harvested", f"{want.crop}:harvest-{day}", 1)
    happened, problems = happened_to([entry], plan, "", want.start)
    assert problems == []
    assert {name for name, told in happened.items() if told.harvested == (want.start,)} == {
        name for name, _ in want.served_by
    }
    assert happened_to([replace(entry, about="kale:harvest-1")], plan, "", want.start)[1]
