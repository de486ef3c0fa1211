"""What several folders of tests share.

Plain helpers are modules of this folder, imported by name (``pythonpath`` in pyproject.toml).
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

# Before numpy is loaded. With a worker to each core, threads of the linear algebra only wait for
# one another: solving for a few hundred towns takes twenty times the work with them.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import pytest
from hypothesis import settings

import sample

# The same examples on every run and no clock, so that what passes here passes anywhere; look for
# others with --hypothesis-profile=default.
settings.register_profile("repeatable", derandomize=True, deadline=None)
settings.load_profile("repeatable")

ROOT = Path(__file__).resolve().parent.parent


def pytest_collection_modifyitems(items):
    """Begin with what installs: last, each worker would build the wheel, and be waited for."""
    items.sort(key=lambda item: item.path.name != "test_main_job.py")


@pytest.fixture(scope="session")
def sample_plan():
    """Return the invented season of ``sample.py``; frozen, so that all tests may share it."""
    return sample.sample_plan()


@pytest.fixture(scope="session")
def planted_plan(sample_plan):
    """Return the invented season with one of its crops set as cloves, as garlic is."""
    crops = (
        replace(crop, botanical_name="Allium sativum") if crop.key == "radish" else crop
        for crop in sample_plan.crops
    )
    return replace(sample_plan, crops=tuple(crops))


PATIENCE_S = 600
EXAMPLES = sorted(path.parent.name for path in ROOT.glob("examples/*/garden.toml"))


@pytest.fixture(scope="session", params=EXAMPLES)
def example_folder(request, tmp_path_factory):
    """Return the plan folder of an example garden, planned once for all tests and workers."""
    shared = tmp_path_factory.getbasetemp()
    if os.environ.get("PYTEST_XDIST_WORKER"):
        shared = shared.parent  # each worker has a folder of its own in there
    return _planned_once(request.param, shared)


def _planned_once(name: str, shared: Path) -> Path:
    """Plan an example with the command itself, or wait for the worker that is at it."""
    folder, failed = shared / f"plan-{name}", shared / f"plan-{name}.failed"
    try:
        (shared / f"plan-{name}.begun").mkdir()
    except FileExistsError:
        waited = 0.0
        while not (folder.exists() or failed.exists()) and waited < 2 * PATIENCE_S:
            time.sleep(0.2)
            waited += 0.2
        assert folder.exists() or failed.exists(), f"the worker that plans {name} is gone"
    else:
        garden = ROOT / "examples" / name / "garden.toml"
        command = [sys.executable, "-m", "sowplan", "plan", str(garden), "--out", str(folder)]
        try:
            subprocess.run(command, capture_output=True, text=True, timeout=PATIENCE_S, check=True)
        except subprocess.SubprocessError as error:
            said = getattr(error, "stderr", None) or ""
            failed.write_text(f"{error}\n{said}", encoding="utf-8")
    assert not failed.exists(), failed.read_text(encoding="utf-8")
    return folder
