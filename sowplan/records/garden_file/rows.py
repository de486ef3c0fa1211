"""The tables of a garden file into rows of checked values, each knowing where it stands."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from sowplan.problem import Exit, Problem, did_you_mean
from sowplan.records.garden import Where
from sowplan.records.garden_file.keys import NESTED, TABLES, TOP, Key, Table
from sowplan.records.garden_file.meant import (
    all_tables,
    is_table,
    key_meant,
    key_names,
    no_such_key,
    slipped_in,
    table_of,
    tables_meant,
)
from sowplan.records.garden_file.values import READERS, Around, Wrong
from sowplan.records.toml.spots import Path
from sowplan.records.toml.text import Document


@dataclass
class Row:
    """One table of the file, or one of a list of tables.

    ``values`` holds what could be read, by key; ``given`` every key that stands in the file, read
    or not, so that a key which is wrong is not also called missing.
    """

    table: Table
    path: Path
    where: Where
    values: dict[str, Any] = field(default_factory=dict)
    given: dict[str, tuple[int | None, str]] = field(default_factory=dict)  # line, text

    def get(self, key: str, default: Any = None) -> Any:
        """Return a value, or the default where the key is left out or wrong."""
        return self.values.get(key, default)

    def problem(
        self, key: str, message: str, found: str | None = None, exit: Exit = Exit.WRONG
    ) -> Problem:
        """Return a problem of this row, at one of its keys (or at its heading for ``""``)."""
        line, text = self.given.get(key, (self.where.line, ""))
        place = ", ".join(part for part in (self.where.table, key) if part)
        return Problem(
            self.where.file, line, place, text if found is None else found, message, exit
        )


@dataclass
class Rows:
    """Every row of a file by its table's name; ``problems`` as they were met."""

    file: str
    by_table: dict[str, list[Row]] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    unheaded: set[str] = field(default_factory=set)  # tables of which a heading is missing

    def one(self, table: str) -> Row | None:
        """Return the row of a table that stands once."""
        rows = self.by_table.get(table, [])
        return rows[0] if rows else None

    def all(self, *tables: str) -> Iterator[Row]:
        """Yield the rows of the tables named, in their order."""
        for table in tables:
            yield from self.by_table.get(table, [])


@dataclass
class _Reading:
    """A document being read: what is known around its values, and the rows so far."""

    document: Document
    around: Around
    rows: Rows

    def line(self, *path: str | int) -> int | None:
        """Return the line of a path; for a table without a heading, of the first key in it."""
        spots = self.document.spots
        inner = (p for p in spots.by_path if p[: len(path)] == path)
        return spots.line(path) or spots.line(next(inner, ()))

    def complain(self, line: int | None, where: str, found: str, message: str) -> None:
        self.rows.problems.append(Problem(self.rows.file, line, where, found, message))


def read_rows(document: Document, file: str, around: Around) -> Rows:
    """Read every table of a document.

    Parameters
    ----------
    document : Document
        A document with values.
    file : str
        The file, for the problems.
    around : Around
        What values depend on.

    Returns
    -------
    Rows
        What could be read, and what is wrong.
    """
    values = document.values or {}
    reading = _Reading(document, around, Rows(file))
    top = {name: value for name, value in values.items() if TOP.key(name)}
    reading.rows.by_table[""] = [_read_row(reading, TOP, (), top, "")]
    known, meant = {table.name: table for table in TABLES}, tables_meant(values)
    for name, value in values.items():
        if name in known:
            _read_table(reading, known[name], value)
        elif TOP.key(name) is None:
            _unknown_at_top(reading, name, value, meant.get(name))
    for table in TABLES:
        there = table.name in values or table in meant.values()
        there = there or table.name in reading.rows.by_table
        if table.required and not there and not document.left_out:
            keys = ", ".join(_line(key) for key in table.keys if key.required)
            below = f" and below it, a line each, {keys}" if keys else ""
            add = f"Add {table.heading}{below}."
            message = f"The table {table.heading} is missing: {table.meaning}. {add}"
            reading.complain(None, table.heading, "", message)
    return reading.rows


def _unknown_at_top(reading: _Reading, name: str, value: Any, meant: Table | None) -> None:
    """Complain of what no garden file has; a table is read as the one that is meant."""
    line = reading.line(name)
    if is_table(value):
        found = f"[[{name}]]" if isinstance(value, list) else f"[{name}]"
        near = f" Did you mean {meant.heading}?" if meant else ""
        reading.complain(line, found, found, f"There is no such table in a garden file.{near}")
        if meant is not None:
            _read_table(reading, meant, value, name)
        return
    homes = [table.heading for table in TABLES if table.key(name)]
    near = f" It belongs in {homes[0]}." if homes else did_you_mean(name, key_names(TOP))
    reading.complain(line, name, name, f"There is no such key at the top of a garden file.{near}")


def _read_table(
    reading: _Reading, table: Table, value: Any, misspelt: str = "", inside: Path = ()
) -> None:
    """Read one table or a list of tables; a table where a list belongs is one of a list.

    ``misspelt`` is the name it goes by in the file where that is another, ``inside`` the path of
    another table that it slipped into.
    """
    name = misspelt or table.name
    line = reading.line(*inside, name)
    items = value if isinstance(value, list) else [value]
    if not all_tables(items):
        text = reading.document.spots.text((name,))
        message = f"{name} is a table: write {table.heading}, and its keys below."
        reading.complain(line, name, _as_written(value, text), message)
        return
    if misspelt or inside:
        items = items if table.many else items[:1]
    elif table.many and isinstance(value, dict):
        message = f"There may be more than one {name}: write {table.heading}."
        reading.complain(line, f"[{name}]", f"[{name}]", message)
    elif not table.many and isinstance(value, list):
        message = f"There is one {name}: write {table.heading}, once."
        reading.complain(line, f"[[{name}]]", f"[[{name}]]", message)
        items = items[:1]
    rows = reading.rows.by_table.setdefault(table.name, [])
    for index, item in enumerate(items):
        path = (*inside, name, index) if isinstance(value, list) else (*inside, name)
        rows.append(_read_row(reading, table, path, item, _label(table, item, index, misspelt)))


