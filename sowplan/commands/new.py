"""``sowplan new``: a garden file to begin with. Here the clock is read."""

from __future__ import annotations

import sys
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from sowplan.commands.screen import tell
from sowplan.problem import Exit

if TYPE_CHECKING:
    from sowplan.records.garden_file.starter import Start
    from sowplan.site.places import Place

# Where no place is given: an example, said to be one in the file and on the screen.
_EXAMPLE = (-41.4, 147.1)


def new(
    file: Annotated[Path, typer.Argument(help="The file to write.")] = Path("garden.toml"),
    near: Annotated[
        str | None,
        typer.Option(
            help='Where the garden is: a larger town near by, or "latitude, longitude" in degrees.'
        ),
    ] = None,
    latitude: Annotated[
        str | None,
        typer.Option(help="Degrees north; in the south with a minus, or as 41.4S."),
    ] = None,
    longitude: Annotated[
        str | None,
        typer.Option(help="Degrees east; west of Greenwich with a minus, or as 73.5W."),
    ] = None,
    name: Annotated[str, typer.Option(help="What you call the garden.")] = "My garden",
    elevation: Annotated[
        str | None, typer.Option(help='Height above the sea, as "40 m" or "130 ft".')
    ] = None,
    timezone: Annotated[
        str | None, typer.Option(help="As Australia/Hobart; otherwise the nearest known.")
    ] = None,
    start: Annotated[
        str | None, typer.Option(help="First day of the season, as 2026-09-01; otherwise soon.")
    ] = None,
    units: Annotated[Literal["metric", "imperial"], typer.Option(help="Units to use.")] = "metric",
    after: Annotated[
        Path | None,
        typer.Option(help="This year's garden file, to make next year's of.", metavar="GARDEN"),
    ] = None,
    plan: Annotated[
        Path, typer.Option(help="With --after: this year's plan folder.", metavar="FOLDER")
    ] = Path("plan"),
    force: Annotated[bool, typer.Option("--force", help="Write over a file that exists.")] = False,
) -> None:
    """Write a garden file to begin with, with the climate of the nearest town in the built-in list.

    The season begins next Monday and lasts a year, in either half of the world. Asks for the
    place where it is not given and there is someone to ask.

    With --after it is next year's: your old file with its remarks, its dates moved on, and from
    plan and diary what stands already and what stood where. With --start it takes over sooner, to
    sow in time for its first weeks.

    For example:

      sowplan new

      sowplan new garden.toml --near Launceston

      sowplan new garden.toml --latitude -41.4 --longitude 147.1 --name "Lantern Court"

      sowplan new plot.toml --latitude 43.1 --longitude -89.5 --elevation "950 ft" --units imperial

      sowplan new next.toml --after garden.toml --plan plan

      sowplan new next.toml --after garden.toml --start 2027-06-01
    """
    _refuse(file, force)
    if after is not None:
        if any((near, latitude, longitude, elevation, timezone)):
            message = "With --after, the place is that of that file: change it in the new."
            raise typer.BadParameter(message, param_hint="--after")
        from sowplan.records.garden_file.keys import SEASON

        day = None if start is None else _value(SEASON, "start", start)
        _next_year(file, after, plan, day)
        return
    begin, said = _start(near, latitude, longitude, name, elevation, timezone, start, units)
    from sowplan.commands.plan_files import write_file
    from sowplan.records.garden_file.starter import starter

    write_file(file, starter(begin).encode("utf-8"))
    typer.echo(f"Wrote {file}.")
    for line in said:
        tell(line, "  ")
    typer.echo("  Open it in a text editor: put in your beds and what you want to eat.")
    typer.echo(f"  Then: sowplan check {_shell(file)}")
    typer.echo(f"        sowplan plan {_shell(file)}")


def _next_year(file: Path, after: Path, plan: Path, start: date | None) -> None:
    """Write next year's garden file; this year's is never written over."""
    from sowplan.commands.next_year import next_year
    from sowplan.commands.plan_files import write_file

    if file.exists() and after.exists() and file.samefile(after):
        _stop(file, "This is this year's garden file. Name another for next year's.")
    text, said = next_year(file, after, plan, start)
    write_file(file, text.encode("utf-8"))
    typer.echo(f"Wrote {file}.")
    for line in said:
        tell(line, "  ")
    typer.echo(f"  Then: sowplan check {_shell(file)}")
    typer.echo(f"        sowplan plan {_shell(file)} --out {_shell(_another(plan))}")


def _another(plan: Path) -> Path:
    """Return a folder for next year's plan beside this year's, which is to stay."""
    from itertools import count

    folder = plan if plan.is_dir() else plan.parent
    names = (folder.with_name(f"{folder.name}-{number}") for number in count(2))
    return next(name for name in names if not name.exists())


