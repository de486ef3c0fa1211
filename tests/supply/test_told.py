"""What is due goes by the diary at once: what was not sown, lost or cleared has nothing to do."""

from __future__ import annotations

import json
import shlex
from collections import defaultdict
from datetime import date, timedelta
from pathlib import Path

import pytest
from typer.testing import CliRunner

from sowplan.cli import app
from sowplan.commands import today
from sowplan.export.folder import write_folder
from sowplan.export.page.data import page_data
from sowplan.records.diary import Entry, read_diary
from sowplan.season.archive import from_json, to_json
from sowplan.supply.tasks import tasks
from sowplan.supply.told import as_it_stands, told_by
from sowplan.supply.undone import undone
from sowplan.supply.water import water

DAY = timedelta(days=1)


def jobs_of(found):
    return {job.id: job for task in found for job in task.jobs}


def taken(found):
    """Return by planting what is brought in of it, by job."""
    much = defaultdict(dict)
    for name, job in jobs_of(found).items():
        for planting, amount in job.takes:
            much[planting][name] = amount
    return much


def test_of_what_was_not_sown_nothing_is_to_be_done_and_all_else_as_planned(sample_plan):
    plain, all_taken = jobs_of(tasks(sample_plan)), taken(tasks(sample_plan))
    for p in sample_plan.plantings:
        left = undone(sample_plan, [Entry(p.sow, "skipped", p.id)])
        jobs, much = jobs_of(left), taken(left)
        assert p.id not in much and not any(job.planting == p.id for job in jobs.values())
        assert much == {name: mine for name, mine in all_taken.items() if name != p.id}
        for name, job in jobs.items():
            assert (job.day, job.kind) == (plain[name].day, plain[name].kind)
        gone = {name for name in plain if name not in jobs}
        for name in gone:
            assert {plain[name].planting, *dict(plain[name].takes)} - {""} == {p.id}


def test_what_was_lost_is_neither_planted_out_nor_brought_in(sample_plan):
    """The first harvests have all they were to have, and together there is what is left."""
    plain, all_taken = jobs_of(tasks(sample_plan)), taken(tasks(sample_plan))
    for p in sample_plan.plantings:
        many = p.plants // 2
        if not many:
            continue
        left = undone(sample_plan, [Entry(p.sow + DAY, "lost", p.id, many)])
        jobs, much = jobs_of(left), taken(left)
        out = jobs.get(f"{p.id}:plant-out")
        if out is not None:
            assert out.size == p.plants - many
            assert out.title.startswith(f"Plant out {p.plants - many} ")
        assert much.keys() | {p.id} == all_taken.keys() | {p.id}
        before = sum(all_taken[p.id].values())
        fit = sum(lot.amount for lot in p.lots) * (p.plants - many) / p.plants
        crop = sample_plan.crop(p.crop)
        told_alike = all(jobs[name].unit == crop.harvest_unit for name in much[p.id])
        if told_alike and len(p.lots) == 1:
            assert sum(much[p.id].values()) == pytest.approx(min(before, fit), abs=1e-6)
        if len(p.lots) == 1:
            mine = all_taken[p.id]
            days = sorted((plain[name].day, name) for name in mine)
            full = [much[p.id].get(name, 0.0) >= mine[name] - 1e-6 for _, name in days]
            assert full == sorted(full, reverse=True)


def test_a_loss_leaves_what_was_done_before_it_as_it_was(sample_plan):
    """Six were planted out, whatever a slug took of them a month later."""
    plain = jobs_of(tasks(sample_plan))
    raised = [p for p in sample_plan.plantings if p.planting_out is not None and p.plants > 3]
    assert raised
    for p in raised:
        out = plain[f"{p.id}:plant-out"]
        left = jobs_of(undone(sample_plan, [Entry(out.day + DAY, "lost", p.id, p.plants - 2)]))
        mine = {
            name for name, job in left.items() if job.planting == p.id and job.kind != "harvest"
        }
        for name in mine:
            if left[name].day <= out.day and left[name].kind not in ("protect", "clear"):
                assert left[name] == plain[name]
        assert left[out.id].title.startswith(f"Plant out {p.plants} ") and left[out.id] == out
        # Between two losses stands what the first left: one of them in the tray, the other later.
        twice = [
            Entry(out.day - DAY, "lost", p.id, 1),
            Entry(out.day + DAY, "lost", p.id, 1),
        ]
        if out.day - DAY <= p.sow:
            continue
        left = jobs_of(undone(sample_plan, twice))
        assert left[out.id].size == p.plants - 1
        assert left[out.id].title.startswith(f"Plant out {p.plants - 1} ")


def test_a_revised_plan_remembers_how_many_there_were(sample_plan):
    """Its jobs before the loss are those of the plan before; what is left is harvested after it."""
    plain = jobs_of(tasks(sample_plan))
    for p in sample_plan.plantings:
        if p.planting_out is None or p.plants < 2:
            continue
        out = plain[f"{p.id}:plant-out"]
        told = told_by(sample_plan, [Entry(out.day + DAY, "lost", p.id, p.plants - 1)])
        assert next(q.plants for q in told.plan.plantings if q.id == p.id) == 1
        revised = from_json(to_json(told.plan))
        assert revised == told.plan
        now = jobs_of(tasks(revised))
        assert now[out.id] == out and now[f"{p.id}:sow"] == plain[f"{p.id}:sow"]


