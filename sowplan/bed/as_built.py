"""The outline and the keep-outs of a bed of a garden file or of a plan."""

from __future__ import annotations

from sowplan.bed.outlines import Outline, Rounded, l_shape
from sowplan.bed.things import Box, Circle, KeepOut
from sowplan.records.built import Built
from sowplan.records.garden import InTheWay


def outline_of(bed: Built) -> Outline | None:
    """Return a bed's outline, None where it is a plain rectangle."""
    if bed.cut_m:
        return l_shape(bed.length_m, bed.width_m, *bed.cut_m)
    if bed.rounded_m > 0.0:
        return Rounded(bed.length_m, bed.width_m, bed.rounded_m)
    return None


def shape_words(bed: Built) -> str:
    """Return ``"L-shaped"``, ``"round-ended"``, ``"round-cornered"``, ``"round"`` or nothing."""
    if bed.cut_m:
        return "L-shaped"
    if bed.rounded_m <= 0.0:
        return ""
    if bed.rounded_m < min(bed.length_m, bed.width_m) / 2 - 1e-9:
        return "round-cornered"
    return "round" if abs(bed.length_m - bed.width_m) < 1e-9 else "round-ended"


def keep_out_of(thing: InTheWay) -> KeepOut:
    """Return a thing of a garden file as a shape."""
    if thing.round:
        half = thing.length_m / 2
        return Circle(thing.x_m + half, thing.y_m + half, half)
    return Box(thing.x_m, thing.y_m, thing.length_m, thing.width_m)


def keep_outs_of(bed: Built) -> tuple[KeepOut, ...]:
    """Return what stands in the way in a bed, as shapes."""
    return tuple(keep_out_of(thing) for thing in bed.keep_outs)
