"""What of a season's tasks is still to do and what is done, by the diary, until it is revised."""

from __future__ import annotations

from collections.abc import Sequence

from sowplan.records.diary import Entry
from sowplan.season.plan import Plan
from sowplan.supply.gather import gathered
from sowplan.supply.tasks import Task, jobs, tasks
from sowplan.supply.told import told_by
from sowplan.supply.undone import undone


def left_and_done(
    plan: Plan, entries: Sequence[Entry] = ()
) -> tuple[tuple[Task, ...], tuple[Task, ...]]:
    """Return the tasks still to do and those done; like jobs of one day may be in both.

    Parameters
    ----------
    plan : Plan
        Any plan.
    entries : sequence of Entry
        The season's diary. Of what was lost, skipped or cleared no job is left, and none is done
        that no entry names; of what stands there, all that is not left is done.
    """
    entries = tuple(entries)
    if not entries:
        return tasks(plan), ()
    left = undone(plan, entries)
    open_ = {job.id for task in left for job in task.jobs}
    entered = {entry.task for entry in entries if entry.task}
    told = told_by(plan, entries)
    there = {p.id for p in told.plan.plantings} - told.over.keys()
    done = [
        job
        for job in jobs(plan)
        if job.id not in open_
        and (job.id in entered or (job.kind != "harvest" and job.planting in there))
    ]
    return left, gathered(plan, done)
