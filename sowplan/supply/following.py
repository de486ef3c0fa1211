"""What follows what on the same ground, bed by bed."""

from __future__ import annotations

from dataclasses import dataclass

from sowplan.season.plan import Plan, Planting

_A_HAIR_M = 1e-6


@dataclass(frozen=True)
class FollowOn:
    """A planting, and those that come onto its ground next, the earliest first.

    ``after`` is empty where nothing comes after it in the season.
    """

    planting: Planting
    after: tuple[Planting, ...]


def follow_ons(plan: Plan) -> dict[str, tuple[FollowOn, ...]]:
    """Return, for each place of a plan, its plantings in order of time with what follows each.

    A planting is followed on each part of its ground by the first that comes there once it is
    cleared; a wide strip may so be followed by several.
    """
    found: dict[str, tuple[FollowOn, ...]] = {}
    for place in plan.places:
        here = sorted(
            (p for p in plan.plantings if p.place == place.name),
            key=lambda p: (p.occupies_from, p.strip_start_m, p.slots, p.id),
        )
        found[place.name] = tuple(FollowOn(p, _after(p, here)) for p in here)
    return found


def _after(planting: Planting, in_order: list[Planting]) -> tuple[Planting, ...]:
    """Return the plantings that first come onto parts of a planting's ground after it."""
    later = [p for p in in_order if p.occupies_from >= planting.cleared]
    if planting.kind != "bed":
        open_slots, after = set(planting.slots), []
        for other in later:
            if open_slots & set(other.slots):
                after.append(other)
                open_slots -= set(other.slots)
        return tuple(after)
    open_, after = [_strip(planting)], []
    for other in later:
        start, end = _strip(other)
        left = [part for one in open_ for part in _without(one, start, end)]
        if left != open_:
            after.append(other)
            open_ = left
    return tuple(after)


def _strip(planting: Planting) -> tuple[float, float]:
    return planting.strip_start_m, planting.strip_start_m + planting.strip_length_m


def _without(one: tuple[float, float], start: float, end: float) -> list[tuple[float, float]]:
    """Return what is left of a stretch [m] once another is taken from it."""
    if end <= one[0] + _A_HAIR_M or start >= one[1] - _A_HAIR_M:
        return [one]
    parts = [(one[0], min(start, one[1])), (max(end, one[0]), one[1])]
    return [part for part in parts if part[1] - part[0] > _A_HAIR_M]
