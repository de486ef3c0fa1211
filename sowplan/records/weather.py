"""A daily weather record (CSV) into days: every day once, from the first to the last."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from pathlib import Path

from sowplan.problem import Exit, Problem, did_you_mean
from sowplan.quantity import INCH_MM, fahrenheit_to_c
from sowplan.records.garden import DayRecord
from sowplan.records.garden_file.values.months import read_day
from sowplan.records.tables import Row, Table, read_table

WHOLE_YEAR_DAYS = 365
COLDEST_C, HOTTEST_C = -90.0, 60.0  # just beyond the lowest and highest on record (WMO)
WETTEST_MM = 2000.0  # just beyond the highest daily total on record (WMO)
_SHOWN_ALIKE = 3

# What weather services and spreadsheets call the columns.
_NAMES = {
    "date": ("date", "day"),
    "tmin": ("tmin", "t_min", "temp_min", "min_temp", "temperature_min", "minimum", "min"),
    "tmax": ("tmax", "t_max", "temp_max", "max_temp", "temperature_max", "maximum", "max"),
    "rain": ("rain", "rainfall", "precipitation", "precip", "prcp"),
}
_UNIT = re.compile(r"^(?P<name>.*?)_?[(\[]?°?(?P<unit>c|f|mm|in|inch|inches)[)\]]?$")


@dataclass(frozen=True)
class _Column:
    """Where a column stands and the unit its heading names (None where it names none)."""

    heading: str
    unit: str | None


def read_weather(
    path: Path, temperature_unit: str = "C", rain_unit: str = "mm", gaps: bool = False
) -> tuple[tuple[DayRecord, ...], list[Problem]]:
    """Read a daily weather record.

    Parameters
    ----------
    path : Path
        CSV file with the columns date, tmin, tmax and, optionally, rain. Headings may name
        the unit (``tmin_f``, ``rain_in``); rows may stand in any order; other columns are ignored.
    temperature_unit : {"C", "F"}
        Unit of temperatures whose heading names none.
    rain_unit : {"mm", "in"}
        Unit of rain whose heading names none.
    gaps : bool
        Let days be missing, and pass over rows without a minimum or a maximum.

    Returns
    -------
    records : tuple of DayRecord
        Every day from the first to the last [°C, mm], in order, or with ``gaps`` those that
        are there; empty where anything is wrong.
    problems : list of Problem
        Everything wrong; of many alike the first few, with the number of the rest.
    """
    table, problems = read_table(path, "weather record")
    if table is None:
        return (), problems
    columns, wrong = _columns(table)
    if wrong:
        return (), [*problems, *wrong]
    units = {"tmin": temperature_unit, "tmax": temperature_unit, "rain": rain_unit}
    days: dict[date, tuple[int, DayRecord]] = {}
    unread: set[int] = set()  # lines whose day is not known
    for row in table.rows:
        if gaps and not all(row.cells.get(columns[n].heading) for n in ("tmin", "tmax")):
            continue
        day, record, found = _read_row(table, row, columns, units)
        problems += found
        if day is None:
            unread.add(row.line)
        elif day in days:
            message = f"This day stands in the record twice: first on line {days[day][0]}."
            problems.append(_wrong(table, row.line, "date", day.isoformat(), message))
        else:
            days[day] = (row.line, record)
    problems += _gaps(table, days, unread, gaps)
    if problems:
        return (), _few_of_each(problems)
    return tuple(record for _, (_, record) in sorted(days.items())), []


def _wrong(table: Table, line: int | None, where: str, found: str, message: str) -> Problem:
    return Problem(table.file, line, where, found, message)


def _columns(table: Table) -> tuple[dict[str, _Column], list[Problem]]:
    """Find the columns; say which is missing."""
    columns: dict[str, _Column] = {}
    for heading in table.columns:
        match = _UNIT.match(heading)
        for name, others in _NAMES.items():
            if heading in others:
                columns.setdefault(name, _Column(heading, None))
            elif match and match["name"].rstrip("_") in others:
                unit = match["unit"].replace("inches", "in").replace("inch", "in")
                columns.setdefault(name, _Column(heading, unit.upper() if len(unit) == 1 else unit))
    missing = [name for name in ("date", "tmin", "tmax") if name not in columns]
    if not missing:
        return columns, []
    names = " and ".join(f"'{name}'" for name in missing)
    message = (
        f"The first line names the columns date, tmin, tmax and, where you have it, rain: {names} "
        f"{'is' if len(missing) == 1 else 'are'} not there."
    )
    hints = "".join(_renamed(name, table.columns) for name in missing)
    found = ", ".join(table.columns)[:80]
    return columns, [_wrong(table, 1, "header", found, message + hints)]


def _renamed(name: str, columns: tuple[str, ...]) -> str:
    near = did_you_mean(name, [c for c in columns if c])
    match = re.search(r"'(.*)'", near)
    return f" Should '{match[1]}' be '{name}'?" if match else ""


def _read_row(
    table: Table, row: Row, columns: dict[str, _Column], units: dict[str, str]
) -> tuple[date | None, DayRecord, list[Problem]]:
    problems: list[Problem] = []
    values: dict[str, float | None] = {}
    for name in ("tmin", "tmax", "rain"):
        text = row.cells.get(columns[name].heading, "") if name in columns else ""
        unit = (columns[name].unit if name in columns else None) or units[name]
        value, message = _value(name, text, unit, table.decimal_comma)
        values[name] = value
        if message:
            problems.append(_wrong(table, row.line, name, text, message))
    text = row.cells.get(columns["date"].heading, "")
    day, message = _day(text)
    if message:
        problems.append(_wrong(table, row.line, "date", text, message))
    tmin, tmax = values["tmin"], values["tmax"]
    if tmin is not None and tmax is not None and tmin > tmax:
        cells = ", ".join(f"{n} {row.cells[columns[n].heading]}" for n in ("tmin", "tmax"))
        message = "tmin is above tmax: are the two swapped?"
        problems.append(_wrong(table, row.line, "tmin", cells, message))
    record = DayRecord(day or date.min, tmin or 0.0, tmax or 0.0, values["rain"])
    return day, record, problems


def _day(text: str) -> tuple[date | None, str]:
    try:
        return date.fromisoformat(text[:10] if text[10:11] in ("T", " ") else text), ""
    except ValueError:
        pass
    try:
        return read_day(text), ""
    except ValueError as error:
        right = "A day is written year-month-day, such as 2026-09-01."
        why = re.sub(r"(?<=mistaken):.*", ".", str(error))  # all such rows have one message
        return None, f"{right} {why}".strip() if re.search(r"\d", text) else right


def _value(name: str, text: str, unit: str, comma: bool) -> tuple[float | None, str]:
    """Read a cell; return its value [°C, mm] and what is wrong."""
    if not text:
        blank = f"{name} is blank: fill it in, or begin the record after this day."
        return None, "" if name == "rain" else blank
    number = text.replace("−", "-")
    number = number.replace(",", ".") if comma else number
    if not re.fullmatch(r"[+-]?(\d+\.?\d*|\.\d+)", number):
        point = " Decimals have a point." if re.fullmatch(r"[+-]?\d+,\d+", number) else ""
        return None, f"{name} is a number, and nothing else.{point}"
    value = float(number)
    if name == "rain":
        value *= INCH_MM if unit == "in" else 1.0
        if not 0 <= value <= WETTEST_MM:
            return None, f"Rain is between 0 and {WETTEST_MM:g} mm a day; leave unknown rain blank."
        return value, ""
    value = fahrenheit_to_c(value) if unit == "F" else value
    if not COLDEST_C <= value <= HOTTEST_C:
        fahrenheit = 'If these are °F, add temperature_unit = "F" to [climate].'
        hint = fahrenheit if HOTTEST_C < value < 140 and unit == "C" else "Does it mark a gap?"
        return None, f"{name} is between {COLDEST_C:g} and {HOTTEST_C:g} °C. {hint}"
    return value, ""


def _gaps(
    table: Table, days: dict[date, tuple[int, DayRecord]], unread: set[int], allowed: bool
) -> list[Problem]:
    """Return a problem a gap, and one where the record is too short to be a year."""
    if not days:
        message = "There is no day in this record."
        return [] if unread else [replace(_wrong(table, None, "", "", message), exit=Exit.WRONG)]
    known = sorted(days)
    problems = []
    for before, after in zip(known, known[1:], strict=False):
        missing = (after - before).days - 1
        between = range(*sorted((days[before][0], days[after][0])))
        if missing and not allowed and not any(line in unread for line in between):
            first, last = before + timedelta(days=1), after - timedelta(days=1)
            which = f"{first} is" if missing == 1 else f"{first} to {last} ({missing} days) are"
            message = f"{which} missing. Fill the gap, or begin the record after it."
            problems.append(_wrong(table, days[after][0], "date", after.isoformat(), message))
    covered = len(days) if allowed else (known[-1] - known[0]).days + 1 + len(unread)
    if covered < WHOLE_YEAR_DAYS:
        message = f"A record covers one whole year at least (365 days); this one covers {covered}."
        problems.append(_wrong(table, None, "date", f"{known[0]} to {known[-1]}", message))
    return problems


def _few_of_each(problems: Iterable[Problem]) -> list[Problem]:
    """Keep the first few of the problems that differ in their line alone; count the rest."""
    alike: dict[tuple[str, str], list[Problem]] = defaultdict(list)
    for problem in problems:
        kind = re.sub(r"\d{4}-\d\d-\d\d|line \d+|\(\d+ days\)|\d+", "#", problem.message)
        alike[problem.where, kind].append(problem)
    kept = []
    for group in alike.values():
        *first, last = group[:_SHOWN_ALIKE]
        more = len(group) - _SHOWN_ALIKE
        if more > 0:
            last = replace(last, message=f"{last.message} (So in {more} more rows.)")
        kept += [*first, last]
    return kept
