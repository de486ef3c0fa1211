"""Ctrl-C: the best plan so far is kept and said to be that; nothing is ever half written."""

from __future__ import annotations

import os
import select
import signal
import subprocess
import sys
import time
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner

from sowplan.cli import app
from sowplan.export.folder import write_folder
from sowplan.export.nearness import near_told
from sowplan.export.outputs import OUTPUTS
from sowplan.problem import Exit
from sowplan.records.diary import Entry, add_to_diary
from sowplan.records.garden_file import read_garden
from sowplan.season import planner, sought
from sowplan.season.archive import read_plan
from sowplan.season.plan import STOPPED, UNBOUNDED, UNREASONED
from sowplan.season.revise.again import revise
from sowplan.season.search.search import Search
from sowplan.season.watch import Watch

NORTHERN = Path(__file__).resolve().parents[2] / "examples/northern/garden.toml"


def stop(*_: object, **__: object):
    raise KeyboardInterrupt


def test_ctrl_c_on_a_terminal_keeps_the_best_plan_so_far(tmp_path):
    """Pressed while the line of the search is on the screen, of a search that takes minutes."""
    pty = pytest.importorskip("pty")
    ours, theirs = pty.openpty()
    out = tmp_path / "plan"
    words = [sys.executable, "-m", "sowplan", "plan", str(NORTHERN), "--out", str(out)]
    run = subprocess.Popen(
        [*words, "--effort", "2000"], stdin=theirs, stdout=theirs, stderr=theirs,
        env=os.environ | {"TERM": "xterm-256color", "COLUMNS": "120"},
    )  # fmt: skip
    os.close(theirs)
    said, pressed, until = b"", False, time.monotonic() + 300
    while time.monotonic() < until:
        if select.select([ours], [], [], 0.1)[0]:
            try:
                piece = os.read(ours, 65536)
            except OSError:  # the other end is closed
                break
            said += piece
            if not piece:
                break
        if not pressed and b"% comes, at most " in said:
            run.send_signal(signal.SIGINT)
            pressed = True
    os.close(ours)
    assert run.wait() == Exit.OK and pressed
    assert b"Stopping" in said and b"this is the best plan found so far" in said
    plan, problems = read_plan(out / "plan.json")
    assert problems == [] and plan.plantings and "stopped" in plan.quality.method
    assert [path.name for path in tmp_path.iterdir()] == ["plan"]  # no draft beside it


def test_before_there_is_a_plan_nothing_is_written(tmp_path, monkeypatch):
    monkeypatch.setattr(planner, "book_of", stop)
    done = CliRunner().invoke(app, ["plan", str(NORTHERN), "--out", str(tmp_path / "plan")])
    assert done.exit_code == Exit.STOPPED == 128 + signal.SIGINT
    assert "Stopped: nothing is written." in done.stderr and not list(tmp_path.iterdir())


