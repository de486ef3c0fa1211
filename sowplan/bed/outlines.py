"""The outline of a bed: a rectangle, with rounded corners or ends, or any polygon.

An outline knows where plant centres may stand inside it, a given edge away from
it. Rectangles, rounded ends and round tubs are reckoned exactly; polygons by the
geometry library. Lengths in metres from the corner of the rectangle around it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from sowplan.bed.frames import TOUCH, Frame, Points, Span, without


class Outline(Protocol):
    """What a bed's outline must tell."""

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Least x and y, greatest x and y of the outline."""

    def turned(self, frame: Frame) -> Outline:
        """Return it as seen in a frame."""

    def inner_box(self, edge_m: float) -> tuple[float, float, float, float] | None:
        """Return the box of where plant centres may stand, None where there is no such place."""

    def spans(self, xs: Sequence[float], edge_m: float) -> list[list[Span]]:
        """Return for each line at x the parts on which plant centres may stand, in order."""

    def holds(self, points: Points, edge_m: float) -> NDArray[np.bool_]:
        """Return for each point whether it is inside, ``edge_m`` from the outline."""

    def inner(self, edge_m: float):
        """Return the area of centres as a shapely geometry, never smaller than it is."""

    def corners(self) -> Points:
        """Return the outline as corners for drawing, shape (corners, 2)."""


@dataclass(frozen=True)
class Rounded:
    """A rectangle with corners of a radius: 0 a plain bed, half the width rounded ends.

    As long as it is wide, with half of that as radius, it is a round tub.
    """

    length_m: float
    width_m: float
    radius_m: float = 0.0

    @property
    def is_round(self) -> bool:
        """Whether it is a circle."""
        across = 2 * self.radius_m * (1 + 1e-9)
        return self.length_m <= across and self.width_m <= across

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Least x and y, greatest x and y of the outline."""
        return 0.0, 0.0, self.length_m, self.width_m

    def turned(self, frame: Frame) -> Rounded:
        """Return it as seen in a frame: it is its own mirror image."""
        return Rounded(self.width_m, self.length_m, self.radius_m) if frame.swap else self

    def inner_box(self, edge_m: float) -> tuple[float, float, float, float] | None:
        """Return the box of where plant centres may stand, None where there is no such place."""
        if min(self.length_m, self.width_m) < 2 * edge_m - TOUCH:
            return None
        far_x = max(self.length_m - edge_m, edge_m)
        return edge_m, edge_m, far_x, max(self.width_m - edge_m, edge_m)

    def spans(self, xs: Sequence[float], edge_m: float) -> list[list[Span]]:
        """Return for each line at x the parts on which plant centres may stand, in order."""
        box = self.inner_box(edge_m)
        if box is None:
            return [[] for _ in xs]
        x0, y0, x1, y1 = box
        arc = max(self.radius_m - edge_m, 0.0)
        found: list[list[Span]] = []
        for x in xs:
            into = min(x - x0, x1 - x)
            if into < -TOUCH:
                found.append([])
                continue
            inward = max(arc - max(into, 0.0), 0.0)
            cut = arc - math.sqrt(max(arc**2 - inward**2, 0.0))
            low, high = y0 + cut, y1 - cut
            found.append([(low, high)] if low <= high else [((low + high) / 2,) * 2])
        return found

    def holds(self, points: Points, edge_m: float) -> NDArray[np.bool_]:
        """Return for each point whether it is inside, ``edge_m`` from the outline."""
        half = np.array([self.length_m, self.width_m]) / 2
        away = np.abs(points - half) - (half - self.radius_m)
        outside = np.hypot(np.maximum(away[:, 0], 0.0), np.maximum(away[:, 1], 0.0))
        depth = self.radius_m - outside - np.minimum(np.max(away, axis=1), 0.0)
        return depth >= edge_m - 2 * TOUCH

    def inner(self, edge_m: float):
        """Return the area of centres as a shapely geometry, never smaller than it is."""
        from shapely import Polygon, box

        found = self.inner_box(edge_m)
        if found is None:
            return Polygon()
        x0, y0, x1, y1 = found
        arc = max(self.radius_m - edge_m, 0.0)
        if arc == 0.0:
            return box(x0 - TOUCH, y0 - TOUCH, x1 + TOUCH, y1 + TOUCH)
        out = arc / math.cos(math.pi / 512)  # corners outside the arc, so that it holds all of it
        core = box(x0 + arc, y0 + arc, x1 - arc, y1 - arc)
        return core.buffer(out + TOUCH, quad_segs=128)

    def corners(self) -> Points:
        """Return the outline as corners for drawing, shape (corners, 2)."""
        r, far_x, far_y = self.radius_m, self.length_m, self.width_m
        if r == 0.0:
            return np.array([[0.0, 0.0], [far_x, 0.0], [far_x, far_y], [0.0, far_y]])
        turn = np.linspace(0.0, math.pi / 2, 31)
        arcs = [
            np.column_stack([x + r * np.cos(turn + start), y + r * np.sin(turn + start)])
            for x, y, start in (
                (far_x - r, r, -math.pi / 2),
                (far_x - r, far_y - r, 0.0),
                (r, far_y - r, math.pi / 2),
                (r, r, math.pi),
            )
        ]
        return np.concatenate(arcs)


