"""The rule of thumb on small seasons worked out by hand: what is sown, when, and how many."""

from dataclasses import replace

import numpy as np
import pytest

from sowplan.season.choices.instance import (
    Batch,
    CropCase,
    FixedBatch,
    Instance,
    Options,
    Periods,
    Spot,
)
from sowplan.season.search.interval import sow_at_intervals, walk_through
from sowplan.season.search.standing import Standing

BED = Spot("Bed", 0, 100, True)


def wanted(first, every, many, need, priority=1.0):
    """Return so many periods of ``every`` days in which ``need`` plants' yield is wanted."""
    start = first + every * np.arange(many)
    weight = np.full(many, priority / need)
    return Periods(start, start + every - 1, np.full(many, need), weight, np.zeros(many, int))


def crop(periods, cuts, *, grows=28, fit=7, keeps=0, least=1, cleared_after=None, units=1):
    """Return a crop sown direct each week, every cut a fortnight after the last and alike.

    It may be cleared after ``cleared_after`` cuts, each of these numbers a way to grow it; and is
    fit for ``fit`` days in the bed and ``keeps`` on the shelf. A plant takes so many ``units``.
    """
    rows, lots = [], []
    for sow in range(0, int(periods.start.max()), 7):
        for many in cleared_after or (cuts,):
            ready = [sow + grows + 14 * cut for cut in range(many)]
            lots += [(len(rows), a, a + fit - 1, a + fit - 1 + keeps) for a in ready]
            rows.append((sow, sow, ready[-1] + fit, 0, -1, sow, -1))
    options = Options(*np.array(rows).T, *np.array(lots).T, np.full(len(lots), 1 / cuts))
    room = {0: units * np.arange(100 // units + 1)}
    return CropCase("crop", 0, 0, 1.0, periods, options, room, fewest=np.full(len(rows), least))


def season(*crops, spots=(BED,), fixed=()):
    return Standing(Instance(200, spots, (), crops, fixed=fixed))


def sown(standing, number=0):
    """Return the (sowing day, plants) of each batch of a crop, the earliest first."""
    sow = standing.instance.crops[number].options.sow
    batches = standing.of_crop[number].values()
    return sorted((int(sow[batch.option]), batch.plants) for batch in batches)


@pytest.mark.parametrize("interval", [7, 14])
def test_three_cuts_are_all_counted(interval):
    """Four plants' yield a fortnight, six fortnights from day 28; three cuts, a fortnight apart.

    By hand. A cut is a third of a plant's yield, so for four in the first fortnight 12 are sown,
    28 days earlier: on day 0. Their cuts of days 28, 42 and 56 bring four each: the first three
    fortnights have what they want and nothing is sown for the second and third. The fourth begins
    on day 70: 12 again on day 42, for days 70, 84 and 98. Twice 12 plants are 24, and 6 times 4 are
    wanted: nothing is missing and nothing over.
    """
    standing = season(crop(wanted(28, 14, 6, 4.0), 3))
    walk_through(standing, interval)
    assert sown(standing) == [(0, 12), (42, 12)]
    score = standing.score()
    assert (score.missing, score.wasted) == (pytest.approx(0), pytest.approx(0))


def test_a_sowing_mostly_for_nothing_is_made_smaller():
    """Six plants' yield in a first fortnight, then one in each of two more; three cuts.

    By hand. For six from the first cut 18 are needed; of their yield, 8 of 18 would be eaten, less
    than half. No more are sown then than lack in all: 8. Of these 8/3 + 1 + 1 are eaten.
    """
    need = np.array([6.0, 1.0, 1.0])
    periods = replace(wanted(28, 14, 3, 1.0), need=need, weight=1 / need)
    standing = season(crop(periods, 3))
    walk_through(standing, 14)
    assert sown(standing) == [(0, 8)]
    assert standing.lack(0) == pytest.approx([6 - 8 / 3, 0, 0])


def test_what_would_still_be_mostly_for_nothing_is_not_sown():
    """The first example, but with a seventh fortnight, from day 112.

    By hand. Of a third sowing only the first of three cuts is wanted: a third, however few.
    """
    standing = season(crop(wanted(28, 14, 7, 4.0), 3))
    walk_through(standing, 14)
    assert sown(standing) == [(0, 12), (42, 12)]
    assert standing.lack(0) == pytest.approx([0, 0, 0, 0, 0, 0, 4])


def test_a_batch_stands_while_it_is_eaten_from():
    """The same seven fortnights, where the crop may also be cleared after one cut or two.

    By hand. The first two sowings stay for all three cuts. For the last fortnight 12 are sown and
    cleared after the cut of day 112: fit for 7 days, the bed is free on day 119.
    """
    standing = season(crop(wanted(28, 14, 7, 4.0), 3, cleared_after=(1, 2, 3)))
    walk_through(standing, 14)
    assert sown(standing) == [(0, 12), (42, 12), (84, 12)]
    clear = standing.instance.crops[0].options.clear
    assert sorted(int(clear[b.option]) for b in standing.of_crop[0].values()) == [63, 105, 119]
    assert standing.score().missing == pytest.approx(0)
    assert standing.score().wasted == pytest.approx(0)


def test_a_least_batch_that_keeps_is_eaten_up_before_the_next():
    """One a week for nine weeks from day 28, no fewer than three sown at once; one harvest.

    By hand. Fit for 7 days and good for 14 more, three serve three weeks: with a turn every week
    they are sown on days 0, 21 and 42 all the same. Good for no more than a week, two of three
    would be for nothing, and none is sown.
    """
    standing = season(crop(wanted(28, 7, 9, 1.0), 1, keeps=14, least=3))
    walk_through(standing, 7)
    assert sown(standing) == [(0, 3), (21, 3), (42, 3)]
    assert standing.score().missing == pytest.approx(0)
    assert standing.score().wasted == pytest.approx(0)
    short = season(crop(wanted(28, 7, 9, 1.0), 1, least=3))
    walk_through(short, 7)
    assert sown(short) == []


def test_what_the_gardener_has_settled_is_counted():
    """Twelve are settled for day 0: as by hand above, the next are due on day 42."""
    plain = crop(wanted(28, 14, 6, 4.0), 3)
    settled = np.where(plain.options.sow == 0, 0, -1)
    case = replace(plain, options=replace(plain.options, fixed=settled))
    standing = season(case, fixed=(FixedBatch(0, 12, 0),))
    standing.add(Batch(0, 0, 12, 0, (1 << 12) - 1, -1, 0, fixed=True))
    walk_through(standing, 14)
    assert sown(standing) == [(0, 12), (42, 12)]


def test_who_is_sown_first_has_the_room():
    """Two crops for one bed that holds the one or the other, both wanted from day 56 on.

    By hand. The first of the file grows 28 days and is sown on day 28, the second 56 and is sown on
    day 0: when it is the first one's turn, the bed is taken. Of two sown on one day the one with
    the higher priority comes first.
    """
    quick = crop(wanted(56, 7, 1, 100.0), 1)
    slow = crop(wanted(56, 7, 1, 100.0), 1, grows=56)
    standing = season(quick, slow)
    walk_through(standing, 7)
    assert (sown(standing), sown(standing, 1)) == ([], [(0, 100)])
    dear = crop(wanted(56, 7, 1, 100.0, priority=2.0), 1)
    standing = season(quick, dear)
    walk_through(standing, 7)
    assert (sown(standing), sown(standing, 1)) == ([], [(28, 100)])


def test_where_all_has_no_room_as_much_is_sown_as_has():
    """Thirty wanted, and a plant takes 4 of a bed's 100 units: 25 stand, and 5 are missing."""
    standing = season(crop(wanted(28, 7, 1, 30.0), 1, units=4))
    walk_through(standing, 7)
    assert sown(standing) == [(0, 25)]
    assert standing.lack(0) == pytest.approx([5.0])


def test_the_interval_is_the_one_with_least_missing():
    """Three a week for six weeks from day 28, of which a harvest serves just the week it is in.

    By hand. A turn a week finds everything its week; a turn every two or three weeks sows for the
    first week of it alone, so a half or two thirds are missing.
    """
    standing = season(crop(wanted(28, 7, 6, 3.0), 1))
    for interval, share in ((7, 0.0), (14, 1 / 2), (21, 2 / 3)):
        walk_through(standing, interval)
        assert standing.score().missing / 6 == pytest.approx(share)
        standing.undo(0)
    assert sow_at_intervals(standing) == 7
    assert sown(standing) == [(7 * week, 3) for week in range(6)]
