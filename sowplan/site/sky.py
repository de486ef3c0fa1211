"""One site's sky over a season: the door through which later stages see light and weather."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from sowplan.records.garden import Climate, Site
from sowplan.site import light, spread
from sowplan.site.frost import (
    NORTHERN,
    Calendar,
    FrostOutlook,
    agreeing,
    without_frost,
    without_seasons,
)
from sowplan.site.frost_normals import SOURCE as ESTIMATE
from sowplan.site.frost_normals import ChainFrost
from sowplan.site.frost_records import RecordFrost
from sowplan.site.normals import MONTH_DAYS, YearCurve, day_places, year_curve
from sowplan.site.recorded import (
    Record,
    by_year,
    monthly_means,
    record_of,
    recorded_departures,
)
from sowplan.site.series import DailySeries
from sowplan.site.soil import soil_year
from sowplan.site.spread import minimum_sd
from sowplan.site.sun import daylength

Floats = NDArray[np.float64]

ENOUGH_YEARS = 20  # from here on recorded years speak for themselves: our choice
_TEMPERATE = 45.0  # [°] stands for a latitude that is not known


@dataclass(frozen=True, eq=False)
class Sky:
    """Likely weather and light of a season, and its frosts."""

    series: DailySeries
    frost: FrostOutlook


@lru_cache(maxsize=2)  # what stands in a want's way is tried in many a garden under one sky
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
    record = record_of(climate.records) if climate.records else None
    low, high, rain = monthly_means(record) if record else _given(climate)
    tmin, tmax = year_curve(low), year_curve(high)
    tmean = tmin.mean_with(tmax)
    scenarios, source = _weathers(record, tmean, start, days)
    series = _series(site, start, days, (tmin, tmax, _rain_curve(rain)), scenarios, source)
    return Sky(series, _outlook(climate, record, tmin, tmax, start, days, site.latitude))


def frost_outlook(
    climate: Climate, start: date, days: int, latitude: float | None = None
) -> FrostOutlook:
    """Return the frosts of a season alone, for which the place itself need not be known.

    Parameters
    ----------
    climate, start, days
        As for ``sky``.
    latitude : float, optional
        [°], north positive. It widens an estimate from monthly means in the north; where it
        is not known, the season of the cold tells north from south.

    Raises
    ------
    ValueError
        As ``sky``.
    """
    record = record_of(climate.records) if climate.records else None
    low, high, _ = monthly_means(record) if record else _given(climate)
    return _outlook(climate, record, year_curve(low), year_curve(high), start, days, latitude)


def _weathers(
    record: Record | None, tmean: YearCurve, start: date, days: int
) -> tuple[Floats, str]:
    """Return the weathers the season may bring [K from normal] and where they come from.

    Few recorded years understate what a year can do: next to them stand draws from the
    stated spread, made as wide as the record itself. Of the variance over weeks, n years
    around their own mean show (n - 1) / n, and a further year strays (n + 1) / n from it.
    """
    sd = tmean.map(spread.daily_sd)
    if record is None:
        return spread.departures(sd.on(start, days), start), spread.SOURCE
    recorded = recorded_departures(record, tmean, start, days)
    years = len(recorded)
    source = f"{years} recorded year" + "s" * (years > 1)
    if years >= ENOUGH_YEARS:
        return recorded, source
    span = len(record.tmin)
    own = (record.tmin + record.tmax) / 2 - tmean.on(record.first, span)
    wide = np.sqrt(2.0)
    if years > 1:
        as_stated = np.nanmean(own**2) / np.mean(sd.on(record.first, span) ** 2)
        wide = np.sqrt(as_stated * (years + 1) / (years - 1))
    drawn = spread.departures(wide * sd.on(start, days), start)
    return np.concatenate([recorded, drawn]), f"{source}, and weathers drawn with their spread"


def _given(climate: Climate) -> tuple[Floats, Floats, Floats | None]:
    """Return the monthly normals of the garden file."""
    rain = None if climate.rain is None else np.asarray(climate.rain)
    return np.asarray(climate.tmin), np.asarray(climate.tmax), rain


def _outlook(
    climate: Climate,
    record: Record | None,
    tmin: YearCurve,
    tmax: YearCurve,
    start: date,
    days: int,
    latitude: float | None,
) -> FrostOutlook:
    """Return the frost outlook: from records where two years of them are there."""
    own = (climate.last_frost, climate.first_frost)
    calendar = Calendar.of(tmin.leap, *own)
    if latitude is None:
        latitude = _TEMPERATE if calendar is NORTHERN else -_TEMPERATE
    sd = minimum_sd(tmin.leap, tmax.leap, latitude)
    chances: ChainFrost | RecordFrost = ChainFrost(tmin.leap, sd, calendar)
    source = ESTIMATE
    if record:
        recorded = RecordFrost(by_year(record), calendar)
        if recorded.years >= 2:
            chances, source = recorded, f"from {recorded.years} recorded years"
    source = "; ".join([*calendar.words_on(*own), source])
    halves, weekly = agreeing(
        chances.halves,
        chances.weekly,
        calendar,
        *own,
        climate.frost_risk,
    )
    standing = chances.standing if without_seasons(tmin.leap, *own) else None
    if climate.frost_free:
        halves, weekly = without_frost(halves, weekly)
        standing, source = None, "your word for it"
    return FrostOutlook(start, days, calendar, halves, weekly, source, standing)


def _series(
    site: Site,
    start: date,
    days: int,
    curves: tuple[YearCurve, YearCurve, YearCurve | None],
    scenarios: Floats,
    spread_source: str,
) -> DailySeries:
    tmin, tmax, rain = curves
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
        warmest_c=_warmest_month(tmean.common),
    )


def _warmest_month(year: Floats) -> float:
    """Return the highest mean of 31 days on end of a year of days, shape (365,)."""
    round_year = np.concatenate([year[-15:], year, year[:15]])
    return float(np.convolve(round_year, np.full(31, 1 / 31), "valid").max())


def _rain_curve(monthly: Floats | None) -> YearCurve | None:
    """Return rain [mm/day] from monthly sums [mm]."""
    return None if monthly is None else year_curve(monthly / np.asarray(MONTH_DAYS), at_least=0.0)
