"""Next year's garden file out of this year's: the old text, with what a new season changes."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from datetime import date, timedelta
from pathlib import Path

from sowplan.records.crop import Crop
from sowplan.records.garden import FixedSowing, Garden, Past, Season, Want
from sowplan.records.garden_file.keys import CLIMATE, SEASON, TOP, Table
from sowplan.records.garden_file.keys.wants import SOWING, WANT
from sowplan.records.garden_file.next_season import (
    StillWanted,
    moved_days,
    next_season,
    years_to,
)
from sowplan.records.garden_file.values.months import MONTHS, read_day
from sowplan.records.toml.edits import Edits, basic_string
from sowplan.records.years import last_later, later

TAG = "# from last season"
"""Stands after the heading of each table that was put in; the next new file leaves it out again."""
HEADING = "# --- from last season: "
_WIDTH = 80
_MOVED = "# As last season, moved on: take the # off below where it is so again."
_AWAY = "# Last season's, moved on: put in your own days and take the # off."
_PERENNIAL = (
    "# It lives for years and is planned as sown anew. Where yours stands still, take this wish "
    "out,",
    "# and its ground off the bed (keep_out), or its pots off their number.",
)


def next_text(
    text: str,
    garden: Garden,
    crops: Mapping[str, Crop],
    sowings: Sequence[FixedSowing],
    past: Sequence[Past],
    still: Sequence[StillWanted] = (),
    resting: Iterable[str] = (),
    folders: tuple[Path, Path] | None = None,
    start: date | None = None,
) -> tuple[str, tuple[FixedSowing, ...]]:
    """Return the text of next year's garden file.

    Everything stays as the gardener wrote it but for: the days of season and wants, moved on; days
    away and own sowings that are over, made remarks; what stands and what stood where, put in.

    Parameters
    ----------
    text : str
        The old file's, with line feeds as line ends.
    garden : Garden
        What it says; it has no problem.
    crops : mapping of str to Crop
        The crops known, by key.
    sowings : sequence of FixedSowing
        What stands as the new season begins; ``where`` is the old file's row where it is of one.
    past : sequence of Past
        What stood in the beds last season.
    still : sequence of StillWanted
        What is left of last season's wants.
    resting : iterable of str
        Families that find no bed: how to let them rest less is put in as a remark.
    folders : tuple of (Path, Path), optional
        Where the old file stands and the new one will, for the files it names.
    start : date, optional
        First day of the new season where it takes over sooner (`next_season`).

    Returns
    -------
    text : str
    over : tuple of FixedSowing
        The gardener's own sowings that are remarks now.
    """
    edits, years, season = Edits(text), years_to(garden.season), next_season(garden.season, start)
    _season(edits, season, years)
    for number, want in enumerate(garden.wants):
        _want(edits, ("want", number), want, moved_days(want, garden.season, season), crops)
        _begins_later(edits, ("want", number), want, garden.season, season)
    added = list(_still(edits, still))
    over, rest = _own_sowings(edits, garden, sowings, years)
    if rest:
        added += [_heading(f"what stands on {_day(season.start)}, by its plan and diary")]
        added += map(_sowing_text, rest)
    added += _past(edits, garden, crops, past, season.start)
    rested = {one.family for one in garden.rests}
    if not rested & {"", *resting}:
        added += map(_rest_text, resting)
    _paths(edits, folders)
    for number, line in enumerate(edits.lines, 1):
        if line.startswith(HEADING):
            edits.remove_line(number)
    body = edits.done().rstrip("\n")
    return "\n\n".join([body, *added]) + "\n", over


def _season(edits: Edits, new: Season, years: int) -> None:
    for key, day in (("start", new.start), ("end", new.end)):
        edits.write(_path(edits, ("season",), SEASON, key), day.isoformat())
    away = edits.key(("season",), "away")
    if away is None:
        return
    if not edits.on_its_own(away):
        edits.write(away, "[]")
        return
    days = [(p, s.text) for p, s in edits.spots.by_path.items() if p[:2] == away and len(p) > 2]
    for path, written in days:
        with suppress(ValueError):
            last = path[-1] == 1
            day = read_day(written.strip("\"'"))
            edits.write(path, str(last_later(day, years) if last else later(day, years)))
    edits.remark(away, [_AWAY])


def _want(
    edits: Edits, path, want: Want, moved: tuple[date, date], crops: Mapping[str, Crop]
) -> None:
    """Move a want's days on; what was put in as the rest of the season before goes."""
    if _is_ours(edits, path):
        edits.remove(path)
        return
    for key, day in zip(("from", "to"), moved, strict=True):
        written = _path(edits, path, WANT, key)
        if written is not None:
            edits.write(written, day.isoformat())
    if "perennial" in crops[want.crop].note.casefold() and edits.on_its_own(path):
        line = edits.lines_of(path)[0]
        if tuple(edits.lines[line - 3 : line - 1]) != _PERENNIAL:
            edits.put_above(path, _PERENNIAL)


