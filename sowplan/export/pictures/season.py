"""The season as one picture: a row a place, each planting from sowing to cleared ground."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sowplan.export.pictures import lettering, svg
from sowplan.export.pictures.away import away_shades
from sowplan.export.pictures.frame import MARGIN, dealt, halo, heading, row_name
from sowplan.export.pictures.hatch import area
from sowplan.export.pictures.lanes import Bar, bar, lanes
from sowplan.export.pictures.scale import (
    ANY_FONT,
    OUR_FONT,
    Scale,
    caption,
    month_names,
    month_rules,
)
from sowplan.export.pictures.sky import HEIGHT as SKY_HEIGHT
from sowplan.export.pictures.sky import frost_rules, sky_bands, sky_names
from sowplan.export.pictures.style import PAGE, SMALL, Palette, hatches, palette
from sowplan.export.pictures.words import (
    crop_names,
    day_month,
    harvest_text,
    place_size,
    season_name,
    where_in_place,
)
from sowplan.season.plan import Plan, PlanPlace, Planting
from sowplan.season.words import sown_word
from sowplan.supply.wording import UNDER

GUTTER, RIGHT = 132.0, 44.0
NAMES = GUTTER - 14  # room for the places' names
HEADER = 62.0  # title and key
BAR, LANE, PAD = 16.0, 24.0, 5.0
KEY_GAP = 20.0
TALLEST = 2000.0  # places that are taller together [px] make several pictures
MONTHS_ROW, FROSTS = 24.0, 18.0  # names of the months; dates of the frosts, where no sky is drawn
RISE = 4.5  # from a tray's line up to the foot of its bar [px]
RANGE = 1.5  # below a bar's foot, so that no letter hangs into it [px]
_RING = (  # stands at the start of a tray's line in the page
    '<marker id="s-ring" markerUnits="userSpaceOnUse" markerWidth="8" markerHeight="8" refX="4" '
    f'refY="4"><circle cx="4" cy="4" r="2.6" fill="{PAGE.paper}" stroke="{PAGE.grow_edge}"/>'
    "</marker>"
)


@dataclass(frozen=True)
class Row:
    """A place's rows of bars and where they stand [px]."""

    place: PlanPlace
    lanes: list[list[Bar]]
    top: float
    height: float


def season_svg(
    plan: Plan,
    dark: bool = False,
    width: float = 1200.0,
    places: Sequence[str] | None = None,
    title: bool = True,
    bare: bool = False,
    sky: bool = True,
    part: str = "",
) -> str:
    """Draw the season: sky along the top, then a row a place.

    Parameters
    ----------
    plan : Plan
        A finished season.
    dark : bool
        Light ink on dark paper.
    width : float
        Width [px]; the height follows from the plan.
    places : sequence of str, optional
        Only these places, in this order; all of the plan's otherwise.
    title : bool
        Whether name and season stand above the picture (a print sets its own).
    bare : bool
        Without paper of its own, for a print.
    sky : bool
        Whether daylength, temperature and frost are drawn; without, the frosts' dates alone.
    part : str
        Words that stand behind the title.

    Returns
    -------
    str
        An SVG document.
    """
    colours = palette(dark)
    header = HEADER if title else 26.0
    margin = MARGIN if title else 0.0
    season = season_name(plan.site.start, plan.site.end)
    scale = Scale(plan.site.start, plan.site.end, margin + GUTTER, width - RIGHT)
    rows, bottom = _rows(plan, scale, header + above_rows(sky), places)
    names = sky_names(plan, margin + NAMES, header + MONTHS_ROW, colours) if sky else ()
    name = plan.site.name + (f", {part}" if part else "")
    parts = [
        *(heading(name, season, width, colours) if title else ()),
        *_key(margin + GUTTER, width - margin, header - 10, colours),
        *names,
        *_names(plan, rows, margin, scale.right, colours),
        *_chart(plan, rows, scale, header, bottom, colours, small=False, sky=sky),
    ]
    return svg.document(
        width,
        bottom + 34,
        f"{name}, {season}",
        describe(plan, places),
        parts,
        colours,
        name="season",
        bare=bare,
    )


