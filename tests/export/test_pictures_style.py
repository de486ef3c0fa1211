"""The palette: contrast by WCAG 2.2, and what is left of the fills for colour-blind eyes."""

from __future__ import annotations

from itertools import combinations

import pytest

from eyes import BLINDNESS, GRAPHIC, TEXT, apart, contrast, lab
from sowplan.export.pictures.style import DARK, LIGHT


def test_the_contrast_formula_gives_a_published_value():
    # #767676 on white, the lightest grey that passes: 4.54:1 (W3C's understanding documents)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])
def test_text_is_legible_on_every_ground(colours):
    for ground in (colours.paper, colours.panel, colours.grow, colours.harvest, colours.water):
        assert contrast(colours.ink, ground) >= TEXT
    for ground in (colours.paper, colours.panel):
        for letters in (colours.quiet, colours.missing, colours.over, colours.frost):
            assert contrast(letters, ground) >= TEXT
    assert contrast(colours.grow_edge, colours.paper) >= TEXT  # links


@pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])
def test_marks_and_edges_stand_out_from_the_paper(colours):
    for mark in (
        colours.grow_edge, colours.harvest_edge, colours.missing, colours.over, colours.frost,
        colours.sun, colours.warm, colours.water_edge,
    ):  # fmt: skip
        assert contrast(mark, colours.paper) >= GRAPHIC


@pytest.mark.parametrize("kind", BLINDNESS)
@pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])
def test_the_fills_stay_apart_for_every_kind_of_colour_vision(colours, kind):
    # A difference of 10 in CIE 1976 is seen at a glance (common practice, no source).
    for one, other in combinations((colours.grow, colours.harvest, colours.missing), 2):
        assert apart(one, other, kind) > 10


@pytest.mark.parametrize("kind", BLINDNESS)
@pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])
def test_water_to_give_stands_apart_from_the_paper_that_rain_is_drawn_on(colours, kind):
    assert apart(colours.water, colours.paper, kind) > 10
    assert contrast(colours.water_edge, colours.water) >= GRAPHIC


def test_the_fills_differ_in_lightness_so_that_a_grey_print_tells_them_apart():
    assert lab(LIGHT.grow, "none")[0] - lab(LIGHT.harvest, "none")[0] > 10
