"""Fits for beds with something in the way, or of another outline than a rectangle."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from sowplan.bed.frames import frames
from sowplan.bed.layout import BoundBy, Layout, NoRoom
from sowplan.bed.outlines import Outline, Rounded
from sowplan.bed.rectangle import MARK_M
from sowplan.bed.region import Region
from sowplan.bed.rows import SLACK, count_along
from sowplan.bed.sweep import best_rows, best_sweep, rings
from sowplan.bed.things import KeepOut
from sowplan.bed.tubs import in_table, tub_layout


def fit_region(
    empty: Layout,
    edge_m: float | None,
    margin_m: float,
    keep_outs: tuple[KeepOut, ...],
    outline: Outline | None,
) -> Layout:
    """Fill in a layout for a bed of any outline, with keep-outs.

    Parameters
    ----------
    empty : Layout
        Sides, spacings and edge, no plants yet.
    edge_m : float or None
        Edge the gardener chose [m]; None for half a spacing.
    margin_m : float
        Bare margin [m].
    keep_outs : tuple of Circle or Box
        What stands in the way.
    outline : Outline or None
        None for a rectangle.
    """
    s, r = empty.spacing_m, empty.row_spacing_m
    region = Region(
        Rounded(empty.length_m, empty.width_m) if outline is None else outline,
        empty.edge_m,
        keep_outs,
        empty.edge_m - margin_m,
    )
    if region.is_empty:
        layout = empty
    elif abs(r - s) > SLACK * s:
        beside = max(r - s, 0.0) / 2 if edge_m is None else 0.0
        layout = _rows(empty, region, beside)
    else:
        tub = _tub(empty, region)
        layout = tub or _filled(empty, region, _swept(empty, region), s)
    if layout.plants:
        return layout
    if keep_outs and fit_region(empty, edge_m, margin_m, (), outline).plants:
        return replace(layout, reason=NoRoom("in the way", 0.0, 2 * empty.edge_m, region.clear_m))
    return replace(layout, reason=_too_small(empty, outline))


def _swept(empty: Layout, region: Region) -> NDArray[np.float64]:
    return best_sweep(region, empty.length_m, empty.width_m, empty.spacing_m)


def _tub(empty: Layout, region: Region) -> Layout | None:
    """Return the best layout of a round tub with nothing in the way; None for any other bed."""
    outline, s = region.outline, empty.spacing_m
    if not (isinstance(outline, Rounded) and outline.is_round) or region.keep_outs:
        return None
    radius = outline.radius_m - empty.edge_m
    if radius < -SLACK * s:
        return empty
    middle, radius = outline.radius_m, max(radius, 0.0)
    # Rings go in to the last hair where the table, in whole steps, falls short by one.
    points = tub_layout(radius, s) + middle
    if in_table(radius, s):
        points = max(points, rings(middle, middle, radius, s), key=len)
    else:
        points = max(points, _swept(empty, region), key=len)
    points = in_rows(points, s)
    most, by = region.bound(s)
    pattern = _pattern(points, s)
    return replace(empty, positions=points, pattern=pattern, bound=max(most, 1), bound_by=by)


def _rows(empty: Layout, region: Region, beside_m: float) -> Layout:
    """Return plain rows, seen from whichever side holds most; the rectangle around is the bound.

    Rows across the longer side of the bed keep ``beside_m`` more from its ends than its edge.
    """
    s, r = empty.spacing_m, empty.row_spacing_m
    sides = (empty.length_m, empty.width_m)
    ways = [
        (best_rows(region, frame, s, r, _behind(sides, frame.swap, beside_m)), frame.swap)
        for frame in frames(*sides)
    ]
    points, along = max(ways, key=lambda way: len(way[0]))
    layout = _filled(empty, region, points, min(s, r), along)
    if layout.plants == 0 or region.box is None:
        return layout
    x0, y0, x1, y1 = region.box
    most = max(
        count_along(a - 2 * _behind(sides, swap, beside_m), r) * count_along(b, s)
        for a, b, swap in ((x1 - x0, y1 - y0, False), (y1 - y0, x1 - x0, True))
    )
    return replace(layout, bound=most, bound_by=BoundBy.ROWS_FREE)


def _behind(sides_m: tuple[float, float], along: bool, beside_m: float) -> float:
    """Return what rows keep beside them: nothing more where they run along the longer side."""
    run, stacked = sides_m if along else sides_m[::-1]
    return beside_m if stacked > run else 0.0


def _filled(
    empty: Layout,
    region: Region,
    points: NDArray[np.float64],
    apart_m: float,
    along: bool | None = None,
) -> Layout:
    """Return the layout of these points; with ``along``, of rows that run that way."""
    points = points[region.holds(points)] if len(points) else points
    if len(points) == 0:
        return empty
    points = _centred(points, region)
    most, by = region.bound(apart_m)
    return replace(
        empty,
        positions=in_rows(points, apart_m, along),
        pattern=_pattern(points, empty.spacing_m) if along is None else "rows",
        bound=most,
        bound_by=by,
        along=along,
    )


def _centred(points: NDArray[np.float64], region: Region) -> NDArray[np.float64]:
    """Return the points moved to the middle of the region, as far as it has room for the move.

    Points on marks stay on marks.
    """
    x0, y0, x1, y1 = region.box
    middle = (points.min(axis=0) + points.max(axis=0)) / 2
    move = np.array([(x0 + x1) / 2, (y0 + y1) / 2]) - middle
    marks = points / MARK_M
    on_marks = np.abs(marks - np.round(marks)).max(axis=0) < 1e-6
    move = np.where(on_marks, np.trunc(move / MARK_M + np.sign(move) * 1e-6) * MARK_M, move)
    for share in ((1, 1), (1, 0), (0, 1)):
        moved = points + move * share
        if region.holds(moved).all():
            return moved
    return points


def _too_small(empty: Layout, outline: Outline | None) -> NoRoom:
    """Return why the empty bed takes no plant."""
    less = 2 * empty.edge_m
    if outline is not None and not isinstance(outline, Rounded):
        return NoRoom("outline", 0.0, less)
    return NoRoom("narrow", min(empty.length_m, empty.width_m), less)


def _pattern(points: NDArray[np.float64], spacing_m: float):
    """Return the name of the pattern: rows where plants share a few lines, else free."""
    lines = min(len(rows_of(points[:, axis], spacing_m / 50)) for axis in (0, 1))
    return "mixed" if lines * 2 <= len(points) else "free"


def rows_of(values: NDArray[np.float64], apart: float) -> list[float]:
    """Return the distinct values, those nearer than ``apart`` to the last one left out."""
    kept: list[float] = []
    for value in np.sort(values).tolist():
        if not kept or value - kept[-1] > apart:
            kept.append(value)
    return kept


def in_rows(
    points: NDArray[np.float64], apart_m: float, along: bool | None = None
) -> NDArray[np.float64]:
    """Return points sorted row by row; without ``along``, whichever way has fewer rows."""
    if along is None:
        along = _count(points[:, 0], apart_m) >= _count(points[:, 1], apart_m)
    axis = 1 if along else 0
    return points[np.lexsort((points[:, 1 - axis], np.round(points[:, axis], 6)))]


def _count(values: Iterable[float], apart_m: float) -> int:
    return len(rows_of(np.asarray(values), apart_m / 50))
