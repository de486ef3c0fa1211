"""What stands in the way of the sowing that is nearest to finding its place, in words.

Room, with the days and the crops that hold it; tray cells; hours; the rest of a family.
"""

from __future__ import annotations

import math
from collections import Counter

from sowplan.growth.reasons import day_words
from sowplan.quantity import format_area
from sowplan.records.garden import Bed, Channel
from sowplan.season.choices.book import Book
from sowplan.season.choices.spaces import usable
from sowplan.season.reasons.trials import Trial, minutes_by_week
from sowplan.season.search.standing import Standing
from sowplan.season.words import listed

STAYS = 1.5
"""A sowing that stands so many times as long as the shortest is not one a gardener thinks of."""
HOLDERS = 2
"""So many crops that hold the room are named, and one more where it is the last."""


def in_the_way(
    book: Book, standing: Standing, crop: int, trials: list[Trial], say: bool
) -> tuple[str, str]:
    """Return what is short, and how, for the sowing that is nearest to finding its place.

    One that lacks a single thing before one that lacks several; then the one that lacks the
    smallest part of what it takes; of those alike, the one that stands for the shortest time.
    ``say``: it is one of several of its kind.
    """
    options = book.instance.crops[crop].options

    def stay(trial: Trial) -> int:
        return int(options.clear[trial.option] - options.into[trial.option])

    def rank(trial: Trial) -> tuple:
        lacks = lacks_of(book, crop, trial)
        near = round(sum(lacks.values()), 1)
        return len(lacks) > 1, near, stay(trial), trial.spot, trial.option

    usual = STAYS * min(map(stay, trials))
    trial = min((trial for trial in trials if stay(trial) <= usual), key=rank)
    lacks = list(lacks_of(book, crop, trial))
    sown = _sowing_words(book, crop, trial) + (", say," if say else "")
    wording = {
        "no room": _room_words,
        "too few tray cells": _cells_words,
        "too little time": _hours_words,
        "rotation": _rotation_words,
    }
    parts = [wording[lack](book, standing, crop, trial) for lack in lacks]
    if len(parts) > 1 and parts[0].startswith("need "):
        parts[1] = parts[1].removeprefix("need ")
    return lacks[0], f"{sown} would {', and '.join(parts)}"


def lacks_of(book: Book, crop: int, trial: Trial) -> dict[str, float]:
    """Return the share that is not there of each thing a sowing takes; empty where all is."""
    found = {}
    if trial.room_short:
        found["no room"] = trial.room_short / max(_whole(book, crop, trial), 1)
    if trial.cells_short:
        cells = book.instance.crops[crop].cells(trial.plants)
        found["too few tray cells"] = trial.cells_short / max(cells, 1)
    if trial.too_long:
        found["too little time"] = trial.too_long
    if trial.rotation:
        found["rotation"] = 1.0
    return found


def _whole(book: Book, crop: int, trial: Trial) -> int:
    """Return the room all of a sowing takes, so that beds and holes can be compared."""
    group = book.instance.spots[trial.spot].group
    return book.instance.crops[crop].units[group][trial.plants]


def _sowing_words(book: Book, crop: int, trial: Trial) -> str:
    """Return the sowing that a limit keeps out: ``"12 sown on 3 May"``."""
    day = book.day(int(book.instance.crops[crop].options.sow[trial.option]))
    return f"{trial.plants} sown on {day_words(day)}"


def _hours_words(book: Book, standing: Standing, crop: int, trial: Trial) -> str:
    """Say in which week a sowing would take more hours than there are."""
    most = book.instance.week_minutes or 0.0
    load = {
        week: standing.load.get(week, 0.0) + some
        for week, some in minutes_by_week(standing, crop, trial.option, trial.plants).items()
    }
    week = max(load, key=lambda week: (load[week], -week))
    hours = math.ceil(load[week] / 6 - 1e-6) / 10
    begins = day_words(book.day(week * 7 - book.instance.week_begun))
    allowed = f"{most / 60:g} at most (hours_a_week)"
    return f"make {hours:g} hours of work in the week of {begins}, of {allowed}"


def _cells_words(book: Book, standing: Standing, crop: int, trial: Trial) -> str:
    """Say how many cells are short, and when."""
    options = book.instance.crops[crop].options
    sow, into = (book.day(int(v[trial.option])) for v in (options.sow, options.into))
    more = f"{trial.cells_short} more tray cell{'s' if trial.cells_short > 1 else ''}"
    return f"need {more} from {day_words(sow)} to {day_words(into)}"


def _rotation_words(book: Book, standing: Standing, crop: int, trial: Trial) -> str:
    family, spot = book.crops[crop].family, book.instance.spots[trial.spot].name
    rests = {rest.family: rest.months for rest in book.garden.rests}
    months = rests.get(family, rests.get(""))
    told = f"; you rest it for {months:g} months ([[rotation]])" if months is not None else ""
    return f"stand in {spot}, where {family} may not go {_rest_words(book, crop, trial)}{told}"


def _rest_words(book: Book, crop: int, trial: Trial) -> str:
    """Say until when a family is kept out of a place."""
    case = book.instance.crops[crop]
    stays = [
        stay.until
        for stay in book.instance.stays
        if stay.spot == trial.spot and stay.family == case.family
    ]
    until = max(stays, default=None)
    if until is not None and int(case.options.into[trial.option]) <= until + case.gap_days:
        stood, opens = book.day(until), book.day(until + case.gap_days)
        return (
            f"before {day_words(opens)} {opens.year}, having stood there until "
            f"{day_words(stood)} {stood.year} ([[past]])"
        )
    return "so soon after its turn there this season"


def _room_words(book: Book, standing: Standing, crop: int, trial: Trial) -> str:
    options = book.instance.crops[crop].options
    into, clear = (int(v[trial.option]) for v in (options.into, options.clear))
    place = book.places[trial.spot]
    if isinstance(place, Bed):
        area = trial.room_short * book.unit_m * usable(place)[1]
        need = f"{format_area(area, book.garden.units)} more of {place.name}"
    else:
        noun = "hole" if isinstance(place, Channel) else "pot"
        many = f"{trial.room_short} more {noun}" + ("s" if trial.room_short > 1 else "")
        need = f"{many} of {place.name}"
    span = f"{day_words(book.day(into))} to {day_words(book.day(clear))}"
    held = _holders(book, standing, crop, trial.spot, into, clear)
    return f"need {need}, {span}{held}"


def _holders(book: Book, standing: Standing, crop: int, spot: int, into: int, clear: int) -> str:
    """Name the crops that hold a place for some days, those that hold most of it first."""
    there: Counter[int] = Counter()
    for first, until, mask, number in standing.rooms[spot].stands:
        both = min(until, clear) - max(first, into)
        if both > 0:
            there[standing.batches[number].crop] += mask.bit_count() * both
    if not there:
        return ""
    ranked = sorted(there, key=lambda number: (-there[number], number))
    few = ranked if len(ranked) <= HOLDERS + 1 else ranked[:HOLDERS]
    names = [f"{'other ' * (number == crop)}{book.crops[number].name}" for number in few]
    names += [f"{len(ranked) - len(few)} other crops"] if len(few) < len(ranked) else []
    return f", where {listed(names)} stand{'s' if len(names) == 1 else ''}"
