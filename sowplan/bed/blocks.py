"""Several crops in one bed: blocks of rows side by side, tall ones on the shady side.

Blocks are strips (see `strips`): half of what a crop needs clear at either end, so that
neighbours keep the half-sum of theirs. They are stacked along whichever side of
the bed runs nearer north and south, tallest towards the pole, where a plant's
midday shadow falls outside the bed or on what is as tall as itself.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sowplan.bed.layout import Strip
from sowplan.bed.lean import leans_over
from sowplan.bed.strips import NO_STRIP, is_long, longest_strip, positions, strip_for


@dataclass(frozen=True)
class Need:
    """A crop and how many of it are to stand in the bed; None: as many as there is room for."""

    label: str
    spacing_m: float
    row_spacing_m: float
    plants: int | None
    height_m: float = 0.0
    trellis: bool = False


@dataclass(frozen=True, eq=False)
class Block:
    """What one crop takes: from ``start_m`` so much of the side along which blocks are stacked."""

    need: Need
    start_m: float
    strip: Strip
    positions: NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Arrangement:
    """Blocks in their order along the bed (``along_length``) or across it, and what is left over.

    ``missing_m`` is how much longer the side would have to be; 0 where all is met.
    """

    blocks: tuple[Block, ...]
    along_length: bool
    spare_m: float
    missing_m: float


def arrange(
    length_m: float,
    width_m: float,
    needs: Sequence[Need],
    *,
    bearing_deg: float = 90.0,
    latitude: float = 0.0,
    margin_m: float = 0.0,
    along_length: bool | None = None,
) -> Arrangement:
    """Lay several crops out in one bed.

    Parameters
    ----------
    length_m, width_m : float
        Inner sides of the bed [m].
    needs : sequence of Need
        The crops; those without a number share what the others leave. Where it is too little for
        a row of each, those named first have theirs.
    bearing_deg : float
        Bearing in which the bed's length runs [° from north].
    latitude : float
        Degrees north; the pole is south where it is negative.
    margin_m : float
        Bare margin along all sides [m].
    along_length : bool, optional
        Stack blocks along the length (True) or across it (False), whichever way the bed lies.

    Returns
    -------
    Arrangement
        Crops that find no room at all have a block without plants.
    """
    pole = 180.0 if latitude < 0 else 0.0
    to_pole_x = math.cos(math.radians(bearing_deg - pole))
    to_pole_y = math.cos(math.radians(bearing_deg + 90.0 - pole))
    stack_x = abs(to_pole_x) >= abs(to_pole_y) - 1e-9 if along_length is None else along_length
    toward = to_pole_x if stack_x else to_pole_y
    side, across = (length_m, width_m) if stack_x else (width_m, length_m)
    side, across = side - 2 * margin_m, across - 2 * margin_m
    pairs = list(zip(needs, _strips(needs, side, across), strict=True))
    pairs.sort(key=lambda pair: (pair[0].trellis, pair[0].height_m), reverse=toward < -1e-9)
    blocks, at = [], 0.0
    for need, strip in pairs:
        points = positions(strip, at, across, need.spacing_m, margin_m)
        points = _thinned(points, need.plants, strip.along)
        blocks.append(Block(need, at + margin_m, strip, points if stack_x else points[:, ::-1]))
        at += strip.length_m
    return Arrangement(tuple(blocks), stack_x, max(side - at, 0.0), max(at - side, 0.0))


def _thinned(points: NDArray[np.float64], plants: int | None, along: bool) -> NDArray[np.float64]:
    """Return as many places as are wanted: one row spread anew, of several some left out evenly.

    Rows along the bed are left shorter instead.
    """
    if plants is None or plants >= len(points):
        return points
    if np.ptp(points[:, 0]) == 0.0 and plants > 1:
        return np.linspace(points[0], points[-1], plants)
    if along:
        return points[:plants]
    return points[np.round(np.linspace(0, len(points) - 1, plants)).astype(int)]


def _strips(needs: Sequence[Need], side_m: float, across_m: float) -> list[Strip]:
    """Return a strip for each need; open ones share evenly what the counted ones leave."""
    long = is_long(side_m, across_m)
    wide = [need.spacing_m if leans_over(across_m, need.spacing_m) else across_m for need in needs]
    strips: list[Strip | None] = [
        None
        if need.plants is None
        else strip_for(width, need.spacing_m, need.row_spacing_m, need.plants, long)
        for need, width in zip(needs, wide, strict=True)
    ]
    left = side_m - sum(strip.length_m for strip in strips if strip is not None)
    waiting = strips.count(None)
    for k, (need, strip) in enumerate(zip(needs, strips, strict=True)):
        if strip is None:
            room = max(left / waiting, min(left, need.row_spacing_m))
            found = longest_strip(wide[k], need.spacing_m, need.row_spacing_m, room, long)
            strips[k] = found
            left -= found.length_m
            waiting -= 1
    return [strip or NO_STRIP for strip in strips]
