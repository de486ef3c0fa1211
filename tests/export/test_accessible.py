"""Pictures and prints for every reader: contrast on the very ground, colours apart, tags, words.

Contrast is that of WCAG 2.2 (definition of contrast ratio; 1.4.3 asks 4.5 for text), measured in
the picture as it is drawn by a renderer of its own (resvg), not in the palette.
"""

from __future__ import annotations

import io
import re
import xml.etree.ElementTree as ET
from collections import Counter
from datetime import date
from itertools import product

import numpy as np
import pytest
from pypdf import PdfReader

from eyes import BLINDNESS, TEXT, apart, contrast
from sowplan.export.outputs import drawer
from sowplan.export.pictures.bed_day import beds_on_svg
from sowplan.export.pictures.glance import glance_svg
from sowplan.export.pictures.lettering import width
from sowplan.export.pictures.style import DARK, LIGHT
from sowplan.export.print.pdf import SHEETS, print_pdf

SVG = "{http://www.w3.org/2000/svg}"
OF_THE_FOLDER = ("season", "harvest", "beds", "trays", "water")
MUCH = 0.15  # of a letter's ground; less is an edge or a hatch's line


def draw(name, plan, dark):
    if name == "glance":
        return glance_svg(plan)
    if name == "beds on a day":
        return beds_on_svg(plan, date(2026, 12, 15), dark=dark)
    return drawer(f"{name}.svg")(plan, dark=dark)


PICTURES = [*product((*OF_THE_FOLDER, "beds on a day"), (False, True)), ("glance", False)]


def matrix(transform):
    """Return the matrix of translations and turns (SVG 1.1, section 7.6); other kinds fail."""
    found = np.eye(3)
    for kind, figures in re.findall(r"(\w+)\(([^)]*)\)", transform or ""):
        numbers = [float(one) for one in re.split(r"[ ,]+", figures.strip())]
        step = np.eye(3)
        if kind == "translate":
            step[:2, 2] = [*numbers, 0.0][:2]
        elif kind == "rotate" and len(numbers) == 1:
            turn = np.radians(numbers[0])
            step[:2, :2] = [[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]]
        else:
            raise AssertionError(f"unknown transform {kind}")
        found = found @ step
    return found


def texts(element, look=(), at=None):
    """Yield each text with what it inherits, and where its middle and its sides are [px]."""
    at = (np.eye(3) if at is None else at) @ matrix(element.get("transform"))
    look = dict(look) | {k: v for k, v in element.attrib.items() if k != "transform"}
    if element.tag == SVG + "text" and (element.text or "").strip():
        size = float(look["font-size"])
        long = width(element.text, size, look.get("font-weight") == "600")
        x = float(look.get("x", 0)) - {"middle": long / 2, "end": long}.get(
            look.get("text-anchor", "start"), 0.0
        )
        y = float(look.get("y", 0))
        corners = [(x, y - 0.6 * size, 1), (x + long, y, 1)]
        yield element.text, look, [tuple((at @ corner)[:2]) for corner in corners]
    for child in element:
        passed = {k: v for k, v in look.items() if k not in ("x", "y", "d", "width", "height")}
        yield from texts(child, passed, at)


def grounds(image, box):
    """Return the colours that much of a box of an image has, as ``"#rrggbb"``."""
    (x0, y0), (x1, y1) = box
    columns = slice(max(int(min(x0, x1)), 0), int(max(x0, x1)) + 1)
    rows = slice(max(int(min(y0, y1)), 0), int(max(y0, y1)) + 1)
    pixels = image[rows, columns, :3].reshape(-1, 3)
    many = Counter(map(tuple, (pixels // 4 * 4).tolist()))
    return ["#{:02x}{:02x}{:02x}".format(*one) for one, n in many.items() if n > MUCH * len(pixels)]


@pytest.mark.parametrize(("name", "dark"), PICTURES)
def test_every_word_of_a_picture_stands_out_from_what_is_behind_it(sample_plan, name, dark):
    resvg = pytest.importorskip("resvg_py")
    image_of = pytest.importorskip("PIL.Image").open
    root = ET.fromstring(draw(name, sample_plan, dark))  # well-formed, or it is not read
    said = list(texts(root))
    assert len(said) > 5
    for parent in list(root.iter()):
        for child in [one for one in parent if one.tag == SVG + "text"]:
            parent.remove(child)
    paper = (DARK if dark else LIGHT).paper
    bare = ET.tostring(root, encoding="unicode")
    shown = image_of(io.BytesIO(bytes(resvg.svg_to_bytes(svg_string=bare)))).convert("RGBA")
    under = image_of(io.BytesIO(bytes(resvg.svg_to_bytes(svg_string=bare)))).convert("RGBA")
    under.paste(paper, (0, 0, *under.size))
    under.alpha_composite(shown)
    image = np.asarray(under)
    for words, look, box in said:
        halo = "stroke" in look and look.get("paint-order", "").startswith("stroke")
        behind = [look["stroke"]] if halo else grounds(image, box)
        worst = min((contrast(look["fill"], ground) for ground in behind), default=21.0)
        # A colour is read from pixels in steps of four: a twentieth for that.
        assert worst >= TEXT * 0.95, (words, look["fill"], behind, worst)


@pytest.mark.parametrize("kind", BLINDNESS)
@pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])
def test_lines_and_hatches_that_meet_are_told_apart_by_every_kind_of_colour_vision(colours, kind):
    """In CIE 1976 by 10, seen at a glance (common practice, no source)."""
    meet = [
        (colours.warm, colours.frost),  # days and nights
        (colours.sun, colours.frost),
        (colours.missing, colours.over),
        (colours.grow_edge, colours.harvest_edge),
        (colours.water_edge, colours.paper),
    ]
    for one, other in meet:
        assert apart(one, other, kind) > 10, (one, other)


@pytest.mark.parametrize(("name", "dark"), PICTURES)
def test_a_picture_is_told_in_words_to_who_does_not_see_it(sample_plan, name, dark):
    """WCAG 2.2, 1.1.1; title and description by SVG 2, section 5.7, named by WAI-ARIA 1.2."""
    root = ET.fromstring(draw(name, sample_plan, dark))
    assert root.get("role") == "img"
    named = {one.get("id"): one.text for one in root.iter() if one.get("id")}
    told = [named[one] for one in root.get("aria-labelledby").split()]
    assert len(told) == 2 and all(words and words.strip() for words in told)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_print_is_tagged_titled_and_its_pictures_told(sample_plan, paper):
    """ISO 14289-1 (PDF/UA-1), 7.1 to 7.3: tagged, with language and title; figures have words."""
    read = PdfReader(io.BytesIO(print_pdf(sample_plan, paper, SHEETS[:3])))
    root = read.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"] and root["/Lang"].startswith("en")
    assert sample_plan.site.name in read.metadata.title

    def kinds(element):
        element = element.get_object()
        if isinstance(element, list):
            return [found for one in element for found in kinds(one)]
        if not hasattr(element, "get"):
            return []
        below = kinds(element["/K"]) if "/K" in element else []
        return [(element.get("/S"), element.get("/Alt")), *below]

    # What keeps a figure with its unit is nothing that a search for words would stumble over.
    assert not any("\N{NO-BREAK SPACE}" in page.extract_text() for page in read.pages)
    tagged = kinds(root["/StructTreeRoot"]["/K"])
    assert [kind for kind, _ in tagged].count("/H1") >= 9  # the season, a month each, the cards
    figures = [alt for kind, alt in tagged if kind == "/Figure"]
    assert len(figures) > 9 and all(alt and alt.strip() for alt in figures)
