"""The main job as its user does it: the wheel in an empty environment, run from another folder.

The wheel is built from the checkout and installed with what it depends on and nothing else, so a
table that does not travel or a library that is missing from the list shows here and nowhere else.
"""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
EXAMPLES = sorted(path.parent.name for path in ROOT.glob("examples/*/garden.toml"))


@pytest.fixture(scope="module")
def sowplan(tmp_path_factory):
    """Install the built wheel into an empty environment; return what runs its command."""
    home = tmp_path_factory.mktemp("installed")
    build = [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(home)]
    subprocess.run([*build, str(ROOT)], check=True, capture_output=True, timeout=300)
    # Without its own pip, and nothing compiled that is not used: half of the work.
    venv = [sys.executable, "-m", "venv", "--without-pip", str(home / "env")]
    subprocess.run(venv, check=True, timeout=120)
    (wheel,) = home.glob("*.whl")
    pip = [sys.executable, "-m", "pip", "--python", str(home / "env/bin/python"), "install"]
    pip += ["--quiet", "--no-compile", str(wheel)]
    subprocess.run(pip, check=True, capture_output=True, timeout=900)

    def run(*arguments: str, cwd: Path) -> subprocess.CompletedProcess[str]:
        ours = ("PYTHON", "OPENBLAS_")  # of the tests, not of who uses the tool
        env = {k: v for k, v in os.environ.items() if not k.startswith(ours)}
        command = [str(home / "env/bin/sowplan"), *arguments]
        return subprocess.run(
            command, cwd=cwd, env=env, capture_output=True, text=True, timeout=600, check=False
        )

    return run


@pytest.fixture(scope="module")
def courtyard(sowplan, tmp_path_factory):
    """Plan the courtyard from another folder; return that plan's folder, and what was said."""
    garden = ROOT / "examples/courtyard/garden.toml"
    home = tmp_path_factory.mktemp("elsewhere")
    done = sowplan("plan", str(garden), "--out", "my plan", cwd=home)
    assert done.returncode == 0, done.stderr
    return home / "my plan", done.stdout


def test_five_gardens_are_there():
    assert EXAMPLES == ["allotment", "courtyard", "market", "northern", "rooftop"]


def test_plan_folder_from_another_folder(courtyard):
    folder, told = courtyard
    names = {path.name for path in folder.iterdir()}
    assert {"plan.json", "plantings.csv", "tasks.csv", "season.ics"} <= names
    assert any(name.startswith("summary") for name in names)
    plan = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
    assert plan["plantings"] and plan["wants"]
    keys = {"crop", "place", "plants", "sow", "planting_out", "harvest_start", "harvest_end"}
    assert all(keys | {"cleared"} <= set(planting) for planting in plan["plantings"])
    assert all({"wanted", "met"} <= set(want) for want in plan["wants"])
    # What to open next is said, and it is there.
    assert any(name in told for name in names), told


def test_same_files_same_bytes(courtyard, sowplan, tmp_path):
    """Made again, in another folder of another name."""
    garden = ROOT / "examples/courtyard/garden.toml"
    assert sowplan("plan", str(garden), "--out", "again", cwd=tmp_path).returncode == 0
    one, two = (
        {file.relative_to(folder): file.read_bytes() for file in _files(folder)}
        for folder in (courtyard[0], tmp_path / "again")
    )
    assert one and one.keys() == two.keys()
    assert [name for name in one if one[name] != two[name]] == []


def test_a_wrong_garden_gives_every_problem_and_writes_nothing(sowplan, tmp_path):
    text = (ROOT / "examples/courtyard/garden.toml").read_text(encoding="utf-8")
    text = re.sub(r"(?m)^latitude = .*$", "latitude = 123", text, count=1)
    text = re.sub(r"(?m)^timezone = .*$", 'timezone = "Atlantis/Capital"', text, count=1)
    text += '\n[[bed]]\nname = "Extra"\nlenght = "2 m"\nwidth = "80"\ndepth = "-3 cm"\n'
    (tmp_path / "garden.toml").write_text(text, encoding="utf-8")

    done = sowplan("plan", "garden.toml", "--out", "out", cwd=tmp_path)
    assert done.returncode not in (0, 1, 2)
    assert "Traceback" not in done.stderr
    assert not (tmp_path / "out").exists()
    for text in ("123", "Atlantis/Capital", "lenght", "80", "-3 cm"):
        assert text in done.stderr

    checked = sowplan("check", "garden.toml", "--json", cwd=tmp_path)
    problems = json.loads(checked.stdout)
    assert checked.returncode == done.returncode
    assert all({"file", "where", "found", "message", "line"} <= set(p) for p in problems)
    last_line = len((tmp_path / "garden.toml").read_text(encoding="utf-8").splitlines())
    lines = {problem["line"] for problem in problems}
    assert {last_line - 2, last_line - 1, last_line} <= lines


def test_fit_answers_with_positions(sowplan, tmp_path):
    crops = json.loads(sowplan("crops", "--json", cwd=tmp_path).stdout)
    crop = next(c["key"] for c in crops if "butterhead" in c["key"])
    done = sowplan(
        "fit", crop, "--bed", "2.4 m x 1.2 m", "--spacing", "25 cm", "--json", cwd=tmp_path
    )
    answer = json.loads(done.stdout)
    assert answer["plants"] == len(answer["positions"]) <= answer["bound"]
    # Square planting half a spacing from the edge, counted by hand: 9 rows of 4 = 36.
    assert answer["plants"] >= 36


def test_when_gives_a_row_a_sowing_date(sowplan, tmp_path):
    garden = ROOT / "examples/courtyard/garden.toml"
    rows = json.loads(
        sowplan("when", "radish", "--garden", str(garden), "--json", cwd=tmp_path).stdout
    )
    assert len(rows) >= 26
    keys = {"sow", "emergence", "planting_out", "harvest_start", "harvest_end", "feasible"}
    assert all(keys <= set(row) for row in rows)
    assert any(row["feasible"] for row in rows)


def _files(folder: Path) -> list[Path]:
    return sorted(path for path in folder.rglob("*") if path.is_file())
