"""What to do, day by day: a plan's dates as tasks.

Nothing is computed anew here: sowing, planting out, harvests and clearing have the plan's dates.
The days between (thinning, potting on, hardening off) follow the common practice noted beside
each constant.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from sowplan.season.plan import Plan, SkyDay
from sowplan.supply.advice import (
    after_sowing,
    cautions_of,
    how_to_clear,
    how_to_harvest,
    propagule,
    support_words,
)
from sowplan.supply.ground import Ground, grounds, occupies_from
from sowplan.supply.wording import (
    amount_text,
    count_text,
    day_text,
    depth_text,
    length_text,
    one_line,
)

TaskKind = Literal[
    "sow", "pot on", "harden off", "thin", "plant out", "harvest", "clear", "protect"
]

ORDER: tuple[TaskKind, ...] = (
    "protect", "harvest", "clear", "sow", "thin", "pot on", "harden off", "plant out",
)  # fmt: skip
"""The order of a day's work: what cannot wait, then ground is cleared before it is filled."""

# Common practice, no source.
THIN_AFTER_DAYS = 7  # seedlings can be told apart, and part without harm
THIN_WITHIN_DAYS = 7
POT_ON_FROM_DAYS = 35  # so long from emergence to planting out outgrows a cell
POT_ON_AT = 0.45  # of that time, when the first true leaves are out
HARDEN_DAYS = 7
HARDEN_DAYS_UNDER_COVER = 3  # a tunnel or glass is a half-way house by itself

FROST_WATCH = 0.02
"""Frost chance, one year in 50, from which fleece is kept at hand for tender plants.
The plan itself stays below the gardener's own risk; this is for the nights that remain."""


@dataclass(frozen=True)
class Task:
    """One job on one day (or from ``day`` to ``until``, where it may wait).

    ``id`` is the planting's id and the kind, with a number where a kind repeats;
    it never depends on the date, so that a moved task keeps its place in a calendar.
    """

    id: str
    kind: TaskKind
    day: date
    until: date
    planting: str
    crop: str
    place: str
    title: str
    details: str


def tasks(plan: Plan) -> tuple[Task, ...]:
    """Return every task of a season, sorted by day, then in the order of a day's work.

    Parameters
    ----------
    plan : Plan
        Any plan; tasks of a planting that ends with the season may fall on the day after it.
        What lies wholly before the season (of a planting that stands already) is left out.

    Returns
    -------
    tuple of Task
        Ids are unique. ``place`` is the place worked in: the tray while a crop is raised.
    """
    found = [task for ground in grounds(plan) for task in _of_planting(ground, plan.sky)]
    return tuple(sorted((t for t in found if t.until >= plan.site.start), key=_sort_key))


def _sort_key(task: Task) -> tuple[date, int, str, str, str]:
    return task.day, ORDER.index(task.kind), task.place, task.crop, task.id


def _of_planting(ground: Ground, sky: tuple[SkyDay, ...]) -> Iterator[Task]:
    yield _sow(ground)
    yield from _thin(ground)
    yield from _pot_on(ground)
    yield from _harden_off(ground)
    yield from _plant_out(ground)
    yield from _protect(ground, sky)
    yield from _harvests(ground)
    yield _clear(ground)


def _task(
    ground: Ground,
    kind: TaskKind,
    day: date,
    until: date,
    title: str,
    details: list[str],
    *,
    place: str | None = None,
    number: int | None = None,
) -> Task:
    """Return a task of a planting, its id made from the planting and the kind alone."""
    p = ground.planting
    mark = kind.replace(" ", "-") + (f"-{number}" if number is not None else "")
    text = " ".join(part for part in details if part)
    where = p.place if place is None else place
    return Task(f"{p.id}:{mark}", kind, day, max(day, until), p.id, p.crop, where, title, text)


