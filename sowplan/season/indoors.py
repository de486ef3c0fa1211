"""What to heed where lamps hang over water, and where nutrient film meets frost."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from sowplan.growth.covers import COVERS
from sowplan.records.garden import Channel
from sowplan.season.choices.book import Book, Place
from sowplan.season.search.standing import Standing
from sowplan.season.words import listed

LAMPS_AND_WATER = (
    "keep lamps, plugs and leads above drips and splashes, on a circuit with a residual-current "
    "device; have it wired by a licensed electrician, as local codes ask."
)
_APART_DAYS = 14
"""Frosty days no farther apart are told as one stretch."""


def lit(places: Iterable[Place]) -> list[str]:
    """Return the names of the places that stand under lamps."""
    return [p.name for p in places if p.indoors is not None and p.indoors.ppfd is not None]


def lamp_words(places: Iterable[Place]) -> str:
    """Return the caution where water and electricity meet; empty where no lamps are."""
    names = lit(places)
    if not names:
        return ""
    where = listed(names) if len(names) < 4 else f"{len(names)} places"
    return f"Lamps and water come together in {where}: {LAMPS_AND_WATER}"


def lamp_notes(book: Book, standing: Standing) -> list[str]:
    """Say what is to be heed where something grows under lamps."""
    used = {batch.spot for batch in standing.batches.values()}
    words = lamp_words(book.places[spot] for spot in sorted(used))
    return [words] if words else []


def freezing(book: Book, standing: Standing) -> dict[str, list[tuple[int, int]]]:
    """Return when channels outdoors freeze at night while something stands in them.

    Returns
    -------
    dict of str to list of (int, int)
        By the channels' names, those under one cover together, the first and last day of each
        stretch of days of the book.
    """
    series = book.sky.series
    names: dict[str, set[str]] = {}
    found: dict[str, set[int]] = {}
    for batch in standing.batches.values():
        place = book.places[batch.spot]
        if not isinstance(place, Channel) or place.indoors is not None:
            continue
        options = book.instance.crops[batch.crop].options
        first, last = int(options.into[batch.option]), int(options.clear[batch.option])
        nights = series.tmin[first:last] + COVERS[place.cover].night_k
        days = (first + np.flatnonzero(nights < 0.0)).tolist()
        if days:
            names.setdefault(place.cover, set()).add(place.name)
            found.setdefault(place.cover, set()).update(days)
    return {listed(sorted(names[cover])): _stretches(sorted(found[cover])) for cover in found}


def _stretches(days: list[int]) -> list[tuple[int, int]]:
    """Return days in order as stretches."""
    spans: list[tuple[int, int]] = []
    for day in days:
        if spans and day - spans[-1][1] <= _APART_DAYS:
            spans[-1] = (spans[-1][0], day)
        else:
            spans.append((day, day))
    return spans
