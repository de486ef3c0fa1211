"""What stands when the next season begins, as sowings that it can begin with."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date

from sowplan.growth.reasons import day_words
from sowplan.problem import Problem
from sowplan.records.crop import Crop
from sowplan.records.garden import FixedSowing, Garden, Raising, Where
from sowplan.season.carried.change import DAY, Change
from sowplan.season.days import plants_per_unit
from sowplan.season.plan import Plan, Planting
from sowplan.season.revise.own import SAME_SOWING_DAYS
from sowplan.season.settled import cannot_be

FEW = 0.5  # less than half a plant left is none
NOWHERE = Where("", "", None)


def left_standing(plan: Plan, change: Change) -> tuple[dict[str, int], dict[int, float]]:
    """Return how many plants of each batch stand, and what of begun periods is still to come.

    What serves a period that has begun before the day of change counts as brought in, as far as it
    was fit by then. The rest of a period under way is told by want, in its unit.
    """
    stands = {p.id: p for p in change.state.stands}
    fit = {p.id: _fit_plants(p, change) for p in change.state.stands}
    had: dict[str, float] = {}
    rest: dict[int, float] = {}
    for period in plan.wants:
        if period.start >= change.day:
            continue
        each = plants_per_unit(change.crops[period.crop], period.unit)
        for name, amount in period.served_by:
            if name in stands:
                now = min(amount * each, fit[name])
                fit[name] -= now
                had[name] = had.get(name, 0.0) + now
                if period.end >= change.day:
                    later = amount - now / each
                    rest[period.want] = rest.get(period.want, 0.0) + later
    left = {}
    for name, p in stands.items():
        gone = had.get(name, 0.0) if change.crops[p.crop].harvest == "once" else 0.0
        if change.stands(p) and p.plants - gone >= FEW:
            left[name] = round(p.plants - gone)
    return left, rest


def _fit_plants(p: Planting, change: Change) -> float:
    """Return the plants' yield of a batch that was fit to bring in before the day of change."""
    fit = sum(lot.amount for lot in p.lots if lot.ready < change.day)
    return fit / change.crops[p.crop].units_per_plant


def standing(
    change: Change, left: Mapping[str, int], safety: float
) -> tuple[tuple[FixedSowing, ...], set[str], tuple[str, ...]]:
    """Return what stands as sowings, the ids of its batches, and what cannot be handed on."""
    garden = change.garden
    order = [place.name for place in garden.places]
    found: dict[tuple, FixedSowing] = {}
    batches: dict[tuple, list[Planting]] = {}
    told = []
    for p in (p for p in change.state.stands if p.id in left):
        crop = change.crops[p.crop]
        if p.place not in order:
            told.append(f"{left[p.id]} {crop.name}: {p.place} is no more.")
            continue
        key = (order.index(p.place), p.sow, p.crop, p.raising, p.cover)
        many = left[p.id] + (found[key].plants if key in found else 0)
        goes_on = not p.in_vain and (change.goes_on(p) or change.is_open(p))
        until = None if goes_on else p.cleared - DAY
        if until is not None and key in found and found[key].until is not None:
            until = max(until, found[key].until)  # of several strips the last
        where = _row_of(p, change.state.was.get(p.id, p), garden)
        how = (p.place, _raising(p, crop), until, bool(p.in_vain), p.cover)
        found[key] = FixedSowing(p.crop, p.sow, many, where, *how)
        batches.setdefault(key, []).append(p)
    keys = sorted(found)
    handed = [(found[key], batches[key]) for key in keys]
    handed, refused = _placed(handed, left, change, safety)
    kept, ids = [], set()
    for n, (one, mine) in enumerate(handed):
        if n not in refused:
            kept.append(one)
            ids |= {p.id for p in mine}
        elif any(p.cleared > change.day for p in mine):  # else the plan has cleared it
            told.append(f"{one.plants} {change.crops[one.crop].name} in {one.place}: {refused[n]}")
    return tuple(kept), ids, tuple(told)


