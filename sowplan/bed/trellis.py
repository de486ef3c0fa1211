"""Climbers on a trellis: one line of plants along the side of the bed that looks to the pole.

There they shade nothing in the bed: the midday sun comes from the other side, from the north in the
southern hemisphere and from the south in the northern.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

import numpy as np

from sowplan.bed.layout import BoundBy, Layout, NoRoom
from sowplan.bed.rectangle import plain_rows, stand
from sowplan.bed.rows import SLACK

if TYPE_CHECKING:
    from sowplan.bed.outlines import Outline
    from sowplan.bed.things import KeepOut

Side = Literal["near", "far", "start", "end"]
"""A side of the bed: the one measured from, the one across from it, either end."""

ASIDE_M = 0.10
"""Climbers stand so far in from the side that carries the trellis (common practice, no source)."""


def poleward(bearing_deg: float, latitude: float) -> Side:
    """Return the side of a bed that looks to the pole.

    Parameters
    ----------
    bearing_deg : float
        Bearing in which the bed's length runs [° from north].
    latitude : float
        Degrees north; the pole is south where it is negative.
    """
    pole = math.radians(180.0 if latitude < 0 else 0.0)
    along = math.cos(math.radians(bearing_deg) - pole)
    across = math.cos(math.radians(bearing_deg + 90.0) - pole)
    sides: dict[Side, float] = {"far": across, "near": -across, "end": along, "start": -along}
    return max(sides, key=lambda side: round(sides[side], 9))


def on_trellis(
    length_m: float,
    width_m: float,
    spacing_m: float,
    row_spacing_m: float,
    *,
    side: Side = "far",
    edge_m: float | None = None,
    margin_m: float = 0.0,
    keep_outs: Sequence[KeepOut] = (),
    outline: Outline | None = None,
) -> Layout:
    """Return one line of plants along a side of a bed.

    Parameters
    ----------
    length_m, width_m : float
        Inner sides of the bed [m].
    spacing_m, row_spacing_m : float
        Between plants in the line, and what the line takes of the bed's other side [m].
    side : {"near", "far", "start", "end"}
        Where the trellis stands.
    edge_m : float, optional
        From the side to the stems [m]; `ASIDE_M`, or half a spacing where that is less.
    margin_m : float
        Bare margin along all sides [m].
    keep_outs, outline
        As for `fit`; plants that would stand in the way or outside are left out.

    Returns
    -------
    Layout
        With a ``reason`` where not one plant goes in.
    """
    run, deep = (length_m, width_m) if side in ("near", "far") else (width_m, length_m)
    foot = margin_m + (min(ASIDE_M, spacing_m / 2) if edge_m is None else edge_m)
    ends = margin_m + (spacing_m / 2 if edge_m is None else edge_m)
    empty = Layout(
        np.empty((0, 2)),
        "none",
        0,
        BoundBy.TRELLIS,
        length_m,
        width_m,
        spacing_m,
        row_spacing_m,
        foot,
        along=side in ("near", "far"),
    )
    line = plain_rows(0.0, max(run - 2 * ends, -1.0), spacing_m, row_spacing_m)
    if line is None or deep < foot * (1 - SLACK):
        return replace(empty, reason=NoRoom("narrow", min(run, deep), 2 * ends))
    (points,) = stand(line, 0.0, run - 2 * ends, spacing_m, (0.0, ends))
    at = deep - foot if side in ("far", "end") else foot
    marks = points[:, 1] + ends
    lines = np.full(len(marks), at)
    places = np.column_stack([marks, lines] if empty.along else [lines, marks])
    places = places[_free(places, length_m, width_m, foot, keep_outs, outline)]
    if len(places) == 0:
        return replace(empty, reason=NoRoom("in the way", 0.0, 2 * foot, foot))
    return replace(empty, positions=places, pattern="rows", bound=line.plants)


def _free(places, length_m, width_m, foot_m, keep_outs, outline):
    """Return which places are in the bed and clear of what stands in it."""
    from sowplan.bed.outlines import Rounded
    from sowplan.bed.region import Region

    shape = Rounded(length_m, width_m) if outline is None else outline
    return Region(shape, foot_m, tuple(keep_outs), foot_m).holds(places)
