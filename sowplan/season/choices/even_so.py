"""Sowings that come to nothing and stand all the same, because the gardener says so.

A ``[[sowing]]`` with ``even_so`` of which nothing can be brought in still takes its ground, its
cells and its hours. In the instance it is an option whose only lot is `NO_HARVEST`.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from sowplan.growth.courses import CourseTable
from sowplan.growth.evolve import kills_c
from sowplan.growth.reasons import in_units
from sowplan.records.crop import POTTED_ON, Crop
from sowplan.records.garden import FixedSowing
from sowplan.season.choices.book import Book, Settled, Way
from sowplan.season.choices.instance import NEVER
from sowplan.season.days import why_not_brought_in

WAITED_DAYS = 28
"""So long a gardener waits for seed that does not come up, or looks on at seedlings frost may take
any night, before the ground is used again (common practice, no source)."""


HELD_DAYS = 84
"""So long seedlings are held in their tray, potted on, for days that are fit for them (common
practice, no source); where none comes they go out when they are large enough."""

NOT_BY_THEN = "not ready by then"
"""Why nothing comes of what is cleared by the gardener's own word, before it is ready."""


class Vain(NamedTuple):
    """When a sowing of which nothing comes enters its place, and the first day it is gone."""

    into: int
    clear: int


def in_vain(crop: Crop, way: Way, row: int, own: Settled, frost: Any, risk: float) -> Vain | None:
    """Return the stay of a sowing of which nothing is brought in; None where it is over before.

    It stands until the gardener says, but is not planted out before it is large enough: where that
    is too late, it is not in its place at all. Else, what would have been fit while nobody was
    there stands to its end; what comes up, until frost kills it or for as long as it usually takes
    to be ready; what does not is waited for.

    Parameters
    ----------
    crop : Crop
        The crop.
    way : Way
        How it is grown.
    row : int
        The row of its courses.
    own : Settled
        The gardener's sowing.
    frost : FrostOutlook
        Of the site, from day 0 on.
    risk : float
        Share of years in which frost may catch it.
    """
    table, raised = way.courses, way.conditions.raised and not way.conditions.bought
    day, up = int(table.sow[row]), int(table.emergence[row])
    into = int(table.planting_out[row]) if raised else day
    if into < 0:
        into = _out_even_so(crop, table, row, own.end)
    if raised and large_too_late(table, row, own.end):
        return None
    begins = max(into, up, own.since)
    if own.end < NEVER:
        clear = own.end
    elif table.feasible[row]:
        clear = 1 + max(
            int(table.harvest_start[row]), int(table.lot_last[row].max()), *table.spoilt[row]
        )
    elif up < 0:
        clear = begins + WAITED_DAYS
    else:
        sown = day if crop.maturity_from == "sowing" else begins
        ready = max(sown + round(crop.maturity_days), begins + WAITED_DAYS)
        clear = min(ready, _killed(safe_days(crop, way, frost, risk), begins))
    if clear <= max(own.since, day):
        return None
    return Vain(min(into, clear - 1), clear)


def held_until(crop: Crop, table: CourseTable, row: int, end: int) -> int:
    """Return the day on which seedlings that outgrow their cell go out all the same, and crop.

    What is potted on can be held for days that are fit for it, and grows on as any other from the
    day it is planted out: tomatoes of four to six weeks bear alike (Leskovar, Cantliffe and
    Stoffella 1991, J. Amer. Soc. Hort. Sci. 116:416; from memory). -1 where it cannot be held so
    long, or is no such crop: leaf and heads that are held bolt, or stay small.

    Parameters
    ----------
    crop : Crop
        The crop.
    table : CourseTable
        Its courses, raised in a tray.
    row : int
        The row of the sowing.
    end : int
        First day it is to be gone.
    """
    large, fit = int(table.large_enough[row]), int(table.fit_day[row])
    if crop.group != POTTED_ON or table.emergence[row] < 0 or large < 0 or table.feasible[row]:
        return -1
    return fit if large < fit < min(end, large + HELD_DAYS + 1) else -1


def large_too_late(table: CourseTable, row: int, end: int) -> bool:
    """Return whether seedlings that come up are large enough only when their stay is over."""
    return bool(table.emergence[row] >= 0 and table.large_enough[row] >= end)


def _out_even_so(crop: Crop, table: CourseTable, row: int, end: int) -> int:
    """Return the day on which seedlings go out of which, by the table, none is fit to.

    The first day on which they are large enough and the weather fits, were its nights warm if need
    be, while they can be held and before the end of their stay; else as soon as they are large
    enough. What does not come up would be so as old as it should be.
    """
    large = int(table.large_enough[row])
    if table.emergence[row] < 0 or large < 0:
        return int(max(table.emergence[row], table.sow[row])) + round(crop.tray_days or 0.0)
    until = min(end, large + HELD_DAYS + 1)
    fit = (int(days[row]) for days in (table.fit_day, table.cold_fit_day))
    return next((day for day in fit if large <= day < until), large)


def safe_days(crop: Crop, way: Way, frost: Any, risk: float, days: int = 0) -> NDArray[np.bool_]:
    """Return on which days no frost is likely to kill a crop where it grows; indoors so many."""
    deadly_c = kills_c(crop, way.conditions)
    return np.ones(days, bool) if deadly_c is None else frost.safe(deadly_c, risk)


def _killed(safe: NDArray[np.bool_], begins: int) -> int:
    """Return the first day on which frost has most likely killed what stands from a day on."""
    deadly = np.nonzero(~safe[begins:])[0]
    if not len(deadly):
        return NEVER
    first = int(deadly[0])
    return begins + (first + 1 if first else WAITED_DAYS)


def why_nothing(book: Book, sowing: FixedSowing, way: Way, row: int) -> str:
    """Return in gardener's words why nothing is brought in of a sowing; empty where none is known.

    Parameters
    ----------
    book : Book
        The garden's.
    sowing : FixedSowing
        The gardener's sowing.
    way : Way
        How it is grown.
    row : int
        The row of its courses.
    """
    table, season = way.courses, book.garden.season
    if table.reason[row] and not table.feasible[row]:
        return in_units(table.reason[row], book.garden.units)
    fit = book.day(table.harvest_start[row])
    if sowing.until is not None and sowing.until < fit:
        return NOT_BY_THEN
    return why_not_brought_in(season, fit) if fit >= season.start else ""
