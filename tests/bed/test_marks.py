"""Setting out: nothing is lost between positions and what is read beside the bed."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial import cKDTree

from sowplan.bed.fit import fit
from sowplan.bed.marks import instructions, kinds, mark, mark_text, marks_text, setting_out
from sowplan.export.pictures.ruler import PIECE_MM, pieces, ruler_svg, rulers


@settings(max_examples=60, deadline=None)
@given(st.floats(0.3, 3), st.floats(0.3, 1.5), st.sampled_from([0.1, 0.15, 0.2, 0.25, 0.3]))
def test_rows_hold_every_plant_where_it_stands(length, width, spacing):
    layout = fit(length, width, spacing)
    out = setting_out(layout.positions)
    again = [(m, r.at_m) if out.along else (r.at_m, m) for r in out.rows for m in r.marks_m]
    assert len(again) == layout.plants
    if layout.plants:
        away, nearest = cKDTree(layout.positions).query(np.array(again))
        assert away.max() <= 0.002 + 1e-9 and len(set(nearest.tolist())) == layout.plants


def test_marks_fall_on_half_centimetres_where_there_is_room():
    for spacing in (0.1, 0.15, 0.2, 0.25, 0.3):
        points = fit(2.4, 1.2, spacing, patterns=("square",)).positions * 200
        assert np.abs(points - np.round(points)).max() < 1e-6


def test_words():
    assert mark(0.125) == "12.5" and mark(0.1) == "10"
    assert mark(0.1524, "imperial") == "6" and mark(0.0064, "imperial") == "¼"
    assert mark(0.3365, "imperial") == "13¼"
    # 42 in are 3 ft 6 in: from three feet up a tape is read in feet.
    assert mark(1.0668, "imperial") == "3′6″" and mark_text(1.0668, "imperial") == "3 ft 6 in"
    assert marks_text([0.3048, 0.9144, 1.0668], "imperial") == "12, 36, 42 in"
    assert marks_text([0.1, 0.3, 0.5]) == "10, 30, 50 cm"
    assert marks_text([0.1 + 0.2 * k for k in range(20)]) == (
        "10 cm, then every 20 cm up to 390 cm (20 marks)"
    )


def test_a_bed_by_hand():
    lines = instructions(fit(1.2, 0.6, 0.3))
    # Two rows of four, 15 cm from the sides, as anyone would set them.
    assert lines == [
        "2 rows along the bed, 15, 45 cm from the long side.",
        "Every row: 15, 45, 75, 105 cm",
    ]


def test_offset_rows_are_told_apart():
    layout = fit(2.4, 1.2, 0.25)
    names = [name for name, _ in kinds(setting_out(layout.positions))]
    assert names == ["Odd rows (1, 3, 5 …)", "Even rows (2, 4)"]


def test_nothing_to_set_out():
    assert instructions(fit(0.1, 0.1, 0.3)) == []
    assert rulers(fit(0.1, 0.1, 0.3)) == []


def test_ruler_pieces_make_up_the_side():
    for length in (0.2, 0.26, 1.2, 2.4):
        cut = pieces(length)
        assert cut[0][0] == 0 and abs(cut[-1][1] - length * 1000) < 1e-9
        assert all(b - a <= PIECE_MM + 1e-9 for a, b in cut)
        assert all(one[1] == two[0] for one, two in zip(cut, cut[1:], strict=False))


def test_every_mark_is_on_a_ruler_once():
    layout = fit(1.2, 0.6, 0.2)
    drawn = ruler_svg(layout, "Lettuce")
    marks = sum(len(marks) for _, marks in rulers(layout))
    assert drawn.count('font-weight="600"') == marks + drawn.count("Print at 100 %. Page")
