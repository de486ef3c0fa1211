"""The reference of the garden file's keys, written from the table that reads them."""

from __future__ import annotations

from collections.abc import Callable

from sowplan.quantity import format_length, format_volume
from sowplan.records.garden_file.keys import NESTED, TABLES, TOP, Key, Table

_SHOW: dict[str, Callable[[float], str]] = {
    "length": format_length,
    "elevation": "{:g} m".format,
    "volume": format_volume,
    "percent": lambda share: f"{100 * share:g} %",
    "temperature": "{:g} °C".format,
    "temperatures": "{:g} °C".format,
    "rains": "{:g} mm".format,
    "hours": "{:g} h".format,
    "per": "{:g}".format,
    "rest": "{:g} months".format,
    "integer": "{:.0f}".format,
}


def key_reference() -> str:
    """Return the reference of the garden file as markdown: a section a table, a row a key."""
    parts = [
        "# Keys of a garden file",
        "",
        "A garden file is text in TOML: `key = value` lines below `[table]` headings. Lengths, "
        'volumes and weights are texts with their unit ("1.8 m", "6 ft 3 in", "40 l", "300 g"). '
        "A table in double brackets may stand as often as there are beds, trays, wants. "
        "What follows # on a line is a remark.",
    ]
    for table in every_table():
        parts += ["", *_section(table)]
    return "\n".join(parts) + "\n"


def every_table() -> tuple[Table, ...]:
    """Return all tables in the order of the reference, an inner one after that it is named for."""
    ordered = [TOP]
    for table in TABLES:
        ordered.append(table)
        inner = (NESTED[key.kind] for key in table.keys if key.kind in NESTED)
        ordered += [one for one in inner if one.name.startswith(f"{table.name}.")]
    return tuple(ordered)


def _section(table: Table) -> list[str]:
    heading = f"`{table.heading}`" if table.name else "At the top"
    return [
        f"## {heading}",
        "",
        f"{table.meaning[0].upper()}{table.meaning[1:]}.",
        "",
        "| key | what it is | example | if left out |",
        "| --- | --- | --- | --- |",
        *(_row(key) for key in table.keys),
    ]


def _row(key: Key) -> str:
    meaning = key.meaning + _range(key)
    left_out = "needed" if key.required else key.default or "nothing"
    cells = (f"`{key.name}`", meaning, f"`{key.example}`", left_out)
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |"


def _range(key: Key) -> str:
    if key.choices:
        return ": " + ", ".join(f'"{choice}"' for choice in key.choices)
    if key.low is None or key.high is None:
        return ""
    show = _SHOW.get(key.kind, "{:g}".format)
    return f" ({show(key.low)} to {show(key.high)})"
