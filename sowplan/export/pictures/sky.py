"""The sky along the top of the season: daylength, temperature, frost."""

from __future__ import annotations

from math import ceil, floor

from sowplan.export.pictures import svg
from sowplan.export.pictures.hatch import upright
from sowplan.export.pictures.lettering import width
from sowplan.export.pictures.scale import OUR_FONT, Scale, caption
from sowplan.export.pictures.style import Palette
from sowplan.export.pictures.words import day_month, plain, temperature
from sowplan.season.plan import Plan, SkyDay

BAND, APART = 34.0, 10.0
HEIGHT = 3 * BAND + 2 * APART
EVERY = 3  # days a point; the eye sees no difference


def sky_names(plan: Plan, right: float, top: float, colours: Palette) -> list[str]:
    """Return the three bands' names, right-aligned at ``right``, with their ranges below."""
    sky = plan.sky
    if not sky:
        return []
    hours = [d.daylength_h for d in sky]
    low, high = min(d.tmin_c for d in sky), max(d.tmax_c for d in sky)
    units = plan.site.units
    ranges = (
        ("Daylength", f"{plain(round(min(hours), 1))} to {plain(round(max(hours), 1))} h"),
        ("Day and night", f"{temperature(low, units)} to {temperature(high, units)}"),
        ("Frost", "share of years"),
    )
    parts = []
    for n, (name, words) in enumerate(ranges):
        y = top + n * (BAND + APART) + 14
        parts.append(svg.text(right, y, name, text_anchor="end", font_weight=600))
        parts.append(caption(right, y + 14, words, colours, text_anchor="end"))
    return parts


def sky_bands(plan: Plan, scale: Scale, top: float, colours: Palette) -> list[str]:
    """Return the three bands from ``top`` on."""
    days = [d for d in plan.sky if scale.start <= d.day <= scale.end]
    if not days:
        return []
    days = days[::EVERY] + ([days[-1]] if (len(days) - 1) % EVERY else [])
    tops = [top + n * (BAND + APART) for n in range(3)]
    return [
        *_daylength(days, scale, tops[0], colours),
        *_temperature(days, scale, tops[1], colours, plan.site.units),
        *_frost(days, scale, tops[2], colours, plan),
    ]


def _ends(days: list[SkyDay], scale: Scale) -> list[float]:
    """Return the days' places; the last reaches the axis's end."""
    return [scale.x(d.day) for d in days[:-1]] + [scale.after(days[-1].day)]


def _daylength(days: list[SkyDay], scale: Scale, top: float, colours: Palette) -> list[str]:
    hours = [d.daylength_h for d in days]
    low, high = min(8.0, floor(min(hours))), max(16.0, ceil(max(hours)))

    def y(value: float) -> float:
        return top + BAND * (high - value) / (high - low)

    xs = _ends(days, scale)
    curve = [(x, y(h)) for x, h in zip(xs, hours, strict=True)]
    floor_line = [(xs[-1], top + BAND), (xs[0], top + BAND)]
    parts = [
        svg.path(curve + floor_line, True, fill=colours.sun, fill_opacity=0.16),
        svg.path(curve, fill="none", stroke=colours.sun, stroke_width=1.5),
    ]
    if min(hours) < 10 < max(hours):
        at = y(10)
        parts.append(
            svg.line(
                scale.left, at, scale.right, at, stroke=colours.sun, stroke_dasharray="1 4"
            )
        )  # fmt: skip
        parts.append(caption(scale.right + 6, at + 4, "10 h", colours))
    return parts


def _temperature(
    days: list[SkyDay], scale: Scale, top: float, colours: Palette, units: str
) -> list[str]:
    low = min(0.0, floor(min(d.tmin_c for d in days)))
    high = max(low + 10.0, ceil(max(d.tmax_c for d in days)))

    def y(value: float) -> float:
        return top + BAND * (high - value) / (high - low)

    xs = _ends(days, scale)
    warm = [(x, y(d.tmax_c)) for x, d in zip(xs, days, strict=True)]
    cold = [(x, y(d.tmin_c)) for x, d in zip(xs, days, strict=True)]
    freezing = y(0.0)
    return [
        svg.path(warm + cold[::-1], True, fill=colours.ink, fill_opacity=0.1),
        svg.path(warm, fill="none", stroke=colours.warm, stroke_width=1.5),
        svg.path(cold, fill="none", stroke=colours.frost, stroke_width=1.5),
        svg.line(
            scale.left, freezing, scale.right, freezing,
            stroke=colours.edge, stroke_dasharray="1 4",
        ),
        caption(scale.right + 6, freezing + 4, temperature(0, units), colours),
    ]  # fmt: skip


def _frost(days: list[SkyDay], scale: Scale, top: float, colours: Palette, plan: Plan) -> list[str]:
    if not any(d.frost_chance >= 0.005 for d in days):
        words = plan.site.frost_note or "no frost expected"
        return [caption(scale.left + 5, top + BAND / 2 + 4, words.capitalize(), colours)]
    xs = _ends(days, scale)
    curve = [(x, top + BAND * (1 - d.frost_chance)) for x, d in zip(xs, days, strict=True)]
    bottom = top + BAND
    return [
        upright(xs, [y for _, y in curve], bottom, colours),
        svg.path(curve, fill="none", stroke=colours.frost, stroke_width=1.5),
        svg.line(scale.left, bottom, scale.right, bottom, stroke=colours.line),
    ]


def frost_rules(
    plan: Plan, scale: Scale, top: float, bottom: float, colours: Palette, free_left: float = 0.0
) -> list[str]:
    """Return an upright dashed rule with its date at the season's last and first frost.

    The dates stand on the side of the frosts' end and begin that is free of frost, unless they
    would run out of the chart there. ``free_left`` px left of the chart their row is empty.
    """
    parts = []
    site = plan.site
    for day, name, side in (
        (site.last_frost, "last frost", "start"),
        (site.first_frost, "first frost", "end"),
    ):
        if day is None or not scale.start <= day <= scale.end:
            continue
        at, words = scale.x(day), f"{name} {day_month(day)}"
        long = 5 + width(words, 11, True) * OUR_FONT
        if side == "end" and at - long < scale.left - free_left:
            side = "start"
        elif side == "start" and at + long > scale.right:
            side = "end"
        parts.append(
            svg.line(
                at, top, at, bottom,
                stroke=colours.frost, stroke_width=1.25, stroke_dasharray="5 3",
            )
        )  # fmt: skip
        shift = 5 if side == "start" else -5
        parts.append(
            svg.text(
                at + shift, top + 10, words, 11,
                fill=colours.frost, text_anchor=side, font_weight=600,
            )
        )  # fmt: skip
    return parts
