"""The season at a glance, a row a crop: when it is sown, stands in its places and is harvested.

For gardens whose season takes several pages bed by bed: this one hangs on the door.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from sowplan.export.pictures import svg
from sowplan.export.pictures.hatch import area
from sowplan.export.pictures.lettering import shorten
from sowplan.export.pictures.lettering import width as text_width
from sowplan.export.pictures.scale import Scale, caption, month_names, month_rules
from sowplan.export.pictures.sky import HEIGHT as SKY_HEIGHT
from sowplan.export.pictures.sky import frost_rules, sky_bands, sky_names
from sowplan.export.pictures.standing import gone
from sowplan.export.pictures.style import SMALL, TEXT, Palette, palette
from sowplan.season.plan import Plan, PlanCrop, Planting
from sowplan.supply.wording import count_text

GUTTER, RIGHT = 150.0, 44.0
KEY, MONTHS_ROW, FOOT = 26.0, 24.0, 34.0
PITCH, LEAST = 34.0, 17.0  # px a crop, as usual and at least
MOST = 48.0  # where a page has to be filled
COUNTED = 28.0  # from here on a crop's sowings are counted below its name
Span = tuple[date, date]


def frame_height() -> float:
    """Return what the picture takes besides its rows [px]."""
    return KEY + MONTHS_ROW + SKY_HEIGHT + 18 + FOOT


def glance_svg(
    plan: Plan, width: float = 960.0, room: float | None = None, dark: bool = False
) -> str:
    """Draw the season by crop.

    Parameters
    ----------
    plan : Plan
        A finished season.
    width : float
        Width [px].
    room : float, optional
        Height to be filled, and to be kept within where the crops are many [px].
    dark : bool
        Light ink on dark.

    Returns
    -------
    str
        An SVG document without paper of its own.
    """
    colours = palette(dark)
    scale = Scale(plan.site.start, plan.site.end, GUTTER, width - RIGHT)
    grown = by_crop(plan)
    pitch = PITCH if room is None else (room - frame_height()) / max(len(grown), 1)
    pitch = max(min(pitch, MOST), LEAST)
    sky_top = KEY + MONTHS_ROW
    top = sky_top + SKY_HEIGHT + 18
    bottom = top + pitch * max(len(grown), 1)
    parts = [
        *_key(scale.left, KEY - 10, colours, any(p.bought for p in plan.plantings)),
        *sky_names(plan, scale.left - 10, sky_top, colours),
        *month_names(scale, KEY + 15, colours),
        *month_rules(scale, KEY, bottom, colours),
        *sky_bands(plan, scale, sky_top, colours),
        *frost_rules(plan, scale, sky_top + SKY_HEIGHT - 34, bottom, colours),
    ]
    for n, (crop, plantings) in enumerate(grown):
        parts += _row(crop, plantings, scale, top + n * pitch, pitch, colours)
    parts.append(svg.line(0, bottom, scale.right, bottom, stroke=colours.line))
    parts += month_names(scale, bottom + 17, colours)
    return svg.document(
        width, bottom + FOOT, "The season by crop", describe(plan), parts, colours,
        name="glance", bare=True,
    )  # fmt: skip


def by_crop(plan: Plan) -> list[tuple[PlanCrop, list[Planting]]]:
    """Return each crop that is grown with its plantings, the first sown first."""
    plantings: dict[str, list[Planting]] = {}
    for p in sorted(plan.plantings, key=lambda p: (p.sow, p.id)):
        plantings.setdefault(p.crop, []).append(p)
    return [(plan.crop(key), found) for key, found in plantings.items()]


def joined(spans: Iterable[Span]) -> list[Span]:
    """Return spans of days with those that touch or overlap made one."""
    found: list[Span] = []
    for first, last in sorted(spans):
        if found and first <= found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], last))
        else:
            found.append((first, last))
    return found


def describe(plan: Plan) -> str:
    """Say in words what the picture shows."""
    return " ".join(f"{crop.name}: {_counted(found)}." for crop, found in by_crop(plan))


def _counted(plantings: list[Planting]) -> str:
    """Return ``"3 sowings"``, ``"3 sowings, 2 lots bought"``; each strip counts."""
    bought = sum(p.bought for p in plantings)
    parts = [count_text(len(plantings) - bought, "sowing")] if bought < len(plantings) else []
    return ", ".join([*parts, f"{count_text(bought, 'lot')} bought"] if bought else parts)


def _row(
    crop: PlanCrop, plantings: list[Planting], scale: Scale, y: float, pitch: float,
    colours: Palette,
) -> list[str]:  # fmt: skip
    """Return a crop's row: its name, its time in the places, its harvests, its sowings."""
    right, base = scale.left - 10, y + pitch / 2
    high = min(pitch * 0.36, 14.0)
    parts = [
        svg.line(0, y, scale.right, y, stroke=colours.line),
        svg.text(
            right, base + (4 if pitch < COUNTED else 0),
            shorten(crop.name, GUTTER - 12, TEXT, True), text_anchor="end", font_weight=600,
        ),
    ]  # fmt: skip
    if pitch >= COUNTED:
        words = _counted(list({p.sowing: p for p in plantings}.values()))
        parts.append(caption(right, base + 13, words, colours, text_anchor="end"))
    bar = base - high + 1
    edge = {"stroke": colours.grow_edge, "stroke_width": 1}
    for first, last in joined((p.occupies_from, gone(p)) for p in plantings):
        left, end = scale.x(first), scale.x(last)
        parts.append(svg.rect(left, bar, end - left, high, fill=colours.grow, **edge))
    for first, last in joined((p.harvest_start, gone(p)) for p in plantings):
        left, end = scale.x(first), scale.x(last)
        parts.append(area("harvest", left, bar, end - left, high, colours))
    mine = (p for p in plantings if p.sow >= scale.start)  # what stood before is last season's
    return parts + [_sowing(p, scale, bar + high + 4.5, colours) for p in mine]


