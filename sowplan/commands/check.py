"""``sowplan check``: is a garden file right, and how does sowplan understand it."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sowplan.commands.screen import SCREEN, tell
from sowplan.problem import exit_code
from sowplan.quantity import wrapped

if TYPE_CHECKING:
    from datetime import date

    from sowplan.problem import Problem
    from sowplan.records.garden import Bed, Garden, Rest, Season, Tray, Units, Want
    from sowplan.records.garden_file import Reading


def check(
    garden: Annotated[
        Path | None, typer.Argument(help="A garden file.", metavar="GARDEN", show_default=False)
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print the problems as JSON.")] = False,
    keys: Annotated[bool, typer.Option("--keys", help="Show every key a garden file has.")] = False,
) -> None:
    """Check a garden file: every problem at once, or how it is understood.

    Sowings that you have settled yourself are tried on the beds as well.

    For example:

      sowplan check garden.toml

      sowplan check garden.toml --json

      sowplan check --keys
    """
    if keys:
        _show_keys()
        return
    if garden is None:
        raise typer.BadParameter("name a garden file, such as garden.toml", param_hint="GARDEN")
    from sowplan.commands.problems import stop_on
    from sowplan.commands.remarks import remarks
    from sowplan.records.garden_file import read_garden

    reading = read_garden(garden)
    problems = reading.problems or _cannot_be(reading)
    if as_json:
        rows = [problem.as_dict() for problem in problems]
        typer.echo(json.dumps(rows, ensure_ascii=False, indent=2))
        raise typer.Exit(exit_code(problems))
    stop_on(problems)
    assert reading.garden is not None  # there is no problem
    names = {key: crop.name for key, crop in reading.crops.items()}
    typer.echo("\n".join(_summary(reading.garden, names)))
    _caution(reading.garden)
    for remark in remarks(reading.garden, reading.crops):
        tell(f"Is this meant? {remark}", hanging=" " * 4)
    for words in _in_vain(reading):
        tell(words)


def _caution(garden: Garden) -> None:
    """Say once what is to be heeded where lamps hang over water."""
    places = garden.places
    if any(place.indoors is not None for place in places):
        from sowplan.season.indoors import lamp_words

        words = lamp_words(places)
        if words:
            tell(words)


def _cannot_be(reading: Reading) -> list[Problem]:
    """Return a problem for each sowing or want that cannot be."""
    garden = reading.garden
    if garden is None:
        return []
    from sowplan.season.settled import cannot_be

    return cannot_be(garden, reading.crops)


def _in_vain(reading: Reading) -> list[str]:
    """Return what is settled and stands though nothing comes of it, a sentence each."""
    garden = reading.garden
    if garden is None or not any(sowing.even_so for sowing in garden.sowings):
        return []
    from sowplan.season.settled import stand_in_vain

    return stand_in_vain(garden, reading.crops)


def _show_keys() -> None:
    """Print the reference: laid out in a terminal, as markdown in a pipe."""
    from sowplan.records.garden_file.reference import key_reference

    if sys.stdout.isatty():
        from rich.console import Console
        from rich.markdown import Markdown

        Console().print(Markdown(key_reference()))
    else:
        typer.echo(key_reference(), nl=False)


def _summary(garden: Garden, names: dict[str, str]) -> list[str]:
    """Return how a garden is understood, in a few lines."""
    rows = [
        ("place", _place(garden)),
        ("season", _season(garden)),
        ("climate", _climate(garden)),
        *_grounds(garden),
        *_wants(garden, names),
    ]
    if garden.rests:
        rows.append(("rotation", "; ".join(_rest(rest) for rest in garden.rests)))
    if garden.sowings:
        rows.append(("settled", _listed([names[s.crop] for s in garden.sowings])))
    lines = [f"{garden.file} is fine."]
    for label, text in rows:
        lines += wrapped(text, SCREEN, f"  {label:<9} ", " " * 12)
    return lines


def _rest(rest: Rest) -> str:
    """Return ``"Brassicaceae rest 24 months"``."""
    family = rest.family or "all families"
    return f"{family} rest {rest.months:g} months" if rest.months else f"no rest for {family}"


def _place(garden: Garden) -> str:
    site = garden.site
    north = f"{abs(site.latitude):g}° {'N' if site.latitude >= 0 else 'S'}"
    east = f"{abs(site.longitude):g}° {'E' if site.longitude >= 0 else 'W'}"
    return f"{site.name}, {north} {east}, {site.timezone}"


def _season(garden: Garden) -> str:
    from sowplan.records.garden_file.values.months import MONTHS, WEEKDAYS
    from sowplan.season.words import listed

    def shown(day) -> str:
        return f"{day.day} {MONTHS[day.month - 1]} {day.year}"

    season = garden.season
    days = ", ".join(f"{WEEKDAYS[day]}s" for day in season.sow_on)
    length = (season.end - season.start).days + 1
    sown = f", sowing on {days}" if days else ""
    brought = listed([f"{WEEKDAYS[day]}s" for day in season.harvest_on])
    if brought or days:
        sown += f", harvesting on {brought or 'any day (harvest_on would name some)'}"
    never = listed([f"{WEEKDAYS[day]}s" for day in season.never_on])
    sown += f", nothing done on {never}" if never else ""
    away = ""
    for who, spans in _away(season).items():
        gone = " and ".join(f"{shown(first)} to {shown(last)}" for first, last in spans)
        away += f"; {who} {gone}"
    most = "" if season.hours_a_week is None else f"; at most {season.hours_a_week:g} hours a week"
    return f"{shown(season.start)} to {shown(season.end)} ({length} days){sown}{away}{most}"


def _away(season: Season) -> dict[str, list[tuple[date, date]]]:
    """Return the times away by what somebody does meanwhile."""
    found: dict[str, list[tuple[date, date]]] = {}
    for span in season.away:
        who = "nobody there"
        if span in season.watered:
            picked = " and picked" if span in season.picked else ""
            who = f"away but watered{picked}"
        found.setdefault(who, []).append(span)
    return found


def _climate(garden: Garden) -> str:
    from sowplan.quantity import format_temperature
    from sowplan.records.garden_file.values.months import MONTHS

    climate, units = garden.climate, garden.units
    risk = "no frost" if climate.frost_free else f"frost risk {100 * climate.frost_risk:g} %"
    if climate.records:
        first, last = climate.records[0].day, climate.records[-1].day
        return f"{len(climate.records):,} days recorded, {first} to {last}; {risk}"
    means = [(low + high) / 2 for low, high in zip(climate.tmin, climate.tmax, strict=True)]
    warm, cold = means.index(max(means)), means.index(min(means))
    parts = [
        f"{MONTHS[m]} {format_temperature(climate.tmin[m], units)} to "
        f"{format_temperature(climate.tmax[m], units)}"
        for m in (warm, cold)
    ]
    return f"{'; '.join(parts)}; {risk}"


def _grounds(garden: Garden) -> list[tuple[str, str]]:
    from sowplan.export.bare import bare_told
    from sowplan.quantity import format_area

    rows = []
    if garden.beds:
        area = sum(_ground_m2(bed) for bed in garden.beds)
        shown = format_area(area, garden.units)
        rows.append(("beds", f"{len(garden.beds)}, together {shown} to plant"))
        rows += [("", line) for line in (*_sizes(garden), *bare_told(garden.beds, garden.units))]
    if garden.channels:
        holes = sum(channel.holes for channel in garden.channels)
        rows.append(("channels", f"{len(garden.channels)}, together {holes} holes"))
    if garden.pots:
        rows.append(("pots", str(sum(pot.count for pot in garden.pots))))
    rows += _indoors(garden)
    if garden.trays:
        cells = sum(tray.cells for tray in garden.trays)
        rows.append(("trays", f"{cells} cells"))
        rows += [("", f"{tray.name}: {_raised_at(tray, garden.units)}") for tray in garden.trays]
    return rows or [("places", "none yet: add a [[bed]], [[channel]] or [[pot]]")]


def _indoors(garden: Garden) -> list[tuple[str, str]]:
    """Return what is kept in places indoors, those alike on one line."""
    from sowplan.supply.wording import indoors_text

    alike: dict[str, list[str]] = {}
    for place in garden.places:
        if place.indoors is not None:
            kept = indoors_text(place.indoors, garden.units).removeprefix("indoors at ")
            alike.setdefault(kept, []).append(place.name)
    lines = [f"{_listed_all(names)}: {kept}" for kept, names in alike.items()]
    return [("indoors" if n == 0 else "", line) for n, line in enumerate(lines)]


def _ground_m2(bed: Bed) -> float:
    """Return the ground of a bed; a plain one asks for no geometry library."""
    if not (bed.keep_outs or bed.cut_m or bed.rounded_m):
        return (bed.length_m - 2 * bed.edge_m) * (bed.width_m - 2 * bed.edge_m)
    from sowplan.bed.area import ground_of

    return ground_of(bed)


def _sizes(garden: Garden) -> list[str]:
    """Return each bed's sides, beds of one size on one line, so that a slip of a unit shows."""
    from sowplan.quantity import format_length

    alike: dict[str, list[str]] = {}
    for bed in garden.beds:
        sides = (format_length(side, garden.units) for side in (bed.length_m, bed.width_m))
        alike.setdefault(" × ".join(sides), []).append(bed.name)
    return [f"{size}: {_listed_all(names)}" for size, names in alike.items()]


