"""Days off that came, or went, since a plan was made: whose harvests they change."""

from __future__ import annotations

from datetime import date, timedelta

from sowplan.records.garden import Season
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
    )  # fmt: skip


def _from(p: Planting) -> date:
    """Return the first day that matters: it goes out, or might be fit were somebody there."""
    return min(p.planting_out or p.harvest_start_early, p.harvest_start_early)


def _kind(of: PlanSite | Season, day: date) -> tuple[bool, bool]:
    """Return whether nothing is harvested on a day, and whether somebody picks all the same."""
    off = is_away(of.away, day) or day.weekday() not in harvest_weekdays(of)
    return off, off and is_away(of.picked, day)
