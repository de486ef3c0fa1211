"""From seed to the planting in its place: sowing, thinning, potting on, planting out.

What is bought begins with buying it; hardening off is in `hardening`.

Sowing has the plan's day. Planting out has it too, but for a gardener whose next working day is
close. The days between follow the common practice noted beside each constant.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from sowplan.records.crop import POTTED_ON
from sowplan.season.plan import Plan, Planting
from sowplan.season.words import propagule
from sowplan.supply.advice import after_sowing, bound_to_fail, laid_over, support_words
from sowplan.supply.buying import buy
from sowplan.supply.ground import Ground, overlap, where_they_go
from sowplan.supply.hardening import harden_off
from sowplan.supply.task import Task, job
from sowplan.supply.wording import (
    count_text,
    day_text,
    depth_text,
    length_text,
    one_line,
    stations_text,
)
from sowplan.supply.workdays import Workdays

# Common practice, no source.
THIN_AFTER_DAYS = 7  # seedlings can be told apart, and part without harm
THIN_WITHIN_DAYS = 7
POT_ON_FROM_DAYS = 35  # so long from emergence to planting out outgrows a cell
POT_ON_AT = 0.45  # of that time, when the first true leaves are out
POT_ON_WITHIN_DAYS = 7

PLANT_OUT_LATER_DAYS = 3  # a seedling waits so long without harm
PLANT_OUT_EARLIER_DAYS = 1


def planting_out_days(plan: Plan, workdays: Workdays, frost: dict[date, float]) -> dict[str, date]:
    """Return the day on which each raised planting is planted out.

    It is the plan's, or a working day of the gardener's at most `PLANT_OUT_EARLIER_DAYS` before
    or `PLANT_OUT_LATER_DAYS` after it. Earlier, only where the ground is free by then; later, only
    where the cells are not needed before; and to no day on which frost is likelier to kill it. What
    is bought has a day of the gardener's already.

    Parameters
    ----------
    plan : Plan
        Any plan.
    workdays : Workdays
        The gardener's days.
    frost : dict of date to float
        Chance of frost by day.
    """
    tender = {crop.key: crop.tender for crop in plan.crops}
    by_place: dict[str, list[Planting]] = {}
    by_tray: dict[str | None, list[date]] = {}
    for p in plan.plantings:
        by_place.setdefault(p.place, []).append(p)
        by_tray.setdefault(p.tray, []).append(p.sow)
    found = {}
    for p in plan.plantings:
        if p.planting_out is None:
            continue
        found[p.id] = out = p.planting_out
        for day in () if p.bought else _near(p, out, workdays):
            colder = tender[p.crop] and frost.get(day, 0.0) > frost.get(out, 0.0)
            full = any(out <= sow < day for sow in by_tray[p.tray])
            if not (colder or full or _taken(p, day, out, by_place[p.place])):
                found[p.id] = day
                break
    return found


def _near(p: Planting, out: date, workdays: Workdays) -> list[date]:
    """Return the working days about a planting out, the day itself first, then later ones."""
    by = min(out + timedelta(days=PLANT_OUT_LATER_DAYS), p.harvest_start)
    early = max(out - timedelta(days=PLANT_OUT_EARLIER_DAYS), p.emergence + timedelta(days=1))
    return workdays.within(out, by) + workdays.within(early, out - timedelta(days=1))


def _taken(p: Planting, day: date, out: date, there: list[Planting]) -> bool:
    """Return whether something else still stands on a planting's ground on an earlier day."""
    return day < out and any(q is not p and day < q.cleared <= out and overlap(p, q) for q in there)


def raising(
    ground: Ground, out: date | None, workdays: Workdays, since: date = date.min
) -> Iterator[Task]:
    """Yield the jobs of one planting from sowing, or buying, to planting out on a day.

    ``since`` is the season's first day, before which nothing is bought.
    """
    if ground.planting.bought:
        yield buy(ground, workdays, since)
    else:
        yield _sow(ground, out)
        yield from _thin(ground, out, workdays)
        yield from _pot_on(ground, out, workdays)
        yield from harden_off(ground, out, workdays)
    yield from _plant_out(ground, out)


def _sow(ground: Ground, out: date | None) -> Task:
    p, crop = ground.planting, ground.crop
    what = propagule(crop)
    verb = "Sow" if what == "seed" else "Plant"
    name = one_line(crop.name)
    depth = depth_text(crop.sowing_depth_mm, ground.units)
    each, all_told = count_text(crop.seeds_per_cell, what), count_text(p.seeds, what)
    if out is None:
        details = [
            ground.rows,
            f"{each} a station, {depth}: {all_told} in all.",
            "Water in, and keep moist until it is up.",
            after_sowing(crop),
            laid_over(p),
            _up([p]),
            _first_harvest(p),
        ]
        return job(ground, "sow", p.sow, p.sow, f"{verb} {name}: {ground.short}", details)
    tray, cells = one_line(p.tray or "tray"), count_text(p.cells, "cell")
    title = f"{verb} {name}: {cells}, {tray}"
    details = in_tray([(ground, out)])
    return job(ground, "sow", p.sow, p.sow, title, details, place=p.tray or "", size=p.cells)


