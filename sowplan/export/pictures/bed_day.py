"""The beds on one day, all to one scale: what stands where, plant by plant."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby, pairwise

from sowplan.export.pictures import svg
from sowplan.export.pictures.bed_built import kept_words, sides_of
from sowplan.export.pictures.bed_names import LINE, Key, key_below, key_of, plate
from sowplan.export.pictures.covers import cover_sign
from sowplan.export.pictures.hatch import Box, area
from sowplan.export.pictures.lettering import shorten
from sowplan.export.pictures.lettering import width as text_width
from sowplan.export.pictures.scale import caption
from sowplan.export.pictures.standing import ground_of, standing, stations
from sowplan.export.pictures.style import SMALL, TEXT, Palette, palette
from sowplan.export.pictures.words import (
    crop_names,
    day_month_year,
    place_size,
    where_in_place,
)
from sowplan.season.plan import Plan, PlanPlace, Planting
from sowplan.supply.wording import UNDER

HEAD, APART = 20.0, 18.0  # room for a place's name, and below each line of places [px]
TIGHT_HEAD, TIGHT_APART = 16.0, 8.0  # where places are many
SLOT = 18.0  # a hole or pot [px]
TOO_CLOSE = 2.6  # px between dots below which they run together


@dataclass(frozen=True)
class Below:
    """What a place has below its frame: lines of words, or letters with their key [px]."""

    high: float = 0.0
    wide: float = 0.0


@dataclass(frozen=True)
class Spot:
    """A place's frame in the picture [px]; its name stands above, its key may stand below."""

    place: PlanPlace
    x: float
    y: float
    width: float
    height: float
    room: float


def beds_on_svg(
    plan: Plan,
    day: date,
    places: Sequence[str] | None = None,
    dark: bool = False,
    width: float = 720.0,
    px_per_m: float | None = None,
    bare: bool = False,
    tight: bool = False,
) -> str:
    """Draw places on a day, side by side where they fit.

    Parameters
    ----------
    plan : Plan
        A finished season.
    day : date
        The day shown.
    places : sequence of str, optional
        Only these, in this order.
    dark : bool
        Light ink on dark paper.
    width : float
        Width [px].
    px_per_m : float, optional
        Scale of the beds; otherwise the largest bed fills half the width.
    bare : bool
        Without paper of its own, for a print.
    tight : bool
        The lines of places close to one another.

    Returns
    -------
    str
        An SVG document.
    """
    colours = palette(dark)
    chosen = plan.places if places is None else [plan.place(name) for name in places]
    scale = px_per_m or scale_for(plan, width)
    below = below_on(plan, day, chosen, width, scale)
    spots, height = arrange(chosen, width, scale, below, tight)
    parts = [part for spot in spots for part in _spot(plan, spot, day, colours)]
    told = told_on(plan, day, chosen)
    return svg.document(
        width, height, f"The beds on {day_month_year(day)}", told, parts, colours,
        name=f"beds-{day.isoformat()}", bare=bare,
    )  # fmt: skip


def told_on(plan: Plan, day: date, places: Sequence[PlanPlace]) -> str:
    """Say in words what stands in places on a day."""
    names = crop_names(plan)
    told = []
    for place in places:
        there = [
            f"{p.plants} {names[p.crop].name}{UNDER.get(p.cover, '')}"
            for p in standing(plan, place.name, day)
        ]
        apart = "; " if any(", " in words for words in there) else ", "
        told.append(f"{place.name}: {apart.join(there) or 'empty'}.")
    return " ".join(told)


def beds_key_svg(dark: bool = False, covers: Sequence[str] = ()) -> str:
    """Draw the key to beds on a day, on one line, as tall as two of its letters.

    ``covers`` are those laid over single sowings.
    """
    colours = palette(dark)
    edge = {"stroke": colours.grow_edge}
    bare = {"fill": "none", "stroke": colours.edge, "stroke_dasharray": "2 3"}
    samples = (
        (svg.rect(0.5, 4, 20, 10, fill=colours.grow, **edge), 26, "growing"),
        (area("harvest", 0.5, 4, 20, 10, colours, **edge), 26, "harvest"),
        (svg.rect(0.5, 4, 20, 10, **bare), 26, "room in its rows"),
        (svg.text(0, 13, "12", SMALL), 17, "number of plants"),
        *(("".join(cover_sign(one, (-1, 0, 24, 18), colours)), 28, one) for one in covers),
    )
    parts, at = [], 0.0
    for mark, beside, words in samples:
        parts.append(svg.group([mark], transform=f"translate({svg.number(at)} 0)"))
        parts.append(caption(at + beside, 13, words, colours))
        at += beside + text_width(words, SMALL) + 14
    return svg.document(
        at - 13, 18, "Key to the beds", "", parts, colours, name="beds-key", bare=True
    )


