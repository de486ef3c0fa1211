"""What a cover over a bed does to the weather under it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class CoverEffect:
    """What a cover does: kelvins added to the night's minimum and the day's maximum, light let in.

    ``day_k`` is that of a sunny day; without sun it does nothing.

    ``frost_k`` is how much lower the outside minimum may fall for the same frost inside; less than
    ``night_k``, for on a clear still night a thin cover holds less than on the average one.
    """

    night_k: float
    day_k: float
    frost_k: float
    light: float


# From memory: the usual figures for unheated covers that are aired on hot days.
COVERS = {
    "none": CoverEffect(0.0, 0.0, 0.0, 1.00),
    "fleece": CoverEffect(1.5, 2.5, 1.5, 0.85),
    "tunnel": CoverEffect(1.5, 8.0, 1.5, 0.75),
    "glass": CoverEffect(2.5, 8.0, 2.0, 0.75),
}
