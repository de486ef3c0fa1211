"""Seed and cells, against the negative binomial distribution and a count by hand."""

from __future__ import annotations

import dataclasses
from datetime import date, timedelta

import pytest
from scipy.stats import nbinom

from sowplan.supply.seed import seed_needs, seeds_for, tray_use


@pytest.mark.parametrize("germination", [0.2, 0.55, 0.7, 0.85, 0.95])
@pytest.mark.parametrize("seedlings", [1, 2, 9, 40, 250, 1500, 20000])
def test_seeds_against_the_waiting_time(seedlings, germination):
    """The seeds it takes until enough have come up follow the negative binomial distribution.

    Source: scipy.stats.nbinom, which counts the failures before the n-th success; its quantile
    is worked out by continued fractions, not by the sum used in the code.
    """
    failures = nbinom.ppf(0.95, seedlings, germination)
    assert seeds_for(seedlings, germination, 0.95) == seedlings + int(failures)


def test_edges():
    assert seeds_for(0, 0.5) == 0
    assert seeds_for(12, 1.0) == 12
    with pytest.raises(ValueError, match="germination"):
        seeds_for(5, 0.0)


def test_what_the_sample_takes(sample_plan):
    needs = {need.crop: need for need in seed_needs(sample_plan)}
    assert [n.name for n in seed_needs(sample_plan)] == sorted(n.name for n in needs.values())
    # By hand, from the four butterhead batches of 9, 9, 12 and 5 plants with a tenth to spare.
    head = needs["lettuce-butterhead"]
    assert (head.sowings, head.plants, head.cells, head.seeds) == (4, 35, 10 + 10 + 14 + 6, 80)
    assert (head.first_sowing, head.last_sowing) == (date(2026, 9, 1), date(2027, 2, 5))
    # 54 beans sown one a station: to have 54 up with 95 % takes more than 54 in hand.
    bean = needs["dwarf-bean"]
    assert bean.seeds == 54 < bean.seeds_in_hand
    assert all(need.seeds_in_hand >= need.seeds for need in needs.values())


def test_what_was_sown_before_the_season_is_not_bought(sample_plan):
    late = dataclasses.replace(sample_plan.site, start=date(2026, 9, 2))
    needs = {n.crop: n for n in seed_needs(dataclasses.replace(sample_plan, site=late))}
    assert needs["lettuce-butterhead"].sowings == 3


def test_sets_and_tubers_are_named(sample_plan):
    potato = dataclasses.replace(sample_plan.crop("radish"), botanical_name="Solanum tuberosum")
    crops = tuple(potato if crop.key == "radish" else crop for crop in sample_plan.crops)
    needs = {n.crop: n for n in seed_needs(dataclasses.replace(sample_plan, crops=crops))}
    assert needs["radish"].what == "seed tubers"
    assert needs["rocket"].what == "seeds"


def test_tray_use_is_the_fullest_day(sample_plan):
    """Counted day by day, which the code does not do."""
    for use in tray_use(sample_plan):
        taken = {}
        for n in range((sample_plan.site.end - sample_plan.site.start).days + 1):
            day = sample_plan.site.start + timedelta(days=n)
            taken[day] = sum(
                p.cells
                for p in sample_plan.plantings
                if p.tray == use.tray and p.sow <= day < p.planting_out
            )
        assert use.most == max(taken.values())
        assert taken[use.day] == use.most
        assert all(count < use.most for day, count in taken.items() if day < use.day)


def test_a_tray_nobody_uses(sample_plan):
    none = dataclasses.replace(sample_plan, plantings=())
    assert [(use.most, use.day) for use in tray_use(none)] == [(0, None), (0, None)]
    assert seed_needs(none) == ()
