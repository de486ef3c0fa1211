"""A cover laid over one sowing: it grows as in a bed that has it, and only that sowing does.

Held against the same garden with the cover on a bed of its own, which is how it was said before.
"""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta

import pytest

from garden_text import bed, sowing, table, want
from sowplan.export.bed_on import bed_on
from sowplan.export.pictures.bed_day import beds_key_svg, beds_on_svg
from sowplan.export.pictures.bed_on_day import bed_on_svg
from sowplan.export.pictures.season import told
from sowplan.records.garden_file import read_garden_text
from sowplan.records.garden_file.next_year import _sowing_text
from sowplan.season.archive import from_json, to_json
from sowplan.season.planner import make_plan
from sowplan.season.settled import cannot_be
from sowplan.supply.tasks import jobs

SITE = """
[site]
name = "Valley"
latitude = -35.4
longitude = -71.6
timezone = "America/Santiago"
elevation = "110 m"

# Of an inland valley in the south, from memory.
[climate]
tmin = [12.5, 12, 10, 7, 5.5, 4, 3.5, 4.5, 5.5, 7.5, 9.5, 11.5]
tmax = [30, 29, 26.5, 21.5, 16.5, 13, 12.5, 14.5, 17, 20.5, 24.5, 28]

[season]
start = 2026-10-01
end = 2027-06-30
sow_on = ["Saturday"]

"""
BASIL_DAY = date(2026, 12, 12)


def garden(place=None, cover=None, *, open_has=None, other_has=None, day=BASIL_DAY):
    """Return the text of a garden of two open beds, pots and a glasshouse, basil sown in one."""
    places = bed("Open", "2 m", cover=open_has) + bed("Other", "1 m", cover=other_has)
    places += table("pot", name="Pots", count=6, volume="20 l")
    places += bed("House", "1 m", cover="glass")
    tray = table("tray", name="Sill", cells=24, temperature="18 °C")
    wish = want("radish", 1, "2026-11-28", "2026-12-18")
    return SITE + places + tray + wish + sowing("basil", day, 6, place, cover=cover)


def planned(text):
    reading = read_garden_text(text, "garden.toml")
    assert not reading.problems
    made, problems = make_plan(reading.garden, reading.crops, effort=0.05)
    assert problems == []
    return made


def basil(plan):
    (found,) = [p for p in plan.plantings if p.crop == "basil"]
    return found


@pytest.fixture(scope="module")
def laid():
    """Return the plan of fleece laid over basil in an open bed."""
    return planned(garden("Open", "fleece"))


def test_it_grows_as_in_a_bed_that_has_the_cover(laid):
    one, other = basil(laid), basil(planned(garden("Open", open_has="fleece")))
    assert one.cover == "fleece" and other.cover == "none"
    assert replace(one, cover="none") == other


def test_it_may_be_sown_later_than_in_the_open():
    """What cold would take in the open is a problem there, told before anything is planned."""

    def why_not(cover, day):
        reading = read_garden_text(garden("Open", cover, day=day), "garden.toml")
        return [p.message for p in cannot_be(reading.garden, reading.crops)]

    saturdays = [date(2026, 12, 5) + timedelta(weeks=n) for n in range(10)]
    last = {
        cover: max(day for day in saturdays if not why_not(cover, day))
        for cover in (None, "fleece")
    }
    assert last[None] < last["fleece"] < saturdays[-1]
    (told,) = why_not(None, last["fleece"])
    assert "would kill it" in told


def test_only_what_it_is_laid_over_is_under_it(laid):
    """The bed itself stays open: what else is sown there grows as it did."""
    assert {p.cover for p in laid.plantings if p.crop != "basil"} == {"none"}
    assert {place.cover for place in laid.places} == {"none", "glass"}


def test_left_to_the_plan_it_goes_to_a_bed_in_the_open():
    assert basil(planned(garden(cover="fleece"))).place in ("Open", "Other")


@pytest.mark.parametrize("place", ["Pots", "House"])
def test_elsewhere_it_is_a_problem_with_its_line(place):
    text = garden(place, "fleece")
    (problem,) = read_garden_text(text, "garden.toml").problems
    assert text.splitlines()[problem.line - 1] == 'cover = "fleece"' and place in problem.message


def test_in_a_garden_without_open_beds_it_is_a_problem_too():
    text = garden(cover="fleece", open_has="tunnel", other_has="tunnel")
    reading = read_garden_text(text, "garden.toml")
    assert not reading.problems
    (problem,) = cannot_be(reading.garden, reading.crops)
    assert problem.where.endswith("cover") and problem.found == "fleece"


def test_it_is_laid_and_taken_off(laid):
    mine = [one for one in jobs(laid) if one.planting == basil(laid).id]
    put_over = [one for one in mine if "Put fleece over it" in one.details]
    off = [one for one in mine if "Take the fleece off" in one.details]
    assert [one.day for one in put_over] == [basil(laid).planting_out]
    assert [one.kind for one in off] == ["clear"]


@pytest.mark.parametrize(("cover", "under"), [("fleece", "fleece"), ("tunnel", "a tunnel")])
def test_pictures_show_it_with_a_word_for_it(cover, under):
    """A line within the ground of its strip, hoops of a tunnel; nothing of it over anything else.

    Where there is no cover there is neither the sign nor the word.
    """
    laid = planned(garden("Open", cover))
    bare = replace(laid, plantings=tuple(replace(p, cover="none") for p in laid.plantings))
    mine = basil(laid)
    day = mine.planting_out + timedelta(days=1)
    sign = 'stroke-dasharray="6 2.4 1.2 2.4"'
    of_bed, of_all = (
        [draw(plan) for plan in (laid, bare)]
        for draw in (
            lambda plan: bed_on_svg(plan, bed_on(plan, "Open", day)),
            lambda plan: beds_on_svg(plan, day),
        )
    )
    assert f"{cover} over it, while it stands" in of_bed[0] and of_bed[0].count(sign) == 2
    assert of_all[0].count(sign) == 1 and f"Basil, under {under}" in of_all[0]
    assert not [drawn for drawn in (of_bed[1], of_all[1]) if sign in drawn or "under" in drawn]
    box = re.search(rf'<rect x="([\d.]+)" y="[\d.]+" width="([\d.]+)"[^>]*{sign}', of_all[0])
    (spot,) = re.findall(r'<rect x="([\d.]+)" y="([\d.]+)" width="(160|320)"', of_all[0])[:1]
    per_m = float(spot[2]) / 2.0
    left, wide = float(box[1]) - float(spot[0]), float(box[2])
    assert mine.strip_start_m * per_m <= left
    assert left + wide <= (mine.strip_start_m + mine.strip_length_m) * per_m
    (batch,) = [b for b in bed_on(laid, "Open", day).batches if b.planting == mine]
    assert f", under {under}; harvest" in batch.state and f", under {under}: " in told(laid, mine)
    assert f">{cover}<" in beds_key_svg(covers=(cover,)) and cover not in beds_key_svg()


def test_it_is_kept_in_the_plan_and_in_next_years_file():
    reading = read_garden_text(garden("Open", "tunnel"), "garden.toml")
    plan, _ = make_plan(reading.garden, reading.crops, effort=0.05)
    assert from_json(to_json(plan)) == plan and basil(plan).cover == "tunnel"
    assert re.search(r'^cover = "tunnel"$', _sowing_text(reading.garden.sowings[0]), re.M)
