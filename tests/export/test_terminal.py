"""The commands on a terminal of 80 columns, in a pipe, and where NO_COLOR is set."""

from __future__ import annotations

import io
import os
import re
import subprocess
import sys
import time
from importlib import metadata

import pytest
from typer.testing import CliRunner

from sowplan.cli import app, flowed
from sowplan.commands import waiting
from sowplan.season.archive import to_json

ESCAPES = re.compile(r"\x1b\[[0-9;?]*[A-Za-z]")
COLOURS = re.compile(r"\x1b\[(?:\d+;)*(?:3\d|4\d|9\d)(?:;\d+)*m")  # ECMA-48, SGR 30 to 49, 90 on


@pytest.fixture(scope="module")
def folder(sample_plan, tmp_path_factory):
    made = tmp_path_factory.mktemp("plan")
    (made / "plan.json").write_text(to_json(sample_plan), encoding="utf-8")
    return made


def on_a_terminal(words, **more):
    """Run a command on a terminal of 80 columns; return all it writes there."""
    fcntl, pty, termios = (pytest.importorskip(name) for name in ("fcntl", "pty", "termios"))
    import struct

    ours, theirs = pty.openpty()
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 40, 80, 0, 0))
    kept = {k: v for k, v in os.environ.items() if k not in ("COLUMNS", "NO_COLOR", "FORCE_COLOR")}
    run = subprocess.Popen(
        [sys.executable, "-m", "sowplan", *map(str, words)],
        stdin=theirs, stdout=theirs, stderr=theirs,
        env=kept | {"TERM": "xterm-256color"} | more,
    )  # fmt: skip
    os.close(theirs)
    said = b""
    while True:
        try:
            piece = os.read(ours, 65536)
        except OSError:  # the other end is closed
            break
        if not piece:
            break
        said += piece
    assert run.wait() == 0
    os.close(ours)
    return said.decode()


def test_a_terminal_has_colour_and_80_columns_and_no_color_is_heeded(folder):
    """NO_COLOR, when present and not empty, keeps colour away (no-color.org)."""
    words = ("due", folder, "--on", "2026-11-14")
    bright, plain = on_a_terminal(words), on_a_terminal(words, NO_COLOR="1")
    assert COLOURS.search(bright) and not COLOURS.search(plain)
    lines = ESCAPES.sub("", bright).replace("\r", "").split("\n")
    # A line to copy stays in one piece, whatever the folder's name.
    told = [line for line in lines if not line.strip().startswith("sowplan done ")]
    assert 0 < len(told) < len(lines) and max(map(len, told)) <= 80
    assert ESCAPES.sub("", bright) == ESCAPES.sub("", plain)


def test_a_pipe_gets_words_alone(folder):
    command = [sys.executable, "-m", "sowplan", "due", str(folder), "--on", "2026-11-14"]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    assert "\x1b" not in done.stdout + done.stderr and done.stderr == ""
    assert "Quince Yard" in done.stdout


@pytest.mark.parametrize(
    "name", sorted(c.name or c.callback.__name__ for c in app.registered_commands)
)
def test_help_fits_80_columns(name):
    said = CliRunner().invoke(app, [name, "--help"], env={"COLUMNS": "80"}).output
    assert "For example" in said
    assert max(map(len, ESCAPES.sub("", said).splitlines())) <= 80


def test_the_version_told_is_that_of_what_is_installed():
    said = CliRunner().invoke(app, ["--version"])
    assert (said.exit_code, said.output) == (0, f"sowplan {metadata.version('sowplan')}\n")


def test_help_flows_and_examples_stay():
    text = """Do it.

    A long text that was broken
    where the source ended.

      sowplan do --this
    """
    assert flowed(text) == (
        "Do it.\n\nA long text that was broken where the source ended.\n\n  sowplan do --this"
    )


class Terminal(io.StringIO):
    def isatty(self):
        return True


def test_work_over_a_second_is_told_on_a_terminal_only(monkeypatch):
    for screen, told in ((Terminal(), True), (io.StringIO(), False)):
        monkeypatch.setattr(sys, "stderr", screen)
        with waiting.Waiting("Setting the sheets", wait_s=0.01):
            until = time.monotonic() + 2.0
            while told and "Setting" not in screen.getvalue() and time.monotonic() < until:
                time.sleep(0.01)
        assert ("Setting the sheets" in screen.getvalue()) is told
    quick = Terminal()
    monkeypatch.setattr(sys, "stderr", quick)
    with waiting.Waiting("Setting the sheets", wait_s=60.0):
        pass
    assert quick.getvalue() == ""
