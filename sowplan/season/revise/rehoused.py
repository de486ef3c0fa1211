"""Seedlings whose place was taken away, given another: they are sown, and wait in their tray."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, timedelta

from sowplan.records.garden import Garden
from sowplan.season.frame import kind_of
from sowplan.season.plan import Plan, Planting
from sowplan.season.revise.begun import Begun
from sowplan.season.revise.left import cleared_on
from sowplan.season.revise.regrown import Regrown
from sowplan.season.revise.stood import Gone, State
from sowplan.season.revise.too_small import holds
from sowplan.season.search.room import runs
from sowplan.season.search.standing import Standing

WAITS = (0, 7, 14, 21)
"""So many days seedlings may wait in their tray for room, the shortest wait that helps."""


def without_lost_places(
    state: State, plan: Plan, garden: Garden, today: date
) -> tuple[State, list[Planting]]:
    """Let what stands in a place that is no more end today, with the harvests it has given.

    Seedlings that were to be planted out there, or where the place is too small now, are returned
    apart.
    """
    there = {place.name: place for place in garden.places}
    stands, homeless, gone, was = [], [], list(state.gone), dict(state.was)
    for p in state.stands:
        waits = p.planting_out is not None and p.planting_out >= today
        here = p.place in there and not (waits and not holds(plan, there[p.place], p))
        if here or p.cleared <= today:
            stands.append(p)
            continue
        if waits:
            homeless.append(p)
            continue
        cut = cleared_on(p, today)
        if cut is None:
            gone.append(Gone(p, f"{p.place} is no more", today))
            was.pop(p.id, None)
        else:
            stands.append(cut)
            was.setdefault(p.id, p)
    return State(tuple(stands), state.futures, tuple(gone), was), homeless


def with_rehoused(
    state: State, homeless: Sequence[Planting], found: Sequence[Planting], today: date
) -> State:
    """Let seedlings stand where they found another place; the others are no more."""
    was, gone = dict(state.was), list(state.gone)
    housed = {p.id for p in found}
    for p in homeless:
        if p.id in housed:
            was.setdefault(p.id, p)
        else:
            was.pop(p.id, None)
            gone.append(Gone(p, f"its place in {p.place} is no more, and no other has room", today))
    return State((*state.stands, *found), state.futures, tuple(gone), was)


def rehoused(begun: Begun, homeless: Sequence[Planting], regrown: Regrown) -> tuple[Planting, ...]:
    """Return the seedlings that find room in another place, as they will grow there.

    Room that nothing is to take comes first; else sowings to come make way, which can move.

    Parameters
    ----------
    begun : Begun
        The season with all else on the beds.
    homeless : sequence of Planting
        Not yet planted out, whole batches; their places are no more.
    regrown : Regrown
        What becomes of them elsewhere.
    """
    settled = Standing(begun.book.instance)
    for batch in begun.standing.batches.values():
        if batch.fixed:
            settled.add(batch)
    found = []
    for p in sorted(homeless, key=lambda p: (p.planting_out or p.sow, p.id)):
        trials = tuple(_elsewhere(begun, p, regrown))
        for standing in (begun.standing, settled):
            at = next((t for t in trials if _mask(begun, standing, t)), None)
            if at is None:
                continue
            mask = _mask(begun, standing, at)
            found.append(_on_ground(begun, at, mask, regrown))
            for taken in (begun.standing, settled):
                _take(begun, taken, at, mask, -len(found))
            break
    return tuple(found)


def _elsewhere(begun: Begun, p: Planting, regrown: Regrown) -> Iterable[Planting]:
    """Yield the seedlings as they would grow in each place there is, the shortest wait first."""
    day = max(p.planting_out or begun.today, begun.today)
    for wait in WAITS:
        out = day + timedelta(days=wait) if wait else None
        trials, alike = [], {}
        for place in regrown.places.values():
            group = begun.book.instance.spots[begun.numbers.spots[place.name]].group
            if group in alike:  # places of a group differ in nothing that grows there
                if alike[group] is not None:
                    trials.append(replace(alike[group], place=place.name))
                continue
            there = replace(
                p, place=place.name, kind=kind_of(place), strip_start_m=0.0, strip_length_m=0.0,
                rows=0, per_row=(0, 0), row_pitch_m=0.0, row_lead_m=0.0, along=False, slots=(),
            )  # fmt: skip
            now, _ = regrown(there, p.sow, out)
            fit = now is not None and now.planting_out and now.planting_out >= begun.today
            alike[group] = now if fit else None
            if fit:
                trials.append(now)
        yield from sorted(trials, key=lambda t: (t.planting_out, t.harvest_start))


def _mask(begun: Begun, standing: Standing, p: Planting) -> int:
    """Return the units free for a planting in its place; 0 where it has no room or rest there."""
    if p.crop not in begun.numbers.crops:
        return 0  # neither wanted nor sown any more: nothing is kept free for it
    crop, spot, into, clear = _numbers(begun, p)
    case = begun.book.instance.crops[crop]
    room = case.units.get(begun.book.instance.spots[spot].group)
    if room is None or p.plants >= len(room) or not standing.rotates(spot, crop, into, clear):
        return 0
    return standing.mask_for(spot, case, into, clear, p.plants, room[p.plants])


def _take(begun: Begun, standing: Standing, p: Planting, mask: int, holder: int) -> None:
    """Let a planting take its ground in a trial of the beds."""
    crop, spot, into, clear = _numbers(begun, p)
    case = begun.book.instance.crops[crop]
    standing.rooms[spot].add(into, clear, mask, holder)
    turn = (into, clear, case.gap_days, holder)
    standing.turns.setdefault((spot, case.family), []).append(turn)


def _numbers(begun: Begun, p: Planting) -> tuple[int, int, int, int]:
    numbers, book = begun.numbers, begun.book
    out: date = p.planting_out or p.sow
    return numbers.crops[p.crop], numbers.spots[p.place], book.index(out), book.index(p.cleared)


def _on_ground(begun: Begun, p: Planting, mask: int, regrown: Regrown) -> Planting:
    """Return a planting on the units of its place that a mask says."""
    pieces = list(runs(mask))
    if p.kind != "bed":
        return replace(p, slots=tuple(at + n + 1 for at, many in pieces for n in range(many)))
    start = round(pieces[0][0] * begun.book.unit_m, 6)
    return regrown.fewer(replace(p, strip_start_m=start), p.plants)
