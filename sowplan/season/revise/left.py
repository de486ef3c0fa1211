"""What is left of a planting: after losses, after harvests that were counted, once it is cleared.

What was had of it before a day is what the plan hands out of it by then, period by period; where a
harvest was counted, it is the count. The rest is still to come.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import NamedTuple

from sowplan.season.plan import HARVEST_DAYS, Plan, PlanLot, Planting, Stood
from sowplan.season.revise.happened import Happened

DAY = timedelta(days=1)
CRUMB = 1e-6
NEAR_UNITS, NEAR_SHARE = 0.5, 0.1
"""A count so near to what the plan has in a period is as planned: nobody brings in 2.6 heads."""

Fewer = Callable[[Planting, int], Planting]
"""A planting still to be planted out, of so many plants, on as much of its ground as they take."""


class Handed(NamedTuple):
    """What the plan hands out of a planting to one period of a want [crop's harvest units]."""

    start: date
    end: date
    amount: float


class Giving(NamedTuple):
    """What is to come of a planting: ``handed`` out by the plan, the first period first.

    ``once``: each of its plants is harvested once and whole.
    """

    handed: tuple[Handed, ...]
    once: bool


def givings(plan: Plan) -> dict[str, Giving]:
    """Return what is to come of each planting of a plan, by id."""
    crops = {crop.key: crop for crop in plan.crops}
    handed: dict[str, list[Handed]] = defaultdict(list)
    for want in sorted(plan.wants, key=lambda want: (want.start, want.end, want.want)):
        for name, amount in want.served_by:
            units = amount * crops[want.crop].units_in(want.unit)
            handed[name].append(Handed(want.start, want.end, units))
    return {
        p.id: Giving(tuple(handed[p.id]), crops[p.crop].harvest == "once") for p in plan.plantings
    }


def after_losses(
    p: Planting, told: Happened, today: date, fewer: Fewer, giving: Giving
) -> Planting | None:
    """Return a planting after all losses that it does not know of yet; None where nothing is left.

    Parameters
    ----------
    p : Planting
        ``lost`` of its plants are reckoned with.
    told : Happened
        What happened to it.
    today : date
        The day from which plants whose loss was taken back are there again.
    fewer : callable
        See `Fewer`.
    giving : Giving
        What the plan has to come of it.
    """
    if told.many_lost < p.lost:
        return after_loss(p, told.many_lost - p.lost, today, fewer, giving)
    known, now = p.lost, p
    for day, many in told.lost:
        new, known = max(many - known, 0), max(known - many, 0)
        if new:
            all_of_it = new >= now.plants
            now = after_loss(now, new, day, fewer, giving)
            if now is None or all_of_it:
                return now
    return now


def after_loss(p: Planting, many: int, day: date, fewer: Fewer, giving: Giving) -> Planting | None:
    """Return a planting with so many plants less from a day on; None where nothing is left of it.

    What was had before the day was had. Of what is harvested once, each plant lost is one less to
    come; of the others all that is to come is less. What is in a bed keeps its ground, gaps and
    all; in pots and holes those of the lost plants are free; what is still in its tray takes less.
    """
    left = p.plants - many
    if left <= 0:
        return _ended(p, min(max(day, p.sow + DAY), p.cleared), giving)
    lots = _fewer_heads(p, many, day) if giving.once else _fewer_cuts(p, left, day, giving)
    less = replace(p, lots=tuple(lots))
    if p.planting_out is not None and day < p.planting_out:
        less = fewer(less, left)
    else:
        less = replace(less, slots=slots_left(p, left))
    stood = (*p.stood, Stood(day, p.plants, p.slots)) if many > 0 else ()  # or taken back
    return replace(less, plants=left, lost=p.lost + many, stood=stood)


def _fewer_heads(p: Planting, many: int, day: date) -> list[PlanLot]:
    """Return the lots with so many plants less to bring in, the last ones first."""
    gone = many * sum(lot.amount for lot in p.lots) / p.plants
    lots = []
    for lot in reversed(p.lots):
        taken = min(lot.amount, gone) if lot.last >= day else 0.0
        gone -= taken
        if lot.amount - taken > CRUMB:
            lots.append(replace(lot, amount=round(lot.amount - taken, 9)))
    return lots[::-1]


def _fewer_cuts(p: Planting, left: int, day: date, giving: Giving) -> list[PlanLot]:
    """Return the lots of which only what is still to come becomes less, as plants have."""
    had = _had_before(p, day, giving)
    share = left / p.plants
    return [
        replace(lot, amount=round(mine + (lot.amount - mine) * share, 9))
        for lot, mine in zip(p.lots, had, strict=True)
    ]


def slots_left(p: Planting, left: int) -> tuple[int, ...]:
    """Return the pots or holes that so many plants left of a planting stand in.

    Which plants were lost the diary does not say: the last are taken. Where several stand in one
    pot, each pot may still have some, and none is free.
    """
    each, odd = divmod(len(p.slots), p.plants)
    return p.slots if odd or not each else p.slots[: left * each]


def after_counts(p: Planting, told: Happened, giving: Giving) -> Planting:
    """Return a planting of which what was counted was had on that day, and the rest is to come.

    Where about as much was counted in a period as the plan has in it, all is as planned; so is
    what the plan knows already.
    """
    if p.in_vain:
        return p
    counted: dict[Handed | date, dict[date, float]] = {}
    for day, amount in told.counted:
        period = next((one for one in giving.handed if one.start <= day <= one.end), day)
        counted.setdefault(period, {})[day] = amount
    for period, days in counted.items():
        if isinstance(period, Handed) and _is_near(sum(days.values()), period.amount):
            continue
        for day, amount in days.items():
            there = min(day, p.cleared - DAY)  # it stood no longer, by the plan
            if PlanLot(there, there, amount) not in p.lots:
                p = _after_count(p, there, amount, giving)
    return p


def _is_near(counted: float, planned: float) -> bool:
    return abs(counted - planned) <= max(min(NEAR_UNITS, planned / 2), NEAR_SHARE * planned)


def _after_count(p: Planting, day: date, amount: float, giving: Giving) -> Planting:
    """Return a planting of which so much was brought in on a day.

    It is of what was fit then, or else of what was or will be fit next to that day.
    """
    had = _handed_before(p, day, [one for one in giving.handed if one.end < day])
    away = [max(lot.ready - day, day - lot.last, 0 * DAY) for lot in p.lots]
    left, lots = amount, [PlanLot(day, day, amount)]
    for lot, mine, days in zip(p.lots, had, away, strict=True):
        if days > min(away):
            lots.append(lot)
            continue
        if mine > CRUMB:
            lots.append(PlanLot(lot.ready, max(lot.ready, min(lot.last, day - DAY)), mine))
        taken = min(lot.amount - mine, left)
        left -= taken
        first, rest = max(lot.ready, day + DAY), lot.amount - mine - taken
        if rest > CRUMB and first <= lot.last:
            lots.append(PlanLot(first, lot.last, round(rest, 9)))
    lots.sort(key=lambda lot: (lot.ready, lot.last))
    first = lots[0].ready
    return replace(
        p,
        lots=tuple(lots),
        harvest_start=first,
        harvest_start_early=min(first, p.harvest_start_early),
        harvest_end=max(lot.last for lot in lots),
    )


def _handed_before(p: Planting, day: date, handed: Sequence[Handed]) -> list[float]:
    """Return what of each lot the plan hands out before a day, the period of that day's begun."""
    had = [0.0 for _ in p.lots]
    for start, end, amount in handed:
        for n, lot in enumerate(p.lots):
            if max(start, lot.ready) < day and lot.ready <= end and start <= lot.last:
                taken = min(lot.amount - had[n], amount)
                had[n], amount = had[n] + taken, amount - taken
    return had


def _had_before(p: Planting, day: date, giving: Giving) -> list[float]:
    """Return what of each lot was had before a day: all of those over, of others by the plan."""
    before = _handed_before(p, day, giving.handed)
    return [
        lot.amount if lot.last < day else mine for lot, mine in zip(p.lots, before, strict=True)
    ]


def _ended(p: Planting, day: date, giving: Giving) -> Planting | None:
    """Return a planting of which nothing comes from a day on; None where nothing was had of it."""
    lots = tuple(
        PlanLot(lot.ready, min(lot.last, day - DAY), round(mine, 9))
        for lot, mine in zip(p.lots, _had_before(p, day, giving), strict=True)
        if mine > CRUMB
    )
    return _with_end(p, day, lots)


def cleared_on(p: Planting, day: date, last: date | None = None) -> Planting | None:
    """Return a planting cleared on a day, with the harvests of before; None where it had none.

    ``last`` is the last day on which something was brought in, where not the day before.
    """
    last = last or day - DAY
    lots = tuple(
        PlanLot(lot.ready, min(lot.last, last), lot.amount) for lot in p.lots if lot.ready <= last
    )
    return _with_end(p, day, lots)


def _with_end(p: Planting, day: date, lots: tuple[PlanLot, ...]) -> Planting | None:
    if not lots:
        return None
    end = max(lot.last for lot in lots)
    return replace(p, lots=lots, cleared=day, harvest_end=end, stands_on=False)


def cleared_by_hand(p: Planting, day: date, harvested: Sequence[date]) -> Planting | None:
    """Return a planting that the gardener cleared on a day; None where it had given nothing.

    What was fit on that very day was brought in first, as a day's work goes. What was brought in
    by the diary was fit by then, whatever the forecast. What stood in vain just goes.
    """
    if p.in_vain:
        return replace(p, **dict.fromkeys(HARVEST_DAYS, day), cleared=day, stands_on=False)
    now = cleared_on(p, day, day)
    had = [one for one in harvested if one <= day]
    if now is not None or not (had and p.lots):
        return now
    first, last = min(had), max(had)
    return replace(
        p,
        lots=(replace(p.lots[0], ready=first, last=last),),
        harvest_start=first,
        harvest_start_early=min(first, p.harvest_start_early),
        harvest_end=last,
        cleared=day,
        stands_on=False,
    )
