"""Plants bought at planting-out age, from the garden file to a season planned again.

The checks are of common sense, no source: what is bought is there on the day it goes out, takes no
cells, and grows as one of one's own that went out that day.
"""

from collections import Counter
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest

from gardens import garden_of
from sowplan.growth.conditions import bought_for
from sowplan.growth.evolve import evolve
from sowplan.records.crop_table import read_crops
from sowplan.records.diary import Entry
from sowplan.records.garden import (
    Bed,
    Channel,
    FixedSowing,
    Pot,
    Season,
    Tray,
    Want,
    Where,
)
from sowplan.records.tables import crops_folder, read_table
from sowplan.season.choices.candidates import book_of, with_more
from sowplan.season.choices.instance import BOUGHT, DIRECT, Minutes
from sowplan.season.choices.work import hours_by_week
from sowplan.season.planner import make_plan
from sowplan.season.revise.again import revise
from sowplan.season.settled import cannot_be
from sowplan.site.sky import sky

CROPS, _ = read_crops()
AT = Where("garden.toml", "[[bed]] 1", 1)
DAY = timedelta(days=1)
BED = Bed("Near", 2.4, 1.0, 0.4, AT)
FAR = Bed("Far", 2.0, 1.0, 0.4, AT)
SHELF = Tray("Shelf", 200, AT, 20.0, 16.0, 250.0)
PLANTS = "bought plants"


def want(crop="cabbage-summer", amount=1, first=date(2026, 12, 20), last=date(2027, 3, 20), **how):
    how = {"raising": PLANTS} | how
    return Want(crop, amount, CROPS[crop].harvest_unit, 7, first, last, AT, **how)


def garden(*wants, sowings=(), trays=(), beds=(BED, FAR), pots=(), **season):
    return garden_of(
        season=Season(date(2026, 9, 1), date(2027, 4, 30), (5,), **season),
        beds=beds,
        pots=pots,
        trays=trays,
        wants=wants,
        sowings=sowings,
    )


def fixed(crop="chard", day=date(2026, 10, 3), plants=4, place=None, raising=None):
    return FixedSowing(crop, day, plants, AT, place, raising)


def planned(place, effort=0.1):
    made, problems = make_plan(place, CROPS, effort=effort)
    assert problems == []
    return made


# -- the season planned


def test_a_garden_without_a_tray_buys_its_plants():
    made = planned(garden(want(), want("tomato", 0.5, date(2027, 2, 1), date(2027, 3, 31))))
    assert {p.crop for p in made.plantings} == {"cabbage-summer", "tomato"}
    for p in made.plantings:
        assert p.bought and p.tray is None and not p.cells and not p.seeds
        assert p.sow == p.emergence == p.planting_out and p.sow.weekday() == 5
    each = {(p.crop, p.sow) for p in made.plantings}
    assert made.quality.sowings == len(each)  # in however many strips


def test_it_grows_as_ones_own_that_goes_out_that_day():
    """Of every Saturday on which a seedling of the shelf goes out in the same garden."""
    wants = want("tomato"), want("tomato", raising="in trays")
    book = book_of(garden(*wants, trays=(SHELF,)), CROPS)
    (own,) = [way for way in book.ways if way.tray >= 0]
    (bought,) = [way for way in book.ways if way.tray == BOUGHT]
    row = {day: n for n, day in enumerate(bought.courses.sow.tolist())}
    met = 0
    for n in np.flatnonzero(own.courses.feasible):
        out = int(own.courses.planting_out[n])
        same = row.get(out)
        if same is not None:
            assert bought.courses.feasible[same]
            assert np.array_equal(own.courses.lot_ready[n], bought.courses.lot_ready[same])
            met += 1
    assert met >= 5


def test_it_takes_its_ground_on_its_day_and_no_cells():
    options = book_of(garden(want(), trays=(SHELF,)), CROPS).instance.crops[0].options
    assert len(options) and set(options.tray.tolist()) == {BOUGHT}
    assert np.array_equal(options.sow, options.into)


def test_bought_and_direct_on_one_day_are_two_sowings():
    near, far = want("chard", places=("Near",)), want("chard", places=("Far",), raising="direct")
    options = book_of(garden(near, far), CROPS).instance.crops[0].options
    assert set(options.tray.tolist()) == {BOUGHT, DIRECT}
    ways = {}
    for number, key in enumerate(options.sowing):
        ways.setdefault(key, set()).add((int(options.sow[number]), int(options.tray[number])))
    assert all(len(found) == 1 for found in ways.values())
    assert len(ways) == len(set(zip(options.sow.tolist(), options.tray.tolist(), strict=True)))


