"""Direct sun: geometry that can be told without the program."""

from datetime import date

import numpy as np
import pytest

from sowplan.records.garden import Obstacle, Site
from sowplan.site.shade import direct_sun, short_of_sun, skyline
from sowplan.site.sun import daylength

NORTH = Site("north", 52.0, 0.0, "UTC")
SOUTH = Site("south", -41.4, 147.1, "Australia/Hobart")


@pytest.mark.parametrize(
    "site", [NORTH, SOUTH, Site("pole", 78.0, 15.0, "UTC"), Site("line", 0, 0, "UTC")]
)
def test_in_the_open_the_sun_shines_from_sunrise_to_sunset(site):
    found = direct_sun(site)
    for month in range(1, 13):
        day = daylength(site.latitude, site.longitude, date(2025, month, 15), 1)[0]
        slack = 0.1 if abs(site.latitude) < 60 else 0.2  # there a hair's height is minutes
        assert found.hours[month - 1] == pytest.approx(day, abs=slack)
    assert np.array_equal(found.hours, found.open_hours)
    assert np.allclose(found.light_share, 1.0)


def test_a_wall_takes_the_sun_that_stands_lower_than_it():
    """Noon stands at 90° - 52° + declination: at 61° in mid-June and 15° in mid-December."""
    wall = Obstacle(bearing_deg=180, distance_m=2.0, height_m=2.0, width_m=400.0)  # 45° due south
    found = direct_sun(NORTH, [wall])
    assert found.hours[11] == 0.0  # an endless wall to the south hides the winter sun
    # In June it is 30° up when due east (sine of declination over sine of latitude), where such
    # a wall is no height at all, and over the wall at noon; in March it stands at 38° at noon.
    assert found.hours[5] == found.open_hours[5]
    assert found.hours[2] < 0.2 * found.open_hours[2]


def test_a_wall_on_the_shady_side_takes_nothing_in_winter():
    wall = Obstacle(bearing_deg=0, distance_m=1.0, height_m=5.0, width_m=50.0)
    found = direct_sun(NORTH, [wall])
    assert found.hours[11] == found.open_hours[11]
    south = direct_sun(SOUTH, [wall])  # there the sun stands in the north
    assert south.hours[5] < 0.3 * south.open_hours[5]


def test_a_wall_at_noon_takes_the_hours_it_spans():
    """On the equator at the equinox the sun goes straight over: from east up at 15° an hour."""
    line = Site("line", 0.0, 0.0, "UTC")
    east = Obstacle(bearing_deg=90, distance_m=1.0, height_m=1.0, width_m=1000.0)  # 45°: 3 h
    found = direct_sun(line, [east])
    assert found.open_hours[2] - found.hours[2] == pytest.approx(3.05, abs=0.15)


def test_the_skyline_of_a_wall():
    wall = Obstacle(bearing_deg=350, distance_m=3.0, height_m=3.0, width_m=6.0)
    heights = skyline(np.array([350.0, 34.9, 35.1, 304.9, 305.1, 170.0]), [wall])
    assert heights[0] == pytest.approx(45.0)
    edge = np.degrees(np.arctan2(3.0, 3.0 * np.sqrt(2)))  # the wall's end is that much farther
    assert heights[1] == pytest.approx(edge, abs=0.2) and heights[4] == pytest.approx(edge, abs=0.2)
    assert heights[2] == heights[3] == heights[5] == 0.0


def test_a_horizon_line_is_straight_between_its_points_and_closes_through_north():
    heights = skyline(np.array([0.0, 45.0, 90.0, 315.0]), (), [(90, 20), (270, 0)])
    assert heights == pytest.approx([10.0, 15.0, 20.0, 5.0])


def test_hills_shorten_the_day_and_obstacles_add_to_them():
    valley = Site("valley", 52.0, 0.0, "UTC", 0.0, ((0, 5), (90, 15), (180, 10), (270, 15)))
    hills = direct_sun(valley)
    assert (hills.hours < hills.open_hours).all()
    both = direct_sun(valley, [Obstacle(180, 2, 2, 5)])
    assert (both.hours <= hills.hours).all() and both.hours[11] < hills.hours[11]
    assert (both.light_share <= hills.light_share).all()
    assert ((both.light_share > 0) & (both.light_share < 1)).all()


def test_a_short_bed_is_named_with_its_months():
    wall = Obstacle(bearing_deg=180, distance_m=1.0, height_m=4.0, width_m=60.0)
    said = short_of_sun("Long bed", direct_sun(NORTH, [wall]), range(3, 11), 6.0)
    assert said.startswith("Long bed gets less than 6 hours of direct sun a day in March")
    assert short_of_sun("Long bed", direct_sun(NORTH), range(3, 11), 6.0) is None


def test_the_high_latitude_winter_is_not_blamed_on_walls():
    assert (
        short_of_sun("Long bed", direct_sun(Site("far", 69.6, 19.0, "UTC")), range(1, 13), 6.0)
        is None
    )
