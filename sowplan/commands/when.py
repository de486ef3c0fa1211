"""``sowplan when``: one crop here, each sowing date through the year and what becomes of it."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from pathlib import Path
from textwrap import fill, wrap
from typing import TYPE_CHECKING, Annotated, Any

import typer

from sowplan.commands.named import crop_meant, garden_at, place_named, tray_named

if TYPE_CHECKING:
    from sowplan.growth.courses import Conditions, Course
    from sowplan.growth.succession import GardenDays, Row, Succession
    from sowplan.quantity import Units
    from sowplan.records.crop import Crop
    from sowplan.records.garden import Garden, Tray, Want
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

    It is raised and grown as your wish for it says, where you give no option; days away, your
    days to harvest and weekdays on which nothing is done are kept.

    For example:

      sowplan when butterhead --garden garden.toml

      sowplan when spinach -g garden.toml --direct --every 14

      sowplan when lettuce-loose-leaf -g garden.toml --picture lettuce.svg
    """
    from sowplan.growth.succession import HORIZON_DAYS
    from sowplan.season.year import days_kept, wish_of, year_of
    from sowplan.site.sky import sky

    known, here = garden_at(garden)
    chosen = crop_meant(crop, known)
    wish = wish_of(here, chosen)
    raising, named = _as_wished(wish, direct, tray, place)
    where = place_named(named, here, chosen)
    offered = raising == "in trays" or (raising is None and _raised_by_itself(chosen, where))
    shelf = tray_named(tray, here) if offered else None
    conditions = _conditions(chosen, where, shelf, raising, here)
    outlook = sky(here.site, here.climate, here.season.start, _YEAR_DAYS + HORIZON_DAYS)
    found = year_of(here, chosen, outlook, _YEAR_DAYS, every, conditions)
    found = _in_units(found, here.units)
    setting = _setting(conditions, shelf, _placed(where, here))
    if picture is not None:
        _draw(found, chosen, f"{here.site.name}, {setting}", picture, dark)
    if as_json:
        rows = [plain(row) for row in found.rows]
        typer.echo(json.dumps(rows, ensure_ascii=False, indent=2))
        return
    typer.echo(typer.style(f"{chosen.name} at {here.site.name}, {setting}", bold=True))
    for line in _by_the_wish(wish, direct or tray is not None, place is not None):
        typer.echo(fill(line, _SCREEN))
    if here.season.harvest_on:
        typer.echo(fill(_by_harvest_days(here), _SCREEN))
    if chosen.direct_first and raising is None and not conditions.raised and here.trays:
        name = tray_named(None, here).name
        typer.echo(fill(f'Usually sown where it grows; from a tray: --tray "{name}".', _SCREEN))
    for line in table(found.rows, conditions.bought, chosen.bolt_effect == "bulbs"):
        typer.echo(line)
    typer.echo("")
    if conditions.in_open:
        kept = days_kept(here.season, outlook)
        for line in _covers(found, chosen, outlook, conditions, here.climate.frost_risk, kept):
            typer.echo(fill(line, _SCREEN))
    ranges = f"Ranges: {outlook.series.spread_source}."
    if conditions.indoors_c is not None and (
        not conditions.raised or conditions.bought or (conditions.tray_temperature_c is not None)
    ):
        ranges = "No ranges: the weather does not come in."
    typer.echo(fill(ranges, _SCREEN))
    if picture is not None:
        typer.echo(f"Picture: {picture}")


def _as_wished(
    wish: Want | None, direct: bool, tray: str | None, place: str | None
) -> tuple[str | None, str | None]:
    """Return how it is raised and the place's name: as the options say, else as the wish does."""
    raising = "direct" if direct else "in trays" if tray else wish.raising if wish else None
    return raising, place or (wish.places[0] if wish and wish.places else None)


def _raised_by_itself(crop: Crop, place: Any) -> bool:
    """Return whether a crop is raised in a tray where nobody says how, if there is one."""
    from sowplan.records.garden import Channel

    return not crop.direct_first or isinstance(place, Channel)


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


def _conditions(
    crop: Crop, place: Any, shelf: Tray | None, raising: str | None, garden: Garden
) -> Conditions:
    """Return where a crop is raised and grows on, raised as the gardener says."""
    from sowplan.growth.conditions import bought_for, conditions_of

    if raising == "bought plants":
        return bought_for(place, garden.site)
    found = conditions_of(crop, place, shelf, garden.site)
    if raising == "direct":
        return replace(found, raised=False, tray_temperature_c=None, tray_dli_mol=None)
    return found


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
        "size": c.size,
        "feasible": c.feasible,
        "reason": c.reason,
        "missed": [[_iso(first), _iso(last)] for first, last in row.missed],
        "lots": [
            {"ready": lot.ready.isoformat(), "last": lot.last.isoformat(), "share": lot.share}
            for lot in c.lots
        ],
    }