def _sow(ground: Ground) -> Task:
    p, crop = ground.planting, ground.crop
    what = propagule(crop)
    verb = "Sow" if what == "seed" else "Plant"
    name = one_line(crop.name)
    depth = depth_text(crop.sowing_depth_mm, ground.units)
    each, all_told = count_text(crop.seeds_per_cell, what), count_text(p.seeds, what)
    up = f"Up about {day_text(p.emergence)}."
    if p.planting_out is None:
        details = [
            ground.rows,
            f"{each} a station, {depth}: {all_told} in all.",
            "Water in, and keep moist until it is up.",
            after_sowing(crop),
            up,
            f"First harvest about {day_text(p.harvest_start)}.",
        ]
        return _task(ground, "sow", p.sow, p.sow, f"{verb} {name}: {ground.short}", details)
    tray = one_line(p.tray or "tray")
    cells = count_text(p.cells, "cell")
    spare = p.cells - p.plants
    details = [
        f"{tray}: {cells}, {each} a cell, {depth}: {all_told} in all.",
        f"For {_plants(ground)}" + (f", {spare} to spare." if spare > 0 else "."),
        "Use plugs that fit the holes of the channel." if p.kind == "channel" else "",
        up,
        f"To be planted out about {day_text(p.planting_out)}: {ground.short}.",
    ]
    title = f"{verb} {name}: {cells}, {tray}"
    return _task(ground, "sow", p.sow, p.sow, title, details, place=p.tray or "")


def _thin(ground: Ground) -> Iterator[Task]:
    """Thin where more seedlings are likely to come up than are left to grow."""
    p, crop = ground.planting, ground.crop
    likely_up = crop.seeds_per_cell * crop.germination_percent / 100
    if likely_up < crop.plants_per_cell + 0.3:
        return
    end = p.planting_out or p.harvest_start
    day = min(p.emergence + timedelta(days=THIN_AFTER_DAYS), end - timedelta(days=1))
    if day <= p.emergence:
        return
    until = min(day + timedelta(days=THIN_WITHIN_DAYS), end - timedelta(days=1))
    left = "the strongest seedling" if crop.plants_per_cell == 1 else "the strongest seedlings"
    stay = f"Leave {left}, {crop.plants_per_cell} to a"
    snip = "and snip the others off, so that roots stay undisturbed."
    if p.planting_out:
        tray = one_line(p.tray or "tray")
        title = f"Thin {one_line(crop.name)}: {tray}"
        details = [f"{stay} cell, {snip}", f"{count_text(p.cells, 'cell')} on {tray}."]
        yield _task(ground, "thin", day, until, title, details, place=p.tray or "")
        return
    title = f"Thin {one_line(crop.name)}: {ground.short}"
    gap = length_text(crop.spacing_cm / 100, ground.units)
    details = [f"{stay} station, about {gap} apart, {snip}", "Water after."]
    yield _task(ground, "thin", day, until, title, details)


def _pot_on(ground: Ground) -> Iterator[Task]:
    p, crop = ground.planting, ground.crop
    if p.planting_out is None or crop.group != "fruiting":
        return
    raised = (p.planting_out - p.emergence).days
    if raised < POT_ON_FROM_DAYS:
        return
    day = p.emergence + timedelta(days=math.floor(raised * POT_ON_AT))
    pot = "4 in" if ground.units == "imperial" else "9 to 10 cm"
    details = [
        f"The {count_text(p.plants, 'best seedling')}, each to a pot of its own, {pot} across, "
        "when roots show below the cell and the first true leaves are out.",
        "They stay in the same warmth and light until hardened off.",
    ]
    title = f"Pot on {p.plants} {one_line(crop.name)}"
    until = day + timedelta(days=7)
    yield _task(ground, "pot on", day, until, title, details, place=p.tray or "")


def _harden_off(ground: Ground) -> Iterator[Task]:
    p = ground.planting
    if p.planting_out is None:
        return
    covered = ground.place.cover in ("tunnel", "glass")
    days = HARDEN_DAYS_UNDER_COVER if covered else HARDEN_DAYS
    day = max(p.planting_out - timedelta(days=days), p.emergence + timedelta(days=1))
    if day >= p.planting_out:
        return
    frost = " Bring them in when frost is forecast." if ground.crop.tender else ""
    details = [
        f"{_plants(ground)} from {one_line(p.tray or 'the tray')}: out in shelter for some hours "
        f"on the first day, longer each day, all night at the end.{frost}",
        f"Planting out {day_text(p.planting_out)}: {ground.short}.",
    ]
    title = f"Harden off {one_line(ground.crop.name)} until {day_text(p.planting_out)}"
    until = p.planting_out - timedelta(days=1)
    yield _task(ground, "harden off", day, until, title, details, place=p.tray or "")