def scale_for(plan: Plan, width: float) -> float:
    """Return pixels a metre: the longest bed half as wide as the picture, none absurdly large."""
    longest = max((p.length_m for p in plan.places if p.kind == "bed"), default=1.0)
    return min((width - APART - 2) / 2 / longest, 160.0)


def below_on(
    plan: Plan, day: date, places: Sequence[PlanPlace], width: float, px_per_m: float
) -> dict[str, Below]:
    """Return what stands below each place on a day: names under channels and pots, a bed's key.

    ``width`` is that of the picture [px], in which no bed is drawn longer than that.
    """
    found = {}
    for place in places:
        there = standing(plan, place.name, day)
        if place.kind == "bed":
            wide, deep = _bed_size(place, px_per_m, width - 1)
            key = _key(plan, place, there, wide, deep)
            found[place.name] = Below(key.high, key.wide)
        else:
            found[place.name] = Below(len(there) * LINE)
    return found


def arrange(
    places: Sequence[PlanPlace],
    width: float,
    px_per_m: float,
    below: Mapping[str, Below],
    tight: bool = False,
) -> tuple[list[Spot], float]:
    """Set places out in lines as text is set; return their frames and the height used.

    ``below`` tells what room each place needs below its frame, by name; none where it is silent.
    """
    head, apart = (TIGHT_HEAD, TIGHT_APART) if tight else (HEAD, APART)
    spots, x, y, deepest = [], 0.5, 0.0, 0.0
    for place in places:
        under = below.get(place.name, Below())
        wide, deep = _size(place, px_per_m, width - 1)
        room = min(max(wide, under.wide), width - 1)
        if x > 1 and x + room > width:
            x, y, deepest = 0.5, y + deepest + head + apart, 0.0
        spots.append(Spot(place, x, y + head, wide, deep, room))
        x += room + APART
        deepest = max(deepest, deep + under.high)
    return spots, y + head + deepest + 2


