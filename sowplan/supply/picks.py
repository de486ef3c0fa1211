"""When what is wanted is brought in: each want's share of each harvest, on the gardener's days.

The plan says which plantings serve each period of a want. Here those amounts are traced to the
plantings' single harvests (the lot that spoils first is used first, as the plan hands them out)
and put on days: one day a period where one day is fit for all of it, a working day where there
is one. What nobody asked for is told too, so that nothing that stands ready is forgotten.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta

from sowplan.season.plan import Plan, PlanCrop, Planting, WantPeriod
from sowplan.supply.workdays import Workdays

EARLY_DAYS, LATE_DAYS = 3, 3
"""So many days before its period a crop that keeps, and so many days after it any crop that still
stands fit, may be brought in to meet a working day."""

CRUMB = 0.7
"""Less than this share of what a period wants is not worth a day of its own."""

CRUMB_DAYS = 7
NOTHING = 1e-6  # amounts in plan.json are rounded to nine places; their sums are off by more


@dataclass(frozen=True)
class Portion:
    """Some of one planting's lot, for one period of a want or, without one, for nobody."""

    planting: Planting
    lot: int  # from 0
    amount: float  # in the crop's harvest unit
    first: date  # the days on which it may be brought in, both included
    last: date
    want: WantPeriod | None
    day: date | None = None


@dataclass(frozen=True)
class Pick:
    """What is brought in of one crop on one day: for its wants, or of lots nobody asked for."""

    crop: str
    want: WantPeriod | None  # the first of those it serves
    day: date
    portions: tuple[Portion, ...]

    @property
    def until(self) -> date:
        """Return the last day on which all of it is still fit, and not too late for its wants."""
        return max(self.day, min(_until(p, self.day) for p in self.portions))

    @property
    def ready(self) -> date:
        """Return the first day on which all of it is fit."""
        return max(p.planting.lots[p.lot].ready for p in self.portions)


def _until(p: Portion, day: date) -> date:
    last = p.planting.lots[p.lot].last
    return min(last, p.want.end) if p.want is not None and day <= p.want.end else last


def picks(plan: Plan, workdays: Workdays) -> tuple[Pick, ...]:
    """Return every pick of a season; the days used are noted in ``workdays``.

    Parameters
    ----------
    plan : Plan
        Any plan.
    workdays : Workdays
        The gardener's days to harvest; those already busy are used before new ones.

    Returns
    -------
    tuple of Pick
        In the order of days. Each amount of each period's ``served_by`` is in one of them, and
        what is left of a lot that serves nobody at all.
    """
    keeps = {crop.key: int(crop.keeps_days) for crop in plan.crops}
    placed, rest = _on_working_days(_portions(plan), workdays, keeps)
    workdays.add(p.day for p in placed)
    placed += _on_few_days([_when_there(p, workdays, keeps) for p in rest], workdays)
    placed = _without_crumbs(placed, workdays, plan)
    gathered: dict[tuple, list[Portion]] = {}
    for p in placed:
        lot = () if p.want else (p.planting.id, p.lot)
        gathered.setdefault((p.day, p.planting.crop, lot), []).append(p)
    found = []
    for (day, crop, _), group in gathered.items():
        wants = [p.want for p in group if p.want is not None]
        first = min(wants, key=lambda w: (w.start, w.want), default=None)
        found.append(Pick(crop, first, day, tuple(group)))
    return tuple(sorted(found, key=lambda k: (k.day, k.crop, k.want is None, k.portions[0].lot)))


def harvest_units(crop: PlanCrop, unit: str) -> float:
    """Return the crop's harvest units in one unit of a want."""
    if unit == "plants":
        return crop.units_per_plant
    if unit == "kg" and crop.harvest_unit != "kg":
        return crop.units_per_plant / crop.kg_per_plant
    return 1.0


def spare(plan: Plan) -> dict[tuple[str, int], float]:
    """Return what is left of each lot, by planting and lot from 0, in the crop's harvest unit."""
    left = {(p.id, n): lot.amount for p in plan.plantings for n, lot in enumerate(p.lots)}
    for portion in _wanted(plan):
        left[portion.planting.id, portion.lot] -= portion.amount
    return left


def _portions(plan: Plan) -> list[Portion]:
    """Return the portions of the wants, and the lots of which nobody wants anything."""
    wanted = _wanted(plan)
    used = {(p.planting.id, p.lot) for p in wanted}
    free = [
        Portion(p, n, lot.amount, lot.ready, lot.last, None)
        for p in plan.plantings
        for n, lot in enumerate(p.lots)
        if (p.id, n) not in used and lot.amount > NOTHING
    ]
    return [*wanted, *free]


def _wanted(plan: Plan) -> list[Portion]:
    crops = {crop.key: crop for crop in plan.crops}
    plantings = {p.id: p for p in plan.plantings}
    left = {p.id: [lot.amount for lot in p.lots] for p in plan.plantings}
    found: list[Portion] = []
    for want in sorted(plan.wants, key=lambda w: (w.end, w.start, w.want)):
        for name, amount in want.served_by:
            if name not in plantings:  # a part of a plan is looked at
                continue
            p, crop = plantings[name], crops[want.crop]
            found += _taken(p, crop, want, amount * harvest_units(crop, want.unit), left[name])
    return found


