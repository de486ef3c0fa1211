"""While the gardener is away: what overgrows, and what somebody who waters or picks makes of it."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from gardens import garden_of
from sowplan.growth.conditions import bought_for, conditions_of
from sowplan.growth.succession import HORIZON_DAYS
from sowplan.records.crop_table import read_crops
from sowplan.records.diary import entry_for
from sowplan.records.garden import Bed, Season, Tray, Want, Where
from sowplan.season.archive import from_json, to_json
from sowplan.season.choices.candidates import book_of
from sowplan.season.choices.instance import DIRECT
from sowplan.season.days import planting_days, sowing_days, watered_days, why_not_sown
from sowplan.season.planner import make_plan
from sowplan.season.revise.again import revise
from sowplan.season.revise.happened import happened_to
from sowplan.season.year import year_of
from sowplan.site.sky import sky
from sowplan.supply.tasks import tasks

CROPS, _ = read_crops()
AT = Where("garden.toml", "[[want]] 1", 1)
AWAY = ((date(2027, 2, 6), date(2027, 2, 20)),)
BACK = date(2027, 2, 21)
TENDED = {
    "nobody": {},
    "watered": {"watered": AWAY},
    "picked": {"watered": AWAY, "picked": AWAY},
}


def garden(crops=("courgette", "climbing-bean", "rocket"), **season):
    """Return an invented garden at 41° S; two weeks away at the height of beans and courgettes."""
    much = {"courgette": (2, "piece"), "climbing-bean": (0.5, "kg"), "rocket": (1, "bunch")}
    first, last = date(2027, 1, 2), date(2027, 3, 31)
    return garden_of(
        season=Season(
            date(2026, 9, 1), date(2027, 4, 30), **({"sow_on": (5,), "away": AWAY} | season)
        ),
        beds=(Bed("Bed", 4.0, 1.2, 0.4, AT), Bed("Box", 2.0, 1.0, 0.3, AT)),
        trays=(Tray("Shelf", 60, AT, 18.0, 14.0, 180.0),),
        wants=tuple(Want(key, *much[key], 7, first, last, AT) for key in crops),
    )


@pytest.fixture(scope="module", params=TENDED)
def season(request):
    made, problems = make_plan(garden(**TENDED[request.param]), CROPS, effort=0.2)
    assert not problems
    return request.param, made


def test_days_just_before_are_closed_only_where_nobody_waters():
    """By hand: nothing sown in five days before a long absence, nothing planted out in three."""
    whole = garden()
    wednesdays = replace(whole, season=replace(whole.season, sow_on=(2,)))
    before = date(2027, 2, 3)
    tended = replace(wednesdays, season=replace(wednesdays.season, watered=AWAY))
    assert before not in sowing_days(wednesdays) and before in sowing_days(tended)
    assert not any(AWAY[0][0] <= day <= AWAY[0][1] for day in sowing_days(tended))
    assert "nobody waters" in why_not_sown(wednesdays.season, before)
    assert why_not_sown(tended.season, before) == ""
    assert why_not_sown(tended.season, AWAY[0][0]) == "nobody is there"
    start = date(2027, 2, 1)
    open_, shut = (
        planting_days(replace(g.season, sow_on=()), start, 28) for g in (tended, wednesdays)
    )
    days = range(1, 29)
    assert [n for n in days if not open_[n - 1]] == list(range(6, 26))  # hardened off after
    assert [n for n in days if not shut[n - 1]] == list(range(3, 26))


SET = ("potato", "potato-early", "garlic", "shallot", "onion-sets")
"""Tubers, cloves and bulbs, set dry and left (common practice: seed potatoes are not watered before
they sprout, gardenguides.com/119510; that slips of sweet potato are watered in at once, durgan.org
and biologyinsights.com)."""


@pytest.mark.parametrize("crop", [*SET, "rocket", "carrot"])
def test_what_lives_on_its_own_store_may_be_set_just_before_days_away(crop):
    """Three days before two weeks away, nobody waters: tubers and cloves are set, seed is not."""
    # Wednesdays: bulbs are set early, and by November no frost is feared for potatoes.
    day = date(2026, 9, 2) if CROPS[crop].group == "allium" else date(2026, 11, 11)
    alone, first = crop in SET, day + timedelta(days=3)
    away = ((first, first + timedelta(days=13)),)
    wanted = (Want(crop, 1, "plants", 300, date(2026, 10, 1), date(2027, 4, 30), AT),)
    going = replace(garden((), away=away, sow_on=(2,)), wants=wanted)
    book = book_of(going, CROPS)
    options = book.instance.crops[0].options
    sown = {book.day(n) for n in options.sow[options.tray == DIRECT].tolist()}
    assert (day in sown) == alone and day + timedelta(days=7) not in sown
    conditions = conditions_of(CROPS[crop], going.beds[0], None)
    outlook = sky(going.site, going.climate, day - timedelta(days=1), 365 + HORIZON_DAYS)
    row = year_of(going, CROPS[crop], outlook, 2, 1, conditions).rows[1]
    assert row.course.sow == day
    assert ("nobody waters" in row.course.reason) != alone


def test_slips_and_bought_plants_are_watered_in_for_some_days():
    """Seedlings, slips among them, three days before; seed in trays as all seed, five."""
    bed = garden().beds[0]
    slips, lettuce = CROPS["sweet-potato"], CROPS["lettuce-butterhead"]
    in_tray = conditions_of(lettuce, bed, garden().trays[0])
    assert watered_days(lettuce, in_tray) == 5
    assert watered_days(lettuce, bought_for(bed)) == watered_days(slips, bought_for(bed)) == 3
    assert slips.watered_days is None
    wanted = (
        Want("lettuce-butterhead", 2, "head", 7, date(2026, 11, 1), date(2026, 12, 31), AT,
             raising="bought plants"),
    )  # fmt: skip
    away = ((date(2026, 10, 3), date(2026, 10, 16)),)
    book = book_of(replace(garden((), away=away, sow_on=(0, 2)), wants=wanted), CROPS)
    bought = {book.day(n) for n in book.instance.crops[0].options.sow.tolist()}
    # Monday is five days before they go, Wednesday three.
    assert date(2026, 9, 28) in bought and date(2026, 9, 30) not in bought


@pytest.mark.parametrize("crop", ["courgette", "climbing-bean"])
def test_a_plant_left_unpicked_gives_again_only_after_its_fruit_had_time_to_grow(crop):
    """From the return: the age of the fruit when picked (`tests/published`), at a day's 18 °C."""
    nobody, picked = (
        book_of(garden((crop,), **TENDED[how]), CROPS) for how in ("nobody", "picked")
    )
    days = CROPS[crop].unpicked_days
    found = 0
    for book in (nobody, picked):
        options, back = book.instance.crops[0].options, book.index(BACK)
        for n in range(len(options)):
            lots = options.lots[n]
            ready = [a for a, _, _ in lots]
            stood = ready[0] < back - 20
            after = [a for a in ready if a >= back]
            if stood and after and book is nobody:
                assert after[0] >= back + days, (crop, after[0] - back)
                found += 1
            if stood and book is picked and max(ready) > back + 14:
                assert after[0] <= back + 14
    assert found


