"""The bound reckoned anew, day by day, by a program that shares nothing with that of the search."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import linprog

from instances import wider_season
from sowplan.season.bound.model import relax
from sowplan.season.choices.instance import Minutes


def serves(case, lot, period):
    """Return whether a lot may serve a period of its crop."""
    options, periods = case.options, case.periods
    return (
        options.lot_ready[lot] <= periods.end[period]
        and options.lot_expiry[lot] >= periods.start[period]
    )


def useful_of(case, option):
    """Return how many plants of an option find eaters at most."""
    each = []
    for lot in np.nonzero(case.options.lot_option == option)[0]:
        asked = sum(n for p, n in enumerate(case.periods.need) if serves(case, lot, p))
        each.append(asked / case.options.lot_share[lot])
    return max(each, default=0.0)


def least_a_plant(case, option, takes, most=math.inf):
    """Return the least that ``takes(plants)`` comes to for each plant that finds an eater."""
    useful, least = useful_of(case, option), case.least[option]
    sizes = range(least, int(min(max(least, math.ceil(useful)), most)) + 1)
    return min(takes(n) / min(n, useful) for n in sizes)


def own_bound(season):
    """Return the least missing when beds of a kind are one and plants may be divided.

    Written down anew, day by day, of plants that find an eater; nothing is shared with the
    program of the search.
    """
    plants, handed, lacks = {}, {}, {}
    for c, case in enumerate(season.crops):
        plants |= {(c, o): useful_of(case, o) for o in range(len(case.options))}
        lacks |= {(c, p): need for p, need in enumerate(case.periods.need)}
        handed |= {
            (c, lot, p): None
            for lot in range(len(case.options.lot_option))
            for p in range(len(case.periods))
            if serves(case, lot, p)
        }
    number = {key: n for n, key in enumerate([*plants, *handed])}
    lack_at = {key: len(number) + n for n, key in enumerate(lacks)}
    many = len(number) + len(lack_at)
    rows, limits = [], []

    def limit(entries, most):
        row = np.zeros(many)
        for column, value in entries:
            row[column] += value
        rows.append(row)
        limits.append(most)

    able = [key for key, useful in plants.items() if useful > 0]
    for c, case in enumerate(season.crops):
        for p, need in enumerate(case.periods.need):
            mine = [(number[key], -1.0) for key in handed if (key[0], key[2]) == (c, p)]
            limit([*mine, (lack_at[c, p], -1.0)], -need)
        for lot, share in enumerate(case.options.lot_share):
            mine = [(number[key], 1.0) for key in handed if key[:2] == (c, lot)]
            limit([*mine, (number[c, int(case.options.lot_option[lot])], -share)], 0.0)
    ground, cells = {}, {}
    for c, o in able:
        case = season.crops[c]
        room = case.room[0]
        ground[c, o] = least_a_plant(case, o, lambda n, room=room: room[n], len(room) - 1)
        each = case.cells_per_plant
        cells[c, o] = least_a_plant(case, o, lambda n, e=each: max(n, math.floor(n * e + 0.5)))
    for day in range(season.days):
        there = [
            key
            for key in able
            for options in (season.crops[key[0]].options,)
            if options.into[key[1]] <= day < options.clear[key[1]]
        ]
        taken = {key: (number[key], ground[key]) for key in there}
        limit(taken.values(), sum(spot.size for spot in season.spots))
        for family, gap in {(case.family, case.gap_days) for case in season.crops}:
            shut = {s.spot for s in season.stays if s.family == family and day <= s.until + gap}
            kin = [k for k in there if season.crops[k[0]].family == family]
            kin = [k for k in kin if season.crops[k[0]].gap_days >= gap]
            rest = sum(spot.size for n, spot in enumerate(season.spots) if n not in shut)
            limit([taken[key] for key in kin], rest)
        seedlings = [
            (number[key], cells[key])
            for key in able
            for options in (season.crops[key[0]].options,)
            if options.tray[key[1]] >= 0 and options.sow[key[1]] <= day < options.into[key[1]]
        ]
        limit(seedlings, sum(tray.cells for tray in season.trays))
    if season.week_minutes is not None:
        for entries in weekly_minutes(season, able, number).values():
            limit(entries, season.week_minutes)
    cost = np.zeros(many)
    for (c, p), column in lack_at.items():
        cost[column] = season.crops[c].periods.weight[p]
    most = [*plants.values(), *[None] * len(handed), *lacks.values()]
    found = linprog(cost, np.array(rows), limits, bounds=[(0, m) for m in most], method="highs")
    return found.fun


def weekly_minutes(season, able, number):
    """Return (column, least minutes a plant that finds an eater) of each job, by week."""
    weeks = {}
    for c, o in able:
        case, minutes = season.crops[c], season.crops[c].minutes
        sow, into, clear = (
            int(v[o]) for v in (case.options.sow, case.options.into, case.options.clear)
        )
        jobs = [(clear, minutes.clear)]
        if case.options.tray[o] < 0:
            jobs.append((sow, minutes.sow))
        else:
            jobs += [(sow, minutes.cell * case.cells_per_plant), (into, minutes.plant_out)]
        useful, held = useful_of(case, o), len(case.room[0]) - 1
        for day, each in jobs:
            # Not less than any batch's: its plants beyond use at least, its beginning at most.
            least = each * max(1.0, case.least[o] / useful) + minutes.begin / min(held, useful)
            week = (day + season.week_begun) // 7
            weeks.setdefault(week, []).append((number[c, o], least))
    return weeks


@pytest.mark.parametrize("hours", [None, 30.0])
def test_the_bound_reckoned_anew(hours):
    """As told, to what the solver is exact to; a bound that were too low would say nothing."""
    above = 0
    for seed in range(100, 120):
        season = wider_season(seed)
        if hours is not None:
            minutes = Minutes(3.0, 0.5, 0.4, 0.0, 0.8, 0.6)
            crops = tuple(replace(case, minutes=minutes) for case in season.crops)
            season = replace(season, crops=crops, week_minutes=hours, week_begun=seed % 7)
        bound = own_bound(season)
        assert relax(season).bound == pytest.approx(bound, abs=1e-4), seed
        above += bound > 1e-3
    assert above > 10
