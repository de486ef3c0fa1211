"""What must hold for any bed and spacing, whatever the figures."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial import cKDTree

from sowplan.bed.bounds import oler_convex, region_bound
from sowplan.bed.cuts import cut_bound
from sowplan.bed.fit import PATTERNS, fit
from sowplan.bed.frames import Frame, frames
from sowplan.bed.layout import BoundBy, NoRoom
from sowplan.bed.lean import leaning
from sowplan.bed.outlines import Polygonal, Rounded, l_shape, tub
from sowplan.bed.region import Region
from sowplan.bed.things import Box, Circle

HAIR = 1e-8  # relative: floats only

sides = st.one_of(
    st.floats(0.05, 4.0),
    st.integers(1, 40).map(lambda n: n / 10),  # whole decimetres: exact multiples of spacings
)
spacings = st.one_of(
    st.floats(0.04, 0.7), st.sampled_from([0.05, 0.075, 0.1, 0.15, 0.2, 0.25, 0.3])
)
more = st.one_of(st.just(0.0), st.floats(1e-6, 0.5))


def least_distance(points):
    if len(points) < 2:
        return np.inf
    return cKDTree(points).query(points, k=2)[0][:, 1].min()


def plain_square(length, width, spacing):
    """Counted here independently: whole spacings along each side, half a spacing clear."""
    along, across = ((side - spacing) / spacing + 1e-9 for side in (length, width))
    return 0 if min(along, across) < 0 else (int(along) + 1) * (int(across) + 1)


def plain_offset(length, width, spacing):
    """Rows one after another by hand: every second row begins half a spacing further on."""
    a, b = length - spacing, width - spacing
    if min(a, b) < -1e-9 * spacing:
        return 0
    total, row = 0, 0
    while row * spacing * 0.75**0.5 <= b + 1e-9 * spacing:
        room = a - (row % 2) * spacing / 2
        total += int(room / spacing + 1e-9) + 1 if room >= -1e-9 * spacing else 0
        row += 1
    return total


@settings(max_examples=80, deadline=None)
@given(sides, sides, spacings)
def test_plants_stand_apart_and_inside(length, width, spacing):
    layout = fit(length, width, spacing)
    points = layout.positions
    if layout.plants == 0:
        assert min(length, width) < spacing and layout.reason
        return
    assert least_distance(points) >= spacing * (1 - HAIR)
    assert points.min() >= spacing / 2 - HAIR
    assert (points.max(axis=0) <= np.array([length, width]) - spacing / 2 + HAIR).all()
    assert layout.plants <= layout.bound


@settings(max_examples=150, deadline=None)
@given(sides, sides, spacings)
def test_never_fewer_than_square_or_offset_rows(length, width, spacing):
    plants = fit(length, width, spacing).plants
    assert plants >= plain_square(length, width, spacing)
    assert plants >= plain_offset(length, width, spacing)
    assert plants >= plain_offset(width, length, spacing)


@settings(max_examples=200, deadline=None)
@given(sides, sides, spacings, more, more, st.floats(0.5, 1.0))
def test_a_larger_bed_or_a_closer_spacing_never_loses_a_plant(
    length, width, spacing, longer, wider, closer
):
    plants = fit(length, width, spacing).plants
    assert fit(length + longer, width + wider, spacing).plants >= plants
    assert fit(length, width, spacing * closer).plants >= plants
    assert fit(length, width, spacing, edge_m=spacing / 2 * closer).plants >= plants


@settings(max_examples=100, deadline=None)
@given(sides, sides, spacings)
def test_both_orientations_hold_the_same(length, width, spacing):
    one, other = fit(length, width, spacing), fit(width, length, spacing)
    assert (one.plants, one.bound) == (other.plants, other.bound)


@settings(max_examples=60, deadline=None)
@given(sides, sides, st.floats(0.03, 0.3), st.floats(1.1, 5.0))
def test_plain_rows(length, width, spacing, wider):
    between = spacing * wider
    layout = fit(length, width, spacing, between)
    assert layout.plants == fit(width, length, spacing, between).plants
    if layout.plants:
        assert least_distance(layout.positions) >= spacing * (1 - HAIR)
        rows = np.unique(np.round(layout.positions, 9)[:, 1])
        lines = np.unique(np.round(layout.positions, 9)[:, 0])
        gaps = [np.diff(values) for values in (rows, lines)]
        # Along one side the lines are rows, at least a row spacing apart.
        assert any(len(g) == 0 or g.min() >= between - 1e-8 for g in gaps)


@settings(max_examples=8, deadline=None)
@given(
    st.floats(0.6, 2.0),
    st.floats(0.5, 1.3),
    st.floats(0.15, 0.4),
    st.tuples(st.floats(0, 1), st.floats(0, 1), st.floats(0.02, 0.25)),
    st.tuples(st.floats(0, 1), st.floats(0, 1), st.floats(0.05, 0.4), st.floats(0.05, 0.4)),
    st.sampled_from(["plain", "round ends", "L"]),
)
def test_a_mirrored_bed_with_things_in_the_way_holds_the_same(
    length, width, spacing, post, stone, kind
):
    outline = {
        "plain": None,
        "round ends": Rounded(length, width, min(length, width) / 2),
        "L": l_shape(length, width, length / 3, width / 2),
    }[kind]
    things = (
        Circle(post[0] * length, post[1] * width, post[2]),
        Box(stone[0] * length, stone[1] * width, stone[2], stone[3]),
    )
    layout = fit(length, width, spacing, keep_outs=things, outline=outline)
    mirror = Frame(length, width, flip_x=True)
    turned = None if outline is None else outline.turned(mirror)
    other = fit(
        length,
        width,
        spacing,
        keep_outs=[thing.turned(mirror) for thing in things],
        outline=turned,
    )
    assert layout.plants == other.plants
    assert layout.plants <= layout.bound
    points = layout.positions
    if len(points):
        assert least_distance(points) >= spacing * (1 - HAIR)
        for thing in things:
            assert thing.distance(points).min() >= spacing / 2 - HAIR
        check_inside(points, outline or Rounded(length, width), spacing / 2)


def check_inside(points, outline, edge):
    """By the geometry library, on the outline as it is drawn: off the true arc by a hair."""
    import shapely

    shape = shapely.Polygon(outline.corners())
    dots = shapely.points(points)
    assert shapely.covers(shape, dots).all()
    assert shapely.distance(shape.exterior, dots).min() >= edge - 4e-4 * np.ptp(outline.corners())


@settings(max_examples=60, deadline=None)
@given(sides, sides, spacings, st.sampled_from(PATTERNS))
def test_each_pattern_alone_is_sound_and_no_better_than_all(length, width, spacing, pattern):
    alone = fit(length, width, spacing, patterns=(pattern,))
    assert alone.plants <= fit(length, width, spacing).plants
    assert least_distance(alone.positions) >= spacing * (1 - HAIR)
    assert bool(alone.plants) != bool(alone.reason)
    if pattern == "square":
        assert alone.plants == plain_square(length, width, spacing)
    if pattern == "offset along length":
        assert alone.plants == plain_offset(length, width, spacing)
    if pattern == "offset along width":
        assert alone.plants == plain_offset(width, length, spacing)


def test_a_polygon_that_is_a_rectangle_holds_what_the_rectangle_holds():
    corners = Polygonal(np.array([[0, 0], [2.4, 0], [2.4, 1.2], [0, 1.2]], dtype=float))
    for spacing in (0.25, 0.45):
        rows = ("square", "offset along length", "offset along width", "mixed")
        plain = fit(2.4, 1.2, spacing, patterns=rows).plants
        assert fit(2.4, 1.2, spacing, outline=corners).plants >= plain


corners_of = st.lists(
    st.tuples(st.floats(0.25, 1.0), st.floats(0.0, 1.0)), min_size=5, max_size=8
).map(
    lambda arms: np.array(
        [
            (1.0 + reach * np.cos(turn), 1.0 + reach * np.sin(turn))
            for k, (reach, jitter) in enumerate(arms)
            for turn in [2 * np.pi * (k + 0.8 * jitter) / len(arms)]
        ]
    )
)
"""Stars of all kinds about (1, 1): no two sides cross, most corners turn inward somewhere."""


@settings(max_examples=6, deadline=None)
@given(corners_of, st.floats(0.12, 0.4), st.sampled_from([0.0, 0.5]))
def test_no_layout_beats_the_bound_of_any_polygon(corners, spacing, edge):
    outline = Polygonal(corners - corners.min(axis=0))
    box = outline.box
    layout = fit(box[2], box[3], spacing, edge_m=edge * spacing, outline=outline)
    assert layout.plants <= layout.bound
    if layout.plants:
        assert least_distance(layout.positions) >= spacing * (1 - HAIR)


@settings(max_examples=15, deadline=None)
@given(corners_of, st.floats(0.15, 0.5), st.integers(0, 2**32 - 1))
def test_points_thrown_at_random_never_beat_the_bound_of_the_parts(corners, apart, seed):
    """Points are thrown one by one and kept where they are far enough from all kept so far."""
    import shapely

    shape = shapely.Polygon(corners)
    thrown = np.random.default_rng(seed).uniform(0, 2, (800, 2))
    thrown = np.concatenate([corners, thrown[shapely.contains_xy(shape, *thrown.T)]])
    kept = np.empty((0, 2))
    for point in thrown:
        if len(kept) == 0 or np.hypot(*(kept - point).T).min() >= apart:
            kept = np.vstack([kept, point])
    assert len(kept) <= cut_bound(shape, apart)


def test_the_bound_of_an_l_is_nearer_than_area_and_hull_can_be():
    tighter = 0
    for spacing in (0.15, 0.2, 0.25, 0.3, 0.4):
        region = Region(l_shape(2.4, 1.2, 1.2, 0.6), spacing / 2)
        shape = region.outline.inner(spacing / 2)
        by_area = region_bound(shape.area, shape.length, spacing)
        hull = shape.convex_hull
        most, by = region.bound(spacing)
        assert most <= min(by_area, oler_convex(hull.area, hull.length, spacing))
        assert by is BoundBy.PARTS
        tighter += by_area - most
    assert tighter >= 15  # over five spacings: 3 plants and more on average


def test_frames_go_there_and_back():
    points = np.array([[0.1, 0.2], [1.7, 0.9]])
    for frame in frames(2.4, 1.2):
        assert np.allclose(frame.back(frame.into(points)), points)


def test_round_tub_holds_two_plants_exactly_a_spacing_apart():
    layout = fit(0.4, 0.4, 0.2, outline=tub(0.4))
    assert layout.plants == 2


@pytest.mark.parametrize(
    "wrong",
    [(0, 1, 0.2), (1, -1, 0.2), (1, 1, 0), (float("nan"), 1, 0.2), (1, float("inf"), 0.2)],
)
def test_nonsense_is_refused(wrong):
    with pytest.raises(ValueError, match="must be a length"):
        fit(*wrong)


def test_reasons_for_none():
    assert fit(2.0, 0.2, 0.4).reason == NoRoom("narrow", 0.2, 0.4)
    covered = fit(2.4, 1.2, 0.25, keep_outs=[Box(0, 0, 2.4, 1.2)])
    assert covered.plants == 0 and covered.reason.kind == "in the way"
    # Of rows 80 cm apart one stands in 60 cm, since its plants need 50 cm; none does in 40 cm.
    assert fit(0.6, 0.6, 0.5, 0.8).plants == fit(0.6, 0.6, 0.5, 0.8, outline=tub(0.6)).plants == 1
    assert fit(0.4, 0.6, 0.5, 0.8).reason == NoRoom("narrow", 0.4, 0.5)
    assert fit(0.4, 0.4, 0.5, 0.8, outline=tub(0.4)).reason == NoRoom("narrow", 0.4, 0.5)
    narrow_arms = fit(2.0, 2.0, 0.4, outline=l_shape(2.0, 2.0, 1.7, 1.7))
    assert narrow_arms.reason.kind == "outline"


@given(st.floats(0.3, 4.0), st.floats(0.1, 0.6), st.sampled_from([0.25, 0.5, 0.8]))
@settings(max_examples=60, deadline=None)
def test_a_bed_too_narrow_takes_one_row_down_its_middle(length, width, spacing):
    width = min(width, length, spacing * 0.98)
    assert fit(length, width, spacing).plants == 0
    found = leaning(length, width, spacing)
    # The row's ends are as far from the ends of the bed as from its sides, to half a centimetre.
    assert found.plants >= int((length - width) / spacing) + 1
    assert np.abs(found.positions[:, 1] - width / 2).max() <= 0.0055
    again = fit(length, width, spacing, edge_m=found.edge_m)
    assert again.plants == found.plants


def test_nothing_leans_where_everything_is_in_the_way():
    assert leaning(2.0, 1.0, 0.4, keep_outs=[Box(0, 0, 2.0, 1.0)]) is None


@given(st.floats(0.3, 1.4), st.sampled_from([0.1, 0.2, 0.3, 0.5]), st.sampled_from([1.0, 1.5]))
@settings(max_examples=25, deadline=None)
def test_a_tub_is_planted_about_its_middle(across, spacing, wider):
    layout = fit(across, across, spacing, spacing * wider, outline=tub(across))
    if layout.plants:
        ends = layout.positions.min(axis=0) + layout.positions.max(axis=0)
        room = np.hypot(*(layout.positions - across / 2).T).max()
        assert room <= across / 2 - layout.edge_m + 1e-9
        if layout.plants == 1:
            assert np.abs(ends / 2 - across / 2).max() <= 0.005


@settings(max_examples=60, deadline=None)
@given(st.floats(0.2, 1.2), st.floats(0.15, 0.5), st.floats(0.0, 0.3), st.floats(0.6, 1.0))
def test_a_larger_tub_or_a_closer_spacing_never_loses_a_plant(across, spacing, more, closer):
    layout = fit(across, across, spacing, outline=tub(across))
    assert least_distance(layout.positions) >= spacing * (1 - HAIR)
    assert layout.plants <= layout.bound or layout.plants == 0
    wider = across + more
    assert fit(wider, wider, spacing, outline=tub(wider)).plants >= layout.plants
    if wider / (spacing * closer) < 8:  # larger ones lie beyond the table
        assert fit(across, across, spacing * closer, outline=tub(across)).plants >= layout.plants


def test_a_lone_plant_stands_in_the_middle():
    for outline in (None, tub(0.6)):
        for rows in (0.5, 0.6):
            layout = fit(0.6, 0.6, 0.5, rows, outline=outline)
            assert layout.positions[0].tolist() == pytest.approx([0.3, 0.3])


def test_plain_rows_say_which_way_they_run():
    # 60 cm between rows, 20 cm in them, 6.1 m by 0.92 m: ten rows across of four, or two rows along
    # of thirty, (92 - 20) / 60 = 1.2.
    layout = fit(6.1, 0.92, 0.2, 0.6)
    assert layout.plants == 60 and layout.along is True
    # 25 cm by 40 cm, 4 m by 52 cm: ten rows across of two, or one along of sixteen.
    layout = fit(4.0, 0.52, 0.25, 0.4)
    assert layout.plants == 20 and layout.along is False
    assert fit(6.1, 0.92, 0.2).along is None
