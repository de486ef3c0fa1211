"""A plan written to its file reads back equal, and a damaged file is told off key by key."""

import json

import pytest

from sowplan.problem import Exit
from sowplan.season.archive import LATER, PlanFileError, from_json, read_plan, to_json, write_plan


def test_reads_back_equal(sample_plan):
    text = to_json(sample_plan)
    assert from_json(text) == sample_plan
    assert to_json(from_json(text)) == text


def test_a_file_of_before_reads_with_what_was_not_yet_known_left_open(sample_plan):
    """Every field added to this version of the form since may be missing, and has its default."""
    data = json.loads(to_json(sample_plan))
    records = {
        "Plan": [data], "PlanSite": [data["site"]], "SkyDay": data["sky"],
        "PlanPlace": data["places"], "Planting": data["plantings"],
        "WantPeriod": data["wants"], "Gain": data["gains"], "Quality": [data["quality"]],
    }  # fmt: skip
    for name in LATER:
        kind, field = name.split(".")
        for record in records[kind]:
            del record[field]
    plan = from_json(json.dumps(data))
    assert {day.eto_mm for day in plan.sky} == {None}
    assert {place.light for place in plan.places} == {()}
    assert {want.priority for want in plan.wants} == {1.0}
    assert plan.site.away == () and plan.gains == () and plan.revision == 0
    assert [p.id for p in plan.plantings] == [p.id for p in sample_plan.plantings]
    assert from_json(to_json(plan)) == plan


def test_a_standard_reader_reads_it(sample_plan):
    data = json.loads(to_json(sample_plan))
    assert data["plantings"][0]["sow"].count("-") == 2
    assert len(data["wants"]) == len(sample_plan.wants)


def test_written_whole(sample_plan, tmp_path):
    path = tmp_path / "plan.json"
    assert write_plan(sample_plan, path) == []
    assert [p.name for p in tmp_path.iterdir()] == ["plan.json"]
    assert read_plan(path) == (sample_plan, [])
    (problem,) = write_plan(sample_plan, tmp_path / "nowhere" / "plan.json")
    assert problem.exit is Exit.UNWRITABLE


def test_every_damage_is_named_at_once(sample_plan):
    data = json.loads(to_json(sample_plan))
    data["plantings"][2]["plant"] = data["plantings"][2].pop("plants")
    data["plantings"][0]["sow"] = "2026-13-01"
    data["site"]["latitude"] = "south"
    data["places"][0]["kind"] = "hammock"
    with pytest.raises(PlanFileError) as caught:
        from_json(json.dumps(data), "my/plan.json")
    found = {problem.where: problem for problem in caught.value.problems}
    assert set(found) == {
        "plantings[2].plant",
        "plantings[2].plants",
        "plantings[0].sow",
        "site.latitude",
        "places[0].kind",
    }
    assert "Did you mean 'plants'?" in found["plantings[2].plant"].message
    assert found["plantings[0].sow"].found == '"2026-13-01"'
    assert all(problem.file == "my/plan.json" for problem in found.values())


@pytest.mark.parametrize("text", ["", "{", "[]", '{"version": 99}', '{"version": NaN}'])
def test_what_is_no_plan_is_unreadable(text):
    with pytest.raises(PlanFileError) as caught:
        from_json(text)
    assert [problem.exit for problem in caught.value.problems] == [Exit.UNREADABLE]


def test_a_missing_file_is_a_problem(tmp_path):
    plan, problems = read_plan(tmp_path / "none.json")
    assert plan is None and problems[0].exit is Exit.UNREADABLE
