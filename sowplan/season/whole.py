"""A season in whole rows, holes and pots, to begin the search of a small garden with.

In a few beds it matters that half a row takes the room of a whole one: what the linear program
would sow (`sowplan.season.model`) is then too finely divided to be laid out. The same program with
rows in whole numbers is solved as far as one node of branch and bound comes, over the options that
look best, and what it sows fits the beds but for the strips' being in one piece. It is no bound.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sowplan.season.instance import CropCase, Instance
from sowplan.season.model import Build, program_of

MOST_PLACES = 12
"""Of more places none needs it: there the rows are small beside the beds."""
MOST_OPTIONS = 250
"""Options looked at, those least dear to the linear program; more make it slow."""
NODES = 1


def whole_rows(instance: Instance) -> tuple[NDArray[np.float64], ...] | None:
    """Return the plants of each option of each crop that a season in whole rows would sow.

    None where there are many places, nothing to choose, or nothing found.
    """
    if not instance.spots or len(instance.spots) > MOST_PLACES or not instance.wanted:
        return None
    build = program_of(instance)
    if not build.program.columns:
        return None
    led = build.program.solve()
    if not led.optimal:
        return None
    build = program_of(instance)
    chosen = _least_dear(build, led.dearer, led.solution)
    rows = [
        _define_rows(build, crop, plants, mine)
        for crop, plants, mine in zip(instance.crops, build.plants, chosen, strict=True)
    ]
    _define_room(build, rows)
    found = build.program.solve_whole(NODES)
    if found.solution is None:
        return None
    return tuple(
        _in_batches(crop, found.solution[plants])
        for crop, plants in zip(instance.crops, build.plants, strict=True)
    )


def _least_dear(build: Build, dearer, solution) -> list[NDArray[np.bool_]]:
    """Return which options of each crop to look at: sown by the linear program, or nearly so."""
    price = np.concatenate([dearer[plants] for plants in build.plants])
    sown = np.concatenate([solution[plants] > 1e-6 for plants in build.plants])
    fixed = np.concatenate([crop.options.fixed >= 0 for crop in build.instance.crops])
    price[sown | fixed] = -1.0
    keep = np.zeros(len(price), bool)
    keep[np.argsort(price, kind="stable")[:MOST_OPTIONS]] = True
    keep |= fixed
    return np.split(keep, np.cumsum([len(plants) for plants in build.plants])[:-1])


def _define_rows(build: Build, crop: CropCase, plants, chosen) -> NDArray[np.int64]:
    """Let the plants of each option stand in whole rows, none where it is not chosen."""
    program, options = build.program, crop.options
    each = np.ones(len(options))
    for group, units in crop.room.items():
        if len(units) > 1:
            each[options.group == group] = row_of(units)[0]
    useful = np.maximum(np.ceil(crop.useful / each), 1.0)
    rows = program.add_columns(np.zeros(len(options)), 0.0, np.where(chosen, useful, 0.0))
    program.in_whole_numbers(rows)
    if len(options):
        fit = program.add_rows(np.full(len(options), -np.inf), 0.0)
        program.add_entries(fit, plants, 1.0)
        program.add_entries(fit, rows, -each)
    return rows


def _define_room(build: Build, rows: list[NDArray[np.int64]]) -> None:
    """On no day do whole rows take more of a group's places than there is."""
    for group, spots in build.instance.spots_of.items():
        size = float(sum(build.instance.spots[spot].open for spot in spots))
        limits = build.program.add_rows(np.full(len(build.days), -np.inf), size)
        for crop, mine in zip(build.instance.crops, rows, strict=True):
            options = crop.options
            if len(crop.room.get(group, ())) < 2:
                continue
            here = np.nonzero(options.group == group)[0]
            day, which = np.nonzero(
                (options.into[here] <= build.days[:, None])
                & (options.clear[here] > build.days[:, None])
            )
            unit = row_of(crop.room[group])[1]
            build.program.add_entries(limits[day], mine[here[which]], unit)


def _in_batches(crop: CropCase, plants: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return whole plants, of each sowing as many as a batch must have at least."""
    whole = np.maximum(np.ceil(plants - 1e-6), np.asarray(crop.least, float))
    return np.where(plants > 1e-6, whole, 0.0)


def row_of(units: NDArray[np.int64]) -> tuple[int, float]:
    """Return the plants of a row, hole or pot of a room table, and the least room one takes."""
    units = np.asarray(units)
    each = int(np.searchsorted(units, units[1], side="right")) - 1
    rows = -(-np.arange(1, len(units)) // each)
    return each, float((units[1:] / rows).min())