def _listed_all(names: list[str], most: int = 4) -> str:
    """Return the names of beds, the middle of a long list left out."""
    if len(names) <= most:
        return ", ".join(names)
    return f"{names[0]}, {names[1]} … {names[-1]} ({len(names)} beds)"


def _raised_at(tray: Tray, units: Units) -> str:
    """Return how warm and light a tray stands; one without a temperature stands in the open."""
    from sowplan.quantity import format_temperature

    parts = [f"{tray.cells} cells"]
    if tray.temperature_c is None:
        parts.append("as cold as outside, as it has no temperature")
    else:
        parts.append(format_temperature(tray.temperature_c, units))
    if tray.light_hours is not None:
        parts.append(f"{tray.light_hours:g} h of lamp")
    elif tray.temperature_c is not None:
        parts.append("daylight behind glass")
    return ", ".join(parts)


def _wants(garden: Garden, names: dict[str, str]) -> list[tuple[str, str]]:
    """Return each wish as it is understood, so that one written twice or too large shows."""
    from sowplan.commands.remarks import wanted_text
    from sowplan.supply.wording import day_text

    if not garden.wants:
        return [("wants", "none yet: add a [[want]] for each crop")]
    lines = []
    for want in garden.wants:
        first, last = (day_text(day, weekday=False, year=True) for day in (want.start, want.end))
        lines.append(
            f"{names[want.crop]}: {wanted_text(want, garden)}, {first} to {last}{_grown(want)}"
        )
    return [("wants" if n == 0 else "", line) for n, line in enumerate(lines)]


def _grown(want: Want) -> str:
    """Return how and where a wish is to be grown, where it says so."""
    how = {"direct": "sown direct", "in trays": "raised in trays"}
    parts = [how.get(want.raising, want.raising)] if want.raising else []
    if want.places:
        parts.append(f"in {_listed_all(list(want.places))}")
    if want.sow_at_least > 1:
        parts.append(f"at least {want.sow_at_least} at a time")
    return "".join(f"; {part}" for part in parts)


def _listed(names: list[str], most: int = 5) -> str:
    """Return names, each once, with the number of those left out."""
    once = list(dict.fromkeys(names))
    more = f" and {len(once) - most} more" if len(once) > most else ""
    return f"{len(once)}: {', '.join(once[:most])}{more}" if len(once) > 1 else once[0]
