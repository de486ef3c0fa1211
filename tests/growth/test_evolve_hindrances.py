"""What can end a sowing, and that it says so in a gardener's words."""

from datetime import date, timedelta

import numpy as np
import pytest

from sowplan.growth.courses import Conditions
from sowplan.growth.evolve import evolve
from sowplan.growth.reasons import by_cold_outside, in_units

SHELF = {"tray_temperature_c": 20.0, "tray_dli_mol": 14.0}
WARM_SHELF = Conditions(True, **SHELF)
DIRECT = Conditions(False)


def warming(days=900, from_c=2.0, to_c=26.0, over=120):
    """A spring that warms in a straight line and stays warm."""
    return np.clip(np.linspace(from_c, from_c + (to_c - from_c) * days / over, days), None, to_c)


def test_planting_out_of_a_tender_crop_waits_for_the_frosts_to_end(sky_of, crops):
    sky = sky_of(mean=20.0, unsafe=[(0, 60)])
    table = evolve(crops["tomato"], sky, np.arange(30), WARM_SHELF)
    out = table.planting_out[table.planting_out >= 0]
    assert out.size and (out >= 61).all()


def test_a_seedling_that_would_wait_too_long_outgrows_its_cell(sky_of, crops):
    sky = sky_of(mean=20.0, unsafe=[(0, 150)])
    course = evolve(crops["tomato"], sky, [5], WARM_SHELF).course(0)
    assert not course.feasible
    assert course.emergence is not None and course.planting_out is None
    assert course.reason.startswith("would outgrow its cell: ready on ")
    assert course.reason.endswith("too cold outside until 1 June")  # day 151 of 2025


def test_seed_sown_direct_does_not_come_up_into_frost(sky_of, crops):
    sky = sky_of(mean=20.0, unsafe=[(0, 60)])
    table = evolve(crops["bush-bean"], sky, np.arange(80), DIRECT)
    assert (table.emergence[table.feasible] >= 61).all()
    assert "frost may kill the seedlings" in table.reason[10]
    told = table.reason[10].split("sow from ")[1]
    first = int(np.flatnonzero(table.feasible)[0])
    assert told == (date(2025, 1, 1) + timedelta(first)).strftime("%-d %B")


def test_an_autumn_frost_cuts_the_harvest_short_or_takes_it_all(sky_of, crops):
    sky = sky_of(mean=22.0, dli=38.0, unsafe=[(150, 900)])
    table = evolve(crops["bush-bean"], sky, [10, 80, 130], DIRECT)
    whole, cut_short, lost = (table.course(i) for i in range(3))
    assert sum(lot.share for lot in whole.lots) == pytest.approx(1.0)
    assert 0.0 < sum(lot.share for lot in cut_short.lots) < 1.0
    frost = date(2025, 1, 1) + timedelta(150)
    assert whole.harvest_end < frost and cut_short.harvest_end < frost
    assert not lost.feasible and lost.harvest_start is None
    assert lost.reason == "frost would kill it about 31 May, before it is ready"  # day 150


def test_seed_too_cold_says_until_when(sky_of, crops):
    soil = warming()
    sky = sky_of(mean=np.maximum(soil, 15.0), soil=soil, dli=40.0)
    table = evolve(crops["cucumber"], sky, np.arange(150), DIRECT)
    assert table.reason[0].startswith("too cold for the seed until ")
    assert table.emergence[0] == -1
    told = table.reason[0].removeprefix("too cold for the seed until ")
    first = int(np.flatnonzero(table.emergence >= 0)[0])
    assert told == (date(2025, 1, 1) + timedelta(first)).strftime("%-d %B")


def test_seed_too_hot(sky_of, crops):
    reason = evolve(crops["lettuce-crisphead"], sky_of(mean=36.0), [0], DIRECT).reason[0]
    assert reason == "too hot for the seed in all the days looked at"


def test_a_bed_frozen_for_ever_gives_nothing_and_says_so(sky_of, crops):
    sky = sky_of(mean=-15.0, dli=2.0, unsafe=[(0, 899)])
    for crop in crops.values():
        for conditions in (DIRECT, WARM_SHELF, Conditions(True)):
            table = evolve(crop, sky, [0, 100], conditions)
            assert not table.feasible.any()
            assert all(table.reason)


def test_polar_night_gives_no_growth_however_warm(sky_of, crops):
    table = evolve(crops["lettuce-butterhead"], sky_of(dli=0.0, daylength=0.0), [0], DIRECT)
    assert not table.feasible[0]
    assert table.emergence[0] > 0
    assert table.reason[0] == "cold and short days would hold it up too long"


