"""A year of sowings of one crop: a row a sowing date, its harvest window along the calendar."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from itertools import groupby

from sowplan.export.pictures import lettering, svg
from sowplan.export.pictures.scale import Scale, caption, month_names, month_rules
from sowplan.export.pictures.style import SMALL, TITLE, Palette, hatches, palette
from sowplan.export.pictures.words import day_month, day_month_year
from sowplan.growth.reasons import without_dates
from sowplan.growth.succession import Row, Succession

MARGIN, GUTTER, RIGHT = 24.0, 66.0, 92.0
HEADER, MONTHS_ROW, FOOT = 104.0, 24.0, 40.0
_PITCH_MOST, _PITCH_LEAST, _CHART_MOST = 22.0, 4.0, 960.0
_LABEL_EVERY = 26.0  # least px between the dates in the gutter


def succession_svg(
    succession: Succession, crop: str, place: str, dark: bool = False, width: float = 1200.0
) -> str:
    """Draw sowing date against harvest window through the year.

    Parameters
    ----------
    succession : Succession
        At least one row.
    crop, place : str
        Names for the heading: ``"Butterhead lettuce"``, ``"Lantern Court, raised on Shelf"``.
    dark : bool
        Light ink on dark paper.
    width : float
        Width [px]; the height follows from the number of rows.

    Returns
    -------
    str
        An SVG document.
    """
    colours = palette(dark)
    rows = succession.rows
    pitch = max(_PITCH_LEAST, min(_PITCH_MOST, _CHART_MOST / len(rows)))
    scale = Scale(rows[0].course.sow, _end(rows), MARGIN + GUTTER, width - RIGHT)
    top = HEADER + MONTHS_ROW
    bottom = top + pitch * len(rows) + 18
    parts = [
        *_heading(crop, place, width, colours),
        *_key(colours),
        *_short_days(succession, scale, top, bottom, colours),
        *month_names(scale, HEADER + 16, colours),
        *month_rules(scale, HEADER, bottom, colours),
        *_dates(rows, top, pitch, scale, colours),
        *_intervals(rows, top, pitch, scale, colours),
        *_hindered(rows, top, pitch, scale, colours),
        *(_row(row, top + n * pitch, pitch, scale, colours) for n, row in enumerate(rows)),
        svg.line(scale.left, bottom, scale.right, bottom, stroke=colours.line),
        *month_names(scale, bottom + 18, colours),
    ]
    title = f"{crop}, {place}: sowing date and harvest"
    return svg.document(
        width, bottom + FOOT, title, describe(rows), parts, colours, hatches(colours), "succession"
    )


def describe(rows: Sequence[Row]) -> str:
    """Say in words what the picture shows."""
    good = [row for row in rows if row.course.feasible]
    if not good:
        return f"None of {len(rows)} sowing dates comes to a harvest: {rows[0].course.reason}."
    first = min(row.course.harvest_start for row in good)
    last = max(row.course.harvest_end for row in good)
    return (
        f"{len(good)} of {len(rows)} sowing dates come to a harvest, in {min(r.days for r in good)}"
        f" to {max(r.days for r in good)} days; harvest from {day_month_year(first)} to "
        f"{day_month_year(last)}."
    )


def told(row: Row) -> str:
    """Say in one line what becomes of one sowing."""
    c = row.course
    if not c.feasible:
        return f"Sown {day_month(c.sow)}: {c.reason}"
    out = f", planted out {day_month(c.planting_out)}" if c.planting_out else ""
    again = f"; sow again after {row.interval_days} days" if row.interval_days else ""
    return (
        f"Sown {day_month(c.sow)}{out}, first harvest {day_month(c.harvest_start)} "
        f"({day_month(c.harvest_start_early)} to {day_month(c.harvest_start_late)}), "
        f"last {day_month(c.harvest_end)}{again}"
    )


def _end(rows: Sequence[Row]) -> date:
    """Return the end of the month in which the last harvest ends, three months at least."""
    ends = [row.course.harvest_end for row in rows if row.course.harvest_end]
    last = max([*ends, rows[-1].course.sow + timedelta(days=60)])
    return (last.replace(day=1) + timedelta(days=32)).replace(day=1) - timedelta(days=1)


def _heading(crop: str, place: str, width: float, colours: Palette) -> list[str]:
    name = lettering.shorten(crop, width * 0.45, TITLE, True)
    where = lettering.shorten(place, width * 0.45, 15)
    return [
        svg.text(MARGIN, 36, name, TITLE, font_weight=600),
        svg.text(width - MARGIN, 36, where, 15, fill=colours.quiet, text_anchor="end"),
    ]


def _key(colours: Palette) -> list[str]:
    """Return the key: the parts of a row, named."""
    y = 68.0
    samples = (
        ("sown, in the tray", [_tray(2, 26, y, colours)]),
        ("sown, not yet up", [_lying(2, 26, y, colours)]),
        ("growing in its place", [_growing(0, 24, y, 9, colours)]),
        ("harvest", [_harvest(0, 24, y, 9, colours)]),
        ("first harvest, early to late", [_spread(0, 24, y, 9, colours)]),
        ("comes to nothing", [_cross(10, y, 8, colours)]),
    )
    parts, at = [], MARGIN
    for words, marks in samples:
        parts.append(svg.group(marks, transform=f"translate({svg.number(at)} 0)"))
        parts.append(caption(at + 32, y + 4, words, colours))
        at += 32 + lettering.width(words, SMALL) + 22
    return parts


def _edge(colours: Palette) -> dict[str, object]:
    return {"stroke": colours.grow_edge, "stroke_width": 0.8}


def _tray(left: float, right: float, y: float, colours: Palette) -> str:
    """Return a ring where it is sown and dots to planting out."""
    ring = svg.element("circle", None, cx=left, cy=y, r=2.6, fill=colours.paper, **_edge(colours))
    if right - left < 6:
        return ring
    dots = svg.line(
        left + 5, y, right, y,
        stroke=colours.grow_edge, stroke_width=1.6, stroke_dasharray="1.6 2.4",
    )  # fmt: skip
    return ring + dots


def _lying(left: float, right: float, y: float, colours: Palette) -> str:
    """Return a ring where it is sown and a hairline while the seed lies in the ground."""
    wait = svg.line(left + 2.6, y, right, y, **_edge(colours))
    return wait + _tray(left, left, y, colours)


def _growing(left: float, right: float, y: float, height: float, colours: Palette) -> str:
    return svg.rect(left, y - height / 2, right - left, height, fill=colours.grow, **_edge(colours))


def _harvest(left: float, right: float, y: float, height: float, colours: Palette) -> str:
    return svg.rect(
        left, y - height / 2, right - left, height,
        fill="url(#harvest)", stroke=colours.harvest_edge, stroke_width=0.8,
    )  # fmt: skip


def _spread(left: float, right: float, y: float, height: float, colours: Palette) -> str:
    """Return a forecast's range: a heavy rule on the foot of the bar."""
    foot = y + height / 2
    return svg.line(
        left, foot, max(right, left + 1), foot, stroke=colours.harvest_edge, stroke_width=2.4
    )


