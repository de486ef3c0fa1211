"""The days of the season after one: of the season itself, and of what is wanted in it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from sowplan.records.garden import Season, Want
from sowplan.records.years import DAY, last_later, later


@dataclass(frozen=True)
class StillWanted:
    """What is left of a want of last season when the new one begins.

    ``amount`` in the want's ``unit`` where that is not the want's own: of a period under way.
    """

    want: int  # number of the [[want]] table, from 0
    start: date
    end: date
    amount: float | None = None
    unit: str = ""


def years_to(season: Season) -> int:
    """Return by how many years to move a season so that the next follows without a gap, if it can.

    One year; of a season of two years and more, two. One of thirteen months overlaps with the next.
    """
    years = 1
    while later(season.start, years + 1) <= season.end + DAY:
        years += 1
    return years


def next_season(season: Season, start: date | None = None) -> Season:
    """Return the season after one, of the same dates and weekdays; nobody is known to be away.

    It may take over sooner, from a day ``start`` within the old one, so as to sow in time for its
    own first weeks.
    """
    years = years_to(season)
    first, end = start or later(season.start, years), last_later(season.end, years)
    return replace(season, start=first, end=end, away=(), watered=(), picked=())


def moved_days(want: Want, old: Season, new: Season) -> tuple[date, date]:
    """Return the first and last day of a want in the next season.

    What is wanted from the old season's first day is so from the new one's, whenever that begins.
    What is wanted once, such as a year's garlic, is so from where last season's ends, however soon
    the new one takes over: else the same days would ask for it twice.
    """
    years = years_to(old)
    end = last_later(want.end, years)
    start = later(want.start, years)
    if want.start <= old.start:
        start = max(new.start, start) if wanted_once(want) else new.start
    return min(start, end), end


def wanted_once(want: Want) -> bool:
    """Return whether a want is one period from its first day to its last, if nobody is away."""
    days = (want.end - want.start).days + 1
    return 2 * (days - want.per_days) < want.per_days