def test_long_days_make_lambs_lettuce_bolt_and_short_ones_do_not(sky_of, crops):
    crop = crops["lambs-lettuce"]
    short, long = (
        evolve(crop, sky_of(mean=14, dli=18, daylength=h), [0], DIRECT).course(0) for h in (12, 17)
    )
    assert short.feasible
    assert long.reason == "days longer than 14.5 h make it bolt before it is ready"


def test_spinach_of_long_days_is_cut_young_and_soon(sky_of, crops):
    """It would bolt on the day it is full-grown; what is cut so young weighs less.

    Gardeners cut it a day or two before the stalk shows: common practice, no source.
    """
    short, long = (
        evolve(crops["spinach"], sky_of(mean=16, dli=28, daylength=h), [0], DIRECT).course(0)
        for h in (12, 17)
    )
    assert short.feasible and long.feasible
    assert short.size == 1.0 > long.size > 0.5
    assert long.harvest_start < short.harvest_start
    assert (long.harvest_end - long.harvest_start).days <= 3
    assert long.lots[0].share == pytest.approx(long.size / crops["spinach"].cuts)
    assert len(long.lots) == 1


def test_heat_makes_lettuce_bolt(sky_of, crops):
    reason = evolve(crops["lettuce-crisphead"], sky_of(mean=27.5, soil=24), [0], DIRECT).reason[0]
    assert reason == "the heat would make it bolt or turn bitter before it is ready"


def test_onions_bulb_in_long_days_only(sky_of, crops):
    crop = crops["onion-long-day"]
    short, long = (
        evolve(crop, sky_of(mean=18, dli=34, daylength=h), [0], WARM_SHELF).course(0)
        for h in (13, 16)
    )
    assert not short.feasible
    assert "no bulb forms: days do not stay longer than 14 h" in short.reason
    assert long.feasible


def test_onions_wait_for_long_days(sky_of, crops):
    hours = np.where(np.arange(900) < 200, 12.0, 16.0)
    crop, days = crops["onion-long-day"], [0, 40]
    table = evolve(crop, sky_of(mean=18, dli=34, daylength=hours), days, WARM_SHELF)
    assert (table.harvest_start > 200).all()


def test_a_tender_crop_does_not_stand_through_a_winter(sky_of, crops):
    mean = np.where((np.arange(900) > 80) & (np.arange(900) < 260), 8.5, 22.0)
    course = evolve(crops["tomato"], sky_of(mean=mean, dli=30), [20], WARM_SHELF).course(0)
    assert not course.feasible
    assert course.reason.startswith("cold and short days would hold it up until ")


def test_the_end_of_the_days_looked_at_is_told_as_such(sky_of, crops):
    sky = sky_of(days=60)
    assert evolve(crops["carrot"], sky, [20], DIRECT).reason[0] == (
        "not ready by 1 March, the last day looked at"
    )


def test_the_open_air_kills_seedlings_in_a_tray_without_heat(sky_of, crops):
    sky = sky_of(mean=18.0, unsafe=[(0, 60)])
    reason = evolve(crops["basil"], sky, [5], Conditions(True)).reason[0]
    assert "cold (a night of 3 °C) may kill the seedlings" in reason


def test_sowings_keep_their_order_and_repeats(sky_of, crops):
    table = evolve(crops["radish"], sky_of(), [40, 5, 5, 90], DIRECT)
    assert table.sow.tolist() == [40, 5, 5, 90]
    assert np.diff(table.harvest_start)[1] == 0
    assert len(table) == 4 and len(table.reason) == 4


@pytest.mark.parametrize("sow", [[-1], [900], [3, 2000]])
def test_sowing_outside_the_series_is_an_error(sow, sky_of, crops):
    with pytest.raises(IndexError, match="900 days"):
        evolve(crops["radish"], sky_of(), sow, DIRECT)


def test_no_sowings_give_an_empty_table(sky_of, crops):
    assert len(evolve(crops["radish"], sky_of(), [], DIRECT)) == 0


def test_a_spread_of_weathers_gives_early_likely_late(sky_of, crops):
    warm = np.linspace(-4, 4, 19)[:, None] * np.ones(900)
    table = evolve(crops["carrot"], sky_of(mean=12, scenarios=warm), [10], DIRECT)
    early, likely, late = (
        getattr(table, name)[0]
        for name in ("harvest_start_early", "harvest_start", "harvest_start_late")
    )
    assert early < likely < late
    # Of 19 weathers the second, tenth and eighteenth: 1/10, 1/2 and 9/10 of 20.
    alone = [
        evolve(crops["carrot"], sky_of(mean=12, scenarios=warm[[k]]), [10], DIRECT).harvest_start[0]
        for k in (17, 9, 1)
    ]
    assert [early, likely, late] == alone


