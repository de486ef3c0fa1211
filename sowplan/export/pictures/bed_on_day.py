"""One place on one day: a bed as a plan to scale, a channel or pots as numbered rings."""

from __future__ import annotations

import numpy as np

from sowplan.bed.as_built import keep_outs_of, outline_of
from sowplan.bed.marks import Units
from sowplan.export.bed_on import Batch, BedOn
from sowplan.export.pictures import svg
from sowplan.export.pictures.bed_crops import (
    LEFT,
    MARKS,
    RIGHT,
    Patch,
    crop_list,
    look_of,
    numbered,
    plant_mark,
)
from sowplan.export.pictures.bed_plan import BedView, bed_plan_svg
from sowplan.export.pictures.bed_rulers import WIDE
from sowplan.export.pictures.lettering import shorten
from sowplan.export.pictures.standing import stations
from sowplan.export.pictures.style import HEAD, SMALL, hatches, palette
from sowplan.export.pictures.words import place_size, where_in_place
from sowplan.season.plan import Plan
from sowplan.season.words import listed
from sowplan.supply.wording import day_text

SLOT = 36.0
"""A hole or pot and the room about it [px]."""


def bed_on_svg(plan: Plan, found: BedOn, dark: bool = False, bare: bool = False) -> str:
    """Return the plan view of a bed on a day.

    Parameters
    ----------
    plan : Plan
        A finished season.
    found : BedOn
        A bed of it on a day, from `sowplan.export.bed_on.bed_on`.
    dark : bool
        Light ink on dark paper.
    bare : bool
        Without paper of its own, for a page or a print.

    Returns
    -------
    str
        An SVG document.
    """
    bed, units = found.place, plan.site.units
    starts = [bed.edge_m + b.planting.strip_start_m for b in found.batches]
    ends = [
        bed.edge_m + b.planting.strip_start_m + b.planting.strip_length_m for b in found.batches
    ]
    inside = {round(m, 4) for m in starts + ends if bed.edge_m < m < bed.length_m - bed.edge_m}
    outline = outline_of(bed)
    view = BedView(
        title=bed.name,
        subtitle=f"{day_text(found.day, year=True)}, {place_size(bed, units)}",
        length_m=bed.length_m,
        width_m=bed.width_m,
        patches=tuple(_patch(plan, batch, units) for batch in found.batches),
        outline=None if outline is None else outline.corners(),
        keep_outs=tuple(thing.corners() for thing in keep_outs_of(bed)),
        kept=listed([thing.label for thing in bed.keep_outs if thing.label]),
        bearing_deg=bed.bearing_deg,
        units=units,
        strips=tuple(sorted(inside)),
        side_note=_after(found),
        whole=True,
        name=f"bed-{found.day.isoformat()}",
    )
    return bed_plan_svg(view, palette(dark), bare)


def _patch(plan: Plan, batch: Batch, units: Units) -> Patch:
    p, crop = batch.planting, batch.crop
    bed = plan.place(p.place)
    start = bed.edge_m + p.strip_start_m
    clumps = f", clumps of {crop.plants_per_cell}" if crop.plants_per_cell > 1 else ""
    return Patch(
        f"{crop.name}{clumps}",
        np.array(stations(plan, p)).reshape(-1, 2),
        batch.full_m,
        where_in_place(plan, p),
        batch.now_m,
        (batch.state, *(f"{what} {where}" for what, where in batch.marks)),
        along=p.along,
        ripe=batch.ripe,
        cover=p.cover,
        ground=(start, start + p.strip_length_m, bed.edge_m, bed.width_m - bed.edge_m),
    )


def slots_on_svg(plan: Plan, found: BedOn, dark: bool = False) -> str:
    """Return a channel or a set of pots on a day: a numbered ring a hole, marked with its crop.

    Parameters
    ----------
    plan : Plan
        A finished season.
    found : BedOn
        A channel or pots of it on a day.
    dark : bool
        Light ink on dark paper.
    """
    colours, place = palette(dark), found.place
    count = (place.holes if place.kind == "channel" else place.count) or 1
    in_line = max(1, min(count, int((WIDE - 16 - RIGHT) // SLOT)))
    holder = {slot: n for n, b in enumerate(found.batches) for slot in b.planting.slots}
    patches = [_slot_patch(plan, batch) for batch in found.batches]
    numbers, name = numbered(patches), f"place-{found.day.isoformat()}"
    title = f"{place.name} on {day_text(found.day, year=True)}"
    parts = [
        svg.text(16, 28, place.name, HEAD + 2, font_weight=600),
        svg.text(
            16,
            47,
            f"{day_text(found.day, year=True)}, {place_size(place, plan.site.units)}",
            fill=colours.quiet,
        ),
    ]
    for slot in range(1, count + 1):
        line, column = divmod(slot - 1, in_line)
        x, y = 16 + (column + 0.5) * SLOT, 78 + line * (SLOT + 16)
        n = holder.get(slot)
        fill, rim = "none", colours.edge
        if n is not None:
            fill, rim = look_of(numbers[n], patches[n], colours, name)
        parts.append(svg.element("circle", None, cx=x, cy=y, r=SLOT / 2 - 3, fill=fill, stroke=rim))
        if n is not None:
            parts.append(plant_mark(MARKS[numbers[n] % len(MARKS)], x, y, 3.2, colours.ink))
        parts.append(
            svg.text(
                x, y + SLOT / 2 + 9, str(slot), SMALL, text_anchor="middle", fill=colours.quiet
            )
        )
    bottom = 78 + -(-count // in_line) * (SLOT + 16)
    if _after(found):
        note = shorten(_after(found), WIDE - LEFT - 16, SMALL)
        parts.append(svg.text(LEFT, bottom + 6, note, SMALL, fill=colours.quiet))
        bottom += 18
    listed, end = crop_list(patches, bottom + 14, colours, name)
    told = ", ".join(f"{len(p.positions)} {p.label}" for p in patches) or "empty"
    defs = hatches(colours, f"{name}-", ("harvest",))
    return svg.document(WIDE, end, title, told, parts + listed, colours, defs, name)


def _slot_patch(plan: Plan, batch: Batch) -> Patch:
    """Return a batch for the list; its positions only say how many there are."""
    p = batch.planting
    none = np.zeros((p.plants, 2))
    where = where_in_place(plan, p)
    return Patch(batch.crop.name, none, 0.0, where, None, (batch.state,), ripe=batch.ripe)


def _after(found: BedOn) -> str:
    """Return the next change in one line, or that there is none."""
    if not found.batches:
        return "Nothing stands here on this day."
    if not found.changes:
        return ""
    first = found.changes[0]
    same = sum(change.day == first.day for change in found.changes) - 1
    more = f", and {same} more" if same else ""
    return f"Next: {day_text(first.day)}: {first.words}{more}."
