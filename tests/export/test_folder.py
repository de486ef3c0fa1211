"""The plan folder: whole or not at all, and nothing of anybody else's is ever touched."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from sowplan.export import folder as module
from sowplan.export import outputs
from sowplan.export.folder import is_plan_folder, write_folder
from sowplan.export.outputs import MARK, OUTPUTS, Output, render
from sowplan.problem import Exit
from sowplan.season.archive import from_json

FEW = tuple(output for output in OUTPUTS if output.name in {MARK, "season.ics", "tasks.csv"})


def contents(folder: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_all_outputs_are_written_and_the_plan_reads_back(sample_plan, tmp_path):
    out = tmp_path / "new" / "below" / "plan"
    assert write_folder(sample_plan, out) == []
    assert contents(out) == render(sample_plan)  # made a second time: the same bytes
    assert contents(out).keys() >= {
        "plan.json", "summary.txt", "season.ics", "plantings.csv", "tasks.csv", "harvests.csv",
        "seeds.csv",
    }  # fmt: skip
    assert from_json((out / MARK).read_text(encoding="utf-8")) == sample_plan
    assert [path.name for path in out.parent.iterdir()] == ["plan"]  # nothing left beside it


def test_a_plan_folder_is_renewed_and_what_is_not_ours_stays(sample_plan, tmp_path):
    out = tmp_path / "plan"
    assert write_folder(sample_plan, out, FEW) == []
    (out / "tasks.csv").write_text("old", encoding="utf-8")
    (out / "season.xlsx").write_bytes(b"an output of before")
    (out / "my notes.txt").write_text("slugs!", encoding="utf-8")
    (out / "photos").mkdir()
    (out / "photos" / "bed.jpg").write_bytes(b"jpg")
    assert write_folder(sample_plan, out, FEW) == []
    found = contents(out)
    assert found.pop("my notes.txt") == b"slugs!"
    assert found.pop(str(Path("photos") / "bed.jpg")) == b"jpg"
    assert found == render(sample_plan, FEW)  # and no output of before is left to mislead


def test_pictures_that_were_asked_for_are_drawn_anew_and_no_part_of_before_is_left(
    sample_plan, tmp_path, monkeypatch
):
    pytest.importorskip("resvg_py")
    from sowplan.export.pictures import parts, there

    def many(plan, name, dark=False):  # as of a market garden, in three parts
        return [parts.drawer(f"{name}.svg")(plan, dark=dark)] * 3

    out = tmp_path / "plan"
    assert write_folder(sample_plan, out, FEW) == []
    with monkeypatch.context() as before:
        before.setattr(parts, "picture_parts", many)
        old = there.picture_files(sample_plan, "beds", False, "beds")
        old |= there.picture_files(sample_plan, "harvest", True, "harvest-dark")
    assert {"beds-1.png", "beds-2.png", "beds-3.png", "harvest-dark-3.png"} < old.keys()
    mine = {
        "beds-4.png": b"\x89PNG, a photo",  # by our name, and not of ours
        "our beds-1.png": old["beds-1.png"],  # of ours, by another name
        "season.png": b"",
        "beds-5.txt": b"slugs",
    }
    for name, data in (old | mine).items():
        (out / name).write_bytes(data)
    autumn = replace(sample_plan, plantings=sample_plan.plantings[:3])
    assert write_folder(autumn, out, FEW) == []
    found = contents(out)
    drawn = there.picture_files(autumn, "beds", False, "beds")
    drawn |= there.picture_files(autumn, "harvest", True, "harvest-dark")
    assert drawn.keys() == {"beds.png", "harvest-dark.png"}
    assert found == render(autumn, FEW) | mine | drawn


def test_a_picture_of_somebody_elses_is_not_drawn_over(sample_plan, tmp_path):
    pytest.importorskip("resvg_py")
    from sowplan.export.pictures.there import picture_files

    assert write_folder(sample_plan, tmp_path, FEW) == []
    (tmp_path / "beds-1.png").write_bytes(picture_files(sample_plan, "beds", False, "x")["x.png"])
    (tmp_path / "beds.png").write_bytes(b"mine")
    assert write_folder(sample_plan, tmp_path, FEW) == []
    assert contents(tmp_path) == render(sample_plan, FEW) | {"beds.png": b"mine"}


def test_an_empty_folder_is_used(sample_plan, tmp_path):
    assert write_folder(sample_plan, tmp_path, FEW) == []
    assert contents(tmp_path) == render(sample_plan, FEW)


@pytest.mark.parametrize("mark", [None, "not json", "{}", '["version"]'])
def test_a_folder_of_somebody_elses_is_not_touched(sample_plan, tmp_path, mark):
    (tmp_path / "tasks.csv").write_text("mine", encoding="utf-8")
    if mark is not None:
        (tmp_path / MARK).write_text(mark, encoding="utf-8")
    before = contents(tmp_path)
    (problem,) = write_folder(sample_plan, tmp_path, FEW)
    assert problem.exit == Exit.UNWRITABLE
    assert str(tmp_path) in str(problem) and "--out" in problem.message
    assert contents(tmp_path) == before
    assert not is_plan_folder(tmp_path)


def test_a_damaged_plan_of_ours_is_called_so(sample_plan, tmp_path):
    out = tmp_path / "plan"
    names = (MARK, "season.ics", "tasks.csv", "plantings.csv", "harvests.csv")
    assert write_folder(sample_plan, out, [o for o in OUTPUTS if o.name in names]) == []
    (out / MARK).write_text('{"version": 1, "si', encoding="utf-8")
    before = contents(out)
    (problem,) = write_folder(sample_plan, out, FEW)
    assert problem.exit == Exit.UNWRITABLE and "damaged" in problem.message
    assert "--out" in problem.message and contents(out) == before


def test_a_file_in_the_way(sample_plan, tmp_path):
    (tmp_path / "plan").write_text("a file", encoding="utf-8")
    (problem,) = write_folder(sample_plan, tmp_path / "plan", FEW)
    assert problem.exit == Exit.UNWRITABLE and "a file of this name" in problem.message
    (problem,) = write_folder(sample_plan, tmp_path / "plan" / "below", FEW)
    assert problem.exit == Exit.UNWRITABLE
    assert contents(tmp_path) == {"plan": b"a file"}


def test_nothing_changes_where_one_file_cannot_be_replaced(sample_plan, tmp_path):
    """A folder stands where the last output is to go: those before it are put back."""
    out = tmp_path / "plan"
    assert write_folder(sample_plan, out, FEW) == []
    for name in (MARK, "season.ics"):
        (out / name).write_bytes((out / name).read_bytes() + b"\n")  # to be told from the new
    (out / "tasks.csv").unlink()
    (out / "tasks.csv").mkdir()
    (out / "tasks.csv" / "precious").write_bytes(b"1")
    before = contents(out)
    (problem,) = write_folder(sample_plan, out, FEW)
    assert problem.exit == Exit.UNWRITABLE and "tasks.csv" in problem.file
    assert contents(out) == before
    assert {path.name for path in out.iterdir()} == {MARK, "season.ics", "tasks.csv"}


def test_nothing_is_written_where_an_output_cannot_be_made(sample_plan, tmp_path, monkeypatch):
    def fails(plan):
        raise RuntimeError("a defect in one output")

    monkeypatch.setattr(outputs, "import_module", lambda name: type("M", (), {"made": fails}))
    with pytest.raises(RuntimeError):
        write_folder(sample_plan, tmp_path / "plan", [Output("x.txt", "anything:made")])
    assert not (tmp_path / "plan").exists()


def test_a_disk_that_fills_up_leaves_the_old_plan(sample_plan, tmp_path, monkeypatch):
    out = tmp_path / "plan"
    assert write_folder(sample_plan, out, FEW) == []
    before = contents(out)

    def full(descriptor):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(module.os, "fsync", full)
    (problem,) = write_folder(sample_plan, out, FEW)
    assert "No space left on device" in problem.message and "--out" in problem.message
    assert problem.file == str(out)  # and not a folder that was to come before it
    (problem,) = write_folder(sample_plan, tmp_path / "other", FEW)
    monkeypatch.undo()
    assert contents(out) == before
    assert [path.name for path in tmp_path.iterdir()] == ["plan"]


def test_outputs_in_subfolders(sample_plan, tmp_path):
    outputs = [*FEW, Output("tables/tasks.csv", "sowplan.export.tables:tasks_csv")]
    for _ in range(2):
        assert write_folder(sample_plan, tmp_path / "plan", outputs) == []
        assert (tmp_path / "plan" / "tables" / "tasks.csv").read_bytes().startswith(b"day,")


def test_an_output_without_its_library_is_left_out(sample_plan):
    outputs = [Output("x.bin", "nowhere:made", needs="no_such_library")]
    assert render(sample_plan, outputs) == {}


def test_names_are_unique_and_the_mark_is_among_them():
    names = [output.name for output in OUTPUTS]
    assert len(set(names)) == len(names) and MARK in names


def test_every_examples_folder_is_whole(example_folder):
    plan = from_json((example_folder / MARK).read_text(encoding="utf-8"))
    names = {output.name for output in OUTPUTS if not output.needs}
    assert names <= {str(path.relative_to(example_folder)) for path in example_folder.rglob("*")}
    data = json.loads((example_folder / MARK).read_text(encoding="utf-8"))
    assert len(data["plantings"]) == len(plan.plantings)
