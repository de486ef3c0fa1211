"""What runs to seed almost as soon as it is fit is told, and only that."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from sowplan.growth.courses import Conditions
from sowplan.growth.evolve import evolve
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Bed, Climate, Garden, Season, Site, Want, Where
from sowplan.season.planner import make_plan
from sowplan.site.sky import sky

CROPS, _ = read_crops()
AT = Where("garden.toml", "[[want]] 1", 1)
COOL = Climate(
    tmin=(-6.0, -6.0, -5.0, -2.0, 2.0, 6.0, 9.0, 8.0, 5.0, 1.0, -3.0, -5.0),
    tmax=(-2.0, -2.0, 0.0, 3.0, 8.0, 12.0, 15.0, 14.0, 10.0, 5.0, 1.0, -1.0),
)


def garden(latitude, climate, first, last):
    """Return a garden of an invented place that wants spinach and turnips every week."""
    wants = (
        Want("spinach", 0.3, "kg", 7, first, last, AT),
        Want("turnip", 2, "piece", 7, first, last, AT),
    )
    return Garden(
        file="garden.toml",
        site=Site("Try-out", latitude, 19.0, "UTC"),
        climate=climate,
        season=Season(date(2027, 4, 1), date(2027, 10, 31), (5,)),
        beds=(Bed("Bed", 4.0, 1.2, 0.3, AT),),
        wants=wants,
    )


def told(plan):
    return [note for note in plan.notes if "run to seed within days" in note]


def test_spinach_in_the_polar_summer_is_told():
    """At 70° N days are longer than its 14 h from mid April to late August (`CROPS`)."""
    assert CROPS["spinach"].bolt_daylength_h == 14
    here = garden(70.0, COOL, date(2027, 6, 20), date(2027, 8, 10))
    plan, problems = make_plan(here, CROPS, effort=0.1)
    assert not problems
    stand = {
        key: [
            (lot.last - lot.ready).days for p in plan.plantings if p.crop == key for lot in p.lots
        ]
        for key in ("spinach", "turnip")
    }
    assert min(stand["spinach"]) <= 3 < min(stand["turnip"])
    (note,) = told(plan)
    assert "Spinach" in note and "Turnip" not in note


def test_where_days_stay_short_nothing_is_told():
    """On the equator a day has twelve hours."""
    mild = Climate(tmin=(12.0,) * 12, tmax=(19.0,) * 12)
    plan, _ = make_plan(garden(0.0, mild, date(2027, 6, 20), date(2027, 8, 10)), CROPS, effort=0.1)
    assert any(p.crop == "spinach" for p in plan.plantings) and not told(plan)


@pytest.mark.parametrize("key", ["spinach", "rocket", "radish"])
def test_the_day_of_bolting_is_the_first_on_which_it_is_over(key):
    """Those it cuts off stand to the eve of it, and none is fit on it."""
    here = garden(70.0, COOL, date(2027, 6, 20), date(2027, 8, 10))
    outlook = sky(here.site, here.climate, date(2027, 4, 1), 300)
    table = evolve(CROPS[key], outlook, np.arange(40, 120), Conditions(False))
    bolts, ends = table.bolts, table.harvest_end
    some = table.feasible & (bolts >= 0)
    assert some.any() and (ends[some] < bolts[some]).all()
    assert (ends[some] == bolts[some] - 1).any()
    assert (bolts[~table.feasible] == -1).all()
    never = replace(CROPS[key], bolt_daylength_h=None, bolt_effect=None, bolt_heat_c=None,
                    bolt_chill_days=None)  # fmt: skip
    longer = evolve(never, outlook, np.arange(40, 120), Conditions(False))
    assert (longer.bolts == -1).all()
    assert (longer.harvest_end[some] >= ends[some]).all()


def test_garlic_set_in_spring_is_told_to_stay_small_and_autumns_is_not():
    """As the University of Minnesota tells it (`tests/published/test_growth_bulbs.py`)."""
    inland = Climate(
        tmin=(-12, -9, -3, 3, 9, 15, 17, 16, 11, 4, -2, -8),
        tmax=(-2, 0, 8, 16, 22, 27, 29, 28, 24, 17, 8, 1),
    )

    def notes(first, last):
        want = Want("garlic", 1, "piece", 7, date(2027, 9, 1), date(2027, 11, 30), AT)
        here = replace(
            garden(42.0, inland, first, last),
            wants=(want,),
            season=Season(first, last, (5,)),
        )
        plan, problems = make_plan(here, CROPS, effort=0.1)
        assert not problems and plan.plantings
        return [note for note in plan.notes if "makes small bulbs" in note]

    (spring,) = notes(date(2027, 3, 20), date(2027, 12, 31))
    assert spring.startswith("Garlic planted late") and "% of the usual weight" in spring
    assert not notes(date(2026, 9, 20), date(2027, 12, 31))
