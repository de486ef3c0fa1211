"""The eight ways to look at a bed, and spans on a line: small tools of the shapes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]
Span = tuple[float, float]
TOUCH = 1e-9
"""A plant that stands on the limit to within this stands inside it [m]."""


@dataclass(frozen=True)
class Frame:
    """One way to look at a bed: from either end, either side, turned or not."""

    length_m: float
    width_m: float
    flip_x: bool = False
    flip_y: bool = False
    swap: bool = False

    def into(self, points: Points) -> Points:
        """Return bed coordinates as seen in the frame, shape (points, 2)."""
        x = self.length_m - points[:, 0] if self.flip_x else points[:, 0]
        y = self.width_m - points[:, 1] if self.flip_y else points[:, 1]
        return np.column_stack([y, x] if self.swap else [x, y])

    def back(self, points: Points) -> Points:
        """Return frame coordinates as bed coordinates, shape (points, 2)."""
        x, y = (points[:, 1], points[:, 0]) if self.swap else (points[:, 0], points[:, 1])
        x = self.length_m - x if self.flip_x else x
        y = self.width_m - y if self.flip_y else y
        return np.column_stack([x, y])


def frames(length_m: float, width_m: float) -> list[Frame]:
    """Return all eight frames, the bed as it lies first."""
    choices = (False, True)
    return [
        Frame(length_m, width_m, fx, fy, swap)
        for swap in choices
        for fx in choices
        for fy in choices
    ]


def without(spans: Iterable[Span], gap: Span) -> list[Span]:
    """Return the closed spans less the open gap."""
    left: list[Span] = []
    for low, high in spans:
        if gap[1] <= low or gap[0] >= high:
            left.append((low, high))
            continue
        if gap[0] >= low:
            left.append((low, gap[0]))
        if gap[1] <= high:
            left.append((gap[1], high))
    return left
