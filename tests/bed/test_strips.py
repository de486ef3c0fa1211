"""Strips of whole rows: apart within, and apart from whatever touches them."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial import cKDTree

from sowplan.bed.strips import positions, strip_for, strip_of_rows

widths = st.one_of(st.floats(0.1, 2.5), st.integers(2, 25).map(lambda n: n / 10))
spacings = st.sampled_from([0.03, 0.05, 0.1, 0.15, 0.2, 0.25, 0.254, 0.3, 0.45, 0.6])
row_factors = st.sampled_from([1.0, 1.0, 1.25, 2.0, 4.0])
numbers = st.integers(1, 90)


@settings(max_examples=200, deadline=None)
@given(widths, spacings, row_factors, numbers, st.floats(0, 0.2))
def test_a_strip_holds_what_was_asked(width, spacing, factor, plants, edge):
    strip = strip_for(width, spacing, spacing * factor, plants)
    if strip.plants == 0:
        assert width < spacing
        return
    points = positions(strip, 0.7, width, spacing, edge)
    assert plants <= strip.plants == len(points) == len(np.unique(points.round(7), axis=0))
    if len(points) > 1:
        assert cKDTree(points).query(points, k=2)[0][:, 1].min() >= spacing * (1 - 1e-8)
    low, high = points.min(axis=0), points.max(axis=0)
    assert low[1] >= edge + spacing / 2 - 1e-9 and high[1] <= edge + width - spacing / 2 + 1e-9
    assert low[0] >= edge + 0.7 + spacing * factor / 2 - 1e-9
    assert high[0] <= edge + 0.7 + strip.length_m - spacing * factor / 2 + 1e-9


@settings(max_examples=150, deadline=None)
@given(widths, spacings, spacings, row_factors, numbers, numbers)
def test_neighbours_keep_the_half_sum_of_their_spacings(width, one, two, factor, n, m):
    first = strip_for(width, one, one, n)
    second = strip_for(width, two, two * factor, m)
    if first.plants == 0 or second.plants == 0:
        return
    left = positions(first, 0.0, width, one)
    right = positions(second, first.length_m, width, two)
    nearest = cKDTree(left).query(right)[0].min()
    assert nearest >= (one + two) / 2 - 1e-9


@settings(max_examples=100, deadline=None)
@given(widths, spacings, row_factors, numbers)
def test_more_plants_never_take_less_room(width, spacing, factor, plants):
    here = strip_for(width, spacing, spacing * factor, plants)
    next_ = strip_for(width, spacing, spacing * factor, plants + 1)
    assert next_.length_m >= here.length_m - 1e-9


@settings(max_examples=100, deadline=None)
@given(widths, spacings, row_factors, st.integers(1, 25))
def test_rows_asked_for_are_rows_given(width, spacing, factor, rows):
    strip = strip_of_rows(width, spacing, spacing * factor, rows)
    if strip.plants:
        points = positions(strip, 0.0, width, spacing)
        assert strip.rows == rows == len(np.unique(points[:, 0].round(7)))
        assert len(points) == strip.plants


def test_offset_rows_by_hand():
    # 1.2 m wide, 30 cm: four plants at 15, 45, 75, 105 cm; no room for an offset row of four,
    # so two rows of four in line, 30 cm apart, half a row spacing clear: 60 cm.
    strip = strip_for(1.2, 0.3, 0.3, 8)
    assert (strip.rows, strip.per_row, round(strip.length_m, 9)) == (2, (4, 4), 0.6)
    # 1.35 m wide: an offset row of four fits exactly, one step of 30 cm, pitch √3/2 · 30 cm.
    strip = strip_for(1.35, 0.3, 0.3, 8)
    assert strip.per_row == (4, 4)
    assert abs(strip.pitch_m - 0.3 * 0.75**0.5) < 1e-9
    assert abs(strip.length_m - (0.3 + 0.3 * 0.75**0.5)) < 1e-9


def test_rows_of_a_row_crop_by_hand():
    # Carrots 5 cm apart in rows 20 cm apart across 1.2 m: 24 a row, 50 plants in three rows.
    strip = strip_for(1.2, 0.05, 0.2, 50)
    assert (strip.rows, strip.per_row, strip.plants) == (3, (24, 24), 72)
    assert abs(strip.length_m - 0.6) < 1e-9


def test_nothing_asked_or_nothing_fits():
    assert strip_for(1.2, 0.3, 0.3, 0).plants == 0
    assert strip_for(0.2, 0.3, 0.3, 5).length_m == 0.0
    assert len(positions(strip_for(0.2, 0.3, 0.3, 5), 0.0, 0.2, 0.3)) == 0
