"""``sowplan bed``: one place on one day, in words, as values and as a picture."""

from __future__ import annotations

import json
import re
import xml.etree.ElementTree as ET
from datetime import date, timedelta

import numpy as np
import pytest
from typer.testing import CliRunner

from sowplan.cli import app
from sowplan.export.bed_on import bed_on, told
from sowplan.export.pictures.bed_crops import Patch
from sowplan.export.pictures.bed_on_day import bed_on_svg, slots_on_svg
from sowplan.export.pictures.bed_plan import BedView, bed_plan_svg
from sowplan.export.pictures.style import LIGHT
from sowplan.problem import Exit
from sowplan.season.archive import to_json

DAY = date(2026, 11, 14)
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def folder(sample_plan, tmp_path_factory):
    """Return a plan folder with the invented season in it."""
    out = tmp_path_factory.mktemp("bed") / "plan"
    out.mkdir()
    (out / "plan.json").write_text(to_json(sample_plan), encoding="utf-8")
    return out


def run(*words, code=0):
    result = CliRunner().invoke(app, ["bed", *map(str, words)])
    assert result.exit_code == code, result.output
    return result


def test_what_stands_there_is_what_the_plan_says(sample_plan, folder):
    for place in sample_plan.places:
        found = json.loads(run(folder, place.name, "--on", DAY, "--json").stdout)
        there = {
            p.id
            for p in sample_plan.plantings
            if p.place == place.name and (p.planting_out or p.sow) <= DAY < p.cleared
        }
        assert {one["id"] for one in found["plantings"]} == there
        for one in found["plantings"]:
            if place.kind == "bed":
                assert len(one["positions"]) == one["plants"]
            assert 0 <= one["spread_now_m"] <= one["spread_m"]


def test_what_is_set_and_not_sown_is_said_to_be_planted(planted_plan):
    (p,) = (p for p in planted_plan.plantings if p.id == "radish-1")
    before, there = (
        "\n".join(told(planted_plan, bed_on(planted_plan, p.place, day)))
        for day in (p.sow - timedelta(days=1), p.sow)
    )
    assert f"Radish ({p.plants} plants) is planted, " in before
    assert f"planted {p.sow.day} " in there and f"sown {p.sow.day} " not in there


def test_free_stretches_and_plantings_fill_the_bed(sample_plan):
    for place in sample_plan.places:
        if place.kind != "bed":
            continue
        for days in range(0, 240, 40):
            found = bed_on(sample_plan, place.name, sample_plan.site.start + timedelta(days))
            taken = sum(batch.planting.strip_length_m for batch in found.batches)
            free = sum(one.end_m - one.start_m for one in found.free)
            inner = place.length_m - 2 * place.edge_m
            assert taken + free == pytest.approx(inner, abs=0.05 * (len(found.batches) + 1))


def test_changes_come_after_the_day_and_in_order(sample_plan):
    found = bed_on(sample_plan, "Long bed", DAY)
    days = [change.day for change in found.changes]
    assert days and days == sorted(days) and min(days) > DAY
    events = {
        day
        for p in sample_plan.plantings
        if p.place == "Long bed"
        for day in (p.cleared, p.planting_out or p.sow, p.harvest_start)
        if day > DAY
    }
    assert days[0] == min(events)


def test_marks_told_are_those_of_the_planting_sheet(sample_plan):
    from sowplan.export.print.marks import marks

    found = bed_on(sample_plan, "Gate bed", DAY)
    words = "\n".join(told(sample_plan, found))
    assert found.batches
    for batch in found.batches:
        for what, where in marks(sample_plan, batch.planting):
            assert f"{what} {where}" in words


def test_the_picture_has_every_plant_to_scale(sample_plan):
    found = bed_on(sample_plan, "Gate bed", DAY)
    picture = bed_on_svg(sample_plan, found)
    root = ET.fromstring(picture)
    plants = sum(batch.planting.plants for batch in found.batches)
    assert len(list(root.iter(SVG + "use"))) == plants
    assert ">N</text>" in picture and "dashed: today" in picture
    assert bed_on_svg(sample_plan, found) == picture
    # Radii against the scale bar: the full circle is as wide as the plant grows.
    bar = [float(r.get("width")) for r in root.iter(SVG + "rect") if r.get("height") == "4"]
    per_m = sum(bar) / (float(re.search(r">([\d.]+) cm</text>", picture)[1]) / 100)
    for n, batch in enumerate(found.batches):
        group = next(g for g in root.iter(SVG + "g") if (g.get("id") or "").endswith(f"-{n}"))
        radius = float(next(group.iter(SVG + "circle")).get("r"))
        if radius > 2.0:
            assert radius == pytest.approx(batch.full_m / 2 * per_m, abs=0.02)


