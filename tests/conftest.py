"""What several folders of tests share.

Tests are imported by path (importmode=importlib) and cannot import each other; the invented
season of ``sample.py`` therefore comes as a fixture.
"""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path

import pytest


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
