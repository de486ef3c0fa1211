"""The season as numbers: what may be sown, what room there is, what is wanted.

Nothing here knows of gardens, crops by name or weather; days are counted from the first day of the
instance. A *batch* is an option with a number of plants, standing in one place. Everything that
chooses, bounds or improves a season works on this form alone, so that it can be tried on made-up
instances as well as on gardens.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]

IN_TRAYS, DIRECT, BOUGHT = 0, -1, -2
"""How an option is raised (`Options.raising`); the last two stand for its group of trays as well.

What is bought is sown and planted on one day: it takes no cells, and its ground from that day."""
WAYS = 3
"""How many of them there are: so many sowings may be made of a crop on one day."""

NEVER = 1 << 20
"""A day beyond any season."""
NO_HARVEST = (NEVER, NEVER, -NEVER, 1e-8)
"""Lot of what gives nothing, or nothing more: never fit, next to nothing. Ready, last, expiry and
share."""


@dataclass(frozen=True)
class Spot:
    """One bed, channel or set of pots: ``size`` units of room of one ``group``.

    Places of a group are alike to every crop: same kind, width, cover and light. ``whole`` says
    that a batch must stand in one piece (a strip of a bed); holes and pots need not adjoin.
    ``poleward`` is the end that looks away from the midday sun, where tall crops shade nothing: 1
    the last unit, -1 the first, 0 where neither does. The bits of ``closed`` are units that nothing
    can ever take: beside a pipe, say.
    """

    name: str
    group: int
    size: int
    whole: bool
    poleward: int = 0
    closed: int = 0

    @property
    def open(self) -> int:
        """Number of units that can be taken."""
        return self.size - self.closed.bit_count()

    @property
    def ground(self) -> int:
        """The units that can be taken, as bits."""
        return ((1 << self.size) - 1) & ~self.closed


@dataclass(frozen=True)
class TrayShelf:
    """A tray: ``cells`` of one ``group``, alike in warmth and light."""

    name: str
    group: int
    cells: int


@dataclass(frozen=True, eq=False)
class Periods:
    """What is wanted of one crop, in whole plants' yield, sorted by first day.

    All of shape (periods,): first and last day, plants wanted, the weight of one plant missing
    [want-weeks a plant], and which want it belongs to.
    """

    start: Ints
    end: Ints
    need: Floats
    weight: Floats
    want: Ints

    def __len__(self) -> int:
        return len(self.start)

    @cached_property
    def apart(self) -> bool:
        """Whether no two periods share a day."""
        return bool(np.all(self.start[1:] > self.end[:-1]))


@dataclass(frozen=True, eq=False)
class Options:
    """Every way to grow a batch of one crop; one row an option.

    Shape (options,): sowing day, first day in the place, first day the place is free again, group
    of places, group of trays (or `DIRECT`, `BOUGHT`), and ``course``, by which the maker of the
    instance finds the dates again: options of one course differ only in place and in the day of
    clearing.
    ``fixed`` is the number of the fixed sowing an option belongs to, -1 for free ones.

    Shape (lots,): option it belongs to (ascending), first and last day fit to bring in, last day
    fit to eat, and share of the batch's whole yield.
    """

    sow: Ints
    into: Ints
    clear: Ints
    group: Ints
    tray: Ints
    course: Ints
    fixed: Ints
    lot_option: Ints
    lot_ready: Ints
    lot_last: Ints
    lot_expiry: Ints
    lot_share: Floats

    def __len__(self) -> int:
        return len(self.sow)

    @cached_property
    def lot_start(self) -> Ints:
        """Shape (options + 1,): where each option's lots start."""
        return np.searchsorted(self.lot_option, np.arange(len(self) + 1))

    @cached_property
    def bears(self) -> NDArray[np.bool_]:
        """Shape (options,): whether anything is brought in of an option."""
        found = np.zeros(len(self), bool)
        found[self.lot_option[self.lot_ready < NEVER]] = True
        return found

    @cached_property
    def rows(self) -> list[tuple[int, int, int, int, int, int]]:
        """Each option as (sow, into, clear, group, tray, fixed), for looking single ones up."""
        columns = (self.sow, self.into, self.clear, self.group, self.tray, self.fixed)
        return list(zip(*(column.tolist() for column in columns), strict=True))

    @cached_property
    def raising(self) -> Ints:
        """By option, `IN_TRAYS`, `DIRECT` or `BOUGHT`."""
        return np.minimum(self.tray, IN_TRAYS)

    @cached_property
    def sowing(self) -> list[int]:
        """By option, the number of the sowing it is of: the day, and how it is raised."""
        return (self.sow * WAYS + (self.raising + 1) % WAYS).tolist()

    @cached_property
    def lots(self) -> list[tuple[tuple[int, int, float], ...]]:
        """Each option's lots as (first day, last day fit to eat, share)."""
        ready, expiry = self.lot_ready.tolist(), self.lot_expiry.tolist()
        share, start = self.lot_share.tolist(), self.lot_start.tolist()
        return [
            tuple(zip(ready[a:b], expiry[a:b], share[a:b], strict=True))
            for a, b in zip(start[:-1], start[1:], strict=True)
        ]


