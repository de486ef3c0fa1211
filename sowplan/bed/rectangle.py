"""Rows stacked in a rectangle: every count by formula, then the positions of the best.

The rectangle is the one on which plant centres may stand. Rows run along its
second side ("across") and are stacked along its first. Each family of rows is
stretched with the rectangle, so a bed that grows or a spacing that shrinks
never loses a plant: the formulae are monotone, and every number in the row
that ever was in question stays in question.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sowplan.bed.rows import SLACK, RowShape, count_along, offset_pitch, offset_rows, plain

MARK_M = 0.005
"""Marks are set on whole half-centimetres wherever the spacing leaves room for it."""


@dataclass(frozen=True)
class Stack:
    """Rows of one shape, one behind the other.

    ``straight`` of the steps from row to row go from an odd row to another odd row right behind
    it, one spacing on; the others go from odd to even and back, one pitch on.
    """

    shape: RowShape
    rows: int
    straight: int
    plants: int


def square(length_m: float, width_m: float, spacing_m: float) -> Stack | None:
    """Return plain rows, every plant right behind the last."""
    return plain_rows(length_m, width_m, spacing_m, spacing_m)


def plain_rows(
    length_m: float, width_m: float, spacing_m: float, row_spacing_m: float
) -> Stack | None:
    """Return plain rows that run across, ``row_spacing_m`` apart; None where nothing fits."""
    shape = plain(width_m, spacing_m, row_spacing_m)
    rows = count_along(length_m, row_spacing_m)
    if shape is None or rows == 0:
        return None
    return Stack(shape, rows, 0, shape.plants_in(rows))


def offset(length_m: float, width_m: float, spacing_m: float) -> Stack | None:
    """Return the usual offset rows that run across: one spacing in the row, √3/2 between rows."""
    n = count_along(width_m, spacing_m)
    rows = count_along(length_m, spacing_m * math.sqrt(0.75))
    if n == 0 or rows == 0:
        return None
    even = n if width_m >= (n - 0.5) * spacing_m * (1 - SLACK) else n - 1
    shape = RowShape(
        "offset", (n, even), (0.0, spacing_m / 2), spacing_m, spacing_m * math.sqrt(0.75)
    )
    return Stack(shape, rows, 0, shape.plants_in(rows))


def mixed(length_m: float, width_m: float, spacing_m: float) -> Stack | None:
    """Return the best of all rows that are drawn out to fill the width and moved together.

    Tried are all numbers in the row: offset rows of equal number, and offset rows of n and
    n − 1 in turn, in which any number of steps may go straight from n to n instead.
    """
    if length_m < 0.0 or width_m < 0.0:
        return None
    equal = _best_equal(length_m, width_m, spacing_m)
    unequal = _best_unequal(length_m, width_m, spacing_m)
    found = [stack for stack in (equal, unequal) if stack is not None]
    return max(found, key=lambda stack: stack.plants, default=None)


def _best_equal(length_m: float, width_m: float, spacing_m: float) -> Stack | None:
    best = None
    for n in range(max(1, math.floor(width_m / spacing_m + 0.5 + SLACK)), 0, -1):
        shape = offset_rows(width_m, spacing_m, n, equal=True)
        if shape is None:
            continue
        rows = count_along(length_m, shape.pitch_m)
        if best is None or n * rows > best.plants:
            best = Stack(shape, rows, 0, n * rows)
    return best


def _best_unequal(length_m: float, width_m: float, spacing_m: float) -> Stack | None:
    most = count_along(width_m, spacing_m)
    if most < 2:
        return None
    n = np.arange(2, most + 1)[::-1]
    pitch = np.array([offset_pitch(width_m / (k - 1), spacing_m) for k in n.tolist()])
    straight = np.arange(count_along(length_m, spacing_m))
    left = np.maximum(length_m - straight * spacing_m, 0.0)
    aside = np.floor(left[None, :] / pitch[:, None] + SLACK).astype(int)
    plants = (straight[None, :] + aside + 1) * n[:, None] - (aside + 1) // 2
    row, j = np.unravel_index(int(np.argmax(plants)), plants.shape)
    shape = offset_rows(width_m, spacing_m, int(n[row]), equal=False)
    if shape is None:  # cannot be: n never exceeds what the width takes
        return None
    rows = int(straight[j] + aside[row, j] + 1)
    return Stack(shape, rows, int(straight[j]), int(plants[row, j]))


def stand(
    stack: Stack,
    length_m: float,
    width_m: float,
    spacing_m: float,
    edge_m: tuple[float, float] = (0.0, 0.0),
) -> list[NDArray[np.float64]]:
    """Return the rows of a stack, spread over the rectangle, each as an array of (x, y) [m].

    Where the spacing leaves room, every plant stands on a whole half-centimetre, counted from
    ``edge_m`` before the rectangle's corner along either side: from the bed's own corner.
    """
    even = _even_rows(stack)
    forward = np.where(even[1:] == even[:-1], 1, 0)  # 1: a straight step
    straight = stack.shape.pitch_m if stack.shape.kind == "plain" else spacing_m
    need = np.where(forward == 1, straight, stack.shape.pitch_m)
    spare = max(length_m - float(need.sum()), 0.0)
    if len(need):
        need = need + spare / len(need)
    least = np.where(forward == 1, straight, stack.shape.pitch_m)
    steps, first = _on_marks(need, length_m, least, edge_m[0])
    x = first + np.concatenate([[0.0], np.cumsum(steps)])
    starts, step = _in_row(stack.shape, width_m, spacing_m, edge_m[1])
    rows = []
    for i, is_even in enumerate(even.tolist()):
        y = starts[is_even] + step * np.arange(stack.shape.per_row[is_even])
        rows.append(np.column_stack([np.full(len(y), x[i]), y]))
    return rows


def _even_rows(stack: Stack) -> NDArray[np.int64]:
    """Return 0 for an odd row and 1 for an even one, straight steps spread through the stack."""
    if stack.shape.kind == "plain":
        return np.zeros(stack.rows, dtype=int)
    aside = stack.rows - 1 - stack.straight
    blocks = stack.straight + 1  # runs of odd, even, odd …, with a straight step between them
    pairs = [aside // 2 * (k + 1) // blocks - aside // 2 * k // blocks for k in range(blocks)]
    even: list[int] = []
    for count in pairs:
        even += [0] + [1, 0] * count
    return np.array(even + [1] * (aside % 2))


def _in_row(
    shape: RowShape, width_m: float, spacing_m: float, edge_m: float
) -> tuple[tuple[float, float], float]:
    """Return where odd and even rows begin, and the step in the row, on marks where it can be."""
    n = max(shape.per_row)
    if shape.kind == "plain":
        if n == 1:
            middle = _first(width_m, edge_m)
            return (middle, middle), spacing_m
        steps, first = _on_marks(np.full(n - 1, width_m / (n - 1)), width_m, spacing_m, edge_m)
        return (first, first), float(steps[0])
    gaps = n - 1 if shape.per_row[1] < n else n - 0.5
    step = _down(shape.step_m, 2 * MARK_M)
    pitch_kept = offset_pitch(step, spacing_m) <= shape.pitch_m + 1e-12
    if step < spacing_m * (1 - SLACK) or not pitch_kept:
        step = shape.step_m
    first = _first(width_m - gaps * step, edge_m)
    return (first, first + step / 2), step


def _on_marks(
    steps: NDArray[np.float64],
    length_m: float,
    least: NDArray[np.float64] | float,
    edge_m: float,
) -> tuple[NDArray[np.float64], float]:
    """Round steps down to marks where all stay at least ``least``; centre the whole."""
    if len(steps) == 0:
        return steps, _first(length_m, edge_m)
    rounded = np.floor(steps / MARK_M + 1e-6) * MARK_M
    if (rounded < np.asarray(least) * (1 - SLACK)).any():
        rounded = steps
    return rounded, _first(length_m - float(rounded.sum()), edge_m)


def _first(spare_m: float, edge_m: float) -> float:
    """Return where to begin: the spare shared between both ends, on a mark if one is near."""
    spare = max(spare_m, 0.0)
    on_mark = round((edge_m + spare / 2) / MARK_M) * MARK_M - edge_m
    return on_mark if 0.0 <= on_mark <= spare else spare / 2


def _down(value_m: float, mark_m: float = MARK_M) -> float:
    return math.floor(max(value_m, 0.0) / mark_m + 1e-6) * mark_m
