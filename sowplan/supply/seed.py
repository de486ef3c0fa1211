"""Seed and cells: what a season's sowings take, and what to have in hand."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, timedelta

from sowplan.season.plan import Plan, PlanCrop, Planting
from sowplan.season.words import propagule
from sowplan.supply.wording import word

SURE = 0.95
"""Chance of having seedlings enough for the season with the seed in hand."""


@dataclass(frozen=True)
class SeedNeed:
    """What one crop's sowings of a season take.

    ``seeds`` is what the sowings put into the ground; ``seeds_in_hand`` what to have, so that
    with `SURE` enough come up for every plant; never less than ``seeds``.
    """

    crop: str
    name: str
    what: str  # seeds, seed tubers, cloves …
    first_sowing: date
    last_sowing: date
    sowings: int
    plants: int  # stations; a multi-sown clump counts once
    cells: int
    seeds: int
    seeds_in_hand: int
    germination_percent: float


@dataclass(frozen=True)
class TrayUse:
    """How full one tray gets: its busiest day, and the cells taken then."""

    tray: str
    cells: int
    most: int
    day: date | None


def seed_needs(plan: Plan) -> tuple[SeedNeed, ...]:
    """Return what each crop of a plan takes in seed and cells, in order of crop names.

    Parameters
    ----------
    plan : Plan
        Crops without a sowing are left out, and sowings made before the season began. What is
        bought as young plants is not sown.

    Returns
    -------
    tuple of SeedNeed
        One a crop.
    """
    by_crop: dict[str, list[Planting]] = {}
    for p in plan.plantings:
        if p.sow >= plan.site.start and not p.bought:
            by_crop.setdefault(p.crop, []).append(p)
    needs = [_need(plan.crop(key), plantings) for key, plantings in by_crop.items()]
    return tuple(sorted(needs, key=lambda need: (need.name, need.crop)))


def seeds_for(seedlings: int, germination: float, sure: float = SURE) -> int:
    """Return the fewest seeds that give enough seedlings with the chance ``sure``.

    Seeds come up independently with probability ``germination``; the seeds that do not before
    the last seedling wanted has follow the negative binomial distribution, which is summed here.

    Parameters
    ----------
    seedlings : int
        Seedlings needed.
    germination : float
        Share of seeds that come up, above 0 and at most 1.
    sure : float
        Chance of having them all, below 1.
    """
    if not 0.0 < germination <= 1.0:
        raise ValueError("germination is a share above 0 and at most 1")
    if seedlings <= 0 or germination == 1.0:
        return max(seedlings, 0)
    lost, log_chance = 0, seedlings * math.log(germination)  # in logarithms: it can be very small
    total, log_not = math.exp(log_chance), math.log1p(-germination)
    while total < sure:
        log_chance += math.log((seedlings + lost) / (lost + 1)) + log_not
        lost += 1
        total += math.exp(log_chance)
    return seedlings + lost


def tray_use(plan: Plan) -> tuple[TrayUse, ...]:
    """Return how full each tray of a plan gets, a cell being taken from sowing to planting out."""
    uses = []
    for tray in plan.trays:
        change: dict[date, int] = {}
        for p in plan.plantings:
            if p.tray == tray.name:
                out = p.planting_out or p.sow + timedelta(days=1)
                change[p.sow] = change.get(p.sow, 0) + p.cells
                change[out] = change.get(out, 0) - p.cells
        most, taken, busiest = 0, 0, None
        for day in sorted(change):
            taken += change[day]
            if taken > most:
                most, busiest = taken, day
        uses.append(TrayUse(tray.name, tray.cells, most, busiest))
    return tuple(uses)


def _need(crop: PlanCrop, plantings: list[Planting]) -> SeedNeed:
    plants = sum(p.plants for p in plantings)
    seeds = sum(p.seeds for p in plantings)
    in_hand = seeds_for(plants * crop.plants_per_cell, crop.germination_percent / 100)
    return SeedNeed(
        crop=crop.key,
        name=crop.name,
        what=word(propagule(crop), 2),
        first_sowing=min(p.sow for p in plantings),
        last_sowing=max(p.sow for p in plantings),
        sowings=len({p.sowing for p in plantings}),
        plants=plants,
        cells=sum(p.cells for p in plantings),
        seeds=seeds,
        seeds_in_hand=max(seeds, in_hand),
        germination_percent=crop.germination_percent,
    )
