"""What becomes of a sowing: its dates, its harvests, and whether it can be at all."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields, replace
from datetime import date, timedelta
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Index = NDArray[np.int64]
SMALL_SIZE = 0.9
"""What grows to less than this against its usual weight is told as small."""


@dataclass(frozen=True)
class Conditions:
    """Where a crop is raised and where it grows on; equal conditions give equal courses.

    ``tray_*`` None: the air's temperature, the sky's light. ``raised`` False: sown direct;
    ``bought``: raised by somebody else, and planted out on the day it would be sown.
    ``light_share`` is the share of the open sky's light that reaches the place: one for the whole
    year, or twelve for the months, January first. ``indoors_c`` is the temperature [°C] kept where
    it grows on, None outdoors; ``lamp_hours`` and ``lamp_dli_mol`` are those of the lamps there,
    None by a window. ``film``: in nutrient film instead of soil.
    """

    raised: bool
    cover: Literal["none", "fleece", "tunnel", "glass"] = "none"
    tray_temperature_c: float | None = None
    tray_dli_mol: float | None = None
    light_share: float | tuple[float, ...] = 1.0
    bought: bool = False
    indoors_c: float | None = None
    lamp_hours: float | None = None
    lamp_dli_mol: float | None = None
    film: bool = False

    @property
    def in_open(self) -> bool:
        """Whether it grows on in the open air, with nothing over it."""
        return self.cover == "none" and self.indoors_c is None


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

    Of bought plants ``sow`` and ``emergence`` are the day they are planted out.
    Dates are None from the first event that does not come to pass; ``reason`` then says
    in gardener's words why the sowing is not feasible. ``size`` is the weight of a plant against
    its usual one: below 1 of a bulb set late or with too little cold, or of leaf cut young before
    it bolts.
    """

    sow: date
    emergence: date | None
    planting_out: date | None  # None for direct sowings as well
    harvest_start: date | None
    harvest_start_early: date | None
    harvest_start_late: date | None
    harvest_end: date | None  # last day the last lot stands fit
    size: float = 1.0
    lots: tuple[Lot, ...] = ()
    feasible: bool = True
    reason: str = ""


@dataclass(frozen=True, eq=False)
class CourseTable:
    """The courses of many sowings of one crop in equal conditions, as arrays.

    All index arrays have shape (sowings,) and count days from ``start``; -1 stands for an event
    that does not come to pass. Lot arrays have shape (sowings, lots); a lot that does not come to
    pass has ready and last -1 and share 0. ``lot_*`` are the harvests in the likely weather,
    ``late_ready`` the days those of a late year are fit, of which the first is
    ``harvest_start_late``: in one year of ten it is later still. ``late_ready`` has no lot where
    frost or bolting ends a late year's sowing before it is fit; ``harvest_start_late`` is then the
    last day it stands.
    ``spoilt``, of the shape of the lots, is the day on which a lot that nobody was there to bring
    in is taken off; such a lot is none of ``lot_*``, and may lie between others. ``bolts`` is the
    day on which a sowing that frost does not end before runs to seed. ``size`` is that of `Course`.

    Of a seedling raised in a tray ``large_enough`` is the day on which it could be planted out by
    its size, ``fit_day`` the first from then on that is warm enough for it, and ``cold_fit_day``
    the first were its nights warm: told whatever comes of the sowing, for one who wants it even so.
    """

    start: date
    sow: Index
    emergence: Index
    planting_out: Index
    harvest_start: Index
    harvest_start_early: Index
    harvest_start_late: Index
    harvest_end: Index
    lot_ready: Index
    lot_last: Index
    lot_share: NDArray[np.float64]
    late_ready: Index
    spoilt: Index
    size: NDArray[np.float64]
    bolts: Index
    large_enough: Index
    fit_day: Index
    cold_fit_day: Index
    feasible: NDArray[np.bool_]
    reason: tuple[str, ...]

    def __len__(self) -> int:
        return len(self.sow)

    def course(self, i: int) -> Course:
        """Return one sowing's course; ``IndexError`` where there is no such sowing."""
        lots = zip(self.lot_ready[i], self.lot_last[i], self.lot_share[i], strict=True)
        return Course(
            sow=self._on(self.sow[i]),
            emergence=self._day(self.emergence[i]),
            planting_out=self._day(self.planting_out[i]),
            harvest_start=self._day(self.harvest_start[i]),
            harvest_start_early=self._day(self.harvest_start_early[i]),
            harvest_start_late=self._day(self.harvest_start_late[i]),
            harvest_end=self._day(self.harvest_end[i]),
            size=float(self.size[i]),
            lots=tuple(
                Lot(self._on(ready), self._on(last), float(share))
                for ready, last, share in lots
                if ready >= 0
            ),
            feasible=bool(self.feasible[i]),
            reason=self.reason[i],
        )

    def rows(self, rows: Index) -> CourseTable:
        """Return the courses of some sowings."""
        return self._changed(lambda name: getattr(self, name)[rows], [self.reason[k] for k in rows])

    def with_rows(self, rows: Index, others: CourseTable) -> CourseTable:
        """Return the table with others, as many, in the stead of some sowings."""
        told = list(self.reason)
        for row, reason in zip(rows.tolist(), others.reason, strict=True):
            told[row] = reason

        def exchanged(name: str) -> np.ndarray:
            column = getattr(self, name).copy()
            column[rows] = getattr(others, name)
            return column

        return self._changed(exchanged, told)

    def _changed(self, column: Callable[[str], np.ndarray], reason: list[str]) -> CourseTable:
        names = [field.name for field in fields(self) if field.name not in ("start", "reason")]
        return replace(self, reason=tuple(reason), **{name: column(name) for name in names})

    def _on(self, index: int) -> date:
        return self.start + timedelta(days=int(index))

    def _day(self, index: int) -> date | None:
        return None if index < 0 else self._on(index)
