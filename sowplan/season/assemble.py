"""From a standing season to the frozen plan: names, who eats what of it, and how good it is."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable

from sowplan.records.garden import Want
from sowplan.season.archive import VERSION
from sowplan.season.choices.book import Book
from sowplan.season.choices.instance import NEVER, Batch, Periods
from sowplan.season.choices.sun import sun_of
from sowplan.season.days import plants_per_unit
from sowplan.season.frame import place_of, plan_crop, site_of, sky_of
from sowplan.season.plan import Plan, Planting, PlanTray, Quality, WantPeriod
from sowplan.season.planted import planting_of
from sowplan.season.search.service import hand_out

CRUMB = 1e-7
"""Less than this, of what is counted in want-weeks, is none: what sums of fractions leave over."""


def assemble(
    book: Book,
    batches: list[Batch],
    bound: float,
    bound_by: str,
    method: str,
    notes: tuple[str, ...] = (),
) -> Plan:
    """Return the plan of a season's batches; ``why`` of what is missing is left empty.

    Parameters
    ----------
    book : Book
        The garden the batches were chosen for.
    batches : list of Batch
        What stands.
    bound : float
        The least missing any plan can have [want-weeks].
    bound_by, method : str
        How the bound and the plan were had, for people.
    notes : tuple of str
        What else the gardener should know.
    """
    ordered = sorted(batches, key=lambda b: _order(book, b))
    plantings = _plantings(book, ordered)
    wants, missing, wasted = _wants(book, ordered, plantings)
    wanted, sowings = book.instance.wanted, sowings_in(plantings)
    quality = quality_of(wanted, missing, bound, wasted, sowings, bound_by, method)
    used = {p.crop for p in plantings} | {w.crop for w in wants}
    sun = sun_of(book.garden, book.places)
    return Plan(
        version=VERSION,
        site=site_of(book),
        sky=sky_of(book),
        places=tuple(place_of(place, sun.get(place.name)) for place in book.places),
        trays=tuple(PlanTray(tray.name, tray.cells) for tray in book.trays),
        crops=tuple(plan_crop(crop) for crop in book.crops if crop.key in used),
        plantings=plantings,
        wants=wants,
        quality=quality,
        notes=notes,
    )


def _order(book: Book, batch: Batch) -> tuple:
    options = book.instance.crops[batch.crop].options
    return int(options.sow[batch.option]), batch.crop, batch.spot, batch.mask


def _plantings(book: Book, batches: list[Batch]) -> tuple[Planting, ...]:
    numbers: Counter[str] = Counter()
    found = []
    for batch in batches:
        key = book.crops[batch.crop].key
        numbers[key] += 1
        found.append(planting_of(book, batch, f"{key}-{numbers[key]}"))
    return tuple(found)


def _wants(
    book: Book, batches: list[Batch], plantings: tuple[Planting, ...]
) -> tuple[tuple[WantPeriod, ...], float, float]:
    """Hand the harvests out; return the periods, and missing and wasted in want-weeks."""
    rows: list[tuple[tuple, WantPeriod]] = []
    missing = wasted = 0.0
    for number, case in enumerate(book.instance.crops):
        lots, owner = [], []
        for batch, planting in zip(batches, plantings, strict=True):
            if batch.crop == number:
                for ready, expiry, share in case.options.lots[batch.option]:
                    if ready < NEVER:
                        lots.append((ready, expiry, share * batch.plants))
                        owner.append(planting.id)
        served: list[Counter[str]] = [Counter() for _ in range(len(case.periods))]
        handed = 0.0
        for period, lot, amount in hand_out(case.periods, lots):
            served[period][owner[lot]] += amount
            handed += amount
        wasted += max(0.0, sum(lot[2] for lot in lots) - handed) * case.worth
        for period in range(len(case.periods)):
            row = _period(book, number, period, served[period])
            rows.append(((row.want, row.start), row))
            missing += (1.0 - row.met / row.wanted) * float(
                case.periods.need[period] * case.periods.weight[period]
            )
    rows.sort(key=lambda row: row[0])
    return tuple(row for _, row in rows), missing, wasted


def _period(book: Book, crop: int, period: int, served: Counter[str]) -> WantPeriod:
    periods = book.instance.crops[crop].periods
    number = int(periods.want[period])
    want = book.garden.wants[number]
    per_unit = plants_per_unit(book.crops[crop], want.unit)
    return period_of(book, want, number, periods, period, per_unit, served.items())


def period_of(
    book: Book,
    want: Want,
    number: int,
    periods: Periods,
    period: int,
    per_unit: float,
    served: Iterable[tuple[str, float]],
) -> WantPeriod:
    """Return a period of a want, served so many plants' yield by each planting.

    ``per_unit`` is the plants whose yield is one unit of the want.
    """
    given = tuple((name, round(amount / per_unit, 9)) for name, amount in served)
    met = math.fsum(amount for _, amount in given)
    return WantPeriod(
        want=number,
        crop=want.crop,
        start=book.day(periods.start[period]),
        end=book.day(periods.end[period]),
        unit=want.unit,
        wanted=float(want.amount),
        met=float(want.amount) if abs(met - want.amount) < 1e-6 else met,
        served_by=given,
        priority=want.priority,
    )


def quality_of(
    wanted: float,
    missing: float,
    bound: float,
    wasted: float,
    sowings: int,
    bound_by: str,
    method: str,
) -> Quality:
    """Return how good a season is.

    Parameters
    ----------
    wanted, missing, bound, wasted : float
        What is wanted, missing, missing from every plan, and grown for nothing [want-weeks].
    sowings : int
        How many there are.
    bound_by, method : str
        How the bound was had, and the plan.
    """
    missing = 0.0 if missing < CRUMB else missing
    bound = min(bound, missing)
    eaten = wanted - missing
    return Quality(
        wanted=wanted,
        missing=missing,
        missing_share=missing / wanted if wanted else 0.0,
        missing_share_bound=bound / wanted if wanted else 0.0,
        bound_by=bound_by,
        wasted=wasted,
        wasted_share=wasted / (eaten + wasted) if eaten + wasted else 0.0,
        sowings=sowings,
        proven=missing - bound <= 1e-4,
        method=method,
    )


def sowings_in(plantings: Iterable[Planting]) -> int:
    """Return how many sowings there are beside the gardener's own; one may stand in many strips."""
    fixed = {planting.sowing for planting in plantings if planting.fixed}
    return len({planting.sowing for planting in plantings} - fixed)