def test_fills_say_the_stage_and_marks_the_crop():
    """As in every picture hatched orange is harvest; batches of one crop share their mark."""
    spots = np.array([[0.3, 0.3], [0.6, 0.3]])
    batches = (
        Patch("Rocket", spots, 0.2, ripe=True),
        Patch("Kale", spots, 0.2, ripe=False),
        Patch("Rocket", spots, 0.2, ripe=False),
    )
    picture = bed_plan_svg(BedView("Bed", "", 2.0, 0.9, batches))
    groups = {g.get("id"): list(g) for g in ET.fromstring(picture).iter(SVG + "g")}
    fills = [groups[f"bed-{n}"][0].get("fill") for n in range(3)]
    marks = [ET.tostring(groups[f"bed-{n}"][-1]) for n in range(3)]
    assert fills == ["url(#bed-harvest)", LIGHT.grow, LIGHT.grow]
    assert marks[0] == marks[2] != marks[1]
    assert 'id="bed-harvest"' in picture
    assert ">growing</text>" in picture and ">in harvest</text>" in picture


def test_holes_and_pots_are_numbered_and_marked(sample_plan):
    found = bed_on(sample_plan, "Rail", date(2026, 12, 10))
    picture = slots_on_svg(sample_plan, found)
    ET.fromstring(picture)
    for slot in range(1, sample_plan.place("Rail").holes + 1):
        assert f">{slot}</text>" in picture
    for batch in found.batches:
        assert batch.crop.name in picture


@pytest.mark.parametrize("kind", ["svg", "png"])
@pytest.mark.parametrize("place", ["Long bed", "Step pots"])
def test_pictures_are_written(folder, tmp_path, kind, place):
    file = tmp_path / f"bed.{kind}"
    assert str(file) in run(folder, place.upper(), "--on", DAY, "-o", file).stdout
    head = file.read_bytes()[:5]
    assert head == (b"<svg " if kind == "svg" else b"\x89PNG\r")


def test_what_is_wrong_is_said_plainly(folder, tmp_path):
    assert "Did you mean 'Long bed'?" in run(folder, "Lng bed", code=Exit.WRONG).stderr
    assert "Which place? There are Long bed, Gate bed" in run(folder, code=Exit.USAGE).stderr
    assert "-o" in run(folder, "Rail", "-o", tmp_path / "x.bmp", code=Exit.USAGE).stderr
    assert "--on" in run(folder, "Rail", "--on", "soon", code=2).stderr
    assert run(tmp_path / "none", "Rail", code=Exit.UNREADABLE).stdout == ""


def test_a_day_outside_the_season_says_so(folder):
    shown = run(folder, "Long bed", "--on", "2031-01-01").stdout
    assert "The plan runs from" in shown and "Nothing stands here" in shown


def test_a_part_of_a_name_will_do_where_it_is_one_places(folder, sample_plan):
    """Of several that have it each is named, not the likeliest one alone."""
    one = run(folder, "rai", "--on", DAY).stdout
    assert one == run(folder, "Rail", "--on", DAY).stdout
    beds = [place.name for place in sample_plan.places if "bed" in place.name.casefold()]
    assert len(beds) > 1
    told = run(folder, "bed", "--on", DAY, code=Exit.WRONG).stderr
    assert all(name in told for name in beds) and "Did you mean" not in told


def test_it_goes_by_the_diary(sample_plan, folder, tmp_path):
    """Of what was lost, skipped or cleared it shows what is left, and tells no more of it."""
    there = tmp_path / "plan"
    there.mkdir()
    (there / "plan.json").write_bytes((folder / "plan.json").read_bytes())
    entries, gone, fewer = [], set(), {}
    for p in sample_plan.plantings:
        into = p.planting_out or p.sow
        if not into < DAY < p.cleared:
            continue
        if len(gone) < 2:
            entries.append(f"{DAY} cleared {p.id}" if gone else f"{p.sow} skipped {p.id}")
            gone.add(p.id)
        elif p.plants > 1:
            entries.append(f"{DAY} lost {p.id} 1")
            fewer[p.id] = p.plants - 1
    assert len(gone) == 2 and fewer
    (there / f"diary-{sample_plan.site.start}.txt").write_text("\n".join(entries) + "\n")
    shown = {}
    for place in sample_plan.places:
        found = json.loads(run(there, place.name, "--on", DAY, "--json").stdout)
        shown |= {one["id"]: one["plants"] for one in found["plantings"]}
    assert not gone & shown.keys()
    assert {name: shown[name] for name in fewer} == fewer
