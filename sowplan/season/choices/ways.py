"""How a crop may be grown here: raised, sown direct or bought, in each kind of place; its dates."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sowplan.growth.conditions import bought_for, conditions_of
from sowplan.growth.courses import Conditions, CourseTable
from sowplan.growth.evolve import Here, Seen, evolve
from sowplan.growth.harvests import Absence
from sowplan.records.crop import Crop
from sowplan.records.garden import Garden
from sowplan.season.choices.allowed import Allowed
from sowplan.season.choices.book import Book, Settled, Way
from sowplan.season.choices.even_so import held_until
from sowplan.season.choices.instance import BOUGHT, DIRECT, IN_TRAYS, NEVER, TrayShelf
from sowplan.season.days import absence_of, planting_days


def ways_of(
    book: Book, number: int, kinds: dict[int, tuple], sow: tuple[int, ...], allowed: Allowed
) -> list[Way]:
    """Return the ways to grow a crop here, with the courses of each sowing day.

    Parameters
    ----------
    book : Book
        The garden's.
    number : int
        Number of the crop.
    kinds : dict of int to tuple
        By group of places, one of them and the share of light that reaches it.
    sow : tuple of int
        Days to sow on; those of the gardener's own sowings are looked at besides.
    allowed : Allowed
        What the gardener allows.
    """
    garden, crop, outlook = book.garden, book.crops[number], book.sky
    _, tray_kinds = shelves_of(garden)
    groups: dict[tuple[Conditions, int], list[int]] = {}
    for group, (place, light) in kinds.items():
        for conditions, kind in _raised_in(crop, place, tray_kinds, allowed):
            if allowed.admit(group, min(kind, IN_TRAYS)):
                groups.setdefault((replace(conditions, light_share=light), kind), []).append(group)
    own = settled_of(garden, crop, book.origin)
    season, series = garden.season, outlook.series
    grower = _Grower(
        crop,
        outlook,
        garden.climate.frost_risk,
        planting_days(season, series.start, len(series)),
        absence_of(season, series.start, len(series)),
    )
    rows = np.array(sorted({*sow, *(one.day for one in own)}), np.int64)
    since = book.index(season.start)
    return [
        Way(number, conditions, tuple(where), kind, _courses(grower, conditions, rows, own, since))
        for (conditions, kind), where in groups.items()
    ]


@dataclass(frozen=True)
class _Grower:
    """A crop in a garden's weather, on the gardener's days."""

    crop: Crop
    outlook: Any
    risk: float
    out_days: NDArray[np.bool_] | None
    absence: Absence | None
    known: dict[Conditions, Here] = field(default_factory=dict)

    def grow(
        self, conditions: Conditions, days: NDArray[np.int64], seen: Seen | None = None
    ) -> CourseTable:
        """Return the courses of sowings on some days."""
        return evolve(
            self.crop, self.outlook, days, conditions, self.risk, self.out_days, seen,
            self.absence, self.known,
        )  # fmt: skip


def _courses(
    grower: _Grower,
    conditions: Conditions,
    rows: NDArray[np.int64],
    own: Sequence[Settled],
    since: int,
) -> CourseTable:
    """Return the courses of sowings on each day, the gardener's own as the gardener has them.

    What was sown before the season, from the day ``since`` on, stands when it begins, whatever one
    thinks. What would outgrow its cell, and is held, keeps its reason: it is grown by the
    gardener's word alone.
    """
    table = grower.grow(conditions, rows)
    fixed = np.isin(rows, [one.day for one in own])
    lost = np.nonzero(fixed & (rows < since) & ~table.feasible)[0]
    if len(lost):
        table = table.with_rows(lost, grower.grow(conditions, rows[lost], Seen(since)))
    if not conditions.raised or conditions.bought:
        return table
    for one in (one for one in own if one.even_so):
        row = np.searchsorted(rows, [one.day])
        out = held_until(grower.crop, table, int(row[0]), one.end)
        held = grower.grow(conditions, rows[row], Seen(out, out)) if out >= 0 else None
        if held is not None and held.feasible[0]:
            told = (table.reason[int(row[0])],)
            table = table.with_rows(row, replace(held, reason=told))
    return table


def _raised_in(crop, place, tray_kinds, allowed) -> Iterator[tuple[Conditions, int]]:
    """Yield each way to raise a crop for a place, and the group of trays or what stands for it."""
    # What the crop table raises in a tray is sown direct where the gardener says so.
    able = replace(crop, start="either") if crop.start == "raised" and allowed.direct else crop
    for tray, kind in [(None, DIRECT)] + [(t, n) for n, t in enumerate(tray_kinds)]:
        conditions = conditions_of(able, place, tray)
        if conditions.raised == (tray is not None):
            yield conditions, kind  # else nothing to raise it in, or nothing that needs raising
    yield bought_for(place), BOUGHT


def settled_of(garden: Garden, crop: Crop, origin: date) -> list[Settled]:
    """Return the gardener's own sowings of a crop."""
    since = (garden.season.start - origin).days
    return [
        Settled(
            n,
            (one.day - origin).days,
            since,
            NEVER if one.until is None else (one.until - origin).days + 1,
            one.even_so,
            one.cover,
        )
        for n, one in enumerate(garden.sowings)
        if one.crop == crop.key
    ]


def shelves_of(garden: Garden) -> tuple[tuple[TrayShelf, ...], list]:
    """Return the trays, those alike in warmth and light in one group, and one tray a group."""
    kinds: dict[tuple, int] = {}
    first = []
    shelves = []
    for tray in garden.trays:
        key = (tray.temperature_c, tray.light_hours, tray.ppfd)
        if key not in kinds:
            kinds[key] = len(kinds)
            first.append(tray)
        shelves.append(TrayShelf(tray.name, kinds[key], tray.cells))
    return tuple(shelves), first
