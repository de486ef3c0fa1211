"""What a season leaves out by beginning when it does, and what of it a sooner start would bring."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from gardens import garden_of
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Bed, FixedSowing, Season, Want, Where
from sowplan.season.sooner import left_out

CROPS, _ = read_crops()
AT = Where("garden.toml", "[[want]] 1", 9)
DAY = timedelta(days=1)


def radish(season, first):
    return Want("radish", 1, "bunch", 7, first, season.end, AT)


def asked(season, first, *standing, earliest=None, south=True):
    garden = garden_of(season=season, beds=(Bed("Bed 1", 2.4, 1.2, 0.3, AT),))
    if not south:  # the same climate half a year later, at 41 degrees north
        turned = {
            name: getattr(garden.climate, name)[6:] + getattr(garden.climate, name)[:6]
            for name in ("tmin", "tmax")
        }
        site = replace(garden.site, latitude=41.0)
        garden = replace(garden, site=site, climate=replace(garden.climate, **turned))
    wants = (radish(season, first),)
    earliest = earliest or season.start - 365 * DAY
    return left_out(garden, CROPS, season, wants, standing, earliest)


@pytest.mark.parametrize(("south", "month"), [(True, 10), (False, 4)])
def test_what_is_wanted_from_the_first_day_would_be_sown_weeks_before(south, month):
    # Radishes take three to six weeks in spring (seed packets; common practice, no source), so
    # that at least two weeks go without, and none from the eighth on.
    season = Season(date(2027, month, 1), date(2028, month, 1) - DAY)
    (one,) = asked(season, season.start, south=south)
    assert one.crop == "radish" and one.first == season.start
    assert season.start + 13 * DAY <= one.last <= season.start + 56 * DAY
    assert season.start - 60 * DAY <= one.sow <= season.start - 21 * DAY + 6 * DAY
    assert asked(season, season.start + 60 * DAY, south=south) == ()


def test_beginning_on_the_day_named_leaves_nothing_out():
    season = Season(date(2027, 10, 1), date(2028, 9, 30))
    (one,) = asked(season, season.start)
    sooner = replace(season, start=one.sow)
    assert asked(sooner, season.start) == ()


def test_what_stands_serves():
    season = Season(date(2027, 10, 1), date(2028, 9, 30))
    (one,) = asked(season, season.start)
    stands = [
        FixedSowing("radish", one.sow + n * DAY, 30, AT, "Bed 1", "direct") for n in range(-21, 28)
    ]
    assert asked(season, season.start, *(s for s in stands if s.day < season.start)) == ()


def test_where_no_season_can_begin_sooner_nothing_is_told():
    season = Season(date(2027, 10, 1), date(2028, 9, 30))
    assert asked(season, season.start, earliest=season.start) == ()
