"""The box as built: an outline, and what stands in the way inside it.

Answers two questions about a bed of any shape: may a plant stand here, and
where along this line may plants stand.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from sowplan.bed.bounds import ROOT3, bound, in_circle, oler_convex, region_bound
from sowplan.bed.cuts import cut_bound
from sowplan.bed.frames import TOUCH, Frame, Points, Span, without
from sowplan.bed.layout import BoundBy
from sowplan.bed.outlines import Outline, Rounded
from sowplan.bed.things import KeepOut


@dataclass(frozen=True, eq=False)
class Region:
    """Where plant centres may stand: ``edge_m`` from the outline, ``clear_m`` from keep-outs."""

    outline: Outline
    edge_m: float
    keep_outs: tuple[KeepOut, ...] = ()
    clear_m: float = 0.0

    def turned(self, frame: Frame) -> Region:
        """Return the region as seen in a frame."""
        things = tuple(thing.turned(frame) for thing in self.keep_outs)
        return Region(self.outline.turned(frame), self.edge_m, things, self.clear_m)

    @cached_property
    def box(self) -> tuple[float, float, float, float] | None:
        """Least x and y, greatest x and y of plant centres; None where none may stand."""
        return self.outline.inner_box(self.edge_m)

    @cached_property
    def is_empty(self) -> bool:
        """Whether what stands in the way leaves no place at all."""
        if self.box is None or not self.keep_outs:
            return self.box is None
        shape = self.outline.inner(self.edge_m)
        for thing in self.keep_outs:
            shape = shape.difference(thing.area(self.clear_m - TOUCH))
        return shape.is_empty

    def spans(self, xs: Sequence[float]) -> list[list[Span]]:
        """Return for each line at x the parts on which plant centres may stand, in order."""
        inside = self.outline.spans(xs, self.edge_m)
        return [self._clear_of_things(x, spans) for x, spans in zip(xs, inside, strict=True)]

    def _clear_of_things(self, x: float, spans: list[Span]) -> list[Span]:
        free = spans
        for thing in self.keep_outs:
            gap = thing.blocks(x, self.clear_m)
            if gap is not None:
                free = without(free, gap)
        return free

    def holds(self, points: Points) -> NDArray[np.bool_]:
        """Return for each point whether a plant may stand there, shape (points,)."""
        ok = self.outline.holds(points, self.edge_m)
        for thing in self.keep_outs:
            ok &= thing.distance(points) >= self.clear_m - 2 * TOUCH
        return ok

    def bound(self, apart_m: float) -> tuple[int, BoundBy]:
        """Return a number that no plants ``apart_m`` apart in it exceed, and which bound it is."""
        if self.box is None:
            return 0, BoundBy.NOTHING
        x0, y0, x1, y1 = self.box
        shape = self.outline.inner(self.edge_m)
        found = [bound(x1 - x0, y1 - y0, apart_m)]
        hull = shape.convex_hull
        found.append((oler_convex(hull.area, hull.length, apart_m), BoundBy.OLER))
        for thing in self.keep_outs:
            shape = shape.difference(thing.area(self.clear_m - TOUCH))
        parts = [part for part in getattr(shape, "geoms", [shape]) if not part.is_empty]
        by_area = region_bound(shape.area, shape.length, apart_m, len(parts))
        grown = shape.buffer(apart_m / ROOT3 / np.cos(np.pi / 128), quad_segs=32)
        by_area = min(by_area, region_bound(grown.area, 0.0, apart_m, 0))
        found.append((by_area, BoundBy.AREA))
        round_bed = isinstance(self.outline, Rounded) and self.outline.is_round
        around = in_circle(self.outline.radius_m - self.edge_m, apart_m) if round_bed else None
        if around is not None:
            found.append((around, BoundBy.CIRCLE))
        elif shape.area < 0.97 * hull.area:
            found.append((cut_bound(shape, apart_m), BoundBy.PARTS))
        return min(found, key=lambda item: item[0])
