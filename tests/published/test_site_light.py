"""Light and the sun against published worked examples and general libraries."""

from datetime import date, timedelta

import numpy as np
import pandas as pd
import pytest
from astral import Observer
from astral.sun import daylight

from sowplan.site import light, sun

pvlib = pytest.importorskip("pvlib")

YEAR = 2025


def spa_day(latitude, longitude):
    """Sunrise to sunset by pvlib's SPA (Reda & Andreas 2004) [h], NaN where there is none."""
    noons = pd.date_range(f"{YEAR}-01-01 12:00", periods=365, freq="D", tz="UTC")
    times = pvlib.solarposition.sun_rise_set_transit_spa(noons, latitude, longitude)
    return (times.sunset - times.sunrise).dt.total_seconds().to_numpy() / 3600


def test_extraterrestrial_radiation_of_fao56_example_8():
    """FAO-56 Example 8: 20° S, 3 September (day 246): 32.2 MJ m-2 d-1."""
    assert light.extraterrestrial_radiation(-20, 246) == pytest.approx(32.2, abs=0.05)


def test_solar_radiation_from_temperature_of_fao56_example_15():
    """FAO-56 Example 15 (from memory): Lyon, 45°43' N, July, 26.6 and 14.8 °C, kRs 0.16: 22.3."""
    ra = light.extraterrestrial_radiation(45 + 43 / 60, 196)
    assert ra == pytest.approx(40.6, abs=0.2)
    assert light.solar_radiation(14.8, 26.6, ra, 0.16, 200) == pytest.approx(22.3, abs=0.1)


def test_photons_in_a_megajoule():
    """About 2.0 to 2.1 mol a MJ of solar radiation is common in horticulture (from memory)."""
    assert 2.0 < light.daily_light_integral(1.0) < 2.1
    assert light.tray_light(16, 200) == pytest.approx(11.52)  # 16 h x 3600 s x 200 µmol


@pytest.mark.parametrize("latitude, minutes", [(-33.9, 0.5), (0.0, 0.4), (51.5, 0.75), (60.0, 1.2)])
def test_daylength_against_the_spa(latitude, minutes):
    """How far astral is from the SPA over 2025: 0.5, 0.4, 0.75 and 1.2 min, to two figures."""
    ours = sun.daylength(latitude, 0, date(YEAR, 1, 1), 365)
    off = np.abs(ours - spa_day(latitude, 0)).max() * 60
    assert float(f"{off:.2g}") <= minutes


def test_daylength_against_the_spa_beyond_the_polar_circle():
    """At 69° N up to 13 minutes in the days next to polar night, to two figures."""
    ours, spa, astral = daylengths(69)
    off = np.abs(ours - spa)[~np.isnan(astral) & ~np.isnan(spa)] * 60
    assert float(f"{off.max():.2g}") <= 13
    assert np.median(off) <= 1.5
    assert ours[date(YEAR, 12, 21).timetuple().tm_yday - 1] == 0
    assert ours[date(YEAR, 6, 21).timetuple().tm_yday - 1] == 24


def daylengths(latitude):
    """Return the days of the year by this project, the SPA and astral [h], NaN for none."""
    first = date(YEAR, 1, 1)
    found = []
    for i in range(365):
        try:
            rise, fall = daylight(Observer(latitude, 0.0, 0.0), first + timedelta(i))
            found.append((fall - rise).total_seconds() / 3600)
        except ValueError:
            found.append(np.nan)
    return sun.daylength(latitude, 0, first, 365), spa_day(latitude, 0), np.array(found)


