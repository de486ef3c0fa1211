"""Strips: whole rows across a bed, the piece of its length that one batch takes.

A strip keeps half a row spacing clear at either end. Two strips that touch
therefore keep the half-sum of their spacings apart, whatever stands in them,
and a strip that ends at the bed's end keeps half a spacing from it.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sowplan.bed.layout import Strip
from sowplan.bed.rows import SLACK, RowShape, offset_rows, plain, shapes

NO_STRIP = Strip(0, (0, 0), 0.0, 0.0, 0.0, 0)
"""What is returned where the crop does not fit the width, or nothing is asked for."""


def strip_for(width_m: float, spacing_m: float, row_spacing_m: float, plants: int) -> Strip:
    """Return the shortest strip of whole rows that holds at least so many plants.

    Parameters
    ----------
    width_m : float
        Usable width of the bed [m]: between the bare margins, where there are any. The outermost
        plants of a row stand half a spacing inside it.
    spacing_m : float
        Distance between plants in the row [m].
    row_spacing_m : float
        Distance between rows [m]. Equal to ``spacing_m``, plants are equidistant and may stand
        in offset rows; otherwise they stand in plain rows.
    plants : int
        Plants wanted.

    Returns
    -------
    Strip
        With ``plants`` of zero where the width takes none or none are wanted.
    """
    best: tuple[tuple[float, int], Strip] | None = None
    for rank, shape in enumerate(_shapes(width_m, spacing_m, row_spacing_m)):
        strip = _strip(shape, shape.rows_for(plants), row_spacing_m)
        key = (round(strip.length_m, 9), rank)
        if plants > 0 and (best is None or key < best[0]):
            best = (key, strip)
    return best[1] if best else NO_STRIP


def strip_of_rows(width_m: float, spacing_m: float, row_spacing_m: float, rows: int) -> Strip:
    """Return a strip of so many rows, in the shape that takes the least length a plant.

    Parameters are those of `strip_for`; one row holds as many plants as the width takes.
    """
    best: tuple[tuple[float, int], Strip] | None = None
    for rank, shape in enumerate(_shapes(width_m, spacing_m, row_spacing_m)):
        if rows < 1:
            break
        strip = _strip(shape, rows, row_spacing_m)
        key = (round(strip.length_m / strip.plants, 9), rank)
        if best is None or key < best[0]:
            best = (key, strip)
    return best[1] if best else NO_STRIP


def positions(
    strip: Strip, start_m: float, width_m: float, spacing_m: float, edge_m: float = 0.0
) -> NDArray[np.float64]:
    """Return where each plant of a strip stands.

    Parameters
    ----------
    strip : Strip
        From `strip_for` or `strip_of_rows`.
    start_m : float
        Where the strip starts along the bed [m], measured inside the bare margin.
    width_m, spacing_m : float
        Usable width and in-row spacing the strip was made with [m].
    edge_m : float
        Bare margin along all sides of the bed [m]; shifts everything inward.

    Returns
    -------
    ndarray, shape (plants, 2)
        Metres from the corner of the bed: x along its length, y along its width; row by row.
    """
    if strip.plants == 0:
        return np.empty((0, 2))
    shape = _shape_of(strip, width_m - spacing_m, spacing_m)
    points = []
    for row in range(strip.rows):
        y = shape.first_m[row % 2] + shape.step_m * np.arange(strip.per_row[row % 2])
        x = np.full(len(y), start_m + strip.lead_m + row * strip.pitch_m)
        points.append(np.column_stack([x, y + spacing_m / 2]))
    return np.concatenate(points) + edge_m


def _shapes(width_m: float, spacing_m: float, row_spacing_m: float) -> list[RowShape]:
    """Return the row shapes a crop may stand in; empty where the width is under one spacing."""
    inner = width_m - spacing_m
    if -SLACK * spacing_m <= inner < 0.0:
        inner = 0.0
    if _equidistant(spacing_m, row_spacing_m):
        return shapes(inner, spacing_m)
    shape = plain(inner, spacing_m, row_spacing_m)
    return [shape] if shape else []


def _equidistant(spacing_m: float, row_spacing_m: float) -> bool:
    return abs(spacing_m - row_spacing_m) <= SLACK * spacing_m


def _strip(shape: RowShape, rows: int, row_spacing_m: float) -> Strip:
    """Return so many rows of a shape as a strip, half a row spacing clear at each end."""
    per_row = shape.per_row if rows > 1 else (shape.per_row[0], 0)
    length = row_spacing_m + max(rows - 1, 0) * shape.pitch_m
    return Strip(
        rows,
        per_row,
        shape.pitch_m,
        row_spacing_m / 2,
        length if rows else 0.0,
        shape.plants_in(rows),
    )


def _shape_of(strip: Strip, inner_m: float, spacing_m: float) -> RowShape:
    """Return the row shape a strip was made of, told from its numbers and its pitch.

    Offset rows of equal number stand closer than one spacing; plain rows never do, and rows
    that differ by one are always offset.
    """
    inner = max(inner_m, 0.0)
    odd, even = strip.per_row
    shape: RowShape | None = None
    if strip.rows > 1 and even == odd - 1:
        shape = offset_rows(inner, spacing_m, odd, equal=False)
    elif strip.rows > 1 and even == odd and strip.pitch_m < spacing_m * (1 - SLACK):
        shape = offset_rows(inner, spacing_m, odd, equal=True)
    shape = shape or plain(inner, spacing_m, strip.pitch_m)
    if shape is None or shape.per_row[0] != odd:
        raise ValueError("the strip was not made for this width and spacing")
    return shape
