"""Two hundred made-up seasons, recounted day by day by code that shares nothing with the search."""

import copy
import pickle
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from scipy.optimize import linprog

from sowplan.season import sought
from sowplan.season.bound.model import relax
from sowplan.season.choices.instance import (
    CropCase,
    FixedBatch,
    Instance,
    Minutes,
    Options,
    Periods,
    Spot,
    Stay,
    TrayShelf,
)
from sowplan.season.search.fewer import gather
from sowplan.season.search.interval import sow_at_intervals
from sowplan.season.search.later import later
from sowplan.season.search.polish import trim
from sowplan.season.search.search import Search
from sowplan.season.search.standing import Standing
from sowplan.season.tidy.places import tidy
from sowplan.season.watch import Watch


def random_season(seed):
    """Return a small season with beds, pots, trays, rotation and, in some, a fixed sowing."""
    draw = np.random.Generator(np.random.PCG64(seed))
    days = int(draw.integers(60, 140))
    beds = [
        Spot(f"Bed {n}", 0, int(draw.integers(40, 160)), True) for n in range(draw.integers(1, 4))
    ]
    pots = [Spot("Pots", 1, int(draw.integers(1, 6)), False)]
    trays = tuple(TrayShelf(f"Tray {n}", 0, int(draw.integers(6, 30))) for n in range(2))
    has_fixed = bool(draw.random() < 0.3)
    if seed % 3 == 2 and not has_fixed:  # a pipe stands in the first bed
        start = seed % max(beds[0].size - 14, 1)
        beds[0] = replace(beds[0], closed=((1 << 14) - 1) << start)
    crops = tuple(
        random_crop(draw, n, days, has_fixed and n == 0) for n in range(draw.integers(1, 5))
    )
    if seed % 2:
        crops = tuple(map(bought_in_pots, crops))
    fixed = (FixedBatch(0, 1, 0 if draw.random() < 0.5 else None),) if has_fixed else ()
    stays = tuple(
        Stay(
            int(draw.integers(0, len(beds))), int(draw.integers(0, 3)), int(draw.integers(-50, 20))
        )
        for _ in range(draw.integers(0, 3))
    )
    turn = 365 if draw.random() < 0.7 else 40
    if seed % 4 == 1:  # the gardener has a few hours a week
        minutes = Minutes(2.0, 0.5, 0.3, float(draw.choice([0, 1])), 0.8, 0.6, 14)
        crops = tuple(replace(crop, minutes=minutes) for crop in crops)
        hours = {"week_minutes": float(draw.integers(20, 60)), "week_begun": seed % 7}
        return Instance(days, tuple(beds + pots), trays, crops, stays, fixed, turn, 0, **hours)
    return Instance(days, tuple(beds + pots), trays, crops, stays, fixed, turn)


