"""Strips: the piece of a bed's length that one batch takes, in rows across the bed or along it.

A strip of rows across keeps half a row spacing clear at either end, one of rows along it half the
spacing of plants in the row. Two strips that touch therefore keep the half-sum of what they need
that way, whatever stands in them, and a strip that ends at the bed's end keeps half of it from
that. Of the two ways a crop stands in the one that takes the least length a plant; where they take
the same, in rows along a long narrow bed, which is hoed and drilled from end to end, and else in
short ones across. In such a bed plants in line both ways are told as rows along, too. In all others
few plants stand in rows across instead of stubs of rows along, where those take hardly more.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sowplan.bed.layout import Strip
from sowplan.bed.rows import (
    SLACK,
    RowShape,
    abreast,
    count_along,
    offset_rows,
    plain,
    shapes,
)

NO_STRIP = Strip(0, (0, 0), 0.0, 0.0, 0.0, 0)
"""What is returned where the crop does not fit the width, or nothing is asked for."""

LONG_M, NARROW_M = 4.0, 1.0
"""A bed so long, and no wider, is worked along its length (common practice, no source)."""
GAIN_WORTH = 0.03
"""For fewer more plants nobody gives plain square rows up (common practice, no source)."""
NEARLY = 0.7
"""Rows along are seen as rows where they stand at least so much as far apart as plants in them."""
SHORT_M, HARDLY_MORE_M = 0.4, 0.1
"""Rows along so short give way to rows across hardly longer (common practice, no source)."""


def is_long(length_m: float, width_m: float) -> bool:
    """Return whether a bed is a long narrow one, worked from end to end."""
    return length_m >= LONG_M * (1 - SLACK) and width_m <= NARROW_M * (1 + SLACK)


def runs_along(width_m: float, spacing_m: float, row_spacing_m: float, long: bool = False) -> bool:
    """Return whether a crop with rows of their own distance stands in rows along a bed.

    Parameters
    ----------
    width_m : float
        Usable width of the bed [m].
    spacing_m, row_spacing_m : float
        Distance between plants in the row and between rows [m]; equal ones are no rows of their
        own: plants stand in line both ways, or offset.
    long : bool
        Whether the bed is a long narrow one (`is_long`), which settles a tie.
    """
    if _equidistant(spacing_m, row_spacing_m):
        return False
    rows, _, _ = abreast(width_m, spacing_m, row_spacing_m)
    if rows == 0:
        return False
    length_across = row_spacing_m / count_along(max(width_m - spacing_m, 0.0), spacing_m)
    length_along = spacing_m / rows
    if abs(length_across - length_along) <= SLACK * length_across:
        return long
    return length_along < length_across


def strip_for(
    width_m: float, spacing_m: float, row_spacing_m: float, plants: int, long: bool = False
) -> Strip:
    """Return the shortest strip of the crop's rows that holds at least so many plants.

    Of few plants it may be up to `HARDLY_MORE_M` longer: rows across instead of short ones along.

    Parameters
    ----------
    width_m : float
        Usable width of the bed [m]: between the bare margins, where there are any. The outermost
        plants stand half a spacing inside it.
    spacing_m : float
        Distance between plants in the row [m].
    row_spacing_m : float
        Distance between rows [m]. Equal to ``spacing_m``, plants are equidistant and may stand
        in offset rows; otherwise they stand in plain rows, across the bed or along it.
    plants : int
        Plants wanted.
    long : bool
        Whether the bed is a long narrow one (`is_long`): at a tie rows run along it then.

    Returns
    -------
    Strip
        With ``plants`` of zero where the width takes none or none are wanted.
    """
    if plants < 1:
        return NO_STRIP
    if runs_along(width_m, spacing_m, row_spacing_m, long):
        if long:
            rows, _, gap = abreast(width_m, spacing_m, row_spacing_m)
            return _strip_along(rows, gap, -(-plants // rows), spacing_m)
        return _along_or_few_across(width_m, spacing_m, row_spacing_m, plants)
    found = _shapes(width_m, spacing_m, row_spacing_m)
    if not found:
        return NO_STRIP
    if long:
        shape = found[0] if plants <= found[0].per_row[0] else _one_for_all(found)
        strip = _strip(shape, shape.rows_for(plants), row_spacing_m)
        return _turned(strip, shape, width_m, spacing_m, row_spacing_m)
    strips = [_strip(shape, shape.rows_for(plants), row_spacing_m) for shape in found]
    return min(strips, key=lambda strip: round(strip.length_m, 9))


def strip_of_rows(width_m: float, spacing_m: float, row_spacing_m: float, rows: int) -> Strip:
    """Return a strip of so many rows across, in the shape that takes the least length a plant.

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


def longest_strip(
    width_m: float, spacing_m: float, row_spacing_m: float, room_m: float, long: bool = False
) -> Strip:
    """Return the strip with the most plants that is no longer than the room there is [m].

    Other parameters are those of `strip_for`.
    """
    if runs_along(width_m, spacing_m, row_spacing_m, long):
        each = count_along(room_m - spacing_m, spacing_m)
        rows, _, gap = abreast(width_m, spacing_m, row_spacing_m)
        return _strip_along(rows, gap, each, spacing_m) if each else NO_STRIP
    best, rows = NO_STRIP, 1
    while True:
        strip = strip_of_rows(width_m, spacing_m, row_spacing_m, rows)
        if strip.plants == 0 or rows * min(spacing_m, row_spacing_m) / 2 > room_m + spacing_m:
            return best
        if strip.length_m <= room_m + 1e-9 and strip.plants > best.plants:
            best = strip
        rows += 1


