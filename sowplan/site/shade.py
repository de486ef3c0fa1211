"""Direct sun on a bed: walls, trees and hills against the sun's path in mid-month.

The sky is clear throughout: these are the hours in which the sun, if it shines, reaches
the middle of the bed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from sowplan.records.garden import Obstacle, Site
from sowplan.records.garden_file.values.months import MONTHS
from sowplan.site.sun import position

Floats = NDArray[np.float64]

WANTED_HOURS = 6.0  # of direct sun a day for a bed: common practice, no source
# Share of the light that comes from the whole sky rather than the sun, over a year with
# clouds: about a half in the middle latitudes (common practice, no source).
DIFFUSE_SHARE = 0.5
_HORIZON = -0.833  # the sun's upper edge shows, with usual refraction [°]
_STEP_MINUTES = 4
_YEAR = 2025  # any: the path in mid-month shifts by a minute or two from year to year


@dataclass(frozen=True, eq=False)
class DirectSun:
    """Direct sun by month, January first; each array of shape (12,)."""

    hours: Floats  # in which the sun reaches the bed [h/day]
    open_hours: Floats  # from sunrise to sunset in the open [h/day]
    light_share: Floats  # of the open sky's light that reaches the bed, 0 to 1


def direct_sun(site: Site, obstacles: Sequence[Obstacle] = ()) -> DirectSun:
    """Return how much direct sun reaches a bed in the middle of each month.

    Parameters
    ----------
    site : Site
        Place and its skyline, straight between the points given and around through north;
        its time zone plays no part.
    obstacles : sequence of Obstacle
        Walls and trees, seen from the middle of the bed.

    Returns
    -------
    DirectSun
        Hours and shares by month. Leafless trees are counted like those in leaf.
    """
    elevation, azimuth = mid_month_paths(site)
    blocked_to = skyline(azimuth, obstacles, site.horizon)
    blocked_to = np.where(blocked_to > 0, blocked_to, _HORIZON)
    up, reaches = elevation > _HORIZON, elevation > blocked_to
    beam = np.maximum(np.sin(np.radians(elevation)), 0.0)
    total = beam.sum(axis=1)
    direct = np.divide((beam * reaches).sum(axis=1), total, out=np.ones(12), where=total > 0)
    around = np.radians(np.maximum(skyline(np.arange(360.0), obstacles, site.horizon), 0.0))
    sky = float(np.mean(np.cos(around) ** 2))  # sky view of level ground under a horizon
    hour = _STEP_MINUTES / 60
    return DirectSun(
        hours=reaches.sum(axis=1) * hour,
        open_hours=up.sum(axis=1) * hour,
        light_share=(1 - DIFFUSE_SHARE) * direct + DIFFUSE_SHARE * sky,
    )


def mid_month_paths(site: Site) -> tuple[Floats, Floats]:
    """Return the sun's elevation and azimuth [°] on the 15th of each month.

    Each of shape (12, steps), a step four minutes, from one local midnight to the next.
    """
    steps = 24 * 60 // _STEP_MINUTES
    days = np.array([date(_YEAR, month, 15).toordinal() for month in range(1, 13)])
    clock = (np.arange(steps) + 0.5) / steps - site.longitude / 360.0
    return position(site.latitude, site.longitude, days[:, None] + clock)


def skyline(
    azimuth: Floats,
    obstacles: Sequence[Obstacle] = (),
    horizon: Sequence[tuple[float, float]] = (),
) -> Floats:
    """Return how high the sky is blocked at each azimuth [°], same shape; 0 in the open.

    A wall is a straight upright face square to its bearing; a tree counts as one of its
    width and height.
    """
    azimuth = np.asarray(azimuth, dtype=float)
    height = np.zeros(azimuth.shape)
    if len(horizon):
        bearings, heights = np.array(sorted((b % 360.0, h) for b, h in horizon)).T
        height = np.interp(azimuth, bearings, heights, period=360.0)
    for item in obstacles:
        off = (azimuth - item.bearing_deg + 180.0) % 360.0 - 180.0
        half = np.degrees(np.arctan2(item.width_m / 2, item.distance_m))
        way = item.distance_m / np.cos(np.radians(np.clip(off, -89.9, 89.9)))
        rise = np.degrees(np.arctan2(item.height_m, way))
        height = np.where(np.abs(off) <= half, np.maximum(height, rise), height)
    return height


def short_of_sun(bed: str, sun: DirectSun, months: Sequence[int], wanted: float) -> str | None:
    """Name a bed that gets less direct sun than is wanted in some months of use.

    Parameters
    ----------
    bed : str
        Its name.
    sun : DirectSun
        What reaches it.
    months : sequence of int
        The months in use, 1 to 12.
    wanted : float
        Hours a day; ``WANTED_HOURS`` is usual.

    Returns
    -------
    str or None
        A sentence, or None where there is enough. Where even the open sky has less, as in
        a high-latitude winter, the obstacles are not blamed.
    """
    short = [
        m
        for m in months
        if sun.hours[m - 1] < wanted and sun.hours[m - 1] < sun.open_hours[m - 1] - 0.25
    ]
    if not short:
        return None
    worst = min(short, key=lambda m: sun.hours[m - 1])
    names = ", ".join(MONTHS[m - 1] for m in short)
    return (
        f"{bed} gets less than {wanted:g} hours of direct sun a day in {names}: "
        f"{sun.hours[worst - 1]:.1f} of {sun.open_hours[worst - 1]:.1f} hours in mid-"
        f"{MONTHS[worst - 1]}. Leafy crops bear that best; fruiting ones want the sunnier beds."
    )
