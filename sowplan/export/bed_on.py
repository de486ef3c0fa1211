"""One place on one day: what stands in it row by row, what is free, what changes next."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from sowplan.bed.canopy import spread_on
from sowplan.export.pictures.standing import standing
from sowplan.export.pictures.words import where_in_place
from sowplan.export.print.marks import marks
from sowplan.records.built import closed_slices
from sowplan.season.plan import Plan, PlanCrop, PlanPlace, Planting
from sowplan.season.words import sown_word
from sowplan.supply.wording import UNDER, day_text, days_text, length_text, span_text, stations_text

CHANGES = 6
"""So many changes ahead are told."""
LEAST_FREE_M = 0.05


@dataclass(frozen=True)
class Batch:
    """One planting that stands there: its state in words, its marks, how wide [m], whether ripe."""

    planting: Planting
    crop: PlanCrop
    state: str
    marks: tuple[tuple[str, str], ...]
    now_m: float
    full_m: float
    ripe: bool


@dataclass(frozen=True)
class Free:
    """A bare stretch of a bed, measured from its end [m], and what comes into it and when."""

    start_m: float
    end_m: float
    until: date | None
    crop: str


@dataclass(frozen=True)
class Change:
    """Something that begins or ends in the place."""

    day: date
    words: str


@dataclass(frozen=True)
class BedOn:
    """A place on a day."""

    place: PlanPlace
    day: date
    batches: tuple[Batch, ...]
    free: tuple[Free, ...]
    changes: tuple[Change, ...]


def bed_on(plan: Plan, name: str, day: date) -> BedOn:
    """Return what stands in a place on a day.

    Parameters
    ----------
    plan : Plan
        A finished season.
    name : str
        The place, as the plan names it.
    day : date
        The day asked about.

    Returns
    -------
    BedOn
        Batches in their order along the place.

    Raises
    ------
    KeyError
        Where the plan has no such place.
    """
    place = plan.place(name)
    there = sorted(standing(plan, name, day), key=lambda p: (p.strip_start_m, p.slots, p.id))
    return BedOn(
        place,
        day,
        tuple(_batch(plan, p, day) for p in there),
        tuple(_free(plan, place, there, day)) if place.kind == "bed" else (),
        tuple(_changes(plan, name, day)),
    )


def mature_m(crop: PlanCrop) -> float:
    """Return the width of a full-grown plant among its like [m]: no wider than these let it be."""
    nearest = min(crop.spacing_cm, crop.row_spacing_cm)
    return min(crop.spread_cm, 1.25 * nearest) / 100


def _batch(plan: Plan, p: Planting, day: date) -> Batch:
    crop = plan.crop(p.crop)
    full = mature_m(crop)
    now = spread_on(day, full, p.emergence, p.planting_out, p.harvest_start, crop.harvest)
    told = tuple((what, where) for what, where in marks(plan, p)) if p.kind == "bed" else ()
    return Batch(p, crop, _state(p, crop, day), told, now, full, day >= p.harvest_start)


def _state(p: Planting, crop: PlanCrop, day: date) -> str:
    """Return where a planting is on its way: ``"planted out 3 October, ready from 5 November"``."""
    if p.planting_out is not None:
        begun = f"planted out {day_text(p.planting_out, weekday=False)}"
    else:
        begun = f"{sown_word(crop)} {day_text(p.sow, weekday=False)}"
        if day < p.emergence < p.cleared:
            begun += f", up about {day_text(p.emergence, weekday=False)}"
    begun += UNDER.get(p.cover, "")
    if p.in_vain:
        return f"{begun}; nothing to harvest: {p.in_vain}"
    if day < p.harvest_start:
        ripe = days_text(p.harvest_start, p.harvest_end)
        return f"{begun}; harvest about {ripe}"
    return f"{begun}; in harvest, to {day_text(p.harvest_end, weekday=False)}"


def _free(plan: Plan, place: PlanPlace, there: list[Planting], day: date) -> list[Free]:
    """Return the bare stretches of a bed, each with what is planned into it next."""
    edge, far = place.edge_m, place.length_m - place.edge_m
    taken = [(edge + p.strip_start_m, edge + p.strip_start_m + p.strip_length_m) for p in there]
    taken = sorted([*taken, *((edge + a, edge + b) for a, b, _ in closed_slices(place))])
    found, at = [], edge
    for start, end in [*taken, (far, far)]:
        if start - at >= LEAST_FREE_M:
            found.append((at, start))
        at = max(at, end)
    return [_until(plan, place, start, end, day) for start, end in found]


def _until(plan: Plan, place: PlanPlace, start: float, end: float, day: date) -> Free:
    nexts = [
        (p.occupies_from, p.crop)
        for p in plan.plantings
        if p.place == place.name
        and p.occupies_from > day
        and place.edge_m + p.strip_start_m < end - 1e-6
        and place.edge_m + p.strip_start_m + p.strip_length_m > start + 1e-6
    ]
    if not nexts:
        return Free(start, end, None, "")
    until, crop = min(nexts)
    return Free(start, end, until, plan.crop(crop).name)


def _changes(plan: Plan, name: str, day: date) -> list[Change]:
    """Return what begins and ends next in a place, the soonest first."""
    found: list[tuple[date, int, str]] = []
    for p in plan.plantings:
        if p.place != name:
            continue
        crop = plan.crop(p.crop)
        what = f"{crop.name} ({stations_text(p.plants, crop.plants_per_cell)})"
        verb = "planted out" if p.planting_out else sown_word(crop)
        ends = f"{what} stands on into next season" if p.stands_on else f"{what} is cleared"
        found += [
            (p.cleared, 0, ends),
            (p.occupies_from, 1, f"{what} is {verb}, {where_in_place(plan, p)}"),
        ]
        if not p.in_vain and p.harvest_start < p.cleared:
            found.append((p.harvest_start, 2, f"{what} is first fit to harvest"))
    ahead = sorted(one for one in found if one[0] > day)
    return [Change(when, words) for when, _, words in ahead[:CHANGES]]


def told(plan: Plan, found: BedOn) -> list[str]:
    """Return a place on a day in words, line by line; lines of detail begin with spaces."""
    units, lines = plan.site.units, []
    for number, batch in enumerate(found.batches, 1):
        p, crop = batch.planting, batch.crop
        many = stations_text(p.plants, crop.plants_per_cell)
        lines.append(f"{number}  {crop.name}, {many}, {where_in_place(plan, p)}")
        lines.append(f"   {batch.state}")
        lines.append(f"   {size_words(batch, units)}")
        lines += [f"   {what} {where}" for what, where in batch.marks]
        lines.append("")
    if not found.batches:
        lines += ["Nothing stands here.", ""]
    lines += [free_words(one, units) for one in found.free if found.batches or one.until]
    if found.changes:
        lines += ["", "What changes next"]
        lines += [f"  {day_text(c.day)}: {c.words}" for c in found.changes]
    else:
        lines += ["", "Nothing changes here after this in the season's plan."]
    return lines


def size_words(batch: Batch, units: str) -> str:
    """Return how wide each plant is: ``"about 12 cm wide now, 25 cm full-grown"``."""
    full = length_text(batch.full_m, units)
    if batch.now_m <= 0.0:
        return f"not up yet; {full} wide full-grown"
    if batch.now_m >= batch.full_m - 0.005:
        return f"full-grown, about {full} wide"
    return f"about {length_text(batch.now_m, units)} wide now, {full} full-grown"


def free_words(free: Free, units: str) -> str:
    """Return a bare stretch: ``"Free: 75-135 cm, until Thu 10 December (Dwarf French bean)."``."""
    span = span_text(free.start_m, free.end_m, units)
    if free.until is None:
        return f"Free: {span}, and nothing planned there."
    return f"Free: {span}, until {day_text(free.until)} ({free.crop})."
