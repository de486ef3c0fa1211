"""Tray use by week: cells taken against cells there."""

from __future__ import annotations

from sowplan.export.pictures import svg
from sowplan.export.pictures.frame import MARGIN, heading, row_name
from sowplan.export.pictures.lettering import width as text_width
from sowplan.export.pictures.scale import Scale, caption, month_names, month_rules
from sowplan.export.pictures.style import SMALL, Palette, palette
from sowplan.export.pictures.tally import cells_by_week
from sowplan.export.pictures.words import day_month, season_name
from sowplan.season.plan import Plan
from sowplan.supply.wording import count_text

GUTTER, RIGHT = 132.0, 132.0
ROW, BARS = 76.0, 50.0
FIGURE = 10.0  # size of the cells over a bar, told where they stand clear of the one before [px]


def trays_svg(plan: Plan, dark: bool = False, width: float = 1200.0, title: bool = True) -> str:
    """Draw a row a tray: the most cells in use each week, under the line of what it holds.

    Asked for as `sowplan.export.pictures.frame.Picture` tells.
    """
    colours, use = palette(dark), cells_by_week(plan)
    header = 50.0 if title else 8.0
    scale = Scale(plan.site.start, plan.site.end, MARGIN + GUTTER, width - RIGHT)
    top = header + 24
    bottom = top + ROW * max(len(plan.trays), 1)
    parts = []
    if title:
        season = season_name(plan.site.start, plan.site.end)
        parts += heading("Tray cells in use", season, width, colours)
    parts += month_names(scale, header + 15, colours)
    parts += month_rules(scale, header, bottom, colours)
    if not plan.trays:
        parts.append(caption(scale.left + 5, top + 30, "No trays", colours))
    told = []
    for n, tray in enumerate(plan.trays):
        y = top + n * ROW
        parts.append(svg.line(MARGIN, y, width - MARGIN, y, stroke=colours.line))
        cells = count_text(tray.cells, "cell")
        parts += row_name(tray.name, cells, scale.left - 14, y + 34, GUTTER - 14, colours)
        parts += _bars(use[tray.name], tray.cells, scale, y + ROW - 10, colours)
        week, most = max(use[tray.name], key=lambda one: one[1], default=(plan.site.start, 0))
        words = f"most: {most} in the week of {day_month(week)}" if most else "not used"
        told.append(f"{tray.name}, {tray.cells} cells, {words}.")
        first, _, rest = words.partition(" in ")
        parts.append(svg.text(scale.right + 14, y + 34, first, SMALL, fill=colours.ink))
        if rest:
            parts.append(caption(scale.right + 14, y + 49, rest, colours))
    parts.append(svg.line(MARGIN, bottom, width - MARGIN, bottom, stroke=colours.line))
    return svg.document(
        width, bottom + 16, "Tray cells in use by week", " ".join(told) or "No trays.", parts,
        colours, name="trays",
    )  # fmt: skip


def _bars(
    use: tuple[tuple, ...], cells: int, scale: Scale, base: float, colours: Palette
) -> list[str]:
    """Return a tray's bars and the line of its cells."""
    most = max([cells, *(taken for _, taken in use)]) or 1
    unit = BARS / most
    parts, figured = [], scale.left
    for week, taken in use:
        left = scale.x(week) + 0.8
        days = 7 - max((scale.start - week).days, 0)
        right = min(left + days * scale.per_day - 1.6, scale.right)
        if taken:
            parts.append(
                svg.rect(
                    left, base - taken * unit, right - left, taken * unit,
                    fill=colours.grow, stroke=colours.grow_edge, stroke_width=1,
                )
            )  # fmt: skip
            half = text_width(str(taken), FIGURE) / 2 + 1
            middle = (left + right) / 2
            if right - left >= 12 and middle - half >= figured:
                foot = base - 4 if taken * unit >= 14 else base - taken * unit - 3
                parts.append(svg.text(middle, foot, str(taken), FIGURE, text_anchor="middle"))
                figured = middle + half
    full = base - cells * unit
    parts.append(
        svg.line(
            scale.left, full, scale.right, full,
            stroke=colours.ink, stroke_width=1.4, stroke_dasharray="6 3",
        )
    )  # fmt: skip
    parts.append(svg.line(scale.left, base, scale.right, base, stroke=colours.edge))
    return parts