def test_the_plan_says_what_overgrows_and_when_it_is_taken_off(season):
    how, plan = season
    grown = [p for p in plan.plantings if p.overgrown]
    assert bool(grown) == (how != "picked")
    for p in grown:
        assert p.overgrown == (BACK,)
        again = [lot.ready for lot in p.lots if lot.ready >= BACK]
        if CROPS[p.crop].unpicked_days:
            assert not again or again[0] >= BACK + timedelta(days=CROPS[p.crop].unpicked_days)
    jobs = [task for task in tasks(plan) if task.kind == "take off"]
    assert bool(jobs) == bool(grown)
    assert all(BACK <= job.day <= job.until <= BACK + timedelta(days=3) for job in jobs)
    told = " ".join(plan.notes)
    assert ("will overgrow" in told) == bool(grown)
    assert from_json(to_json(plan)) == plan


def test_the_eve_says_whom_to_tell_and_what_to_pick(season):
    how, plan = season
    eve = [task for task in tasks(plan) if task.kind == "leave"]
    assert happened_to([entry_for(eve[0].id, eve[0].day)], plan, "diary", BACK) == ({}, [])
    assert [task.day for task in eve] == [AWAY[0][0] - timedelta(days=1)]
    text = eve[0].details
    assert text.startswith("Nobody is there" if how == "nobody" else "Somebody waters 6 to 20")
    assert ("small ones too" in text) == (how != "picked")
    assert ("Let them pick and cut" in text) == (how == "picked")
    assert ("tell whoever waters" in eve[0].title) == (how != "nobody")


