"""Wishes that no place here can hold: told before anything is planned, each with its line.

A cabbage kept to a strip a hand wide is no matter of season or search: the garden file contradicts
itself, or the garden has no place for the crop at all.
"""

from __future__ import annotations

from collections.abc import Iterator

from sowplan.problem import Exit, Problem
from sowplan.quantity import format_length, format_volume
from sowplan.records.crop import Crop
from sowplan.records.garden import Channel, Garden, Pot, Want
from sowplan.season.choices.spaces import room_for, spots_of, unit_for
from sowplan.season.words import listed

NAMES_TOLD = 3
"""More places than so many are told by their number."""


def nowhere(garden: Garden, crops: dict[str, Crop]) -> list[Problem]:
    """Return a problem for each want that no place can hold.

    Parameters
    ----------
    garden : Garden
        Read and checked.
    crops : dict of str to Crop
        The crops it may name.
    """
    return list(_without_room(garden, crops)) if garden.wants and garden.places else []


def _without_room(garden: Garden, crops: dict[str, Crop]) -> Iterator[Problem]:
    most = max(1, *(want.sow_at_least for want in garden.wants))
    held = _holds(garden, crops, most)
    for want in garden.wants:
        crop, mine = crops[want.crop], held[want.crop]
        allowed = [name for name in mine if not want.places or name in want.places]
        largest = max((mine[name] for name in allowed), default=0)
        if largest == 0:
            yield _too_small(garden, want, crop, allowed, mine)
        elif largest < want.sow_at_least:
            place = max(allowed, key=lambda name: mine[name])
            message = (
                f"{place} holds {largest} {crop.name}, and no place it may grow in holds more: "
                "sow fewer at a time."
            )
            yield _problem(want, "sow_at_least", str(want.sow_at_least), message)


def _holds(garden: Garden, crops: dict[str, Crop], most: int) -> dict[str, dict[str, int]]:
    """Return by crop how many plants of it each place holds at once, counted up to ``most``."""
    unit_m = unit_for(garden)
    places, spots = spots_of(garden, unit_m)
    kinds: dict[tuple[str, int, int], int] = {}
    found: dict[str, dict[str, int]] = {}
    for key in dict.fromkeys(want.crop for want in garden.wants):
        mine = found[key] = {}
        for place, spot in zip(places, spots, strict=True):
            kind = key, spot.group, spot.size
            if kind not in kinds:
                kinds[kind] = len(room_for(crops[key], place, spot.size, unit_m, most)) - 1
            mine[place.name] = kinds[kind]
    return found


def _too_small(
    garden: Garden, want: Want, crop: Crop, allowed: list[str], holds: dict[str, int]
) -> Problem:
    """Return the problem of a want of which not even one plant fits where it may grow."""
    larger = [name for name, many in holds.items() if many]
    places = [place for place in garden.places if place.name in allowed]
    if all(isinstance(place, Channel) for place in places) and not crop.channel:
        message = f"{crop.name} does not suit a channel, and it has no other place: add a bed."
        return _problem(want, "in" if larger else "crop", want.crop, message)
    few = allowed if len(allowed) <= NAMES_TOLD else [f"each of {len(allowed)} places"]
    small = "is" if len(few) == 1 else "are"
    message = f"{listed(few)} {small} too small for {crop.name}, of which one plant takes "
    message += _takes(crop, places, garden)
    if not larger:
        return _problem(want, "crop", want.crop, f"{message}: no place here is large enough.")
    names = listed(larger) if len(larger) <= NAMES_TOLD else f"{len(larger)} other places"
    key = "in" if len(want.places) <= len(larger) else "not_in"
    return _problem(want, key, ", ".join(allowed), f"{message}; {names} would do.")


def _takes(crop: Crop, places: list, garden: Garden) -> str:
    """Return what one plant takes: ground, or in pots their mix."""
    if places and all(isinstance(place, Pot) for place in places):
        return f"{format_volume(crop.pot_litres, garden.units)} of mix"
    sides = (crop.spacing_cm / 100, crop.row_spacing_cm / 100)
    return " × ".join(format_length(side, garden.units) for side in sides)


def _problem(want: Want, key: str, text: str, message: str) -> Problem:
    where = want.where
    return Problem(where.file, where.line, f"{where.table}, {key}", text, message, Exit.IMPOSSIBLE)
