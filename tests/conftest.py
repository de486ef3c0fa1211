"""What several folders of tests share.

Tests are imported by path (importmode=importlib) and cannot import each other; the invented
season of ``sample.py`` therefore comes as a fixture.
"""

from __future__ import annotations

import importlib.util
import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent


def _sample_module():
    name = "sowplan_tests_sample"
    if name not in sys.modules:
        spec = importlib.util.spec_from_file_location(name, Path(__file__).with_name("sample.py"))
        module = importlib.util.module_from_spec(spec)
        sys.modules[name] = module
        spec.loader.exec_module(module)
    return sys.modules[name]


@pytest.fixture(scope="session")
def sample_plan():
    """Return the invented season of ``sample.py``; frozen, so that all tests may share it."""
    return _sample_module().sample_plan()


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
