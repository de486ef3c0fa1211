"""A bed as built in small pictures: what it lacks of a rectangle, and what stands in the way."""

from __future__ import annotations

from sowplan.bed.as_built import keep_outs_of, outline_of
from sowplan.bed.things import Circle
from sowplan.export.pictures import svg
from sowplan.export.pictures.style import Palette
from sowplan.records.built import closed_slices
from sowplan.season.plan import PlanPlace
from sowplan.season.words import listed


def sides_of(
    bed: PlanPlace, left: float, top: float, wide: float, high: float, colours: Palette
) -> list[str]:
    """Return a bed's sides and each thing in the way, crossed out and named in its title.

    Parameters
    ----------
    bed : PlanPlace
        The bed.
    left, top, wide, high : float
        The rectangle around it [px].
    colours : Palette
        Colours of the picture.
    """
    across, down = wide / bed.length_m, high / bed.width_m
    look = {"stroke": colours.edge, "stroke_width": 1.2}
    outline = outline_of(bed)
    if outline is None:
        parts = [svg.rect(left, top, wide, high, fill="none", **look)]
    else:
        corners = [(left + x * across, top + y * down) for x, y in outline.corners().tolist()]
        parts = [svg.path(corners, True, fill="none", **look)]
    look = {"stroke": colours.quiet, "stroke_width": 1.1}
    for told, thing in zip(bed.keep_outs, keep_outs_of(bed), strict=True):
        corners = [(left + x * across, top + y * down) for x, y in thing.corners().tolist()]
        shape = svg.path(corners, True, fill=colours.paper, **look)
        cross = [corners[n * len(corners) // 8] for n in (1, 5, 3, 7)]
        if not isinstance(thing, Circle):
            cross = [corners[n] for n in (0, 2, 1, 3)]
        lines = [
            svg.line(*cross[0], *cross[1], **look),
            svg.line(*cross[2], *cross[3], **look),
        ]
        parts.append(svg.group([shape, *lines], told.label or "kept free"))
    return parts


def kept_words(bed: PlanPlace) -> str:
    """Return what the crosses are: ``"crossed out: inlet pipe"``; empty where there are none."""
    if not bed.keep_outs:
        return ""
    return f"crossed out: {listed([thing.label or 'kept free' for thing in bed.keep_outs])}"


def bare_slices(bed: PlanPlace) -> tuple[tuple[float, float], ...]:
    """Return where along a bed nothing is ever planned, from its end [m]."""
    return tuple((bed.edge_m + a, bed.edge_m + b) for a, b, _ in closed_slices(bed))
