"""Fewer sowings: neighbours in time made one where that costs next to nothing.

The last step of the search. Two batches of a crop sown within some weeks of one another become one,
as large as both or as large as one of them, or one of them goes and the other stays, wherever it
fits best. Each such step may cost a little; all of them together at most `GIVEN_UP` of what is
wanted.
"""

from __future__ import annotations

from sowplan.season.instance import Batch
from sowplan.season.standing import Score, Standing

GIVEN_UP = 0.001
"""Share of what is wanted that may be given up in all for fewer sowings."""
STEP_COSTS = 0.25
"""Most that one sowing less may cost [want-weeks], what is grown for nothing counted at `WASTE`."""
WASTE = 0.1
"""What a want-week grown for nothing weighs here."""
NEAR_DAYS = 28
"""How far apart two batches may be sown."""
MOST_TRIED = 36
"""Most ways of sowing two batches as one that are tried."""


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
    """Make one sowing less of a crop, where some pair allows it; return whether."""
    rows = standing.instance.crops[crop].options.rows
    free = sorted(
        (rows[batch.option][0], number)
        for number, batch in standing.of_crop[crop].items()
        if not batch.fixed
    )
    found = False
    gone: set[int] = set()
    for at, (sown, number) in enumerate(free):
        for later, other in free[at + 1 : at + 4]:
            if number in gone or other in gone or later - sown > NEAR_DAYS:
                continue
            if _join(standing, number, other, most):
                gone |= {number, other}
                found = True
    return found


def _join(standing: Standing, number: int, other: int, most: float) -> bool:
    """Make one of two batches in the best way there is; return whether any was good enough."""
    before = standing.score()
    start = len(standing.log)
    one, two = standing.remove(number), standing.remove(other)
    best: tuple[float, Batch] | None = None
    for option, plants in _ways(standing, one, two):
        batch = standing.place(one.crop, option, plants)
        if batch is None:
            continue
        mark = len(standing.log)
        standing.add(batch)
        after = standing.score()
        cost = _cost(before, after)
        if after.felt <= most and cost <= STEP_COSTS and (best is None or cost < best[0] - 1e-9):
            best = (cost, batch)
        standing.undo(mark)
    if best is None:
        standing.undo(start)
        return False
    standing.add(best[1])
    return True


def _cost(before: Score, after: Score) -> float:
    return after.felt - before.felt + WASTE * (after.wasted - before.wasted)


def _ways(standing: Standing, one: Batch, two: Batch) -> list[tuple[int, int]]:
    """Return (option, plants) of batches that may stand for two."""
    case = standing.instance.crops[one.crop]
    rows = case.options.rows
    low, high = sorted((rows[one.option][0], rows[two.option][0]))
    near = [n for n, row in enumerate(rows) if low - 7 <= row[0] <= high + 7 and row[5] < 0]
    if len(near) * 2 > MOST_TRIED:
        step = -(-len(near) * 2 // MOST_TRIED)
        near = sorted({*near[::step], one.option, two.option})
    sizes = sorted({one.plants + two.plants, max(one.plants, two.plants)})
    return [(option, plants) for option in near for plants in sizes]
