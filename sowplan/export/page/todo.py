"""The page's jobs: all of the plan's, as the diary has them, and which of them it has done."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from sowplan.records.diary import Entry
from sowplan.season.plan import Plan
from sowplan.supply.gather import gathered
from sowplan.supply.tasks import Task, jobs, tasks
from sowplan.supply.undone import undone

Done = Mapping[str, date | None]
"""Single jobs with nothing left to do, by id: the day of their entry, where they have one."""


def page_tasks(plan: Plan, entries: Sequence[Entry] = ()) -> tuple[tuple[Task, ...], Done]:
    """Return the tasks of a plan, in its order and under its ids, and which jobs of them are done.

    What the diary leaves of a job is told in its stead: six plants to plant out, where four of ten
    were lost.

    Parameters
    ----------
    plan : Plan
        Any plan.
    entries : sequence of Entry
        The season's diary.
    """
    entries = tuple(entries)
    if not entries:
        return tasks(plan), {}
    left = {job.id: job for task in undone(plan, entries) for job in task.jobs}
    days = {entry.task: entry.day for entry in entries if entry.task}
    there = [left.get(job.id, job) for job in jobs(plan)]
    done = {job.id: days.get(job.id) for job in there if job.id not in left}
    return gathered(plan, there), done


def done_whole(task: Task, done: Done) -> bool:
    """Return whether nothing of a task is left to do."""
    return all(job.id in done for job in task.jobs)


def told_done(todo: Sequence[Task], done: Done, start: date) -> dict[str, int | None]:
    """Return what the page's script reads of it: days of the season from its first, by name.

    A task of which nothing is left is named by its id; of one of several crops, a job that is done
    by its own id after a ``/``. None where no day is known, or the parts have several.
    """
    found: dict[str, int | None] = {}
    for task in todo:
        if done_whole(task, done):
            days = {done[job.id] for job in task.jobs}
            day = days.pop() if len(days) == 1 else None
            found[task.id] = None if day is None else (day - start).days
        elif len({job.crop for job in task.parts}) > 1:
            for job in task.parts:
                if job.id in done:
                    day = done[job.id]
                    found["/" + job.id] = None if day is None else (day - start).days
    return found
