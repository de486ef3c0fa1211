"""From a garden to an instance: every batch that could be sown, and what it would bring.

Crops wanted or fixed, on each sowing day the gardener allows, in each kind of place that suits
them, raised, sown direct or bought as crop and gardener allow; each with a few days on which it may
be cleared.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from sowplan.bed.slots import cell_chance
from sowplan.growth.conditions import conditions_of
from sowplan.records.crop import Crop
from sowplan.records.garden import Bed, Channel, Garden
from sowplan.season.choices.allowed import Allowed, allowed_of
from sowplan.season.choices.book import Book, Settled
from sowplan.season.choices.fewest import fewest_of
from sowplan.season.choices.instance import (
    NO_OPTIONS,
    CropCase,
    FixedBatch,
    Instance,
    Ints,
    Options,
    Periods,
    Stay,
)
from sowplan.season.choices.options import joined, options_of, some_of
from sowplan.season.choices.spaces import room_for, spots_of, stands_open, unit_for
from sowplan.season.choices.sun import months_of, sun_of, too_dark
from sowplan.season.choices.ways import settled_of, shelves_of, ways_of
from sowplan.season.choices.work import minutes_for
from sowplan.season.days import days_off, periods_of, sowing_days
from sowplan.site.series import DailySeries
from sowplan.site.sky import sky

TAIL_DAYS = 120
"""Days looked at beyond the season, so that what is sown late has an end."""
HIGH_M = 1.2
"""So tall plants shade what stands poleward of them (common practice, no source)."""


def book_of(garden: Garden, crops: dict[str, Crop], safety: float = 0.5) -> Book:
    """Return a garden as an instance, with the way back.

    Parameters
    ----------
    garden : Garden
        Read and checked.
    crops : dict of str to Crop
        The crop table; has every crop the garden names.
    safety : float
        Share of years in which the harvests should be there on the planned day: 0.5 plans with
        the likely dates, 0.9 with those of a late year.
    """
    book = _unsown(garden, _crops_of(garden, crops), safety)
    if not book.crops:
        return book
    kinds = _light(garden, book.places, book.instance.spots, book.crops[0])
    sun = sun_of(garden, book.places)
    for number, crop in enumerate(book.crops):
        here = _sunny(garden, crop, kinds, sun, book.instance.crops[number].room)
        settled = settled_of(garden, crop, book.origin)
        plain = [own for own in settled if own.cover == "none"]
        book = _with_options(book, number, here, book.sow_days, plain)
        for cover in sorted({own.cover for own in settled} - {"none"}):
            mine = [own for own in settled if own.cover == cover]
            book = _with_options(book, number, _under(cover, here), (), mine, own=True)
    return book


def _unsown(garden: Garden, chosen: tuple[Crop, ...], safety: float) -> Book:
    """Return the book of a garden in which no crop has any options yet."""
    season = garden.season
    origin = min([season.start, *(sowing.day for sowing in garden.sowings)])
    days = (season.end - origin).days + 1
    unit_m = unit_for(garden)
    places, spots = spots_of(garden, unit_m)
    families = sorted({crop.family for crop in chosen} | {past.family for past in garden.past})
    cases = []
    for crop in chosen:
        periods = periods_of(garden.wants, crop, origin, season.away)
        allowed = allowed_of(garden, crop, spots)
        cases.append(
            CropCase(
                key=crop.key,
                family=families.index(crop.family),
                gap_days=crop.rotation_gap_days,
                cells_per_plant=cells_per_plant(crop),
                periods=periods,
                options=NO_OPTIONS,
                room=_rooms(crop, places, spots, unit_m, periods, garden, allowed),
                high=crop.height_m >= HIGH_M,
                fewest=np.zeros(0, np.int64),
                stored=crop.stored == "months",
                minutes=None if season.hours_a_week is None else minutes_for(crop),
            )
        )
    instance = Instance(
        days=days,
        spots=spots,
        trays=shelves_of(garden)[0],
        crops=tuple(cases),
        stays=_stays(garden, spots, families, origin),
        fixed=_fixed(garden, chosen, spots),
        week_minutes=None if season.hours_a_week is None else 60.0 * season.hours_a_week,
        week_begun=(origin.weekday() - garden.week_start) % 7,
    )
    return Book(
        garden=garden,
        instance=instance,
        sky=sky(garden.site, garden.climate, origin, days + TAIL_DAYS),
        origin=origin,
        crops=chosen,
        places=places,
        trays=garden.trays,
        ways=(),
        sow_days=tuple((day - origin).days for day in sowing_days(garden, 0)),
        unit_m=unit_m,
        safety=safety,
    )


def cells_per_plant(crop: Crop) -> float:
    """Return the cells to sow for one plant, some of which are expected to stay empty."""
    return 1.0 / cell_chance(crop.seeds_per_cell, crop.germination_percent / 100, 1)


def with_more(
    book: Book, number: int, sow: tuple[int, ...], cover: str | None = None
) -> tuple[Book, int]:
    """Return a book in which one crop has further options, and how many it had before.

    Parameters
    ----------
    book : Book
        The garden's; its options keep their numbers.
    number : int
        Number of the crop.
    sow : tuple of int
        Days to sow on.
    cover : str, optional
        A cover over the batch while it stands in a bed that has none; without it, the place as
        it is.
    """
    garden, instance, crop = book.garden, book.instance, book.crops[number]
    case = instance.crops[number]
    kinds = _light(garden, book.places, instance.spots, crop)
    kinds = _sunny(garden, crop, kinds, sun_of(garden, book.places), case.room)
    kinds = {group: kind for group, kind in kinds.items() if group in case.room}
    if cover is not None:
        kinds = _under(cover, kinds)
    return _with_options(book, number, kinds, sow), len(case.options)


def _under(cover: str, kinds: dict[int, tuple]) -> dict[int, tuple]:
    """Return the kinds of beds that stand in the open, as they are with a cover over them."""
    return {
        group: (replace(place, cover=cover), light)
        for group, (place, light) in kinds.items()
        if isinstance(place, Bed) and stands_open(place)
    }


def _with_options(
    book: Book,
    number: int,
    kinds: dict[int, tuple],
    sow: tuple[int, ...],
    settled: Sequence[Settled] = (),
    own: bool = False,
) -> Book:
    """Return a book in which one crop may also be sown on some days, in some kinds of places."""
    garden, instance, crop = book.garden, book.instance, book.crops[number]
    case = instance.crops[number]
    allowed = allowed_of(garden, crop, instance.spots)
    ways = [
        replace(way, groups=tuple(group for group in way.groups if group in case.room), own=own)
        for way in ways_of(book, number, kinds, sow, allowed)
    ]
    options = options_of(
        crop, ways, len(book.ways), case.periods,
        [book.open_to(way, sow) for way in ways], settled, book.sky.frost, book.safety,
        garden.climate.frost_risk, _away(garden, book.sky.series),
    )  # fmt: skip
    options, fewest = _as_allowed(
        crop, options, allowed, case.room, case.periods, instance.spots, instance.trays,
        case.cells_per_plant, book.unit_m,
    )  # fmt: skip
    case = replace(
        case,
        options=joined(case.options, options),
        fewest=np.concatenate([np.array(case.least, np.int64), fewest]),
    )
    crops = (*instance.crops[:number], case, *instance.crops[number + 1 :])
    return replace(book, instance=replace(instance, crops=crops), ways=(*book.ways, *ways))


def _fixed(garden: Garden, chosen: Sequence[Crop], spots) -> tuple[FixedBatch, ...]:
    """Return the gardener's own sowings by the numbers of crop and place."""
    keys, names = [crop.key for crop in chosen], [spot.name for spot in spots]
    return tuple(
        FixedBatch(
            keys.index(sowing.crop),
            sowing.plants,
            None if sowing.place is None else names.index(sowing.place),
        )
        for sowing in garden.sowings
    )