def _cross(x: float, y: float, size: float, colours: Palette) -> str:
    half = size / 2
    d = f"M{svg.number(x - half)} {svg.number(y - half)}l{svg.number(size)} {svg.number(size)}"
    d += f"m0 {svg.number(-size)}l{svg.number(-size)} {svg.number(size)}"
    return svg.element("path", None, d=d, stroke=colours.missing, stroke_width=1.2, fill="none")


def _row(row: Row, top: float, pitch: float, scale: Scale, colours: Palette) -> str:
    """Return one sowing: ring, tray, growing, harvest, range."""
    c, y = row.course, top + pitch / 2
    height = pitch * 0.62
    sown = scale.x(c.sow)
    if not c.feasible:
        return svg.group([_cross(sown, y, min(7.0, pitch * 0.6), colours)], told(row))
    begins = scale.x(c.planting_out or c.emergence)
    ripe, ends = scale.x(c.harvest_start), scale.after(c.harvest_end)
    raised = c.planting_out is not None
    raising = _tray(sown, begins, y, colours) if raised else _lying(sown, begins, y, colours)
    parts = [
        _growing(begins, ripe, y, height, colours),
        _harvest(ripe, ends, y, height, colours),
        _spread(scale.x(c.harvest_start_early), scale.x(c.harvest_start_late), y, height, colours),
        raising,
    ]
    return svg.group(parts, told(row))


def _dates(
    rows: Sequence[Row], top: float, pitch: float, scale: Scale, colours: Palette
) -> list[str]:
    """Return the sowing dates beside the rows, as many as have room."""
    parts = [caption(scale.left - 10, top - 8, "Sown", colours, text_anchor="end")]
    step = max(1, round(_LABEL_EVERY / pitch))
    for n in range(0, len(rows), step):
        y = top + (n + 0.5) * pitch
        parts.append(
            svg.text(scale.left - 10, y + 4, day_month(rows[n].course.sow), text_anchor="end")
        )
    return parts


def _intervals(
    rows: Sequence[Row], top: float, pitch: float, scale: Scale, colours: Palette
) -> list[str]:
    """Return after how long to sow again, beside the rows that have a date."""
    x = scale.right + 12
    parts = [
        caption(x, top - 22, "Sow again for a", colours),
        caption(x, top - 8, "weekly harvest", colours),
    ]
    step = max(1, round(_LABEL_EVERY / pitch))
    for n in range(0, len(rows), step):
        days = rows[n].interval_days
        if days is not None:
            words = "next day" if days == 1 else f"after {days} days"
            parts.append(svg.text(x, top + (n + 0.5) * pitch + 4, words))
    return parts


def _hindered(
    rows: Sequence[Row], top: float, pitch: float, scale: Scale, colours: Palette
) -> list[str]:
    """Return why runs of sowings come to nothing, each run told once."""
    parts, n = [], 0
    for kind, run in groupby(rows, key=lambda row: without_dates(row.course.reason)):
        several = list(run)
        if kind:
            middle = n + (len(several) - 1) // 2
            x = scale.x(several[(len(several) - 1) // 2].course.sow) + 10
            words = several[-1].course.reason
            room = scale.right - x - 4
            at = {}
            if lettering.width(words, SMALL) > room > 0 and x - scale.left > room:
                x, at = x - 20, {"text_anchor": "end"}
                room = x - scale.left
            words = lettering.shorten(words, room, SMALL)
            parts.append(caption(x, top + (middle + 0.5) * pitch + 4, words, colours, **at))
        n += len(several)
    return parts


def _short_days(
    succession: Succession, scale: Scale, top: float, bottom: float, colours: Palette
) -> list[str]:
    """Return the spans of days under ten hours as a ground behind everything."""
    parts = []
    for first, last in succession.short_days:
        left, right = scale.x(first), scale.after(last)
        if right - left < 1:
            continue
        parts.append(svg.rect(left, top, right - left, bottom - top, fill=colours.panel))
        words = "days under 10 h"
        if right - left > lettering.width(words, SMALL) + 10:
            parts.append(caption(left + 5, bottom - 6, words, colours))
    return parts
