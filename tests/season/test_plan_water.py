"""What the plan carries for the water: each day's evapotranspiration, and the light of a place."""

from datetime import date

import numpy as np
import pytest

from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Bed, Climate, Garden, Obstacle, Pot, Season, Site, Want, Where
from sowplan.season.assemble import assemble
from sowplan.season.choices.candidates import book_of
from sowplan.site.shade import direct_sun

CROPS, _ = read_crops()
AT = Where("garden.toml", "[[bed]] 1", 1)
WALL = (Obstacle(bearing_deg=0.0, distance_m=1.0, height_m=3.0, width_m=20.0),)
LOW = (12.0, 12.0, 10.0, 7.0, 5.0, 3.0, 2.0, 3.0, 5.0, 7.0, 9.0, 11.0)
HIGH = (24.0, 24.0, 22.0, 19.0, 16.0, 13.0, 12.0, 14.0, 16.0, 18.0, 20.0, 22.0)


def unplanted(latitude, low, high, horizon=()):
    """Return the plan of a garden before anything is sown in it."""
    site = Site("Try-out", latitude, 147.0, "UTC", 50.0, horizon)
    beds = (Bed("Open", 3.0, 1.0, 0.4, AT), Bed("Shaded", 3.0, 1.0, 0.4, AT, obstacles=WALL))
    season = Season(date(2026, 9, 1), date(2027, 8, 31), (5,))
    want = Want("radish", 1.0, "bunch", 7, date(2026, 12, 1), date(2026, 12, 14), AT)
    garden = Garden(
        "garden.toml", site, Climate(low, high), season, beds, pots=(Pot("Pots", 2, 10.0, AT),),
        wants=(want,),
    )  # fmt: skip
    return garden, assemble(book_of(garden, CROPS), [], 0.0, "", "")


def test_evapotranspiration_turns_with_the_year_in_both_hemispheres():
    _, south = unplanted(-41.0, LOW, HIGH)
    _, north = unplanted(41.0, LOW[6:] + LOW[:6], HIGH[6:] + HIGH[:6])
    for plan, summer, winter in ((south, 1, 7), (north, 7, 1)):
        months = {
            month: np.mean([day.eto_mm for day in plan.sky if day.day.month == month])
            for month in (1, 7)
        }
        # Northern Tasmania has about 5 mm a day in January and 1 in July (from memory).
        assert months[summer] == pytest.approx(5.0, abs=0.7)
        assert months[winter] == pytest.approx(1.0, abs=0.3)


def test_in_polar_night_next_to_nothing_evaporates():
    cold = tuple(low - 14.0 for low in LOW[6:] + LOW[:6])
    _, plan = unplanted(74.0, cold, tuple(low + 5.0 for low in cold))
    dark = [day.eto_mm for day in plan.sky if day.daylength_h == 0]
    assert len(dark) > 60 and 0 <= max(dark) < 0.4
    bright = [day.eto_mm for day in plan.sky if day.daylength_h == 24]
    assert len(bright) > 60 and 1 < max(bright) < 5


def test_a_wall_leaves_less_light_to_the_bed_behind_it_alone():
    garden, plan = unplanted(-41.0, LOW, HIGH)
    assert plan.place("Open").light == plan.place("Pots").light == ()
    shares = plan.place("Shaded").light
    assert shares == pytest.approx(direct_sun(garden.site, WALL).light_share, abs=0.001)
    assert 0 < min(shares) < max(shares) < 1


def test_hills_around_leave_less_light_to_every_place():
    hills = ((0.0, 20.0), (180.0, 20.0))
    _, plan = unplanted(-41.0, LOW, HIGH, hills)
    assert all(len(place.light) == 12 and max(place.light) < 1 for place in plan.places)
