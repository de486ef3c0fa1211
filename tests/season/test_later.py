"""Crops stand no longer than they serve, with some days in hand, and no season gets worse by it."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest

from instances import crop_of, in_rows, season_of
from sowplan.growth.evolve import evolve
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Bed, Climate, Garden, Season, Site, Tray, Want, Where
from sowplan.season.choices.candidates import book_of
from sowplan.season.choices.instance import FixedBatch
from sowplan.season.choices.late import LOST, late_days
from sowplan.season.planner import make_plan
from sowplan.season.search.later import SURE_DAYS, later
from sowplan.season.search.polish import IN_HAND_DAYS, LIFTED_DAYS, lengthen
from sowplan.season.search.standing import Standing
from sowplan.site.sky import sky

CROPS, _ = read_crops()
AT = Where("garden.toml", "[[want]] 1", 1)
DAY = timedelta(days=1)
COOL = Climate(
    tmin=(1, 1, 3, 4, 7, 10, 12, 12, 10, 7, 4, 2),
    tmax=(7, 8, 10, 13, 16, 19, 21, 21, 18, 14, 10, 7),
)


def leeks(raising, **changes):
    """Return a garden at 53° N that wants three leeks a week from October to January."""
    wants = (
        Want("leek", 3, "piece", 7, date(2027, 10, 2), date(2028, 1, 28), AT, raising=raising),
    )
    return replace(
        Garden(
            file="garden.toml",
            site=Site("Try-out", 53.0, -1.5, "Europe/London"),
            climate=COOL,
            season=Season(date(2027, 2, 1), date(2028, 2, 29), (5,)),
            beds=(Bed("Bed", 3.0, 1.2, 0.3, AT),),
            trays=(Tray("Sill", 80, AT, temperature_c=18.0),),
            wants=wants,
        ),
        **changes,
    )


def sown_first(garden, plants=51, safety=0.5):
    """Return the book of a garden, and its season with one sowing on the first possible day."""
    book = book_of(garden, CROPS, safety)
    standing = Standing(book.instance)
    options = book.instance.crops[0].options
    first = np.nonzero(options.sow == options.sow.min())[0]
    batch = standing.place(0, int(first[options.clear[first].argmax()]), plants)
    standing.add(batch)
    return book, standing


def only(standing):
    """Return the one batch of a season, with its option's sowing day, days in the bed and lots."""
    (batch,) = standing.batches.values()
    options = standing.instance.crops[batch.crop].options
    return batch, options.rows[batch.option], options.lots[batch.option]


@pytest.mark.parametrize("raising", ["bought plants", "in trays", "direct"])
def test_leeks_for_october_are_not_planted_in_february(raising):
    """Sown in March and April, planted out in June, lifted from October on: common practice, no
    source. Growers plant them where potatoes were, which they could not with leeks of February."""
    book, standing = sown_first(leeks(raising))
    batch, (_, into, *_), _ = only(standing)
    before = standing.score()
    assert book.day(into) < date(2027, 5, 1) and before.missing < 1e-9
    later(standing, late_days(book))
    after = standing.score()
    batch, (sow, into, *_), lots = only(standing)
    assert after.missing < 1e-9 and after.sowings == 1 and after.idle <= before.idle
    if raising == "direct":  # in the bed from the first; sown in spring all the same
        assert date(2027, 3, 15) <= book.day(sow) <= date(2027, 4, 30)
    else:
        assert date(2027, 5, 15) <= book.day(into) <= date(2027, 7, 15)
    # As late as a late year lets it, by the model of growth alone.
    course = book.instance.crops[0].options.course[batch.option]
    conditions = book.course(course)[0].conditions
    outlook = sky(book.garden.site, book.garden.climate, book.origin, 520)
    saturdays = np.arange(520) % 7 == (date(2027, 2, 6) - book.origin).days % 7
    days = np.array([sow, sow + 7])
    table = evolve(CROPS["leek"], outlook, days, conditions, 0.1, saturdays)
    first_week_ends = book.index(date(2027, 10, 8))
    assert table.harvest_start_late[0] <= first_week_ends < table.harvest_start_late[1]
    assert table.harvest_start[0] == lots[0][0] <= first_week_ends - SURE_DAYS


