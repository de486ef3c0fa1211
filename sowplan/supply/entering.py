"""What of the tasks is to be entered into the diary, and in what words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from sowplan.records.diary import Entry
from sowplan.season.plan import Plan
from sowplan.supply.task import Task
from sowplan.supply.tasks import tasks
from sowplan.supply.undone import undone

PASSES = frozenset({"protect", "leave"})
"""Kinds that only pass: watching for frost, being away."""


def to_enter(plan: Plan, task: Task) -> tuple[str, ...]:
    """Return what to write behind ``sowplan done`` to enter a task, and no more than it.

    The task's id where that stands for the very same jobs in the whole plan; where some of those
    are done already, each job by itself.
    """
    mine = {job.id for job in task.jobs}
    for whole in tasks(plan):
        if whole.id == task.id and {job.id for job in whole.jobs} == mine:
            return (task.id,)
    return tuple(word for job in task.jobs for word in ("--only", job.id))


def done_by(
    plan: Plan, entries: Iterable[Entry], first: date, last: date
) -> Iterator[tuple[Task, date]]:
    """Yield the jobs still to be entered that were to be done on some days, each with its day.

    Hardening off is done on its last day. What only passes (`PASSES`) is no job to enter.
    """
    for task in undone(plan, entries):
        for job in task.jobs:
            day = job.until if job.kind == "harden off" else job.day
            if first <= day <= last and job.kind not in PASSES:
                yield job, day