@pytest.mark.parametrize("module", ["sowplan.cli", "sowplan.season.planner"])
def test_stopped_while_the_program_is_read_it_says_that_nothing_is_written(tmp_path, module):
    """As Ctrl-C in the first half second, when all that has happened is that modules are read."""
    words = ["sowplan", "plan", str(NORTHERN), "--out", str(tmp_path / "plan")]
    code = f"""
import sys

class Pressed:
    def find_spec(self, name, *_):
        if name == {module!r}:
            raise KeyboardInterrupt

sys.meta_path.insert(0, Pressed())
sys.argv = {words!r}
from sowplan.__main__ import main
main()
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert done.returncode == Exit.STOPPED and done.stdout == ""
    assert done.stderr == "Stopped: nothing is written.\n" and not list(tmp_path.iterdir())


@pytest.mark.parametrize(
    ("words", "where"),
    [
        (("check", str(NORTHERN)), "sowplan.records.garden_file.read_garden"),
        (
            ("sun", str(NORTHERN), "--bed", "South wall", "--picture", "s.svg"),
            "pathlib.Path.replace",
        ),
        (
            ("when", "radish", "--garden", str(NORTHERN), "--picture", "r.svg"),
            "pathlib.Path.replace",
        ),
        (("fit", "radish", "1 m x 1 m", "--picture", "r.svg"), "pathlib.Path.replace"),
        (("new", "g.toml", "--near", "York"), "os.replace"),
        (("crops", "radish"), "sowplan.records.crop_table.read_crops"),
    ],
)
def test_any_command_says_in_one_line_that_it_was_stopped(tmp_path, monkeypatch, words, where):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(where, stop)
    done = CliRunner().invoke(app, list(words))
    assert done.exit_code == Exit.STOPPED
    assert done.stderr == "Stopped: nothing is half written.\n" and not list(tmp_path.iterdir())


def test_stopped_at_a_question_nothing_is_written(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)

    def broken_off(*_: object):
        raise typer.Abort

    monkeypatch.setattr("sowplan.commands.new._place", broken_off)
    done = CliRunner().invoke(app, ["new", "g.toml"])
    assert done.exit_code == Exit.STOPPED and "half written" in done.stderr
    assert not list(tmp_path.iterdir())


def test_a_diary_is_whole_where_writing_it_is_stopped(tmp_path, monkeypatch):
    path = tmp_path / "diary.txt"
    entry = Entry(date(2027, 3, 1), "sown", "kale-1")
    assert add_to_diary(path, [(entry, "")]) == []
    before = path.read_bytes()
    monkeypatch.setattr("os.fsync", stop)
    with pytest.raises(KeyboardInterrupt):
        add_to_diary(path, [(replace(entry, about="kale-2"), "")])
    assert path.read_bytes() == before and [p.name for p in tmp_path.iterdir()] == ["diary.txt"]


def small():
    """Return the example garden with two of its wants only, and the crop table."""
    reading = read_garden(NORTHERN)
    return replace(reading.garden, wants=reading.garden.wants[:2]), reading.crops


@pytest.mark.parametrize(
    ("room", "where"), [(planner, "relax"), (sought, "tidy"), (Search, "anneal")]
)
def test_stopped_once_there_is_a_plan_it_is_kept(monkeypatch, room, where):
    monkeypatch.setattr(room, where, stop)
    made, problems = planner.make_plan(*small(), effort=0.05)
    assert problems == [] and made.quality.method.endswith(STOPPED)
    assert made.plantings and made.quality.missing_share < 0.2


def test_stopped_before_the_bound_is_known_no_nearness_is_told(monkeypatch):
    monkeypatch.setattr(planner, "relax", stop)
    made, _ = planner.make_plan(*small(), effort=0.05)
    assert made.quality.bound_by == UNBOUNDED and not made.quality.proven
    assert "not worked out" in near_told(made) and "points" not in near_told(made)


@pytest.mark.parametrize("where", ["reasons_in_turn", "between_notes", "gains_of"])
def test_stopped_at_the_reasons_only_those_are_left_out(monkeypatch, where):
    garden, crops = small()
    whole, _ = planner.make_plan(garden, crops, effort=0.05)
    monkeypatch.setattr(planner, where, stop)
    made, problems = planner.make_plan(garden, crops, effort=0.05)
    assert problems == [] and made.quality.method == whole.quality.method + UNREASONED
    assert made.plantings == whole.plantings


class Pressed:
    """Presses Ctrl-C at one call of a function, of all that are made on the way to a plan.

    As a signal would: there is none between two calls that is not at one of them.
    """

    def __init__(self, watch, at=None):
        self.watch, self.at, self.calls, self.keeps = watch, at, 0, None

    def __call__(self, frame, event, arg):
        if event != "call" or "sowplan" not in frame.f_code.co_filename:
            return
        if frame.f_code.co_filename.endswith("watch.py"):  # its own words are no place to press
            return
        self.calls += 1
        if self.keeps is None and self.watch.keeps:
            self.keeps = self.calls
        if self.calls == self.at:
            self.watch.press()

    def during(self, work):
        sys.setprofile(self)
        try:
            return work(self.watch)
        finally:
            sys.setprofile(None)


def moments(work):
    """Return calls of some work to press at, from the first that there is a plan to keep.

    Spread evenly, and ever nearer its end, where the reasons are looked into.
    """
    undisturbed = Pressed(Watch())
    undisturbed.during(work)
    first, last = undisturbed.keeps, undisturbed.calls
    with pytest.raises(KeyboardInterrupt):
        Pressed(Watch(), first // 2).during(work)
    return [first + n * (last - first) // 10 for n in range(10)] + [last - 4**n for n in range(6)]


@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")
def test_from_the_first_plan_on_ctrl_c_at_any_moment_leaves_a_whole_plan():
    garden, crops = small()

    def work(watch):
        return planner.make_plan(garden, crops, effort=0.01, watch=watch)

    told, ended = [], set()
    work(Watch(told.append))
    begun = next(now.missing for now in told if now.missing is not None)
    for at in moments(work):
        made, problems = Pressed(Watch(), at).during(work)
        assert problems == [] and made.plantings
        # For fewer sowings a thousandth may be given up.
        assert made.quality.missing_share <= begun + 0.001 + 1e-9
        assert {period.crop for period in made.wants} == {want.crop for want in garden.wants}
        ended |= {end for end in (STOPPED, UNREASONED) if end in made.quality.method}
    assert ended == {STOPPED, UNREASONED}


@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")
def test_revising_too_leaves_a_whole_plan_wherever_it_is_stopped():
    garden, crops = small()
    plan, _ = planner.make_plan(garden, crops, effort=0.01)
    wants = tuple(replace(want, amount=2 * want.amount) for want in garden.wants)
    more, today = replace(garden, wants=wants), date(2027, 5, 20)
    sown = {p.id for p in plan.plantings if p.sow < today}

    def work(watch):
        return revise(plan, more, crops, today, effort=0.05, watch=watch)

    ended = set()
    for at in moments(work):
        made, _, problems = Pressed(Watch(), at).during(work)
        assert problems == [] and made.revision == 1
        assert sown <= {planting.id for planting in made.plantings}
        wanted = {(want.crop, want.amount) for want in more.wants}
        assert {(period.crop, period.wanted) for period in made.wants} == wanted
        ended |= {end for end in (STOPPED, UNREASONED) if end in made.quality.method}
    assert ended == {STOPPED, UNREASONED}


@pytest.mark.parametrize("at", [2, 3, 4])
def test_a_plan_that_stands_is_left_whole_where_its_exchange_is_stopped(
    sample_plan, tmp_path, monkeypatch, at
):
    kept = [output for output in OUTPUTS if output.name in ("plan.json", "seeds.csv")]
    target = tmp_path / "plan"
    assert write_folder(sample_plan, target, kept) == []
    before = {path.name: path.read_bytes() for path in target.iterdir()}
    moves = []

    def rename(self, goal, real=Path.rename):
        moves.append(goal)
        if len(moves) == at:
            raise KeyboardInterrupt
        return real(self, goal)

    monkeypatch.setattr(Path, "rename", rename)
    other = replace(sample_plan, notes=("Another plan.",))
    with pytest.raises(KeyboardInterrupt):
        write_folder(other, target, kept)
    assert len(moves) > at  # what had been moved is moved back
    assert {path.name: path.read_bytes() for path in target.iterdir()} == before
