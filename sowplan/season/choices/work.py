"""How long the work takes: sowing, potting on, planting out and clearing, in minutes and by week.

Bringing in the harvest is not counted, nor are watering and weeding, which go by the weather and
not by the plan. The figures, each with its source, are in ``crops/work.csv``.
"""

from __future__ import annotations

from datetime import date, timedelta
from functools import cache
from typing import Protocol

from sowplan.records.tables import crops_folder, read_table
from sowplan.season.choices.instance import Minutes
from sowplan.season.plan import Plan, Planting

LONG_RAISED_DAYS = 42
"""A fruiting crop raised so long from the day it is sown is potted on (common practice, no
source)."""


class Spaced(Protocol):
    """What of a crop says how long its work takes: a crop of the table or of a plan."""

    group: str
    spacing_cm: float
    row_spacing_cm: float


@cache
def rates() -> dict[str, float]:
    """Return the minutes of each task of ``crops/work.csv``."""
    table, problems = read_table(crops_folder() / "work.csv")
    assert table is not None and not problems, problems
    return {row.cells["task"]: float(row.cells["minutes"]) for row in table.rows}


def minutes_for(crop: Spaced) -> Minutes:
    """Return the minutes of work that one plant of a crop takes, and each strip of it."""
    rate = rates()
    area_m2 = crop.spacing_cm * crop.row_spacing_cm / 1e4
    return Minutes(
        begin=rate["begin"],
        cell=rate["sow_tray"],
        sow=rate["sow_direct"] * crop.spacing_cm / 100,
        pot_on=rate["pot_on"] if crop.group == "fruiting" else 0.0,
        plant_out=rate["plant_out"],
        clear=rate["clear"] * area_m2,
        pot_on_from=LONG_RAISED_DAYS,
    )


def hours_by_week(plan: Plan) -> dict[date, float]:
    """Return the hours of work of each week of a plan that has any, by the week's first day.

    Parameters
    ----------
    plan : Plan
        Any plan; weeks begin on its ``site.week_start``.

    Returns
    -------
    dict of date to float
        Hours, in the order of the weeks; those of weeks before the season are left out.
    """
    found: dict[date, float] = {}
    for day, hours in hours_by_day(plan).items():
        week = _week_of(plan, day)
        found[week] = found.get(week, 0.0) + hours
    return found


def hours_by_day(plan: Plan) -> dict[date, float]:
    """Return the same by the day of each job, in order; none before the season's first week."""
    minutes = {crop.key: minutes_for(crop) for crop in plan.crops}
    found: dict[date, float] = {}
    for planting in plan.plantings:
        for day, taken in _jobs_of(planting, minutes[planting.crop]):
            if _week_of(plan, day) + timedelta(days=6) >= plan.site.start:
                found[day] = found.get(day, 0.0) + taken / 60
    return dict(sorted(found.items()))


def _week_of(plan: Plan, day: date) -> date:
    """Return the first day of a day's week."""
    return day - timedelta(days=(day.weekday() - plan.site.week_start) % 7)


def _jobs_of(planting: Planting, minutes: Minutes) -> list[tuple[date, float]]:
    """Return the day and the minutes of each job of a planting."""
    out = planting.planting_out
    cells = planting.cells / planting.plants if planting.tray and planting.plants else 1.0
    jobs = minutes.jobs(
        None if planting.bought else planting.sow.toordinal(),
        None if out is None else out.toordinal(),
        planting.cleared.toordinal(),
        cells,
    )
    return [(date.fromordinal(day), each * planting.plants + begin) for day, each, begin in jobs]
