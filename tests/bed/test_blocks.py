"""Several crops in one bed, whole squares."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial import cKDTree

from sowplan.bed.blocks import Need, arrange
from sowplan.bed.squares import fit_squares, plants_a_square, squares_a_plant
from sowplan.bed.strips import longest_strip

NEEDS = (
    Need("radish", 0.05, 0.15, 60, 0.15),
    Need("tomato", 0.5, 0.6, 2, 1.8, trellis=True),
    Need("lettuce", 0.25, 0.25, 12, 0.25),
)


def middle(arrangement, label):
    block = next(b for b in arrangement.blocks if b.need.label == label)
    return block.positions.mean(axis=0)


@pytest.mark.parametrize(
    "bearing, latitude, axis, toward",
    [
        (90, -34, 1, 1),  # length to the east: the far side lies south, which is poleward
        (90, 54, 1, -1),  # in the north the near side, to the north, is poleward
        (270, -34, 1, -1),
        (0, -34, 0, -1),  # length to the north: its near end lies south
        (0, 54, 0, 1),
        (180, -34, 0, 1),
    ],
)
def test_the_tallest_stand_towards_the_pole(bearing, latitude, axis, toward):
    found = arrange(4.0, 4.0, NEEDS, bearing_deg=bearing, latitude=latitude)
    heights = [middle(found, label)[axis] * toward for label in ("radish", "lettuce", "tomato")]
    assert heights == sorted(heights)


@settings(max_examples=60, deadline=None)
@given(
    st.floats(1.5, 5.0),
    st.floats(0.7, 2.0),
    st.lists(
        st.tuples(st.sampled_from([0.1, 0.2, 0.3, 0.45]), st.one_of(st.none(), st.integers(1, 30))),
        min_size=1,
        max_size=4,
    ),
    st.booleans(),
)
def test_blocks_keep_the_half_sum_and_stay_in_the_bed(length, width, crops, along):
    needs = [Need(str(k), s, s, n, float(k)) for k, (s, n) in enumerate(crops)]
    found = arrange(length, width, needs, along_length=along)
    for k, one in enumerate(found.blocks):
        if found.missing_m == 0 and len(one.positions):
            assert (one.positions >= one.need.spacing_m / 2 - 1e-9).all()
            far = np.array([length, width]) - one.need.spacing_m / 2
            assert (one.positions <= far + 1e-9).all()
        for other in found.blocks[:k]:
            if len(one.positions) and len(other.positions):
                apart = cKDTree(one.positions).query(other.positions)[0].min()
                assert apart >= (one.need.spacing_m + other.need.spacing_m) / 2 - 1e-9


def test_what_does_not_fit_is_said_in_metres():
    found = arrange(1.0, 1.2, [Need("kale", 0.4, 0.4, 12)], along_length=True)
    taken = found.blocks[0].strip.length_m
    assert found.missing_m == pytest.approx(taken - 1.0)


def test_an_open_need_takes_what_is_left():
    needs = [Need("leek", 0.2, 0.2, 10, 0.5), Need("lettuce", 0.25, 0.25, None, 0.2)]
    found = arrange(2.4, 1.2, needs, along_length=True)
    lettuce = next(b for b in found.blocks if b.need.label == "lettuce")
    assert found.missing_m == 0 and lettuce.strip.plants > 0
    longer = longest_strip(1.2, 0.25, 0.25, lettuce.strip.length_m + found.spare_m)
    assert longer.plants == lettuce.strip.plants


@pytest.mark.parametrize("tall", [True, False])
def test_of_what_is_left_the_crop_named_first_has_a_row_at_least(tall):
    """90 cm left for two: a tomato's 80 cm row comes before radish, wherever it is to stand."""
    heights = (1.8, 0.2) if tall else (0.2, 1.8)
    needs = [
        Need("tomato", 0.5, 0.8, None, heights[0]),
        Need("radish", 0.04, 0.12, None, heights[1]),
    ]
    found = arrange(0.9, 1.2, needs, along_length=True)
    plants = {block.need.label: len(block.positions) for block in found.blocks}
    assert plants["tomato"] == 2 and found.missing_m == 0


@pytest.mark.parametrize(
    "spacing, plants",
    [(0.30, 1), (0.15, 4), (0.10, 9), (0.075, 16)],  # common practice, no source
)
def test_plants_a_square(spacing, plants):
    assert plants_a_square(spacing) == plants
    assert fit_squares(2.4, 1.2, spacing).plants == 8 * 4 * plants


@pytest.mark.parametrize("spacing", [0.06, 0.1, 0.13, 0.2, 0.3, 0.45, 0.7])
def test_squares_keep_the_spacing_and_the_bed(spacing):
    layout = fit_squares(2.5, 1.3, spacing)
    apart = cKDTree(layout.positions).query(layout.positions, k=2)[0][:, 1].min()
    assert apart >= spacing - 1e-9
    assert layout.positions.max(axis=0)[0] <= 2.5 and layout.positions.max(axis=0)[1] <= 1.3
    if spacing > 0.3:
        per = squares_a_plant(spacing)
        assert layout.plants == (8 // int(per**0.5)) * (4 // int(per**0.5))
