"""A bed as built: what is in the way, the corner it lacks, its round corners, and the slices."""

import math

import pytest

from gardens import YEAR
from sowplan.commands.fit.input import keep_out as as_asked
from sowplan.problem import Exit
from sowplan.quantity import QuantityError
from sowplan.records.built import closed_slices, keep_out
from sowplan.records.garden import Bed, InTheWay, Where
from sowplan.records.garden_file import read_garden_text
from sowplan.season.choices.spaces import closed_units

AT = Where("garden.toml", "[[bed]] 1", 1)
HEAD = f"""\
{YEAR}[[bed]]
name = "Box"
length = "2 m"
width = "1 m"
depth = "30 cm"
"""
LINE = HEAD.count("\n") + 1


def read(line):
    return read_garden_text(HEAD + line, "g.toml")


@pytest.mark.parametrize(
    "text, label, x, y, length, width, is_round",
    [
        ("pipe 10 cm round at 20 cm, 30 cm", "pipe", 0.15, 0.25, 0.1, 0.1, True),
        ("10 cm round at 20 cm, 30 cm", "", 0.15, 0.25, 0.1, 0.1, True),
        ("inlet pipe round 4 in at 1 ft; 0", "inlet pipe", 0.254, -0.0508, 0.1016, 0.1016, True),
        ("Stone 30 cm x 40 cm at 1 m, 45 cm", "Stone", 1.0, 0.45, 0.3, 0.4, False),
        ("12 in by 18 in at 0, 0", "", 0.0, 0.0, 0.3048, 0.4572, False),
    ],
)
def test_what_is_in_the_way(text, label, x, y, length, width, is_round):
    found = keep_out(text)
    assert (found.label, found.round) == (label, is_round)
    got = (found.x_m, found.y_m, found.length_m, found.width_m)
    assert got == pytest.approx((x, y, length, width), abs=1e-9)
    shape = as_asked(text)  # `fit` reads the same words
    assert shape.corners().min(axis=0) == pytest.approx((x, y), abs=1e-4)


@pytest.mark.parametrize("text", ["pipe", "pipe at 1 m, 2 m", "10 cm at 1 m", "10 cm round", ""])
def test_other_forms_are_shown_the_right_one(text):
    with pytest.raises(QuantityError, match="near corner|length"):
        keep_out(text)


def bed(length=2.0, width=1.0, **more):
    return Bed("Box", length, width, 0.3, AT, **more)


def spans(one):
    return [(round(a, 6), round(b, 6)) for a, b, _ in closed_slices(one)]


def test_slices_are_as_long_as_the_things():
    post = InTheWay("post", 0.5, 0.4, 0.1, 0.1, True)
    stone = InTheWay("stone", 0.55, 0.0, 0.3, 0.3)
    assert spans(bed(keep_outs=(post,))) == [(0.5, 0.6)]
    ((start, end, label),) = closed_slices(bed(keep_outs=(post, stone)))
    assert (start, end) == pytest.approx((0.5, 0.85)) and label == "the post and the stone"
    assert spans(bed(edge_m=0.05, keep_outs=(post,))) == [(0.45, 0.55)]
    assert spans(bed(cut_m=(0.8, 0.4))) == [(1.2, 2.0)]
    assert spans(bed(rounded_m=0.2)) == [(0.0, 0.2), (1.8, 2.0)]


def test_what_lies_in_the_bare_edge_closes_nothing_and_what_juts_in_its_chord():
    inside_edge = InTheWay("pipe", 0.5, 0.0, 0.1, 0.1, True)
    assert spans(bed(edge_m=0.1, keep_outs=(inside_edge,))) == []
    # A circle about the line of the edge is cut at its chord: half its length is √(r² − d²).
    half = math.sqrt(0.05**2 - 0.03**2)
    assert spans(bed(edge_m=0.08, keep_outs=(inside_edge,))) == [
        (round(0.55 - half - 0.08, 6), round(0.55 + half - 0.08, 6))
    ]
    assert spans(bed(edge_m=0.1, rounded_m=0.1)) == []


def test_closed_units_cover_the_slice_and_no_more_than_a_unit():
    one = bed(keep_outs=(InTheWay("", 0.5003, 0.4, 0.1001, 0.1),))
    units = closed_units(one, 2000, 0.001)
    assert units == ((1 << 101) - 1) << 500
    assert closed_units(bed(), 2000, 0.001) == 0


def test_keys_of_a_bed():
    (made,) = read('keep_out = "pipe 10 cm round at 20 cm, 30 cm"\nrounded = "ends"').garden.beds
    assert made.keep_outs[0].label == "pipe" and made.rounded_m == 0.5
    (made,) = read('keep_out = ["10 cm x 10 cm at 0, 0"]\ncut = "80 cm x 40 cm"').garden.beds
    assert len(made.keep_outs) == 1 and made.cut_m == (0.8, 0.4)


@pytest.mark.parametrize(
    "line, found, words, code",
    [
        ('keep_out = "a pipe"', "a pipe", "near corner", Exit.WRONG),
        ("keep_out = 3", "3", "near corner", Exit.WRONG),
        ('keep_out = "10 cm round at 3 m, 20 cm"', "number 1", "outside the bed", Exit.WRONG),
        ('keep_out = ["post 9 cm x 9 cm at 1 m, 1 m"]', "post", "2 m × 1 m", Exit.WRONG),
        ('keep_out = "2 m x 1 m at 0, 0"', "2 m x 1 m at 0, 0", "no part", Exit.IMPOSSIBLE),
        ('cut = "2 m x 50 cm"', "2 m x 50 cm", "smaller than the bed", Exit.WRONG),
        ('cut = "big"', "big", "", Exit.WRONG),
        ('rounded = "60 cm"', "60 cm", "at most 50 cm", Exit.WRONG),
        ("rounded = 2", "2", "radius in quotes", Exit.WRONG),
    ],
)
def test_wrong_shapes_are_told_with_their_line(line, found, words, code):
    (problem,) = read(line).problems
    assert (problem.line, problem.exit) == (LINE, code)
    assert problem.found == found and words in problem.message


def test_cut_and_rounded_are_one_too_many():
    (problem,) = read('cut = "80 cm x 40 cm"\nrounded = "ends"').problems
    assert problem.line == LINE + 1 and "not both" in problem.message
