"""What is due is entered as it is told: a day's jobs at once, some by their ids, none twice."""

import json
import shlex
from datetime import date, timedelta
from pathlib import Path

import pytest
from typer.testing import CliRunner

from sowplan.cli import app
from sowplan.commands import today
from sowplan.export.folder import write_folder
from sowplan.problem import Exit
from sowplan.records.diary import diary_path, entry_for, read_diary
from sowplan.supply.entering import PASSES, done_by, to_enter
from sowplan.supply.tasks import tasks
from sowplan.supply.undone import undone

DAY = date(2026, 11, 5)
WEEK = timedelta(days=7)
ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def run(sample_plan, tmp_path, monkeypatch):
    """Return a function that runs a command line where the plan is, on `DAY`."""
    assert write_folder(sample_plan, tmp_path / "plan") == []
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(today, "today_in", lambda plan: DAY)
    return lambda line: CliRunner().invoke(app, shlex.split(line))


def entered(plan):
    entries, problems = read_diary(diary_path("plan", plan.site.start))
    assert problems == []
    return entries


def of_days(plan, first, last):
    """Return what is to be entered of some days, by the plan's tasks one by one."""
    return {
        entry_for(job.id, day).told
        for task in tasks(plan)
        for job in task.jobs
        for day in [job.until if job.kind == "harden off" else job.day]
        if first <= day <= last and job.kind not in PASSES
    }


def test_a_day_is_entered_at_once_and_once(run, sample_plan):
    assert of_days(sample_plan, DAY, DAY)
    told = run("due plan").output
    assert told.splitlines()[-2:] == ["  sowplan done --all", "  sowplan done ID ID"]
    assert run("done --all").exit_code == 0
    assert {entry.told for entry in entered(sample_plan)} == of_days(sample_plan, DAY, DAY)
    again = run("done --all")
    assert again.exit_code == 0 and "nothing left to enter" in again.output
    assert len(entered(sample_plan)) == len(of_days(sample_plan, DAY, DAY))
    after = run("due plan").output
    assert "sowplan done" not in after and "Harvest" not in after.split("In the next")[0]


def test_a_day_is_taken_back_at_once(run, sample_plan):
    before = DAY - timedelta(days=1)
    assert run(f"done --all --on {before} --since {DAY - WEEK}").exit_code == 0
    kept = entered(sample_plan)
    lost = next(p.id for p in sample_plan.plantings if p.sow < before and p.plants > 1)
    assert run(f"done --all --lost {lost}=1").exit_code == 0
    assert len(entered(sample_plan)) > len(kept) + 1
    assert run("done --undo --all").exit_code == 0
    left = entered(sample_plan)
    assert [e.told for e in left if e.what != "lost"] == [e.told for e in kept]
    assert [(e.what, e.planting) for e in left if e.day == DAY] == [("lost", lost)]


def test_a_week_is_entered_each_job_on_its_own_day(run, sample_plan):
    assert run(f"done --all --since {DAY - WEEK}").exit_code == 0
    told = {entry.told for entry in entered(sample_plan)}
    assert told == of_days(sample_plan, DAY - WEEK, DAY)
    assert len({day for day, *_ in told}) > 1
    assert run(f"done --undo --all --since {DAY - WEEK}").exit_code == 0
    assert entered(sample_plan) == ()


def test_what_lies_ahead_or_makes_no_sense_is_refused(run, sample_plan):
    for line, why in (
        (f"done --all --on {DAY + WEEK}", "lies ahead"),
        (f"done --all --since {DAY + WEEK}", "this is after"),
        ("done kale-1:sow --since 2026-11-01", "--all"),
        ("done --undo --all kale-1:sow", "Nothing but IDs"),
        ("done --undo --on 2026-11-01", "Nothing but IDs"),
        ("done --undo --all", "nothing in the diary"),
    ):
        refused = run(line)
        assert refused.exit_code != 0 and why in " ".join(refused.stderr.split()), line
    assert entered(sample_plan) == ()
    assert "sowplan done" not in run(f"due plan --on {DAY + WEEK}").output


