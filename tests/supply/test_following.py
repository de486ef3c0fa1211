"""What follows what: strips and slots by hand, and on every example garden."""

import dataclasses
from datetime import date

from sowplan.season.archive import read_plan
from sowplan.supply.following import follow_ons
from sowplan.supply.ground import overlap


def strip(plan, name, first, cleared, start, length):
    one = next(p for p in plan.plantings if p.kind == "bed")
    return dataclasses.replace(
        one,
        id=name,
        sow=first,
        planting_out=None,
        cleared=cleared,
        strip_start_m=start,
        strip_length_m=length,
    )


def test_a_wide_strip_is_followed_by_all_that_come_onto_it(sample_plan):
    day = [date(2026, month, 1) for month in (9, 10, 11, 12)]
    wide = strip(sample_plan, "wide", day[0], day[1], 0.0, 1.0)
    left = strip(sample_plan, "left", day[1], day[2], 0.0, 0.4)
    right = strip(sample_plan, "right", day[2], day[3], 0.3, 0.7)  # on 0.1 m of left, too
    last = strip(sample_plan, "last", day[2], day[3], 0.0, 0.3)
    apart = strip(sample_plan, "apart", day[2], day[3], 1.0, 0.5)
    plan = dataclasses.replace(sample_plan, plantings=(apart, last, right, left, wide))
    after = {one.planting.id: [p.id for p in one.after] for one in follow_ons(plan)[wide.place]}
    assert after == {
        "wide": ["left", "right"], "left": ["last", "right"], "right": [], "last": [], "apart": [],
    }  # fmt: skip


def test_what_follows_in_the_sample_by_its_own_table(sample_plan):
    """After the first heads in the Long bed come the beans."""
    after = {f.planting.id: [p.id for p in f.after] for there in follow_ons(sample_plan).values()
             for f in there}  # fmt: skip
    assert after["lettuce-butterhead-1"][0] == "dwarf-bean-1"
    assert after["pak-choi-2"][0] == "lettuce-loose-leaf-6"
    assert after["spinach-3"] == []


def test_holes_are_followed_hole_by_hole(sample_plan):
    one = next(p for p in sample_plan.plantings if p.kind == "channel")
    days = dict(sow=date(2026, 9, 1), planting_out=None, cleared=date(2026, 10, 1))
    later = dict(sow=date(2026, 10, 5), planting_out=None, cleared=date(2026, 11, 1))
    first = dataclasses.replace(one, id="first", slots=(1, 2, 3), **days)
    second = dataclasses.replace(one, id="second", slots=(3, 4), **later)
    plan = dataclasses.replace(sample_plan, plantings=(first, second))
    found = {f.planting.id: [p.id for p in f.after] for f in follow_ons(plan)[one.place]}
    assert found == {"first": ["second"], "second": []}


def test_examples_are_listed_whole_and_in_time(example_folder):
    plan, problems = read_plan(example_folder / "plan.json")
    assert problems == []
    listed = [one for place in follow_ons(plan).values() for one in place]
    assert sorted(one.planting.id for one in listed) == sorted(p.id for p in plan.plantings)
    for one in listed:
        for after in one.after:
            assert after.occupies_from >= one.planting.cleared and overlap(one.planting, after)