def test_a_cautious_plan_is_not_asked_for_the_same_days_again():
    """What is planned for a late year has those days in its dates."""
    into = []
    for safety in (0.5, 0.9):
        book, standing = sown_first(leeks("bought plants"), safety=safety)
        later(standing, late_days(book))
        into.append(only(standing)[1][1])
        assert standing.score().missing < 1e-9
    assert abs(into[0] - into[1]) <= 7


def test_the_whole_plan_has_them_late_as_well():
    plan, problems = make_plan(leeks("bought plants"), CROPS, effort=0.3)
    assert not problems and plan.quality.missing == 0
    assert min(p.planting_out for p in plan.plantings) >= date(2027, 5, 15)


def test_days_in_hand_are_those_of_the_model_of_growth():
    """Planted late they grow on in spring, or in a late year not at all before they bolt."""
    book = book_of(leeks("bought plants"), CROPS)
    (late,) = late_days(book)
    options = book.instance.crops[0].options
    assert len(late) == len(options)
    for option in range(len(options)):
        way, row = book.course(options.course[option])
        if (way.courses.late_ready[row] < 0).all():
            assert late[option] == LOST
        else:
            planned = options.lots[option][0][0]
            assert planned + late[option] == way.courses.harvest_start_late[row]


# Made-up seasons: a crop of 20 days, wanted in some weeks, sown on any Monday.


def standing_of(case, *batches, size=60, days=90, **changes):
    """Return a season with batches of (option, plants)."""
    season = replace(season_of(size, [case], days=days), **changes)
    standing = Standing(season)
    for option, plants in batches:
        standing.add(standing.place(0, option, plants))
    standing.log.clear()
    return standing


def mondays(**more):
    """Return a crop wanted in weeks 7 and 8, fit 20 days after it is sown and until week 8 ends."""
    sowings = [(7 * n, 20, 43 - 7 * n) for n in range(6)]
    return crop_of([7, 8], 4.0, sowings, in_rows(2, 5, 60), **more)


def test_it_comes_some_days_before_it_is_wanted():
    """Week 7 ends on day 55; of sowings fit 20 days later, that of day 28 leaves a week in hand,
    and that of day 35 none."""
    standing = standing_of(mondays(), (1, 8))
    later(standing)
    assert only(standing)[1][0] == 28
    standing = standing_of(mondays(), (1, 8))
    later(standing, [np.full(6, 7)])
    assert only(standing)[1][0] == 28
    standing = standing_of(mondays(), (1, 8))
    later(standing, [np.full(6, 8)])
    assert only(standing)[1][0] == 21


def test_what_a_late_year_would_lose_stays():
    late = np.full(6, LOST)
    standing = standing_of(mondays(), (1, 8))
    later(standing, [late])
    assert only(standing)[1][0] == 7


def test_what_the_gardener_settled_stays():
    case = mondays()
    options = case.options
    own = np.where(np.arange(len(options)) == 1, 0, -1)
    case = replace(case, options=replace(options, fixed=own))
    standing = standing_of(case, (1, 8), fixed=(FixedBatch(0, 8, 0),))
    assert only(standing)[0].fixed
    later(standing)
    assert only(standing)[1][0] == 7


def test_strips_of_one_sowing_stay_one_sowing():
    standing = standing_of(mondays(), (1, 4), (1, 4))
    later(standing)
    assert {b.option for b in standing.batches.values()} == {4}
    assert len(standing.batches) == 2 and standing.score().sowings == 1


