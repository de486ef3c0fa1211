"""How long seed may lie: one rule for what dies and for what is not worth sowing."""

import numpy as np
import pytest

from sowplan.growth.lying import WORTH_SOWING_DAYS, lies_at_most, worth_sowing
from sowplan.records.crop_table import read_crops

CROPS, _ = read_crops()
COOL, HOT = np.zeros(3, bool), np.ones(3, bool)


@pytest.mark.parametrize("key", sorted(CROPS))
def test_what_is_sown_by_choice_never_lies_so_long_that_it_dies(key):
    """Large seed of warm soils is the exception: there death comes first, and decides."""
    crop = CROPS[key]
    dies = int(lies_at_most(crop, False, True, COOL)[0])
    for days in range(1, 200):
        if worth_sowing(crop, False, days) and days > dies:
            assert crop.tender and days <= WORTH_SOWING_DAYS


def test_heat_kills_seed_in_the_ground_sooner_than_cold():
    lettuce = CROPS["lettuce-butterhead"]
    assert (
        lies_at_most(lettuce, False, True, HOT) < lies_at_most(lettuce, False, True, COOL)
    ).all()
    raised = lies_at_most(lettuce, True, False, HOT)
    assert (raised == lies_at_most(lettuce, True, False, COOL)).all()


def test_cloves_lie_through_a_winter_and_seed_in_trays_is_not_asked_after():
    assert worth_sowing(CROPS["garlic"], False, 150)
    assert not worth_sowing(CROPS["carrot"], False, WORTH_SOWING_DAYS + 1)
    assert worth_sowing(CROPS["carrot"], True, WORTH_SOWING_DAYS + 1)
