"""Young plants that are bought: the job of buying them, and what to buy when."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from sowplan.season.plan import Plan, Planting
from sowplan.supply.ground import Ground, where_they_go
from sowplan.supply.task import Task, job
from sowplan.supply.wording import count_text, one_line, stations_text
from sowplan.supply.workdays import Workdays

# Common practice, no source: they keep about a week in their pots, and want some days to harden.
BUY_DAYS = 4
BUY_DAYS_FEWEST, BUY_DAYS_MOST = 2, 7


def buy(ground: Ground, workdays: Workdays, since: date) -> Task:
    """Return the job of buying a planting's plants, some days before they are planted out.

    Parameters
    ----------
    ground : Ground
        Of bought plants, planted out on the plan's day.
    workdays : Workdays
        The gardener's days. The plants are not left alone while nobody is there.
    since : date
        The season's first day; nothing is to be done before it.
    """
    p, crop = ground.planting, ground.crop
    day = _day(p.sow, workdays, since)
    title = f"Buy {p.plants} {one_line(crop.name)} {'plant' if p.plants == 1 else 'plants'}"
    details = [what_for([ground]), *how_to_buy([ground], day)]
    return job(ground, "buy", day, p.sow, title, details, place="", size=p.plants)


def what_for(grounds: Sequence[Ground]) -> str:
    """Return how many plants of one crop are to be bought, and when they go where: a sentence."""
    each = grounds[0].crop.plants_per_cell
    number = stations_text(sum(ground.planting.plants for ground in grounds), each)
    goes = where_they_go((ground, ground.planting.sow) for ground in grounds)
    return f"{number}, to be planted out {goes}."


def how_to_buy(grounds: Sequence[Ground], day: date) -> list[str]:
    """Return what to look for in plants bought on a day, and how to keep them till planting out."""
    look = (
        "Choose short, stocky plants of a good green, roots just showing below, none in flower; "
        "look under the leaves for pests."
    )
    if all(g.planting.sow <= day for g in grounds):
        return [look]
    frost = ", and in when frost is forecast" if any(g.crop.tender for g in grounds) else ""
    return [
        look,
        "Keep them watered, outside in a light and sheltered spot; if the nursery kept them "
        f"inside, by day only at first, longer each day{frost}.",
    ]


def _day(out: date, workdays: Workdays, since: date) -> date:
    """Return the day to buy on what is planted out on a day."""
    back = [last + timedelta(days=1) for _, last in workdays.away if last < out]
    first = max([out - timedelta(days=BUY_DAYS_MOST), since, *back])
    last = max(first, out - timedelta(days=BUY_DAYS_FEWEST))
    usual = max(first, out - timedelta(days=BUY_DAYS))
    return min(workdays.nearest(first, last, usual), out)


def to_come(plan: Plan) -> list[Planting]:
    """Return the plantings sown or bought in the season; not what stood when it began."""
    return [p for p in plan.plantings if p.sow >= plan.site.start]


def sowings_text(plantings: Iterable[Planting]) -> str:
    """Return ``"18 sowings"``, ``"18 sowings and 10 lots of bought plants"``.

    A sowing is what is sown of a crop on one day; it may stand in several strips or pots.
    """
    sowings = {p.sowing for p in plantings}
    bought = sum(raising == "bought plants" for *_, raising in sowings)
    lots = f"{count_text(bought, 'lot')} of bought plants"
    if bought == len(sowings) > 0:
        return lots
    sown = count_text(len(sowings) - bought, "sowing")
    return f"{sown} and {lots}" if bought else sown


@dataclass(frozen=True)
class PlantsToBuy:
    """Young plants of one crop to have on one day, for however many places."""

    crop: str
    name: str
    out: date  # the day they are planted out
    plants: int  # stations; a clump counts once
    plants_each: int  # in a clump

    @property
    def number(self) -> str:
        """Return ``"6 plants"``, ``"15 clumps of 6"``."""
        return stations_text(self.plants, self.plants_each)


def plants_to_buy(plan: Plan) -> tuple[PlantsToBuy, ...]:
    """Return the young plants a season takes, in the order of days, then of names.

    Those planted out before the season began are left out.
    """
    many: dict[tuple[date, str], int] = {}
    for p in plan.plantings:
        if p.bought and p.sow >= plan.site.start:
            many[p.sow, p.crop] = many.get((p.sow, p.crop), 0) + p.plants
    found = []
    for (out, key), plants in many.items():
        crop = plan.crop(key)
        found.append(PlantsToBuy(key, crop.name, out, plants, crop.plants_per_cell))
    return tuple(sorted(found, key=lambda need: (need.out, need.name, need.crop)))
