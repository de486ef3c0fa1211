"""What the pictures of a season share: how they are asked for, their heading, a row's name.

The season, the harvest, the beds, the trays and the water are each drawn by one function of the
same form, told once in `Picture`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Protocol

from sowplan.export.pictures import svg
from sowplan.export.pictures.lettering import shorten
from sowplan.export.pictures.scale import caption
from sowplan.export.pictures.style import HEAD, SMALL, TEXT, TITLE, Palette
from sowplan.season.plan import Plan

MARGIN = 24.0
TITLE_BASE, NAME_LINE = 34.0, 15.0


class Picture(Protocol):
    """Draws a plan, time across, as one SVG document.

    Parameters
    ----------
    plan : Plan
        A finished season.
    dark : bool
        Light ink on dark paper.
    width : float
        Width [px]; the height follows from the plan.
    title : bool
        Whether a title stands above.

    Returns
    -------
    str
        An SVG document; the same plan gives the same text.
    """

    def __call__(
        self, plan: Plan, dark: bool = False, width: float = 1200.0, title: bool = True
    ) -> str:
        """Return the picture."""


def heading(words: str, beside: str, width: float, colours: Palette, aside: float = HEAD) -> list:
    """Return a picture's title, and quiet words at its right end in size ``aside`` [px]."""
    name = shorten(words, width * 0.5, TITLE, True)
    parts = [svg.text(MARGIN, TITLE_BASE, name, TITLE, font_weight=600)]
    if beside:
        look = {"fill": colours.quiet, "text_anchor": "end"}
        parts.append(svg.text(width - MARGIN, TITLE_BASE, beside, aside, **look))
    return parts


def row_name(name: str, below: str, right: float, y: float, room: float, colours: Palette) -> list:
    """Return a row's name, right-aligned at ``right`` with its baseline at ``y``, a line below it.

    A name cut short for want of ``room`` [px] shows whole under the pointer.
    """
    shown = shorten(name, room, TEXT, True)
    words = svg.text(right, y, shown, text_anchor="end", font_weight=600)
    parts = [words if shown == name else svg.group([words], name)]
    if below:
        short = shorten(below, room, SMALL)
        parts.append(caption(right, y + NAME_LINE, short, colours, text_anchor="end"))
    return parts


def halo(colours: Palette) -> dict[str, object]:
    """Return what keeps a name legible over hatches and edges: paper about its letters."""
    return {
        "stroke": colours.paper, "stroke_width": 3, "stroke_opacity": 0.85,
        "stroke_linejoin": "round", "paint_order": "stroke",
    }  # fmt: skip


def dealt(heights: Mapping[str, float], tallest: float) -> list[list[str]]:
    """Return names in as few groups as may be, about as tall as one another.

    ``heights`` are those of the rows they name, ``tallest`` that of a group [px], nearly kept to.
    """
    total = sum(heights.values())
    many = max(1, math.ceil(total / tallest))
    found: list[list[str]] = [[]]
    done = 0.0
    for name, high in heights.items():
        if found[-1] and done + high / 2 > total * len(found) / many:
            found.append([])
        found[-1].append(name)
        done += high
    return found
