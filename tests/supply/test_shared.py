"""What several jobs have in common is told once, and never of a crop that it is not true of."""

from dataclasses import replace
from itertools import permutations

from sowplan.supply.gather import gathered
from sowplan.supply.shared import Said, told_once
from sowplan.supply.tasks import jobs

SNIP, WATER = "Snip the others off.", "Water after."


def test_by_hand():
    told = told_once(
        [
            Said("Kale", "Kale", ("Leave 1.", SNIP, "60 cells.")),
            Said("Leek", "Leek", (SNIP, "60 cells.")),
            Said("Beet", "Beet, Long bed", ("Leave 1.", SNIP, WATER)),
            Said("Beet", "Beet, Wall box", ("Leave 1.", SNIP, WATER)),
        ]
    )
    assert told == [
        "Kale: 60 cells.",  # a number counts each job's own
        "Leek: 60 cells.",
        "Beet, Long bed.",
        "Beet, Wall box.",
        "Kale and Beet: Leave 1.",
        "Beet: Water after.",
        SNIP,
    ]


def test_of_some_beds_of_a_crop_it_is_told_with_each():
    jobs = [Said("Beet", f"Beet, bed {n}", ((SNIP, WATER) if n else (SNIP,))) for n in range(3)]
    assert told_once(jobs) == [
        "Beet, bed 0.",
        "Beet, bed 1: Water after.",
        "Beet, bed 2: Water after.",
        SNIP,
    ]


def test_crops_share_nothing_where_they_may_not():
    jobs = [Said("Kale", "3 Kale", (SNIP,)), Said("Leek", "2 Leek", (SNIP,))]
    assert told_once(jobs, across=False) == ["3 Kale: " + SNIP, "2 Leek: " + SNIP]


def test_nothing_is_lost_or_invented_in_any_order():
    jobs = [
        Said("Kale", "Kale", (SNIP, "60 cells.")),
        Said("Beet", "Beet, a", (SNIP, WATER)),
        Said("Beet", "Beet, b", (WATER,)),
        Said("Chard", "Chard", (SNIP, WATER, "Up soon.")),
    ]
    for some in permutations(jobs):
        text = told_once(some)
        for job in jobs:
            mine = [
                line for line in text
                if ":" not in line or job.heading == line.split(":")[0]
                or job.name in line.split(":")[0].replace(" and ", ", ").split(", ")
            ]  # fmt: skip
            assert all(any(sentence in line for line in mine) for sentence in job.says)
        assert sum(line.count(SNIP) for line in text) <= 3 and len(text) == len(set(text))


def test_harvests_of_one_crop_on_one_day_are_added_up(sample_plan):
    """By hand: two picks of the same crop are one amount in the title, each told below."""
    one = next(job for job in jobs(sample_plan) if job.kind == "harvest" and job.unit == "kg")
    takes = tuple((name, 2.0 / len(one.takes)) for name, _ in one.takes)
    name = sample_plan.crop(one.crop).name
    first = replace(one, id="a:harvest-1", takes=takes, what=f"2 kg {name}", says=("Bed 1.",))
    second = replace(first, id="a:harvest-2", what=f"3 kg {name}", says=("Bed 2.",))
    second = replace(second, takes=tuple((one, amount * 1.5) for one, amount in takes))
    (told,) = gathered(sample_plan, [first, second])
    assert told.title == f"Harvest 5 kg {name}"
    assert told.details == f"2 kg {name}: Bed 1.\n3 kg {name}: Bed 2."
    assert {part.id for part in told.parts} == {"a:harvest-1", "a:harvest-2"}