def _size(place: PlanPlace, px_per_m: float, room: float) -> tuple[float, float]:
    if place.kind == "bed":
        return _bed_size(place, px_per_m, room)
    count = (place.holes if place.kind == "channel" else place.count) or 1
    in_line = max(min(count, int(room // SLOT)), 1)
    lines = -(-count // in_line)
    return max(in_line * SLOT, min(180.0, room)), lines * SLOT + 4


def _bed_size(bed: PlanPlace, px_per_m: float, room: float) -> tuple[float, float]:
    wide = max(bed.length_m * px_per_m, 60.0)
    return min(wide, room), max(bed.width_m * px_per_m, 16.0)


def _key(
    plan: Plan, bed: PlanPlace, there: Sequence[Planting], wide: float, deep: float
) -> Key:  # fmt: skip
    """Return the key of a bed drawn so wide and deep [px]: of strips too narrow for their names."""
    per_m = wide / bed.length_m
    high = deep - 2 * bed.edge_m * per_m
    names = crop_names(plan)
    strips = [
        (names[p.crop].name, p.plants, (bed.edge_m + p.strip_start_m) * per_m,
         p.strip_length_m * per_m)
        for p in there
    ]  # fmt: skip
    return key_of(strips, high, wide)


def _spot(plan: Plan, spot: Spot, day: date, colours: Palette) -> list[str]:
    place = spot.place
    name = shorten(place.name, spot.width, TEXT, True)
    parts = [svg.text(spot.x, spot.y - 5, name, font_weight=600)]
    after = text_width(name, TEXT, True) + 8
    size = place_size(place, plan.site.units)
    kept = kept_words(place)
    for words in (f"{size}; {kept}" if kept else size, size):
        if text_width(words, SMALL) <= spot.width - after:
            parts.append(caption(spot.x + after, spot.y - 5, words, colours))
            break
    there = standing(plan, place.name, day)
    if place.kind == "bed":
        for p in there:
            parts += _strip(plan, spot, p, day, colours)
        parts += sides_of(place, spot.x, spot.y, spot.width, spot.height, colours)
        key = _key(plan, place, there, spot.width, spot.height)
        parts += key_below(key, spot.x, spot.y + spot.height, colours)
    else:
        parts += _slots(plan, spot, there, day, colours)
    return parts


def _fill(p: Planting, day: date, colours: Palette) -> str:
    return colours.harvest if day >= p.harvest_start else colours.grow


def _strip(plan: Plan, spot: Spot, p: Planting, day: date, colours: Palette) -> list[str]:
    """Return a strip across a bed, its plants as dots, its name on a plate.

    Where its rows have room for more plants the ground is left bare within a broken line.
    """
    place = spot.place
    per_m = spot.width / place.length_m
    left = spot.x + (place.edge_m + p.strip_start_m) * per_m
    wide = p.strip_length_m * per_m
    top, high = spot.y + place.edge_m * per_m, spot.height - 2 * place.edge_m * per_m
    taken = [
        (spot.x + x0 * per_m, spot.y + y0 * per_m, (x1 - x0) * per_m, (y1 - y0) * per_m)
        for x0, x1, y0, y1 in ground_of(plan, p)
    ]
    parts = []
    if sum(box[2] * box[3] for box in taken) < 0.999 * wide * high:
        look = {"fill": "none", "stroke": colours.edge, "stroke_dasharray": "2 3"}
        parts.append(svg.rect(left, top, wide, high, **look))
    if day >= p.harvest_start:
        parts.append(_whole(taken, p.along, fill=colours.harvest))  # no seams between the boxes
        parts += [area("harvest", *box, colours) for box in taken]
        parts.append(_whole(taken, p.along, fill="none", stroke=colours.grow_edge))
    else:
        parts.append(_whole(taken, p.along, fill=colours.grow, stroke=colours.grow_edge))
    crop = plan.crop(p.crop)
    radius = min(max(crop.spacing_cm / 100 * per_m * 0.16, 0.7), 3.0)
    spots = [(spot.x + x * per_m, spot.y + y * per_m) for x, y in stations(plan, p)]
    parts.append(plant_marks(spots, radius, colours.grow_edge, p.along))
    parts += cover_sign(p.cover, (left, top, wide, high), colours)
    return parts + plate(crop.name, p.plants, (left, top, wide, high), spots, colours)


def _whole(taken: Sequence[Box], along: bool, **look: object) -> str:
    """Return ground taken row by row as one shape, each row as far as its plants reach."""
    near, far = [], []
    for x, y, wide, high in taken:
        ends = [(x, y), (x + wide, y), (x, y + high), (x + wide, y + high)]
        near += [ends[0], ends[2]] if along else ends[:2]
        far += [ends[1], ends[3]] if along else ends[2:]
    return svg.path(near + far[::-1], True, **look) if taken else ""


def plant_marks(
    spots: list[tuple[float, float]], radius: float, colour: str, along: bool = False
) -> str:
    """Return plants as dots; rows whose dots would run together are drawn as lines.

    ``spots`` [px] stand row by row, a row having one x; of rows ``along`` the bed one y, and the
    first plants of all rows come before the second ones.
    """
    look = {"stroke": colour, "fill": "none", "stroke_linecap": "round"}
    if not spots:
        return ""
    if len(spots) == 1:  # in print a path of one point makes nothing
        ((x, y),) = spots
        return svg.element("circle", None, cx=x, cy=y, r=radius, fill=colour)
    if along:
        spots = sorted(spots, key=lambda one: (round(one[1], 3), one[0]))
    run = 0 if along else 1
    rows = [list(row) for _, row in groupby(spots, key=lambda one: round(one[1 - run], 3))]
    gap = min((b[run] - a[run] for row in rows for a, b in pairwise(row)), default=TOO_CLOSE)
    if gap >= TOO_CLOSE:
        d = "".join(f"M{svg.number(x)} {svg.number(y)}h0" for x, y in spots)
        return svg.element("path", None, d=d, stroke_width=2 * radius, **look)
    d = "".join(
        f"M{svg.number(row[0][0])} {svg.number(row[0][1])}{'VH'[along]}{svg.number(row[-1][run])}"
        for row in rows
    )
    return svg.element("path", None, d=d, stroke_width=radius, **look)


def _slots(plan: Plan, spot: Spot, there: list[Planting], day: date, colours: Palette) -> list[str]:
    """Return holes or pots as numbered rings, the taken ones filled, the batches named below."""
    place = spot.place
    count = (place.holes if place.kind == "channel" else place.count) or 1
    in_line = max(min(count, int(spot.width // SLOT)), 1)
    holder = {slot: p for p in there for slot in p.slots}
    parts = []
    for slot in range(1, count + 1):
        line, column = divmod(slot - 1, in_line)
        x, y = spot.x + (column + 0.5) * SLOT, spot.y + (line + 0.5) * SLOT
        p = holder.get(slot)
        fill = _fill(p, day, colours) if p else "none"
        look = {"stroke": colours.grow_edge if p else colours.edge}
        if p and day >= p.harvest_start:  # without colours a heavier ring tells it
            look = {"stroke": colours.harvest_edge, "stroke_width": 1.8}
        parts.append(svg.element("circle", None, cx=x, cy=y, r=7.5, fill=fill, **look))
        quiet = None if p else colours.quiet
        parts.append(svg.text(x, y + 3, str(slot), 8.5, text_anchor="middle", fill=quiet))
    by_slot = sorted(there, key=lambda p: min(p.slots, default=0))
    words = [f"{where_in_place(plan, p).capitalize()}: {plan.crop(p.crop).name}" for p in by_slot]
    y = spot.y + -(-count // in_line) * SLOT + 13
    for n, line in enumerate(words):
        shown = shorten(line, spot.width, SMALL)
        parts.append(svg.text(spot.x, y + n * LINE, shown, SMALL))
    return parts
