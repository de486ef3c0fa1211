"""The sun's way over a bed in the middle of each month, and what stands before it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from sowplan.export.pictures import svg
from sowplan.export.pictures.scale import caption
from sowplan.export.pictures.style import HEAD, LIGHT, Palette
from sowplan.records.garden import Obstacle, Site
from sowplan.records.garden_file.values.months import MONTHS
from sowplan.site.shade import direct_sun, mid_month_paths, skyline

WIDTH, HEIGHT = 860.0, 430.0
LEFT, RIGHT, TOP, BOTTOM = 52.0, 24.0, 64.0, 44.0
_LABEL = 20.0  # a label's height and the air around it
_POINTS = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")
# Six months stand for the twelve: the others run close beside them, on the way back.
_DRAWN = {6: "Jun", 7: "May, Jul", 8: "Apr, Aug", 9: "Mar, Sep", 10: "Feb, Oct", 11: "Jan, Nov",
          12: "Dec"}  # fmt: skip


def sun_paths_svg(
    site: Site, obstacles: Sequence[Obstacle], name: str, colours: Palette = LIGHT
) -> str:
    """Draw the sun's paths over a bed.

    Parameters
    ----------
    site : Site
        Place and skyline.
    obstacles : sequence of Obstacle
        What stands around the bed.
    name : str
        The bed's name, for the heading.
    colours : Palette
        Colours.

    Returns
    -------
    str
        SVG: the compass along the bottom, the midday side in the middle; height in degrees.
    """
    middle = 180.0 if site.latitude >= 0 else 0.0
    elevation, azimuth = mid_month_paths(site)
    top = min(90.0, 10.0 * np.ceil((elevation.max() + 4) / 10))

    def x(bearing: float) -> float:
        share = ((bearing - middle + 180.0) % 360.0) / 360.0
        return LEFT + share * (WIDTH - LEFT - RIGHT)

    def y(height: float) -> float:
        return TOP + (HEIGHT - TOP - BOTTOM) * (1 - height / top)

    parts = [
        svg.text(LEFT, 26, f"The sun over {name}", HEAD, font_weight=600),
        caption(
            LEFT, 44, "Its way on the 15th of the month; thin where something hides it.", colours
        ),
        *_frame(x, y, top, middle, colours),
        *_hidden(site, obstacles, x, y, top, middle, colours),
    ]
    noons = sorted(float(y(elevation[month - 1].max())) for month in _DRAWN)
    for month, words in _DRAWN.items():
        parts += _way(elevation[month - 1], azimuth[month - 1], site, obstacles, x, y, colours)
        parts += _label(elevation[month - 1], azimuth[month - 1], words, noons, x, y, colours)
    found = direct_sun(site, obstacles)
    hours = ", ".join(f"{m[:3]} {h:.1f}" for m, h in zip(MONTHS, found.hours, strict=True))
    description = f"Hours of direct sun a day by month: {hours}."
    return svg.document(WIDTH, HEIGHT, f"The sun over {name}", description, parts, colours)


def _frame(x, y, top: float, middle: float, colours: Palette) -> list[str]:
    parts = []
    for height in np.arange(0, top + 1, 10 if top <= 60 else 15):
        at = y(height)
        parts.append(svg.line(LEFT, at, WIDTH - RIGHT, at, stroke=colours.line))
        parts.append(caption(LEFT - 8, at + 4, f"{height:g}°", colours, text_anchor="end"))
    for n in range(8):
        bearing = (middle - 180.0 + 45.0 * n) % 360.0
        at = x(bearing) if n else LEFT
        parts.append(svg.line(at, y(0), at, y(0) + 5, stroke=colours.edge))
        words = _POINTS[int(bearing // 45) % 8]
        parts.append(svg.text(at, y(0) + 20, words, text_anchor="middle"))
    last = _POINTS[int(((middle + 180.0) % 360.0) // 45) % 8]
    parts.append(svg.text(WIDTH - RIGHT, y(0) + 20, last, text_anchor="middle"))
    return parts


def _hidden(site, obstacles, x, y, top: float, middle: float, colours: Palette) -> list[str]:
    """Return what stands before the sky as one dark shape."""
    offsets = np.arange(0.0, 360.0, 0.25)
    heights = skyline(middle - 180.0 + offsets, obstacles, site.horizon)
    if heights.max() <= 0:
        return []
    edge = [
        (LEFT + off / 360.0 * (WIDTH - LEFT - RIGHT), y(min(height, top)))
        for off, height in zip(offsets, heights, strict=True)
    ]
    shape = [(LEFT, y(0)), *edge, (WIDTH - RIGHT, y(0))]
    return [svg.path(shape, True, fill=colours.edge, fill_opacity=0.35, stroke=colours.edge)]


def _way(elevation, azimuth, site, obstacles, x, y, colours: Palette) -> list[str]:
    """Return one month's path: strong where it reaches the bed, thin and dotted where not."""
    up = elevation > 0
    if not up.any():
        return []
    blocked = skyline(azimuth, obstacles, site.horizon) >= np.maximum(elevation, 1e-9)
    xs = np.array([x(float(a)) for a in azimuth])
    parts = []
    for shown, style in (
        (up & ~blocked, {"stroke_width": 2.25}),
        (up & blocked, {"stroke_width": 1, "stroke_dasharray": "1 4"}),
    ):
        for run in _runs(shown, xs):
            points = [(float(xs[i]), float(y(elevation[i]))) for i in run]
            parts.append(svg.path(points, fill="none", stroke=colours.sun, **style))
    return parts


def _label(elevation, azimuth, words, noons, x, y, colours: Palette) -> list[str]:
    """Return a path's name at its noon; below it where the next path is close above."""
    noon = int(np.argmax(elevation))
    if elevation[noon] <= 0:
        return []
    at = float(y(elevation[noon]))
    across = min(max(float(x(float(azimuth[noon]))), LEFT + 30.0), WIDTH - RIGHT - 30.0)
    close = any(0 < at - other < _LABEL for other in noons)
    at += 14 if close else -6
    return [
        svg.text(
            across, at, words, 11, text_anchor="middle",
            stroke=colours.paper, stroke_width=3, paint_order="stroke",
        )
    ]  # fmt: skip


def _runs(shown, xs) -> list[list[int]]:
    """Split the steps shown into stretches without a gap in time or a leap across the picture."""
    runs: list[list[int]] = []
    for i in np.flatnonzero(shown):
        if runs and i - runs[-1][-1] == 1 and abs(xs[i] - xs[i - 1]) < WIDTH / 3:
            runs[-1].append(int(i))
        else:
            runs.append([int(i)])
    return [run for run in runs if len(run) > 1]