def test_what_is_lost_whole_has_no_job_any_more(sample_plan):
    for p in sample_plan.plantings:
        left = undone(sample_plan, [Entry(p.sow + DAY, "lost", p.id, p.plants)])
        assert p.id not in taken(left)
        assert not any(job.planting == p.id for job in jobs_of(left).values())


def test_nothing_is_brought_in_of_what_is_cleared(sample_plan):
    for p in sample_plan.plantings:
        day = p.harvest_start + DAY
        left = undone(sample_plan, [Entry(day, "cleared", p.id)])
        for name in taken(left)[p.id]:
            job = jobs_of(left)[name]
            assert job.day <= day
            if len(job.takes) == 1:
                assert job.until <= max(day, job.day)


def test_a_harvest_may_be_entered_by_its_sowing(sample_plan):
    """``harvested radish-2`` by hand is the harvest of that sowing nearest to the day."""
    for job in jobs_of(tasks(sample_plan)).values():
        if job.kind != "harvest":
            continue
        names = [name for name, _ in job.takes]
        entries = [Entry(job.day, "harvested", name, 2) for name in names]
        others = [one for one in jobs_of(tasks(sample_plan)).values() if one.kind == "harvest"]
        alone = [o for o in others if o.day <= job.day <= o.until and set(names) & {*dict(o.takes)}]
        if alone == [job]:
            assert job.id not in jobs_of(undone(sample_plan, entries))
            assert job.id in jobs_of(undone(sample_plan, entries[1:]))
        far = [Entry(date(2028, 1, 1), "harvested", name) for name in names]
        assert jobs_of(undone(sample_plan, far)) == jobs_of(tasks(sample_plan))


@pytest.fixture
def run(sample_plan, tmp_path, monkeypatch):
    """Return a function that runs a command line where the plan is, on a day."""
    assert write_folder(sample_plan, tmp_path / "plan") == []
    monkeypatch.chdir(tmp_path)

    def line(words: str, day: date):
        monkeypatch.setattr(today, "today_in", lambda plan: day)
        return CliRunner().invoke(app, shlex.split(words))

    return line


def test_all_enters_nothing_of_a_sowing_never_made(run, sample_plan):
    plan = sample_plan
    job = next(
        job
        for task in tasks(plan)
        for job in task.jobs
        if job.kind == "harvest" and len(job.takes) == 1
    )
    ((name, _),) = job.takes
    p = next(p for p in plan.plantings if p.id == name)
    assert run(f"done --skipped {name}", p.sow).exit_code == 0
    told = run("due plan --ids", job.day).output
    assert job.id not in told
    run("done --all", job.day)
    (diary,) = [path.read_text(encoding="utf-8") for path in Path("plan").glob("diary-*.txt")]
    assert job.id not in diary
    refused = run(f"done {job.id}", job.day)
    assert refused.exit_code != 0 and "not sown, by the diary" in " ".join(refused.stderr.split())


def test_what_is_gone_drinks_no_more(sample_plan):
    """From the day it was lost; of what was not sown nothing at all, and of the others the same."""
    litres = {one.place.name: one for one in water(sample_plan)}
    outdoors = [p for p in sample_plan.plantings if p.place in litres]
    for p in outdoors:
        into = p.planting_out or p.sow
        for entry in (
            Entry(p.sow, "skipped", p.id),
            Entry(into + 14 * DAY, "lost", p.id, p.plants),
        ):
            now = {one.place.name: one for one in water(as_it_stands(sample_plan, [entry]))}
            gone = p.sow if entry.what == "skipped" else entry.day
            for name, one in now.items():
                if name == p.place:
                    assert (
                        one.between(into, p.cleared)[0] < litres[name].between(into, p.cleared)[0]
                    )
                    before = min(into, gone) - 7 * DAY
                    was = litres[name].between(sample_plan.site.start, before)
                    assert one.between(sample_plan.site.start, before) == pytest.approx(was)
                else:
                    assert one == litres[name]


def test_where_nothing_changes_what_drinks_is_the_plan_itself(sample_plan):
    first = sample_plan.plantings[0]
    assert as_it_stands(sample_plan, []) is sample_plan
    assert as_it_stands(sample_plan, [Entry(first.sow, "sown", first.id)]) is sample_plan


def test_due_and_page_ask_for_no_water_for_what_is_lost(sample_plan, tmp_path):
    """With all lost there is nothing to water: neither today nor on the page."""
    assert write_folder(sample_plan, tmp_path / "plan") == []
    lost = "".join(f"{p.sow + DAY} lost {p.id} {p.plants}\n" for p in sample_plan.plantings)
    on = max(p.planting_out or p.sow for p in sample_plan.plantings) + 21 * DAY
    args = ["due", str(tmp_path / "plan"), "--on", str(on)]
    assert "Water this week" in CliRunner().invoke(app, args).stdout
    diary = tmp_path / "plan" / f"diary-{sample_plan.site.start}.txt"
    diary.write_text(lost, encoding="utf-8")
    told = CliRunner().invoke(app, args)
    assert told.exit_code == 0 and "Water this week" not in told.stdout
    entries, problems = read_diary(diary)
    assert problems == []
    week = (on - sample_plan.site.start).days // 7
    asked, asks = (
        json.loads(page_data(sample_plan, 2.0, diary))["water"][week:] for diary in ((), entries)
    )
    assert any(asked) and not any(asks)
