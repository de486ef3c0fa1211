"""What is left standing while nobody is there: overgrown, cleared, and when there is more.

By hand, in steady weather at each crop's reference conditions, so that the days of the crop table
hold as they are. That pods and young fruit left on stop a plant: Oregon State University Extension
Service (2010); that cut leaf grows anew once cut down: common practice, no source.
"""

from dataclasses import replace

import numpy as np
import pytest

from sowplan.growth.courses import Conditions
from sowplan.growth.evolve import evolve
from sowplan.growth.harvests import Absence
from sowplan.records.crop_table import read_crops

CROPS = {
    key: replace(crop, bolt_daylength_h=None, bolt_effect=None, bolt_heat_c=None)
    for key, crop in read_crops()[0].items()
    if crop.chill_days is None and crop.harvest != "once"
}
SOWN = 30


def table(sky_of, key, *spans, picked=False):
    """Return a sowing's courses, nobody there in spans of days counted from its first harvest."""
    crop = CROPS[key]
    sky = sky_of(mean=crop.maturity_temp_c, dli=crop.maturity_dli_mol, daylength=12.0)
    usual = evolve(crop, sky, [SOWN], Conditions(False))
    assert usual.feasible[0], usual.reason[0]
    first = int(usual.harvest_start[0])
    off = np.zeros(len(sky.series), bool)
    for a, b in spans:
        off[first + a : first + b + 1] = True
    absence = Absence(off, off if picked else np.zeros_like(off))
    return evolve(crop, sky, [SOWN], Conditions(False), absence=absence), first


def lots(found, first):
    """Return (ready, last) of each lot there is, counted from the first harvest there would be."""
    there = found.lot_ready[0] >= 0
    assert np.all((found.lot_share[0] > 0) == there)
    pairs = zip(found.lot_ready[0][there] - first, found.lot_last[0][there] - first, strict=True)
    return [(int(a), int(b)) for a, b in pairs]


def cleared(found, first):
    return sorted({int(day) - first for day in found.spoilt[0] if day >= 0})


@pytest.mark.parametrize("key", sorted(CROPS))
def test_where_somebody_is_always_there_nothing_changes(key, sky_of):
    crop = CROPS[key]
    sky = sky_of(mean=crop.maturity_temp_c, dli=crop.maturity_dli_mol, daylength=12.0)
    sow = np.arange(0, 300, 7)
    without = evolve(crop, sky, sow, Conditions(False))
    nobody = np.zeros(len(sky.series), bool)
    there = evolve(crop, sky, sow, Conditions(False), absence=Absence(nobody, nobody))
    for name in ("lot_ready", "lot_last", "lot_share", "late_ready", "spoilt"):
        assert np.array_equal(getattr(without, name), getattr(there, name)), name
    assert not (there.spoilt >= 0).any()


def test_cut_leaf_left_too_long_is_cut_down_and_grows_anew(sky_of):
    """Baby leaf stands for 5 days and is fit again 14 days after a cut: the table's figures."""
    found, first = table(sky_of, "lettuce-baby-leaf", (-1, 9))
    assert CROPS["lettuce-baby-leaf"].holding_days == 5
    assert CROPS["lettuce-baby-leaf"].regrowth_days == 14
    assert cleared(found, first) == [10]
    ready = [a for a, _ in lots(found, first)]
    assert ready == [pytest.approx(24, abs=1), pytest.approx(38, abs=1)]  # two cuts of three
    assert found.lot_share[0].sum() == pytest.approx(2 / 3)


def test_cut_leaf_that_still_stands_is_cut_later_and_so_are_the_next(sky_of):
    """Chard stands for 12 days: five days late it is cut all the same, the next 18 days after."""
    found, first = table(sky_of, "chard", (-1, 4))
    ready = [a for a, _ in lots(found, first)]
    assert ready[0] == 5 and cleared(found, first) == []
    assert ready[1] == pytest.approx(5 + CROPS["chard"].regrowth_days, abs=1)
    assert len(ready) == CROPS["chard"].cuts


