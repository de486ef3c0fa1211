"""The tasks of a season without what the diary says is done, or will not be."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from functools import lru_cache

from sowplan.records.diary import Entry
from sowplan.season.plan import Plan
from sowplan.supply.gather import gathered
from sowplan.supply.task import Task
from sowplan.supply.tasks import jobs, jobs_left, tasks
from sowplan.supply.told import Told, told_by

BEFORE_PLANTING_OUT = ("sow", "buy", "pot-on", "thin", "harden-off")
NEAR_DAYS = 3
"""So many days before or after it a harvest may have been had and still be the same."""
SHAPING = frozenset({"sow", "plant out"})
"""Kinds of tasks on whose doing the rest of a season hangs."""


def undone(plan: Plan, entries: Iterable[Entry]) -> tuple[Task, ...]:
    """Return the tasks still to do, those of one day put together anew.

    Parameters
    ----------
    plan : Plan
        Any plan.
    entries : iterable of Entry
        The season's diary. What is planted out or lost was sown, or bought; of what is cleared, or
        was not sown, nothing is left to do or to bring in, and of what was lost in part the rest.
        What was to be sown or planted out before the plan was revised is taken as done, as revising
        told.
    """
    return _undone(plan, tuple(entries))


@lru_cache(maxsize=2)  # page, sheets and revising all ask
def _undone(plan: Plan, entries: tuple[Entry, ...]) -> tuple[Task, ...]:
    if not entries and plan.revised is None:
        return tasks(plan)
    told = told_by(plan, entries)
    as_planned = told.plan is plan and not told.over
    there = jobs(plan) if as_planned else jobs_left(plan, told)
    done = {entry.task for entry in entries} | _harvested(there, entries)
    lost = {entry.about for entry in entries if entry.what == "lost"}
    done |= {f"{name}:{job}" for name in lost for job in ("sow", "buy")}
    out = {e.about for e in entries if e.what == "planted"}
    left = [
        _while_there(job, told)
        for job in there
        if job.id not in done
        and not (job.kind in SHAPING and plan.revised is not None and job.day < plan.revised)
        and not (job.kind != "harvest" and job.planting in told.over)
        and not (job.planting in out and job.id.split(":")[1] in BEFORE_PLANTING_OUT)
    ]
    return gathered(plan, left)


def _while_there(job: Task, told: Told) -> Task:
    """Return a job that waits no longer than what it brings in stands there."""
    ends = [told.over.get(name, job.until) for name, _ in job.takes]
    return replace(job, until=max(job.day, min(job.until, max(ends)))) if ends else job


def _harvested(there: Iterable[Task], entries: Iterable[Entry]) -> set[str]:
    """Return the harvests that are done by entries which name the sowing and no job.

    Each such entry is of the harvest of its sowing that is nearest to its day, if near at all.
    """
    picks = [job for job in there if job.kind == "harvest"]
    had: dict[str, set[str]] = {}
    for entry in entries:
        if entry.what != "harvested" or ":" in entry.about:
            continue
        mine = [job for job in picks if entry.about in dict(job.takes)]
        nearest = min(mine, key=lambda job: (_apart(job, entry.day), job.day), default=None)
        if nearest is not None and _apart(nearest, entry.day) <= NEAR_DAYS:
            had.setdefault(nearest.id, set()).add(entry.about)
    return {job.id for job in picks if had.get(job.id, set()) >= set(dict(job.takes))}


def _apart(job: Task, day: date) -> int:
    """Return how many days a day lies outside those of a job."""
    return max((job.day - day).days, (day - job.until).days, 0)


def taken_as_done(plan: Plan, entries: Iterable[Entry], today: date) -> tuple[Task, ...]:
    """Return what was to be sown or planted out before a day and is not in the diary.

    A plan that is revised takes it as done on its day. Nothing where no diary is kept: then all
    is taken so.
    """
    entries = tuple(entries)
    if not entries:
        return ()
    return tuple(t for t in undone(plan, entries) if t.kind in SHAPING and t.day < today)
