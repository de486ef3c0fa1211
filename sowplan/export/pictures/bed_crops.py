"""The crops of a bed seen from above: what each plant looks like, and the list that tells them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sowplan.export.pictures import svg
from sowplan.export.pictures.bed_rulers import WIDE
from sowplan.export.pictures.lettering import shorten, width
from sowplan.export.pictures.style import SMALL, TEXT, Palette

Points = NDArray[np.float64]

LEFT, RIGHT = 48.0, 16.0
MARKS = ("dot", "cross", "ring", "triangle", "square", "plus", "diamond", "bar")


@dataclass(frozen=True, eq=False)
class Patch:
    """One crop in the bed: ``positions`` [m], shape (plants, 2); ``spread_m`` when full-grown.

    ``now_m`` is its width on the day shown, None where no day is; ``note`` stands beside its
    label in the list, ``lines`` under it. ``along`` says which way its rows run, where that is
    settled (`Layout.along`). ``ripe``: in harvest on the day shown, None where no day is.
    ``cover`` is laid over it alone, over all its ``ground``: from where to where along the bed,
    then across it [m].
    """

    label: str
    positions: Points
    spread_m: float
    note: str = ""
    now_m: float | None = None
    lines: tuple[str, ...] = ()
    along: bool | None = None
    ripe: bool | None = None
    cover: str = "none"
    ground: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)


def numbered(patches: Sequence[Patch]) -> list[int]:
    """Return each patch's number among the crops: batches of one crop have one number."""
    labels = list(dict.fromkeys(patch.label for patch in patches))
    return [labels.index(patch.label) for patch in patches]


def look_of(number: int, patch: Patch, colours: Palette, name: str) -> tuple[str, str]:
    """Return the fill and rim of a patch's plants: by the day's stage, else by its crop's number.

    ``name`` is the picture's, in whose ``defs`` the hatch of harvest is.
    """
    if patch.ripe:
        return f"url(#{name}-harvest)", colours.harvest_edge
    return tint_of(0 if patch.ripe is False else number, colours)


def tint_of(n: int, colours: Palette) -> tuple[str, str]:
    """Return the tint of the crop of a number in the list, and its rim; harvest has its own."""
    pairs = (
        (colours.grow, colours.grow_edge),
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


def crop_list(
    patches: Sequence[Patch], top: float, colours: Palette, name: str
) -> tuple[list[str], float]:
    """Return the list of crops, each with its mark and its lines, and where it ends [px].

    Where a day is shown, the two fills are told below. ``name`` is the picture's.
    """
    parts, y = [], top
    for n, patch in zip(numbered(patches), patches, strict=True):
        tint, rim = look_of(n, patch, colours, name)
        parts.append(svg.element("circle", None, cx=26, cy=y - 4.5, r=9, fill=tint, stroke=rim))
        parts.append(plant_mark(MARKS[n % len(MARKS)], 26.0, y - 4.5, 3.2, colours.ink))
        words = f"{len(patch.positions)} {patch.label}"
        words = shorten(words, WIDE - 190.0, TEXT, True)
        parts.append(svg.text(LEFT, y, words, font_weight=600))
        if patch.note:
            x = LEFT + width(words, TEXT, True) + 8
            note = shorten(patch.note, WIDE - 140.0 - x, SMALL)
            parts.append(svg.text(x, y, note, SMALL, fill=colours.quiet))
        for line in patch.lines:
            y += 15.0
            shown = shorten(line, WIDE - LEFT - RIGHT, SMALL)
            parts.append(svg.text(LEFT, y, shown, SMALL, fill=colours.ink))
        y += 25.0
    return parts, _stages(patches, parts, y, colours, name)


def _stages(
    patches: Sequence[Patch], parts: list[str], y: float, colours: Palette, name: str
) -> float:
    """Add to the list what the fills of a day mean. Return where it ends [px]."""
    x = 17.0
    for ripe, words in ((False, "growing"), (True, "in harvest")):
        samples = [patch for patch in patches if patch.ripe is ripe]
        if samples:
            fill, rim = look_of(0, samples[0], colours, name)
            parts.append(svg.rect(x, y - 10.0, 18, 11, fill=fill, stroke=rim))
            parts.append(svg.text(x + LEFT - 17.0, y, words, fill=colours.quiet))
            x += LEFT - 17.0 + width(words) + 22.0
    return y if x == 17.0 else y + 25.0
