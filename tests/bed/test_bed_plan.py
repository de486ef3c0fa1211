"""The plan view: to scale, whole, and readable without colour."""

import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest

from sowplan.bed.fit import fit
from sowplan.bed.outlines import l_shape, tub
from sowplan.bed.strips import positions, strip_for
from sowplan.bed.things import Box, Circle
from sowplan.export.pictures.bed_crops import MARKS, Patch, plant_mark
from sowplan.export.pictures.bed_plan import BedView, bed_plan_svg
from sowplan.export.pictures.compass import compass, scale_bar
from sowplan.export.pictures.style import DARK, LIGHT

SVG = "{http://www.w3.org/2000/svg}"


def view(points, length=2.4, width=1.2, **more):
    patch = Patch("lettuces", points, 0.25)
    return BedView("Bed", "a bed", length, width, (patch,), **more)


def drawn(picture):
    root = ET.fromstring(picture)
    return np.array([(float(u.get("x")), float(u.get("y"))) for u in root.iter(SVG + "use")])


def test_every_plant_is_drawn_to_scale():
    points = fit(2.4, 1.2, 0.25).positions
    places = drawn(bed_plan_svg(view(points)))
    assert len(places) == len(points)
    scale = np.ptp(places[:, 0]) / np.ptp(points[:, 0])
    assert np.ptp(places[:, 1]) / np.ptp(points[:, 1]) == pytest.approx(scale, rel=1e-3)
    shift = places - points * scale
    assert np.abs(shift - shift[0]).max() < 0.02  # coordinates are written to a hundredth


@pytest.mark.parametrize("length", [1.2, 5.0, 12.0, 30.0])
def test_a_long_bed_is_drawn_in_pieces_and_loses_nobody(length):
    points = fit(length, 1.2, 0.3).positions
    assert len(drawn(bed_plan_svg(view(points, length)))) == len(points)


def test_a_long_bed_is_cut_where_no_plant_stands():
    """Heads of 25 cm in 5 m: the leaves of one at 2.42 m would reach over its middle.

    By hand: the middle is 2.5 m, the leaves end at 2.545 m, the next head's begin at 2.725 m.
    """
    heads = np.array([(x, 0.6) for x in (2.17, 2.42, 2.85, 3.1)])
    picture = bed_plan_svg(view(heads, 5.0))
    places = drawn(picture)
    assert places[0, 1] == places[1, 1] < places[2, 1] == places[3, 1]
    scale = (places[1, 0] - places[0, 0]) / 0.25
    *_, begin = re.findall(
        r'<rect x="([\d.]+)"[^>]* stroke-width="2"', picture
    )  # the second's soil
    cut = 2.85 - (places[2, 0] - float(begin)) / scale
    assert 2.545 <= cut <= 2.725


def test_the_scale_bar_is_as_long_as_it_says():
    for units, size in (("metric", {"m": 1.0, "cm": 0.01}), ("imperial", {"ft": 0.3048})):
        for px in (20.0, 90.0, 173.0, 600.0):
            parts = "".join(scale_bar(400.0, 10.0, px, units, LIGHT))
            number, unit = re.search(r">([\d.]+) (m|cm|ft)<", parts).groups()
            widths = [float(w) for w in re.findall(r'width="([\d.]+)"', parts)][:2]
            assert sum(widths) == pytest.approx(float(number) * size[unit] * px, abs=0.03)
            assert sum(widths) <= 130


@pytest.mark.parametrize(
    "bearing, north",
    [(90, (0, -1)), (0, (1, 0)), (180, (-1, 0)), (270, (0, 1))],  # right of the plan is …
)
def test_north_is_where_the_compass_says(bearing, north):
    letter = compass(100.0, 100.0, 20.0, bearing, LIGHT)[-1]
    x, y = (float(re.search(rf' {c}="([\d.]+)"', letter)[1]) for c in "xy")
    way = np.array([x - 100.0, y - 4.0 - 100.0]) / 20.4
    assert np.abs(way - north).max() < 0.01


def test_marks_differ_without_colour():
    shapes = {re.sub(r"#[0-9a-f]+", "", plant_mark(kind, 0, 0, 3, "#000000")) for kind in MARKS}
    assert len(shapes) == len(MARKS)


def test_several_crops_each_with_mark_and_count():
    one, two = strip_for(1.2, 0.25, 0.25, 12), strip_for(1.2, 0.05, 0.15, 50)
    first = Patch("lettuces", positions(one, 0, 1.2, 0.25), 0.25)
    second = Patch("radishes", positions(two, one.length_m, 1.2, 0.05), 0.06)
    shown = BedView("Bed", "", 2.4, 1.2, (first, second), strips=(one.length_m,), bearing_deg=0)
    picture = bed_plan_svg(shown)
    assert f"{one.plants} lettuces" in picture and f"{two.plants} radishes" in picture
    assert len(drawn(picture)) == one.plants + two.plants


@pytest.mark.parametrize("palette", [LIGHT, DARK])
def test_shapes_and_things_in_the_way(palette):
    outline = l_shape(2.4, 1.2, 1.0, 0.5)
    things = (Circle(0.3, 0.3, 0.1), Box(1.0, 0.2, 0.2, 0.2))
    points = fit(2.4, 1.2, 0.25, outline=outline, keep_outs=things).positions
    corners = tuple(thing.corners() for thing in things)
    shown = view(points, outline=outline.corners(), keep_outs=corners)
    picture = bed_plan_svg(shown, palette)
    ET.fromstring(picture)
    assert "kept free" in picture and bed_plan_svg(shown, palette) == picture


def test_leaves_that_lean_out_stay_in_the_picture():
    points = fit(0.6, 0.6, 0.25, edge_m=0.0, outline=tub(0.6)).positions
    picture = bed_plan_svg(view(points, 0.6, 0.6, outline=tub(0.6).corners()))
    root = ET.fromstring(picture)
    width, height = float(root.get("width")), float(root.get("height"))
    radius = float(next(c.get("r") for c in root.iter(SVG + "circle")))
    places = drawn(picture)
    assert places.min() >= radius - 0.1
    assert (places.max(axis=0) <= np.array([width, height]) - radius + 0.1).all()


def test_an_empty_bed():
    picture = bed_plan_svg(BedView("Bed <1> & co", "nothing", 2.4, 1.2, ()))
    assert "Bed &lt;1&gt; &amp; co" in picture
    ET.fromstring(picture)
