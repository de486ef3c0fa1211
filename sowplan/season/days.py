"""The gardener's days: to sow, plant out and harvest, when what is wanted, when nobody is there."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from sowplan.growth.courses import Conditions
from sowplan.growth.harvests import Absence
from sowplan.records.crop import Crop
from sowplan.records.garden import Garden, Season, Want
from sowplan.records.garden_file.values.months import WEEKDAYS
from sowplan.season.choices.instance import Periods
from sowplan.season.periods import Spans, harvest_weekdays, is_away, want_periods
from sowplan.season.plan import PlanSite

USUAL_SOWING_DAY = 5  # Saturday

LONG_AWAY_DAYS = 5
"""From so many days on, an absence is prepared for (these four: common practice, no source)."""
SOWN_BEFORE_DAYS = 5  # the last days before it: seed just sown would dry out, if nobody waters
PLANTED_BEFORE_DAYS = 3  # and seedlings just planted out would wilt, as above
HARDENED_AFTER_DAYS = 5  # the first days after it: what is planted out has to be hardened off first


def sowing_days(garden: Garden, watered_days: int = SOWN_BEFORE_DAYS) -> list[date]:
    """Return the days of the season on which the gardener sows: Saturdays where none are named.

    Of what must be watered for ``watered_days``: of seed, if nothing is said. With none, all days
    on which anything at all may be sown.
    """
    season = garden.season
    weekdays = sowing_weekdays(season)
    closed = closed_to_sowing(season, watered_days)
    days = (season.start + timedelta(days=n) for n in range((season.end - season.start).days + 1))
    return [day for day in days if day.weekday() in weekdays and not is_away(closed, day)]


def closed_to_sowing(season: Season, watered_days: int = SOWN_BEFORE_DAYS) -> Spans:
    """Return the times in which nothing is sown: the days away, and just before the long ones."""
    return _widened(season, watered_days, 0)


def watered_days(crop: Crop, conditions: Conditions) -> int:
    """Return for how many days somebody has to water what is sown, or set, in some conditions.

    Seed potatoes and cloves live on what is in them; seed does not, nor does anything in a tray,
    and plants that are bought have leaves to wilt.
    """
    if conditions.bought:
        return PLANTED_BEFORE_DAYS
    if conditions.raised or crop.watered_days is None:
        return SOWN_BEFORE_DAYS
    return crop.watered_days


def why_not_sown(season: Season, day: date, watered_days: int = SOWN_BEFORE_DAYS) -> str:
    """Return why what must be watered so long is not sown on a day; empty where it may be."""
    if is_away(season.away, day):
        return "nobody is there"
    if is_away(closed_to_sowing(season, watered_days), day):
        return "just before days away, and nobody waters"
    never = day.weekday() in season.never_on
    return f"nothing is done on {WEEKDAYS[day.weekday()]}s" if never else ""


def sowing_weekdays(season: Season) -> tuple[int, ...]:
    """Return the weekdays to sow on; where none are named, the usual one or the last before it."""
    days = [(USUAL_SOWING_DAY - n) % 7 for n in range(7)]
    return season.sow_on or tuple(day for day in days if day not in season.never_on)[:1]


def planting_days(season: Season, start: date, days: int) -> NDArray[np.bool_] | None:
    """Return on which days from ``start`` on may be planted out; None where any day will do."""
    if not (season.sow_on or season.away or season.never_on):
        return None
    weekdays = (start.weekday() + np.arange(days)) % 7
    works = np.isin(weekdays, season.sow_on) if season.sow_on else np.ones(days, bool)
    closed = closed_to_planting(season)
    return works & ~away_days(closed, start, days) & ~np.isin(weekdays, season.never_on)


def closed_to_planting(season: Season | PlanSite) -> Spans:
    """Return when nothing is planted out: days away, and those just beside the long ones."""
    return _widened(season, PLANTED_BEFORE_DAYS, HARDENED_AFTER_DAYS)


def days_off(season: Season | PlanSite, start: date, days: int) -> NDArray[np.bool_] | None:
    """Return on which days from ``start`` on nothing is harvested; None where it may be on any."""
    if not (season.away or season.never_on or season.harvest_on):
        return None
    weekdays = (start.weekday() + np.arange(days)) % 7
    return away_days(season.away, start, days) | ~np.isin(weekdays, harvest_weekdays(season))


def why_not_brought_in(season: Season, day: date) -> str:
    """Return why nobody brings in what is fit from a day on."""
    if season.harvest_on and not is_away(season.away, day):
        return "none of your days to harvest falls in those on which it is fit"
    if season.never_on and not season.away:
        return "nothing is done on the days on which it is fit"
    return "nobody is there when it is fit"


def absence_of(season: Season | PlanSite, start: date, days: int) -> Absence | None:
    """Return when from ``start`` on nothing is brought in; None where it may be on any day."""
    off = days_off(season, start, days)
    if off is None:
        return None
    return Absence(off, away_days(season.picked, start, days) & off)


def _widened(season: Season | PlanSite, before: int, after: int) -> Spans:
    """Return the days away, the long ones with so many days before and after them.

    None before where somebody waters meanwhile.
    """
    found = []
    for first, last in season.away:
        if (last - first).days + 1 >= LONG_AWAY_DAYS:
            if (first, last) not in season.watered:
                first -= timedelta(days=before)
            last += timedelta(days=after)
        found.append((first, last))
    return tuple(found)


def away_days(away: Spans, start: date, days: int) -> NDArray[np.bool_]:
    """Return on which days from ``start`` on nobody is there, shape (days,)."""
    gone = np.zeros(days, bool)
    for first, last in away:
        gone[max((first - start).days, 0) : max((last - start).days + 1, 0)] = True
    return gone


def periods_of(wants: Iterable[Want], crop: Crop, origin: date, away: Spans = ()) -> Periods:
    """Return all periods of a crop's wants, in order of their days.

    A period weighs its days: a week of one want is worth a week of any other, so that heads and
    kilograms can be added up; times the gardener's priority.
    """
    rows = []
    for number, want in enumerate(wants):
        if want.crop != crop.key or want.amount <= 0:
            continue
        need = want.amount * plants_per_unit(crop, want.unit)
        weight = want.priority * want.per_days / 7.0 / need
        for start, end in want_periods(want, away):
            rows.append(((start - origin).days, (end - origin).days, need, weight, number))
    rows.sort()
    start, end, need, weight, want_number = zip(*rows, strict=True) if rows else ((),) * 5
    return Periods(
        np.array(start, np.int64),
        np.array(end, np.int64),
        np.array(need, float),
        np.array(weight, float),
        np.array(want_number, np.int64),
    )


def plants_per_unit(crop: Crop, unit: str) -> float:
    """Return the plants whose whole yield is one unit of a want."""
    if unit == "plants":
        return 1.0
    if unit == "kg" and crop.harvest_unit != "kg":
        return 1.0 / crop.kg_per_plant
    return 1.0 / crop.units_per_plant
