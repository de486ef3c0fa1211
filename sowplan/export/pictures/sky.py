"""The sky along the top of the season: daylength, temperature, frost."""

from __future__ import annotations

from itertools import combinations, product
from math import ceil, floor

from sowplan.export.pictures import svg
from sowplan.export.pictures.frame import halo
from sowplan.export.pictures.hatch import upright
from sowplan.export.pictures.lettering import width
from sowplan.export.pictures.scale import OUR_FONT, Scale, caption
from sowplan.export.pictures.style import Palette
from sowplan.export.pictures.words import day_month, plain, temperature
from sowplan.season.plan import Plan, SkyDay

BAND, APART = 34.0, 10.0
HEIGHT = 3 * BAND + 2 * APART
_AWAY = 5.0  # of a frost's date from its rule [px]
_Frost = tuple[float, str, str, str]  # its place [px], its name, its day, the side free of frost
EVERY = 3  # days a point; the eye sees no difference


def sky_names(plan: Plan, right: float, top: float, colours: Palette) -> list[str]:
    """Return the three bands' names, right-aligned at ``right``, with their ranges below."""
    sky = plan.sky
    if not sky:
        return []
    hours = [d.daylength_h for d in sky]
    low, high = min(d.tmin_c for d in sky), max(d.tmax_c for d in sky)
    units = plan.site.units
    shortest, longest = (plain(round(of(hours), 1)) for of in (min, max))
    ranges = (
        ("Daylength", f"{shortest} to {longest} h" if shortest != longest else f"{longest} h"),
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
        site = plan.site
        dated = site.last_frost or site.first_frost  # then the note is where these are from
        words = (not dated and site.frost_note) or "no frost expected this season"
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
    would run out of the chart there or into one another. ``free_left`` px left of the chart their
    row is empty.
    """
    site = plan.site
    frosts = [
        (scale.x(day), name, day_month(day), free)
        for day, name, free in (
            (site.last_frost, "last frost", "start"),
            (site.first_frost, "first frost", "end"),
        )
        if day is not None and scale.start <= day <= scale.end
    ]
    parts = []
    beside = _beside(frosts, scale.left - free_left, scale.right)
    for (at, _, _, free), (words, side) in zip(frosts, beside, strict=True):
        parts.append(
            svg.line(
                at, top, at, bottom,
                stroke=colours.frost, stroke_width=1.25, stroke_dasharray="5 3",
            )
        )  # fmt: skip
        shift = _AWAY if side == "start" else -_AWAY
        over_hatch = halo(colours) if side != free else {}
        parts.append(
            svg.text(
                at + shift, top + 10, words, 11,
                fill=colours.frost, text_anchor=side, font_weight=600, **over_hatch,
            )
        )  # fmt: skip
    return parts


def _beside(frosts: list[_Frost], left: float, right: float) -> list[tuple[str, str]]:
    """Return the words beside each frost's rule, and their anchor there.

    They stand on the side free of frost, or on the other where that would be out of the chart.
    Where they would run into one another, the days stand alone, on whichever sides they may.
    """
    full, days = [], []
    for at, name, day, free in frosts:
        other = "end" if free == "start" else "start"
        begin, end = _span(at, f"{name} {day}", free)
        full.append((f"{name} {day}", free if left <= begin and end <= right else other))
        days.append(((day, free), (day, other)))
    for beside in (full, *map(list, product(*days))):
        spans = [_span(at, *one) for (at, *_), one in zip(frosts, beside, strict=True)]
        if all(a[1] <= b[0] or b[1] <= a[0] for a, b in combinations(spans, 2)) and all(
            left <= begin and end <= right for begin, end in spans
        ):
            return beside
    return full


def _span(at: float, words: str, side: str) -> tuple[float, float]:
    """Return from where to where a rule and the words beside it are [px]."""
    long = _AWAY + width(words, 11, True) * OUR_FONT
    return (at, at + long) if side == "start" else (at - long, at)