def _begins_later(edits: Edits, path, want: Want, old: Season, new: Season) -> None:
    """Write the first day of a want that named none, where it is not the new season's."""
    start, _ = moved_days(want, old, new)
    written = _path(edits, path, WANT, "from") is not None
    if not written and start > new.start and edits.on_its_own(path) and not _is_ours(edits, path):
        edits.put_below(_path(edits, path, WANT, "crop"), [f"from = {start.isoformat()}"])


def _still(edits: Edits, still: Sequence[StillWanted]) -> Iterable[str]:
    """Yield what is still wanted of last season: the old tables, for the days that are left."""
    tables = []
    for one in still:
        path = ("want", one.want)
        if _is_ours(edits, path) or not edits.on_its_own(path):
            continue
        lines = edits.lines_of(path)
        part = Edits("\n".join([f"[[want]]  {TAG}", *edits.lines[lines[0] : lines[-1]]]))
        if one.amount is not None:
            part.write(_path(part, ("want", 0), WANT, "amount"), _amount(one.amount, one.unit))
        days, missing = (("from", one.start), ("to", one.end)), []
        for key, day in days:
            written = _path(part, ("want", 0), WANT, key)
            if written is not None:
                part.write(written, day.isoformat())
            else:
                missing.append(f"{key} = {day}")
        tables.append("\n".join([part.done(), *missing]))
    if tables:
        yield _heading("what is still to be eaten of it")
        yield from tables


def _own_sowings(
    edits: Edits, garden: Garden, sowings: Sequence[FixedSowing], years: int
) -> tuple[tuple[FixedSowing, ...], list[FixedSowing]]:
    """Keep the gardener's own sowings that stand, make remarks of the others.

    Returns those that are remarks now, and of what stands all that has no row of its own.
    """
    over, rest = [], list(sowings)
    for number, row in enumerate(garden.sowings):
        path = ("sowing", number)
        mine = [one for one in sowings if one.where.file and one.where.line == row.where.line]
        if _is_ours(edits, path):
            edits.remove(path)
        elif not edits.on_its_own(path):
            continue
        elif len(mine) == 1:
            rest.remove(mine[0])
            _keep(edits, path, row, mine[0])
        else:
            edits.write(_path(edits, path, SOWING, "date"), str(later(row.day, years)))
            if row.until is not None:
                until = last_later(row.until, years)
                edits.write(_path(edits, path, SOWING, "until"), str(until))
            edits.remark(path, [_MOVED] if not mine else ())
            over += [row] if not mine else []
    _no_more(edits, "sowing")
    return tuple(over), rest


def _keep(edits: Edits, path, row: FixedSowing, now: FixedSowing) -> None:
    """Write the day, the number and the place of a sowing as they have come to be."""
    if now.day != row.day:
        edits.write(_path(edits, path, SOWING, "date"), now.day.isoformat())
    if now.plants != row.plants:
        edits.write(_path(edits, path, SOWING, "number"), str(now.plants))
    if row.place is None:
        edits.put_below(
            _path(edits, path, SOWING, "number"), [f"place = {basic_string(now.place)}"]
        )


