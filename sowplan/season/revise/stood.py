"""What of a plan stands on a day: with its real dates, without what was lost; and what is gone.

What the plan had sown before the day counts as sown on its day unless the diary says otherwise.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from sowplan.season.plan import Plan, PlanLot, Planting
from sowplan.season.revise.happened import NOTHING, Happened

DAY = timedelta(days=1)

Regrow = Callable[[Planting, date, date | None], tuple[Planting | None, str]]
"""From a planting, its real day of sowing and of planting out (None: not yet, or by the plan) to
the planting as it will now grow; or None and why nothing comes of it."""

Fewer = Callable[[Planting, int], Planting]
"""A planting still to be planted out, of so many plants, on as much of its ground as they take."""


@dataclass(frozen=True)
class Gone:
    """A planting that is no more, and why."""

    planting: Planting
    why: str
    day: date


@dataclass(frozen=True)
class State:
    """The plantings of a plan on a day.

    ``stands`` are sown (or stood, and are cleared); ``was`` has, by id, those of them that are not
    as planned, as the plan had them. ``futures`` are still to be sown; ``gone`` are neither.
    """

    stands: tuple[Planting, ...]
    futures: tuple[Planting, ...]
    gone: tuple[Gone, ...]
    was: dict[str, Planting]


def state_on(
    plan: Plan,
    happened: Mapping[str, Happened],
    today: date,
    regrow: Regrow,
    fewer: Fewer,
    disturbed: frozenset[str] = frozenset(),
) -> State:
    """Return how a plan's plantings are on a day, after all that happened.

    ``disturbed`` are ids of those that grow otherwise though they were sown as planned.
    """
    stands, futures, gone, was = [], [], [], {}
    for p in plan.plantings:
        told = happened.get(p.id, NOTHING)
        if told.skipped:
            gone.append(Gone(p, "not sown", p.sow))
        elif not _is_there(p, told) and p.sow >= today:
            futures.append(p)
        else:
            now, why = _as_it_is(p, told, today, regrow, fewer, p.id in disturbed)
            if isinstance(now, Planting):
                stands.append(now)
                if now != p:
                    was[p.id] = p
            else:
                gone.append(Gone(p, why, now))
    stands = _one_after_another(stands, was, regrow)
    stands = [_on_more_slots(p, was.get(p.id, p), stands, plan) for p in stands]
    return State(tuple(stands), tuple(futures), tuple(gone), was)


def _is_there(p: Planting, told: Happened) -> bool:
    """Return whether the diary has a planting as sown or, of bought plants, as bought."""
    return bool(told.sown or (p.bought and told.planted))


def _one_after_another(
    stands: list[Planting], was: dict[str, Planting], regrow: Regrow
) -> list[Planting]:
    """Let what stands longer than planned go when the next is planted on its ground.

    Where it would have given nothing by then, the next waits in its tray instead.
    """
    now = {p.id: p for p in stands}
    for name in sorted(was, key=lambda name: now[name].sow):
        for other in sorted(stands, key=lambda q: q.planting_out or q.sow):
            p, q = now[name], now[other.id]
            into = q.planting_out or q.sow
            if q.id == name or not meet(p, q) or not was[name].cleared <= into < p.cleared:
                continue
            cut = cleared_on(p, into)
            if cut is not None:
                now[name] = cut
            elif q.planting_out is not None:
                later, _ = regrow(q, q.sow, p.cleared)
                if later is not None:
                    was.setdefault(q.id, q)
                    now[q.id] = later
    return [now[p.id] for p in stands]


def _on_more_slots(p: Planting, was: Planting, stands: list[Planting], plan: Plan) -> Planting:
    """Return a planting with free pots or holes for plants whose loss was taken back.

    Sowings to come make way for it; what stands does not.
    """
    if p.kind == "bed" or p.plants <= was.plants:
        return p
    into, place = p.planting_out or p.sow, plan.place(p.place)
    taken = set(p.slots)
    for q in stands:
        if q.place == p.place and into < q.cleared and (q.planting_out or q.sow) < p.cleared:
            taken |= set(q.slots)
    free = [n for n in range(1, (place.holes or place.count) + 1) if n not in taken]
    more = p.plants * (len(was.slots) // was.plants) - len(p.slots)
    return replace(p, slots=tuple(sorted((*p.slots, *free[: max(more, 0)]))))


def meet(one: Planting, other: Planting) -> bool:
    """Return whether two plantings have ground of one place in common."""
    if one.place != other.place:
        return False
    if one.kind != "bed":
        return bool(set(one.slots) & set(other.slots))
    ends = (one.strip_start_m + one.strip_length_m, other.strip_start_m + other.strip_length_m)
    return one.strip_start_m < ends[1] - 1e-9 and other.strip_start_m < ends[0] - 1e-9


def _as_it_is(
    p: Planting, told: Happened, today: date, regrow: Regrow, fewer: Fewer, disturbed: bool
) -> tuple[Planting | date, str]:
    """Return a planting as it is now; or the day it was gone, and why."""
    now, why = p, ""
    sown = p.sow if p.bought else told.sown or p.sow
    planted = told.planted if p.planting_out else None
    if disturbed or sown != p.sow or planted not in (None, p.planting_out):
        grown, why = regrow(p, sown, planted)
        if p.in_vain:  # nothing is to come of it, whenever it was sown
            grown = replace(p, sow=sown, planting_out=planted or p.planting_out)
        if grown is None:
            return today, why
        now = grown
    if told.many_lost != p.lost:
        day = told.lost[-1][0] if told.lost else today
        now = after_loss(now, told.many_lost - p.lost, day, fewer)
        if now is None:
            return day, "lost"
    if told.cleared and told.cleared < now.cleared:
        now = _cleared_by_hand(now, told.cleared, told.harvested)
        if now is None:
            return told.cleared, "cleared"
    return now, ""


def after_loss(p: Planting, many: int, day: date, fewer: Fewer) -> Planting | None:
    """Return a planting with so many plants less from a day on; None where nothing is left of it.

    Harvests over by that day were had. What is in a bed keeps its ground, gaps and all; in pots
    and holes those of the lost plants are free; what is still in its tray takes less ground.
    """
    left = p.plants - many
    if left <= 0:
        return cleared_on(p, max(day, p.sow + DAY))
    share = left / p.plants
    lots = tuple(
        replace(lot, amount=round(lot.amount * share, 9)) if lot.last >= day else lot
        for lot in p.lots
    )
    less = replace(p, lots=lots)
    if p.planting_out is not None and day < p.planting_out:
        less = fewer(less, left)
    else:
        less = replace(less, slots=slots_left(p, left))
    return replace(less, plants=left, lost=p.lost + many)


def slots_left(p: Planting, left: int) -> tuple[int, ...]:
    """Return the pots or holes that so many plants left of a planting stand in.

    Which plants were lost the diary does not say: the last are taken. Where several stand in one
    pot, each pot may still have some, and none is free.
    """
    each, odd = divmod(len(p.slots), p.plants)
    return p.slots if odd or not each else p.slots[: left * each]


def _cleared_by_hand(p: Planting, day: date, harvested: Sequence[date]) -> Planting | None:
    """Return a planting that the gardener cleared on a day; None where it had given nothing.

    What was fit on that very day was brought in first, as a day's work goes. What was brought in
    by the diary was fit by then, whatever the forecast.
    """
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


def cleared_on(p: Planting, day: date, last: date | None = None) -> Planting | None:
    """Return a planting cleared on a day, with the harvests of before; None where it had none.

    ``last`` is the last day on which something was brought in, where not the day before.
    """
    last = last or day - DAY
    lots = tuple(
        PlanLot(lot.ready, min(lot.last, last), lot.amount) for lot in p.lots if lot.ready <= last
    )
    if not lots:
        return None
    end = max(lot.last for lot in lots)
    return replace(p, lots=lots, cleared=day, harvest_end=end, stands_on=False)
