"""The beds through the year: where along each bed every planting stands, and for how long."""

from __future__ import annotations

from collections.abc import Sequence

from sowplan.export.pictures import svg
from sowplan.export.pictures.away import away_shades
from sowplan.export.pictures.bed_built import bare_slices
from sowplan.export.pictures.frame import MARGIN, dealt, halo, heading, row_name
from sowplan.export.pictures.hatch import area
from sowplan.export.pictures.lettering import shorten
from sowplan.export.pictures.lettering import width as text_width
from sowplan.export.pictures.scale import OUR_FONT, Scale, caption, month_names, month_rules
from sowplan.export.pictures.season import told
from sowplan.export.pictures.standing import gone
from sowplan.export.pictures.style import SMALL, Palette, palette
from sowplan.export.pictures.words import crop_names, place_size
from sowplan.season.plan import Plan, PlanPlace, Planting
from sowplan.supply.wording import length_text

GUTTER, RIGHT = 132.0, 68.0
APART = 16.0
MONTHS_ROW, BELOW = 28.0, 20.0  # above and below some places [px]
TALLEST = 2200.0
"""Places that are taller together [px] stand in several panels, each with the months above."""
Corners = tuple[float, float, float, float]
"""Left, top, right and bottom [px]."""
ASIDE = 5.0  # px from an area to a name beside it
LOWEST = 34.0  # px of a place: its name and its size stand beside it
NAMES_APART = 26.0  # px of a bed for each strip that stands there at once, where beds are many
LEAST_LETTERS = 5.5  # px of a strip in which the smallest letters, without room to spare, stand
NAMED, LEAST_NAMED, FEW_SHORTER = 12.0, 7.2, 10
"""So tall [px] a strip is named in letters of full size, and at all; one in so many is shorter."""


def beds_svg(
    plan: Plan,
    dark: bool = False,
    width: float = 1200.0,
    title: bool = True,
    places: Sequence[str] | None = None,
    part: str = "",
) -> str:
    """Draw time across and each place's length (or holes, or pots) down.

    Asked for as `sowplan.export.pictures.frame.Picture` tells. Where places are many the months
    are told again above some of them; ``places`` are those to draw, all otherwise, and ``part``
    words that stand behind the title.
    """
    colours = palette(dark)
    header = 50.0 if title else 8.0
    scale = Scale(plan.site.start, plan.site.end, MARGIN + GUTTER, width - RIGHT)
    parts, blocks, y = [], [], header
    name = "Beds through the season" + (f", {part}" if part else "")
    if title:
        words = "down: along the bed, or hole by hole; hatched: harvest"
        parts += heading(name, words, width, colours, SMALL)
    heights = _heights(plan)
    groups = panels(plan) if places is None else [places]
    for group in groups:
        top = y + MONTHS_ROW
        parts += month_names(scale, y + 15, colours)
        y = top
        for place in map(plan.place, group):
            high = heights[place.name]
            blocks += _block(plan, place, scale, y, high, colours)
            y += high + APART
        bottom = y - APART
        parts += away_shades(plan, scale, top, bottom, bottom + 13, colours)
        parts += month_rules(scale, top - MONTHS_ROW, bottom, colours)
        y = bottom + BELOW
    return svg.document(
        width, y, name,
        f"{sum(map(len, groups))} places; time across, position along the place downwards. "
        "The list of plantings says the same in words.",
        parts + blocks, colours, name="beds",
    )  # fmt: skip


def panels(plan: Plan) -> list[list[str]]:
    """Return the places in groups, each of which stands under one row of months."""
    return dealt({name: high + APART for name, high in _heights(plan).items()}, TALLEST)


def _heights(plan: Plan) -> dict[str, float]:
    """Return how tall each place is drawn [px], by name.

    All to one scale, unless they fill several panels: then a bed of few strips is no taller than
    their names ask for.
    """
    units = _px_per_unit(plan)
    usual = {
        place.name: min(max(_extent(place) * units[place.kind], LOWEST), 420.0)
        for place in plan.places
    }
    if sum(usual.values()) + APART * len(usual) <= TALLEST:
        return usual
    there: dict[str, list[Planting]] = {}
    for p in plan.plantings:
        if p.kind == "bed":
            there.setdefault(p.place, []).append(p)
    return usual | {
        name: min(usual[name], max(_asked_for(its, _extent(plan.place(name))), LOWEST))
        for name, its in there.items()
    }


