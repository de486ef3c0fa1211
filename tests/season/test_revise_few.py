"""Planning again changes at most a tenth of what was to come, but for what could not stay.

What is changed is counted here from the two plans, place by place and day by day.
"""

from dataclasses import replace
from datetime import timedelta

import pytest

from midseason import CROPS, DAY, again, at, at_mid_season, recount, served, standing
from sowplan.export.changes import headline
from sowplan.records.diary import Entry
from sowplan.records.garden import Bed
from sowplan.season.revise.again import revise
from sowplan.season.revise.changes import changes_between


@pytest.fixture(scope="module", params=["south", "north"])
def season(request):
    """Return (garden, plan, a day at mid-season) in both hemispheres."""
    return at_mid_season(request.param == "south")


def to_do(p):
    """Return all that is to be done for a sowing, and where."""
    return (
        p.crop, p.place, p.tray, p.cells, p.plants, p.sow, p.planting_out, p.strip_start_m,
        p.strip_length_m, p.slots, p.cleared,
    )  # fmt: skip


def count(plan, made, today):
    """Return how many sowings the plan had to come, and how many of them are not as they were."""
    coming = [p for p in plan.plantings if p.sow >= today]
    there = {to_do(p) for p in made.plantings}
    return len(coming), sum(to_do(p) not in there for p in coming)


def more_of(place, crop, times):
    """Return a garden in which so much more of a crop is wanted."""
    wants = tuple(replace(w, amount=w.amount * times) if w.crop == crop else w for w in place.wants)
    return replace(place, wants=wants)


def hit(plan, today, share):
    """Return the diary of a bad night: of what stands so many plants each are lost."""
    there = standing(plan, today)
    return [Entry(today - DAY, "lost", p.id, max(1, int(share * p.plants))) for p in there]


@pytest.mark.parametrize("days", [60, 110, 150])
@pytest.mark.parametrize("times", [1, 3])
def test_of_the_sowings_to_come_at_most_a_tenth_or_two_are_changed(season, days, times):
    """However much is lost, though three times as much is wanted of all, and with all the work."""
    place, plan, _ = season
    today = place.season.start + timedelta(days=days)
    bed = Bed("New", 1.5, 0.9, 0.4, at("[[bed]] 3"))
    garden = replace(place, beds=(*place.beds, bed))
    for want in place.wants:
        garden = more_of(garden, want.crop, times)
    for share in (0.3, 1.0):
        entries = hit(plan, today, share)
        made, gone = again(garden, plan, today, *entries, effort=1.0)
        coming, changed = count(plan, made, today)
        assert changed <= max(2, coming / 10), (coming, changed)
        told = changes_between(plan, made, today, gone)
        assert told.coming == coming and told.many <= changed and told.had_to == 0
        recount(made)
        served(made)


def test_what_cannot_stay_is_counted_apart(season):
    place, plan, today = season
    lost, *left = place.beds
    less = replace(place, beds=tuple(left), sowings=())
    made, gone = again(less, plan, today)
    homeless = [p for p in plan.plantings if p.sow >= today and p.place == lost.name]
    assert homeless
    told = changes_between(plan, made, today, gone, less)
    had_to = {c.planting.id for c in told.changes if c.had_to}
    assert {p.id for p in homeless} <= had_to
    coming, changed = count(plan, made, today)
    assert changed - len(homeless) <= max(2, coming / 10) + len(had_to) - len(homeless)
    assert "could not stay as planned" in headline(told, plan, made)[0]
    assert again(less, made, today) == (made, [])


def test_a_bed_given_up_before_anything_stood_in_it_is_forgotten(season):
    place, plan, _ = season
    today = place.season.start
    less = replace(place, beds=place.beds[:1])
    assert any(p.place == place.beds[1].name for p in plan.plantings)
    made, _ = again(less, plan, today)
    assert {p.name for p in made.places} == {p.name for p in less.places}
    assert again(less, made, today) == (made, [])


def test_all_planned_anew_lacks_no_more(season):
    """Asked for, more than a tenth may change; what is sown and what is settled stands."""
    place, plan, today = season
    entries = hit(plan, today, 0.5)
    few, _, _ = revise(plan, place, CROPS, today, entries, effort=0.05)
    made, gone, problems = revise(plan, place, CROPS, today, entries, effort=0.05, anew=True)
    assert problems == []
    missing = [sum(1 - w.met / w.wanted for w in one.wants) for one in (few, made)]
    assert missing[1] <= missing[0] + 1e-6
    after = {p.id: p for p in made.plantings}
    lost = {one.planting.id for one in gone} | {entry.about for entry in entries}
    stood = [p for p in plan.plantings if p.sow < today and p.id not in lost]
    assert stood and all(after[p.id] == p for p in stood)
    settled = [
        [(p.crop, p.sow, p.plants) for p in one.plantings if p.fixed] for one in (plan, made)
    ]
    assert settled[0] == settled[1]
    recount(made)
    served(made)
    assert not any(
        "--anew" in line for line in headline(changes_between(plan, made, today), plan, made)
    )


def test_where_planning_anew_may_bring_more_it_is_named(season):
    place, plan, today = season
    for times in (1, 3):
        garden = more_of(place, "lettuce-butterhead", times)
        made, gone = again(garden, plan, today, *hit(plan, today, 0.5))
        lines = headline(changes_between(plan, made, today, gone), plan, made)
        most = made.quality.missing_share - made.quality.missing_share_bound
        assert any("--anew" in line for line in lines) == (most > 0.001)
