"""``sowplan climate``: a garden file's ``[climate]`` table, from a record or a town near by."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from sowplan.commands.problems import finite
from sowplan.problem import Exit

if TYPE_CHECKING:
    from sowplan.quantity import Units
    from sowplan.records.garden import Climate, DayRecord
    from sowplan.site.nearest import Nearest

MOST_MISSING = 0.05  # of the days: a share of gaps that hardly moves a monthly mean


def climate(
    records: Annotated[
        Path | None,
        typer.Argument(help="A CSV file with columns date, tmin, tmax and, if known, rain."),
    ] = None,
    unit: Annotated[
        Literal["C", "F"], typer.Option(help="Unit of temperatures whose heading names none.")
    ] = "C",
    rain_unit: Annotated[
        Literal["mm", "in"], typer.Option(help="Unit of rain whose heading names none.")
    ] = "mm",
    years: Annotated[
        str | None, typer.Option(help="Only these years of the record, as 1991-2020.")
    ] = None,
    risk: Annotated[
        float,
        typer.Option(
            min=0.5, max=50, callback=finite, help="Accepted frost risk: years in a hundred."
        ),
    ] = 10,
    near: Annotated[
        str | None,
        typer.Option(
            help='Instead of a record: the garden\'s "latitude, longitude" in degrees, or a town.'
        ),
    ] = None,
    height: Annotated[
        str | None,
        typer.Option(help='With --near: the garden\'s height above the sea, "40 m" or "130 ft".'),
    ] = None,
    units: Annotated[
        Literal["metric", "imperial"], typer.Option(help="Units to write the table in.")
    ] = "metric",
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON.")] = False,
) -> None:
    """Turn a daily weather record into the climate table of a garden file, ready to paste.

    It gives monthly means, the last and first frost at your risk, and, as comments, frost dates
    at other thresholds and risks and what each year brought. A few missing days are passed over
    and counted. Without a record, --near works them out from the towns of the built-in table.

    For example:

      sowplan climate weather.csv

      sowplan climate weather.csv --unit F --years 1991-2020 --risk 20

      sowplan climate --near "-41.4, 147.1" --height "40 m"

      sowplan climate --near Madison --units imperial
    """
    from sowplan.site.climate_table import as_toml, climate_table, plain

    if (records is None) == (near is None):
        raise typer.BadParameter("Give a weather record, or --near with a place, and not both.")
    if records is not None:
        given = _read(records, unit, rain_unit, years)
        table = climate_table(given, records.name[:80], risk / 100)
    else:
        found = _nearest(str(near), height, units)
        climate = found.climate
        table = climate_table(climate, climate.source, risk / 100, found.note, found.latitude)
    if as_json:
        typer.echo(json.dumps(plain(table), ensure_ascii=False, indent=2))
    else:
        typer.echo(as_toml(table, units))


def _read(path: Path, unit: str, rain_unit: str, years: str | None) -> Climate:
    """Read the record, or leave with every problem in it."""
    from sowplan.commands.problems import stop_on
    from sowplan.records.garden import Climate
    from sowplan.records.weather import read_weather

    days, problems = read_weather(path, unit, rain_unit, gaps=True)
    stop_on(problems)
    kept = _within(days, years) if years else days
    missing = (kept[-1].day - kept[0].day).days + 1 - len(kept)
    if missing > MOST_MISSING * len(kept):
        message = f"{missing} of {missing + len(kept)} days are missing: too many to go by."
        hint = " Choose better years with --years." if not years else ""
        typer.echo(f"{path}: {message}{hint}", err=True)
        raise typer.Exit(Exit.IMPOSSIBLE)
    return Climate(records=kept)


def _within(days: tuple[DayRecord, ...], years: str) -> tuple[DayRecord, ...]:
    """Return the days of the years asked for."""
    match = re.fullmatch(r"\s*(\d{4})\s*(?:[-–]\s*(\d{4}))?\s*", years)
    if match is None or int(match[2] or match[1]) < int(match[1]):
        raise typer.BadParameter("Years are written as 1991-2020.", param_hint="--years")
    first, last = int(match[1]), int(match[2] or match[1])
    kept = tuple(d for d in days if first <= d.day.year <= last)
    if len(kept) < 365:
        span = f"{days[0].day.year} to {days[-1].day.year}"
        typer.echo(
            f"The record has no whole year within {years.strip()}; it holds {span}.", err=True
        )
        raise typer.Exit(Exit.IMPOSSIBLE)
    return kept


def _nearest(near: str, height: str | None, units: Units) -> Nearest:
    """Return the figures to start from at the place written."""
    from sowplan.commands.near import place_meant
    from sowplan.site.nearest import nearest

    place = place_meant(near)
    rise_m = place.elevation_m if height is None else _height_m(height)
    return nearest(place.latitude, place.longitude, rise_m, units)


def _height_m(text: str) -> float:
    """Read a height above the sea; a bare number is one of metres."""
    from sowplan.quantity import QuantityError, distance_m

    try:
        return distance_m(text, "A height is 0 or more.") if not _is_number(text) else float(text)
    except QuantityError as wrong:
        raise typer.BadParameter(
            f"{wrong.message} (found: {text})", param_hint="--height"
        ) from None


def _is_number(text: str) -> bool:
    return re.fullmatch(r"\s*[+-]?\d+(\.\d+)?\s*", text) is not None
