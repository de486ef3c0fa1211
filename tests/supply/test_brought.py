"""A harvest's amount is kept in the diary, and the gardener is told what is done with it."""

from __future__ import annotations

import shlex
from datetime import date

import pytest
from typer.testing import CliRunner

from sowplan.cli import app
from sowplan.commands import today
from sowplan.export.folder import write_folder
from sowplan.records.diary import Entry, diary_path, read_diary, read_entries
from sowplan.supply.brought import brought, brought_words
from sowplan.supply.tasks import tasks
from sowplan.supply.undone import undone

DAY = date(2027, 2, 20)


def harvests(plan):
    return [job for task in tasks(plan) for job in task.jobs if job.kind == "harvest"]


def test_beside_what_came_stands_what_was_planned(sample_plan):
    """Of a harvest its own share, of a sowing all its harvests, in the crop's own unit."""
    p = sample_plan.plantings[0]
    job = next(job for job in harvests(sample_plan) if job.crop == p.crop)
    unit = sample_plan.crop(p.crop).harvest_unit
    assert job.unit == unit
    lines = f"2026-12-05 harvested {p.id} 5\n2026-12-06 harvested {job.id} 2,5\n"
    entries, problems = read_entries(lines + f"2026-12-07 harvested {p.id}\n", "diary")
    assert problems == []
    whole, part = brought(sample_plan, entries)  # what was not counted is left out
    assert (whole.amount, whole.planned) == (5, pytest.approx(sum(x.amount for x in p.lots)))
    assert (part.amount, part.planned) == (2.5, pytest.approx(sum(n for _, n in job.takes)))
    assert {whole.unit, part.unit} == {unit}


def test_one_that_the_plan_knows_no_more_is_kept_all_the_same(sample_plan):
    crop = sample_plan.plantings[0].crop
    (one,) = brought(sample_plan, [Entry(DAY, "harvested", f"{crop}-99", 3)])
    assert one.planned is None and not one.is_far and one.amount == 3


def test_what_may_be_a_slip_is_asked(sample_plan):
    p = sample_plan.plantings[0]
    planned = sum(lot.amount for lot in p.lots)
    right, wrong = (Entry(DAY, "harvested", p.id, times * planned) for times in (1.5, 20))
    assert "Is this right?" not in brought_words(sample_plan, [right])
    told = brought_words(sample_plan, [right, wrong])
    assert "2 harvests" in told and told.count("Is this right?") == 1 and p.id in told
    assert brought_words(sample_plan, [Entry(DAY, "harvested", p.id)]) == ""


@pytest.fixture
def run(sample_plan, tmp_path, monkeypatch):
    assert write_folder(sample_plan, tmp_path / "plan") == []
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(today, "today_in", lambda plan: DAY)
    return lambda line: CliRunner().invoke(app, shlex.split(line))


def test_how_much_came_is_entered_and_read_again(run, sample_plan):
    job = next(job for job in harvests(sample_plan) if job.day < DAY)
    done = run(f"done --harvested {job.id}=3 --on {job.day}")
    assert done.exit_code == 0 and "kept in the diary" in " ".join(done.stdout.split())
    entries, problems = read_diary(diary_path("plan", sample_plan.site.start))
    assert problems == []
    assert [e.told for e in entries] == [(job.day, "harvested", job.id, 3)]
    assert job.id not in {one.id for task in undone(sample_plan, entries) for one in task.jobs}
    run(f"done --all --on {job.day}")  # it is not entered twice
    entries, _ = read_diary(diary_path("plan", sample_plan.site.start))
    assert [e.number for e in entries if e.about == job.id] == [3]


def test_what_is_no_harvest_has_no_amount(run, sample_plan):
    job = harvests(sample_plan)[0]
    p = sample_plan.plantings[0]
    for word, why in (
        (f"{p.id}:clear=3", "this is no harvest"),
        (f"{job.id}=many", "a number"),
        (f"{job.id}=0", "a number"),
        (f"{job.id}", "a number"),
        ("nothing:harvest-1=3", "no such job"),
    ):
        refused = run(f"done --harvested {word}")
        assert refused.exit_code != 0 and why in " ".join(refused.stderr.split()), word
    assert read_diary(diary_path("plan", sample_plan.site.start)) == ((), [])
