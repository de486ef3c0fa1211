"""What is due on a day: every task is found on each of its days, in one list and no other."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date, timedelta

from typer.testing import CliRunner

from sowplan.cli import app
from sowplan.commands.due import away_told
from sowplan.export.folder import write_folder
from sowplan.supply.due import due
from sowplan.supply.tasks import Task, tasks


def job(kind: str, day: str, until: str | None = None) -> Task:
    first = date.fromisoformat(day)
    last = date.fromisoformat(until) if until else first
    return Task(f"{kind} {day}", kind, first, last, "p", "radish", "Bed", f"{kind} it", "Do it.")


def test_lists_by_hand():
    jobs = (
        job("clear", "2026-10-20"),
        job("sow", "2026-11-01"),
        job("harvest", "2026-11-01", "2026-11-02"),
        job("harvest", "2026-11-01", "2026-11-09"),
        job("harden off", "2026-11-03", "2026-11-08"),
        job("sow", "2026-11-05"),
        job("thin", "2026-11-12"),
        job("sow", "2026-11-13"),
    )
    found = due(jobs, date(2026, 11, 5), 7)
    assert [t.id for t in found.today] == ["harden off 2026-11-03", "sow 2026-11-05"]
    assert [t.until.day for t in found.open] == [9]
    assert [t.id for t in found.lately] == ["sow 2026-11-01"]  # the past harvest is past
    assert [t.id for t in found.soon] == ["thin 2026-11-12"]
    assert found.next.id == "sow 2026-11-13"


def test_no_task_is_ever_lost_or_told_twice(sample_plan):
    every = tasks(sample_plan)
    day = sample_plan.site.start
    while day <= sample_plan.site.end:
        found = due(every, day, 7)
        told = [t.id for t in (*found.lately, *found.today, *found.open, *found.soon)]
        assert len(told) == len(set(told))
        assert {t.id for t in every if t.day <= day <= t.until} == {
            t.id for t in (*found.today, *found.open)
        }
        day += timedelta(days=5)


def test_the_command(sample_plan, tmp_path):
    assert write_folder(sample_plan, tmp_path / "plan") == []
    run = CliRunner().invoke
    done = run(app, ["due", str(tmp_path / "plan"), "--on", "2026-11-05"])
    assert done.exit_code == 0
    assert "Quince Yard, Thu 5 November 2026" in done.output
    assert "Sow Dwarf French bean: Gate bed, 125-200 cm" in done.output
    assert "\nWater this week\n  About " in done.output
    assert "\x1b" not in done.output  # no colours in a pipe
    to_copy = "  sowplan "  # is not broken, however long the folder's name
    assert max(len(s) for s in done.output.splitlines() if not s.startswith(to_copy)) <= 80
    assert not any(line.endswith(" ") for line in done.output.splitlines())

    told = json.loads(
        run(app, ["due", str(tmp_path / "plan"), "--on", "2026-11-05", "--json"]).output
    )
    assert told["on"] == "2026-11-05"
    assert "dwarf-bean-2:sow" in {t["id"] for t in told["today"]}
    assert all(t["day"] > "2026-11-05" for t in told["soon"])


def test_days_away_are_told_while_they_last_and_when_they_are_near(sample_plan):
    gone = ((date(2026, 11, 5), date(2026, 11, 25)),)
    plan = replace(sample_plan, site=replace(sample_plan.site, away=gone))
    told = {d: away_told(plan, date(2026, *d), 7) for d in ((10, 28), (10, 29), (11, 25), (11, 26))}
    assert told[10, 29] == told[11, 25] == ["Away 5 to 25 November."]
    assert told[10, 28] == told[11, 26] == []


def test_after_the_season_and_without_a_plan(sample_plan, tmp_path):
    assert write_folder(sample_plan, tmp_path / "plan") == []
    run = CliRunner().invoke
    done = run(app, ["due", str(tmp_path / "plan"), "--on", "2028-01-01"])
    assert done.output.count("Nothing new today.") == 1 and "ends here" in done.output
    assert "sowplan new next.toml --after GARDEN --plan " in done.output
    assert "Water" not in done.output
    early = run(app, ["due", str(tmp_path / "plan"), "--on", "2026-01-01"])
    assert "Next: Tue 1 September 2026" in early.output
    (tmp_path / "other").mkdir()
    for wrong in ("other", "nowhere"):
        done = run(app, ["due", str(tmp_path / wrong)])
        assert done.exit_code == 3  # unreadable
        assert wrong in done.stderr and done.stdout == ""
    assert run(app, ["due", str(tmp_path / "plan"), "--on", "5 Nov"]).exit_code == 2
