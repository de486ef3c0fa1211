"""Fewer sowings: neighbours in time made one where that costs next to nothing.

The last step of the search. Two sowings of a crop within some weeks of one another become one, as
large as both or as large as one of them, or one of them goes and the other stays, wherever it fits
best; and a sowing in several strips comes together where one is free. Each such step may cost a
little; all of them together at most `GIVEN_UP` of what is wanted.
"""

from __future__ import annotations

from sowplan.season.choices.instance import WAYS, Batch
from sowplan.season.search.standing import Score, Standing

GIVEN_UP = 0.001
"""Share of what is wanted that may be given up in all for fewer sowings."""
STEP_COSTS = 0.25
"""Most that one sowing less may cost [want-weeks], what is grown for nothing counted at `WASTE`."""
WASTE = 0.1
"""What a want-week grown for nothing weighs where a sowing is made or done without: between what it
costs while plants are moved about and in the last pass (`sowplan.season.search.search`)."""
STRIP_COSTS = 0.05
"""Most that one strip less may cost [want-weeks]."""
NEAR_DAYS = 28
"""How far apart two sowings may be."""
MOST_TRIED = 36
"""Most ways of sowing two as one that are tried."""


def gather(standing: Standing) -> None:
    """Make fewer sowings of a season; never loses more than `GIVEN_UP` of what is wanted."""
    first = standing.score()
    most = first.felt + GIVEN_UP * standing.instance.wanted
    for crop in range(len(standing.instance.crops)):
        again = True
        while again:
            again = _gather_one(standing, crop, most)
    standing.log.clear()


def _gather_one(standing: Standing, crop: int, most: float) -> bool:
    """Make one sowing or strip less of a crop, where that can be; return whether any was made."""
    case = standing.instance.crops[crop]
    sowings: dict[int, list[int]] = {}
    for number, batch in standing.of_crop[crop].items():
        if not batch.fixed:
            sowings.setdefault(case.options.sowing[batch.option], []).append(number)
    found = False
    gone: set[int] = set()
    days = sorted(sowings)
    for at, one in enumerate(days):
        for two in [one] + days[at + 1 : at + 4]:
            if one in gone or two in gone or two // WAYS - one // WAYS > NEAR_DAYS:
                continue
            numbers = sowings[one] + (sowings[two] if two != one else [])
            if len(numbers) > 1 and _join(standing, numbers, most):
                gone |= {one, two}
                found = True
    return found


def _join(standing: Standing, numbers: list[int], most: float) -> bool:
    """Make one sowing of some batches in the best way there is; return whether any was good."""
    before = standing.score()
    start = len(standing.log)
    crop = standing.batches[numbers[0]].crop
    batches = [standing.remove(number) for number in numbers]
    ways = _ways(standing, batches)
    for _, option, plants in _promising(standing, crop, ways, before, most):
        mark = len(standing.log)
        if not standing.put(crop, option, plants):
            continue
        after = standing.score()
        if after.felt <= most + 1e-9 and _cost(before, after) <= _allowed(before, after) + 1e-9:
            return True
        standing.undo(mark)
    standing.undo(start)
    return False


def _promising(
    standing: Standing, crop: int, ways: list[tuple[int, int]], before: Score, most: float
) -> list[tuple[float, int, int]]:
    """Return (cost, option, plants) of what would be good enough if it had room, the best first.

    What a sowing brings does not hang on where it stands: most need not be tried on the beds.
    """
    without = standing.score()
    felt, idle = standing.felt(crop), standing.idle(crop)
    orders, total = standing.orders[crop], standing.total[crop]
    known: dict[tuple[int, float, int], tuple[float, float]] = {}
    found = []
    for option, plants in ways:
        sowings = without.sowings + (not standing.sown_already(crop, option))
        if sowings > before.sowings:
            continue
        alike = (orders.alike[option], total[option], plants)
        if alike not in known:
            known[alike] = standing.harvested(crop, option, plants)
        felt_then = without.felt - felt + known[alike][0]
        idle_then = without.idle - idle + known[alike][1]
        cost = felt_then - before.felt + WASTE * (idle_then - before.idle)
        allowed = STEP_COSTS if sowings < before.sowings else STRIP_COSTS
        if felt_then <= most + 1e-9 and cost <= allowed + 1e-9:
            found.append((round(cost, 9), option, plants))
    return sorted(found, key=lambda way: way[0])


def _allowed(before: Score, after: Score) -> float:
    """Return what may be paid for fewer sowings and fewer strips; nothing for as many."""
    if after.sowings > before.sowings:
        return -1.0
    if after.sowings < before.sowings:
        return STEP_COSTS
    return STRIP_COSTS if after.batches < before.batches else -1.0


def _cost(before: Score, after: Score) -> float:
    return after.felt - before.felt + WASTE * (after.idle - before.idle)


def _ways(standing: Standing, batches: list[Batch]) -> list[tuple[int, int]]:
    """Return (option, plants) of sowings that may stand for some batches."""
    case = standing.instance.crops[batches[0].crop]
    rows = case.options.rows
    sown = [rows[batch.option][0] for batch in batches]
    low, high = min(sown) - 7, max(sown) + 7
    near = [n for n, row in enumerate(rows) if low <= row[0] <= high and row[5] < 0]
    if len(near) * 2 > MOST_TRIED:
        step = -(-len(near) * 2 // MOST_TRIED)
        near = sorted({*near[::step], *(batch.option for batch in batches)})
    plants = [batch.plants for batch in batches]
    return [(option, many) for option in near for many in sorted({sum(plants), max(plants)})]
