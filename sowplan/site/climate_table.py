"""A climate summed up as the ``[climate]`` table of a garden file, with what it rests on."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np

from sowplan.quantity import INCH_MM, Units, c_to_fahrenheit, format_temperature, wrapped
from sowplan.records.garden import Climate
from sowplan.records.garden_file.values.months import MONTHS
from sowplan.records.toml.edits import basic_string
from sowplan.site.frost_records import FrostDays, frost_days
from sowplan.site.recorded import degree_days, monthly_means, record_of
from sowplan.site.sky import frost_outlook

THRESHOLDS_C = (2.0, 0.0, -2.0, -4.0)
RISKS = (0.1, 0.2, 0.5, 0.8, 0.9)
BASE_C = 10.0  # of the degree days shown by year
_WIDTH = 76  # of a remark in the garden file
_ANY_YEAR = date(2001, 1, 1)  # dates are shown without their year


@dataclass(frozen=True)
class Dates:
    """Last frost of spring and first of autumn at a threshold and risk, with where from."""

    threshold_c: float
    risk: float
    last_frost: date | None
    first_frost: date | None
    note: str


@dataclass(frozen=True)
class YearFacts:
    """What one recorded year brought."""

    year: int
    last_frost: date | None  # of the spring that begins in the year
    first_frost: date | None
    degree_days: float  # above ``BASE_C`` [K d]


@dataclass(frozen=True)
class ClimateTable:
    """Monthly means [°C, mm], frost dates and recorded years."""

    tmin: tuple[float, ...]
    tmax: tuple[float, ...]
    rain: tuple[float, ...] | None
    risk: float
    frost: Dates
    others: tuple[Dates, ...]
    years: tuple[YearFacts, ...]
    source: str  # short enough for the garden file
    remark: str = ""


def climate_table(
    climate: Climate, source: str, risk: float, remark: str = "", latitude: float | None = None
) -> ClimateTable:
    """Sum up a climate.

    Parameters
    ----------
    climate : Climate
        Records or monthly normals.
    source : str
        Where they come from, in a few words: a file's name, a town.
    risk : float
        Accepted share of years with a later (earlier) frost.
    remark : str
        What else to know of the source.
    latitude : float, optional
        [°], north positive, for an estimate from monthly normals.

    Raises
    ------
    ValueError
        As ``sky.sky``.
    """
    outlook = frost_outlook(climate, _ANY_YEAR, 365, latitude)
    years: tuple[YearFacts, ...] = ()
    tmin, tmax, rain = climate.tmin, climate.tmax, climate.rain
    if climate.records:
        record = record_of(climate.records)
        low, high, wet = monthly_means(record)
        tmin, tmax = _rounded(low), _rounded(high)
        rain = None if wet is None else _rounded(wet, 0)
        frosts = frost_days(record, outlook.calendar, 0.0)
        sums = degree_days(record, BASE_C)
        none: FrostDays = (None, None)
        years = tuple(YearFacts(y, *frosts.get(y, none), sums[y]) for y in sorted(sums))
        first, last = climate.records[0].day, climate.records[-1].day
        missing = (last - first).days + 1 - len(climate.records)
        source = f"{source}: {first} to {last}" + (f", {missing} days missing" if missing else "")

    def dates(threshold_c: float, share: float) -> Dates:
        return Dates(threshold_c, share, *outlook.dates(_ANY_YEAR, share, threshold_c))

    others = tuple(dates(t, r) for t in THRESHOLDS_C for r in RISKS)
    return ClimateTable(tmin, tmax, rain, risk, dates(0.0, risk), others, years, source, remark)


def as_toml(table: ClimateTable, units: Units = "metric") -> str:
    """Return the table as text to paste into a garden file; all but figures are comments."""
    own, imperial = table.frost, units == "imperial"
    lines = [f"# {line}" for line in wrapped(table.remark or table.source, _WIDTH)]
    lines += ["[climate]", *(['temperature_unit = "F"', 'rain_unit = "in"'] if imperial else [])]
    lines.append("#       " + "  ".join(f"{m[:3]:>4}" for m in MONTHS))
    for name, means in (("tmin", table.tmin), ("tmax", table.tmax)):
        shown = tuple(map(c_to_fahrenheit, means)) if imperial else means
        lines.append(f"{name} = [{_twelve(shown)}]")
    if table.rain is not None:
        inches = tuple(rain / INCH_MM for rain in table.rain)
        lines.append(f"rain = [{_twelve(inches) if imperial else _twelve(table.rain, 0)}]")
    if table.years:  # an estimate is made anew from the means, and says that it is one
        often = f"in {table.risk * 100:g} years of 100 one comes"
        if own.last_frost:
            lines.append(f'last_frost = "{own.last_frost:%m-%d}"   # {often} later')
        if own.first_frost:
            lines.append(f'first_frost = "{own.first_frost:%m-%d}"  # {often} earlier')
    lines.append(f'frost_risk = "{table.risk * 100:g} %"')
    lines.append(f"source = {basic_string(table.source)}")
    lines += ["", *_frost_comment(table, units)]
    return "\n".join(lines + (["", *_years_comment(table, units)] if table.years else []))


def plain(table: ClimateTable) -> dict[str, object]:
    """Return the table as plain values for JSON; dates without a year are "MM-DD"."""

    def frost(dates: Dates) -> dict[str, object]:
        return {
            "threshold_c": dates.threshold_c,
            "risk": dates.risk,
            "last_frost": _short(dates.last_frost),
            "first_frost": _short(dates.first_frost),
            "note": dates.note,
        }

    return {
        "tmin": table.tmin,
        "tmax": table.tmax,
        "rain": table.rain,
        "frost_risk": table.risk,
        **{k: v for k, v in frost(table.frost).items() if k.endswith("frost") or k == "note"},
        "source": table.source,
        "remark": table.remark,
        "frost_dates": [frost(d) for d in table.others],
        "years": [
            {
                "year": y.year,
                "last_frost": y.last_frost and y.last_frost.isoformat(),
                "first_frost": y.first_frost and y.first_frost.isoformat(),
                "degree_days_above_10_c": round(y.degree_days, 1),
            }
            for y in table.years
        ],
    }


def _frost_comment(table: ClimateTable, units: Units) -> list[str]:
    lines = [f"# {line}" for line in wrapped(f"Frost: {table.frost.note}.", _WIDTH)]
    heads = (
        ("last_frost", "# Last frost of spring, by how often one still comes after it"),
        ("first_frost", "# First frost of autumn, by how often one comes before it"),
    )
    for which, head in heads:
        rows = []
        for threshold in THRESHOLDS_C:
            days = [getattr(d, which) for d in table.others if d.threshold_c == threshold]
            if any(days):
                cells = "".join(f"{_short(day) or '–':>8}" for day in days)
                rows.append(f"#   {format_temperature(threshold, units):>7} {cells}")
        if rows:
            risks = "".join(f"{r * 100:>6g} %" for r in RISKS)
            lines += ["#", head, f"#   minimum {risks}", *rows]
    return lines


def _years_comment(table: ClimateTable, units: Units) -> list[str]:
    frost, base = (format_temperature(t, units) for t in (0.0, BASE_C))
    lines = [f"# Year by year: last and first frost ({frost}), degree days above {base}"]
    each = 1.8 if units == "imperial" else 1.0  # degrees to a kelvin
    for y in table.years:
        last, first = _short(y.last_frost) or "–", _short(y.first_frost) or "–"
        lines.append(f"#   {y.year}  {last:>5}  {first:>5}  {y.degree_days * each:7.1f}")
    return lines


def _short(day: date | None) -> str | None:
    return None if day is None else f"{day:%m-%d}"


def _rounded(values: np.ndarray, places: int = 1) -> tuple[float, ...]:
    return tuple(round(float(v), places) + 0.0 for v in values)


def _twelve(values: tuple[float, ...], places: int = 1) -> str:
    return ", ".join(f"{v:>4.{places}f}" for v in values)
