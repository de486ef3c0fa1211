"""Harvest against wants, week by week: what is missing and what is over is seen at once."""

from __future__ import annotations

from sowplan.export.pictures import svg
from sowplan.export.pictures.away import away_shades
from sowplan.export.pictures.frame import MARGIN, heading, row_name
from sowplan.export.pictures.hatch import Box, area, areas
from sowplan.export.pictures.lettering import width as text_width
from sowplan.export.pictures.scale import PHONE_FONT, Scale, caption, month_names, month_rules
from sowplan.export.pictures.style import PAGE, SMALL, TEXT, Palette, hatches, palette
from sowplan.export.pictures.tally import LITTLE, Tally, tallies
from sowplan.export.pictures.words import amount, season_name
from sowplan.season.plan import Plan
from sowplan.supply.wording import is_worth_telling

GUTTER, RIGHT = 156.0, 168.0
ROW, BARS = 58.0, 40.0


def harvest_svg(plan: Plan, dark: bool = False, width: float = 1200.0, title: bool = True) -> str:
    """Draw a row a wanted crop: bars of what is brought in, gaps hatched, surplus dotted.

    Asked for as `sowplan.export.pictures.frame.Picture` tells.
    """
    colours, rows = palette(dark), tallies(plan)
    header = 62.0 if title else 26.0
    scale = Scale(plan.site.start, plan.site.end, MARGIN + GUTTER, width - RIGHT)
    top = header + 24
    bottom = top + ROW * max(len(rows), 1)
    parts = away_shades(plan, scale, top, bottom, bottom + 13, colours)
    if title:
        season = season_name(plan.site.start, plan.site.end)
        parts += heading("Harvest against wants", season, width, colours)
    parts += _key(MARGIN + GUTTER if title else MARGIN, header - 10, colours)
    parts += month_names(scale, header + 15, colours)
    parts += month_rules(scale, header, bottom, colours)
    if not rows:
        parts.append(caption(scale.left, top + 30, "Nothing is wanted and nothing grows", colours))
    for n, row in enumerate(rows):
        y = top + n * ROW
        parts.append(svg.line(MARGIN, y, width - MARGIN, y, stroke=colours.line))
        asked = row.asked or "not asked for"
        parts += row_name(row.crop.name, asked, scale.left - 14, y + 26, GUTTER - 14, colours)
        parts.append(chart_row(row, scale, y + ROW - 6, colours, ""))
        parts += _sums(row, scale.right + 14, y, colours)
    parts.append(svg.line(MARGIN, bottom, width - MARGIN, bottom, stroke=colours.line))
    return svg.document(
        width, bottom + 20, "Harvest against wants by week", describe(rows), parts, colours,
        name="harvest",
    )  # fmt: skip


STRIP = 420.0  # width of a crop's row in the page [px]


def strip_defs(plan: Plan) -> str:
    """Return what all strips of a page share: hatches, months and the line the bars stand on."""
    scale = _strip_scale(plan)
    parts = [
        *away_shades(plan, scale, 0, 48, 9, PAGE),
        *month_rules(scale, 0, 66, PAGE),
        svg.line(scale.left, 48, scale.right, 48, stroke=PAGE.edge),
        *month_names(scale, 63, PAGE, PHONE_FONT),
    ]
    return hatches(PAGE, "h-") + svg.group(parts, id="h-months")


def harvest_strip(plan: Plan, row: Tally) -> str:
    """Return one crop's row alone for the page, which says its sums in words beside it."""
    months = '<use href="#h-months"/>'
    chart = chart_row(row, _strip_scale(plan), 48, PAGE, "h-")
    box = f"0 0 {svg.number(STRIP)} 68"
    look = {"font_size": TEXT, "fill": PAGE.ink, "aria_hidden": "true"}
    return svg.element("svg", months + chart, viewBox=box, **look)


def _strip_scale(plan: Plan) -> Scale:
    return Scale(plan.site.start, plan.site.end, 0.5, STRIP - 0.5)


def describe(rows: tuple[Tally, ...]) -> str:
    """Say in words what the picture shows."""
    return " ".join(f"{row.crop.name}: {', '.join(sums(row))}." for row in rows) or "No crops."


def sums(row: Tally) -> list[str]:
    """Return a crop's sums: ``["40 heads wanted", "38 met", "2 missing", "5 over"]``."""
    words = []
    if row.asked:
        words.append(f"{amount(sum(row.wanted), row.unit, row.units)} wanted")
        words.append(_missing(row))
        over = sum(row.over)
    else:
        over = sum(row.over)
    if over > LITTLE:
        words.append(f"{amount(over, row.unit, row.units)} over")
    return words


