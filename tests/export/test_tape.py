"""Whatever says where along a bed something stands measures from the same end of the same board."""

from __future__ import annotations

import csv
import dataclasses
import io
import re

import pytest

from sowplan.export.pictures.words import where_in_place
from sowplan.export.print.content import planting_card
from sowplan.export.tables import plantings_csv
from sowplan.supply.tasks import tasks


@pytest.fixture(scope="module")
def edged(sample_plan):
    """Return the invented season with a bare margin of 7 cm around every bed."""

    def with_margin(place):
        if place.kind != "bed":
            return place
        more = 2 * (0.07 - place.edge_m)
        sides = {"length_m": place.length_m + more, "width_m": place.width_m + more}
        return dataclasses.replace(place, edge_m=0.07, **sides)

    return dataclasses.replace(sample_plan, places=tuple(map(with_margin, sample_plan.places)))


def test_table_page_and_sheet_measure_from_the_board(edged):
    rows = csv.DictReader(io.StringIO(plantings_csv(edged).decode("utf-8")))
    table = {row["id"]: row for row in rows}
    beds = [p for p in edged.plantings if p.kind == "bed"]
    assert beds
    for p in beds:
        start, end = (100 * float(table[p.id][f"{side}_m"]) for side in ("from", "to"))
        assert start == pytest.approx(7 + 100 * p.strip_start_m, abs=0.06)
        for words in (where_in_place(edged, p), planting_card(edged, p)["where"]):
            low, high, unit = re.search(r"([\d.]+)–([\d.]+) (cm|m)$", words).groups()
            factor = 100 if unit == "m" else 1
            assert float(low) * factor == pytest.approx(start, abs=1.0), words
            assert float(high) * factor == pytest.approx(end, abs=1.0), words


def test_the_jobs_measure_from_the_board_too(edged):
    """A planting alone on its day has its stretch of the bed in the job's details or title."""
    spans = {p.id: where_in_place(edged, p) for p in edged.plantings if p.kind == "bed"}
    told = [
        (task, spans[task.planting])
        for task in tasks(edged)
        if task.kind == "plant out" and task.planting in spans and not task.parts
    ]
    assert told
    for task, span in told:
        assert span.replace("–", "-") in f"{task.title} {task.details}", task.id
