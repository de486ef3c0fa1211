"""Why a want is not met: what stands in the way, found by trying, said in gardener's words.

For each period that lacks something, every sowing that could serve it is held against the finished
season: is there room, are there cells, does rotation allow it? Where no sowing could serve it, the
courses themselves say why: too early, frost, short days, heat.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

import numpy as np

from sowplan.growth.reasons import day_words
from sowplan.quantity import format_area
from sowplan.records.garden import Bed, Channel
from sowplan.season.book import Book
from sowplan.season.plan import WantPeriod
from sowplan.season.room import runs
from sowplan.season.standing import Standing

LOOK_AT = 60
"""Most sowings held against the finished season for one period."""

LITTLE = 0.1
"""A smaller share of what is wanted is not worth a sowing of its own."""


class Trial(NamedTuple):
    """One sowing that would serve a period, and what it lacks: units of room, cells, rotation."""

    room_short: int
    cells_short: int
    rotation: bool
    option: int
    plants: int
    spot: int


def reasons(
    book: Book, standing: Standing, wants: Sequence[WantPeriod]
) -> dict[tuple[int, date], str]:
    """Return, by want and first day, why a period is not met in full."""
    found = {}
    numbers = {crop.key: number for number, crop in enumerate(book.crops)}
    for want in wants:
        lack = want.wanted - want.met
        if lack > 1e-6 * max(want.wanted, 1.0):
            found[want.want, want.start] = _reason(book, standing, numbers[want.crop], want)
    return found


def _reason(book: Book, standing: Standing, crop: int, want: WantPeriod) -> str:
    case = book.instance.crops[crop]
    options = case.options
    start, end = book.index(want.start), book.index(want.end)
    fits = (options.lot_ready <= end) & (options.lot_expiry >= start)
    fits &= options.fixed[options.lot_option] < 0
    able = np.unique(options.lot_option[fits])
    if not len(case.room):
        return f"no bed, channel or pot here is large enough for {book.crops[crop].name}"
    if not len(able):
        return _never(book, crop, start, end)
    lack = (
        (want.wanted - want.met) / want.wanted * float(case.periods.need[_period(book, crop, want)])
    )
    trials = _trials(book, standing, crop, able, fits, lack)
    free = [t for t in trials if not (t.room_short or t.cells_short or t.rotation)]
    if free and (want.wanted - want.met) / want.wanted > LITTLE:
        return f"{_sowing_words(book, crop, free[0])} would find room, if you care to sow it"
    return _in_the_way(book, standing, crop, trials)


def _period(book: Book, crop: int, want: WantPeriod) -> int:
    periods = book.instance.crops[crop].periods
    same = (periods.want == want.want) & (periods.start == book.index(want.start))
    return int(np.nonzero(same)[0][0])


# -- no sowing could serve it


def _never(book: Book, crop: int, start: int, end: int) -> str:
    """Say why no sowing of the season is fit to harvest in these days."""
    ways = [way for way in book.ways if way.crop == crop]
    name = book.crops[crop].name
    if not ways:
        raised = book.crops[crop].start == "raised" and not book.trays
        what = "it is raised before planting out, and there is no tray" if raised else ""
        return what or f"no place here suits {name}"
    keeps = int(book.crops[crop].keeps_days)
    rows = sorted(
        (
            (int(t.sow[i]), bool(t.feasible[i]), int(t.lot_ready[i].max(initial=-1)), i, way)
            for way in ways
            for t in (way.courses,)
            for i in range(len(t))
            if int(t.sow[i]) in book.sow_days
        ),
        key=lambda row: (row[0], row[3]),
    )
    good = [row for row in rows if row[1]]
    if not good:
        return _most_common([row[4].courses.reason[row[3]] for row in rows if row[0] <= end])
    first = min(int(row[4].courses.harvest_start[row[3]]) for row in good)
    if first > end:
        early = [r[4].courses.reason[r[3]] for r in rows if r[0] < good[0][0] and not r[1]]
        but = f"; sown before {day_words(book.day(good[0][0]))}: {early[0]}" if early else ""
        return (
            f"nothing sown from {day_words(book.day(rows[0][0]))} on is ready before "
            f"{day_words(book.day(first))}{but}"
        )
    return _gap(book, rows, good, start, end, keeps)


def _gap(book: Book, rows: list, good: list, start: int, end: int, keeps: int) -> str:
    """Say why harvests stop before a period and only begin again after it, if at all."""
    over = [r for r in good if int(r[4].courses.harvest_end[r[3]]) + keeps < start]
    later = [r for r in good if int(r[4].courses.harvest_start[r[3]]) > end]
    parts = []
    if over:
        last = max(over, key=lambda r: int(r[4].courses.harvest_end[r[3]]))
        gone = day_words(book.day(int(last[4].courses.harvest_end[last[3]])))
        parts.append(f"what is sown by {day_words(book.day(last[0]))} is over by {gone}")
        after = [r for r in rows if r[0] > last[0] and r[0] <= end and not r[1]]
        if after:
            day, _, _, number, way = after[0]
            parts.append(f"sown on {day_words(book.day(day))}: {way.courses.reason[number]}")
    if later:
        row = min(later, key=lambda r: int(r[4].courses.harvest_start[r[3]]))
        ready = day_words(book.day(int(row[4].courses.harvest_start[row[3]])))
        parts.append(f"sown on {day_words(book.day(row[0]))} it is ready on {ready} only")
    return "; ".join(parts) or _most_common([r[4].courses.reason[r[3]] for r in rows if not r[1]])


def _most_common(found: list[str]) -> str:
    counted = Counter(reason for reason in found if reason)
    return counted.most_common(1)[0][0] if counted else "no sowing day of the season serves it"


# -- some sowing could, were there room


def _trials(book: Book, standing: Standing, crop: int, able, fits, lack: float) -> list[Trial]:
    """Hold sowings that could serve a period against the finished season."""
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
        trays = book.instance.trays_of[int(options.tray[option])]
        sow = max(int(options.sow[option]), 0)
        free = standing.cells[trays, sow : max(into, sow + 1)].min(axis=1).max()
        short = max(0, case.cells(plants) - int(free))
    found = []
    for spot in book.instance.spots_of[int(options.group[option])][:40]:
        gaps = [many for _, many in runs(standing.rooms[spot].free(into, clear))]
        whole = book.instance.spots[spot].whole
        each = case.units[int(options.group[option])][1]  # adjoining holes to a plant
        most = max(gaps, default=0) if whole else sum(gap // each * each for gap in gaps)
        rotation = not standing.rotates(spot, crop, into, clear)
        found.append(Trial(max(0, units - most), short, rotation, option, plants, spot))
    return found


def _in_the_way(book: Book, standing: Standing, crop: int, trials: list[Trial]) -> str:
    """Say which limit binds: the one whose lifting alone would let some sowing in, if any."""
    if not trials:
        return "no place that suits it is large enough"
    lifted = {
        "cells": [t for t in trials if t.cells_short and not t.room_short and not t.rotation],
        "rotation": [t for t in trials if t.rotation and not t.room_short and not t.cells_short],
        "room": [t for t in trials if t.room_short and not t.cells_short and not t.rotation],
    }
    sayings = []
    if lifted["cells"]:
        trial = min(lifted["cells"], key=lambda t: t.cells_short)
        sayings.append(_cells_words(book, crop, trial))
    if lifted["rotation"]:
        sayings.append(_rotation_words(book, crop, lifted["rotation"][0]))
    if lifted["room"]:
        trial = min(lifted["room"], key=lambda t: (t.room_short / _whole(book, crop, t), t.spot))
        sayings.append(_room_words(book, standing, crop, trial))
        if not lifted["cells"] and any(t.cells_short == 0 for t in trials) and book.trays:
            sayings.append("more tray cells would not help")
    if not sayings:
        trial = min(trials, key=lambda t: (t.rotation, t.cells_short + t.room_short))
        if not trial.room_short and not trial.cells_short:
            return "too little to be worth another sowing"
        sayings.append(_room_words(book, standing, crop, trial) if trial.room_short else "")
        if trial.cells_short:
            sayings.append(_cells_words(book, crop, trial))
    return "; ".join(saying for saying in sayings if saying)


def _whole(book: Book, crop: int, trial: Trial) -> int:
    """Return the room all of a sowing takes, so that beds and holes can be compared."""
    group = book.instance.spots[trial.spot].group
    return book.instance.crops[crop].units[group][trial.plants]


def _sowing_words(book: Book, crop: int, trial: Trial) -> str:
    day = book.day(int(book.instance.crops[crop].options.sow[trial.option]))
    return f"a sowing of {trial.plants} on {day_words(day)}"


def _cells_words(book: Book, crop: int, trial: Trial) -> str:
    options = book.instance.crops[crop].options
    sow, into = (int(v[trial.option]) for v in (options.sow, options.into))
    return (
        f"tray cells: {_sowing_words(book, crop, trial)} would need {trial.cells_short} more, "
        f"from {day_words(book.day(sow))} until {day_words(book.day(into))}"
    )


def _rotation_words(book: Book, crop: int, trial: Trial) -> str:
    family = book.crops[crop].family
    spot = book.instance.spots[trial.spot].name
    return (
        f"rotation: {_sowing_words(book, crop, trial)} would find room in {spot}, "
        f"but {family} stood there too lately"
    )


def _room_words(book: Book, standing: Standing, crop: int, trial: Trial) -> str:
    options = book.instance.crops[crop].options
    into, clear = (int(v[trial.option]) for v in (options.into, options.clear))
    place = book.places[trial.spot]
    if isinstance(place, Bed):
        area = format_area(trial.room_short * book.unit_m * place.width_m, book.garden.units)
        need = f"{area} more of {place.name}"
    else:
        noun = "hole" if isinstance(place, Channel) else "pot"
        many = f"{trial.room_short} more {noun}" + ("s" if trial.room_short > 1 else "")
        need = f"{many} of {place.name}"
    there = Counter()
    for first, until, mask, number in standing.rooms[trial.spot].stands:
        if first < clear and into < until:
            there[book.crops[standing.batches[number].crop].name] += mask.bit_count()
    names = [name for name, _ in there.most_common(3)]
    listed = " and ".join([", ".join(names[:-1])] * bool(names[1:]) + names[-1:])
    held = f", which {listed} {'take' if names[1:] else 'takes'}"
    span = f"from {day_words(book.day(into))} to {day_words(book.day(clear))}"
    return (
        f"room: {_sowing_words(book, crop, trial)} would need {need} {span}{held if names else ''}"
    )
