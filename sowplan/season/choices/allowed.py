"""What the gardener allows of a crop: in which places, how it is raised, how few at a time.

Each [[want]] may say so, and each [[sowing]] for itself. A batch that serves several wants of its
crop has to suit one of them; what a sowing does not say is as the wants of its crop have it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from sowplan.records.crop import Crop
from sowplan.records.garden import Garden, Raising
from sowplan.season.choices.instance import (
    BOUGHT,
    DIRECT,
    IN_TRAYS,
    Ints,
    Options,
    Periods,
    Spot,
    TrayShelf,
)

NUMBERS = {"in trays": IN_TRAYS, "direct": DIRECT, "bought plants": BOUGHT}
SOWN = frozenset({IN_TRAYS, DIRECT})
"""Ways to raise a crop that asks for none of them; plants are bought only where that is said."""


@dataclass(frozen=True)
class Terms:
    """How one want or sowing is to be grown.

    ``groups`` are those of the places it may stand in, None where all will do; ``ways`` how it may
    be raised; ``least`` the fewest plants of a batch. ``direct_first``: of these ways trays are
    for what is wanted when nothing sown direct in such a place would be fit.
    """

    groups: frozenset[int] | None = None
    ways: frozenset[int] = SOWN
    least: int = 1
    direct_first: bool = False

    def admit(self, group: int, raising: int) -> bool:
        """Return whether a batch may stand in places of a group, raised in such a way."""
        return (self.groups is None or group in self.groups) and raising in self.ways


@dataclass(frozen=True)
class Allowed:
    """The terms of one crop's wants and sowings, by their numbers in the garden file.

    ``anything``: nothing is said beyond the place of a sowing.
    """

    wants: dict[int, Terms]
    sowings: dict[int, Terms]
    anything: bool

    @property
    def direct(self) -> bool:
        """Whether any want or sowing may be sown direct."""
        return any(DIRECT in terms.ways for terms in self._every)

    @property
    def _every(self) -> tuple[Terms, ...]:
        return (*self.wants.values(), *self.sowings.values())

    @property
    def least(self) -> int:
        """The fewest plants of a batch that any want asks for."""
        return max((terms.least for terms in self.wants.values()), default=1)

    def admit(self, group: int, raising: int) -> bool:
        """Return whether any want or sowing may be grown in places of a group in such a way."""
        return any(terms.admit(group, raising) for terms in self._every)

    def admit_group(self, group: int) -> bool:
        """Return whether any want or sowing may be grown in places of a group."""
        return any(self.admit(group, raising) for raising in NUMBERS.values())

    def keep(
        self,
        options: Options,
        periods: Periods,
        room: dict[int, Ints],
        shelves: Sequence[TrayShelf],
        cells_per_plant: float,
    ) -> tuple[NDArray[np.bool_], Ints]:
        """Return which options are allowed, and the fewest plants of each.

        Parameters
        ----------
        options : Options
            All that could be grown.
        periods : Periods
            When it is wanted.
        room : dict of int to ndarray
            The room tables of the crop, by group of places.
        shelves : sequence of TrayShelf
            All trays.
        cells_per_plant : float
            Cells sown for each plant.

        Returns
        -------
        ndarray of bool, ndarray of int
            Both of shape (options,). What holds fewer plants than are to be sown at a time is not
            allowed.
        """
        keep = np.zeros(len(options), bool)
        least = np.full(len(options), self.least, np.int64)
        for number, terms in self.wants.items():
            mine = periods.want == number
            if mine.any():
                start, end = periods.start[mine].min(), periods.end[mine].max()
                fits = (options.lot_ready <= end) & (options.lot_expiry >= start)
                here = np.zeros(len(options), bool)
                here[options.lot_option[fits]] = True
                here &= (options.fixed < 0) & _admitted(terms, options)
                if terms.direct_first:
                    here &= ~_trays_spared(options, periods.start[mine], periods.end[mine])
                keep |= here
                least[here] = np.minimum(least[here], terms.least)
        most = {shelf.group: 0 for shelf in shelves}
        for shelf in shelves:
            most[shelf.group] = max(most[shelf.group], shelf.cells)
        for n in np.nonzero(keep & (least > 1))[0].tolist():
            few, tray = int(least[n]), int(options.tray[n])
            holds = len(room[int(options.group[n])]) - 1
            cells = max(few, math.floor(few * cells_per_plant + 0.5))
            keep[n] = few <= holds and (tray < 0 or cells <= most[tray])
        for number, terms in self.sowings.items():
            here = (options.fixed == number) & _admitted(terms, options)
            direct = here & (options.raising == DIRECT) & options.bears
            keep |= direct if terms.direct_first and direct.any() else here
        return keep, np.where(options.fixed < 0, least, 1)


def _admitted(terms: Terms, options: Options) -> NDArray[np.bool_]:
    """Return which options stand in such places, and are raised, as terms have it."""
    here = np.isin(options.raising, sorted(terms.ways))
    if terms.groups is not None:
        here &= np.isin(options.group, sorted(terms.groups))
    return here


def _trays_spared(options: Options, starts: Ints, ends: Ints) -> NDArray[np.bool_]:
    """Return which options need no tray: in their places, direct sowings serve all that they do.

    ``starts`` and ``ends`` are of a want's periods. Places are looked at by groups: what a tunnel
    brings from direct sowings is no reason to have no seedlings for the open ground, and in a
    channel nothing is sown at all.
    """
    serves = (options.lot_ready[:, None] <= ends) & (options.lot_expiry[:, None] >= starts)
    free = options.fixed < 0
    direct, raised = free & (options.raising == DIRECT), free & (options.raising == IN_TRAYS)
    spared = np.zeros(len(options), bool)
    for group in np.unique(options.group).tolist():
        here = options.group == group
        by_direct = serves[(here & direct)[options.lot_option]].any(axis=0)
        lots = (here & raised)[options.lot_option]
        needed = options.lot_option[lots][(serves[lots] & ~by_direct).any(axis=1)]
        spared |= here & raised
        spared[needed] = False
    return spared


def allowed_of(garden: Garden, crop: Crop, spots: Sequence[Spot]) -> Allowed:
    """Return the terms on which a crop may be grown.

    Parameters
    ----------
    garden : Garden
        With its wants and sowings.
    crop : Crop
        One that is raised by the crop table is sown direct only where a want or sowing says so.
    spots : sequence of Spot
        The garden's places, those that a want tells apart in groups of their own.
    """
    groups = {spot.name: spot.group for spot in spots}
    wants = {n: want for n, want in enumerate(garden.wants) if want.crop == crop.key}
    terms = {
        number: Terms(
            frozenset(groups[name] for name in want.places) if want.places else None,
            _ways(want.raising) or _usual(crop),
            want.sow_at_least,
            crop.direct_first and want.raising is None,
        )
        for number, want in wants.items()
    }
    rest = _in_common(list(terms.values())) if terms else Terms(ways=_usual(crop))
    rest = replace(rest, direct_first=crop.direct_first and rest.ways >= SOWN)
    channels = {channel.name for channel in garden.channels}
    sowings = {}
    said = crop.direct_first or any(want.places or want.raising for want in wants.values())
    said |= any(want.sow_at_least > 1 for want in wants.values())
    for number, sowing in enumerate(garden.sowings):
        if sowing.crop == crop.key:
            mine = rest
            if sowing.place is not None:
                mine = replace(mine, groups=frozenset({groups[sowing.place]}))
            if sowing.raising:
                mine, said = replace(mine, ways=_ways(sowing.raising)), True
            elif sowing.place in channels and BOUGHT not in mine.ways:
                mine = replace(mine, ways=SOWN)  # nothing is sown into a channel's holes
            sowings[number] = mine
    return Allowed(terms, sowings, not said)


def _ways(said: Raising | None) -> frozenset[int]:
    """Return the way to raise a crop that a garden file names; none where it names none."""
    return frozenset({NUMBERS[said]}) if said else frozenset()


def _usual(crop: Crop) -> frozenset[int]:
    """Return how a crop may be raised by the crop table."""
    return frozenset({IN_TRAYS}) if crop.start == "raised" else SOWN


def _in_common(wants: Sequence[Terms]) -> Terms:
    """Return the terms of a sowing that says nothing: the places of any of the wants, their ways.

    It is sown where any of the wants may be, not bought.
    """
    if any(terms.groups is None for terms in wants):
        groups = None
    else:
        groups = frozenset().union(*(terms.groups for terms in wants if terms.groups))
    ways = frozenset().union(*(terms.ways for terms in wants))
    return Terms(groups, ways & SOWN or ways)


def told_apart(garden: Garden, name: str) -> tuple[bool, ...]:
    """Return what tells a place from others alike: whether each want that names places has it."""
    named = dict.fromkeys(want.places for want in garden.wants if want.places)
    return tuple(name in places for places in named)
