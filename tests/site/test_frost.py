"""Frost: what is safe when, north and south, frost-free, ever frozen, and by the gardener."""

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sowplan.records.garden import Climate, DayRecord
from sowplan.site.frost import NORTHERN, SOUTHERN, place_of
from sowplan.site.frost_records import frost_days
from sowplan.site.recorded import record_of
from sowplan.site.sky import frost_outlook
from sowplan.site.towns import towns

TOWNS = {town.name: town for town in towns()}
START = date(2027, 1, 1)


def climate_of(name, **more):
    return Climate(tmin=TOWNS[name].tmin, tmax=TOWNS[name].tmax, **more)


def turned(climate):
    """The same climate half a year on: what it would be on the other side of the equator."""
    return Climate(
        tmin=climate.tmin[6:] + climate.tmin[:6], tmax=climate.tmax[6:] + climate.tmax[:6]
    )


def outlook(name, start=START, days=365, **more):
    return frost_outlook(climate_of(name, **more), start, days, TOWNS[name].latitude)


def made_up(last_places, first_places, years=10, mild=12.0):
    """A record with one frost each spring and autumn, on given days of the year (None: none)."""
    days = []
    for k in range(years):
        first = date(2001 + k, 1, 1)
        cold = {last_places[k], first_places[k]}
        for i in range((date(2002 + k, 1, 1) - first).days):
            low = -3.0 if i in cold else mild + 4 * np.cos(2 * np.pi * (i - 200) / 365)
            days.append(DayRecord(first + timedelta(days=i), low, low + 15))
    return tuple(days)


def test_frost_free_towns_are_always_safe_and_say_so():
    for name in ("Singapore", "Miami", "Mumbai", "Suva"):
        here = outlook(name)
        assert here.safe(0.0, 0.05).all()
        last, first, note = here.dates(START, 0.1)
        assert last is None and first is None and "no frost expected" in note
        assert here.chance(0.0).max() < 0.02


@pytest.mark.parametrize("name", ["Auckland", "Lisbon", "Chicago"])
def test_a_garden_that_never_sees_a_frost_is_taken_at_its_word(name):
    """A walled yard or a city roof stays free where the town's means say frost."""
    town, yard = outlook(name), outlook(name, frost_free=True)
    assert yard.safe(0.0, 0.005).all() and yard.chance(0.0).max() < 0.005
    last, first, note = yard.dates(START, 0.005)
    assert last is None and first is None
    assert note == "no frost expected at this risk; your word for it"
    # What is killed well above freezing may still be caught, though less than in the town.
    assert (yard.chance(4.0) <= town.chance(4.0) + 1e-12).all()
    if name == "Chicago":
        assert not town.safe(0.0, 0.005).all()


def test_an_ever_frozen_place_is_never_safe_and_says_so():
    ice = Climate(tmin=(-45.0,) * 5 + (-22, -20, -25) + (-35.0,) * 4, tmax=(-15.0,) * 12)
    here = frost_outlook(ice, START, 365)
    assert not here.safe(0.0, 0.5).any()
    assert here.chance(0.0).min() > 0.99
    last, first, note = here.dates(START, 0.5)
    assert last is None and first is None and "any time of the year" in note


def test_hardy_plants_stand_through_a_mild_winter():
    here = outlook("Lisbon")
    assert here.safe(-6.0, 0.05).all()
    assert not outlook("Helsinki").safe(-6.0, 0.05).all()


@pytest.mark.parametrize("name", ["York", "Minneapolis", "Clemson", "Helsinki", "Denver"])
def test_the_southern_half_mirrors_the_northern(name):
    # The latitude widens the estimate in the north; here it has no say on either side.
    north = frost_outlook(climate_of(name), START, 365, latitude=0.0)
    south = frost_outlook(turned(climate_of(name)), START, 365, latitude=0.0)
    assert north.calendar == NORTHERN and south.calendar == SOUTHERN
    n_last, n_first, _ = north.dates(date(2027, 1, 1), 0.1)
    s_last, s_first, _ = south.dates(date(2027, 7, 1), 0.1)
    assert abs((s_last - n_last).days - 182) <= 4
    assert abs((s_first - n_first).days - 182) <= 4
    assert n_last.month <= 7 and s_first.year == 2028


def test_a_latitude_not_known_is_that_of_the_hemisphere():
    """York's winter is of the north: without its latitude the estimate strays a few days."""
    known, unknown = outlook("York"), frost_outlook(climate_of("York"), START, 365)
    for one, other in zip(known.dates(START, 0.1)[:2], unknown.dates(START, 0.1)[:2], strict=True):
        assert abs((one - other).days) <= 5
    south = frost_outlook(turned(climate_of("York")), START, 365)
    assert south.chance(-8.0).max() < unknown.chance(-8.0).max()


