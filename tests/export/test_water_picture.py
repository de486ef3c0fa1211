"""The picture of water: sound, the same each time, true to the plan's litres, legible in grey."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from datetime import date

import pytest

from sowplan.export.pictures.lettering import width
from sowplan.export.pictures.water import water_svg
from sowplan.export.pictures.water_rows import ROOM, rows, told, whole
from sowplan.supply.water import water

NS = "{http://www.w3.org/2000/svg}"


def imperial(plan):
    return replace(plan, site=replace(plan.site, units="imperial"))


def no_rain(plan):
    return replace(plan, sky=tuple(replace(day, rain_mm=None) for day in plan.sky))


def polar_night(plan):
    return replace(plan, sky=tuple(replace(day, eto_mm=0.0) for day in plan.sky))


def of_before(plan):
    return replace(plan, sky=tuple(replace(day, eto_mm=None) for day in plan.sky))


def many(plan):
    """Return a plan of sixty beds of two kinds, each as the Gate bed, on the imperial scale."""
    gate = plan.place("Gate bed")
    beds = tuple(replace(gate, name=f"Field {n}") for n in range(1, 51))
    beds += tuple(replace(gate, name=f"House {n}", cover="tunnel") for n in range(1, 11))
    batches = [p for p in plan.plantings if p.place == "Gate bed"]
    return imperial(replace(
        plan,
        places=beds,
        plantings=tuple(
            replace(p, id=f"{p.id}-{n}", place=bed.name)
            for n, bed in enumerate(beds) for p in batches
        ),
        wants=(),
    ))  # fmt: skip


def short(plan):
    """Return three days of a plan."""
    site = replace(plan.site, start=date(2026, 12, 4), end=date(2026, 12, 6))
    sky = tuple(day for day in plan.sky if site.start <= day.day <= site.end)
    return replace(plan, site=site, sky=sky)


def bare(plan):
    return replace(plan, sky=(), places=(), trays=(), plantings=(), wants=(), crops=())


CHANGES = [imperial, no_rain, polar_night, of_before, many, short, bare]


@pytest.mark.parametrize("change", [None, *CHANGES])
@pytest.mark.parametrize("dark", [False, True])
def test_it_is_sound_titled_and_the_same_each_time(sample_plan, change, dark):
    plan = change(sample_plan) if change else sample_plan
    made = water_svg(plan, dark)
    root = ET.fromstring(made)
    assert root.find(f"{NS}title").text == "Water by week"
    assert root.find(f"{NS}desc").text
    assert made == water_svg(plan, dark)
    assert "nan" not in re.sub(r">[^<]*<", "><", made)
    _, _, wide, high = map(float, root.get("viewBox").split())
    for shape in root.iter(f"{NS}rect"):
        x, y, w, h = (float(shape.get(name)) for name in ("x", "y", "width", "height"))
        assert 0 <= x and x + w <= wide + 0.02 and -0.02 <= y and y + h <= high + 0.02
    for text in root.iter(f"{NS}text"):
        size = float(text.get("font-size", 12.5))
        runs = width(text.text, size, text.get("font-weight") == "600")
        left = float(text.get("x")) - (runs if text.get("text-anchor") == "end" else 0)
        assert left >= 0 and left + runs <= wide, text.text
        assert 0 < float(text.get("y")) < high


def test_the_description_has_the_litres(sample_plan):
    said = ET.fromstring(water_svg(sample_plan)).find(f"{NS}desc").text
    for one in water(sample_plan):
        assert f"{one.place.name}: {told(one.give_l, 'metric')} to give" in said
    assert f"Whole garden: {told(sum(p.give_l for p in water(sample_plan)), 'metric')}" in (said)


def test_bars_are_as_high_as_the_litres(sample_plan):
    """Of one place: heights of filled bars stand in the ratio of the weeks' litres to give."""
    (one,) = (p for p in water(sample_plan) if p.place.name == "Step pots")
    plan = replace(
        sample_plan,
        places=(one.place,),
        plantings=tuple(p for p in sample_plan.plantings if p.place == "Step pots"),
    )
    root = ET.fromstring(water_svg(plan))
    bars = [r for r in root.iter(f"{NS}rect") if r.get("fill") == "#b9d3ea"][1:]  # but the key's
    litres = [week.give_l for week in one.weeks if week.give_l > 0.05]
    assert len(bars) == 2 * len(litres)  # the whole garden and the one place
    highs = [float(bar.get("height")) for bar in bars]
    for part in (highs[: len(litres)], highs[len(litres) :]):
        scale = max(part) / max(litres)
        assert part == pytest.approx([v * scale for v in litres], abs=0.011)


def test_drops_mark_the_weeks_in_which_a_reservoir_is_filled(sample_plan):
    drops = water_svg(sample_plan).count("c1.2 3 3.5 5 3.5 7.6")
    weeks = water(sample_plan)[0].weeks
    assert sample_plan.places[0].reservoir_l and not any(
        p.reservoir_l for p in sample_plan.places[1:]
    )
    assert drops == 1 + sum(bool(week.fills) for week in weeks)  # one is the key's
    small = replace(sample_plan.places[0], reservoir_l=10.0)
    often = replace(sample_plan, places=(small, *sample_plan.places[1:]))
    numbers = re.findall(r'font-size="9.5"[^>]*>(\d+)<', water_svg(often))
    several = [len(week.fills) for week in water(often)[0].weeks if len(week.fills) > 1]
    assert several and [int(number) for number in numbers] == several


def test_rain_is_told_from_what_is_given_without_colour(sample_plan):
    """Broken lines on an open box against a filled one; neither where no rain is known."""
    assert "stroke-dasharray" in water_svg(sample_plan) and "from rain" in water_svg(sample_plan)
    dry = water_svg(no_rain(sample_plan))
    assert "stroke-dasharray" not in dry and "from rain" not in dry
    assert "tells no rain" in dry


def test_many_numbered_beds_share_a_row_a_kind(sample_plan):
    plan = many(sample_plan)
    found = rows(plan)
    assert [(row.name, row.note) for row in found] == [
        ("Field", "50 beds"), ("House", "10 beds, no rain inside"),
    ]  # fmt: skip
    for row, names in zip(found, ("Field", "House"), strict=True):
        alone = [one for one in water(plan) if one.place.name.startswith(names)]
        assert sum(w.need_l for w in row.weeks) == pytest.approx(sum(one.need_l for one in alone))
    assert len(rows(sample_plan)) == len(sample_plan.places) <= ROOM
    assert whole(plan).note == "60 places"


@pytest.mark.parametrize(
    "litres, units, words",
    [
        (0.0, "metric", "0 l"), (0.42, "metric", "0.4 l"), (5.68, "metric", "6 l"),
        (34.1, "metric", "34 l"), (140.5, "metric", "140 l"), (999.0, "metric", "1 000 l"),
        (14635.0, "metric", "14 600 l"), (140.5, "imperial", "37 gal"),
        (271577.0, "imperial", "71 700 gal"),  # 3.785411784 l each
    ],
)  # fmt: skip
def test_amounts_are_no_finer_than_they_can_be_measured_out(litres, units, words):
    assert told(litres, units) == words


def test_gallons_say_whose_they_are_and_cautions_stand_below(sample_plan):
    made = water_svg(imperial(sample_plan))
    assert "US gallons" in made
    for words in ("feel the soil", "usual weather", "your local code", "never drink it"):
        assert words in made
    assert "plan again" in water_svg(of_before(sample_plan))
    assert "Nothing grows" in water_svg(bare(sample_plan))
