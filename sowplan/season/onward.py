"""What would go on giving when a season ends: it is not pulled up, it stands on into the next."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

from sowplan.records.crop import Crop
from sowplan.records.garden import Season
from sowplan.season.days import days_off
from sowplan.season.plan import Plan
from sowplan.season.words import listed

DAY = timedelta(days=1)
LOOK_BACK_DAYS = 120
"""No season's last day to harvest lies further before its end: who is away so long has none."""


def stands_on(
    crop: Crop,
    in_open: bool,
    ready: Sequence[date],
    clear: date,
    season: Season,
    sky: Any,
    risk: float,
) -> bool:
    """Return whether a sowing is cleared only because the season ends, with harvests to come.

    Parameters
    ----------
    crop : Crop
        One that is lifted once gives no more, whenever that is.
    in_open : bool
        Whether frost reaches it where it grows.
    ready : sequence of date
        When each of its harvests is fit, those after the season's end among them.
    clear : date
        First day it is gone by the plan.
    season : Season
        The season.
    sky : Sky
        Of the site, from before ``clear`` on.
    risk : float
        Share of years in which frost may catch a tender crop.
    """
    if crop.harvest == "once" or clear <= last_harvest_day(season):
        return False
    following = min((day for day in ready if day >= clear), default=None)
    if following is None:
        return False
    if not (crop.tender and in_open):
        return True
    first, last = ((day - sky.series.start).days for day in (clear, following))
    return bool(sky.frost.safe(max(0.0, crop.killing_frost_c), risk)[first : last + 1].all())


def last_harvest_day(season: Season) -> date:
    """Return the last day of a season on which anything is brought in."""
    off = days_off(season, season.end - LOOK_BACK_DAYS * DAY, LOOK_BACK_DAYS + 1)
    if off is None or off.all():
        return season.end
    return season.end - int(off[::-1].argmin()) * DAY


def onward_notes(plan: Plan) -> tuple[str, ...]:
    """Name what stands on into the next season, and where."""
    places: dict[str, list[str]] = {}
    for p in plan.plantings:
        if p.stands_on:
            places.setdefault(plan.crop(p.crop).name, []).append(p.place)
    if not places:
        return ()
    told = [f"{name} ({listed(sorted(set(where)))})" for name, where in sorted(places.items())]
    one = sum(p.stands_on for p in plan.plantings) == 1
    it, stands = ("it", "stands") if one else ("they", "stand")
    return (
        f"{listed(told)} would go on giving after the season's last day: {it} {stands} on into "
        f"next season, and `sowplan new --after` takes {'it' if one else 'them'} along.",
    )
