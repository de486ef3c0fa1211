"""A task: one job on one day, or like jobs of one day together."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from sowplan.supply.ground import Ground

TaskKind = Literal[
    "sow", "buy", "pot on", "harden off", "thin", "plant out", "harvest", "take off", "clear",
    "protect", "leave",
]  # fmt: skip

ORDER: tuple[TaskKind, ...] = (
    "protect", "harvest", "take off", "clear", "buy", "plant out", "sow", "pot on", "thin",
    "harden off", "leave",
)  # fmt: skip
"""The order of a day's work: what cannot wait, then ground is cleared before it is filled, and
trays are emptied before they are filled."""


@dataclass(frozen=True)
class Task:
    """One job on one day (or from ``day`` to ``until``, where it may wait).

    ``id`` never depends on the day, so that a moved task keeps its place in a calendar. It is the
    planting's id and the kind, with a number where a kind repeats; of a harvest that is wanted it
    is the crop and the want's period, told by the day of the season on which that period begins.

    Like jobs of one day are one task with ``parts``, each with an id of its own. Such a task has
    the id and planting of its lead, the first of its parts by id; ``crop`` and ``place`` are
    empty where its parts differ in them. What is to be seen to before days away is of no planting:
    all three are empty.

    ``says`` are the sentences of ``details``, to tell those once that several jobs have in common.

    A harvest says in ``takes`` what it brings in: planting ids and amounts in ``unit``, which is
    the want's, or the crop's own where nobody asked for it.
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
    what: str = ""  # for lists, where not the crop's name alone: "3 Butterhead lettuce"
    size: int = 0  # cells sown, plants bought or planted out
    takes: tuple[tuple[str, float], ...] = ()
    unit: str = ""
    parts: tuple[Task, ...] = ()
    says: tuple[str, ...] = ()

    @property
    def jobs(self) -> tuple[Task, ...]:
        """Return the parts, or the task itself where it has none."""
        return self.parts or (self,)


def job(
    ground: Ground,
    kind: TaskKind,
    day: date,
    until: date,
    title: str,
    details: list[str],
    *,
    place: str | None = None,
    number: int | None = None,
    size: int = 0,
) -> Task:
    """Return a task of a planting, its id made from the planting and the kind alone."""
    p = ground.planting
    mark = kind.replace(" ", "-") + (f"-{number}" if number is not None else "")
    says = tuple(part for part in details if part)
    text = " ".join(says)
    where = p.place if place is None else place
    last = max(day, until)
    name = f"{p.id}:{mark}"
    return Task(name, kind, day, last, p.id, p.crop, where, title, text, size=size, says=says)
