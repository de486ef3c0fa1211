"""Water by week: what is left to give, what rain brings, when a reservoir is to be filled."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from sowplan.export.pictures import svg
from sowplan.export.pictures.frame import MARGIN, NAME_LINE, heading, row_name
from sowplan.export.pictures.hatch import area
from sowplan.export.pictures.lettering import width as text_width
from sowplan.export.pictures.scale import Scale, caption, month_names, month_rules
from sowplan.export.pictures.style import SMALL, Palette, palette
from sowplan.export.pictures.water_rows import (
    LITTLE,
    Row,
    describe,
    foot,
    rows,
    told,
    whole,
    why_empty,
)
from sowplan.export.pictures.words import season_name
from sowplan.quantity import VOLUME
from sowplan.season.plan import Plan
from sowplan.supply.water import WaterWeek

GUTTER, RIGHT = 156.0, 190.0
WHOLE, ROW, DROPS = 132.0, 66.0, 17.0
FOOT_LINE = 15.0


def water_svg(plan: Plan, dark: bool = False, width: float = 1200.0, title: bool = True) -> str:
    """Draw the whole garden's water by week, and below it a row a place.

    A bar is what the crops drink in a week: filled is what is left to give, broken lines are what
    rain brings of it. Drops mark weeks in which a reservoir is filled, with the number of fillings
    where there are several. Rows are not to one scale; their sums stand beside them.

    Asked for as `sowplan.export.pictures.frame.Picture` tells.
    """
    colours, found, below = palette(dark), rows(plan), foot(plan, width - 2 * MARGIN)
    header = 62.0 if title else 26.0
    scale = Scale(plan.site.start, plan.site.end, MARGIN + GUTTER, width - RIGHT)
    top = header + 24
    bottom = top + (WHOLE + sum(map(_height, found)) if found else ROW)
    parts = []
    if title:
        season = season_name(plan.site.start, plan.site.end)
        parts += heading("Water by week", season, width, colours)
    parts += _key(MARGIN + GUTTER if title else MARGIN, header - 10, found, plan, colours)
    parts += month_names(scale, header + 15, colours)
    parts += month_rules(scale, header, bottom, colours)
    if found:
        parts += _row(whole(plan), scale, top, WHOLE, plan.site.units, colours, axis=True)
    else:
        parts.append(caption(scale.left + 5, top + 34, why_empty(plan), colours))
    y = top + WHOLE
    for row in found:
        parts += _row(row, scale, y, _height(row), plan.site.units, colours)
        y += _height(row)
    for at in (top, bottom):
        parts.append(svg.line(MARGIN, at, width - MARGIN, at, stroke=colours.line))
    for n, words in enumerate(below):
        parts.append(caption(MARGIN, bottom + 22 + FOOT_LINE * n, words, colours))
    return svg.document(
        width, bottom + 20 + FOOT_LINE * len(below), "Water by week", describe(plan), parts,
        colours, name="water",
    )  # fmt: skip


def _height(row: Row) -> float:
    return ROW + (DROPS if row.holds else 0.0)


def _row(
    row: Row, scale: Scale, y: float, height: float, units: str, colours: Palette,
    axis: bool = False,
) -> list[str]:  # fmt: skip
    """Return a row: its name, its bars, its sums; drops below the bars where it has a reservoir."""
    base = y + height - 7 - (DROPS if row.holds else 0)
    high = base - y - 12
    parts = [svg.line(MARGIN, y, scale.right + RIGHT - MARGIN, y, stroke=colours.line)]
    if axis:  # whose figures stand where the names of other rows end
        parts.append(svg.text(MARGIN, y + 27, row.name, font_weight=600))
        parts.append(caption(MARGIN, y + 27 + NAME_LINE, row.note, colours))
    else:
        parts += row_name(row.name, row.note, scale.left - 14, y + 27, GUTTER - 14, colours)
    most = max(week.need_l for week in row.weeks) or 1.0
    if axis:
        parts += _axis(scale, base, high, most, units, colours)
    parts += _bars(row.weeks, scale, base, high / most, colours)
    if row.holds:
        parts += _drops(row.weeks, scale, base + 9.5, colours)
    words = row.sums(units)
    first = y + (52 if axis else height / 2 + 4 - 7.5 * (len(words) - 1))
    for n, said in enumerate(words):
        look = {"fill": colours.quiet} if n else {"font_weight": 600}
        parts.append(svg.text(scale.right + 14, first + 15 * n, said, SMALL, **look))
    return parts


def _bars(
    weeks: tuple[WaterWeek, ...], scale: Scale, base: float, unit: float, colours: Palette
) -> list[str]:
    """Return the weeks' bars standing on ``base``, ``unit`` px a litre: rain upon what is given."""
    edge = {"stroke": colours.water_edge, "stroke_width": 1}
    parts = []
    for week in weeks:
        left = scale.x(week.start) + 0.8
        room = scale.x(week.start + timedelta(days=7)) - 0.8 - left
        give, rain = week.give_l * unit, week.rain_l * unit
        if week.rain_l > LITTLE:
            parts.append(area("rain", left, base - give - rain, room, rain, colours, **edge))
        if week.give_l > LITTLE:
            parts.append(svg.rect(left, base - give, room, give, fill=colours.water, **edge))
    parts.append(svg.line(scale.left, base, scale.right, base, stroke=colours.edge))
    return parts