def _shell(file: Path) -> str:
    import shlex

    return shlex.quote(str(file))


def _start(
    near, latitude, longitude, name, elevation, timezone, start, units
) -> tuple[Start, list[str]]:
    """Return what the file is written from, and what to say about it."""
    from sowplan.records.garden_file.keys import SITE
    from sowplan.records.garden_file.starter import Start
    from sowplan.site.nearest import nearest

    place = _place(near, latitude, longitude)
    height = None if elevation is None else _value(SITE, "elevation", elevation)
    guessed = height is None and place is not None and place.height_guessed
    if height is None and place is not None:
        height = place.elevation_m
    north, east = (place.latitude, place.longitude) if place is not None else _EXAMPLE
    town = nearest(north, east, height, units)
    zone, note = _zone(place, north, east, timezone, town)
    begin = Start(
        name=_value(SITE, "name", name),
        latitude=north,
        longitude=east,
        timezone=zone,
        season_start=_first_day(start, zone),
        climate=town.climate,
        climate_note=town.note,
        elevation_m=height,
        height_guessed=guessed,
        units=units,
        zone_note=note,
        example=place is None,
        place_of=str(place) if place is not None and place.name else "",
    )
    said = ["The place in it is an example: put in your own."] if place is None else []
    if begin.place_of:
        said = [
            f"The place in it is that of {begin.place_of}: your own latitude and longitude, from "
            "any map, are better still."
        ]
    if guessed:
        said += ["Its height is a guess from the towns around: put in your own."]
    return begin, [*said, town.note]


def _place(near: str | None, latitude: str | None, longitude: str | None) -> Place | None:
    """Return where the garden is; asked for where nothing says, None where nobody is there."""
    from sowplan.commands.near import place_meant
    from sowplan.records.garden_file.keys import SITE
    from sowplan.site.places import Place

    if (latitude is None) != (longitude is None):
        raise typer.BadParameter("Give both --latitude and --longitude, or neither.")
    if latitude is not None:
        if near is not None:
            raise typer.BadParameter("Give --near, or --latitude and --longitude, and not both.")
        north, east = _value(SITE, "latitude", latitude), _value(SITE, "longitude", longitude)
        return Place("", "", north, east, "")
    if near is not None:
        return place_meant(near)
    return _asked() if sys.stdin.isatty() else None


def _asked() -> Place:
    """Ask for the place until it is one."""
    from sowplan.commands.near import place_meant

    while True:
        text = typer.prompt("Where is the garden? A larger town near by, or latitude, longitude")
        try:
            return place_meant(text)
        except typer.BadParameter as wrong:
            typer.echo(wrong.message, err=True)


def _zone(place, north: float, east: float, timezone: str | None, town) -> tuple[str, str]:
    """Return the time zone and, where it was not given, a word of doubt."""
    from sowplan.records.garden_file.keys import SITE
    from sowplan.records.garden_file.zones import nearest_zone

    if timezone is not None:
        return _value(SITE, "timezone", timezone), ""
    if place is not None and place.timezone:
        return place.timezone, ""
    zone, distance = nearest_zone(north, east)
    if town.distance_km < distance:
        zone = town.town.timezone
    return zone, "the nearest known: is it yours?"


def _first_day(start: str | None, zone: str) -> date:
    """Return the day given, or next Monday (today, if it is one) where the garden is."""
    from zoneinfo import ZoneInfo

    from sowplan.records.garden_file.keys import SEASON

    if start is not None:
        return _value(SEASON, "start", start)
    today = datetime.now(ZoneInfo(zone)).date()
    return today + timedelta(days=-today.weekday() % 7)


def _value(table, name: str, text):
    """Read a value as the garden file's reader does; leave where it is wrong."""
    from sowplan.records.garden_file.values import READERS, Around, Wrong

    key = table.key(name)
    try:
        return READERS[key.kind](text, key, Around(Path(), {}))
    except Wrong as wrong:
        raise typer.BadParameter(f"{wrong.message} (found: {text})", param_hint=name) from None


def _refuse(file: Path, force: bool) -> None:
    if file.is_dir():
        _stop(file, "This is a folder. Name the file to write in it, such as garden.toml.")
    if file.exists() and not force:
        _stop(file, "This file exists, and is left as it is. Name another, or add --force.")


def _stop(file: Path, message: str) -> None:
    from sowplan.commands.problems import stop
    from sowplan.problem import Problem

    stop([Problem(str(file), None, "", "", message, Exit.UNWRITABLE)])