def _plant_out(ground: Ground) -> Iterator[Task]:
    p, crop = ground.planting, ground.crop
    if p.planting_out is None:
        return
    details = [
        f"{_plants(ground)} from {one_line(p.tray or 'the tray')}.",
        ground.rows,
        support_words(crop),
        "Water in well." if p.kind != "channel" else "See that the film reaches every root.",
        f"First harvest about {day_text(p.harvest_start)}.",
    ]
    title = f"Plant out {p.plants} {one_line(crop.name)}: {ground.short}"
    yield _task(ground, "plant out", p.planting_out, p.planting_out, title, details)


def _harvests(ground: Ground) -> Iterator[Task]:
    p, crop = ground.planting, ground.crop
    name = one_line(crop.name)
    for number, lot in enumerate(p.lots, start=1):
        much = amount_text(lot.amount, crop.harvest_unit, ground.units)
        fit = f"fit from {day_text(lot.ready)} to {day_text(lot.last)}"
        if lot.ready == lot.last:
            fit = f"fit on {day_text(lot.ready)}"
        early_late = ""
        if number == 1 and p.harvest_start_early < p.harvest_start_late:
            early_late = (
                f"A forecast: from {day_text(p.harvest_start_early)} in an early year, "
                f"from {day_text(p.harvest_start_late)} in a late one."
            )
        details = [
            f"{ground.short}.",
            f"Expect {much}, {fit}.",
            how_to_harvest(crop, number, len(p.lots)),
            early_late,
            *(cautions_of(crop) if number == 1 else ()),
        ]
        title = f"Harvest {name}: {much}, {one_line(ground.place.name)}"
        yield _task(ground, "harvest", lot.ready, lot.last, title, details, number=number)


def _clear(ground: Ground) -> Task:
    p = ground.planting
    follows = ground.follows
    details = [
        how_to_clear(ground.crop),
        f"The ground is needed again on {day_text(occupies_from(follows))}." if follows else "",
    ]
    day = p.harvest_end + timedelta(days=1)
    title = f"Clear {one_line(ground.crop.name)}: {ground.short}"
    return _task(ground, "clear", day, p.cleared, title, details)


def _protect(ground: Ground, sky: tuple[SkyDay, ...]) -> Iterator[Task]:
    """Keep fleece at hand while a tender crop stands out and frost is still, or again, possible.

    A watch in the first half of the stay is number 1, one in the second half number 2,
    so that neither changes its name when the other comes or goes.
    """
    p, crop = ground.planting, ground.crop
    if not crop.tender or ground.place.cover == "glass":
        return
    start = p.planting_out or p.emergence
    cold = [d.day for d in sky if start <= d.day < p.cleared and d.frost_chance >= FROST_WATCH]
    middle = start + (p.cleared - start) / 2
    for number, half in (
        (1, [d for d in cold if d < middle]),
        (2, [d for d in cold if d >= middle]),
    ):
        if not half:
            continue
        first, last = half[0], half[-1]
        cover = {
            "none": "Cover with frost fleece in the evening, off again in the morning.",
            "fleece": "See that the fleece reaches the ground all round.",
        }.get(ground.place.cover, "Shut the tunnel in the evening, and lay fleece inside.")
        details = [
            f"{ground.short}.",
            f"Frost kills this crop. It is unlikely but possible from {day_text(first)} to "
            f"{day_text(last)}: watch the local forecast.",
            cover,
        ]
        title = f"Frost watch {one_line(crop.name)}: {one_line(ground.place.name)}"
        yield _task(ground, "protect", first, last, title, details, number=number)


def _plants(ground: Ground) -> str:
    """Return ``"9 plants"`` or ``"15 clumps of 6"``."""
    p, each = ground.planting, ground.crop.plants_per_cell
    return (
        count_text(p.plants, "plant") if each == 1 else f"{count_text(p.plants, 'clump')} of {each}"
    )
