"""``sowplan when``: one crop here, each sowing date through the year and what becomes of it."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from pathlib import Path
from textwrap import fill, wrap
from typing import TYPE_CHECKING, Annotated, Any, NoReturn

import typer

from sowplan.problem import Exit, did_you_mean

if TYPE_CHECKING:
    from sowplan.growth.courses import Conditions, Course
    from sowplan.growth.succession import Row, Succession
    from sowplan.quantity import Units
    from sowplan.records.crop import Crop
    from sowplan.records.garden import Garden, Tray
    from sowplan.site.sky import Sky

_YEAR_DAYS = 365
_SCREEN = 80  # characters
_WIDE = 27  # characters of the column "First harvest", more where years stand in it
_COVERS = {"fleece": "Under fleece", "tunnel": "Under a tunnel", "glass": "Under glass"}
_LONG_DAYS = 300  # a harvest later than this after sowing is told with its year


def when(
    crop: Annotated[str, typer.Argument(help="A crop, by any of its names.")],
    garden: Annotated[
        Path, typer.Option("--garden", "-g", help="The garden file: site, climate, beds, trays.")
    ],
    every: Annotated[int, typer.Option(min=1, max=92, help="Days from one row to the next.")] = 7,
    place: Annotated[
        str | None, typer.Option(help="The bed, channel or pots it grows in; else the first bed.")
    ] = None,
    tray: Annotated[
        str | None, typer.Option(help="The tray it is raised in; else the best lit.")
    ] = None,
    direct: Annotated[
        bool, typer.Option("--direct", help="Sow it where it grows, though it could be raised.")
    ] = False,
    picture: Annotated[
        Path | None, typer.Option(help="Draw it as well, to FILE.svg or FILE.png.")
    ] = None,
    dark: Annotated[bool, typer.Option("--dark", help="Draw it light on dark.")] = False,
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON.")] = False,
) -> None:
    """Show what becomes of a crop sown on each date through the year.

    A row a sowing date, from the first day of the garden's season on: when it comes up, is
    planted out, is first fit to harvest (in brackets: in an early and in a late year, one in ten
    each) and how long it stands; and after how many days to sow again to keep a weekly harvest.

    For example:

      sowplan when butterhead --garden garden.toml

      sowplan when spinach -g garden.toml --direct --every 14

      sowplan when lettuce-loose-leaf -g garden.toml --picture lettuce.svg
    """
    from sowplan.growth.conditions import conditions_of
    from sowplan.growth.succession import HORIZON_DAYS, succession
    from sowplan.site.sky import sky

    known, here = _read(garden)
    chosen = _crop(crop, known)
    where = _place(place, here, chosen)
    shelf = None if direct else _tray(tray, here)
    conditions = conditions_of(chosen, where, shelf, here.site)
    if direct:
        conditions = replace(conditions, raised=False, tray_temperature_c=None, tray_dli_mol=None)
    outlook = sky(here.site, here.climate, here.season.start, _YEAR_DAYS + HORIZON_DAYS)
    found = succession(chosen, outlook, _YEAR_DAYS, every, conditions, here.climate.frost_risk)
    found = _in_units(found, here.units)
    setting = _setting(conditions.raised, shelf, where.name)
    if picture is not None:
        _draw(found, chosen, f"{here.site.name}, {setting}", picture, dark)
    if as_json:
        rows = [plain(row) for row in found.rows]
        typer.echo(json.dumps(rows, ensure_ascii=False, indent=2))
        return
    typer.echo(typer.style(f"{chosen.name} at {here.site.name}, {setting}", bold=True))
    for line in table(found.rows):
        typer.echo(line)
    typer.echo("")
    if conditions.cover == "none":
        for line in _covers(found, chosen, outlook, conditions, here.climate.frost_risk):
            typer.echo(fill(line, _SCREEN))
    typer.echo(fill(f"Ranges: {outlook.series.spread_source}.", _SCREEN))
    if picture is not None:
        typer.echo(f"Picture: {picture}")


def _in_units(found: Succession, units: Units) -> Succession:
    """Return the rows with the temperatures of their reasons as the gardener thinks of them."""
    from sowplan.growth.reasons import in_units

    def told(row: Row) -> Row:
        reason = in_units(row.course.reason, units)
        return replace(row, course=replace(row.course, reason=reason))

    return replace(found, rows=tuple(map(told, found.rows)))


def plain(row: Row) -> dict[str, Any]:
    """Return a row as JSON holds it: ISO dates, None where an event does not come to pass."""
    c = row.course
    return {
        "sow": c.sow.isoformat(),
        "emergence": _iso(c.emergence),
        "planting_out": _iso(c.planting_out),
        "harvest_start": _iso(c.harvest_start),
        "harvest_start_early": _iso(c.harvest_start_early),
        "harvest_start_late": _iso(c.harvest_start_late),
        "harvest_end": _iso(c.harvest_end),
        "days": row.days,
        "interval_days": row.interval_days,
        "feasible": c.feasible,
        "reason": c.reason,
        "lots": [
            {"ready": lot.ready.isoformat(), "last": lot.last.isoformat(), "share": lot.share}
            for lot in c.lots
        ],
    }


def table(rows: tuple[Row, ...]) -> list[str]:
    """Return the lines of the table; a year stands where it is new, a reason where it changes."""
    from sowplan.growth.reasons import without_dates

    raised = any(row.course.planting_out for row in rows)
    out = f"{'Plant out':<10}" if raised else ""
    wide = max([_WIDE, *(len(_first(row.course)) + 1 for row in rows if row.course.feasible)])
    first = f"{'First harvest':<{wide}}"
    lines = [f"{'Sow':<8}{'Up':<8}{out}{first}{'Until':<7}{'Days':>4}  Sow again"]
    year, said = None, ""
    for row in rows:
        if row.course.sow.year != year:
            year, said = row.course.sow.year, ""
            lines.append(f"{year}")
        kind = without_dates(row.course.reason)
        if kind and kind == said:
            lines.append(f'{_short(row.course.sow):<8}  "')
        elif not row.course.feasible:
            head = f"{_short(row.course.sow):<8}"
            lines += wrap(
                row.course.reason, _SCREEN, initial_indent=head, subsequent_indent=" " * 8
            )
        else:
            lines.append(_line(row, raised, wide).rstrip())
        said = kind
    return lines


def _covers(
    found: Succession, crop: Crop, sky: Sky, conditions: Conditions, risk: float
) -> list[str]:
    """Say which of the sowings that frost takes would live under a cover, the lightest first."""
    from sowplan.growth.reasons import by_cold_outside
    from sowplan.growth.succession import saved_by

    if not any(by_cold_outside(row.course.reason) for row in found.rows):
        return []
    lines, told = [], set()
    for cover, words in _COVERS.items():
        saved = set(saved_by(cover, found, crop, sky, conditions, risk)) - told
        if saved:
            spans = _spans(found, sorted(saved))
            lines.append(f"{words} {'also' if told else 'these would live'}: {spans}.")
        told |= saved
    return lines or ["No fleece, tunnel or glass would bring the sowings that cold takes through."]


def _spans(found: Succession, places: list[int]) -> str:
    """Return runs of rows as dates: ``"9 Mar; 23 Mar to 6 Apr"``."""
    runs: list[list[int]] = []
    for i in places:
        if runs and runs[-1][-1] == i - 1:
            runs[-1].append(i)
        else:
            runs.append([i])
    ends = [[_short(found.rows[i].course.sow).strip() for i in (run[0], run[-1])] for run in runs]
    return "; ".join(first if first == last else f"{first} to {last}" for first, last in ends)


def _line(row: Row, raised: bool, wide: int) -> str:
    c = row.course
    out = f"{_short(c.planting_out):<10}" if raised else ""
    again = {None: "", 1: "next day"}.get(row.interval_days, f"in {row.interval_days} days")
    return (
        f"{_short(c.sow):<8}{_short(c.emergence):<8}{out}{_first(c):<{wide}}"
        f"{_short(c.harvest_end):<7}"
        f"{row.days:>4}  {again}"
    )


def _first(c: Course) -> str:
    """Return ``"9 Nov (4 Nov to 15 Nov)"``; the year with it where it is long after sowing."""
    start = c.harvest_start
    year = f" {start.year}" if start and (start - c.sow).days > _LONG_DAYS else ""
    early, late = _short(c.harvest_start_early), _short(c.harvest_start_late)
    return f"{_short(start)}{year} ({early} to {late})"


def _short(day: date | None) -> str:
    from sowplan.supply.wording import MONTHS

    return "" if day is None else f"{day.day:>2} {MONTHS[day.month - 1][:3]}"


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()


def _setting(raised: bool, shelf: Tray | None, place: str) -> str:
    """Return where it is sown and grows: ``"raised in a tray (Shelf), grown in Wall box"``."""
    if not raised:
        return f"sown direct in {place}"
    return f"raised in a tray ({shelf.name if shelf else 'outdoors'}), grown in {place}"


def _read(path: Path) -> tuple[dict[str, Crop], Garden]:
    """Read the garden file; print its problems and leave where there are any."""
    from sowplan.commands.problems import stop
    from sowplan.records.garden_file import read_garden

    reading = read_garden(path)
    if reading.garden is None:
        stop(reading.problems)
    return reading.crops, reading.garden


def _crop(name: str, known: dict[str, Crop]) -> Crop:
    from sowplan.records.crop_table.names import find_crop, matching_keys, suggest_crops

    one = find_crop(name, known)
    if one is not None:
        return one
    several = matching_keys(name, known)
    if several:
        _leave(f"'{name}' may be any of: {', '.join(several)}. Give one of these.")
    hint = suggest_crops(name, known) or " 'sowplan crops' lists them all."
    _leave(f"There is no crop '{name}'.{hint}")


def _place(name: str | None, garden: Garden, crop: Crop) -> Any:
    """Return the place of a name, or the first bed, or pots, or a channel that suits it."""
    places = (*garden.beds, *garden.pots, *(garden.channels if crop.channel else ()))
    if name is None:
        if not places:
            _leave(f"The garden has no bed or pots for {crop.name.lower()}.")
        return places[0]
    return _named(name, (*garden.beds, *garden.channels, *garden.pots), "place")


def _tray(name: str | None, garden: Garden) -> Tray | None:
    """Return the tray of a name, or the first with lamps and warmth, or the first, or None."""
    if name is not None:
        return _named(name, garden.trays, "tray")
    lit = [t for t in garden.trays if t.ppfd is not None and t.temperature_c is not None]
    return next(iter([*lit, *garden.trays]), None)


def _named(name: str, records: tuple[Any, ...], kind: str) -> Any:
    for one in records:
        if one.name.casefold() == name.casefold():
            return one
    names = [one.name for one in records]
    there = f" There is {', '.join(names)}." if names else ""
    _leave(f"The garden has no {kind} '{name}'.{did_you_mean(name, names) or there}")


def _draw(found: Succession, crop: Crop, place: str, picture: Path, dark: bool) -> None:
    """Write the picture; leave where it cannot be written."""
    from sowplan.export.pictures.png import can_rasterise, to_png
    from sowplan.export.pictures.succession import succession_svg

    kind = picture.suffix.casefold()
    if kind not in (".svg", ".png"):
        raise typer.BadParameter(
            f"'{picture}' ends in neither .svg nor .png.", param_hint="--picture"
        )
    if kind == ".png" and not can_rasterise():
        raise typer.BadParameter(
            "PNG needs the library resvg-py (pip install resvg-py). An SVG needs nothing.",
            param_hint="--picture",
        )
    drawn = succession_svg(found, crop.name, place, dark)
    try:
        picture.write_bytes(to_png(drawn) if kind == ".png" else drawn.encode())
    except OSError as error:
        _leave(f"{picture} cannot be written: {error.strerror}.", Exit.UNWRITABLE)


def _leave(message: str, code: Exit = Exit.WRONG) -> NoReturn:
    typer.echo(message, err=True)
    raise typer.Exit(code)
