"""Places made smaller in the garden file than what already stands in them: that cannot be."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from datetime import date

from sowplan.bed.strips import positions
from sowplan.growth.reasons import day_words
from sowplan.problem import Exit, Problem
from sowplan.quantity import INCH_M, format_length
from sowplan.records.garden import Bed, Channel, Garden, Place
from sowplan.season.frame import kind_of
from sowplan.season.plan import Plan, Planting
from sowplan.season.words import listed

HAIR_M = 1e-6


def holds(plan: Plan, place: Place, p: Planting) -> bool:
    """Return whether a planting stands within a place as the garden file now has it."""
    return not any(has < needs for _, has, needs in _sizes(plan, place, p))


def too_small(plan: Plan, garden: Garden, stands: Iterable[Planting], today: date) -> list[Problem]:
    """Return a problem for each length, width or number of a place that what stands goes beyond.

    Parameters
    ----------
    plan : Plan
        The plan so far, places called as they now are.
    garden : Garden
        The garden file's.
    stands : iterable of Planting
        What is sown. Seedlings still in their trays can go elsewhere, and are no problem.
    today : date
        What is cleared by then is none either.
    """
    there = [
        p
        for p in stands
        if p.cleared > today and (p.planting_out is None or p.planting_out < today)
    ]
    found = []
    for place in garden.places:
        mine = [p for p in there if p.place == place.name]
        beyond: dict[str, list[tuple[Planting, float, float]]] = {}
        for p in mine:
            for key, has, needs in _sizes(plan, place, p):
                if has < needs:
                    beyond.setdefault(key, []).append((p, has, needs))
        found += [_problem(plan, garden, place, key, some) for key, some in beyond.items()]
    return found


def _sizes(plan: Plan, place: Place, p: Planting) -> Iterator[tuple[str, float, float]]:
    """Yield each key of a place's size that a planting depends on, what it is and what it must be.

    Of places of another kind than it was nothing is asked: what stood there is not of them.
    """
    if p.kind != kind_of(place):
        return
    if not isinstance(place, Bed):
        key, has = ("holes", place.holes) if isinstance(place, Channel) else ("count", place.count)
        yield key, has, max(p.slots, default=0)
        return
    was, bare = plan.place(p.place), 2 * place.edge_m
    yield "length", place.length_m + HAIR_M, p.strip_start_m + p.strip_length_m + bare
    inner = was.width_m - 2 * was.edge_m
    if place.width_m - bare < inner - HAIR_M:
        spacing = plan.crop(p.crop).spacing_cm / 100
        far = float(positions(p.strip, p.strip_start_m, inner, spacing)[: p.plants, 1].max())
        yield "width", place.width_m + HAIR_M, far + bare


def _problem(
    plan: Plan, garden: Garden, place: Place, key: str, some: list[tuple[Planting, float, float]]
) -> Problem:
    """Say what stands beyond a place's size, the least that would do, and what else may be done."""
    metres = isinstance(place, Bed)

    def size(value: float) -> str:
        return format_length(value, garden.units) if metres else f"{value:g}"

    step = 0.01 if garden.units == "metric" else INCH_M / 2  # what is asked for is not cut short
    least, until = max(needs for *_, needs in some), max(p.cleared for p, *_ in some)
    least = math.ceil(least / step - HAIR_M / step) * step if metres else least
    told = listed([f"{p.plants} {plan.crop(p.crop).name} ({p.id})" for p, *_ in some])
    cleared = " ".join(f"{p.id}:clear" for p, *_ in some)
    verb = "reach" if metres else "need"
    message = (
        f"{told} stand there until {day_words(until)} and {verb} {size(least)}: make it so much at "
        f"least, or enter what was taken out: sowplan done {cleared}."
    )
    file, line = place.where.file, place.where.line
    where = f"{place.where.table}, {key}"
    return Problem(file, line, where, size(some[0][1] - HAIR_M * metres), message, Exit.IMPOSSIBLE)