def test_one_harvest_day_a_week_has_every_cut_and_every_pick(sky_of):
    """Baby leaf of 5 days is due on days 0, 6 + 14, 20 + 14; courgettes on any of seven days."""
    weekly = [(7 * n - 7, 7 * n - 2) for n in range(1, 20)]  # harvested on day 6, 13, 20 …
    found, first = table(sky_of, "lettuce-baby-leaf", *weekly)
    assert [a for a, _ in lots(found, first)] == [6, 20, 34]
    assert found.lot_share[0].sum() == pytest.approx(1.0) and cleared(found, first) == []
    usual, _ = table(sky_of, "courgette")
    found, first = table(sky_of, "courgette", *weekly)
    due = [a for a, _ in lots(usual, first)]
    assert [a for a, _ in lots(found, first)] == [a + (6 - a) % 7 for a in due]
    assert found.lot_share[0].sum() == pytest.approx(1.0) and cleared(found, first) == []


@pytest.mark.parametrize("key", ["courgette", "climbing-bean", "cucumber", "okra"])
def test_fruit_and_pods_left_on_stop_the_plant_until_they_are_taken_off(key, sky_of):
    found, first = table(sky_of, key, (20, 33))
    usual, _ = table(sky_of, key)
    due = [a for a, _ in lots(usual, first)]
    again = 34 + CROPS[key].unpicked_days
    had = lots(found, first)
    assert cleared(found, first) == [34]
    # Before it all, then what sets anew: of the week in course so much as is left of it.
    before = [a for a in due if a < 20]
    ends = [*due[1:], due[-1] + (due[-1] - due[0]) / (len(due) - 1)]
    during = [(a, then) for a, then in zip(due, ends, strict=True) if 20 <= a < again < then]
    after = [a for a in due if a >= again]
    assert len(before) >= 2 and [a for a, _ in had[: len(before)]] == before
    rest = [a for a, _ in had[len(before) :]]
    assert rest == [pytest.approx(a, abs=1) for a in [again] * len(during) + after]
    assert found.lot_share[0].sum() < (len(due) - 1) / len(due)
    share = found.lot_share[0][found.lot_share[0] > 0]
    assert share[: len(before)] == pytest.approx(1 / len(due))
    for a, then in during:
        left = (then - again) / (then - a)
        assert share[len(before)] * len(due) == pytest.approx(left, abs=0.15)


@pytest.mark.parametrize("key", ["tomato", "kale", "strawberry"])
def test_others_lose_what_ripened_meanwhile_and_go_on(key, sky_of):
    found, first = table(sky_of, key, (20, 41))
    usual, _ = table(sky_of, key)
    kept = [a for a, b in lots(usual, first) if not (20 <= a and b <= 41)]
    assert [max(a, 42) if 20 <= a <= 41 else a for a in kept] == [a for a, _ in lots(found, first)]
    assert len(kept) < len(lots(usual, first)) and cleared(found, first) == [42]


def test_a_bush_bean_missed_at_its_height_is_over(sky_of):
    """It is picked for 24 days; after a fortnight there is no time to set more."""
    found, first = table(sky_of, "bush-bean", (3, 16))
    assert [a for a, _ in lots(found, first)] == [0]


@pytest.mark.parametrize("key", ["courgette", "gherkin", "okra", "bush-bean"])
@pytest.mark.parametrize("days", [3, 6])
def test_what_is_picked_once_a_week_may_wait_that_long(key, days, sky_of):
    """The table's picks are a week apart: one who comes every Saturday loses none of them."""
    usual, first = table(sky_of, key)
    second = lots(usual, first)[1][0]
    found, _ = table(sky_of, key, (second - 1, second + days - 2))
    assert len(lots(found, first)) == len(lots(usual, first)) and cleared(found, first) == []
    assert lots(found, first)[1][0] == second + days - 1


@pytest.mark.parametrize("key", ["courgette", "lettuce-baby-leaf"])
def test_where_somebody_picks_meanwhile_it_goes_on_as_ever(key, sky_of):
    usual, first = table(sky_of, key)
    found, _ = table(sky_of, key, (10, 24), picked=True)
    kept = [(a, b) for a, b in lots(usual, first) if a < 10 or a > 24]
    assert [a for a, _ in lots(found, first)] == [a for a, _ in kept]
    assert cleared(found, first) == []


@pytest.mark.parametrize("key", sorted(CROPS))
def test_nothing_is_brought_in_on_a_day_off(key, sky_of):
    found, first = table(sky_of, key, (2, 9), (20, 33), (40, 41))
    off = {*range(2, 10), *range(20, 34), 40, 41}
    for a, b in lots(found, first):
        assert a <= b and a not in off and b not in off
    assert not {*cleared(found, first)} & off
