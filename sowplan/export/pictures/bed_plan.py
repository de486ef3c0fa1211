"""A bed from above, true to scale: every plant at its place, as wide as it will grow.

Crops are told apart by the mark in the middle of each plant and the letter in the list; tint
only repeats it. Marks to set the plants at stand along the sides, measured from the corner
shown by a small square, at the top left.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from sowplan.bed.marks import SAME_M, Units, mark, setting_out, unit_of
from sowplan.export.pictures import svg
from sowplan.export.pictures.compass import compass, scale_bar
from sowplan.export.pictures.lettering import shorten, width
from sowplan.export.pictures.style import HEAD, LIGHT, SMALL, TEXT, Palette

Points = NDArray[np.float64]

WIDE = 480.0
"""Width of the picture [px]: shown on a phone, its smallest letters stay legible."""
LEFT, RIGHT = 48.0, 16.0
LONGEST = 3.4
"""A bed more times longer than wide than this is drawn in lengths, one under the other."""
MARKS = ("dot", "cross", "ring", "triangle", "square", "plus", "diamond", "bar")
GAP = 30.0


@dataclass(frozen=True, eq=False)
class Patch:
    """One crop in the bed: ``positions`` [m], shape (plants, 2); ``spread_m`` when full-grown."""

    label: str
    positions: Points
    spread_m: float
    note: str = ""


@dataclass(frozen=True, eq=False)
class BedView:
    """What the picture shows.

    ``outline`` and each of ``keep_outs`` are corners in metres, shape (corners, 2); without an
    outline the bed is a rectangle. ``bearing_deg`` is the way its length runs, None for no
    compass. ``strips`` are the places along the length where one batch ends and the next begins.
    """

    title: str
    subtitle: str
    length_m: float
    width_m: float
    patches: tuple[Patch, ...]
    outline: Points | None = None
    keep_outs: tuple[Points, ...] = ()
    bearing_deg: float | None = None
    units: Units = "metric"
    strips: tuple[float, ...] = ()
    side_note: str = ""
    marks: bool = True
    name: str = field(default="bed")


@dataclass(frozen=True)
class _Sheet:
    """Where a length of the bed is drawn: its part of the bed [m] and its top left [px].

    ``pad`` is how far leaves lean out over the sides [px]: rulers keep clear of them.
    """

    start_m: float
    end_m: float
    left: float
    top: float
    scale: float
    pad: float

    def at(self, x_m: float, y_m: float) -> tuple[float, float]:
        return self.left + (x_m - self.start_m) * self.scale, self.top + y_m * self.scale


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
        if view.marks:
            parts += _marks(view, sheet, colours, sheet is sheets[0])
    last = sheets[-1]
    bottom = last.top + last.pad + view.width_m * last.scale + (26.0 if view.marks else 10.0)
    if view.side_note:
        parts.append(svg.text(LEFT, bottom + 10, view.side_note, SMALL, fill=colours.quiet))
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


def _sheets(view: BedView, top: float) -> list[_Sheet]:
    """Return the lengths the bed is drawn in: one, or as many as make it readable."""
    count = max(1, math.ceil(view.length_m / (LONGEST * view.width_m) - 1e-9))
    piece, out = view.length_m / count, _leaning_out(view)
    scale = (WIDE - LEFT - RIGHT) / (piece + 2 * out)
    scale = min(scale, 560.0 / view.width_m)
    pad = out * scale
    high = view.width_m * scale + 2 * pad + GAP + (14.0 if view.marks else 0.0)
    return [
        _Sheet(k * piece, (k + 1) * piece, LEFT + pad, top + pad + k * high, scale, pad)
        for k in range(count)
    ]


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
    for n, patch in enumerate(view.patches):
        r = patch.spread_m / 2 * scale
        symbols.append(svg.group(_symbol(n, r, scale, colours), id=f"{view.name}-{n}"))
    return clip + "".join(symbols)


def _symbol(n: int, r: float, scale: float, colours: Palette) -> list[str]:
    """Return one plant about the origin: its spread as a circle, its mark in the middle."""
    tint, rim = _tint(n, colours)
    size = min(max(0.22 * r, 1.2), 4.2)
    parts = []
    if r > 2.0:
        parts.append(
            svg.element(
                "circle", None, r=r, fill=tint, fill_opacity=0.62, stroke=rim, stroke_width=0.9
            )
        )
    parts.append(plant_mark(MARKS[n % len(MARKS)], 0.0, 0.0, size, colours.ink))
    return parts


def _tint(n: int, colours: Palette) -> tuple[str, str]:
    pairs = (
        (colours.grow, colours.grow_edge),
        (colours.harvest, colours.harvest_edge),
        (colours.paper, colours.ink),
        (colours.line, colours.quiet),
    )
    return pairs[n % len(pairs)]


def plant_mark(kind: str, x: float, y: float, size: float, ink: str) -> str:
    """Return the mark of a crop, about ``size`` px from its middle to its end."""
    lines = {
        "cross": [((-1, -1), (1, 1)), ((-1, 1), (1, -1))],
        "plus": [((-1.2, 0), (1.2, 0)), ((0, -1.2), (0, 1.2))],
        "bar": [((0, -1.4), (0, 1.4))],
    }
    shapes = {
        "triangle": [(0, -1.25), (1.15, 0.85), (-1.15, 0.85)],
        "square": [(-0.95, -0.95), (0.95, -0.95), (0.95, 0.95), (-0.95, 0.95)],
        "diamond": [(0, -1.35), (1.35, 0), (0, 1.35), (-1.35, 0)],
    }
    if kind in lines:
        d = "".join(
            f"M{svg.number(x + a * size)} {svg.number(y + b * size)}"
            f"L{svg.number(x + c * size)} {svg.number(y + e * size)}"
            for (a, b), (c, e) in lines[kind]
        )
        return svg.element("path", None, d=d, stroke=ink, stroke_width=1.5, fill="none")
    if kind in shapes:
        points = [(x + a * size, y + b * size) for a, b in shapes[kind]]
        return svg.path(points, True, fill=ink)
    hollow = kind == "ring"
    return svg.element(
        "circle",
        None,
        cx=x or None,
        cy=y or None,
        r=size,
        fill="none" if hollow else ink,
        stroke=ink if hollow else None,
        stroke_width=1.4 if hollow else None,
    )


def _ground(view: BedView, sheet: _Sheet, colours: Palette, first: bool) -> list[str]:
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


def _plants(view: BedView, sheet: _Sheet, colours: Palette) -> list[str]:
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


def _marks(view: BedView, sheet: _Sheet, colours: Palette, first: bool) -> list[str]:
    """Return the marks along the sides: of the first kind of row above, of the second below."""
    points = [patch.positions for patch in view.patches if len(patch.positions)]
    if not points:
        return []
    out = setting_out(np.concatenate(points))
    along = [row.marks_m for row in out.rows[:2]] if out.along else None
    if along is None:  # rows run across: their places along the bed are the marks
        along = [tuple(row.at_m for row in out.rows[k::2]) for k in (0, 1)]
        across = sorted({round(m, 4) for row in out.rows[:2] for m in row.marks_m})
    else:
        across = [row.at_m for row in out.rows]
    if len(along) == 1 or _within(along[1], along[0]):
        along = [along[0], ()]
    high = view.width_m * sheet.scale
    parts = []
    above, below = sheet.top - sheet.pad, sheet.top + high + sheet.pad
    for marks, base, down in ((along[0], above, -1.0), (along[1], below, 1.0)):
        here = [m for m in marks if sheet.start_m <= m <= sheet.end_m]
        parts += _ruler(here, sheet, base, down, view.units, colours)
    parts += _side_ruler(across, sheet, view.units, colours)
    if first:
        parts.append(
            svg.text(16, sheet.top - sheet.pad - 10, unit_of(view.units), SMALL, fill=colours.quiet)
        )
    return parts


def _within(marks: Sequence[float], others: Sequence[float]) -> bool:
    """Return whether every mark is among the others."""
    return all(any(abs(m - o) < SAME_M for o in others) for m in marks)


def _ruler(
    marks: Sequence[float],
    sheet: _Sheet,
    base: float,
    down: float,
    units: Units,
    colours: Palette,
) -> list[str]:
    parts, free = [], -math.inf
    for m in marks:
        x, _ = sheet.at(m, 0.0)
        parts.append(svg.line(x, base, x, base + 5 * down, stroke=colours.quiet))
        words = mark(m, units)
        half = width(words, SMALL) / 2
        if x - half < free:
            continue
        free = x + half + 5
        y = base - 8 if down < 0 else base + 16
        x = min(x, WIDE - 3 - half)
        parts.append(svg.text(x, y, words, SMALL, text_anchor="middle", fill=colours.ink))
    return parts


def _side_ruler(marks: Sequence[float], sheet: _Sheet, units: Units, colours: Palette) -> list[str]:
    parts, free, left = [], -math.inf, sheet.left - sheet.pad
    for m in marks:
        _, y = sheet.at(0.0, m)
        parts.append(svg.line(left - 5, y, left, y, stroke=colours.quiet))
        if y - 5 < free:
            continue
        free = y + 7
        words = mark(m, units)
        parts.append(svg.text(left - 8, y + 4, words, SMALL, text_anchor="end", fill=colours.ink))
    return parts


def _foot(view: BedView, scale: float, top: float, colours: Palette) -> tuple[list[str], float]:
    """Return the list of crops, each with its mark, and the scale bar; and the picture's height."""
    parts, y = [], top + 20.0
    for n, patch in enumerate(view.patches):
        tint, rim = _tint(n, colours)
        parts.append(svg.element("circle", None, cx=26, cy=y - 4.5, r=9, fill=tint, stroke=rim))
        parts.append(plant_mark(MARKS[n % len(MARKS)], 26.0, y - 4.5, 3.2, colours.ink))
        words = f"{len(patch.positions)} {patch.label}"
        words = shorten(words, WIDE - 190.0, TEXT, True)
        parts.append(svg.text(LEFT, y, words, font_weight=600))
        if patch.note:
            x = LEFT + width(words, TEXT, True) + 8
            note = shorten(patch.note, WIDE - 140.0 - x, SMALL)
            parts.append(svg.text(x, y, note, SMALL, fill=colours.quiet))
        y += 25.0
    for thing in view.keep_outs[:1]:
        del thing
        look = {"fill": f"url(#{view.name}-way)", "stroke": colours.quiet}
        parts.append(svg.rect(17, y - 13.5, 18, 18, **look))
        parts.append(svg.text(LEFT, y, "kept free", fill=colours.quiet))
        y += 25.0
    parts += scale_bar(WIDE - RIGHT, top + 15.0, scale, view.units, colours)
    return parts, max(y, top + 45.0) - 4.0