def test_a_handful_is_worth_buying_where_a_row_is_worth_sowing():
    """By hand: chard 25 cm apart, six in a row across a metre and a half.

    A week's want is more than a row, and a twentieth of the bed's metre holds none.
    """
    chard = CROPS["chard"]
    assert chard.spacing_cm == 25 and 24 / chard.units_per_plant > 6
    short = (Bed("Short", 1.0, 1.5, 0.4, AT),)
    least = {}
    for how in (PLANTS, "direct"):
        place = garden(want("chard", 24, raising=how), beds=short)
        least[how] = set(book_of(place, CROPS).instance.crops[0].least)
    assert least == {PLANTS: {3}, "direct": {6}}


def test_a_lifted_limit_buys_too():
    book = book_of(garden(want(), trays=(SHELF,)), CROPS)
    more, had = with_more(book, 0, tuple(n + 2 for n in book.sow_days[:-1]))
    options = more.instance.crops[0].options
    assert len(options) > had and set(options.tray.tolist()) == {BOUGHT}


def test_work_is_to_plant_out_and_to_clear():
    """By hand, from ``crops/work.csv``; nothing is sown, and nobody is paid to go shopping."""
    assert Minutes(2.0, 0.5, 0.3, 1.0, 0.8, 0.6).jobs(None, 30, 90) == [
        (30, 0.8, 2.0),
        (90, 0.6, 2.0),
    ]
    table, _ = read_table(crops_folder() / "work.csv")
    minutes = {row.cells["task"]: float(row.cells["minutes"]) for row in table.rows}
    made = planned(garden(sowings=(fixed(raising=PLANTS),)))
    (p,) = made.plantings
    week = hours_by_week(made)[date(2026, 9, 28)]  # of Saturday the 3rd of October
    assert week * 60 == pytest.approx(minutes["begin"] + 4 * minutes["plant_out"])


def test_what_is_missing_is_told_of_plants():
    made = planned(garden(want("tomato", 0.5, date(2026, 11, 10), date(2027, 2, 20))))
    first = min(made.wants, key=lambda w: w.start)
    assert first.met == 0 and "nothing planted this season is ready before" in first.why
    assert not any("sown" in w.why or "sowing" in w.why for w in made.wants)
    assert not any("sown" in gain.what for gain in made.gains)


# -- settled in the file


@pytest.mark.parametrize(
    ("wants", "sowing", "way"),
    [
        ((want("chard"),), fixed(), PLANTS),  # as the want has it
        ((want("chard"),), fixed(raising="direct"), "direct"),
        ((want("chard", raising=None),), fixed(raising=PLANTS), PLANTS),
        ((), fixed(raising=PLANTS, place="Pots"), PLANTS),
        ((), fixed(), "in trays"),
        # Of two wants that say otherwise it is sown: its day is one of sowing, then.
        (
            (
                want("chard"),
                want("chard", first=date(2027, 4, 1), last=date(2027, 4, 20), raising="direct"),
            ),
            fixed(),
            "direct",
        ),
    ],
)
def test_a_sowing_of_ones_own(wants, sowing, way):
    made = planned(
        garden(*wants, sowings=(sowing,), trays=(SHELF,), pots=(Pot("Pots", 4, 20.0, AT),))
    )
    (own,) = [p for p in made.plantings if p.fixed]
    assert (own.raising, own.sow) == (way, sowing.day)
    assert own.place == (sowing.place or own.place)


def test_a_channel_takes_bought_plants():
    rail = (Channel("Rail", 12, 0.2, AT),)
    place = garden(sowings=(fixed("basil", date(2027, 1, 5), place="Rail", raising=PLANTS),))
    (own,) = planned(replace(place, channels=rail)).plantings
    assert (own.raising, own.place, own.slots) == (PLANTS, "Rail", (1, 2, 3, 4))


def test_its_own_day_need_be_no_day_of_sowing():
    """3 October 2026 is a Saturday, the day to sow on; this goes out on the Tuesday after."""
    made = planned(garden(sowings=(fixed(day=date(2026, 10, 6), raising=PLANTS),)))
    assert [p.planting_out for p in made.plantings] == [date(2026, 10, 6)]


def test_too_early_is_told():
    (problem,) = cannot_be(
        garden(sowings=(fixed("tomato", date(2026, 9, 5), raising=PLANTS),)), CROPS
    )
    assert (
        "Tomato planted out on 5 September: nights too cold to plant it out until "
        in problem.message
    )


# -- planned again


@pytest.fixture(scope="module")
def season():
    """Return (garden, plan): cabbages bought in several lots, radishes sown."""
    place = garden(
        want("cabbage-summer", 2, date(2026, 12, 12), date(2027, 4, 10)),
        want("radish", 2, date(2026, 11, 1), date(2027, 4, 10), raising=None),
    )
    return place, planned(place, 0.2)


def again(place, plan, today, *entries):
    made, gone, problems = revise(plan, place, CROPS, today, entries, "diary.txt")
    assert problems == []
    return made, gone


