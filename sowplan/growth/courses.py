"""What becomes of a sowing: its dates, its harvests, and whether it can be at all."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal


@dataclass(frozen=True)
class Conditions:
    """Where a crop is raised and where it grows on; equal conditions give equal courses.

    ``tray_*`` None: the air's temperature, the sky's light. ``raised`` False: sown direct.
    ``light_share`` is the share of the open sky's light that reaches the place.
    """

    raised: bool
    cover: Literal["none", "fleece", "tunnel", "glass"] = "none"
    tray_temperature_c: float | None = None
    tray_dli_mol: float | None = None
    light_share: float = 1.0


@dataclass(frozen=True)
class Lot:
    """One harvest of a sowing: fit to bring in from ``ready`` to ``last`` (both included).

    ``share`` is the part of the sowing's whole yield it brings; shares of a course sum to 1
    where the season lets every cut or pick happen, to less where it ends early.
    """

    ready: date
    last: date
    share: float


@dataclass(frozen=True)
class Course:
    """The likely dates of one sowing, with the early and late of the first harvest (10 and 90 %).

    Dates are None from the first event that does not come to pass; ``reason`` then says
    in gardener's words why the sowing is not feasible.
    """

    sow: date
    emergence: date | None
    planting_out: date | None  # None for direct sowings as well
    harvest_start: date | None
    harvest_start_early: date | None
    harvest_start_late: date | None
    harvest_end: date | None  # last day the last lot stands fit
    lots: tuple[Lot, ...] = ()
    feasible: bool = True
    reason: str = ""
