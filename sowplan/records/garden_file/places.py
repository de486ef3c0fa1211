"""The names of places: one row of a file may stand for several beds alike."""

from __future__ import annotations

from sowplan.records.garden_file.rows import Row

PLACE_TABLES = ("bed", "channel", "pot")


def names_of(row: Row) -> list[str]:
    """Return the names of the places a row stands for.

    Beds and channels with a ``count`` above 1 are numbered, ``"South field 1"`` and so on; pots of
    one row are one place, and so are trays.
    """
    name = row.get("name")
    if name is None:
        return []
    count = row.get("count", 1) if row.table.name in ("bed", "channel") else 1
    return [f"{name} {number}" for number in range(1, count + 1)] if count > 1 else [name]
