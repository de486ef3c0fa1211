"""The table of towns: whole, spread over the inhabited world, and the nearest of them."""

import re
from zoneinfo import ZoneInfo

import pytest

from sowplan.site.towns import nearest, towns


def test_enough_towns_in_both_hemispheres_and_all_inhabited_climates():
    found = towns()
    assert len(found) >= 60
    assert len({(t.country, t.name) for t in found}) == len(found)
    assert sum(t.latitude < 0 for t in found) >= 30
    assert sum(abs(t.latitude) < 23.4 for t in found) >= 25
    assert sum(abs(t.latitude) > 60 for t in found) >= 5
    assert any(min(t.tmin) < -35 for t in found)
    assert any(max(t.tmax) > 42 for t in found)
    assert any(sum(t.rain) < 60 for t in found) and any(sum(t.rain) > 2500 for t in found)
    assert any(t.elevation_m > 3000 for t in found)


@pytest.mark.parametrize("town", towns(), ids=lambda t: t.name)
def test_every_row_is_whole_and_sensible(town):
    assert len(town.tmin) == len(town.tmax) == len(town.rain) == 12
    for low, high in zip(town.tmin, town.tmax, strict=True):
        assert -50 <= low < high <= 50 and 3 <= high - low <= 20
    assert all(0 <= r <= 1000 for r in town.rain)
    assert -90 <= town.latitude <= 90 and -180 <= town.longitude <= 180
    assert -10 <= town.elevation_m <= 4000
    assert len(town.country) == 2 and town.country.isupper()
    ZoneInfo(town.timezone)
    assert town.source
    # The warm half of the year is the hemisphere's summer, beyond the tropics.
    if abs(town.latitude) > 25:
        july, january = town.tmax[6], town.tmax[0]
        assert (july > january) == (town.latitude > 0)


def test_the_nearest_town_carries_its_figures_to_the_gardens_height():
    high, low = nearest(-41.42, 147.12, 515), nearest(-41.42, 147.12)
    assert high.town == low.town and high.town.name == "Launceston"
    # 500 m up at 6.5 °C a kilometre: 3.25 °C
    assert low.climate.tmin[0] - high.climate.tmin[0] == pytest.approx(3.25, abs=0.06)
    assert "500 m higher" in high.note and "colder" in high.note
    assert "higher" not in low.note
    assert "from memory" in high.note and "from memory" in high.climate.source


def test_who_thinks_in_feet_is_told_in_feet():
    """500 m are 1640 ft, 3.25 K are 5.85 °F (5.9); 6.5 K a kilometre 3.57 °F a thousand feet."""
    high = nearest(-41.42, 147.12, 515, "imperial")
    assert "5.9 °F colder because the garden lies 1640 ft higher" in high.note
    assert "carried 1640 ft up at 3.6 °F a thousand feet" in high.climate.source
    words = high.note + nearest(-80, 0, 2000, "imperial").note + high.climate.source
    assert "miles away" in words and not re.search(r"\d (km|m|°C)\b|°C", words)
    assert high.climate.tmin == nearest(-41.42, 147.12, 515).climate.tmin


def test_height_weighs_against_distance():
    """Above Cape Town at 1500 m a town as high is no help a thousand kilometres away."""
    assert nearest(-33.9, 18.5, 100).town.name == "Cape Town"
    assert nearest(-26.0, 28.5, 1650).town.name == "Johannesburg"


def test_far_from_any_town_it_says_so_and_the_date_line_is_no_wall():
    assert "far" in nearest(-80, 0, 2000).note
    assert nearest(-17.8, -179.5).town.name == "Suva"


def test_the_source_fits_the_garden_file():
    for town in towns():
        found = nearest(town.latitude, town.longitude, town.elevation_m + 700)
        assert len(found.climate.source) <= 200
