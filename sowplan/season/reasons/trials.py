"""Sowings held against the finished season: what each of them lacks to stand there as well."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sowplan.season.choices.book import Book
from sowplan.season.choices.instance import CropCase, Instance, Ints
from sowplan.season.search.standing import Standing

LOOK_AT = 60
"""Most sowings held against the finished season for one run of periods."""
PLACES = 40
"""Most places of a kind looked at for one of them."""
FITTED = 40
"""Most sowings that there is room for in all, and of which one is sought that fits in one piece."""


def as_it_stands(standing: Standing, instance: Instance) -> Standing:
    """Return the same batches in an instance that has at least what theirs has."""
    other = Standing(instance)
    for batch in standing.batches.values():
        other.add(batch)
    other.log.clear()
    return other


class Trial(NamedTuple):
    """One sowing that would serve a period, and what it lacks: room, cells, rotation, hours."""

    room_short: int
    cells_short: int
    rotation: bool
    option: int
    plants: int
    spot: int
    too_long: float = 0.0  # share of its work in some week for which there are no hours


class Found(NamedTuple):
    """A sowing for which there are room, cells, hours and its turn beside the finished season."""

    option: int
    plants: int
    spot: int


def trials_of(
    book: Book, standing: Standing, crop: int, able: Ints, fits: NDArray[np.bool_], lack: float
) -> list[Trial]:
    """Hold sowings that could serve a period against the finished season.

    Parameters
    ----------
    book, standing : Book, Standing
        What is planned, and the finished season.
    crop : int
        The crop's number in it.
    able : ndarray of int, shape (k,)
        Its options that could serve the period.
    fits : ndarray of bool, shape (lots,)
        Which of its lots would be fit then.
    lack : float
        Plants missing in the period.

    Returns
    -------
    list of Trial
        One for each place a sowing was tried in; empty where no place takes the crop.
    """
    case = book.instance.crops[crop]
    options = case.options
    share = np.zeros(len(options))
    np.add.at(share, options.lot_option[fits], options.lot_share[fits])
    stay = (options.clear - options.into)[able]
    chosen = able[np.argsort(stay, kind="stable")]
    trials = []
    for option in _some_of_each(chosen, options.group[chosen]):
        room = case.room.get(int(options.group[option]))
        if room is None:
            continue
        needed = max(case.least[option], int(np.ceil(lack / share[option] - 1e-6)))
        plants = min(needed, len(room) - 1)
        if options.tray[option] >= 0:
            trays = book.instance.trays_of[int(options.tray[option])]
            cells = max(book.instance.trays[tray].cells for tray in trays)
            plants = max(1, min(plants, int(cells / case.cells_per_plant)))
        trials += _try(book, standing, crop, option, plants, int(room[plants]))
    return trials


def _some_of_each(chosen, groups) -> list[int]:
    """Return at most about `LOOK_AT` of the sowings, some for each kind of place."""
    found = []
    kinds = sorted(set(groups.tolist()))
    for kind in kinds:
        mine = chosen[groups == kind]
        found += mine[:: max(1, -(-len(mine) * len(kinds) // LOOK_AT))].tolist()
    return found


def _try(book, standing: Standing, crop: int, option: int, plants: int, units: int) -> list[Trial]:
    case = book.instance.crops[crop]
    options = case.options
    into, clear = int(options.into[option]), int(options.clear[option])
    short = 0
    if options.tray[option] >= 0:
        free = standing.cells_free(int(options.tray[option]), int(options.sow[option]), into)
        short = max(0, case.cells(plants) - free)
    found = []
    too_long = _too_long(standing, crop, option, plants)
    for spot in book.instance.spots_of[int(options.group[option])][:PLACES]:
        each = case.units[int(options.group[option])][1]  # adjoining holes to a plant
        whole = book.instance.spots[spot].whole
        most = standing.rooms[spot].most(into, clear, each, whole)
        rotation = not standing.rotates(spot, crop, into, clear)
        found.append(Trial(max(0, units - most), short, rotation, option, plants, spot, too_long))
    return found


def minutes_by_week(standing: Standing, crop: int, option: int, plants: int) -> dict[int, float]:
    """Return the minutes of work of a sowing by week."""
    found: dict[int, float] = {}
    for week, each, begin in standing.jobs(crop, option):
        found[week] = found.get(week, 0.0) + each * plants + begin
    return found


def _too_long(standing: Standing, crop: int, option: int, plants: int) -> float:
    """Return the largest share of a week's work of a sowing for which there are no hours."""
    most = standing.instance.week_minutes
    if most is None:
        return 0.0
    return max(
        (
            min(1.0, max(0.0, standing.load.get(week, 0.0) + some - most) / some)
            for week, some in minutes_by_week(standing, crop, option, plants).items()
            if some > 0 and standing.load.get(week, 0.0) + some > most + 1e-6
        ),
        default=0.0,
    )


