"""The house as DEVELOPERS.md has it: imports run one way, and what it names is there."""

import ast
import importlib
import inspect
import re
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
SOURCES = sorted((ROOT / "sowplan").rglob("*.py"))
TOLD = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
# The order of the list at the top of DEVELOPERS.md, what is tied together last.
STAGES = (
    "problem quantity records site growth bed season supply export commands cli __main__".split()
)
# Programs run by hand, for the tables of layouts in bed/ and of towns in site/.
BY_HAND = ("small_search", "tub_search", "from_geonames")
OUTSIDE = {"print", "input", "today", "now", "perf_counter", "getenv", "setlocale", "urlopen"}


def stage_of(path):
    return path.relative_to(ROOT / "sowplan").parts[0].removesuffix(".py")


def taken(path):
    """Yield (line, module) of what a module takes from anywhere, wherever in it."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}:{node.lineno} imports from a dot"
            names = [f"sowplan.{one.name}" for one in node.names if one.name != "__version__"]
            modules = names if node.module == "sowplan" else [node.module]
        elif isinstance(node, ast.Import):
            modules = [name.name for name in node.names]
        else:
            continue
        yield from ((node.lineno, name) for name in modules)


def imported(path):
    """Yield (line, module) of what a module takes from the project, wherever in it."""
    return ((line, name) for line, name in taken(path) if name.startswith("sowplan."))


def test_the_stages_are_those_told():
    listed = re.findall(r"^  (\w+)(?:/|\.py) +(\d)?", TOLD, re.M)
    numbered = [name for name, number in listed if number]
    assert numbered == [stage for stage in STAGES if stage in numbered]
    assert {stage_of(path) for path in SOURCES} - {"__init__"} == set(STAGES)


def test_imports_run_one_way():
    found = total = 0
    wrong = []
    for path in SOURCES:
        if path.parent.name == "sowplan" and path.stem == "__init__":
            continue
        mine = STAGES.index(stage_of(path))
        for line, module in imported(path):
            total += 1
            other = STAGES.index(module.split(".")[1])
            found += other < mine
            if other > mine:
                wrong.append(f"{path.relative_to(ROOT)}:{line} imports {module}")
    assert wrong == []
    assert total > found > 100  # and what is to be looked at was


def test_every_library_asked_for_is_used_and_no_other():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    lines = project["dependencies"] + project["optional-dependencies"]["xlsx"]
    asked = {re.split("[<>=]", line)[0].removeprefix("python-").lower() for line in lines}
    used = {name.split(".")[0].lower() for path in SOURCES for _, name in taken(path)}
    ours = {"sowplan"} | {name.lower() for name in sys.stdlib_module_names}
    assert {name.replace("-", "_") for name in asked} == used - ours


def test_only_commands_print_ask_and_read_the_clock():
    wrong = []
    for path in SOURCES:
        if stage_of(path) in ("commands", "cli", "__main__") or path.stem in BY_HAND:
            continue
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call):
                called = getattr(node.func, "attr", getattr(node.func, "id", ""))
                if called in OUTSIDE:
                    wrong.append(f"{path.relative_to(ROOT)}:{node.lineno} calls {called}")
    assert wrong == []


def joints():
    """Yield the dotted names of the second column of the table of joints."""
    table = TOLD.partition("## The joints")[2].partition("\n## ")[0]
    for row in re.findall(r"^\| [a-z, ]+ \| (.+?) \| ", table, re.M):
        for name, given in re.findall(r"`([a-z_]+(?:\.\w+)+)(?:\(([^)`]*)\))?`", row):
            yield pytest.param(name, given, id=name)


@pytest.mark.parametrize(("name", "given"), list(joints()))
def test_what_the_joints_name_is_there(name, given):
    first, *rest = name.split(".")
    found = importlib.import_module(f"sowplan.{first}")
    for part in rest:
        try:
            found = getattr(found, part)
        except AttributeError:
            found = importlib.import_module(f"{found.__name__}.{part}")
    if given:
        words = [word.strip().partition("=")[0] for word in given.split(",")]
        told = [word for word in words if word.isidentifier()]
        assert set(told) <= set(inspect.signature(found).parameters)


def test_no_joint_is_passed_over():
    assert len(list(joints())) > 30
