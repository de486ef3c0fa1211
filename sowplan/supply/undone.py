"""The tasks of a season without what the diary says is done, or will not be."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from sowplan.records.diary import Entry
from sowplan.season.plan import Plan
from sowplan.supply.gather import gathered
from sowplan.supply.task import Task
from sowplan.supply.tasks import jobs, tasks

BEFORE_PLANTING_OUT = ("sow", "buy", "pot-on", "thin", "harden-off")
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
        was not sown, nothing is left to do. What was to be sown or planted out before the plan was
        revised is taken as done, as revising told.
    """
    entries = tuple(entries)
    if not entries and plan.revised is None:
        return tasks(plan)
    done = {entry.task for entry in entries}
    lost = {entry.about for entry in entries if entry.what == "lost"}
    done |= {f"{name}:{job}" for name in lost for job in ("sow", "buy")}
    over = {e.about for e in entries if e.what in ("cleared", "skipped")}
    out = {e.about for e in entries if e.what == "planted"}
    left = [
        job
        for job in jobs(plan)
        if job.id not in done
        and not (job.kind in SHAPING and plan.revised is not None and job.day < plan.revised)
        and not (job.kind != "harvest" and job.planting in over)
        and not (job.planting in out and job.id.split(":")[1] in BEFORE_PLANTING_OUT)
    ]
    return gathered(plan, left)


def taken_as_done(plan: Plan, entries: Iterable[Entry], today: date) -> tuple[Task, ...]:
    """Return what was to be sown or planted out before a day and is not in the diary.

    A plan that is revised takes it as done on its day. Nothing where no diary is kept: then all
    is taken so.
    """
    entries = tuple(entries)
    if not entries:
        return ()
    return tuple(t for t in undone(plan, entries) if t.kind in SHAPING and t.day < today)
