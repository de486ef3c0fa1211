"""What is left of a planting by the diary: reckoned by hand, head for head and cut for cut.

No source: each case is counted out beside it.
"""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from midseason import DAY, again, at_mid_season, recount, served
from sowplan.export.changes import sections
from sowplan.records.diary import Entry
from sowplan.season.plan import PlanLot, Planting
from sowplan.season.revise.changes import changes_between
from sowplan.season.revise.happened import Happened
from sowplan.season.revise.left import Giving, Handed, after_counts, after_losses


def june(day):
    return date(2027, 6, day)


def lots(*rows):
    """Return lots from (first day, last day, amount), the days of June."""
    return tuple(PlanLot(june(first), june(last), float(amount)) for first, last, amount in rows)


def planting(*rows, plants=12):
    """Return a planting of so many plants in a bed, with its lots."""
    mine = lots(*rows)
    return Planting(
        id="x-1", crop="x", place="Bed", kind="bed", plants=plants, sow=date(2027, 4, 1),
        emergence=date(2027, 4, 8), planting_out=None, harvest_start=mine[0].ready,
        harvest_start_early=mine[0].ready, harvest_start_late=mine[0].ready,
        harvest_end=mine[-1].last, cleared=mine[-1].last + DAY, tray=None, cells=0, seeds=12,
        fixed=False, strip_start_m=0.0, strip_length_m=1.0, lots=mine,
    )  # fmt: skip


def weekly(amount, once):
    """Return that so much is wanted in each of the weeks from the 1st, the 8th and the 15th."""
    return Giving(tuple(Handed(june(d), june(d + 6), float(amount)) for d in (1, 8, 15)), once)


def same(p, left):
    """Return a planting unaltered: of what stands no ground changes."""
    return p


HEADS = weekly(3, True)


def counted(*rows):
    return Happened(counted=tuple((june(day), float(amount)) for day, amount in rows))


def lost(*rows):
    return Happened(lost=tuple((june(day), many) for day, many in rows))


def after_loss(p, told, giving):
    return after_losses(p, told, june(28), same, giving)


def test_of_twelve_heads_five_were_cut_and_seven_are_to_come():
    p = after_counts(planting((1, 20, 12)), counted((3, 5)), HEADS)
    assert p.lots == lots((3, 3, 5), (4, 20, 7))


def test_a_week_of_which_nothing_is_told_went_as_planned():
    """3 in the first week by the plan, 1 counted in the second, so 8 of 12 are left."""
    p = after_counts(planting((1, 20, 12)), counted((10, 1)), HEADS)
    assert p.lots == lots((1, 9, 3), (10, 10, 1), (11, 20, 8))


def test_a_count_as_planned_changes_nothing():
    whole = planting((1, 20, 12))
    assert after_counts(whole, counted((3, 3)), HEADS) is whole
    assert after_counts(whole, counted((3, 1), (6, 2)), HEADS) is whole


def test_a_count_is_reckoned_with_once():
    told = counted((3, 5), (12, 5))
    once = after_counts(planting((1, 20, 12)), told, HEADS)
    assert once.lots == lots((3, 3, 5), (12, 12, 5), (13, 20, 2))
    assert after_counts(once, told, HEADS) is once


def test_more_than_was_planned_in_all_leaves_nothing():
    p = after_counts(planting((1, 20, 12)), counted((3, 15)), HEADS)
    assert p.lots == lots((3, 3, 15))


def test_before_its_time_it_is_of_what_comes_first():
    p = after_counts(planting((8, 20, 12)), counted((5, 2)), HEADS)
    assert p.lots == lots((5, 5, 2), (8, 20, 10)) and p.harvest_start == june(5)


def test_of_two_cuts_only_the_one_on_its_day_is_less():
    p = after_counts(planting((1, 9, 6), (12, 20, 6)), counted((13, 2)), weekly(4, False))
    assert p.lots == lots((1, 9, 6), (13, 13, 2), (14, 20, 4))


def test_after_five_heads_were_cut_three_lost_leave_four():
    p = after_counts(planting((1, 20, 12)), counted((3, 5)), HEADS)
    p = after_loss(p, lost((6, 3)), HEADS)
    assert p.lots == lots((3, 3, 5), (4, 20, 4)) and (p.plants, p.lost) == (9, 3)


