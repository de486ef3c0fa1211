"""One crop through a year of sowing dates: each date's course, and how soon to sow again.

A constant gap between sowings does not give a constant gap between harvests. Into spring, later
sowings catch up with earlier ones; into autumn, days apart in the tray become weeks apart in the
bed. So the gap that keeps a weekly harvest is looked up in the courses themselves.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from sowplan.growth.courses import Conditions, Course, CourseTable
from sowplan.growth.evolve import evolve
from sowplan.growth.harvests import Absence
from sowplan.growth.reasons import by_cold_outside
from sowplan.records.crop import Crop

WEEK = 7
SHORT_DAY_H = 10.0  # growth all but stops below it: common practice, no source; shown, not used
# How far ahead the next sowing is looked for: no interval between sowings is longer.
_LOOK_DAYS = 150
# The longest course worth looking for after the last sowing: overwintered leeks and bulbs.
HORIZON_DAYS = 540


class GardenDays(NamedTuple):
    """The days on which a gardener sows, plants out and brings in, shape (days of the series,).

    None where any day will do.
    """

    sow: NDArray[np.bool_] | None = None
    out: NDArray[np.bool_] | None = None
    absence: Absence | None = None


ANY_DAY = GardenDays()


@dataclass(frozen=True)
class Row:
    """One sowing date.

    ``interval_days`` is after how many days to sow again so that the next harvest follows within
    a week (for a crop picked over weeks: within a week of its last pick); None where no later
    sowing can. ``missed`` are the days away, ends included, in which harvests fall that nobody
    brings in, so that it begins later or ends sooner.
    """

    course: Course
    interval_days: int | None
    missed: tuple[tuple[date, date], ...] = ()

    @property
    def days(self) -> int | None:
        """Days from sowing to the first harvest."""
        start = self.course.harvest_start
        return None if start is None else (start - self.course.sow).days


@dataclass(frozen=True)
class Succession:
    """Rows in order of sowing, and the spans of days shorter than ten hours, ends included."""

    rows: tuple[Row, ...]
    short_days: tuple[tuple[date, date], ...]


def succession(
    crop: Crop,
    sky: Any,
    days: int,
    every: int,
    conditions: Conditions,
    risk: float = 0.10,
    kept: GardenDays = ANY_DAY,
    first: int = 0,
) -> Succession:
    """Return the courses of sowings at even steps, and the interval that keeps a weekly harvest.

    Parameters
    ----------
    crop : Crop
        The crop.
    sky : Sky
        From the first sowing date on; `HORIZON_DAYS` longer than ``days``.
    days : int
        Days over which to sow, from the first day of the sky.
    every : int
        Days from one row to the next, at least 1.
    conditions : Conditions
        Where it is raised and grows on.
    risk : float
        Share of years in which a killing frost is borne.
    kept : GardenDays
        The gardener's days. A row on a day on which nothing is sown is worked out all the same.
    first : int
        Day of the first row.

    Returns
    -------
    Succession
        One row a sowing date.
    """
    series = sky.series
    sown = np.arange(min(days + _LOOK_DAYS, len(series)))
    table = evolve(crop, sky, sown, conditions, risk, kept.out, absence=kept.absence)
    rows = tuple(
        Row(table.course(i), next_sowing(table, i, crop.harvest == "pick", kept.sow))
        for i in range(first, min(days, len(table)), every)
    )
    return Succession(rows, _short_spans(series))


def next_sowing(
    table: CourseTable, i: int, picked: bool, sow: NDArray[np.bool_] | None = None
) -> int | None:
    """Return after how many days to sow again for a weekly harvest.

    Parameters
    ----------
    table : CourseTable
        Courses of sowings on consecutive days.
    i : int
        The sowing to follow.
    picked : bool
        Whether the crop gives week after week from one sowing.
    sow : ndarray of bool, shape (sowings or more,), optional
        Days on which the gardener sows; None for any.

    Returns
    -------
    int or None
        The largest number of days after which a sowing is fit within a week of this one's first
        harvest (of its last pick, where it is picked over weeks).
    """
    if not table.feasible[i]:
        return None
    begins = table.lot_ready[i].max() if picked else _first(table, slice(i, i + 1))[0]
    later = slice(i + 1, i + 1 + _LOOK_DAYS)
    in_time = table.feasible[later] & (_first(table, later) <= begins + WEEK)
    if sow is not None:
        in_time &= sow[: len(table)][later]
    found = np.flatnonzero(in_time)
    return int(found[-1]) + 1 if found.size else None


def _first(table: CourseTable, sowings: slice) -> NDArray[np.int64]:
    """Return the first day on which some sowings are brought in; far off where none is."""
    ready = table.lot_ready[sowings]
    return np.where(ready >= 0, ready, np.iinfo(np.int64).max // 2).min(axis=1)


def saved_by(
    cover: str,
    found: Succession,
    crop: Crop,
    sky: Any,
    conditions: Conditions,
    risk: float = 0.10,
    kept: GardenDays = ANY_DAY,
) -> tuple[int, ...]:
    """Return the places of the rows that frost takes and a cover would save.

    Parameters
    ----------
    cover : {'fleece', 'tunnel', 'glass'}
        What would be put over the place.
    found : Succession
        As ``succession`` gave it with the other arguments.

    Returns
    -------
    tuple of int
        Rows whose reason is frost, or cold in the open, and that come to harvest under the cover.
    """
    taken = [i for i, row in enumerate(found.rows) if by_cold_outside(row.course.reason)]
    days = [sky.series.index(found.rows[i].course.sow) for i in taken]
    covered = replace(conditions, cover=cover)
    table = evolve(crop, sky, days, covered, risk, kept.out, absence=kept.absence)
    return tuple(i for i, lives in zip(taken, table.feasible, strict=True) if lives)


def _short_spans(series: Any) -> tuple[tuple[date, date], ...]:
    """Return the runs of days shorter than ten hours."""
    short = np.concatenate([[False], series.daylength < SHORT_DAY_H, [False]]).astype(int)
    edges = np.flatnonzero(np.diff(short))
    pairs: Sequence[tuple[int, int]] = list(zip(edges[::2], edges[1::2], strict=True))
    return tuple((series.day(a), series.day(b - 1)) for a, b in pairs)
