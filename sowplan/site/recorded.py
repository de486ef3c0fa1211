"""Daily records: their monthly means, and each recorded year as a weather of its own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from sowplan.records.garden import DayRecord
from sowplan.site.normals import MONTH_DAYS, YearCurve, day_places, leap_places

if TYPE_CHECKING:
    from pandas import DataFrame

Floats = NDArray[np.float64]

_YEAR = 366


@dataclass(frozen=True, eq=False)
class Record:
    """A record day by day, shape (days,) each, NaN where a day has no figure."""

    first: date
    tmin: Floats  # [°C]
    tmax: Floats  # [°C]
    rain: Floats  # [mm]

    @property
    def years(self) -> int:
        """Whole years recorded."""
        return len(self.tmin) // 365


def record_of(days: Sequence[DayRecord]) -> Record:
    """Lay records out in arrays.

    Parameters
    ----------
    days : sequence of DayRecord
        In any order, each day at most once.

    Raises
    ------
    ValueError
        For less than a whole year, or a calendar month without a day.
    """
    ordinals = np.array([d.day.toordinal() for d in days], dtype=int)
    if len(ordinals) < 365:
        raise ValueError(
            f"a weather record of at least a whole year is needed, not {len(days)} days"
        )
    at = ordinals - ordinals.min()
    columns = np.full((3, at.max() + 1), np.nan)
    columns[0, at] = [d.tmin for d in days]
    columns[1, at] = [d.tmax for d in days]
    columns[2, at] = [np.nan if d.rain is None else d.rain for d in days]
    return Record(date.fromordinal(int(ordinals.min())), *columns)


def monthly_means(record: Record) -> tuple[Floats, Floats, Floats | None]:
    """Return the record's monthly mean minimum and maximum [°C] and monthly rain [mm].

    Returns
    -------
    tmin, tmax : array
        Shape (12,).
    rain : array or None
        Shape (12,), sums for a usual month; None where a calendar month has no figure.
    """
    days = _by_day(record)
    means = days.groupby(days.index.month).mean().reindex(range(1, 13))
    if means[["tmin", "tmax"]].isna().any(axis=None):
        raise ValueError("the weather record has no figures for one of the twelve months")
    tmin, tmax, rain = means.to_numpy().T
    return tmin, tmax, None if np.isnan(rain).any() else rain * np.asarray(MONTH_DAYS)


def _by_day(record: Record) -> DataFrame:
    """Return a record as a table by date, with the columns tmin, tmax and rain."""
    import pandas as pd

    dates = pd.date_range(record.first, periods=len(record.tmin), freq="D")
    columns = {"tmin": record.tmin, "tmax": record.tmax, "rain": record.rain}
    return pd.DataFrame(columns, index=dates)


def recorded_departures(record: Record, normal: YearCurve, start: date, days: int) -> Floats:
    """Return each recorded year as departures of the daily mean from normal.

    Parameters
    ----------
    record : Record
        The record.
    normal : YearCurve
        Normal daily mean temperature [°C].
    start, days : date, int
        The season.

    Returns
    -------
    array
        [K], shape (whole years recorded, days). Row k takes the weather as it came from the
        season's first day in the k-th year on, through the turns of the year; where the
        record ends it goes on from the record's beginning.
    """
    span = len(record.tmin)
    departure = (record.tmin + record.tmax) / 2 - normal.on(record.first, span)
    years = record.years
    # Cells of 366 days, counted back from the last day: a part year at the front is left out.
    place, _ = day_places(record.first, span)
    slot = leap_places(record.first, span)
    year = np.cumsum(place == 0)
    cell = year * _YEAR + slot
    cell -= cell[-1] - (years * _YEAR - 1)
    table = np.full(years * _YEAR, np.nan)
    table[cell[cell >= 0]] = departure[cell >= 0]
    table = _filled(table)
    back = leap_places(date.fromordinal(record.first.toordinal() + span - 1), 1)[0]
    season_place, _ = day_places(start, days)
    season = np.cumsum(season_place == 0) * _YEAR + leap_places(start, days)
    first = (season[0] - back - 1) % _YEAR
    at = (first + season - season[0])[None, :] + _YEAR * np.arange(years)[:, None]
    return table[at % len(table)]


def by_year(record: Record) -> Floats:
    """Return the minima as (calendar years, 366) [°C], NaN where there is none."""
    slot = leap_places(record.first, len(record.tmin))
    place, _ = day_places(record.first, len(record.tmin))
    row = np.cumsum(place == 0)
    row -= row[0]
    table = np.full((row[-1] + 1, _YEAR), np.nan)
    table[row, slot] = record.tmin
    return table


def degree_days(record: Record, base_c: float) -> dict[int, float]:
    """Return each calendar year's sum of daily means above a base [K d].

    A day's mean is that of its minimum and maximum; a day below the base counts nought.
    """
    days = _by_day(record)
    above = (days[["tmin", "tmax"]].mean(axis=1, skipna=False) - base_c).clip(lower=0.0)
    sums = above.groupby(above.index.year).sum()
    return dict(zip(sums.index.tolist(), sums.tolist(), strict=True))


def _filled(table: Floats) -> Floats:
    """Fill 29 February where the year has none, and any missing day, from its neighbours."""
    missing = np.isnan(table)
    if not missing.any():
        return table
    at = np.arange(len(table))
    return np.where(missing, np.interp(at, at[~missing], table[~missing], period=len(table)), table)