@pytest.mark.parametrize("name", ["York", "Christchurch", "Minneapolis", "Seattle", "Johannesburg"])
def test_dates_bound_the_safe_days(name):
    here = outlook(name, days=730)
    for threshold in (2.0, 0.0, -2.0):
        for risk in (0.05, 0.1, 0.5):
            last, first, _ = here.dates(START, risk, threshold)
            safe = here.safe(threshold, risk)
            if last is None:  # fewer winters than that see it
                assert safe.all() and first is None
                continue
            assert not safe[(last - START).days] and safe[(last - START).days + 1]
            assert not safe[(first - START).days] and safe[(first - START).days - 1]


@settings(max_examples=40, deadline=None)
@given(
    town=st.sampled_from(towns()),
    risks=st.tuples(st.floats(0.01, 0.9), st.floats(0.01, 0.9)),
    thresholds=st.tuples(st.floats(-12, 6), st.floats(-12, 6)),
)
def test_more_risk_and_hardier_plants_are_never_less_safe(town, risks, thresholds):
    here = outlook(town.name)
    low, high = sorted(risks)
    assert not (here.safe(0.0, low) & ~here.safe(0.0, high)).any()
    hardy, tender = sorted(thresholds)
    assert not (here.safe(tender, low) & ~here.safe(hardy, low)).any()
    assert (here.chance(hardy) <= here.chance(tender) + 1e-9).all()


@pytest.mark.parametrize("name, last, first", [
    ("York", (5, 20), (10, 5)),
    ("Hobart", (10, 28), (4, 20)),
    ("Seattle", (3, 10), (11, 25)),
    ("Singapore", (3, 1), (12, 10)),
])  # fmt: skip
def test_the_gardeners_own_dates_hold_at_their_risk(name, last, first):
    here = outlook(name, last_frost=last, first_frost=first, frost_risk=0.2)
    found_last, found_first, note = here.dates(START, 0.2)
    assert (found_last.month, found_last.day) == last
    assert (found_first.month, found_first.day) == first
    assert note.startswith(f"your last_frost {last[0]:02d}-{last[1]:02d}; your first_frost")
    earlier, _, _ = here.dates(START, 0.5)
    later, _, _ = here.dates(START, 0.05)
    assert earlier is None or earlier <= found_last <= later


def test_one_date_of_the_gardeners_leaves_the_other_half_alone():
    plain, bent = outlook("York"), outlook("York", last_frost=(5, 31))
    assert bent.dates(START, 0.1)[0] == date(2027, 5, 31)
    assert bent.dates(START, 0.1)[1] == plain.dates(START, 0.1)[1]
    summer_away = np.arange(365) >= place_of(8, 5)
    assert np.allclose(bent.chance(0.0)[summer_away], plain.chance(0.0)[summer_away])


def test_a_date_in_the_wrong_season_is_not_used_and_said_so():
    plain, wrong = outlook("York"), outlook("York", last_frost=(10, 15))
    assert wrong.dates(START, 0.1)[:2] == plain.dates(START, 0.1)[:2]
    assert "last_frost 10-15 is not in spring here: not used" in wrong.dates(START, 0.1)[2]


def test_in_the_tropics_the_gardeners_dates_tell_the_seasons():
    """High in the tropics north of the line, with frosts from July to September."""
    here = Climate(tmin=(8,) * 5 + (6, 5, 5, 6) + (8,) * 3, tmax=(19,) * 12,
                   last_frost=(4, 10), first_frost=(11, 20))  # fmt: skip
    last, first, _ = frost_outlook(here, START, 365).dates(START, 0.1)
    assert (last, first) == (date(2027, 4, 10), date(2027, 11, 20))


def test_the_season_decides_which_year_a_date_falls_in():
    here = outlook("Christchurch")
    last, first, _ = here.dates(date(2026, 9, 1), 0.1)
    assert last.year == 2026 and first.year == 2027
    last, first, _ = here.dates(date(2026, 12, 24), 0.1)
    assert last.year == 2027 and first.year == 2027 and first < last


def test_records_give_the_mixed_distribution():
    """Four springs in ten without a frost: no risk above 60 % has a date."""
    last = [100, 104, 108, 96, 92, 100, None, None, None, None]
    days = made_up(last, [320] * 10)
    here = frost_outlook(Climate(records=days), START, 365)
    assert here.dates(START, 0.7)[0] is None
    # Mean 100, sample standard deviation 5.66; 10 % of all years are 1/6 of those with a frost,
    # 0.967 standard deviations late. The place counts from 0 and has 29 February.
    expected = date(2027, 1, 1) + timedelta(days=round(100 + 0.967 * 5.66))
    assert abs((here.dates(START, 0.1)[0] - expected).days) <= 1
    assert "from 10 recorded years" in here.dates(START, 0.1)[2]


