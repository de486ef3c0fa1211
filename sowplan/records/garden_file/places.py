"""The places of a file by name: one row of it may stand for several beds alike."""

from __future__ import annotations

from sowplan.problem import did_you_mean
from sowplan.records.garden_file.rows import Row, Rows

PLACE_TABLES = ("bed", "channel", "pot")
_NAMED = 8  # so many places are named where none is like the one looked for


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


def called(row: Row, name: str) -> list[str]:
    """Return the places of a row meant by a name: one of them, or all by the name of the row."""
    wanted = name.casefold()
    names = names_of(row)
    same = [one for one in names if one.casefold() == wanted]
    return same or (names if str(row.get("name", "")).casefold() == wanted else [])


def place_called(rows: Rows, name: str) -> Row | None:
    """Return the row of a place called by its name, or by the name of a group alike."""
    return next((row for row in rows.all(*PLACE_TABLES) if called(row, name)), None)


def no_such_place(rows: Rows, name: str) -> str:
    """Return the message for a place that is not there, with the one that may be meant."""
    trays = {str(row.get("name")).casefold() for row in rows.all("tray")}
    if name.casefold() in trays:
        return f"'{name}' is a tray. Name the bed, channel or pots in which the crop will grow."
    known = [n for row in rows.all(*PLACE_TABLES) for n in names_of(row)]
    alike = [one for one in known if one.casefold().startswith(name.casefold())]
    near = did_you_mean(name, known)
    if 1 < len(alike) <= _NAMED:
        near = f" Did you mean one of {', '.join(alike)}?"
    if not near and known:
        more = " and more" if len(known) > _NAMED else ""
        near = f" There are {', '.join(known[:_NAMED])}{more}."
    return f"There is no bed, channel or pot of that name.{near}"


def whole(rows: Rows, *tables: str) -> bool:
    """Whether no table was lost to a problem of its form."""
    lost = {problem.where.strip("[]") for problem in rows.problems} | rows.unheaded
    return not lost & set(tables)
