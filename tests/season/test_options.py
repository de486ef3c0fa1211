"""What may be sown: how long a crop stays, and how few of it are worth a sowing."""

from datetime import date

import numpy as np
import pytest

from gardens import garden_of
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import (
    Bed,
    Channel,
    Pot,
    Season,
    Tray,
    Want,
    Where,
)
from sowplan.season.choices.candidates import book_of

CROPS, _ = read_crops()
AT = Where("garden.toml", "[[bed]] 1", 1)


def case_of(key, amount, unit, per=7, first=date(2026, 12, 1), last=date(2027, 3, 31), **places):
    """Return the options of one crop, wanted in a temperate garden at 41° S."""
    places = places or {"beds": (Bed("Bed", 3.0, 0.9, 0.4, AT),)}
    garden = garden_of(
        season=Season(date(2026, 9, 1), date(2027, 4, 30), (5,)),
        trays=(Tray("Shelf", 60, AT, 18.0, 14.0, 180.0),),
        wants=(Want(key, amount, unit, per, first, last, AT),),
        **places,
    )
    return book_of(garden, CROPS).instance.crops[0]


@pytest.mark.parametrize(
    "key, unit", [("chard", "bunch"), ("tomato-cherry", "kg"), ("basil", "bunch")]
)
def test_what_goes_on_giving_is_not_pulled_early(key, unit):
    case = case_of(key, 1, unit)
    options, wanted_to = case.options, int(case.periods.end.max())
    assert len(options)
    for course in np.unique(options.course):
        mine = np.nonzero(options.course == course)[0]
        given = {int(n): [lot for lot in options.lots[n] if lot[0] <= wanted_to] for n in mine}
        most = max(len(lots) for lots in given.values())
        for n, lots in given.items():
            assert len(lots) >= most // 2 or options.clear[n] > wanted_to, (key, n)


def test_a_short_want_lets_it_go_sooner():
    case = case_of("chard", 1, "bunch", first=date(2027, 1, 1), last=date(2027, 1, 14))
    assert min(len(lots) for lots in case.options.lots) == 1


@pytest.mark.parametrize(("width_m", "least"), [(0.9, 10), (0.36, 9), (0.24, 6)])
def test_a_row_or_what_a_week_needs(width_m, least):
    """By hand: a bunch is ten, 4 cm apart; a row across holds 22 in the wide bed, 9, and 6."""
    assert CROPS["radish"].spacing_cm == 4
    case = case_of("radish", 1, "bunch", beds=(Bed("Bed", 3.0, width_m, 0.4, AT),))
    assert case.periods.need[0] == 10 and set(case.least) == {least}


def test_raised_ones_by_threes_and_large_ones_singly():
    assert set(case_of("lettuce-butterhead", 2, "head").least) == {3}
    assert set(case_of("tomato-cherry", 0.5, "kg").least) == {1}


def test_no_more_than_wanted_or_fit_in():
    case = case_of("lettuce-butterhead", 2, "head", per=121)
    assert set(case.least) == {2}
    small = case_of("lettuce-butterhead", 2, "head", channels=(Channel("Rail", 2, 0.2, AT),))
    assert set(small.least) == {2}
    pots = case_of("lettuce-butterhead", 2, "head", pots=(Pot("Pot", 1, 6.0, AT),))
    assert max(pots.least) <= len(next(iter(pots.room.values()))) - 1
