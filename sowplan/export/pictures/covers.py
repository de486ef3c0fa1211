"""What is laid over a single sowing in a bed: a quiet broken line about it; a tunnel has hoops."""

from __future__ import annotations

from sowplan.export.pictures import svg
from sowplan.export.pictures.style import Palette

INSET = 2.5  # of the line from the sides of its strip [px]
HOOPS_PX = 46.0  # about so far apart
HOOPED = ("tunnel",)


def cover_sign(cover: str, box: tuple[float, float, float, float], colours: Palette) -> list[str]:
    """Return the line about what is covered, and a tunnel's hoops, across its longer side.

    Parameters
    ----------
    cover : {"fleece", "tunnel", "glass", "none"}
        What is laid over it.
    box : (float, float, float, float)
        Left, top, width and height of its ground [px].
    colours : Palette
        Colours of the picture.

    Returns
    -------
    list of str
        Markup; empty where nothing is laid over it, or no line fits within.
    """
    left, top, wide, high = (box[0] + INSET, box[1] + INSET, box[2] - 2 * INSET, box[3] - 2 * INSET)
    if cover == "none" or min(wide, high) <= 0:
        return []
    look = {"fill": "none", "stroke": colours.quiet, "stroke_width": 1.2}
    corner = min(7.0, wide / 3, high / 3)
    parts = [svg.rect(left, top, wide, high, rx=corner, stroke_dasharray="6 2.4 1.2 2.4", **look)]
    if cover in HOOPED:
        along, long = wide >= high, max(wide, high)
        count = max(round(long / HOOPS_PX), 1) + 1
        d = ""
        for n in range(1, count):
            at = long * n / count
            if along:
                d += f"M{svg.number(left + at)} {svg.number(top)}v{svg.number(high)}"
            else:
                d += f"M{svg.number(left)} {svg.number(top + at)}h{svg.number(wide)}"
        parts.append(svg.element("path", None, d=d, stroke_opacity=0.6, **look))
    return parts
