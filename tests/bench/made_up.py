"""Made-up gardens as numbers: a year's wants for so many places, as hard as a real garden's.

Open beds, narrow ones and covered ones; six sorts of crop, from cut leaf to fruit, each slow in the
cold and none in the frost or heat that it does not stand; families that stood in some beds last
year; tray cells that run short in the spring rush; least batches; wants large and small, of unlike
weight, for the weeks in which there can be a harvest at all. The figures of the sorts are of common
practice, no source.

``made_up(5, 8, 0.95, seed)`` is one garden; `TUNED` are the seeds that may be looked at while
something is being improved, `HELD_OUT` those by which it is then judged.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from sowplan.season.choices.instance import (
    CropCase,
    Instance,
    Options,
    Periods,
    Spot,
    Stay,
    TrayShelf,
)

SIZES = ((5, 8), (30, 20), (100, 40), (300, 60))
TUNED = (11, 12, 13)
HELD_OUT = (701, 702, 703, 704, 705)
YEAR = 364
FAMILIES = 9

WIDTHS_CM = (120, 75, 100)
"""Of open beds, narrow open beds and covered ones: the three groups of places."""
COVERED = 2


@dataclass(frozen=True)
class Sort:
    """A sort of crop; pairs are the ends between which its figures are drawn."""

    spacing_cm: tuple[int, int]
    rows_cm: tuple[int, int]
    raised_days: int
    grow_days: tuple[int, int]  # at the best warmth
    stand_days: tuple[int, int]
    keeps_days: tuple[int, int]
    cuts: tuple[int, int]
    every_days: int  # between cuts
    base_c: float
    best_c: float
    frost_c: float  # mean of the day below which it is lost in the open
    heat_c: float  # mean of the day above which it bolts or will not come up
    single: bool = False  # so large that one plant is worth a sowing


_HEAD = Sort((22, 30), (25, 32), 28, (38, 58), (8, 13), (5, 9), (1, 1), 0, 4.0, 18.0, -1.0, 20.5)
_ROOT = Sort((4, 10), (15, 25), 0, (45, 75), (14, 28), (7, 14), (1, 1), 0, 4.0, 19.0, -2.0, 24.0)
_CUT = Sort((8, 15), (12, 18), 0, (26, 36), (7, 10), (3, 5), (2, 4), 14, 4.0, 18.0, -2.0, 22.5)
_LARGE = Sort(
    (40, 50), (45, 55), 35, (65, 90), (12, 21), (7, 14), (1, 1), 0, 4.0, 18.0, -3.0, 24.0, True
)
_FRUIT = Sort(
    (40, 60), (60, 80), 42, (45, 60), (7, 7), (5, 7), (6, 9), 7, 9.0, 24.0, 9.0, 40.0, True
)
_POD = Sort((12, 18), (40, 50), 0, (48, 60), (7, 7), (4, 6), (3, 5), 7, 8.0, 23.0, 9.0, 40.0)
SORTS = (_HEAD, _ROOT, _CUT, _LARGE, _FRUIT, _POD)
OF_TWENTY = (7, 6, 2, 3, 1, 1)
"""Crops of each sort among twenty."""


def warmth(covered: bool, mildness: float) -> np.ndarray:
    """Return the mean temperature of two years' days [°C]; the coldest is two weeks before day 0.

    Where growth stops altogether for months nothing can be had from the beds in winter; the
    climate is that of a place with mild winters, where there always is something.
    """
    day = np.arange(2 * YEAR)
    open_air = 11.5 + mildness - 9.0 * np.cos(2 * np.pi * (day + 14) / YEAR)
    return open_air + (4.0 - 0.1 * open_air if covered else 0.0)


@dataclass(frozen=True)
class Draft:
    """A crop as drawn, before it is known how much of it is wanted."""

    sort: Sort
    family: int
    gap_days: int
    spacing_cm: int
    rows_cm: int
    grow_days: int
    stand_days: int
    keeps_days: int
    cuts: int
    cells_per_plant: float
    groups: tuple[int, ...]

    def per_row(self, group: int) -> int:
        """Return the plants that stand side by side across a bed."""
        return max(1, WIDTHS_CM[group] // self.spacing_cm)

    def courses(self, covered: bool, air: np.ndarray, raised: bool):
        """Yield (sowing day, day in the bed, lots) for each week of the year in which it can be."""
        sort = self.sort
        pace = np.clip((air - sort.base_c) / (sort.best_c - sort.base_c), 0.02, 1.0)
        grown = np.concatenate([[0.0], np.cumsum(pace)])
        lost = air < sort.frost_c - (3.0 if covered else 0.0)
        hot = air > sort.heat_c
        for sow in range(0, YEAR, 7):
            into = sow + (sort.raised_days if raised else 0)
            if into >= YEAR:
                break
            lots = []
            for cut in range(self.cuts):
                due = grown[into] + self.grow_days + cut * sort.every_days
                ready = int(np.searchsorted(grown, due))
                stands = self.stand_days / max(float(pace[min(ready, YEAR)]), 0.35)
                last = ready + int(stands) - 1
                bad = lost[into : ready + 1] | hot[into : ready + 1]
                if ready - into > 190 or ready >= YEAR + 28 or bad.any():
                    break
                ended = np.nonzero(lost[ready : last + 1] | hot[ready : last + 1])[0]
                lots.append((ready, ready + int(ended[0]) - 1 if len(ended) else last))
            lots = [lot for lot in lots if lot[1] >= lot[0]]
            if len(lots) * 2 >= self.cuts and lots:
                yield sow, into, [(a, b, 1 / self.cuts) for a, b in lots]


def made_up(places: int, crops: int, load: float, seed: int) -> Instance:
    """Return a year in which the wants need about ``load`` of all bed length at the peak.

    What is needed is reckoned as a grower would who sows for every week by itself, in about whole
    rows, in the kind of bed that has most to spare, and clears each batch as soon as it is in.

    Parameters
    ----------
    places, crops : int
        How many; see `SIZES`.
    load : float
        Share of all bed length on the fullest day.
    seed : int
        Of everything that is drawn.
    """
    chance = np.random.Generator(np.random.PCG64(seed))
    group = np.sort(np.resize(np.repeat(np.arange(3), np.array([11, 4, 5])), 20))
    group = (
        np.array([_group_of(n, places) for n in range(places)])
        if places < 20
        else np.sort(np.resize(chance.permutation(group), places))
    )
    spots = tuple(
        Spot(f"Bed {n + 1}", int(kind), int(chance.integers(40, 101)) * 10, True)
        for n, kind in enumerate(group)
    )
    mildness = float(chance.uniform(-1.0, 2.0))
    airs = tuple(warmth(kind == COVERED, mildness) for kind in range(3))
    often = np.repeat(np.arange(len(SORTS)), OF_TWENTY)
    drafts = [_draft(chance, SORTS[n]) for n in np.resize(chance.permutation(often), crops)]
    courses = [_all_courses(draft, airs) for draft in drafts]
    weeks = [_weeks(chance, mine) for mine in courses]
    bulk = np.exp(chance.normal(0.0, 0.6, crops))
    priorities = chance.choice([0.5, 1.0, 1.0, 1.0, 2.0], crops)
    many = max(2, places // 6)
    stays = _stays(chance, places)
    weeks = [
        _not_in_vain(draft, mine, when, spots, stays)
        for draft, mine, when in zip(drafts, courses, weeks, strict=True)
    ]
    amounts = _scaled(spots, drafts, courses, weeks, bulk, load)
    cells = _cells(drafts, courses, weeks, amounts)
    trays = tuple(
        TrayShelf(f"Tray {n + 1}", 0, max(12, math.ceil(cells / many))) for n in range(many)
    )
    cases = tuple(
        _case(n, draft, mine, when, amount, float(priority), spots, trays)
        for n, (draft, mine, when, amount, priority) in enumerate(
            zip(drafts, courses, weeks, amounts, priorities, strict=True)
        )
    )
    return Instance(YEAR, spots, trays, cases, stays)


def _group_of(number: int, places: int) -> int:
    """Return the kind of one of few places: most are open, the last two narrow and covered."""
    return {places - 2: 1, places - 1: 2}.get(number, 0)


def _draft(chance: np.random.Generator, sort: Sort) -> Draft:
    def between(pair: tuple[int, int]) -> int:
        return int(chance.integers(pair[0], pair[1] + 1))

    where = [(0, 1, 2), (0, 2), (0, 1), (0, 1, 2)][int(chance.integers(4))]
    return Draft(
        sort,
        int(chance.integers(FAMILIES)),
        int(chance.choice([0, 0, 180, 365, 730])),
        between(sort.spacing_cm),
        between(sort.rows_cm),
        between(sort.grow_days),
        between(sort.stand_days),
        between(sort.keeps_days),
        between(sort.cuts),
        float(chance.choice([1.0, 1.0, 1.15, 1.3])),
        (0, 2) if sort.single and sort.frost_c > 0 else where,
    )


def _all_courses(draft: Draft, airs) -> list[tuple]:
    """Return (way, kinds of bed, raised, courses) of every way to grow a crop."""
    found = []
    for covered in (False, True):
        kinds = tuple(g for g in draft.groups if (g == COVERED) == covered)
        raised = draft.sort.raised_days > 0
        if kinds:
            air = airs[COVERED if covered else 0]
            found.append((len(found), kinds, raised, list(draft.courses(covered, air, raised))))
    return found


def _served(courses: list[tuple], keeps: int):
    """Yield (days in the bed, into, until, sown, kinds, week) of the ways to serve each week."""
    for _, kinds, raised, mine in courses:
        for sow, into, lots in mine:
            for week in range(max(lots[0][0] // 7, 0), YEAR // 7):
                if any(a <= 7 * week + 6 and b + keeps >= 7 * week for a, b, _ in lots):
                    until = min(lots[-1][1] + 1, lots[-1][0] + 7)
                    yield until - into, into, until, sow if raised else -1, kinds, week


def _weeks(chance: np.random.Generator, courses: list[tuple]) -> np.ndarray:
    """Return the weeks in which a crop is wanted: from about its first harvest on.

    Only weeks into which some sowing's harvest days fall.
    """
    there = sorted(
        {
            week
            for _, _, _, mine in courses
            for _, _, lots in mine
            for a, b, _ in lots
            for week in range(-(-a // 7), min((b + 1) // 7, YEAR // 7))
        }
    )
    if not there:
        return np.zeros(0, np.int64)
    first = there[0] + int(chance.choice([0, 0, 0, 2, 4, 8]))
    many = int(chance.integers(10, 34))
    chosen = [week for week in there if week >= first][:many]
    return np.array(chosen or there[-4:], np.int64)


def _not_in_vain(draft: Draft, courses, weeks: np.ndarray, spots, stays) -> np.ndarray:
    """Return of some weeks those that can be served, seeing what stood where last year.

    Where the one covered bed rests from a crop's family, its early weeks cannot be had at any load:
    nobody who knows the garden wishes for them.
    """
    first = np.full(3, 2 * YEAR)  # day on which the crop may go into a kind of bed
    for number, spot in enumerate(spots):
        stood = [s.until for s in stays if (s.spot, s.family) == (number, draft.family)]
        rested = max([until + draft.gap_days + 1 for until in stood], default=0)
        first[spot.group] = min(first[spot.group], rested)
    served = {
        week
        for _, into, _, _, kinds, week in _served(courses, draft.keeps_days)
        if any(into >= first[kind] for kind in kinds)
    }
    return np.array([week for week in weeks.tolist() if week in served], np.int64)


def _scaled(spots, drafts, courses, weeks, bulk, load: float) -> list[float]:
    """Return the plants of each crop wanted a week, so that the fullest day is as full as asked."""
    sizes = np.array([sum(s.size for s in spots if s.group == g) for g in range(3)], float)

    def fullest(scale: float) -> float:
        use = np.zeros((3, 2 * YEAR))
        for draft, mine, when, share in zip(drafts, courses, weeks, bulk, strict=True):
            amount = _amount(draft, scale * share, len(when))
            ways = sorted(_served(mine, draft.keeps_days), key=lambda way: way[:4])
            for week in when.tolist():
                best = None
                for _, into, until, _, kinds, serves in ways:
                    if serves != week:
                        continue
                    for kind in kinds:
                        rows = amount * draft.cuts / draft.per_row(kind)
                        rows = max(rows, math.floor(rows + 0.5))
                        full = (use[kind, into:until].max() + rows * draft.rows_cm) / sizes[kind]
                        key = (round(full, 3), until - into)
                        if best is None or key < best[0]:
                            best = (key, kind, into, until, rows * draft.rows_cm)
                if best is not None:
                    use[best[1], best[2] : best[3]] += best[4] / draft.cuts
        return float(use[:, :YEAR].sum(axis=0).max() / sizes.sum())

    low, high = 0.0, 1.0
    while fullest(high) < load:
        low, high = high, 2 * high
    for _ in range(12):
        middle = (low + high) / 2
        low, high = (middle, high) if fullest(middle) < load else (low, middle)
    return [
        _amount(draft, low * share, len(when))
        for draft, when, share in zip(drafts, weeks, bulk, strict=True)
    ]


def _amount(draft: Draft, length_cm: float, weeks: int) -> float:
    """Return the whole plants' yield a week that takes so much of a wide bed, one cut at least."""
    plants = length_cm * draft.cuts / draft.rows_cm * draft.per_row(0)
    return max(1, round(plants)) / draft.cuts if weeks else 0.0


