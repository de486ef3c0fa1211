"""Climbers stand in one line along the side of the bed that looks to the pole."""

import json
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from sowplan.bed.things import Circle
from sowplan.bed.trellis import ASIDE_M, on_trellis, poleward
from sowplan.cli import app

COURTYARD = Path(__file__).parents[2] / "examples" / "courtyard" / "garden.toml"


@pytest.mark.parametrize(
    "bearing, latitude, side",
    [
        (90, -34, "far"),  # length to the east, so its far side lies south
        (90, 54, "near"),
        (270, -34, "near"),
        (0, -34, "start"),  # length to the north: it begins in the south
        (0, 54, "end"),
        (180, -34, "end"),
        (100, 5, "near"),
    ],
)
def test_the_side_that_looks_to_the_pole(bearing, latitude, side):
    assert poleward(bearing, latitude) == side


@settings(max_examples=60, deadline=None)
@given(
    st.floats(0.3, 6.0),
    st.floats(0.3, 2.0),
    st.sampled_from([0.06, 0.15, 0.2, 0.45]),
    st.sampled_from(["near", "far", "start", "end"]),
)
def test_one_line_a_spacing_apart(length, width, spacing, side):
    layout = on_trellis(length, width, spacing, 0.6, side=side)
    run = length if side in ("near", "far") else width
    # Whole spacings between ends half a spacing clear: counted by hand.
    assert layout.plants == max(int((run - spacing) / spacing + 1e-9) + 1, 0) * (
        run >= spacing * (1 - 1e-9)
    )
    if layout.plants == 0:
        assert layout.reason is not None
        return
    axis = 0 if side in ("near", "far") else 1
    line, marks = layout.positions[:, 1 - axis], np.sort(layout.positions[:, axis])
    foot = min(ASIDE_M, spacing / 2)
    deep = (length, width)[1 - axis]
    assert np.allclose(line, foot if side in ("near", "start") else deep - foot)
    if len(marks) > 1:
        assert np.diff(marks).min() >= spacing * (1 - 1e-8)
    assert marks[0] >= spacing / 2 - 1e-9 and marks[-1] <= run - spacing / 2 + 1e-9


def test_what_stands_in_the_way_takes_its_places():
    free = on_trellis(3.0, 1.2, 0.2, 0.6)
    post = on_trellis(3.0, 1.2, 0.2, 0.6, keep_outs=[Circle(1.5, 1.1, 0.1)])
    assert 0 < post.plants < free.plants
    assert post.plants <= post.bound


def ask(*words):
    return json.loads(CliRunner().invoke(app, ["fit", *words, "--json"]).stdout)


def test_a_climber_is_put_on_its_trellis_and_others_on_demand(tmp_path):
    line = ask("cucumber", "3 m x 1.2 m")
    assert len(line["rows"]) == 1 and line["rows_along_length"]
    assert ask("cucumber", "3 m x 1.2 m", "--no-trellis")["plants"] >= line["plants"]
    assert len(ask("tomato", "3 m x 1.2 m", "--trellis")["rows"]) == 1
    picture = tmp_path / "bed.svg"
    words = ["fit", "cucumber", "-g", str(COURTYARD), "--place", "Kitchen bed"]
    told = CliRunner().invoke(app, [*words, "--picture", str(picture)]).stdout
    assert "along a trellis on the south side" in told  # the courtyard lies south of the equator
    assert ">trellis</text>" in picture.read_text(encoding="utf-8")


def test_a_bed_with_a_trellis_takes_what_needs_canes_along_it(tmp_path):
    text = COURTYARD.read_text(encoding="utf-8")
    bed = '[[bed]]\nname = "Kitchen bed"'
    assert text.count(bed) == 1
    file = tmp_path / "garden.toml"
    words = ("-g", str(file), "--place", "Kitchen bed")
    file.write_text(text, encoding="utf-8")
    assert len(ask("runner-bean", *words)["rows"]) > 1
    file.write_text(text.replace(bed, bed + '\ntrellis = "poleward"'), encoding="utf-8")
    assert len(ask("runner-bean", *words)["rows"]) == 1
    assert len(ask("kale", *words)["rows"]) > 1  # it needs no canes
    file.write_text(text.replace(bed, bed + '\ntrellis = "polward"'), encoding="utf-8")
    wrong = CliRunner().invoke(app, ["fit", "runner-bean", *words])
    assert wrong.exit_code != 0 and "trellis" in wrong.stderr and "poleward" in wrong.stderr


def test_a_trellis_goes_with_neither_squares_nor_blocks():
    for more in (["--squares"], ["--with", "radish"]):
        result = CliRunner().invoke(app, ["fit", "pea", "2 m x 1 m", "--trellis", *more])
        assert result.exit_code == 2 and "--trellis" in result.stderr


def test_two_crops_side_by_side_need_no_trellis_option():
    found = ask("pea", "2 m x 1 m", "--with", "radish")
    assert found["blocks"][-1]["crop"] == "pea"
