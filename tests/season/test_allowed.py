"""What the gardener allows of a crop: its places, trays or the open ground, how few at a time."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from gardens import garden_of
from sowplan.records.crop_table import read_crops
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
from sowplan.season.choices.candidates import book_of, with_more
from sowplan.season.planner import make_plan

CROPS, _ = read_crops()
AT = Where("garden.toml", "[[bed]] 1", 1)
BEDS = (Bed("Near", 1.2, 1.0, 0.3, AT), Bed("Far", 1.2, 1.0, 0.3, AT))
POTS = (Pot("Pots", 4, 20.0, AT),)


def want(crop="chard", amount=2, first=date(2026, 12, 5), last=date(2027, 2, 5), **how):
    return Want(crop, amount, CROPS[crop].harvest_unit, 7, first, last, AT, **how)


def garden(*wants, beds=BEDS, pots=POTS, sowings=()):
    return garden_of(
        season=Season(date(2026, 9, 1), date(2027, 4, 30), (5,)),
        beds=beds,
        pots=pots,
        trays=(Tray("Shelf", 60, AT, 18.0, 14.0, 180.0),),
        wants=wants,
        sowings=sowings,
    )


def case_of(*wants, **parts):
    return book_of(garden(*wants, **parts), CROPS).instance.crops[0]


def test_a_bed_apart_is_a_garden_of_that_bed_alone():
    """Kept to one bed, a plan and its bound are those of a garden that has no other."""
    kept, problems = make_plan(garden(want(amount=6, places=("Near",))), CROPS, effort=0.2)
    alone, _ = make_plan(garden(want(amount=6), beds=BEDS[:1], pots=()), CROPS, effort=0.2)
    assert not problems and {p.place for p in kept.plantings} == {"Near"}
    assert kept.quality.missing == pytest.approx(alone.quality.missing)
    assert kept.quality.missing_share_bound == pytest.approx(alone.quality.missing_share_bound)
    anywhere, _ = make_plan(garden(want(amount=6)), CROPS, effort=0.2)
    assert anywhere.quality.missing < kept.quality.missing


@pytest.mark.parametrize("raised", [True, False])
def test_direct_or_in_trays(raised):
    options = case_of(want(raising="in trays" if raised else "direct")).options
    assert len(options) and set(options.tray >= 0) == {raised}
    assert set(case_of(want()).options.tray >= 0) == {True, False}


def test_what_is_usually_sown_direct_is_raised_for_what_no_direct_sowing_brings():
    """Beans wanted from early December on: the first come from a tray, as it is too cold to sow."""
    case = case_of(want("bush-bean"))
    options, periods = case.options, case.periods
    reach = list(zip(periods.start.tolist(), periods.end.tolist(), strict=True))

    def served(option):
        lots = options.lots[option]
        return {n for n, (a, b) in enumerate(reach) if any(x <= b and y >= a for x, y, _ in lots)}

    assert set(options.tray >= 0) == {True, False}
    for group in set(options.group.tolist()):
        here = np.nonzero(options.group == group)[0].tolist()
        direct = set().union(*(served(n) for n in here if options.tray[n] < 0))
        raised = [served(n) for n in here if options.tray[n] >= 0]
        assert raised and all(mine - direct for mine in raised)
    # Wanted from late January on, nothing calls for a tray but the gardener's own word.
    late = {"first": date(2027, 1, 23), "last": date(2027, 3, 5)}
    assert set(case_of(want("bush-bean", **late)).options.tray >= 0) == {False}
    asked = case_of(want("bush-bean", raising="in trays", **late))
    assert set(asked.options.tray >= 0) == {True}
    made, _ = make_plan(garden(want("bush-bean", 0.1, **late)), CROPS, effort=0.1)
    assert made.plantings and {p.raising for p in made.plantings} == {"direct"}


@pytest.mark.parametrize(
    ("day", "raised"), [(date(2026, 12, 12), False), (date(2026, 10, 10), True)]
)
def test_a_settled_sowing_of_it_is_direct_where_the_day_allows(day, raised):
    """In Tasmania beans go into the ground from November on (common practice, no source)."""
    sown = FixedSowing("bush-bean", day, 6, AT)
    options = case_of(sowings=(sown,)).options
    assert len(options) and set(options.tray >= 0) == {raised}


def test_a_channel_has_its_seedlings_all_the_same():
    one = replace(garden(want("spinach")), channels=(Channel("Gully", 20, 0.2, AT),))
    book = book_of(one, CROPS)
    options = book.instance.crops[0].options
    gully = next(spot.group for spot in book.instance.spots if spot.name == "Gully")
    assert set((options.tray >= 0)[options.group == gully]) == {True}
    assert set((options.tray >= 0)[options.group != gully]) == {False}


def test_what_is_raised_by_the_table_is_sown_direct_where_the_gardener_says_so():
    assert set(case_of(want("lettuce-butterhead")).options.tray >= 0) == {True}
    made, _ = make_plan(garden(want("lettuce-butterhead", raising="direct")), CROPS, effort=0.1)
    assert made.plantings
    assert all(p.tray is None and p.planting_out is None for p in made.plantings)


def test_two_wants_each_in_its_own_way():
    """Only what serves a want may be grown its way; by hand: sowings of the one do not overlap."""
    book = book_of(
        garden(
            want("radish", last=date(2026, 12, 25), places=("Near",)),
            want("radish", first=date(2027, 2, 6), last=date(2027, 3, 26), places=("Far", "Pots")),
        ),
        CROPS,
    )
    case, spots = book.instance.crops[0], book.instance.spots
    near = next(spot.group for spot in spots if spot.name == "Near")
    assert len({spot.group for spot in spots}) == 3
    split = book.index(date(2027, 1, 15))
    for option, lots in enumerate(case.options.lots):
        first = {lot[0] <= split for lot in lots}
        assert first == {case.options.group[option] == near}
    assert set(case.options.group.tolist()) == set(case.room)


def test_at_least_so_many():
    case = case_of(want(sow_at_least=10))
    assert set(case.least) == {10}
    assert set(case.options.group.tolist()) < set(case_of(want()).options.group.tolist())
    made, _ = make_plan(garden(want(sow_at_least=10)), CROPS, effort=0.1)
    assert made.plantings and min(p.plants for p in made.plantings) >= 10
    assert not len(case_of(want(sow_at_least=59)).options)  # chard: 59 stand in neither bed


def test_more_than_is_ever_wanted_may_be_the_least():
    few = want("radish", amount=0.1, last=date(2026, 12, 18), sow_at_least=40)
    case = case_of(few)
    assert case.periods.need.sum() < 10 and set(case.least) == {40}


def test_no_more_than_a_tray_holds_is_sown_at_once():
    small = replace(garden(want("basil", sow_at_least=30)), trays=(Tray("Sill", 20, AT, 18.0),))
    assert not len(book_of(small, CROPS).instance.crops[0].options)


def test_a_lifted_limit_keeps_to_them_too():
    book = book_of(garden(want(places=("Near",), raising="direct")), CROPS)
    more, had = with_more(book, 0, tuple(n + 2 for n in book.sow_days[:-1]))
    options = more.instance.crops[0].options
    assert len(options) > had
    new = np.arange(len(options)) >= had
    assert set(options.group[new]) == {0} and set(options.tray[new]) == {-1}


def fixed(crop="chard", place=None, raising=None):
    return FixedSowing(crop, date(2026, 10, 3), 4, AT, place, raising)


@pytest.mark.parametrize(
    ("sowing", "where", "raised"),
    [
        (fixed(), "Pots", True),  # as the want has it
        (fixed(place="Far"), "Far", True),  # the gardener's word for this one
        (fixed(raising="direct"), "Pots", False),
        (fixed(place="Near", raising="direct"), "Near", False),
    ],
)
def test_a_sowing_says_it_for_itself(sowing, where, raised):
    made, problems = make_plan(
        garden(want(places=("Pots",), raising="in trays"), sowings=(sowing,)), CROPS, effort=0.1
    )
    assert not problems
    (own,) = [p for p in made.plantings if p.fixed]
    assert own.place == where and (own.tray is not None) is raised
    assert {p.place for p in made.plantings if not p.fixed} <= {"Pots"}
