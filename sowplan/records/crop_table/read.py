"""The crop table: the shipped one, and over it the gardener's own.

A gardener's table has the same columns and as many of them as needed. A row with the
key of a known crop changes the cells it fills and keeps the rest; a new key is a new
crop, whole, or based on another through the column ``like``. A cell that holds only
``-`` empties an optional figure.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from sowplan.problem import Problem, in_reading_order
from sowplan.records.crop import Crop
from sowplan.records.crop_table.columns import Column, Value, columns, read_cell
from sowplan.records.crop_table.names import suggest_crops
from sowplan.records.crop_table.rules import broken_rules
from sowplan.records.tables import Row, Table, crops_folder, read_table, unknown_columns

LIKE = "like"
OWN_SOURCE = "own"
_MOST_NAMED = 8
_GERMINATION = (
    "germination_min_c",
    "germination_optimum_c",
    "germination_max_c",
    "emergence_days",
)


@dataclass(frozen=True)
class Source:
    """Where figures come from.

    ``kind`` says whether it is published, common practice or from memory; ``columns`` are those
    of the crop table that it gives, ``about`` the same in words.
    """

    key: str
    title: str
    year: str
    kind: str
    columns: tuple[str, ...]
    about: str
    taken: str


def read_crops(extra: Path | None = None) -> tuple[dict[str, Crop], list[Problem]]:
    """Read the shipped crop table and, over it, a gardener's own.

    Parameters
    ----------
    extra : Path, optional
        CSV file of the gardener's, with the columns of ``crops/columns.csv`` (any of them,
        in any order) and optionally ``like``.

    Returns
    -------
    crops : dict of str to Crop
        By key, shipped crops first, in the order of their files. A row of ``extra`` in which
        anything is wrong is left out (a known crop then stays as shipped).
    problems : list of Problem
        Everything that is wrong, with file, line, crop and column.
    """
    values, problems = _shipped()
    values = dict(values)
    problems = list(problems)
    if extra is not None:
        table, table_problems = read_table(extra)
        problems += table_problems
        if table is not None:
            problems += _merge(table, values)
    emergence = emergence_tables()
    return {key: _crop(v, emergence) for key, v in values.items()}, in_reading_order(problems)


@cache
def emergence_tables() -> dict[str, tuple[tuple[float, ...], tuple[float, ...]]]:
    """Return the published emergence times by key of ``crops/emergence_days.csv``.

    Returns
    -------
    dict of str to (temperatures, days)
        Soil temperatures tested [°C], rising, and days from sowing to emergence at each,
        ``inf`` where nothing came up. Harrington and Minges (1954).
    """
    table = _whole("emergence_days.csv")
    found = {}
    for row in table.rows:
        tested = [(float(c), row.cells[c]) for c in table.columns[1:] if row.cells[c]]
        days = tuple(float("inf") if text == "N" else float(text) for _, text in tested)
        found[row.cells["key"]] = (tuple(c for c, _ in tested), days)
    return found


@cache
def sources() -> dict[str, Source]:
    """Return the rows of ``crops/sources.csv`` by key."""
    return {
        cells["key"]: Source(**{**cells, "columns": tuple(cells["columns"].split())})
        for cells in (row.cells for row in _whole("sources.csv").rows)
    }


def _whole(name: str) -> Table:
    table, problems = read_table(crops_folder() / name)
    if table is None or problems:
        raise FileNotFoundError(f"{crops_folder() / name}: the shipped table is damaged")
    return table


@cache
def _shipped() -> tuple[dict[str, dict[str, Value]], tuple[Problem, ...]]:
    values: dict[str, dict[str, Value]] = {}
    table, problems = read_table(crops_folder() / "crops.csv")
    if table is not None:
        problems += _merge(table, values, shipped=True)
    return values, tuple(problems)


@dataclass
class _Reading:
    """One table being laid over the crops known so far."""

    table: Table
    values: dict[str, dict[str, Value]]
    shipped: bool
    first_line: dict[str, int] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)

    def complain(self, row: Row, column: str, message: str, found: str | None = None) -> None:
        key = row.cells.get("key", "")
        where = f"crop '{key}', {column}" if key else column
        text = row.cells.get(column, "") if found is None else found
        self.problems.append(Problem(self.table.file, row.line, where, text, message))


def _merge(table: Table, values: dict[str, dict[str, Value]], shipped: bool = False):
    """Lay a table over ``values``, in place; return its problems."""
    reading = _Reading(table, values, shipped)
    names = tuple(column.name for column in columns())
    reading.problems += unknown_columns(table, (*names, *(() if shipped else (LIKE,))))
    if "key" not in table.columns:
        message = "The table needs a column 'key', the name of the crop in the garden file."
        return [*reading.problems, Problem(table.file, table.header_line, "header", "", message)]
    present = [column for column in columns() if column.name in table.columns]
    for row in table.rows:
        before = len(reading.problems)
        merged = _read_row(reading, row, present)
        if merged is not None and len(reading.problems) == before:
            values[merged["key"]] = merged
    return reading.problems


def _read_row(reading: _Reading, row: Row, present: list[Column]) -> dict[str, Value] | None:
    key = row.cells.get("key", "")
    if not key:
        reading.complain(row, "key", "The row has no key, the crop's name in the garden file.")
        return None
    if key in reading.first_line:
        message = f"The crop stands in this table already, on line {reading.first_line[key]}."
        reading.complain(row, "key", message)
    reading.first_line.setdefault(key, row.line)
    given = _read_cells(reading, row, present)
    base = _base(reading, row, key)
    if key not in reading.values and base:
        base = base | {"name": key.replace("-", " ").capitalize(), "also": None}
    merged = given if reading.shipped else _over(base, given)
    if not _complete(reading, row, merged, base):
        return None
    for column, message in broken_rules(merged, sources(), emergence_tables()):
        found = merged.get(column)
        reading.complain(row, column, message, "" if found is None else _shown(found))
    return merged


def _read_cells(reading: _Reading, row: Row, present: list[Column]) -> dict[str, Value]:
    given: dict[str, Value] = {}
    for column in present:
        text = row.cells.get(column.name, "")
        if not text:
            continue
        if text in ("-", "–") and not reading.shipped:
            if column.required:
                reading.complain(row, column.name, f"This is needed: {column.form}.")
            given[column.name] = None
            continue
        value, wrong = read_cell(column, text, reading.table.decimal_comma)
        if wrong:
            reading.complain(row, column.name, wrong)
        given[column.name] = value
    return given


def _base(reading: _Reading, row: Row, key: str) -> dict[str, Value]:
    """Return the crop on which a row builds: the one it is ``like``, else its own former self."""
    like = row.cells.get(LIKE, "")
    if like and like not in reading.values:
        below = any(r.cells.get("key") == like and r.line > row.line for r in reading.table.rows)
        message = (
            "That crop stands further down; move it above this row."
            if below
            else f"There is no crop of that key.{_suggestion(like, reading)}"
        )
        reading.complain(row, LIKE, message)
    return reading.values.get(like or key, {})


def _over(base: dict[str, Value], given: dict[str, Value]) -> dict[str, Value]:
    """Lay the gardener's cells over a crop, and drop what they make void."""
    merged = base | given
    if "source" not in given:
        before = str(base.get("source") or "")
        merged["source"] = f"{before} {OWN_SOURCE}".strip() if OWN_SOURCE not in before else before
    if any(name in given for name in _GERMINATION) and "emergence_table" not in given:
        merged["emergence_table"] = None
    if merged.get("harvest") != "cut":
        merged |= {"cuts": given.get("cuts"), "regrowth_days": given.get("regrowth_days")}
    if merged.get("harvest") != "pick":
        merged["picking_days"] = given.get("picking_days")
    if "bolt_daylength_h" in given and given["bolt_daylength_h"] is None:
        merged["bolt_effect"] = given.get("bolt_effect")
    if merged.get("harvest_unit") == "kg":
        for one, other in (
            ("kg_per_plant", "units_per_plant"),
            ("units_per_plant", "kg_per_plant"),
        ):
            if one in given and other not in given:
                merged[other] = given[one]
    return merged


