"""Intercropping in time: when a catch crop goes in and out, and how wide the slow crop is by then.

Both go in on one day, the catch crop sown (or planted out) between the slow crop as that is planted
out. It is out within a week of being fit. By then the slow crop has the spread of `canopy`, and the
catch crop stands where that does not reach it. Days are those of the reference conditions or, with
a place and a day, dates of its own weather.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sowplan.bed.canopy import SEEDLING_M, progress_until, spread_m
from sowplan.bed.catch import between
from sowplan.bed.layout import Layout
from sowplan.bed.outlines import Outline, Rounded
from sowplan.bed.region import Region
from sowplan.bed.things import KeepOut
from sowplan.growth.courses import Conditions, Course
from sowplan.growth.evolve import evolve
from sowplan.growth.needs import needs_of
from sowplan.records.crop import Crop

LIFTED_WITHIN_DAYS = 7
"""A catch crop is cleared within a week of being fit (common practice, no source)."""
LATEST_DAYS = 21
"""A crop goes in on the day asked for, or the first after it on which it can, at most so late."""
BEFORE_DAYS = 150
AFTER_DAYS = 420


@dataclass(frozen=True)
class Stay:
    """A crop's time in the bed, in days from the day it goes in: to fit, and until it is out."""

    ready_days: float
    out_days: float
    raised: bool


@dataclass(frozen=True, eq=False)
class Intercrop:
    """A catch crop between a slow one.

    ``reach_m`` is how wide the slow crop is when the catch crop is cleared, ``met_days`` the days
    after which it would reach it, None where it never does. ``positions`` has shape (plants, 2).
    """

    main: Crop
    catch: Crop
    main_stay: Stay
    catch_stay: Stay
    positions: NDArray[np.float64]
    reach_m: float
    met_days: float | None

    @property
    def plants(self) -> int:
        """Number of plants (or clumps) of the catch crop."""
        return len(self.positions)


def usual_stay(crop: Crop, raised: bool) -> Stay:
    """Return a crop's stay in the conditions its row's figures hold for."""
    emergence = 0.0 if raised else crop.emergence_days
    ready = emergence + needs_of(crop, raised).field_days
    return Stay(ready, ready + min(crop.holding_days, LIFTED_WITHIN_DAYS), raised)


def stay_of(course: Course) -> Stay:
    """Return the stay of a course that comes to harvest."""
    enters = course.planting_out or course.sow
    ready = (course.harvest_start - enters).days
    last = min(course.lots[0].last, course.harvest_start + timedelta(days=LIFTED_WITHIN_DAYS))
    return Stay(ready, (last - enters).days, course.planting_out is not None)


def is_quick(crop: Crop) -> bool:
    """Return whether a crop can be a catch crop: gone at once, not picked for weeks; no climber."""
    return crop.harvest != "pick" and crop.support == "none"


def course_entering(
    crop: Crop, sky: Any, conditions: Conditions, day: date, risk: float = 0.10
) -> Course:
    """Return the course of a crop that goes into the bed on a day, or as soon after as can be.

    Parameters
    ----------
    crop : Crop
        The crop.
    sky : Sky
        Of the site, from `BEFORE_DAYS` before the day to `AFTER_DAYS` after it.
    conditions : Conditions
        Where it is raised and grows.
    day : date
        The day it is to be planted out, or sown where it is sown direct.
    risk : float
        Share of years in which a killing frost is borne.

    Returns
    -------
    Course
        With ``feasible`` False and a reason where nothing goes in within `LATEST_DAYS`.
    """
    series = sky.series
    wanted = series.index(day)
    raised = conditions.raised and crop.tray_days is not None
    first = 0 if raised else wanted
    table = evolve(crop, sky, np.arange(first, wanted + LATEST_DAYS + 1), conditions, risk)
    enters = table.planting_out if raised else table.sow
    fine = table.feasible & (enters >= wanted) & (enters <= wanted + LATEST_DAYS)
    if fine.any():
        good = np.flatnonzero(fine)
        # Of seedlings planted out on one day the youngest: they have not waited.
        return table.course(int(good[np.lexsort((-table.sow[good], enters[good]))[0]]))
    usual = round(crop.tray_days or 0.0) + round(crop.emergence_days) if raised else 0
    near = int(np.argmin(np.abs(table.sow - (wanted - usual))))
    return table.course(near)


def intercrop(
    main: Crop,
    catch: Crop,
    main_stay: Stay,
    catch_stay: Stay,
    layout: Layout,
    *,
    margin_m: float = 0.0,
    outline: Outline | None = None,
    keep_outs: Sequence[KeepOut] = (),
) -> Intercrop:
    """Return where a catch crop stands between a main crop, and until when.

    Parameters
    ----------
    main, catch : Crop
        The slow crop and the quick one.
    main_stay, catch_stay : Stay
        Their days in the bed.
    layout : Layout
        The slow crop's plants.
    margin_m : float
        Bare margin along all sides [m].
    outline, keep_outs
        As for `fit`: the catch crop keeps half its spacing from both.

    Returns
    -------
    Intercrop
        With no positions where the slow crop leaves no room.
    """
    full, least = main.spread_cm / 100, SEEDLING_M if main_stay.raised else 0.0
    progress = catch_stay.out_days / max(main_stay.ready_days, 1.0)
    reach = spread_m(full, progress, main.harvest, least)
    s, r = catch.spacing_cm / 100, catch.row_spacing_cm / 100
    points = between(
        layout.length_m,
        layout.width_m,
        layout.positions,
        reach,
        s,
        r,
        along=layout.along,
        margin_m=margin_m,
    )
    if len(points) and (outline is not None or len(keep_outs)):
        shape = Rounded(layout.length_m, layout.width_m) if outline is None else outline
        half = min(s, r) / 2
        points = points[Region(shape, margin_m + half, tuple(keep_outs), half).holds(points)]
    met = None
    if len(points):
        apart = np.hypot(*(points[:, None, :] - layout.positions[None, :, :]).T).min()
        room = max(2 * (float(apart) - max(s, r) / 2), 0.0)
        if room < full * (1 - 1e-9):
            met = progress_until(room / full, main.harvest) * main_stay.ready_days
    return Intercrop(main, catch, main_stay, catch_stay, points, reach, met)
