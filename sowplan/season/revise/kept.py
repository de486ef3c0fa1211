"""What the plan had still to sow, put back onto the beds as they are now.

Each batch goes where it was, if it can; else elsewhere on its day; else about its day. What finds
no room goes, and the search may sow it anew.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from sowplan.season.choices.instance import Batch, CropCase, Instance
from sowplan.season.revise.changes import SAME_DAYS
from sowplan.season.revise.so_far import with_options
from sowplan.season.search.standing import Standing

NEAR_DAYS = 21
"""How far from its day a batch may be sown that cannot be sown on it."""
MOST_NEAR = 24
"""So many ways of growing it about its day are tried."""


@dataclass(frozen=True)
class Future:
    """A batch the plan had still to sow, days counted as in the instance.

    ``into`` is the day it was to go into its place, ``clear`` the first on which that is free
    again. ``group`` is that of its trays, or `DIRECT`, `BOUGHT`; ``tray`` is -1 where it is in
    none. ``spot`` and ``tray`` are None where they are there no more. ``fixed`` is the number of
    the gardener's own sowing, or -1.
    """

    crop: int
    sow: int
    into: int
    clear: int
    plants: int
    spot: int | None
    mask: int
    group: int
    tray: int | None
    fixed: int = -1


def of_its_days(instance: Instance, futures: Sequence[Future]) -> list[list[int]]:
    """Return the options by which each batch can be sown, planted out and cleared as planned.

    Those are cleared on its day, or later: they can be cut short (`with_ends`).
    """
    known = [_by_days(case) for case in instance.crops]
    found = []
    for future in futures:
        options = instance.crops[future.crop].options
        _, able = _able(instance, known, future)
        found.append(
            [
                n
                for n in able
                if options.lots[n][0][0] < future.clear <= options.rows[n][2]
                or options.rows[n][2] == future.clear
            ]
        )
    return found


def with_ends(instance: Instance, futures: Sequence[Future]) -> tuple[Instance, list[int | None]]:
    """Return the instance with the days of clearing of all batches among its options.

    Also the option of each batch, planted out on its own day where one is: None where it is sown on
    that day and in such a place no more.
    """
    found: list[int | None] = [None] * len(futures)
    known = [_by_days(case) for case in instance.crops]
    cases = []
    for number, case in enumerate(instance.crops):
        rows: list[tuple] = []
        lots: list[list[tuple]] = []
        made: dict[tuple, int] = {}
        for n, future in enumerate(futures):
            if future.crop != number or future.spot is None:
                continue
            anyhow, able = _able(instance, known, future)
            clears = {int(case.options.clear[option]): option for option in able or anyhow}
            if not clears:
                continue
            if future.clear in clears:
                found[n] = clears[future.clear]
                continue
            longest = clears[max(clears)]
            cut = _cut(case, longest, future.clear)
            if cut is None:
                found[n] = clears[min(clears, key=lambda day: (abs(day - future.clear), day))]
                continue
            key = (longest, future.clear)
            if key not in made:
                made[key] = len(case.options) + len(rows)
                rows.append(cut[0])
                lots.append(cut[1])
            found[n] = made[key]
        mine = [(o, f.plants) for f, o in zip(futures, found, strict=True) if f.crop == number]
        cases.append(_as_few(with_options(case, rows, lots), mine))
    return replace(instance, crops=tuple(cases)), found


def _by_days(case: CropCase) -> dict[tuple, list[int]]:
    """Return the options of a crop by day of sowing, place, way and the gardener's own sowing."""
    known: dict[tuple, list[int]] = {}
    for option, (sow, _, _, group, tray, fixed) in enumerate(case.options.rows):
        known.setdefault((sow, group, tray, fixed), []).append(option)
    return known


def _able(instance: Instance, known: Sequence[dict], future: Future) -> tuple[list, list]:
    """Return the options of a batch's sowing and place; those planted out on its day besides."""
    if future.spot is None:
        return [], []
    group = instance.spots[future.spot].group
    anyhow = known[future.crop].get((future.sow, group, future.group, future.fixed), [])
    rows = instance.crops[future.crop].options.rows
    return anyhow, [n for n in anyhow if rows[n][1] == future.into]


def _as_few(case: CropCase, batches: Sequence[tuple[int | None, int]]) -> CropCase:
    """Return a crop of which batches as small as the plan's are worth a sowing, where it has them.

    Other wants may ask for larger ones now; what was planned stays possible all the same.
    """
    if case.fewest is None:
        return case
    fewest = case.fewest.copy()
    for option, plants in batches:
        if option is not None:
            fewest[option] = min(fewest[option], plants)
    return replace(case, fewest=fewest)


def _cut(case: CropCase, option: int, clear: int) -> tuple[tuple, list[tuple]] | None:
    """Return an option cleared on another day, with its lots; None where that cannot be."""
    options = case.options
    first, until = options.lot_start[option], options.lot_start[option + 1]
    keeps = int(options.lot_expiry[first] - options.lot_last[first])
    if not int(options.lot_ready[first]) < clear <= int(options.clear[option]):
        return None
    lots = []
    for n in range(first, until):
        ready = int(options.lot_ready[n])
        if ready < clear:
            last = min(int(options.lot_last[n]), clear - 1)
            lots.append((ready, last, last + keeps, float(options.lot_share[n])))
    sow, into, _, group, tray, fixed = options.rows[option]
    return (sow, into, clear, group, tray, int(options.course[option]), fixed), lots