def random_crop(draw, number, days, fixed):
    every = int(draw.choice([5, 7, 14]))
    starts = np.arange(int(draw.integers(20, 50)), days - every, every)
    need = float(draw.integers(1, 6)) * float(draw.choice([1.0, 0.7]))
    if draw.random() < 0.2:  # a second want of the same crop over the same days
        starts = np.sort(np.concatenate([starts, starts[: len(starts) // 2] + 2]))
    periods = Periods(
        starts,
        starts + every - 1,
        np.full(len(starts), need),
        np.full(len(starts), 1 / need),
        0 * starts,
    )
    rows, lots = [], []
    raised, grow = int(draw.choice([0, 14])), int(draw.integers(18, 40))
    stand, keeps, cuts = (
        int(v) for v in (draw.integers(4, 15), draw.integers(0, 9), draw.integers(1, 4))
    )
    for sow in range(0, days - 20, 7):
        ready = sow + raised + grow
        for end in sorted({ready + 5, ready + stand, ready + 9 * (cuts - 1) + stand}):
            for group in (0, 1):
                free = -1 if not fixed or sow or group else 0
                for cut in range(cuts):
                    a = ready + 9 * cut
                    if a < end:
                        last = min(a + stand - 1, end - 1)
                        lots.append((len(rows), a, last, last + keeps, 1 / cuts))
                rows.append((sow, sow + raised, end, group, 0 if raised else -1, sow, -1))
                if free == 0 and end == ready + stand:
                    for cut in range(cuts):
                        if ready + 9 * cut < end:
                            a = ready + 9 * cut
                            last = min(a + stand - 1, end - 1)
                            lots.append((len(rows), a, last, last + keeps, 1 / cuts))
                    rows.append((sow, sow + raised, end, group, 0 if raised else -1, sow, 0))
    columns = np.array(rows, np.int64).T
    lot = np.array([entry[:4] for entry in lots], np.int64).T
    options = Options(*columns, *lot, np.array([entry[4] for entry in lots]))
    per_row, pitch = int(draw.integers(1, 5)), int(draw.integers(8, 30))
    strips = -(-np.arange(13) // per_row) * pitch
    room = {0: strips[strips <= 160], 1: -(-np.arange(9) // int(draw.integers(1, 4)))}
    return CropCase(
        f"crop-{number}", number % 3, int(draw.integers(0, 60)), 1.1, periods, options, room
    )


def bought_in_pots(crop):
    """Return a crop that is bought as young plants for pots, where it is sown direct in beds."""
    options = crop.options
    tray = np.where((options.tray == -1) & (options.group == 1), -2, options.tray)
    return replace(crop, options=replace(options, tray=tray))


def recount(season, batches):
    """Check every limit day by day; return missing, wasted and felt."""
    for spot, place in enumerate(season.spots):
        here = [b for b in batches if b.spot == spot]
        for day in range(season.days):
            taken = [0] * place.size
            for b in here:
                options = season.crops[b.crop].options
                if options.into[b.option] <= day < options.clear[b.option]:
                    for unit in range(place.size):
                        taken[unit] += b.mask >> unit & 1
            assert max(taken) <= 1, (place.name, day)
        for b in here:
            units = [unit for unit in range(b.mask.bit_length()) if b.mask >> unit & 1]
            assert units[-1] < place.size
            assert len(units) == season.crops[b.crop].room[place.group][b.plants]
            assert season.crops[b.crop].options.group[b.option] == place.group
            assert not any(place.closed >> unit & 1 for unit in units)
            if place.whole:
                assert units == list(range(units[0], units[-1] + 1))
    for tray, shelf in enumerate(season.trays):
        for day in range(season.days):
            cells = sum(
                b.cells
                for b in batches
                if b.tray == tray
                and season.crops[b.crop].options.sow[b.option] <= day
                and day < season.crops[b.crop].options.into[b.option]
            )
            assert cells <= shelf.cells
    recount_rotation(season, batches)
    recount_hours(season, batches)
    return recount_harvest(season, batches)


def count_sowings(season, batches):
    """Return on how many days crops are sown or bought, each way apart, the fixed left out."""
    days = {}
    for b in batches:
        options = season.crops[b.crop].options
        way = "in trays" if b.tray >= 0 else int(options.tray[b.option])
        day = (b.crop, int(options.sow[b.option]), way)
        days.setdefault(day, []).append(b.fixed)
    return sum(not any(fixed) for fixed in days.values())


def recount_rotation(season, batches):
    for spot, place in enumerate(season.spots):
        if not place.whole:
            continue
        for family in range(3):
            stands = []
            for b in batches:
                case = season.crops[b.crop]
                if b.spot == spot and case.family == family:
                    into, clear = case.options.into[b.option], case.options.clear[b.option]
                    if case.gap_days > 0:  # a crop that need not wait has no part in the turns
                        stands.append((int(into), int(clear), case.gap_days))
                    for stay in season.stays if not b.fixed else ():
                        if stay.spot == spot and stay.family == family:
                            assert into > stay.until + case.gap_days
            stands.sort()
            while stands:  # one turn after another
                turn = [s for s in stands if s[0] < stands[0][0] + season.turn_days]
                stands = [s for s in stands if s not in turn]
                if stands:
                    assert stands[0][0] >= max(s[1] for s in turn) + stands[0][2]


def recount_hours(season, batches):
    """Check the minutes of each week: two to begin a job of a batch, and those of each plant."""
    if season.week_minutes is None:
        return
    weeks = {}
    for b in batches:
        case, n = season.crops[b.crop], b.plants
        sow, into, clear = (int(case.options.rows[b.option][i]) for i in range(3))
        jobs = [(clear, 0.6 * n)]
        if case.options.tray[b.option] == -2:  # bought: nothing is sown
            jobs += [(into, 0.8 * n)]
        elif b.tray < 0:
            jobs += [(sow, 0.3 * n)]
        else:
            jobs += [(sow, 0.5 * 1.1 * n), (into, 0.8 * n)]  # 1.1 cells a plant
            if case.minutes.pot_on and into - sow >= 14:
                jobs += [(sow + (into - sow) // 2, 1.0 * n)]
        for day, taken in jobs:
            week = (day + season.week_begun) // 7
            weeks.setdefault(week, [0.0, 0.0])
            weeks[week][0] += 2.0 + taken
            weeks[week][1] += (2.0 + taken) * b.fixed
    # Only the gardener's own sowings may take longer.
    assert all(taken <= max(season.week_minutes, own) + 1e-6 for taken, own in weeks.values())


def felt_of(case, missing):
    """Return how hard a crop's lack is felt, summed in slices of a ten-thousandth of its want."""
    options, periods = case.options, case.periods
    able = [
        any((options.lot_ready <= periods.end[p]) & (options.lot_expiry >= periods.start[p]))
        for p in range(len(periods))
    ]
    worth = periods.need * periods.weight
    whole, hopeless = float(worth[able].sum()), float(worth[np.logical_not(able)].sum())
    if not whole:
        return missing
    share = (np.arange(10_000) + 0.5) / 10_000
    counts = np.select([share < 0.25, share < 0.5, share < 0.75], [1, 2, 4], 16)
    lack = missing - hopeless
    return hopeless + float((counts * (share * whole < lack)).mean()) * whole


def recount_harvest(season, batches):
    missing = wasted = felt = 0.0
    for number, case in enumerate(season.crops):
        lots = [
            (options.lot_ready[n], options.lot_expiry[n], options.lot_share[n] * b.plants)
            for b in batches
            if b.crop == number
            for options in (case.options,)
            for n in np.nonzero(options.lot_option == b.option)[0]
        ]
        periods = case.periods
        pairs = [
            (p, i)
            for p in range(len(periods))
            for i, (ready, expiry, _) in enumerate(lots)
            if ready <= periods.end[p] and expiry >= periods.start[p]
        ]
        weight, need = periods.weight, periods.need
        eaten = 0.0
        if pairs:
            limits = np.zeros((len(periods) + len(lots), len(pairs)))
            for column, (p, i) in enumerate(pairs):
                limits[p, column] = limits[len(periods) + i, column] = 1
            bounds = np.concatenate([need, [lot[2] for lot in lots]])
            cost = [-weight[p] for p, _ in pairs]
            eaten = linprog(cost, A_ub=limits, b_ub=bounds, method="highs").x.sum()
        worth = (need * weight).sum() / need.sum() if len(need) else 0.0
        missing += (need * weight).sum() - eaten * worth
        felt += felt_of(case, (need * weight).sum() - eaten * worth)
        wasted += (sum(lot[2] for lot in lots) - eaten) * worth
    return missing, wasted, felt


@pytest.mark.parametrize("block", range(8))
def test_random_seasons_recounted(block):
    for seed in range(25 * block, 25 * (block + 1)):
        season = random_season(seed)
        relaxation = relax(season)
        search = Search(season, relaxation)
        for number, fixed in enumerate(season.fixed):
            options = season.crops[fixed.crop].options
            (option,) = np.nonzero(options.fixed == number)[0][:1]
            spots = None if fixed.spot is None else [fixed.spot]
            batch = search.standing.place(fixed.crop, int(option), fixed.plants, spots)
            assert batch is not None
            search.standing.add(batch)
        search.standing.log.clear()
        search.run(60)
        batches = list(search.standing.batches.values())
        missing, wasted, felt = recount(season, batches)
        score = search.standing.score()
        assert score.sowings == count_sowings(season, batches)
        assert score.batches == sum(not b.fixed for b in batches)
        apart = all(case.periods.apart for case in season.crops)
        # Overlapping wants are handed out near the best while searching, exactly in the plan:
        # then the search may take a little more for missing than is, never less.
        over = 1e-6 if apart else 0.1
        assert -1e-6 <= score.missing - missing <= over, seed
        assert -1e-6 <= score.wasted - wasted <= over, seed
        if apart:
            assert score.felt == pytest.approx(felt, rel=0.003, abs=0.02), seed
        assert relaxation.bound <= missing + 1e-6, seed


def test_rule_of_thumb_recounted():
    for seed in range(300, 320):
        season = random_season(seed)
        if season.fixed:
            continue
        standing = Standing(season)
        sow_at_intervals(standing)
        missing, *_ = recount(season, list(standing.batches.values()))
        assert relax(season).bound <= missing + 1e-6


def test_same_rounds_same_season():
    season = random_season(5)
    runs = []
    for _ in range(2):
        search = Search(season, relax(season))
        search.run(80)
        runs.append(sorted(search.standing.batches.values(), key=repr))
    assert runs[0] == runs[1]


def test_more_rounds_never_a_worse_start():
    """What is kept is the best seen, so no run ends behind its own filling-in."""
    for seed in (11, 23, 42):
        season = random_season(seed)
        few, many = Search(season, relax(season)), Search(season, relax(season))
        few.run(0)
        many.run(300)
        assert not few.standing.score().better(many.standing.score())


@pytest.mark.parametrize("block", range(2))
def test_more_effort_never_a_worse_season(block, monkeypatch):
    """Tidied up and recounted: missing, then wasted, then sowings.

    Of little work each, so that there is something to be better by.
    """
    monkeypatch.setattr(sought, "rounds_for", lambda *_: 10)
    better = 0
    for seed in range(2000 + 16 * block, 2016 + 16 * block):
        season = random_season(seed)
        if season.fixed:
            continue
        relaxation, found = relax(season), []
        for effort in (1.0, 2.0, 3.0, 5.0):
            search = Search(season, relaxation)
            sought.sought(search, effort, Watch())
            batches = list(search.standing.batches.values())
            missing, wasted, _ = recount(season, batches)
            found.append((missing, wasted, count_sowings(season, batches)))
        for less, more in pairwise(found):
            near = [abs(one - other) < 2e-6 for one, other in zip(less, more, strict=True)]
            first = next((n for n in range(3) if not near[n]), None)
            assert first is None or more[first] < less[first], (seed, less, more)
            better += first is not None
    assert better > 2


def test_fewer_sowings_cost_next_to_nothing():
    fewer = 0
    for seed in range(400, 425):
        season = random_season(seed)
        if season.fixed:
            continue
        search = Search(season, relax(season))
        search.fill([n for n, c in enumerate(season.crops) if len(c.periods)], 0.5)
        before = search.standing.score()
        gather(search.standing)
        after = search.standing.score()
        recount(season, list(search.standing.batches.values()))
        assert after.sowings <= before.sowings
        assert after.felt <= before.felt + 0.001 * season.wanted + 1e-9  # a tenth of a point
        fewer += before.sowings - after.sowings
    assert fewer > 0


def test_tidied_seasons_recounted():
    """Where everything stands may change; what stands, and all that is counted, may not."""
    pairs = strips = beside = 0
    for seed in range(500, 540):
        season = random_season(seed)
        if season.fixed:
            continue
        search = Search(season, relax(season))
        search.run(40)
        standing = search.standing
        before, batches = standing.score(), list(standing.batches.values())
        counted = recount(season, batches)
        tidy(standing)
        after, tidied = standing.score(), list(standing.batches.values())
        assert recount(season, tidied) == pytest.approx(counted, abs=1e-9), seed
        assert after.sowings == before.sowings == count_sowings(season, tidied)
        assert sown(batches) == sown(tidied)
        pairs += families_in_beds(season, batches) - families_in_beds(season, tidied)
        strips += len(batches) - len(tidied)
        assert len(tidied) <= len(batches)
        beside += side_by_side(season, tidied)
    assert pairs > 0 and strips > 0 and beside <= 1


def side_by_side(season, batches):
    """Return how many strips of a sowing adjoin another that they could be one with."""
    found = 0
    for n, one in enumerate(batches):
        for two in batches[n + 1 :]:
            alike = (one.crop, one.option, one.spot) == (two.crop, two.option, two.spot)
            if not alike or one.fixed or two.fixed or not season.spots[one.spot].whole:
                continue
            units = bin(one.mask | two.mask)[2:].strip("0")
            most = len(season.crops[one.crop].room[season.spots[one.spot].group]) - 1
            found += "0" not in units and one.plants + two.plants <= most
    return found


def test_later_sowings_recounted():
    """Nothing becomes worse, what is settled stays as it is, and crops stand shorter."""
    shorter = 0
    for seed in range(600, 640):
        season = random_season(seed)
        search = Search(season, relax(season))
        standing = search.standing
        for number, fixed in enumerate(season.fixed):
            (option,) = np.nonzero(season.crops[fixed.crop].options.fixed == number)[0][:1]
            spots = None if fixed.spot is None else [fixed.spot]
            standing.add(standing.place(fixed.crop, int(option), fixed.plants, spots))
        search.fill([n for n, c in enumerate(season.crops) if len(c.periods)], 0.5)
        trim(standing)
        before, batches = standing.score(), list(standing.batches.values())
        later(standing)
        after, moved = standing.score(), list(standing.batches.values())
        recount(season, moved)
        assert after.sowings == count_sowings(season, moved)
        assert after.felt <= before.felt + 1e-7 and after.idle <= before.idle + 1e-7, seed
        assert after.sowings <= before.sowings and after.batches <= before.batches
        assert [b for b in moved if b.fixed] == [b for b in batches if b.fixed]
        assert days_taken(season, moved) <= days_taken(season, batches), seed
        shorter += days_taken(season, moved) < days_taken(season, batches)
    assert shorter > 10


def days_taken(season, batches):
    """Return for how many days plants stand, added up."""
    return sum(
        int(options.clear[b.option] - options.into[b.option]) * b.plants
        for b in batches
        for options in (season.crops[b.crop].options,)
    )


def sown(batches):
    """Return how many plants there are of each crop and way of growing it."""
    plants = {}
    for b in batches:
        plants[b.crop, b.option] = plants.get((b.crop, b.option), 0) + b.plants
    return plants


def families_in_beds(season, batches):
    """Return in how many beds the families stand, counted family by family."""
    return len(
        {(b.spot, season.crops[b.crop].family) for b in batches if season.spots[b.spot].whole}
    )


@pytest.mark.parametrize("copied", [copy.copy, copy.deepcopy, pickle.dumps])
def test_a_season_under_construction_is_not_copied_but_built_anew(copied):
    """Parts of it look at the same arrays: a copy's would look at other ones, and find room taken.

    Built anew of its batches it has the same score, and what goes from one stays in the other.
    """
    instance = random_season(3)
    standing = Standing(instance)
    sow_at_intervals(standing)
    assert standing.batches
    with pytest.raises(TypeError, match="standing_of"):
        copied(standing)
    again = sought.standing_of(instance, standing.batches)
    assert again.score() == standing.score() and again.batches is not standing.batches
    before = again.free.copy()
    for number in [n for n, batch in standing.batches.items() if not batch.fixed]:
        standing.remove(number)
    assert (again.free == before).all() and again.score() != standing.score()