def _cells(drafts, courses, weeks, amounts) -> float:
    """Return the tray cells that the crops need on the fullest day, with little to spare."""
    use = np.zeros(YEAR + 60)
    for draft, mine, when, amount in zip(drafts, courses, weeks, amounts, strict=True):
        ways = sorted(_served(mine, draft.keeps_days), key=lambda way: way[:4])
        for week in when.tolist():
            fit = [way for way in ways if way[5] == week]
            if fit and fit[0][3] >= 0:
                use[fit[0][3] : fit[0][1]] += amount * draft.cells_per_plant
    return float(use.max()) * 1.05


def _stays(chance: np.random.Generator, places: int) -> tuple[Stay, ...]:
    """Return which families stood where last year: one or two a bed, until some weeks ago."""
    return tuple(
        Stay(spot, int(family), -int(chance.integers(20, 150)))
        for spot in range(places)
        for family in sorted(chance.choice(FAMILIES, int(chance.integers(1, 3)), replace=False))
    )


def _case(number, draft, courses, weeks, amount, priority, spots, trays) -> CropCase:
    start = 7 * weeks
    need = np.full(len(start), float(amount))
    weight = np.full(len(start), priority / max(amount, 1e-9))
    periods = Periods(start, start + 6, need, weight, np.full(len(start), number))
    room = {}
    for kind in draft.groups:
        size = max((s.size for s in spots if s.group == kind), default=0)
        most = size // draft.rows_cm * draft.per_row(kind)
        plants = np.arange(min(most, math.ceil(1.5 * need.sum())) + 1)
        if len(plants) > 1:
            room[kind] = -(-plants // draft.per_row(kind)) * draft.rows_cm
    options = _options(draft, courses, periods, room)
    return CropCase(
        f"crop-{number}",
        draft.family,
        draft.gap_days,
        draft.cells_per_plant,
        periods,
        options,
        room,
        fewest=_fewest(draft, options, periods, room, trays),
    )


def _options(draft: Draft, courses, periods: Periods, room) -> Options:
    rows, lots = [], []
    keeps = draft.keeps_days
    for way, kinds, raised, mine in courses:
        for sow, into, fit in mine:
            for end in _ends(fit, periods, keeps):
                kept = [(a, min(b, end - 1), s) for a, b, s in fit if a < end]
                for kind in kinds:
                    if kind in room:
                        lots += [(len(rows), a, b, b + keeps, s) for a, b, s in kept]
                        rows.append(
                            (sow, into, end, kind, 0 if raised else -1, 100 * way + sow, -1)
                        )
    columns = np.array(rows, np.int64).reshape(-1, 7).T
    lot = np.array([entry[:4] for entry in lots], np.int64).reshape(-1, 4).T
    return Options(*columns, *lot, np.array([entry[4] for entry in lots], float))


def _ends(lots, periods: Periods, keeps: int) -> list[int]:
    """Return the days on which to clear a batch: after a want's week, half its harvests had."""
    starts, ends = periods.start.tolist(), periods.end.tolist()
    served = [
        end
        for start, end in zip(starts, ends, strict=True)
        if any(a <= end and b + keeps >= start for a, b, _ in lots)
    ]
    if not served:
        return []
    natural = max(b for _, b, _ in lots) + 1
    least = min(natural, lots[(len(lots) + 1) // 2 - 1][0] + 7)
    days = sorted({min(max(end + 1, least), natural) for end in served} | {least})
    return sorted({days[n] for n in np.linspace(0, len(days) - 1, 4).round().astype(int)})


def _fewest(draft: Draft, options: Options, periods: Periods, room, trays) -> np.ndarray:
    """Return the least plants of a batch: a handful raised, a row (or a week's) sown direct."""
    least = np.ones(len(options), np.int64)
    if draft.sort.single or not len(periods):
        return least
    wanted = max(1, int(periods.need.sum()))
    needed = max(3, int(periods.need.max()))
    for kind, units in room.items():
        few = 3 if draft.sort.raised_days else min(draft.per_row(kind), needed)
        least[options.group == kind] = min(few, wanted, len(units) - 1)
    if draft.sort.raised_days:
        most = max(tray.cells for tray in trays)
        least = np.minimum(least, max(1, most // 2))
    return least
