"""Until when plantings stand as the jobs have it: each is cleared on a day of the gardener's."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from functools import lru_cache

from sowplan.season.plan import HARVEST_DAYS, Plan, Planting
from sowplan.supply.ground import overlap
from sowplan.supply.tasks import days_of


@lru_cache(maxsize=4)  # pictures, page and tables of one plan all ask
def as_cleared(plan: Plan) -> Plan:
    """Return a plan in which each planting stands until the day of the job that clears it.

    The season is planned on the day from which its ground is free; that job is on the gardener's
    next day in the garden, sooner where all is had that is wanted of it, and never after the next
    comes onto its ground. For what is shown: jobs are those of the plan itself.

    Parameters
    ----------
    plan : Plan
        Any plan. What goes on giving after the season keeps its day.
    """
    on = days_of(plan, "clear")
    by_place: dict[str, list[Planting]] = {}
    for p in plan.plantings:
        by_place.setdefault(p.place, []).append(p)
    plantings = tuple(
        _until(p, on[p.id], by_place[p.place]) if p.id in on else p for p in plan.plantings
    )
    return replace(plan, plantings=plantings)


def _until(p: Planting, day: date, there: list[Planting]) -> Planting:
    """Return a planting that is cleared on a day, or when the next is planned on its ground."""
    if day > p.cleared:
        after = (q.occupies_from for q in there if q.occupies_from >= p.cleared and overlap(p, q))
        day = min([day, *after])
    if p.in_vain:
        return replace(p, cleared=day, **dict.fromkeys(HARVEST_DAYS, day))
    return replace(p, cleared=day, harvest_end=min(p.harvest_end, day))
