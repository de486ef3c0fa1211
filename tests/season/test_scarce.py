"""What hardly comes is named at the head of a plan: each wish of a crop by itself."""

import dataclasses
from datetime import date

from sowplan.season.reasons.notes import scarce


def wished(plan, *wishes):
    """Return the plan with these wishes of one crop alone, a week each: first day, what comes."""
    week = plan.wants[0]
    wants = tuple(
        dataclasses.replace(week, want=n, start=start, end=start, wanted=10.0, met=met)
        for n, (start, met) in enumerate(wishes)
    )
    return dataclasses.replace(plan, wants=wants), plan.crop(week.crop).name


def test_two_wishes_of_one_crop_are_told_apart(sample_plan):
    plan, name = wished(sample_plan, (date(2027, 4, 5), 3.0), (date(2027, 10, 15), 0.0))
    told = f"Nothing comes of {name} from 15 October on. Little comes of {name} from 5 April on"
    assert scarce(plan) == f"{told} (30 %)."


def test_a_crop_of_which_nothing_comes_at_all_is_named_once(sample_plan):
    plan, name = wished(sample_plan, (date(2027, 4, 5), 0.0), (date(2027, 10, 15), 0.0))
    assert scarce(plan) == f"Nothing comes of {name}."


def test_a_single_wish_goes_by_its_crop(sample_plan):
    plan, name = wished(sample_plan, (date(2027, 4, 5), 3.0))
    assert scarce(plan) == f"Little comes of {name} (30 %)."
