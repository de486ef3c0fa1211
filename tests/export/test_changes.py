"""What is said of a revision: what was planned and is otherwise, and what comes besides."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from sowplan.export.changes import headline, sections
from sowplan.season.revise.changes import Change, Changes, done_alike
from sowplan.supply.tasks import tasks


def kinds(plan, text):
    """Return changes of the kinds that letters stand for, each of the plan's first planting."""
    p = plan.plantings[0]
    made = {
        "c": Change("changed", p, p),
        "d": Change("dropped", p, None),
        "n": Change("new", None, p),
        "f": Change("forecast", p, p),
    }
    return tuple(made[letter] for letter in text)


@pytest.mark.parametrize(
    ("coming", "changes", "said"),
    [
        (9, "", "of 9 sowings to come none changes."),
        (9, "ff", "of 9 sowings to come none changes."),
        (9, "c", "of 9 sowings to come 1 is moved or of another size."),
        (9, "ccd", "of 9 sowings to come 2 are moved or of another size and 1 is dropped."),
        (9, "nn", "of 9 sowings to come none changes; 2 are new besides."),
        (9, "dn", "of 9 sowings to come 1 is dropped; 1 is new besides."),
        (1, "", "of 1 sowing to come none changes."),
        (0, "nn", "2 are new."),
    ],
)
def test_what_comes_besides_is_no_change_of_what_was_planned(sample_plan, coming, changes, said):
    found = Changes(date(2026, 12, 5), coming, kinds(sample_plan, changes))
    assert found.many == sum(letter in "cd" for letter in changes)
    assert found.added == changes.count("n")
    first = headline(found, sample_plan, sample_plan)[0]
    assert first == f"Planned again from 5 December 2026: {said}"


def test_of_which_crops_less_or_more_comes_is_told_by_name(sample_plan):
    """Of the first want's crop half as much comes as before; told forth, and back as more."""
    crop = next(w.crop for w in sample_plan.wants if w.met > 0)
    fewer = tuple(
        replace(w, met=w.met / 2) if w.crop == crop else w for w in sample_plan.wants
    )  # fmt: skip
    less = replace(sample_plan, wants=fewer)
    nothing = Changes(date(2026, 12, 5), 0, ())
    name = sample_plan.crop(crop).name.partition(", ")[0]

    def by_crop(old, new):
        return [line for line in headline(nothing, old, new) if " than before comes of " in line]

    assert by_crop(sample_plan, sample_plan) == []
    (told,) = by_crop(sample_plan, less)
    assert told.startswith(f"Less than before comes of {name} (")
    (told,) = by_crop(less, sample_plan)
    assert told.startswith(f"More than before comes of {name} (")


def test_cleared_a_day_sooner_is_done_alike_a_week_sooner_is_not(sample_plan):
    p = sample_plan.plantings[0]
    sooner = replace(p, cleared=p.cleared - timedelta(days=1), harvest_start_early=p.sow)
    assert done_alike(p, sooner)
    assert not done_alike(p, replace(p, cleared=p.cleared - timedelta(days=7)))
    assert not done_alike(p, replace(p, plants=p.plants + 1))


def test_the_day_of_clearing_is_that_of_the_job(sample_plan):
    """More on it than is wanted, and for three weeks longer: told with the new plan's own job."""

    def clearing(plan):
        jobs = [one for task in tasks(plan) for one in task.jobs if one.kind == "clear"]
        return {one.planting: one.day for one in jobs}

    def longer(p):
        last = p.lots[-1].last + timedelta(days=21)
        lots = (*p.lots[:-1], replace(p.lots[-1], last=last, amount=2 * p.lots[-1].amount))
        return replace(p, lots=lots, harvest_end=last, cleared=last + timedelta(days=1))

    def told(old, new, plan, today):
        found = Changes(today, 0, (Change("standing", old, new),))
        return sections(found, sample_plan, plan)[0][1][0]

    before, seen = clearing(sample_plan), 0
    for p in sample_plan.plantings:
        others = tuple(longer(p) if q == p else q for q in sample_plan.plantings)
        plan = replace(sample_plan, plantings=others)
        if p.id in before:
            day, said = clearing(plan)[p.id], told(p, longer(p), plan, date(2026, 9, 2))
            assert (f"cleared on {day:%-d %B}" in said) == (day != before[p.id])
            seen += day != before[p.id]
    assert seen
    gone = replace(p, cleared=date(2026, 10, 28))
    assert "gone since 28 October" in told(p, gone, sample_plan, date(2026, 10, 30))
