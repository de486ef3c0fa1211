"""What a plan needs beside the plan: which way is north, and how long a metre is."""

from __future__ import annotations

import math
from typing import Literal

from sowplan.export.pictures import svg
from sowplan.export.pictures.style import SMALL, Palette
from sowplan.quantity import FOOT_M


def compass(x: float, y: float, r: float, bearing_deg: float, colours: Palette) -> list[str]:
    """Return a compass about (x, y), for a plan whose right-hand side points to a bearing.

    Parameters
    ----------
    x, y, r : float
        Middle and radius [px].
    bearing_deg : float
        Bearing of the way to the right on the plan [° from north, clockwise].
    colours : Palette
        Colours of the picture.
    """
    theta = math.radians(bearing_deg)
    north = (math.cos(theta), -math.sin(theta))
    side = (-north[1], north[0])

    def at(along: float, aside: float) -> tuple[float, float]:
        return x + r * (north[0] * along + side[0] * aside), y + r * (
            north[1] * along + side[1] * aside
        )

    letter_x, letter_y = at(1.02, 0.0)
    return [
        svg.element("circle", None, cx=x, cy=y, r=r, fill="none", stroke=colours.line),
        svg.path([at(0.62, 0), at(-0.7, 0.36), at(-0.42, 0)], True, fill=colours.ink),
        svg.path(
            [at(0.62, 0), at(-0.7, -0.36), at(-0.42, 0)], True, fill="none", stroke=colours.ink
        ),
        svg.element("circle", None, cx=letter_x, cy=letter_y, r=6.5, fill=colours.paper),
        svg.text(letter_x, letter_y + 4, "N", SMALL, text_anchor="middle", font_weight=600),
    ]


def scale_bar(
    right: float,
    y: float,
    px_per_m: float,
    units: Literal["metric", "imperial"],
    colours: Palette,
) -> list[str]:
    """Return a scale bar that ends at ``right`` [px], of a round length about 90 px long."""
    steps = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0)
    if units == "imperial":
        steps = tuple(feet * FOOT_M for feet in (0.5, 1, 2, 3, 5, 10, 20))
    length = max((s for s in steps if s * px_per_m <= 110.0), default=steps[0])
    long = length * px_per_m
    left = right - long
    if units == "imperial":
        words = f"{length / FOOT_M:g} ft"
    else:
        words = f"{length:g} m" if length >= 1 else f"{length * 100:g} cm"
    return [
        svg.rect(left, y, long / 2, 4, fill=colours.ink),
        svg.rect(left + long / 2, y, long / 2, 4, fill=colours.paper, stroke=colours.ink),
        svg.text(right, y + 17, words, SMALL, text_anchor="end", fill=colours.quiet),
    ]
