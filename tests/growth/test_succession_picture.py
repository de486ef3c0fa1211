"""The picture of a year of sowings: well formed, whole, always the same, plain without colour."""

import re
import xml.etree.ElementTree as ET
from datetime import date
from itertools import groupby

import pytest

from sowplan.export.pictures.style import LIGHT
from sowplan.export.pictures.succession import describe, succession_svg, told
from sowplan.growth.courses import Conditions
from sowplan.growth.succession import HORIZON_DAYS, succession
from sowplan.records.garden import Climate, Site
from sowplan.site.sky import sky
from sowplan.site.towns import towns

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def year():
    from sowplan.records.crop_table import read_crops

    crops = read_crops()[0]

    def of(key, town, every=7, conditions=None):
        t = next(one for one in towns() if one.name == town)
        site = Site(town, t.latitude, t.longitude, t.timezone)
        climate = Climate(tmin=t.tmin, tmax=t.tmax)
        here = sky(site, climate, date(2026, 9, 1), 365 + HORIZON_DAYS)
        conditions = conditions or Conditions(True, "none", 18.0, 12.0)
        return succession(crops[key], here, 365, every, conditions)

    return of


def numbers_within(root, width, height):
    for element in root.iter():
        for name in ("x", "x1", "x2", "cx"):
            if name in element.attrib:
                assert -1 <= float(element.attrib[name]) <= width + 1
        for name in ("y", "y1", "y2", "cy"):
            if name in element.attrib:
                assert -1 <= float(element.attrib[name]) <= height + 1


@pytest.mark.parametrize(
    ("key", "town", "every"),
    [
        ("lettuce-butterhead", "Hobart", 7),
        ("spinach", "London", 14),
        ("tomato", "Yakutsk", 7),  # nothing comes of it
        ("amaranth", "Singapore", 1),
        ("leek", "Tromsø", 30),
    ],
)
def test_it_is_well_formed_whole_and_within_its_frame(year, key, town, every):
    found = year(key, town, every)
    drawn = succession_svg(found, "A & B <lettuce>", 'Bed "one"')
    assert drawn == succession_svg(found, "A & B <lettuce>", 'Bed "one"')
    assert not re.search(r'="(nan|inf|None)"', drawn)
    root = ET.fromstring(drawn)
    width, height = float(root.get("width")), float(root.get("height"))
    numbers_within(root, width, height)
    tips = [title.text for title in root.iter(f"{SVG}title")]
    for row in found.rows:
        assert told(row) in tips  # every sowing is in it, and says in words what becomes of it


def test_what_it_says_does_not_hang_on_colour(year):
    drawn = succession_svg(year("lettuce-butterhead", "Hobart"), "Butterhead", "Hobart")
    assert 'fill="url(#harvest)"' in drawn  # hatched
    assert "stroke-dasharray" in drawn  # dotted while in the tray
    words = " ".join(re.findall(r">([^<>]+)</text>", drawn))
    for part in ("sown, in the tray", "growing in its place", "harvest", "comes to nothing"):
        assert part in words
    assert "days under 10 h" in words
    assert "Sow again for a" in words


def test_a_reason_stands_in_the_picture_once_a_run_of_rows(year):
    found = year("lambs-lettuce", "London", 7, Conditions(False))
    drawn = succession_svg(found, "Lamb's lettuce", "London")
    words = re.findall(r">([^<>]+)</text>", drawn)
    reason = "days longer than 14.5 h make it bolt before it is ready"
    runs = [k for k, _ in groupby(row.course.reason for row in found.rows) if k == reason]
    assert 1 <= len(runs) == words.count(reason)


def test_dark_is_drawn_in_other_colours(year):
    found = year("spinach", "London", 30)
    assert LIGHT.paper in succession_svg(found, "S", "L")
    assert LIGHT.paper not in succession_svg(found, "S", "L", dark=True)


def test_in_words(year):
    assert "of 53 sowing dates come to a harvest" in describe(year("spinach", "London").rows)
    assert describe(year("tomato", "Yakutsk").rows).startswith("None of 53 sowing dates")
