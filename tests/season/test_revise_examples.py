"""The example gardens in the midst of their seasons: as planned, nothing is planned otherwise."""

from datetime import timedelta
from pathlib import Path

from sowplan.records.garden_file import read_garden
from sowplan.season.archive import read_plan
from sowplan.season.revise.again import revise

ROOT = Path(__file__).resolve().parents[2]


def test_untouched_an_example_stays_as_it_is(example_folder):
    name = example_folder.name.removeprefix("plan-")
    reading = read_garden(ROOT / "examples" / name / "garden.toml")
    plan, problems = read_plan(example_folder / "plan.json")
    assert problems == []
    today = plan.site.start + timedelta(days=100)
    assert revise(plan, reading.garden, reading.crops, today) == (plan, [], [])