def plants_for(
    case: CropCase, fits: NDArray[np.bool_], able: Ints, lack: float, least: Ints
) -> Ints:
    """Return, for some options, the plants that make up for what a period lacks.

    Parameters
    ----------
    case : CropCase
        The crop.
    fits : ndarray of bool, shape (lots,)
        Which of its lots are fit in the period.
    able : ndarray of int, shape (k,)
        The options; each has such a lot.
    lack : float
        Plants missing in the period.
    least : ndarray of int, shape (options,)
        Least plants of each option.

    Returns
    -------
    ndarray of int, shape (k,)
    """
    options = case.options
    share = np.bincount(options.lot_option[fits], options.lot_share[fits], len(options))[able]
    return np.maximum(least[able], np.ceil(lack / share - 1e-6).astype(np.int64))


def first_found(
    standing: Standing, instance: Instance, crop: int, case: CropCase, able: Ints, plants: Ints
) -> Found | None:
    """Return the first of some sowings that fits beside the finished season; None if none does.

    Parameters
    ----------
    standing : Standing
        The finished season.
    instance : Instance
        Its own, or one of the same places and trays in which more is allowed.
    crop : int
        The crop's number in the season.
    case : CropCase
        The crop in ``instance``.
    able, plants : ndarray of int, shape (k,)
        The options, in the order in which they are tried, and how many plants of each.
    """
    options, days = case.options, standing.instance.days
    roomy = np.zeros(len(able), bool)
    for group, room in case.room.items():
        here = (options.group[able] == group) & (plants < len(room))
        into = np.clip(options.into[able[here]], 0, days - 1)
        clear = np.clip(options.clear[able[here]], into + 1, days)
        spots = instance.spots_of.get(group, [])
        if here.any() and spots:
            left = standing.room_left.most(np.array(spots), into, clear)
            roomy[here] = room[plants[here]] <= left
    for n in np.nonzero(roomy)[0][:FITTED].tolist():
        spot = _spot_for(standing, instance, crop, case, int(able[n]), int(plants[n]))
        if spot is not None:
            return Found(int(able[n]), int(plants[n]), spot)
    return None


def _spot_for(
    standing: Standing, instance: Instance, crop: int, case: CropCase, option: int, plants: int
) -> int | None:
    """Return a place for a sowing for which there are cells and hours as well; None if none."""
    sow, into, clear, group, tray, _ = case.options.rows[option]
    if tray >= 0 and case.cells(plants) > standing.cells_free(tray, sow, into):
        return None
    if instance.week_minutes is not None:
        more: dict[int, float] = {}
        for day, each, begin in case.jobs(option):
            if day >= 0:
                week = instance.week(day)
                more[week] = more.get(week, 0.0) + each * plants + begin
        most = instance.week_minutes + 1e-6
        if any(standing.load.get(week, 0.0) + some > most for week, some in more.items()):
            return None
    each = case.units[group][1]  # adjoining holes to a plant
    for spot in instance.spots_of[group]:
        most = standing.rooms[spot].most(into, clear, each, instance.spots[spot].whole)
        if case.units[group][plants] <= most and standing.rotates(spot, crop, into, clear):
            return spot
    return None