def _away(garden: Garden, series: DailySeries) -> NDArray[np.bool_] | None:
    """Return on which days of the series nobody is there; None where somebody always is."""
    return days_off(garden.season, series.start, len(series))


def _as_allowed(
    crop: Crop,
    options: Options,
    allowed: Allowed,
    rooms,
    periods: Periods,
    spots,
    shelves,
    cells: float,
    unit_m: float,
) -> tuple[Options, Ints]:
    """Return the options the gardener allows, and the least plants of each."""
    if allowed.anything:
        return options, fewest_of(crop, options, rooms, periods, spots, shelves, unit_m)
    keep, least = allowed.keep(options, periods, rooms, shelves, cells)
    options = some_of(options, keep)
    fewest = fewest_of(crop, options, rooms, periods, spots, shelves, unit_m)
    return options, np.maximum(fewest, least[keep])


def _crops_of(garden: Garden, crops: dict[str, Crop]) -> tuple[Crop, ...]:
    """Return the crops the garden names, in the order in which it does."""
    keys = dict.fromkeys([w.crop for w in garden.wants] + [s.crop for s in garden.sowings])
    return tuple(crops[key] for key in keys)


def _stays(garden: Garden, spots, families: list[str], origin: date) -> tuple[Stay, ...]:
    names = [spot.name for spot in spots]
    return tuple(
        Stay(names.index(past.place), families.index(past.family), (past.until - origin).days)
        for past in garden.past
    )


def _light(garden: Garden, places, spots, sample: Crop) -> dict[int, tuple]:
    """Return, by group of places, one of them and the share of light that reaches it."""
    found = {}
    for place, spot in zip(places, spots, strict=True):
        if spot.group not in found:
            found[spot.group] = (
                place,
                conditions_of(sample, place, None, garden.site).light_share,
            )
    return found


def _sunny(garden: Garden, crop: Crop, kinds: dict[int, tuple], sun: dict, rooms) -> dict:
    """Return the kinds of place to grow a crop in: not those too dark, where another will do."""
    suits = {
        group: kind
        for group, kind in kinds.items()
        if crop.channel or not isinstance(kind[0], Channel)
    }
    months = months_of(garden, crop)
    fixed = {sowing.place for sowing in garden.sowings if sowing.crop == crop.key}
    bright = {
        group: kind
        for group, kind in suits.items()
        if not too_dark(sun.get(kind[0].name), crop, months)
    }
    if fixed or not any(group in rooms for group in bright):
        return suits
    return bright


def _rooms(
    crop, places, spots, unit_m, periods: Periods, garden: Garden, allowed
) -> dict[int, Ints]:
    """Return the room tables of a crop by group."""
    most = max(int(np.ceil(periods.need.sum() * 1.5)) + 1, allowed.least)
    most = max([most, *(s.plants for s in garden.sowings if s.crop == crop.key)])
    found = {}
    for group in filter(allowed.admit_group, {spot.group for spot in spots}):
        mine = [n for n, spot in enumerate(spots) if spot.group == group]
        size = max(spots[n].size for n in mine)
        room = room_for(crop, places[mine[0]], size, unit_m, most)
        if len(room) > 1:
            found[group] = room
    return found