def positions(
    strip: Strip, start_m: float, width_m: float, spacing_m: float, edge_m: float = 0.0
) -> NDArray[np.float64]:
    """Return where each plant of a strip stands.

    Parameters
    ----------
    strip : Strip
        From `strip_for`, `strip_of_rows` or `longest_strip`.
    start_m : float
        Where the strip starts along the bed [m], measured inside the bare margin.
    width_m, spacing_m : float
        Usable width and in-row spacing the strip was made with [m].
    edge_m : float
        Bare margin along all sides of the bed [m]; shifts everything inward.

    Returns
    -------
    ndarray, shape (plants, 2)
        Metres from the corner of the bed: x along its length, y along its width; from the strip's
        start on, so that the first of them are a batch of fewer plants.
    """
    if strip.plants == 0:
        return np.empty((0, 2))
    if strip.along:
        return _positions_along(strip, start_m, width_m) + edge_m
    shape = _shape_of(strip, width_m - spacing_m, spacing_m)
    points = []
    for row in range(strip.rows):
        y = shape.first_m[row % 2] + shape.step_m * np.arange(strip.per_row[row % 2])
        x = np.full(len(y), start_m + strip.lead_m + row * strip.pitch_m)
        points.append(np.column_stack([x, y + min(spacing_m, width_m) / 2]))
    return np.concatenate(points) + edge_m


def _strip_along(rows: int, gap_m: float, each: int, step_m: float) -> Strip:
    """Return rows along the bed of so many plants each, half a step clear at each end."""
    return Strip(rows, (each, each), gap_m, step_m / 2, each * step_m, rows * each, along=True)


def _along_or_few_across(
    width_m: float, spacing_m: float, row_spacing_m: float, plants: int
) -> Strip:
    """Return rows along a bed, or rows across it instead of stubs of two or three plants each.

    One plant abreast of the other is one row across as it is. Of what comes next above the last
    rows across, the rows along are drawn out to their length: more plants never take less.
    """
    rows, _, gap = abreast(width_m, spacing_m, row_spacing_m)
    each = -(-plants // rows)
    (shape,) = _shapes(width_m, spacing_m, row_spacing_m)
    across = shape.rows_for(plants)
    if _rather_across(across, each, spacing_m, row_spacing_m):
        return _strip(shape, across, row_spacing_m)
    fewer = across - 1
    behind = -(-fewer * shape.per_row[0] // rows)
    least = fewer * row_spacing_m if _rather_across(fewer, behind, spacing_m, row_spacing_m) else 0
    return _strip_along(rows, gap, each, max(spacing_m, least / each))


def _rather_across(across: int, each: int, spacing_m: float, row_spacing_m: float) -> bool:
    """Return whether so many rows across are rather had than rows along of so many plants each."""
    length, along = across * row_spacing_m, each * spacing_m
    more = min(row_spacing_m, HARDLY_MORE_M)
    return each > 1 and max(length, along) <= SHORT_M + SLACK and length <= along + more + SLACK


def _one_for_all(found: list[RowShape]) -> RowShape:
    """Return the shape of which plants take the least length: one for all batches of a long bed.

    Plain rows, where they are as good or nearly (`GAIN_WORTH`): they come first.
    """
    each = [shape.pitch_m / sum(shape.per_row) for shape in found]
    plain_too = found[0].kind == "plain" and each[0] <= min(each) * (1 + GAIN_WORTH)
    return found[0] if plain_too else found[each.index(min(each))]


def seen_along(rows: int, gap_m: float, behind: int, pitch_m: float) -> bool:
    """Return whether plants in line both ways are seen as rows along a long bed.

    Parameters
    ----------
    rows, behind : int
        Plants abreast and behind one another. A few are rows across.
    gap_m, pitch_m : float
        How far apart abreast and behind one another [m]: rows along must not be much the closer.
    """
    return behind > rows and (rows == 1 or gap_m >= NEARLY * pitch_m * (1 - SLACK))


def _turned(
    strip: Strip, shape: RowShape, width_m: float, spacing_m: float, row_spacing_m: float
) -> Strip:
    """Return a strip of rows across told as rows along the bed, where that is what one sees.

    Plants in line both ways, or every other row half a gap aside both ways, are rows along as well
    as across; they take the same room.
    """
    if shape.kind == "plain":
        rows, _, gap = abreast(width_m, spacing_m, spacing_m)
        if not seen_along(rows, gap, strip.rows, row_spacing_m):
            return strip
        return _strip_along(rows, gap, strip.rows, row_spacing_m)
    rows, gap = sum(strip.per_row), shape.step_m / 2
    if not seen_along(rows, gap, strip.rows, strip.pitch_m):
        return strip
    per_row = ((strip.rows + 1) // 2, strip.rows // 2)
    return Strip(rows, per_row, gap, strip.lead_m, strip.length_m, strip.plants, along=True)


def _positions_along(strip: Strip, start_m: float, width_m: float) -> NDArray[np.float64]:
    """Return the plants of rows along the bed, the first of every row before all second ones."""
    odd, even = strip.per_row
    first = (width_m - (strip.rows - 1) * strip.pitch_m) / 2
    y = first + strip.pitch_m * np.arange(strip.rows)
    # In line each plant takes a step of the length; half a gap aside, rows take half a step more.
    if odd != even or strip.length_m > (odd + 0.25) * 2 * strip.lead_m:
        ranks = [y[n % 2 :: 2] for n in range(odd + even)]
    else:
        ranks = [y] * odd
    step = (strip.length_m - 2 * strip.lead_m) / max(len(ranks) - 1, 1)
    x = start_m + strip.lead_m + step * np.arange(len(ranks))
    return np.column_stack([np.repeat(x, [len(rank) for rank in ranks]), np.concatenate(ranks)])


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
