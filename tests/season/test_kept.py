"""What is lifted and kept: fresh is better, unless the crop is grown for the store."""

import numpy as np
import pytest

from sowplan.season.bound.model import relax
from sowplan.season.choices.instance import CropCase, Instance, Options, Periods, Spot
from sowplan.season.search.search import Search
from sowplan.season.search.service import Orders, hand_out

WEEKS = np.arange(0, 56, 7)


def season(stored=False, sowings=range(-40, 21, 5), overlap=0):
    """Return eight weeks that want 10 of a crop each, on a bed with room for twice that.

    It is fit 40 days after its sowing, stands for 7 days and keeps for 60 more.
    """
    periods = Periods(
        WEEKS, WEEKS + 6 + overlap, np.full(8, 10.0), np.full(8, 0.1), np.zeros(8, np.int64)
    )
    sow = np.array(list(sowings), np.int64)
    rows = np.array([(s, s, s + 47, 0, -1, s, -1) for s in sow]).T
    lots = np.array([(n, s + 40, s + 46, s + 106) for n, s in enumerate(sow)]).T
    options = Options(*rows, *lots, np.ones(len(sow)))
    room = {0: np.arange(161)}
    case = CropCase("carrot", 0, 0, 1.0, periods, options, room, stored=stored)
    return Instance(70, (Spot("Bed", 0, 160, True),), (), (case,))


@pytest.mark.parametrize("overlap", [0, 1])
def test_weeks_beyond_freshness_are_counted(overlap):
    """By hand: 80 lifted from day 0 to 6 are fresh to day 20, two weeks after.

    The weeks from days 0, 7 and 14 eat fresh; those from 21, 28, 35, 42 and 49 eat 1, 8, 15, 22
    and 29 days late: 75 days, ten plants being one want-week, so 75 / 7 want-weeks times weeks.
    """
    case = season(sowings=[-40], overlap=overlap).crops[0]
    orders = Orders(case)
    orders.bring(1, 0, 80)
    missing, used, _, kept = orders.serve()
    assert (missing, used) == (0.0, 80.0)
    assert kept == pytest.approx(75 / 7)
    orders.take_back(1, 0, 80)
    assert orders.serve()[3] == 0.0


def test_what_is_grown_to_be_stored_is_as_good_late():
    orders = Orders(season(stored=True, sowings=[-40]).crops[0])
    orders.bring(1, 0, 80)
    assert orders.serve()[3] == 0.0


def sown(instance):
    search = Search(instance, relax(instance))
    search.run(2000)
    assert search.standing.score().missing == pytest.approx(0.0, abs=0.02)
    rows = instance.crops[0].options.rows
    return search.standing.score(), {rows[b.option][0] for b in search.standing.batches.values()}


def test_roots_are_sown_again_rather_than_kept_for_weeks():
    """One sowing would do for all eight weeks; its last would be kept for a month and more."""
    score, days = sown(season())
    assert len(days) > 1
    assert score.kept < 75 / 7 / 2


def test_one_sowing_does_for_the_store():
    _, days = sown(season(stored=True))
    assert len(days) == 1


def test_wants_that_overlap_are_handed_the_best_and_a_lot_for_none_of_them_is_left():
    """By hand: six of day 3, four wanted in either of two weeks that share days 3 to 6.

    The second want counts double and gets its four, the first the two left over; a lot of day 50
    is fit in neither.
    """
    wants = Periods(
        np.array([0, 3]), np.array([6, 9]), np.array([4.0, 4.0]), np.array([1.0, 2.0]),
        np.array([0, 1]),
    )  # fmt: skip
    given = hand_out(wants, [(3, 4, 6.0), (50, 60, 5.0)])
    assert {(want, lot): much for want, lot, much in given} == {(0, 0): 2.0, (1, 0): 4.0}
    assert hand_out(wants, [(50, 60, 5.0)]) == []