def test_ids_enter_what_they_stand_beside_and_no_more(run, sample_plan):
    """Of every day's tasks, with some of their jobs done before as well."""
    first = tuple(entry_for(task.jobs[0].id, task.day) for task in tasks(sample_plan)[::2])
    for entries in ((), first):
        for task in undone(sample_plan, entries):
            words = [word for word in to_enter(sample_plan, task) if word != "--only"]
            alone = len(words) < len(to_enter(sample_plan, task))
            whole = {one.id: one for one in tasks(sample_plan)}
            meant = words if alone else [job.id for job in whole[words[0]].jobs]
            assert sorted(meant) == sorted(job.id for job in task.jobs)


def test_due_shows_the_ids_where_asked_and_in_json(run, sample_plan):
    found = json.loads(run("due plan --json").output)["today"]
    plain, shown = run("due plan").output, run("due plan --ids").output
    for task in found:
        assert task["enter"] and set(task) >= {"id", "parts", "title", "details"}
        if task["kind"] not in PASSES:
            assert f"\n    {task['enter'][0]}" in shown
    assert len(plain.splitlines()) < len(shown.splitlines())
    some = next(task for task in found if task["kind"] not in PASSES)
    assert run(f"done {' '.join(some['enter'])}").exit_code == 0
    ids = {part["id"] for part in some["parts"]} or {some["id"]}
    assert {entry.told for entry in entered(sample_plan)} == {
        entry_for(name, DAY).told for name in ids
    }


def test_hardening_off_is_entered_when_it_is_over(sample_plan):
    for task in tasks(sample_plan):
        for job in task.jobs if task.kind == "harden off" else ():
            days = [day for one, day in done_by(sample_plan, (), job.day, job.until) if one == job]
            assert days == [job.until]


def test_the_page_in_the_folder_goes_by_the_diary(run, sample_plan):
    def told():
        data = Path("plan/page.html").read_text(encoding="utf-8").split('id="plan">')[1]
        return json.loads(data.split("</script>")[0])["told"]

    assert told() == {}
    assert run("done --all").exit_code == 0
    day = (DAY - sample_plan.site.start).days
    whole = {task.id for task in tasks(sample_plan) if task.day == DAY == task.until}
    assert whole and {name: told().get(name) for name in whole} == dict.fromkeys(whole, day)
    by_done = Path("plan/page.html").read_bytes()
    assert run("page plan").exit_code == 0 and Path("plan/page.html").read_bytes() == by_done
    assert run("done --undo --all").exit_code == 0
    assert told() == {}
    Path("plan/page.html").unlink()
    assert run("done --all").exit_code == 0 and not Path("plan/page.html").exists()


def test_which_job_of_a_crop_is_asked_with_the_nearest_first(run, sample_plan):
    """Five of them, each with its day, of those still to be done; the rest as a number."""
    mine = {}
    for task in tasks(sample_plan):
        for job in task.jobs:
            mine.setdefault(job.crop, {})[job.id] = job.day
    crop = max(mine, key=lambda key: len(mine[key]))
    days = mine[crop]

    def told(line):
        result = run(line)
        assert result.exit_code == Exit.WRONG and len(result.output) < 600
        listed = result.output.split("first: ")[1]
        return [name.split(" (")[0] for name in listed.split("; ")[:5]], listed

    names, listed = told(f"done {crop}")
    away = [abs(days[name] - DAY) for name in names]
    assert away == sorted(away) and f"{len(days) - 5} more are farther off" in listed
    assert max(away) <= min(abs(days[name] - DAY) for name in days.keys() - {*names})
    assert all(f"{name} ({days[name].day} " in listed for name in names)
    assert run(f"done {names[0]}={min(days[names[0]], DAY)}").exit_code == 0
    assert names[0] not in told(f"done {crop}")[0]
    assert {name.split(":")[1].split("-")[0] for name in told(f"done --harvested {crop}=2")[0]} == {
        "harvest"
    }
    there = {p.id for p in sample_plan.plantings if p.crop == crop and p.sow <= DAY < p.cleared}
    sown = run(f"done --lost {crop}=2").output
    assert there and all(f"{name} (" in sown for name in sorted(there)[:4])