def _complete(
    reading: _Reading, row: Row, merged: dict[str, Value], base: dict[str, Value]
) -> bool:
    missing = [c.name for c in columns() if c.required and c.name not in merged]
    if not missing or row.cells.get(LIKE, "") not in ("", *reading.values):
        return not missing
    if reading.shipped:
        reading.complain(row, "row", f"Needed cells are blank: {', '.join(missing)}.", "")
    elif not base:
        shown = ", ".join(missing[:_MOST_NAMED])
        more = len(missing) - _MOST_NAMED
        shown += f" and {more} more ('sowplan crops --columns')" if more > 0 else ""
        reading.complain(
            row,
            "key",
            f"There is no crop of that key to change.{_suggestion(row.cells['key'], reading)} For "
            f"a new crop name one it resembles in a column '{LIKE}', or fill in {shown}.",
        )
    return False


def _suggestion(text: str, reading: _Reading) -> str:
    crops = {key: _crop(values, emergence_tables()) for key, values in reading.values.items()}
    return suggest_crops(text, crops)


def _shown(value: Value) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:g}" if isinstance(value, float) else str(value)


def _crop(values: dict[str, Value], emergence: dict) -> Crop:
    cells = {column.name: values.get(column.name) for column in columns()}
    for text in ("note", "also"):
        cells[text] = cells[text] or ""
    table = cells["emergence_table"]
    temperatures, days = emergence[table] if table else ((), ())
    return Crop(**cells, emergence_c=temperatures, emergence_table_days=days)
