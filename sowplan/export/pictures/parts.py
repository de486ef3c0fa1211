"""A tall picture in parts: one of a hundred beds is legible on no screen, and some show none."""

from __future__ import annotations

from collections.abc import Sequence

from sowplan.export.outputs import drawer
from sowplan.export.pictures.beds import beds_svg, panels
from sowplan.export.pictures.season import season_panels, season_svg
from sowplan.season.plan import Plan
from sowplan.supply.cleared import as_cleared

IN_PARTS = {"beds": (panels, beds_svg), "season": (season_panels, season_svg)}
"""By picture, what deals its places onto several and what draws some of them."""


def picture_parts(plan: Plan, name: str, dark: bool = False) -> Sequence[str]:
    """Draw a picture of the folder, in several parts where its places are many.

    Parameters
    ----------
    plan : Plan
        A finished season.
    name : str
        ``"season"``, ``"beds"``, ``"trays"`` …: the name of its file, without its ending.
    dark : bool
        Light ink on dark paper.

    Returns
    -------
    sequence of str
        SVG documents, one of them unless it would be too tall; places in their order.
    """
    if name in IN_PARTS:
        deal, draw = IN_PARTS[name]
        drawn = as_cleared(plan)
        groups = deal(drawn)
        if len(groups) > 1:
            return [
                draw(drawn, dark=dark, places=places, part=f"{n} of {len(groups)}")
                for n, places in enumerate(groups, start=1)
            ]
    return [drawer(f"{name}.svg")(plan, dark=dark)]
