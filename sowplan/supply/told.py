"""A plan as the diary has it until it is revised: what was not sown, lost, or cleared early.

The days stay those of the plan; what is to be done on them is only what is there to do it to.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date

from sowplan.records.diary import Entry
from sowplan.season.plan import Plan, Planting
from sowplan.season.revise.happened import NOTHING, Happened, happened_to
from sowplan.season.revise.left import Giving, after_losses, givings, slots_left
from sowplan.supply.picks import NOTHING as NO_AMOUNT
from sowplan.supply.picks import Pick


@dataclass(frozen=True)
class Told:
    """A plan's plantings by the diary.

    ``plan`` has those that were sown or may still be, with the plants that are left. ``over`` has
    the last day of each that is no more: cleared, lost whole, or (the first of all days) not sown.
    """

    plan: Plan
    over: Mapping[str, date]


def told_by(plan: Plan, entries: Iterable[Entry]) -> Told:
    """Return a plan as the diary has it; the very plan where that tells of no change.

    Parameters
    ----------
    plan : Plan
        Any plan.
    entries : iterable of Entry
        The season's diary; what in it cannot be is passed over (`revise` tells it).
    """
    happened, _ = happened_to(tuple(entries), plan, "", date.max)
    giving = givings(plan)
    plantings, over = [], {}
    for p in plan.plantings:
        told = happened.get(p.id, NOTHING)
        now = _left_of(p, told, giving[p.id])
        if now is not None:
            plantings.append(now)
        gone = _gone(p, told)
        if gone is not None:
            over[p.id] = gone
    same = tuple(plantings) == plan.plantings
    return Told(plan if same else replace(plan, plantings=tuple(plantings)), over)


def _left_of(p: Planting, told: Happened, giving: Giving) -> Planting | None:
    """Return a planting with the plants it has left; None where it has none."""
    if told.skipped:
        return None
    if told.many_lost <= p.lost:  # of a revised plan only those since then count
        return p
    return after_losses(p, told, date.max, _fewer, giving)


def _fewer(p: Planting, left: int) -> Planting:
    """Let what is lost from a tray leave its pots or holes free; a bed's ground is kept for it."""
    return replace(p, slots=slots_left(p, left))


def _gone(p: Planting, told: Happened) -> date | None:
    """Return the last day of a planting that is no more."""
    if told.skipped:
        return date.min
    if told.lost and told.many_lost - p.lost >= p.plants:
        return told.lost[-1][0]
    return told.cleared


def as_it_stands(plan: Plan, entries: Iterable[Entry]) -> Plan:
    """Return a plan in which each planting stands, and drinks, no longer than by the diary.

    What is left of a loss in part is there; other days stay the plan's.

    Parameters
    ----------
    plan : Plan
        Any plan.
    entries : iterable of Entry
        The season's diary.
    """
    told = told_by(plan, entries)
    left = {p.id: p for p in told.plan.plantings}
    found = []
    for p in plan.plantings:
        now = left.get(p.id, p)
        gone = told.over.get(p.id, date.max)
        if gone < now.cleared:
            if gone <= now.occupies_from:
                continue
            now = replace(now, cleared=gone)
        found.append(now)
    same = tuple(found) == plan.plantings
    return plan if same else replace(plan, plantings=tuple(found))


def still_to_pick(picks: Iterable[Pick], told: Told) -> tuple[Pick, ...]:
    """Return the picks of a plan as planned, each with what the diary leaves of it.

    Where plants were lost the earlier picks have what they were to have, and the last go without.
    One of which nothing is left stays, without portions, as the names of the others count it.
    """
    left = {(p.id, n): lot.amount for p in told.plan.plantings for n, lot in enumerate(p.lots)}
    found = []
    for pick in picks:
        portions = []
        for one in pick.portions:
            key = one.planting.id, one.lot
            there = pick.day <= told.over.get(one.planting.id, date.max)
            amount = min(one.amount, left.get(key, 0.0)) if there else 0.0
            if amount > NO_AMOUNT:
                left[key] -= amount
                portions.append(replace(one, amount=amount))
        found.append(replace(pick, portions=tuple(portions)))
    return tuple(found)
