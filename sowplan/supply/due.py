"""What is due on a day, which is a parameter: tasks sorted into now, lately and soon."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from sowplan.supply.tasks import Task

LATELY_DAYS = 7
PASSING = frozenset({"harvest", "protect", "harden off", "leave"})
"""Kinds that pass with their days; all others are still asked after when their days are over."""


@dataclass(frozen=True)
class Due:
    """Tasks as they stand on one day, each list in the order of days.

    ``today`` begin on this day or are work on every day up to their last; ``open`` began earlier
    and may still be done (a harvest that stands fit, say); ``lately`` ended within the days looked
    back (`LATELY_DAYS` by itself) and may have been missed; ``soon`` begin within the days asked
    for.
    """

    on: date
    days: int
    lately: tuple[Task, ...]
    today: tuple[Task, ...]
    open: tuple[Task, ...]
    soon: tuple[Task, ...]
    next: Task | None  # the first task after all of these


def due(tasks: Iterable[Task], on: date, days: int = 7, lately_days: int = LATELY_DAYS) -> Due:
    """Sort tasks by what they mean on a day.

    Parameters
    ----------
    tasks : iterable of Task
        A season's tasks, in the order of days.
    on : date
        The day.
    days : int
        How far to look ahead; 0 for the day alone.
    lately_days : int
        How far to look back for what may have been missed.
    """
    every = tuple(tasks)
    first, last = on - timedelta(days=lately_days), on + timedelta(days=days)
    return Due(
        on=on,
        days=days,
        lately=tuple(t for t in every if first <= t.until < on and t.kind not in PASSING),
        today=tuple(t for t in every if t.day == on or (_daily(t) and t.day < on <= t.until)),
        open=tuple(t for t in every if t.day < on <= t.until and not _daily(t)),
        soon=tuple(t for t in every if on < t.day <= last),
        next=next((t for t in every if t.day > last), None),
    )


def _daily(task: Task) -> bool:
    """Return whether a task is work on every one of its days."""
    return task.kind == "harden off"
