"""Plants in a bed of any shape: rows laid one after another, each around what is in the way.

A row takes what the rows before it leave free and is filled from one end, so
that it falls into the gaps of the last by itself. Tried are the usual pitches,
several first rows, and the bed seen in all eight ways (from either end and
either side, turned or not): a mirrored bed therefore takes as many plants.
"""

from __future__ import annotations

import math

import numpy as np

from sowplan.bed import rectangle
from sowplan.bed.frames import Frame, Points, Span, frames, without
from sowplan.bed.outlines import Rounded
from sowplan.bed.region import Region
from sowplan.bed.rows import SLACK, shapes

MANY = 2500
"""Beyond so many plants rows are laid by lattice alone: filling adds next to nothing there."""


def best_sweep(region: Region, length_m: float, width_m: float, spacing_m: float) -> Points:
    """Return the most equidistant plants found in a region, in bed coordinates.

    Parameters
    ----------
    region : Region
        Where centres may stand.
    length_m, width_m : float
        Sides of the bed, about whose middle it is mirrored [m].
    spacing_m : float
        Least distance between plants [m].

    Returns
    -------
    ndarray, shape (plants, 2)
        Empty where the region takes none. Never fewer than the plain and offset rows of the
        whole rectangle that stay clear of everything in the way.
    """
    best = np.empty((0, 2))
    if isinstance(region.outline, Rounded) and abs(length_m - width_m) <= SLACK * spacing_m:
        best = rings(length_m / 2, width_m / 2, length_m / 2 - region.edge_m, spacing_m)
        best = best[region.holds(best)]
    for frame in frames(length_m, width_m):
        seen = region.turned(frame)
        if seen.box is None:
            return best
        x0, y0, x1, y1 = seen.box
        small = (x1 - x0) * (y1 - y0) / spacing_m**2 < MANY
        for points in _lattices(seen, spacing_m, thorough=small):
            if len(points) > len(best):
                best = frame.back(points)
        if not small:
            continue
        for pitch, starts in _pitches(seen, spacing_m):
            for start in starts:
                points = _fill(seen, spacing_m, pitch, start)
                if len(points) > len(best):
                    best = frame.back(points)
    return best


def best_rows(
    region: Region,
    frame: Frame,
    spacing_m: float,
    row_spacing_m: float,
    beside_m: float = 0.0,
    tries: int = 8,
) -> Points:
    """Return plain rows across a region as a frame sees it, in bed coordinates.

    The first and last row stay ``beside_m`` more from the ends of the region than its edge.
    """
    seen = region.turned(frame)
    best = np.empty((0, 2))
    if seen.box is None:
        return best
    x0, x1 = seen.box[0] + beside_m, seen.box[2] - beside_m
    for k in range(tries):
        start = x0 + k / tries * row_spacing_m
        xs = _lines(start, x1, row_spacing_m)
        rows = []
        for x, spans in zip(xs, seen.spans(xs), strict=True):
            ys = _along(spans, spacing_m)
            if ys and len(spans) == 1 and not seen.keep_outs:  # else marks would differ by row
                move = (spans[0][1] - ys[-1]) / 2
                ys = [y + max(move, 0.0) for y in ys]
            rows += [(x, y) for y in ys]
        if len(rows) > len(best):
            best = frame.back(np.array(rows))
    return best


def _along(spans: list[Span], spacing_m: float) -> list[float]:
    """Return places one spacing apart in the spans, filled from the low end."""
    ys: list[float] = []
    nearest = -math.inf
    for low, high in spans:
        y = max(low, nearest)
        if y > high + SLACK * spacing_m:
            continue
        n = math.floor((high - y) / spacing_m + SLACK) + 1
        ys += [y + spacing_m * k for k in range(max(n, 0))]
        nearest = ys[-1] + spacing_m
    return ys


def _lines(start: float, end: float, pitch: float) -> list[float]:
    count = math.floor((end - start) / pitch + SLACK) + 1
    return [start + pitch * k for k in range(max(count, 0))]


def _lattices(region: Region, spacing_m: float, thorough: bool) -> list[Points]:
    """Return the layouts of the whole rectangle, and shifted lattices, less what is in the way."""
    x0, y0, x1, y1 = region.box
    a, b = x1 - x0, y1 - y0
    found = []
    for make in (rectangle.square, rectangle.offset, rectangle.mixed):
        stack = make(a, b, spacing_m)
        if stack is not None:
            rows = np.concatenate(rectangle.stand(stack, a, b, spacing_m))
            found.append(rows + [x0, y0])
    pitch = spacing_m * math.sqrt(0.75)
    for step_x, aside in ((spacing_m, 0.0), (pitch, spacing_m / 2)):
        starts = [(x0 - step_x * i / 4, y0 - spacing_m * j / 4) for i in range(4) for j in range(4)]
        if not thorough:
            starts = starts[::5]
        starts += [
            (x0 + a / 2 - step_x * i / 6, y0 + b / 2 - spacing_m * j / 4)
            for i in (0, 2, 3, 4)
            for j in (0, 1, 2, 3)
            if thorough
        ]
        for x, y in starts:
            found.append(_lattice(region.box, (x, y), step_x, spacing_m, aside))
    return [points[region.holds(points)] for points in found]


