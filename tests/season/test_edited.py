"""The garden file edited between plan and revising: what it does not ask for stays as planned.

The checks are of common sense, no source: none of them asks the code under test.
"""

from dataclasses import replace

import pytest

from midseason import CROPS, DAY, again, at, at_mid_season, garden, recount, served
from sowplan.export.changes import changes_text, headline
from sowplan.records.diary import Entry
from sowplan.records.garden import Bed
from sowplan.season.archive import from_json, to_json
from sowplan.season.planner import make_plan
from sowplan.season.revise.changes import NEEDLESS, changes_between


@pytest.fixture(scope="module", params=["south", "north"])
def season(request):
    """Return (garden, plan, a day at mid-season) in both hemispheres."""
    return at_mid_season(request.param == "south")


def with_season(place, **fields):
    return replace(place, season=replace(place.season, **fields))


def to_do(p):
    """Return all that is to be done for a sowing, and where."""
    return (
        p.crop, p.place, p.tray, p.cells, p.plants, p.sow, p.planting_out, p.strip_start_m,
        p.strip_length_m, p.slots, p.cleared,
    )  # fmt: skip


def otherwise(plan, made):
    """Return the sowings of a plan that are not to be done so any more."""
    there = {to_do(p) for p in made.plantings}
    return [p for p in plan.plantings if to_do(p) not in there]


@pytest.mark.parametrize("days", [(5, 0), (5, 0, 1, 2, 3, 4, 6), ()])
def test_more_days_to_sow_on_move_nothing(season, days):
    """A Monday added, every day, or none named at all: what is planned for a Saturday can stay."""
    place, plan, today = season
    assert place.season.sow_on == (5,) and any(p.planting_out for p in plan.plantings)
    made, gone = again(with_season(place, sow_on=days), plan, today)
    assert not otherwise(plan, made) and gone == []
    assert again(with_season(place, sow_on=days), made, today) == (made, [])


def test_a_seedling_in_its_tray_keeps_its_day_though_others_came(season):
    """It is looked at again because harvests have other days now."""
    place, plan, _ = season
    p = next(p for p in plan.plantings if p.tray and not p.fixed and p.sow > place.season.start)
    today = p.sow + 2 * DAY
    edited = with_season(place, sow_on=(5, 0, 2), harvest_on=(1, 4, 5))
    made, _ = again(edited, plan, today)
    now = next(q for q in made.plantings if q.id == p.id)
    assert now.harvest_start.weekday() in (1, 4, 5)
    assert (now.planting_out, now.place) == (p.planting_out, p.place)


def test_a_day_lost_moves_what_was_on_it_and_says_it_had_to(season):
    place, _, _ = season
    two = with_season(place, sow_on=(5, 2))
    plan, problems = make_plan(two, CROPS, effort=0.1)
    assert problems == []
    today = place.season.start + 80 * DAY
    coming = [p for p in plan.plantings if p.sow >= today and not p.fixed]
    waiting = [p for p in plan.plantings if p.sow < today <= (p.planting_out or p.sow)]
    on_it = [p for p in coming if 2 in (p.sow.weekday(), p.occupies_from.weekday())]
    assert on_it
    made, gone = again(place, plan, today)
    days = {q.weekday() for p in made.plantings for q in (p.sow, p.occupies_from)
            if q >= today and not p.fixed}  # fmt: skip
    assert days <= {5}
    for p in waiting:  # sown already: it goes out on a day that is left, the others on their own
        now = next((q for q in made.plantings if q.id == p.id), None)
        assert now is None or p.occupies_from.weekday() == 2 or to_do(now) == to_do(p)
    told = changes_between(plan, made, today, gone, place)
    had_to = {c.planting.id for c in told.changes if c.had_to}
    assert {p.id for p in on_it} <= had_to
    chosen = [p for p in otherwise(plan, made) if p.sow >= today and p.id not in had_to]
    assert len(chosen) <= max(2, len(coming) / 10)
    assert "could not stay as planned" in headline(told, plan, made)[0]
    recount(made)
    served(made)
    # Most stay where they were: only the day is another.
    after = {p.id: p for p in made.plantings}
    there = [p for p in on_it if p.id in after and after[p.id].place == p.place]
    assert len(there) >= len(on_it) / 2
    assert again(place, made, today) == (made, [])


@pytest.mark.parametrize("days", [40, 60, 90])
def test_a_seedling_whose_day_is_lost_goes_out_no_sooner(season, days):
    """Its ground may be taken until its day."""
    place, plan, _ = season
    today = place.season.start + days * DAY
    waiting = [p for p in plan.plantings if p.sow < today <= p.occupies_from and not p.fixed]
    assert waiting
    made, _ = again(with_season(place, sow_on=(2,)), plan, today)
    after = {p.id: p for p in made.plantings}
    for p in waiting:
        if p.id in after:
            assert after[p.id].planting_out > p.planting_out
            assert after[p.id].planting_out.weekday() == 2
    recount(made, today)


