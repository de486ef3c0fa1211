"""In a crop's own reference conditions every crop keeps the days that the table gives it."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from sowplan.growth.courses import Conditions
from sowplan.growth.evolve import evolve
from sowplan.growth.germination import days_to_emerge
from sowplan.records.crop_table import read_crops

CROPS = {key: crop for key, crop in read_crops()[0].items() if crop.chill_days is None}
RAISED = [key for key, crop in CROPS.items() if crop.tray_days is not None]


def reference_sky(sky_of, crop, **more):
    """Return steady reference weather, its days such that it neither bolts nor fails to bulb.

    They are hardly longer than makes it bulb, so that it has all its leaf before it begins.
    """
    hours = 12.0
    if crop.bolt_daylength_h is not None:
        hours = crop.bolt_daylength_h + (0.1 if crop.bolt_effect == "bulbs" else -1)
    given = {"mean": crop.maturity_temp_c, "dli": crop.maturity_dli_mol, "daylength": hours}
    return sky_of(**(given | more))


def raised(crop, **more):
    return Conditions(
        True, tray_temperature_c=crop.tray_temp_c, tray_dli_mol=crop.tray_dli_mol, **more
    )


@pytest.mark.parametrize("key", RAISED)
def test_days_in_the_tray_and_to_maturity_when_raised(key, sky_of):
    crop = CROPS[key]
    course = evolve(crop, reference_sky(sky_of, crop), [30], raised(crop)).course(0)
    assert course.feasible, course.reason
    assert abs((course.planting_out - course.emergence).days - crop.tray_days) <= 1
    counted_from = course.planting_out if crop.maturity_from == "transplanting" else course.sow
    days = (course.harvest_start - counted_from).days
    if crop.maturity_from == "transplanting":
        assert abs(days - crop.maturity_days) <= 1
    else:  # the tray is warmer, or duller, than the open: soonest up, or no further for its time
        warm_seed = days_to_emerge(crop, crop.maturity_temp_c)
        assert crop.maturity_days - warm_seed - 1 <= days <= crop.maturity_days + crop.tray_days


@pytest.mark.parametrize("key", CROPS)
def test_days_to_maturity_when_sown_direct(key, sky_of):
    crop = CROPS[key]
    course = evolve(crop, reference_sky(sky_of, crop), [30], Conditions(False)).course(0)
    emergence = days_to_emerge(crop, crop.maturity_temp_c)
    if not np.isfinite(emergence) or emergence > 60:
        assert not course.feasible
        return
    assert course.feasible, course.reason
    assert course.planting_out is None
    days = (course.harvest_start - course.sow).days
    if crop.maturity_from == "sowing":
        assert abs(days - crop.maturity_days) <= 2
    else:
        assert days >= crop.maturity_days  # the time in the tray is spent in the ground


@pytest.mark.parametrize("key", CROPS)
def test_the_harvest_goes_as_the_table_says(key, sky_of):
    crop = CROPS[key]
    sky = reference_sky(sky_of, crop)
    conditions = raised(crop) if crop.tray_days is not None else Conditions(False)
    course = evolve(crop, sky, [30], conditions).course(0)
    first, last = course.lots[0], course.lots[-1]
    assert sum(lot.share for lot in course.lots) == pytest.approx(1.0)
    assert course.harvest_start == first.ready
    assert course.harvest_end == max(lot.last for lot in course.lots)
    fit = (last.last - last.ready).days + 1
    assert abs(fit - crop.holding_days) <= 1
    if crop.harvest == "once":
        assert len(course.lots) == 1
    elif crop.harvest == "cut":
        assert len(course.lots) == crop.cuts
        pairs = list(pairwise(course.lots))
        assert all(abs((b.ready - a.ready).days - crop.regrowth_days) <= 1 for a, b in pairs)
        assert all(a.last < b.ready for a, b in pairs)
    else:
        weeks = (last.ready - first.ready).days / 7
        assert weeks == pytest.approx((crop.picking_days - 7) / 7, abs=1.0)


@pytest.mark.parametrize("key", ["lettuce-butterhead", "spinach", "tomato", "carrot", "bush-bean"])
def test_cooler_or_duller_is_later_and_holds_longer(key, sky_of):
    crop = CROPS[key]
    conditions = Conditions(False)

    def course(**weather):
        return evolve(crop, reference_sky(sky_of, crop, **weather), [30], conditions).course(0)

    usual = course()
    cool = course(mean=crop.maturity_temp_c - 3)
    dull = course(dli=crop.maturity_dli_mol / 2)
    assert cool.harvest_start > usual.harvest_start
    assert dull.harvest_start > usual.harvest_start
    assert dull.emergence == usual.emergence  # seed in the ground needs no light
    if crop.harvest == "once":
        hold = [(c.harvest_end - c.harvest_start).days for c in (usual, cool)]
        assert hold[1] > hold[0]


def test_shade_and_covers_cost_light_and_covers_bring_warmth(sky_of, crops):
    crop = crops["lettuce-butterhead"]
    cool = sky_of(mean=8.0, dli=20.0)

    def start(**place):
        return evolve(crop, cool, [30], raised(crop, **place)).harvest_start[0]

    assert start(light_share=0.6) > start()
    assert start(cover="tunnel") < start(cover="fleece") < start()
    months = (1.0,) * 12
    assert start(light_share=months) == start()
    assert start(light_share=(0.3,) * 4 + (1.0,) * 8) > start()


def test_a_cold_dark_tray_takes_longer(sky_of, crops):
    crop = crops["lettuce-butterhead"]
    sky = reference_sky(sky_of, crop)
    usual = evolve(crop, sky, [30], raised(crop)).planting_out[0]
    cold = replace(raised(crop), tray_temperature_c=crop.tray_temp_c - 5)
    dark = replace(raised(crop), tray_dli_mol=crop.tray_dli_mol / 2)
    assert evolve(crop, sky, [30], cold).planting_out[0] > usual
    assert evolve(crop, sky, [30], dark).planting_out[0] > usual
