"""After days away: what has overgrown meanwhile is taken off, so that the plant gives again.

Which harvests these are, and when there are more, the plan knows (`sowplan.growth.harvests`).
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from sowplan.season.plan import PlanCrop
from sowplan.supply.ground import Ground
from sowplan.supply.task import Task, job
from sowplan.supply.wording import day_text, one_line
from sowplan.supply.workdays import Workdays

TAKEN_OFF_WITHIN_DAYS = 3  # common practice, no source; what comes after counts from the first day


def overgrown(ground: Ground, workdays: Workdays) -> Iterator[Task]:
    """Yield a job for each time a planting overgrew and is to give more.

    Parameters
    ----------
    ground : Ground
        The planting's.
    workdays : Workdays
        The gardener's days.
    """
    p, crop = ground.planting, ground.crop
    for number, back in enumerate(p.overgrown, 1):
        more = [lot.ready for lot in p.lots if lot.ready > back]
        if not more or back >= p.cleared:
            continue  # it is cleared as a whole
        until = min(back + timedelta(days=TAKEN_OFF_WITHIN_DAYS), more[0] - timedelta(days=1))
        until = max(until, back)
        day = next(iter(workdays.within(back, until)), back)
        details = [_how(crop), f"More to harvest about {day_text(more[0])}."]
        title = f"Take off overgrown {one_line(crop.name)}: {ground.short}"
        yield job(ground, "take off", day, until, title, details, number=number)


def _how(crop: PlanCrop) -> str:
    """Return what to take off (common practice, no source)."""
    if crop.harvest == "cut":
        where = "above the lowest leaves" if crop.group == "herb" else "just above the heart"
        return f"Cut it all down {where}, coarse leaf for the compost: it grows again."
    return {
        "legume": "Pick off every pod that has grown old: as long as they hang, it sets no more.",
        "fruiting": "Pick off all that is too large, overripe or rotten: it keeps more from "
        "coming.",
        "brassica": "Cut off what has blown or flowers, down to a good side shoot.",
    }.get(crop.group, "Take off coarse and yellow leaves and all flowers: young leaf follows.")
