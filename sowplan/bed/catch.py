"""Catch crops: quick plants between slow ones, gone before these need the room.

The two keep half the sum of what they need apart, where the slow crop counts as wide as it is on
the day the quick one is cleared. Rows of the catch crop run in the gaps between the slow crop's
rows, so that both can be set out and hoed; where no unbroken row has room, between the plants.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from sowplan.bed.frames import Span, without
from sowplan.bed.marks import setting_out
from sowplan.bed.rectangle import MARK_M
from sowplan.bed.rows import SLACK, count_along

Points = NDArray[np.float64]


def between(
    length_m: float,
    width_m: float,
    main: Points,
    reach_m: float,
    spacing_m: float,
    row_spacing_m: float | None = None,
    *,
    along: bool | None = None,
    margin_m: float = 0.0,
) -> Points:
    """Return where a catch crop stands between the plants of a main crop.

    Parameters
    ----------
    length_m, width_m : float
        Inner sides of the bed [m].
    main : ndarray, shape (plants, 2)
        The main crop [m].
    reach_m : float
        How wide each of its plants is when the catch crop is cleared [m].
    spacing_m : float
        Between plants of the catch crop, in the row [m].
    row_spacing_m : float, optional
        Between its rows where that differs [m]; half of it is kept from the main crop.
    along : bool, optional
        Whether the main crop's rows run along the bed, where that is settled (`Layout.along`).
    margin_m : float
        Bare margin along all sides [m].

    Returns
    -------
    ndarray, shape (plants, 2)
        In rows; empty where nothing finds room.
    """
    if len(main) == 0:
        return np.empty((0, 2))
    rows = spacing_m if row_spacing_m is None else row_spacing_m
    return _in_gaps(length_m, width_m, main, reach_m, spacing_m, rows, along, margin_m)


def _in_gaps(
    length_m: float,
    width_m: float,
    main: Points,
    reach_m: float,
    spacing_m: float,
    rows_m: float,
    along: bool | None,
    margin_m: float,
) -> Points:
    """Return rows that run as the main crop's do, in the gaps between them."""
    out = setting_out(main, along)
    side, run = (width_m, length_m) if out.along else (length_m, width_m)
    seen = main[:, ::-1] if out.along else main  # first the place of the row, then that in it
    clear = (reach_m + rows_m) / 2
    found: list[Points] = []
    for at in _lines([row.at_m for row in out.rows], side, clear, rows_m, margin_m):
        spans = [(margin_m + spacing_m / 2, run - margin_m - spacing_m / 2)]
        for gap in _held(seen, at, clear):
            spans = without(spans, gap)
        marks: list[float] = []
        for low, high in spans:
            nearest = marks[-1] + spacing_m if marks else low
            marks += _spread((max(low, nearest), high), spacing_m)
        if marks:
            found.append(np.column_stack([np.full(len(marks), at), marks]))
    if not found:
        return np.empty((0, 2))
    points = np.concatenate(found)
    return points[:, ::-1] if out.along else points


def _lines(
    rows: list[float], side_m: float, clear_m: float, apart_m: float, margin_m: float
) -> list[float]:
    """Return where rows may run: as many in each gap as keep clear, else one down its middle."""
    edge = margin_m + apart_m / 2
    lows = [edge, *(row + clear_m for row in rows)]
    highs = [*(row - clear_m for row in rows), side_m - edge]
    lines: list[float] = []
    for k, (low, high) in enumerate(zip(lows, highs, strict=True)):
        count = count_along(high - low, apart_m)
        first = (low + high - (count - 1) * apart_m) / 2
        inside = 0 < k < len(rows)
        if count == 0 and inside:  # no unbroken row: between the plants, if at all
            count, first = 1, (low + high) / 2
        elif count == 0:
            continue
        on_mark = round(first / MARK_M) * MARK_M
        if low <= on_mark and on_mark + (count - 1) * apart_m <= high:
            first = on_mark
        for n in range(count):
            at = first + n * apart_m
            if not lines or at - lines[-1] >= apart_m * (1 - SLACK):
                lines.append(at)
    return lines


def _held(seen: Points, at_m: float, clear_m: float) -> list[Span]:
    """Return the parts of the line at ``at_m`` that the main crop holds."""
    aside = seen[:, 0] - at_m
    half2 = clear_m**2 - aside**2
    near = half2 > SLACK * clear_m**2
    half = np.sqrt(half2[near])
    return list(zip((seen[near, 1] - half).tolist(), (seen[near, 1] + half).tolist(), strict=True))


def _spread(span: Span, spacing_m: float) -> list[float]:
    """Return places one spacing apart in the middle of a span, on marks where there is room."""
    low, high = span
    count = count_along(high - low, spacing_m)
    if count == 0:
        return []
    spare = high - low - (count - 1) * spacing_m
    first = low + max(spare, 0.0) / 2
    on_mark = math.floor(first / MARK_M + 1e-6) * MARK_M
    if on_mark >= low:
        first = on_mark
    return [first + spacing_m * k for k in range(count)]