def _taken(
    p: Planting, crop: PlanCrop, want: WantPeriod, amount: float, left: list[float]
) -> Iterator[Portion]:
    """Yield what a period takes of a planting's lots; ``left`` is what they have left."""
    keeps = timedelta(days=int(crop.keeps_days))

    def fit(n: int) -> bool:
        return p.lots[n].ready <= want.end and p.lots[n].last + keeps >= want.start

    order = sorted(range(len(p.lots)), key=lambda n: (not fit(n), p.lots[n].last, n))
    for n in order:
        take = min(amount, left[n])
        if take > NOTHING:
            left[n] -= take
            amount -= take
            yield Portion(p, n, take, *_days_for(p, n, want, keeps), want)


def _days_for(p: Planting, n: int, want: WantPeriod, keeps: timedelta) -> tuple[date, date]:
    """Return the days to bring in a lot for a period: within it, or before and kept."""
    lot = p.lots[n]
    first, last = max(lot.ready, want.start), min(lot.last, want.end)
    if first <= last:
        return first, last
    return max(lot.ready, min(want.start - keeps, lot.last)), lot.last


def _on_working_days(
    portions: list[Portion], workdays: Workdays, keeps: dict[str, int]
) -> tuple[list[Portion], list[Portion]]:
    """Put portions on working days, of one period as much as can be on one; return the rest too."""
    groups: dict[tuple, list[Portion]] = {}
    for p in portions:
        mine = (p.want.want, p.want.start) if p.want else (p.planting.id, p.lot)
        groups.setdefault(mine, []).append(p)
    placed: list[Portion] = []
    rest: list[Portion] = []
    for group in groups.values():
        fit = [(p, _working_days(p, workdays, keeps)) for p in group]
        rest += [p for p, can in fit if not can]
        fit = [(p, can) for p, can in fit if can]
        while fit:
            much: dict[date, float] = {}
            for p, can in fit:
                for day in can:
                    much[day] = much.get(day, 0.0) + p.amount
            best = min(much, key=lambda day: (-round(much[day], 9), day))
            placed += [replace(p, day=best) for p, can in fit if best in can]
            fit = [(p, can) for p, can in fit if best not in can]
    return placed, rest


def _working_days(p: Portion, workdays: Workdays, keeps: dict[str, int]) -> list[date]:
    """Return the working days for a portion; where none is, the one shortly before or after."""
    found = workdays.within(p.first, p.last)
    if found or p.want is None:
        return found
    lot = p.planting.lots[p.lot]
    if workdays.only_named:  # what a short want asks for between them is brought in before
        return workdays.within(lot.ready, p.first)[-1:]
    early = timedelta(days=min(EARLY_DAYS, keeps[p.planting.crop]))
    before = workdays.within(max(lot.ready, p.first - early), p.first)
    late = min(lot.last, p.want.end + timedelta(days=LATE_DAYS))
    return before[-1:] or workdays.within(p.first, late)[:1]


def _when_there(p: Portion, workdays: Workdays, keeps: dict[str, int]) -> Portion:
    """Return a portion with some days more before and after, where nothing is done on its own."""
    own = (p.first + timedelta(days=n) for n in range((p.last - p.first).days + 1))
    if not workdays.never_on or not all(workdays.is_away(day) for day in own):
        return p
    lot, early = p.planting.lots[p.lot], min(EARLY_DAYS, keeps[p.planting.crop])
    first = max(lot.ready, p.first - timedelta(days=early))
    return replace(p, first=first, last=min(lot.last, p.last + timedelta(days=LATE_DAYS)))


def _on_few_days(portions: list[Portion], workdays: Workdays) -> list[Portion]:
    """Put portions on days with other work, and the rest on as few more days as can be."""
    placed: list[Portion] = []
    rest = sorted(portions, key=lambda p: (p.last, p.first, p.planting.id, p.lot))
    while rest:
        p = rest[0]
        day = workdays.earliest(p.first, p.last, max(q.first for q in rest if q.first <= p.last))
        workdays.add([day])
        placed += [replace(q, day=day) for q in rest if q.first <= day <= q.last]
        rest = [q for q in rest if not q.first <= day <= q.last]
    return placed


def _without_crumbs(placed: list[Portion], workdays: Workdays, plan: Plan) -> list[Portion]:
    """Bring in what is too little for a day of its own with more of that crop, while it is fit."""
    crops = {crop.key: crop for crop in plan.crops}
    much: dict[tuple[str, date], float] = {}
    for p in placed:
        much[p.planting.crop, p.day] = much.get((p.planting.crop, p.day), 0.0) + p.amount
    found = []
    for p in placed:
        crop = crops[p.planting.crop]
        alone = p.want and much[crop.key, p.day] < CRUMB * p.want.wanted * harvest_units(
            crop, p.want.unit
        )
        if alone and p.day.weekday() not in workdays.work_on:
            lot, near = p.planting.lots[p.lot], timedelta(days=CRUMB_DAYS)
            days = [
                day
                for key, day in much
                if key == crop.key and day != p.day and lot.ready <= day <= lot.last
                and abs(day - p.day) <= near
            ]  # fmt: skip
            days = days or workdays.within(
                max(lot.ready, p.day - near), min(lot.last, p.day + near)
            )
            day = min(days, key=lambda day: (abs(day - p.day), day), default=p.day)
            much[crop.key, p.day] -= p.amount
            much[crop.key, day] = much.get((crop.key, day), 0.0) + p.amount
            p = replace(p, day=day)
        found.append(p)
    return found