def season_parts(plan: Plan, width: float, gutter: float = 104.0) -> tuple[str, str]:
    """Return the names and the chart as two pictures of one height, for a page that scrolls.

    Parameters
    ----------
    plan : Plan
        A finished season.
    width : float
        Width of the chart [px].
    gutter : float
        Width of the names [px].

    Returns
    -------
    tuple of str
        Two SVG documents in the page's variables, without paper of their own.
    """
    scale = Scale(plan.site.start, plan.site.end, 0.5, width - RIGHT)
    rows, bottom = _rows(plan, scale, 10 + above_rows(), None)
    height = bottom + 30
    names = [
        *sky_names(plan, gutter - 10, 10 + MONTHS_ROW, PAGE),
        *_names(plan, rows, 0, gutter, PAGE, gutter - 10),
    ]
    chart = _chart(plan, rows, scale, 10, bottom, PAGE, small=True)
    title = "The season's places"
    left = svg.document(gutter, height, title, title, names, PAGE, "", "names", True)
    right = svg.document(
        width,
        height,
        "The season, each planting from sowing to cleared ground",
        describe(plan, None),
        chart,
        PAGE,
        hatches(PAGE, "s-") + _RING,
        "chart",
        True,
    )
    return left, right


def season_panels(plan: Plan) -> list[list[str]]:
    """Return the places in groups, each of which goes on one picture of a width as usual."""
    scale = Scale(plan.site.start, plan.site.end, MARGIN + GUTTER, 1200.0 - RIGHT)
    return dealt({row.place.name: row.height for row in _rows(plan, scale, 0, None)[0]}, TALLEST)


def above_rows(sky: bool = True) -> float:
    """Return how tall the months' names and the sky below them are [px]."""
    return MONTHS_ROW + (SKY_HEIGHT + 18 if sky else FROSTS)


def lanes_needed(plan: Plan, width: float = 1200.0) -> dict[str, int]:
    """Return how many lanes each place takes in a picture of a width, at least one."""
    scale = Scale(plan.site.start, plan.site.end, MARGIN + GUTTER, width - RIGHT)
    return {row.place.name: max(len(row.lanes), 1) for row in _rows(plan, scale, 0, None)[0]}


def describe(plan: Plan, places: Sequence[str] | None) -> str:
    """Say in words what the picture shows."""
    shown = [p for p in plan.plantings if places is None or p.place in places]
    if not shown:
        return "No plantings."
    names = crop_names(plan)
    crops = sorted({names[p.crop].name for p in shown})
    bearing = [p for p in shown if not p.in_vain]
    fit = ""
    if bearing:
        first = max(min(p.harvest_start for p in bearing), plan.site.start)
        fit = f" Harvest from {day_month(first)} to "
        fit += f"{day_month(max(p.harvest_end for p in bearing))}."
    return (
        f"{len(shown)} plantings of {len(crops)} crops in {len({p.place for p in shown})} places: "
        f"{', '.join(crops)}.{fit}"
    )


def _rows(
    plan: Plan, scale: Scale, top: float, places: Sequence[str] | None
) -> tuple[list[Row], float]:
    """Lay the places out below ``top``; return the rows and where they end."""
    names = crop_names(plan)
    chosen = plan.places if places is None else [plan.place(name) for name in places]
    rows = []
    for place in chosen:
        bars = [bar(p, names[p.crop].name, scale) for p in plan.plantings if p.place == place.name]
        dealt = lanes(bars)
        height = max(len(dealt), 1) * LANE + 2 * PAD
        height = max(height, 38.0)
        rows.append(Row(place, dealt, top, height))
        top += height
    return rows, top


