"""On what paper the sheets come: as the garden file says, else as its units let expect."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest
from pypdf import PdfReader
from typer.testing import CliRunner

from gardens import YEAR
from sowplan.cli import app
from sowplan.export.print.pdf import paper_of, print_pdf
from sowplan.records.garden_file.read import read_garden_text
from sowplan.season.archive import from_json, to_json

# ISO 216 and the North American letter, in points of 1/72 in.
SIZES = {"a4": (297 / 25.4 * 72, 210 / 25.4 * 72), "letter": (11 * 72, 8.5 * 72)}


def on(plan, **site):
    return replace(plan, site=replace(plan.site, **site))


@pytest.mark.parametrize(
    ("units", "paper", "comes"),
    [
        ("metric", "", "a4"),
        ("imperial", "", "letter"),
        ("imperial", "a4", "a4"),
        ("metric", "letter", "letter"),
    ],
)
def test_the_paper_of_a_plan(sample_plan, units, paper, comes):
    plan = on(sample_plan, units=units, paper=paper)
    assert paper_of(plan) == comes and from_json(to_json(plan)) == plan
    page = PdfReader(io.BytesIO(print_pdf(plan, sheets=("season",)))).pages[0].mediabox
    assert sorted((page.width, page.height)) == pytest.approx(sorted(SIZES[comes]), abs=0.5)


def test_the_command_says_on_what_it_printed(sample_plan, tmp_path):
    (tmp_path / "plan.json").write_text(to_json(on(sample_plan, units="imperial")), "utf-8")
    words = ["print", str(tmp_path), "--sheet", "shopping"]
    assert "on Letter" in CliRunner().invoke(app, words).output
    assert "on A4" in CliRunner().invoke(app, [*words, "--paper", "a4"]).output


@pytest.mark.parametrize(
    ("written", "paper"), [('"A4"', "a4"), ('"Letter"', "letter"), ('"US letter"', "letter")]
)
def test_a_garden_file_names_its_paper(written, paper):
    reading = read_garden_text(f"paper = {written}\n{YEAR}", "g.toml")
    assert reading.garden.paper == paper


def test_other_paper_is_told():
    (problem,) = read_garden_text(f'paper = "A3"\n{YEAR}', "g.toml").problems
    assert problem.where == "paper" and '"a4", "letter"' in problem.message
