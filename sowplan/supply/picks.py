"""When what is wanted is brought in: each want's share of each harvest, on the gardener's days.

The plan says which plantings serve each period of a want. Here those amounts are traced to the
plantings' single harvests (the lot that spoils first is used first, as the plan hands them out)
and put on days: one day a period where one day is fit for all of it, a working day where there
is one, and on no more days than need be. Where somebody is there, nothing is brought in after its
period, nor so early that it would not keep until then; and a crop is not brought in on two days
running where once will do. What nobody asked for is told too, so that nothing that stands ready is
forgotten.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta

from sowplan.season.plan import Plan, PlanCrop, PlanLot, Planting, WantPeriod
from sowplan.supply.workdays import Workdays, days

EARLY_DAYS = 3
"""So many days before its period a crop that keeps may be brought in to meet a working day."""

LATE_DAYS = 3
"""So many days after its period what stands fit is had, where nobody was there to bring it in."""

CLOSE_DAYS = 2
"""A crop is not brought in twice within so many days where once will do, only since a period of its
want ends between them (common sense, no source)."""

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
    soonest: date  # brought in before, it would not keep until it is wanted
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
    def soonest(self) -> date:
        """Return the first day on which all of it is fit, and keeps until it is wanted."""
        return min(self.day, max(p.soonest for p in self.portions))


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
    before = frozenset(workdays.busy)
    placed, rest = _on_working_days(_portions(plan), workdays)
    workdays.add(p.day for p in placed)
    placed += _on_few_days([_when_there(p, workdays) for p in rest], workdays)
    placed = _with_others(placed)
    placed = _without_crumbs(placed, workdays, plan)
    placed = _on_fewer_days(placed, workdays, before)
    had = {p.day for p in placed}
    placed = _not_two_days_running(placed)
    workdays.busy -= had - {p.day for p in placed} - before
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
        Portion(p, n, lot.amount, lot.ready, lot.last, None, lot.ready)
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
            found += _taken(p, crop, want, amount * crop.units_in(want.unit), left[name])
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
            soonest = max(p.lots[n].ready, min(want.start - keeps, p.lots[n].last))
            yield Portion(p, n, take, *_days_for(p.lots[n], want, soonest), want, soonest)


def _days_for(lot: PlanLot, want: WantPeriod, soonest: date) -> tuple[date, date]:
    """Return the days to bring in a lot for a period: within it, or before and kept."""
    first, last = max(lot.ready, want.start), min(lot.last, want.end)
    return (first, last) if first <= last else (soonest, lot.last)


def _on_working_days(
    portions: list[Portion], workdays: Workdays
) -> tuple[list[Portion], list[Portion]]:
    """Put portions on working days, of one period as much as can be on one; return the rest too."""
    groups: dict[tuple, list[Portion]] = {}
    for p in portions:
        mine = (p.want.want, p.want.start) if p.want else (p.planting.id, p.lot)
        groups.setdefault(mine, []).append(p)
    placed: list[Portion] = []
    rest: list[Portion] = []
    for group in groups.values():
        fit = [(p, _working_days(p, workdays)) for p in group]
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


def _working_days(p: Portion, workdays: Workdays) -> list[date]:
    """Return the working days for a portion; where none is, the one shortly before."""
    found = workdays.within(p.first, p.last)
    if found or p.want is None:
        return found
    if workdays.only_named:  # what a short want asks for between them is brought in before
        return workdays.within(p.planting.lots[p.lot].ready, p.first)[-1:]
    return workdays.within(_early(p), p.first)[-1:]


def _early(p: Portion) -> date:
    """Return a day shortly before those of a portion, from which on it keeps."""
    return max(p.soonest, p.first - timedelta(days=EARLY_DAYS))


def _when_there(p: Portion, workdays: Workdays) -> Portion:
    """Return a portion with days before, or else after, where nothing is done on its own."""
    if _somebody_there(p, workdays):
        return p
    early = replace(p, first=_early(p))
    if _somebody_there(early, workdays):
        return early
    lot, few = p.planting.lots[p.lot], timedelta(days=LATE_DAYS)
    return replace(p, first=max(lot.ready, p.first - few), last=min(lot.last, p.last + few))


def _somebody_there(p: Portion, workdays: Workdays) -> bool:
    return not all(workdays.is_away(day) for day in days(p.first, p.last))


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


def _with_others(placed: list[Portion]) -> list[Portion]:
    """Bring in with others of its crop what is placed before its days: in these, or before them."""
    in_time: dict[str, set[date]] = {}
    for p in placed:
        if p.day >= p.first:
            in_time.setdefault(p.planting.crop, set()).add(p.day)
    return [replace(p, day=_near(p, in_time.get(p.planting.crop, ()))) for p in placed]


def _near(p: Portion, others: Iterable[date]) -> date:
    """Return the day for a portion placed before its days: one of these, where one is fit."""
    if p.day >= p.first:
        return p.day
    early = _early(p)
    fit = [day for day in others if early <= day <= p.last]
    return min(fit, key=lambda day: (day < p.first, abs(day - p.first)), default=p.day)


def _on_fewer_days(
    placed: list[Portion], workdays: Workdays, before: frozenset[date]
) -> list[Portion]:
    """Go without days on which all that is brought in may be on others; ``before``: had anyway."""
    by_day: dict[date, list[Portion]] = {}
    for p in placed:
        by_day.setdefault(p.day, []).append(p)
    anyway = {day for day in before if not workdays.is_away(day)}
    for day in sorted(by_day.keys() - anyway, key=lambda day: (len(by_day[day]), day)):
        others = (anyway | by_day.keys()) - {day}
        moved = [replace(p, day=_nearest(p, others, by_day)) for p in by_day[day]]
        if all(p.day != day for p in moved):
            del by_day[day]
            for p in moved:
                by_day.setdefault(p.day, []).append(p)
    workdays.busy -= {p.day for p in placed} - by_day.keys() - before
    return [p for group in by_day.values() for p in group]


def _nearest(p: Portion, others: set[date], by_day: dict[date, list[Portion]]) -> date:
    """Return the one of some days that suits a portion best, or its own where none is fit."""

    def how_well(day: date) -> tuple:
        alike = any(q.planting.crop == p.planting.crop for q in by_day.get(day, ()))
        return day < p.first, not alike, abs(day - p.day), day

    early, last = _early(p), p.last
    return min((day for day in others if early <= day <= last), key=how_well, default=p.day)


def _not_two_days_running(placed: list[Portion]) -> list[Portion]:
    """Bring in at once what is wanted of a crop on days close to each other, as far as it is fit.

    On the later day where all of the earlier is fit and in time then; else on the earlier, where
    all of the later is fit by then and keeps.
    """
    by_crop: dict[str, dict[date, list[Portion]]] = {}
    rest = [p for p in placed if p.want is None]
    for p in placed:
        if p.want is not None:
            by_crop.setdefault(p.planting.crop, {}).setdefault(p.day, []).append(p)
    for by_day in by_crop.values():
        before: date | None = None
        for day in sorted(by_day):
            if before is not None and (day - before).days <= CLOSE_DAYS:
                if all(p.first <= day <= p.last for p in by_day[before]):
                    by_day[day] += by_day.pop(before)
                elif all(_early(p) <= before <= p.last for p in by_day[day]):
                    by_day[before] += by_day.pop(day)
                    continue
            before = day
        rest += [replace(p, day=day) for day, some in by_day.items() for p in some]
    return rest


def _without_crumbs(placed: list[Portion], workdays: Workdays, plan: Plan) -> list[Portion]:
    """Bring in what is too little for a day of its own with more of that crop, while it is fit."""
    crops = {crop.key: crop for crop in plan.crops}
    much: dict[tuple[str, date], float] = {}
    for p in placed:
        much[p.planting.crop, p.day] = much.get((p.planting.crop, p.day), 0.0) + p.amount
    near = timedelta(days=CRUMB_DAYS)
    found = []
    for p in placed:
        crop = crops[p.planting.crop]
        whole = p.want.wanted * crop.units_in(p.want.unit) if p.want else 0.0
        alone = much[crop.key, p.day] < CRUMB * whole
        if alone and p.day.weekday() not in workdays.work_on:
            first, last = max(p.soonest, p.day - near), min(p.last, p.day + near)
            fit = [
                day
                for key, day in much
                if key == crop.key and day != p.day and first <= day <= last
            ]
            fit = fit or workdays.within(first, last)
            day = min(fit, key=lambda day: (abs(day - p.day), day), default=p.day)
            much[crop.key, p.day] -= p.amount
            much[crop.key, day] = much.get((crop.key, day), 0.0) + p.amount
            p = replace(p, day=day)
        found.append(p)
    return found