def test_ground_that_is_taken_is_left_to_what_stands_there():
    """All the bed is another crop's from day 28 to day 62: only what stands before can stay."""
    case = mondays()
    other = crop_of([8], 24.0, [(28, 28, 6)], in_rows(2, 5, 60))
    season = season_of(60, [case, other], days=90)
    standing = Standing(season)
    standing.add(standing.place(1, 0, 20))
    kept = standing.place(0, 1, 4)
    standing.add(kept)
    before = standing.score()
    later(standing)
    after = standing.score()
    assert not before.better(after)
    for day in range(90):
        taken = 0
        for batch in standing.batches.values():
            _, into, clear, *_ = season.crops[batch.crop].options.rows[batch.option]
            if into <= day < clear:
                assert not taken & batch.mask
                taken |= batch.mask


def test_twice_is_no_more_than_once():
    standing = standing_of(mondays(), (1, 8), (3, 2))
    later(standing)
    once = sorted(standing.batches.values(), key=repr)
    later(standing)
    assert sorted(standing.batches.values(), key=repr) == once


def cleared_on(ends):
    """Return a crop sown on day 0, fit on day 20, wanted in weeks 3 to 5, cleared on some day."""
    case = crop_of([3, 4, 5], 2.0, [(0, 20, end - 20) for end in ends], in_rows(2, 5, 60))
    return replace(case, options=replace(case.options, course=0 * case.options.course))


def test_it_is_cleared_when_its_last_harvest_is_in():
    """Week 5 ends on day 41."""
    standing = standing_of(cleared_on((30, 42, 60, 80)), (3, 6))
    later(standing)
    assert only(standing)[1][2] == 42


def test_some_days_in_hand_and_no_more():
    standing = standing_of(cleared_on((42, 42 + IN_HAND_DAYS, 43 + IN_HAND_DAYS, 85)), (0, 6))
    lengthen(standing)
    assert only(standing)[1][2] == 42 + IN_HAND_DAYS


def test_strips_of_one_sowing_are_cleared_on_one_day():
    """One stands beside what comes on day 44, the other beside nothing."""
    case = cleared_on((42, 49))
    other = crop_of([8], 20.0, [(44, 14, 6)], in_rows(2, 5, 60))
    season = season_of(20, [case, other], days=90)
    season = replace(season, spots=(season.spots[0], replace(season.spots[0], name="Other")))
    standing = Standing(season)
    for crop, plants, spot in ((1, 4, 0), (0, 4, 0), (0, 2, 1)):
        standing.add(standing.place(crop, 0, plants, [spot]))
    lengthen(standing)
    assert len({b.option for b in standing.of_crop[0].values()}) == 1


def test_what_is_cut_again_and_stands_to_the_end_may_stand_on():
    """It is not pulled up some days before the season ends, nor is the season's last day beyond
    what it may stand longer."""
    case = cleared_on((42, 70))
    options = case.options
    twice = replace(
        options,
        lot_option=np.repeat(options.lot_option, 2),
        lot_ready=np.array([20, 27, 20, 27]),
        lot_last=np.repeat(options.lot_last, 2),
        lot_expiry=np.repeat(options.lot_expiry, 2),
        lot_share=np.full(4, 0.5),
    )
    case = replace(case, options=twice)
    standing = standing_of(case, (1, 6), days=70)
    later(standing)
    assert only(standing)[1][2] == 70
    standing = standing_of(case, (0, 6), days=70)
    lengthen(standing)
    assert only(standing)[1][2] == 70
    standing = standing_of(case, (0, 6), days=90)
    lengthen(standing)
    assert only(standing)[1][2] == 42


def test_a_fortnight_to_lift_what_goes_into_the_store():
    case = replace(cleared_on((42, 42 + LIFTED_DAYS, 43 + LIFTED_DAYS)), stored=True)
    standing = standing_of(case, (0, 6))
    lengthen(standing)
    assert only(standing)[1][2] == 42 + LIFTED_DAYS


def test_more_than_a_few_days_to_bring_it_in():
    """Fit on day 20 and cleared on day 27: a late year is still in time with the next day."""
    standing = standing_of(cleared_on((27, 55, 85)), (0, 6))
    lengthen(standing)
    assert only(standing)[1][2] == 55