def test_all_that_is_wrong_with_a_diary_is_told_at_once_by_every_command(run, sample_plan):
    """Lines that cannot be read and entries that cannot be, each with its line and its text."""
    p = next(p for p in sample_plan.plantings if p.sow < DAY)
    slips = [
        f"{DAY} sown nosuch-1",
        f"{DAY} eaten {p.id}",
        f"{DAY} lost {p.id} {p.plants + 7}",
        f"{DAY + WEEK} harvested {p.id}",
        f"{DAY} sown {p.crop}",  # a crop is no sowing
        f"{DAY} done {p.id}:thinn",
    ]
    path = diary_path("plan", sample_plan.site.start)
    path.write_text("\n".join(slips), encoding="utf-8")
    Path("garden.toml").write_text(Path(ROOT / "examples/courtyard/garden.toml").read_text())
    before = path.read_bytes()
    place = shlex.quote(p.place)
    lines = ("due plan", "done --all", f"bed plan {place}", "revise garden.toml", "print plan")
    for line in lines:
        result = run(line)
        assert result.exit_code == Exit.WRONG
        told = result.output.splitlines()
        assert [words.split(": ")[0] for words in told] == [f"{path}:{n}" for n in range(1, 7)]
        found = [words.rpartition("found: ")[2].rstrip(")") for words in told]
        assert found == [slips[0], "eaten", *slips[2:5], f"{p.id}:thinn"]
        assert "Did you mean 'thin'?" in told[5]
        assert f"Write {p.plants} at most" in told[2] and "once it has happened" in told[3]
    assert path.read_bytes() == before
    # Next year's file knows no day to come: a season that is over has none.
    year_after = run("new next.toml --after garden.toml --plan plan")
    told = [words.split(": ")[0] for words in year_after.output.splitlines()]
    assert year_after.exit_code == Exit.WRONG and not Path("next.toml").exists()
    assert [line for line in told if line.startswith(str(path))] == [
        f"{path}:{n}" for n in (1, 2, 3, 5, 6)
    ]
    text = Path("garden.toml").read_text().replace("[season]", "[season]\nstrat = 2026-09-01")
    Path("garden.toml").write_text(text)
    both = run("new next.toml --after garden.toml --plan plan").output
    assert "strat" in both and all(f"{path}:{n}:" in both for n in (1, 2, 3, 5, 6))
    # What lies after the day that is asked about lies ahead, and no more.
    path.write_text(slips[3], encoding="utf-8")
    assert run("due plan").exit_code == Exit.WRONG
    assert run(f"due plan --on {DAY + WEEK}").exit_code == 0
    assert run("done --undo").exit_code == 0 and slips[3] not in path.read_text()


def test_a_plan_folder_that_is_not_there_is_told_with_the_place_looked_for(run, monkeypatch):
    Path("garden.toml").write_text(Path(ROOT / "examples/courtyard/garden.toml").read_text())
    (here := Path("elsewhere").absolute()).mkdir()
    monkeypatch.chdir(here)
    for line, right in (
        ("due plan", "in the folder where the command was called."),
        ("done --all", "Name it with --in FOLDER."),
        ("revise ../garden.toml", "Did you mean --out ../plan?"),
        ("revise ../garden.toml --out p", "Did you mean --out ../plan?"),
    ):
        result = run(line)
        assert result.exit_code == Exit.UNREADABLE
        name = "p" if line.endswith(" p") else "plan"
        assert f"looked for {here / name}." in result.output and right in result.output
