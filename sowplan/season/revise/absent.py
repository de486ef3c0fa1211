"""Days off that came or went since a plan was made: what is harvested or planted out otherwise."""

from __future__ import annotations

from datetime import date, timedelta

from sowplan.records.garden import Season
from sowplan.season.days import closed_to_planting
from sowplan.season.periods import harvest_weekdays, is_away
from sowplan.season.plan import Plan, PlanSite, Planting


def disturbed_by(plan: Plan, season: Season, today: date) -> frozenset[str]:
    """Return the ids of plantings for whose harvests, or planting out, other days are off now.

    Parameters
    ----------
    plan : Plan
        The plan so far, with the days off it was made for.
    season : Season
        The garden file's, as it is now.
    today : date
        Days before it are past, and change nothing.
    """
    last = max([plan.site.end, *(p.cleared for p in plan.plantings)])
    days = (today + timedelta(days=n) for n in range((last - today).days + 1))
    other = [day for day in days if _kind(plan.site, day) != _kind(season, day)]
    return frozenset(
        p.id
        for p in plan.plantings
        if any(_from(p) <= day < p.cleared for day in other)
        or (_waits(p, today) and _may_plant(plan.site, p) and not _may_plant(season, p))
    )  # fmt: skip


def _from(p: Planting) -> date:
    """Return the first day that matters: it goes out, or might be fit were somebody there."""
    return min(p.planting_out or p.harvest_start_early, p.harvest_start_early)


def _waits(p: Planting, today: date) -> bool:
    """Return whether a planting is sown, and still to be planted out."""
    return p.sow < today and p.planting_out is not None and p.planting_out >= today


def _may_plant(of: PlanSite | Season, p: Planting) -> bool:
    """Return whether the day on which a planting is to go out is one for that."""
    day, days = p.occupies_from, of.work_on if isinstance(of, PlanSite) else of.sow_on
    usual = day.weekday() not in of.never_on and (not days or day.weekday() in days)
    return usual and not is_away(closed_to_planting(of), day)


def _kind(of: PlanSite | Season, day: date) -> tuple[bool, bool]:
    """Return whether nothing is harvested on a day, and whether somebody picks all the same."""
    off = is_away(of.away, day) or day.weekday() not in harvest_weekdays(of)
    return off, off and is_away(of.picked, day)
