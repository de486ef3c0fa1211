"""The periods of a want: the spans of days in which so much of a crop is wanted, each counted once.

Whatever tells or plans a want counts its periods here. Nothing heavy is imported, so that a garden
file is checked at once.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from sowplan.records.garden import Season, Want

if TYPE_CHECKING:
    from sowplan.season.plan import PlanSite

Spans = tuple[tuple[date, date], ...]
"""First and last day of each of several times."""


def is_away(away: Spans, day: date) -> bool:
    """Return whether nobody is there on a day."""
    return any(first <= day <= last for first, last in away)


def harvest_weekdays(season: Season | PlanSite) -> tuple[int, ...]:
    """Return the weekdays to harvest on: those named, or all on which anything is done."""
    named = season.harvest_on or range(7)
    return tuple(day for day in named if day not in season.never_on)


def want_periods(want: Want, away: Spans = ()) -> list[tuple[date, date]]:
    """Return the first and last day of each period of a want.

    Days left over at the end are a period of their own where they are half of one or more, else
    the last period has them as well: nobody wants a whole month's harvest in three days.
    A period of which half or more is spent away falls out; of others, days away at either end do.
    """
    found = []
    start = want.start
    while start <= want.end:
        end = start + timedelta(days=want.per_days - 1)
        if 2 * (want.end - end).days < want.per_days:
            end = want.end
        days = [start + timedelta(days=n) for n in range((end - start).days + 1)]
        there = [day for day in days if not is_away(away, day)] if away else days
        if 2 * len(there) > len(days):
            found.append((there[0], there[-1]))
        start = end + timedelta(days=1)
    return found