def _read_row(reading: _Reading, table: Table, path: Path, item: dict[str, Any], label: str) -> Row:
    file, problems = reading.rows.file, reading.rows.problems
    row = Row(table, path, Where(file, label, reading.line(*path) if path else None))
    elsewhere = _heading_missing(reading, row, item)
    for name, value in item.items():
        if name in elsewhere:
            continue
        spots, key = reading.document.spots, table.key(name)
        given = (spots.line((*path, name)), _as_written(value, spots.text((*path, name))))
        slipped = table_of(name, value) if key is None and path else None
        if slipped is not None:
            row.given[name] = given
            problems.append(row.problem(name, slipped_in(row.table, name, slipped), name))
            other = "" if name == slipped.name else name
            _read_table(reading, slipped, value, other, path)
        elif key is None:
            row.given[name] = given
            problems.append(row.problem(name, no_such_key(table, name), name))
            meant = key_meant(table, name)
            if meant and not {meant.name, *meant.aliases} & {*item, *row.given}:
                row.given[meant.name] = given
                _read_value(reading, row, meant, value, (*path, name))
        elif key.name in row.given:
            message = f"This is {key.name} under another name, and that stands here too. Keep one."
            problems.append(row.problem(key.name, message, name))
        else:
            row.given[key.name] = given
            _read_value(reading, row, key, value, (*path, name))
    problems += _missing(reading.document, row)
    return row


def _heading_missing(reading: _Reading, row: Row, item: dict[str, Any]) -> list[str]:
    """Return keys that all belong in one other table, whose heading is missing above them."""
    strange = [name for name in item if row.table.key(name) is None]
    home = next((t for t in TABLES if t.many and all(map(t.key, strange))), None)
    if len(strange) < 2 or home is None:
        return []
    spots, path = reading.document.spots, row.path
    lines = [line for name in strange if (line := spots.line((*path, name)))]
    line = min(lines, default=row.where.line)
    message = (
        f"{', '.join(strange[:-1])} and {strange[-1]} belong in {home.heading}: put "
        f"{home.heading} above line {line}, where its heading is missing."
    )
    row.given |= {name: (line, "") for name in strange}
    reading.complain(line, row.where.table, strange[0], message)
    reading.rows.unheaded.add(home.name)
    return strange


def _read_value(reading: _Reading, row: Row, key: Key, value: Any, path: Path) -> None:
    try:
        if key.kind in NESTED:
            row.values[key.name] = _nested(reading, row, key, value, path)
        else:
            row.values[key.name] = READERS[key.kind](value, key, reading.around)
    except Wrong as wrong:
        reading.rows.problems.append(row.problem(key.name, wrong.message, wrong.found))


def _nested(reading: _Reading, row: Row, key: Key, value: Any, path: Path) -> list[Row]:
    """Read the tables inside a row: obstacles, light."""
    table = NESTED[key.kind]
    items = value if isinstance(value, list) else [value]
    if not all_tables(items) or (not table.many and len(items) != 1):
        raise Wrong(f"{key.name} is written as {key.name} = {key.example}.")
    inner = table.name.split(".")[-1]
    rows = []
    for index, item in enumerate(items):
        label = f"{row.where.table}, {inner}" + (f" {index + 1}" if table.many else "")
        item_path = (*path, index) if isinstance(value, list) else path
        rows.append(_read_row(reading, table, item_path, item, label))
    return rows


def _label(table: Table, item: dict[str, Any], index: int, misspelt: str) -> str:
    """Return what the row is called in messages: ``[[bed]] 2 (Long bed)``."""
    heading = table.heading.replace(table.name, misspelt or table.name)
    if not table.many:
        return heading
    name = item.get(table.label)
    named = f" ({' '.join(name.split())[:40]})" if isinstance(name, str) and name.strip() else ""
    return f"{heading} {index + 1}{named}"


def _missing(document: Document, row: Row) -> list[Problem]:
    """Return a problem for each required key left out.

    None where a line of the row could not be read, nor for a key that is there but misspelt.
    """
    missing = [key for key in row.table.keys if key.required and key.name not in row.given]
    if not missing or _lines_left_out(document, row):
        return []
    return [
        row.problem(key.name, f"{key.name} is missing: {key.meaning}. Add {_line(key)}.")
        for key in missing
    ]


def _line(key: Key) -> str:
    return f"{key.name} = {key.example}"


def _lines_left_out(document: Document, row: Row) -> bool:
    """Whether a line between this row's heading and the next could not be read."""
    start = row.where.line or 0
    headings = sorted(spot.line for spot in document.spots.by_path.values() if spot.heading)
    end = next((line for line in headings if line > start), None)
    return any(n >= start and (end is None or n < end) for n in document.left_out)


def _as_written(value: Any, text: str) -> str:
    """Return the text in the file, a string without its quotes, on one line and not too long."""
    shown = value if isinstance(value, str) else text or str(value)
    shown = " ".join(shown.split())
    return shown if len(shown) <= 80 else shown[:79] + "…"
