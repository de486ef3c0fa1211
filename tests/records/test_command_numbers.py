"""Options that are numbers: ``nan`` and ``inf`` read as such, and are none to plan with."""

import pytest
from typer.testing import CliRunner

from sowplan.cli import app


@pytest.mark.parametrize("text", ["nan", "inf", "-inf"])
@pytest.mark.parametrize(
    "line",
    [
        ["plan", "garden.toml", "--effort"],
        ["plan", "garden.toml", "--safety"],
        ["revise", "garden.toml", "--effort"],
    ],
)
def test_what_is_no_number_to_plan_with_is_told(line, text, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    result = CliRunner().invoke(app, [*line, text])
    assert result.exit_code == 2 and line[-1] in result.stderr
    assert not list(tmp_path.iterdir())
