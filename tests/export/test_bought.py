"""Bought plants in every output: told as bought, without seed, tray or line of a tray."""

from __future__ import annotations

import csv
import dataclasses
import io
import json
import re
from datetime import date, timedelta

import pytest
from pypdf import PdfReader

from sowplan.export.calendar import calendar
from sowplan.export.changes import changes_text
from sowplan.export.page.data import page_data
from sowplan.export.page.page import page_html
from sowplan.export.pictures.glance import glance_svg
from sowplan.export.pictures.season import season_svg
from sowplan.export.pictures.words import sowings_text
from sowplan.export.print.content import key_dates
from sowplan.export.print.pdf import print_pdf
from sowplan.export.summary import summary
from sowplan.export.tables import plantings_csv, seeds_csv
from sowplan.season.archive import from_json, to_json
from sowplan.season.revise.changes import changes_between

DAY = date(2026, 11, 1)
ALIKE = {"sow": DAY, "emergence": DAY, "planting_out": DAY, "tray": None, "cells": 0, "seeds": 0}


def bought(plan, *crops):
    """Return a plan with some crops' plantings bought and planted out on 1 November."""
    plantings = (dataclasses.replace(p, **ALIKE) if p.crop in crops else p for p in plan.plantings)
    return dataclasses.replace(plan, plantings=tuple(plantings))


@pytest.fixture(scope="module")
def plan(sample_plan):
    """Return the invented season, its 4 and 2 cherry tomatoes bought."""
    return bought(sample_plan, "tomato-cherry")


def rows(text):
    return list(csv.DictReader(io.StringIO(text.decode("utf-8-sig"))))


def test_it_is_written_and_read_back(plan):
    assert from_json(to_json(plan)) == plan


def test_the_summary_tells_what_to_buy(plan, sample_plan):
    """By the sample: of 2 sowings of tomatoes one lot is left, bought for both places."""
    text = summary(plan)
    many = len({p.sowing for p in sample_plan.plantings})
    assert re.search(rf"{many - 2} sowings and 1\s+lot of bought\s+plants", text)
    section = text.split("Young plants to buy")[1].split("\n\n")[0]
    assert "- 1 November: 6 Cherry tomato." in section
    november = text.split("November 2026\n")[1].split("December 2026")[0]
    assert "Cherry tomato" not in november.split("Plant out")[0]
    assert "Cherry tomato 1st" in november.split("Plant out")[1]
    assert "Young plants" not in summary(sample_plan)


def test_the_tables(plan):
    mine = [row for row in rows(plantings_csv(plan)) if row["crop"] == "tomato-cherry"]
    assert [(r["sow"], r["emergence"], r["planting_out"], r["tray"]) for r in mine] == [
        ("", "", "2026-11-01", "")
    ] * 2
    (row,) = [row for row in rows(seeds_csv(plan)) if row["crop"] == "tomato-cherry"]
    assert (row["what"], row["first_sowing"]) == ("young plants", "2026-11-01")
    assert (row["number_sown"], row["number_to_have"]) == ("0", "6")


def test_the_season_has_no_line_of_a_tray_for_them(plan, sample_plan):
    raised = [p for p in sample_plan.plantings if p.tray]
    assert season_svg(plan).count("bought, planted out 1 Nov, harvest") == 2
    assert "bought" not in season_svg(sample_plan)
    lines = [len(re.findall('class="t"', page_html(one))) for one in (sample_plan, plan)]
    assert lines[0] - lines[1] == sum(p.crop == "tomato-cherry" for p in raised) == 2


def test_the_season_by_crop_marks_them(plan, sample_plan):
    drawn = glance_svg(plan)
    assert drawn.count("<polygon") == 2 + 1  # a batch each, and the key
    assert "Cherry tomato: 2 lots bought." in drawn and "1 lot bought" in drawn
    assert "bought" not in glance_svg(sample_plan) and "<polygon" not in glance_svg(sample_plan)


def test_the_page_knows_them(plan):
    found = json.loads(re.sub(r"<\\/", "</", page_data(plan, 2.0)))
    trays = {row[0]: row[4] for row in found["plantings"]}
    assert {name: tray for name, tray in trays.items() if name.startswith("tomato")} == {
        "tomato-cherry-1": -2,
        "tomato-cherry-2": -2,
    }
    assert min(tray for name, tray in trays.items() if not name.startswith("tomato")) == -1


def test_counted_as_one(plan, sample_plan):
    assert "and 1 lot of bought plants" in sowings_text(plan)
    every = bought(sample_plan, *{p.crop for p in sample_plan.plantings})
    assert sowings_text(every).startswith(f"{len({p.crop for p in every.plantings})} lots of")


def test_what_stood_when_the_season_began_is_no_sowing_of_it(sample_plan):
    one = next(p for p in sample_plan.plantings if not p.bought)
    before = dataclasses.replace(one, sow=sample_plan.site.start - timedelta(days=80), id="old-1")
    with_it = dataclasses.replace(sample_plan, plantings=(*sample_plan.plantings, before))
    assert len({p.sowing for p in with_it.plantings}) > len(
        {p.sowing for p in sample_plan.plantings}
    )
    assert sowings_text(with_it) == sowings_text(sample_plan)


def test_the_sheets(plan, sample_plan):
    text = PdfReader(io.BytesIO(print_pdf(plan, "a4", ("shopping",)))).pages[-1].extract_text()
    after = text.split("Young plants")[1]
    assert "6 plants" in after and "1 November 2026" in after and "Cherry tomato" in after
    every = bought(sample_plan, *{p.crop for p in sample_plan.plantings})
    told = {words for words, _ in key_dates(every)}
    assert "First planting out" in told and "First sowing" not in told
    text = PdfReader(io.BytesIO(print_pdf(every, "a4", ("shopping",)))).pages[0].extract_text()
    assert "Have in hand" not in text


def test_the_calendar_says_once_what_to_look_for(plan):
    text = calendar(plan).decode().replace("\r\n ", "")
    (event,) = [one for one in text.split("BEGIN:VEVENT") if "SUMMARY:Buy" in one]
    assert "SUMMARY:Buy 6 Cherry tomato plants" in event and "CATEGORIES:Buy" in event
    assert "4 to Gate bed" in event and "2 to Step pots" in event
    assert event.count("Choose short") == 1


def test_a_change_to_bought_plants_is_told(plan, sample_plan):
    today = date(2026, 9, 1)
    text = changes_text(changes_between(sample_plan, plan, today), sample_plan, plan)
    assert text.count("bought as plants") == 2
