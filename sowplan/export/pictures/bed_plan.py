"""A bed from above, true to scale: every plant at its place, as wide as it will grow.

Crops are told apart by the mark in the middle of each plant, which the list repeats; several
batches of one crop share it. Where a day is shown, the fill says what it says in every picture:
growing, or in harvest and hatched. A plant that is smaller today than it will be has a dashed
circle of today's size within. Marks to set the plants at stand along the sides, measured from the
corner shown by a small square, at the top left.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

from sowplan.bed.marks import Units, setting_out, unit_of
from sowplan.bed.trellis import Side
from sowplan.export.pictures import svg
from sowplan.export.pictures.bed_crops import (
    LEFT,
    MARKS,
    RIGHT,
    Patch,
    Points,
    crop_list,
    look_of,
    numbered,
    plant_mark,
)
from sowplan.export.pictures.bed_rulers import WIDE, Sheet, rulers
from sowplan.export.pictures.compass import compass, scale_bar
from sowplan.export.pictures.covers import cover_sign
from sowplan.export.pictures.lettering import shorten
from sowplan.export.pictures.style import HEAD, LIGHT, SMALL, Palette, hatches

LONGEST = 3.4
"""A bed more times longer than wide than this is drawn in lengths, one under the other."""
GAP = 30.0


@dataclass(frozen=True, eq=False)
class BedView:
    """What the picture shows.

    ``outline`` and each of ``keep_outs`` are corners in metres, shape (corners, 2); without an
    outline the bed is a rectangle. ``bearing_deg`` is the way its length runs, None for no
    compass. ``strips`` are the places along the length where one batch ends and the next begins.
    ``kept`` names what the keep-outs are. ``trellis`` is the side along which one stands;
    ``whole`` tells marks in whole centimetres;
    ``dashed`` says of what day the dashed circles are.
    """

    title: str
    subtitle: str
    length_m: float
    width_m: float
    patches: tuple[Patch, ...]
    outline: Points | None = None
    keep_outs: tuple[Points, ...] = ()
    kept: str = ""
    bearing_deg: float | None = None
    units: Units = "metric"
    strips: tuple[float, ...] = ()
    side_note: str = ""
    trellis: Side | None = None
    marks: bool = True
    whole: bool = False
    dashed: str = "today"
    name: str = field(default="bed")


def bed_plan_svg(view: BedView, colours: Palette = LIGHT, bare: bool = False) -> str:
    """Return the plan view of a bed.

    Parameters
    ----------
    view : BedView
        The bed and its plants.
    colours : Palette
        Colours of the picture.
    bare : bool
        For a picture inside a page or a print: no paper of its own.

    Returns
    -------
    str
        An SVG document, `WIDE` px wide; the same bytes for the same view.
    """
    parts = _head(view, colours)
    sheets = _sheets(
        view, top=(88.0 if view.bearing_deg is not None else 76.0) if view.marks else 70.0
    )
    for sheet in sheets:
        parts += _ground(view, sheet, colours, sheet is sheets[0])
        parts += _plants(view, sheet, colours)
        parts += _covers(view, sheet, colours)
        if view.trellis is not None:
            parts += _trellis(view, sheet, colours)
        if view.marks:
            patches = [setting_out(p.positions, p.along) for p in view.patches if len(p.positions)]
            sides = (view.length_m, view.width_m)
            parts += rulers(patches, sheet, sides, view.units, colours, view.whole)
    if view.marks and view.patches:
        first = sheets[0]
        unit = {"fill": colours.quiet}
        parts.append(svg.text(16, first.top - first.pad - 10, unit_of(view.units), SMALL, **unit))
    last = sheets[-1]
    bottom = last.top + last.pad + view.width_m * last.scale + (26.0 if view.marks else 10.0)
    if view.side_note:
        note = shorten(view.side_note, WIDE - LEFT - 16, SMALL)
        parts.append(svg.text(LEFT, bottom + 10, note, SMALL, fill=colours.quiet))
        bottom += 16.0
    foot, height = _foot(view, sheets[0].scale, bottom, colours)
    parts += foot
    told = ", ".join(f"{len(p.positions)} {p.label}" for p in view.patches) or "nothing planted"
    return svg.document(
        WIDE,
        height,
        view.title,
        f"Plan of the bed from above, to scale: {told}. {view.subtitle}",
        parts,
        colours,
        defs=_defs(view, sheets[0].scale, colours),
        name=view.name,
        bare=bare,
    )


def _head(view: BedView, colours: Palette) -> list[str]:
    room = WIDE - 16.0 - (70.0 if view.bearing_deg is not None else RIGHT)
    parts = [
        svg.text(16, 28, shorten(view.title, room, HEAD + 2, True), HEAD + 2, font_weight=600),
        svg.text(16, 47, shorten(view.subtitle, room), fill=colours.quiet),
    ]
    if view.bearing_deg is not None:
        parts += compass(WIDE - 38.0, 34.0, 19.0, view.bearing_deg, colours)
    return parts


def _sheets(view: BedView, top: float) -> list[Sheet]:
    """Return the lengths the bed is drawn in: one, or as many as make it readable."""
    count = max(1, math.ceil(view.length_m / (LONGEST * view.width_m) - 1e-9))
    cuts = [0.0, *(_cut(view, k, count) for k in range(1, count)), view.length_m]
    piece, out = max(end - start for start, end in pairwise(cuts)), _leaning_out(view)
    scale = (WIDE - LEFT - RIGHT) / (piece + 2 * out)
    scale = min(scale, 560.0 / view.width_m)
    pad = out * scale
    high = view.width_m * scale + 2 * pad + GAP + (14.0 if view.marks else 0.0)
    return [
        Sheet(start, end, LEFT + pad, top + pad + k * high, scale, pad)
        for k, (start, end) in enumerate(pairwise(cuts))
    ]


def _cut(view: BedView, k: int, count: int) -> float:
    """Return where a bed is cut for its next length [m]: near its share, where plants part."""
    piece = view.length_m / count
    near = k * piece + np.array(sorted(range(-12, 13), key=abs)) * 0.01 * piece
    hidden = np.zeros(len(near))  # of figures beside the cut, by leaves that reach over it
    for patch in view.patches:
        if len(patch.positions):
            apart = np.abs(near[:, None] - patch.positions[None, :, 0])
            hidden += np.maximum(patch.spread_m / 2 - apart, 0.0).sum(axis=1)
    return float(near[np.argmin(hidden.round(6))])


def _leaning_out(view: BedView) -> float:
    """Return how far the widest leaves reach beyond the sides [m]; 0 where they hardly do."""
    most = 0.0
    for patch in view.patches:
        if len(patch.positions):
            low, high = patch.positions.min(axis=0), patch.positions.max(axis=0)
            room = min(*low.tolist(), *(np.array([view.length_m, view.width_m]) - high).tolist())
            most = max(most, patch.spread_m / 2 - room)
    return most if most > 0.012 * view.length_m else 0.0


def _defs(view: BedView, scale: float, colours: Palette) -> str:
    clip = (
        f'<pattern id="{view.name}-way" width="7" height="7" patternUnits="userSpaceOnUse">'
        f'<path d="M-1 1L1-1M-1 8L8-1M6 8L8 6" stroke="{colours.edge}" stroke-width="1"/></pattern>'
    )
    symbols = []
    for n, (number, patch) in enumerate(zip(numbered(view.patches), view.patches, strict=True)):
        look = look_of(number, patch, colours, view.name)
        symbols.append(
            svg.group(_symbol(number, patch, look, scale, colours), id=f"{view.name}-{n}")
        )
    ripe = any(patch.ripe for patch in view.patches)
    return (
        clip + (hatches(colours, f"{view.name}-", ("harvest",)) if ripe else "") + "".join(symbols)
    )


def _symbol(
    n: int, patch: Patch, look: tuple[str, str], scale: float, colours: Palette
) -> list[str]:
    """Return one plant about the origin: its spread as a circle, its mark in the middle."""
    tint, rim = look
    r = patch.spread_m / 2 * scale
    size = min(max(0.22 * r, 1.2), 4.2)
    parts = []
    if r > 2.0:
        parts.append(
            svg.element(
                "circle", None, r=r, fill=tint, fill_opacity=0.62, stroke=rim, stroke_width=0.9
            )
        )
    now = None if patch.now_m is None else patch.now_m / 2 * scale
    if now is not None and 2.0 < now < r - 0.8:
        dashed = {"stroke_width": 1.0, "stroke_dasharray": "3 2.4"}
        parts.append(svg.element("circle", None, r=now, fill="none", stroke=colours.ink, **dashed))
    parts.append(plant_mark(MARKS[n % len(MARKS)], 0.0, 0.0, size, colours.ink))
    return parts


def _ground(view: BedView, sheet: Sheet, colours: Palette, first: bool) -> list[str]:
    """Return the bed itself: soil, sides, what stands in the way, the corner measured from."""
    left, top = sheet.left, sheet.top
    wide, high = (sheet.end_m - sheet.start_m) * sheet.scale, view.width_m * sheet.scale
    soil = {"fill": colours.panel, "stroke": colours.edge, "stroke_width": 2}
    if view.outline is None:
        parts = [svg.rect(left, top, wide, high, **soil)]
        for cut, x in (
            (sheet.start_m > 0, left),
            (sheet.end_m < view.length_m - 1e-9, left + wide),
        ):
            if cut:  # the bed goes on: no side here
                parts.append(
                    svg.line(x, top + 2, x, top + high - 2, stroke=colours.paper, stroke_width=3)
                )
    else:
        corners = [sheet.at(x, y) for x, y in view.outline.tolist()]
        parts = [svg.path(corners, True, **soil)]
    for thing in view.keep_outs:
        corners = [sheet.at(x, y) for x, y in thing.tolist()]
        look = {"fill": f"url(#{view.name}-way)", "stroke": colours.quiet, "stroke_width": 1.2}
        parts.append(svg.path(corners, True, **look))
    for at in view.strips:
        if sheet.start_m < at < sheet.end_m:
            x, _ = sheet.at(at, 0.0)
            parts.append(
                svg.line(x, top, x, top + high, stroke=colours.quiet, stroke_dasharray="5 4")
            )
    if first:
        parts.append(svg.rect(left - 3.5, top - 3.5, 7, 7, fill=colours.ink))
    return parts


def _trellis(view: BedView, sheet: Sheet, colours: Palette) -> list[str]:
    """Return a trellis as a builder draws a fence: a heavy line with posts."""
    wide, high = (sheet.end_m - sheet.start_m) * sheet.scale, view.width_m * sheet.scale
    last = sheet.end_m >= view.length_m - 1e-9
    if view.trellis in ("near", "far"):
        y = sheet.top + (0.0 if view.trellis == "near" else high)
        ends, posts = ((sheet.left, y), (sheet.left + wide, y)), wide
    elif (view.trellis == "start" and sheet.start_m > 0) or (view.trellis == "end" and not last):
        return []
    else:
        x = sheet.left + (0.0 if view.trellis == "start" else wide)
        ends, posts = ((x, sheet.top), (x, sheet.top + high)), high
    (x0, y0), (x1, y1) = ends
    count = max(2, round(posts / 60.0) + 1)
    parts = [svg.line(x0, y0, x1, y1, stroke=colours.ink, stroke_width=3.5)]
    for k in range(count):
        x, y = x0 + (x1 - x0) * k / (count - 1), y0 + (y1 - y0) * k / (count - 1)
        parts.append(svg.rect(x - 3, y - 3, 6, 6, fill=colours.paper, stroke=colours.ink))
    return parts


def _plants(view: BedView, sheet: Sheet, colours: Palette) -> list[str]:
    parts = []
    for n, patch in enumerate(view.patches):
        inside = []
        for x_m, y_m in patch.positions.tolist():
            last = sheet.end_m >= view.length_m - 1e-9
            if sheet.start_m <= x_m < sheet.end_m or (last and x_m >= sheet.end_m):
                x, y = sheet.at(x_m, y_m)
                inside.append(svg.element("use", None, href=f"#{view.name}-{n}", x=x, y=y))
        if inside:
            parts.append(svg.group(inside, title=patch.label))
    return parts


def _covers(view: BedView, sheet: Sheet, colours: Palette) -> list[str]:
    """Return what is laid over single batches, as far as this length of the bed goes."""
    parts = []
    for patch in view.patches:
        first, last, near, far = patch.ground
        first, last = max(first, sheet.start_m), min(last, sheet.end_m)
        if last > first:
            (x0, y0), (x1, y1) = sheet.at(first, near), sheet.at(last, far)
            parts += cover_sign(patch.cover, (x0, y0, x1 - x0, y1 - y0), colours)
    return parts


def _foot(view: BedView, scale: float, top: float, colours: Palette) -> tuple[list[str], float]:
    """Return the list of crops, each with its mark, and the scale bar; and the picture's height."""
    parts, y = crop_list(view.patches, top + 20.0, colours, view.name)
    y = _also_drawn(view, parts, y, colours)
    parts += scale_bar(WIDE - RIGHT, top + 15.0, scale, view.units, colours)
    return parts, max(y, top + 45.0) - 4.0


