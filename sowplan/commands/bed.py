"""``sowplan bed``: one bed on one day, row by row and as a plan to scale."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

if TYPE_CHECKING:
    from sowplan.export.bed_on import BedOn
    from sowplan.season.plan import Plan


def bed(
    plan: Annotated[Path, typer.Argument(help="A plan folder.", metavar="PLAN_FOLDER")],
    place: Annotated[
        str | None, typer.Argument(help="A bed, channel or pots of the plan.", metavar="BED")
    ] = None,
    on: Annotated[
        str | None,
        typer.Option(metavar="DAY", help="The day, as 2026-11-05, or tomorrow; otherwise today."),
    ] = None,
    out: Annotated[
        Path | None, typer.Option("--out", "-o", help="Draw it, to FILE.svg or FILE.png.")
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON.")] = False,
) -> None:
    """Show one bed on one day: what stands where, row by row, and what changes next.

    The picture is a plan to scale: every plant at its place, as wide as it will grow, with a
    dashed circle of today's size within. What the diary says is lost, cleared or was not sown is
    left out.

    For example:

      sowplan bed plan "Long bed"

      sowplan bed plan "Long bed" --on 2026-11-14

      sowplan bed plan "Long bed" --on tomorrow -o long-bed.png
    """
    from sowplan.commands.named import thing_meant
    from sowplan.commands.plan_files import diary_of, opened_plan, write_file
    from sowplan.commands.problems import stop_on
    from sowplan.commands.today import day_meant
    from sowplan.export.bed_on import bed_on
    from sowplan.supply.cleared import as_cleared
    from sowplan.supply.told import as_it_stands

    opened = opened_plan(plan)
    day = day_meant(on, opened)
    opened = as_it_stands(as_cleared(opened), diary_of(opened, plan, day))
    stop_on(_file_problems(out))
    name = thing_meant(place, opened.places, "place", "BED").name
    found = bed_on(opened, name, day)
    if out is not None:
        write_file(out, _picture(opened, found, out.suffix.casefold() == ".png"))
    if as_json:
        typer.echo(json.dumps(_plain(opened, found), ensure_ascii=False, indent=2))
        return
    _print(opened, found)
    if out is not None:
        typer.echo(f"\nWritten: {out}")


def _file_problems(out: Path | None) -> list[Any]:
    from sowplan.commands.picture_files import file_problems

    return file_problems(out, None, "-o")


def _picture(plan: Plan, found: BedOn, png: bool) -> bytes:
    """Return the place drawn: a bed as a plan to scale, holes and pots as numbered rings."""
    from sowplan.export.pictures.bed_on_day import bed_on_svg, slots_on_svg

    picture = bed_on_svg(plan, found) if found.place.kind == "bed" else slots_on_svg(plan, found)
    if not png:
        return picture.encode()
    from sowplan.export.pictures.png import to_png

    return to_png(picture, 2.0)


def _print(plan: Plan, found: BedOn) -> None:
    from sowplan.export.bed_on import told
    from sowplan.export.pictures.words import place_size
    from sowplan.supply.wording import day_text

    size = place_size(found.place, plan.site.units)
    head = f"{found.place.name}, {size}, on {day_text(found.day, year=True)}"
    typer.echo(typer.style(head, bold=True) + "\n")
    if not plan.site.start <= found.day <= plan.site.end:
        first, last = (day_text(d, year=True) for d in (plan.site.start, plan.site.end))
        typer.echo(f"The plan runs from {first} to {last}.\n")
    for line in told(plan, found):
        head = bool(line) and (line[0].isdigit() or line.startswith("What changes"))
        typer.echo(typer.style(line, bold=True) if head else line)


def _plain(plan: Plan, found: BedOn) -> dict[str, Any]:
    """Return a place on a day as plain values; lengths in metres."""
    from sowplan.export.pictures.standing import stations

    def batch(one: Any) -> dict[str, Any]:
        p = one.planting
        plants = stations(plan, p) if p.kind == "bed" else ()
        return {
            "id": p.id,
            "crop": p.crop,
            "plants": p.plants,
            "state": one.state,
            "since": _iso(p.occupies_from),
            "harvest_start": None if p.in_vain else _iso(p.harvest_start),
            "harvest_end": None if p.in_vain else _iso(p.harvest_end),
            "cleared": _iso(p.cleared),
            "spread_m": round(one.full_m, 4),
            "spread_now_m": round(one.now_m, 4),
            "slots": list(p.slots),
            "positions": [[round(x, 4), round(y, 4)] for x, y in plants],
        }

    return {
        "place": found.place.name,
        "day": _iso(found.day),
        "plantings": [batch(one) for one in found.batches],
        "free": [
            {"from_m": round(f.start_m, 4), "to_m": round(f.end_m, 4), "until": _iso(f.until)}
            for f in found.free
        ],
        "changes": [{"day": _iso(c.day), "what": c.words} for c in found.changes],
    }


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