NO_OPTIONS = Options(*(np.zeros(0, np.int64) for _ in range(11)), np.zeros(0))


@dataclass(frozen=True)
class Minutes:
    """Minutes of work: to ``begin`` each job of a batch, and a plant (a cell) of each job.

    ``pot_on`` is 0 for crops that are not potted on; others are where they are raised for
    ``pot_on_from`` days or longer, half way through.
    """

    begin: float
    cell: float
    sow: float
    pot_on: float
    plant_out: float
    clear: float
    pot_on_from: int = 42

    def jobs(
        self, sow: int | None, out: int | None, clear: int, cells_per_plant: float = 1.0
    ) -> list[tuple[int, float, float]]:
        """Return (day, minutes a plant, minutes to begin) of each job.

        What is sown direct has no ``out``, what is bought no ``sow``.
        """
        if sow is None:
            return [(out, self.plant_out, self.begin), (clear, self.clear, self.begin)]
        if out is None:
            return [(sow, self.sow, self.begin), (clear, self.clear, self.begin)]
        found = [(sow, self.cell * cells_per_plant, self.begin)]
        if self.pot_on and out - sow >= self.pot_on_from:
            found.append((sow + (out - sow) // 2, self.pot_on, self.begin))
        return [*found, (out, self.plant_out, self.begin), (clear, self.clear, self.begin)]


@dataclass(frozen=True, eq=False)
class CropCase:
    """One crop of an instance.

    ``room[group]`` is the units of room for 0, 1, 2 … plants, shape (most + 1,); a group that is
    missing does not suit the crop. ``gap_days`` is the wait before its family may come back.
    ``fewest`` is the least plants of a batch worth a sowing of its own, shape (options,).
    """

    key: str
    family: int
    gap_days: int
    cells_per_plant: float  # more than 1 where some cells are expected to stay empty
    periods: Periods
    options: Options
    room: dict[int, Ints]
    high: bool = False  # tall enough to shade what stands poleward of it
    fewest: Ints | None = None  # None: any number will do
    minutes: Minutes | None = None  # None: its work is not counted
    stored: bool = False  # grown to be kept: as good after months as fresh

    @cached_property
    def units(self) -> dict[int, list[int]]:
        """The room tables as lists, for looking single numbers up."""
        return {group: room.tolist() for group, room in self.room.items()}

    @cached_property
    def least(self) -> list[int]:
        """Least plants of a batch, by option."""
        many = len(self.options)
        return [1] * many if self.fewest is None else self.fewest.tolist()

    @cached_property
    def rate(self) -> Floats:
        """Least room a plant of each option can take, shape (options,): what the bound counts with.

        Of plants that serve: whole rows and least batches make a small batch take more room for
        each than a large one, and of a batch larger than what its lots find eaters for
        (`most_eaten`) the rest serves nothing.
        """
        rate = np.zeros(len(self.options))
        for group, units in self.room.items():
            here = self.options.group == group
            if len(units) > 1 and here.any():
                rate[here] = self._least_each(np.asarray(units, float), here)
        return rate

    @cached_property
    def cell_rate(self) -> Floats:
        """Least tray cells a plant of each option that serves can take, shape (options,)."""
        rate = np.zeros(len(self.options))
        raised = self.options.tray >= 0
        if raised.any():
            most = max([int(self.useful.max(initial=1.0)) + 1, *self.least])
            cells = np.array([self.cells(n) for n in range(most + 1)], float)
            rate[raised] = self._least_each(cells, raised)
        return rate

    def _least_each(self, taken: Floats, here: NDArray[np.bool_]) -> Floats:
        """Return the least of ``taken[plants]`` for each plant that serves, for some options."""
        taken = np.minimum.accumulate(taken[::-1])[::-1]
        plants = np.arange(1, len(taken))
        # A sowing the gardener has decided on may be smaller than one worth choosing.
        fewest = np.where(self.options.fixed < 0, self.least, 1)
        each: dict[tuple[int, float], float] = {}
        found = []
        for least, useful in zip(fewest[here].tolist(), self.useful[here].tolist(), strict=True):
            if (least, useful) not in each:
                first = min(least, len(plants))
                last = min(max(first, int(np.ceil(useful - 1e-9))), len(plants))
                some = plants[first - 1 : last]
                each[least, useful] = float((taken[some] / np.minimum(some, useful)).min())
            found.append(each[least, useful])
        return np.array(found)

    @cached_property
    def useful(self) -> Floats:
        """Plants of each option that can serve at all; of a fixed one as many as there are."""
        free = self.options.fixed < 0
        many = max((len(units) for units in self.room.values()), default=1)
        return np.where(free & (self.most_eaten > 0), self.most_eaten, float(max(many, 1)))

    @cached_property
    def most_eaten(self) -> Floats:
        """Plants of each option beyond which every lot finds all it may serve served."""
        options, periods = self.options, self.periods
        most = np.zeros(len(options))
        if len(periods) and len(options.lot_ready):
            fits = (options.lot_ready[:, None] <= periods.end) & (
                options.lot_expiry[:, None] >= periods.start
            )
            np.maximum.at(most, options.lot_option, (fits @ periods.need) / options.lot_share)
        return most

    def jobs(self, option: int) -> list[tuple[int, float, float]]:
        """Return (day, minutes a plant, minutes to begin) of each job of an option's batch."""
        if self.minutes is None:
            return []
        sow, into, clear, _, tray, _ = self.options.rows[option]
        sown, out = None if tray == BOUGHT else sow, None if tray == DIRECT else into
        return self.minutes.jobs(sown, out, clear, self.cells_per_plant)

    def cells(self, plants: int) -> int:
        """Return the cells to sow for so many plants: one each, and some over where many fail."""
        return max(plants, math.floor(plants * self.cells_per_plant + 0.5))

    @cached_property
    def worth(self) -> float:
        """Want-weeks that one plant's yield is worth; 0 where nothing is wanted."""
        need = float(self.periods.need.sum())
        return float((self.periods.need * self.periods.weight).sum()) / need if need else 0.0


@dataclass(frozen=True)
class Stay:
    """A family's stay in a place before the season: until which day it stood there."""

    spot: int
    family: int
    until: int


@dataclass(frozen=True)
class FixedBatch:
    """A sowing the gardener has decided on; ``spot`` None where the plan may choose the place.

    ``units`` and ``cells`` are what one that stands already takes, whatever so many plants would
    take today; None where it is not sown yet.
    """

    crop: int
    plants: int
    spot: int | None
    units: int | None = None
    cells: int | None = None


@dataclass(frozen=True, eq=False)
class Instance:
    """A whole season: ``days`` long, counted from 0; of one begun, ``gone`` days are over."""

    days: int
    spots: tuple[Spot, ...]
    trays: tuple[TrayShelf, ...]
    crops: tuple[CropCase, ...]
    stays: tuple[Stay, ...] = ()
    fixed: tuple[FixedBatch, ...] = ()
    turn_days: int = field(default=365)  # how long a family's turn in a bed may last
    gone: int = 0
    week_minutes: float | None = None  # most minutes of work in any week; None: as many as it takes
    week_begun: int = 0  # days of the first week that lie before day 0

    def week(self, day: int) -> int:
        """Return which week a day lies in, the one of day 0 being 0."""
        return (day + self.week_begun) // 7

    @cached_property
    def wanted(self) -> float:
        """All that is wanted [want-weeks]."""
        return float(sum((c.periods.need * c.periods.weight).sum() for c in self.crops))

    @cached_property
    def extent(self) -> int:
        """How large the season is to a search: places times periods to serve."""
        return len(self.spots) * sum(len(case.periods) for case in self.crops)

    @cached_property
    def spots_of(self) -> dict[int, list[int]]:
        """Spots of each group, in file order."""
        return _by_group(spot.group for spot in self.spots)

    @cached_property
    def trays_of(self) -> dict[int, list[int]]:
        """Trays of each group, in file order."""
        return _by_group(tray.group for tray in self.trays)


def _by_group(groups) -> dict[int, list[int]]:
    found: dict[int, list[int]] = {}
    for number, group in enumerate(groups):
        found.setdefault(group, []).append(number)
    return found


@dataclass(frozen=True)
class Batch:
    """A batch that stands: which option of which crop, how many, where.

    ``mask`` has a bit set for each unit of room taken, lowest first.
    """

    crop: int
    option: int
    plants: int
    spot: int
    mask: int
    tray: int  # -1: in none
    cells: int
    fixed: bool = False