def _axis(
    scale: Scale, base: float, high: float, most: float, units: str, colours: Palette
) -> Iterator[str]:
    """Yield hairlines at two to four round figures, told at their left."""
    litres = VOLUME.units["us gal"] if units == "imperial" else 1.0
    step = _round_up(most / litres / 4) * litres
    n = 1
    while n * step <= most * 1.001:
        at = base - n * step / most * high
        yield svg.line(scale.left, at, scale.right, at, stroke=colours.line)
        words = told(n * step, units)
        yield caption(scale.left - 8, at + 4, words, colours, text_anchor="end")
        n += 1


def _round_up(least: float) -> float:
    """Return the first of … 0.1, 0.2, 0.5, 1, 2, 5, 10 … that is not below; 0.001 at least."""
    size = 1e-3
    while True:
        for digit in (1, 2, 5):
            if digit * size >= least * 0.999:
                return digit * size
        size *= 10


def _drops(
    weeks: tuple[WaterWeek, ...], scale: Scale, middle: float, colours: Palette
) -> Iterator[str]:
    """Yield a drop under each week in which a reservoir is filled, the number beside it."""
    for week in weeks:
        if week.fills:
            left, right = scale.x(week.start), scale.x(week.start + timedelta(days=7))
            number = str(len(week.fills)) if len(week.fills) > 1 else ""
            if number and 9 + text_width(number, 9.5, True) > right - left:
                number = ""  # no room: the table has it
            wide = 7 + (text_width(number, 9.5, True) + 1.5 if number else 0)
            at = (left + right - wide) / 2 + 3.5
            yield _drop(at, middle, colours)
            if number:
                yield svg.text(at + 5, middle + 4, number, 9.5, font_weight=600)


def _drop(x: float, y: float, colours: Palette) -> str:
    """Return a drop about ``x``, ``y``, 7 px wide and 11 px high."""
    d = (
        f"M{svg.number(x)} {svg.number(y - 6)}c1.2 3 3.5 5 3.5 7.6a3.5 3.5 0 0 1-7 0"
        "c0-2.6 2.3-4.6 3.5-7.6z"
    )
    return svg.element("path", None, d=d, fill=colours.water_edge)


def _key(x: float, y: float, found: list[Row], plan: Plan, colours: Palette) -> Iterator[str]:
    """Yield samples of what the picture uses, in one line."""
    mid = y - 4
    edge = {"stroke": colours.water_edge, "stroke_width": 1}
    yield svg.rect(x, mid - 5, 22, 10, fill=colours.water, **edge)
    words = "to give, in US gallons" if plan.site.units == "imperial" else "to give"
    yield caption(x + 30, y, words, colours)
    x += 50 + text_width(words, SMALL)
    if any(day.rain_mm is not None for day in plan.sky):
        yield area("rain", x, mid - 5, 22, 10, colours, **edge)
        yield caption(x + 30, y, "from rain", colours)
        x += 50 + text_width("from rain", SMALL)
    if any(row.holds for row in found):
        yield _drop(x + 4, mid, colours)
        words = "fill the reservoir (a figure: so often)"
        yield caption(x + 14, y, words, colours)
        x += 34 + text_width(words, SMALL)
    if found:
        yield caption(x, y, "each row has its own scale", colours)
