"""Which harvest goes to which want: lots handed out to the periods they are fit in.

A lot may serve a period when the two share a day, the lot's time on the shelf included. With
periods that do not overlap, taking them in order and giving each the lot that spoils first leaves
the least missing that any handing out can (a lot's periods adjoin: the exchange argument for
interval matching). Where wants of one crop overlap, periods that end first go first, which is near
the best; `exact` settles those by a linear program.
"""

from __future__ import annotations

import heapq
from weakref import WeakKeyDictionary

from sowplan.season.choices.instance import CropCase, Periods

Lot = tuple[int, int, float]
"""First day fit to bring in, last day fit to eat, amount."""

FRESH_DAYS = 14
"""So long what was brought in is as good as from the bed. Common sense, no source."""

SPAN = 4096
"""More days than any season has."""

_SPANS: WeakKeyDictionary[CropCase, list] = WeakKeyDictionary()
_ALIKE: WeakKeyDictionary[CropCase, list[int]] = WeakKeyDictionary()


class Orders:
    """The periods of one crop in the order they are served, and what stands ready for them.

    Lots are kept by the first and last period they may serve, so that serving anew after a small
    change costs little; with them the last day on which they are fresh.
    """

    def __init__(self, case: CropCase):
        periods = case.periods
        self.count = len(periods)
        self.apart = periods.apart
        self.rows = sorted(
            zip(
                periods.end.tolist(),
                periods.start.tolist(),
                periods.need.tolist(),
                periods.weight.tolist(),
                range(self.count),
                strict=True,
            ),
            key=lambda row: (row[0], -row[3], row[1]),
        )
        self.needs = [(start, need, weight) for _, start, need, weight, _ in self.rows]
        self.by_option = self._known(case)
        self.alike = _alike(case, self.by_option)
        self.stores: list[dict[int, float]] = [{} for _ in range(self.count)]
        self.lots: dict[int, list[tuple[int, int, int, float]]] = {}

    @classmethod
    def _known(cls, case: CropCase) -> list[list[tuple[int, int, float]]]:
        """Return the spans of a crop, worked out once however many seasons are tried with it."""
        if case not in _SPANS:
            _SPANS[case] = cls._spans(case)
        return _SPANS[case]

    @staticmethod
    def _spans(case: CropCase) -> list[list[tuple[int, int, float]]]:
        """Return, by option, (first period, span, share) of what its lots may serve.

        A span is one number: the last period * `SPAN` + the last day on which the lot is fresh, or
        `SPAN` - 1 where it is fresh as long as it is fit. Where periods overlap, days stand in
        place of periods.
        """
        import numpy as np

        periods, options = case.periods, case.options
        fresh = np.clip(_fresh_until(case), 0, SPAN - 1)
        fresh[fresh >= options.lot_expiry] = SPAN - 1
        first, last = options.lot_ready, options.lot_expiry
        if periods.apart:
            first = np.searchsorted(periods.end, first)
            last = np.searchsorted(periods.start, last, side="right") - 1
        span = last * SPAN + fresh
        found: list[dict[tuple[int, int], float]] = [{} for _ in range(len(options))]
        rows = zip(
            options.lot_option.tolist(),
            first.tolist(),
            last.tolist(),
            span.tolist(),
            options.lot_share.tolist(),
            strict=True,
        )
        for option, a, b, span, share in rows:
            if a <= b:
                found[option][a, span] = found[option].get((a, span), 0.0) + share
        return [[(a, span, share) for (a, span), share in spans.items()] for spans in found]

    def bring(self, number: int, option: int, plants: int) -> None:
        """Add a batch's harvests to what stands ready."""
        if not self.apart:
            self.lots[number] = [
                (*divmod(span, SPAN), a, share * plants)
                for a, span, share in self.by_option[option]
            ]
            return
        for a, span, share in self.by_option[option]:
            store = self.stores[a]
            store[span] = store.get(span, 0.0) + share * plants

    def take_back(self, number: int, option: int, plants: int) -> None:
        """Take a batch's harvests away again."""
        if not self.apart:
            del self.lots[number]
            return
        for a, span, share in self.by_option[option]:
            store = self.stores[a]
            left = store[span] - share * plants
            if left > 1e-9:
                store[span] = left
            else:
                del store[span]

    def serve(self) -> tuple[float, float, list[float], float]:
        """Hand out what stands ready.

        Returns
        -------
        missing, used, lack, kept
            Weighted missing [want-weeks], amount handed out, what each period lacks [plants], in
            the order of `Periods`, and what is eaten later than fresh [want-weeks times weeks].
        """
        return self._serve_apart() if self.apart else self._serve_any()

    def _serve_apart(self) -> tuple[float, float, list[float], float]:
        lack = [0.0] * self.count
        missing = used = kept = 0.0
        heap: list[tuple[int, float]] = []
        pop, push = heapq.heappop, heapq.heappush
        for period, (start, need, weight) in enumerate(self.needs):
            for item in self.stores[period].items():
                push(heap, item)
            over = period * SPAN
            while heap and need > 1e-9:
                span, amount = heap[0]
                if span < over:
                    pop(heap)
                    continue
                take = amount
                if amount > need:
                    take = need
                    heap[0] = (span, amount - need)
                else:
                    pop(heap)
                used += take
                need -= take
                if start > span % SPAN:
                    kept += take * weight * (start - span % SPAN) / 7.0
            if need > 1e-9:
                lack[period] = need
                missing += need * weight
        return missing, used, lack, kept

    def _serve_any(self) -> tuple[float, float, list[float], float]:
        lack = [0.0] * self.count
        missing = used = kept = 0.0
        left = sorted([*lot] for lots in self.lots.values() for lot in lots)
        for end, start, need, weight, number in self.rows:
            for lot in left:
                last, fresh, first, amount = lot
                if need <= 1e-9:
                    break
                if amount > 1e-9 and first <= end and last >= start:
                    take = min(amount, need)
                    lot[3] -= take
                    need -= take
                    used += take
                    kept += take * weight * max(start - fresh, 0) / 7.0
            if need > 1e-9:
                lack[number] = need
                missing += need * weight
        return missing, used, lack, kept


def outlasts(case: CropCase) -> bool:
    """Return whether a crop is fit to eat for longer than it is fresh."""
    return bool((_fresh_until(case) < case.options.lot_expiry).any())


def _fresh_until(case: CropCase):
    """Return the last day on which each lot is fresh, shape (lots,)."""
    if case.stored:
        return case.options.lot_expiry
    return (case.options.lot_last + FRESH_DAYS).clip(max=case.options.lot_expiry)


def _alike(case: CropCase, harvests: list) -> list[int]:
    """Return, by option, the first option that brings the same harvests; worked out once."""
    if case not in _ALIKE:
        first: dict[tuple, int] = {}
        _ALIKE[case] = [first.setdefault(tuple(of), n) for n, of in enumerate(harvests)]
    return _ALIKE[case]


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
        ),
        shape=(len(periods) + len(lots), len(period)),  # the last lots may fit nowhere
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