def test_the_notes_say_whether_somebody_waters(season):
    how, plan = season
    said = {
        "nobody": "Nobody is there from 6 February",
        "watered": "Somebody waters from 6 February",
        "picked": "Somebody waters and picks from 6 February",
    }
    (note,) = [note for note in plan.notes if "6 February" in note]
    assert note.startswith(said[how])
    assert ("Let somebody water" in note) == (how == "nobody")


def test_nothing_is_sown_planted_out_or_harvested_meanwhile(season):
    _, plan = season
    first, last = AWAY[0]
    for p in plan.plantings:
        days = [p.sow, p.planting_out or p.sow, *(lot.ready for lot in p.lots)]
        assert not any(first <= day <= last for day in days), p.id
    kinds = {"sow", "plant out", "harvest", "clear", "take off", "harden off"}
    assert not [t for t in tasks(plan) if t.kind in kinds and first <= t.day <= last]


def test_who_picks_meanwhile_costs_the_kitchen_no_more_than_the_days_away():
    """What is wanted outside the days away is met as well as if it had been picked all along."""
    lack = {}
    for how, tended in TENDED.items():
        made, _ = make_plan(garden(("climbing-bean",), **tended), CROPS, effort=0.2)
        lack[how] = made.quality.missing_share
    assert lack["picked"] <= lack["nobody"] + 1e-9


def test_days_away_found_out_later_change_what_stands_already():
    """Planned as though always there; planned again a week before going, the beans stand."""
    crops = ("courgette", "climbing-bean")
    plan, problems = make_plan(garden(crops, away=()), CROPS, effort=0.2)
    assert not problems
    today = AWAY[0][0] - timedelta(days=7)
    going, before = garden(crops), {p.id: p for p in plan.plantings}
    made, _, problems = revise(plan, going, CROPS, today)
    assert not problems and made is not None and made.site.away == AWAY
    first, last = AWAY[0]
    stood = [p for p in made.plantings if p.id in before and p.sow < today]
    assert stood and any(p.overgrown == (BACK,) for p in stood)
    for p in stood:
        was = before[p.id]
        assert (p.sow, p.planting_out, p.plants) == (was.sow, was.planting_out, was.plants)
        assert not any(first <= day <= last for lot in p.lots for day in (lot.ready, lot.last))
        # What came before the days away is as it was.
        early = [lot for lot in was.lots if lot.last < first]
        assert [(lot.ready, lot.last) for lot in p.lots[: len(early)]] == [
            (lot.ready, lot.last) for lot in early
        ]
        if p.overgrown:
            again = BACK + timedelta(days=CROPS[p.crop].unpicked_days)
            assert all(lot.ready >= again for lot in p.lots if lot.ready > BACK)
    # Planned again with nothing changed, it stays the very plan; and going after all is undone.
    assert revise(made, going, CROPS, today)[0] is made
    assert any("Climbing bean" in note and "will overgrow" in note for note in made.notes)
    stays, _, _ = revise(made, garden(crops, away=()), CROPS, today)
    assert not any(p.overgrown for p in stays.plantings)