def _past(
    edits: Edits, garden: Garden, crops: Mapping[str, Crop], past: Sequence[Past], begin: date
) -> Iterable[str]:
    """Bring the gardener's own stays up to date; yield those to add, those of a day together."""
    latest = {(one.place, one.family): one.until for one in past}
    paths = {s.line: p for p, s in edits.spots.by_path.items() if p[0] == "past" and len(p) == 2}
    groups: dict[int | None, list[Past]] = {}
    for one in garden.past:
        groups.setdefault(one.where.line, []).append(one)
    told: dict[tuple[str, str], date] = {}
    for line, group in groups.items():
        path = paths[line]
        if not edits.on_its_own(path) or _is_ours(edits, path):
            for one in group:
                key = one.place, one.family
                latest[key] = max(one.until, latest.get(key, one.until))
            if edits.on_its_own(path):
                edits.remove(path)
            continue
        (first, *others) = group
        until = latest.get((first.place, first.family), first.until)
        if not others and until > first.until:
            edits.write(edits.key(path, "until"), until.isoformat())
            told[first.place, first.family] = until
        else:
            told |= {(one.place, one.family): one.until for one in group}
    _no_more(edits, "past")
    together: dict[tuple[str, date], list[str]] = {}
    beds = [place.name for place in garden.places]
    for place, family in sorted(latest, key=lambda key: (beds.index(key[0]), latest[key], key[1])):
        until = latest[place, family]
        news = until > told.get((place, family), date.min)
        if news and _rests_still(family, until, begin, crops):
            together.setdefault((family, until), []).append(place)
    if together:
        yield _heading("what stood where, for the rotation")
        for (family, until), places in together.items():
            yield _past_text(places, family, until)


def _rests_still(family: str, until: date, begin: date, crops: Mapping[str, Crop]) -> bool:
    """Return whether a stay matters to any crop of its family in the new season."""
    days = max((c.rotation_gap_days for c in crops.values() if c.family == family), default=0)
    return until + timedelta(days=days) >= begin


def _no_more(edits: Edits, name: str) -> None:
    """Make a remark of a list of tables written as one value: tables below would clash with it."""
    if (name,) in edits.spots.by_path and not edits.spots.by_path[(name,)].heading:
        edits.remark((name,))


def _paths(edits: Edits, folders: tuple[Path, Path] | None) -> None:
    """Write the files that are named as they lie from the new file's folder."""
    if folders is None or folders[0].resolve() == folders[1].resolve():
        return
    for table, path in ((TOP, ()), (CLIMATE, ("climate",))):
        for key in (key for key in table.keys if key.kind == "path"):
            written = _path(edits, path, table, key.name)
            name = edits.spots.text(written).strip("\"'") if written else ""
            if name and not Path(name).is_absolute():
                there = os.path.relpath(folders[0].resolve() / name, folders[1].resolve())
                edits.write(written, basic_string(Path(there).as_posix()))


def _is_ours(edits: Edits, path) -> bool:
    """Return whether a table was put in when the season before ended."""
    spot = edits.spots.by_path.get(path)
    return spot is not None and spot.heading and TAG in edits.lines[spot.line - 1]


def _path(edits: Edits, path, table: Table, name: str):
    """Return where a key stands in a table, under any of its names; None where it does not."""
    key = table.key(name)
    assert key is not None
    return edits.key(path, key.name, *key.aliases)


def _sowing_text(one: FixedSowing) -> str:
    lines = [
        f"[[sowing]]  {TAG}",
        f"crop = {basic_string(one.crop)}",
        f"date = {one.day}",
        f"number = {one.plants}",
        f"place = {basic_string(one.place or '')}",
        *([f"sow = {basic_string(one.raising)}"] if one.raising else []),
        *([f"until = {one.until}"] if one.until else []),
        *(["even_so = true"] if one.even_so else []),
        *([f"cover = {basic_string(one.cover)}"] if one.cover != "none" else []),
    ]
    return "\n".join(lines)


def _past_text(places: list[str], family: str, until: date) -> str:
    where = (
        basic_string(places[0]) if len(places) == 1 else f"[{', '.join(map(basic_string, places))}]"
    )
    if len(where) > _WIDTH:
        where = "[\n" + "".join(f"    {basic_string(place)},\n" for place in places) + "]"
    return f"[[past]]  {TAG}\nplace = {where}\nfamily = {basic_string(family)}\nuntil = {until}"


def _rest_text(family: str) -> str:
    return (
        f"# Every bed like those it stood in rests from {family}.\n"
        "# Where you see it otherwise, take the # off:\n"
        f'# [[rotation]]\n# family = {basic_string(family)}\n# rest = "none"   # or "6 months"'
    )


def _heading(words: str) -> str:
    return f"{HEADING}{words} ".ljust(_WIDTH, "-")


def _amount(amount: float, unit: str) -> str:
    """Return an amount of a want as it is written; a bare number is of the crop's own unit."""
    number = f"{round(amount, 2):g}"
    return basic_string(f"{number} {unit}") if unit in ("kg", "plants") else number


def _day(day: date) -> str:
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"
