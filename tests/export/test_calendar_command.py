"""``sowplan calendar``: the calendar of a plan again."""

from __future__ import annotations

import dataclasses
import json

import pytest
from typer.testing import CliRunner

from sowplan.cli import app
from sowplan.export.calendar import calendar
from sowplan.export.folder import write_folder
from sowplan.export.outputs import MARK, OUTPUTS

ONLY_PLAN = [output for output in OUTPUTS if output.name == MARK]


@pytest.fixture
def folder(sample_plan, tmp_path):
    assert write_folder(sample_plan, tmp_path / "plan", ONLY_PLAN) == []
    return tmp_path / "plan"


def run(*arguments: object):
    return CliRunner().invoke(app, ["calendar", *map(str, arguments)])


def test_into_the_plan_folder_or_elsewhere(sample_plan, folder, tmp_path):
    done = run(folder)
    assert done.exit_code == 0 and "season.ics" in done.output
    assert (folder / "season.ics").read_bytes() == calendar(sample_plan)
    assert run(folder / MARK, "--out", tmp_path / "x.ics").exit_code == 0
    assert (tmp_path / "x.ics").read_bytes() == calendar(sample_plan)


def test_to_the_screen_and_as_json(sample_plan, folder):
    assert run(folder, "--out", "-").stdout_bytes == calendar(sample_plan)
    told = json.loads(run(folder, "--json").output)
    assert told["events"] == calendar(sample_plan).count(b"BEGIN:VEVENT")


def test_against_an_earlier_plan(sample_plan, folder, tmp_path):
    later = dataclasses.replace(sample_plan, plantings=sample_plan.plantings[1:])
    assert write_folder(later, tmp_path / "later", ONLY_PLAN) == []
    done = run(tmp_path / "later", "--before", folder, "--out", "-")
    assert done.stdout_bytes == calendar(later, before=sample_plan)


def test_problems_leave_with_their_class(folder, tmp_path):
    assert run(folder, "--out", tmp_path / "no" / "x.ics").exit_code == 6  # unwritable
    assert run(tmp_path / "nowhere").exit_code == 3  # unreadable
    (tmp_path / MARK).write_text('{"version": 99}', encoding="utf-8")
    wrong = run(tmp_path)
    assert wrong.exit_code == 3 and "99" in wrong.stderr
    assert {path.name for path in tmp_path.iterdir()} == {"plan", MARK}


def test_harvests_ring_where_it_is_asked_for(sample_plan, folder):
    asked = run(folder, "--ring-harvests", "--out", "-").stdout_bytes
    assert asked == calendar(sample_plan, ring_harvests=True)
    assert asked.count(b"BEGIN:VALARM") > calendar(sample_plan).count(b"BEGIN:VALARM")
