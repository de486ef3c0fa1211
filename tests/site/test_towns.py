"""The table of towns: whole, spread over the inhabited world, and the nearest of them."""

import re
from zoneinfo import ZoneInfo

import pytest

from sowplan.site.nearest import nearest
from sowplan.site.towns import all_towns, towns


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


def test_more_towns_fill_the_gaps():
    found = all_towns()
    assert len(found) > 300
    assert len({(t.country, t.name, t.longitude) for t in found}) == len(found)


@pytest.mark.parametrize("town", all_towns(), ids=lambda t: f"{t.name}-{t.country}")
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


def test_higher_up_it_is_colder_by_about_the_lapse_rate():
    """6.5 K a kilometre by the standard atmosphere (ISO 2533).

    Near the ground it is mostly somewhat less, and least by night: 3.9 to 5.2 K a kilometre over
    the Cascades (Minder, Mote and Lundquist 2010, J. Geophys. Res. 115:D14122; from memory).
    """
    high, low = nearest(-41.42, 147.12, 515), nearest(-41.42, 147.12)
    assert high.town == low.town and high.town.name == "Launceston"
    for which in ("tmin", "tmax"):
        a, b = getattr(low.climate, which), getattr(high.climate, which)
        colder = [x - y for x, y in zip(a, b, strict=True)]
        assert all(1.9 <= k <= 3.5 for k in colder) and 2.0 <= sum(colder) / 12 <= 3.3
    assert "for the garden's height, 500 m above it" in high.note
    assert "above" not in low.note
    assert "from memory" in high.note and "from memory" in high.climate.source


def test_who_thinks_in_feet_is_told_in_feet():
    """500 m are 1640 ft."""
    high = nearest(-41.42, 147.12, 515, "imperial")
    assert "for the garden's height, 1640 ft above it; from memory, about ±4 °F." in high.note
    assert "for 1640 ft above it" in high.climate.source
    words = high.note + nearest(-80, 0, 2000, "imperial").note + high.climate.source
    assert "miles away" in words and not re.search(r"\d (km|m|°C)\b|°C", words)
    assert high.climate.tmin == nearest(-41.42, 147.12, 515).climate.tmin


def test_between_towns_the_figures_lie_between_theirs_and_say_so():
    """Halfway from Wellington to Christchurch, by the sea."""
    found = nearest(-42.4, 173.68, 20)
    ends = [t for t in all_towns() if t.name in ("Wellington", "Christchurch", "Blenheim")]
    for month in range(12):
        for which in ("tmin", "tmax"):
            low, *_, high = sorted(getattr(t, which)[month] for t in ends)
            assert low - 1.0 <= getattr(found.climate, which)[month] <= high + 1.0
    assert "worked out from the towns around" in found.note
    assert "mostly within ±2 °C" in found.note and "mostly" in found.climate.source
    assert found.climate.source.startswith("between towns around, the nearest Blenheim, NZ")


def test_the_hot_basin_of_the_ebro_is_no_coast():
    """AEMET normals 1981-2010, Zaragoza airport: July days 32.4 °C, January nights 2.7 °C, 322 mm.

    A garden in the town itself, some kilometres from the airport and a little lower.
    """
    found = nearest(41.65, -0.89, 210).climate
    assert abs(found.tmax[6] - 32.4) <= 1 and abs(found.tmin[0] - 2.7) <= 1
    assert abs(sum(found.rain) - 322) <= 32


def test_a_step_changes_the_figures_by_a_little_only():
    """No line on the map where one town's figures end and another's begin."""
    for latitude in range(-46, -33, 2):
        here, there = (nearest(latitude, 148 + d, 200).climate for d in (0.0, 0.1))
        assert max(abs(a - b) for a, b in zip(here.tmax, there.tmax, strict=True)) <= 0.6


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
