"""Strips arranged within their place: kin side by side, tall ones poleward, what is free in one.

A bed is harvested from its path, all along it; which end a strip is at makes it no easier to
reach. What counts is that sowings of a crop adjoin, in space or one after the other, that tall
crops shade nothing, and that the free ground is one useful stretch and not crumbs.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence

from sowplan.season.tidy.beds import Beds
from sowplan.season.tidy.strips import Runs, Strip, gaps

TRIES = 80
"""Orders of laying tried for a place."""
SHIFTS = 3
"""Most times that each strip of a place is shifted by itself."""
MAKE_WAY = 40
"""So many times a strip is laid where others make way for it, for each strip of a bed."""
WAYS = 12_000
"""And in a garden of many beds so many times in all."""
PATIENCE = 300
"""Of these, so many that lead to nothing are enough."""
WAY_MAKERS = 5
"""More strips than so many do not make way for one."""
SOON_DAYS = 28
"""What follows within so many days follows on."""
CROP_APART, FAMILY_APART = 1.0, 0.4
"""What it weighs that a crop, or a family, lies in one piece more than need be."""
CRUMBS = 4.0
"""What it weighs that free ground is in crumbs all the while, a whole place of them."""
SHADING = 4.0
"""What it weighs that tall strips stand at the wrong end, a whole place full of them."""
BESIDE = 0.5
"""How often a strip is laid beside its kin, and not at the end of the place."""

Lies = dict[int, Runs]


def arrange(beds: Beds, seed: int = 0) -> None:
    """Arrange the strips of each place anew where that makes it better to work in."""
    chance = random.Random(seed)
    for spot in range(len(beds.instance.spots)):
        _arrange_one(beds, spot, chance)
    beds.log.clear()


def _arrange_one(beds: Beds, spot: int, chance: random.Random) -> None:
    free = [n for n in beds.inside[spot] if n not in beds.settled]
    if not free:
        return
    held = {n: lies for n, lies in beds.inside[spot].items() if n in beds.settled}
    best = dict(beds.inside[spot])
    low = untidy_lie(beds, spot, best)
    found: tuple[list[int], bool] | None = None
    for done in range(TRIES):
        if done < 2 * len(_ORDERS):
            order, beside = sorted(free, key=_ORDERS[done // 2](beds, free)), bool(done % 2)
        elif found is None or len(free) == 1:
            break
        else:
            order, beside = _changed(found[0], chance), chance.random() < BESIDE
        lies = _laid(beds, spot, order, held, beside)
        if lies is None:
            continue
        now = untidy_lie(beds, spot, lies)
        if found is None or now < low + 1e-9:
            found = order, beside
        if now < low - 1e-9:
            low, best = now, lies
    if found is None:
        best = _shifted(beds, spot, free, best, low)
    if beds.bed[spot] and len(free) > 1:
        best = _made_way(beds, spot, free, best, chance)
    for number in free:
        if best[number] != beds.inside[spot][number]:
            beds.inside[spot][number] = best[number]


def _shifted(beds: Beds, spot: int, free: Sequence[int], lies: Lies, low: float) -> Lies:
    """Return where strips lie once each was shifted by itself to the best gap it finds.

    A bed too full to be laid anew is made better this way.
    """
    strips, size = beds.strips, beds.instance.spots[spot].size
    for _ in range(SHIFTS):
        before = low
        for number in free:
            strip = strips[number]
            taken = list(beds.shut[spot])
            for other, runs in lies.items():
                if other != number and strip.meets(strips[other]):
                    taken += runs
            for first, until in gaps(taken, size):
                for at in (first, until - strip.units) if until - first >= strip.units else ():
                    changed = {**lies, number: ((at, at + strip.units),)}
                    now = untidy_lie(beds, spot, changed)
                    if now < low - 1e-9:
                        low, lies = now, changed
        if low >= before - 1e-9:
            break
    return lies


def _made_way(
    beds: Beds, spot: int, free: Sequence[int], lies: Lies, chance: random.Random
) -> Lies:
    """Return where strips of a bed lie once each was laid beside its kin, others making way.

    What makes way goes into the gaps there are, beside its own kin if it can. In a bed that is
    nearly full this is what brings strips together that cannot be shifted by themselves.
    """
    low, fruitless = untidy_lie(beds, spot, lies), 0
    for _ in range(min(MAKE_WAY * len(free), WAYS // len(beds.inside))):
        number = free[chance.randrange(len(free))]
        ends = _beside_kin(beds, spot, number, lies)
        changed = _with(beds, spot, number, ends[chance.randrange(len(ends))], free, lies)
        fruitless += 1
        if changed is not None:
            now = untidy_lie(beds, spot, changed)
            fruitless = 0 if now < low - 1e-9 else fruitless
            if now < low + 1e-9:
                low, lies = now, changed
        if fruitless > PATIENCE:
            break
    return lies


def _beside_kin(beds: Beds, spot: int, number: int, lies: Lies) -> list[int]:
    """Return where a strip of a bed may begin: beside each of its kin, or at an end of the bed."""
    strip, size = beds.strips[number], beds.instance.spots[spot].size
    ends = [0, size - strip.units]
    for other, runs in lies.items():
        there = beds.strips[other]
        if other != number and there.family == strip.family and _soon(strip, there):
            ends += [runs[0][0] - strip.units, runs[-1][1]]
    return [at for at in ends if 0 <= at <= size - strip.units]


def _with(
    beds: Beds, spot: int, number: int, at: int, free: Sequence[int], lies: Lies
) -> Lies | None:
    """Return where strips lie once one lies at ``at``; None where the others cannot make way."""
    strips, strip, until = beds.strips, beds.strips[number], at + beds.strips[number].units

    def in_the_way(runs: Runs) -> bool:
        return any(low < until and at < high for low, high in runs)

    if in_the_way(beds.shut[spot]):
        return None
    away = [
        other
        for other, runs in lies.items()
        if other != number and strip.meets(strips[other]) and in_the_way(runs)
    ]
    if len(away) > WAY_MAKERS or not set(away) <= set(free):
        return None
    stay = {other: runs for other, runs in lies.items() if other not in away}
    stay[number] = ((at, until),)
    away.sort(key=lambda other: (-strips[other].area, other))
    return _laid(beds, spot, away, stay, True)


def _by_kin(beds: Beds, free: Sequence[int]):
    """Sort key: families with most ground first, in them crops with most, the earliest first."""
    ground: dict[tuple[str, int], int] = {}
    for number in free:
        strip = beds.strips[number]
        for key in (("family", strip.family), ("crop", strip.crop)):
            ground[key] = ground.get(key, 0) + strip.area

    def key(number: int) -> tuple:
        s = beds.strips[number]
        return (
            -ground["family", s.family], s.family, -ground["crop", s.crop], s.crop, s.into, number
        )  # fmt: skip

    return key


def _by_stay(beds: Beds, free: Sequence[int]):
    """Sort key: long stays first, short ones fit around them."""
    return lambda n: (beds.strips[n].into - beds.strips[n].clear, n)


def _by_day(beds: Beds, free: Sequence[int]):
    """Sort key: in the order of time."""
    return lambda n: (beds.strips[n].into, -beds.strips[n].units, n)


_ORDERS = (_by_kin, _by_stay, _by_day)


def _changed(order: list[int], chance: random.Random) -> list[int]:
    """Return an order with one strip laid earlier or later."""
    changed = list(order)
    number = changed.pop(chance.randrange(len(changed)))
    changed.insert(chance.randrange(len(changed) + 1), number)
    return changed


def _laid(beds: Beds, spot: int, order: Sequence[int], held: Lies, beside: bool) -> Lies | None:
    """Return where strips come to lie, laid in an order; None where they do not all fit."""
    strips, size = beds.strips, beds.instance.spots[spot].size
    found = dict(held)
    for number in order:
        strip = strips[number]
        taken = list(beds.shut[spot])
        for other, lies in found.items():
            if strip.meets(strips[other]):
                taken += lies
        open_ = list(gaps(taken, size))
        fit = [gap for gap in open_ if gap[1] - gap[0] >= strip.units]
        if not fit:
            lies = () if beds.bed[spot] else _in_pieces(open_, strip.units, beds.each(number, spot))
            if not lies:
                return None
            found[number] = lies
            continue
        upper = from_upper_end(beds, spot, strip)
        ends = [(a, b - strip.units) for a, b in fit]
        ways = [b for _, b in reversed(ends)] if upper else [a for a, _ in ends]
        at = ways[0]
        if beside:
            ways = [at] + [way for end in ends for way in end]
            at = min(ways, key=lambda way: _apart(strips, strip, way, found))
        found[number] = ((at, at + strip.units),)
    return found


def _in_pieces(open_: Sequence[tuple[int, int]], units: int, each: int) -> Runs:
    """Return the fewest runs of holes or pots for so many, ``each`` to a plant; none if too few."""
    found = []
    for low, high in sorted(open_, key=lambda gap: (gap[0] - gap[1], gap)):
        take = min((high - low) // each * each, units)
        if take:
            found.append((low, low + take))
            units -= take
    return tuple(sorted(found)) if not units else ()


def from_upper_end(beds: Beds, spot: int, strip: Strip) -> bool:
    """Return whether a strip is laid from the upper end of its place.

    Tall crops stand at the poleward end; everything else is laid from the other.
    """
    poleward = beds.instance.spots[spot].poleward
    return poleward > 0 if strip.high else poleward < 0


def _apart(strips: Mapping[int, Strip], strip: Strip, at: int, lies: Lies) -> int:
    """Return how near its kin a strip would lie: 0 beside its crop, 1 its family, 2 neither."""
    near = 2
    for other, runs in lies.items():
        there = strips[other]
        if there.family == strip.family and _touch(strip, at, at + strip.units, there, runs):
            near = min(near, 0 if there.crop == strip.crop else 1)
    return near


def _pieces(strips: Mapping[int, Strip], numbers: Sequence[int], lies: Lies) -> int:
    """Return in how many pieces more than need be strips lie that should adjoin."""
    if len(numbers) < 2:
        return 0
    near, beside = {n: n for n in numbers}, {n: n for n in numbers}
    for at, one in enumerate(numbers):
        for other in numbers[at + 1 :]:
            if _soon(strips[one], strips[other]):
                _link(near, one, other)
                low, high = lies[one][0][0], lies[one][-1][1]
                if any(first <= high and low <= until for first, until in lies[other]):
                    _link(beside, one, other)
    return len(set(beside.values())) - len(set(near.values()))


def _link(groups: dict[int, int], one: int, other: int) -> None:
    """Make one group of those of two numbers."""
    old, new = groups[one], groups[other]
    if old != new:
        groups.update({n: new for n, group in groups.items() if group == old})


def _soon(one: Strip, other: Strip) -> bool:
    """Return whether two strips are there together, or soon after one another."""
    return one.into < other.clear + SOON_DAYS and other.into < one.clear + SOON_DAYS


def _touch(strip: Strip, low: int, high: int, other: Strip, runs: Runs) -> bool:
    """Return whether two strips adjoin, or lie on the same ground soon after one another."""
    return _soon(strip, other) and any(first <= high and low <= until for first, until in runs)


def untidy_lie(beds: Beds, spot: int, lies: Lies) -> float:
    """Return how untidily strips lie within a place."""
    strips = beds.strips
    apart = 0.0
    for weight, kind in ((CROP_APART, "crop"), (FAMILY_APART, "family")):
        kin: dict[int, list[int]] = {}
        for number in sorted(lies):
            kin.setdefault(getattr(strips[number], kind), []).append(number)
        for numbers in kin.values():
            if len(numbers) > 1:  # most of them lie as they did when last looked at
                key = tuple(numbers), tuple([lies[n] for n in numbers])
                if key not in beds.known:
                    beds.known[key] = _pieces(strips, numbers, lies)
                apart += weight * beds.known[key]
    # Holes and pots of one sowing should adjoin, too.
    apart += CROP_APART * sum(len(runs) - 1 for runs in lies.values())
    found = apart + CRUMBS * _crumbs(beds, spot, lies)
    end, size = beds.instance.spots[spot].poleward, beds.instance.spots[spot].size
    if end:
        for number, runs in lies.items():
            if strips[number].high:
                low, high = runs[0][0], runs[-1][1]
                far = size - high if end > 0 else low
                found += SHADING * far / size * (high - low) / size
    return found


def _crumbs(beds: Beds, spot: int, lies: Lies) -> float:
    """Return the share of a place, over the season, that is free but not in its largest gap."""
    strips, size, days = beds.strips, beds.instance.spots[spot].size, beds.instance.days
    steps = sorted({0, days, *(strips[n].first for n in lies), *(strips[n].until for n in lies)})
    taken = [(low, high, 0, days) for low, high in beds.shut[spot]]
    for number, runs in lies.items():
        strip = strips[number]
        taken += [(low, high, strip.first, strip.until) for low, high in runs]
    taken.sort()
    lost = 0.0
    for day, next_day in zip(steps[:-1], steps[1:], strict=True):
        at = free = largest = 0
        for low, high, first, until in taken:
            if first <= day < until:
                gap = low - at
                if gap > 0:
                    free += gap
                    if gap > largest:
                        largest = gap
                if high > at:
                    at = high
        gap = size - at
        lost += (free + gap - max(largest, gap)) * (next_day - day)
    return lost / (size * days)