@dataclass(frozen=True, eq=False)
class Polygonal:
    """A bed of straight sides; ``points`` are its corners in order, shape (corners, 2) [m]."""

    points: Points

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Least x and y, greatest x and y of the outline."""
        low, high = self.points.min(axis=0), self.points.max(axis=0)
        return float(low[0]), float(low[1]), float(high[0]), float(high[1])

    @cached_property
    def _shape(self):
        import shapely

        shape = shapely.Polygon(self.points)
        if not shape.is_valid or shape.area == 0.0:
            raise ValueError("the sides of the outline cross, or it has no area")
        shapely.prepare(shape)
        return shape

    @cached_property
    def _drawn_in(self) -> dict[float, object]:
        return {}

    def turned(self, frame: Frame) -> Polygonal:
        """Return it as seen in a frame."""
        return Polygonal(frame.into(self.points))

    def inner(self, edge_m: float):
        """Return the area of centres as a shapely geometry, never smaller than it is."""
        if edge_m not in self._drawn_in:
            self._drawn_in[edge_m] = self._shape.buffer(-edge_m + TOUCH, quad_segs=64)
        return self._drawn_in[edge_m]

    def inner_box(self, edge_m: float) -> tuple[float, float, float, float] | None:
        """Return the box of where plant centres may stand, None where there is no such place."""
        inner = self.inner(edge_m)
        if inner.is_empty:
            return None
        x0, y0, x1, y1 = inner.bounds
        return x0 + TOUCH, y0 + TOUCH, max(x1 - TOUCH, x0 + TOUCH), max(y1 - TOUCH, y0 + TOUCH)

    def spans(self, xs: Sequence[float], edge_m: float) -> list[list[Span]]:
        """Return for each line at x the parts on which plant centres may stand, in order."""
        import shapely

        inner = self.inner(edge_m)
        if inner.is_empty or len(xs) == 0:
            return [[] for _ in xs]
        low, high = self.box[1] - 1.0, self.box[3] + 1.0
        ends = np.array([[(x, low), (x, high)] for x in xs])
        cuts = shapely.intersection(inner, shapely.linestrings(ends))
        return [self._off_sides(x, _spans_of(cut), edge_m) for x, cut in zip(xs, cuts, strict=True)]

    def _off_sides(self, x: float, spans: list[Span], edge_m: float) -> list[Span]:
        """Return spans less what is nearer to a side than the edge: round corners exactly."""
        for one, other in zip(self.points, np.roll(self.points, -1, axis=0), strict=True):
            gap = _beside(x, one, other, edge_m - TOUCH)
            if gap is not None:
                spans = without(spans, gap)
        return spans

    def holds(self, points: Points, edge_m: float) -> NDArray[np.bool_]:
        """Return for each point whether it is inside, ``edge_m`` from the outline."""
        import shapely

        dots = shapely.points(points)
        near = shapely.distance(self._shape.exterior, dots)
        inside = shapely.covers(self._shape, dots) | (near <= 2 * TOUCH)
        return inside & (near >= edge_m - 2 * TOUCH)

    def corners(self) -> Points:
        """Return the outline as corners for drawing, shape (corners, 2)."""
        return self.points


def l_shape(length_m: float, width_m: float, cut_length_m: float, cut_width_m: float) -> Polygonal:
    """Return an L: a rectangle less the corner that is far along both sides.

    Raises
    ------
    ValueError
        Where what is cut off is not smaller than the bed.
    """
    x, y = length_m - cut_length_m, width_m - cut_width_m
    if not (0.0 < x < length_m and 0.0 < y < width_m):
        raise ValueError("what is cut off must be smaller than the bed")
    corners = [(0, 0), (length_m, 0), (length_m, y), (x, y), (x, width_m), (0, width_m)]
    return Polygonal(np.array(corners, dtype=float))


def tub(diameter_m: float) -> Rounded:
    """Return a round tub or pot."""
    return Rounded(diameter_m, diameter_m, diameter_m / 2)


def _beside(x: float, one: Points, other: Points, reach: float) -> Span | None:
    """Return the part of the line at ``x`` nearer than ``reach`` to the segment from one to other.

    What is near a segment is convex, so the part is one span: of the discs about both ends, and
    of the band between them.
    """
    if reach <= 0.0:
        return None
    found: list[float] = []
    for cx, cy in (one.tolist(), other.tolist()):
        half2 = reach**2 - (x - cx) ** 2
        if half2 > 0.0:
            found += [cy - math.sqrt(half2), cy + math.sqrt(half2)]
    (dx, dy), length = (other - one).tolist(), float(np.hypot(*(other - one)))
    ux, uy = dx / length, dy / length
    low, high = -math.inf, math.inf
    # Along the segment 0 <= (p - one)·u <= length; across it |(p - one)×u| <= reach.
    for slope, base, least, most in (
        (uy, (x - one[0]) * ux - one[1] * uy, 0.0, length),
        (-ux, (x - one[0]) * uy + one[1] * ux, -reach, reach),
    ):
        if abs(slope) < 1e-12:
            if not least <= base <= most:
                low, high = 1.0, 0.0
            continue
        ends = sorted(((least - base) / slope, (most - base) / slope))
        low, high = max(low, ends[0]), min(high, ends[1])
    if low < high:
        found += [low, high]
    return (min(found), max(found)) if found else None


def _spans_of(cut) -> list[Span]:
    """Return the spans along y of a shapely cut of an upright line."""
    pieces = [piece for piece in getattr(cut, "geoms", [cut]) if not piece.is_empty]
    return sorted((float(piece.bounds[1]), float(piece.bounds[3])) for piece in pieces)
