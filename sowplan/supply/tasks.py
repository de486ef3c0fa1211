"""What to do, day by day: a plan's dates as tasks, on the days the gardener works.

Nothing is computed anew here: sowing, planting out and harvests have the plan's dates, or are moved
within what the plan leaves open to one of the gardener's days (`Workdays`), and like jobs of one
day are one task.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from functools import lru_cache

from sowplan.season.plan import Plan, Planting
from sowplan.supply.closing import clear, protect
from sowplan.supply.gather import gathered
from sowplan.supply.ground import Ground, grounds, overlap
from sowplan.supply.harvesting import harvests
from sowplan.supply.leaving import leaving
from sowplan.supply.overgrown import overgrown
from sowplan.supply.picks import Pick, picks, spare
from sowplan.supply.raising import planting_out_days, raising
from sowplan.supply.task import ORDER, Task, TaskKind
from sowplan.supply.told import Told, still_to_pick
from sowplan.supply.wording import is_worth_telling
from sowplan.supply.workdays import Workdays

__all__ = ["ORDER", "Task", "TaskKind", "jobs", "jobs_left", "tasks"]


@lru_cache(maxsize=4)  # a plan folder asks six times for the tasks of one plan; revising has three
def tasks(plan: Plan) -> tuple[Task, ...]:
    """Return every task of a season, sorted by day, then in the order of a day's work.

    Parameters
    ----------
    plan : Plan
        Any plan; tasks of a planting that ends with the season may fall on days after it.
        What lies wholly before the season (of a planting that stands already) is left out.

    Returns
    -------
    tuple of Task
        Ids are unique, those of parts too. ``place`` is the place worked in: the tray while a
        crop is raised.
    """
    return gathered(plan, jobs(plan))


@lru_cache(maxsize=4)  # asked again for what the diary leaves of them
def jobs(plan: Plan) -> tuple[Task, ...]:
    """Return the single jobs that `tasks` puts together, in no order."""
    return jobs_left(plan, Told(plan, {}))


def days_of(plan: Plan, kind: TaskKind) -> dict[str, date]:
    """Return the day of a kind of job, such as ``"clear"``, of each planting that has it, by id."""
    return {one.planting: one.day for one in jobs(plan) if one.kind == kind}


def jobs_left(plan: Plan, told: Told) -> tuple[Task, ...]:
    """Return the single jobs that are left of a plan's, on its days, by what the diary tells.

    Parameters
    ----------
    plan : Plan
        The plan: the days of all jobs are its.
    told : Told
        The same as the diary has it.
    """
    workdays, out, all_picks = _days_of(plan)
    brought_in = still_to_pick(all_picks, told)
    needed = _needed(plan, out)
    now, left = told.plan, spare(told.plan)
    standing = grounds(now)
    found = list(harvests(now, standing, brought_in, left))
    spent = _spent(now, brought_in, left)
    for ground in standing:
        name = ground.planting.id
        found += _raising(ground, out.get(name), workdays, plan.site.start)
        found += overgrown(ground, workdays)
        found += protect(ground, out.get(name, ground.planting.emergence), plan.sky, workdays)
        if not ground.planting.stands_on:  # else it is the next season's to clear
            found.append(clear(ground, spent[name], needed.get(name), workdays))
    found += leaving(now, out)
    return tuple(one for one in found if one.until >= plan.site.start)


def _raising(ground: Ground, out: date | None, workdays: Workdays, start: date) -> list[Task]:
    """Return the jobs until planting out, each with the plants that were there on its day."""
    found = list(raising(ground, out, workdays, start))
    for n, one in enumerate(found):
        then = replace(ground, planting=ground.planting.on(one.day))
        if then != ground:
            same = (other for other in raising(then, out, workdays, start) if other.id == one.id)
            found[n] = next(same, one)
    return found


@lru_cache(maxsize=4)  # the days are the plan's, whatever the diary leaves to be done on them
def _days_of(plan: Plan) -> tuple[Workdays, dict[str, date], tuple[Pick, ...]]:
    """Return a plan's days of work, on which of them is planted out, and the picks on theirs."""
    workdays = Workdays(plan.site.work_on, away=plan.site.away, never_on=plan.site.never_on)
    frost = {sky.day: sky.frost_chance for sky in plan.sky}
    out = planting_out_days(plan, workdays, frost)
    workdays.add(p.sow for p in plan.plantings)
    workdays.add(out.values())
    harvest_days = workdays.to_harvest(plan.site.harvest_on)
    return workdays, out, picks(plan, harvest_days)


def _needed(plan: Plan, out: dict[str, date]) -> dict[str, date]:
    """Return the day on which the ground of each planting is next filled, where it is."""
    by_place: dict[str, list[Planting]] = {}
    for p in plan.plantings:
        by_place.setdefault(p.place, []).append(p)
    found = {}
    for p in plan.plantings:
        after = [q for q in by_place[p.place] if q.occupies_from >= p.cleared and overlap(p, q)]
        if after:
            found[p.id] = min(out.get(q.id, q.sow) for q in after)
    return found


def _spent(
    plan: Plan, brought_in: tuple[Pick, ...], left: dict[tuple[str, int], float]
) -> dict[str, date]:
    """Return the day from which each planting may be cleared: its last pick, or its end.

    Where more stands ready than was asked for, it stands to its end.
    """
    units = {crop.key: crop.harvest_unit for crop in plan.crops}
    last: dict[str, date] = {}
    for pick in brought_in:
        for p in pick.portions:
            last[p.planting.id] = max(pick.day, last.get(p.planting.id, pick.day))
    found = {}
    for p in plan.plantings:
        end = p.last_day + timedelta(days=1)
        more = sum(left[p.id, n] for n, lot in enumerate(p.lots) if lot.last >= p.harvest_end)
        found[p.id] = end if is_worth_telling(more, units[p.crop]) else last.get(p.id, end)
    return found