def _lattice(
    box: tuple[float, float, float, float],
    through: tuple[float, float],
    step_x: float,
    step_y: float,
    aside: float,
) -> Points:
    """Return a lattice through a point that covers a box; every second row is moved aside."""
    i = np.arange(
        math.floor((box[0] - through[0]) / step_x), math.ceil((box[2] - through[0]) / step_x) + 1
    )
    j = np.arange(
        math.floor((box[1] - through[1]) / step_y) - 1,
        math.ceil((box[3] - through[1]) / step_y) + 1,
    )
    y = through[1] + step_y * j[None, :] + aside * (i % 2)[:, None]
    x = np.broadcast_to(through[0] + step_x * i[:, None], y.shape)
    return np.column_stack([x.ravel(), y.ravel()])


def rings(x_m: float, y_m: float, radius_m: float, spacing_m: float) -> Points:
    """Return the best found of rings about a middle, from the rim in.

    The outermost ring is full, or one or two short of it; the next is as small as its own
    plants allow and turned so that it stands in the gaps of the one around it.
    """
    best = np.empty((0, 2))
    most = _on_ring(radius_m, spacing_m)
    for n in range(most, max(most - 3, 0), -1):
        points = _ring(n, radius_m if n > 1 else 0.0, 0.0)
        points = np.concatenate([points, *_inner_rings(points, radius_m, spacing_m)])
        if len(points) > len(best):
            best = points
    return best + [x_m, y_m]


def _on_ring(radius_m: float, spacing_m: float) -> int:
    """Return how many plants stand on a ring (one in the middle of a ring too small for two)."""
    if radius_m < spacing_m / 2 * (1 - SLACK):
        return 1 if radius_m >= -SLACK * spacing_m else 0
    return math.floor(math.pi / math.asin(min(1.0, spacing_m / 2 / radius_m)) + SLACK)


def _ring(n: int, radius_m: float, turn: float) -> Points:
    angles = turn + 2 * math.pi / max(n, 1) * np.arange(n)
    return radius_m * np.column_stack([np.cos(angles), np.sin(angles)])


def _inner_rings(outer: Points, radius_m: float, spacing_m: float) -> list[Points]:
    """Return the rings inside one, each the fullest that keeps clear of all around it."""
    found: list[Points] = []
    turns = np.linspace(0.0, 2 * math.pi, 120, endpoint=False)
    clear = (spacing_m * (1 - SLACK)) ** 2
    while True:
        for n in range(_on_ring(radius_m, spacing_m), 0, -1):
            r = 0.0 if n == 1 else spacing_m / 2 / math.sin(math.pi / n)
            if r >= radius_m - SLACK * spacing_m:
                continue
            angles = turns[:, None] / n + 2 * math.pi / n * np.arange(n)
            turned = r * np.stack([np.cos(angles), np.sin(angles)], axis=-1)
            near = outer[np.hypot(*outer.T) < r + spacing_m]  # all others are too far away
            if len(near) == 0:
                near = outer[:1]
            if _gaps(turned[:, :1], near).max() < clear:  # no room for one of its plants
                continue
            gaps = _gaps(turned, near)
            k = int(np.argmax(gaps))
            if gaps[k] >= clear:
                found.append(turned[k])
                outer, radius_m = np.concatenate([outer, turned[k]]), r
                break
        else:
            return found


def _gaps(turned: Points, others: Points) -> Points:
    """Return how near a ring comes to other plants, squared [m²], for each of its turns."""
    apart = turned[:, :, None, :] - others[None, None, :, :]
    return (apart**2).sum(axis=-1).min(axis=(1, 2))


def _pitches(region: Region, spacing_m: float) -> list[tuple[float, list[float]]]:
    """Return the pitches to try between rows, each with the places of the first row."""
    x0, y0, x1, y1 = region.box
    drawn = {round(shape.pitch_m, 6): shape.pitch_m for shape in shapes(y1 - y0, spacing_m)}
    usual = [spacing_m, spacing_m * math.sqrt(0.75)]
    close = sorted(drawn.values(), reverse=True)[:6]
    pitches = usual + [p for p in close if all(abs(p - u) > 1e-6 for u in usual)]
    found = []
    for pitch in pitches:
        rows = math.floor((x1 - x0) / pitch + SLACK)
        spread = (x1 - x0) / rows if rows else pitch
        starts = [x0, x1 - rows * pitch] + [x0 + k / 4 * pitch for k in (1, 2, 3)]
        found.append((pitch, sorted({round(s, 9) for s in starts if s <= x1})))
        if spread > pitch + 1e-9:
            found.append((spread, [x0]))
    return found


def _fill(region: Region, spacing_m: float, pitch_m: float, start_m: float) -> Points:
    """Return rows laid one after another, each filled from its low end where it is still free."""
    x1 = region.box[2]
    xs = _lines(start_m, x1, pitch_m)
    if start_m - pitch_m / 2 >= region.box[0]:
        xs = [region.box[0], *xs]
    laid: list[tuple[float, list[float]]] = []
    for x, spans in zip(xs, region.spans(xs), strict=True):
        free = spans
        for near_x, ys in laid[-3:]:
            dx = x - near_x
            if dx >= spacing_m * (1 - SLACK):
                continue
            reach = math.sqrt(spacing_m**2 - dx**2) * (1 - SLACK)
            for y in ys:
                free = without(free, (y - reach, y + reach))
        laid.append((x, _along(free, spacing_m)))
    points = np.array([(x, y) for x, ys in laid for y in ys]).reshape(-1, 2)
    return points[region.holds(points)]
