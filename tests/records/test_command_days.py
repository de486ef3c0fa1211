"""Days and folders as they are typed after a command."""

from datetime import timedelta

import pytest
import typer
from typer.testing import CliRunner

from sowplan.cli import app
from sowplan.commands.today import day_meant
from sowplan.problem import Exit


def test_today_and_tomorrow(sample_plan):
    today = day_meant(None, sample_plan)
    assert day_meant("today", sample_plan) == today
    assert day_meant(" Tomorrow", sample_plan) == today + timedelta(days=1)
    assert day_meant("yesterday", sample_plan) == today - timedelta(days=1)


@pytest.mark.parametrize("text", ["2026-11-05", "5 Nov 2026", "November 5, 2026"])
def test_a_day_written_out(text, sample_plan):
    assert day_meant(text, sample_plan).isoformat() == "2026-11-05"


@pytest.mark.parametrize("text", ["5/11/2026", "next week", "", "2026-02-30"])
def test_what_is_no_day_is_told_plainly(text, sample_plan):
    with pytest.raises(typer.BadParameter, match="such as 2026-11-05, today or tomorrow"):
        day_meant(text, sample_plan)


@pytest.mark.parametrize("command", ["due", "calendar", "page"])
def test_a_folder_that_is_not_there(command, tmp_path):
    done = CliRunner().invoke(app, [command, str(tmp_path / "nothere")])
    assert done.exit_code == Exit.UNREADABLE and "sowplan plan" in done.stderr
