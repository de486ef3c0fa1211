"""Strips of rows across and along: apart within, and apart from whatever touches them."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial import cKDTree

from sowplan.bed.strips import (
    is_long,
    longest_strip,
    positions,
    runs_along,
    strip_for,
    strip_of_rows,
)

widths = st.one_of(st.floats(0.1, 2.5), st.integers(2, 25).map(lambda n: n / 10))
spacings = st.sampled_from([0.03, 0.05, 0.1, 0.15, 0.2, 0.25, 0.254, 0.3, 0.45, 0.6])
row_factors = st.sampled_from([1.0, 1.0, 1.25, 2.0, 4.0])
numbers = st.integers(1, 90)


@settings(max_examples=200, deadline=None)
@given(widths, spacings, row_factors, numbers, st.floats(0, 0.2), st.booleans())
def test_a_strip_holds_what_was_asked(width, spacing, factor, plants, edge, long):
    strip = strip_for(width, spacing, spacing * factor, plants, long)
    if strip.plants == 0:
        assert width < spacing
        return
    points = positions(strip, 0.7, width, spacing, edge)
    assert plants <= strip.plants == len(points) == len(np.unique(points.round(7), axis=0))
    if len(points) > 1:
        assert cKDTree(points).query(points, k=2)[0][:, 1].min() >= spacing * (1 - 1e-8)
    low, high = points.min(axis=0), points.max(axis=0)
    assert low[1] >= edge + spacing / 2 - 1e-9 and high[1] <= edge + width - spacing / 2 + 1e-9
    ranks, lines = (np.unique(points[:, axis].round(7)) for axis in (0, 1))
    assert len(lines if strip.along else ranks) == strip.rows
    # One way, plants are in rows a row spacing apart; told the other way where they are seen so.
    apart = [np.diff(found).min(initial=9.0) for found in (ranks, lines)]
    between = spacing * factor - 1e-6
    assert factor == 1.0 or max(apart) >= between
    ends = spacing * (1.0 if runs_along(width, spacing, spacing * factor, long) else factor) / 2
    assert low[0] >= edge + 0.7 + ends - 1e-9
    assert high[0] <= edge + 0.7 + strip.length_m - ends + 1e-9


@settings(max_examples=150, deadline=None)
@given(widths, spacings, spacings, row_factors, numbers, numbers, st.booleans())
def test_neighbours_keep_the_half_sum_of_their_spacings(width, one, two, factor, n, m, long):
    first = strip_for(width, one, one * factor, n, long)
    second = strip_for(width, two, two * factor, m, long)
    if first.plants == 0 or second.plants == 0:
        return
    left = positions(first, 0.0, width, one)
    right = positions(second, first.length_m, width, two)
    nearest = cKDTree(left).query(right)[0].min()
    assert nearest >= (one + two) / 2 - 1e-9


@settings(max_examples=100, deadline=None)
@given(widths, spacings, row_factors, numbers, st.booleans())
def test_more_plants_never_take_less_room(width, spacing, factor, plants, long):
    here = strip_for(width, spacing, spacing * factor, plants, long)
    next_ = strip_for(width, spacing, spacing * factor, plants + 1, long)
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


LONG_BED = (30.48, 0.762)  # 100 ft × 30 in, in metres


@pytest.mark.parametrize(
    ("spacing", "between", "lines", "each"),
    [
        # Of 76.2 cm, less one spacing, in row spacings, and one row more; 3048 cm in spacings.
        # Spacings in the row and between rows as in the crop table (common practice, no source).
        (0.45, 0.90, 1, 67),  # cucumber: 31.2/90; 3048/45 = 67.7
        (0.50, 0.80, 1, 60),  # tomato
        (0.40, 0.50, 1, 76),  # kale, broccoli: 36.2/50; 3048/40 = 76.2
        (0.50, 0.70, 1, 60),  # aubergine
        (0.45, 0.60, 1, 67),  # sweet pepper
        (0.20, 0.25, 3, 152),  # kohlrabi: 56.2/25 = 2.2; 3048/20 = 152.4
        (0.05, 0.20, 4, 609),  # carrot: 71.2/20 = 3.6; 3048/5 = 609.6
        (0.30, 0.60, 1, 101),  # early potato: 46.2/60; 3048/30 = 101.6
    ],
)
def test_rows_along_a_bed_of_thirty_inches_by_hand(spacing, between, lines, each):
    length, width = LONG_BED
    strip = longest_strip(width, spacing, between, length, is_long(length, width))
    assert strip.along and (strip.rows, strip.per_row) == (lines, (each, each))
    assert strip.plants == lines * each
    # Across: whole rows of 3048 cm in row spacings, each of 76.2 cm in spacings.
    across = int(length / between + 1e-9) * int(width / spacing + 1e-9)
    assert across < strip.plants
    points = positions(strip, 0.0, width, spacing)
    ys = np.unique(points[:, 1].round(6))
    assert ys.mean() == pytest.approx(width / 2) and len(ys) == lines
    assert points[:, 0].max() <= length - spacing / 2 + 1e-9


def test_rows_stand_across_where_that_takes_less():
    # 52 cm wide, 25 cm by 40 cm: two a row across, 20 cm of length each; along only one row
    # (27 / 40), 25 cm each.
    assert not runs_along(0.52, 0.25, 0.4)
    strip = strip_for(0.52, 0.25, 0.4, 6)
    assert (strip.rows, strip.per_row, strip.along) == (3, (2, 2), False)
    assert strip.length_m == pytest.approx(1.2)


def test_at_a_tie_a_long_narrow_bed_has_long_rows():
    # Carrots 5 cm by 20 cm, 80 cm wide: 16 a row across every 20 cm, four rows along every 5 cm.
    assert runs_along(0.8, 0.05, 0.2, is_long(8.0, 0.8))
    assert not runs_along(0.8, 0.05, 0.2, is_long(2.3, 0.8))
    strip = strip_for(0.8, 0.05, 0.2, 50, long=True)  # 13 in each of four rows: 65 cm
    assert (strip.rows, strip.per_row, strip.length_m) == (4, (13, 13), pytest.approx(0.65))
    # Lettuces 25 cm each way are in line both ways: three abreast in 80 cm, a dozen in 1 m.
    one, other = (strip_for(0.8, 0.25, 0.25, 12, long) for long in (True, False))
    assert one.along and not other.along and one.length_m == pytest.approx(other.length_m)
    assert (one.rows, other.rows) == (3, 4)
    assert not strip_for(0.8, 0.25, 0.25, 6, long=True).along  # a few plants: two rows across
    # All batches of a long bed alike, also where offset rows would save a few centimetres of one.
    assert all(strip_for(0.762, 0.25, 0.25, n, long=True).along for n in range(10, 60))

    # 36 in: only three stand abreast, but four rows along, (91.4 - 25) / 3 = 22.1 cm apart, every
    # other one half a gap on: √(25² - 22.1²) = 11.6 cm would do, half a spacing is kept in the row.
    strip = strip_for(0.9144, 0.25, 0.25, 100, long=True)
    points = positions(strip, 0.0, 0.9144, 0.25)
    assert strip.along and strip.rows == len(np.unique(points[:, 1].round(6))) == 4
    assert strip.pitch_m == pytest.approx((0.9144 - 0.25) / 3)
    firsts = [points[points[:, 1].round(6) == y, 0].min() for y in np.unique(points[:, 1].round(6))]
    assert firsts[0] == firsts[2] < firsts[1] == firsts[3]
    assert strip.length_m == pytest.approx(0.25 + 49 * 0.125)  # half a spacing from rank to rank


def test_rows_across_a_long_bed_are_told_as_rows_along_where_they_are_seen_so():
    # Romaine 25 cm by 30 cm, 76.2 cm wide: three every 30 cm take less than two rows along,
    # (76.2 - 25) / 30 = 1.7, every 25 cm. They are three rows along, 25.4 cm apart, as well.
    strip = strip_for(0.762, 0.25, 0.3, 45, long=True)
    assert (strip.along, strip.rows, strip.per_row) == (True, 3, (15, 15))
    assert (strip.pitch_m, strip.length_m) == (pytest.approx(0.254), pytest.approx(15 * 0.3))
    points = positions(strip, 0.0, 0.762, 0.25)
    assert sorted(set(points[:, 0].round(6)))[:2] == [0.15, 0.45]
    short = strip_for(0.762, 0.25, 0.3, 45)
    assert (short.along, short.rows, short.length_m) == (False, 15, strip.length_m)


def test_fewer_plants_leave_rows_along_shorter():
    strip = strip_for(1.2, 0.45, 0.6, 7)  # two rows along, (120 - 45) / 60, of four places each
    points = positions(strip, 0.0, 1.2, 0.45)[:7]
    assert strip.along and strip.plants == 8
    assert [int((points[:, 1].round(6) == y).sum()) for y in np.unique(points[:, 1].round(6))] == [
        4, 3,
    ]  # fmt: skip


def test_few_plants_stand_in_a_row_across_instead_of_stubs_along():
    # Bunching carrots 3 cm by 15 cm, 1.1 m wide: a row across has (110 - 3) / 3 = 35.7, so 36, and
    # takes 15 cm; 12 in eight rows along, (110 - 3) / 15 = 7.1, would be two each, 6 cm.
    for plants in (12, 25, 36):
        strip = strip_for(1.1, 0.03, 0.15, plants)
        assert (strip.along, strip.rows, strip.per_row) == (False, 1, (36, 0))
        assert strip.length_m == pytest.approx(0.15)
    # 40 are one row and a bit: two rows would take 30 cm, eight along of five each 15 cm.
    strip = strip_for(1.1, 0.03, 0.15, 40)
    assert (strip.along, strip.rows, strip.length_m) == (True, 8, pytest.approx(0.15))
    # Spinach 8 cm by 25 cm: 13 in one row across, 25 cm; five rows along of three would take 24.
    strip = strip_for(1.1, 0.08, 0.25, 13)
    assert (strip.along, strip.rows, strip.plants) == (False, 1, 13)
    # Of many, rows along truly hold more: 100 in five rows of 20, 1.6 m; across 8 rows, 2 m.
    strip = strip_for(1.1, 0.08, 0.25, 100)
    assert (strip.along, strip.rows, strip.length_m) == (True, 5, pytest.approx(1.6))
    # Peas 6 cm by 45 cm: a row across takes 45 cm, far more than three rows along of four, 24 cm.
    assert strip_for(1.1, 0.06, 0.45, 12).along
    # A long narrow bed is drilled from end to end.
    assert strip_for(0.762, 0.05, 0.2, 12, long=True).along


def test_a_plant_wider_than_the_bed_stands_in_its_middle():
    for between in (0.8, 1.0):
        points = positions(strip_for(0.8, 0.8, between, 3), 0.0, 0.6, 0.8)
        assert points[:, 1].tolist() == pytest.approx([0.3, 0.3, 0.3])


def test_nothing_asked_or_nothing_fits():
    assert strip_for(1.2, 0.3, 0.3, 0).plants == 0
    assert strip_for(0.2, 0.3, 0.3, 5).length_m == 0.0
    assert len(positions(strip_for(0.2, 0.3, 0.3, 5), 0.0, 0.2, 0.3)) == 0