def test_a_late_year_into_the_frost_brings_no_harvest_but_is_told(sky_of, crops):
    cold = np.linspace(-6, 6, 19)[:, None] * np.ones(900)
    sky = sky_of(mean=14, scenarios=cold)
    crop = crops["carrot"]
    likely = int(evolve(crop, sky, [10], DIRECT).harvest_start[0])
    frosty = sky_of(mean=14, scenarios=cold, unsafe=[(likely + 5, 899)])
    table = evolve(crop, frosty, [10], DIRECT)
    assert table.feasible[0] and table.lot_share[0].sum() == 1.0
    assert table.late_ready[0].max() == -1
    assert table.harvest_start_late[0] == likely + 4


def first_and_last(crop, sky, conditions=DIRECT):
    course = evolve(crop, sky, [0], conditions).course(0)
    return course.harvest_start, course.harvest_end


def test_the_longer_the_days_the_sooner_it_bolts(sky_of, crops):
    for key in ("spinach-baby-leaf", "rocket", "coriander", "pak-choi"):
        crop = crops[key]
        ends = []
        for hours in (12.0, 14.3, 14.6, 14.9, 15.2, 15.5, 16.0):
            sky = sky_of(mean=14.5, dli=30, daylength=hours)
            course = evolve(crop, sky, [0], DIRECT).course(0)
            ends.append(course.harvest_end or date.min)
        assert ends == sorted(ends, reverse=True), key
        assert ends[-1] < ends[0], key


def test_long_days_of_the_young_plant_make_it_bolt_sooner(sky_of, crops):
    """Spinach kept in 8 or 12 h while young stays behind in 15.5 h for good (Kim et al. 2000).

    HortScience 35:43-45, from its abstract: the speed of floral development depends on the days
    of each phase, and the delay outlasts the move into days of 15.5 h.
    """
    crop, days = crops["spinach"], np.arange(900)
    ends = []
    for hours in (8.0, 12.0, 15.5):
        sky = sky_of(mean=16, dli=28, daylength=np.where(days < 28, hours, 15.5))
        ends.append(first_and_last(crop, sky)[1] or date.min)
    assert ends[0] == ends[1] > ends[2]


def test_what_grew_in_long_days_goes_on_to_bolt_when_days_shorten(sky_of, crops):
    crop, days = crops["rocket"], np.arange(900)
    short = sky_of(mean=15, dli=26, daylength=13.0)
    after = sky_of(mean=15, dli=26, daylength=np.where(days < 30, 16.0, 13.0))
    assert first_and_last(crop, after)[1] < first_and_last(crop, short)[1]


def test_what_dies_above_freezing_dies_of_cold_not_of_frost(sky_of, crops):
    sky = sky_of(mean=20, dli=30, unsafe=[(40, 60)])
    told = evolve(crops["basil"], sky, [0], DIRECT).reason[0]
    assert told == "cold (a night of 3 °C) would kill it about 10 February, before it is ready"
    assert by_cold_outside(told)
    assert in_units(told, "imperial").startswith("cold (a night of 37 °F) would")
    assert "frost would" in evolve(crops["tomato"], sky, [0], DIRECT).reason[0]


@pytest.mark.parametrize("key", ["chinese-cabbage", "pak-choi", "mustard-greens"])
def test_the_longer_seedlings_were_cold_the_sooner_annual_brassicas_bolt(sky_of, crops, key):
    """One and three weeks of 12 °C hasten bolting in Chinese cabbage (Sci. Hort. 25:217, 1985).

    Here of all, with more cold for those that take more (20 to 30 days for many mustards: Li and
    Shao 1957); days of 13 h, in which none of them bolts without it.
    """
    ends = []
    for cold_days, cold_c in ((0, 12.0), (7, 12.0), (21, 12.0), (25, 6.0), (35, 6.0)):
        mean = np.where(np.arange(900) < 8 + cold_days, cold_c, 18.0)
        mean[:8] = 18.0  # to come up in
        sky = sky_of(mean=mean, dli=28, daylength=13.0)
        grown = evolve(crops[key], sky, [0], DIRECT).course(0)
        bolted = "cold while it is young" in grown.reason
        ends.append((date.min if bolted else grown.harvest_end) - timedelta(0))
        assert grown.feasible or bolted
    without, *_, most = ends
    assert most < without
    assert ends[3] >= ends[4]