def test_other_names_are_other_names_and_nothing_else(season):
    place, plan, today = season
    near, far = place.beds
    edited = replace(
        place,
        beds=(replace(near, name="By the wall"), far),
        trays=(replace(place.trays[0], name="Bench"),),
        sowings=tuple(replace(s, place="By the wall") for s in place.sowings),
    )
    made, gone = again(edited, plan, today)
    assert gone == [] and made.revision == plan.revision + 1
    names = {"Near": "By the wall", "Shelf": "Bench"}
    assert made.plantings == tuple(
        replace(p, place=names.get(p.place, p.place), tray=names.get(p.tray, p.tray))
        for p in plan.plantings
    )
    told = changes_between(plan, made, today, gone, edited)
    assert told.changes == () and dict(told.renamed) == names
    text = changes_text(told, plan, made)
    assert "Near is called By the wall now." in text and "Shelf is called Bench now." in text
    assert again(edited, made, today) == (made, [])


def test_a_bed_of_other_measures_in_its_stead_is_another_bed(season):
    place, plan, today = season
    near, far = place.beds
    other = Bed("By the wall", near.length_m - 0.1, near.width_m, near.depth_m, at("[[bed]] 1"))
    made, gone = again(replace(place, beds=(other, far), sowings=()), plan, today)
    assert {one.why for one in gone} & {"Near is no more"}
    assert not any(p.place == "Near" and p.cleared > today for p in made.plantings)


def test_a_bed_given_up_and_later_one_like_it_are_two(season):
    place, plan, today = season
    near, far = place.beds
    less = replace(place, beds=(far,), sowings=())
    made, _ = again(less, plan, today)
    assert "Near" in {p.name for p in made.places}
    later = replace(less, beds=(far, replace(near, name="By the wall")))
    more, _ = again(later, made, today + 7 * DAY)
    assert {"Near", "By the wall"} <= {p.name for p in more.places}
    assert [p for p in more.plantings if p.place == "Near"] == [
        p for p in made.plantings if p.place == "Near"
    ]


def test_what_is_wanted_no_longer_is_dropped_for_that(season):
    place, plan, today = season
    last = max(p.harvest_start for p in plan.plantings if p.crop == "radish")
    wants = tuple(replace(w, end=last - 40 * DAY) if w.crop == "radish" else w for w in place.wants)
    made, gone = again(replace(place, wants=wants), plan, today)
    late = {p.id for p in plan.plantings if p.crop == "radish" and p.harvest_start == last}
    assert late
    assert {one.why for one in gone if one.planting.id in late} == {NEEDLESS}
    assert not late & {p.id for p in made.plantings}


def test_days_away_move_what_was_to_be_planted_out_on_them(season):
    place, plan, _ = season
    p = next(p for p in plan.plantings if p.tray and not p.fixed and p.sow > place.season.start)
    away = ((p.planting_out, p.planting_out + DAY),)
    edited = with_season(place, away=away)
    for today in (p.sow - DAY, p.sow + DAY):  # still to be sown, or in its tray
        made, gone = again(edited, plan, today)
        now = next((q for q in made.plantings if q.id == p.id), None)
        assert now is None or not away[0][0] <= now.planting_out <= away[0][1]
        told = changes_between(plan, made, today, gone, edited)
        (change,) = (c for c in told.changes if c.planting.id == p.id)
        assert change.had_to or change.kind in ("standing", "gone")


def test_a_diary_is_kept_to_under_new_names():
    place, plan, today = at_mid_season(True)
    p = next(q for q in plan.plantings if q.place == "Far" and q.sow < today < q.harvest_start)
    beds = (place.beds[0], replace(place.beds[1], name="Beyond"))
    made, _ = again(replace(place, beds=beds), plan, today, Entry(today - DAY, "lost", p.id, 1))
    now = next(q for q in made.plantings if q.id == p.id)
    assert (now.place, now.lost) == ("Beyond", 1)
    assert garden(True) == place


# -- the gardener's own sowings


@pytest.mark.parametrize("what", ["lost", "skipped", "cleared"])
def test_an_own_sowing_that_is_no_more_is_not_sown_again(season, what):
    place, plan, _ = season
    (own,) = [p for p in plan.plantings if p.fixed]
    day = own.sow + 20 * DAY
    number = own.plants if what == "lost" else None
    entry = Entry(day, what, own.id, number)
    made, gone = again(place, plan, day + DAY, entry)
    assert own.id in {one.planting.id for one in gone}
    for _ in range(2):
        assert not [p for p in made.plantings if p.fixed]
        made, gone = again(place, made, day + 2 * DAY, entry)
        assert gone == []
    # Another, written below it or in its stead, is sown; so is the first where it was a slip.
    first = place.sowings[0]
    later = replace(first, day=day + 9 * DAY)
    for sowings, entries in (((first, later), [entry]), ((later,), [entry]), ((first,), [])):
        more, _ = again(replace(place, sowings=sowings), made, day + 2 * DAY, *entries)
        (sown,) = [p for p in more.plantings if p.fixed]
        assert sown.sow == sowings[-1].day and sown.id != own.id
        assert from_json(to_json(more)) == more
        assert again(replace(place, sowings=sowings), more, day + 2 * DAY, *entries)[0] is more
