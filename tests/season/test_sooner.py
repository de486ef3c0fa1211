"""What a season leaves out by beginning when it does, and what of it a sooner start would bring."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from gardens import garden_of
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Bed, Climate, FixedSowing, Season, Site, Want, Where
from sowplan.season.sooner import left_out
from sowplan.site.towns import towns

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


# --- garlic, which stands the winter; sources in tests/published/test_growth_bulbs.py --


def garlic(town, season, first, last, per_days, *standing, earliest=None):
    """Ask for garlic from a bed in a town of the built-in list."""
    t = next(t for t in towns() if t.name == town)
    garden = replace(
        garden_of(season=season, beds=(Bed("Bed 1", 2.4, 1.2, 0.3, AT),)),
        site=Site(t.name, t.latitude, t.longitude, t.timezone, t.elevation_m),
        climate=Climate(tmin=t.tmin, tmax=t.tmax),
    )
    wants = (Want("garlic", 20, "piece", per_days, first, last, AT),)
    earliest = earliest or season.start - 364 * DAY
    return left_out(garden, CROPS, season, wants, standing, earliest)


@pytest.mark.parametrize("town", ["Chicago", "Madison", "Minneapolis"])
@pytest.mark.parametrize("month", [3, 4, 5, 6])
def test_a_years_garlic_is_planted_in_the_autumn_before_a_season_of_spring(town, month):
    """Set from September to November in the Middle West, lifted in late June and July."""
    season = Season(date(2027, month, 1), date(2028, month, 1) - DAY)
    (one,) = garlic(town, season, season.start, season.end, 366)
    assert one.crop == "garlic"
    sooner = replace(season, start=one.sow)
    assert garlic(town, sooner, season.start, season.end, 366) == ()
    # What is planted in the usual months is in time, so that nothing sooner is asked for.
    assert date(2026, 10, 1) <= one.sow < season.start


def test_garlic_of_spring_is_small_and_no_reason_to_leave_it_at_that():
    """In early spring bulbs are smaller than autumn's: in Chicago a third of them to three
    quarters. So the season that begins on 1 March gives some, and says that they stay small."""
    season = Season(date(2027, 3, 1), date(2028, 2, 29))
    (one,) = garlic("Chicago", season, date(2027, 7, 1), date(2027, 8, 31), 62)
    assert one.small and one.sow < season.start
    late = Season(date(2027, 6, 1), date(2028, 5, 31))  # no bulb forms of what is set in May
    (one,) = garlic("Chicago", late, date(2027, 7, 1), date(2027, 8, 31), 62)
    assert not one.small and one.sow < date(2027, 3, 31)


def test_garlic_that_stands_is_not_missed():
    season = Season(date(2027, 3, 1), date(2028, 2, 29))
    stands = FixedSowing("garlic", date(2026, 10, 15), 20, AT, "Bed 1", "direct")
    assert garlic("Chicago", season, season.start, season.end, 366, stands) == ()


def test_where_it_can_be_planted_within_the_season_nothing_is_told():
    """In New South Wales it is set from March to May, and lifted in late spring."""
    season = Season(date(2027, 2, 1), date(2028, 1, 31))
    assert garlic("Sydney", season, season.start, season.end, 366) == ()
