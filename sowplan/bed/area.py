"""How much ground a bed has: within its outline and bare edge, less what stands in the way."""

from __future__ import annotations

from collections.abc import Sequence

from sowplan.bed.as_built import keep_outs_of, outline_of
from sowplan.bed.outlines import Outline, Rounded
from sowplan.bed.things import KeepOut
from sowplan.records.built import Built, closed_slices


def ground_m2(
    length_m: float,
    width_m: float,
    outline: Outline | None = None,
    keep_outs: Sequence[KeepOut] = (),
    edge_m: float = 0.0,
) -> float:
    """Return the ground of a bed [m²].

    Parameters
    ----------
    length_m, width_m : float
        The bed, or the rectangle around its outline [m].
    outline : Outline, optional
        Its outline; a plain rectangle where there is none.
    keep_outs : sequence of KeepOut
        What stands in the way, taken off once where two overlap.
    edge_m : float
        Bare edge within the outline [m].
    """
    if outline is None and not keep_outs:
        return max(length_m - 2 * edge_m, 0.0) * max(width_m - 2 * edge_m, 0.0)
    shape = (outline or Rounded(length_m, width_m)).inner(edge_m)
    for thing in keep_outs:
        shape = shape.difference(thing.area(0.0))
    return shape.area


def ground_of(bed: Built) -> float:
    """Return the ground of a bed of a garden file or of a plan [m²]."""
    things = keep_outs_of(bed)
    return ground_m2(bed.length_m, bed.width_m, outline_of(bed), things, bed.edge_m)


def in_strips_of(bed: Built) -> float:
    """Return what of a bed's ground strips across its whole width can be laid on [m²]."""
    closed = sum(end - start for start, end, _ in closed_slices(bed))
    length, width = bed.length_m - 2 * bed.edge_m, bed.width_m - 2 * bed.edge_m
    return max(length - closed, 0.0) * max(width, 0.0)
