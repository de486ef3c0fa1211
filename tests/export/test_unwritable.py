"""A plan folder that cannot be written is told before the planning, and nothing is left of it."""

from __future__ import annotations

import os
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from typer.testing import CliRunner

from sowplan.cli import app
from sowplan.commands import today
from sowplan.export import folder as module
from sowplan.export.folder import cannot_write, write_folder
from sowplan.export.outputs import MARK, OUTPUTS
from sowplan.problem import Exit
from sowplan.records.diary import diary_path
from sowplan.records.garden_file import read_garden
from sowplan.season import planner
from sowplan.season.archive import write_plan

NORTHERN = Path(__file__).resolve().parents[2] / "examples/northern/garden.toml"
FEW = tuple(output for output in OUTPUTS if output.name in {MARK, "season.ics", "tasks.csv"})


@pytest.fixture
def no_planning(monkeypatch):
    """Let it be a failure that anything is planned."""

    def planned(*_, **__):
        raise AssertionError("a plan was made that cannot be kept")

    monkeypatch.setattr(planner, "make_plan", planned)


def plan_into(out: Path):
    return CliRunner().invoke(app, ["plan", str(NORTHERN), "--out", str(out)])


def tree(folder: Path) -> dict[str, bytes | None]:
    return {
        str(path.relative_to(folder)): path.read_bytes() if path.is_file() else None
        for path in sorted(folder.rglob("*"))
    }


def in_use(path: Path):
    """Return an ``os.rename`` that does as some systems do with a file open in another program."""
    real = os.rename

    def rename(source, goal):
        if Path(source) == path:
            raise PermissionError(13, "The file is in use", str(source))
        real(source, goal)

    return rename


def test_where_all_is_well_nothing_is_told_and_nothing_left(sample_plan, tmp_path):
    out = tmp_path / "new" / "below"
    assert cannot_write(out) == [] and tree(tmp_path) == {}
    assert write_folder(sample_plan, out, FEW) == []
    before = tree(tmp_path)
    assert cannot_write(out) == [] and tree(tmp_path) == before


@pytest.mark.parametrize(
    "there", ["plan", "plan/my notes.txt", "plan/plan.json"], ids=["a file", "others", "damaged"]
)
def test_somebody_elses_is_told_first(tmp_path, no_planning, there):
    path = tmp_path / there
    path.parent.mkdir(exist_ok=True)
    path.write_text("mine", encoding="utf-8")
    before = tree(tmp_path)
    result = plan_into(tmp_path / "plan")
    assert result.exit_code == Exit.UNWRITABLE and "--out" in result.stderr
    below = plan_into(path / "below")
    assert below.exit_code == Exit.UNWRITABLE and "nothing was changed" in below.stderr
    assert tree(tmp_path) == before


def test_a_folder_that_may_not_be_written_to_is_told_first(tmp_path, no_planning, monkeypatch):
    def mkdir(path, *_, **__):
        raise PermissionError(13, "Permission denied", str(path))

    monkeypatch.setattr(Path, "mkdir", mkdir)
    result = plan_into(tmp_path / "plan")
    assert result.exit_code == Exit.UNWRITABLE and "Permission denied" in result.stderr
    assert str(tmp_path / "plan") in result.stderr and ".part" not in result.stderr


def test_a_file_open_elsewhere_is_named_first(sample_plan, tmp_path, no_planning, monkeypatch):
    out = tmp_path / "plan"
    assert write_folder(sample_plan, out, FEW) == []
    (out / "print.pdf").write_bytes(b"%PDF")
    before = tree(tmp_path)
    monkeypatch.setattr(module.os, "rename", in_use(out / "print.pdf"))
    result = plan_into(out)
    assert result.exit_code == Exit.UNWRITABLE
    assert str(out / "print.pdf") in result.stderr and "close it" in result.stderr
    assert tree(tmp_path) == before


def test_a_folder_in_an_outputs_place_is_told_first(sample_plan, tmp_path, no_planning):
    out = tmp_path / "plan"
    assert write_folder(sample_plan, out, FEW) == []
    (out / "page.html").mkdir()
    result = plan_into(out)
    assert result.exit_code == Exit.UNWRITABLE and "page.html" in result.stderr


def test_a_season_under_way_is_not_planned_over(sample_plan, tmp_path, no_planning, monkeypatch):
    """Next year's plan put into this year's folder by a slip, while its diary is kept."""
    assert write_plan(sample_plan, tmp_path / MARK) == []
    monkeypatch.setattr(today, "today_in", lambda plan: sample_plan.site.end)
    with pytest.raises(AssertionError, match="cannot be kept"):  # no diary: nothing to lose
        raise plan_into(tmp_path).exception
    name = sample_plan.plantings[0].id
    diary = diary_path(tmp_path, sample_plan.site.start)
    diary.write_text(f"{sample_plan.plantings[0].sow} sown {name}\n", encoding="utf-8")
    before = tree(tmp_path)
    result = plan_into(tmp_path)
    assert result.exit_code == Exit.UNWRITABLE and "not over" in result.stderr
    assert sample_plan.site.name in result.stderr and tree(tmp_path) == before
    monkeypatch.setattr(today, "today_in", lambda plan: sample_plan.site.end + timedelta(days=1))
    with pytest.raises(AssertionError, match="cannot be kept"):  # over: the folder is free
        raise plan_into(tmp_path).exception


def test_a_revised_plan_with_a_diary_is_told_first(sample_plan, tmp_path, no_planning):
    garden = read_garden(NORTHERN).garden
    site = replace(
        sample_plan.site, name=garden.site.name, latitude=garden.site.latitude,
        longitude=garden.site.longitude, start=garden.season.start,
    )  # fmt: skip
    assert write_plan(replace(sample_plan, site=site, revision=1), tmp_path / MARK) == []
    diary = diary_path(tmp_path, garden.season.start)
    diary.write_text("2027-04-03 sown radish-1\n", encoding="utf-8")
    before = tree(tmp_path)
    result = plan_into(tmp_path)
    assert result.exit_code == Exit.UNWRITABLE and "sowplan revise" in result.stderr
    assert tree(tmp_path) == before
