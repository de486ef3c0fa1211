"""The CSV tables that travel with the package, and how any CSV file becomes rows.

Nothing here knows crops. A file that a spreadsheet has saved its own way (a byte
order mark, carriage returns, semicolons and decimal commas) is read as it is.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from sowplan.problem import Exit, Problem, did_you_mean
from sowplan.records.text_file import read_text

_SEPARATORS = (",", ";", "\t")


@cache
def crops_folder() -> Path:
    """Return the folder of the shipped tables: in the installed package, else in the checkout."""
    package = Path(__file__).resolve().parents[1]
    installed = package / "crops"
    return installed if (installed / "columns.csv").is_file() else package.parent / "crops"


@dataclass(frozen=True)
class Row:
    """One row of a table: its first line in the file, and its cells by column, stripped."""

    line: int
    cells: dict[str, str]


@dataclass(frozen=True)
class Table:
    """A CSV file as text: columns in their order, rows in theirs.

    ``header_line`` is where the header stands. ``decimal_comma`` is True where the file
    separates its cells by something other than a comma, so that "0,25" may be a number.
    """

    file: str
    columns: tuple[str, ...]
    rows: tuple[Row, ...]
    decimal_comma: bool = False
    header_line: int = 1


def read_table(path: Path, kind: str = "crop table") -> tuple[Table | None, list[Problem]]:
    """Read a CSV file with a header row.

    Blank rows and rows whose first cell starts with ``#`` are left out. Column
    names are taken in lower case with underscores for spaces.

    Parameters
    ----------
    path : Path
        The file; its problems name it as given.
    kind : str
        What the file should be, for the messages.

    Returns
    -------
    table : Table or None
        None where the file cannot be read as a table at all.
    problems : list of Problem
        A missing or unreadable file, a header cell twice, a row with cells beyond the header.
        Columns without a name are left out; unknown ones are the caller's concern.
    """
    if sheet := _sheet_problem(path):
        return None, sheet
    text, unreadable = read_text(path, kind)
    if text is None or unreadable:
        return None, unreadable
    text, skipped = _without_separator_line(text)
    separator = _separator(text)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, skipinitialspace=True)
    lines = _numbered(reader, skipped)
    try:
        header_line, header = next(lines)
        body = list(lines)
    except StopIteration:
        return None, [Problem(str(path), None, "", "", "The table is empty.", Exit.UNREADABLE)]
    except csv.Error as error:
        line = skipped + reader.line_num
        message = (
            f"This is not a CSV table from here on ({error}): look for a stray quotation mark."
        )
        return None, [Problem(str(path), line, "", "", message, Exit.UNREADABLE)]
    columns = tuple(re.sub(r"[\s_]+", "_", cell.strip().casefold()) for cell in header)
    problems = _header_problems(str(path), header_line, columns)
    rows = []
    for line, cells in body:
        beyond = [cell for cell in cells[len(columns) :] if cell.strip()]
        if beyond:
            message = (
                f"The row has {len(cells)} cells, the header {len(columns)}; put a cell that holds "
                f"{'a comma' if separator == ',' else 'the separator'} in quotation marks."
            )
            problems.append(Problem(str(path), line, "", beyond[0], message))
        named = zip(columns, (cell.strip() for cell in cells), strict=False)
        rows.append(Row(line, dict(reversed(list(named)))))  # of two columns alike, the first
    return Table(str(path), columns, tuple(rows), separator != ",", header_line), problems


def unknown_columns(table: Table, known: tuple[str, ...]) -> list[Problem]:
    """Return a problem for every column of ``table`` that is not among ``known``."""
    return [
        Problem(
            table.file,
            table.header_line,
            "header",
            column,
            f"There is no column of that name.{did_you_mean(column, known)}"
            " 'sowplan crops --columns' lists them all.",
        )
        for column in table.columns
        if column and column not in known
    ]


def _sheet_problem(path: Path) -> list[Problem]:
    """Return the problem of a file in a spreadsheet's own format, which is no CSV table."""
    try:
        with path.open("rb") as file:
            start = file.read(4)
    except (OSError, ValueError):
        return []  # read_text says what is wrong
    if start not in (b"PK\x03\x04", b"\xd0\xcf\x11\xe0"):
        return []
    message = (
        "This is a spreadsheet's own format. Save the sheet as 'CSV UTF-8' and name that file."
    )
    return [Problem(str(path), None, "", "", message, Exit.UNREADABLE)]


def _without_separator_line(text: str) -> tuple[str, int]:
    """Drop the line ``sep=;`` that some spreadsheets put first; say how many lines went."""
    first, _, rest = text.partition("\n")
    return (rest, 1) if re.fullmatch(r'"?sep=.?"?\s*', first, re.IGNORECASE) else (text, 0)


def _separator(text: str) -> str:
    """Choose the separator: the one most frequent in the header, a comma where none occurs."""
    header = next((ln for ln in text.splitlines() if ln.strip(" ,;\t") and ln[0] != "#"), "")
    unquoted = re.sub(r'"[^"]*"', "", header)
    return max(_SEPARATORS, key=lambda sign: (unquoted.count(sign), sign == ","))


def _numbered(reader, skipped: int) -> Iterator[tuple[int, list[str]]]:
    """Give each row that says something, with the line it begins on."""
    end = 0
    for cells in reader:
        line, end = end + 1, reader.line_num
        if any(cell.strip() for cell in cells) and not cells[0].lstrip().startswith("#"):
            yield skipped + line, cells


def _header_problems(file: str, line: int, columns: tuple[str, ...]) -> list[Problem]:
    problems = []
    for index, column in enumerate(columns):
        if column and column in columns[:index]:
            message = "The column stands twice; keep one of the two."
            problems.append(Problem(file, line, "header", column, message))
    return problems
