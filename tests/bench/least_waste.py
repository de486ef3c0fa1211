"""The least waste that any season can have with as little missing, by a linear program a crop.

Picks come one after another whether they are wanted or not, so what misses nothing may have to
waste something. The program has all the ground it likes and parts of plants; what it cannot do, no
plan can.
"""

from __future__ import annotations

import numpy as np
from scipy.optimize import linprog
from scipy.sparse import coo_matrix, vstack

from sowplan.season.choices.instance import CropCase, Instance
from sowplan.season.search.standing import Standing


def least_waste(instance: Instance, standing: Standing) -> float:
    """Return the least waste [want-weeks] of seasons that miss no more of any crop than one."""
    return sum(
        _of_crop(case, standing.missing(crop))
        for crop, case in enumerate(instance.crops)
        if standing.wasted(crop) > 1e-6
    )


def _of_crop(case: CropCase, missing: float) -> float:
    """Return what of one crop is grown for nothing at the least.

    The unknowns are the plants of each option, what each lot gives to each period, and what then
    is missing in each.
    """
    options, periods = case.options, case.periods
    lots, many, spans = len(options.lot_share), len(options), len(periods)
    lot, period = np.nonzero(
        (options.lot_ready[:, None] <= periods.end) & (options.lot_expiry[:, None] >= periods.start)
    )
    gives = np.arange(len(lot))
    ones = np.ones(len(lot))
    share = options.lot_share
    size = many + len(lot) + spans
    # A lot gives no more than its plants bring.
    brought = coo_matrix((-share, (np.arange(lots), options.lot_option)), (lots, size))
    given = coo_matrix((ones, (lot, many + gives)), (lots, size))
    allowed = np.zeros((1, size))
    allowed[0, many + len(lot) :] = periods.weight
    # What is given and what is missing are all that is wanted.
    met = coo_matrix((ones, (period, many + gives)), (spans, size)) + coo_matrix(
        (np.ones(spans), (np.arange(spans), many + len(lot) + np.arange(spans))), (spans, size)
    )
    cost = np.zeros(size)
    np.add.at(cost, options.lot_option, share)
    cost[many : many + len(lot)] = -1.0
    found = linprog(
        cost,
        vstack([brought + given, coo_matrix(allowed)]),
        np.append(np.zeros(lots), missing + 1e-9),
        met,
        periods.need,
        method="highs",
    )
    return max(0.0, found.fun) * case.worth