def in_tray(sown: Sequence[tuple[Ground, date]]) -> list[str]:
    """Return what is said of one sowing of one crop in one tray, in however many strips it is.

    Parameters
    ----------
    sown : sequence of (Ground, date)
        Where its plantings are going to stand, and the day on which each is planted out.

    Returns
    -------
    list of str
        Sentences: cells, seeds and plants of all together, then where they go and when.
    """
    first, crop = sown[0][0], sown[0][0].crop
    plantings = [ground.planting for ground, _ in sown]
    what = propagule(crop)
    cells, plants, seeds = (
        sum(getattr(p, name) for p in plantings) for name in ("cells", "plants", "seeds")
    )
    each, all_told = count_text(crop.seeds_per_cell, what), count_text(seeds, what)
    depth = depth_text(crop.sowing_depth_mm, first.units)
    tray = one_line(first.planting.tray or "tray")
    spare = f", {cells - plants} to spare" if cells > plants else ""
    channel = any(p.kind == "channel" for p in plantings)
    return [
        f"{tray}: {count_text(cells, 'cell')}, {each} a cell, {depth}: {all_told} in all.",
        f"For {stations_text(plants, crop.plants_per_cell)}{spare}.",
        "Use plugs that fit the holes of the channel." if channel else "",
        _up(plantings),
        f"To be planted out about {where_they_go(sown)}.",
        next(filter(None, map(bound_to_fail, plantings)), ""),
    ]


def _up(plantings: Sequence[Planting]) -> str:
    """Return when a sowing is up; nothing of one that will not be."""
    day = min(plantings, key=lambda p: p.emergence)
    return f"Up about {day_text(day.emergence)}." if day.emergence < day.cleared else ""


def _thin(ground: Ground, out: date | None, workdays: Workdays) -> Iterator[Task]:
    """Thin where more seedlings are likely to come up than are left to grow."""
    p, crop = ground.planting, ground.crop
    likely_up = crop.seeds_per_cell * crop.germination_percent / 100
    if likely_up < crop.plants_per_cell + 0.3:
        return
    end = out or p.harvest_start
    first = min(p.emergence + timedelta(days=THIN_AFTER_DAYS), end - timedelta(days=1))
    if first <= p.emergence:
        return
    until = workdays.there_again(first + timedelta(days=THIN_WITHIN_DAYS))
    until = min(until, end - timedelta(days=1))
    day = workdays.earliest(first, until, first)
    if out:
        title = f"Thin {one_line(crop.name)}: {one_line(p.tray or 'tray')}"
        details = thinned([(ground, out)])
        yield job(ground, "thin", day, until, title, details, place=p.tray or "")
        return
    title = f"Thin {one_line(crop.name)}: {ground.short}"
    gap = length_text(crop.spacing_cm / 100, ground.units)
    details = [f"{_stay(ground)} station, about {gap} apart.", _SNIP, "Water after."]
    yield job(ground, "thin", day, until, title, details)


_SNIP = "Snip the others off, so that roots stay undisturbed."


def _stay(ground: Ground) -> str:
    each = ground.crop.plants_per_cell
    return f"Leave the strongest {'seedling' if each == 1 else 'seedlings'}, {each} to a"


def thinned(sown: Sequence[tuple[Ground, date]]) -> list[str]:
    """Return what is said of thinning one crop in one tray, in however many strips it will be."""
    ground = sown[0][0]
    cells = sum(one.planting.cells for one, _ in sown)
    tray = one_line(ground.planting.tray or "tray")
    return [f"{_stay(ground)} cell.", _SNIP, f"{count_text(cells, 'cell')} on {tray}."]


def _pot_on(ground: Ground, out: date | None, workdays: Workdays) -> Iterator[Task]:
    p, crop = ground.planting, ground.crop
    if out is None or p.planting_out is None or crop.group != POTTED_ON:
        return
    raised = (p.planting_out - p.emergence).days
    if raised < POT_ON_FROM_DAYS:
        return
    first = p.emergence + timedelta(days=math.floor(raised * POT_ON_AT))
    until = workdays.there_again(first + timedelta(days=POT_ON_WITHIN_DAYS))
    day = workdays.earliest(first, until, first)
    pot = "4 in" if ground.units == "imperial" else "9 to 10 cm"
    details = [
        f"The {count_text(p.plants, 'best seedling')}, each to a pot of its own, {pot} across, "
        "when roots show below the cell and the first true leaves are out.",
        "They stay in the same warmth and light until hardened off.",
        f"They wait for their place until about {day_text(p.planting_out)}: into larger pots when "
        "roots fill these."
        if p.held
        else "",
        bound_to_fail(p),
    ]
    title = f"Pot on {p.plants} {one_line(crop.name)}"
    yield job(ground, "pot on", day, until, title, details, place=p.tray or "", size=p.plants)


def _plant_out(ground: Ground, out: date | None) -> Iterator[Task]:
    p, crop = ground.planting, ground.crop
    if out is None:
        return
    source = "" if p.bought else f" from {one_line(p.tray or 'the tray')}"
    details = [
        f"{_plants(ground)}{source}.",
        ground.rows,
        support_words(crop),
        "Water in well." if p.kind != "channel" else "See that the film reaches every root.",
        laid_over(p),
        _first_harvest(p),
    ]
    title = f"Plant out {p.plants} {one_line(crop.name)}: {ground.short}"
    yield job(ground, "plant out", out, out, title, details, size=p.plants)


def _first_harvest(p: Planting) -> str:
    if p.in_vain:
        return bound_to_fail(p)
    return f"First harvest about {day_text(p.harvest_start)}."


def _plants(ground: Ground) -> str:
    """Return ``"9 plants"`` or ``"15 clumps of 6"``."""
    return stations_text(ground.planting.plants, ground.crop.plants_per_cell)