def test_records_without_frost_are_frost_free():
    days = made_up([None] * 4, [None] * 4, years=4)
    here = frost_outlook(Climate(records=days), START, 365)
    assert here.safe(0.0, 0.01).all()
    assert here.chance(0.0).max() == 0.0


def test_one_frosty_year_in_four_still_has_a_date():
    days = made_up([90, None, None, None], [330, None, None, None], years=4)
    here = frost_outlook(Climate(records=days), START, 365)
    last, first, _ = here.dates(START, 0.1)
    assert date(2027, 3, 25) < last < date(2027, 5, 1)
    assert date(2027, 11, 1) < first < date(2027, 12, 1)
    assert here.dates(START, 0.3)[0] is None


def test_frost_days_year_by_year_in_the_south():
    """Frost on 1 January of a southern summer belongs to the spring that began in July."""
    days = made_up([0] * 3, [200] * 3, years=3)
    found = frost_days(record_of(days), SOUTHERN, 0.0)
    assert found[2001][0] == date(2002, 1, 1)
    assert found[2001][1] is None  # February to June has none


def test_a_whole_degree_fahrenheit_counts_however_it_was_rounded():
    """28 °F is -2.222 °C, and -2.2 in a record of tenths: a minimum of 28 °F counts."""
    days = [DayRecord(d.day, -2.2 if d.tmin == -3.0 else d.tmin, d.tmax)
            for d in made_up([100] * 4, [320] * 4, years=4)]  # fmt: skip
    found = frost_days(record_of(days), NORTHERN, (28 - 32) / 1.8)
    assert all(last is not None for last, _ in found.values())


# --- no cold season ---------------------------------------------------------------

# A highland garden on the equator, by months; a mean minimum of 6 to 10 °C all year round.
HIGHLAND = dict(
    tmin=(6.7, 6.7, 8.7, 9.7, 8.7, 6.7, 5.7, 6.7, 6.7, 8.7, 8.7, 7.7),
    tmax=(20.7, 21.7, 21.7, 19.7, 18.7, 17.7, 16.7, 17.7, 20.7, 20.7, 18.7, 19.7),
)


def raised_by(kelvins):
    return Climate(
        tmin=tuple(t + kelvins for t in HIGHLAND["tmin"]),
        tmax=tuple(t + kelvins for t in HIGHLAND["tmax"]),
    )


def test_highlands_on_the_equator_have_no_frost_dates_and_are_safe_all_year():
    here = frost_outlook(Climate(**HIGHLAND), START, 365, -0.5)
    last, first, note = here.dates(START, 0.1)
    assert last is None and first is None and "no frost expected" in note
    assert here.safe(0.0, 0.1).all()


def test_higher_still_the_chance_over_twelve_weeks_decides_and_the_note_says_so():
    colder = frost_outlook(raised_by(-2.0), START, 365, -0.5)
    last, first, note = colder.dates(START, 0.1)
    assert last is None and first is None
    assert "no cold season, so no frost dates" in note and "by the time of year" in note
    safe = colder.safe(0.0, 0.1)
    assert not safe[place_of(7, 15)] and safe[place_of(4, 10)]  # the coldest month, the mildest
    # No jump where a calendar half would be cut: the days turn once each way.
    assert (safe != np.roll(safe, 1)).sum() <= 4
    frozen = frost_outlook(raised_by(-9.0), START, 365, -0.5)
    assert not frozen.safe(0.0, 0.1).any()
    assert "at any time of the year" in frozen.dates(START, 0.1)[2]


def test_without_a_cold_season_records_count_the_years_with_a_frost_in_twelve_weeks():
    """Frost on 1 July in three years of ten; none within six weeks of New Year."""
    days = []
    for year in range(2001, 2011):
        first = date(year, 1, 1)
        for i in range((date(year + 1, 1, 1) - first).days):
            day = first + timedelta(days=i)
            low = -1.0 if (day.month, day.day) == (7, 1) and year < 2004 else 8.0
            days.append(DayRecord(day, low, 20.0))
    here = frost_outlook(Climate(records=tuple(days)), START, 365, -0.5)
    safe = here.safe(0.0, 0.1)
    assert not safe[place_of(7, 1) - 1] and not safe[place_of(6, 1) - 1]
    assert safe[:100].all() and safe[-100:].all()
    assert here.safe(0.0, 0.35).all()
    assert "0 to 30 years of 100" in here.dates(START, 0.1)[2]
