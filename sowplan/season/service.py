"""Which harvest goes to which want: lots handed out to the periods they are fit in.

A lot may serve a period when the two share a day, the lot's time on the shelf included. With
periods that do not overlap, taking them in order and giving each the lot that spoils first leaves
the least missing that any handing out can (a lot's periods adjoin: the exchange argument for
interval matching). Where wants of one crop overlap, periods that end first go first, which is near
the best; `exact` settles those by a linear program.
"""

from __future__ import annotations

import heapq

from sowplan.season.instance import Periods

Lot = tuple[int, int, float]
"""First day fit to bring in, last day fit to eat, amount."""


class Orders:
    """The periods of one crop as plain lists, in the order they are served."""

    __slots__ = ("rows", "apart", "count")

    def __init__(self, periods: Periods):
        rows = zip(
            periods.end.tolist(),
            periods.start.tolist(),
            periods.need.tolist(),
            periods.weight.tolist(),
            range(len(periods)),
            strict=True,
        )
        self.rows = sorted(rows, key=lambda row: (row[0], -row[3], row[1]))
        self.apart = periods.apart
        self.count = len(periods)

    def serve(self, lots: list[Lot]) -> tuple[float, float, list[float]]:
        """Hand out lots.

        Returns
        -------
        missing, used, lack
            Weighted missing [want-weeks], amount handed out, and what each period lacks
            [plants], in the order of `Periods`.
        """
        lack = [0.0] * self.count
        missing = used = 0.0
        lots = sorted(lots)
        heap: list[list[float]] = []
        at, many, apart = 0, len(lots), self.apart
        for end, start, need, weight, number in self.rows:
            while at < many and lots[at][0] <= end:
                heapq.heappush(heap, [lots[at][1], lots[at][2]])
                at += 1
            kept = []
            while heap and need > 1e-9:
                lot = heap[0]
                if lot[0] < start:
                    heapq.heappop(heap)
                    if not apart:
                        kept.append(lot)
                    continue
                take = lot[1] if lot[1] < need else need
                need -= take
                used += take
                lot[1] -= take
                if lot[1] <= 1e-9:
                    heapq.heappop(heap)
            for lot in kept:
                heapq.heappush(heap, lot)
            if need > 1e-9:
                lack[number] = need
                missing += need * weight
        return missing, used, lack


def hand_out(periods: Periods, lots: list[Lot]) -> list[tuple[int, int, float]]:
    """Return (period, lot, amount) for every hand-out; lots by their position in the list.

    The best there is: where periods overlap or weigh differently, by a linear program.
    """
    if not lots or not len(periods):
        return []
    if periods.apart and len(set(periods.weight.tolist())) == 1:
        return _in_order(periods, lots)
    return exact(periods, lots)


def _in_order(periods: Periods, lots: list[Lot]) -> list[tuple[int, int, float]]:
    left = [lot[2] for lot in lots]
    by_expiry = sorted(range(len(lots)), key=lambda i: (lots[i][1], lots[i][0], i))
    given = []
    for number in range(len(periods)):
        start, end = int(periods.start[number]), int(periods.end[number])
        need = float(periods.need[number])
        for i in by_expiry:
            if need <= 1e-9:
                break
            if left[i] > 1e-9 and lots[i][0] <= end and lots[i][1] >= start:
                take = min(left[i], need)
                left[i] -= take
                need -= take
                given.append((number, i, take))
    return given


def exact(periods: Periods, lots: list[Lot]) -> list[tuple[int, int, float]]:
    """Return the hand-out with the least weighted missing, earlier harvests first among equals."""
    import numpy as np
    from scipy.optimize import linprog
    from scipy.sparse import coo_matrix

    ready = np.array([lot[0] for lot in lots])
    expiry = np.array([lot[1] for lot in lots])
    amount = np.array([lot[2] for lot in lots])
    fits = (ready[None, :] <= periods.end[:, None]) & (expiry[None, :] >= periods.start[:, None])
    period, lot = np.nonzero(fits)
    if not len(period):
        return []
    ones, columns = np.ones(len(period)), np.arange(len(period))
    limits = coo_matrix(
        (
            np.concatenate([ones, ones]),
            (np.concatenate([period, len(periods) + lot]), np.concatenate([columns, columns])),
        )
    )
    late = 1e-6 * (ready[lot] - ready.min()) / (np.ptp(ready) + 1.0)
    result = linprog(
        -periods.weight[period] * (1.0 - late),
        A_ub=limits.tocsr(),
        b_ub=np.concatenate([periods.need, amount]),
        method="highs-ds",
    )
    return [
        (int(p), int(i), float(x))
        for p, i, x in zip(period, lot, result.x, strict=True)
        if x > 1e-9
    ]
