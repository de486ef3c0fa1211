"""A garden file into a garden, or into everything that is wrong with it."""

from __future__ import annotations

import os
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from sowplan.problem import Exit, Problem, in_reading_order
from sowplan.quantity import INCH_MM
from sowplan.records.crop import Crop
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Garden
from sowplan.records.garden_file.build import as_rested, build
from sowplan.records.garden_file.checks import check_rows
from sowplan.records.garden_file.keys import CLIMATE, SITE, TOP, Table
from sowplan.records.garden_file.meant import tables_meant
from sowplan.records.garden_file.rows import Row, read_rows
from sowplan.records.garden_file.values import READERS, Around, Wrong
from sowplan.records.text_file import read_text
from sowplan.records.toml.line_breaks import NO_QUOTES
from sowplan.records.toml.text import read_toml
from sowplan.records.weather import read_weather

_NO_TEXT = re.compile(
    r"\w+ is (a (whole )?number|a list of|true or false|a day such as|month and day)\b"
)


@dataclass(frozen=True)
class Reading:
    """A garden file, read.

    Parameters
    ----------
    garden : Garden or None
        None where anything is wrong.
    crops : dict of str to Crop
        The crops known to this garden, its own included, rested as it says.
    problems : tuple of Problem
        Everything that is wrong, in reading order.
    """

    garden: Garden | None
    crops: dict[str, Crop]
    problems: tuple[Problem, ...]


def read_garden(path: str | os.PathLike[str]) -> Reading:
    """Read a garden file and the files it names.

    Parameters
    ----------
    path : path-like
        The garden file. Problems name it as given; files it names are looked for beside it.

    Returns
    -------
    Reading
        Never raises on what the files hold.
    """
    text, problems = read_text(path, "garden file")
    if text is None:
        return Reading(None, {}, tuple(problems))
    reading = read_garden_text(text, os.fspath(path))
    if not problems:
        return reading
    return Reading(None, {}, tuple(in_reading_order([*problems, *reading.problems])))


def read_garden_text(text: str, file: str) -> Reading:
    """Read the text of a garden file, as `read_garden` does.

    Parameters
    ----------
    text : str
        The text.
    file : str
        The file it is (to be) kept in.
    """
    document = read_toml(text, file)
    problems = list(document.problems)
    folder = Path(file).parent
    if document.values is None:
        return Reading(None, {}, tuple(in_reading_order(problems)))
    if not document.values:
        what = "No line of it is a garden file's." if problems else "The file is empty."
        message = f"{what} `sowplan new` writes a garden file to begin with."
        problems.append(Problem(file, None, "", "", message, Exit.UNREADABLE))
        return Reading(None, {}, tuple(in_reading_order(problems)))
    crops, crop_problems = read_crops(_own_crops(document.values, folder))
    misspelt = {table.name: name for name, table in tables_meant(document.values).items()}
    climate_values, site_values = (
        document.values.get(misspelt.get(name, name)) for name in ("climate", "site")
    )
    place = tuple(_choice(SITE, site_values, key, None) for key in ("latitude", "longitude"))
    around = Around(
        folder,
        crops,
        temperature=_choice(CLIMATE, climate_values, "temperature_unit", "C"),
        units=_choice(TOP, document.values, "units", "metric"),
        rain_mm=INCH_MM if _choice(CLIMATE, climate_values, "rain_unit", "mm") == "in" else 1.0,
        place=None if None in place else place,
    )
    rows = read_rows(document, file, around)
    # Of what is to be no text it is told what it is to be, and not that quotes are missing.
    wrong = {problem.line for problem in rows.problems if _NO_TEXT.match(problem.message)}
    problems = [p for p in problems if not (p.message.startswith(NO_QUOTES) and p.line in wrong)]
    problems += [*_named(crop_problems, rows.one(""), "crops"), *rows.problems]
    problems += check_rows(rows, crops)
    climate = rows.one("climate")
    records = ()
    if climate is not None and climate.get("records") is not None:
        records, weather_problems = read_weather(
            climate.get("records"),
            climate.get("temperature_unit", "C"),
            climate.get("rain_unit", "mm"),
        )
        problems += _named(weather_problems, climate, "records")
    garden = None if problems else build(rows, crops, records)
    if garden is not None:
        crops = as_rested(crops, garden.rests)
    return Reading(garden, crops, tuple(in_reading_order(problems)))


def _named(problems: Sequence[Problem], row: Row | None, key: str) -> list[Problem]:
    """Return problems of a file that a key names; one of the whole file says where it is named."""
    line, _ = row.given.get(key, (None, "")) if row else (None, "")
    if row is None or line is None:
        return list(problems)
    table = f"{row.where.table}, {key}" if row.where.table else key
    where = f"named in {row.where.file}:{line}, {table}"
    return [one if one.line or one.where else replace(one, where=where) for one in problems]


def _own_crops(values: Mapping[str, Any], folder: Path) -> Path | None:
    """Return the gardener's own crop table, where one is named."""
    key = TOP.key("crops")
    assert key is not None
    try:
        return READERS[key.kind](values["crops"], key, Around(folder, {}))
    except (KeyError, Wrong):
        return None


def _choice(table: Table, values: Any, name: str, default: str | None) -> Any:
    """Return a value that must be known before others are read: a unit, the place."""
    key = table.key(name)
    assert key is not None
    values = values[0] if isinstance(values, list) and values else values
    if not isinstance(values, dict):
        return default
    try:
        return READERS[key.kind](values[name], key, Around(Path(), {}))
    except (KeyError, Wrong):
        return default
