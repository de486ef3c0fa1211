"""What to do, day by day: a plan's dates as tasks."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

TaskKind = Literal[
    "sow", "pot on", "harden off", "thin", "plant out", "harvest", "clear", "protect"
]


@dataclass(frozen=True)
class Task:
    """One job on one day (or from ``day`` to ``until``, where it may wait).

    ``id`` is the planting's id and the kind, with a number where a kind repeats;
    it never depends on the date, so that a moved task keeps its place in a calendar.
    """

    id: str
    kind: TaskKind
    day: date
    until: date
    planting: str
    crop: str
    place: str
    title: str
    details: str
