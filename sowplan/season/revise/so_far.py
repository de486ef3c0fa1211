"""A season partly gone, as numbers: what stands takes its room, what is past is handed out.

From the instance of the whole season's wants and of the sowings still to come, and from what
stands, comes the instance of what is left to decide: only periods not yet over are wanted, and
what stands is in it as sowings that are settled, with the harvests they have still to give.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from sowplan.season.assemble import CRUMB
from sowplan.season.choices.instance import (
    NO_HARVEST,
    Batch,
    CropCase,
    FixedBatch,
    Instance,
    Options,
    Periods,
)
from sowplan.season.search.service import hand_out

NO_COURSE = -1
"""Course of what stands: its dates are no longer looked up."""


@dataclass(frozen=True)
class Stand:
    """A batch that is sown, days counted as in the instance.

    ``lots``: first and last day fit to bring in, last day fit to eat, plants' yields.
    ``tray`` is `DIRECT` also where its tray is there no more, and `BOUGHT` where plants are bought.
    """

    crop: int
    sow: int
    into: int
    clear: int
    plants: int
    spot: int
    mask: int
    tray: int
    cells: int
    lots: tuple[tuple[int, int, int, float], ...]


@dataclass(frozen=True, eq=False)
class Past:
    """The periods of one crop that are over, and how they were served.

    ``served`` has (stand, plants' yield) by period; ``missing`` is what they lacked, ``wasted``
    what was grown and is past eating [both want-weeks].
    """

    periods: Periods
    served: tuple[tuple[tuple[int, float], ...], ...]
    missing: float
    wasted: float


def history(
    case: CropCase, stands: Sequence[tuple[int, Stand]], today: int
) -> tuple[Past, dict[int, tuple]]:
    """Hand out what has been brought in to the periods that are over.

    Parameters
    ----------
    case : CropCase
        With the periods of the whole season.
    stands : sequence of (int, Stand)
        What stands of the crop, or stood, each with its number.
    today : int
        Periods that end before this day are over.

    Returns
    -------
    past : Past
    left : dict of int to tuple of lots
        By number, what is left of the lots of each, those past eating left out.
    """
    over = some(case.periods, case.periods.end < today)
    lots, owner = [], []
    for number, stand in stands:
        for ready, _, expiry, amount in stand.lots:
            lots.append((ready, expiry, amount))
            owner.append(number)
    served: list[dict[int, float]] = [{} for _ in range(len(over))]
    left = [lot[2] for lot in lots]
    for period, lot, amount in hand_out(over, lots):
        mine = served[period]
        mine[owner[lot]] = mine.get(owner[lot], 0.0) + amount
        left[lot] -= amount
    given = np.array([sum(mine.values()) for mine in served])
    missing = float(((over.need - given) * over.weight).sum()) if len(over) else 0.0
    # A period that is not over may have begun: what was had in it counts.
    open_ = case.periods.start[case.periods.end >= today]
    since = min(today, int(open_.min(initial=today)))
    wasted, rest, at = 0.0, {}, 0
    for number, stand in stands:
        kept = []
        for ready, last, expiry, _ in stand.lots:
            amount, at = left[at], at + 1
            if expiry < since:
                wasted += max(amount, 0.0)
            elif amount > CRUMB:
                kept.append((ready, last, expiry, amount))
        rest[number] = tuple(kept)
    past = Past(
        over, tuple(tuple(s.items()) for s in served), max(missing, 0.0), wasted * case.worth
    )
    return past, rest


def begin(
    instance: Instance, stands: Sequence[Stand], today: int, gone: int
) -> tuple[Instance, list[Batch], list[Past]]:
    """Return what is left to decide, what stands as batches of it, and each crop's past.

    Parameters
    ----------
    instance : Instance
        The season from about today on, its periods those of the whole season; its own fixed
        sowings are the first of the new one's.
    stands : sequence of Stand
        All that was sown before.
    today : int
        First day that can still be decided on.
    gone : int
        Days of the season before the instance's first.
    """
    fixed = list(instance.fixed)
    batches: list[Batch | None] = [None] * len(stands)
    cases, pasts = [], []
    for number, case in enumerate(instance.crops):
        mine = [(n, stand) for n, stand in enumerate(stands) if stand.crop == number]
        past, rest = history(case, mine, today)
        pasts.append(past)
        rows, lots = [], []
        for n, stand in mine:
            group = instance.spots[stand.spot].group
            in_tray = stand.tray >= 0
            kind = instance.trays[stand.tray].group if in_tray else stand.tray
            option = len(case.options) + len(rows)
            given = [(a, b, e, amount / stand.plants) for a, b, e, amount in rest[n]]
            lots.append(given or [NO_HARVEST])
            rows.append((stand.sow, stand.into, stand.clear, group, kind, NO_COURSE, len(fixed)))
            units = (stand.mask & instance.spots[stand.spot].ground).bit_count()
            fixed.append(FixedBatch(number, stand.plants, stand.spot, units, stand.cells))
            batches[n] = Batch(
                number, option, stand.plants, stand.spot, stand.mask,
                stand.tray if in_tray else -1, stand.cells, True,
            )  # fmt: skip
        room = case.room or {row[3]: np.zeros(1, np.int64) for row in rows}
        open_ = some(case.periods, case.periods.end >= today)
        cases.append(with_options(replace(case, periods=open_, room=room), rows, lots))
    begun = replace(instance, crops=tuple(cases), fixed=tuple(fixed), gone=gone)
    return begun, [batch for batch in batches if batch is not None], pasts


def with_options(case: CropCase, rows: list[tuple], lots: list[list[tuple]]) -> CropCase:
    """Return a crop with more options, numbered on; a few plants of them are worth a sowing."""
    if not rows:
        return case
    first = len(case.options)
    listed = [(first + n, *lot) for n, mine in enumerate(lots) for lot in mine]
    columns = np.array(rows, np.int64).reshape(-1, 7).T
    own = np.array([lot[:4] for lot in listed], np.int64).reshape(-1, 4).T
    shares = np.array([lot[4] for lot in listed], float)
    options = case.options
    names = ("sow", "into", "clear", "group", "tray", "course", "fixed")
    more = {
        name: np.concatenate([getattr(options, name), column])
        for name, column in zip(names, columns, strict=True)
    }
    for name, column in zip(
        ("lot_option", "lot_ready", "lot_last", "lot_expiry"), own, strict=True
    ):
        more[name] = np.concatenate([getattr(options, name), column])
    more["lot_share"] = np.concatenate([options.lot_share, shares])
    fewest = None
    if case.fewest is not None:
        like = _least_like(case, columns)
        fewest = np.concatenate([case.fewest, like])
    return replace(case, options=Options(**more), fewest=fewest)


def _least_like(case: CropCase, columns) -> np.ndarray:
    """Return the least plants of new options: as of those in like places, raised alike."""
    options = case.options
    least = np.ones(columns.shape[1], np.int64)
    for n, (group, tray) in enumerate(zip(columns[3].tolist(), columns[4].tolist(), strict=True)):
        alike = case.fewest[(options.group == group) & (options.tray == tray)]
        least[n] = alike.min(initial=1 << 30) if len(alike) else 1
    return least


def some(periods: Periods, which) -> Periods:
    """Return some of the periods of a crop."""
    return Periods(
        periods.start[which],
        periods.end[which],
        periods.need[which],
        periods.weight[which],
        periods.want[which],
    )