def _also_drawn(view: BedView, parts: list[str], y: float, colours: Palette) -> float:
    """Add to the list what else is drawn and how to read it. Return where it ends [px]."""
    if any(patch.now_m is not None for patch in view.patches):
        at = {"cx": 26, "cy": y - 4.5, "fill": "none"}
        today = {"stroke": colours.ink, "stroke_dasharray": "3 2.4"}
        parts.append(svg.element("circle", None, r=9, stroke=colours.edge, **at))
        parts.append(svg.element("circle", None, r=5.5, **at, **today))
        words = f"outer circle: full-grown; dashed: {view.dashed}"
        parts.append(svg.text(LEFT, y, words, fill=colours.quiet))
        y += 25.0
    for cover in dict.fromkeys(p.cover for p in view.patches if p.cover != "none"):
        parts += cover_sign(cover, (14.0, y - 15.0, 24.0, 20.0), colours)
        parts.append(svg.text(LEFT, y, f"{cover} over it, while it stands", fill=colours.quiet))
        y += 25.0
    if view.trellis is not None:
        parts.append(svg.line(15, y - 4.5, 37, y - 4.5, stroke=colours.ink, stroke_width=3.5))
        parts.append(svg.text(LEFT, y, "trellis", fill=colours.quiet))
        y += 25.0
    if view.keep_outs:
        look = {"fill": f"url(#{view.name}-way)", "stroke": colours.quiet}
        parts.append(svg.rect(17, y - 13.5, 18, 18, **look))
        words = f"{view.kept}, kept free" if view.kept else "kept free"
        parts.append(svg.text(LEFT, y, shorten(words, WIDE - 190.0), fill=colours.quiet))
        y += 25.0
    return y