def _key(x: float, right: float, y: float, colours: Palette) -> list[str]:
    """Return the key: one small planting, its parts named; it begins before ``x`` if need be."""
    mid = y - 4
    samples = (
        ("raised in a tray", [_raising(0, 24, mid + 2, colours, RISE + 2)]),
        ("sown, not yet up", [svg.rect(0, mid - 5, 22, 10, fill=colours.paper, **_edge(colours))]),
        ("growing", [svg.rect(0, mid - 5, 22, 10, fill=colours.grow, **_edge(colours))]),
        ("harvest", [area("harvest", 0, mid - 5, 22, 10, colours, stroke=colours.harvest_edge)]),
        ("first harvest, early to late", [_spread(0, 24, mid, colours)]),
        ("number of plants", [svg.text(8, y, "12", SMALL)]),
    )  # fmt: skip
    wide = [32 + lettering.width(words, SMALL) for words, _ in samples]
    gap = max(min((right - sum(wide)) / (len(wide) - 1), KEY_GAP), 0.0)
    parts, at = [], max(min(x, right - sum(wide) - gap * (len(wide) - 1)), 0.0)
    for (words, marks), long in zip(samples, wide, strict=True):
        parts.append(svg.group(marks, transform=f"translate({svg.number(at)} 0)"))
        parts.append(caption(at + 32, y, words, colours))
        at += long + gap
    return parts


def _edge(colours: Palette) -> dict[str, object]:
    return {"stroke": colours.grow_edge, "stroke_width": 1}


def _raising(left: float, right: float, y: float, colours: Palette, up: float = RISE) -> str:
    """Return the line of a tray: a ring where it is sown, then to its bar and up into its foot."""
    ring = svg.element(
        "circle", None, cx=left + 3, cy=y, r=2.6, fill=colours.paper, **_edge(colours)
    )
    at = svg.number(max(right, left + 6))
    line = svg.element(
        "path", None, d=f"M{svg.number(left + 5.6)} {svg.number(y)}H{at}v{svg.number(-up)}",
        fill="none", **_edge(colours),
    )  # fmt: skip
    return ring + line


def _spread(left: float, right: float, y: float, colours: Palette) -> str:
    """Return a forecast's range: a heavy rule under the foot of the bar, clear of its name."""
    return svg.line(left, y, max(right, left), y, stroke=colours.harvest_edge, stroke_width=3)


def _names(
    plan: Plan, rows: list[Row], left: float, width: float, colours: Palette, room: float = NAMES
) -> list[str]:
    """Return the places' names and sizes, right-aligned beside the chart."""
    right, parts = left + room, []
    for row in rows:
        parts.append(svg.line(left, row.top, width, row.top, stroke=colours.line))
        size = place_size(row.place, plan.site.units)
        parts += row_name(row.place.name, size, right, row.top + PAD + 13, room, colours)
    if rows:
        end = rows[-1].top + rows[-1].height
        parts.append(svg.line(left, end, width, end, stroke=colours.line))
    return parts


def _chart(
    plan: Plan, rows: list[Row], scale: Scale, top: float, bottom: float,
    colours: Palette, small: bool, sky: bool = True,
) -> list[str]:  # fmt: skip
    """Return everything right of the names."""
    sky_top, rows_top = top + MONTHS_ROW, top + above_rows(sky)
    frosts = sky_top + SKY_HEIGHT - 34 if sky else sky_top + 1
    wider = ANY_FONT if small else OUR_FONT
    parts = [
        *away_shades(plan, scale, rows_top, bottom, rows_top - 5, colours),
        *month_names(scale, top + 15, colours, wider),
        *month_rules(scale, top, bottom, colours),
        *(sky_bands(plan, scale, sky_top, colours) if sky else ()),
        *frost_rules(plan, scale, frosts, bottom, colours, 0.0 if sky else NAMES),
    ]
    for row in rows:
        parts.append(svg.line(scale.left, row.top, scale.right, row.top, stroke=colours.line))
        if not row.lanes:
            parts.append(caption(scale.left + 5, row.top + 23, "Nothing planted", colours))
        for n, lane in enumerate(row.lanes):
            y = row.top + PAD + n * LANE
            if small:
                parts.append(_small_lane(plan, lane, y, scale))
            else:
                parts.extend(_planting(plan, one, y, scale, colours) for one in lane)
    parts.append(svg.line(scale.left, bottom, scale.right, bottom, stroke=colours.line))
    parts.extend(month_names(scale, bottom + 17, colours, wider))
    return parts


