"""How wide a plant has grown by a day: its spread between planting and first harvest.

Ground cover is taken as FAO-56 describes it: some 10 % at the end of the initial stage, full at the
end of the development stage, in straight lines between (FAO Irrigation and Drainage Paper 56,
chapter 6). Cover grows with the square of the spread.
"""

from __future__ import annotations

import math
from datetime import date

INITIAL_COVER = 0.10
"""Share of the ground covered at the end of the initial stage (FAO-56, chapter 6)."""

ONCE = (0.25, 0.60)
"""Ends of the initial and development stages as shares of the time to harvest, for crops lifted or
cut whole: the middle of cabbage, broccoli, cauliflower and lettuce in FAO-56, Table 11."""

OVER_WEEKS = (0.35, 0.85)
"""The same as shares of the time to the first of many harvests: tomato, cucumber, squash and bean
in Table 11, the first harvest a fifth into the mid-season (common practice, no source)."""

SEEDLING_M = 0.08
"""A seedling fit to be planted out is about so wide (common practice, no source)."""


def cover(progress: float, harvest: str) -> float:
    """Return the share of its full ground cover that a crop has reached.

    Parameters
    ----------
    progress : float
        Part of the way from planting to first harvest, 0 to 1; beyond 1 it is full-grown.
    harvest : str
        ``"once"``; or ``"cut"``, ``"pick"``, where harvests go on over weeks.
    """
    initial, full = ONCE if harvest == "once" else OVER_WEEKS
    if progress <= initial:
        return INITIAL_COVER * max(progress, 0.0) / initial
    more = (min(progress, full) - initial) / (full - initial)
    return INITIAL_COVER + (1.0 - INITIAL_COVER) * more


def spread_m(full_m: float, progress: float, harvest: str, least_m: float = 0.0) -> float:
    """Return how wide a plant is that grows ``full_m`` wide [m].

    Parameters
    ----------
    full_m : float
        Width of the full-grown plant [m].
    progress, harvest
        As for `cover`.
    least_m : float
        Its width on the day it is planted out [m]; 0 where it is sown where it grows.
    """
    return min(full_m, max(least_m, full_m * math.sqrt(cover(progress, harvest))))


def progress_until(share: float, harvest: str) -> float:
    """Return the part of the way to harvest at which the spread reaches a share of its full."""
    initial, full = ONCE if harvest == "once" else OVER_WEEKS
    reached = min(max(share, 0.0), 1.0) ** 2
    if reached <= INITIAL_COVER:
        return initial * reached / INITIAL_COVER
    return initial + (full - initial) * (reached - INITIAL_COVER) / (1.0 - INITIAL_COVER)


def spread_on(
    day: date,
    full_m: float,
    emergence: date,
    planting_out: date | None,
    ripe: date,
    harvest: str,
) -> float:
    """Return how wide a plant is on a day [m]; 0 before it has come up.

    Parameters
    ----------
    day : date
        The day asked about.
    full_m : float
        Width of the full-grown plant [m].
    emergence, planting_out, ripe : date
        Its dates; ``planting_out`` None where it was sown where it grows, ``ripe`` the day of the
        first harvest.
    harvest : str
        As for `cover`.
    """
    begins = planting_out or emergence
    if day < begins:
        return 0.0
    progress = (day - begins).days / max((ripe - begins).days, 1)
    return spread_m(full_m, progress, harvest, SEEDLING_M if planting_out else 0.0)