def table(rows: tuple[Row, ...], bought: bool = False, bulbs: bool = False) -> list[str]:
    """Return the lines of the table; a year stands where it is new, a reason where it changes.

    Of bought plants the first date is the day they are planted out, and there is nothing between.
    What stays small is marked.
    """
    from sowplan.growth.courses import SMALL_SIZE
    from sowplan.growth.reasons import without_dates
    from sowplan.supply.wording import days_text

    away = _missed(rows)
    raised = any(row.course.planting_out for row in rows)
    columns = f"{'Sow':<8}{'Up':<8}" + (f"{'Plant out':<10}" if raised else "")
    if bought:
        columns = f"{'Out':<8}"
    wide = max([_WIDE, *(len(_first(row.course)) + 1 for row in rows if row.course.feasible)])
    first = f"{'First harvest':<{wide}}"
    lines = [f"{columns}{first}{'Until':<7}{'Days':>4}  {'Again' if bought else 'Sow again'}"]
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
            marks = "~" * (row.course.size < SMALL_SIZE) + "".join(
                away[span] for span in row.missed
            )
            lines.append(f"{_line(row, raised, wide, bought).rstrip()} {marks}".rstrip())
        said = kind
    notes = _small(rows, bulbs)
    notes += [
        f"{mark} Nobody is there to harvest from {days_text(*span)}." for span, mark in away.items()
    ]
    return lines + notes


def _small(rows: tuple[Row, ...], bulbs: bool) -> list[str]:
    """Say what the mark of what stays small means, and how small."""
    from sowplan.growth.courses import SMALL_SIZE

    grown = (row.course.size for row in rows if row.course.feasible)
    sizes = [size for size in grown if size < SMALL_SIZE]
    if not sizes:
        return []
    low, high = (round(20 * size) * 5 for size in (min(sizes), max(sizes)))
    percent = f"{low}" if low == high else f"{low} to {high}"
    cause = "Small bulbs, set late" if bulbs else "Cut young, before it runs to seed"
    return [f"~ {cause}: some {percent} % of the usual weight."]


def _missed(rows: tuple[Row, ...]) -> dict[tuple[date, date], str]:
    """Return a mark for each time away in which harvests fall: ``"*"``, ``"**"``."""
    spans = sorted({span for row in rows for span in row.missed})
    return {span: "*" * n for n, span in enumerate(spans, 1)}


def _covers(
    found: Succession, crop: Crop, sky: Sky, conditions: Conditions, risk: float, kept: GardenDays
) -> list[str]:
    """Say which of the sowings that frost takes would live under a cover, the lightest first."""
    from sowplan.growth.reasons import by_cold_outside
    from sowplan.growth.succession import saved_by

    if not any(by_cold_outside(row.course.reason) for row in found.rows):
        return []
    lines, told = [], set()
    for cover, words in _COVERS.items():
        saved = set(saved_by(cover, found, crop, sky, conditions, risk, kept)) - told
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


def _line(row: Row, raised: bool, wide: int, bought: bool) -> str:
    c = row.course
    out = f"{_short(c.planting_out):<10}" if raised else ""
    between = "" if bought else f"{_short(c.emergence):<8}{out}"
    again = {None: "", 1: "next day"}.get(row.interval_days, f"in {row.interval_days} days")
    return (
        f"{_short(c.sow):<8}{between}{_first(c):<{wide}}"
        f"{_short(c.harvest_end):<7}"
        f"{row.days:>4}  {again}"
    )


def _first(c: Course) -> str:
    """Return ``"9 Nov (4 Nov to 15 Nov)"``; the year with it where it is long after sowing.

    The day alone indoors, where it is the same in every year.
    """
    start = c.harvest_start
    year = f" {start.year}" if start and (start - c.sow).days > _LONG_DAYS else ""
    if c.harvest_start_early == start == c.harvest_start_late:
        return f"{_short(start)}{year}"
    early, late = _short(c.harvest_start_early), _short(c.harvest_start_late)
    return f"{_short(start)}{year} ({early} to {late})"


def _short(day: date | None) -> str:
    from sowplan.supply.wording import MONTHS

    return "" if day is None else f"{day.day:>2} {MONTHS[day.month - 1][:3]}"


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()


def _setting(conditions: Conditions, shelf: Tray | None, place: str) -> str:
    """Return where it is sown and grows: ``"raised in a tray (Shelf), grown in Wall box"``."""
    if conditions.bought:
        return f"bought as young plants, grown in {place}"
    if not conditions.raised:
        return f"sown direct in {place}"
    return f"raised in a tray ({shelf.name if shelf else 'outdoors'}), grown in {place}"


def _placed(place: Any, garden: Garden) -> str:
    """Return a place's name, and what is kept there where it stands indoors."""
    from sowplan.supply.wording import indoors_text

    if place.indoors is None:
        return place.name
    return f"{place.name}, {indoors_text(place.indoors, garden.units)}"


def _draw(found: Succession, crop: Crop, place: str, picture: Path, dark: bool) -> None:
    """Write the picture; leave where it cannot be written."""
    from sowplan.commands.picture_files import file_problems, write_picture
    from sowplan.commands.problems import stop_on
    from sowplan.export.pictures.succession import succession_svg

    stop_on(file_problems(picture, None))
    write_picture(picture, succession_svg(found, crop.name, place, dark))
