"""Hatched areas: lines and dots that say without colour what an area means.

Pictures that stand alone or are printed get the lines drawn one by one, since viewers set tiles
of a pattern with seams between them. Pictures in the page use its patterns and stay small.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from sowplan.export.pictures import svg
from sowplan.export.pictures.style import Palette

STEP = 6.0  # px along the axes from line to line
Box = tuple[float, float, float, float]  # left, top, width, height


def area(
    kind: str, x: float, y: float, width: float, height: float,
    colours: Palette, prefix: str = "", **outline: object,
) -> str:  # fmt: skip
    """Return a hatched rectangle.

    Parameters
    ----------
    kind : {"harvest", "missing", "over", "rain"}
        Rising lines on the harvest fill, falling lines on nothing, dots on nothing, broken
        rising lines on nothing (in pictures that stand alone only).
    x, y, width, height : float
        The rectangle [px].
    colours : Palette
        Colours of the picture.
    prefix : str
        Where not empty, the page's pattern of that prefix is used.
    **outline
        Attributes of the rectangle's edge.

    Returns
    -------
    str
        Markup; empty where the rectangle has no area.
    """
    if width <= 0 or height <= 0:
        return ""
    if prefix:
        return svg.rect(x, y, width, height, fill=f"url(#{prefix}{kind})", **outline)
    if kind == "over":
        marks = _dots(x, y, width, height)
        look = {"stroke": colours.over, "stroke_width": 2.2, "stroke_linecap": "round"}
    elif kind == "missing":
        marks = _lines(x, y, width, height, falling=True)
        look = {"stroke": colours.missing, "stroke_width": 1.3}
    elif kind == "rain":
        marks = _lines(x, y, width, height, falling=False)
        look = {"stroke": colours.water_edge, "stroke_width": 1.1, "stroke_dasharray": "3.4 2.6"}
    else:
        marks = _lines(x, y, width, height, falling=False)
        look = {"stroke": colours.harvest_edge, "stroke_width": 1, "stroke_opacity": 0.38}
    fill = colours.harvest if kind == "harvest" else "none"
    ground = svg.rect(x, y, width, height, fill=fill, **outline)
    d = "".join(marks)
    return ground + (svg.element("path", None, d=d, fill="none", **look) if d else "")


def areas(
    kind: str, boxes: list[Box], colours: Palette, prefix: str = "", edge: str | None = None
) -> str:
    """Return several hatched rectangles of one kind; in the page they make one path."""
    if not prefix:
        return "".join(area(kind, *box, colours, stroke=edge) for box in boxes)
    tenths = [tuple(round(one, 1) for one in box) for box in boxes]
    d = "".join(
        f"M{svg.number(x)} {svg.number(y)}h{svg.number(w)}v{svg.number(h)}h{svg.number(-w)}z"
        for x, y, w, h in tenths
        if w > 0 and h > 0
    )
    return svg.element("path", None, d=d, fill=f"url(#{prefix}{kind})", stroke=edge) if d else ""


def _lines(x: float, y: float, width: float, height: float, falling: bool) -> Iterator[str]:
    """Yield lines at 45°, on one grid for the whole picture so that neighbours join."""
    right, bottom = x + width, y + height
    low = y - right if falling else x + y
    high = bottom - x if falling else right + bottom
    for n in range(ceil(low / STEP), ceil(high / STEP)):
        c = n * STEP
        if falling:  # y - x = c
            x1, x2 = max(x, y - c), min(right, bottom - c)
            ends = (x1, x1 + c, x2, x2 + c)
        else:  # x + y = c
            x1, x2 = max(x, c - bottom), min(right, c - y)
            ends = (x1, c - x1, x2, c - x2)
        if x2 - x1 > 0.3:
            a, b, c2, d = (svg.number(end) for end in ends)
            yield f"M{a} {b}L{c2} {d}"


def _dots(x: float, y: float, width: float, height: float) -> Iterator[str]:
    """Yield dots inside the rectangle, at least one."""
    step, room = STEP - 1, 1.2
    across = max(int((width - 2 * room) / step) + 1, 1)
    down = max(int((height - 2 * room) / step) + 1, 1)
    left = x + (width - (across - 1) * step) / 2
    top = y + (height - (down - 1) * step) / 2
    for row in range(down):
        for column in range(across):
            # Of one point alone the typesetter makes nothing; a hundredth is not seen.
            far = "0.01" if across == down == 1 else "0"
            yield f"M{svg.number(left + column * step)} {svg.number(top + row * step)}h{far}"


def upright(
    xs: list[float], tops: list[float], bottom: float, colours: Palette, step: float = 4.0
) -> str:
    """Return upright lines from a curve down to ``bottom``: the frost under its curve."""
    parts, at, n = [], xs[0] + step / 2, 0
    while at < xs[-1]:
        while n + 1 < len(xs) - 1 and xs[n + 1] < at:
            n += 1
        share = (at - xs[n]) / ((xs[n + 1] - xs[n]) or 1.0)
        top = tops[n] + share * (tops[n + 1] - tops[n])
        if bottom - top > 0.6:
            parts.append(f"M{svg.number(at)} {svg.number(top)}V{svg.number(bottom)}")
        at += step
    return svg.element("path", None, d="".join(parts), stroke=colours.frost) if parts else ""
