"""One crop through a year of sowing dates in one garden, on the gardener's own days.

What `sowplan.growth.succession` gives on any day, but for days on which nobody is there to sow it,
plant it out or bring it in.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from sowplan.growth.courses import Conditions, Course
from sowplan.growth.reasons import day_words
from sowplan.growth.succession import ANY_DAY, GardenDays, Row, Succession, succession
from sowplan.records.crop import Crop
from sowplan.records.garden import Garden, Season, Want
from sowplan.season.days import (
    SOWN_BEFORE_DAYS,
    absence_of,
    away_days,
    closed_to_planting,
    closed_to_sowing,
    planting_days,
    watered_days,
    why_not_brought_in,
    why_not_sown,
)
from sowplan.season.periods import Spans, is_away

WEEK_DAYS = 7


def days_kept(season: Season, sky: Any, watered_days: int = SOWN_BEFORE_DAYS) -> GardenDays:
    """Return the days a season leaves, of a sky: those away and `never_on` are not.

    And, to sow what must be watered for so many days, those just before long ones away.

    `sow_on` is left aside: what becomes of a sowing is asked for any day. `harvest_on` is kept.
    """
    if not (season.away or season.never_on or season.harvest_on):
        return ANY_DAY
    start, days = sky.series.start, len(sky.series)
    weekdays = (start.weekday() + np.arange(days)) % WEEK_DAYS
    closed = away_days(closed_to_sowing(season, watered_days), start, days)
    shut = closed | np.isin(weekdays, season.never_on)
    any_weekday = replace(season, sow_on=())
    return GardenDays(
        ~shut, planting_days(any_weekday, start, days), absence_of(season, start, days)
    )


def year_of(
    garden: Garden, crop: Crop, sky: Any, days: int, every: int, conditions: Conditions
) -> Succession:
    """Return what becomes of a crop sown on each date of a year in a garden.

    Parameters
    ----------
    garden : Garden
        Its season says when nobody is there, and on which weekdays nothing is done.
    crop : Crop
        The crop.
    sky : Sky
        From the first day of the season on; see `succession`.
    days, every : int
        Days over which to sow, and from one row to the next.
    conditions : Conditions
        Where it is raised and grows on.

    Returns
    -------
    Succession
        A date on which it cannot be sown, planted out or brought in is not feasible, and its
        reason says so. Weeks are counted from the first day on which anything is done.
    """
    season, risk = garden.season, garden.climate.frost_risk
    first = 0
    while every % WEEK_DAYS == 0 and (sky.series.start.weekday() + first) % 7 in season.never_on:
        first += 1
    needs = watered_days(crop, conditions)
    kept = days_kept(season, sky, needs)
    found = succession(crop, sky, days, every, conditions, risk, kept, first)
    if kept is ANY_DAY:
        return found
    always = succession(crop, sky, days, every, conditions, risk, first=first)
    rows = (_row(a, b, season, needs) for a, b in zip(found.rows, always.rows, strict=True))
    return replace(found, rows=tuple(rows))


def _row(row: Row, always: Row, season: Season, needs: int) -> Row:
    """Return a row as it is in this season; ``always``: were somebody there on every day."""
    course = row.course
    shut = why_not_sown(season, course.sow, needs)
    if shut:
        return Row(_not(course, shut, emergence=None, planting_out=None), None)
    if course.reason:
        out = always.course.planting_out
        if always.course.reason or out is None or not is_away(closed_to_planting(season), out):
            return row  # where it is only put off by a few days, what comes of that is the reason
        told = f"would be planted out about {day_words(out)}, in or near the days away"
        return Row(_not(course, told), None)
    if course.feasible and not course.lots:
        return Row(_not(course, why_not_brought_in(season, course.harvest_start)), None)
    if course.lots and course.lots[0].ready != course.harvest_start:
        ready = course.lots[0].ready
        late = max(ready, course.harvest_start_late or ready)
        row = replace(row, course=replace(course, harvest_start=ready, harvest_start_late=late))
    return replace(row, missed=_missed(course, always.course, season))


def _missed(course: Course, always: Course, season: Season) -> Spans:
    """Return the days away in which harvests fall that do not come as they would."""
    kept = {lot.ready for lot in course.lots}
    lost = [lot.ready for lot in always.lots if lot.ready not in kept]
    return tuple(
        (first, last) for first, last in season.away if any(first <= day <= last for day in lost)
    )


def _not(course: Course, reason: str, **blank: None) -> Course:
    """Return a course of which nothing comes, for a reason."""
    return replace(
        course,
        harvest_start=None,
        harvest_start_early=None,
        harvest_start_late=None,
        harvest_end=None,
        lots=(),
        feasible=False,
        reason=reason,
        **blank,
    )


def wish_of(garden: Garden, crop: Crop) -> Want | None:
    """Return the first want of a crop that says how it is raised, or where it grows."""
    return next(
        (want for want in garden.wants if want.crop == crop.key and (want.raising or want.places)),
        None,
    )