def _missing(row: Tally) -> str:
    """Say how much is missing; crumbs, told as half a bunch, would look like more than they are."""
    if row.missing <= LITTLE:
        return "all met"
    if not is_worth_telling(row.missing, row.unit):
        return "all but crumbs met"
    return f"{amount(row.missing, row.unit, row.units)} missing"


def chart_row(row: Tally, scale: Scale, base: float, colours: Palette, prefix: str) -> str:
    """Return a crop's bars standing on ``base``."""
    wanted, met, over = row.asked_a_week, row.met_a_week, row.over
    highest = max(wanted, default=0.0) or max(over, default=0.0)
    most = max(w + o for w, o in zip(wanted, over, strict=True))
    top = min(most, 2.2 * highest) or 1.0
    unit = (BARS - 9) / top
    fills: dict[str, list[Box]] = {"harvest": [], "missing": [], "over": []}
    rules: list[list[float]] = []  # left, right, height of the line of what is wanted
    figures = []
    for n, span in enumerate(row.spans):
        left = scale.x(span.drawn[0]) + 0.8
        right = scale.after(span.drawn[1]) - 0.8
        room = max(right - left, 0.0)
        met_y, want_y = base - met[n] * unit, base - wanted[n] * unit
        if met[n] > LITTLE:
            fills["harvest"].append((left, met_y, room, met[n] * unit))
        if wanted[n] - met[n] > LITTLE:
            fills["missing"].append((left, want_y, room, met_y - want_y))
        if over[n] > LITTLE:
            y = min(max(want_y - over[n] * unit, base - BARS + 9), want_y - 2.0)
            fills["over"].append((left, y, room, want_y - y))
            if want_y - over[n] * unit < y - 0.5:  # cut short: the figure says how much
                figures.append(_figure(row, row.over[n], left, room, y - 2, colours))
        ends = [round(end, 2) for end in (left - 0.8, right + 0.8)]
        if wanted[n] > LITTLE and rules and rules[-1][1:] == [ends[0], round(want_y, 3)]:
            rules[-1][1] = ends[1]
        elif wanted[n] > LITTLE:
            rules.append([*ends, round(want_y, 3)])
    edges = {"harvest": None, "missing": colours.missing, "over": colours.over}
    parts = [areas(kind, boxes, colours, prefix, edges[kind]) for kind, boxes in fills.items()]
    if rules:
        ink = {"stroke": colours.ink, "stroke_width": 1.4}
        d = "".join(f"M{svg.number(a)} {svg.number(y)}H{svg.number(b)}" for a, b, y in rules)
        parts.append(svg.element("path", None, d=d, **ink))
    if not prefix:  # the page has it in what its strips share
        parts.append(svg.line(scale.left, base, scale.right, base, stroke=colours.edge))
    return "".join(parts + figures)


def _figure(row: Tally, over: float, left: float, room: float, y: float, colours: Palette) -> str:
    """Return the figure over a bar that is cut short, where there is room for it."""
    words = amount(over, row.unit, row.units)
    figure = "+" + (words if row.unit == "kg" else words.rsplit(" ", 1)[0])
    if room < text_width(figure, 9) - 3:
        return ""
    return svg.text(left + room / 2, y, figure, 9, fill=colours.over, text_anchor="middle")


def _sums(row: Tally, x: float, y: float, colours: Palette) -> list[str]:
    """Return a crop's sums beside its bars; what is missing stands out."""
    parts = []
    words = sums(row)
    at = y + 30 - 7.5 * (len(words) - 1)
    for word in words:
        fill = colours.quiet
        bold = None
        if word.endswith("missing"):
            fill, bold = colours.missing, 600
        if word.endswith("over"):
            fill = colours.over
        parts.append(svg.text(x, at, word, SMALL, fill=fill, font_weight=bold))
        at += 15
    return parts


def _key(x: float, y: float, colours: Palette) -> list[str]:
    mid = y - 4
    samples = (
        ("brought in", "harvest", colours.harvest_edge),
        ("missing", "missing", colours.missing),
        ("over, in the week it must be used", "over", colours.over),
    )
    parts = [
        svg.line(x, mid, x + 22, mid, stroke=colours.ink, stroke_width=1.4),
        caption(x + 30, y, "wanted", colours),
    ]
    at = x + 30 + text_width("wanted", SMALL) + 20
    for words, kind, stroke in samples:
        parts.append(area(kind, at, mid - 5, 22, 10, colours, stroke=stroke, stroke_width=1))
        parts.append(caption(at + 30, y, words, colours))
        at += 30 + text_width(words, SMALL) + 20
    return parts