@pytest.mark.parametrize("latitude", [-70.0, -41.3, 0.0, 53.9, 66.0, 69.6, 78.0])
def test_daylength_is_astrals(latitude):
    """Day by day the distance of astral's sunrise and sunset, where it finds both."""
    ours, _, astral = daylengths(latitude)
    there = ~np.isnan(astral)
    seconds = np.abs(ours - astral)[there] * 3600
    assert np.median(seconds) < 2
    # Where the day changes by more than half an hour a day, astral stops a step earlier.
    steep = np.abs(np.gradient(ours))[there] > 0.5
    assert seconds[~steep].max(initial=0) < 30
    assert seconds.max() < 180
    # Where astral finds no sunrise or no sunset it is polar day or night, or within a day of it.
    assert ((ours < 1) | (ours > 23))[~there].all()


@pytest.mark.parametrize("latitude, longitude", [
    (-70, 20), (-41.4, 147.1), (-20, -65), (0, -75), (35, 139), (53.9, -1), (69.6, 19), (78, 15),
])  # fmt: skip
def test_positions_against_the_spa(latitude, longitude):
    """Within 0.1° of pvlib's SPA whenever the sun is above the horizon, every 37 minutes."""
    times = pd.date_range("2027-01-01", "2028-12-31 23:59", freq="37min", tz="UTC")
    spa = pvlib.solarposition.spa_python(times, latitude, longitude)
    midnight = pd.Timestamp("2027-01-01", tz="UTC")
    moments = date(2027, 1, 1).toordinal() + (times - midnight).total_seconds().to_numpy() / 86400
    elevation, azimuth = sun.position(latitude, longitude, moments)
    up = spa.elevation.to_numpy() > 0
    assert np.abs(elevation - spa.elevation.to_numpy())[up].max() < 0.1
    turn = (azimuth - spa.azimuth.to_numpy() + 180) % 360 - 180
    # On the sphere: a degree of azimuth near the zenith is no way at all.
    assert np.abs(turn * np.cos(np.radians(elevation)))[up].max() < 0.1
    assert np.abs(turn)[up & (elevation < 80)].max() < 0.1


TMY = {
    "Greensboro": ("723170TYA.CSV", 36.1, 273),
    "Sand Point": ("703165TY.csv", 55.3, 7),
    "Miami": ("12839.tm2", 25.8, 2),
}


def typical_year(name):
    """Read a typical meteorological year that pvlib carries: hourly temperature and radiation.

    NREL TMY3 (Greensboro, North Carolina; Sand Point, Alaska) and TMY2 (Miami, Florida).
    """
    from pathlib import Path

    path = Path(pvlib.__file__).parent / "data" / TMY[name][0]
    if path.suffix == ".tm2":
        table, _ = pvlib.iotools.read_tmy2(path)
        air, sunlight = table["DryBulb"], table["GHI"]
        air = air / 10 if air.max() > 100 else air
    else:
        table, _ = pvlib.iotools.read_tmy3(path, map_variables=True)
        air, sunlight = table["temp_air"], table["ghi"]
    day = table.index.strftime("%m-%d")
    daily = pd.DataFrame({
        "tmin": air.groupby(day).min(),
        "tmax": air.groupby(day).max(),
        "radiation": sunlight.groupby(day).sum() * 3600e-6,
    })  # fmt: skip
    return daily.groupby(daily.index.str[:2]).mean()


@pytest.mark.parametrize("name", TMY)
def test_radiation_from_temperature_against_typical_years(name):
    """Over the year within 12 %, each month within 25 %: FAO-56 claims no more for eq. 50."""
    months = typical_year(name)
    _, latitude, elevation = TMY[name]
    middle = [date(2025, month, 15).timetuple().tm_yday for month in range(1, 13)]
    ra = light.extraterrestrial_radiation(latitude, middle)
    mean = (months.tmin + months.tmax) / 2
    k = light.coast_factor(latitude, float(np.ptp(mean)))
    found = light.solar_radiation(months.tmin, months.tmax, ra, k, elevation)
    assert found.sum() == pytest.approx(months.radiation.sum(), rel=0.12)
    assert np.abs(found / months.radiation.to_numpy() - 1).max() < 0.25