def _sowing(p: Planting, scale: Scale, y: float, colours: Palette) -> str:
    """Return a sowing's mark: a ring in a tray, an upright stroke in the ground, a wedge bought."""
    x = scale.x(p.sow)
    look = {"stroke": colours.grow_edge, "stroke_width": 1}
    if p.bought:
        return _wedge(x + 2.6, y, colours)
    if p.planting_out:
        return svg.element("circle", None, cx=x + 2.6, cy=y, r=2.4, fill=colours.paper, **look)
    look["stroke_width"] = 2.2
    return svg.line(x + 1.1, y - 2.6, x + 1.1, y + 2.6, **look)


def _wedge(x: float, y: float, colours: Palette) -> str:
    """Return the mark of bought plants: it points to the ground they go into."""
    points = f"{svg.number(x - 2.8)},{svg.number(y - 2.4)} {svg.number(x + 2.8)},"
    points += f"{svg.number(y - 2.4)} {svg.number(x)},{svg.number(y + 2.6)}"
    return svg.element("polygon", None, points=points, fill=colours.grow_edge)


def _key(x: float, y: float, colours: Palette, bought: bool) -> list[str]:
    mid = y - 4
    look = {"stroke": colours.grow_edge, "stroke_width": 1}
    samples = (
        ("sown in a tray", svg.element("circle", None, cx=10, cy=mid, r=2.4, fill="none", **look)),
        ("sown in its place", svg.line(10, mid - 3, 10, mid + 3, stroke=colours.grow_edge,
                                       stroke_width=2.2)),
        *([("bought", _wedge(10, mid, colours))] if bought else []),
        ("in its place", svg.rect(0, mid - 5, 22, 10, fill=colours.grow, **look)),
        ("harvest", area("harvest", 0, mid - 5, 22, 10, colours, stroke=colours.harvest_edge)),
    )  # fmt: skip
    parts, at = [], x
    for words, mark in samples:
        parts.append(svg.group([mark], transform=f"translate({svg.number(at)} 0)"))
        parts.append(caption(at + 30, y, words, colours))
        at += 30 + text_width(words, SMALL) + 20
    return parts
