"""How many plants of one crop a bed takes, and where each one stands.

The best of plain square rows, offset rows along either side, rows drawn in or
out so that they fill the bed, and, where a bed is small, layouts found once by
search and kept as a table. Beside the count stands a bound that none can beat.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from sowplan.bed import rectangle
from sowplan.bed.bounds import bound
from sowplan.bed.layout import BoundBy, Layout, NoRoom, Pattern
from sowplan.bed.rows import SLACK, abreast
from sowplan.bed.small import small_layout
from sowplan.bed.strips import is_long, runs_along, seen_along

if TYPE_CHECKING:
    from sowplan.bed.outlines import Outline
    from sowplan.bed.things import KeepOut

Points = NDArray[np.float64]

PATTERNS: tuple[Pattern, ...] = (
    "square",
    "offset along length",
    "offset along width",
    "mixed",
    "free",
)
"""In the order of preference where counts are equal: what is simplest to set out comes first."""


def fit(
    length_m: float,
    width_m: float,
    spacing_m: float,
    row_spacing_m: float | None = None,
    *,
    edge_m: float | None = None,
    margin_m: float = 0.0,
    keep_outs: Sequence[KeepOut] = (),
    outline: Outline | None = None,
    patterns: Iterable[Pattern] = PATTERNS,
    worth: float = 0.0,
) -> Layout:
    """Return the layout that holds the most plants of one crop in one bed.

    Parameters
    ----------
    length_m, width_m : float
        Inner sides of the bed [m]; with an ``outline``, those of the rectangle around it.
    spacing_m : float
        Least distance between plants, or between plants in the row [m].
    row_spacing_m : float, optional
        Distance between rows [m] where it differs: plants then stand in plain rows that run
        along the bed or across it, whichever holds more.
    edge_m : float, optional
        Distance of the outermost stems from the sides [m]; half a spacing where not given
        (from its ends, rows across a bed keep half a row spacing, as strips do), 0 for crops that
        lean out over the edge.
    margin_m : float
        Bare margin along all sides [m]; ``edge_m`` counts from it.
    keep_outs : sequence of things.Circle or things.Box
        What stands in the way; plants keep as far from it as from the sides.
    outline : outlines.Rounded or outlines.Polygonal, optional
        Of a bed that is no rectangle.
    patterns : iterable of str
        Which of `PATTERNS` to choose from, for equidistant plants.
    worth : float
        Plain square rows are taken where no other pattern gains more than this share of plants:
        they are far easier to set out and to hoe.

    Returns
    -------
    Layout
        With no plants and a ``reason`` where none can stand.

    Raises
    ------
    ValueError
        Where a length is not positive, or an edge or margin negative.
    """
    rows = spacing_m if row_spacing_m is None else row_spacing_m
    _check(length_m, width_m, spacing_m, rows, edge_m, margin_m)
    empty = Layout(
        np.empty((0, 2)),
        "none",
        0,
        BoundBy.NOTHING,
        length_m,
        width_m,
        spacing_m,
        rows,
        margin_m + (min(spacing_m, rows) / 2 if edge_m is None else edge_m),
    )
    if len(keep_outs) or outline is not None:
        from sowplan.bed.fit_region import fit_region

        return fit_region(empty, edge_m, margin_m, tuple(keep_outs), outline)
    if abs(rows - spacing_m) > SLACK * spacing_m:
        return _fit_rows(empty, edge_m, margin_m)
    return _fit_equidistant(empty, tuple(patterns), worth)


def _check(
    length_m: float,
    width_m: float,
    spacing_m: float,
    rows_m: float,
    edge_m: float | None,
    margin_m: float,
) -> None:
    for name, value in (
        ("length", length_m),
        ("width", width_m),
        ("spacing", spacing_m),
        ("row spacing", rows_m),
    ):
        if not (math.isfinite(value) and value > 0.0):
            raise ValueError(f"the {name} must be a length above zero")
    if margin_m < 0.0 or (edge_m is not None and edge_m < 0.0):
        raise ValueError("an edge or margin cannot be negative")


def _fit_equidistant(empty: Layout, patterns: tuple[Pattern, ...], worth: float) -> Layout:
    """Return the best layout of plants equally far apart in all directions."""
    s, e = empty.spacing_m, empty.edge_m
    a, b = _inner(empty.length_m, 2 * e, s), _inner(empty.width_m, 2 * e, s)
    if a < 0.0 or b < 0.0:
        return replace(empty, reason=NoRoom("narrow", min(empty.length_m, empty.width_m), 2 * e))
    found = _candidates(a, b, s, patterns)
    if not found:
        return replace(empty, reason=NoRoom("pattern"))
    best = max(found, key=lambda layout: (layout[0], -PATTERNS.index(layout[1])))
    plain = next((layout for layout in found if layout[1] == "square"), best)
    if best[0] <= plain[0] * (1 + worth) + 1e-9:
        best = plain
    _, pattern, points = best[0], best[1], best[2]
    most, by = bound(a, b, s)
    return replace(empty, positions=points(e) + e, pattern=pattern, bound=most, bound_by=by)


def _candidates(a: float, b: float, s: float, patterns: tuple[Pattern, ...]):
    """Return (plants, pattern, function of the edge that gives positions) for each layout."""
    stacks = (
        # The rows of a stack run across what it is stacked along: hence the swaps.
        ("square", rectangle.square(b, a, s), True),
        ("offset along length", rectangle.offset(b, a, s), True),
        ("offset along width", rectangle.offset(a, b, s), False),
        ("mixed", rectangle.mixed(b, a, s), True),
        ("mixed", rectangle.mixed(a, b, s), False),
    )
    found = []
    for pattern, stack, swap in stacks:
        if stack is not None and pattern in patterns:
            sides = (b, a) if swap else (a, b)
            found.append((stack.plants, pattern, _standing(stack, sides, s, swap)))
    small = small_layout(a, b, s) if "free" in patterns else None
    if small is not None:
        found.append((len(small), "free", lambda edge: small))
    return found


def _standing(stack: rectangle.Stack, sides: tuple[float, float], s: float, swap: bool):
    def points(edge_m: float) -> Points:
        rows = rectangle.stand(stack, *sides, s, (edge_m, edge_m))
        joined = np.concatenate(rows)
        return joined[:, ::-1] if swap else joined

    return points


def _fit_rows(empty: Layout, edge_m: float | None, margin_m: float) -> Layout:
    """Return the better of plain rows along the bed and across it."""
    s, r = empty.spacing_m, empty.row_spacing_m
    ends = margin_m + (s / 2 if edge_m is None else edge_m)
    best: tuple[rectangle.Stack, bool, tuple[float, float, float]] | None = None
    for along in _ways(empty, margin_m):
        run, stacked = (empty.length_m, empty.width_m) if along else (empty.width_m, empty.length_m)
        sides = margin_m + _beside(stacked - 2 * margin_m, stacked > run, s, r, edge_m)
        a, b = _inner(stacked, 2 * sides, r), _inner(run, 2 * ends, s)
        if a < 0.0 or b < 0.0:
            continue
        stack = rectangle.plain_rows(a, b, s, r)
        if stack is not None and (best is None or stack.plants > best[0].plants):
            best = (stack, along, (sides, a, b))
    if best is None:
        return replace(empty, reason=NoRoom("narrow", min(empty.length_m, empty.width_m), 2 * ends))
    stack, along, (sides, a, b) = best
    points = np.concatenate(rectangle.stand(stack, a, b, s, (sides, ends))) + [sides, ends]
    layout = replace(
        empty,
        positions=points[:, ::-1] if along else points,
        pattern="rows",
        bound=stack.plants,
        bound_by=BoundBy.ROWS,
        along=along,
    )
    return layout if along == (empty.length_m >= empty.width_m) else _turned(layout, stack, b)


def _turned(layout: Layout, stack: rectangle.Stack, run_m: float) -> Layout:
    """Return rows across a bed told as rows along it, where strips of it are told so, too."""
    rows, (long, wide) = stack.shape.per_row[0], sorted((layout.length_m, layout.width_m))[::-1]
    gap = run_m / max(rows - 1, 1)
    if not (is_long(long, wide) and seen_along(rows, gap, stack.rows, layout.row_spacing_m)):
        return layout
    return replace(
        layout,
        spacing_m=layout.row_spacing_m,
        row_spacing_m=layout.spacing_m,
        along=not layout.along,
    )


def _ways(empty: Layout, margin_m: float) -> tuple[bool, bool]:
    """Return whether rows run along the length or not, first the way strips of it would."""
    inner = empty.length_m - 2 * margin_m, empty.width_m - 2 * margin_m
    wide, long = min(inner), max(inner)
    lengthwise = runs_along(wide, empty.spacing_m, empty.row_spacing_m, is_long(long, wide))
    first = lengthwise == (inner[0] >= inner[1])
    return first, not first


def _beside(
    stacked_m: float, behind: bool, spacing_m: float, row_spacing_m: float, edge_m: float | None
) -> float:
    """Return how far the outermost rows stand from the sides beside them [m].

    As in strips: rows behind one another (``behind``), across the longer way of the bed, keep half
    a row spacing from its ends; rows side by side half an in-row spacing, or more where there is
    room for it.
    """
    if edge_m is not None:
        return edge_m
    if behind:
        return row_spacing_m / 2
    rows, first, _ = abreast(stacked_m, spacing_m, row_spacing_m)
    return first if rows else spacing_m / 2


def _inner(side_m: float, edges_m: float, spacing_m: float) -> float:
    """Return what is left of a side; exactly zero where floats miss it by a hair."""
    left = side_m - edges_m
    return 0.0 if abs(left) <= SLACK * spacing_m else left
