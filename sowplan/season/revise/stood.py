"""What of a plan stands on a day: with its real dates, without what was lost; and what is gone.

What the plan had sown before the day counts as sown on its day unless the diary says otherwise.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date

from sowplan.season.plan import Plan, Planting
from sowplan.season.revise.happened import NOTHING, Happened
from sowplan.season.revise.left import (
    Fewer,
    Giving,
    after_counts,
    after_losses,
    cleared_by_hand,
    cleared_on,
    givings,
)

Regrow = Callable[[Planting, date, date | None], tuple[Planting | None, str]]
"""From a planting, its real day of sowing and of planting out (None: not yet, or by the plan) to
the planting as it will now grow; or None and why nothing comes of it."""


@dataclass(frozen=True)
class Gone:
    """A planting that is no more, and why.

    Or that could not stay as it was planned, but ``stays``, in another place or on other days.
    """

    planting: Planting
    why: str
    day: date
    stays: bool = False


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
    giving = givings(plan)
    for p in plan.plantings:
        told = happened.get(p.id, NOTHING)
        if told.skipped:
            gone.append(Gone(p, "not sown", p.sow))
        elif not _is_there(p, told) and p.sow >= today:
            futures.append(p)
        else:
            now: Planting | Gone = p
            if p.id in disturbed or _on_other_days(p, told):
                now = _grown_otherwise(p, told, today, regrow)
            if isinstance(now, Planting):
                now = _with_what_is_left(now, told, today, fewer, giving[p.id])
            if isinstance(now, Gone):
                gone.append(replace(now, planting=p))
                continue
            stands.append(now)
            if now != p:
                was[p.id] = p
    stands = _one_after_another(stands, was, regrow)
    stands = [_on_more_slots(p, was.get(p.id, p), stands, plan) for p in stands]
    other = {p.id: was[p.id] for p in stands if p.id in was and was[p.id] != p}
    return State(tuple(stands), tuple(futures), tuple(gone), other)


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


def _on_other_days(p: Planting, told: Happened) -> bool:
    """Return whether the diary has a planting sown, bought or planted out on another day."""
    sown = told.sown if not p.bought else None
    planted = told.planted if p.planting_out else None
    return sown not in (None, p.sow) or planted not in (None, p.planting_out)


def _grown_otherwise(p: Planting, told: Happened, today: date, regrow: Regrow) -> Planting | Gone:
    """Return a planting as it grows from its real days, or under other days off."""
    sown = p.sow if p.bought else told.sown or p.sow
    planted = told.planted if p.planting_out else None
    if p.in_vain:  # nothing is to come of it, whenever it was sown
        return replace(p, sow=sown, planting_out=planted or p.planting_out)
    grown, why = regrow(p, sown, planted)
    return Gone(p, why, today) if grown is None else grown


def _with_what_is_left(
    p: Planting, told: Happened, today: date, fewer: Fewer, giving: Giving
) -> Planting | Gone:
    """Return a planting after what was counted and lost of it, and after it was cleared."""
    p = after_counts(p, told, giving)
    now = after_losses(p, told, today, fewer, giving)
    if now is None:
        return Gone(p, "lost", told.lost[-1][0])
    if told.cleared is None or told.cleared >= now.cleared:
        return now
    return cleared_by_hand(now, told.cleared, told.harvested) or Gone(p, "cleared", told.cleared)
