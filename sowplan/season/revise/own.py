"""Which plantings of a plan are sowings that the gardener settled in the garden file."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, timedelta

from sowplan.records.diary import Entry
from sowplan.records.garden import FixedSowing, Garden
from sowplan.season.plan import OwnGone, Plan, Planting
from sowplan.season.revise.stood import State

SAME_SOWING_DAYS = 45
"""So far from its day in the garden file a sowing may have been made and still be the same."""
BY_DIARY = ("lost", "not sown", "cleared")
"""Why one is gone (`Gone.why`) that the gardener has entered so."""


def own_sowings(
    garden: Garden, state: State, gone: Sequence[OwnGone] = ()
) -> tuple[dict[str, int], list[FixedSowing], dict[str, int]]:
    """Return which futures are the gardener's own sowings, those not yet sown, and edited ones.

    A sowing of the garden file is the plan's fixed planting of its crop nearest to its day; the
    numbers are those of the list of sowings not yet sown. One is edited where the garden file has
    it on another day, in another place or of another size than the plan. One that is no more is
    not sown again, be it gone now or, as in ``gone``, since the plan was revised before.
    """
    coming = {p.id for p in state.futures}
    own: dict[str, int] = {}
    edited: dict[str, int] = {}
    sowings: list[FixedSowing] = []
    for sowing, parts in zip(garden.sowings, _parts_of(garden, state, gone), strict=True):
        if parts and parts[0].id not in coming:
            continue
        same = sum(p.plants for p in parts) == sowing.plants
        same = same and all(p.sow == sowing.day for p in parts)
        same = same and all(sowing.place in (None, p.place) for p in parts)
        same = same and all(sowing.raising in (None, p.raising) for p in parts)
        same = same and all(p.cover == sowing.cover for p in parts)
        if sowing.until is not None:
            same = same and all(p.cleared <= sowing.until + timedelta(days=1) for p in parts)
        for p in parts:
            (own if same else edited)[p.id] = len(sowings)
        sowings.append(sowing)
    return own, sowings, edited


def own_gone(plan: Plan, state: State) -> tuple[OwnGone, ...]:
    """Return the gardener's own sowings that are no more, of a plan and since."""
    since = [
        OwnGone(one.planting, one.day, one.why in BY_DIARY)
        for one in state.gone
        if one.planting.fixed
    ]
    return (*plan.own_gone, *since)


def without_slips(plan: Plan, entries: Iterable[Entry]) -> Plan:
    """Return a plan without those gone of which the diary says so no longer."""
    told = {entry.planting for entry in entries if entry.what in ("lost", "skipped", "cleared")}
    still = [one for one in plan.own_gone if one.planting.id in told or not one.by_diary]
    return plan if len(still) == len(plan.own_gone) else replace(plan, own_gone=tuple(still))


def _parts_of(garden: Garden, state: State, gone: Sequence[OwnGone]) -> list[list[Planting]]:
    """Return, for each sowing of the garden file, the plantings it is; it may be several strips.

    Where two are of one crop and day, those that name their place come first to what stands there.
    What is on a day after another was lost is a new one.
    """
    groups: dict[tuple, list[Planting]] = {}
    coming = {p.id for p in state.futures}
    lost = [(one.planting, one.day) for one in (*gone, *state.gone)]
    until = {p.id: day for p, day in lost}
    for p in (*state.stands, *(p for p, _ in lost), *state.futures):
        if p.fixed:
            groups.setdefault((p.crop, p.sow, p.id in coming), []).append(p)
    found: list[list[Planting]] = [[] for _ in garden.sowings]
    for at_place in (True, False):
        for number, sowing in enumerate(garden.sowings):
            if found[number]:
                continue
            near = {
                key: [p for p in parts if not at_place or p.place == sowing.place]
                for key, parts in groups.items()
                if key[0] == sowing.crop
                and _apart(key[1], sowing) <= SAME_SOWING_DAYS
                and all(sowing.day <= until.get(p.id, date.max) for p in parts)
            }
            keys = [key for key, parts in near.items() if parts]
            key = min(keys, key=lambda key: (_apart(key[1], sowing), key), default=None)
            if key is not None:
                found[number] = near[key]
                groups[key] = [p for p in groups[key] if p not in near[key]]
    return found


def _apart(day: date, sowing: FixedSowing) -> int:
    return abs((day - sowing.day).days)
