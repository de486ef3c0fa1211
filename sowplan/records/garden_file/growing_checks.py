"""Whether a want or a sowing can be grown as it says: how it is raised, and in which places."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from sowplan.problem import Exit, Problem
from sowplan.records.crop import Crop
from sowplan.records.garden_file.places import (
    PLACE_TABLES,
    called,
    names_of,
    no_such_place,
    place_called,
    whole,
)
from sowplan.records.garden_file.rows import Row, Rows

FINE_SEED_MM = 1.0
"""Seed sown so shallow and raised by trade dries up in the open (common practice, no source)."""

_ADD_TRAY = "add a [[tray]] with name and cells"


def check_growing(row: Row, rows: Rows, crops: Mapping[str, Crop]) -> Iterator[Problem]:
    """Find what a [[want]] or [[sowing]] asks for that its crop or the garden does not allow."""
    crop = crops.get(row.get("crop", ""))
    left = None
    if row.table.name == "want":
        wrong, left = _places(row, rows)
        yield from wrong
    elif row.get("place") is not None:
        place = place_called(rows, row.get("place"))
        left = None if place is None else {name: place for name in called(place, row.get("place"))}
    if crop is None:
        return
    yield from _sown(row, rows, crop, left)
    if row.table.name == "want" and left and _only_channels(left) and not crop.channel:
        message = f"{crop.name} does not suit a channel: name a bed or a pot."
        yield row.problem(_named_by(row), message, exit=Exit.IMPOSSIBLE)


def _places(row: Row, rows: Rows) -> tuple[list[Problem], dict[str, Row] | None]:
    """Return what is wrong with the places of a want, and those left by name.

    None where it names none, or one of them is not known.
    """
    problems, named = [], {}
    for key in ("in", "not_in"):
        found: list[str] = []
        for name in row.get(key, ()):
            place = place_called(rows, name)
            if place is not None:
                found += called(place, name)
            elif whole(rows, *PLACE_TABLES):
                problems.append(row.problem(key, no_such_place(rows, name), name))
        named[key] = set(found)
    asked = {key for key in named if key in row.given}
    if problems or not asked or any(not named[key] for key in asked):
        return problems, None
    left = {
        name: place
        for place in rows.all(*PLACE_TABLES)
        for name in names_of(place)
        if (not named["in"] or name in named["in"]) and name not in named["not_in"]
    }
    if not left:
        message = "This leaves no place for it to grow in."
        return [row.problem("not_in", message)], None
    return [], left


def _sown(row: Row, rows: Rows, crop: Crop, left: dict[str, Row] | None) -> Iterator[Problem]:
    """Sown direct, in trays or bought, as the crop, the places and the trays there are allow it."""
    sow = row.get("sow")
    no_tray = not rows.by_table.get("tray") and whole(rows, "tray")
    if sow == "direct" and crop.start == "raised" and crop.sowing_depth_mm <= FINE_SEED_MM:
        message = (
            f"The seed of {crop.name} is too fine for the open ground: it is raised in a tray and "
            "planted out. Leave this line out."
        )
        yield row.problem("sow", message)
    elif sow == "in trays" and crop.start == "direct":
        message = f"{crop.name} is sown direct, where it grows. Leave this line out."
        yield row.problem("sow", message)
    elif sow == "bought plants" and crop.start == "direct":
        message = (
            f"{crop.name} is sown or set where it grows, and does not come as young plants. Leave "
            "this line out."
        )
        yield row.problem("sow", message)
    elif sow == "in trays" and no_tray:
        message = f"The garden has no tray: {_ADD_TRAY}."
        yield row.problem("sow", message, exit=Exit.IMPOSSIBLE)
    elif crop.start == "raised" and no_tray and "sow" not in row.given:
        direct = ', sow it where it grows, sow = "direct",'
        message = (
            f"{crop.name} is raised in a tray and planted out, and the garden has no tray: "
            f"{_ADD_TRAY}{direct if crop.sowing_depth_mm > FINE_SEED_MM else ','} or buy the "
            'plants, sow = "bought plants".'
        )
        yield row.problem("crop", message, exit=Exit.IMPOSSIBLE)
    elif sow == "direct" and crop.channel and left and _only_channels(left):
        message = "Nothing is sown into the holes of a channel: it is planted there from a tray."
        yield row.problem("sow", message, exit=Exit.IMPOSSIBLE)
    yield from _cells(row, rows, crop, sow)


def _cells(row: Row, rows: Rows, crop: Crop, sow: str | None) -> Iterator[Problem]:
    """A least sowing that no tray can hold, of what is raised in one."""
    least = row.get("sow_at_least")
    trays = [tray.get("cells", 0) * tray.get("count", 1) for tray in rows.all("tray")]
    raised = sow == "in trays" or (crop.start == "raised" and sow is None)
    if least and raised and trays and whole(rows, "tray") and 0 < max(trays) < least:
        message = f"The largest tray has {max(trays)} cells."
        yield row.problem("sow_at_least", message, exit=Exit.IMPOSSIBLE)


def _only_channels(left: Mapping[str, Row]) -> bool:
    return all(place.table.name == "channel" for place in left.values())


def _named_by(row: Row) -> str:
    return "in" if "in" in row.given else "not_in"


def check_alike(rows: Rows) -> Iterator[Problem]:
    """Find wants of one crop over the same days that are to be grown in different ways.

    Which of them a harvest is for could not be told.
    """
    wants = list(rows.all("want"))
    for number, row in enumerate(wants):
        for other in wants[:number]:
            if row.get("crop") != other.get("crop") or not _same_days(row, other, rows):
                continue
            key = next((key for key in _WAYS if _asked(row, key) != _asked(other, key)), None)
            if key is not None:
                message = (
                    f"{other.where.table} wants this crop on the same days and says otherwise, "
                    f"and a harvest serves both: give both the same {key}, or other days."
                )
                yield row.problem(key, message)


_WAYS = ("sow", "in", "not_in", "sow_at_least")


def _asked(row: Row, key: str) -> object:
    """Return what a want asks for, the order and capitals of names put aside."""
    value = row.get(key)
    return {name.casefold() for name in value} if isinstance(value, tuple) else value


def _same_days(row: Row, other: Row, rows: Rows) -> bool:
    """Whether two wants share a day; left out, the season's first and last day hold."""
    season = rows.one("season")
    start, end = (season.get("start"), season.get("end")) if season else (None, None)
    spans = [(one.get("from", start), one.get("to", end)) for one in (row, other)]
    if any(day is None for span in spans for day in span):
        return False
    (first, last), (begin, until) = spans
    return first <= until and begin <= last