def next_lot(plan, today):
    """Return the bought planting that goes out next."""
    return min(
        (p for p in plan.plantings if p.bought and p.sow >= today), key=lambda p: (p.sow, p.id)
    )


def middle(plan):
    """Return a day a few days before a lot goes out, when another stands already."""
    days = sorted({p.sow for p in plan.plantings if p.bought})
    assert len(days) >= 3
    return days[1] - 3 * DAY


@pytest.mark.parametrize("days", [0, 60, 110, 170])
def test_as_planned_nothing_changes(season, days):
    place, plan = season
    made, gone = again(place, plan, place.season.start + days * DAY)
    assert made is plan and not gone


def test_what_is_bought_is_planted_though_it_is_wanted_no_more(season):
    place, plan = season
    today = middle(plan)
    p = next_lot(plan, today)
    less = replace(place, wants=place.wants[1:])
    made, _ = again(less, plan, today)
    assert p.id not in {q.id for q in made.plantings}
    made, _ = again(less, plan, today, Entry(today - DAY, "bought", p.id))
    assert p in made.plantings
    assert not [q for q in made.plantings if q.bought and q.sow >= today and q != p]


@pytest.mark.parametrize("late", [-4, 5])
def test_planted_on_another_day_it_grows_from_then(season, late):
    place, plan = season
    p = next_lot(plan, middle(plan))
    out = p.planting_out + late * DAY
    today = max(out, p.planting_out) + 6 * DAY
    made, _ = again(place, plan, today, Entry(out, "planted", p.id))
    now = next(q for q in made.plantings if q.id == p.id)
    assert now.bought and now.sow == now.planting_out == out
    start = out.replace(day=1)
    whole = sky(place.site, place.climate, start, 400)
    bed = next(bed for bed in place.beds if bed.name == p.place)
    table = evolve(CROPS[p.crop], whole, [(out - start).days], bought_for(bed, place.site))
    assert abs((now.harvest_start - table.course(0).harvest_start).days) <= 1
    assert (now.harvest_start > p.harvest_start) == (late > 0)


def test_some_lost_before_they_are_planted(season):
    place, plan = season
    today = middle(plan)
    p = next(q for q in plan.plantings if q.bought and q.sow > today and q.plants > 1)
    made, _ = again(place, plan, p.sow - DAY, Entry(p.sow - 2 * DAY, "lost", p.id, 1))
    now = next(q for q in made.plantings if q.id == p.id)
    assert (now.plants, now.lost, now.sow) == (p.plants - 1, 1, p.sow)


def test_a_bed_taken_away_sends_them_to_another(season):
    place, plan = season
    today = middle(plan)
    p = next_lot(plan, today)
    left = replace(place, beds=tuple(bed for bed in place.beds if bed.name != p.place))
    made, gone = again(left, plan, today, Entry(today - DAY, "bought", p.id))
    now = next((q for q in made.plantings if q.id == p.id), None)
    if now is None:
        assert p.id in {one.planting.id for one in gone}
    else:
        assert now.place != p.place and now.bought and now.plants == p.plants
        assert now.sow == now.planting_out >= today


def test_bought_from_now_on(season):
    """Seedlings in their trays go on; what was still to be sown is bought instead."""
    place, _ = season
    wants = tuple(replace(w, raising="in trays") for w in place.wants[:1]) + place.wants[1:]
    trays = replace(place, wants=wants, trays=(SHELF,))
    plan = planned(trays, 0.2)
    today = min(p.planting_out for p in plan.plantings if p.tray) - DAY
    made, _ = again(replace(place, trays=(SHELF,)), plan, today)
    for p in made.plantings:
        if p.crop == "cabbage-summer":
            assert p.bought if p.sow >= today else p.tray
    assert Counter(p.bought for p in made.plantings if p.crop == "cabbage-summer")[True] >= 1
    same = {p.id: p for p in plan.plantings if p.sow < today}
    assert all(q == same[q.id] for q in made.plantings if q.id in same)


@pytest.mark.parametrize(
    ("what", "words"),
    [("sown", "its plants are bought"), ("bought", "it is sown, and not bought")],
)
def test_a_diary_that_cannot_be_so(season, what, words):
    place, plan = season
    bought = what == "sown"
    p = next(q for q in plan.plantings if q.bought == bought)
    made, _, problems = revise(
        plan, place, CROPS, p.sow + DAY, [Entry(p.sow, what, p.id)], "diary.txt"
    )
    assert made is None and words in problems[0].message


def test_bought_and_planted_on_the_planned_days_nothing_changes(season):
    place, plan = season
    today = middle(plan) + 4 * DAY
    entries = [
        entry
        for p in plan.plantings
        if p.bought and p.sow < today
        for entry in (Entry(p.sow - 3 * DAY, "bought", p.id), Entry(p.sow, "planted", p.id))
    ]
    assert entries
    made, gone = again(place, plan, today, *entries)
    assert made is plan and not gone