def _asked_for(plantings: Sequence[Planting], length_m: float) -> float:
    """Return how tall a bed is drawn [px] for the names of its plantings: most, if small, fit."""
    most = max(
        sum(q.occupies_from <= p.occupies_from < q.cleared for q in plantings) for p in plantings
    )
    short = sorted(p.strip_length_m for p in plantings)[len(plantings) // FEW_SHORTER]
    return max(most * NAMES_APART, LEAST_NAMED * length_m / max(short, 0.1))


def _extent(place: PlanPlace) -> float:
    """Return how long a place is: metres from end to end, holes or pots."""
    if place.kind == "bed":
        return max(place.length_m, 0.1)
    return float((place.holes if place.kind == "channel" else place.count) or 1)


def _px_per_unit(plan: Plan) -> dict[str, float]:
    """Return pixels a metre, hole and pot: a single row can be named where beds are few.

    Where they are many, nearly every strip can be.
    """
    metres = sum(_extent(place) for place in plan.places if place.kind == "bed")
    strips = sorted(p.strip_length_m for p in plan.plantings if p.kind == "bed")
    short = strips[len(strips) // FEW_SHORTER] if strips else 1.0
    least = min(max(NAMED / max(short, 0.1), 12.0), 40.0)
    return {"bed": min(max(1200.0 / (metres or 1.0), least), 100.0), "channel": 8.0, "pot": 16.0}


def _block(
    plan: Plan, place: PlanPlace, scale: Scale, top: float, high: float, colours: Palette
) -> list[str]:
    """Return one place: its frame, its name, its plantings as areas of length and time."""
    size = place_size(place, plan.site.units)
    parts = [
        svg.rect(scale.left, top, scale.right - scale.left, high, fill="none", stroke=colours.edge),
        *row_name(place.name, size, scale.left - 14, top + 13, GUTTER - 14, colours),
    ]
    per_unit = high / _extent(place)
    for start, end in bare_slices(place) if place.kind == "bed" else ():
        y, deep = top + start * per_unit, (end - start) * per_unit
        band = [
            svg.rect(scale.left, y, scale.right - scale.left, deep, fill=colours.panel),
            svg.line(scale.left, y, scale.right, y, stroke=colours.edge, stroke_dasharray="2 3"),
            svg.line(
                scale.left, y + deep, scale.right, y + deep,
                stroke=colours.edge, stroke_dasharray="2 3",
            ),
        ]  # fmt: skip
        parts.append(svg.group(band, "nothing is planned here: see the notes"))
    names, frame = crop_names(plan), (scale.left, top, scale.right, top + high)
    shown = [
        (p, _boxes(p, place.edge_m, per_unit)) for p in plan.plantings if p.place == place.name
    ]
    taken = [
        (scale.x(p.occupies_from), top + y, scale.x(p.cleared), top + y + h)
        for p, boxes in shown
        for y, h in boxes
    ]
    for p, boxes in shown:
        shapes = [s for y, h in boxes for s in _area(p, scale, top + y, h, colours)]
        name = names[p.crop].name
        for box, count in zip(boxes, _counts(p), strict=True):
            words = f"{name} {count}"
            at = scale.x(p.occupies_from), top + box[0], scale.x(p.cleared), top + sum(box)
            if box[1] < NAMED and (spot := _beside(words, at, frame, taken)):
                look = {"text_anchor": "end"} if spot[0] < at[0] else {}
                shapes.append(svg.text(*spot, words, SMALL, **look, **halo(colours)))
            else:
                shapes += _label(name, count, p, scale, top + box[0], box[1], colours)
        parts.append(svg.group(shapes, told(plan, p)))
    end = length_text(_extent(place), plan.site.units) if place.kind == "bed" else ""
    if end and high >= LOWEST:
        parts.append(caption(scale.right + 5, top + 10, "0", colours))
        parts.append(caption(scale.right + 5, top + high, end, colours))
    return parts


def _beside(
    words: str, area: Corners, frame: Corners, taken: list[Corners]
) -> tuple[float, float] | None:
    """Return where a name stands beside an area too low for it; None where nothing is free.

    After its end, else before its begin. What the name covers is ``taken`` from then on. All in
    pixels; the place returned is of the baseline's end next to the area.
    """
    left, top, right, bottom = area
    middle, long = (top + bottom) / 2, text_width(words, SMALL) * OUR_FONT
    above, below = max(middle - 6, frame[1]), min(middle + 6, frame[3])
    for start, end, at in (
        (right + ASIDE, right + ASIDE + long, right + ASIDE),
        (left - ASIDE - long, left - ASIDE, left - ASIDE),
    ):
        inside = frame[0] + 2 <= start and end <= frame[2] - 2
        if inside and not any(
            a < end and start < c and b < below - 0.5 and above + 0.5 < d for a, b, c, d in taken
        ):
            taken.append((start, above, end, below))
            return at, (above + below) / 2 + 4
    return None


def _boxes(p: Planting, edge_m: float, per_unit: float) -> list[tuple[float, float]]:
    """Return where a planting stands down the block: tops and heights [px].

    A bed counts from its end, as a tape laid along the boards shows it.
    """
    if p.kind == "bed":
        return [((edge_m + p.strip_start_m) * per_unit, p.strip_length_m * per_unit)]
    return [((a - 1) * per_unit, (b - a + 1) * per_unit) for a, b in _runs(p)] or [(0.0, per_unit)]


def _runs(p: Planting) -> list[list[int]]:
    """Return the first and last hole or pot of each stretch without a gap between."""
    runs: list[list[int]] = []
    for slot in sorted(p.slots):
        if runs and slot == runs[-1][1] + 1:
            runs[-1][1] = slot
        else:
            runs.append([slot, slot])
    return runs


def _counts(p: Planting) -> list[str]:
    """Return the number of plants in each of its `_boxes`: ``"9"``, or ``"5 of 9"`` and the rest.

    One that takes several holes stands in the first of them; where pots have not all as many, the
    first have one more.
    """
    runs = _runs(p)
    if len(runs) < 2:
        return [str(p.plants)]
    each, over = divmod(p.plants, len(p.slots))
    apart = max(len(p.slots) // p.plants, 1)
    counts, so_far, slots = [], 0, 0
    for first, last in runs:
        slots += last - first + 1
        by_then = slots * each + min(slots, over) if each else min(-(-slots // apart), p.plants)
        counts.append(f"{by_then - so_far} of {p.plants}")
        so_far = by_then
    return counts


def _area(p: Planting, scale: Scale, y: float, high: float, colours: Palette) -> list[str]:
    left, ripe, right = (scale.x(d) for d in (p.occupies_from, p.harvest_start, gone(p)))
    return [
        svg.rect(left, y, ripe - left, high, fill=colours.grow),
        area("harvest", ripe, y, right - ripe, high, colours),
        svg.rect(left, y, right - left, high, fill="none", stroke=colours.grow_edge),
    ]


def _label(
    name: str, count: str, p: Planting, scale: Scale, y: float, high: float, colours: Palette
) -> list[str]:
    """Return name and number, or the name alone, where the area has room; a list has them all.

    Of one part of several the number stays, and the name is shortened.
    """
    room = scale.x(p.cleared) - scale.x(p.occupies_from) - 6
    size = SMALL if high >= NAMED else max(high - 1.5, 6.0)
    own, _, all_of_it = count.partition(" of ")
    tries = [f"{name} {words}" for words in dict.fromkeys((count, own))]
    words = next((one for one in tries if text_width(one, size) <= room), None)
    if words is None:
        number = f" {own}" if all_of_it else ""
        short = shorten(name, room - text_width(number, size), size)
        words = short + number if short else ""
    if high < LEAST_LETTERS or len(words) < 3:
        return []
    at = y + min(high / 2, 9.0) + size * 0.36
    left = scale.x(p.occupies_from)
    return [svg.text(left + 4, at, words, size, **halo(colours))]