def test_losses_after_a_cut_take_nothing_from_that_cut():
    """Half of the plants go on the 15th: 6 of the first cut were had, and 2 of the second."""
    giving = weekly(4, False)
    p = after_loss(planting((1, 10, 6), (11, 20, 6), plants=4), lost((15, 2)), giving)
    assert p.lots == lots((1, 10, 6), (11, 20, 2 + 4 / 2))


def test_two_losses_each_take_from_what_was_left_on_their_day():
    """Two cuts of 8: half the plants go during the first, half of the others after it."""
    giving = Giving((), False)
    p = after_loss(planting((1, 9, 8), (12, 20, 8), plants=4), lost((5, 2), (11, 1)), giving)
    assert p.lots == lots((1, 9, 4), (12, 20, 2)) and (p.plants, p.lost) == (1, 3)
    assert after_loss(p, lost((5, 2), (11, 1)), giving) == p


def test_lost_whole_only_what_was_had_was_had():
    """3 in the first week and 3 in the second, begun on the day it was lost: those are not had."""
    p = after_loss(planting((1, 20, 12)), lost((8, 12)), HEADS)
    assert p.lots == lots((1, 7, 3)) and p.cleared == june(8)
    assert after_loss(planting((1, 20, 12)), lost((1, 12)), HEADS) is None


def test_nothing_is_lost_of_what_was_cleared():
    whole = planting((1, 20, 12))
    assert after_loss(whole, lost((25, 12)), HEADS) == whole


def test_a_loss_taken_back_is_there_again():
    whole = planting((1, 20, 12))
    less = after_loss(whole, lost((2, 4)), HEADS)
    assert less.lots == lots((1, 20, 8))
    assert after_losses(less, Happened(), june(3), same, HEADS) == whole


@pytest.fixture(scope="module", params=["south", "north"])
def season(request):
    """Return (garden, plan) in both hemispheres."""
    return at_mid_season(request.param == "south")[:2]


def test_half_of_a_harvest_counted_is_to_come_or_was_not_had(season):
    """In a whole season: what was counted was had, and no more than was grown is handed out."""
    place, plan = season
    heads = [p for p in plan.plantings if p.crop == "lettuce-butterhead" and not p.fixed]
    p = max(heads, key=lambda p: ((p.cleared - p.harvest_start).days, p.id))
    first = next(w for w in plan.wants if p.id in dict(w.served_by))
    day = max(first.start, p.harvest_start)
    today, amount = day + DAY, dict(first.served_by)[p.id]
    grown = sum(lot.amount for lot in p.lots)
    many = int(amount) + 2
    entry = Entry(day, "harvested", p.id, many)
    made, gone = again(place, plan, today, entry)
    now = next(q for q in made.plantings if q.id == p.id)
    last = min(day, p.cleared - DAY)  # by the plan it stood no longer: had on its last day
    assert PlanLot(last, last, many) in now.lots
    assert sum(lot.amount for lot in now.lots) == pytest.approx(max(grown, many))
    recount(made)
    served(made)
    told = sections(changes_between(plan, made, today, gone), plan, made)
    (line,) = (line for _, lines in told for line in lines if f"({p.id})" in line)
    left = sum(lot.amount for lot in now.lots if lot.last >= today)
    assert f"{left:.0f} head" in line if left else "nothing still to come" in line
    assert again(place, made, today, entry) == (made, [])
    assert again(place, made, today + timedelta(days=9), entry) == (made, [])


def test_a_harvest_of_several_sowings_counted_is_shared_out_once(season):
    place, plan = season
    several = [w for w in plan.wants if len(w.served_by) > 1]
    want = min(several, key=lambda w: (w.start, w.want))
    number = (want.start - plan.site.start).days + 1
    day = want.end
    entry = Entry(day, "harvested", f"{want.crop}:harvest-{number}", 2 * want.met + 1)
    made, _ = again(place, plan, day + DAY, entry)
    of = {name for name, _ in want.served_by}
    # Of one that by the plan stood no longer, it was had on its last day.
    last = {p.id: min(day, p.cleared - DAY) for p in plan.plantings if p.id in of}
    had = [
        lot.amount for p in made.plantings if p.id in of
        for lot in p.lots if lot.ready == lot.last == last[p.id]
    ]  # fmt: skip
    assert sum(had) == pytest.approx(2 * want.met + 1) and len(had) == len(want.served_by)
    assert again(place, made, day + DAY, entry) == (made, [])
    assert replace(made, revision=0) != plan