def put_back(
    standing: Standing, futures: Sequence[Future], options: Sequence[int | None]
) -> list[Batch | None]:
    """Put the batches back; return each as it now stands, None where there is no room for it.

    Those that can stand exactly as they did go first.
    """
    found: list[Batch | None] = [None] * len(futures)
    for n, (future, option) in enumerate(zip(futures, options, strict=True)):
        if option is not None and future.tray is not None:
            batch = _as_it_was(standing, future, option)
            if batch is not None:
                standing.add(batch)
                found[n] = batch
    for n, (future, option) in enumerate(zip(futures, options, strict=True)):
        if found[n] is None:
            found[n] = _near(standing, future, option)
    standing.log.clear()
    return found


def on_its_days(instance: Instance, future: Future, option: int | None) -> bool:
    """Return whether by an option a batch is sown, planted out and cleared as it was planned."""
    if option is None:
        return False
    sow, into, clear, *_ = instance.crops[future.crop].options.rows[option]
    return (sow, into) == (future.sow, future.into) and abs(clear - future.clear) <= SAME_DAYS


def as_planned(instance: Instance, future: Future, option: int) -> Batch:
    """Return the batch exactly as the plan had it; it has a place and, if raised, a tray."""
    cells = instance.crops[future.crop].cells(future.plants) if future.group >= 0 else 0
    return Batch(
        future.crop, option, future.plants, future.spot, future.mask,
        future.tray, cells, future.fixed >= 0,
    )  # fmt: skip


def _as_it_was(standing: Standing, future: Future, option: int) -> Batch | None:
    """Return the batch on its own ground and in its own tray, where it can stand there."""
    instance = standing.instance
    case = instance.crops[future.crop]
    room = case.units.get(case.options.rows[option][3])
    if future.spot is None or room is None or future.plants >= len(room):
        return None
    if future.mask.bit_count() != room[future.plants]:
        return None  # the place has other measures now
    batch = as_planned(instance, future, option)
    return batch if can_stand(standing, batch) else None


def can_stand(standing: Standing, batch: Batch) -> bool:
    """Return whether a batch's own ground and cells are free, and rotation and hours allow it.

    What the gardener has settled is bound to neither of the last two.
    """
    sow, into, clear, *_ = standing.instance.crops[batch.crop].options.rows[batch.option]
    if batch.mask & ~standing.rooms[batch.spot].free(into, clear):
        return False
    if batch.tray >= 0 and standing.cells[batch.tray, max(sow, 0) : into].min() < batch.cells:
        return False
    return batch.fixed or (
        standing.rotates(batch.spot, batch.crop, into, clear)
        and standing.has_time(batch.crop, batch.option, batch.plants)
    )


def _near(standing: Standing, future: Future, option: int | None) -> Batch | None:
    """Put a batch elsewhere, or about its day; return it, None where there is no room.

    What the gardener has settled is not moved in time.
    """
    case = standing.instance.crops[future.crop]
    if option is not None:
        spots = [future.spot] if future.spot is not None else None
        for where in (spots, None) if spots else (None,):
            batch = standing.place(future.crop, option, future.plants, where)
            if batch is not None:
                standing.add(batch)
                return batch
    if future.fixed >= 0:
        return None
    missing = standing.missing(future.crop)
    near = _about_its_day(standing.instance, future, case.options.rows)
    for n in [n for n in near if n != option][:MOST_NEAR]:
        batch = _as_near(standing, future, n)
        if batch is None:
            continue
        mark = len(standing.log)
        standing.add(batch)
        if standing.missing(future.crop) < missing - 1e-7:
            return batch
        standing.undo(mark)
    return None


def _about_its_day(instance: Instance, future: Future, rows: Sequence[tuple]) -> list[int]:
    """Return the options sown about the day of a batch, those first that are most like it."""
    group = None if future.spot is None else instance.spots[future.spot].group
    near = [n for n, row in enumerate(rows) if abs(row[0] - future.sow) <= NEAR_DAYS and row[5] < 0]
    near.sort(
        key=lambda n: (
            abs(rows[n][0] - future.sow),
            rows[n][4] != future.group,
            rows[n][3] != group,
            abs(rows[n][2] - future.clear),
            n,
        )
    )
    return near


def _as_near(standing: Standing, future: Future, option: int) -> Batch | None:
    """Return a batch by another option: on its own ground if it can, else in its place, or any."""
    _, _, _, group, tray, _ = standing.instance.crops[future.crop].options.rows[option]
    spot = future.spot
    if spot is not None and standing.instance.spots[spot].group == group:
        batch = None
        if tray == future.group and future.tray is not None:
            batch = _as_it_was(standing, future, option)
        batch = batch or standing.place(future.crop, option, future.plants, [spot])
        if batch is not None:
            return batch
    return standing.place(future.crop, option, future.plants)
