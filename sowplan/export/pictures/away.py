"""Days on which nobody is there: a shade behind the rows of a picture, and the word."""

from __future__ import annotations

from sowplan.export.pictures import svg
from sowplan.export.pictures.scale import Scale, caption
from sowplan.export.pictures.style import Palette
from sowplan.season.plan import Plan


def away_shades(
    plan: Plan, scale: Scale, top: float, bottom: float, words_y: float, colours: Palette
) -> list[str]:
    """Return a shade from ``top`` to ``bottom`` for each time away, to be drawn before the rest.

    Parameters
    ----------
    plan : Plan
        A finished season.
    scale : Scale
        The picture's days.
    top, bottom : float
        Ends of the shades [px].
    words_y : float
        Baseline of the word that says what a shade means [px].
    colours : Palette
        Colours of the picture.
    """
    parts, free = [], scale.left
    for first, last in sorted(plan.site.away):
        if last < scale.start or first > scale.end:
            continue
        left, right = scale.x(first), scale.after(last)
        shade = {"fill": colours.edge, "fill_opacity": 0.2}
        parts.append(svg.rect(left, top, right - left, bottom - top, **shade))
        middle = min(max((left + right) / 2, scale.left + 14), scale.right - 14)
        if middle - 14 >= free:
            parts.append(caption(middle, words_y, "away", colours, text_anchor="middle"))
            free = middle + 18
    return parts
