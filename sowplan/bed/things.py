"""What stands in the way inside a bed: round things and square ones."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sowplan.bed.frames import TOUCH, Frame, Points, Span


@dataclass(frozen=True)
class Circle:
    """A round thing in the way: an inlet pipe, a post, a round stepping stone."""

    x_m: float
    y_m: float
    radius_m: float

    def distance(self, points: Points) -> NDArray[np.float64]:
        """Return the distance of each point from its rim [m], negative inside."""
        away = np.hypot(points[:, 0] - self.x_m, points[:, 1] - self.y_m)
        return away - self.radius_m

    def blocks(self, x_m: float, clear_m: float) -> Span | None:
        """Return the part of the line at ``x_m`` that is nearer than ``clear_m``, or None."""
        reach = self.radius_m + clear_m
        half2 = reach**2 - (x_m - self.x_m) ** 2
        if half2 <= TOUCH * reach:
            return None
        return self.y_m - math.sqrt(half2), self.y_m + math.sqrt(half2)

    def turned(self, frame: Frame) -> Circle:
        """Return it as seen in a frame."""
        x, y = frame.into(np.array([[self.x_m, self.y_m]]))[0]
        return Circle(float(x), float(y), self.radius_m)

    def corners(self) -> Points:
        """Return its rim as corners for drawing, shape (corners, 2)."""
        turn = np.linspace(0.0, 2 * math.pi, 72, endpoint=False)
        rim = self.radius_m * np.column_stack([np.cos(turn), np.sin(turn)])
        return rim + [self.x_m, self.y_m]

    def area(self, clear_m: float):
        """Return what it denies to plants as a shapely polygon, drawn from inside."""
        from shapely import Point

        return Point(self.x_m, self.y_m).buffer(self.radius_m + clear_m, quad_segs=64)


@dataclass(frozen=True)
class Box:
    """A rectangle in the way, sides along the bed's: a paving stone, a corner reservoir."""

    x_m: float
    y_m: float
    length_m: float
    width_m: float

    def distance(self, points: Points) -> NDArray[np.float64]:
        """Return the distance of each point from its rim [m], negative inside."""
        dx = np.maximum(self.x_m - points[:, 0], points[:, 0] - self.x_m - self.length_m)
        dy = np.maximum(self.y_m - points[:, 1], points[:, 1] - self.y_m - self.width_m)
        outside = np.hypot(np.maximum(dx, 0.0), np.maximum(dy, 0.0))
        return outside + np.minimum(np.maximum(dx, dy), 0.0)

    def blocks(self, x_m: float, clear_m: float) -> Span | None:
        """Return the part of the line at ``x_m`` that is nearer than ``clear_m``, or None."""
        dx = max(self.x_m - x_m, x_m - self.x_m - self.length_m)
        if dx >= clear_m - TOUCH:
            return None
        more = math.sqrt(max(clear_m**2 - max(dx, 0.0) ** 2, 0.0))
        return self.y_m - more, self.y_m + self.width_m + more

    def turned(self, frame: Frame) -> Box:
        """Return it as seen in a frame."""
        far = [self.x_m + self.length_m, self.y_m + self.width_m]
        corners = frame.into(np.array([[self.x_m, self.y_m], far]))
        (x0, y0), (x1, y1) = corners.min(axis=0), corners.max(axis=0)
        return Box(float(x0), float(y0), float(x1 - x0), float(y1 - y0))

    def corners(self) -> Points:
        """Return its corners for drawing, shape (4, 2)."""
        a, b = self.length_m, self.width_m
        return np.array([[0.0, 0.0], [a, 0.0], [a, b], [0.0, b]]) + [self.x_m, self.y_m]

    def area(self, clear_m: float):
        """Return what it denies to plants as a shapely polygon, drawn from inside."""
        from shapely import box

        far_x, far_y = self.x_m + self.length_m, self.y_m + self.width_m
        return box(self.x_m, self.y_m, far_x, far_y).buffer(clear_m, quad_segs=64)


KeepOut = Circle | Box
