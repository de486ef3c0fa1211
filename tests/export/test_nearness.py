"""How near the best a plan is stands wherever the plan does."""

import re
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from typer.testing import CliRunner

from sowplan.cli import app
from sowplan.export.nearness import distance_told, near_told
from sowplan.export.page.page import page_html
from sowplan.export.print.content import content
from sowplan.export.summary import summary

NORTHERN = Path(__file__).resolve().parents[2] / "examples/northern/garden.toml"


def with_quality(plan, **how):
    return replace(plan, quality=replace(plan.quality, **how))


@pytest.mark.parametrize(
    ("missing", "bound", "points"),
    [
        (0.05, 0.02, "3.00"),
        (0.0037, 0.0, "0.37"),
        (0.00002, 0.00001, "0.01"),
        (0.03254, 0.02, "1.26"),  # as a limit it is rounded up
    ],
)
def test_the_points_are_those_between_what_is_missing_and_the_bound(
    sample_plan, missing, bound, points
):
    plan = with_quality(sample_plan, missing_share=missing, missing_share_bound=bound, proven=False)
    told = f"at most {points} percentage points from the best"
    assert told in near_told(plan) and told in distance_told(plan.quality)
    page = page_html(plan).replace("\u00a0", " ")  # between a figure and its unit
    assert told in page and told in content(plan, ["season"])["note"].replace("\u00a0", " ")
    assert told in " ".join(summary(plan).split())
    full = f"{plan.quality.bound_by}."
    assert full in " ".join(summary(plan).split())
    known = page.partition("<summary>How this is known</summary>")[2]
    assert full in known.partition("</details>")[0]


@pytest.mark.parametrize(("missing", "bound"), [(0.01474, 0.0022), (0.0999, 0.00004), (0.3, 0.2)])
def test_who_subtracts_the_figures_told_has_the_points_told(sample_plan, missing, bound):
    plan = with_quality(sample_plan, missing_share=missing, missing_share_bound=bound, proven=False)
    lacks, least, points = map(Decimal, re.findall(r"\d+\.\d+", distance_told(plan.quality)))
    assert lacks - least == points >= Decimal(repr(missing)) * 100 - Decimal(repr(bound)) * 100


def test_the_best_is_called_that(sample_plan):
    plan = with_quality(sample_plan, missing_share=0.02, missing_share_bound=0.02)
    assert near_told(plan).startswith("No plan can bring more of what is wanted")


def test_of_a_plan_without_wants_nothing_is_said(sample_plan):
    assert near_told(with_quality(sample_plan, wanted=0.0)) == ""


def test_plan_says_it_on_the_screen(tmp_path):
    done = CliRunner().invoke(app, ["plan", str(NORTHERN), "--out", str(tmp_path / "plan")])
    said = " ".join(done.stdout.split())
    assert "percentage points from the best" in said or "No plan can bring more" in said