def _planting(plan: Plan, one: Bar, y: float, scale: Scale, colours: Palette) -> str:
    """Return one planting: its raising, its time in the place, its harvest and its label."""
    p = one.planting
    up, ripe, early, late = _ends(one, scale)
    at, anchor = _label_at(one, scale)
    parts = [
        _raising(one.sown, one.left + 0.5, y + BAR + RISE, colours) if _raised(one, scale) else "",
        svg.rect(up, y, ripe - up, BAR, fill=colours.grow) if ripe > up else "",
        area("harvest", ripe, y, one.right - ripe, BAR, colours),
        svg.rect(one.left, y, one.right - one.left, BAR, fill="none", **_edge(colours)),
        _spread(early, late, y + BAR + RANGE, colours),
        svg.text(at, y + 11.5, one.words, SMALL, text_anchor=anchor, **halo(colours)),
    ]
    return svg.group(parts, told(plan, p))


def _raised(one: Bar, scale: Scale) -> bool:
    """Return whether a planting is in a tray for some of the season; not what is out before it."""
    return one.planting.tray is not None and one.left > scale.left


def _ends(one: Bar, scale: Scale) -> tuple[float, float, float, float]:
    """Return where a planting is up, ripe, and first fit in an early and a late year [px]."""
    p = one.planting
    up = scale.x(max(p.emergence, p.occupies_from)) if not p.planting_out else one.left
    days = (p.harvest_start, p.harvest_start_early, p.harvest_start_late)
    return (up, *(scale.x(day) for day in days))


def _label_at(one: Bar, scale: Scale) -> tuple[float, str | None]:
    """Return where a bar's label stands: in its bar, or before the season's end."""
    if one.left + 5 + lettering.width(one.words, SMALL) > scale.right:
        return scale.right - 3, "end"
    return one.left + 5, None


def _small_lane(plan: Plan, lane: list[Bar], y: float, scale: Scale) -> str:
    """Return a lane for the page, whose style sheet knows the classes of its few elements."""
    numbers = {p.id: n for n, p in enumerate(plan.plantings)}
    bars = (
        svg.element("g", _small_planting(one, scale), data_p=numbers[one.planting.id])
        for one in lane
    )
    return svg.group(bars, transform=f"translate(0 {svg.number(y)})")


def _small_planting(one: Bar, scale: Scale) -> str:
    """Return a planting from the lane's top: a tray's line, the bar, growth, harvest, range."""

    def piece(kind: str, left: float, right: float, y: float = 0, high: float = 0) -> str:
        first, last = round(left, 1), round(max(right, left), 1)
        long = svg.number(last - first)
        back = f"v{svg.number(high)}h-{long}z" if high else ""
        return svg.element("path", None, class_=kind, d=f"M{first:g} {y:g}h{long}{back}")

    up, ripe, early, late = _ends(one, scale)
    at, anchor = _label_at(one, scale)
    parts = [
        _small_raising(one) if _raised(one, scale) else "",
        piece("b", one.left, up, 0, BAR) if up > one.left else "",
        piece("g", up, ripe, 0, BAR) if ripe > up else "",
        piece("h", ripe, one.right, 0, BAR),
        piece("r", early, late, BAR + RANGE),
        svg.element("text", svg.escape(one.words), x=round(at, 1), y=11.5, text_anchor=anchor),
    ]
    return "".join(parts)


def _small_raising(one: Bar) -> str:
    left, right = round(one.sown + 3, 1), round(max(one.left + 0.5, one.sown + 6), 1)
    d = f"M{left:g} {BAR + RISE:g}H{right:g}v{-RISE:g}"
    return svg.element("path", None, class_="t", d=d)


def told(plan: Plan, p: Planting) -> str:
    """Say in one line what becomes of a planting."""
    crop = crop_names(plan)[p.crop]
    begun = "bought" if p.bought else f"{sown_word(crop)} {day_month(p.sow)}"
    out = f", planted out {day_month(p.planting_out)}" if p.planting_out else ""
    where = where_in_place(plan, p)
    where += UNDER.get(p.cover, "")
    return f"{crop.name}, {p.plants} plants, {where}: {begun}{out}, {harvest_text(p)}"
