"""What is meant by names that no garden file has: tables and keys misspelt, or in other words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sowplan.problem import did_you_mean, nearest
from sowplan.records.garden_file.keys import TABLES, TOP, Key, Table

_CALLED = {
    **dict.fromkeys(("box", "raised_bed", "planter", "plot"), "bed"),
    **dict.fromkeys(("gutter", "pipe", "tower", "nft"), "channel"),
    **dict.fromkeys(("container", "tub", "bucket"), "pot"),
    **dict.fromkeys(("module", "seedling", "shelf"), "tray"),
    **dict.fromkeys(("crop", "plant", "wish", "harvest", "kitchen"), "want"),
    **dict.fromkeys(("planting", "planted", "sown", "standing"), "sowing"),
    **dict.fromkeys(("garden", "place", "location"), "site"),
    **dict.fromkeys(("weather", "temperature"), "climate"),
    **dict.fromkeys(("history", "previous"), "past"),
    **dict.fromkeys(("dates", "year"), "season"),
}
"""Tables by what else people call them."""


def tables_meant(values: Mapping[str, Any]) -> dict[str, Table]:
    """Return the tables meant by headings that are none, by the heading's name.

    So that what stands below them is looked into all the same. A table is meant where most of the
    keys are its own, and what may stand only once where it does not stand.
    """
    known = {table.name: table for table in TABLES}
    names = known | {name: known[table] for name, table in _CALLED.items()}
    names |= {f"{name}s": table for name, table in names.items()}
    found: dict[str, Table] = {}
    for name in (name for name in values if name not in known and not TOP.key(name)):
        near = nearest(name, names) if is_table(values[name]) else None
        meant = names[near] if near else None
        if meant is None or not _has_its_keys(values[name], meant):
            continue
        if meant.many or not (meant.name in values or meant in found.values()):
            found[name] = meant
    return found


def table_of(name: str, value: Any) -> Table | None:
    """Return the table that a value is, or a list of them, by its name or one like it."""
    if not is_table(value):
        return None
    known = next((table for table in TABLES if table.name == name), None)
    return known or tables_meant({name: value}).get(name)


def slipped_in(here: Table, name: str, table: Table) -> str:
    """Return what is said of a table below another's heading, and so part of that one."""
    each = "each of them as " if table.many else ""
    return (
        f"{name} is no part of {here.heading}, and whatever stands below a heading is: write "
        f"{each}{table.heading} with its keys below, or put it above the first heading."
    )


def _has_its_keys(value: Any, table: Table) -> bool:
    """Whether at least half of the keys in a table, or a list of them, are those of a table."""
    keys = [key for item in (value if isinstance(value, list) else [value]) for key in item]
    return 2 * sum(table.key(key) is not None for key in keys) >= len(keys)


def is_table(value: Any) -> bool:
    """Whether a value is a table, or a list of them."""
    return isinstance(value, dict) or (isinstance(value, list) and value and all_tables(value))


def all_tables(items: list[Any]) -> bool:
    """Whether all items of a list are tables."""
    return all(isinstance(item, dict) for item in items)


def key_names(table: Table) -> list[str]:
    """Return the names of a table's keys."""
    return [key.name for key in table.keys]


_MEANT = {
    **dict.fromkeys(("size", "dimensions", "area", "measures"), ("length", "width")),
    **dict.fromkeys(("height", "soil", "deep"), ("depth",)),
    **dict.fromkeys(("diameter", "litres", "liters", "size_l"), ("volume",)),
    **dict.fromkeys(("quantity", "how_much", "how_many"), ("amount", "number")),
    **dict.fromkeys(("start", "begin"), ("from",)),
    **dict.fromkeys(("end", "until"), ("to",)),
}
"""Keys of other names, by what people write for them."""


def key_meant(table: Table, name: str) -> Key | None:
    """Return the key of a table that a name which is none is most like."""
    if TOP.key(name) or any(other.key(name) for other in TABLES) or _in_other_words(table, name):
        return None
    near = nearest(name, key_names(table))
    return table.key(near) if near else None


def _in_other_words(table: Table, name: str) -> tuple[str, ...]:
    """Return the keys of a table that people write so."""
    keys = _MEANT.get(name.casefold(), ())
    return keys if any(map(table.key, keys)) else ()


def no_such_key(table: Table, name: str) -> str:
    """Return the message for a key that a table has not, with the one that may be meant."""
    _, nested, inner = table.name.rpartition(".")
    here = f"in {inner if nested else table.heading}" if table.name else "here"
    homes = [t.heading for t in TABLES if t.key(name)]
    if TOP.key(name):
        near = " It belongs at the top of the file, before the first table."
    elif homes:
        near = f" It belongs in {homes[0]}."
    elif keys := _in_other_words(table, name):
        near = f" Write {' and '.join(keys)}."
    else:
        near = did_you_mean(name, key_names(table)) or f" There are {', '.join(key_names(table))}."
    return f"There is no key '{name[:60]}' {here}.{near}"
