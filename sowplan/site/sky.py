"""One site's sky over a season: the door through which later stages see light and weather."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np

from ..records.garden import Climate, Site
from . import light, spread
from .frost import Calendar, FrostOutlook, agreeing
from .frost_normals import SOURCE as ESTIMATE
from .frost_normals import ChainFrost
from .normals import MONTH_DAYS, YearCurve, day_places, year_curve
from .series import DailySeries
from .soil import soil_year
from .sun import daylength


@dataclass(frozen=True, eq=False)
class Sky:
    """Likely weather and light of a season, and its frosts."""

    series: DailySeries
    frost: FrostOutlook


def sky(site: Site, climate: Climate, start: date, days: int) -> Sky:
    """Return the daily series of a site from a first day on.

    Parameters
    ----------
    site : Site
        The place.
    climate : Climate
        Monthly normals or daily records, checked by the reader.
    start : date
        First day; any day of any year.
    days : int
        How many, at least 1.

    Returns
    -------
    Sky
        Series of shape (days,) and the frost outlook over the same days.

    Raises
    ------
    ValueError
        Where the climate is neither twelve monthly means nor a record of a whole year.
    """
    tmin, tmax = year_curve(climate.tmin), year_curve(climate.tmax)
    tmean = tmin.mean_with(tmax)
    sd = tmean.map(spread.daily_sd)
    scenarios = spread.departures(sd.on(start, days), start)
    series = _series(site, start, days, tmin, tmax, _rain(climate), scenarios, spread.SOURCE)
    calendar = Calendar.of(tmin.leap)
    chain = ChainFrost(tmin.leap, sd.leap, calendar)
    halves = agreeing(
        chain.halves, calendar, climate.last_frost, climate.first_frost, climate.frost_risk
    )
    frost = FrostOutlook(start, days, calendar, halves, chain.weekly, ESTIMATE)
    return Sky(series, frost)


def _series(
    site: Site,
    start: date,
    days: int,
    tmin: YearCurve,
    tmax: YearCurve,
    rain: YearCurve | None,
    scenarios: np.ndarray,
    spread_source: str,
) -> DailySeries:
    tmean = tmin.mean_with(tmax)
    low, high = tmin.on(start, days), tmax.on(start, days)
    place, _ = day_places(start, days)
    ra = light.extraterrestrial_radiation(site.latitude, place + 1)
    k = light.coast_factor(site.latitude, float(np.ptp(tmean.common)))
    radiation = light.solar_radiation(low, high, ra, k, site.elevation_m)
    return DailySeries(
        start=start,
        tmin=low,
        tmax=high,
        tmean=(low + high) / 2,
        soil=tmean.map(soil_year).on(start, days),
        rain=np.full(days, np.nan) if rain is None else rain.on(start, days),
        daylength=daylength(site.latitude, site.longitude, start, days),
        dli=light.daily_light_integral(radiation),
        radiation=radiation,
        scenarios=scenarios,
        spread_source=spread_source,
    )


def _rain(climate: Climate) -> YearCurve | None:
    """Return rain [mm/day] from monthly sums."""
    if climate.rain is None:
        return None
    return year_curve(np.asarray(climate.rain) / np.asarray(MONTH_DAYS), at_least=0.0)