_Handed = list[tuple[FixedSowing, list[Planting]]]


def _placed(
    handed: _Handed, left: Mapping[str, int], change: Change, safety: float
) -> tuple[_Handed, dict[int, str]]:
    """Return the sowings as the next season can begin with them, and which it cannot, and why.

    Where one finds no room, what stands in its place is cleared when the plan has it so, strip by
    strip: for what follows there. What stands and gives nothing more until then stands even so.
    """
    refused = _refused(handed, change, safety)
    if not refused:
        return handed, {}
    full = {handed[n][0].place for n in refused}
    shorter = [
        part
        for one in handed
        for part in (_by_the_plan(*one, left, change) if one[0].place in full else [one])
    ]
    still = _refused(shorter, change, safety)
    if _plants(shorter, still) < _plants(handed, refused):
        handed, refused = shorter, still
    ends = {n: max(p.cleared for p in handed[n][1]) - DAY for n in refused}
    here = {n: min(p.occupies_from for p in handed[n][1]) < change.day <= ends[n] for n in refused}
    even_so = [
        (replace(one, until=ends[n], even_so=True) if here.get(n) else one, mine)
        for n, (one, mine) in enumerate(handed)
    ]
    still = _refused(even_so, change, safety) if any(here.values()) else refused
    if _plants(handed, still) < _plants(handed, refused):
        handed = [handed[n] if n in still else one for n, one in enumerate(even_so)]
        refused = still
    told = {n: problem.message for n, problem in refused.items()}
    return handed, told | {n: _stands_there(ends[n]) for n in refused if here.get(n)}


def _plants(handed: _Handed, numbers: Iterable[int]) -> int:
    return sum(handed[n][0].plants for n in numbers)


def _by_the_plan(
    one: FixedSowing, mine: list[Planting], left: Mapping[str, int], change: Change
) -> _Handed:
    """Return a sowing in as many parts as the plan has days on which it clears some of it.

    As it is where one of them has gone by, or is but the plan's end.
    """
    if any(p.cleared <= change.day or p.stands_on for p in mine):
        return [(one, mine)]
    parts: dict[date, list[Planting]] = {}
    for p in mine:
        parts.setdefault(p.cleared, []).append(p)
    return [
        (replace(one, plants=sum(left[p.id] for p in part), until=day - DAY), part)
        for day, part in sorted(parts.items())
    ]


def _stands_there(until: date) -> str:
    return (
        f"it stands there until {day_words(until)}, and no room was found for it beside the rest: "
        "see to it yourself."
    )


def _raising(p: Planting, crop: Crop) -> Raising | None:
    """Return how a batch was raised, where a sowing that does not say would be read otherwise."""
    usual = "in trays" if crop.usually_raised else "direct"
    return None if p.raising == usual else p.raising


def _row_of(p: Planting, was: Planting, garden: Garden) -> Where:
    """Return the gardener's own sowing that a batch is of, nowhere where the plan chose it."""
    rows = [
        (abs((row.day - was.sow).days), n)
        for n, row in enumerate(garden.sowings)
        if p.fixed and row.crop == p.crop and row.place in (None, p.place)
    ]
    apart, number = min(rows, default=(SAME_SOWING_DAYS + 1, -1))
    return garden.sowings[number].where if apart <= SAME_SOWING_DAYS else NOWHERE


def _refused(handed: _Handed, change: Change, safety: float) -> dict[int, Problem]:
    """Return the numbers of sowings that the next season cannot begin with, and why."""
    tried = tuple(
        replace(one, where=Where("", f"sowing {n}", None)) for n, (one, _) in enumerate(handed)
    )
    new = replace(change.garden, season=change.season, wants=(), sowings=tried, past=())
    problems = cannot_be(new, change.crops, safety)
    return {int(p.where.split(",")[0].split()[-1]): p for p in problems}
