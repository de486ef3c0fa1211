"""Fits for beds with something in the way, or of another outline than a rectangle."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from sowplan.bed.frames import frames
from sowplan.bed.layout import Layout, no_room
from sowplan.bed.outlines import Outline, Rounded
from sowplan.bed.region import Region
from sowplan.bed.rows import SLACK, count_along
from sowplan.bed.sweep import best_rows, best_sweep
from sowplan.bed.things import KeepOut


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
    if abs(r - s) > SLACK * s:
        return _rows(empty, region, max(r - s, 0.0) / 2 if edge_m is None else 0.0)
    points = best_sweep(region, empty.length_m, empty.width_m, s)
    return _filled(empty, region, points, s, "mixed")


def _rows(empty: Layout, region: Region, beside_m: float) -> Layout:
    """Return plain rows, seen from whichever side holds most; the rectangle around is the bound."""
    s, r = empty.spacing_m, empty.row_spacing_m
    ways = [best_rows(region, f, s, r, beside_m) for f in frames(empty.length_m, empty.width_m)]
    layout = _filled(empty, region, max(ways, key=len), min(s, r), "rows")
    if layout.plants == 0 or region.box is None:
        return layout
    x0, y0, x1, y1 = region.box
    most = max(
        count_along(a - 2 * beside_m, r) * count_along(b, s)
        for a, b in ((x1 - x0, y1 - y0), (y1 - y0, x1 - x0))
    )
    return replace(layout, bound=most, bound_by="whole rows, were nothing in the way")


def _filled(
    empty: Layout, region: Region, points: NDArray[np.float64], apart_m: float, pattern
) -> Layout:
    if len(points) == 0:
        return replace(empty, reason=_nowhere(empty, region))
    points = points[region.holds(points)]
    most, by = region.bound(apart_m)
    if pattern == "mixed":
        pattern = _pattern(points, empty.spacing_m)
    return replace(
        empty, positions=in_rows(points, apart_m), pattern=pattern, bound=most, bound_by=by
    )


def _nowhere(empty: Layout, region: Region) -> str:
    if region.box is None:
        return no_room(empty)
    return (
        "what stands in the way leaves no place for a single plant "
        f"{region.clear_m * 100:g} cm clear of it and {empty.edge_m * 100:g} cm from the sides"
    )


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


def in_rows(points: NDArray[np.float64], apart_m: float) -> NDArray[np.float64]:
    """Return points sorted row by row, rows being whichever way has fewer of them."""
    axis = 0 if _count(points[:, 0], apart_m) < _count(points[:, 1], apart_m) else 1
    return points[np.lexsort((points[:, 1 - axis], np.round(points[:, axis], 6)))]


def _count(values: Iterable[float], apart_m: float) -> int:
    return len(rows_of(np.asarray(values), apart_m / 50))
