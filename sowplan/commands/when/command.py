"""``sowplan when``: one crop here, each sowing date through the year and what becomes of it."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sowplan.commands.named import crop_meant, garden_at
from sowplan.commands.screen import tell
from sowplan.commands.when.elsewhere import (
    YEAR_DAYS,
    otherwise,
    same_there,
    under_cover,
    with_others,
)
from sowplan.commands.when.grown import (
    Grown,
    grown_as_asked,
    grown_otherwise,
    setting,
    unsuited,
)
from sowplan.commands.when.table import table

if TYPE_CHECKING:
    from sowplan.growth.courses import Conditions
    from sowplan.growth.succession import Row, Succession
    from sowplan.quantity import Units
    from sowplan.records.crop import Crop
    from sowplan.records.garden import Garden, Want
    from sowplan.site.sky import Sky


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
    """Show what becomes of a crop sown on each date through the year, and in each kind of place.

    A row a sowing date, from the first day of the garden's season on: when it comes up, is
    planted out, is first fit to harvest (in brackets: in an early and in a late year, one in ten
    each) and how long it stands; and after how many days to sow again to keep a weekly harvest.

    It is raised and grown as your wish for it says, where you give no option; days away, your
    days to harvest and weekdays on which nothing is done are kept. The table is of one place; what
    your other beds, channels, pots and trays make of it stands below, a line each.

    For example:

      sowplan when butterhead --garden garden.toml

      sowplan when spinach -g garden.toml --direct --every 14

      sowplan when lettuce-loose-leaf -g garden.toml --picture lettuce.svg
    """
    from sowplan.growth.succession import HORIZON_DAYS
    from sowplan.season.days import watered_days
    from sowplan.season.year import days_kept, wish_of, year_of
    from sowplan.site.sky import sky

    known, here = garden_at(garden)
    chosen = crop_meant(crop, known)
    wish = wish_of(here, chosen)
    raising = "direct" if direct else "in trays" if tray else wish.raising if wish else None
    grown = grown_as_asked(chosen, here, wish, raising, place, tray)
    outlook = sky(here.site, here.climate, here.season.start, YEAR_DAYS + HORIZON_DAYS)

    def year(way: Grown) -> Succession:
        found = year_of(here, chosen, outlook, YEAR_DAYS, every, way.conditions)
        return _in_units(found, here.units)

    found, title = year(grown), f"{here.site.name}, {setting(grown, here.units)}"
    if picture is not None:
        _draw(found, chosen, title, picture, dark)
    if as_json:
        ways = grown_otherwise(chosen, here, wish, raising, grown)
        rows = with_others(grown, found, [(way, year(way)) for way in ways])
        typer.echo(json.dumps(rows, ensure_ascii=False, indent=2))
        return
    typer.echo(typer.style(f"{chosen.name} at {title}", bold=True))
    _tell(unsuited(chosen, grown))
    _tell(_by_the_wish(wish, direct or tray is not None, place is not None))
    if here.season.harvest_on:
        _tell([_by_harvest_days(here)])
    for line in table(found.rows, grown.conditions.bought, chosen.bolt_effect == "bulbs"):
        typer.echo(line)
    typer.echo("")
    _tell(_frost(found, here.climate.frost_risk))
    if grown.conditions.in_open:
        kept = days_kept(here.season, outlook, watered_days(chosen, grown.conditions))
        risk = here.climate.frost_risk
        _tell(under_cover(found, chosen, outlook, grown.conditions, risk, kept))
    if place is None and tray is None and not direct:
        others = grown_otherwise(chosen, here, wish, raising, grown)
        _tell(_elsewhere([(way, year(way)) for way in others], grown, here.units))
    _tell([_ranges(grown.conditions, outlook)])
    if picture is not None:
        typer.echo(f"Picture: {picture}")


def _tell(lines: Iterable[str]) -> None:
    """Print lines, broken for the screen; what is indented hangs below its first line."""
    for line in lines:
        indent = "  " if line.startswith("  ") else ""
        tell(line.strip(), indent, indent * 2)


def _frost(found: Succession, risk: float) -> list[str]:
    """Say in what share of years frost does what the rows say."""
    from sowplan.supply.wording import one_year_in

    if not any("frost" in row.course.reason for row in found.rows):
        return []
    return [f"Where frost is told, it comes in {one_year_in(risk)} or more (frost_risk)."]


def _elsewhere(others: list[tuple[Grown, Succession]], asked: Grown, units: Units) -> list[str]:
    """Say what comes of it in other places, and raised otherwise, a line each."""
    same = [same_there(way, units) for way, _ in others if way.conditions == asked.conditions]
    different = [(way, found) for way, found in others if way.conditions != asked.conditions]
    told = [f"  {line}" for line in otherwise(different, asked, units)]
    head = ["Otherwise (the whole table: --place, --tray or --direct):"] if told else []
    return [*same, *head, *told]


def _ranges(conditions: Conditions, outlook: Sky) -> str:
    """Say where the ranges of the dates come from."""
    inside = conditions.tray_temperature_c is not None
    if conditions.indoors_c is not None and (not conditions.raised or conditions.bought or inside):
        return "No ranges: the weather does not come in."
    return f"Ranges: {outlook.series.spread_source}."


def _by_the_wish(wish: Want | None, raising_given: bool, place_given: bool) -> list[str]:
    """Say what of it all is as a wish in the file has it, and not as an option says."""
    if wish is None:
        return []
    raised, placed = wish.raising and not raising_given, wish.places and not place_given
    if raised and placed:
        return [f"Raised and placed as {wish.where.table} has it."]
    if raised:
        return [f"Raised as {wish.where.table} has it."]
    return [f"Placed as {wish.where.table} has it."] if placed else []


def _by_harvest_days(garden: Garden) -> str:
    """Say on which weekdays is harvested."""
    from sowplan.records.garden_file.values.months import WEEKDAYS
    from sowplan.season.words import listed

    days = listed([f"{WEEKDAYS[day]}s" for day in garden.season.harvest_on])
    return f"Harvested on {days} only, as harvest_on has it."


def _in_units(found: Succession, units: Units) -> Succession:
    """Return the rows with the temperatures of their reasons as the gardener thinks of them."""
    from sowplan.growth.reasons import in_units

    def told(row: Row) -> Row:
        reason = in_units(row.course.reason, units)
        return replace(row, course=replace(row.course, reason=reason))

    return replace(found, rows=tuple(map(told, found.rows)))


def _draw(found: Succession, crop: Crop, place: str, picture: Path, dark: bool) -> None:
    """Write the picture; leave where it cannot be written."""
    from sowplan.commands.picture_files import file_problems, write_picture
    from sowplan.commands.problems import stop_on
    from sowplan.export.pictures.succession import succession_svg

    stop_on(file_problems(picture, None))
    write_picture(picture, succession_svg(found, crop.name, place, dark))
