"""Until when plantings stand is told alike everywhere: to the day of the job that clears them."""

from __future__ import annotations

import csv
import io
import json
import re
from datetime import date, timedelta

import pytest
from typer.testing import CliRunner

from sowplan.cli import app
from sowplan.export.outputs import drawer
from sowplan.export.page.page import page_html
from sowplan.export.pictures.season import told
from sowplan.export.tables import plantings_csv
from sowplan.season.archive import read_plan, to_json
from sowplan.supply.cleared import as_cleared
from sowplan.supply.ground import overlap
from sowplan.supply.tasks import tasks

DAY = timedelta(days=1)


def clearing(plan):
    """Return the day of the job that clears each planting, by id, from the tasks as told."""
    jobs = [one for task in tasks(plan) for one in task.jobs if one.kind == "clear"]
    return {one.planting: one.day for one in jobs}


def rows_of(data):
    return list(csv.DictReader(io.StringIO(data.decode("utf-8"))))


def test_on_no_ground_stand_two_at_once(example_folder):
    plan, _ = read_plan(example_folder / "plan.json")
    shown = as_cleared(plan)
    assert [p.id for p in shown.plantings] == [p.id for p in plan.plantings]
    by_place = {}
    for p in shown.plantings:
        by_place.setdefault(p.place, []).append(p)
    for some in by_place.values():
        for p in some:
            for q in some:
                if q is not p and overlap(p, q):
                    assert not p.occupies_from <= q.occupies_from < p.cleared, (p.id, q.id)


def test_tables_page_bed_and_pictures_have_the_jobs_day(sample_plan, tmp_path):
    on = clearing(sample_plan)
    other = [p for p in sample_plan.plantings if p.id in on and on[p.id] != p.cleared]
    assert other  # else nothing is shown by this
    table = {row["id"]: row["cleared"] for row in rows_of(plantings_csv(sample_plan))}
    page = page_html(sample_plan)
    data = json.loads(re.search(r'id="plan">(.*?)</script>', page, re.S)[1])
    start = sample_plan.site.start
    on_page = {row[0]: start + timedelta(days=row[6][7]) for row in data["plantings"]}
    for name, day in on.items():
        assert date.fromisoformat(table[name]) == on_page[name] == day
    (tmp_path / "plan.json").write_text(to_json(sample_plan), encoding="utf-8")
    for p in other[:4]:
        last = max(p.cleared, on[p.id]) - DAY
        for day in (on[p.id] - DAY, on[p.id], last):
            words = ["bed", str(tmp_path), p.place, "--on", str(day), "--json"]
            found = json.loads(CliRunner().invoke(app, words).stdout)
            there = {one["id"]: one for one in found["plantings"]}
            assert (p.id in there) == (day < on[p.id])
            assert p.id not in there or there[p.id]["cleared"] == str(on[p.id])


@pytest.mark.parametrize("picture", ["season.svg", "beds.svg"])
def test_bars_are_as_long_as_to_the_jobs_day(sample_plan, picture):
    """Pixels a day are those of the bars that end on the plan's own day, where the job is on it."""
    on, drawn = clearing(sample_plan), drawer(picture)(sample_plan)
    shown = as_cleared(sample_plan)
    titles = [told(sample_plan, p) for p in shown.plantings]
    long = {}
    for title, group in re.findall(r"<title>([^<]*)</title>(.*?)</g>", drawn, re.S):
        boxes = re.findall(r'<rect x="[\d.]+" y="[\d.]+" width="([\d.]+)"', group)
        long[title] = max(map(float, boxes), default=0.0)
    days = {True: [], False: []}
    for p, now, title in zip(sample_plan.plantings, shown.plantings, titles, strict=True):
        day, begins = on.get(p.id), p.occupies_from
        within = sample_plan.site.start <= begins and day and day <= sample_plan.site.end
        if within and titles.count(title) == 1 and now.harvest_start < day:
            days[day == p.cleared].append(long[title] / (day - begins).days)
    assert days[True] and days[False]
    assert days[False] == pytest.approx([days[True][0]] * len(days[False]), rel=0.01)
