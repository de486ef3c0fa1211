"""Plants that lean out: what a bed takes that is too narrow for half a spacing on either side."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from sowplan.bed.fit import fit
from sowplan.bed.layout import Layout
from sowplan.bed.rows import SLACK

if TYPE_CHECKING:
    from sowplan.bed.outlines import Outline
    from sowplan.bed.things import KeepOut

STEPS = 8
LEANS_OVER = 1.5
"""A plant may be so many times as wide as the bed it stands in (common practice, no source)."""


def leans_over(width_m: float, spacing_m: float) -> bool:
    """Return whether a crop is set in one row down a bed narrower than it, over the path."""
    return width_m * (1 + SLACK) < spacing_m <= LEANS_OVER * width_m * (1 + SLACK)


def fit_or_lean(
    length_m: float,
    width_m: float,
    spacing_m: float,
    row_spacing_m: float | None = None,
    **rules,
) -> Layout:
    """Return what `fit` does; of a crop somewhat wider than a plain bed the row a plan sets of it.

    ``rules`` are the other parameters of `fit`; with an edge of the gardener's own nothing leans.
    """
    found = fit(length_m, width_m, spacing_m, row_spacing_m, **rules)
    plain = rules.get("outline") is None and not rules.get("keep_outs")
    if found.plants or not plain or rules.get("edge_m") is not None:
        return found
    sides = (length_m, width_m, spacing_m, row_spacing_m)
    return over_the_sides(*sides, margin_m=rules.get("margin_m", 0.0)) or found


def over_the_sides(
    length_m: float,
    width_m: float,
    spacing_m: float,
    row_spacing_m: float | None = None,
    *,
    margin_m: float = 0.0,
) -> Layout | None:
    """Return the row down the middle of a bed somewhat narrower than the crop, as plans set it.

    Its ends keep half a spacing from those of the bed. None where the bed is wide enough, or far
    too narrow; parameters are those of `fit`.
    """
    sides = (length_m - 2 * margin_m, width_m - 2 * margin_m)
    if not leans_over(min(sides), spacing_m):
        return None
    wide = [max(side, spacing_m) for side in sides]
    layout = fit(*wide, spacing_m, row_spacing_m)
    shift = [margin_m + (side - room) / 2 for side, room in zip(sides, wide, strict=True)]
    return replace(
        layout,
        positions=layout.positions + shift,
        length_m=length_m,
        width_m=width_m,
        edge_m=margin_m + min(sides) / 2,
    )


def leaning(
    length_m: float,
    width_m: float,
    spacing_m: float,
    row_spacing_m: float | None = None,
    *,
    margin_m: float = 0.0,
    keep_outs: Sequence[KeepOut] = (),
    outline: Outline | None = None,
    step_m: float = 0.005,
) -> Layout | None:
    """Return the layout that leans out no further than it must, or None where there is none.

    In a bed too narrow for the crop that is one row down its middle. Tried are edges from half
    the narrow side down, but not stems on the very rim.

    Parameters
    ----------
    length_m, width_m, spacing_m, row_spacing_m, margin_m, keep_outs, outline
        As for `fit`.
    step_m : float
        The edge is a whole number of these [m], so that it can be told and typed.
    """
    most = (min(length_m, width_m) - 2 * margin_m) / 2
    for k in range(STEPS, 0, -1):
        edge = math.floor(most * k / STEPS / step_m + SLACK) * step_m
        layout = fit(
            length_m,
            width_m,
            spacing_m,
            row_spacing_m,
            edge_m=edge,
            margin_m=margin_m,
            keep_outs=keep_outs,
            outline=outline,
        )
        if layout.plants:
            return layout
    return None
