"""The column schema of the crop table, ``crops/columns.csv``, and one cell read by it."""

from __future__ import annotations

import csv
import math
import re
from dataclasses import dataclass
from functools import cache

from sowplan.problem import did_you_mean
from sowplan.records.tables import crops_folder

Value = str | float | int | bool | None


@dataclass(frozen=True)
class Column:
    """One column: what may stand in it.

    ``type`` is one of text, key, keys, choice, number, integer. ``low`` and ``high``
    (both included) are in the column's unit; a choice of yes and no is read as a bool.
    """

    name: str
    unit: str
    type: str
    required: bool
    low: float | None
    high: float | None
    choices: tuple[str, ...]
    meaning: str

    @property
    def form(self) -> str:
        """What may stand in a cell, in words: ``"a number from 1 to 200 (cm)"``."""
        if self.choices:
            return "one of " + ", ".join(self.choices)
        if self.type in ("number", "integer"):
            kind = "a whole number" if self.type == "integer" else "a number"
            bounds = "" if self.low is None else f" from {self.low:g} to {self.high:g}"
            return kind + bounds + (f" ({self.unit})" if self.unit else "")
        return {
            "key": "lower-case letters, digits and hyphens",
            "keys": "keys with a space between",
        }.get(self.type, "text")


@cache
def columns() -> tuple[Column, ...]:
    """Return the schema of the crop table, in the order of its columns."""
    path = crops_folder() / "columns.csv"
    with path.open(encoding="utf-8-sig", newline="") as file:
        return tuple(_column(row) for row in csv.DictReader(file))


def _column(row: dict[str, str]) -> Column:
    return Column(
        name=row["column"],
        unit=row["unit"],
        type=row["type"],
        required=row["required"] == "yes",
        low=float(row["low"]) if row["low"] else None,
        high=float(row["high"]) if row["high"] else None,
        choices=tuple(row["choices"].split()),
        meaning=row["meaning"],
    )


def read_cell(column: Column, text: str, decimal_comma: bool = False) -> tuple[Value, str]:
    """Read one cell that is not blank.

    Parameters
    ----------
    column : Column
        The column the cell stands in.
    text : str
        The cell, stripped.
    decimal_comma : bool
        Whether "0,25" is a number in this file.

    Returns
    -------
    value : str, float, int, bool or None
        None where the text is wrong.
    wrong : str
        What would be right; empty where the value is.
    """
    if column.type in ("number", "integer"):
        return _read_number(column, text, decimal_comma)
    if column.type == "choice":
        choice = text.casefold()
        if choice not in column.choices:
            return None, f"This must be {column.form}.{did_you_mean(text, column.choices)}"
        return (choice == "yes") if set(column.choices) == {"yes", "no"} else choice, ""
    if column.type in ("key", "keys"):
        keys = text.split() if column.type == "keys" else [text]
        if not all(re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", key) for key in keys):
            return None, f"This must be {column.form}, as in 'winter-radish'."
    return text, ""


def _read_number(column: Column, text: str, decimal_comma: bool) -> tuple[float | int | None, str]:
    number = text.replace("−", "-")
    if decimal_comma and number.count(",") == 1 and "." not in number:
        number = number.replace(",", ".")
    try:
        value = float(number)
    except ValueError:
        value = math.nan
    if not math.isfinite(value) or "_" in number:
        return None, f"This must be {column.form}{_hint(column, number)}."
    if column.low is not None and not column.low <= value <= (column.high or math.inf):
        return None, f"This is out of range: it must be {column.form}."
    if column.type == "integer":
        if value != int(value):
            return None, f"This must be {column.form}."
        return int(value), ""
    return value, ""


def _hint(column: Column, text: str) -> str:
    if re.fullmatch(r"-?\d+,\d+", text):
        return f", with a decimal point: {text.replace(',', '.')}"
    if re.match(r"-?[\d.]+\s*[^\d\s.,]", text):
        return ", the number alone" + (": the unit is in the column's name" if column.unit else "")
    return ""
