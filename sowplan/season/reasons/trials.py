"""Sowings held against the finished season: what each of them lacks to stand there as well."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sowplan.season.choices.book import Book
from sowplan.season.choices.instance import Ints
from sowplan.season.search.standing import Standing

LOOK_AT = 60
"""Most sowings held against the finished season for one run of periods."""
PLACES = 40
"""Most places of a kind looked at for one of them."""


class Trial(NamedTuple):
    """One sowing that would serve a period, and what it lacks: room, cells, rotation, hours."""

    room_short: int
    cells_short: int
    rotation: bool
    option: int
    plants: int
    spot: int
    too_long: float = 0.0  # share of its work in some week for which there are no hours


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
