"""What stands where on a day, plant by plant: the plan's strips turned into places of plants."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from functools import lru_cache
from itertools import groupby, pairwise

from sowplan.bed.layout import Strip
from sowplan.season.plan import Plan, Planting

Station = tuple[float, float]
"""Metres from the bed's corner, along its length and across it."""
Ground = tuple[float, float, float, float]
"""Metres from the bed's corner: begin and end along its length, then across it."""


def on_day(plan: Plan, day: date) -> Plan:
    """Return a plan with only what stands on a day, for who asks of many places what does."""
    there = (p for p in plan.plantings if p.occupies_from <= day < p.cleared)
    return replace(plan, plantings=tuple(there))


def standing(plan: Plan, place: str, day: date) -> list[Planting]:
    """Return what occupies a place on a day."""
    return [p for p in plan.plantings if p.place == place and p.occupies_from <= day < p.cleared]


def gone(p: Planting) -> date:
    """Return the day before which a planting is drawn: what is lifted when fit shows that day."""
    return p.cleared if p.in_vain else max(p.cleared, p.harvest_start + timedelta(days=1))


def stations(plan: Plan, p: Planting) -> tuple[Station, ...]:
    """Return where each plant of a bed planting stands.

    Parameters
    ----------
    plan : Plan
        The plan the planting is from.
    p : Planting
        A planting in a bed.

    Returns
    -------
    tuple of Station
        Row by row across the bed; of rows along it the first plants of all, then the second ones.
        The last may be lacking, so that the number is the planting's.
    """
    return _with_room(plan, p)[: p.plants]


def _with_room(plan: Plan, p: Planting) -> tuple[Station, ...]:
    """Return where a planting's plants stand, and then where its strip has room for more."""
    bed, crop = plan.place(p.place), plan.crop(p.crop)
    inner = bed.width_m - 2 * bed.edge_m
    return _stations(p.strip, p.strip_start_m, inner, crop.spacing_cm / 100, bed.edge_m)


def ground_of(plan: Plan, p: Planting) -> list[Ground]:
    """Return the ground that a bed planting's plants take, row by row, rows alike as one.

    Rows with room for more plants end between the last and where the next would stand.
    """
    bed = plan.place(p.place)
    begin, near = bed.edge_m + p.strip_start_m, bed.edge_m
    ends = (begin, begin + p.strip_length_m), (near, bed.width_m - bed.edge_m)
    return list(_ground(_with_room(plan, p), p.plants, p.along, ends))


@lru_cache(maxsize=1024)  # a planting is drawn on the sheets of all its months
def _ground(
    spots: tuple[Station, ...], plants: int, along: bool, ends: tuple[Station, Station]
) -> tuple[Ground, ...]:
    row, mark = (1, 0) if along else (0, 1)
    last: dict[float, float] = {}
    first_free: dict[float, float] = {}
    for n, spot in enumerate(spots):
        at = round(spot[row], 4)
        if n < plants:
            last[at] = max(last.get(at, spot[mark]), spot[mark])
        else:
            first_free[at] = min(first_free.get(at, spot[mark]), spot[mark])
    rows = sorted(last.keys() | first_free.keys())
    edges = [ends[row][0], *((a + b) / 2 for a, b in pairwise(rows)), ends[row][1]]

    def reach(at: float) -> float:
        if at not in last:
            return ends[mark][0]
        return (last[at] + first_free[at]) / 2 if at in first_free else ends[mark][1]

    found = []
    for far, some in groupby(range(len(rows)), key=lambda n: round(reach(rows[n]), 4)):
        numbers = list(some)
        band, run = (edges[numbers[0]], edges[numbers[-1] + 1]), (ends[mark][0], far)
        if far > run[0]:
            found.append((*run, *band) if along else (*band, *run))
    return tuple(found)


@lru_cache(maxsize=2048)
def _stations(
    strip: Strip, start_m: float, inner_m: float, spacing_m: float, edge_m: float
) -> tuple[Station, ...]:
    """Return a strip's plants; kept, since page, pictures and sheets all ask for the same."""
    from sowplan.bed.strips import positions

    found = positions(strip, start_m, inner_m, spacing_m, edge_m)
    return tuple(map(tuple, found.tolist()))


def rows_of(plan: Plan, p: Planting) -> list[tuple[float, list[float]]]:
    """Return each row's distance along the bed and its plants' distances across [m].

    Of rows along the bed, each one's distance across and its plants' distances along.
    """
    rows: dict[float, list[float]] = {}
    for x, y in stations(plan, p):
        at, mark = (y, x) if p.along else (x, y)
        rows.setdefault(round(at, 4), []).append(round(mark, 4))
    return sorted((at, sorted(marks)) for at, marks in rows.items())
